"""The time in which raw meat lies in the fridge until the plan begins, counted back from service."""

from __future__ import annotations

from datetime import UTC, datetime
from math import inf
from typing import TYPE_CHECKING

from advisor.case.model import Given
from advisor.course.roles import SEARS
from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.walk import Course
    from advisor.knowledge.rulebase import Rulebase

FRIDGE_TIME = "fridge_time"


def lengths(case: Case, course: Course | None) -> list[float]:
    """Length of each step of a completed case, at the slow end where it was walked [min]."""
    found: list[float] = []
    for index, step in enumerate(case.steps):
        leg = course.slow.of_step(index) if course is not None else None
        turns = step.number("sides", 1.0) if step.action in SEARS else 1.0
        found.append(leg.minutes if leg is not None else step.number("minutes") * turns)
    return found


def minutes_between(first: datetime, last: datetime) -> float:
    """Time between two moments [min], below nought when the second is the earlier; clocks may have been put back."""
    if first.tzinfo is not None and last.tzinfo is not None:
        first, last = first.astimezone(UTC), last.astimezone(UTC)
    else:
        first, last = first.replace(tzinfo=None), last.replace(tzinfo=None)
    return (last - first).total_seconds() / MINUTE


def with_wait(case: Case, course: Course, rulebase: Rulebase) -> Case:
    """A completed case whose raw meat is older by the wait until its first step; what is frozen keeps."""
    lain = case.given("piece", FRIDGE_TIME)
    frozen = case.word("piece", "start_state") == "frozen"
    if case.since is None or case.serve is None or frozen or lain is None or lain.value is None:
        return case
    wait = minutes_between(case.since, case.serve) - sum(lengths(case, course))
    if wait <= 0:
        return case
    most = rulebase.vocabulary["piece"][FRIDGE_TIME].high or inf
    return case.with_value("piece", FRIDGE_TIME, Given(min(most, lain.number + wait), lain.origin, note=lain.note))
