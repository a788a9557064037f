"""Shows rules to whoever wants to read them, and what else their words name: limits, cuts, softeners."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.audit.lookup import NAMED, look_up
from advisor.audit.plain import (
    alternative_words,
    conclusion_words,
    example_words,
    facts_named,
    figure,
    limits_of_rule,
    mend_words,
    plain,
    texts_of,
)
from advisor.audit.related import exceptions, neighbours
from advisor.errors import InputError
from advisor.show.entries import cut_entry, limit_entry, material_entry, one_line, softener_entry, source_line
from advisor.show.page import Page

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.audit.lookup import Hit
    from advisor.knowledge.records import Rule
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

# No more than this are shown whole, and no more than that one a line, unless they were named as one subject.
MOST_WHOLE = 2
MOST_LINES = 12
MOST_NEIGHBOURS = 5
IN_BRACKETS = "What stands in [ ] is worked out for each plan."
WHOLE = {"limit": limit_entry, "cut": cut_entry, "softener": softener_entry, "material": material_entry}


def show_rules(words: str, rulebase: Rulebase, console: Console) -> None:
    """Print what some words name or speak of: whole when it is little, one line each when it is much.

    Raises
    ------
    InputError
        Nothing has the words; the hint gives the nearest names.
    """
    page = Page(console, rulebase)
    found = look_up(words, rulebase)
    if not found.hits:
        near = ", ".join(found.nearest)
        raise InputError(f"No rule, limit, cut or softener speaks of '{words}'.", f"The nearest: {near}.")
    if found.partly:
        page.line("Nothing has all of these words; these have most of them.")
    if found.asks:
        page.line(f"{words} names several cuts. {found.asks}")
    named = [hit for hit in found.hits if hit.rank == NAMED]
    few = len(found.hits) <= MOST_WHOLE
    records = [hit for hit in (found.hits if few else named) if few or hit.kind != "rule"]
    if len(records) > MOST_WHOLE:
        records = []
    told: set[str] = set()
    for number, hit in enumerate(records):
        if number:
            page.line()
        told |= _whole(hit, page, rulebase)
    others = [hit for hit in found.hits if hit not in records and not (hit.kind == "rule" and hit.name in told)]
    _lines(others, len(named), page, rulebase, after=bool(records))
    if told or any(hit.kind == "rule" for hit in others):
        page.line(f"'advisor rule' with an id shows a rule whole. {IN_BRACKETS}")


def _whole(hit: Hit, page: Page, rulebase: Rulebase) -> set[str]:
    """Print an entry whole; give the rules that were listed with it."""
    if hit.kind != "rule":
        return set(WHOLE[hit.kind](hit.name, page, rulebase))
    rule_entry(rulebase.rules[hit.name], page, rulebase)
    return set()


def _lines(hits: list[Hit], named: int, page: Page, rulebase: Rulebase, *, after: bool) -> None:
    """Print entries one a line, the best first."""
    most = max(MOST_LINES, named)
    if hits and after:
        page.heading("Also speaks of it" if len(hits) == 1 else "Also speak of it")
    for hit in hits[:most]:
        page.line(one_line(hit.kind, hit.name, rulebase), 2)
    if len(hits) > most:
        page.line(f"And {len(hits) - most} more; add a word to narrow it down.")


def rule_entry(checked: CheckedRule, page: Page, rulebase: Rulebase) -> None:
    """Print all there is to know of one rule."""
    rule = checked.rule
    page.line(f"{rule.id} ({rule.concern}; {rule.basis}; rulebase/{checked.file})", bold=True)
    page.line(plain(rule.says, rulebase), 2)
    page.line(f"Because: {plain(rule.because, rulebase)}", 2)
    if rule.beside:
        page.line(f"Beside the step: {plain(rule.beside, rulebase)}", 2)
    for name, means in facts_named(texts_of(rule), rulebase).items():
        page.line(f"[{name}]: {means}", 4)
    for number, alternative in enumerate(checked.alternatives, start=1):
        page.line("When" if number == 1 else "or when", 2)
        for text in alternative_words(alternative, rulebase):
            page.line(text, 4)
    page.line(f"Then: {conclusion_words(rule, rulebase)}", 2)
    if rule.caution is not None:
        parts = (rule.caution.hazard, rule.caution.consequence, rule.caution.instead)
        page.line(f"Caution: {' '.join(plain(part, rulebase) for part in parts)}", 2)
    _limits(rule, page, rulebase)
    _mends(rule, page, rulebase)
    page.line(f"Contested: {plain(rule.contested, rulebase) if rule.contested else 'by nobody that we have read.'}", 2)
    _related(rule, page, rulebase)
    page.line("Sources", 2)
    for cite in rule.source:
        page.line(source_line(cite.id, cite.section, rulebase), 4)
    page.line("Examples", 2)
    for label, group in (("fires on", rule.examples.fires), ("does not fire on", rule.examples.near_misses)):
        for example in group:
            page.line(f"{label}: {example_words(example, rulebase)}", 4)


def _limits(rule: Rule, page: Page, rulebase: Rulebase) -> None:
    names = limits_of_rule(rule.id, rulebase)
    if names:
        page.line("Limits", 2)
    for name in names:
        limit = rulebase.limits[name]
        cites = page.cites(limit.source)
        page.line(f"{name} = {figure(limit)}: {limit.means}; {limit.basis}; {cites}", 4)


def _mends(rule: Rule, page: Page, rulebase: Rulebase) -> None:
    if rule.mend:
        page.line("What may be changed to mend it", 2)
    for mend in rule.mend:
        page.line(mend_words(mend, rulebase), 4)
    if rule.no_mend:
        page.line(f"No mend: {plain(rule.no_mend, rulebase)}", 2)
    if not rule.mend and not rule.no_mend:
        answer = (
            "the answer, and nothing in the plan" if rule.concludes.verdict == "ask" else "nothing; it stops no plan"
        )
        page.line(f"What may be changed: {answer}.", 2)


def _related(rule: Rule, page: Page, rulebase: Rulebase) -> None:
    if rule.exception_to:
        page.line(f"Exception to: {one_line('rule', rule.exception_to, rulebase)}", 2)
    for name in exceptions(rule.id, rulebase):
        page.line(f"Its exception: {one_line('rule', name, rulebase)}", 2)
    near = neighbours(rule.id, rulebase)
    if near:
        more = f" and {len(near) - MOST_NEIGHBOURS} more" if len(near) > MOST_NEIGHBOURS else ""
        page.line(f"Rules that share its facts or limits: {', '.join(near[:MOST_NEIGHBOURS])}{more}", 2)
