r"""What a plant or mould protease does in meat, and when heat ends it.

.. math::
    \frac{dW}{dt} = s\,a(T)\,E,\qquad \frac{dE}{dt} = -\frac{k_d(T)}{m}\,E,\qquad
    a(T) = \exp\left[-\frac{E_a}{R}\left(\frac1T-\frac1{T_{ref}}\right)\right]

s is dose times strength, E the share of the enzyme still alive, m how much the meat protects it. To decide
whether a step *stops* an enzyme, or whether the meat turns to mush, use a large m; to promise *tenderness*
use m = 1. Each errs on the careful side.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.history import (
    FloatArray,
    RateFunction,
    checked_history,
    refined,
    require_fraction,
    require_not_negative,
    require_positive,
    running_sum,
    time_steps,
)
from advisor.science.rates import (
    LIVING_C,
    arrhenius_factor,
    arrhenius_loss_rate,
    equivalent_time_s,
    eyring_loss_rate,
    reference_loss_rate,
    within_measured,
)
from advisor.science.validity import warn_outside

__all__ = [
    "LossRate",
    "arrhenius_factor",
    "arrhenius_loss_rate",
    "enzyme_work",
    "equivalent_time_s",
    "eyring_loss_rate",
    "mean_shear_factor",
    "reached_fraction",
    "reference_loss_rate",
    "relative_activity",
    "remaining_activity",
    "shear_factor",
]

_SPEED = "speed of an enzyme"
_LONGEST_H = 72.0
"""Longest time for which a depth was tabled [h]."""

_MOST_HALVINGS = 10.0
"""Times the half work, beyond which a warning is given; the one anchor stands at one."""

LossRate: TypeAlias = Callable[[FloatArray], FloatArray] | FloatArray
"""Loss rate [1/s]: a function of temperature [°C], or its values at the samples of the history."""


def relative_activity(
    temp_c: npt.ArrayLike, activation_kj_mol: float, ref_c: float, *, measured_c: tuple[float, float] | None = None
) -> FloatArray:
    r"""Speed of an intact enzyme against its speed at a reference temperature.

    .. math:: a(T) = \exp\left[-\frac{E_a}{R}\left(\frac1T-\frac1{T_{ref}}\right)\right]

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].
    ref_c : float
        Reference temperature [°C].
    measured_c : tuple of float, optional
        Lowest and highest temperature at which activity was measured [°C].

    Returns
    -------
    FloatArray
        Ratio [-].

    Raises
    ------
    ValueError
        If the activation energy is negative, or the range runs from high to low.

    Warns
    -----
    OutsideRange
        If a temperature lies outside `measured_c`, or where that is not given outside -1 to 90 °C.

    Notes
    -----
    For living enzyme from -1 °C, where meat freezes, to where it is lost, of papain up to 90 °C; the loss is a
    separate rate. Few activities below 20 °C have been measured, so a chilled figure is good to a factor
    of two.

    References
    ----------
    .. [1] Arrhenius, as in any text; 45 kJ/mol (35 to 55) is usual for proteases (from memory).

    Examples
    --------
    >>> round(float(relative_activity(4.0, 45.0, 55.0)), 3)
    0.048
    """
    within_measured(_SPEED, temp_c, measured_c or LIVING_C)
    return arrhenius_factor(temp_c, ref_c, activation_kj_mol)


def _rates(
    times_s: npt.ArrayLike, temps_c: npt.ArrayLike, loss_rate: LossRate
) -> tuple[FloatArray, FloatArray, FloatArray, npt.NDArray[np.intp]]:
    """Dense times and temperatures, the loss rate at each, and where the samples given stand."""
    times, temps = checked_history(times_s, temps_c)
    if callable(loss_rate):
        dense_times, dense_temps, kept = refined(times, temps)
        rates = np.asarray(loss_rate(dense_temps), dtype=np.float64)
    else:
        dense_times, dense_temps, kept = times, temps, np.arange(times.size)
        rates = np.asarray(loss_rate, dtype=np.float64)
    if rates.shape != dense_temps.shape:
        raise ValueError(f"loss rates of shape {rates.shape} for temperatures of shape {dense_temps.shape}")
    if not np.all(np.isfinite(rates)) or np.any(rates < 0):
        raise ValueError("loss rates must be finite, zero or above")
    return dense_times, dense_temps, rates, kept


def _decay(times: FloatArray, rates: FloatArray, protection_factor: float) -> FloatArray:
    """Loss exponent of each stretch between dense samples."""
    require_positive(protection_factor=protection_factor)
    return 0.5 * (rates[1:] + rates[:-1]) * time_steps(times, rates.ndim) / protection_factor


def remaining_activity(
    times_s: npt.ArrayLike, temps_c: npt.ArrayLike, loss_rate: LossRate, protection_factor: float
) -> FloatArray:
    r"""Share of an enzyme still alive.

    .. math:: E(t) = \exp\left(-\frac1m \int_0^t k_d\,d\tau\right)

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    loss_rate : callable or array
        Loss rate [1/s], as a function of temperature [°C] or at each sample.
    protection_factor : float
        m [-]: 1 for a film of juice, more inside meat.

    Returns
    -------
    FloatArray
        Share left at each sample [-], 1 at the first.

    Raises
    ------
    ValueError
        If rates and history do not fit, a rate is negative or the factor is not above zero.

    Notes
    -----
    First order, lost for good; some extracts lose a weak part first. Holds within the temperatures the rate
    was fitted at, which the rate itself checks. Rates given at the samples are taken as straight lines between
    them.

    References
    ----------
    .. [1] First-order loss of fruit bromelain: Sriwatanapongse et al., Trans. ASAE 43 (2000) 1703 (abstract read).

    Examples
    --------
    >>> half = math.log(2) / 60
    >>> remaining_activity([0, 60, 120], [55, 55, 55], np.full(3, half), 1.0).round(6).tolist()
    [1.0, 0.5, 0.25]
    """
    times, _, rates, kept = _rates(times_s, temps_c, loss_rate)
    return np.exp(-running_sum(_decay(times, rates, protection_factor)))[kept]


def enzyme_work(
    times_s: npt.ArrayLike,
    temps_c: npt.ArrayLike,
    activity: RateFunction,
    loss_rate: LossRate,
    *,
    dose_strength: float,
    protection_factor: float,
) -> FloatArray:
    r"""Work of an enzyme on meat so far.

    .. math:: W(t) = s\int_0^t a(T)\,E\,dt'

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    activity : callable
        Relative activity of an array of temperatures [°C], 1 at the reference.
    loss_rate : callable or array
        Loss rate [1/s], as in :func:`remaining_activity`.
    dose_strength : float
        Percent of the meat's weight, times strength against pineapple flesh, times what pH and salt leave of
        it [%].
    protection_factor : float
        m [-].

    Returns
    -------
    FloatArray
        Work at each sample, percent of pineapple flesh times hours at the reference temperature [% h].

    Raises
    ------
    ValueError
        As :func:`remaining_activity`, or if the dose is negative.

    Notes
    -----
    Exact while the temperature stays the same, however long the stretch. For the layer the enzyme reaches,
    not the whole piece; by depth see :func:`advisor.science.softening.work_by_depth`. The ranges are those of
    the activity and the loss rate, which check them.

    References
    ----------
    .. [1] Rate equations of a dying catalyst, as in any text of enzyme kinetics (from memory).

    Examples
    --------
    >>> done = enzyme_work([0, 60], [55, 55], np.ones_like, np.zeros(2), dose_strength=5, protection_factor=1)
    >>> done.round(3).tolist()
    [0.0, 0.083]
    """
    require_not_negative(dose_strength=dose_strength)
    times, temps, rates, kept = _rates(times_s, temps_c, loss_rate)
    decay = _decay(times, rates, protection_factor)
    alive = np.exp(-running_sum(decay))[:-1]
    lived = np.where(decay > 0, -np.expm1(-decay) / np.where(decay > 0, decay, 1.0), 1.0)
    speeds = np.asarray(activity(temps), dtype=np.float64)
    speed = 0.5 * (speeds[1:] + speeds[:-1]) * time_steps(times, temps.ndim)
    return running_sum(dose_strength / SECONDS_PER_HOUR * speed * alive * lived)[kept]


def shear_factor(work: float, half_work: float, floor: float) -> float:
    r"""Share of the shear force left after the enzyme.

    .. math:: f = \max(f_{min},\; 2^{-W/W_{50}})

    Parameters
    ----------
    work : float
        Work done [% h].
    half_work : float
        Work that halves the shear force [% h].
    floor : float
        Lowest share allowed [-].

    Returns
    -------
    float
        Share of the shear force left [-].

    Raises
    ------
    ValueError
        If work is negative, half work not above zero or the floor not from 0 to 1.

    Warns
    -----
    OutsideRange
        If the work against the half work lies outside 0 to 10.

    Notes
    -----
    The scale hangs on one experiment (Huang et al. 2009: 6 % pineapple juice, 50 °C, 60 min, half the shear,
    thin meat, pH 7): low confidence. At twice the half work expect mush. Work beyond ten times the half work
    warns: nothing near it was measured.

    References
    ----------
    .. [1] Huang, Li and Li, Food Science 30(10) (2009) 65-68 (abstract read).

    Examples
    --------
    >>> shear_factor(4.3, 4.3, 0.4)
    0.5
    """
    require_not_negative(work=work)
    require_positive(half_work=half_work)
    require_fraction(floor=floor)
    warn_outside("softening by an enzyme", "work against the half work", work / half_work, 0.0, _MOST_HALVINGS)
    return max(floor, math.exp2(-work / half_work))


def reached_fraction(diffusivity_m2_s: float, time_s: float, thickness_m: float) -> float:
    r"""Share of a piece that an enzyme reaches from both faces, :math:`\min(1, 2\sqrt{Dt}/d)`.

    Parameters
    ----------
    diffusivity_m2_s : float
        Diffusivity of the enzyme in meat [m2/s].
    time_s : float
        Time on the meat [s].
    thickness_m : float
        Thickness d of the piece [m].

    Returns
    -------
    float
        Share of the thickness [-].

    Raises
    ------
    ValueError
        If the time is negative, or another value not above zero.

    Warns
    -----
    OutsideRange
        If the time lies outside 0 to 72 h.

    Notes
    -----
    Open lean faces, whole muscle, raw: up to three days; beyond that it warns. Not for scored, needled or
    injected meat, where the enzyme goes as deep as the cut (:mod:`advisor.science.softening`).

    References
    ----------
    .. [1] Diffusivity of enzyme-sized protein in muscle, 1e-11 m2/s (from memory).

    Examples
    --------
    >>> round(reached_fraction(1e-11, 86400.0, 0.025), 3)
    0.074
    """
    require_positive(diffusivity_m2_s=diffusivity_m2_s, thickness_m=thickness_m)
    require_not_negative(time_s=time_s)
    warn_outside("reach of an enzyme", "time", time_s / SECONDS_PER_HOUR, 0.0, _LONGEST_H, "h")
    return min(1.0, 2 * math.sqrt(diffusivity_m2_s * time_s) / thickness_m)


def mean_shear_factor(reached: float, local_factor: float) -> float:
    r"""Shear factor of a whole piece of which only part was reached, 1 - f (1 - local).

    .. math:: F = 1 - f\,(1 - F_{local})

    Parameters
    ----------
    reached : float
        Share of the thickness reached [-].
    local_factor : float
        Shear factor there [-].

    Returns
    -------
    float
        Mean shear factor [-].

    Raises
    ------
    ValueError
        If a value is not from 0 to 1.

    Notes
    -----
    The surface may be mush while the middle is untouched, so show the local factor too.
    Holds everywhere, for a slab reached from its faces.

    References
    ----------
    None: a mean by thickness.

    Examples
    --------
    >>> mean_shear_factor(0.5, 0.5)
    0.75
    """
    require_fraction(reached=reached, local_factor=local_factor)
    return 1 - reached * (1 - local_factor)
