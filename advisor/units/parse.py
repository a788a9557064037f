"""Tokens to amounts with units: the grammar of "2 lb 8", "an inch and a half" and "5:30 h"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from advisor.units.text import TextRefusedError, Token, shown
from advisor.units.words import (
    DEGREE_WORDS,
    FRACTION_WORDS,
    HEDGES,
    KIND_NAME,
    LONGEST_UNIT,
    NUMBER_WORDS,
    RANGE_WORDS,
    UNITS,
    VAGUE,
    Kind,
    Unit,
    kind_of_word,
    unit_by_label,
)

_ARTICLES: Final = frozenset({"a", "an"})
_SIXTY: Final = 60  # minutes in an hour, seconds in a minute


@dataclass(frozen=True, slots=True)
class Part:
    """One amount with its unit.

    Parameters
    ----------
    amount : float
        In `unit`.
    unit : Unit or None
        None when no unit was written.
    whole : bool
        True when the amount was written without a broken part.
    thousands : bool
        True when a lone comma in it was taken to part thousands.
    """

    amount: float
    unit: Unit | None
    whole: bool = False
    thousands: bool = False


@dataclass(frozen=True, slots=True)
class Parsed:
    """A whole quantity.

    Parameters
    ----------
    parts : tuple of Part
        Largest unit first, as written; at least one.
    hedged : bool
        True when it said "about".
    """

    parts: tuple[Part, ...]
    hedged: bool


def _two_numbers() -> TextRefusedError:
    return TextRefusedError("There is more than one number in it.", "Give one: the worst case.")


def _drop_hyphens(tokens: list[Token]) -> list[Token]:
    """Take out the hyphens that only join ("1-1/4", "2-inch"); refuse those that mean a range."""
    kept: list[Token] = []
    for index, token in enumerate(tokens):
        if token.text != "-":
            kept.append(token)
            continue
        before = tokens[index - 1] if index else None
        after = tokens[index + 1] if index + 1 < len(tokens) else None
        if before is None or after is None or "-" in (before.text, after.text):
            raise TextRefusedError("There is a stray dash in it.", "")
        mixed = before.whole and after.kind == "fraction" and token.tight and after.tight
        if after.kind in ("number", "fraction", "clock") and not mixed:
            raise _two_numbers()
    return kept


class _Grammar:
    """Walks the tokens once, left to right; each method eats what it understands."""

    def __init__(self, tokens: list[Token], kind: Kind) -> None:
        self.tokens = tokens
        self.kind = kind
        self.place = 0

    def peek(self) -> Token | None:
        return self.tokens[self.place] if self.place < len(self.tokens) else None

    def peek_text(self) -> str:
        token = self.peek()
        return token.text if token else ""

    def eat(self, *texts: str) -> bool:
        """Eat the next token if it is one of these words."""
        if self.peek_text() in texts and self.peek() is not None:
            self.place += 1
            return True
        return False

    def unit(self) -> Unit | None:
        """Eat the longest unit that stands here."""
        table = UNITS[self.kind]
        for length in range(LONGEST_UNIT, 0, -1):
            ahead = self.tokens[self.place : self.place + length]
            if len(ahead) == length and all(token.kind in ("word", "mark") for token in ahead):
                unit = table.get(" ".join(token.text for token in ahead))
                if unit is not None:
                    self.place += length
                    return unit
        return None

    def whole_number(self) -> Part | None:
        """Eat a number in digits or words."""
        token = self.peek()
        if token is None:
            return None
        if token.kind == "number":
            self.place += 1
            return Part(token.value, None, whole=token.whole, thousands=token.thousands)
        if token.text in NUMBER_WORDS:
            self.place += 1
            return Part(float(NUMBER_WORDS[token.text]), None, whole=True)
        return None

    def broken(self) -> float | None:
        """Eat a fraction: "1/2", "half", "a quarter", "three quarters"."""
        start = self.place
        token = self.peek()
        if token is not None and token.kind == "fraction":
            self.place += 1
            return token.value
        times = 1.0
        if not self.eat(*_ARTICLES):
            number = self.whole_number()
            times = 1.0 if number is None else number.amount if number.whole else 0.0
        word = self.peek_text()
        if word in FRACTION_WORDS and 0 < times * FRACTION_WORDS[word] < 1:
            self.place += 1
            return times * FRACTION_WORDS[word]
        self.place = start
        return None

    def and_broken(self, *, before_unit: bool) -> float:
        """Eat "and a half" when the text ends there, or, if asked, when a unit follows; else nothing."""
        start = self.place
        if self.eat("and"):
            extra = self.broken()
            if extra is not None and extra < 1:
                after = self.place
                if self.peek() is None:
                    return extra
                if before_unit and self.unit() is not None:
                    self.place = after
                    return extra
        self.place = start
        return 0.0

    def amount(self) -> Part | None:
        """Eat a number, a mixed number, a fraction or an article standing for one."""
        extra = self.broken()
        if extra is not None:
            self.eat("of")
            self.eat(*_ARTICLES)
            return Part(extra, None)
        if self.eat(*_ARTICLES):
            return Part(1.0, None, whole=True)
        number = self.whole_number()
        if number is None:
            return None
        token = self.peek()
        if number.whole and token is not None and token.kind == "fraction" and token.value < 1:
            self.place += 1
            return Part(number.amount + token.value, None)
        extra = self.and_broken(before_unit=True) if number.whole else 0.0
        return Part(number.amount + extra, None, number.whole and not extra, number.thousands)

    def part(self) -> Part:
        """Eat one amount with its unit, and "and a half" behind it."""
        start = self.place
        amount = self.amount()
        unit = self.unit()
        if amount is None:
            # "inch and a half" stands for one and a half; a unit with nothing round it is no quantity.
            extra = self.and_broken(before_unit=False) if unit is not None else 0.0
            if unit is None or not extra:
                self.place = start
                raise self.not_understood()
            return Part(1.0 + extra, unit)
        extra = self.and_broken(before_unit=False) if unit is not None and amount.whole else 0.0
        return Part(amount.amount + extra, unit, amount.whole and not extra, amount.thousands)

    def not_understood(self) -> TextRefusedError:
        """Say what is wrong with the token that stands here."""
        token = self.peek()
        if token is None:
            return TextRefusedError("It ends too soon.", "")
        word = token.text
        if token.kind in ("number", "fraction", "clock") or word in RANGE_WORDS:
            return _two_numbers()
        home = kind_of_word(word)
        asked = KIND_NAME[self.kind]
        if word in VAGUE:
            what = f"{shown(word)} is no fixed amount."
        elif word in UNITS[self.kind]:
            what = f"There is no number before {shown(word)}."
        elif home is not None:
            what = f"{shown(word)} measures {KIND_NAME[home]}, not {asked}."
        else:
            what = f"We do not know {shown(word)} as {asked}."
        return TextRefusedError(what, "Write a number." if word in VAGUE else "")

    def parts(self) -> tuple[Part, ...]:
        """Eat everything."""
        found: list[Part] = []
        while self.peek() is not None:
            if found:
                self.eat("and")
            part = self.part()
            if part.unit is None:
                if self.peek() is not None:
                    raise self.not_understood()
                part = self.implied(found, part)
            found.append(part)
        if not found:
            raise self.not_understood()
        return tuple(found)

    def implied(self, found: list[Part], part: Part) -> Part:
        """Give a bare last number the next smaller unit: "2 lb 8" is 2 lb 8 oz."""
        if not found:
            return part
        last = found[-1].unit
        unit = unit_by_label(self.kind, last.implied) if last is not None and last.implied else None
        if unit is None or not part.whole:
            raise TextRefusedError("There is no unit after the last number.", "")
        return Part(part.amount, unit, whole=True)


def _clock(tokens: list[Token], kind: Kind) -> tuple[Part, ...]:
    """Read "5:30 h", "5:30 min" or "1:30:00"."""
    first, *rest = tokens
    if kind != "time":
        raise TextRefusedError(f"{shown(first.text)} looks like a time, not {KIND_NAME[kind]}.", "")
    numbers = [float(piece) for piece in first.text.split(":")]
    unit = UNITS["time"].get(" ".join(token.text for token in rest))
    if len(numbers) > 2:  # noqa: PLR2004 - hours, minutes and seconds leave no doubt
        labels = ["h", "min", "s"] if unit is None or unit.label == "h" else []
    else:
        labels = {"h": ["h", "min"], "min": ["min", "s"]}.get(unit.label if unit else "", [])
    if not labels or (rest and unit is None) or any(number >= _SIXTY for number in numbers[1:]):
        raise TextRefusedError(
            f"{shown(first.text)} could be hours and minutes, minutes and seconds, or a time of day.",
            "Write how long, such as 5 h 30 min.",
        )
    return tuple(
        Part(number, unit_by_label("time", label), whole=True) for number, label in zip(numbers, labels, strict=True)
    )


def parse(tokens: list[Token], kind: Kind) -> Parsed:
    """Read tokens as one quantity.

    Parameters
    ----------
    tokens : list of Token
        Of one text.
    kind : Kind
        What is measured; it decides which unit words count.

    Returns
    -------
    Parsed
        Amounts and units as written, nothing converted.

    Raises
    ------
    TextRefusedError
        When any token is left over or does not fit.
    """
    left = list(tokens)
    hedged = bool(left) and left[0].text in HEDGES
    while left and left[0].text in HEDGES:
        left.pop(0)
    if kind in ("temperature", "temperature_difference"):
        left = [token for token in left if token.text not in DEGREE_WORDS]
    sign = 1.0
    if left and left[0].text in ("-", "+", "minus", "plus"):
        sign = -1.0 if left.pop(0).text in ("-", "minus") else 1.0
    left = [Token("word", "and") if token.text in ("&", "+") else token for token in _drop_hyphens(left)]
    is_clock = bool(left) and left[0].kind == "clock"
    parts = _clock(left, kind) if is_clock else _Grammar(left, kind).parts()
    if sign < 0:
        parts = tuple(Part(-part.amount, part.unit, part.whole, part.thousands) for part in parts)
    return Parsed(parts, hedged)
