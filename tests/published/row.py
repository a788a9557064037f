"""One published value beside ours, as every module in this folder gives it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Known = Literal["read", "read in part", "read through an adoption", "from memory", "exact", "reference library"]


@dataclass(frozen=True, slots=True)
class Row:
    """A published value, what we get, and how far apart they may be.

    Parameters
    ----------
    what : str
        What the value is of, with its conditions.
    published, ours : float
        The two values, in ``unit``.
    unit : str
        Unit of both; empty for a pure number.
    known : str
        How the published value is known.
    aim : tuple of float
        Lowest and highest ``ours - published`` that the source's own precision and rounding warrant.
    held : tuple of float or None
        The wider room the test holds us to where the aim is missed; None when the aim is held.
    reason : str
        Why the aim is what it is; with ``held``, why the value is missed.
    """

    what: str
    published: float
    ours: float
    unit: str
    known: Known
    aim: tuple[float, float]
    held: tuple[float, float] | None
    reason: str

    @property
    def error(self) -> float:
        """Ours less the published."""
        return self.ours - self.published

    @property
    def met(self) -> bool:
        """Whether the aim is met."""
        return self.aim[0] <= self.error <= self.aim[1]

    @property
    def within_held(self) -> bool:
        """Whether the value stands where the test holds it."""
        low, high = self.held or self.aim
        return low <= self.error <= high


def share_of(published: float, share: float) -> tuple[float, float]:
    """Room of a share of the published value, either way."""
    return (-abs(published) * share, abs(published) * share)
