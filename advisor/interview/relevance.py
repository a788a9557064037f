"""Which open questions can still change the plan, a finding or a caution, and which of them comes next.

A question is asked only when two answers to it, or an answer and none, come to different things. This is tried
with all else as known; where nothing moves alone, all that is open is tried together. Quantities are tried at the
ends of what is plausible. At last the plans are held against each other as they are mended (`mended`). When nothing
that is open can change anything, no more is asked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

from advisor.advice.outcome import Outcomes
from advisor.case.complete import cut_of
from advisor.case.facts import Fact, FactSet
from advisor.case.model import Given, Ingredient
from advisor.infer.reference import judge
from advisor.interview.mended import Mending
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

SOFTENERS = "steps softeners"
# Combinations of answers that are tried together; what is not settled by then is asked.
MOST_TOGETHER = 96
HARM = {"DANGER": 8.0, "WARNING": 4.0, "CAUTION": 2.0, "NOTICE": 1.0}
# An answer that only picks figures of the plan harms nobody.
PLAN_ONLY = 1.0


@dataclass(frozen=True, slots=True)
class Put:
    """One thinkable answer: the case with it, and what it would be softened with."""

    case: Case
    softeners: tuple[Ingredient, ...]


class Relevance:
    """Holds what was worked out for one rulebase.

    Parameters
    ----------
    rulebase : Rulebase
        The knowledge.
    """

    def __init__(self, rulebase: Rulebase) -> None:
        self.rulebase = rulebase
        self.outcomes = Outcomes(rulebase)
        self._readers: dict[str, tuple[CheckedRule, ...]] = {}
        self._kept: dict[tuple[object, ...], str] = {}

    def next(self, here: Put, open_questions: Sequence[Question], now: datetime | None = None) -> Question | None:
        """The question to ask next; None when no answer can change anything.

        Parameters
        ----------
        here : Put
            What is known.
        open_questions : sequence of Question
            Not answered yet, and not known to be beside the point, in the order of the file.
        now : datetime, optional
            When the plan would be begun.
        """
        if not open_questions:
            return None
        key = (
            tuple((n, str(g.value), g.origin) for n, g in sorted(here.case.piece.items())),
            tuple((n, str(g.value), g.origin) for n, g in sorted(here.case.guests.items())),
            here.softeners,
            (str(here.case.serve), str(now)),
            tuple(question.id for question in open_questions),
        )
        if key not in self._kept:
            found = self._next(here, open_questions)
            found = found or Mending(self, now, reached).next(here, self._ranked_all(here, open_questions))
            self._kept[key] = found.id if found is not None else ""
        return next((question for question in open_questions if question.id == self._kept[key]), None)

    def _next(self, here: Put, open_questions: Sequence[Question]) -> Question | None:
        for question in open_questions:
            if question.screening:
                return question
        groups = list(dict.fromkeys(question.group for question in self.rulebase.questions.values()))
        # Subject by subject in the order of the file, so that the same answers always give the same question.
        for name in groups:
            mine = [question for question in open_questions if question.group == name]
            # What every plan is made from comes first, for the rest can be judged only then.
            for question in self.ranked([q for q in mine if q.always], here, open_questions):
                return question
            for question in self.ranked([q for q in mine if not q.always], here, open_questions):
                if self.moves_alone(question, here):
                    return question
        return self._together(here, open_questions)

    def ranked(self, questions: Sequence[Question], here: Put, open_questions: Sequence[Question]) -> list[Question]:
        """Gravest for the least effort first; a question that decides whether another applies comes before it."""
        facts = {question.fact for question in open_questions}
        if SOFTENERS in facts:
            facts.add("guests softener")
        free = [q for q in questions if not any(f"{fact} is" in str([*q.when, *q.asked_when]) for fact in facts)]
        return sorted(free, key=lambda question: -self.harm(question, here) / question.effort)

    def harm(self, question: Question, here: Put) -> float:
        """How grave the gravest rule is that names the fact and may still fire."""
        known = self.known(here)
        found = PLAN_ONLY
        for checked in self.readers(question):
            signal = checked.rule.concludes.signal
            if signal is not None and HARM[signal] > found and _may_fire(checked, known):
                found = HARM[signal]
        return found

    def known(self, here: Put) -> FactSet:
        """Facts that are known whatever is answered from now on."""
        piece = _facts("piece", here.case.piece)
        cut = self.rulebase.cuts.get(here.case.word("piece", "cut"))
        if cut is not None:
            traits = {"toughness": cut.toughness, "collagen": cut.collagen, "grain": cut.grain}
            piece = {n: Fact("piece", n, value, "from the rulebase") for n, value in traits.items()} | piece
        return FactSet(piece=piece, guests=_facts("guests", here.case.guests))

    def readers(self, question: Question) -> tuple[CheckedRule, ...]:
        """Rules that read the fact of a question, looked up once."""
        if question.id not in self._readers:
            self._readers[question.id] = self._read_by(question)
        return self._readers[question.id]

    def read_at_all(self, question: Question, here: Put) -> bool:
        """Whether some rule that may still fire reads the answer; what is said of the guests works in no other way."""
        if not question.fact.startswith("guests "):
            return True
        known = self.known(here)
        return any(_may_fire(checked, known) for checked in self.readers(question))

    def _read_by(self, question: Question) -> tuple[CheckedRule, ...]:
        from advisor.interview.why import MOVES

        return reached({question.fact, *MOVES.get(question.fact, ())}, self.rulebase)[0]

    def moves_alone(self, question: Question, here: Put) -> bool:
        """Whether an answer to this question alone changes what comes of the case."""
        if not self.read_at_all(question, here):
            return False
        now = self.outcomes.of(here.case, here.softeners)
        return any(self.outcomes.of(put.case, put.softeners) != now for put in self.answers(question, here))

    def tools(self, here: Put, first: Question, open_questions: Sequence[Question]) -> tuple[Question, ...]:
        """Tools to be asked for in one list with the one whose turn it is: those that matter by themselves too."""
        return tuple(
            question
            for question in open_questions
            if question.tool and (question.id == first.id or self.moves_alone(question, here))
        )

    def _together(self, here: Put, open_questions: Sequence[Question]) -> Question | None:
        """The first question whose answer changes something beside some answers to the others; None for none."""
        ranked = self._ranked_all(here, open_questions)
        choices = [(None, *range(len(self.answers(question, here)))) for question in ranked]
        total = 1
        for one in choices:
            total *= len(one)
        if total > MOST_TOGETHER:
            return ranked[0]
        now = self.outcomes.of(here.case, here.softeners)
        for picked in product(*choices):
            put = here
            for question, number in zip(ranked, picked, strict=True):
                if number is not None:
                    put = self.answers(question, put)[number]
            if self.outcomes.of(put.case, put.softeners) != now:
                asked = [question for question, number in zip(ranked, picked, strict=True) if number is not None]
                # What decides whether another applies is asked before it.
                return min(asked, key=lambda question: list(self.rulebase.questions).index(question.id))
        return None

    def _ranked_all(self, here: Put, open_questions: Sequence[Question]) -> list[Question]:
        """Of all that some rule may read, the gravest for the least effort first."""
        read = [question for question in open_questions if self.read_at_all(question, here)]
        return sorted(read, key=lambda question: -self.harm(question, here) / question.effort)

    def answers(self, question: Question, here: Put) -> tuple[Put, ...]:
        """Thinkable answers: every choice; of a quantity both ends; of softeners one of each kind."""
        if question.fact == SOFTENERS:
            return self._softened(here)
        subject, _, fact = question.fact.partition(" ")
        if subject not in ("piece", "guests"):
            return ()
        values: Sequence[float | str]
        if question.choices:
            values = list(question.choices)
        elif fact == "cut":
            animal = here.case.word("piece", "animal")
            values = [name for name, cut in self.rulebase.cuts.items() if not animal or cut.animal == animal]
        else:
            values = self.ends(fact, here.case)
        return tuple(
            replace(here, case=here.case.with_value(subject, fact, Given(value, "answered"))) for value in values
        )

    def ends(self, fact: str, case: Case) -> tuple[float, float]:
        """Ends of what is plausible for a quantity of the piece."""
        cut, limit = cut_of(case, self.rulebase), self.rulebase.limit
        if fact == "thickness":
            return float(min(cut.thickness_mm)), float(max(cut.thickness_mm))
        if fact == "weight":
            return float(min(cut.weight_g)), float(max(cut.weight_g))
        if fact == "out_minutes":
            return 0.0, limit("raw_out_max")
        if fact == "fridge_time":
            return 0.0, self.rulebase.vocabulary["piece"]["fridge_time"].high or limit("raw_cold_cuts_max")
        return limit("salt_too_little"), limit("salt_too_much")

    def _softened(self, here: Put) -> tuple[Put, ...]:
        kinds: dict[tuple[str, bool, bool], str] = {}
        for name, entry in self.rulebase.tenderisers.items():
            kinds.setdefault(
                (entry.kind, entry.latex, entry.strength > self.rulebase.limit("plan_mild_strength")), name
            )
        no = replace(here, case=here.case.with_value("guests", "softener", Given("no", "answered")), softeners=())
        yes = here.case.with_value("guests", "softener", Given("yes", "answered"))
        return (
            no,
            *(Put(yes, (Ingredient(name, self.rulebase.tenderisers[name].name, "fresh"),)) for name in kinds.values()),
        )


def _facts(subject: str, given: Mapping[str, Given]) -> dict[str, Fact]:
    return {name: Fact(subject, name, one.value, one.origin) for name, one in given.items() if one.value is not None}


def reached(facts: Iterable[str], rulebase: Rulebase) -> tuple[tuple[CheckedRule, ...], frozenset[str]]:
    """Rules that read some facts, or a fact that such a rule concludes; and all the facts that are moved so."""
    wanted, found = set(facts), []
    # A rule never stands in an earlier stratum than those whose conclusions it reads, so one pass is enough.
    for checked in sorted(rulebase.rules.values(), key=lambda one: one.stratum):
        if any(f"{c.subject} {c.fact}" in wanted for c in conditions_of(checked.alternatives)):
            found.append(checked)
            if checked.rule.concludes.fact:
                wanted.add(checked.rule.concludes.fact)
    return tuple(found), frozenset(wanted)


def _may_fire(checked: CheckedRule, known: FactSet) -> bool:
    """Whether no condition of some alternative is known to be false."""
    return any(
        all(judge(condition, known, None).state != "false" for condition in alternative.conditions)
        for alternative in checked.alternatives
    )


_made: dict[int, tuple[Rulebase, Relevance]] = {}


def relevance_of(rulebase: Rulebase) -> Relevance:
    """The relevance of a rulebase, made once; what was worked out stays with it."""
    key = id(rulebase)
    if key not in _made or _made[key][0] is not rulebase:
        _made.clear()
        _made[key] = (rulebase, Relevance(rulebase))
    return _made[key][1]
