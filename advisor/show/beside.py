"""Two plans side by side on the screen, or as a machine's object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console

    from advisor.advice.beside import Side
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase

WIDEST = 110


def show_beside(sides: tuple[Side, ...], names: tuple[str, str], console: Console) -> None:
    """Print one row a thing; what is better is marked with a word, not with colour alone."""
    table = Table(box=None, pad_edge=False, show_header=True, header_style="bold")
    for heading in ("", *names):
        table.add_column(heading, overflow="fold")
    for side in sides:
        cells = [Text(side.what)]
        for place, words in (("first", side.first), ("second", side.second)):
            better = side.better == place
            cells.append(Text(f"{words} (better)" if better else words, "bold" if better else ""))
        table.add_row(*cells)
    console.print(table, width=min(console.width, WIDEST), highlight=False)


def show_words(texts: Sequence[str], reports: Sequence[Report], rulebase: Rulebase, console: Console) -> None:
    """Play back those of the plans that were said in words."""
    from advisor.case.words.either import is_plan_file
    from advisor.show.page import Page
    from advisor.show.said import show_playback

    page = Page(console, rulebase)
    for place, text, report in zip(("first", "second"), texts, reports, strict=True):
        if not is_plan_file(text):
            show_playback(report.case, page, f"What we understood of the {place}")
            page.line()


def beside_record(sides: tuple[Side, ...], names: tuple[str, str], reports: Sequence[Report]) -> dict[str, Any]:
    """Make the object that ``--json`` prints."""
    return {
        "plans": list(names),
        "not_understood": [list(report.case.not_understood) for report in reports],
        "unsettled": [list(report.case.open_points) for report in reports],
        "sides": [
            {"what": side.what, "first": side.first, "second": side.second, "better": side.better} for side in sides
        ],
    }
