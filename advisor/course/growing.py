"""Facts of growth: on raw meat, after cooking, and where there is no air."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from advisor.course import germs
from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.roles import Lies
    from advisor.course.stretches import Stretches
    from advisor.course.walk import Leg, Walked
    from advisor.knowledge.records import Organism
    from advisor.knowledge.rulebase import Rulebase

RAW_ROLES = frozenset({"raw_hold", "work"})
STAPH, CPERF = "s_aureus", "c_perfringens"


def growth_facts(
    case: Case,
    walked: Walked,
    found_in: Stretches,
    roles: tuple[str, ...],
    laid: tuple[Lies, ...],
    rulebase: Rulebase,
) -> dict[str, Value]:
    """Growth in powers of ten: outside and inside while raw, of spores after cooking, of anaerobes while sealed."""
    out_minutes = case.number("piece", "out_minutes")
    out_c = case.number("piece", "out_temperature", rulebase.limit("hot_room"))
    cooks = frozenset(index for index, role in enumerate(roles) if role == "cook")
    floor, ceiling = rulebase.no_kill_credit_below_c, rulebase.limit("growth_ceiling")
    legs = walked.between(0, found_in.target.heat_ends if found_in.target is not None else None)
    spots = germs.with_past(germs.places(legs, cooks), out_minutes * MINUTE, out_c)
    hot_for_good = germs.Places(
        spots.times_s, germs.until_killed(spots.outside, floor), germs.until_killed(spots.inside, floor)
    )
    raw = [o for o in rulebase.organisms.values() if "raw" in o.concern]
    grown = germs.grown(hot_for_good, raw, cooked=False, ceiling=ceiling)
    out, core = max(grown, key=lambda g: g.outside), max(grown, key=lambda g: g.inside)
    staph = next(g for g in grown if g.name == rulebase.organisms[STAPH].name)
    found: dict[str, Value] = {
        "raw_growth_log": out.outside,
        "raw_growth_germ": out.name,
        "raw_growth_inside_log": core.inside,
        "raw_growth_inside_germ": core.name,
        "staph_growth_log": staph.outside,
        "staph_growth_inside_log": staph.inside,
    }
    first = min(cooks, default=len(roles))
    after = tuple(leg for leg in walked.legs if leg.step > first and roles[leg.step] not in ("cook", "raw_hold"))
    found["spore_growth_log"] = _growth_after(after, [rulebase.organisms[CPERF]], ceiling)
    sealed = tuple(
        leg
        for leg in walked.legs
        if laid[leg.step].sealed
        and roles[leg.step] in ("raw_hold", "work", "cooked_hold", "cool", "hot_hold")
        and (leg.medium_c > rulebase.limit("cold_hold_max") or roles[leg.step] == "cool")
    )
    anaerobes = [o for o in rulebase.organisms.values() if "sealed" in o.concern]
    raw_sealed = tuple(leg for leg in sealed if roles[leg.step] in RAW_ROLES)
    found["sealed_growth_log"] = max(
        _growth_after(raw_sealed, anaerobes, ceiling, cooked=False),
        _growth_after(tuple(leg for leg in sealed if roles[leg.step] not in RAW_ROLES), anaerobes, ceiling),
    )
    return found


def _growth_after(legs: tuple[Leg, ...], organisms: list[Organism], ceiling: float, *, cooked: bool = True) -> float:
    if not legs:
        return 0.0
    spots = germs.places(legs, frozenset())
    # Stretches that do not touch are joined end to end: what grew in one goes on in the next.
    steps = np.diff(spots.times_s, prepend=spots.times_s[0])
    begins = np.concatenate([[0], np.cumsum([len(leg.times_s) for leg in legs])[:-1]]).astype(int)
    steps[begins] = 0.0
    times = np.cumsum(steps)
    joined = germs.Places(times, spots.outside, spots.inside)
    return max(max(g.outside, g.inside) for g in germs.grown(joined, organisms, cooked=cooked, ceiling=ceiling))
