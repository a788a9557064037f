"""A sheet to print and its key apart: the same seed, rules and count give the same sheet to the letter."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from advisor.quiz.feedback import because, source_lines, would

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.claims import Road
    from advisor.quiz.items import Item

WIDTH = 78
LETTERS = "ABCD"


def sheet(items: Sequence[Item], rulebase: Rulebase, seed: str) -> str:
    """Write the questions, with room for a name and a tick."""
    lines = ["Kitchen rules: questions", _state(rulebase, seed, len(items)), "", "Name: ____________________", ""]
    for number, item in enumerate(items, start=1):
        lines += _wrapped(f"{number}. {item.question}", 3)
        for told in item.told:
            lines += _wrapped(f"   {told}", 6)
        for letter, option in zip(LETTERS, item.options, strict=False):
            lines += _wrapped(f"   [ ] {letter}  {option.text}", 10)
        lines += ["       How sure?  [ ] sure  [ ] fairly  [ ] guess", ""]
    return "\n".join(lines) + "\n"


def key_sheet(items: Sequence[Item], rulebase: Rulebase, seed: str, road: Road) -> str:
    """Write the answers: the letter, why, the rule and its source, and what each wrong choice shows."""
    lines = ["Kitchen rules: key. Keep it apart from the questions.", _state(rulebase, seed, len(items)), ""]
    for number, item in enumerate(items, start=1):
        lines += _wrapped(f"{number}. {LETTERS[item.key]}  {item.options[item.key].text}", 6)
        lines += _wrapped(f"   {because(item.rule_id, item.options[item.key], road)} [{item.rule_id}]", 3)
        lines += _wrapped(f"   {'; '.join(source_lines(item.rule_id, rulebase))}", 3)
        for letter, option in zip(LETTERS, item.options, strict=False):
            if option.misconception:
                belief = rulebase.quiz.misconceptions[option.misconception].believes
                lines += _wrapped(f"   {letter}: {belief} {would(item, option, road)}", 6)
        lines.append("")
    return "\n".join(lines) + "\n"


def _state(rulebase: Rulebase, seed: str, count: int) -> str:
    house = f", house rules {rulebase.house.digest}" if rulebase.house is not None else ""
    return f"{count} questions, seed {seed}, food code {rulebase.code}{house}, rules {rulebase.digest}"


def _wrapped(text: str, indent: int) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * indent, drop_whitespace=True) or [""]
