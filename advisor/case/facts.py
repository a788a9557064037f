"""Facts with their origin, and the set of facts that a case comes down to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

Origin = Literal[
    "answered",
    "written",
    "assumed worst",
    "assumed typical",
    "computed",
    "concluded",
    "from the rulebase",
    "not known",
]
Value = float | str | None


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact in the fixed unit of its vocabulary entry.

    Parameters
    ----------
    subject : str
        ``piece``, ``guests``, ``course``, or ``step`` followed by its number from 1, as ``step3``.
    name : str
        Name in the vocabulary.
    value : float, str or None
        Quantity in its fixed unit, choice word, or None when it is not known.
    origin : Origin
        Where it came from.
    as_written : str
        The cook's own words, when there were any.
    note : str
        What was assumed or computed, in plain words.
    inputs : tuple of str
        Ids of the facts it was computed or concluded from.
    by : str
        Function or rule that made it.
    low, high : float or None
        Ends of its range, where it was worked out at both; ``value`` is then the end on which safety rests.
    doubts : tuple of str
        Where a model was asked beyond what it was checked over.
    """

    subject: str
    name: str
    value: Value
    origin: Origin
    as_written: str = ""
    note: str = ""
    inputs: tuple[str, ...] = ()
    by: str = ""
    low: float | None = None
    high: float | None = None
    doubts: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Address of the fact, for example ``step3.minutes``."""
        return f"{self.subject}.{self.name}"


Facts = Mapping[str, Fact]


@dataclass(frozen=True, slots=True)
class FactSet:
    """All facts of one case, by subject; ``steps`` in the order of the plan."""

    piece: Facts = field(default_factory=dict)
    guests: Facts = field(default_factory=dict)
    course: Facts = field(default_factory=dict)
    steps: tuple[Facts, ...] = ()

    def of(self, subject: str, step: int | None = None) -> Facts:
        """Facts of a subject; of step number ``step`` (from 0) for ``"step"``.

        Raises
        ------
        KeyError
            There is no such subject.
        """
        if subject == "step":
            return self.steps[step or 0]
        return {"piece": self.piece, "guests": self.guests, "course": self.course}[subject]

    def with_fact(self, fact: Fact) -> FactSet:
        """Return a set in which ``fact`` stands in the place of an older one of the same id."""
        if fact.subject.startswith("step"):
            index = int(fact.subject[4:]) - 1
            steps = list(self.steps)
            steps[index] = {**steps[index], fact.name: fact}
            return replace(self, steps=tuple(steps))
        changed = {**self.of(fact.subject), fact.name: fact}
        if fact.subject == "piece":
            return replace(self, piece=changed)
        return replace(self, guests=changed) if fact.subject == "guests" else replace(self, course=changed)

    def all(self) -> Iterator[Fact]:
        """Yield every fact: piece, guests, course, then the steps."""
        for facts in (self.piece, self.guests, self.course, *self.steps):
            yield from facts.values()
