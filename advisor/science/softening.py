r"""How an enzyme softens meat by depth: how far it gets, what it does there, and how deep the meat turns to mush.

.. math:: \frac{dW}{dt}(x) = s\;c(r, t)\;a(T)\;E(x, t)

c is the enzyme at the distance r from its nearest source (the face, the wall of a score line, a needle's track) against
the source, s the strength of the source, a the speed at the temperature of that depth, E the share still alive there.

References
----------
.. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., Oxford, 1975, ch. 2 and 3 (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.enzyme import shear_factor
from advisor.science.history import (
    FloatArray,
    RateFunction,
    checked_history,
    refined,
    require_positive,
    running_sum,
    time_steps,
)
from advisor.science.reach import LONGEST_H, Source, concentration
from advisor.science.validity import warn_outside

if TYPE_CHECKING:
    from collections.abc import Callable

_REACH = "depth of an enzyme"
_RAW_C = (-1.0, 50.0)
"""Meat thawed and still raw, for which diffusivities hold [°C]."""

_ALIVE = 0.05
"""Share alive from which it is told that the meat is beyond them [-]; a dead enzyme goes nowhere that matters."""
_LARGEST_STEP_C = 2.0
"""Change of a stretch [K] within which speed and loss are near enough a straight line: 2 K is a tenth in speed."""

_STRETCHES = 48
"""Stretches of time in each of which an enzyme's concentration is taken once."""

_EARLY_STEPS = 200
"""Moments put in between the first and the last, closer at the start, where the front runs fastest."""


def _crowded(times: FloatArray, temps: FloatArray, wiped_s: float) -> tuple[FloatArray, FloatArray]:
    """Put moments in between, close together after the start and after a wipe, temperatures on straight lines."""
    span = times[-1] - times[0]
    if span == 0:
        return times, temps
    extra = times[0] + span * (np.arange(1, _EARLY_STEPS) / _EARLY_STEPS) ** 2
    moments = [extra]
    wipe = times[0] + wiped_s
    if wipe < times[-1]:
        moments.append(wipe + (times[-1] - wipe) * (np.arange(_EARLY_STEPS) / _EARLY_STEPS) ** 2)
    added = np.setdiff1d(np.concatenate(moments), times)
    columns = [np.interp(added, times, column) for column in temps.T]
    order = np.argsort(np.concatenate([times, added]), kind="stable")
    return (
        np.concatenate([times, added])[order],
        np.concatenate([temps, np.stack(columns, axis=1)])[order],
    )


def work_by_depth(
    times_s: npt.ArrayLike,
    temps_c: npt.ArrayLike,
    distances_m: npt.ArrayLike,
    source: Source,
    activity: RateFunction,
    loss_rate: Callable[[FloatArray], FloatArray],
    *,
    protection_factor: float,
) -> FloatArray:
    r"""Work of an enzyme at several depths, from when it is put on.

    .. math:: W(z) = s\int_0^t c(z,t')\,a(T)\,E\,dt'

    Parameters
    ----------
    times_s : array_like
        Times [s], ``(n,)``; the enzyme is put on at the first.
    temps_c : array_like
        Temperatures at those depths [°C], ``(n, places)``.
    distances_m : array_like
        Distance of each depth to the nearest source [m], ``(places,)``; the depths themselves for a plain face.
    source : Source
        The enzyme.
    activity : callable
        Relative activity of an array of temperatures [°C], 1 at the reference.
    loss_rate : callable
        Loss rate [1/s] of an array of temperatures [°C].
    protection_factor : float
        m [-]: large to ask about mush, 1 to promise tenderness.

    Returns
    -------
    FloatArray
        Work at the end at each depth [% h], ``(places,)``: percent of pineapple flesh times hours at the reference
        temperature.

    Raises
    ------
    ValueError
        If times, temperatures and distances do not fit, a rate is negative or the protection not above zero.

    Warns
    -----
    OutsideRange
        If it lies on for longer than 72 h, or meets temperatures outside -1 to 50 °C with a twentieth or more alive.

    Notes
    -----
    The share alive is that of enzyme which was at this depth all along; through a hotter outside less comes in
    alive, so that this errs on the side of mush. Raw meat up to 50 °C: above it the diffusivity is that of raw meat
    still, the best there is. Trapezoids on at least 200 moments, closest at the start; within 1 %.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> face = Source(5.0, 1e-11)
    >>> still = lambda temps: np.zeros_like(temps)
    >>> temps = [[55.0, 55.0], [55.0, 55.0]]
    >>> work = work_by_depth([0, 3600], temps, [0.0, 0.001], face, np.ones_like, still, protection_factor=1.0)
    >>> work.round(2).tolist()
    [5.0, 0.0]
    """
    times, temps = checked_history(times_s, temps_c)
    distances = np.asarray(distances_m, dtype=np.float64)
    if temps.ndim != 2 or distances.shape != temps.shape[1:]:  # noqa: PLR2004 - time by place
        raise ValueError(f"temperatures of shape {temps.shape} for distances of shape {distances.shape}")
    require_positive(protection_factor=protection_factor)
    times, temps, _ = refined(*_crowded(times, temps, source.wiped_s))
    rates = np.asarray(loss_rate(temps), dtype=np.float64)
    if rates.shape != temps.shape or not np.all(np.isfinite(rates)) or np.any(rates < 0):
        raise ValueError("loss rates must be finite, zero or above, one for each temperature")
    steps = time_steps(times, temps.ndim)
    decay = 0.5 * (rates[1:] + rates[:-1]) * steps / protection_factor
    alive = np.exp(-running_sum(decay))[:-1]
    warn_outside(_REACH, "temperature", temps[:-1][alive >= _ALIVE], *_RAW_C, "°C")
    lived = np.where(decay > 0, -np.expm1(-decay) / np.where(decay > 0, decay, 1.0), 1.0)
    speeds = np.asarray(activity(temps), dtype=np.float64)
    middle = 0.5 * (times[1:] + times[:-1]) - times[0]
    there = concentration(middle[:, np.newaxis], distances, source)
    done = 0.5 * (speeds[1:] + speeds[:-1]) * steps * alive * lived * there
    return np.asarray(source.strength / SECONDS_PER_HOUR * done.sum(axis=0), dtype=np.float64)


def work_on_walls(
    times_s: npt.ArrayLike,
    temps_c: npt.ArrayLike,
    distances_m: npt.ArrayLike,
    source: Source,
    activity: RateFunction,
    loss_rate: Callable[[FloatArray], FloatArray],
    *,
    protection_factor: float,
) -> FloatArray:
    r"""Work of an enzyme at every distance from its source and every depth: beside score lines the two differ.

    .. math:: W(r, x) = s \sum_k c(r, t_k)\;\Delta\!\left[\int_0^{t} a(T(x))\,E(x)\,dt\right]_k

    Parameters
    ----------
    times_s : array_like
        Times [s], ``(n,)``; the enzyme is put on at the first.
    temps_c : array_like
        Temperatures at the depths [°C], ``(n, depths)``.
    distances_m : array_like
        Distances to the source [m], ``(k,)``.
    source : Source
        The enzyme.
    activity : callable
        Relative activity of an array of temperatures [°C], 1 at the reference.
    loss_rate : callable
        Loss rate [1/s] of an array of temperatures [°C].
    protection_factor : float
        m [-]: large to ask about mush, 1 to promise tenderness.

    Returns
    -------
    FloatArray
        Work at the end [% h], ``(k, depths)``.

    Raises
    ------
    ValueError
        If times, temperatures and distances do not fit, a rate is negative or the protection not above zero.

    Warns
    -----
    OutsideRange
        If it lies on for longer than 72 h, or meets temperatures outside -1 to 50 °C with a twentieth or more alive.

    Notes
    -----
    As :func:`work_by_depth`, to which its diagonal comes within 2 % of the work at the face. The concentration is
    taken at the middle of 48 stretches, shortest at the start and after a wipe; speed and loss on the whole history.
    Raw meat up to 50 °C: above it the diffusivity is that of raw meat still.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> still = lambda temps: np.zeros_like(temps)
    >>> temps = [[55.0, 55.0], [55.0, 55.0]]
    >>> wall = Source(5.0, 1e-11)
    >>> work = work_on_walls([0, 3600], temps, [0.0, 0.001], wall, np.ones_like, still, protection_factor=1.0)
    >>> work.round(2).tolist()
    [[5.0, 5.0], [0.0, 0.0]]
    """
    times, temps = checked_history(times_s, temps_c)
    distances = np.asarray(distances_m, dtype=np.float64)
    if temps.ndim != 2 or distances.ndim != 1:  # noqa: PLR2004 - time by depth
        raise ValueError(f"temperatures of shape {temps.shape} for distances of shape {distances.shape}")
    require_positive(protection_factor=protection_factor)
    times, temps, _ = refined(times, temps, _LARGEST_STEP_C)
    rates = np.asarray(loss_rate(temps), dtype=np.float64)
    if rates.shape != temps.shape or not np.all(np.isfinite(rates)) or np.any(rates < 0):
        raise ValueError("loss rates must be finite, zero or above, one for each temperature")
    steps = time_steps(times, temps.ndim)
    decay = 0.5 * (rates[1:] + rates[:-1]) * steps / protection_factor
    alive = np.exp(-running_sum(decay))[:-1]
    warn_outside(_REACH, "temperature", temps[:-1][alive >= _ALIVE], *_RAW_C, "°C")
    lived = np.where(decay > 0, -np.expm1(-decay) / np.where(decay > 0, decay, 1.0), 1.0)
    speeds = np.asarray(activity(temps), dtype=np.float64)
    could = running_sum(0.5 * (speeds[1:] + speeds[:-1]) * steps * alive * lived)
    moments = times[0] + _moments(float(times[-1] - times[0]), source.wiped_s)
    done = np.stack([np.interp(moments, times, column) for column in could.T], axis=1)
    # What is kept of an earlier call does not warn again.
    warn_outside(_REACH, "time", (times[-1] - times[0]) / SECONDS_PER_HOUR, 0.0, LONGEST_H, "h")
    there = _there(float(times[-1] - times[0]), tuple(distances.tolist()), replace(source, strength=1.0))
    return np.asarray(source.strength / SECONDS_PER_HOUR * (there.T @ np.diff(done, axis=0)), dtype=np.float64)


@lru_cache(maxsize=256)
def _there(span: float, distances: tuple[float, ...], source: Source) -> FloatArray:
    """Concentration in the middle of each stretch; kept, for plans that differ in heat alone ask for it again."""
    moments = _moments(span, source.wiped_s)
    middle = 0.5 * (moments[1:] + moments[:-1])
    return concentration(middle[:, np.newaxis], np.array(distances), source)


def _moments(span: float, wiped_s: float) -> FloatArray:
    """Moments from the start, closest together there and after a wipe [s]."""
    spread = (np.arange(_STRETCHES + 1) / _STRETCHES) ** 2
    if wiped_s >= span:
        return np.asarray(span * spread, dtype=np.float64)
    return np.concatenate([wiped_s * spread[:-1], wiped_s + (span - wiped_s) * spread])


def shear_factors(work: npt.ArrayLike, half_work: float, floor: float) -> FloatArray:
    r"""Share of the shear force left at each depth, as :func:`advisor.science.enzyme.shear_factor`.

    .. math:: F = \max\left(F_0, 2^{-W/W_{1/2}}\right)

    Parameters
    ----------
    work : array_like
        Work at each depth [% h].
    half_work : float
        Work that halves the shear force [% h].
    floor : float
        Lowest share allowed [-].

    Returns
    -------
    FloatArray
        Shares [-], shape of the work.

    Raises
    ------
    ValueError
        If work is negative, half work not above zero or the floor not from 0 to 1.

    Notes
    -----
    As there: one experiment, low confidence.
    Holds where :func:`advisor.science.enzyme.shear_factor` holds.

    References
    ----------
    .. [1] Huang, Li and Li, Food Science 30(10) (2009) 65-68 (abstract read).

    Examples
    --------
    >>> shear_factors([0.0, 4.3, 100.0], 4.3, 0.4).tolist()
    [1.0, 0.5, 0.4]
    """
    done = np.asarray(work, dtype=np.float64)
    if done.size == 0:
        return np.zeros(done.shape)
    # The ends go through the one that refuses and warns; all are then worked out at once.
    for end in {float(np.min(done)), float(np.max(done))}:
        shear_factor(end, half_work, floor)
    return np.asarray(np.maximum(floor, np.exp2(-done / half_work)), dtype=np.float64)


def mush_depth_m(depths_m: npt.ArrayLike, work: npt.ArrayLike, mush_work: float) -> float:
    r"""Depth down to which meat has turned to mush: the deepest place where work reaches the mush work.

    .. math:: z_m = \max\{z : W(z) \ge W_m\}

    Parameters
    ----------
    depths_m : array_like
        Depths [m], rising, ``(places,)``.
    work : array_like
        Work at each [% h].
    mush_work : float
        Work from which meat is mush [% h].

    Returns
    -------
    float
        Depth [m], 0 if none has, on straight lines between the depths.

    Raises
    ------
    ValueError
        If depths and work do not fit, depths do not rise or the mush work is not above zero.

    Notes
    -----
    Holds everywhere on the profile given. Where heat killed the enzyme on the outside first, mush may begin below firm
    meat; the depth given is still that of the deepest mush. It is no deeper than the deepest place asked for: ask deep
    enough.

    References
    ----------
    None: a search.

    Examples
    --------
    >>> mush_depth_m([0.0, 0.001, 0.002], [12.0, 8.0, 2.0], 10.0)
    0.0005
    """
    depths, done = np.asarray(depths_m, dtype=np.float64), np.asarray(work, dtype=np.float64)
    require_positive(mush_work=mush_work)
    if depths.ndim != 1 or depths.size == 0 or depths.shape != done.shape:
        raise ValueError(f"depths of shape {depths.shape} for work of shape {done.shape}")
    if np.any(np.diff(depths) <= 0) or depths[0] < 0:
        raise ValueError("depths_m must rise from zero or above")
    reached = np.flatnonzero(done >= mush_work)
    if reached.size == 0:
        return 0.0
    last = int(reached[-1])
    if last == depths.size - 1:
        return float(depths[-1])
    part = (done[last] - mush_work) / (done[last] - done[last + 1])
    return float(depths[last] + part * (depths[last + 1] - depths[last]))


def mean_over_thickness(depths_m: npt.ArrayLike, factors: npt.ArrayLike, thickness_m: float, faces: int = 2) -> float:
    r"""Mean of a factor over a piece, 1 where nothing was asked.

    .. math:: F = 1 - \frac{n}{d}\int_0^{z_{max}} (1 - F(z))\,dz

    Parameters
    ----------
    depths_m : array_like
        Depths below a treated face [m], rising from 0, ``(places,)``.
    factors : array_like
        Factor at each [-].
    thickness_m : float
        Thickness of the piece [m].
    faces : int
        Treated faces, 1 or 2.

    Returns
    -------
    float
        Mean [-].

    Raises
    ------
    ValueError
        If depths and factors do not fit, depths do not rise from 0 or go beyond what one face has to itself, or
        faces is not 1 or 2.

    Notes
    -----
    A bite goes through the whole; the outside may be mush while the mean says firm, so show both.
    Holds everywhere in a slab.

    References
    ----------
    None: a mean.

    Examples
    --------
    >>> mean_over_thickness([0.0, 0.001, 0.002], [0.4, 0.4, 1.0], 0.02)
    0.91
    """
    depths, shares = np.asarray(depths_m, dtype=np.float64), np.asarray(factors, dtype=np.float64)
    require_positive(thickness_m=thickness_m)
    if faces not in (1, 2):
        raise ValueError(f"faces must be 1 or 2, got {faces}")
    if depths.ndim != 1 or depths.size == 0 or depths.shape != shares.shape:
        raise ValueError(f"depths of shape {depths.shape} for factors of shape {shares.shape}")
    own = thickness_m / faces
    if depths[0] != 0 or np.any(np.diff(depths) <= 0) or depths[-1] > own * (1 + 1e-9):
        raise ValueError("depths_m must rise from 0 and stay within what one face has to itself")
    short = float(np.trapezoid(1 - shares, depths))
    return 1 - short / own
