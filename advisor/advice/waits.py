"""Raw meat that gets too old before it is cooked: by the wait before the plan, or by its thaw."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from advisor.advice.schedule import schedule, time_left
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from advisor.advice.report import Examiner, Report
    from advisor.infer.proof import Finding
    from advisor.knowledge.rulebase import Rulebase

# Services that are tried lie so far apart.
QUARTER = timedelta(minutes=15)
RAW_COLD = "raw_cold_minutes"


def wait(report: Report, now: datetime, rulebase: Rulebase) -> timedelta | None:
    """Time from now until the first step begins; None when no service was named, or when there is none left."""
    left = time_left(schedule(report, rulebase), now)
    return left if left is not None and left >= timedelta(minutes=1) else None


def _frozen(report: Report) -> bool:
    return report.computed.case.word("piece", "start_state") == "frozen"


def thawed_too_long(report: Report) -> bool:
    """Whether the meat is raw in the fridge for too long even if it lay there for its thaw alone."""
    course, facts = report.computed.course, report.inference.facts.course
    if course is None or not _frozen(report) or RAW_COLD not in facts:
        return False
    lies = zip(report.computed.roles, report.computed.case.steps, strict=True)
    others = {i for i, (role, step) in enumerate(lies) if role == "raw_hold" and step.action != "thaw"}
    least = float(facts[RAW_COLD].value or 0.0) - sum(leg.minutes for leg in course.slow.legs if leg.step in others)
    bounds = [
        bound
        for finding in report.problems
        for one in conditions_of(finding.rule.alternatives)
        if one.fact == RAW_COLD and (bound := one.bound) is not None
    ]
    return any(least > bound for bound in bounds)


def too_long(report: Report) -> frozenset[str]:
    """Rules that say of a plan that its meat is raw in the fridge for too long."""
    return frozenset(finding.rule.rule.id for finding in report.problems if kept_too_long(finding))


def waits_too_long(report: Report, rulebase: Rulebase) -> bool:
    """Whether the meat is kept too long, and waits for its plan: what is shortened only begins later."""
    since = report.case.since
    late = since is not None and any(map(kept_too_long, report.problems)) and not _frozen(report)
    return late and since is not None and wait(report, since, rulebase) is not None


def kept_too_long(finding: Finding) -> bool:
    """Whether a finding says that the meat is raw in the fridge for too long."""
    return any(f"{one.subject} {one.fact}" == f"course {RAW_COLD}" for one in conditions_of(finding.rule.alternatives))


def keeps_until(report: Report, now: datetime, look: Examiner) -> datetime | None:
    """The latest service, in whole quarter hours, for which the raw meat keeps; None where another thing is wrong too.

    Parameters
    ----------
    report : Report
        The plan, with the time until its first step counted.
    now : datetime
        Local time.
    look : Examiner
        Who examines the plan as it would be for a sooner service.
    """
    if _frozen(report) or not report.problems or not all(map(kept_too_long, report.problems)):
        return None
    # Where not even a plan that begins now is soon enough, one without the time for its salt may be.
    return _latest(report, now, look) or next(
        (found for one in _salted_late(report, look) if (found := _latest(one, now, look)) is not None), None
    )


def _salted_late(report: Report, look: Examiner) -> Iterator[Report]:
    """The plan with its salt put on just before the heat, where it was to lie in it."""
    for index, step in enumerate(report.case.steps):
        if step.action == "salt" and step.number("minutes") > 0:
            yield look(report.case.with_step(index, step.with_value("minutes", 0.0, origin="from the rulebase")))
            return


def _latest(report: Report, now: datetime, look: Examiner) -> datetime | None:
    """The latest service at which a plan is good, that is kept too long as it stands; none where it is never good."""
    left, serve = wait(report, now, look.rulebase), report.case.serve
    if left is None or serve is None:
        return None

    def good(quarters: int) -> bool:
        return look(replace(report.case, serve=serve - quarters * QUARTER)).verdict == "go"

    # The fewest quarters of an hour by which it is sooner and good; a sooner service is never worse.
    least, most = 0, int(left / QUARTER)
    if not good(most):
        return None
    while most - least > 1:
        middle = (least + most) // 2
        least, most = (least, middle) if good(middle) else (middle, most)
    return _on_the_quarter(serve - most * QUARTER)


def _on_the_quarter(moment: datetime) -> datetime:
    whole = moment.replace(second=0, microsecond=0)
    return whole - timedelta(minutes=whole.minute % (QUARTER.seconds // 60))
