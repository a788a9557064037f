"""Facts of growth on raw meat: until the cook kills, or to the end of the plan where nothing cooks it through."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from advisor.course import germs
from advisor.course.heating import surface_peak
from advisor.course.ranges import Ranged, worst_of
from advisor.course.roles import SEARS
from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.stretches import Stretches
    from advisor.course.walk import Course, Phase, Walked
    from advisor.knowledge.records import Organism
    from advisor.knowledge.rulebase import Rulebase

STAPH = "s_aureus"
# Whose doubts go with which growth: the germ that is named, or the one the fact is of.
GERM_OF = {"raw_growth_log": "raw_growth_germ", "raw_growth_inside_log": "raw_growth_inside_germ"}
OF_STAPH = ("staph_growth_log", "staph_growth_inside_log")


def raw_growth_facts(
    case: Case, course: Course, found_in: Stretches, roles: tuple[str, ...], rulebase: Rulebase
) -> dict[str, Ranged]:
    """Growth in powers of ten: what grows most outside and inside, and S. aureus for its poison.

    The outside counts until it is killed, the inside until the meat is cooked through: where no heat does that, what
    is alive in a raw middle goes on growing after the last heat, to the end of the plan.
    """
    walks = course.ends
    spots = [_spots(case, walked, found_in, roles, rulebase) for walked in walks]
    hot_for_good = [germs.until_killed(one, rulebase.no_kill_credit_below_c) for one in germs.together(spots)]
    raw = [organism for organism in rulebase.organisms.values() if "raw" in organism.concern]
    grown = germs.grown(hot_for_good, raw, cooked=False, ceiling=rulebase.limit("growth_ceiling"))
    by_name = {one.name: one for one in grown}
    staph = by_name[rulebase.organisms[STAPH].name]
    through = _cooked_through(case, course, found_in, rulebase)
    found: list[dict[str, Value]] = []
    for k in range(len(walks)):
        out = grown[int(np.argmax([g.outside[k] for g in grown]))]
        core = grown[int(np.argmax([g.inside[k] for g in grown]))]
        found.append(
            {
                "raw_growth_log": float(out.outside[k]),
                "raw_growth_germ": out.name,
                "raw_growth_inside_log": float(core.inside[k]),
                "raw_growth_inside_germ": core.name,
                "staph_growth_log": float(staph.outside[k]),
                "staph_growth_inside_log": float(staph.inside[k]),
                **({} if found_in.target is None else {"cooked_through": through}),
            }
        )
    facts = worst_of(found)
    named = {fact: by_name[str(facts[germ].value)] for fact, germ in GERM_OF.items()}
    return facts | doubted(facts, named | dict.fromkeys(OF_STAPH, staph), rulebase)


def _cooked_through(case: Case, course: Course, found_in: Stretches, rulebase: Rulebase) -> str:
    """Whether the last heat leaves nothing alive in the middle: by the law's table, or by all the kill that we ask."""
    target = found_in.target
    if target is None or found_in.lethal is not None:
        return "yes"
    animal = case.word("piece", "animal")
    killed = all(
        bool(germs.is_killed(organism, target.times(walked), target.core(walked), animal, rulebase))
        for organism in _raw_and_killed(rulebase)
        for walked in (*course.cold_start, *course.cold_probe)
    )
    return "yes" if killed else "no"


def _raw_and_killed(rulebase: Rulebase) -> list[Organism]:
    return [one for one in rulebase.organisms.values() if "raw" in one.concern and one.kill]


def doubted(facts: Mapping[str, Ranged], of: Mapping[str, germs.Grown], rulebase: Rulebase) -> dict[str, Ranged]:
    """Give facts with the doubts of the curve they rest on; growth of less than a doubling is not worth a doubt."""
    least = rulebase.base_limit("no_growth")
    return {
        name: replace(facts[name], doubts=grown.doubts)
        for name, grown in of.items()
        if isinstance(facts[name].value, float) and float(facts[name].value or 0.0) >= least
    }


def _spots(case: Case, walked: Walked, found_in: Stretches, roles: tuple[str, ...], rulebase: Rulebase) -> germs.Places:
    """Histories of the places on raw meat along one walk, with the time it was out before."""
    cooks = frozenset(index for index, role in enumerate(roles) if role == "cook")
    target = found_in.target
    ends = target.heat_ends if target is not None and found_in.lethal is not None else None
    spots = germs.places(walked.between(0, ends), cooks)
    if target is not None and ends is None and _outside_is_killed(case, walked, target, rulebase):
        heated = sum(len(leg.times_s) for leg in walked.between(0, target.heat_ends))
        spots.outside[heated:] = rulebase.no_kill_credit_below_c
    out_c = case.number("piece", "out_temperature", rulebase.limit("hot_room"))
    spots = germs.with_past(spots, case.number("piece", "out_minutes") * MINUTE, out_c)
    return germs.with_past(spots, case.number("piece", "fridge_time") * MINUTE, rulebase.limit("cold_hold_max"))


def _outside_is_killed(case: Case, walked: Walked, target: Phase, rulebase: Rulebase) -> bool:
    """Whether the last heat kills what is on the outside: by the law's line for a seared face, or by the model.

    The model is not asked of a sear, in which one face cools while the other lies in the heat.
    """
    peak = surface_peak(case, walked, rulebase)
    if isinstance(peak, float) and peak >= rulebase.limit("surface_cook"):
        return True
    legs = [leg for leg in walked.between(target.first, target.heat_ends) if leg.step in target.heats]
    animal, raw = case.word("piece", "animal"), _raw_and_killed(rulebase)
    return any(
        all(bool(germs.is_killed(organism, leg.times_s, leg.surface_c, animal, rulebase)) for organism in raw)
        for leg in legs
        if case.steps[leg.step].action not in SEARS
    )
