"""A person's words to a float in the kind's fixed unit, or an error that says what to write instead."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from advisor.units.convert import convert
from advisor.units.parse import Parsed, Part, parse
from advisor.units.refuse import (
    ABSOLUTE_ZERO_C,
    Question,
    bare_temperature,
    empty,
    missing_unit,
    number_text,
    out_of_range,
    too_cold,
    two_readings,
)
from advisor.units.text import TextRefusedError, plain, shown, tokens
from advisor.units.words import STORED, STORED_LABEL, UNITS, Kind, System
from advisor.units.write import write_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

_LARGEST: Final = 1e9  # in any stored unit: a thousand tonnes, a thousand kilometres, two thousand years
_SIGNED: Final[frozenset[Kind]] = frozenset({"temperature", "temperature_difference"})
_COMPOUND: Final[frozenset[Kind]] = frozenset({"time", "length", "mass", "volume"})
_BRACKET: Final = re.compile(r"([^()]+) ?\(([^()]+)\)")
# How far the bracket of "250 ml (1 cup)" may stand from the figure before it: this much, or the share below
# for amounts. It covers the coarsest fraction we print; a bracket further off is a slip in one of the two.
_BRACKET_SLACK: Final[dict[Kind, float]] = {
    "temperature": 1.0,
    "temperature_difference": 1.0,
    "time": 1.0,
    "length": 2.0,
    "mass": 15.0,
    "volume": 15.0,
    "percent": 0.01,
    "count": 0.0,
}
_BRACKET_SHARE: Final = 0.3


@dataclass(frozen=True, slots=True)
class Reading:
    """A quantity as we understood it.

    Parameters
    ----------
    value : float
        In the fixed unit of `kind`.
    kind : Kind
        What is measured.
    unit : str
        The unit as understood, for example ``"in"`` or ``"lb oz"``.
    system : {"metric", "us"}
        The way of measuring the cook used.
    as_written : str
        What was typed.
    note : str, optional
        What the cook should be told, for example ``"US measure"``.
    """

    value: float
    kind: Kind
    unit: str
    system: System
    as_written: str
    note: str = ""


def _check(question: Question, value: float, part: Part | None, system: System = "metric") -> float:
    """Refuse what cannot be or is not plausible; else give the value back."""
    if not math.isfinite(value):
        raise question.refuse("It is not a number we can count with.")
    if question.kind == "temperature" and value < ABSOLUTE_ZERO_C:
        raise too_cold(question)
    if value < 0 and question.kind not in _SIGNED:
        raise question.refuse(f"The {question.name} cannot be less than nothing.")
    if not question.fits(value):
        raise out_of_range(question, part, system)
    if abs(value) > _LARGEST:
        raise question.refuse("That is too large a number.")
    if question.kind == "count" and question.whole and not value.is_integer():
        raise question.refuse("It must be a whole number.")
    # -0.0 would be printed with its sign.
    return value + 0.0


def _bare(question: Question, amount: float, part: Part) -> Reading:
    """Read a number without a unit; only shares and counts need none."""
    if question.kind == "temperature":
        raise bare_temperature(question, amount)
    if question.kind not in ("percent", "count"):
        raise missing_unit(question, amount)
    bare = UNITS["percent"]["%"] if question.kind == "percent" else None
    as_share = Part(amount, bare, part.whole, part.thousands)
    if bare is not None and part.thousands:
        raise two_readings(question, as_share)
    value = _check(question, amount, as_share)
    return Reading(value, question.kind, STORED_LABEL[question.kind], "metric", question.typed)


def _require_order(question: Question, parts: tuple[Part, ...], sizes: list[float]) -> None:
    """Refuse parts that do not belong together, such as "2 oz 8 lb" or "1.5 h 30 min"."""
    if question.kind not in _COMPOUND:
        raise question.refuse("There is more than one number in it.", "Give one number.")
    if len({part.unit.system for part in parts if part.unit is not None}) > 1:
        raise question.refuse("It mixes two ways of measuring.", "Use one.")
    if any(later >= earlier for earlier, later in pairwise(sizes)):
        raise question.refuse("The larger unit comes first, and each only once.")
    if not all(part.whole for part in parts[:-1]):
        raise question.refuse("Only the last number may have a broken part.")


def _from_parts(question: Question, parsed: Parsed) -> Reading:
    """Add the parts up in the stored unit."""
    parts, kind = parsed.parts, question.kind
    first = parts[0].unit
    if first is None:
        return _bare(question, parts[0].amount, parts[0])
    units = [part.unit for part in parts if part.unit is not None]
    # A comma before three digits is thousands in grams, but may be a decimal comma in kilograms.
    doubtful = [part for part in parts if part.thousands and part.unit is not None and not part.unit.small]
    if doubtful:
        raise two_readings(question, doubtful[0])
    if len(parts) > 1:
        _require_order(question, parts, [convert(1.0, unit.pint, STORED[kind]) for unit in units])
        _require_carried(question, parts)
    value = sum(convert(part.amount, unit.pint, STORED[kind]) for part, unit in zip(parts, units, strict=True))
    checked = _check(question, value, parts[0] if len(parts) == 1 else None, first.system)
    notes = [unit.note for unit in units if unit.note][:1] + (["about"] if parsed.hedged else [])
    label = " ".join(unit.label for unit in units)
    return Reading(checked, kind, label, first.system, question.typed, ", ".join(notes))


def _require_carried(question: Question, parts: tuple[Part, ...]) -> None:
    """Refuse a later part as large as one of the unit before it: "2 lb 20 oz" is more often a slip."""
    for before, after in pairwise(parts):
        if before.unit is None or after.unit is None:
            continue
        most = convert(1.0, before.unit.pint, after.unit.pint)
        if abs(after.amount) >= most * (1.0 - 1e-9):
            raise question.refuse(
                f"There are only {number_text(round(most, 3))} {after.unit.label} in 1 {before.unit.label}.",
            )


def _from_text(question: Question, text: str) -> Reading:
    """Read plain text, with or without the other system in brackets behind it."""
    bracket = _BRACKET.fullmatch(text)
    outside = bracket.group(1) if bracket else text
    reading = _from_parts(question, parse(tokens(outside), question.kind))
    if bracket:
        unbounded = Question(question.kind, question.name, question.typed, where=question.where)
        inside = _from_parts(unbounded, parse(tokens(bracket.group(2)), question.kind))
        slack = max(_BRACKET_SLACK[question.kind], _BRACKET_SHARE * abs(reading.value))
        if question.kind in _SIGNED:
            slack = _BRACKET_SLACK[question.kind]
        if abs(inside.value - reading.value) > slack:
            raise question.refuse("The figure in brackets is a different amount.", "Give one figure.")
    return reading


def _trade_word(question: Question, words: Mapping[str, float]) -> Reading | None:
    """Look the whole text up among the caller's trade words."""

    def key(text: str) -> str:
        return unicodedata.normalize("NFC", " ".join(text.split())).casefold()

    value = {key(word): number for word, number in words.items()}.get(key(question.typed))
    if value is None:
        return None
    checked = _check(question, float(value), None)
    note = f"{shown(question.typed)} taken as {write_quantity(checked, question.kind, 'metric')}"
    return Reading(checked, question.kind, STORED_LABEL[question.kind], "metric", question.typed, note)


def _number_given(question: Question, value: float) -> Reading:
    """Read a number that came without text, from a file."""
    # Size first: a whole number from a file can be too long to become a float at all.
    usable = isinstance(value, (int, float)) and not isinstance(value, bool)
    if not usable or abs(value) > _LARGEST or not math.isfinite(value):
        raise question.refuse("It is not a number we can count with.")
    amount = float(value)
    return _bare(question, amount, Part(amount, None, whole=amount.is_integer()))


def read_quantity(
    text: str | float,
    kind: Kind,
    *,
    words: Mapping[str, float] | None = None,
    low: float | None = None,
    high: float | None = None,
    name: str = "value",
    where: str = "",
    whole: bool = True,
) -> Reading:
    """Read what a cook wrote as one quantity in the fixed unit of its kind.

    Parameters
    ----------
    text : str or int or float
        What was written; a bare number when it comes from a file.
    kind : Kind
        What is measured: it decides the stored unit and which unit words count.
    words : mapping of str to float, optional
        Trade words with their value in the stored unit, such as ``{"overnight": 720}``.
    low, high : float, optional
        Plausible bounds in the stored unit.
    name : str, optional
        What the quantity is called in messages.
    where : str, optional
        File and line for messages.
    whole : bool, optional
        Whether a count must be a whole number, as of portions; not so for a figure without a unit, such as a pH.

    Returns
    -------
    Reading
        The value and how it was understood.

    Raises
    ------
    AmbiguousUnitError
        For a temperature without °C or °F; it carries our guess.
    InputError
        For anything else that cannot be used.

    Notes
    -----
    A comma before exactly three digits parts thousands where a thousand of the unit is an everyday amount (g,
    ml, mm, min); in larger units it is asked about, since half the world writes 1,500 kg for one and a half.

    Examples
    --------
    >>> read_quantity("1 1/4 in", "length").value
    31.75
    >>> reading = read_quantity("5h30", "time")
    >>> reading.value, reading.unit
    (330.0, 'h min')
    >>> read_quantity("4.6", "count", whole=False).value
    4.6
    """
    if not isinstance(text, str):
        return _number_given(Question(kind, name, _number_as_text(text), low, high, where, whole), text)
    question = Question(kind, name, text.strip(), low, high, where, whole)
    try:
        text_plain = plain(text)
        if not text_plain:
            raise empty(question)
        found = _trade_word(question, words) if words else None
        return found if found is not None else _from_text(question, text_plain)
    except TextRefusedError as error:
        raise question.refuse(error.what, error.hint) from None


def _number_as_text(value: float) -> str:
    """Write a number from a file as it will be shown, however long."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > _LARGEST:
        return "a very large number"
    plain_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return number_text(value) if plain_number else str(value)
