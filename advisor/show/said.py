"""What was understood of a cook's words, on the screen; at a terminal it can be put right line by line."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from advisor.case.words.correct import Correcting
from advisor.case.words.playback import Line, lines_of
from advisor.errors import InputError
from advisor.show.page import Page
from advisor.show.typed import Quit, plain_line, terminal_reader

if TYPE_CHECKING:
    from datetime import datetime

    from rich.console import Console

    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase
    from advisor.show.typed import Reader

HINT = (
    "Type a number and new words to change a line ('2 1 kg'), 'drop 2' to take it out, 'add 1 in thick' to say more, "
    "or press Enter to check it."
)


def show_playback(case: Case, page: Page, heading: str = "What we understood") -> None:
    """Print what was understood, numbered; then what was left out and what is open."""
    page.heading(heading)
    lines = lines_of(case, page.rulebase)
    width = len(str(len(lines)))
    for number, line in enumerate(lines, start=1):
        page.line(f"{number:>{width}}  {_told(line)}", 2)
    for remark in case.remarks:
        page.line(f"- {remark}.", 2)
    if case.open_points:
        page.heading("Settle this first")
        for point in case.open_points:
            page.line(f"- {point}", 2)


def _told(line: Line) -> str:
    # The cook's own words come first where the figure beside them is not plain from them.
    said = f"{line.said} -> " if line.said and line.path[0] in ("piece", "guests") and line.said != line.shown else ""
    note = f" [{line.note}]" if line.note else ""
    return f"{line.what}: {said}{line.shown}{note}"


def said(text: str, rulebase: Rulebase, now: datetime, console: Console, *, quiet: bool) -> Case:
    """Read words, play them back, and at a terminal let the cook put them right.

    Parameters
    ----------
    quiet : bool
        Print nothing and ask nothing: the answer goes to a machine.

    Raises
    ------
    InputError
        There is nothing to read, or the cook has left.
    """
    state = Correcting.start(text, rulebase, now)
    if quiet:
        return state.case
    page = Page(console, rulebase)
    if not (sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()):
        show_playback(state.case, page)
        page.line()
        return state.case
    return corrected(state, page, terminal_reader()).case


def corrected(state: Correcting, page: Page, read: Reader) -> Correcting:
    """Show the playback and take corrections until the cook is content.

    Raises
    ------
    InputError
        The cook has left.
    """
    show_playback(state.case, page)
    page.line(HINT, 2)
    while not state.done:
        prompt = f"new words for {state.changing}> " if state.changing else "> "
        try:
            typed = plain_line(read(prompt, ["add", "drop", "quit"], ""))
            before = state
            state = state.take(typed)
        except Quit:
            raise InputError("Stopped.", "Nothing was checked.") from None
        except InputError as error:
            page.line(str(error), 2)
            continue
        if state.left:
            raise InputError("Stopped.", "Nothing was checked.")
        if state.case is not before.case:
            show_playback(state.case, page)
    return state
