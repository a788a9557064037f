"""What is said after an answer: right or wrong, why, by which rule and source, what the wrong choice would do."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from advisor.infer import why_not
from advisor.infer.reference import first_failing
from advisor.infer.text import NOT_KNOWN, fill
from advisor.knowledge.checks import PLACEHOLDER
from advisor.knowledge.records import Example
from advisor.quiz.from_rules import SENTENCE, fit_reasons
from advisor.quiz.items import refutation
from advisor.quiz.situations import filled

if TYPE_CHECKING:
    from advisor.case.facts import FactSet
    from advisor.knowledge.records import Cite, Rule
    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.claims import Road
    from advisor.quiz.items import Item, Option

OF_PLANS: Final = frozenset({"first", "mend", "order"})


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
    # A belief is refuted on a case of its own, which the learner has not seen; its figures would only puzzle.
    margin = outcome.margin.words(road.system) if outcome.margin is not None and item.kind != "reason" else ""
    held = rulebase.quiz.misconceptions[chosen.misconception]
    belief = chosen.text if chosen.text in held.wordings else held.believes
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
    """Mechanism of a rule, with the figures of the case where it has any; of a clean case, why it is clean."""
    judgement, rule = road.judge(key.claims[0]), road.rulebase.rules[rule_id].rule
    claim = key.claims[0]
    clean = isinstance(claim.case, Example) and claim.kind == "verdict" and claim.says == "go"
    if clean and not any(one.rule_id == rule_id for one in judgement.inference.firings):
        return " ".join(part for part in (_kept(rule_id, judgement.inference.facts, road), _beyond(rule, road)) if part)
    facts = judgement.inference.facts
    text = fill(of_the_meat(rule.because, road), road.rulebase, facts, 0 if facts.steps else None, road.system)
    # Where a figure of the case is wanting, and not where the rule itself speaks of what is not known.
    return text.replace(NOT_KNOWN, "such meat") if PLACEHOLDER.search(rule.because) else text


def of_the_meat(because: str, road: Road) -> str:
    """Leave out of a reason what speaks of how we know it; that stands with the sources."""
    patterns = [re.compile(one, re.IGNORECASE) for one in road.rulebase.quiz.unfit_reasons.get("of_us", [])]
    said = [one for one in SENTENCE.split(because) if not any(pattern.search(one) for pattern in patterns)]
    return " ".join(said) or because


def _kept(rule_id: str, facts: FactSet, road: Road) -> str:
    """What keeps a rule from speaking: the line that is kept, or what would have to be so."""
    from advisor.units import write_quantity

    failing = first_failing(why_not(road.rulebase.rules[rule_id], facts))
    if failing is None:
        return ""
    condition = failing.condition
    entry = road.rulebase.vocabulary[condition.subject][condition.fact]
    if condition.bound is not None and entry.quantity is not None:
        if entry.quantity == "count":
            return "The line here is kept."
        return f"The line here is {write_quantity(condition.bound, entry.quantity, road.system)}, and it is kept."
    said = road.rulebase.quiz.situations.get(f"{condition.subject} {condition.fact}", "")
    cases = [said.get(choice, "") for choice in condition.choices] if not isinstance(said, str) else []
    if condition.comparison not in ("is", "is one of") or not any(cases):
        return "No line is passed here."
    choice, case = next((c, one) for c, one in zip(condition.choices, cases, strict=True) if one)
    case = filled(case, choice, condition.subject, condition.fact, road.rulebase, road.system)
    return f"No line is passed here. It would be in this case: {case}"


def _beyond(rule: Rule, road: Road) -> str:
    """Reason of a rule that does not speak here, where it needs no figures and stands without the case."""
    fits = fit_reasons(rule.because, road.rulebase.quiz)
    return f"The line is there for this: {fits[0]}" if fits and not PLACEHOLDER.search(fits[0]) else ""


def would(item: Item, chosen: Option, road: Road) -> str:
    """What a wrong choice would do: as the belief names it, or the rule that refutes it; else what the rule says."""
    outcome = refutation(chosen, road)
    rules = road.rulebase.rules
    # What the case of the item does not tell would read "not known"; then the rule's reason stands in its place.
    because = rules[outcome.rule].rule.because
    instead = "" if PLACEHOLDER.search(because) else because
    says = instead if NOT_KNOWN in outcome.says else outcome.says
    consequence = "" if NOT_KNOWN in outcome.consequence else outcome.consequence
    leads_to = road.rulebase.quiz.misconceptions[chosen.misconception].leads_to
    # In a whole plan what comes of it is what the rule says that the choice breaks there.
    if leads_to and not (consequence and item.kind in OF_PLANS):
        return leads_to
    if outcome.stricter:
        return road.rulebase.quiz.stricter
    if consequence:
        return consequence
    # What the rule that refutes it says comes before what another rule warns of: too long a bath kills all the same.
    own, asked = (rules[name].rule.caution for name in (outcome.rule, item.rule_id))
    if own is not None and "{" not in own.consequence:
        return own.consequence
    if says or asked is None or "{" in asked.consequence:
        return says
    return asked.consequence


def source_lines(rule_id: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Sources of a rule, each with how it is known; the basis of the rule at the end."""
    rule = rulebase.rules[rule_id].rule
    return (*(_source(cite, rulebase) for cite in rule.source), f"basis: {rule.basis}")


def _source(cite: Cite, rulebase: Rulebase) -> str:
    source = rulebase.sources[cite.id]
    known = source.known.replace("_", " ")
    section = f", {cite.section}" if cite.section and cite.section != known else ""
    return f"{source.title}{section} ({known})"
