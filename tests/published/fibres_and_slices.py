"""Fibres: hardening in a long hold, strength by angle, length in a slice."""

from __future__ import annotations

from pathlib import Path

from published._digits import half_digit
from published.row import Row, share_of
from ruamel.yaml import YAML

from advisor.science.texture import fibre_hardening_long, hankinson_strength, slice_fibre_length_m

DATA = YAML(typ="safe").load(Path(__file__).with_name("texture_of_cooked_meat.yaml"))
HARD, STRONG, SLICE = DATA["fibre_hardening"], DATA["strength"], DATA["slices"]
SOURCE = f"{HARD['source']}; {STRONG['source']}; lengths by geometry"
NOTE = (
    "The slope of hardening was set to the two means of the one study, so it must meet them. Of the strengths only "
    "those along and across the fibres are measured; between them the sums are checked."
)


def rows():
    """Give hardening, strengths and lengths."""
    measured = HARD["shear_n"][63] / HARD["shear_n"][57]
    ours = float(fibre_hardening_long(63.0, 57.0, 63.0, HARD["slope_per_c"]))
    what = "shear after a long hold at 63 °C over that at 57 °C"
    yield Row(what, measured, ours, "", "read in part", share_of(measured, 0.002), None, "the slope has two digits")
    for angle, printed in STRONG["by_angle_deg"].items():
        ours = hankinson_strength(angle, STRONG["along_kn_m2"], STRONG["across_kn_m2"])
        known = "read in part" if angle in (0, 90) else "exact"
        what = f"strength pulled at {angle}° to the fibres"
        yield Row(what, printed, ours, "kN/m2", known, half_digit(printed), None, "printed to a whole number")
    for angle, printed in SLICE["fibre_length_mm"].items():
        ours = 1000 * slice_fibre_length_m(SLICE["thickness_mm"] / 1000, angle, 0.3)
        what = f"fibres in a 5 mm slice, knife at {angle}° to them"
        yield Row(what, printed, ours, "mm", "exact", (-0.051, 0.051), None, "printed to a tenth")
