"""Answers from a file: the same questions, without a terminal."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.names import nearest
from advisor.case.read_plan import NOT_KNOWN, PlanErrors
from advisor.errors import InputError
from advisor.interview.reading import FORM_OPTIONS, WORST_TAKEN, read_choice
from advisor.interview.session import Session
from advisor.knowledge.checks import folded
from advisor.knowledge.cuts import EITHER
from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import Rulebase

# The line that says how the fruit is: one form for each fruit whose form was not said, with commas between.
FORM_KEY = "softener form"


class Answers:
    """Answers by question id, with the text they stand in for messages."""

    def __init__(self, given: Mapping[str, str], text: str, name: str) -> None:
        self.given, self.text, self.name = given, text, name

    def where(self, key: str) -> str:
        """File and line of an answer."""
        written = key if key in self.text else key.replace(" ", "_")
        line = line_of(self.text, (written,))
        return f"{self.name}, line {line}" if line else self.name


def read_answers(text: str, name: str, rulebase: Rulebase) -> Answers:
    """Read a file of answers (YAML): one line for each question id; ``not known`` is an answer.

    A further line, ``softener form``, says how each fruit is whose form does not stand with its name.

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
    known = [*rulebase.questions, FORM_KEY]
    given: dict[str, str] = {}
    errors: list[InputError] = []
    answers = Answers(given, text, name)
    for written, value in data.items():
        key = FORM_KEY if folded(str(written)) == FORM_KEY else written
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

    Answers that no question asked for stand in ``unused`` of the session and count for nothing.

    Raises
    ------
    PlanErrors
        Every answer that cannot be read or must be settled first, with its line.
    """
    session = Session.start(rulebase, now)
    errors: list[InputError] = []
    used: set[str] = set()
    while (question := _next(session, answers)) is not None:
        text = answers.given.get(question.id)
        used.add(question.id)
        if text is None or folded(text) in NOT_KNOWN:
            session = session.not_known_to(question)
            continue
        try:
            session = _settled(session.answer_to(question, text), question, answers, used)
        except InputError as error:
            errors.append(InputError(error.what, error.hint, error.where or answers.where(question.id)))
            session = session.not_known_to(question)
    if errors:
        raise PlanErrors(errors)
    unused = tuple(f"{key}: {text} (not asked here)" for key, text in answers.given.items() if key not in used)
    return replace(session, unused=unused)


def _next(session: Session, answers: Answers) -> Question | None:
    """First every answer of the file that applies, whether it can change anything or not; then what is still open."""
    told = (question for question in session.open_questions() if question.id in answers.given)
    return next(told, None) or session.question


def _settled(session: Session, question: Question, answers: Answers, used: set[str]) -> Session:
    """Settle what the answer left open, from the file; nothing is guessed."""
    forms = [part.strip() for part in answers.given.get(FORM_KEY, "").split(",") if part.strip()]
    while (pending := session.follow_up) is not None:
        if pending.read.settles == "cut":
            shown = ", ".join(f"'{label}'" for value, label in pending.options if value)
            worst = EITHER.join(label for value, label in pending.options if value) if pending.read.sure else ""
            either = f"; if nobody knows which: '{worst}'" if worst else ", or 'not known'"
            hint = f"Write one of: {shown}{either}." if shown else "Write another name, or 'not known'."
            raise InputError(pending.ask.replace(f" {WORST_TAKEN}", ""), hint)
        used.add(FORM_KEY)
        if not forms:
            words = ", ".join(value.replace("_", " ") for value, _ in FORM_OPTIONS[1:])
            raise InputError(
                pending.ask,
                f"Add a line '{FORM_KEY}: fresh', one word for each fruit; or {words}, not known.",
                answers.where(question.id),
            )
        session = session.settle(_form(forms.pop(0), answers))
    return session


def _form(word: str, answers: Answers) -> str:
    if folded(word) in NOT_KNOWN:
        return ""
    try:
        return read_choice(word, FORM_OPTIONS)
    except InputError as error:
        words = ", ".join(value.replace("_", " ") for value, _ in FORM_OPTIONS)
        raise InputError(error.what, f"Write one of: {words}, not known.", answers.where(FORM_KEY)) from error
