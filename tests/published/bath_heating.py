"""Minutes until the middle of a piece from 5 °C comes within half a degree of a bath of 60 °C."""

from __future__ import annotations

from published._bath import TIMES, times_rows
from published._bath import nearest_room as room
from published.row import Row, share_of

SOURCE = str(TIMES["source"])
NOTE = (
    "From memory: no copy showed this table. Heat figures and the exponents of the columns were fitted to it, so "
    "agreement supports recall and fit together and proves neither. The columns' cylinder and sphere are not those of "
    "conduction theory."
)


def rows():
    """Give each printed cell."""

    def row(what, printed, ours, missed):
        held = share_of(printed, TIMES["outside_rounding"]["held_share"]["heating"]) if missed else None
        reason = (
            "one exponent cannot meet the whole column; the table is from memory"
            if missed
            else "rounded to the nearest"
        )
        return Row(what, printed, ours, "min", "from memory", room(printed), held, reason)

    yield from times_rows("heating", row)
