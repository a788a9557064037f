"""Laws that rules and facts must keep before anything is inferred from them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from advisor.errors import EngineError

if TYPE_CHECKING:
    from advisor.case.facts import Fact, FactSet
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import CheckedRule, Rulebase


def check_exceptions(rulebase: Rulebase) -> None:
    """Check that no exception takes away what it may not.

    Raises
    ------
    EngineError
        An exception names no rule, or one that only concludes a fact, or is such a rule itself; it would
        silence a safety rule without being one, or because something is not known; exceptions form a circle.
    """
    for rule_id, checked in rulebase.rules.items():
        if not checked.rule.exception_to:
            continue
        target = rulebase.rules.get(checked.rule.exception_to)
        if target is None:
            raise EngineError(f"Rule '{rule_id}' is an exception to '{checked.rule.exception_to}', which is no rule.")
        if checked.rule.concludes.fact or target.rule.concludes.fact:
            raise EngineError(f"Rule '{rule_id}': only findings and techniques have exceptions, not concluded facts.")
        if target.rule.concern == "safety":
            _check_safety_exception(rule_id, checked)
        _check_circle(rulebase, rule_id)


def _check_safety_exception(rule_id: str, checked: CheckedRule) -> None:
    if checked.rule.concern != "safety":
        raise EngineError(f"Rule '{rule_id}' ({checked.rule.concern}) may not take away a safety finding.")
    for alternative in checked.alternatives:
        for condition in alternative.conditions:
            if condition.comparison == "is not known":
                raise EngineError(f"Rule '{rule_id}': '{condition}' may not take away a safety finding.")


def _check_circle(rulebase: Rulebase, start: str) -> None:
    seen = {start}
    rule = rulebase.rules[start].rule
    while rule.exception_to in rulebase.rules:
        if rule.exception_to in seen:
            raise EngineError(f"Rule '{start}': its exceptions form a circle.")
        seen.add(rule.exception_to)
        rule = rulebase.rules[rule.exception_to].rule


def check_conclusions(rulebase: Rulebase) -> None:
    """Check that a rule which speaks of a step, in its conclusion or its texts, binds one.

    Raises
    ------
    EngineError
        It speaks of a step but one of its alternatives names none.
    """
    for rule_id, checked in rulebase.rules.items():
        rule = checked.rule
        caution = rule.caution
        texts = [rule.says, rule.because, rule.beside]
        texts += [caution.hazard, caution.consequence, caution.instead] if caution else []
        speaks = rule.concludes.fact.startswith("step ") or any("{step." in text for text in texts)
        if speaks and not all("step" in alternative.subjects for alternative in checked.alternatives):
            raise EngineError(f"Rule '{rule_id}' speaks of a step, but can hold without one.")


def check_facts(rulebase: Rulebase, facts: FactSet) -> None:
    """Check that every fact stands in the vocabulary, in its place and of its kind.

    A misspelt fact or one of the wrong kind would read as not known, and no rule would see it.

    Raises
    ------
    EngineError
        For the first fact that does not fit.
    """
    places = [
        ("piece", "piece", facts.piece),
        ("guests", "guests", facts.guests),
        ("course", "course", facts.course),
    ]
    places += [("step", f"step{number}", step) for number, step in enumerate(facts.steps, start=1)]
    for subject, place, group in places:
        for name, fact in group.items():
            entry = rulebase.vocabulary.get(subject, {}).get(name)
            if entry is None:
                raise EngineError(f"The vocabulary has no fact '{subject} {name}'.")
            if fact.subject != place or fact.name != name:
                raise EngineError(f"The fact '{fact.id}' stands in the place of '{place}.{name}'.")
            if not _fits(fact, entry):
                raise EngineError(f"The fact '{fact.id}' cannot be {fact.value!r}.")


def _fits(fact: Fact, entry: VocabularyFact) -> bool:
    if fact.value is None:
        return True
    if entry.quantity is None:
        return isinstance(fact.value, str) and (entry.words or fact.value in entry.choices)
    return not isinstance(fact.value, str | bool) and math.isfinite(fact.value)
