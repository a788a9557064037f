"""Facts of what the meat will be like: enzyme work, tenderness, cooking loss. Bands, never promises."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from advisor.course.custom import over_custom
from advisor.course.depth import MOST, depth_facts, enzyme_factor, mush_share, proven, room_minutes, work_done
from advisor.course.ranges import Ranged, middle_of, worst_of
from advisor.course.roles import softeners
from advisor.course.softening import softened, warn_where_not_measured
from advisor.course.souring import souring_facts
from advisor.course.texture import texture
from advisor.science.validity import gathered

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.depth import Done
    from advisor.course.roles import Softener
    from advisor.course.walk import Course, Walked
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.validity import OutsideRange

# Paste is judged at the end where the enzyme has done most; the forecast of tenderness in the middle.
WORST = ("mush_share", "mush_depth", "mush_along", "mush_unproven", "enzyme_left", "enzyme_bath_minutes")


@dataclass(frozen=True)
class Enzymes:
    """The softeners of a course, and what they have done at most, worked out when it is first asked for."""

    case: Case
    course: Course
    rulebase: Rulebase

    @cached_property
    def every(self) -> tuple[Softener, ...]:
        """All softeners of the plan."""
        return softeners(self.case, self.rulebase)

    @cached_property
    def _kept(self) -> tuple[tuple[Done | None, ...], tuple[OutsideRange, ...]]:
        with gathered() as beyond:
            done = tuple(work_done(self.case, w, self.every, MOST, self.rulebase) for w in self.course.all)
            for walked in self.course.all:
                warn_where_not_measured(self.case, walked, self.every, self.rulebase)
        return done, tuple(beyond)

    def most(self) -> tuple[Done | None, ...]:
        """Work at the end where most is done, along each walk; its doubts go to whoever asks."""
        done, beyond = self._kept
        for doubt in beyond:
            warnings.warn(doubt, stacklevel=2)
        return done


def paste_facts(enzymes: Enzymes) -> dict[str, Ranged]:
    """Enzyme work, paste and what is left alive, over the walks of a course."""
    walks = enzymes.course.all
    found = [_paste(enzymes, walked, done) for walked, done in zip(walks, enzymes.most(), strict=True)]
    worst = worst_of(found)
    facts = {**middle_of(found), **{name: worst[name] for name in WORST if name in worst}}
    room = room_minutes(enzymes.case, walks, enzymes.rulebase)
    return facts if room is None else {**facts, "enzyme_room_minutes": room}


def feel_facts(enzymes: Enzymes) -> dict[str, Ranged]:
    """Tenderness, loss and sourness, over the walks of a course."""
    walks = enzymes.course.all
    found = [_facts(enzymes, walked, done) for walked, done in zip(walks, enzymes.most(), strict=True)]
    worst = worst_of(found)
    lows: dict[str, Ranged] = {
        name: Ranged(worst[name].low) for name in ("tender_low", "chew_low", "loss_low") if name in worst
    }
    highs: dict[str, Ranged] = {
        name: Ranged(worst[name].high) for name in ("tender_high", "chew_high", "loss_high") if name in worst
    }
    highs |= _served(enzymes.case, worst)
    return {**middle_of(found), **lows, **highs}


def _served(case: Case, worst: dict[str, Ranged]) -> dict[str, Ranged]:
    """What is left to serve: cooked meat for each portion [g], and what a kilogram of it costs."""
    if "loss_low" not in worst or "loss_high" not in worst:
        return {}
    least, most = 1 - _number(worst["loss_high"].value) / 100.0, 1 - _number(worst["loss_low"].low) / 100.0
    portions, price = case.number("guests", "portions"), case.number("guests", "price")
    served: dict[str, Ranged] = {}
    if portions > 0:
        each = case.number("piece", "weight") / portions
        served |= {"portion_low": Ranged(each * least), "portion_high": Ranged(each * most)}
    if price > 0 and least > 0:
        served |= {"price_low": Ranged(price / most), "price_high": Ranged(price / least)}
    return served


def _number(value: Value) -> float:
    return float(value) if isinstance(value, float | int) else 0.0


def _paste(enzymes: Enzymes, walked: Walked, done: Done | None) -> dict[str, Value]:
    case, every, rulebase = enzymes.case, enzymes.every, enzymes.rulebase
    sure = proven(every, rulebase)
    soft = softened(case, walked, every, rulebase)
    of_sure = done if sure == every else work_done(case, walked, sure, MOST, rulebase)
    return {
        **({"mush_unproven": mush_share(case, done, rulebase)} if sure != every else {}),
        "enzyme_left": soft.left,
        "enzyme_bath_minutes": soft.hot_minutes,
        "enzyme_depth": soft.depth_mm,
        "enzyme_over_custom": over_custom(case, walked, every, rulebase),
        **depth_facts(case, of_sure, rulebase),
    }


def _facts(enzymes: Enzymes, walked: Walked, done: Done | None) -> dict[str, Value]:
    case, rulebase = enzymes.case, enzymes.rulebase
    feel = texture(case, walked, enzyme_factor(case, walked, done, rulebase), rulebase)
    return {
        "collagen_left": feel.collagen_left.mid,
        "tender_low": feel.shear.low,
        "tender_high": feel.shear.high,
        "tender_confidence": feel.shear.confidence.value,
        **({"chew_low": feel.chew.low, "chew_high": feel.chew.high} if feel.chew is not None else {}),
        "loss_low": feel.loss.low,
        "loss_high": feel.loss.high,
        "hours_over_usual": feel.hold_share,
        **souring_facts(case, walked, rulebase),
    }
