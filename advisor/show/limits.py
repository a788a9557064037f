"""Shows the limits in force, and what the food codes ask beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.names import nearest
from advisor.errors import InputError
from advisor.show.page import Page
from advisor.units import write_quantity

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.knowledge.rulebase import Rulebase
    from advisor.knowledge.strictest import Beside
    from advisor.units import System

MOST_WHOLE = 6
SIDE = {
    "lower": "may be set lower, never higher",
    "higher": "may be set higher, never lower",
    "taste": "a matter of taste: may be set either way",
    "fixed": "cannot be set",
}


def law_line(name: str, rulebase: Rulebase, system: System) -> str:
    """Say where a limit in force asks more than the food code chosen; empty when both ask the same.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> law_line("raw_out_max", load_rulebase(), "metric")
    'US model Food Code 3-501.19(B): 4 h. Here 2 h holds, the stricter.'
    """
    chosen = next((beside for beside in rulebase.beside(name) if beside.chosen), None)
    limit = rulebase.limits[name]
    held = write_quantity(limit.value, limit.quantity, system)
    house = rulebase.house.limits.get(name) if rulebase.house is not None else None
    ours = ""
    if house is not None and limit.basis == "house rule":
        ours = f" House rule{': ' + house.note if house.note else ''} ({limit.source[0].section})."
    if chosen is None or chosen.stands == "the same":
        return f"{held} holds here.{ours}" if ours else ""
    asks = write_quantity(chosen.figure.value, limit.quantity, system)
    return f"{chosen.code.name} {chosen.figure.section}: {asks}. Here {held} holds, the stricter.{ours}"


def beside_line(beside: Beside, name: str, rulebase: Rulebase, system: System) -> str:
    """Say what one food code asks, where it stands, and how that is known."""
    limit, figure = rulebase.limits[name], beside.figure
    asks = write_quantity(figure.value, limit.quantity, system)
    printed = f" (printed: {figure.printed})" if figure.printed else ""
    known, duty = figure.known.replace("_", " "), "" if figure.duty == "law" else "; advice"
    chosen = "; the code chosen" if beside.chosen else ""
    note = f" {figure.note}" if figure.note else ""
    stands = f"{beside.stands} than" if beside.stands != "the same" else "the same as"
    return (
        f"{beside.code.name}: {asks}{printed}, {stands} what holds here; {beside.source} {figure.section}, "
        f"{known}{duty}{chosen}.{note}"
    )


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
