r"""How far germs grow while meat is neither cold nor hot.

.. math::
    \mu(T) = \frac{\mu_{opt}\,(T-T_{max})(T-T_{min})^2}
    {(T_{opt}-T_{min})\,[(T_{opt}-T_{min})(T-T_{opt}) - (T_{opt}-T_{max})(T_{opt}+T_{min}-2T)]}

References
----------
.. [1] L. Rosso, J. R. Lobry and J. P. Flandrois, J. Theoretical Biology 162 (1993) 447 (formula from memory).
.. [2] J. Baranyi and T. A. Roberts, Int. J. Food Microbiology 23 (1994) 277 (lag without the upper limit,
   from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.history import (
    FloatArray,
    celsius_array,
    checked_history,
    refined,
    require_not_negative,
    require_positive,
    running_sum,
    sample_spans,
    time_steps,
)
from advisor.science.validity import warn_outside

if TYPE_CHECKING:
    from collections.abc import Sequence

_MODEL = "growth of germs"
_LEVELS_OFF_LOG10 = 6.0
_NOT_IN_PASSING = 0.1
"""Share of the growth outside the measured range from which it is told; a warm-up only passes through."""
_LATE_WORK = 30.0
"""Growth in natural logarithms, thirteen powers of ten, from which the start no longer shows."""


@dataclass(frozen=True, slots=True)
class GrowthCurve:
    """How fast one organism grows at each temperature.

    Parameters
    ----------
    t_min_c, t_opt_c, t_max_c : float
        Cardinal temperatures of the curve [°C].
    mu_opt_per_h : float
        Specific growth rate at the optimum, natural logarithm [1/h].
    floor_c, ceiling_c : float
        Hard limits: no growth is counted below or above, whatever the curve says [°C].
    lag_h0 : float
        Work to be done before growth, lag time multiplied by rate [-]; 0 for germs that grow at once.
    measured_c : tuple of float, optional
        Lowest and highest temperature the curve was fitted or checked at [°C].
    name : str, optional
        What grows, for the warnings.

    Raises
    ------
    ValueError
        If the temperatures are out of order, the optimum is not above the middle of the range (the curve then
        has a pole), the rate is not above zero, the lag is negative, or the measured range is empty.

    Notes
    -----
    Holds within `measured_c`, where it is given; beyond, :func:`cardinal_rate` and :func:`log_growth` warn.

    References
    ----------
    .. [1] Rosso, Lobry and Flandrois, see the module.

    Examples
    --------
    >>> GrowthCurve(5, 40, 46, 1.7, 5.2, 46, 0).t_opt_c
    40
    """

    t_min_c: float
    t_opt_c: float
    t_max_c: float
    mu_opt_per_h: float
    floor_c: float
    ceiling_c: float
    lag_h0: float
    measured_c: tuple[float, float] | None = None
    name: str = "germs"

    @property
    def model(self) -> str:
        """Say what is computed, as the warnings name it."""
        return f"growth of {self.name}"

    def __post_init__(self) -> None:
        """Refuse a curve that has no meaning."""
        _check_cardinals(self.t_min_c, self.t_opt_c, self.t_max_c)
        require_positive(mu_opt_per_h=self.mu_opt_per_h)
        require_not_negative(lag_h0=self.lag_h0)
        if not self.floor_c < self.ceiling_c:
            raise ValueError(f"floor_c must be below ceiling_c, got {self.floor_c} and {self.ceiling_c}")
        if self.measured_c is not None:
            _checked_range(self.measured_c)


def _checked_range(measured_c: tuple[float, float]) -> tuple[float, float]:
    """Refuse a range that holds nothing."""
    low, high = measured_c
    if not low <= high:
        raise ValueError(f"measured_c must run from the lower to the higher, got {low} and {high}")
    return low, high


def _check_cardinals(t_min_c: float, t_opt_c: float, t_max_c: float) -> None:
    """Refuse cardinal temperatures for which the curve is not one smooth hump."""
    if not t_min_c < t_opt_c < t_max_c:
        raise ValueError(f"t_min_c < t_opt_c < t_max_c is needed, got {t_min_c}, {t_opt_c}, {t_max_c}")
    if not 2 * t_opt_c > t_min_c + t_max_c:
        raise ValueError(f"t_opt_c must lie above the middle of {t_min_c} and {t_max_c}, got {t_opt_c}")


def cardinal_rate(
    temp_c: npt.ArrayLike,
    t_min_c: float,
    t_opt_c: float,
    t_max_c: float,
    mu_opt: float,
    *,
    floor_c: float = -math.inf,
    ceiling_c: float = math.inf,
    measured_c: tuple[float, float] | None = None,
) -> FloatArray:
    r"""Growth rate from the cardinal temperatures.

    .. math::
        \mu(T) = \frac{\mu_{opt}\,(T-T_{max})(T-T_{min})^2}
        {(T_{opt}-T_{min})\,[(T_{opt}-T_{min})(T-T_{opt}) - (T_{opt}-T_{max})(T_{opt}+T_{min}-2T)]}

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    t_min_c, t_opt_c, t_max_c : float
        Cardinal temperatures [°C].
    mu_opt : float
        Rate at the optimum, in any unit.
    floor_c, ceiling_c : float
        Hard limits of growth [°C].
    measured_c : tuple of float, optional
        Lowest and highest temperature the curve was fitted or checked at [°C].

    Returns
    -------
    FloatArray
        Rates in the unit of `mu_opt`, the shape of `temp_c`; 0 outside the curve and outside the limits, never
        negative.

    Raises
    ------
    ValueError
        If the cardinal temperatures are out of order, the optimum is not above the middle of the range, or the
        measured range is empty.

    Warns
    -----
    OutsideRange
        Where the curve grows at a temperature outside `measured_c`; plain cold and plain heat are never told.

    Notes
    -----
    Holds within `measured_c`, for meat of usual water activity and pH, no preservative; these only slow growth.
    A rate measured in one food is within a factor of about 1.2 to 1.5 in another.

    References
    ----------
    .. [1] Rosso, Lobry and Flandrois, see the module.

    Examples
    --------
    >>> cardinal_rate([5.0, 40.0, 46.0], 5.0, 40.0, 46.0, 1.7).tolist()
    [0.0, 1.7, 0.0]
    """
    _check_cardinals(t_min_c, t_opt_c, t_max_c)
    temps = celsius_array(temp_c)
    grows = (temps > t_min_c) & (temps < t_max_c) & (temps >= floor_c) & (temps <= ceiling_c)
    if measured_c is not None:
        warn_outside(_MODEL, "temperature", temps[grows], *_checked_range(measured_c), "°C")
    rise = t_opt_c - t_min_c
    inside = temps[grows]
    below = rise * (rise * (inside - t_opt_c) - (t_opt_c - t_max_c) * (t_opt_c + t_min_c - 2 * inside))
    rate = np.zeros(temps.shape)
    rate[grows] = mu_opt * (inside - t_max_c) * (inside - t_min_c) ** 2 / below
    return rate


def log_growth(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, curve: GrowthCurve) -> FloatArray:
    r"""Growth of a history so far, in powers of ten.

    .. math:: \ln\frac{N}{N_0} = \ln\left(1 + (e^{I}-1)\,e^{-h_0}\right), \quad I = \int \mu\,dt

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    curve : GrowthCurve
        The organism.

    Returns
    -------
    FloatArray
        Growth up to each sample [log10], the shape of `temps_c`, zero at the first, never falling.

    Raises
    ------
    ValueError
        If times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        If anything grows by more than six powers of ten, where numbers level off; and if a tenth or more of the growth
        at a place lies below `measured_c`, or above it: a warm-up that only passes through is not told.

    Notes
    -----
    Holds to about six powers of ten: the model has no upper limit of numbers, and beyond that a result means "as
    many as the meat can carry". Growth is not set off against kill: toxins and spores outlast the germs.
    Uncertain by about half a power of ten.

    References
    ----------
    .. [2] Baranyi and Roberts, see the module.

    Examples
    --------
    >>> curve = GrowthCurve(5.0, 40.0, 46.0, 2.302585, 5.0, 46.0, 0.0)
    >>> log_growth([0, 3600], [40, 40], curve).round(3).tolist()
    [0.0, 1.0]
    """
    times, temps, kept = refined(*checked_history(times_s, temps_c))
    rates = _rate_per_s(times, temps, curve)
    work = 0.5 * (rates[1:] + rates[:-1]) * time_steps(times, temps.ndim)
    return _grown(running_sum(work)[kept], curve)


def grown_by_end(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, curves: Sequence[GrowthCurve]) -> FloatArray:
    r"""Growth of several organisms through one history, in powers of ten: the last sample of :func:`log_growth`.

    .. math:: \ln\frac{N}{N_0} = \ln\left(1 + (e^{I}-1)\,e^{-h_0}\right), \quad I = \int \mu\,dt

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    curves : sequence of GrowthCurve
        The organisms.

    Returns
    -------
    FloatArray
        Growth [log10], one row for each organism, the shape of a row of `temps_c`.

    Raises
    ------
    ValueError
        If times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        As :func:`log_growth`.

    Notes
    -----
    Holds as :func:`log_growth` does, to six powers of ten. The history is made dense once for all organisms.

    References
    ----------
    .. [2] Baranyi and Roberts, see the module.

    Examples
    --------
    >>> curve = GrowthCurve(5.0, 40.0, 46.0, 2.302585, 5.0, 46.0, 0.0)
    >>> grown_by_end([0, 3600], [[40, 4], [40, 4]], [curve]).round(3).tolist()
    [[1.0, 0.0]]
    """
    times, temps, _ = refined(*checked_history(times_s, temps_c))
    spans = sample_spans(times)
    grown = [_grown(np.tensordot(spans, _rate_per_s(times, temps, curve), axes=1), curve) for curve in curves]
    return np.stack(grown) if grown else np.zeros((0, *temps.shape[1:]))


def _rate_per_s(times: FloatArray, temps: FloatArray, curve: GrowthCurve) -> FloatArray:
    """Rate at each sample of a dense history [1/s]; warns where much of the growth lies outside the measured range."""
    per_hour = cardinal_rate(
        temps,
        curve.t_min_c,
        curve.t_opt_c,
        curve.t_max_c,
        curve.mu_opt_per_h,
        floor_c=curve.floor_c,
        ceiling_c=curve.ceiling_c,
    )
    if curve.measured_c is not None:
        _warn_beyond_measured(times, temps, per_hour, curve.model, curve.measured_c)
    return per_hour / SECONDS_PER_HOUR


def _warn_beyond_measured(
    times: FloatArray, temps: FloatArray, rates: FloatArray, model: str, measured_c: tuple[float, float]
) -> None:
    """Warn of growth below the measured range and above it, unless it is a small part of all that grows at a place."""
    low, high = measured_c
    for outside in ((rates > 0) & (temps < low), (rates > 0) & (temps > high)):
        if outside.any():
            spans = sample_spans(times)
            there = np.tensordot(spans, np.where(outside, rates, 0.0), axes=1)
            told = outside & (there > 0) & (there >= _NOT_IN_PASSING * np.tensordot(spans, rates, axes=1))
            warn_outside(model, "temperature", temps[told], low, high, "°C")


def _grown(work: FloatArray, curve: GrowthCurve) -> FloatArray:
    """Growth [log10] from the integral of the rate, the last sample of a history last."""
    # e to the power of the work overflows in the end; long before that the two forms agree to 1e-13.
    early = np.log1p(np.expm1(np.minimum(work, _LATE_WORK)) * math.exp(-curve.lag_h0))
    late = np.logaddexp(0.0, work - curve.lag_h0)
    grown: FloatArray = np.where(work < _LATE_WORK, early, late) / math.log(10)
    warn_outside(curve.model, "growth", grown, 0.0, _LEVELS_OFF_LOG10, "powers of ten")
    return grown
