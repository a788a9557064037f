"""The screen that everything is printed on."""

from __future__ import annotations

from shutil import get_terminal_size
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console


def screen() -> Console:
    """Make a console as wide as the terminal, or as the environment says, also where the terminal knows no colours."""
    from rich.console import Console

    made = Console(highlight=False)
    if not made.is_dumb_terminal:
        return made
    # The console takes 80 columns for a terminal that says of itself that it can do nothing.
    size = get_terminal_size()
    return Console(highlight=False, width=size.columns, height=size.lines)
