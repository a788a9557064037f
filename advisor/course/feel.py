"""Facts of what the meat will be like: enzyme work, tenderness, cooking loss. Bands, never promises."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.course.depth import MOST, depth_facts, enzyme_factor, mush_share, proven, work_done
from advisor.course.ranges import Ranged, middle_of, worst_of
from advisor.course.roles import softeners
from advisor.course.softening import softened
from advisor.course.souring import souring_facts
from advisor.course.texture import texture

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.walk import Course, Walked
    from advisor.knowledge.rulebase import Rulebase

# Paste is judged at the end where the enzyme has done most; the forecast of tenderness in the middle.
WORST = ("mush_share", "mush_depth", "mush_along", "mush_unproven", "enzyme_left", "enzyme_bath_minutes")


def feel_facts(case: Case, course: Course, rulebase: Rulebase) -> dict[str, Ranged]:
    """Enzyme work, tenderness and loss, over the walks of a course."""
    found = [_facts(case, walked, rulebase) for walked in course.all]
    worst = worst_of(found)
    lows: dict[str, Ranged] = {
        name: Ranged(worst[name].low) for name in ("tender_low", "chew_low", "loss_low") if name in worst
    }
    highs: dict[str, Ranged] = {
        name: Ranged(worst[name].high) for name in ("tender_high", "chew_high", "loss_high") if name in worst
    }
    return {**middle_of(found), **{name: worst[name] for name in WORST if name in worst}, **lows, **highs}


def _facts(case: Case, walked: Walked, rulebase: Rulebase) -> dict[str, Value]:
    every = softeners(case, rulebase)
    sure = proven(every, rulebase)
    soft = softened(case, walked, every, rulebase)
    done = work_done(case, walked, every, MOST, rulebase)
    of_sure = done if sure == every else work_done(case, walked, sure, MOST, rulebase)
    feel = texture(case, walked, enzyme_factor(case, walked, done, rulebase), rulebase)
    return {
        **({"mush_unproven": mush_share(case, done, rulebase)} if sure != every else {}),
        "enzyme_left": soft.left,
        "enzyme_bath_minutes": soft.hot_minutes,
        "enzyme_depth": soft.depth_mm,
        "collagen_left": feel.collagen_left.mid,
        "tender_low": feel.shear.low,
        "tender_high": feel.shear.high,
        "tender_confidence": feel.shear.confidence.value,
        **({"chew_low": feel.chew.low, "chew_high": feel.chew.high} if feel.chew is not None else {}),
        "loss_low": feel.loss.low,
        "loss_high": feel.loss.high,
        "hours_over_usual": feel.hold_share,
        **depth_facts(case, walked, of_sure, rulebase),
        **souring_facts(case, walked, rulebase),
    }
