"""A long heat that ends by the probe may be done long before its slow end: when to begin to read, and what then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from advisor.advice.report import examine
from advisor.advice.schedule import schedule
from advisor.case.model import Given, PlanStep
from advisor.course.roles import COOKS, SEARS, last_cook

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase


@dataclass(frozen=True, slots=True)
class Early:
    """A step that may be done early.

    Attributes
    ----------
    step : int
        Index of the step.
    after_min, sooner_min : float
        Time from its start to the fast end, and from the fast end to the slow one [min].
    from_ : datetime or None
        The fast end by the clock.
    hold_c : float
        Least heat at which it may be held hot meanwhile [°C].
    browner : bool
        Held there it goes on cooking.
    hold_after : int or None
        Step after which it may be held hot for all of that time: this one, or the last heat of the plan; None for none.
    broken : str
        The rule that the plan breaks when it is held hot for that time; empty where it breaks none.
    """

    step: int
    after_min: float
    sooner_min: float
    from_: datetime | None
    hold_c: float
    browner: bool
    hold_after: int | None
    broken: str


def early(report: Report, rulebase: Rulebase) -> Early | None:
    """What is known of the heat of a clean plan that may be done early; None where its ends lie close together."""
    if report.verdict != "go":
        return None
    steps = report.computed.case.steps
    by_probe = [i for i, step in enumerate(steps) if "until_core" in step.given and step.action in COOKS - SEARS]
    if not by_probe:
        return None
    at = by_probe[-1]
    spent = report.inference.facts.steps[at].get("minutes")
    if spent is None or spent.low is None or spent.high is None:
        return None
    sooner = spent.high - spent.low
    if sooner < rulebase.limit("plan_early_told"):
        return None
    slot = schedule(report, rulebase)[at]
    hold_c = rulebase.limit("hot_hold_min")
    last = last_cook(report.computed.case)
    places = tuple(dict.fromkeys((at, at if last is None else last)))
    rules = [_broken(report, place, sooner, hold_c, rulebase) for place in places]
    after = next((place for place, rule in zip(places, rules, strict=True) if not rule), None)
    return Early(
        step=at,
        after_min=spent.low,
        sooner_min=sooner,
        from_=slot.begins + timedelta(minutes=spent.low) if slot.begins is not None else None,
        hold_c=hold_c,
        browner=steps[at].number("until_core") < hold_c,
        hold_after=after,
        broken="" if after is not None else rules[0],
    )


def _broken(report: Report, at: int, minutes: float, hold_c: float, rulebase: Rulebase) -> str:
    """The rule that stands in the way of holding it hot after a step, at the least heat that is allowed."""
    held = {"place": Given("hot_cupboard"), "temperature": Given(hold_c), "minutes": Given(minutes)}
    tried = examine(report.case.with_inserted(at + 1, PlanStep("hot_hold", held)), rulebase, "reference")
    return "" if tried.verdict == "go" else tried.problems[0].rule.rule.id
