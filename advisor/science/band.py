"""A value with its spread, and how sure it is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Confidence(StrEnum):
    """How far a spread can be trusted."""

    MEASURED = "measured"
    """The ends are measurements, of this or of like meat."""
    FAIR = "fair"
    """The middle is measured or well known, the ends are judged."""
    LOW = "low"
    """Middle and ends are estimates, or hang on one experiment."""


_ORDER = (Confidence.MEASURED, Confidence.FAIR, Confidence.LOW)


@dataclass(frozen=True, slots=True)
class Band:
    """A low, a middle and a high value.

    Parameters
    ----------
    low, mid, high : float
        In one unit, never falling.
    confidence : Confidence
        How far the three can be trusted.

    Raises
    ------
    ValueError
        If a value is not finite or they are out of order.

    Notes
    -----
    The ends are plausible ends, not percentiles: too little is measured to give those.
    Holds everywhere.

    References
    ----------
    None: a record.

    Examples
    --------
    >>> Band(3.0, 4.0, 5.5).confidence.value
    'low'
    """

    low: float
    mid: float
    high: float
    confidence: Confidence = Confidence.LOW

    def __post_init__(self) -> None:
        """Refuse ends that are out of order."""
        if not all(math.isfinite(value) for value in (self.low, self.mid, self.high)):
            raise ValueError(f"a band needs finite values, got {self.low}, {self.mid} and {self.high}")
        if not self.low <= self.mid <= self.high:
            raise ValueError(f"a band runs from low over mid to high, got {self.low}, {self.mid} and {self.high}")


def certain(value: float) -> Band:
    """Give a band of no width, for a value that is known.

    Parameters
    ----------
    value : float
        The value.

    Returns
    -------
    Band
        With the value three times, measured.

    Raises
    ------
    ValueError
        If the value is not finite.

    Notes
    -----
    For what is given, such as a weight on the scale.
    Holds everywhere.

    References
    ----------
    None.

    Examples
    --------
    >>> certain(1.0).high
    1.0
    """
    return Band(value, value, value, Confidence.MEASURED)


def least_sure(*bands: Band) -> Confidence:
    r"""Give the confidence of a result that rests on several bands: the least sure of them.

    .. math:: \min_i c_i

    Parameters
    ----------
    *bands : Band
        What the result rests on, at least one.

    Returns
    -------
    Confidence
        The least.

    Raises
    ------
    ValueError
        If there is no band.

    Notes
    -----
    A chain is as strong as its weakest link. A band of no width adds nothing and is not counted, unless all are.
    Holds everywhere.

    References
    ----------
    None.

    Examples
    --------
    >>> least_sure(Band(1, 2, 3, Confidence.FAIR), certain(4.0)).value
    'fair'
    """
    if not bands:
        raise ValueError("at least one band is needed")
    counted = [band for band in bands if band.low < band.high] or list(bands)
    return max((band.confidence for band in counted), key=_ORDER.index)
