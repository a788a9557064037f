"""What we say when a quantity cannot be used: what was typed, what is wrong, what to write instead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from advisor.errors import AmbiguousUnitError, InputError
from advisor.units.convert import convert
from advisor.units.text import shown
from advisor.units.words import SLIPS, STORED, Kind, System, Unit, unit_by_label
from advisor.units.write import LAW_PAIR_TOLERANCE_C, write_quantity

if TYPE_CHECKING:
    from advisor.units.parse import Part

ABSOLUTE_ZERO_C: Final = -273.15
# A bare number up to here is guessed to be °C, above it °F; a guess is only ever played back, never used.
_GUESS_CELSIUS_TO: Final = 80.0

_EXAMPLES: Final[dict[Kind, tuple[tuple[str, float], tuple[str, float]]]] = {
    "temperature": (("57 °C", 57.0), ("135 °F", 57.2)),
    "temperature_difference": (("2 °C", 2.0), ("4 °F", 2.2)),
    "time": (("5 h 30 min", 330.0), ("90 min", 90.0)),
    "length": (("40 mm", 40.0), ("1 1/2 in", 38.1)),
    "mass": (("1.1 kg", 1100.0), ("2 lb 8 oz", 1134.0)),
    "volume": (("250 ml", 250.0), ("1 cup", 236.6)),
    "percent": (("1.2 %", 1.2), ("15 g/kg", 1.5)),
    "count": (("4", 4.0), ("12", 12.0)),
}
_BARE_UNITS: Final[dict[Kind, tuple[str, ...]]] = {
    "temperature_difference": ("°C", "°F"),
    "time": ("min", "h", "days"),
    "length": ("mm", "in", "cm"),
    "mass": ("g", "kg", "lb", "oz"),
    "volume": ("ml", "L", "cups", "tsp"),
}


@dataclass(frozen=True, slots=True)
class Question:
    """What was asked and what was typed.

    Parameters
    ----------
    kind : Kind
        What is measured.
    name : str
        What it is called in messages, for example ``"thickness"``.
    typed : str
        The person's text.
    low, high : float or None
        Plausible bounds in the stored unit.
    where : str
        File and line, or empty.
    whole : bool
        Whether a count must be a whole number.
    """

    kind: Kind
    name: str
    typed: str
    low: float | None = None
    high: float | None = None
    where: str = ""
    whole: bool = True

    @property
    def title(self) -> str:
        """The name with a capital."""
        return self.name[:1].upper() + self.name[1:]

    def fits(self, value: float) -> bool:
        """Tell whether a value in the stored unit lies within the bounds."""
        # A bound we printed must be accepted when typed back.
        slack = LAW_PAIR_TOLERANCE_C if self.kind == "temperature" else 1e-9 * max(1.0, abs(value))
        high_enough = self.low is None or value >= self.low - slack
        return high_enough and (self.high is None or value <= self.high + slack)

    def examples(self) -> str:
        """Give two ways to write an answer, both within the bounds."""
        fitting = [text for text, value in _EXAMPLES[self.kind] if self.fits(value)]
        if not fitting:
            ends = [end for end in (self.low, self.high) if end is not None]
            middle = sum(ends) / len(ends)
            systems: tuple[System, System] = ("metric", "us")
            fitting = list(
                dict.fromkeys(write_quantity(middle, self.kind, system, both=False) for system in systems),
            )
        return " or ".join(fitting)

    def refuse(self, what: str, hint: str = "") -> InputError:
        """Build the error: what was typed and what is wrong with it."""
        advice = f"{hint} " if hint else ""
        return InputError(
            f"{self.title}: you typed {shown(self.typed)}. {what}",
            f"{advice}For example {self.examples()}.",
            self.where,
        )


def empty(question: Question) -> InputError:
    """Say that nothing was typed.

    Parameters
    ----------
    question : Question
        What was asked.

    Returns
    -------
    InputError
        To be raised.
    """
    return InputError(f"Enter the {question.name},", f"for example {question.examples()}.", question.where)


def number_text(value: float) -> str:
    """Write a number the way it would be typed.

    Parameters
    ----------
    value : float
        Any.

    Returns
    -------
    str
        At most six digits.
    """
    return f"{value:g}"


def missing_unit(question: Question, amount: float) -> InputError:
    """Say that a number stands without a unit, with the number in two units that would fit.

    Parameters
    ----------
    question : Question
        What was asked.
    amount : float
        The number.

    Returns
    -------
    InputError
        To be raised.
    """
    units = [unit for label in _BARE_UNITS[question.kind] if (unit := unit_by_label(question.kind, label))]
    fitting = [unit for unit in units if question.fits(convert(amount, unit.pint, STORED[question.kind]))]
    first, second = (fitting + [unit for unit in units if unit not in fitting])[:2]
    number = number_text(amount)
    return InputError(
        f"{question.title}: you typed {shown(question.typed)}. The unit is missing.",
        f"Write it with a unit, for example {number} {first.label} or {number} {second.label}.",
        question.where,
    )


def bare_temperature(question: Question, amount: float) -> InputError:
    """Ask whether a bare temperature is Celsius or Fahrenheit, with our guess.

    Parameters
    ----------
    question : Question
        What was asked.
    amount : float
        The number.

    Returns
    -------
    InputError
        An `AmbiguousUnitError` with the guess; a plain one when neither reading is possible.
    """
    in_celsius = {"°C": amount, "°F": convert(amount, "degF", "degC")}
    possible = [label for label, value in in_celsius.items() if value >= ABSOLUTE_ZERO_C and question.fits(value)]
    if not possible:
        impossible = max(in_celsius.values()) < ABSOLUTE_ZERO_C
        return too_cold(question) if impossible else out_of_range(question, None)
    likely = "°C" if amount <= _GUESS_CELSIUS_TO else "°F"
    label = likely if likely in possible else possible[0]
    number = number_text(amount)
    system: System = "us" if label == "°F" else "metric"
    other_label, other_unit = ("°C", "degC") if system == "us" else ("°F", "degF")
    other = round(convert(in_celsius[label], "degC", other_unit), 1)
    guess = f"{number} {label} ({number_text(other)} {other_label})"
    return AmbiguousUnitError(
        f"{question.title}: you typed {shown(question.typed)}. It could be °C or °F.",
        f"We think you mean {guess}. Write {number} °C or {number} °F.",
        guess,
        question.where,
    )


def too_cold(question: Question) -> InputError:
    """Say that nothing can be that cold.

    Parameters
    ----------
    question : Question
        What was asked.

    Returns
    -------
    InputError
        To be raised.
    """
    return question.refuse("Nothing is colder than -273.15 °C (-459.67 °F).")


def _bounds(question: Question, system: System) -> str:
    low, high = question.low, question.high
    least = write_quantity(low, question.kind, system, rounding="up") if low is not None else ""
    most = write_quantity(high, question.kind, system, rounding="down") if high is not None else ""
    if least and most:
        return f"between {least} and {most}"
    return f"{least} or more" if least else f"{most} or less"


def _meant(question: Question, part: Part) -> str:
    """Find the reading that a slip of the unit or of the comma would explain; empty when there is none."""
    target = STORED[question.kind]
    unit = part.unit
    if unit is None or not unit.pint:
        return ""
    others = [unit_by_label(question.kind, label) for label in SLIPS.get(unit.label, ())]
    tries: list[tuple[float, Unit]] = [(part.amount / 1000.0, unit)] if part.thousands else []
    tries += [(part.amount, other) for other in others if other is not None]
    for amount, other in tries:
        if question.fits(convert(amount, other.pint, target)):
            return f"{number_text(amount)} {other.label}"
    return ""


def out_of_range(question: Question, part: Part | None, system: System = "metric") -> InputError:
    """Say that a quantity lies outside what is plausible, and what was probably meant.

    Parameters
    ----------
    question : Question
        What was asked; at least one bound is given.
    part : Part or None
        The amount as written when it was a single one.
    system : {"metric", "us"}, optional
        The cook's way of measuring; the bounds are given in it first.

    Returns
    -------
    InputError
        To be raised.
    """
    meant = _meant(question, part) if part is not None else ""
    return InputError(
        f"{question.title} must be {_bounds(question, system)}. You typed {shown(question.typed)}.",
        f"Did you mean {meant}?" if meant else f"For example {question.examples()}.",
        question.where,
    )


def two_readings(question: Question, part: Part) -> InputError:
    """Say that a comma before three digits can be read in two ways in a unit this large.

    Parameters
    ----------
    question : Question
        What was asked.
    part : Part
        The amount, read with the comma parting thousands.

    Returns
    -------
    InputError
        To be raised.
    """
    label = part.unit.label if part.unit is not None else ""
    small = f"{number_text(part.amount / 1000.0)} {label}".strip()
    large = f"{part.amount:.0f} {label}".strip()
    return InputError(
        f"{question.title}: you typed {shown(question.typed)}. It could be {small} or {large}.",
        f"Write {small} or {large}.",
        question.where,
    )
