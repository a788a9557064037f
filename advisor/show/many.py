"""Many plans on the screen: a line of verdict each, and what stands in the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console

    from advisor.advice.many import Checked

WIDEST = 110


def show_many(checked: Sequence[Checked], console: Console) -> None:
    """Print one row a plan, and how many came out how."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in ("plan", "served", "verdict", "what is wrong, and the smallest change"):
        table.add_column(heading, overflow="fold")
    for one in checked:
        change = f" Change: {one.change}." if one.change else ""
        verdict = Text(one.verdict.upper(), "" if one.verdict == "go" else "bold")
        table.add_row(Text(one.name), Text(one.serve), verdict, Text(f"{one.why}{change}".strip()))
    console.print(table, width=min(console.width, WIDEST), highlight=False)
    counts = {
        verdict: sum(one.verdict == verdict for one in checked) for verdict in dict.fromkeys(c.verdict for c in checked)
    }
    console.print(Text(", ".join(f"{count} {verdict}" for verdict, count in counts.items()) + "."), highlight=False)
