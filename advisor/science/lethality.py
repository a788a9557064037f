"""How many germs heat kills, and how many a blade carries to where heat comes last.

References
----------
.. [1] Bigelow's log-linear model: W. D. Bigelow, J. Infectious Diseases 29 (1921) 528 (from memory).
.. [2] Thippareddi, Sporing, Phebus et al., Escherichia coli O157:H7 risk assessment for blade-tenderized beef
   steaks, Kansas State University, 2000 (read in part): 3 to 4 % of the surface load at the centre of top
   sirloin after one pass, with 10^3 and with 10^6 per cm2 on the surface.
.. [3] Luchansky et al., J. Food Protection 71 (2008) 2190 (abstract read): from 0.5 to 3.5 log put on beef
   subprimals, the second centimetre held 7 to 34 times less than the first after one pass.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from advisor.science.history import (
    FloatArray,
    celsius_array,
    checked_history,
    require_fraction,
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
from advisor.science.validity import warn_outside

__all__ = [
    "BestRow",
    "DwellRow",
    "best_row",
    "carried_in_log",
    "cooling_time",
    "first_time_above",
    "kill_rate",
    "log_kill",
    "longest_dwell",
    "time_between",
]

_MODEL = "kill by heat"
_NOT_IN_PASSING = 0.1
"""Share of the kill below the measured range from which it is told; a warm-up only passes through."""

_MEASURED_SHARES = (0.03, 0.125)


def kill_rate(
    temp_c: npt.ArrayLike,
    d_ref_s: float,
    ref_c: float,
    z_c: float,
    floor_c: float,
    *,
    measured_c: tuple[float, float] | None = None,
) -> FloatArray:
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
    measured_c : tuple of float, optional
        Lowest and highest temperature D and z were measured at [°C].

    Returns
    -------
    FloatArray
        Rates [log10/s], the shape of `temp_c`.

    Raises
    ------
    ValueError
        If D or z is not above zero, or the measured range is empty.

    Warns
    -----
    OutsideRange
        Where kill is credited at a temperature outside `measured_c`.

    Notes
    -----
    Straight-line survival, no shoulder and no tail; holds over the range of temperatures its D and z were
    measured in. What lies below the floor is not credited, so nothing is told of it. Says nothing of spores or
    toxins.

    References
    ----------
    .. [1] Bigelow, see the module.

    Examples
    --------
    >>> float(kill_rate(65.0, d_ref_s=60.0, ref_c=60.0, z_c=5.0, floor_c=54.4) * 60)
    10.0
    """
    require_positive(d_ref_s=d_ref_s, z_c=z_c)
    temps = celsius_array(temp_c)
    credited = temps >= floor_c
    if measured_c is not None:
        warn_outside(_MODEL, "temperature", temps[credited], *_checked_range(measured_c), "°C")
    return np.where(credited, 10.0 ** ((temps - ref_c) / z_c) / d_ref_s, 0.0)


def _checked_range(measured_c: tuple[float, float]) -> tuple[float, float]:
    """Refuse a range that holds nothing."""
    low, high = measured_c
    if not low <= high:
        raise ValueError(f"measured_c must run from the lower to the higher, got {low} and {high}")
    return low, high


def log_kill(
    times_s: npt.ArrayLike,
    temps_c: npt.ArrayLike,
    *,
    d_ref_s: float,
    ref_c: float,
    z_c: float,
    floor_c: float,
    measured_c: tuple[float, float] | None = None,
) -> FloatArray:
    r"""Kill of a history so far, in powers of ten.

    .. math:: \int r\,dt = \Delta t\, \frac{r_2 - r_1}{\ln(r_2/r_1)} \quad\text{on a straight line}

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    d_ref_s, ref_c, z_c, floor_c, measured_c : float
        As in :func:`kill_rate`.

    Returns
    -------
    FloatArray
        Kill up to each sample [log10], the shape of `temps_c`, zero at the first, never falling.

    Raises
    ------
    ValueError
        As :func:`kill_rate`, or if times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        If the history goes above `measured_c`, or if a tenth or more of the kill at a place is credited on
        stretches that lie below it; a warm-up that only passes through is not told.

    Notes
    -----
    The integral is exact for a straight line between samples. A trapezoid would credit too much when a record
    has few samples, because the rate bends upward. Of a stretch that crosses the floor, only the part above
    counts. Holds for temperatures within `measured_c`, see :func:`kill_rate`.

    References
    ----------
    .. [1] Bigelow, see the module; the integral over a straight line is ours, by hand.

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
    pieces = mean * above * time_steps(times, temps.ndim)
    if measured_c is not None:
        _warn_beyond_measured(top, pieces, *_checked_range(measured_c))
    return running_sum(pieces)


def _warn_beyond_measured(top: FloatArray, pieces: FloatArray, low: float, high: float) -> None:
    """Warn of stretches above the measured range, and of kill credited below it."""
    credited = pieces > 0
    warn_outside(_MODEL, "temperature", top[credited & (top > high)], low, high, "°C")
    under = credited & (top < low)
    if np.any(under):
        from_below = np.where(under, pieces, 0.0).sum(axis=0)
        told = under & (from_below >= _NOT_IN_PASSING * pieces.sum(axis=0))
        warn_outside(_MODEL, "temperature", top[told], low, high, "°C")


def carried_in_log(share: float) -> float:
    r"""How much lower the load in the middle is than on the surface, once blades or needles went through.

    .. math:: \log_{10} N_{middle} = \log_{10} N_{surface} + \log_{10} s

    Parameters
    ----------
    share : float
        Share s of the surface load that is carried to the middle [-], above 0 and at most 1.

    Returns
    -------
    float
        Logarithm of the share [log10], zero or below. To leave the middle as clean as a surface that lost n
        powers of ten, the middle must lose n plus this.

    Raises
    ------
    ValueError
        If the share is not above 0, or is above 1.

    Warns
    -----
    OutsideRange
        If the share is not one that was measured.

    Notes
    -----
    Checked over 0.03 to 0.125. Measured 0.03 to 0.04 in one pass of a blade machine through beef (top sirloin) with
    10^3 and 10^6 per cm2 on the surface [2]_; the share did not follow the load. Another study found it mostly in the
    outer centimetre [3]_; if all of it lay in two, the second held up to an eighth, half a power of ten more than 0.04.
    More passes, needles and brine that goes round were not measured. A blade that carries
    nothing in does not exist, so a share of zero is refused: meat that no blade touched does not come here. The
    figure says how far the middle is from clean, never that less kill is enough: rules and tables ask the
    middle of pierced meat for the whole of it.

    References
    ----------
    .. [2] Kansas State University, 2000 (read in part), see the module.
    .. [3] Luchansky et al. 2008 (abstract read), see the module.

    Examples
    --------
    >>> round(carried_in_log(0.04), 2)
    -1.4
    """
    require_positive(share=share)
    require_fraction(share=share)
    warn_outside("germs carried in by blades", "share of the surface load", share, *_MEASURED_SHARES)
    return math.log10(share)
