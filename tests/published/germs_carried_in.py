"""Germs that blades carry into beef, beside the share that the rulebase takes."""

from __future__ import annotations

import math

from published._shipped import data, rulebase
from published.row import Row

from advisor.science.lethality import carried_in_log
from advisor.science.validity import gathered

DATA = data("germs_carried_in.yaml")
PASS, DEPTHS = DATA["one_pass"], DATA["by_depth"]
SOURCE = f"{PASS['source']}; {DEPTHS['source']}"
NOTE = (
    "The shipped share is the first study's. Of the second only ratios of neighbouring centimetres were read: the "
    "share of the second centimetre is worked out as if nothing went deeper and none was lost, so that n times less is "
    "a share of 1 / (1 + n). The rulebase counts its share at any depth and for each pass anew."
)
DIGIT = "a share printed to a whole percent: half of one of 3 % or 4 % is 0.06 of a power of ten"
MISSED = (
    "more was carried in there than the shipped share, by half a power of ten at most; the share is meant for the "
    "middle, which may lie in the second centimetre of a thin piece: its germs may then be that many more"
)


def rows():
    """Give the one study's shares, then the other's."""
    blade = rulebase().texture["blade_germs_to_centre"]
    for printed, share, end in zip(PASS["share_to_centre"], (blade.low, blade.value), ("least", "most"), strict=True):
        what = f"share of the outside's germs in the centre after one pass, {end}"
        yield _row(what, printed, share, (-0.06, 0.06), None, DIGIT)
    worst = max(blade.value, blade.high)
    for key, passes in (("times_less_one_pass", "one pass"), ("times_less_one_or_two", "one pass or two")):
        for times in DEPTHS[key]:
            share = 1 / (1 + times)
            short = worst < share
            reason = MISSED if short else "an upper end: no less than what was found"
            what = f"share in the second centimetre after {passes}, {times} times less than in the first"
            yield _row(what, share, worst, (0.0, 1.0), (-0.5, 0.0) if short else None, reason)


def _row(what, printed, share, aim, held, reason):
    with gathered():
        ours = carried_in_log(share)
    return Row(what, math.log10(printed), ours, "log10", "read in part", aim, held, reason)
