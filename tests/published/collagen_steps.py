"""Collagen: half-times of shrinking, hours of the customary schedules."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from published._digits import half_digit
from published.row import Row, share_of
from ruamel.yaml import YAML

from advisor.science.texture import HalfTime, collagen_remaining

DATA = YAML(typ="safe").load(Path(__file__).with_name("texture_of_cooked_meat.yaml"))
FAST, SLOW = DATA["collagen_fast"], DATA["collagen_slow"]
SOURCE = f"{FAST['source']}; {SLOW['source']}"
NOTE = (
    "Of the half-times one is read, 11 min at 58 °C; the others follow from a remembered activation energy. The hours "
    "are a planning rate set by customary schedules, not measured. So these check the sums."
)
SHORTER_R = 8.314


def rows():
    """Give half-times, then hours to fork tender."""
    fast = HalfTime(FAST["half_time_min"] * 60.0, FAST["ref_c"], FAST["activation_kj_mol"])
    for temp_c, printed in FAST["half_times_min"].items():
        ours = math.log(2) / float(fast.rate(np.array(float(temp_c)))) / 60
        inverse = 1 / (temp_c + 273.15) - 1 / (FAST["ref_c"] + 273.15)
        by_hand = FAST["half_time_min"] * math.exp(FAST["activation_kj_mol"] * 1000 / SHORTER_R * inverse)
        # Three figures at most were printed: 1180 stands for 1175 to 1185.
        aim = (ours - by_hand - 5, 5) if printed == 1180 else half_digit(printed, ours - by_hand)
        known = "read in part" if temp_c == FAST["ref_c"] else "from memory"
        what = f"half of the collagen shrunk at {temp_c} °C"
        reason = "half a printed digit, and the shorter gas constant"
        yield Row(what, printed, ours, "min", known, aim, None, reason)
    slow = HalfTime(SLOW["half_time_h"] * 3600.0, SLOW["ref_c"], SLOW["activation_kj_mol"])
    at_once = HalfTime(1e-3, 58.0, 0.0)
    for temp_c, printed in SLOW["hours"].items():
        left = float(collagen_remaining([0, printed * 3600], [temp_c] * 2, at_once, slow)[-1])
        ours = printed * math.log(SLOW["remaining"]) / math.log(left)
        what = f"fork tender, prime beef, held at {temp_c} °C"
        reason = "the source rounds freely, by up to 6 %; a planning rate"
        yield Row(what, printed, ours, "h", "from memory", share_of(printed, 0.06), None, reason)
