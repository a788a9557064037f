"""Whether ice is left in the middle after a thaw, and how long it takes to go."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from advisor.case.complete import GRAMS, complete
from advisor.course.ends import counts_as_hollow, ends, ever_frozen
from advisor.course.piece import piece
from advisor.course.ranges import Ranged, worst_of
from advisor.course.roles import first_cook
from advisor.course.surroundings import surface_h, surroundings
from advisor.course.walk import MINUTE, start_temperature

if TYPE_CHECKING:
    from advisor.case.model import Case, PlanStep
    from advisor.course.ends import Ends
    from advisor.course.piece import FloatArray
    from advisor.course.walk import Course, Walked
    from advisor.knowledge.rulebase import Rulebase


def thaw_facts(case: Case, course: Course, rulebase: Rulebase) -> dict[str, Ranged]:
    """Facts of the ice, at the slow and at the fast end."""
    first = first_cook(case)
    thaws = [index for index, step in enumerate(case.steps[:first]) if step.action == "thaw"]
    if not ever_frozen(case, rulebase) or not thaws:
        return {"still_frozen": Ranged("no")}
    slow, _, fast = ends(case, rulebase)
    thaw, cool = case.steps[thaws[-1]], _as_cool_as_usual(case, thaws[-1], rulebase)
    needs = [
        {"thaw_needs": minutes}
        for at, walked in ((slow, course.slow), (fast, course.fast))
        if (minutes := _needs(cool, at, walked, thaws[-1], rulebase)) is not None
    ]
    official = _official(case, thaw, rulebase)
    if cool is not case:
        official = max([official, *(need["thaw_needs"] for need in needs)])
    if official:
        needs.append({"thaw_needs": official})
    left = _ice_left(course.slow, first, rulebase) or thaw.number("minutes") < official
    return {"still_frozen": Ranged("yes" if left else "no"), **worst_of(needs)}


def thaw_minutes(case: Case, rulebase: Rulebase) -> float:
    """How long the first step, a thaw, must be for the last ice to go [min]: the longer of the slow and the fast end.

    No course is walked: a plan that is being laid out needs only this.
    """
    full = complete(case, rulebase)
    start = full.number("piece", "start_temperature", start_temperature(full, rulebase))
    slow, _, fast = ends(full, rulebase)
    needs = [_official(full, full.steps[0], rulebase)]
    for at in (slow, fast):
        whole = piece(full, at, rulebase)
        inside = whole.even(start - at.colder_c)
        if isinstance(inside, np.ndarray):
            needs.append(_time_to_thaw(full, at, inside, 0, rulebase) or 0.0)
    return max(needs)


def _as_cool_as_usual(case: Case, index: int, rulebase: Rulebase) -> Case:
    """The case with a thaw no warmer than is usual: a heat that nobody said is the worst for germs, not for ice."""
    step = case.steps[index]
    heat, usual = step.given.get("temperature"), rulebase.media[step.word("place", "counter")].usual_c
    if heat is None or not heat.origin.startswith("assumed") or usual is None or float(usual) >= heat.number:
        return case
    return case.with_step(index, step.with_value("temperature", float(usual), heat.note, heat.origin))


def _official(case: Case, thaw: PlanStep, rulebase: Rulebase) -> float:
    """Official time to thaw a bird that is reckoned as hollow, for ice may fill it; nought for all else [min]."""
    if not counts_as_hollow(case, rulebase):
        return 0.0
    cold = thaw.number("temperature") <= rulebase.limit("cold_hold_max")
    each = rulebase.limit("thaw_bird_kg") if cold else rulebase.limit("thaw_bird_water_kg")
    return each * case.number("piece", "weight") / GRAMS


def _ice_left(walked: Walked, cook: int | None, rulebase: Rulebase) -> bool:
    """Whether any place is frozen when the first cooking step begins, or at the end when nothing is cooked."""
    leg = walked.of_step(cook) if cook is not None else None
    cells = leg.cells[0] if leg is not None else walked.legs[-1].cells[-1]
    return float(np.min(cells)) < rulebase.parameter("freezing_point_c")


def _needs(case: Case, at: Ends, walked: Walked, index: int, rulebase: Rulebase) -> float | None:
    """Time for the last ice to melt where the meat is thawed [min]; None where none melts."""
    leg = walked.of_step(index)
    return None if leg is None else _time_to_thaw(case, at, leg.cells[0], index, rulebase)


def _time_to_thaw(case: Case, at: Ends, cells: FloatArray, index: int, rulebase: Rulebase) -> float | None:
    from advisor.science.freezing import time_to_thaw

    whole = piece(case, at, rulebase)
    medium_c, _ = surroundings(case.steps[index], rulebase, altitude_m=at.altitude_m)
    if whole.ice is None or medium_c <= whole.ice.freezing_c:
        return None
    return time_to_thaw(whole.frozen, cells, medium_c, surface_h(at, case.steps[index], rulebase)) / MINUTE
