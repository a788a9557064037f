"""Answers from a file: the same questions, without a terminal."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.names import nearest
from advisor.case.read_plan import NOT_KNOWN, PlanErrors
from advisor.errors import InputError
from advisor.interview.session import Session
from advisor.knowledge.checks import folded
from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from advisor.knowledge.rulebase import Rulebase


class Answers:
    """Answers by question id, with the text they stand in for messages."""

    def __init__(self, given: Mapping[str, str], text: str, name: str) -> None:
        self.given, self.text, self.name = given, text, name

    def where(self, key: str) -> str:
        """File and line of an answer."""
        line = line_of(self.text, (key,))
        return f"{self.name}, line {line}" if line else self.name


def read_answers(text: str, name: str, rulebase: Rulebase) -> Answers:
    """Read a file of answers (YAML): one line for each question id; ``not known`` is an answer.

    Raises
    ------
    PlanErrors
        The file is not YAML, is empty, or has a word that is no question.
    """
    try:
        data = read_plain(text)
    except YamlProblemError as problem:
        raise PlanErrors(
            [InputError(problem.what, problem.hint, f"{name}, line {problem.line}" if problem.line else name)]
        ) from problem
    if not isinstance(data, dict) or not data:
        raise PlanErrors(
            [
                InputError(
                    "There are no answers in this file.",
                    "Write one on each line, such as 'animal: beef'.",
                    name,
                )
            ]
        )
    known = list(rulebase.questions)
    given: dict[str, str] = {}
    errors: list[InputError] = []
    answers = Answers(given, text, name)
    for key, value in data.items():
        if key not in known:
            near = nearest(str(key), known, most=1)
            hint = f"Did you mean '{near[0]}'?" if near else f"Use: {', '.join(known)}."
            errors.append(InputError(f"'{key}' is not a question.", hint, answers.where(str(key))))
        elif isinstance(value, dict | list) or value is None:
            errors.append(
                InputError(
                    f"'{key}' has no single answer.",
                    "Write it on the same line, or 'not known'.",
                    answers.where(key),
                )
            )
        else:
            given[key] = ("yes" if value else "no") if isinstance(value, bool) else str(value)
    if errors:
        raise PlanErrors(errors)
    return answers


def replay(answers: Answers, rulebase: Rulebase, now: datetime) -> Session:
    """Answer every question from the file; what is not in it counts as not known.

    Raises
    ------
    PlanErrors
        Every answer that cannot be read or must be settled first, with its line.
    """
    session = Session.start(rulebase, now)
    errors: list[InputError] = []
    while (question := session.question) is not None:
        text = answers.given.get(question.id)
        if text is None or folded(text) in NOT_KNOWN:
            session = session.not_known()
            continue
        try:
            session = session.answer(text)
            if session.follow_up is not None:
                shown = ", ".join(f"'{label}'" for value, label in session.follow_up.options if value)
                errors.append(
                    InputError(
                        session.follow_up.ask,
                        f"Write one of: {shown}, or 'not known'.",
                        answers.where(question.id),
                    )
                )
                session = session.not_known()
        except InputError as error:
            errors.append(InputError(error.what, error.hint, answers.where(question.id)))
            session = replace(session, follow_up=None).not_known()
    if errors:
        raise PlanErrors(errors)
    return session
