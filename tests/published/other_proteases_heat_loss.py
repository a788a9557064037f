"""Koji, kiwi and fig: what others found left after heat and salt, beside the losses the rulebase ships."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from published.row import Row
from ruamel.yaml import YAML

from advisor.course.softening import loss_rate
from advisor.knowledge import load_rulebase
from advisor.science.conditions import salt_factor

DATA = YAML(typ="safe").load(Path(__file__).with_name("enzyme_heat_loss.yaml"))
SOURCE = "; ".join(dict.fromkeys([DATA["koji"]["source"], *(one["source"] for one in DATA["other_proteases"])]))
NOTE = (
    "The shipped rates at 50 °C (kiwi) and 55 °C (koji, fig) were worked out from the rows that say so; their rise "
    "with heat is a slow estimate, so that an enzyme is never called dead too soon."
)
TUNED = "worked out from this row; a hundredth is what two printed digits leave"
SLOW = "the shipped rise with heat is slow on purpose: meat shields the enzyme, and mush is the danger"
# What is held where the aim is missed: the share that we leave alive beyond what was found.
MISSED = {("actinidin", 70): 0.45, ("fig serine protease", 70): 0.25}


def left(rulebase, tenderiser, temp_c, minutes):
    """Give the share that the shipped loss leaves in a free film."""
    rate = float(loss_rate(rulebase.tenderisers[tenderiser].loss, np.array([float(temp_c)]))[0])
    return math.exp(-rate * minutes * 60)


def rows():
    """Give heat, then salt."""
    rulebase = load_rulebase()
    koji = DATA["koji"]["row"]
    yield Row(
        f"koji protease left after {koji['minutes']} min at {koji['temp_c']} °C",
        koji["left"],
        left(rulebase, "koji", koji["temp_c"], koji["minutes"]),
        "",
        "read in part",
        (-0.01, 0.01),
        None,
        TUNED,
    )
    half = math.log(2) * koji["minutes"] / -math.log(koji["left"])
    reason = "printed to a whole minute"
    yield Row(
        "koji protease, half-life at 55 °C", koji["half_life_min"], half, "min", "exact", (-0.5, 0.5), None, reason
    )
    for one in DATA["other_proteases"]:
        ours = left(rulebase, one["tenderiser"], one["temp_c"], one["minutes"])
        room = MISSED.get((one["what"], one["temp_c"]))
        aim, reason = ((-0.01, 0.01), TUNED) if "tuned" in one else ((-0.05, 0.05), SLOW)
        if one.get("printed"):
            aim, reason = (-0.1, 0.0), f"printed as '{one['printed']}', taken as nine tenths or more"
        yield Row(
            f"{one['what']} left after {one['minutes']} min at {one['temp_c']} °C",
            one["left"],
            ours,
            "",
            "read in part",
            aim,
            None if room is None else (0.0, room),
            reason,
        )
    kiwi = DATA["kiwi_in_meat"]
    alone = math.log(kiwi["dead_below"]) / math.log(left(rulebase, "green_kiwi", kiwi["temp_c"], 1.0))
    for what, printed, ours, aim, held, reason in (
        ("alone, less than", kiwi["alone_min"], alone, (-5.0, 0.0), (-5.0, 240.0), SLOW),
        (
            "in meat, up to",
            kiwi["in_meat_min"],
            alone * rulebase.parameter("protection_in_meat"),
            (-1440.0, 240.0),
            None,
            "an upper end of 24 h at 60 to 65 °C, within four hours; the shipped rise with heat was set by it",
        ),
    ):
        at = f"kiwi enzyme down to a twentieth at {kiwi['temp_c']} °C, {what}"
        yield Row(at, printed, ours, "min", "read in part", aim, held, reason)
    salt = DATA["salt_on_koji"]
    yield Row(
        f"koji protease in {salt['salt_pct']} % salt",
        salt["left"],
        salt_factor(
            salt["salt_pct"],
            rulebase.parameter("enzyme_salt_measured_at_pct_aspergillus"),
            rulebase.parameter("enzyme_salt_left_aspergillus"),
        ).mid,
        "",
        "read in part",
        (-0.005, 0.005),
        None,
        "the factor goes through this row",
    )
