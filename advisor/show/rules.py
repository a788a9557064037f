"""Shows rules to whoever wants to read them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.names import nearest
from advisor.errors import InputError
from advisor.knowledge.checks import PLACEHOLDER
from advisor.show.page import Page
from advisor.units import write_quantity

if TYPE_CHECKING:
    import re

    from rich.console import Console

    from advisor.knowledge.rulebase import CheckedRule, Rulebase

MOST_WHOLE = 3


def find_rules(words: str, rulebase: Rulebase) -> list[CheckedRule]:
    """Rules whose id is the word, or whose id and texts hold all the words.

    Raises
    ------
    InputError
        No rule holds them.
    """
    if words in rulebase.rules:
        return [rulebase.rules[words]]
    wanted = words.lower().split()
    found = [
        checked
        for checked in rulebase.rules.values()
        if all(word in f"{checked.rule.id} {checked.rule.says} {checked.rule.because}".lower() for word in wanted)
    ]
    if not found:
        near = nearest(words, list(rulebase.rules))
        hint = f"The nearest ids: {', '.join(near)}." if near else "Try one word, such as 'cooling'."
        raise InputError(f"No rule speaks of '{words}'.", hint)
    return found


def show_rules(words: str, rulebase: Rulebase, console: Console) -> None:
    """Print the rules found: whole when they are few, one line each when they are many."""
    page = Page(console, rulebase)
    found = find_rules(words, rulebase)
    if len(found) > MOST_WHOLE:
        for checked in found:
            page.line(f"{checked.rule.id}: {_plain(checked.rule.says, rulebase)}", 2)
        return
    for checked in found:
        _whole(checked, page, rulebase)


def _whole(checked: CheckedRule, page: Page, rulebase: Rulebase) -> None:
    rule = checked.rule
    page.line(f"{rule.id} ({rule.concern}; {rule.basis}; rulebase/{checked.file})", bold=True)
    page.line(_plain(rule.says, rulebase), 2)
    page.line(f"because {_plain(rule.because, rulebase)}", 2)
    for number, alternative in enumerate(checked.alternatives, start=1):
        page.line("when" if number == 1 else "or when", 2)
        for condition in alternative.conditions:
            bound = ""
            if condition.limit:
                limit = rulebase.limits[condition.limit]
                value = write_quantity(limit.value, limit.quantity, "metric")
                bound = f" = {value}: {limit.means}; {page.cites(limit.source)}"
            page.line(f"{condition}{bound}", 4)
    if rule.concludes.verdict is not None:
        page.line(f"verdict {rule.concludes.verdict}, {rule.concludes.signal}", 2)
    for mend in rule.mend:
        page.line(f"may be changed: {mend.change} {mend.direction or mend.to}", 2)
    if rule.no_mend:
        page.line(rule.no_mend, 2)
    if rule.contested:
        page.line(f"contested: {rule.contested}", 2)
    page.line(f"source: {page.cites(rule.source)}", 2)


def _plain(text: str, rulebase: Rulebase) -> str:
    """Text of a rule with its limits filled in and its facts named."""

    def shown(match: re.Match[str]) -> str:
        name = match[1].partition("|")[0]
        if name in rulebase.limits:
            limit = rulebase.limits[name]
            return write_quantity(limit.value, limit.quantity, "metric")
        subject, _, fact = name.partition(".")
        return f"<{rulebase.vocabulary[subject][fact].means}>"

    return PLACEHOLDER.sub(shown, text)
