"""Stretches of heating, and the one that makes the meat count as cooked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.course import official
from advisor.course.roles import COOKS, WAITS, heats
from advisor.course.walk import Phase

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.walk import Course
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.stays import DwellRow

BROKEN_TABLES = ("non_intact_chart", "meat_6_5_log")
BIRD_TABLES = {"chicken": ("chicken_7_log",), "turkey": ("turkey_7_log",)}
OTHER_BIRDS = ("chicken_7_log", "turkey_7_log")
BIRDS = frozenset({"chicken", "turkey", "duck", "other_bird"})
WILD = frozenset({"wild_boar", "wild_game"})
THROUGH = ("poultry_165",)


@dataclass(frozen=True, slots=True)
class Stretches:
    """All stretches of heating, and which of them cooks the meat through.

    Attributes
    ----------
    all : tuple of Phase
        In order.
    lethal : Phase or None
        The first that meets a row of the strictest table for the animal in the middle. Only that resets what has
        grown; an incomplete cook does not.
    """

    all: tuple[Phase, ...]
    lethal: Phase | None

    @property
    def target(self) -> Phase | None:
        """The stretch that is meant to kill: the lethal one, else the last."""
        return self.lethal or (self.all[-1] if self.all else None)


def heat_stretches(case: Case, rulebase: Rulebase) -> tuple[Phase, ...]:
    """From a hot step to the last hot step before the next wait; a rest right after it still belongs to it."""
    found: list[Phase] = []
    begin: int | None = None
    ends = 0
    for index, step in enumerate(case.steps):
        if heats(step, rulebase):
            begin = index if begin is None else begin
            ends = index
        elif begin is not None and step.action != "rest" and (step.action in WAITS or step.action in COOKS):
            found.append(_phase(case, begin, ends, rulebase))
            begin = None
    if begin is not None:
        found.append(_phase(case, begin, ends, rulebase))
    return tuple(found)


def _phase(case: Case, begin: int, ends: int, rulebase: Rulebase) -> Phase:
    last = ends
    while last + 1 < len(case.steps) and case.steps[last + 1].action == "rest":
        last += 1
    hot = frozenset(index for index in range(begin, ends + 1) if heats(case.steps[index], rulebase))
    return Phase(begin, last, ends, hot)


def stretches(case: Case, course: Course | None, rulebase: Rulebase) -> Stretches:
    """Find the stretches of heating and the lethal one, from a cold start."""
    found = heat_stretches(case, rulebase)
    if course is None:
        return Stretches(found, None)
    table = strictest(case.word("piece", "animal"), rulebase)
    lethal = (p for p in found if official.standing(course.cold_start, (p,), table).share >= 1)
    return Stretches(found, next(lethal, None))


def strictest(animal: str, rulebase: Rulebase) -> tuple[DwellRow, ...]:
    """Rows that the middle must meet whatever has been done to the meat; an animal not known may be wild game."""
    if animal in BIRDS:
        return bird_rows(animal, rulebase)
    return official.rows(THROUGH if animal in WILD or not animal else BROKEN_TABLES, rulebase)


def bird_rows(animal: str, rulebase: Rulebase) -> tuple[DwellRow, ...]:
    """Rows for a bird: its own plant table, the longer of both for other birds, and the model code's one row."""
    plant = official.longest(BIRD_TABLES.get(animal, OTHER_BIRDS), rulebase)
    return plant + official.rows(THROUGH, rulebase)
