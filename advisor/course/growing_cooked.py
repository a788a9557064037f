"""Facts of growth after the cook: what lived through it, what came to the meat after it, and what needs no air.

Which germ counts where is said by its ``concern`` in the rulebase. Spores of `cooling` live through every cook, at
every depth; those that need no air (`sealed` as well) grow in a bag, and inside a piece that lies in air, for meat
lets air in for a few millimetres only. A germ of `cold_store` dies in the cook and comes back from hands, boards and
knives: it counts on the outside from the moment the meat lies open, and inside where nothing cooked it through. What
needs no air and grows in the cold counts in sealed meat alone, as the codes have it: open meat has its days.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import takewhile
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course import germs, official
from advisor.course.growing import doubted
from advisor.course.ranges import Ranged, worst_of
from advisor.course.stretches import strictest
from advisor.course.walk import MINUTE, Leg, Phase

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.roles import Lies
    from advisor.course.stretches import Stretches
    from advisor.course.walk import Course, Walked
    from advisor.knowledge.records import Organism
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
RAW_ROLES = frozenset({"raw_hold", "work"})
CPERF = "c_perfringens"


@dataclass(frozen=True, slots=True)
class Stays:
    """Legs in which some organisms grow, from the state they are in after the cook or not."""

    wanted: Callable[[Leg], bool]
    organisms: tuple[Organism, ...]
    cooked: bool = True


def cooked_growth_facts(
    case: Case, course: Course, found_in: Stretches, roles: tuple[str, ...], laid: tuple[Lies, ...], rulebase: Rulebase
) -> dict[str, Ranged]:
    """Growth after the cook in powers of ten, and that of what needs no air in sealed meat, along all walks."""
    walks = course.ends
    first = min((index for index, role in enumerate(roles) if role == "cook"), default=len(roles))
    slow = _slow_heats(walks, found_in, rulebase) | _beyond(case, course, found_in, rulebase)
    cold = rulebase.limit("cold_hold_max")

    def counts(leg: Leg) -> bool:
        return roles[leg.step] != "cook" or leg.step in slow

    def in_bag(leg: Leg) -> bool:
        return laid[leg.step].sealed and (roles[leg.step] == "cool" or (counts(leg) and leg.medium_c > cold))

    def after(leg: Leg) -> bool:
        return leg.step > first and counts(leg)

    perfringens = rulebase.organisms[CPERF]
    spores = _of(rulebase, "cooling", but=perfringens)
    opened, everywhere = _opened(case, course, found_in, laid, first, rulebase)
    runs = _grown_along(
        walks,
        (
            Stays(lambda leg: after(leg) and roles[leg.step] != "raw_hold", (perfringens,)),
            Stays(after, spores),
            Stays(lambda leg: leg.step >= opened and counts(leg), _of(rulebase, "cold_store")),
            Stays(lambda leg: in_bag(leg) and roles[leg.step] in RAW_ROLES, _sealed(rulebase), cooked=False),
            Stays(lambda leg: in_bag(leg) and roles[leg.step] not in RAW_ROLES, _sealed(rulebase)),
        ),
        rulebase.limit("growth_ceiling"),
    )
    no_air = {organism.name for organism in _sealed(rulebase)}
    poison = [grown for grown in runs[1] if grown.name not in no_air]
    botulinum = [grown for grown in runs[1] if grown.name in no_air]
    chilled = [grown for grown in runs[2] if grown.name not in no_air]
    found: list[dict[str, Value]] = []
    for k in range(len(walks)):
        worst = max(poison, key=lambda grown: float(grown.anywhere[k]))
        coldest = max(chilled, key=lambda grown: _where(grown, k, everywhere=everywhere))
        found.append(
            {
                "spore_growth_log": float(runs[0][0].anywhere[k]),
                "cooked_poison_log": float(worst.anywhere[k]),
                "cooked_poison_germ": worst.name,
                "botulinum_inside_log": max(float(grown.inside[k]) for grown in botulinum),
                "cold_growth_log": _where(coldest, k, everywhere=everywhere),
                "cold_growth_germ": coldest.name,
                "sealed_growth_log": max(float(grown.anywhere[k]) for grown in (*runs[3], *runs[4])),
            }
        )
    facts = worst_of(found)
    of = {
        "spore_growth_log": runs[0][0],
        "cooked_poison_log": _named(poison, facts["cooked_poison_germ"]),
        "botulinum_inside_log": max(botulinum, key=lambda grown: float(grown.inside.max())),
        "cold_growth_log": _named(chilled, facts["cold_growth_germ"]),
        "sealed_growth_log": max((*runs[3], *runs[4]), key=lambda grown: float(grown.anywhere.max())),
    }
    return facts | doubted(facts, of, rulebase)


def _of(rulebase: Rulebase, concern: str, but: Organism | None = None) -> tuple[Organism, ...]:
    return tuple(one for one in rulebase.organisms.values() if concern in one.concern and one is not but)


def _sealed(rulebase: Rulebase) -> tuple[Organism, ...]:
    return _of(rulebase, "sealed")


def _where(grown: germs.Grown, k: int, *, everywhere: bool) -> float:
    return float(grown.anywhere[k] if everywhere else grown.outside[k])


def _named(among: Sequence[germs.Grown], name: Ranged) -> germs.Grown:
    return next(grown for grown in among if grown.name == name.value)


def _opened(
    case: Case, course: Course, found_in: Stretches, laid: tuple[Lies, ...], first: int, rulebase: Rulebase
) -> tuple[int, bool]:
    """First step in which a germ that the cook kills may be on the meat again, and whether it may be inside as well.

    Meat that was sealed before a cook that kills it and is sealed still has none.
    """
    lethal = found_in.lethal
    if lethal is None:
        return first + 1, True
    begins = lethal.heat_ends + 1
    opened = next((index for index in range(min(lethal.heats), len(laid)) if not laid[index].sealed), len(laid))
    if opened < begins:
        return begins, False
    walks = (*course.cold_start, *course.cold_probe)
    dead = all(
        bool(germs.is_killed(one, lethal.times(walked), lethal.core(walked), case.word("piece", "animal"), rulebase))
        for one in _of(rulebase, "cold_store")
        if one.kill
        for walked in walks
    )
    return (opened, False) if dead else (begins, True)


def _slow_heats(walks: Sequence[Walked], found_in: Stretches, rulebase: Rulebase) -> frozenset[int]:
    """Steps of heat after the cook in which the middle is not hot for good within the time that reheating may take.

    On the way up it goes through what germs like best; a reheat as fast as the codes ask is not held against it. The
    time begins when the meat leaves the cold: a warm wait before it does not make a slow reheat a fast one.
    """
    done = found_in.target.heat_ends if found_in.target is not None else 0
    floor, most_s = rulebase.no_kill_credit_below_c, rulebase.limit("reheat_max") * MINUTE
    cold = rulebase.limit("cold_hold_max")
    slow: set[int] = set()
    for phase in (one for one in found_in.all if one.first > done):
        for walked in walks:
            times = walked.times(first=phase.first, last=phase.heat_ends)
            below = np.flatnonzero(walked.centre(first=phase.first, last=phase.heat_ends) < floor)
            out = min((float(leg.times_s[0]) for leg in _warm_before(walked, phase.first, cold)), default=times[0])
            if below.size and float(times[below[-1]] - out) > most_s:
                slow |= phase.heats
    return frozenset(slow)


def _warm_before(walked: Walked, step: int, cold_c: float) -> list[Leg]:
    """Legs right before a step since the meat last lay in the cold."""
    before = list(walked.between(0, step - 1)) if step else []
    return list(takewhile(lambda leg: leg.medium_c > cold_c, reversed(before)))


def _beyond(case: Case, course: Course, found_in: Stretches, rulebase: Rulebase) -> frozenset[int]:
    """Heats that go on after the one which cooks the meat through: an oven may be set too low to keep it hot."""
    lethal = found_in.lethal
    heats = sorted(lethal.heats) if lethal is not None else []
    table = strictest(case.word("piece", "animal"), rulebase)
    for place, index in enumerate(heats[:-1], start=1):
        until = Phase(heats[0], index, index, frozenset(heats[:place]))
        if official.standing(course.cold_start, (until,), table).share >= 1:
            return frozenset(heats[place:])
    return frozenset()


def _grown_along(walks: Sequence[Walked], asked: Sequence[Stays], ceiling: float) -> list[tuple[germs.Grown, ...]]:
    """Growth along the legs of each walk, for everything asked; the same legs are gone through once for all germs."""
    legs = [[tuple(leg for leg in walked.legs if stays.wanted(leg)) for walked in walks] for stays in asked]
    keys = [
        (stays.cooked, tuple(tuple(leg.step for leg in of_walk) for of_walk in of_stays))
        for stays, of_stays in zip(asked, legs, strict=True)
    ]
    made: dict[object, dict[str, germs.Grown]] = {}
    for key, of_stays in zip(keys, legs, strict=True):
        if key in made:
            continue
        wanted = [one for other, stays in zip(keys, asked, strict=True) if other == key for one in stays.organisms]
        organisms = tuple({organism.name: organism for organism in wanted}.values())
        made[key] = {grown.name: grown for grown in _grown(of_stays, organisms, ceiling, cooked=key[0])}
    return [tuple(made[key][one.name] for one in stays.organisms) for key, stays in zip(keys, asked, strict=True)]


def _grown(
    legs: Sequence[tuple[Leg, ...]], organisms: tuple[Organism, ...], ceiling: float, *, cooked: bool
) -> tuple[germs.Grown, ...]:
    if not all(legs):
        none = np.zeros(len(legs))
        return tuple(germs.Grown(organism.name, none, none) for organism in organisms)
    return germs.grown([_end_to_end(of_walk) for of_walk in legs], organisms, cooked=cooked, ceiling=ceiling)


def _end_to_end(legs: tuple[Leg, ...]) -> germs.Places:
    """Join stretches that do not touch: what grew in one goes on in the next."""
    spots = germs.places(legs, frozenset())
    steps = np.diff(spots.times_s, prepend=spots.times_s[0])
    begins = np.concatenate([[0], np.cumsum([len(leg.times_s) for leg in legs])[:-1]]).astype(int)
    steps[begins] = 0.0
    return germs.Places(np.cumsum(steps), spots.outside, spots.inside)
