"""How long a place stayed warm enough, and how long it took to cool.

Lines are straight between samples. A record with long gaps therefore proves less than it seems to: what
happened inside a gap is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.science.history import FloatArray, checked_history, require_not_negative

if TYPE_CHECKING:
    from collections.abc import Iterable

_LARGEST_SHARE = 10.0
"""A dwell ten times as long as asked is enough said; it keeps a one-second row from drowning the others."""


@dataclass(frozen=True, slots=True)
class DwellRow:
    """One row of a table of temperatures and the stay each asks for.

    Parameters
    ----------
    temp_c : float
        Temperature to be held [°C].
    seconds : float
        Time to hold it [s], 0 for a row that asks only that the temperature be reached.
    """

    temp_c: float
    seconds: float


class BestRow(NamedTuple):
    """The row of a table that a history comes closest to meeting, or meets best.

    Attributes
    ----------
    row : DwellRow
        The row.
    dwell_s : float
        Longest stay at or above its temperature [s].
    share : float
        The stay as a share of what the row asks [-], 10 at most.
    """

    row: DwellRow
    dwell_s: float
    share: float


def _single_place(times_s: npt.ArrayLike, temps_c: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Check a history of one place; stays and crossings have no meaning for several at once."""
    times, temps = checked_history(times_s, temps_c)
    if temps.ndim != 1:
        raise ValueError("one temperature for each time is needed here, not several places")
    return times, temps


def _crossing(times: FloatArray, temps: FloatArray, index: int, level_c: float) -> float:
    """Moment the line from sample `index` to the next passes a level it is known to pass."""
    share = (level_c - temps[index]) / (temps[index + 1] - temps[index])
    return float(times[index] + share * (times[index + 1] - times[index]))


def longest_dwell(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, threshold_c: float) -> float:
    r"""Longest unbroken stay at or above a temperature.

    .. math:: \max\{t_b - t_a : T(t) \ge T_0 \text{ on } [t_a, t_b]\}

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures of one place [°C].
    threshold_c : float
        The temperature [°C].

    Returns
    -------
    float
        The stay [s]; no tolerance is given, one hundredth of a degree below ends it.

    Notes
    -----
    Holds everywhere: crossings lie on straight lines between samples. Two samples above the line with nothing between
    are taken as unbroken, so a record with long gaps proves less than it seems to.

    Examples
    --------
    >>> longest_dwell([0, 10, 20, 30], [50, 60, 60, 50], 55.0)
    20.0
    """
    return _longest(*_single_place(times_s, temps_c), threshold_c)


def _longest(times: FloatArray, temps: FloatArray, threshold_c: float) -> float:
    """Longest stay in a history that was checked."""
    warm = temps >= threshold_c
    turns = np.flatnonzero(warm[1:] != warm[:-1])
    # Begin and end of every stay in turn; a record that opens or closes warm has no crossing there.
    marks = [_crossing(times, temps, int(index), threshold_c) for index in turns]
    marks = ([float(times[0])] if warm[0] else []) + marks + ([float(times[-1])] if warm[-1] else [])
    return max((end - begin for begin, end in zip(marks[::2], marks[1::2], strict=True)), default=0.0)


def best_row(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, rows: Iterable[DwellRow]) -> BestRow:
    r"""Row of a time and temperature table that a history fulfils best.

    .. math:: \max_i \frac{\text{dwell}(T_i)}{t_i}

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures of the slowest place [°C].
    rows : iterable of DwellRow
        The table.

    Returns
    -------
    BestRow
        The row, the longest stay at or above its temperature [s], and the stay as a share of what it asks, at
        most 10. A share of 1 or more fulfils the row. Of equal shares the hotter row. If no temperature of
        the table was reached, the coolest row with a share of 0.

    Raises
    ------
    ValueError
        If the table is empty or a row asks for a negative time.

    Notes
    -----
    Holds everywhere on straight lines between samples: what happened inside a gap of a record is not known.

    Examples
    --------
    >>> best_row([0, 600], [61, 61], [DwellRow(60.0, 300.0), DwellRow(70.0, 1.0)]).share
    2.0
    """
    table = sorted(rows, key=lambda row: row.temp_c)
    if not table:
        raise ValueError("a table needs at least one row")
    for row in table:
        require_not_negative(seconds=row.seconds)
    times, temps = _single_place(times_s, temps_c)
    best = BestRow(table[0], 0.0, 0.0)
    hottest = float(temps.max())
    for row in table:
        if hottest >= row.temp_c:
            dwell = _longest(times, temps, row.temp_c)
            share = min(dwell / row.seconds, _LARGEST_SHARE) if row.seconds > 0 else 1.0
            if share >= best.share:
                best = BestRow(row, dwell, share)
    return best


def first_time_above(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, threshold_c: float) -> float | None:
    r"""First moment at or above a temperature.

    .. math:: \min\{t : T(t) \ge T_0\}

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures of one place [°C].
    threshold_c : float
        The temperature [°C].

    Returns
    -------
    float or None
        The moment [s], or None if it never comes.

    Notes
    -----
    Holds everywhere on straight lines between samples: what happened inside a gap of a record is not known.

    Examples
    --------
    >>> first_time_above([0, 10, 20], [50, 60, 70], 65.0)
    15.0
    """
    times, temps = _single_place(times_s, temps_c)
    warm = np.flatnonzero(temps >= threshold_c)
    if warm.size == 0:
        return None
    index = int(warm[0])
    return float(times[0]) if index == 0 else _crossing(times, temps, index - 1, threshold_c)


def time_between(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, low_c: float, high_c: float) -> float:
    r"""Total time spent between two temperatures.

    .. math:: \int [T_{low} < T(t) < T_{high}]\,dt

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures of one place [°C].
    low_c, high_c : float
        The two temperatures [°C].

    Returns
    -------
    float
        Time strictly between them [s]. A stay at exactly one of them is outside, as codes say "5 °C or less"
        and "57 °C or more" for food under control.

    Raises
    ------
    ValueError
        If the lower is not below the higher.

    Notes
    -----
    Holds everywhere on straight lines between samples: what happened inside a gap of a record is not known.

    Examples
    --------
    >>> time_between([0, 10, 20], [0, 100, 100], 20.0, 60.0)
    4.0
    """
    if not low_c < high_c:
        raise ValueError(f"low_c must be below high_c, got {low_c} and {high_c}")
    times, temps = _single_place(times_s, temps_c)
    top, bottom = np.maximum(temps[:-1], temps[1:]), np.minimum(temps[:-1], temps[1:])
    span = top - bottom
    inside = np.clip(np.minimum(top, high_c) - np.maximum(bottom, low_c), 0.0, None)
    share = np.where(span > 0, inside / np.where(span > 0, span, 1.0), (low_c < top) & (top < high_c))
    return float(np.sum(share * np.diff(times)))


def cooling_time(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, from_c: float, to_c: float) -> float | None:
    r"""Time to cool from one temperature to another, the last time it was that warm.

    .. math:: t_{to} - \max\{t : T(t) \ge T_{from}\}

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures of the slowest place [°C].
    from_c : float
        Temperature at which the clock starts, at the last moment at or above it [°C].
    to_c : float
        Temperature at which it stops, at the first moment after at or below it [°C].

    Returns
    -------
    float or None
        The time [s]; 0 if it never was at `from_c`; None if it never came down to `to_c` in the history.

    Raises
    ------
    ValueError
        If `to_c` is not below `from_c`.

    Notes
    -----
    Holds everywhere on straight lines between samples, for one fall at the end. If meat cools slowly, is warmed again
    and then cooled fast, only the last fall counts here; the growth in the first must be looked at with
    :mod:`advisor.science.growth`.

    Examples
    --------
    >>> cooling_time([0, 100], [60, 10], 50.0, 20.0)
    60.0
    """
    if not to_c < from_c:
        raise ValueError(f"to_c must be below from_c, got {to_c} and {from_c}")
    times, temps = _single_place(times_s, temps_c)
    warm = np.flatnonzero(temps >= from_c)
    if warm.size == 0:
        return 0.0
    last = int(warm[-1])
    cold = np.flatnonzero(temps[last:] <= to_c)
    if cold.size == 0:
        return None
    return _crossing(times, temps, last + int(cold[0]) - 1, to_c) - _crossing(times, temps, last, from_c)
