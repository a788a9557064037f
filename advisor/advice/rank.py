"""Puts plans in order: bite, time, loss, salt and work by hand, each weighed by a figure of the rulebase."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.advice.schedule import schedule
from advisor.course.roles import COOKS, SEARS

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.advice.schedule import Slot
    from advisor.knowledge.rulebase import Rulebase

HOUR, DAY, PERCENT = 60.0, 1440.0, 100.0


@dataclass(frozen=True, slots=True)
class Score:
    """What a plan costs and gives; less is better.

    Attributes
    ----------
    bite : float
        Middle of the forecast of chewing, against just tender meat.
    minutes, busy : float
        From the first step to service, and of it hands on [min].
    loss : float
        Middle of the forecast of the weight lost [%].
    total : float
        All of it, weighed.
    brown_c : float or None
        The middle, where it should be pink and is likely to be brown through [°C].
    """

    bite: float
    minutes: float
    busy: float
    loss: float
    total: float
    brown_c: float | None = None


def score(report: Report, rulebase: Rulebase) -> Score:
    """Weigh one plan."""
    limit = rulebase.limit
    slots = schedule(report, rulebase)
    minutes = slots[-1].end if slots else 0.0
    busy = sum(_usual_busy(slot, report) for slot in slots)
    bite = middle("chew", report)
    if report.computed.case.word("piece", "form") == "minced":
        # The mincer has cut it short; how tough the cut was no longer tells one way from another.
        bite = 1.0
    if bite is None:
        shear = middle("tender", report)
        bite = shear / rulebase.parameter("tender_below_kgf") if shear is not None else 1.0
    loss = middle("loss", report) or 0.0
    total = (
        limit("plan_weigh_bite") * bite
        + limit("plan_weigh_day") * minutes / DAY
        + limit("plan_weigh_loss") * loss / PERCENT
        + limit("plan_weigh_hour") * busy / HOUR
        + limit("plan_weigh_salt") * _salt_missing(report)
    )
    brown = _brown_at(report, rulebase)
    if brown is not None:
        total += limit("plan_weigh_not_pink")
    return Score(bite, minutes, busy, loss, total, brown)


def _salt_missing(report: Report) -> float:
    """Share of the wished salt that gets to the meat from no source; nought where none was wished."""
    wished, salt = report.computed.case.number("piece", "salt_target"), report.computed.salt
    return max(0.0, 1.0 - (salt.low_pct + salt.pct) / 2.0 / wished) if wished > 0 else 0.0


def _usual_busy(slot: Slot, report: Report) -> float:
    """Hands-on minutes of a step [min]; of a pan that ends by the probe what it usually takes, not the slow end."""
    course, step = report.computed.course, report.computed.case.steps[slot.step]
    leg = course.typical.of_step(slot.step) if course is not None else None
    by_probe = step.action in SEARS and "until_core" in step.given
    return min(slot.busy, leg.minutes) if by_probe and leg is not None else slot.busy


def _brown_at(report: Report, rulebase: Rulebase) -> float | None:
    """The middle [°C], where it should be pink and is likely to be brown through; None where it is not."""
    peak = _peak(report, COOKS)
    return peak if peak is not None and peak > rulebase.limit("pink_most") else None


def greyed_at(report: Report, rulebase: Rulebase) -> float | None:
    """The middle [°C], where it should be pink and is likely to lose it after the heat; None where it is not."""
    peak, later = _peak(report, COOKS), _peak(report)
    most = rulebase.limit("pink_most")
    return later if later is not None and peak is not None and peak <= most < later else None


def _peak(report: Report, among: frozenset[str] | None = None) -> float | None:
    """The hottest that the middle is likely to get [°C], in some steps or in all; None where pink is not wished."""
    case, course = report.computed.case, report.computed.course
    if course is None or case.word("guests", "want") != "pink":
        return None
    legs = [leg for leg in course.typical.legs if among is None or case.steps[leg.step].action in among]
    return max((float(leg.centre_c.max()) for leg in legs), default=0.0)


def middle(name: str, report: Report) -> float | None:
    """Middle of a band that the course gives by its ends; None where there is no forecast."""
    ends = [report.computed.facts.course.get(f"{name}_{end}") for end in ("low", "high")]
    values = [fact.value for fact in ends if fact is not None and isinstance(fact.value, float)]
    return sum(values) / 2 if len(values) == 2 else None  # noqa: PLR2004 - both ends
