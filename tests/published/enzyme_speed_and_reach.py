"""Speed of an enzyme against temperature, the experiment its work is scaled by, and how deep it gets."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from published._digits import half_digit
from published.bromelain_heat_loss import loss
from published.row import Row, share_of
from ruamel.yaml import YAML

from advisor.science.enzyme import enzyme_work, equivalent_time_s, reached_fraction, relative_activity
from advisor.science.reach import Source, concentration

DATA = YAML(typ="safe").load(Path(__file__).with_name("enzyme_heat_loss.yaml"))
ACTIVITY, ANCHOR, REACH = DATA["activity"], DATA["pineapple_on_beef"], DATA["reach"]
SOURCE = f"{ACTIVITY['source']}; {ANCHOR['source']}; {REACH['source']}"
NOTE = (
    "The speeds and depths follow from a remembered activation energy and diffusivity, so that they check the sums and "
    "not nature. The half work is defined by the one experiment."
)
ROUNDED = "half a printed digit"
# 24 h in the fridge, as hours at 55 °C, by activation energy.
FRIDGE_NIGHT = {45: 1.2, 55: 0.6, 35: 2.3}


def rows():
    """Give speeds, equivalents, the anchor and depths."""
    for energy in (45, 35, 55):
        for temp_c, printed in ACTIVITY[f"relative_{energy}"].items():
            ours = float(relative_activity(temp_c, energy, ACTIVITY["ref_c"]))
            what = f"speed at {temp_c} °C against 55 °C, {energy} kJ/mol"
            yield Row(what, printed, ours, "", "from memory", half_digit(printed), None, ROUNDED)
    for energy, printed in FRIDGE_NIGHT.items():
        ours = equivalent_time_s(24 * 3600.0, 4.0, ACTIVITY["ref_c"], energy) / 3600
        what = f"24 h at 4 °C, worth at 55 °C, {energy} kJ/mol"
        yield Row(what, printed, ours, "h", "from memory", half_digit(printed), None, ROUNDED)
    times, temps = [0, ANCHOR["minutes"] * 60], [ANCHOR["temp_c"]] * 2
    work = enzyme_work(
        times,
        temps,
        lambda temp: relative_activity(temp, 45.0, ACTIVITY["ref_c"]),
        loss,
        dose_strength=ANCHOR["dose_percent"],
        protection_factor=1.0,
    )[-1]
    what = "work that halved the shear: 6 % pineapple juice, 50 °C, 60 min"
    yield Row(what, ANCHOR["half_work"], float(work), "% h", "read in part", half_digit(4.3), None, ROUNDED)
    for diffusivity, hours, printed in REACH["depth_mm"]:
        depth = reached_fraction(diffusivity, hours * 3600.0, 0.025) * 0.025 / 2
        what = f"depth of an enzyme after {hours} h, D {diffusivity:g} m2/s"
        yield Row(what, printed, depth * 1000, "mm", "from memory", half_digit(printed), None, ROUNDED)
        there = float(concentration(hours * 3600.0, np.array(depth), Source(100.0, diffusivity)))
        at = f"share of the face's enzyme at that depth after {hours} h, D {diffusivity:g} m2/s"
        yield Row(at, 0.4795, there, "", "exact", share_of(0.4795, 2e-4), None, "erfc(1/2), printed to four digits")
