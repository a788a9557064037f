"""Keeps the food code that a cook told in the house file of the kitchen, so that it is asked once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.errors import InputError
from advisor.knowledge.house import HOUSE_FILE, read_house
from advisor.knowledge.strictest import STRICTEST

if TYPE_CHECKING:
    from pathlib import Path

    from advisor.knowledge.rulebase import Rulebase

KEPT = "food_code_kept"
MADE = "# Made by 'advisor ask'. 'code' is the food code; under 'limits' a kitchen may be stricter, never looser.\n"


def is_chosen(rulebase: Rulebase, option: str | None) -> bool:
    """Tell whether an option or the house file says which food code holds."""
    return option is not None or bool(rulebase.house is not None and rulebase.house.code)


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
