"""Hours that US guidance allows in a band of temperature, beside the hours in which a shipped germ grows tenfold."""

from __future__ import annotations

from published._shipped import INFINITE, data, doubling_hours, grown_log10
from published.row import Row

TABLE = data("exposure_hours.yaml")
SOURCE = str(TABLE["source"])
NOTE = (
    f"{str(TABLE['how_known']).capitalize()}. Nothing was tuned to it. Ours is the time to one power of ten at the "
    f"upper end of the band, lag included (raw); shorter is stricter. {str(TABLE['note']).strip()}"
)
LONGER = {
    (
        "b_cereus",
        6,
    ): "only the warm-loving kind is shipped, which stops at 7 °C; Listeria stands for what grows in the cold",
    ("c_botulinum_proteolytic", 21): "it starts from spores, lag 3; sealed food is not allowed any growth of it",
    ("c_botulinum_nonproteolytic", 5): "it starts from spores, lag 3; sealed food is not allowed any growth of it",
    (
        "c_perfringens",
        14,
    ): "it starts from spores, lag 5.5; raw meat that stands this warm is stopped by the clock long before",
    (
        "c_perfringens",
        21,
    ): "it starts from spores, lag 5.5; raw meat that stands this warm is stopped by the clock long before",
}
AS_SHARE = {("c_botulinum_proteolytic", 21): 0.5, ("c_botulinum_nonproteolytic", 5): 0.2, ("c_perfringens", 14): 1.6}


def hours_to_tenfold(germ, temp_c):
    """Hours until a shipped germ has grown by one power of ten, by halving the interval."""
    if doubling_hours(germ, temp_c) == INFINITE:
        return INFINITE
    low, high = 0.0, 10000.0
    for _ in range(40):
        middle = (low + high) / 2
        grown = grown_log10(germ, [0, middle], [temp_c, temp_c], cooked=False)
        low, high = (middle, high) if grown < 1 else (low, middle)
    return high


def rows():
    """Give every band that has an upper end."""
    for germ, band, temp_c, hours in TABLE["rows"]:
        reason = LONGER.get((germ, temp_c))
        share = AS_SHARE.get((germ, temp_c), 0.3)
        held = None if reason is None else (-INFINITE, INFINITE if germ == "b_cereus" else share * hours)
        what = f"{germ.replace('_', ' ')}, {band} °C"
        ours = hours_to_tenfold(germ, temp_c)
        aim = (-INFINITE, 0.0)
        yield Row(what, float(hours), ours, "h", "from memory", aim, held, reason or "no longer than the guidance")
