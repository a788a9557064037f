"""Why a question is asked: the rules that need its answer."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING

from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")


@dataclass(frozen=True, slots=True)
class RuleNeed:
    """A rule that needs an answer: its id, what it decides, and why it holds."""

    rule: str
    decides: str
    because: str


def needs(question: Question, rulebase: Rulebase, now: datetime) -> tuple[RuleNeed, ...]:
    """Rules that name the fact a question asks for, or a computed fact that hangs on it; the gravest first."""
    wanted = {question.fact}
    if question.fact == "steps softeners":
        wanted |= {"guests softener", "course enzyme_used", "step live_enzyme_now", "course mush_share"}
    address = question.fact.replace(" ", ".")
    for name, inputs in _inputs(rulebase, now):
        if address in inputs:
            wanted.add(name)
    found = [
        checked
        for checked in rulebase.rules.values()
        if any(f"{c.subject} {c.fact}" in wanted for c in conditions_of(checked.alternatives))
    ]
    return tuple(_need(checked) for checked in sorted(found, key=_grave))


def _grave(checked: CheckedRule) -> int:
    signal = checked.rule.concludes.signal
    return SIGNALS.index(signal) if signal is not None else len(SIGNALS)


def _need(checked: CheckedRule) -> RuleNeed:
    conclusion = checked.rule.concludes
    decides = conclusion.verdict or conclusion.technique or f"{conclusion.fact}: {conclusion.value}"
    decides = decides.replace("_", " ")
    return RuleNeed(
        checked.rule.id,
        f"{decides} ({conclusion.signal})" if conclusion.signal else decides,
        checked.rule.because,
    )


def _inputs(rulebase: Rulebase, now: datetime) -> tuple[tuple[str, frozenset[str]], ...]:
    """Computed facts of a worked case, each with the facts it was computed from."""
    text = resources.files("scenarios").joinpath("demo.yaml").read_text(encoding="utf-8")
    computed = course_facts(read_plan(text, rulebase, now), rulebase)
    return tuple(
        (
            "step " + fact.name if fact.subject.startswith("step") else f"{fact.subject} {fact.name}",
            frozenset(fact.inputs),
        )
        for fact in computed.facts.all()
    )
