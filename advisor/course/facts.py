"""The facts a case comes down to: what was said, what was assumed, and what the course computed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from advisor.case.complete import complete, cut_of, missing
from advisor.case.facts import Fact, FactSet, Value
from advisor.course import germs, official
from advisor.course.plan_facts import plan_facts, step_facts
from advisor.course.roles import COOKS, SEARS, Lies, last_cook, lies, softeners
from advisor.course.seasoning import Seasoned, seasoned
from advisor.course.softening import softened
from advisor.course.texture import texture
from advisor.course.walk import MINUTE, Course, Phase, Walked, walk
from advisor.science.stays import first_time_above, time_between

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.walk import Leg
    from advisor.knowledge.records import Organism
    from advisor.knowledge.rulebase import Rulebase


FACES = 2.0


@dataclass(frozen=True, slots=True)
class Computed:
    """A completed case with its course, its roles and its facts; ``course`` is None when a time or heat is missing."""

    case: Case
    course: Course | None
    roles: tuple[str, ...]
    facts: FactSet
    salt: Seasoned


def course_facts(case: Case, rulebase: Rulebase) -> Computed:
    """Complete a case, walk it, and compute every fact the rules may ask for.

    Parameters
    ----------
    case : Case
        As read or as answered; gaps are filled by assumption here.
    rulebase : Rulebase
        The knowledge.

    Returns
    -------
    Computed
        With a `FactSet` in the fixed units of the vocabulary. Where a time or a heat is missing that nothing may
        replace, no course is walked and ``course.unplaced`` names what is missing.
    """
    full = complete(case, rulebase)
    gaps = missing(full)
    walkable = not gaps and bool(full.steps) and full.number("piece", "thickness") > 0
    course = walk(full, rulebase) if walkable else None
    salt = seasoned(full, course.typical if course is not None else None, rulebase)
    laid = lies(full, rulebase)
    roles = _roles(full, course, rulebase)
    values = dict(plan_facts(full, salt, rulebase))
    if course is not None:
        values |= _walked_facts(full, course, roles, laid, rulebase)
    for index, name in gaps[:1]:
        step = full.steps[index]
        lacks = "time" if name == "minutes" else "temperature"
        says = f"step {index + 1} ({step.action.replace('_', ' ')}) has no {lacks}"
        values["unplaced"] = (says, "advisor.case.complete.missing", ())
    facts = FactSet(
        piece=_said("piece", full, rulebase),
        guests=_said("guests", full, rulebase),
        course={
            name: Fact("course", name, value, "computed", by=by, inputs=inputs)
            for name, (value, by, inputs) in values.items()
        },
        steps=tuple(
            step_facts(index, full, roles[index], laid[index], course, rulebase) for index in range(len(full.steps))
        ),
    )
    return Computed(full, course, roles, facts, salt)


def _said(subject: str, case: Case, rulebase: Rulebase) -> dict[str, Fact]:
    """Facts of the piece or the guests; those a rule concludes begin at their default."""
    given = case.piece if subject == "piece" else case.guests
    facts = {
        name: Fact(subject, name, entry.value, entry.origin, as_written=entry.as_written, note=entry.note)
        for name, entry in given.items()
    }
    for name, entry in rulebase.vocabulary[subject].items():
        if name not in facts and entry.default is not None:
            facts[name] = Fact(subject, name, entry.default, "from the rulebase")
    if subject == "piece":
        cut = cut_of(case, rulebase)
        for name, value in (("toughness", cut.toughness), ("collagen", cut.collagen), ("grain", cut.grain)):
            facts[name] = Fact(subject, name, value, "from the rulebase", note=cut.name, inputs=("piece.cut",))
    return facts


def _roles(case: Case, course: Course | None, rulebase: Rulebase) -> tuple[str, ...]:
    """Role of each step. Meat counts as raw while a cook is still to come and the middle has not met the kill floor."""
    last, floor, cold = last_cook(case), rulebase.no_kill_credit_below_c, rulebase.limit("cold_hold_max")
    roles: list[str] = []
    warmed = False
    for index, step in enumerate(case.steps):
        leg = course.slow.of_step(index) if course is not None else None
        raw = last is None or (index < last and not warmed)
        if step.action in COOKS:
            roles.append("cook")
            warmed = warmed or (leg is not None and float(np.max(leg.centre_c)) >= floor)
        elif step.action == "hot_hold":
            roles.append("hot_hold" if not raw else "raw_hold")
        elif raw:
            waits = step.action in ("hold", "marinate", "salt", "brine", "thaw", "rest", "chill", "ice")
            roles.append("raw_hold" if waits else "work")
        elif step.action in ("ice", "chill") or (
            step.action == "hold" and leg is not None and float(leg.centre_c[0]) > cold and leg.medium_c <= cold
        ):
            roles.append("cool")
        else:
            roles.append("cooked_hold" if step.action in ("hold", "rest") else "work")
    return tuple(roles)


def phases(roles: tuple[str, ...]) -> tuple[Phase, ...]:
    """Unbroken stretches of heating: from a cooking step to the step before the next chill or raw hold."""
    found: list[Phase] = []
    begin: int | None = None
    for index, role in enumerate((*roles, "end")):
        if role == "cook" and begin is None:
            begin = index
        elif role in ("cool", "raw_hold", "end") and begin is not None:
            heats = max(i for i in range(begin, index) if roles[i] == "cook")
            found.append(Phase(begin, index - 1, heats))
            begin = None
    return tuple(found)


Values = dict[str, tuple[Value, str, tuple[str, ...]]]


def _walked_facts(
    case: Case, course: Course, roles: tuple[str, ...], laid: tuple[Lies, ...], rulebase: Rulebase
) -> Values:
    from advisor.course.afterwards import cooling_facts, time_facts

    inputs = (
        "piece.thickness",
        "piece.start_temperature",
        *(f"step{n}.{x}" for n in range(1, len(roles) + 1) for x in ("temperature", "minutes")),
    )
    values: Values = {}

    def put(name: str, value: Value, by: str) -> None:
        values[name] = (value, by, inputs)

    heated = phases(roles)
    animal = case.word("piece", "animal")
    killed = germs.kill(course.cold_start, heated, animal, rulebase)
    put("kill_share", killed.share, "advisor.science.lethality.log_kill")
    put("kill_germ", killed.germ, "advisor.course.germs.kill")
    bird = {"chicken": ("chicken_7_log",), "turkey": ("turkey_7_log",)}.get(animal, ("chicken_7_log", "turkey_7_log"))
    tables = {
        "broken": official.rows(("non_intact_chart", "meat_6_5_log"), rulebase),
        "whole": official.rows(("intact_chart", "roast_table"), rulebase),
        "bird": official.longest(bird, rulebase) + official.rows(("poultry_165",), rulebase),
    }
    for name, table in tables.items():
        stand = official.standing(course.cold_start, heated, table)
        by = "advisor.course.official.standing"
        put(f"{name}_share", stand.share, by)
        put(f"{name}_row", stand.row_c, by)
        put(f"{name}_needs", stand.needs_min, by)
        put(f"{name}_held", stand.held_min, by)
    alone_rows = (
        ("chart_share", "non_intact_chart"),
        ("whole_chart_share", "intact_chart"),
        ("bird_chart_share", "poultry_165"),
    )
    for name, alone in alone_rows:
        put(
            name,
            official.standing(course.cold_start, heated, official.rows((alone,), rulebase)).share,
            "advisor.course.official.standing",
        )
    put("core_peak", _core_peak(course.cold_start, heated), "advisor.science.conduction.centre")
    put("surface_peak", _surface_peak(case, course.slow), "advisor.science.conduction.surface")
    for name, value in _growth(case, course.slow, roles, laid, rulebase).items():
        put(name, value, "advisor.science.growth.log_growth")
    for name, value in _come_up(case, course.slow, roles, rulebase).items():
        put(name, value, "advisor.science.stays.time_between")
    for name, value in {
        **cooling_facts(course.slow, roles, rulebase),
        **time_facts(case, course.slow, roles, laid, rulebase),
    }.items():
        put(name, value, "advisor.course.afterwards")
    soft = softened(case, course.typical, softeners(case, rulebase), rulebase)
    put("enzyme_work", soft.work, "advisor.science.enzyme.enzyme_work")
    put(
        "mush_share",
        soft.work / (rulebase.parameter("half_work") * rulebase.parameter("mush_work_factor")),
        "advisor.science.enzyme.enzyme_work",
    )
    put("enzyme_left", soft.left, "advisor.science.enzyme.remaining_activity")
    put("enzyme_bath_minutes", soft.hot_minutes, "advisor.science.enzyme.remaining_activity")
    put("enzyme_depth", soft.depth_mm, "advisor.science.salt.penetration_depth_m")
    feel = texture(case, course.typical, soft, rulebase)
    put("collagen_left", feel.collagen_left, "advisor.science.texture.collagen_remaining")
    put("tender_low", feel.shear_low, "advisor.science.texture.tenderness_index")
    put("tender_high", feel.shear_high, "advisor.science.texture.tenderness_index")
    put("loss_low", feel.loss_low, "advisor.science.serving.cook_loss_pct")
    put("loss_high", feel.loss_high, "advisor.science.serving.cook_loss_pct")
    put("hours_over_usual", feel.hold_share, "advisor.course.texture.texture")
    put("sear_rise", _sear_rise(case, course.typical), "advisor.science.conduction.centre")
    return values


def _core_peak(walks: tuple[Walked, ...], heated: tuple[Phase, ...]) -> Value:
    """Highest temperature of the middle while it is heated, at the slower of the walks [°C]."""
    return min((max(float(np.max(phase.core(walked))) for phase in heated) for walked in walks), default=None)


def _surface_peak(case: Case, walked: Walked) -> Value:
    """Highest temperature that every face has reached [°C].

    Sears of single faces count once they add up to both; a face that no sear has touched is as the rest of the
    plan left it. None only when nothing is cooked.
    """
    cooks = [leg for leg in walked.legs if case.steps[leg.step].action in COOKS]
    if not cooks:
        return None
    sears = [leg for leg in cooks if case.steps[leg.step].action in SEARS]
    faces = sum(case.steps[leg.step].number("sides", 1.0) for leg in sears)
    first = min((leg.step for leg in sears), default=len(case.steps))
    touched = (
        walked.legs if faces >= FACES else (*walked.between(0, first - 1), *(leg for leg in cooks if leg not in sears))
    )
    peaks = [float(np.max(leg.surface_c)) for leg in touched]
    return max(peaks, default=float(walked.legs[0].surface_c[0]))


def _sear_rise(case: Case, walked: Walked) -> float:
    """How far the middle rises from the start of the last sear to the end of the plan [K]."""
    sear = next((leg for leg in reversed(walked.legs) if case.steps[leg.step].action in SEARS), None)
    if sear is None:
        return 0.0
    return max(0.0, float(np.max(walked.centre(first=sear.step))) - float(sear.centre_c[0]))


def _growth(
    case: Case, walked: Walked, roles: tuple[str, ...], laid: tuple[Lies, ...], rulebase: Rulebase
) -> dict[str, Value]:
    cooks = frozenset(index for index, role in enumerate(roles) if role == "cook")
    floor, ceiling = rulebase.no_kill_credit_below_c, rulebase.limit("growth_ceiling")
    spots = germs.places(walked.legs, cooks)
    outside = germs.until_killed(spots.times_s, spots.outside, floor)
    inside = germs.until_killed(spots.times_s, spots.inside, floor)
    raw = [o for o in rulebase.organisms.values() if "raw" in o.concern]
    staph = [o for o in raw if o.toxin is not None and o.name.startswith("Staphylococcus")]
    out, out_germ = germs.worst_growth(spots.times_s, outside, raw, cooked=False, ceiling=ceiling)
    core, core_germ = germs.worst_growth(spots.times_s, inside, raw, cooked=False, ceiling=ceiling)
    found: dict[str, Value] = {
        "raw_growth_log": out,
        "raw_growth_germ": out_germ,
        "raw_growth_inside_log": core,
        "raw_growth_inside_germ": core_germ,
        "staph_growth_log": germs.worst_growth(spots.times_s, outside, staph, cooked=False, ceiling=ceiling)[0],
        "staph_growth_inside_log": germs.worst_growth(spots.times_s, inside, staph, cooked=False, ceiling=ceiling)[0],
    }
    last = last_cook(case)
    after = tuple(leg for leg in walked.legs if last is not None and leg.step > last)
    found["spore_growth_log"] = _growth_after(after, [rulebase.organisms["c_perfringens"]], ceiling)
    sealed = tuple(
        leg
        for leg in walked.legs
        if laid[leg.step].sealed
        and roles[leg.step] in ("raw_hold", "work", "cooked_hold", "cool", "hot_hold")
        and (leg.medium_c > rulebase.limit("cold_hold_max") or roles[leg.step] == "cool")
    )
    anaerobes = [o for o in rulebase.organisms.values() if "sealed" in o.concern]
    raw_sealed = tuple(leg for leg in sealed if roles[leg.step] in ("raw_hold", "work"))
    found["sealed_growth_log"] = max(
        _growth_after(raw_sealed, anaerobes, ceiling, cooked=False),
        _growth_after(tuple(leg for leg in sealed if roles[leg.step] not in ("raw_hold", "work")), anaerobes, ceiling),
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
    return max(
        germs.worst_growth(times, spots.outside, organisms, cooked=cooked, ceiling=ceiling)[0],
        germs.worst_growth(times, spots.inside, organisms, cooked=cooked, ceiling=ceiling)[0],
    )


def _come_up(case: Case, walked: Walked, roles: tuple[str, ...], rulebase: Rulebase) -> dict[str, Value]:
    """Time in the slow-heating window before the kill floor, at the middle and at the outside [min]."""
    last = last_cook(case)
    if last is None:
        return {}
    low, high = rulebase.limit("come_up_from"), rulebase.no_kill_credit_below_c
    times, core = walked.times(last=last), walked.centre(last=last)
    there = first_time_above(times, core, high)
    upto = times <= there if there is not None else np.ones_like(times, dtype=bool)
    in_core = time_between(times[upto], core[upto], low, high) if upto.sum() > 1 else 0.0
    outside = 0.0
    for leg in walked.between(0, last):
        if roles[leg.step] != "cook":
            outside += leg.minutes * MINUTE if low < leg.medium_c <= high else 0.0
            continue
        reached = first_time_above(leg.times_s, leg.surface_c, high)
        part = leg.times_s <= reached if reached is not None else np.ones_like(leg.times_s, dtype=bool)
        outside += time_between(leg.times_s[part], leg.surface_c[part], low, high) if part.sum() > 1 else 0.0
        if reached is not None:
            break
    return {"come_up_core": max(in_core, 0.0) / MINUTE, "come_up_surface": outside / MINUTE}
