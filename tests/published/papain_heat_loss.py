"""Half-lives of papain."""

from __future__ import annotations

import math
from pathlib import Path

from published._digits import half_digit
from published.row import Row
from ruamel.yaml import YAML

from advisor.science.constants import BOLTZMANN, PLANCK
from advisor.science.rates import eyring_loss_rate

DATA = YAML(typ="safe").load(Path(__file__).with_name("enzyme_heat_loss.yaml"))["papain"]
SOURCE = str(DATA["source"])
NOTE = (
    "Nothing was tuned: enthalpy and entropy are the source's. The half-lives were worked out from them by hand with "
    "R = 8.314; ours is 0.2 % shorter by R to ten digits. The rest of what differs, up to 1 % at 80 °C, is the "
    "rounding of the half-lives to two or three figures, and no more."
)
SHORTER_R = 8.314


def rows():
    """Give the half-lives."""
    enthalpy, entropy = DATA["enthalpy_kj_mol"] * 1000, DATA["entropy_j_mol_k"]
    for temp_c, printed in DATA["half_life_min"].items():
        kelvin = temp_c + 273.15
        ours = math.log(2) / float(eyring_loss_rate(temp_c, DATA["enthalpy_kj_mol"], entropy)) / 60
        rate = BOLTZMANN * kelvin / PLANCK * math.exp(entropy / SHORTER_R - enthalpy / (SHORTER_R * kelvin))
        by_hand = math.log(2) / rate / 60
        reason = "half a printed digit, and the 0.2 % of the shorter gas constant"
        yield Row(
            f"half-life in crude extract at {temp_c} °C",
            printed,
            ours,
            "min",
            "read in part",
            half_digit(printed, ours - by_hand),
            None,
            reason,
        )
