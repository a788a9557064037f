"""Minutes in a bath until red meat is pasteurised at the middle, every cell of the table."""

from __future__ import annotations

from functools import lru_cache

from published._bath import PASTEURISATION, middle, shipped_minutes, table_exponent
from published.row import Row

SOURCE = str(PASTEURISATION["source"])
NOTE = (
    "Read in two copies. D, z and targets are those we ship and were read in the table's own note; no floor, as "
    "there. Conductivity and shape exponent were inferred from this table, so it checks them little. The table rounds "
    "up, to 1 min below 20, to 5 to an hour, to a quarter hour above; that rule too was inferred."
)


def step(printed):
    """Give the step a printed time was rounded up by."""
    return 1 if printed <= 20 else 5 if printed <= 60 else 15


@lru_cache(maxsize=200)
def minutes(thickness_mm, bath_c):
    """Minutes until the slowest shipped germ has met its target at the middle."""
    return shipped_minutes(middle(thickness_mm, bath_c, table_exponent(thickness_mm)), "red_meat")


def rows():
    """Give each thickness at each bath."""
    fair = PASTEURISATION["fair_test"]
    for row in PASTEURISATION["rows"]:
        thickness = row["thickness_mm"]
        room = (-fair["room_below_min"], fair["room_above_min"].get(thickness, 0.0))
        for bath, printed in zip(PASTEURISATION["bath_c"], row["published_min"], strict=True):
            missed = bath in fair["outside_rounding"].get(thickness, ())
            reason = (
                "the printed 30 mm row fits a shape exponent near 0.1, which the note does not mention; 25 and 10 mm "
                "lie at a rounding edge; the others are printed a little longer than we find"
                if missed
                else "rounded up"
            )
            what = f"{thickness} mm at {bath} °C"
            held = room if missed else None
            yield Row(what, printed, minutes(thickness, bath), "min", "read", (-step(printed), 0.0), held, reason)
