"""What an option says of a case, and the one road that confirms or refutes it.

Nothing about a right answer is written down anywhere: an option is right when every claim it makes holds, wrong when
one does not, and then the rule that refutes it is named with the margin by which it does.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal

from advisor.advice.report import VERDICTS, Engine, examine, severity, worst
from advisor.case.facts import Fact
from advisor.infer import infer, judge, why_not
from advisor.infer.examples import facts_from_example
from advisor.infer.reference import could_fire, first_failing
from advisor.knowledge.conditions import conditions_of
from advisor.knowledge.records import Example

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.facts import FactSet
    from advisor.case.model import Case
    from advisor.infer.proof import Finding, Inference, Judged
    from advisor.knowledge.quizbook import QuizSettings
    from advisor.knowledge.records import Quantity, Verdict
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System

FILLED: Final = "as it should be"
Kind = Literal["rule", "verdict", "fact", "between", "technique", "first"]


@dataclass(frozen=True)
class Claim:
    """One thing that an option says of one case.

    Parameters
    ----------
    case : Example or Case
        A small set of facts, or a whole plan.
    kind : {"rule", "verdict", "fact", "between", "technique", "first"}
        What is spoken of: whether a rule speaks; what the rules ask; the value of a fact; a fact between two
        figures; whether a way of working is chosen; which rule's fault is the worst.
    about : str
        The rule, the fact as ``subject name`` (``step2 core_end`` for one of a step), or the technique.
    says : str
        ``fires`` or ``silent``; a verdict, or ``not`` and a verdict; a word; ``choose`` or ``rule out``.
    low, high : float
        Ends, for ``between``.
    rule : str
        Rule to name when no other is at hand.
    """

    case: Example | Case
    kind: Kind
    about: str = ""
    says: str = ""
    low: float = 0.0
    high: float = 0.0
    rule: str = ""

    @cached_property
    def key(self) -> str:
        """Name of the case, the same for equal cases."""
        return self.case.model_dump_json() if isinstance(self.case, Example) else repr(self.case)


@dataclass(frozen=True, slots=True)
class Margin:
    """How far a figure is on the one side of its limit."""

    value: float
    bound: float
    quantity: Quantity

    def enough(self, settings: QuizSettings) -> bool:
        """Tell whether it is wide enough that nobody is wrong by a hair."""
        if self.quantity == "temperature":
            return self.value >= settings.margin_degrees - 1e-6
        return self.value >= settings.margin_share * abs(self.bound) - 1e-6 and self.value > 0.0

    def words(self, system: System) -> str:
        """Write it as the cook reads it."""
        from advisor.units import write_quantity

        kind: Quantity = "temperature_difference" if self.quantity == "temperature" else self.quantity
        return write_quantity(self.value, kind, system)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the road says of a claim: whether it holds, by which rule, and by how much.

    ``margin`` is None where words decide and no figure does. ``says`` and ``consequence`` are the rule's own words;
    ``stricter`` when what was claimed asks more than the rules do.
    """

    holds: bool
    rule: str
    margin: Margin | None = None
    says: str = ""
    consequence: str = ""
    stricter: bool = False


@dataclass(frozen=True, slots=True)
class Judgement:
    """One case, run down the road."""

    inference: Inference
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """Worst of the findings."""
        return worst([finding.verdict for finding in self.findings])

    @property
    def problems(self) -> tuple[Finding, ...]:
        """What stands in the way, worst first."""
        return tuple(sorted((f for f in self.findings if f.verdict != "go"), key=severity, reverse=True))


class Road:
    """The one road, with what it has said already kept.

    Parameters
    ----------
    rulebase : Rulebase
        As the kitchen has it: under its food code and house file.
    engine : {"auto", "durable", "reference"}
        Which evaluator answers.
    system : {"metric", "us"}
        The cook's units, for the texts.
    """

    def __init__(self, rulebase: Rulebase, engine: Engine = "reference", system: System = "metric") -> None:
        self.rulebase, self.engine, self.system = rulebase, engine, system
        self._kept: dict[str, Judgement] = {}

    def judge(self, claim: Claim) -> Judgement:
        """Run the case of a claim, once."""
        kept = self._kept.get(claim.key)
        if kept is None:
            kept = self._kept[claim.key] = self._run(claim.case)
        return kept

    def _run(self, case: Example | Case) -> Judgement:
        if isinstance(case, Example):
            facts = facts_from_example(case, self.rulebase)
            inference = infer(self.rulebase, settled(facts, self.rulebase), self.system, self.engine)
            return Judgement(inference, tuple(f for f in inference.findings if not _unasked(f, facts)))
        inference = examine(case, self.rulebase, self.engine).inference
        return Judgement(inference, inference.findings)

    def outcome(self, claim: Claim) -> Outcome:
        """Hold a claim against what the road says."""
        judgement = self.judge(claim)
        match claim.kind:
            case "rule":
                return self._of_rule(claim, judgement)
            case "verdict":
                return self._of_verdict(claim, judgement)
            case "technique":
                return self._of_technique(claim, judgement)
            case "first":
                return self._of_first(claim, judgement)
            case _:
                return self._of_fact(claim, judgement)

    def of_all(self, claims: Sequence[Claim]) -> Outcome:
        """Hold several claims: the first that is refuted, else the last."""
        outcomes = [self.outcome(claim) for claim in claims]
        return next((one for one in outcomes if not one.holds), outcomes[-1])

    def _of_rule(self, claim: Claim, judgement: Judgement) -> Outcome:
        fired = next((f for f in judgement.inference.firings if f.rule_id == claim.about), None)
        if fired is not None:
            from advisor.infer.infer import figures

            checked = self.rulebase.rules[claim.about]
            margin = self._margin(figures(checked, fired, judgement.inference.facts))
            finding = next((f for f in judgement.findings if f.rule.rule.id == claim.about), None)
            says, consequence = (finding.says, _consequence(finding)) if finding is not None else ("", "")
            return Outcome(claim.says == "fires", claim.about, margin, says or checked.rule.because, consequence)
        silent, margin = claim.says == "silent", self._short(claim.about, judgement.inference.facts)
        return Outcome(silent, claim.about, margin, stricter=not silent)

    def _of_verdict(self, claim: Claim, judgement: Judgement) -> Outcome:
        wanted = claim.says.removeprefix("not ")
        holds = (judgement.verdict == wanted) != claim.says.startswith("not ")
        stricter = not holds and (
            VERDICTS.index(wanted) > VERDICTS.index(judgement.verdict) or claim.says.startswith("not ")
        )
        if judgement.problems:
            finding = judgement.problems[0]
            margin = self._margin(finding.figures)
            return Outcome(holds, finding.rule.rule.id, margin, finding.says, _consequence(finding), stricter)
        rule = claim.rule or claim.about
        margin = self._short(rule, judgement.inference.facts) if rule else None
        return Outcome(holds, rule, margin, stricter=stricter)

    def _of_first(self, claim: Claim, judgement: Judgement) -> Outcome:
        first = judgement.problems[0] if judgement.problems else None
        if first is None:
            return Outcome(holds=False, rule=claim.about)
        name = first.rule.rule.id
        speaks = any(f.rule.rule.id == claim.about for f in judgement.problems)
        if name == claim.about or speaks:
            return Outcome(name == claim.about, name, self._margin(first.figures), first.says, _consequence(first))
        # It does not speak at all: its own condition says by how much it is kept.
        margin = self._short(claim.about, judgement.inference.facts)
        return Outcome(holds=False, rule=claim.about, margin=margin, says=first.says, consequence=_consequence(first))

    def _of_technique(self, claim: Claim, judgement: Judgement) -> Outcome:
        for technique in judgement.inference.techniques:
            if technique.name == claim.about and technique.fit == claim.says:
                return Outcome(holds=True, rule=technique.rule.rule.id, says=technique.says)
        rule = next(
            (
                name
                for name, one in self.rulebase.rules.items()
                if one.rule.concludes.technique == claim.about and one.rule.concludes.fit == claim.says
            ),
            claim.rule,
        )
        return Outcome(holds=False, rule=rule)

    def could_choose(self, claim: Claim) -> bool:
        """Tell whether a way of working could still be chosen if what is not said turned out so."""
        facts = self.judge(claim).inference.facts
        return any(
            could_fire(one, facts)
            for one in self.rulebase.rules.values()
            if one.rule.concludes.technique == claim.about and one.rule.concludes.fit == claim.says
        )

    def _of_fact(self, claim: Claim, judgement: Judgement) -> Outcome:
        subject, _, name = claim.about.partition(" ")
        place = int(subject.removeprefix("step")) - 1 if subject.startswith("step") else None
        subject = "step" if place is not None else subject
        fact = judgement.inference.facts.of(subject, place).get(name)
        value = fact.value if fact is not None else None
        rule = fact.by if fact is not None and fact.by in self.rulebase.rules else claim.rule
        says = self.rulebase.rules[rule].rule.because if rule in self.rulebase.rules else ""
        if claim.kind == "fact":
            return Outcome(value == claim.says, rule, None, says)
        if not isinstance(value, float | int):
            return Outcome(holds=False, rule=rule)
        quantity = self.rulebase.vocabulary[subject][name].quantity
        off = max(claim.low - value, value - claim.high, 0.0)
        margin = Margin(off, (claim.low + claim.high) / 2.0, quantity) if off and quantity else None
        return Outcome(claim.low <= value <= claim.high, rule, margin, says)

    def _margin(self, figures: Sequence[Judged]) -> Margin | None:
        """Widest of the margins by which the conditions of a rule hold, as a share of their limits."""
        margins = [m for m in map(self._of_condition, figures) if m is not None]
        return max(margins, key=lambda m: m.value / max(abs(m.bound), 1e-9), default=None)

    def _short(self, rule: str, facts: FactSet) -> Margin | None:
        """By how much the first condition that fails keeps a rule from speaking."""
        failing = first_failing(why_not(self.rulebase.rules[rule], facts))
        return self._of_condition(failing) if failing is not None else None

    def _of_condition(self, judged: Judged) -> Margin | None:
        condition = judged.condition
        quantity = self.rulebase.vocabulary[condition.subject][condition.fact].quantity
        if judged.margin is None or condition.bound is None or quantity is None:
            return None
        return Margin(abs(judged.margin), condition.bound, quantity)


def settled(facts: FactSet, rulebase: Rulebase) -> FactSet:
    """Say of a small set of facts that all else is harmless, where rules conclude facts from it.

    Not knowing is taken at its worst, as it must be in a kitchen; then meat of which nothing is said would count as
    game, and the rule that an example is about would no longer see its own meat. What a situation does not tell is
    as it should be. An item in which such a filling decides is refused (`rests_on_filling`).
    """
    for checked in rulebase.rules.values():
        if not checked.rule.concludes.fact:
            continue
        for condition in conditions_of(checked.alternatives):
            entry = rulebase.vocabulary[condition.subject][condition.fact]
            if condition.subject == "step" or entry.concluded or not entry.choices:
                continue
            if condition.fact not in facts.of(condition.subject):
                facts = facts.with_fact(
                    Fact(condition.subject, condition.fact, entry.choices[0], "assumed typical", note=FILLED)
                )
    return facts


def rests_on_filling(finding: Finding, judgement: Judgement) -> bool:
    """Tell whether a finding rests on something that the situation does not tell."""
    filled = {fact.id for fact in judgement.inference.facts.all() if fact.note == FILLED}
    return any(name in filled for name in finding.fact_ids)


def hangs_on_one_more(judgement: Judgement, rulebase: Rulebase) -> bool:
    """Tell whether one thing that is not told could still stop a situation that seems clean.

    That is so where a rule of safety or law has all its conditions but one met, a figure among them, and the one is
    not known: of a rare steak, say, whether its outside got hot. A share of a cook that is told means that it cooks.
    """
    facts = judgement.inference.facts
    for checked in rulebase.rules.values():
        if checked.rule.concern in ("safety", "law") and checked.rule.concludes.verdict in ("change", "stop"):
            for alternative in checked.alternatives:
                steps: Sequence[int | None] = range(len(facts.steps)) or (None,)
                for step in steps:
                    judged = [judge(c, facts, step) for c in alternative.conditions if c.fact != "has_cook"]
                    met = [one for one in judged if one.state == "true"]
                    open_ones = sum(one.state == "unknown" for one in judged)
                    if open_ones == 1 and len(met) == len(judged) - 1 and any(one.margin is not None for one in met):
                        return True
    return False


def _unasked(finding: Finding, facts: FactSet) -> bool:
    """Tell whether a finding rests on not knowing what the situation does not speak of."""
    return any(
        judged.condition.comparison == "is not known"
        and judged.condition.fact not in facts.of(judged.condition.subject, judged.step)
        for judged in finding.figures
    )


def _consequence(finding: Finding) -> str:
    return finding.caution[1] if finding.caution is not None else ""
