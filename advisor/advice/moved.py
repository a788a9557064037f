"""What moved between two plans: the way, the verdict, the steps, the findings and the length."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.advice.schedule import schedule
from advisor.units import write_span

if TYPE_CHECKING:
    from advisor.advice.build import Built
    from advisor.case.facts import Value
    from advisor.case.model import PlanStep
    from advisor.knowledge.rulebase import Rulebase

LEAST_MINUTES = 1.0


def moved(before: Built, after: Built, rulebase: Rulebase) -> tuple[str, ...]:
    """Sentences for all that is not as it was; one that says so when nothing is."""
    lines: list[str] = []
    if before.best.way.name != after.best.way.name:
        lines.append(f"The way: {after.best.way.name}, before {before.best.way.name}.")
    if before.report.verdict != after.report.verdict:
        lines.append(f"The verdict: {after.report.verdict}, before {before.report.verdict}.")
    if before.report.case.serve != after.report.case.serve:
        lines.append("The time of service.")
    old, new = before.report.computed.case.steps, after.report.computed.case.steps
    gone = [step.action for step in old if step.action not in {s.action for s in new}]
    come = [step.action for step in new if step.action not in {s.action for s in old}]
    lines += [f"Step no longer there: {action.replace('_', ' ')}." for action in gone]
    lines += [f"New step: {action.replace('_', ' ')}." for action in come]
    same = {step.action: step for step in old}
    lines += [
        f"Step {number} ({step.action.replace('_', ' ')}): {what}."
        for number, step in enumerate(new, start=1)
        if step.action in same and (what := _differs(same[step.action], step))
    ]
    length = [slots[-1].end if (slots := schedule(built.report, rulebase)) else 0.0 for built in (before, after)]
    if abs(length[1] - length[0]) >= LEAST_MINUTES:
        lines.append(f"In all {write_span(length[1])}, before {write_span(length[0])}.")
    told = [{f.rule.rule.id: f.says for f in built.report.inference.findings} for built in (before, after)]
    lines += [f"No longer said: {told[0][rule]} [{rule}]" for rule in told[0] if rule not in told[1]]
    lines += [f"Now said: {told[1][rule]} [{rule}]" for rule in told[1] if rule not in told[0]]
    return tuple(lines) or ("Nothing moved.",)


def _value(step: PlanStep, name: str) -> Value:
    return step.given[name].value if name in step.given else None


def _differs(old: PlanStep, new: PlanStep) -> str:
    names = {**old.given, **new.given}
    parts = [name.replace("_", " ") for name in names if _value(old, name) != _value(new, name)]
    if [(i.what, i.grams) for i in old.ingredients] != [(i.what, i.grams) for i in new.ingredients]:
        parts.append("amounts")
    return ", ".join(sorted(parts)) + " changed" if parts else ""
