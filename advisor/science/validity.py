"""Where a model holds, and the warning it gives when it is asked beyond.

A model is never silent about the edge of what it was checked on: it answers, and warns. Whoever calls it
gathers the warnings with :func:`gathered` and passes them on with the result.
"""

from __future__ import annotations

import math
import warnings
from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Iterator


class OutsideRange(UserWarning):
    """A model was asked beyond the range it was checked over; what it gave is a guess.

    Parameters
    ----------
    model : str
        What was computed, in plain words.
    name : str
        The quantity that lies outside.
    value : float
        Its value, the one farthest out.
    low, high : float
        The range the model holds for.
    unit : str
        Unit of all three.

    Examples
    --------
    >>> print(OutsideRange("growth of germs", "pH", 4.0, 5.5, 7.0, ""))
    growth of germs: pH of 4 lies outside 5.5 to 7, where it was checked
    """

    def __init__(self, model: str, name: str, value: float, low: float, high: float, unit: str) -> None:
        self.model, self.name, self.value, self.low, self.high, self.unit = model, name, value, low, high, unit
        suffix = f" {unit}" if unit else ""
        place = f"is not {low:.4g}" if low == high else f"lies outside {low:.4g} to {high:.4g}"
        # Three digits say enough, unless they hide that it lies outside.
        shown = f"{value:.3g}" if not low <= float(f"{value:.3g}") <= high else f"{value:g}"
        super().__init__(f"{model}: {name} of {shown}{suffix} {place}{suffix}, where it was checked")

    @property
    def beyond(self) -> float:
        """How far outside, in the unit of the quantity."""
        return max(self.low - self.value, self.value - self.high)


class NotMeasured(OutsideRange):
    """A model was used of which no range is known: nobody measured it, so that any value of the quantity is outside.

    Parameters
    ----------
    model : str
        What was computed, in plain words.
    name : str
        The quantity.

    Examples
    --------
    >>> print(NotMeasured("speed of the enzyme of onion", "temperature"))
    speed of the enzyme of onion: not measured at any temperature
    """

    def __init__(self, model: str, name: str) -> None:
        super().__init__(model, name, math.nan, math.nan, math.nan, "")
        self.args = (f"{model}: not measured at any {name}",)

    @property
    def beyond(self) -> float:
        """Infinitely far outside: there is no inside."""
        return math.inf


def warn_not_measured(model: str, name: str) -> None:
    """Warn that nobody measured what is computed.

    Parameters
    ----------
    model : str
        What is computed, in plain words.
    name : str
        The quantity it depends on.

    Warns
    -----
    NotMeasured
        Always.

    Examples
    --------
    >>> with gathered() as found:
    ...     warn_not_measured("speed of the enzyme of onion", "temperature")
    >>> found[0].beyond
    inf
    """
    warnings.warn(NotMeasured(model, name), stacklevel=3)


def warn_outside(model: str, name: str, values: npt.ArrayLike, low: float, high: float, unit: str = "") -> None:
    """Warn once when any of the values lies outside the range a model was checked over.

    Parameters
    ----------
    model : str
        What is computed, in plain words.
    name : str
        The quantity.
    values : array_like
        Its values, any shape.
    low, high : float
        The range, both ends counted in.
    unit : str
        Unit of the values.

    Warns
    -----
    OutsideRange
        With the value farthest out.

    Examples
    --------
    >>> with gathered() as found:
    ...     warn_outside("kill by heat", "temperature", [50.0, 90.0, 101.0], 0.0, 80.0, "°C")
    >>> found[0].value
    101.0
    """
    array = np.asarray(values, dtype=np.float64)
    if array.size == 0:
        return
    least, most = float(np.min(array)), float(np.max(array))
    if least >= low and most <= high:
        return
    worst = least if low - least > most - high else most
    warnings.warn(OutsideRange(model, name, worst, low, high, unit), stacklevel=3)


@contextmanager
def gathered() -> Iterator[list[OutsideRange]]:
    """Gather the range warnings given inside, the farthest out of each model and quantity; others pass through.

    Yields
    ------
    list of OutsideRange
        Filled when the block ends.

    Examples
    --------
    >>> with gathered() as found:
    ...     warn_outside("kill by heat", "temperature", 90.0, 0.0, 80.0, "°C")
    ...     warn_outside("kill by heat", "temperature", 95.0, 0.0, 80.0, "°C")
    >>> [warning.value for warning in found]
    [95.0]
    """
    found: list[OutsideRange] = []
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", OutsideRange)
        yield found
    farthest: dict[tuple[str, str], OutsideRange] = {}
    for entry in caught:
        warning = entry.message
        if not isinstance(warning, OutsideRange):
            warnings.warn_explicit(entry.message, entry.category, entry.filename, entry.lineno)
            continue
        known = farthest.get((warning.model, warning.name))
        if known is None or warning.beyond > known.beyond:
            farthest[warning.model, warning.name] = warning
    found.extend(farthest.values())
