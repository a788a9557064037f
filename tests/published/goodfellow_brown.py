"""Salmonella in ground beef, measured at three temperatures, beside the shipped germ and the line through them."""

from __future__ import annotations

import math

from published._shipped import INFINITE, celsius, data, decimal_minutes
from published.row import Row, share_of

from advisor.science.lethality import kill_rate

TABLE = data("lethality_times_beef.yaml")
MEASURED = TABLE["goodfellow_brown"]
SOURCE = str(MEASURED["source"])
NOTE = (
    "Abstract read; it prints ranges, mid values here. The line is least squares through three points that bend. The "
    "shipped D was not fitted to them. Below 54.4 °C no kill is credited, so what the shipped D says there is never "
    "used."
)
PRINTED_HALF_RANGE = {51.67: 0.5, 57.22: 0.2, 62.78: 0.05}


def minutes_on_the_line(log10, temp_c):
    """Minutes that the line asks."""
    line = MEASURED["line"]
    return log10 / (float(kill_rate(temp_c, line["d60_min"] * 60, 60.0, line["z_c"], -math.inf)) * 60)


def rows():
    """Give the shipped D and the line at the three points, and the line beside the beef table."""
    for temp_c, measured in MEASURED["points"]:
        half = PRINTED_HALF_RANGE[temp_c]
        ours = decimal_minutes("salmonella", "red_meat", temp_c)
        short = temp_c < 54.4
        reason = (
            "the shipped z is larger; there, below the floor, nothing is credited"
            if short
            else "no shorter than measured"
        )
        held = (-0.42 * measured, INFINITE) if short else None
        what = f"D at {temp_c} °C, as shipped"
        yield Row(what, measured, ours, "min", "read in part", (-half, INFINITE), held, reason)
        bends = "three points that bend: a line stands over the middle one and under the ends"
        room = share_of(measured, 0.365)
        what = f"D at {temp_c} °C, the line"
        yield Row(what, measured, minutes_on_the_line(1.0, temp_c), "min", "read in part", (-half, half), room, bends)
    for temp_f, table_min, _ in MEASURED["appendix_a_compared"]:
        half = 0.5 if temp_f <= 145 else 0.5 / 60
        missed = not -half <= minutes_on_the_line(6.5, celsius(temp_f)) - table_min <= half
        reason = "the table adds a little to the measured line" if missed else "whole minutes, then seconds"
        held = share_of(table_min, 0.10) if missed else None
        ours = minutes_on_the_line(6.5, celsius(temp_f))
        yield Row(f"beef table, 6.5 log, {temp_f} °F", table_min, ours, "min", "read", (-half, half), held, reason)
