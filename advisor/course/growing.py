"""Facts of growth: on raw meat, after cooking, and where there is no air."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course import germs
from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.roles import Lies
    from advisor.course.stretches import Stretches
    from advisor.course.walk import Leg, Walked
    from advisor.knowledge.records import Organism
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
RAW_ROLES = frozenset({"raw_hold", "work"})
STAPH, CPERF = "s_aureus", "c_perfringens"


def growth_facts(
    case: Case,
    walks: Sequence[Walked],
    found_in: Stretches,
    roles: tuple[str, ...],
    laid: tuple[Lies, ...],
    rulebase: Rulebase,
) -> list[dict[str, Value]]:
    """Growth along each walk, in powers of ten: outside and inside while raw, after cooking, and while sealed."""
    ceiling = rulebase.limit("growth_ceiling")
    raw = _raw_growth(case, walks, found_in, roles, rulebase)
    first = min((index for index, role in enumerate(roles) if role == "cook"), default=len(roles))

    def growth(wanted: Callable[[Leg], bool], concerns: str, *, cooked: bool) -> FloatArray:
        organisms = [
            organism
            for name, organism in rulebase.organisms.items()
            if name == concerns or concerns in organism.concern
        ]
        legs = [tuple(leg for leg in walked.legs if wanted(leg)) for walked in walks]
        return _growth_along(legs, organisms, ceiling, cooked=cooked)

    slow = _slow_heats(walks, found_in, rulebase)

    def counts(leg: Leg) -> bool:
        return roles[leg.step] != "cook" or leg.step in slow

    def in_bag(leg: Leg) -> bool:
        return laid[leg.step].sealed and (
            roles[leg.step] == "cool" or (counts(leg) and leg.medium_c > rulebase.limit("cold_hold_max"))
        )

    spores = growth(lambda leg: leg.step > first and counts(leg) and roles[leg.step] != "raw_hold", CPERF, cooked=True)
    sealed = np.maximum(
        growth(lambda leg: in_bag(leg) and roles[leg.step] in RAW_ROLES, "sealed", cooked=False),
        growth(lambda leg: in_bag(leg) and roles[leg.step] not in RAW_ROLES, "sealed", cooked=True),
    )
    return [
        {**of_raw, "spore_growth_log": float(spores[k]), "sealed_growth_log": float(sealed[k])}
        for k, of_raw in enumerate(raw)
    ]


def _slow_heats(walks: Sequence[Walked], found_in: Stretches, rulebase: Rulebase) -> frozenset[int]:
    """Steps of heat after the cook in which the middle is not hot for good within the time that reheating may take.

    On the way up it goes through what germs like best; a reheat as fast as the codes ask is not held against it.
    """
    done = found_in.target.heat_ends if found_in.target is not None else 0
    floor, most_s = rulebase.no_kill_credit_below_c, rulebase.limit("reheat_max") * MINUTE
    slow: set[int] = set()
    for phase in (one for one in found_in.all if one.first > done):
        for walked in walks:
            times = walked.times(first=phase.first, last=phase.heat_ends)
            below = np.flatnonzero(walked.centre(first=phase.first, last=phase.heat_ends) < floor)
            if below.size and float(times[below[-1]] - times[0]) > most_s:
                slow |= phase.heats
    return frozenset(slow)


def _raw_growth(
    case: Case, walks: Sequence[Walked], found_in: Stretches, roles: tuple[str, ...], rulebase: Rulebase
) -> list[dict[str, Value]]:
    """Growth until the cook kills: what grows most outside and inside, and S. aureus for its poison."""
    out_minutes = case.number("piece", "out_minutes")
    out_c = case.number("piece", "out_temperature", rulebase.limit("hot_room"))
    cooks = frozenset(index for index, role in enumerate(roles) if role == "cook")
    last = found_in.target.heat_ends if found_in.target is not None else None
    spots = [
        germs.with_past(germs.places(walked.between(0, last), cooks), out_minutes * MINUTE, out_c) for walked in walks
    ]
    hot_for_good = [germs.until_killed(one, rulebase.no_kill_credit_below_c) for one in germs.together(spots)]
    raw = [organism for organism in rulebase.organisms.values() if "raw" in organism.concern]
    grown = germs.grown(hot_for_good, raw, cooked=False, ceiling=rulebase.limit("growth_ceiling"))
    staph = next(g for g in grown if g.name == rulebase.organisms[STAPH].name)
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
            }
        )
    return found


def _growth_along(
    legs: Sequence[tuple[Leg, ...]], organisms: list[Organism], ceiling: float, *, cooked: bool
) -> FloatArray:
    """Worst growth of any of the organisms along the legs of each walk [log10], shape (walks,)."""
    if not all(legs):
        return np.zeros(len(legs))
    joined = [_end_to_end(of_walk) for of_walk in legs]
    grown = germs.grown(joined, organisms, cooked=cooked, ceiling=ceiling)
    return np.asarray(np.max([np.maximum(g.outside, g.inside) for g in grown], axis=0), dtype=np.float64)


def _end_to_end(legs: tuple[Leg, ...]) -> germs.Places:
    """Join stretches that do not touch: what grew in one goes on in the next."""
    spots = germs.places(legs, frozenset())
    steps = np.diff(spots.times_s, prepend=spots.times_s[0])
    begins = np.concatenate([[0], np.cumsum([len(leg.times_s) for leg in legs])[:-1]]).astype(int)
    steps[begins] = 0.0
    return germs.Places(np.cumsum(steps), spots.outside, spots.inside)
