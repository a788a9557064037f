"""A kept result on the screen: what was said then, what is said now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.show.page import Page

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.advice.kept import Reopened
    from advisor.knowledge.rulebase import Rulebase


def show_reopened(reopened: Reopened, rulebase: Rulebase, console: Console) -> None:
    """Print verdict and reasons then, whether the rulebase has changed, and what differs now."""
    page, kept = Page(console, rulebase), reopened.kept
    then = kept["rulebase"]
    page.line(
        f"Then: {str(kept['verdict']).upper()}, by rulebase {then.get('version')}, state {then.get('hash')}.", bold=True
    )
    for finding in kept["findings"]:
        if finding.get("verdict") != "go":
            page.line(f"{finding.get('signal')} {finding.get('says')} [{finding.get('rule')}]", 2)
    page.line()
    page.line(
        f"Now: {reopened.now.verdict.upper()}, by rulebase {rulebase.version}, state {rulebase.digest}.", bold=True
    )
    if reopened.same_rulebase:
        page.line("It is the same rulebase: nothing can have changed.", 2)
    for label, rules in (("Spoke then and does not now", reopened.gone), ("Speaks now and did not then", reopened.new)):
        if rules:
            page.line(f"{label}: {', '.join(rules)}.", 2)
    if not reopened.same_rulebase and not reopened.gone and not reopened.new:
        page.line("The rulebase has changed, and the same rules speak.", 2)
    for finding in reopened.now.problems:
        if finding.rule.rule.id in reopened.new:
            page.finding(finding, reopened.now.case.system)
