"""Walks down from a finding or a step to the facts, the functions and the sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.errors import InputError
from advisor.knowledge.conditions import conditions_of
from advisor.show.law import law_line
from advisor.show.table_law import table_line
from advisor.show.words import value_words

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.case.facts import Fact
    from advisor.infer.proof import Finding
    from advisor.knowledge.rulebase import Rulebase

MOST_INPUTS = 6


def how_lines(report: Report, word: str, rulebase: Rulebase) -> list[tuple[int, str]]:
    """Lines of the walk, each with its depth.

    Parameters
    ----------
    word : str
        A rule id, ``step 3`` or ``3`` for all that is said of a step, or a fact such as ``course.kill_share``.

    Raises
    ------
    InputError
        The word names nothing in this report.
    """
    key = word.strip().lower().removeprefix("how ").strip()
    number = key.removeprefix("step").strip()
    if number.isdigit() and 1 <= int(number) <= len(report.computed.case.steps):
        findings = list(report.of_step(int(number) - 1))
    else:
        findings = [f for f in report.inference.findings if f.rule.rule.id == key]
    lines: list[tuple[int, str]] = []
    for finding in findings:
        lines += _finding(finding, report, rulebase)
    if findings and number.isdigit():
        lines += _step_facts(int(number), report, rulebase)
    if not lines and key in rulebase.rules:
        return _not_fired(key, report, rulebase)
    facts = {fact.id: fact for fact in report.inference.facts.all()}
    if not lines and key.replace(" ", ".", 1) in facts:
        lines = _fact(facts[key.replace(" ", ".", 1)], facts, report, rulebase, 0)
    if not lines:
        ids = sorted({f.rule.rule.id for f in report.inference.findings})
        raise InputError(f"'{word}' is nothing in this plan.", f"Write a step number or one of: {', '.join(ids)}.")
    return lines


def _finding(finding: Finding, report: Report, rulebase: Rulebase) -> list[tuple[int, str]]:
    rule = finding.rule.rule
    facts = {fact.id: fact for fact in report.inference.facts.all()}
    lines = [(0, f"{rule.id}: {finding.says}"), (1, f"because {finding.because}")]
    lines.append((1, f"stands in rulebase/{finding.rule.file}; concern {rule.concern}; basis {rule.basis}"))
    for judged in finding.figures:
        lines.append((1, f"holds: {judged.condition}{_bound(judged.condition.limit, report, rulebase)}"))
        subject = (
            f"step{(judged.step if judged.step is not None else 0) + 1}"
            if judged.condition.subject == "step"
            else judged.condition.subject
        )
        fact = facts.get(f"{subject}.{judged.condition.fact}")
        if fact is not None:
            lines += _fact(fact, facts, report, rulebase, 2)
    if table := table_line(finding, report, rulebase):
        lines.append((1, f"law: {table}"))
    for cite in finding.sources:
        source = rulebase.sources[cite.id]
        section = f", {cite.section}" if cite.section else ""
        standing, known = source.standing.replace("_", " "), source.known.replace("_", " ")
        lines.append((1, f"source: {source.title}, {source.edition}{section} ({standing}, {known})"))
    if rule.contested:
        lines.append((1, f"contested: {rule.contested}"))
    return lines


def _step_facts(number: int, report: Report, rulebase: Rulebase) -> list[tuple[int, str]]:
    """Every fact of a step: what was said, what was assumed, and what the course computed."""
    facts = {fact.id: fact for fact in report.inference.facts.all()}
    lines = [(0, f"facts of step {number}")]
    for fact in report.inference.facts.steps[number - 1].values():
        if fact.origin == "computed" and fact.value in ("no", None):
            continue  # a long list of what is not done in it
        lines += _fact(fact, facts, report, rulebase, 1)
    return lines


def _bound(limit: str, report: Report, rulebase: Rulebase) -> str:
    if not limit:
        return ""
    from advisor.units import write_quantity

    entry = rulebase.limits[limit]
    cite = entry.source[0]
    place = f"{rulebase.sources[cite.id].title}{', ' + cite.section if cite.section else ''}"
    shown = write_quantity(entry.value, entry.quantity, report.case.system)
    law = law_line(limit, rulebase, report.case.system)
    return f" = {shown} ({entry.means}; {place}; {entry.basis}){'. ' + law if law else ''}"


def _fact(fact: Fact, facts: dict[str, Fact], report: Report, rulebase: Rulebase, depth: int) -> list[tuple[int, str]]:
    subject = "step" if fact.subject.startswith("step") else fact.subject
    entry = rulebase.vocabulary.get(subject, {}).get(fact.name)
    shown = value_words(fact.value, entry, report.case.system) if entry is not None else str(fact.value)
    origin = f"{fact.origin} by {fact.by}" if fact.by else fact.origin
    said = f" ('{fact.as_written}')" if fact.as_written else ""
    note = f" - {fact.note}" if fact.note else ""
    lines = [(depth, f"{fact.id} = {shown}{said}: {origin}{note}")]
    if fact.low is not None and fact.high is not None and fact.high > fact.low and entry is not None and entry.quantity:
        from advisor.units import write_range

        lines.append((depth + 1, f"range {write_range(fact.low, fact.high, entry.quantity, report.case.system)}"))
    lines += [(depth + 1, f"less sure: {doubt}") for doubt in fact.doubts]
    inputs = [facts[name] for name in fact.inputs if name in facts]
    for needed in inputs[:MOST_INPUTS]:
        lines += _fact(needed, {}, report, rulebase, depth + 1)
    if len(inputs) > MOST_INPUTS:
        lines.append((depth + 1, f"and {len(inputs) - MOST_INPUTS} more facts of the steps"))
    return lines


def _not_fired(rule_id: str, report: Report, rulebase: Rulebase) -> list[tuple[int, str]]:
    """Say why a rule says nothing here: the first condition that failed, and by how much."""
    from advisor.infer.reference import why_not

    checked = rulebase.rules[rule_id]
    lines = [(0, f"{rule_id} says nothing of this plan.")]
    for judged in why_not(checked, report.inference.facts):
        margin = f", off by {abs(judged.margin):.3g}" if judged.margin is not None and judged.state == "false" else ""
        lines.append((1, f"{judged.state}: {judged.condition}{margin}"))
    if len(lines) == 1:
        lines += [(1, f"needs: {condition}") for condition in conditions_of(checked.alternatives)]
    return lines
