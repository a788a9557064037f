"""The case: what the cook has, who eats it, and the steps of the plan, each value with its origin."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from advisor.case.facts import Origin, Value
    from advisor.case.probe import ProbeLog

System = Literal["metric", "us"]


@dataclass(frozen=True, slots=True)
class Given:
    """A value in the fixed unit of its vocabulary entry, and where it came from.

    ``value`` None with origin "not known" means: asked, and the cook does not know.
    """

    value: Value
    origin: Origin = "written"
    as_written: str = ""
    note: str = ""

    @property
    def number(self) -> float:
        """The value as a number.

        Raises
        ------
        TypeError
            It is a word, or not known.
        """
        if isinstance(self.value, str) or self.value is None:
            raise TypeError(f"{self.value!r} is not a number")
        return float(self.value)


BY_SPOON = "is measured by the spoon"


def by_spoon(name: str, grams: float) -> str:
    """Note on an amount that was said as a volume, of a thing whose spoonful weighs more or less by its grain.

    Examples
    --------
    >>> by_spoon("kosher salt", 9.02)
    'kosher salt is measured by the spoon; taken as 9.02 g'
    """
    return f"{name} {BY_SPOON}; taken as {grams:.3g} g"


@dataclass(frozen=True, slots=True)
class Ingredient:
    """Something put on or into the meat.

    Parameters
    ----------
    what : str
        Id in ``materials`` or ``tenderisers``.
    as_written : str
        The cook's word for it.
    form : str
        ``fresh``, ``tinned``, ``cooked`` and so on; empty when it does not matter, ``unknown`` when not said.
    grams : float or None
        Amount; None when not said.
    share_pct : float or None
        Amount as a share of the meat's weight, when it was said so.
    note : str
        How the amount was come by, when it was assumed.
    sodium_pct : float or None
        Sodium that its label tells, percent of its own weight; it goes before what such things usually hold.
    """

    what: str
    as_written: str = ""
    form: str = ""
    grams: float | None = None
    share_pct: float | None = None
    note: str = ""
    sodium_pct: float | None = None


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One step of the plan: what is done, and the values that go with it."""

    action: str
    given: Mapping[str, Given] = field(default_factory=dict)
    ingredients: tuple[Ingredient, ...] = ()
    line: int = 0

    def number(self, name: str, default: float = 0.0) -> float:
        """Value of a quantity of the step, or ``default`` when it is not there."""
        entry = self.given.get(name)
        return entry.number if entry is not None and isinstance(entry.value, float | int) else default

    def word(self, name: str, default: str = "") -> str:
        """Choice word of the step, or ``default`` when it is not there."""
        entry = self.given.get(name)
        return entry.value if entry is not None and isinstance(entry.value, str) else default

    def with_value(self, name: str, value: Value, note: str = "", origin: Origin = "written") -> PlanStep:
        """Return the step with one value replaced."""
        return replace(self, given={**self.given, name: Given(value, origin, note=note)})


@dataclass(frozen=True, slots=True)
class Case:
    """A whole case.

    ``serve`` is the local time of service, when it was said. ``system`` is the cook's own system of
    units. ``not_understood`` lists the parts of the input that could not be placed. ``code`` is the food code that
    the plan names; empty when it leaves that to the kitchen. ``unsettled`` says, in sentences, what must be settled
    before anything can be promised; ``remarks`` what else the cook should hear of how it was read. ``since`` is the
    moment at which the days in the fridge were told: from then to the first step raw meat goes on lying there.
    """

    piece: Mapping[str, Given] = field(default_factory=dict)
    guests: Mapping[str, Given] = field(default_factory=dict)
    steps: tuple[PlanStep, ...] = ()
    serve: datetime | None = None
    system: System = "metric"
    title: str = ""
    not_understood: tuple[str, ...] = ()
    code: str = ""
    unsettled: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    log: ProbeLog | None = None
    log_from: int | None = None
    since: datetime | None = None

    @property
    def open_points(self) -> tuple[str, ...]:
        """What must be settled, with every part of the input that was not understood and holds a number."""
        told = " ".join(self.unsettled)
        numbers = [
            f"'{part}' has a number that stands nowhere in the plan"
            for part in self.not_understood
            if part not in told and any(character.isnumeric() for character in part)
        ]
        return (*self.unsettled, *numbers)

    def given(self, subject: str, name: str) -> Given | None:
        """What was said about a fact of the piece or the guests."""
        return (self.piece if subject == "piece" else self.guests).get(name)

    def word(self, subject: str, name: str, default: str = "") -> str:
        """Choice word of the piece or the guests, or ``default``."""
        entry = self.given(subject, name)
        return entry.value if entry is not None and isinstance(entry.value, str) else default

    def number(self, subject: str, name: str, default: float = 0.0) -> float:
        """Quantity of the piece or the guests, or ``default``."""
        entry = self.given(subject, name)
        return entry.number if entry is not None and isinstance(entry.value, float | int) else default

    def with_value(self, subject: str, name: str, given: Given) -> Case:
        """Return the case with one value of the piece or the guests replaced."""
        if subject == "piece":
            return replace(self, piece={**self.piece, name: given})
        return replace(self, guests={**self.guests, name: given})

    def with_step(self, index: int, step: PlanStep) -> Case:
        """Return the case with step ``index`` (from 0) replaced."""
        steps = list(self.steps)
        steps[index] = step
        return replace(self, steps=tuple(steps))

    def with_inserted(self, index: int, step: PlanStep) -> Case:
        """Return the case with ``step`` put in before step ``index`` (from 0)."""
        return replace(self, steps=(*self.steps[:index], step, *self.steps[index:]))
