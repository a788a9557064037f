"""A temperature history: times and temperatures, taken as straight lines between the samples.

Everything here works on one place (`temps` of shape ``(n,)``) or on many at once (``(n, places)``), time
first.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from advisor.science.constants import ZERO_CELSIUS_K

FloatArray: TypeAlias = npt.NDArray[np.float64]
RateFunction: TypeAlias = Callable[[FloatArray], FloatArray]

_LARGEST_STEP_C = 0.25
"""Numerical step: no stretch that is integrated changes by more than this."""

_MOST_SUBSTEPS = 4000
"""Bound on work for one stretch; a stretch of 1000 °C still keeps the step above."""


def require_positive(**named: float) -> None:
    """Raise unless every value is a finite number above zero.

    Parameters
    ----------
    named : float
        Values that must be finite and above zero, each under the name it is called by in the message.

    Raises
    ------
    ValueError
        Naming the first value that is not.

    Examples
    --------
    >>> require_positive(thickness_m=0.03)
    >>> require_positive(thickness_m=-0.03)
    Traceback (most recent call last):
    ...
    ValueError: thickness_m must be a finite number above zero, got -0.03
    """
    for name, value in named.items():
        if not (np.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be a finite number above zero, got {value}")


def require_not_negative(**named: float) -> None:
    """Raise unless every value is a finite number, zero or above.

    Parameters
    ----------
    named : float
        Values that must be finite, zero or above, each under the name it is called by in the message.

    Raises
    ------
    ValueError
        Naming the first value that is not.

    Examples
    --------
    >>> require_not_negative(time_s=-1.0)
    Traceback (most recent call last):
    ...
    ValueError: time_s must be a finite number, zero or above, got -1.0
    """
    for name, value in named.items():
        if not (np.isfinite(value) and value >= 0):
            raise ValueError(f"{name} must be a finite number, zero or above, got {value}")


def require_fraction(**named: float) -> None:
    """Raise unless every value lies from 0 to 1.

    Parameters
    ----------
    named : float
        Values that must lie from 0 to 1, each under the name it is called by in the message.

    Raises
    ------
    ValueError
        Naming the first value that does not.

    Examples
    --------
    >>> require_fraction(collagen_share=20)
    Traceback (most recent call last):
    ...
    ValueError: collagen_share must lie from 0 to 1, got 20
    """
    for name, value in named.items():
        if not 0 <= value <= 1:
            raise ValueError(f"{name} must lie from 0 to 1, got {value}")


def celsius_array(temp_c: npt.ArrayLike) -> FloatArray:
    """Temperatures as an array, refused when a number is missing or below absolute zero.

    Parameters
    ----------
    temp_c : array_like
        Temperatures [°C].

    Returns
    -------
    FloatArray
        The same, float64.

    Raises
    ------
    ValueError
        If a value is not finite or lies below -273.15 °C.

    Examples
    --------
    >>> celsius_array([5, 60]).tolist()
    [5.0, 60.0]
    """
    temps = np.asarray(temp_c, dtype=np.float64)
    # A number that is missing makes both comparisons false.
    if temps.size and not (temps.min() > -ZERO_CELSIUS_K and temps.max() < np.inf):
        raise ValueError("temperatures must be finite and above absolute zero (-273.15 °C)")
    return temps


def kelvin_array(temp_c: npt.ArrayLike) -> FloatArray:
    """Absolute temperatures.

    Parameters
    ----------
    temp_c : array_like
        Temperatures [°C].

    Returns
    -------
    FloatArray
        Temperatures [K].

    Examples
    --------
    >>> float(kelvin_array(55.0))
    328.15
    """
    return np.asarray(celsius_array(temp_c) + ZERO_CELSIUS_K, dtype=np.float64)


def checked_history(times_s: npt.ArrayLike, temps_c: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Check that times and temperatures fit each other, and give them as arrays.

    Parameters
    ----------
    times_s : array_like
        Times [s], never falling. Two samples may share a time: the temperature then jumps.
    temps_c : array_like
        Temperatures [°C], one row for each time.

    Returns
    -------
    tuple of FloatArray
        Times and temperatures.

    Raises
    ------
    ValueError
        If there is no sample, if lengths differ, if a number is not finite, or if time runs backwards.

    Examples
    --------
    >>> checked_history([0, 60, 30], [5, 6, 7])
    Traceback (most recent call last):
    ...
    ValueError: times must not run backwards
    """
    times = np.asarray(times_s, dtype=np.float64)
    temps = celsius_array(temps_c)
    if times.ndim != 1 or times.size == 0:
        raise ValueError("times must be a list of at least one moment")
    if temps.ndim == 0 or temps.shape[0] != times.size:
        raise ValueError(f"{times.size} times but temperatures of shape {temps.shape}")
    if not (times.min() > -np.inf and times.max() < np.inf):
        raise ValueError("times must be finite")
    if (times[1:] < times[:-1]).any():
        raise ValueError("times must not run backwards")
    return times, temps


def refined(
    times_s: FloatArray, temps_c: FloatArray, largest_c: float = _LARGEST_STEP_C
) -> tuple[FloatArray, FloatArray, npt.NDArray[np.intp]]:
    """Put samples on the straight lines until no stretch changes by more than so many degrees.

    Parameters
    ----------
    times_s, temps_c : FloatArray
        A checked history.
    largest_c : float
        Largest change of a stretch [K], a quarter degree if not said.

    Returns
    -------
    times, temps : FloatArray
        The denser history.
    kept : array of int
        Where the samples given stand in it.

    Notes
    -----
    Without this a record with two samples, 60 °C and 20 °C, would show no growth at all: both ends lie
    outside the growth range and the whole of it lies between.

    Examples
    --------
    >>> times, temps, kept = refined(np.array([0.0, 10.0]), np.array([20.0, 21.0]))
    >>> times.tolist(), kept.tolist()
    ([0.0, 2.5, 5.0, 7.5, 10.0], [0, 4])
    """
    places = tuple(range(1, temps_c.ndim))
    change = np.abs(np.diff(temps_c, axis=0)).max(axis=places, initial=0.0)
    pieces = np.clip(np.ceil(change / largest_c), 1, _MOST_SUBSTEPS).astype(np.intp)
    kept = np.concatenate([np.zeros(1, dtype=np.intp), np.cumsum(pieces)])
    segment = np.repeat(np.arange(pieces.size), pieces)
    share = (np.arange(kept[-1]) - kept[segment]) / pieces[segment]
    times = np.append(times_s[segment] + share * np.diff(times_s)[segment], times_s[-1])
    share = share.reshape((-1,) + (1,) * (temps_c.ndim - 1))
    inner = temps_c[segment] + share * np.diff(temps_c, axis=0)[segment]
    return times, np.concatenate([inner, temps_c[-1:]]), kept


def time_steps(times_s: FloatArray, ndim: int) -> FloatArray:
    """Lengths of the stretches, shaped to multiply an array with `ndim` axes, time first.

    Parameters
    ----------
    times_s : FloatArray
        Times [s].
    ndim : int
        Axes of the array to be multiplied.

    Returns
    -------
    FloatArray
        Lengths [s], shape ``(n - 1, 1, ...)``.

    Examples
    --------
    >>> time_steps(np.array([0.0, 60.0, 90.0]), 1).tolist()
    [60.0, 30.0]
    """
    return np.diff(times_s).reshape((-1,) + (1,) * (ndim - 1))


def sample_spans(times_s: FloatArray) -> FloatArray:
    """Time that each sample stands for by trapezoids: a rate times its span, added up, is the whole integral.

    Parameters
    ----------
    times_s : FloatArray
        Times [s].

    Returns
    -------
    FloatArray
        Spans [s], one for each sample.

    Examples
    --------
    >>> sample_spans(np.array([0.0, 60.0, 90.0])).tolist()
    [30.0, 45.0, 15.0]
    """
    half = np.diff(times_s, append=times_s[-1]) / 2
    return np.asarray(half + np.roll(half, 1), dtype=np.float64)


def running_sum(pieces: FloatArray) -> FloatArray:
    """Add up along time with a zero in front, so that it has one entry for each sample.

    Parameters
    ----------
    pieces : FloatArray
        One row for each stretch between samples.

    Returns
    -------
    FloatArray
        One row more than `pieces`.

    Examples
    --------
    >>> running_sum(np.array([1.0, 2.0])).tolist()
    [0.0, 1.0, 3.0]
    """
    return np.concatenate([np.zeros((1, *pieces.shape[1:])), np.cumsum(pieces, axis=0)])


def integral_of_rate(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, rate: RateFunction) -> FloatArray:
    r"""Integral so far of a rate that depends on temperature alone.

    .. math:: I(t) = \int_0^t r(T(\tau))\,d\tau

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    rate : callable
        Rate [1/s] of an array of temperatures [°C].

    Returns
    -------
    FloatArray
        The integral at each sample, zero at the first.

    Notes
    -----
    Trapezoids on stretches of at most 0.25 °C.

    Examples
    --------
    >>> integral_of_rate([0, 10, 20], [20, 20, 20], lambda temps: temps / 10).tolist()
    [0.0, 20.0, 40.0]
    """
    times, temps, kept = refined(*checked_history(times_s, temps_c))
    rates = rate(temps)
    pieces = 0.5 * (rates[1:] + rates[:-1]) * time_steps(times, temps.ndim)
    return running_sum(pieces)[kept]
