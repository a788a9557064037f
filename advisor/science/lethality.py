"""How many germs heat kills.

References
----------
.. [1] Bigelow's log-linear model: W. D. Bigelow, J. Infectious Diseases 29 (1921) 528 (from memory).
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from advisor.science.history import (
    FloatArray,
    celsius_array,
    checked_history,
    require_positive,
    running_sum,
    time_steps,
)
from advisor.science.stays import (
    BestRow,
    DwellRow,
    best_row,
    cooling_time,
    first_time_above,
    longest_dwell,
    time_between,
)

__all__ = [
    "BestRow",
    "DwellRow",
    "best_row",
    "cooling_time",
    "first_time_above",
    "kill_rate",
    "log_kill",
    "longest_dwell",
    "time_between",
]


def kill_rate(temp_c: npt.ArrayLike, d_ref_s: float, ref_c: float, z_c: float, floor_c: float) -> FloatArray:
    r"""Kill in powers of ten per second, nothing below a floor.

    .. math:: r(T) = \frac{10^{(T-T_{ref})/z}}{D_{ref}}

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    d_ref_s : float
        Time for one power of ten at the reference [s].
    ref_c : float
        Reference temperature [°C].
    z_c : float
        Rise that makes the kill ten times as fast [°C].
    floor_c : float
        No kill is credited below this temperature [°C]; ``-math.inf`` for none.

    Returns
    -------
    FloatArray
        Rates [log10/s].

    Raises
    ------
    ValueError
        If D or z is not above zero.

    Notes
    -----
    Straight-line survival, no shoulder and no tail; holds over the range of temperatures its D and z were
    measured in. Says nothing of spores or toxins.

    Examples
    --------
    >>> float(kill_rate(65.0, d_ref_s=60.0, ref_c=60.0, z_c=5.0, floor_c=54.4) * 60)
    10.0
    """
    require_positive(d_ref_s=d_ref_s, z_c=z_c)
    temps = celsius_array(temp_c)
    return np.where(temps >= floor_c, 10.0 ** ((temps - ref_c) / z_c) / d_ref_s, 0.0)


def log_kill(
    times_s: npt.ArrayLike,
    temps_c: npt.ArrayLike,
    *,
    d_ref_s: float,
    ref_c: float,
    z_c: float,
    floor_c: float,
) -> FloatArray:
    r"""Kill of a history so far, in powers of ten.

    .. math:: \int r\,dt = \Delta t\, \frac{r_2 - r_1}{\ln(r_2/r_1)} \quad\text{on a straight line}

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    d_ref_s, ref_c, z_c, floor_c : float
        As in :func:`kill_rate`.

    Returns
    -------
    FloatArray
        Kill up to each sample [log10], zero at the first.

    Raises
    ------
    ValueError
        As :func:`kill_rate`, or if times and temperatures do not fit.

    Notes
    -----
    The integral is exact for a straight line between samples. A trapezoid would credit too much when a record
    has few samples, because the rate bends upward. Of a stretch that crosses the floor, only the part above
    counts.

    Examples
    --------
    >>> log_kill([0, 60, 120], [60, 60, 50], d_ref_s=60.0, ref_c=60.0, z_c=5.0, floor_c=60.0).tolist()
    [0.0, 1.0, 1.0]
    """
    times, temps = checked_history(times_s, temps_c)
    require_positive(d_ref_s=d_ref_s, z_c=z_c)
    first, second = temps[:-1], temps[1:]
    top, bottom = np.maximum(first, second), np.minimum(first, second)
    counted_from = np.maximum(bottom, floor_c)
    span = top - bottom
    credited = np.maximum(top - counted_from, 0.0)
    above = np.where(span > 0, credited / np.where(span > 0, span, 1.0), 1.0)
    above = np.where(top >= floor_c, above, 0.0)
    rise = credited * math.log(10) / z_c
    mean = -np.expm1(-rise) / np.where(rise > 0, rise, 1.0)
    mean = np.where(rise > 0, mean, 1.0) * 10.0 ** ((top - ref_c) / z_c) / d_ref_s
    return running_sum(mean * above * time_steps(times, temps.ndim))
