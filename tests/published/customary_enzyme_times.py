"""Depth of paste after the longest customary times on a plain puree: a cook must not find any."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import numpy as np
from published.row import Row
from ruamel.yaml import YAML

from advisor.course.softening import loss_rate
from advisor.knowledge import load_rulebase
from advisor.science.enzyme import relative_activity
from advisor.science.reach import Source, film_thickness_m
from advisor.science.softening import mush_depth_m, work_by_depth

DATA = YAML(typ="safe").load(Path(__file__).with_name("enzyme_heat_loss.yaml"))["customary_times"]
SOURCE = str(DATA["source"])
NOTE = (
    "The times are from memory, and were not used to set anything: half work from one experiment, diffusivity from "
    "memory, strength of the source that of the fruit itself. That the work at the face then comes to about the mush "
    "work, and no deeper than a third of a millimetre, was looked at after the model stood; the third of a millimetre "
    "is our choice, made with the result in view."
)
PURE = 100.0


def paste_mm(rulebase, name, temp_c, minutes):
    """Give the depth of paste under a film of puree [mm]."""
    value, tenderiser = rulebase.parameter, rulebase.tenderisers[name]
    depths = np.linspace(0, 0.004, 201)
    film = film_thickness_m(DATA["dose_fraction"], DATA["thickness_m"])
    work = work_by_depth(
        [0, minutes * 60],
        np.full((2, depths.size), float(temp_c)),
        depths,
        Source(PURE * tenderiser.strength, value("enzyme_diffusivity_m2_s"), film),
        partial(relative_activity, activation_kj_mol=value("activation_kj_mol"), ref_c=value("reference_c")),
        lambda temps: loss_rate(tenderiser.loss, temps),
        protection_factor=value("protection_in_meat"),
    )
    return 1000 * mush_depth_m(depths, work, value("half_work") * value("mush_work_factor"))


def rows():
    """Give the longest time in the room, and in the fridge on thin meat and on a steak."""
    rulebase = load_rulebase()
    for name in DATA["tenderisers"]:
        tenderiser = rulebase.tenderisers[name]
        fridge = dict(tenderiser.fridge_minutes)
        for place, temp_c, minutes in (
            ("at room heat", DATA["room_c"], max(tenderiser.room_minutes)),
            ("thin, in the fridge", DATA["fridge_c"], max(fridge["thin"])),
            ("steak, in the fridge", DATA["fridge_c"], max(fridge["steak"])),
        ):
            ours = paste_mm(rulebase, name, temp_c, minutes)
            aim = (0.0, DATA["paste_mm"])
            reason = "less than a third of a millimetre is not found in the mouth"
            what = f"paste under {tenderiser.name}, {minutes:g} min {place}"
            yield Row(what, 0.0, ours, "mm", "from memory", aim, None, reason)
