"""What every maker of items works with, and how it says that it made none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.errors import RulebaseError
from advisor.quiz.claims import Claim, Road
from advisor.quiz.situations import NoWordsError, sentences

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.model import Case
    from advisor.infer.proof import Finding
    from advisor.knowledge.quizbook import QuizBook, QuizSettings
    from advisor.knowledge.records import Example, Rule
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System


class Refused(Exception):  # noqa: N818 - making nothing is no error
    """No item was made; the reason is counted."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Bench:
    """Rules, road and words, and the plans that whole-plan items are made from.

    Parameters
    ----------
    rulebase : Rulebase
        As the kitchen has it.
    plans : mapping
        Name of a plan to its case.
    system : {"metric", "us"}
        Units of the texts.
    """

    def __init__(self, rulebase: Rulebase, plans: Mapping[str, Case], system: System = "metric") -> None:
        self.rulebase, self.plans, self.system = rulebase, plans, system
        self.road = Road(rulebase, "reference", system)
        self.mends: dict[str, object] = {}
        if rulebase.quiz.settings is None:
            raise RulebaseError("quiz.yaml", 0, "The settings of the quiz are missing.", "Take the shipped file.")
        self.settings: QuizSettings = rulebase.quiz.settings

    @property
    def book(self) -> QuizBook:
        """Misconceptions and words."""
        return self.rulebase.quiz

    def rule(self, rule_id: str) -> Rule:
        """A rule as written."""
        return self.rulebase.rules[rule_id].rule

    def words(self, example: Example) -> str:
        """Tell a situation.

        Raises
        ------
        Refused
            A fact of it has no words.
        """
        for clash in self.book.clashes:
            if all(_stands(example, fact, value) for fact, value in clash.items()):
                raise Refused("the situation contradicts itself")
        try:
            return " ".join(sentences(example, self.rulebase, self.system))
        except NoWordsError as error:
            raise Refused(f"no words for a fact: {error}") from error

    def ask(self, name: str, rule_id: str) -> str:
        """Question of a kind; where opinions differ it says by whose rules."""
        asked = self.book.asks[name]
        return f"{self.book.asks['contested']} {asked}" if self.rule(rule_id).contested else asked

    def plan(self, name: str) -> Case:
        """A plan of that name.

        Raises
        ------
        Refused
            It names its own food code, and would be judged under another than the kitchen's.
        """
        if self.plans[name].code:
            raise Refused("the plan names its own food code")
        return self.plans[name]

    def problems(self, name: str) -> tuple[Finding, ...]:
        """What is wrong with a plan, worst first; run down the road when it is first asked for."""
        return self.road.judge(Claim(self.plan(name), "verdict")).problems


def _stands(example: Example, fact: str, value: str) -> bool:
    subject, _, name = fact.partition(" ")
    group = getattr(example, subject)
    return name in group and value in ("any", str(group[name]))
