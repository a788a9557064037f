"""Shows the limits in force, and what the food codes ask beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.names import nearest
from advisor.errors import InputError
from advisor.show.law import beside_line, cooling_line, law_line
from advisor.show.page import Page
from advisor.units import write_quantity

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.knowledge.rulebase import Rulebase

MOST_WHOLE = 6
# How the limits of cooling begin.
COOLING = "cool_"
SIDE = {
    "lower": "may be set lower, never higher",
    "higher": "may be set higher, never lower",
    "taste": "a matter of taste: may be set either way",
    "fixed": "cannot be set",
}


def show_limits(words: str, rulebase: Rulebase, console: Console) -> None:
    """Print the limits whose name or meaning holds the words: whole when they are few, one line each when many.

    Raises
    ------
    InputError
        No limit holds the words.
    """
    page = Page(console, rulebase)
    wanted = words.lower().split()
    found = [words] if words in rulebase.limits else []
    found = found or [
        name
        for name, limit in rulebase.limits.items()
        if all(word in f"{name} {name.replace('_', ' ')} {limit.means}".lower() for word in wanted)
    ]
    if not found:
        near = nearest(words, list(rulebase.limits))
        raise InputError(
            f"No limit speaks of '{words}'.", f"The nearest: {', '.join(near)}." if near else "Try 'cold'."
        )
    if not wanted:
        page.line("Food codes", bold=True)
        for code in rulebase.codes.values():
            mark = " (holds here)" if code.id == rulebase.code else ""
            page.line(f"{code.id}: {code.name}, {code.edition}{mark}", 2)
        page.line("Limits", bold=True)
    for name in found:
        _one(name, page, rulebase, whole=len(found) <= MOST_WHOLE)
    if any(name.startswith(COOLING) for name in found):
        page.line("Cooling, as the codes print it", bold=True)
        for code in rulebase.codes.values():
            for cooling in code.cooling:
                page.line(cooling_line(code, cooling, "metric"), 2)


def _one(name: str, page: Page, rulebase: Rulebase, *, whole: bool) -> None:
    limit = rulebase.limits[name]
    page.line(f"{name} = {write_quantity(limit.value, limit.quantity, 'metric')}: {limit.means}", 0 if whole else 2)
    if not whole:
        return
    page.line(f"{SIDE[limit.stricter]}; {page.cites(limit.source)}; {limit.basis}", 2)
    line = law_line(name, rulebase, "metric")
    if line:
        page.line(line, 2)
    for beside in rulebase.beside(name):
        page.line(beside_line(beside, name, rulebase, "metric"), 4)
