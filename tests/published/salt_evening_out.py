"""Salt in raw meat: speed by temperature, hours until it is even, depths."""

from __future__ import annotations

import math
from pathlib import Path

from published._digits import half_digit
from published.row import Row
from ruamel.yaml import YAML

from advisor.science.salt import (
    centre_share_bath,
    centre_share_dry,
    hours_to_even,
    penetration_depth_m,
    salt_diffusivity,
)
from advisor.science.validity import gathered

DATA = YAML(typ="safe").load(Path(__file__).with_name("salt_in_meat.yaml"))
AT_5C = DATA["diffusivity_m2_s_at_5c"]
SOURCE = f"{DATA['centre_nine_tenths']['source']}; diffusivities: {AT_5C['source']}"
NOTE = (
    "The lowest and the highest diffusivity are read, the middle one is ours, the activation energy is from memory; "
    "hours and depths were worked out from them, so that they check the sums. Nothing was tuned."
)
SHORTER_R = 8.314
ROUNDED = "half a printed digit"


def rows():
    """Give factors, nine tenths, hours and depths."""
    settings = DATA["temperature_factor"]
    for temp_c, printed in settings["rows"].items():
        with gathered():  # the table runs to 60 °C, where meat is no longer raw
            ours = salt_diffusivity(temp_c, 4e-10, settings["ref_c"], settings["activation_kj_mol"]) / 4e-10
        inverse = 1 / (temp_c + 273.15) - 1 / (settings["ref_c"] + 273.15)
        by_hand = math.exp(-settings["activation_kj_mol"] * 1000 / SHORTER_R * inverse)
        what = f"diffusivity at {temp_c} °C against 5 °C"
        reason = "printed to two decimals, and R = 8.314 where ours has ten digits"
        aim = (min(ours - by_hand, 0.0) - 0.005, max(ours - by_hand, 0.0) + 0.005)
        yield Row(what, printed, ours, "", "from memory", aim, None, reason)
    nine = DATA["centre_nine_tenths"]
    for name, share, number in (
        ("dry salt on both faces", centre_share_dry, nine["dry_fourier"]),
        ("a large brine", centre_share_bath, nine["bath_fourier"]),
    ):
        what = f"centre under {name} at Fo {number}"
        yield Row(what, 0.9, share(number), "", "from memory", (-0.001, 0.001), None, "Fo printed to three figures")
    table = DATA["hours_to_even"]
    for thickness, *hours in table["rows"]:
        for name, printed in zip(table["columns"][1:], hours, strict=True):
            ours = hours_to_even(thickness / 1000, AT_5C[name], 0.9)
            low, high = half_digit(printed)
            room = (low - 0.002 * ours, high)
            reason = "half a printed digit, and 0.2 % since the table took Fo 0.304 where 0.3035 is exact"
            what = f"{thickness} mm, dry salt on both faces, centre at nine tenths, {name} diffusivity"
            yield Row(what, printed, ours, "h", "from memory", room, None, reason)
    table = DATA["penetration_depth_mm"]
    for name in ("low", "mid", "high"):
        for hours, printed in zip(table["hours"], table[name], strict=True):
            ours = 1000 * penetration_depth_m(AT_5C[name], hours * 3600.0)
            what = f"depth after {hours} h, {name} diffusivity"
            yield Row(what, printed, ours, "mm", "from memory", (-0.051, 0.051), None, ROUNDED)
