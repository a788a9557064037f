r"""How warm a piece of meat is inside while it freezes, thaws or is cooked from frozen.

The shells are those of :mod:`advisor.science.conduction`. Heat moves by differences of the integral of the
conductivity, and each shell's temperature follows from the heat it holds, with its ice (:mod:`advisor.science.ice`):

.. math::
    V_i\,\dot H_i = g_{i-1}(\Phi_{i-1}-\Phi_i) + g_i(\Phi_{i+1}-\Phi_i),\quad
    \Phi(T)=\int_{T_f}^{T} k\,dT = k_u(T-T_f) + (k_f-k_u)\left(T-T_f-T_f\ln\frac{T}{T_f}\right)\ (T<T_f)

Steps in time are implicit, so no heat is lost between shells and nothing comes out warmer than the warmest or colder
than the coldest of meat and medium. Once all ice is gone in a medium that makes none, conduction takes over, exact in
time.

References
----------
.. [1] The enthalpy method with the Kirchhoff transformation: V. R. Voller and C. R. Swaminathan, Numerical Heat
   Transfer B 19 (1991) 175-189 (from memory); the shells and the steps are derived here.
"""

from __future__ import annotations

import warnings
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.science.conduction import leg
from advisor.science.history import FloatArray, celsius_array
from advisor.science.ice import (
    FrozenBody,
    frozen_body,
    heat_content,
    ice_fraction,
    temperature_of_heat,
)
from advisor.science.ice_march import CONVERGED_C, MODEL, Curve, marched
from advisor.science.validity import OutsideRange, warn_outside

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = [
    "FrozenBody",
    "frozen_body",
    "frozen_leg",
    "frozen_surface",
    "heat_content",
    "ice_fraction",
    "temperature_of_heat",
    "time_to_freeze",
    "time_to_thaw",
]

_COLDEST_C, _BOILING_C = -40.0, 100.0
_ROUNDING_C = 1e-6
_SURFACE_ROUNDS = 60
_LONGEST_S = 1e9


def _checked(
    body: FrozenBody, start_cells: npt.ArrayLike, medium_c: float, surface_h: float
) -> tuple[FloatArray, float]:
    """Start and medium, refused or warned of where they do not fit."""
    start = celsius_array(start_cells)
    if start.shape != (body.cells,):
        raise ValueError(f"start_cells must hold {body.cells} temperatures, got shape {start.shape}")
    if not surface_h > 0:
        raise ValueError(f"surface_h must be above zero, got {surface_h}")
    medium = float(celsius_array(medium_c))
    warn_outside(MODEL, "temperature of the meat at the start", start, _COLDEST_C, _BOILING_C, "°C")
    warn_outside(MODEL, "temperature of the medium", min(medium, 0.0), _COLDEST_C, _BOILING_C, "°C")
    return start, medium


def _thawed_leg(
    body: FrozenBody, start: FloatArray, medium_c: float, surface_h: float, times: FloatArray
) -> FloatArray:
    """Conduction without ice; its own warning of ice is ours to give."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", OutsideRange)
        return leg(body.thawed, start, medium_c, surface_h, times)


def frozen_leg(
    body: FrozenBody,
    start_cells: npt.ArrayLike,
    medium_c: float,
    surface_h: float,
    times_s: npt.ArrayLike,
) -> FloatArray:
    r"""Temperatures through a stay in one medium, with ice melting or forming.

    .. math:: V_i\,\frac{H_i^{n+1}-H_i^n}{\Delta t} = g_{i-1}(\Phi_{i-1}-\Phi_i)^{n+1} + g_i(\Phi_{i+1}-\Phi_i)^{n+1}

    Parameters
    ----------
    body : FrozenBody
        The body.
    start_cells : array_like
        Temperatures of the cells at the start of the leg, centre first [°C].
    medium_c : float
        Temperature of the medium [°C].
    surface_h : float
        Surface coefficient [W/m2 K], or :data:`advisor.science.conduction.PRESCRIBED_SURFACE`.
    times_s : array_like
        Moments, counted from the start of the leg [s]; any order.

    Returns
    -------
    FloatArray
        One row for each moment, one column for each cell [°C]: the same as :func:`advisor.science.conduction.leg`.

    Raises
    ------
    ValueError
        If the cells do not match the body, a time is negative, or the coefficient is not above zero.

    Warns
    -----
    OutsideRange
        If meat or medium is below -40 °C, or the inside comes above 100 °C.

    Notes
    -----
    Checked from -40 to 100 °C. With 24 cells a 50 mm slab from -18 °C is thawed late by 0.9 % (4 °C, h 8), 0.2 %
    (21 °C, h 95) and 0.2 % (60 °C, h 95) against four times the cells and a tenth of the steps; the centre is within
    0.8 °C, most where the last ice goes. Without ice the steps alone are within 0.3 °C of conduction, 0.6 °C in the
    first seconds at h 1000. A leg takes 50 to 70 ms. A warmer start or medium never comes out colder.

    References
    ----------
    .. [1] Voller and Swaminathan 1991 (from memory). Held to Neumann's solution, to formulas that fit measured freezing
       and thawing times, and to conduction, by tests.

    Examples
    --------
    >>> body = FrozenBody(0.0125, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
    >>> cells = frozen_leg(body, [-18.0] * 24, 60.0, 95.0, [0.0, 1200.0, 3600.0, 7200.0])
    >>> cells[:, 0].round(1).tolist()
    [-18.0, -1.6, 55.5, 59.9]
    """
    start, medium = _checked(body, start_cells, medium_c, surface_h)
    times = np.asarray(times_s, dtype=np.float64)
    if times.ndim != 1 or not np.all(np.isfinite(times)) or np.any(times < 0):
        raise ValueError("times_s must be a list of finite moments, none before the leg starts")
    if medium >= body.freezing_c and start.min() >= body.freezing_c:
        temps = _thawed_leg(body, start, medium, surface_h, times)
    else:
        temps = _with_ice(body, start, medium, surface_h, times)
    if temps.size and float(temps.max()) > _BOILING_C + _ROUNDING_C:
        warn_outside(MODEL, "temperature inside the meat", float(temps.max()), _COLDEST_C, _BOILING_C, "°C")
    return temps


def _with_ice(body: FrozenBody, start: FloatArray, medium: float, surface_h: float, times: FloatArray) -> FloatArray:
    """March until the last moment, the last ice, or rest; heat is on straight lines between steps."""
    last = float(times.max(initial=0.0))
    known, held, thawed = marched(body, start.tobytes(), medium, surface_h).until(last)
    after = np.clip(np.searchsorted(known, times, side="left"), 1, max(known.size - 1, 1))
    if known.size == 1:
        out = np.broadcast_to(start, (times.size, start.size)).copy()
    else:
        share = np.minimum((times - known[after - 1]) / (known[after] - known[after - 1]), 1.0)[:, None]
        out = temperature_of_heat(body, (1 - share) * held[after - 1] + share * held[after])
        out[times == 0] = start
    if thawed is not None:
        beyond = times > known[-1]
        out[beyond] = _thawed_leg(body, thawed, medium, surface_h, times[beyond] - known[-1])
    return out


def _moment(
    body: FrozenBody, start: FloatArray, medium: float, surface_h: float, slowest: Callable[[FloatArray], float]
) -> float:
    """Moment at which the slowest cell's heat passes zero, on a straight line within the step."""
    before_s, before = 0.0, slowest(heat_content(body, start))
    for moment, _temps, held in marched(body, start.tobytes(), medium, surface_h):
        heat = slowest(held[:-1])
        if heat >= 0:
            return moment if heat == before else before_s + (moment - before_s) * before / (before - heat)
        if moment > _LONGEST_S:
            break
        before_s, before = moment, heat
    raise ValueError("the medium is too close to the temperature asked for: it is never reached")


def time_to_thaw(body: FrozenBody, start_cells: npt.ArrayLike, medium_c: float, surface_h: float) -> float:
    r"""Time until the last ice is gone.

    .. math:: t = \min\{t : T_1(t) \ge T_f\}

    Parameters
    ----------
    body : FrozenBody
        The body.
    start_cells : array_like
        Temperatures of the cells at the start, centre first [°C].
    medium_c : float
        Temperature of the medium [°C], above where ice first forms.
    surface_h : float
        Surface coefficient [W/m2 K], or :data:`advisor.science.conduction.PRESCRIBED_SURFACE`.

    Returns
    -------
    float
        Time [s]; zero when there is no ice.

    Raises
    ------
    ValueError
        If the medium melts no ice, the cells do not match the body, or the coefficient is not above zero.

    Warns
    -----
    OutsideRange
        If meat or medium is below -40 °C.

    Notes
    -----
    Checked from -40 to 100 °C. The last ice is at the centre; the middle of the inmost cell stands for it.

    References
    ----------
    .. [1] As for :func:`frozen_leg`.

    Examples
    --------
    >>> body = FrozenBody(0.0125, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
    >>> round(time_to_thaw(body, [-18.0] * 24, 15.0, 95.0) / 60)
    61
    """
    start, medium = _checked(body, start_cells, medium_c, surface_h)
    if start.min() >= body.freezing_c:
        return 0.0
    if medium <= body.freezing_c:
        raise ValueError(f"a medium at {medium} °C does not thaw meat that freezes at {body.freezing_c} °C")
    return _moment(body, start, medium, surface_h, lambda heat: float(heat.min()))


def time_to_freeze(
    body: FrozenBody, start_cells: npt.ArrayLike, medium_c: float, surface_h: float, temp_c: float
) -> float:
    r"""Time until the warmest cell is as cold as asked for.

    .. math:: t = \min\{t : \max_i T_i(t) \le T\}

    Parameters
    ----------
    body : FrozenBody
        The body.
    start_cells : array_like
        Temperatures of the cells at the start, centre first [°C].
    medium_c : float
        Temperature of the medium [°C].
    surface_h : float
        Surface coefficient [W/m2 K], or :data:`advisor.science.conduction.PRESCRIBED_SURFACE`.
    temp_c : float
        Temperature asked for [°C], above the medium's.

    Returns
    -------
    float
        Time [s]; zero when it is that cold.

    Raises
    ------
    ValueError
        If the medium is not colder than what is asked for, the cells do not match the body, or the coefficient is not
        above zero.

    Warns
    -----
    OutsideRange
        If meat or medium is below -40 °C.

    Notes
    -----
    Checked from -40 to 100 °C.

    References
    ----------
    .. [1] As for :func:`frozen_leg`.

    Examples
    --------
    >>> body = FrozenBody(0.0125, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
    >>> round(time_to_freeze(body, [5.0] * 24, -18.0, 8.0, -10.0) / 3600, 1)
    7.5
    """
    start, medium = _checked(body, start_cells, medium_c, surface_h)
    target = float(heat_content(body, temp_c))
    if start.max() <= temp_c:
        return 0.0
    if medium >= temp_c:
        raise ValueError(f"a medium at {medium} °C does not bring meat to {temp_c} °C")
    return _moment(body, start, medium, surface_h, lambda heat: target - float(heat.max()))


def frozen_surface(body: FrozenBody, temps: FloatArray, medium_c: float, surface_h: float) -> FloatArray:
    r"""Temperature of the surface, where the heat that reaches it leaves it.

    .. math:: h\,(T_\infty - T_s) = \frac{2N}{R}\left(\Phi(T_s)-\Phi(T_N)\right)

    Parameters
    ----------
    body : FrozenBody
        The body.
    temps : FloatArray
        Cells on the last axis, centre first [°C].
    medium_c : float
        Temperature of the medium [°C].
    surface_h : float
        Surface coefficient [W/m2 K], or :data:`advisor.science.conduction.PRESCRIBED_SURFACE`.

    Returns
    -------
    FloatArray
        Temperatures without the last axis [°C].

    Raises
    ------
    ValueError
        If the coefficient is not above zero.

    Notes
    -----
    Holds everywhere between the outmost cell and the medium; without ice the same as
    :func:`advisor.science.conduction.surface`.

    References
    ----------
    .. [1] Balance of heat at the surface, as in :func:`frozen_leg`.

    Examples
    --------
    >>> body = FrozenBody(0.0125, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
    >>> float(frozen_surface(body, np.full(24, -18.0), 4.0, 8.0).round(2))
    -17.97
    """
    if not surface_h > 0:
        raise ValueError(f"surface_h must be above zero, got {surface_h}")
    outer = np.asarray(temps[..., -1], dtype=np.float64)
    if np.isinf(surface_h):
        return np.full_like(outer, medium_c)
    per_degree = surface_h * body.half_thickness_m / (2 * body.cells)
    curve = Curve.of(body)
    goal = curve.flow(outer)[0] + per_degree * medium_c
    low, high = np.minimum(outer, medium_c), np.maximum(outer, medium_c)
    at = outer.copy()
    for _ in range(_SURFACE_ROUNDS):
        flow, conductivity = curve.flow(at)
        new = np.clip(at + (goal - flow - per_degree * at) / (conductivity + per_degree), low, high)
        moved = float(np.max(np.abs(new - at), initial=0.0))
        at = new
        if moved < CONVERGED_C:
            break
    return np.asarray(at, dtype=np.float64)
