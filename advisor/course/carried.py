"""Germs that piercing carries to the middle, and how much more kill they ask for there.

The targets of kill are set for meat as it comes. Where germs have first multiplied on the outside, and needles, blades
or liquid then carry a share of them to the middle, the middle must lose as many powers of ten more as it holds more
than meat as it comes would on its outside. Never fewer: that a blade carries only a few in a hundred is no credit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from advisor.course import germs
from advisor.course.roles import COOKS
from advisor.course.walk import MINUTE
from advisor.science.lethality import carried_in_log

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.model import Case
    from advisor.course.stretches import Stretches
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase

# Share carried to the middle each time: what was measured is one pass of blades; of the others nothing was.
STEPS = {
    "needle": "blade_germs_to_centre",
    "score": "score_germs_to_centre",
    "inject": "liquid_germs_to_centre",
    "tumble": "liquid_germs_to_centre",
    "pound": "pounded_germs_to_centre",
}
ARRIVED = {"pierced": "needle", "pumped": "inject", "formed": "tumble"}
# Where a value is the cook's own; all else is an assumption of ours.
SAID = ("answered", "written")


def carried_share(case: Case, before: int, rulebase: Rulebase) -> float:
    """Share of the outside's germs that is carried to the middle by the steps before an index, at most all [-].

    Every pass carries its share anew: two passes twice as much. What the meat came with counts as one; where nobody
    knows what that was, the worst of all that it may be.
    """
    shares = [_worst(STEPS[step.action], rulebase) for step in case.steps[:before] if step.action in STEPS]
    return min(1.0, _came_with(case, rulebase) + sum(shares))


def _came_with(case: Case, rulebase: Rulebase) -> float:
    arrived = case.piece.get("arrived")
    if arrived is None or arrived.origin not in SAID:
        return max(_worst(STEPS[action], rulebase) for action in ARRIVED.values())
    action = ARRIVED.get(str(arrived.value))
    return _worst(STEPS[action], rulebase) if action is not None else 0.0


def _worst(name: str, rulebase: Rulebase) -> float:
    entry = rulebase.texture[name]
    return max(rulebase.parameter(name), entry.high if entry.high is not None else 0.0)


def more_kill(case: Case, walks: Sequence[Walked], found: Stretches, rulebase: Rulebase) -> dict[str, float]:
    """Powers of ten that each germ must lose in the middle above its target, by id; empty for meat not pierced.

    Growth is that of the outside while the meat waits, all of it: open tracks go on down from the face, and a thick
    piece must not look better for being slow. While it cooks, growth is that of the inside, until it is hot for good.
    """
    target = found.target
    share = carried_share(case, target.first if target is not None else len(case.steps), rulebase)
    if share <= 0 or target is None:
        return {}
    behind = carried_in_log(share)
    killed = {name: organism for name, organism in rulebase.organisms.items() if organism.kill}
    waits = germs.together([_history(case, walked, target.heat_ends, rulebase) for walked in walks])
    histories = [germs.until_killed(one, rulebase.no_kill_credit_below_c) for one in waits]
    grown = germs.grown(histories, list(killed.values()), cooked=False, ceiling=rulebase.limit("growth_ceiling"))
    return {
        name: max(0.0, behind + float(np.maximum(of.inside, of.outside).max()))
        for name, of in zip(killed, grown, strict=True)
    }


def _history(case: Case, walked: Walked, last: int, rulebase: Rulebase) -> germs.Places:
    """Temperatures where the germs are, from the time out before the plan: outermost first, so that none is twice."""
    legs = walked.between(0, last)
    times = np.concatenate([leg.times_s for leg in legs])
    places = np.concatenate(
        [
            leg.cells[:, germs.inner_columns(leg.cells.shape[1])]
            if case.steps[leg.step].action in COOKS
            else np.full((len(leg.times_s), germs.INNER_PLACES), leg.medium_c)
            for leg in legs
        ]
    )[:, None]
    out_c = case.number("piece", "out_temperature", rulebase.limit("hot_room"))
    spots = germs.Places(times, places[..., -1:], places[..., :-1])
    spots = germs.with_past(spots, case.number("piece", "out_minutes") * MINUTE, out_c)
    return germs.with_past(spots, case.number("piece", "fridge_time") * MINUTE, rulebase.limit("cold_hold_max"))
