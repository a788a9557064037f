"""A thaw in running water, for a plan that would be late with its thaw in the fridge."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING

from advisor.advice.changes import QUARTER_HOUR
from advisor.advice.layout import water_thaw
from advisor.case.model import PlanStep
from advisor.course.thawing import thaw_minutes

if TYPE_CHECKING:
    from advisor.advice.report import Examiner, Report


def thawed_in_water(report: Report, examine: Examiner) -> Report:
    """A clean plan with its thaw moved from the fridge to running water, where that is clean too and shorter.

    The thaw is as long as its slow end takes, in whole quarter hours. A piece that would lie in the water for longer
    than raw meat may be out stays in the fridge.
    """
    case, rulebase = report.case, examine.rulebase
    index = next((i for i, step in enumerate(case.steps) if step.action == "thaw"), None)
    if index is None or report.verdict != "go" or case.steps[index].word("place") == "running_water":
        return report
    wet = PlanStep("thaw", water_thaw(case, rulebase))
    least = wet.number("minutes")
    needs = ceil(thaw_minutes(replace(case, steps=(wet,)), rulebase) / QUARTER_HOUR) * QUARTER_HOUR
    if needs > rulebase.limit("raw_out_max"):
        return report
    wet = wet.with_value("minutes", max(least, needs), origin="from the rulebase")
    tried = examine(case.with_step(index, wet))
    return tried if tried.verdict == "go" else report
