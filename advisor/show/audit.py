"""Shows what an audit of the rulebase found, and what it holds."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from advisor.show.page import WIDEST

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.audit import Audit
    from advisor.knowledge.rulebase import Rulebase


def _line(console: Console, text: str, indent: int = 0, *, bold: bool = False) -> None:
    body = Text(text, style="bold" if bold else "")
    console.print(Padding(body, (0, 0, 0, indent)), width=min(console.width, WIDEST), highlight=False)


def show_audit(found: Audit, console: Console) -> None:
    """Print every error with its place and what to write instead, then the warnings, then the sum."""
    for heading, faults in (("Errors", found.errors), ("Warnings", found.warnings)):
        if faults:
            _line(console, heading, bold=True)
        for fault in faults:
            _line(console, f"{fault.place}: {fault.what}", 2)
            _line(console, fault.hint, 4)
    rulebase = found.rulebase
    if rulebase is None:
        _line(console, "It does not load, so contradictions, gaps and words were not looked at.")
    else:
        counts = f"{len(rulebase.rules)} rules, {len(rulebase.limits)} limits, {len(rulebase.cuts)} cuts"
        _line(console, f"{counts} looked at.")
    kinds = Counter(fault.kind for fault in found.errors)
    said = ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))
    errors = _count(len(found.errors), "error") + (f" ({said})" if said else "")
    _line(console, f"{errors[:1].upper()}{errors[1:]}; {_count(len(found.warnings), 'warning')}.", bold=True)


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def show_coverage(rulebase: Rulebase, console: Console) -> None:
    """Print the rules by subject and concern, and what rules and limits rest on."""
    from advisor.audit.coverage import CONCERNS, RESTS, coverage

    found = coverage(rulebase)
    grid = Table.grid(padding=(0, 2))
    grid.add_column()
    for _ in (*CONCERNS, "all"):
        grid.add_column(justify="right")
    grid.add_row("Rules", *CONCERNS, "all", style="bold")
    for subject, counts in found.subjects.items():
        grid.add_row(subject, *(str(counts.get(c, 0) or "") for c in CONCERNS), str(sum(counts.values())))
    every = [sum(counts.get(c, 0) for counts in found.subjects.values()) for c in CONCERNS]
    grid.add_row("all", *(str(n) for n in every), str(sum(every)), style="bold")
    console.print(grid, highlight=False)
    grid = Table.grid(padding=(0, 2))
    grid.add_column()
    for _ in range(4):
        grid.add_column(justify="right")
    grid.add_row("Rest on", "rules", "", "limits", "", style="bold")
    rules, limits = sum(found.rules.values()), sum(found.limits.values())
    for rests in RESTS:
        a, b = found.rules.get(rests, 0), found.limits.get(rests, 0)
        grid.add_row(rests, str(a), _share(a, rules), str(b), _share(b, limits))
    console.print()
    console.print(grid, highlight=False)
    grid = Table.grid(padding=(0, 2))
    grid.add_column()
    grid.add_column(justify="right")
    grid.add_column(justify="right")
    grid.add_row("Sections of food codes", "held", "outside", style="bold")
    for name, (held, outside) in found.codes.items():
        grid.add_row(name, str(held), str(outside))
    console.print()
    console.print(grid, highlight=False)
    console.print()
    _line(console, "Each section, with what holds it or why nothing does, is in rulebase/codes/COVERAGE.md.")
    _line(console, f"{found.contested} rules say where the trade disagrees.")


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.0f} %" if whole else ""
