"""The question flow as an immutable state machine: answers go in, the next question comes out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from advisor.case.complete import complete
from advisor.case.facts import Fact, FactSet
from advisor.case.model import Case, Given, Ingredient, System
from advisor.errors import InputError
from advisor.infer.reference import judge
from advisor.interview.reading import Read, read_answer, read_choice
from advisor.knowledge.conditions import parse_when

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import Rulebase

SOFTENER = "softener"


@dataclass(frozen=True, slots=True)
class Answered:
    """One question with its answer: the text as typed, and what was read from it."""

    question: str
    text: str
    read: Read


@dataclass(frozen=True, slots=True)
class FollowUp:
    """A question back about the answer just given: a cut to be settled, a fruit's form.

    ``options`` are pairs of value and shown text; the value ``""`` means none of these.
    """

    question: str
    ask: str
    options: tuple[tuple[str, str], ...]
    read: Read
    text: str


@dataclass(frozen=True, slots=True)
class Session:
    """Where an interview stands. Every change gives a new session; nothing is ever lost.

    Attributes
    ----------
    rulebase : Rulebase
        Questions, vocabulary and names.
    now : datetime
        Local time, for "tomorrow at seven".
    answered : tuple of Answered
        Answers in the order in which they were given.
    follow_up : FollowUp or None
        A question back that must be settled first.
    drafts : mapping
        Texts typed before *back*, by question, offered again.
    failed : str
        Question whose last answer could not be read.
    """

    rulebase: Rulebase
    now: datetime
    answered: tuple[Answered, ...] = ()
    follow_up: FollowUp | None = None
    drafts: Mapping[str, str] = field(default_factory=dict)
    failed: str = ""

    @classmethod
    def start(cls, rulebase: Rulebase, now: datetime) -> Session:
        """Begin with no answers."""
        return cls(rulebase, now)

    @property
    def question(self) -> Question | None:
        """The next question that can still matter, or None when all are answered."""
        done = {one.question for one in self.answered}
        facts = self._facts()
        return next(
            (q for q in self.rulebase.questions.values() if q.id not in done and self._applies(q, facts)),
            None,
        )

    @property
    def number(self) -> int:
        """Number of the question now asked, from 1."""
        return len(self.answered) + 1

    def answer(self, text: str) -> Session:
        """Take an answer to the question, or to the question back.

        Raises
        ------
        InputError
            The text cannot be read; the session stays as it was.
        """
        if self.follow_up is not None:
            return self._settled(self.follow_up, text)
        question = self.question
        if question is None:
            raise InputError("All questions are answered.", "Type a number to change an answer, or 'plan'.")
        try:
            read = read_answer(question, text, self.case(), self.rulebase, self.now)
        except InputError as error:
            if self.failed == question.id and question.again:
                raise InputError(error.what, question.again) from error
            raise
        if read.options:
            return replace(self, follow_up=FollowUp(question.id, read.ask, read.options, read, text), failed="")
        return self._with(Answered(question.id, text, read))

    def not_known(self) -> Session:
        """Take *I don't know* for the question, or for the question back."""
        if self.follow_up is not None:
            return self._settled(self.follow_up, "")
        question = self.question
        return self if question is None else self._with(Answered(question.id, "", Read(Given(None, "not known"))))

    def noted_failure(self) -> Session:
        """Remember that the answer could not be read, so that the next message is worded anew."""
        question = self.question
        return replace(self, failed=question.id if question is not None else "")

    def back(self) -> Session:
        """Go back one question; what was typed is offered again."""
        if self.follow_up is not None:
            return replace(self, follow_up=None, drafts={**self.drafts, self.follow_up.question: self.follow_up.text})
        if not self.answered:
            return self
        last = self.answered[-1]
        return replace(self, answered=self.answered[:-1], drafts={**self.drafts, last.question: last.text}, failed="")

    def change(self, number: int) -> Session:
        """Open the answer in row ``number`` of `rows` again.

        Raises
        ------
        InputError
            There is no such row.
        """
        rows = self.ordered()
        if not 1 <= number <= len(rows):
            raise InputError(f"There is no answer {number}.", f"Type a number from 1 to {len(rows)}, or 'plan'.")
        one = rows[number - 1]
        kept = tuple(other for other in self.answered if other.question != one.question)
        return replace(self, answered=kept, drafts={**self.drafts, one.question: one.text}, failed="")

    def ordered(self) -> tuple[Answered, ...]:
        """Answers in the order of the questions, those only that still apply."""
        facts = self._facts()
        order = {name: index for index, name in enumerate(self.rulebase.questions)}
        kept = [one for one in self.answered if self._applies(self.rulebase.questions[one.question], facts)]
        return tuple(sorted(kept, key=lambda one: order[one.question]))

    def case(self) -> Case:
        """What was said so far, as a case without steps."""
        piece: dict[str, Given] = {}
        guests: dict[str, Given] = {}
        serve = None
        for one in self.answered:
            subject, _, fact = self.rulebase.questions[one.question].fact.partition(" ")
            if subject == "piece" and one.read.given is not None:
                piece[fact] = one.read.given
            elif subject == "guests" and one.read.given is not None:
                guests[fact] = one.read.given
            serve = one.read.moment or serve
        if any(self.rulebase.questions[one.question].fact == "steps softeners" for one in self.answered):
            guests[SOFTENER] = Given("yes" if self.softeners else "no", "answered")
        return Case(piece, guests, serve=serve, system=self.system)

    @property
    def softeners(self) -> tuple[Ingredient, ...]:
        """What the cook would soften it with."""
        return tuple(item for one in self.answered for item in one.read.ingredients)

    @property
    def system(self) -> System:
        """The system of units that the cook has used most."""
        systems = [one.read.system for one in self.answered if one.read.system]
        return "us" if systems.count("us") > systems.count("metric") else "metric"

    def _with(self, one: Answered) -> Session:
        drafts = {name: text for name, text in self.drafts.items() if name != one.question}
        return replace(self, answered=(*self.answered, one), follow_up=None, drafts=drafts, failed="")

    def _settled(self, pending: FollowUp, text: str) -> Session:
        value = read_choice(text, pending.options) if text else ""
        return self._with(Answered(pending.question, pending.text, pending.read.settled(value)))

    def _facts(self) -> FactSet:
        """Answers as facts; what is not known stands at its assumption, so that it opens no needless question."""
        case = self.case()
        full = complete(case, self.rulebase)

        def of(subject: str, said: Mapping[str, Given], filled: Mapping[str, Given]) -> dict[str, Fact]:
            return {
                name: Fact(subject, name, filled[name].value, filled[name].origin) for name in said if name in filled
            }

        return FactSet(piece=of("piece", case.piece, full.piece), guests=of("guests", case.guests, full.guests))

    def _applies(self, question: Question, facts: FactSet) -> bool:
        """Whether a question can still matter: no alternative of its condition is known to be false."""
        if not question.when:
            return True
        alternatives = parse_when(question.when, self.rulebase.vocabulary, self.rulebase.limits)
        return any(
            all(judge(condition, facts, None).state != "false" for condition in alternative.conditions)
            for alternative in alternatives
        )
