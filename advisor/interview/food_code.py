"""The food code as a question of the interview: asked only where no house file and no option says which one holds."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.model import Given
from advisor.errors import InputError
from advisor.interview.reading import Read, read_choice
from advisor.knowledge.house import code_id
from advisor.knowledge.records import Question, Unknown
from advisor.knowledge.strictest import STRICTEST

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import Rulebase

CODE, FACT = "code", "goal code"


def asking_code(rulebase: Rulebase) -> Rulebase:
    """The rulebase with one more question, the first: which food code holds; its choices are the codes of today."""
    lines = rulebase.local_lines
    question = Question(
        id=CODE,
        group=next(iter(rulebase.questions.values())).group,
        fact=FACT,
        ask=lines["food_code_ask"],
        why=lines["food_code_why"],
        short=lines["food_code_short"],
        again=lines["food_code_again"],
        choices={code.id: code.name for code in rulebase.codes.values() if not code.older},
        screening=True,
        dont_know=Unknown(policy="worst", value=STRICTEST),
    )
    return replace(rulebase, questions={CODE: question, **rulebase.questions})


def read_code(question: Question, text: str, rulebase: Rulebase) -> Read:
    """Read a number of the list, the name of a code, or a land.

    Raises
    ------
    InputError
        It is none of these.
    """
    if not text.strip():
        raise InputError("Nothing was typed.", question.again)
    found = code_id(text, rulebase.codes)
    if found is None:
        try:
            found = read_choice(text, tuple(question.choices.items()))
        except InputError as error:
            raise InputError(error.what, question.again) from error
    return Read(Given(found, "answered", text))


def code_of(read: Read) -> str:
    """The food code that holds after an answer; the strictest of all where it is not known."""
    return str(read.given.value) if read.given is not None and read.given.value is not None else STRICTEST
