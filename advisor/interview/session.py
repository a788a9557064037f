"""The question flow as an immutable state machine: answers go in, the next question comes out."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from advisor.case.complete import complete, cut_of
from advisor.case.facts import Fact, FactSet
from advisor.case.model import Case, Given, Ingredient, System
from advisor.case.names import find_cut
from advisor.errors import InputError
from advisor.infer.reference import judge
from advisor.interview.food_code import FACT, code_of, read_code
from advisor.interview.named import of_another_animal, with_cut
from advisor.interview.reading import Read, read_answer, read_choice, read_several
from advisor.interview.relevance import Put, relevance_of
from advisor.interview.wording import Failures, choice_hint
from advisor.knowledge.conditions import parse_when
from advisor.knowledge.cuts import NOT_TOLD

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from advisor.interview.why import RuleNeed
    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import Rulebase

SOFTENER, BONE_SOLD = "softener", "bone_sold"


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
        Answers in the order in which they were given, those too that no longer apply; see `ordered`.
    follow_up : FollowUp or None
        A question back that must be settled first.
    drafts : mapping
        Texts typed before *back*, by question, offered again.
    failures : Failures
        What was said about answers that could not be read.
    changing : Answered or None
        The answer that stood before `change`; *back* puts it back.
    changing_at : int
        Its place among the answers, which the new one takes: a row keeps its number.
    changed : str
        The question changed last, to which *back* goes first.
    unused : tuple of str
        Answers from a file that no question asked for.
    again : str
        Question that *back* has opened again; it is asked before any other.
    told : mapping
        Facts that were told and that no question asks for, such as a bone or how many it is for, by subject and name.
    base : Rulebase or None
        The rules before the cook said which food code holds; None until then.
    """

    rulebase: Rulebase
    now: datetime
    answered: tuple[Answered, ...] = ()
    follow_up: FollowUp | None = None
    drafts: Mapping[str, str] = field(default_factory=dict)
    failures: Failures = field(default_factory=Failures)
    changing: Answered | None = None
    changing_at: int = 0
    changed: str = ""
    unused: tuple[str, ...] = ()
    again: str = ""
    told: Mapping[str, Given] = field(default_factory=dict)
    base: Rulebase | None = None

    @classmethod
    def start(cls, rulebase: Rulebase, now: datetime) -> Session:
        """Begin with no answers."""
        return cls(rulebase, now)

    @property
    def question(self) -> Question | None:
        """The next question that can still matter, or None when no answer could change anything."""
        if self.changing is not None and all(one.question != self.changing.question for one in self.answered):
            return self.rulebase.questions[self.changing.question]
        if self.again and all(one.question != self.again for one in self.answered):
            return self.rulebase.questions[self.again]
        return relevance_of(self.rulebase).next(Put(self.case(), self.softeners), self.open_questions(), self.now)

    @property
    def tools(self) -> tuple[Question, ...]:
        """Questions that are put as one list of tools, where that is the next thing asked; else none."""
        question = self.question
        if question is None or not question.tool or self.follow_up is not None or self.changing or self.again:
            return ()
        put = Put(self.case(), self.softeners)
        found = relevance_of(self.rulebase).tools(put, question, self.open_questions())
        return found if len(found) > 1 else ()

    def open_questions(self) -> tuple[Question, ...]:
        """Questions without an answer whose condition is not known to be false, in the order of the file."""
        return self._walked()[1]

    def not_asked(self) -> tuple[Question, ...]:
        """Questions that were left out because no answer to them can change anything; empty until the end."""
        return self.open_questions() if self.question is None else ()

    @property
    def number(self) -> int:
        """Number of the question now asked, from 1; of one that is asked again, the number it had."""
        rows = [one.question for one in self.ordered()]
        if self.changing is None:
            return 1 + len(rows)
        return 1 + sum(one.question in rows for one in self.answered[: self.changing_at])

    def answer(self, text: str) -> Session:
        """Take an answer to the question, or to the question back.

        Raises
        ------
        InputError
            The text cannot be read; the session stays as it was. `noted_failure` has the next one worded anew.
        """
        if self.follow_up is not None:
            return self._settled_by_text(self.follow_up, text)
        question = self.question
        if question is None:
            raise InputError("All questions are answered.", "Type a number to change an answer, or 'plan'.")
        if question.fact == "piece cut" and (other := of_another_animal(self, question, text)) is not None:
            return other.with_whole_bird(text)
        try:
            done = self.answer_to(question, text)
            if question.fact == "piece cut":
                return done.with_whole_bird(text)
            return self._with_cut_told(done) if question.fact == "piece animal" else done
        except InputError as error:
            both = with_cut(self, question, text) if question.fact == "piece animal" else None
            if both is not None:
                return both.with_whole_bird(text)
            raise self.failures.worded(error, question.id, text, question.again or choice_hint(question)) from error

    def _with_cut_told(self, done: Session) -> Session:
        """Take up the cut that was told before the animal was known, or ask which of several it is."""
        cut = next(one for one in self.rulebase.questions.values() if one.fact == "piece cut")
        word = self.drafts.get(cut.id, "")
        if not word or done.follow_up is not None:
            return done
        try:
            asked = done.answer_to(cut, word)
        except InputError:
            return done  # no cut of this animal: it is asked
        return replace(asked, drafts={name: text for name, text in asked.drafts.items() if name != cut.id})

    def answer_tools(self, text: str) -> Session:
        """Take an answer to the list of tools: numbers or names of those that are there, or none; one after another.

        Raises
        ------
        InputError
            The text cannot be read; the session stays as it was.
        """
        asked = self.tools
        try:
            had = read_several(text, tuple((question.id, question.tool) for question in asked))
        except InputError as error:
            hint = "Type only the numbers of those you have, with a comma between, or none."
            raise self.failures.worded(error, asked[0].id, text, hint) from error
        session = self
        for question in asked:
            session = session.answer_to(question, question.choices["yes" if question.id in had else "no"])
        return session

    def tools_not_known(self) -> Session:
        """Take *I don't know* for the whole list of tools."""
        session = self
        for question in self.tools:
            session = session.not_known_to(question)
        return session

    def answer_to(self, question: Question, text: str) -> Session:
        """Take an answer to any question, whether it is its turn or not.

        Raises
        ------
        InputError
            The text cannot be read.
        """
        if question.fact == FACT:
            return self.taken(Answered(question.id, text, read_code(question, text, self.rulebase)))
        read = read_answer(question, text, self.case(), self.rulebase, self.now)
        if read.options:
            return replace(self, follow_up=_asked_back(question.id, text, read), failures=Failures())
        return self.taken(Answered(question.id, text, read))

    def settle(self, value: str) -> Session:
        """Settle the question back with the value of an option; ``""`` leaves it not known."""
        pending = self.follow_up
        if pending is None:
            return self
        read = pending.read.settled(value)
        if read.options:
            return replace(self, follow_up=_asked_back(pending.question, pending.text, read), failures=Failures())
        return self.taken(Answered(pending.question, pending.text, read))

    def not_known(self) -> Session:
        """Take *I don't know* for the question, or for the question back."""
        if self.follow_up is not None:
            return self.settle(NOT_TOLD if self.follow_up.read.sure else "")
        question = self.question
        return self if question is None else self.not_known_to(question)

    def not_known_to(self, question: Question) -> Session:
        """Take *I don't know* for any question."""
        return self.taken(Answered(question.id, "", Read(Given(None, "not known"))))

    def skip(self) -> Session:
        """Leave an optional question out.

        Raises
        ------
        InputError
            The question is not optional.
        """
        question = self.question
        if self.follow_up is not None or (question is not None and not question.optional):
            raise InputError("This one cannot be left out.", "Type dk if you do not know.")
        return self.not_known()

    def noted_failure(self, error: InputError) -> Session:
        """Remember what was said about an answer that could not be read, so that it is not said again."""
        question = self.question
        return replace(self, failures=self.failures.noted(error, question.id if question is not None else ""))

    def back(self) -> Session:
        """Go back one question; what was typed is offered again. An answer being changed stands as it was."""
        if self.follow_up is not None:
            drafts = {**self.drafts, self.follow_up.question: self.follow_up.text}
            return replace(self, follow_up=None, drafts=drafts, failures=Failures())
        question = self.question
        if self.changing is not None and question is not None and question.id == self.changing.question:
            return self.taken(self.changing)
        counted = {one.question for one in self._walked()[0]}
        ways = sorted(self.answered, key=lambda one: one.question == self.changed)
        last = next((one for one in reversed(ways) if one.question in counted), None)
        return self if last is None else replace(self._opened(last), again=last.question)

    def change(self, number: int) -> Session:
        """Open the answer in row ``number`` of `ordered` again.

        Raises
        ------
        InputError
            There is no such row.
        """
        rows = self.ordered()
        if not 1 <= number <= len(rows):
            raise InputError(f"There is no answer {number}.", f"Type a number from 1 to {len(rows)}, or 'plan'.")
        row = rows[number - 1]
        return replace(self._opened(row), changing=row, changing_at=self.answered.index(row))

    def ordered(self) -> tuple[Answered, ...]:
        """Answers that still apply, as they were given: each row has the number that its question was asked by."""
        applied = {one.question for one in self._walked()[0]}
        return tuple(one for one in self.answered if one.question in applied)

    def with_changing(self) -> tuple[Answered, ...]:
        """All answers, with the one being changed as it stood."""
        if self.changing is None or any(one.question == self.changing.question for one in self.answered):
            return self.answered
        return (*self.answered[: self.changing_at], self.changing, *self.answered[self.changing_at :])

    def case(self) -> Case:
        """What was said so far, as a case without steps; an answer that no longer applies is not in it."""
        return self._case(self._walked()[0])

    @property
    def softeners(self) -> tuple[Ingredient, ...]:
        """What the cook would soften it with."""
        return tuple(item for one in self._walked()[0] for item in one.read.ingredients)

    @property
    def system(self) -> System:
        """The system of units that the cook has used most."""
        return _system(self._walked()[0])

    def why(self) -> tuple[RuleNeed, ...]:
        """Rules that need the answer to the question now asked, the gravest first."""
        from advisor.interview.why import needs

        question = self.question
        return () if question is None else needs(question, self.rulebase, self.now)

    def taken(self, one: Answered) -> Session:
        """Put an answer in, in the place of an older one; a cut of another animal is asked for again."""
        drafts = {name: text for name, text in self.drafts.items() if name != one.question}
        kept = tuple(other for other in self.answered if other.question != one.question)
        changed = self.changing is not None and self.changing.question == one.question
        changing = None if changed else self.changing
        at = self.changing_at if changed else len(kept)
        done = replace(
            self,
            answered=(*kept[:at], one, *kept[at:]),
            follow_up=None,
            drafts=drafts,
            failures=Failures(),
            changing=changing,
            changed=one.question if changed else "",
            again="" if self.again == one.question else self.again,
        )
        if self.rulebase.questions[one.question].fact == FACT:
            base = self.base or self.rulebase
            done = replace(done, base=base, rulebase=base.under(code_of(one.read)))
        return done._without_foreign_cut()  # noqa: SLF001 - a session of our own

    def with_whole_bird(self, words: str) -> Session:
        """Take a bird that was called whole as a whole piece, so that nobody is asked its shape."""
        form = next(q for q in self.rulebase.questions.values() if q.fact == "piece form")
        cut = self.rulebase.cuts.get(self.case().word("piece", "cut"))
        if cut is None or not cut.whole_bird or "whole" not in re.findall(r"[^\W_]+", words.lower()):
            return self
        told = any(one.question == form.id for one in self.answered)
        return self if told or self.follow_up is not None else self.answer_to(form, form.choices["roast"])

    def with_draft(self, question: str, text: str) -> Session:
        """Offer a text for a question that is to be asked again."""
        return replace(self, drafts={**self.drafts, question: text}, follow_up=None)

    def _opened(self, one: Answered) -> Session:
        kept = tuple(other for other in self.answered if other.question != one.question)
        drafts = {**self.drafts, one.question: one.text}
        return replace(self, answered=kept, drafts=drafts, failures=Failures(), changing=None)

    def _without_foreign_cut(self) -> Session:
        case = self.case()
        cut, animal = self.rulebase.cuts.get(case.word("piece", "cut")), case.word("piece", "animal")
        if cut is None or not animal or cut.animal in (animal, "any"):
            return self
        foreign = next(one for one in self.answered if self.rulebase.questions[one.question].fact == "piece cut")
        return self._opened(foreign)

    def _settled_by_text(self, pending: FollowUp, text: str) -> Session:
        try:
            value = read_choice(text, pending.options)
        except InputError as error:
            if pending.read.settles == "cut" and any(letter.isalpha() for letter in text):
                # Another name for the cut is as good an answer as a number, if we know it or one like it.
                match = find_cut(text, self.case().word("piece", "animal"), self.rulebase)
                other = of_another_animal(self, self.rulebase.questions[pending.question], text)
                if other is not None:
                    return other
                if match.found is not None or match.could_be:
                    return replace(self, follow_up=None).answer_to(self.rulebase.questions[pending.question], text)
            hint = f"Type one of the numbers 1 to {len(pending.options)}, or another name."
            raise self.failures.worded(error, pending.question, text, hint) from error
        return self.settle(value)

    def _walked(self) -> tuple[tuple[Answered, ...], tuple[Question, ...]]:
        """Answers that apply, in the order of the questions, and the questions that are open.

        A condition speaks only of what was asked before it, so one pass in file order settles them all.
        """
        given = {one.question: one for one in self.answered}
        applied: list[Answered] = []
        open_questions: list[Question] = []
        for question in self.rulebase.questions.values():
            if question.when and not self._holds(question.when, self._facts(tuple(applied))):
                continue
            one = given.get(question.id)
            if one is not None:
                applied.append(one)
            elif not question.asked_when or self._holds(question.asked_when, self._facts(tuple(applied))):
                open_questions.append(question)
        return tuple(applied), tuple(open_questions)

    def _case(self, applied: tuple[Answered, ...]) -> Case:
        piece: dict[str, Given] = {}
        guests: dict[str, Given] = {}
        for told, given in self.told.items():
            subject, _, fact = told.partition(" ")
            (piece if subject == "piece" else guests)[fact] = given
        serve = None
        for one in applied:
            subject, _, fact = self.rulebase.questions[one.question].fact.partition(" ")
            if subject == "steps":
                guests[SOFTENER] = Given("yes" if one.read.ingredients else "no", "answered")
            elif subject in ("piece", "guests") and one.read.given is not None:
                (piece if subject == "piece" else guests)[fact] = one.read.given
            serve = one.read.moment or serve
        return Case(piece, guests, serve=serve, system=_system(applied), not_understood=self.unused)

    def _facts(self, applied: tuple[Answered, ...]) -> FactSet:
        """Answers as facts; what is not known stands at its assumption, so that it opens no needless question."""
        case = self._case(applied)
        full = complete(case, self.rulebase)

        def of(subject: str, said: Mapping[str, Given], filled: Mapping[str, Given]) -> dict[str, Fact]:
            return {
                name: Fact(subject, name, filled[name].value, filled[name].origin) for name in said if name in filled
            }

        piece = of("piece", case.piece, full.piece)
        if "cut" in case.piece:
            piece[BONE_SOLD] = Fact("piece", BONE_SOLD, cut_of(full, self.rulebase).bone, "from the rulebase")
        return FactSet(piece=piece, guests=of("guests", case.guests, full.guests))

    def _holds(self, when: list[Any], facts: FactSet) -> bool:
        """Whether a question can still matter: not every alternative of its condition is known to be false."""
        alternatives = parse_when(when, self.rulebase.vocabulary, self.rulebase.limits)
        return any(
            all(judge(condition, facts, None).state != "false" for condition in alternative.conditions)
            for alternative in alternatives
        )


def _system(applied: tuple[Answered, ...]) -> System:
    systems = [one.read.system for one in applied if one.read.system]
    return "us" if systems.count("us") > systems.count("metric") else "metric"


def _asked_back(question: str, text: str, read: Read) -> FollowUp:
    return FollowUp(question, read.ask, read.options, read, text)
