"""Whether an answer changes the plan as it is mended, where it changes none of the plans as they are laid out.

A plan is laid out, and then changed until nothing stands in its way. On that road other rules may come to speak than
those that judge the first draft. So all cases that were tried on it are looked at with what is open not known: where
no rule that reads it could stand in the way of any of them, no answer, nor several at once, can send the plan another
way. Only where one could are the plans built with the answers, and held against each other.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

from advisor.advice.build import build_plan
from advisor.infer import reference

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from advisor.advice.build import Built
    from advisor.advice.report import Report
    from advisor.case.facts import Facts, FactSet
    from advisor.interview.relevance import Put, Relevance
    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

# Combinations of answers for which plans are built; what is not settled by then is asked.
MOST_BUILT = 12


Reached = Callable[[set[str], "Rulebase"], "tuple[tuple[CheckedRule, ...], frozenset[str]]"]


class Mending:
    """Looks at the plans that come of open answers once they are mended.

    All that is open has been tried on the drafts, and changes none of them.

    Parameters
    ----------
    relevance : Relevance
        Whose questions and outcomes these are.
    now : datetime or None
        When the plan would be begun.
    reached : callable
        Rules and facts that some facts reach.
    """

    def __init__(self, relevance: Relevance, now: datetime | None, reached: Reached) -> None:
        self.relevance, self.now = relevance, now
        self.reached = reached

    def next(self, here: Put, open_questions: Sequence[Question]) -> Question | None:
        """The first question whose answer changes the mended plan; None when none does."""
        built, tried = self.built(here)
        reach = {one.id: self.reached({_moved(one)}, self.relevance.rulebase) for one in open_questions}
        names = frozenset[str]().union(*(moved for _, moved in reach.values()))
        ends = _without(built.report.inference.facts, names)
        roads = [_without(report.inference.facts, names) for report in tried]
        doubtful = [
            question
            for question in open_questions
            if not _moved(question).startswith("guests ")
            or _may_stand(filter(_is_shown, reach[question.id][0]), [ends])
            or _may_stand(filter(_decides, reach[question.id][0]), roads)
        ]
        before = shown(built)
        # Guests change no temperatures, so their answers are tried first: nothing is walked anew for them.
        for question in sorted(doubtful, key=lambda one: not _moved(one).startswith("guests ")):
            if any(shown(self.built(put)[0]) != before for put in self.relevance.answers(question, here)):
                return question
        return self.together(here, doubtful, before) if len(doubtful) > 1 else None

    def built(self, here: Put) -> tuple[Built, list[Report]]:
        """The plan for a case, and all that was tried on the way to it."""
        drafting = self.relevance.outcomes.drafting()
        plan = build_plan(here.case, here.softeners, self.relevance.rulebase, self.now, drafting)
        return plan, drafting.examine.reports

    def together(self, here: Put, questions: Sequence[Question], before: tuple[object, ...]) -> Question | None:
        """The first question of some whose answers change the plan together."""
        choices = [(None, *range(len(self.relevance.answers(question, here)))) for question in questions]
        several = [picked for picked in product(*choices) if sum(number is not None for number in picked) > 1]
        if len(several) > MOST_BUILT:
            return questions[0]
        for picked in several:
            put = here
            for question, number in zip(questions, picked, strict=True):
                if number is not None:
                    put = self.relevance.answers(question, put)[number]
            if shown(self.built(put)[0]) != before:
                return next(q for q, number in zip(questions, picked, strict=True) if number is not None)
        return None


def shown(built: Built) -> tuple[object, ...]:
    """What the cook is told to do, and what is said of it."""
    steps = tuple(
        (
            step.action,
            tuple(sorted((name, str(given.value)) for name, given in step.given.items())),
            tuple((item.what, item.form, item.grams) for item in step.ingredients),
        )
        for step in built.report.computed.case.steps
    )
    found = tuple(sorted((f.rule.rule.id, -1 if f.step is None else f.step) for f in built.report.inference.findings))
    return built.best.way.name, built.report.verdict, steps, found


def _decides(checked: CheckedRule) -> bool:
    """Whether a rule can send a plan another way: it stands in the way, or moves what another rule reads."""
    conclusion = checked.rule.concludes
    return conclusion.verdict not in (None, "go") or bool(conclusion.fact) or bool(checked.rule.exception_to)


def _moved(question: Question) -> str:
    """The fact that an answer moves: no draft has anything put on, so softeners are known by their being there."""
    return "guests softener" if question.fact == "steps softeners" else question.fact


def _is_shown(checked: CheckedRule) -> bool:
    """Whether a rule puts something beside the plan; which ways it picks has been tried on the drafts."""
    return checked.rule.concludes.verdict is not None or _decides(checked)


def _may_stand(rules: Iterable[CheckedRule], cases: Sequence[FactSet]) -> bool:
    return any(reference.could_fire(rule, facts) for rule in rules for facts in cases)


def _without(facts: FactSet, names: frozenset[str]) -> FactSet:
    """The facts with some of them not known."""

    def left(subject: str, group: Facts) -> Facts:
        gone = {name for name in group if f"{subject} {name}" in names}
        return {name: fact for name, fact in group.items() if name not in gone} if gone else group

    return replace(
        facts,
        piece=left("piece", facts.piece),
        guests=left("guests", facts.guests),
        course=left("course", facts.course),
        steps=tuple(left("step", group) for group in facts.steps),
    )
