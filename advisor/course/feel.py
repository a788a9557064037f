"""Facts of what the meat will be like: enzyme work, tenderness, cooking loss. Bands, never promises."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.course.depth import depth_facts
from advisor.course.ranges import Ranged, middle_of, worst_of
from advisor.course.roles import softeners
from advisor.course.softening import softened
from advisor.course.texture import texture

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.walk import Course, Walked
    from advisor.knowledge.rulebase import Rulebase

# Paste is judged at the end where the enzyme has done most; the forecast of tenderness in the middle.
WORST = ("mush_share", "mush_depth", "enzyme_left", "enzyme_bath_minutes")


def feel_facts(case: Case, course: Course, rulebase: Rulebase) -> dict[str, Ranged]:
    """Enzyme work, tenderness and loss, over the walks of a course."""
    found = [_facts(case, walked, rulebase) for walked in course.all]
    worst = worst_of(found)
    low, high = worst["tender_low"].low, worst["tender_high"].high
    lost, most = worst["loss_low"].low, worst["loss_high"].high
    return {
        **middle_of(found),
        **{name: worst[name] for name in WORST if name in worst},
        "tender_low": Ranged(low),
        "tender_high": Ranged(high),
        "loss_low": Ranged(lost),
        "loss_high": Ranged(most),
    }


def _facts(case: Case, walked: Walked, rulebase: Rulebase) -> dict[str, Value]:
    soft = softened(case, walked, softeners(case, rulebase), rulebase)
    feel = texture(case, walked, soft, rulebase)
    mush = rulebase.parameter("half_work") * rulebase.parameter("mush_work_factor")
    return {
        "enzyme_work": soft.work,
        "mush_share": soft.work / mush,
        "enzyme_left": soft.left,
        "enzyme_bath_minutes": soft.hot_minutes,
        "enzyme_depth": soft.depth_mm,
        "collagen_left": feel.collagen_left,
        "tender_low": feel.shear_low,
        "tender_high": feel.shear_high,
        "loss_low": feel.loss_low,
        "loss_high": feel.loss_high,
        "hours_over_usual": feel.hold_share,
        **depth_facts(case, walked, rulebase),
    }
