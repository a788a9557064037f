"""The older beef table beside the straight line through it: what its rounding does, and what a line can do."""

from __future__ import annotations

import math

from published._shipped import celsius, data
from published.row import Row, share_of

from advisor.science.lethality import kill_rate

TABLE = data("lethality_times_beef.yaml")
SOURCE = str(TABLE["source"])
NOTE = (
    "The two lines were fitted to these very rows, so this shows how straight the table is and nothing more; no plan "
    "uses them. Printed in whole minutes to 145 °F, in seconds above; 7.26 min stand as 8."
)


def rows():
    """Give each row at 6.5 and at 7 log."""
    for column, (log10, name) in enumerate(((6.5, "straight_line_6_5_log"), (7, "straight_line_7_log")), start=2):
        line = TABLE[name]
        for row in TABLE["rows"]:
            rate = float(kill_rate(celsius(row[0]), line["d60_min"] * 60, 60.0, line["z_c"], -math.inf)) * 60
            printed, ours = row[column], log10 / rate
            half = 0.5 if row[0] <= 145 else 0.5 / 60 + 0.0005
            missed = not -half <= ours - printed <= half
            held = share_of(printed, line["worst_relative_residual"]) if missed else None
            reason = (
                "a line misses what rounding of a few minutes, or of a few seconds, does" if missed else "half a digit"
            )
            yield Row(f"{row[0]} °F, {log10} log", printed, ours, "min", "read", (-half, half), held, reason)
