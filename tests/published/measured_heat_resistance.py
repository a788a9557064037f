"""Time by which measured germs would be reduced as asked, beside the time the shipped germs ask together."""

from __future__ import annotations

from published._shipped import data
from published._tables import STRICTER, beside

SETS = data("measured_heat_resistance.yaml")["sets"]
SOURCE = "; ".join(dict.fromkeys(one["source"] for one in SETS))
NOTE = (
    "D as measured times the reduction the rulebase asks of that germ in that food. Nothing was tuned to them. Below "
    "54.4 °C we credit no kill at all: inf. Where we fall short the reason stands in the row; it is a limit of the "
    "germs we ship, not of the sum."
)


def rows():
    """Give every measured point."""
    for one in SETS:
        for temp_c, d_min in one["d_min"]:
            less = one.get("less_asked", {}).get(temp_c)
            minutes = one["target_log"] * d_min
            yield beside(
                f"{one['germ']}, {one['matrix']}, {temp_c} °C, {one['target_log']} log by the measured D",
                minutes * 60,
                temp_c,
                one["food"],
                known=one["known"],
                digit_s=0.01 * minutes * 60,
                less=less,
                reason=STRICTER if less is None else one["reason"],
            )
