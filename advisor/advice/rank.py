"""Puts plans in order: bite, time, loss and work by hand, each weighed by a figure of the rulebase."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.advice.schedule import schedule

if TYPE_CHECKING:
    from advisor.advice.report import Report
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
    """

    bite: float
    minutes: float
    busy: float
    loss: float
    total: float


def score(report: Report, rulebase: Rulebase) -> Score:
    """Weigh one plan."""
    limit = rulebase.limit
    slots = schedule(report, rulebase)
    minutes = slots[-1].end if slots else 0.0
    busy = sum(slot.busy for slot in slots)
    bite = middle("chew", report)
    if bite is None:
        shear = middle("tender", report)
        bite = shear / rulebase.parameter("tender_below_kgf") if shear is not None else 1.0
    loss = middle("loss", report) or 0.0
    total = (
        limit("plan_weigh_bite") * bite
        + limit("plan_weigh_day") * minutes / DAY
        + limit("plan_weigh_loss") * loss / PERCENT
        + limit("plan_weigh_hour") * busy / HOUR
    )
    return Score(bite, minutes, busy, loss, total)


def middle(name: str, report: Report) -> float | None:
    """Middle of a band that the course gives by its ends; None where there is no forecast."""
    ends = [report.computed.facts.course.get(f"{name}_{end}") for end in ("low", "high")]
    values = [fact.value for fact in ends if fact is not None and isinstance(fact.value, float)]
    return sum(values) / 2 if len(values) == 2 else None  # noqa: PLR2004 - both ends
