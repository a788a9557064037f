"""One change of a case, as a mend tries it: an edit on a grid, with its words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from advisor.case.model import Case


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that can be changed.

    Attributes
    ----------
    kind : str
        What is changed, for telling mends apart: ``step4 minutes``.
    size : int
        Number of grid places; 1 for a plain swap.
    apply : callable
        (case, place from 1) to the changed case.
    words : callable
        (place) to what the cook is told.
    only_if : bool
        It changes the world, not the plan: true only if it can be had.
    shifts : tuple of int
        Order in which changes made together are applied, because they renumber steps: plain edits, then steps put
        in, the last place first, then steps dropped.
    gives_up : tuple of str
        Limits that say how much of the cook's intention goes with it, beside how far it goes along its grid.
    """

    kind: str
    size: int
    apply: Callable[[Case, int], Case]
    words: Callable[[int], str]
    only_if: bool = False
    shifts: tuple[int, int] = (0, 0)
    gives_up: tuple[str, ...] = ()
