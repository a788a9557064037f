"""Growth of E. coli in raw and in cooked beef beside the shipped curve, whose rate is an estimate."""

from __future__ import annotations

import math

from published._shipped import INFINITE, data, grown_log10, growth_per_hour
from published.row import Row

DATA = data("e_coli_growth.yaml")
RAW, COOKED = DATA["raw_at_10"], DATA["cooked"]
SOURCE = f"{RAW['source']}; {COOKED['source']}"
NOTE = (
    "Abstracts read. A rate below what was measured is a miss, one above it is strict: the curve starts at once, "
    "without the lag that the cooked beef may have had."
)
NO_LESS = (0.0, INFINITE)
RIVALS = (
    "beef made sterile has no rivals; in beef as it is sold it grew at 0.019. The shipped curve lies between, and the "
    "plans of kitchens are of beef as it is sold"
)


def rows():
    """Give the rates at 10 C, then the cooked beef."""
    ours = growth_per_hour("e_coli_o157", RAW["celsius"]) / math.log(10)
    for beef, key, held in (("as it is sold", "as_sold", None), ("made sterile", "sterile", (-0.021, INFINITE))):
        what = f"E. coli O157 in raw ground beef {beef}, {RAW['celsius']} C"
        reason = RIVALS if held else "no less than was measured"
        yield Row(what, RAW[f"{key}_log10_per_h"], ours, "log10/h", "read in part", NO_LESS, held, reason)
    for celsius, hours, printed in COOKED["rows"]:
        grown = grown_log10("e_coli_o157", [0, hours], [celsius] * 2, cooked=False)
        what = f"E. coli in cooked ground beef, {hours} h at {celsius} C"
        yield Row(what, float(printed), grown, "log10", "read in part", NO_LESS, None, "no less than was measured")
