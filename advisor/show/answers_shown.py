"""Answers of the interview as they are played back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.complete import complete
from advisor.interview.food_code import FACT
from advisor.knowledge.cuts import EITHER
from advisor.show.words import value_words
from advisor.units import write_moment

if TYPE_CHECKING:
    from advisor.interview.session import Answered, Session
    from advisor.knowledge.records import Question


def answer_words(one: Answered, session: Session) -> str:
    """An answer in the cook's units, with the standard name of a cut; empty when it is not known."""
    question = session.rulebase.questions[one.question]
    if one.read.moment is not None:
        return write_moment(one.read.moment, now=session.now)
    if one.read.ingredients:
        return ", ".join(_softener(item.form, item.as_written) for item in one.read.ingredients)
    given = one.read.given
    if given is None or given.value is None:
        return ""
    subject, _, fact = question.fact.partition(" ")
    if fact == "cut":
        name = session.rulebase.cuts[str(given.value)].name
        if EITHER in str(given.value):
            return f"{name}, not known which; we take the worst of each"
        return f"{name} ('{given.as_written}')" if given.as_written.lower() != name.lower() else name
    if question.fact == FACT:
        code = session.rulebase.codes.get(str(given.value))
        return code.name if code is not None else session.rulebase.local_lines["food_code_not_known"]
    if question.choices:
        return question.choices.get(str(given.value), str(given.value))
    if question.fact == "steps softeners":
        return "none"
    return value_words(given.value, session.rulebase.vocabulary[subject][fact], session.system)


def _softener(form: str, name: str) -> str:
    return name if form in ("", "unknown") else f"{form.replace('_', ' ')} {name}"


def assumed_words(question: Question, session: Session) -> str:
    """What is assumed for an answer that is not known."""
    subject, _, fact = question.fact.partition(" ")
    if question.fact == FACT:
        return session.rulebase.local_lines["food_code_not_known"]
    if question.fact == "goal serve":
        return "not said; the steps are counted from the start"
    if question.fact == "steps softeners":
        return "not known; we plan without one"
    full = complete(session.case(), session.rulebase)
    given = (full.piece if subject == "piece" else full.guests).get(fact)
    if given is None or given.value is None:
        return "not known, and we may not guess it"
    if fact == "cut":
        return f"not known; we take {session.rulebase.cuts[str(given.value)].name}, as tough and thick"
    shown = question.choices.get(str(given.value)) or value_words(
        given.value, session.rulebase.vocabulary[subject][fact], session.system
    )
    return f"not known; we assume: {shown}"
