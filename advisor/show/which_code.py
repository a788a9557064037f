"""Asks once which food code a kitchen is under, and keeps the answer in its house file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.errors import InputError
from advisor.knowledge.house import HOUSE_FILE, code_id, read_house
from advisor.knowledge.strictest import STRICTEST
from advisor.show.dialogue import DONT_KNOW, QUIT
from advisor.show.typed import Quit, plain_line

if TYPE_CHECKING:
    from pathlib import Path

    from advisor.knowledge.rulebase import Rulebase
    from advisor.show.page import Page
    from advisor.show.typed import Reader

ASK, WHY, NOT_KNOWN, KEPT = "food_code_ask", "food_code_why", "food_code_not_known", "food_code_kept"
HELP = "Also: dk (don't know), why, quit."
MADE = "# Made by 'advisor ask'. 'code' is the food code; under 'limits' a kitchen may be stricter, never looser.\n"


def is_chosen(rulebase: Rulebase, option: str | None) -> bool:
    """Tell whether an option or the house file says which food code holds."""
    return option is not None or bool(rulebase.house is not None and rulebase.house.code)


def asked_code(page: Page, read: Reader) -> str:
    """Ask for the food code until an answer is one; not knowing it is the strictest of all.

    Raises
    ------
    Quit
        The cook leaves.
    """
    rulebase, lines = page.rulebase, page.rulebase.local_lines
    options = [code.id for code in rulebase.codes.values() if not code.older]
    page.line()
    page.line(lines[ASK], bold=True)
    for number, name in enumerate(options, start=1):
        page.line(f"{number:>3}  {rulebase.codes[name].name}", 2)
    page.line(HELP, 2)
    while True:
        word = plain_line(read("> ", [rulebase.codes[name].name for name in options], "")).lower()
        if word in QUIT:
            raise Quit
        if word in DONT_KNOW:
            page.line(lines[NOT_KNOWN])
            return STRICTEST
        if word == "why":
            page.line(lines[WHY], 2)
            continue
        if word.isdecimal() and 1 <= int(word) <= len(options):
            return options[int(word) - 1]
        found = code_id(word, rulebase.codes) if word else None
        if found is not None:
            if found == STRICTEST:
                page.line(lines[NOT_KNOWN])
            return found
        page.line(f"Type a number from 1 to {len(options)}, a land, or dk if you do not know.", 2)


def keep_code(code: str, folder: Path, rulebase: Rulebase) -> str:
    """Write the food code into the house file of the usual place; not knowing it is not kept, it is asked again.

    A house file that is there keeps every line; one that the new line would not leave as it is, is not touched.

    Returns
    -------
    str
        What was done, in a sentence; empty when nothing was.
    """
    if code == STRICTEST:
        return ""
    path = folder / HOUSE_FILE
    try:
        old = path.read_text(encoding="utf-8") if path.is_file() else MADE
        text = f"{old.rstrip()}\ncode: {code}\n"
        now, before = read_house(text, path.name, rulebase), read_house(old, path.name, rulebase)
        if now.code != code or dict(now.limits) != dict(before.limits) or now.kitchen != before.kitchen:
            return _by_hand(code, path)
        folder.mkdir(parents=True, exist_ok=True)
        half = path.with_name(path.name + ".part")
        half.write_text(text, encoding="utf-8")
        half.replace(path)
    except (InputError, OSError, UnicodeDecodeError):
        return _by_hand(code, path)
    return f"{rulebase.local_lines[KEPT]}, in {path}."


def _by_hand(code: str, path: Path) -> str:
    return f"It could not be kept. To be asked no more, put 'code: {code}' into {path}."
