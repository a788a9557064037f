"""Two plans side by side on the screen, or as a machine's object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.advice.beside import Side

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


def beside_record(sides: tuple[Side, ...], names: tuple[str, str]) -> dict[str, Any]:
    """Make the object that ``--json`` prints."""
    return {
        "plans": list(names),
        "sides": [
            {"what": side.what, "first": side.first, "second": side.second, "better": side.better} for side in sides
        ],
    }
