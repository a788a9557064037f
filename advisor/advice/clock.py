"""Clock times beside the plan: no work at night where a wait can be moved, the latest start, the day before."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

from advisor.advice.report import Examiner, Report, examine
from advisor.advice.schedule import late_by, schedule

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase

# Waits that may be made longer, and steps at which nobody has to stand when they begin.
MOVABLE = frozenset({"salt", "brine", "bath", "thaw"})
UNATTENDED = frozenset({"rest", "serve"})
DAY_MINUTES, HOUR = 1440.0, 60.0
MINUTE = 60.0
QUARTER_HOUR = 15.0
MOST_MOVES = 4


@dataclass(frozen=True, slots=True)
class Before:
    """What the clock says beside the steps.

    ``latest`` is the latest moment to begin with the plan as it is, ``shorter`` the same with the salting as short as
    salt allows, ``unsalted`` with the salt put on just before the heat: no other step can be left out. These two are
    None where that is no shorter, or not clean.
    ``day_before`` are the steps that can be done by the end of the day before service, ``night`` those that fall into
    the night all the same.
    """

    latest: datetime | None
    day_before: tuple[int, ...]
    night: tuple[int, ...]
    shorter: datetime | None = None
    unsalted: datetime | None = None


def beside(report: Report, rulebase: Rulebase) -> Before:
    """What to know of the clock before one begins."""
    slots = schedule(report, rulebase)
    serve = report.case.serve
    if serve is None or not slots:
        return Before(None, (), ())
    midnight = serve.replace(hour=0, minute=0, second=0, microsecond=0)
    before = tuple(
        slot.step
        for slot in slots
        if slot.begins is not None and slot.begins < midnight and report.case.steps[slot.step].action != "serve"
    )
    shortest, unsalted = _starts(report, rulebase, (rulebase.limit("plan_salt_shortest"), 0.0))
    return Before(slots[0].begins, before, night_steps(report, rulebase), shortest, unsalted)


def _starts(report: Report, rulebase: Rulebase, minutes: tuple[float, ...]) -> tuple[datetime | None, ...]:
    """Start with the salting cut to each of some lengths [min]; None where it is no shorter, or not clean then."""
    index = next((i for i, step in enumerate(report.case.steps) if step.action == "salt"), None)
    if index is None or report.verdict != "go":
        return (None,) * len(minutes)
    step = report.case.steps[index]

    def start(length: float) -> datetime | None:
        if length >= step.number("minutes"):
            return None
        hurried = report.case.with_step(index, step.with_value("minutes", length, origin="from the rulebase"))
        tried = examine(hurried, rulebase, "reference")
        # What was salted for less time is a little colder, so that the heat may take a little longer.
        return schedule(tried, rulebase)[0].begins if tried.verdict == "go" else None

    return tuple(map(start, minutes))


def salted_less(report: Report, now: datetime, examine: Examiner) -> Report:
    """A clean plan that is late, with its salting cut: by what it is late, to its shortest, to none before the heat.

    The first cut that is clean and in time is taken. Where none is in time it is the last clean one, the earliest.
    """
    late = late_by(schedule(report, examine.rulebase), now)
    index = next((i for i, step in enumerate(report.case.steps) if step.action == "salt"), None)
    if late is None or index is None or report.verdict != "go":
        return report
    step, shortest = report.case.steps[index], examine.rulebase.limit("plan_salt_shortest")
    least = step.number("minutes") - ceil(late.total_seconds() / MINUTE) - QUARTER_HOUR
    for minutes in dict.fromkeys((max(least, shortest), shortest, 0.0)):
        if minutes >= step.number("minutes"):
            continue
        tried = examine(report.case.with_step(index, step.with_value("minutes", minutes, origin="from the rulebase")))
        if tried.verdict == "go":
            report = tried
            if late_by(schedule(tried, examine.rulebase), now) is None:
                break
    return report


def night_steps(report: Report, rulebase: Rulebase) -> tuple[int, ...]:
    """Steps that somebody has to begin by hand at night."""
    return tuple(
        slot.step
        for slot in schedule(report, rulebase)
        if slot.begins is not None
        and report.case.steps[slot.step].action not in UNATTENDED
        and _by_night(slot.begins, rulebase)
    )


def _minute_of_day(moment: datetime) -> float:
    return moment.hour * HOUR + moment.minute


def _by_night(moment: datetime, rulebase: Rulebase) -> bool:
    minute = _minute_of_day(moment)
    return minute >= rulebase.limit("plan_night_from") or minute < rulebase.limit("plan_night_to")


def out_of_the_night(report: Report, now: datetime, rulebase: Rulebase, examine: Examiner | None = None) -> Report:
    """Make waits longer, or the salting shorter, so that nobody has to work at night; the plan must stay clean."""
    examine = examine or Examiner(rulebase)
    for _ in range(MOST_MOVES):
        night = night_steps(report, rulebase)
        if not night or report.verdict != "go":
            return report
        moved = _moved(report, night[-1], now, examine)
        if moved is None:
            return report
        report = moved
    return report


def _moved(report: Report, step: int, now: datetime, examine: Examiner) -> Report | None:
    """The plan with one wait changed so that a step at night comes before the night, or after it."""
    rulebase = examine.rulebase
    slot = next(slot for slot in schedule(report, rulebase) if slot.step == step)
    night = len(night_steps(report, rulebase))
    if slot.begins is None:
        return None
    minute = _minute_of_day(slot.begins)
    earlier = (minute - rulebase.limit("plan_night_from")) % DAY_MINUTES
    later = (rulebase.limit("plan_night_to") - minute) % DAY_MINUTES
    for index in range(step, len(report.case.steps)):
        action = report.case.steps[index].action
        if action not in MOVABLE:
            continue
        for change in (earlier + QUARTER_HOUR, -later):
            case = _changed(report.case, index, change, rulebase)
            if case is None:
                continue
            tried = examine(case)
            in_time = late_by(schedule(tried, rulebase), now) is None
            if tried.verdict == "go" and in_time and len(night_steps(tried, rulebase)) < night:
                return tried
    return None


def _changed(case: Case, index: int, minutes: float, rulebase: Rulebase) -> Case | None:
    """The case with a wait made longer or shorter; only the salting may be cut, and not below its shortest."""
    step = case.steps[index]
    if minutes > rulebase.limit("plan_night_most_wait"):
        return None
    length = step.number("minutes") + minutes
    if minutes < 0 and (step.action != "salt" or length < rulebase.limit("plan_salt_shortest")):
        return None
    return replace(
        case, steps=case.with_step(index, step.with_value("minutes", length, origin="from the rulebase")).steps
    )
