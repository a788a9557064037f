"""What is said after an answer: right or wrong, why, by which rule and source, what the wrong choice would do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.infer.text import NOT_KNOWN, fill
from advisor.quiz.items import refutation

if TYPE_CHECKING:
    from advisor.knowledge.records import Cite
    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.claims import Road
    from advisor.quiz.items import Item, Option


@dataclass(frozen=True, slots=True)
class Feedback:
    """What is said after an answer.

    Parameters
    ----------
    right : bool
        Whether the choice was right.
    key : str
        The right option.
    why : str
        The mechanism of the rule.
    rule : str
        The rule that decides.
    sources : tuple of str
        Where it rests, and how that is known.
    belief, refuted_by, margin, would : str
        Of a wrong choice: what is believed by those who make it, the rule that refutes it, by how much, and what it
        would do to the food or the guest. Empty for a right one.
    differs : str
        Where the trade disagrees.
    """

    right: bool
    key: str
    why: str
    rule: str
    sources: tuple[str, ...]
    belief: str = ""
    refuted_by: str = ""
    margin: str = ""
    would: str = ""
    differs: str = ""


def feedback(item: Item, place: int, road: Road) -> Feedback:
    """Say what there is to say of a choice."""
    rulebase, chosen, key = road.rulebase, item.options[place], item.options[item.key]
    rule = rulebase.rules[item.rule_id].rule
    why, sources = because(item.rule_id, key, road), source_lines(item.rule_id, rulebase)
    if not chosen.misconception:
        return Feedback(right=True, key=key.text, why=why, rule=item.rule_id, sources=sources, differs=rule.contested)
    outcome = refutation(chosen, road)
    margin = outcome.margin.words(road.system) if outcome.margin is not None else ""
    belief = rulebase.quiz.misconceptions[chosen.misconception].believes
    return Feedback(
        right=False,
        key=key.text,
        why=why,
        rule=item.rule_id,
        sources=sources,
        belief=belief,
        refuted_by=outcome.rule,
        margin=margin,
        would=would(item, chosen, road),
        differs=rule.contested,
    )


def because(rule_id: str, key: Option, road: Road) -> str:
    """Mechanism of a rule, with the figures of the case where it has any."""
    facts = road.judge(key.claims[0]).inference.facts
    text = fill(
        road.rulebase.rules[rule_id].rule.because, road.rulebase, facts, 0 if facts.steps else None, road.system
    )
    return text if NOT_KNOWN not in text else text.replace(NOT_KNOWN, "such meat")


def would(item: Item, chosen: Option, road: Road) -> str:
    """What a wrong choice would do: the consequence that the refuting rule names, else what the rule says."""
    outcome = refutation(chosen, road)
    if outcome.stricter:
        return road.rulebase.quiz.stricter
    if outcome.consequence:
        return outcome.consequence
    for name in dict.fromkeys((outcome.rule, item.rule_id)):
        caution = road.rulebase.rules[name].rule.caution
        if caution is not None and "{" not in caution.consequence:
            return caution.consequence
    return outcome.says


def source_lines(rule_id: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Sources of a rule, each with how it is known; the basis of the rule at the end."""
    rule = rulebase.rules[rule_id].rule
    return (*(_source(cite, rulebase) for cite in rule.source), f"basis: {rule.basis}")


def _source(cite: Cite, rulebase: Rulebase) -> str:
    source = rulebase.sources[cite.id]
    section = f", {cite.section}" if cite.section else ""
    return f"{source.title}{section} ({source.known.replace('_', ' ')})"
