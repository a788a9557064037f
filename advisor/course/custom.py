"""How long a softener is on against what is customary for it, by the records of the softeners."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.course.roles import COOKS

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.roles import Softener
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase


def over_custom(case: Case, walked: Walked, every: tuple[Softener, ...], rulebase: Rulebase) -> float:
    """Time on the meat against the longest that is customary, of the softener that is furthest over it [-].

    Each place uses up its own share of the custom, until it is wiped off or cooked.
    """
    return max((_of_one(case, walked, softener, rulebase) for softener in every), default=0.0)


def _of_one(case: Case, walked: Walked, softener: Softener, rulebase: Rulebase) -> float:
    record = rulebase.tenderisers[softener.what]
    size = "thin" if case.number("piece", "thickness") < rulebase.limit("marinade_depth") else "steak"
    cold, room = record.fridge_minutes.get(size, []), record.room_minutes
    used = 0.0
    for leg in walked.between(softener.step, None):
        action = case.steps[leg.step].action
        if action in COOKS or (leg.step > softener.step and action == "wipe"):
            break
        longest = room if leg.medium_c > rulebase.limit("room_is_above") else cold
        used += leg.minutes / max(longest) if longest else 0.0
    return used
