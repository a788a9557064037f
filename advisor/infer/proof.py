"""The record of what fired and why: everything that is said later can be walked back from here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from advisor.case.facts import FactSet, Value
    from advisor.knowledge.conditions import Condition
    from advisor.knowledge.records import Cite, Concern, Signal, Verdict
    from advisor.knowledge.rulebase import CheckedRule

State = Literal["true", "false", "unknown"]
Evaluator = Literal["durable-rules", "reference evaluator"]


@dataclass(frozen=True, slots=True)
class Firing:
    """One rule that holds.

    Parameters
    ----------
    rule_id : str
        The rule.
    alternative : int
        Which of its alternatives held, from 0; the lowest when several did.
    step : int or None
        Step that it speaks of, from 0; None when it names no step.
    """

    rule_id: str
    alternative: int
    step: int | None


@dataclass(frozen=True, slots=True)
class Judged:
    """One condition held against the facts.

    Parameters
    ----------
    condition : Condition
        What was asked.
    state : {"true", "false", "unknown"}
        What came out.
    value : float, str or None
        Value of the fact, in its fixed unit.
    margin : float or None
        Signed distance to the limit in the fact's unit, not negative when it holds; None for words.
    step : int or None
        Step whose fact was looked at, from 0.
    under_none : bool
        The condition stands under ``none``: that all there are met keeps the rule from firing.
    """

    condition: Condition
    state: State
    value: Value
    margin: float | None
    step: int | None
    under_none: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule has to say of this case, with the texts filled in.

    Parameters
    ----------
    rule : CheckedRule
        The rule as written.
    verdict, signal, concern : str
        What to do, how bad it is, and whose business it is.
    step : int or None
        Step that it speaks of, from 0.
    says, because, beside : str
        Texts of the rule with figures.
    caution : tuple of str or None
        Hazard, consequence, and what to do instead.
    figures : tuple of Judged
        Conditions of the alternative that held.
    fact_ids : tuple of str
        Facts that were looked at.
    sources : tuple of Cite
        Where the rule rests.
    doubts : tuple of str
        Where the models behind its facts were asked beyond what they were checked over.
    """

    rule: CheckedRule
    verdict: Verdict
    signal: Signal
    concern: Concern
    step: int | None
    says: str
    because: str
    caution: tuple[str, str, str] | None
    beside: str
    figures: tuple[Judged, ...]
    fact_ids: tuple[str, ...]
    sources: tuple[Cite, ...]
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Technique:
    """A way of working that a rule chooses or rules out."""

    name: str
    fit: str
    rule: CheckedRule
    says: str
    because: str


@dataclass(frozen=True, slots=True)
class Inference:
    """All that follows from the facts of one case.

    Parameters
    ----------
    facts : FactSet
        The given facts and those the rules concluded.
    findings : tuple of Finding
        In the order of the rulebase, then of the steps; without those that an exception takes away.
    techniques : tuple of Technique
        Chosen or ruled out.
    firings : tuple of Firing
        Every rule that held, those overruled by an exception included.
    engine : str
        Which evaluator answered.
    """

    facts: FactSet
    findings: tuple[Finding, ...]
    techniques: tuple[Technique, ...]
    firings: tuple[Firing, ...]
    engine: Evaluator
