r"""A block, a roll, or any body that is the product of one-dimensional ones, through one medium after another.

In one medium the share of the first temperature difference left in a block is the product of the shares of its slabs
[1]_. Through several media the products of the legs add up, because conduction is linear: what a change of medium by
ΔT does to the body is ΔT times the product that starts at 1 at the change.

.. math::
    T = T_{\infty,n} + \sum_{j \le n} (T_{\infty,j-1} - T_{\infty,j}) \prod_{axes} u_{axis,j},\quad T_{\infty,-1} = T_0

where each :math:`u_{axis,j}` is 1 when leg j begins and from then on fades towards 0, through leg j and all later ones,
with the surface coefficient of the leg it is in.

References
----------
.. [1] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959, §1.15 and ch. 5 (from
   memory); the sum over legs is Duhamel's theorem, ibid. §1.14 (from memory). Held by tests to the product of the
   series and to a finite-volume solution in two and three dimensions.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.science.conduction import (
    ThermalBody,
    biot_number,
    centre,
    checked_times,
    surface,
    warn_no_ice_no_boiling,
)
from advisor.science.history import FloatArray, celsius_array, require_positive
from advisor.science.modes import Modes, alive, faded, modes, weights

__all__ = ["Solid", "SolidLeg", "SolidState", "block", "mean_c", "roll", "solid_leg", "uniform_solid"]

_DIMENSIONS = 3
_EDGES = 3
_NEGLIGIBLE_C = 1e-10
"""A birth that adds less than this anywhere is dropped; ten of them stay below 1e-9 °C."""


@dataclass(frozen=True, slots=True)
class Solid:
    """A body that is the product of one-dimensional ones.

    Parameters
    ----------
    axes : tuple of ThermalBody
        One for each axis, thinnest first: three slabs make a block, a slab and a cylinder a roll.

    Raises
    ------
    ValueError
        If there is no axis, if diffusivity or conductivity differ, if the first axis is not the thinnest, or if the
        axes together claim more than three dimensions (a slab has one, a cylinder two, a sphere three).

    Notes
    -----
    Exact for properties that do not change and one medium on all faces.

    Examples
    --------
    >>> len(block((0.05, 0.08, 0.12), 1.3e-7, 0.48).axes)
    3
    """

    axes: tuple[ThermalBody, ...]

    def __post_init__(self) -> None:
        """Refuse a body that cannot exist."""
        if not self.axes:
            raise ValueError("axes must hold at least one body")
        first = self.axes[0]
        for axis in self.axes[1:]:
            if (axis.diffusivity_m2_s, axis.conductivity_w_mk) != (first.diffusivity_m2_s, first.conductivity_w_mk):
                raise ValueError("axes must share one diffusivity_m2_s and one conductivity_w_mk")
            if axis.half_thickness_m < first.half_thickness_m:
                raise ValueError("axes must begin with the thinnest")
        dimensions = sum(1 + axis.shape_exponent for axis in self.axes)
        if dimensions > _DIMENSIONS:
            raise ValueError(f"axes must have at most three dimensions in all, got {dimensions:g}")


def block(sides_m: tuple[float, ...], diffusivity: float, conductivity: float, cells: int = 40) -> Solid:
    """Make a block; sides that are not given count as endless.

    Parameters
    ----------
    sides_m : tuple of float
        One to three full sides, in any order [m]. One alone is a slab.
    diffusivity : float
        Thermal diffusivity [m2/s].
    conductivity : float
        Thermal conductivity [W/m K].
    cells : int
        Cells between the middle and the face along each side [-].

    Returns
    -------
    Solid
        The block.

    Raises
    ------
    ValueError
        If there are no sides or more than three, or one is not above zero.

    Notes
    -----
    Holds everywhere for plain blocks; edges that are rounded heat a little faster, so that a block is the cautious
    side.

    Examples
    --------
    >>> block((0.12, 0.05), 1.3e-7, 0.48).axes[0].half_thickness_m
    0.025
    """
    if not 1 <= len(sides_m) <= _EDGES:
        raise ValueError(f"sides_m must hold one to three sides, got {len(sides_m)}")
    require_positive(**{f"side {number} [m]": side for number, side in enumerate(sides_m, 1)})
    return Solid(tuple(ThermalBody(side / 2, 0.0, diffusivity, conductivity, cells) for side in sorted(sides_m)))


def roll(diameter_m: float, length_m: float | None, diffusivity: float, conductivity: float, cells: int = 40) -> Solid:
    """Make a round roll with flat ends.

    Parameters
    ----------
    diameter_m : float
        Diameter [m].
    length_m : float or None
        Length [m]; None is endless, which is slower.
    diffusivity : float
        Thermal diffusivity [m2/s].
    conductivity : float
        Thermal conductivity [W/m K].
    cells : int
        Cells between the middle and the face along each axis [-].

    Returns
    -------
    Solid
        The roll. One shorter than its diameter has its length as the first axis.

    Raises
    ------
    ValueError
        If a size is not above zero.

    Notes
    -----
    Holds everywhere for a roll that is round: one pressed flat is nearer to a slab of its thickness, which is slower.

    Examples
    --------
    >>> [axis.shape_exponent for axis in roll(0.08, 0.20, 1.3e-7, 0.48).axes]
    [1.0, 0.0]
    """
    require_positive(diameter_m=diameter_m)
    axes = [ThermalBody(diameter_m / 2, 1.0, diffusivity, conductivity, cells)]
    if length_m is not None:
        require_positive(length_m=length_m)
        axes.append(ThermalBody(length_m / 2, 0.0, diffusivity, conductivity, cells))
    return Solid(tuple(sorted(axes, key=lambda axis: axis.half_thickness_m)))


@dataclass(frozen=True, slots=True)
class SolidState:
    """Temperatures inside a solid, as a level and what is left of each change of medium ("birth").

    Attributes
    ----------
    level_c : float
        Temperature of the last medium; before the first leg, of the body [°C].
    amplitudes : FloatArray
        Size of each birth [K], shape (births,).
    shares : tuple of FloatArray
        For each axis what is left of each birth along it [-], shape (births, cells), 1 when born.
    """

    level_c: float
    amplitudes: FloatArray
    shares: tuple[FloatArray, ...]


@dataclass(frozen=True, slots=True)
class SolidLeg:
    """Temperatures through a stay in one medium.

    Attributes
    ----------
    line : FloatArray
        Along the thinnest axis, from the centre of the piece to the middle of the face across it [°C], shape
        (n, cells).
    centre : FloatArray
        At the centre [°C], shape (n,).
    surface : FloatArray
        At the middle of the face across the thinnest axis, the largest one of a block [°C], shape (n,).
    end : SolidState
        What the next leg begins with, at the last of the moments asked for.
    """

    line: FloatArray
    centre: FloatArray
    surface: FloatArray
    end: SolidState


def uniform_solid(solid: Solid, temp_c: float) -> SolidState:
    """State of a solid that is at one temperature throughout.

    Parameters
    ----------
    solid : Solid
        The body.
    temp_c : float
        Its temperature [°C].

    Returns
    -------
    SolidState
        The state.

    Raises
    ------
    ValueError
        If the temperature is missing or below absolute zero.

    Notes
    -----
    Holds everywhere above absolute zero.

    Examples
    --------
    >>> mean_c(block((0.03, 0.05), 1.3e-7, 0.48), uniform_solid(block((0.03, 0.05), 1.3e-7, 0.48), 5.0))
    5.0
    """
    none = tuple(np.empty((0, axis.cells)) for axis in solid.axes)
    return SolidState(float(celsius_array(temp_c)), np.empty(0), none)


def mean_c(solid: Solid, state: SolidState) -> float:
    r"""Mean temperature of a solid by volume.

    .. math::
        \bar T = T_\infty + \sum_j A_j \prod_{axes} \frac{\sum_i V_i u_{j,i}}{\sum_i V_i}

    Parameters
    ----------
    solid : Solid
        The body.
    state : SolidState
        Its state.

    Returns
    -------
    float
        The mean [°C]: what the body comes to when it is left alone with no heat lost.

    Raises
    ------
    ValueError
        If the state is not of this solid.

    Notes
    -----
    Holds everywhere: exact for the cells.

    Examples
    --------
    >>> steak = block((0.03, 0.10, 0.15), 1.3e-7, 0.48)
    >>> seared = solid_leg(steak, uniform_solid(steak, 5.0), 100.0, 500.0, [120.0])
    >>> round(mean_c(steak, seared.end), 1)
    36.3
    """
    _require_fitting(solid, state)
    left = state.amplitudes.copy()
    for axis, shares in zip(solid.axes, state.shares, strict=True):
        volumes = np.diff(np.linspace(0.0, 1.0, axis.cells + 1) ** (axis.shape_exponent + 1))
        left *= shares @ volumes
    return float(state.level_c + left.sum())


def solid_leg(solid: Solid, state: SolidState, medium_c: float, surface_h: float, times_s: npt.ArrayLike) -> SolidLeg:
    r"""Temperatures through a stay in one medium.

    .. math::
        T = T_\infty + \sum_j A_j \prod_{axes} u_{axis,j}

    with each axis' u carried on as by :func:`advisor.science.conduction.leg` in a medium at 0.

    Parameters
    ----------
    solid : Solid
        The body.
    state : SolidState
        What the leg begins with: :func:`uniform_solid`, or the end of the leg before.
    medium_c : float
        Temperature of the medium, on all faces [°C].
    surface_h : float
        Surface coefficient, the same on all faces [W/m2 K], or ``PRESCRIBED_SURFACE``.
    times_s : array_like
        Moments, counted from the start of the leg, at least one [s].

    Returns
    -------
    SolidLeg
        Temperatures, and the state at the last moment listed.

    Raises
    ------
    ValueError
        If the state is not of this solid, there is no moment or one is negative, or the coefficient is not above zero.

    Warns
    -----
    OutsideRange
        If the meat or the medium is below -1 °C or the line comes above 100 °C: the model has no ice and no boiling.

    Notes
    -----
    Exact in time; the error is that of the cells along each axis. For constant properties and one medium on all faces
    in each leg: a piece that lies on a tray or half out of the bath is another matter. Edges and corners run ahead of
    the middle of a face. With one axis it is the same as ``conduction.leg``.

    References
    ----------
    .. [1] Carslaw and Jaeger, §1.14, §1.15 and ch. 5 (from memory).

    Examples
    --------
    >>> joint = block((0.05, 0.075, 0.125), 1.3e-7, 0.48)
    >>> bath = solid_leg(joint, uniform_solid(joint, 5.0), 60.0, 95.0, [0.0, 3600.0, 7200.0])
    >>> bath.centre.round(1).tolist()
    [5.0, 48.3, 58.6]
    >>> ice = solid_leg(joint, bath.end, 0.0, 100.0, [3600.0])
    >>> ice.centre.round(1).tolist()
    [12.3]
    """
    _require_fitting(solid, state)
    times = checked_times(times_s)
    if times.size == 0:
        raise ValueError("times_s must hold at least one moment")
    medium = float(celsius_array(medium_c))
    before = _line(solid, state)
    amplitudes, shares = _with_birth(state, medium)

    first, *others = solid.axes
    at_centre = np.broadcast_to(amplitudes, (times.size, amplitudes.size))
    ends = []
    for axis, of_axis in zip(others, shares[1:], strict=True):
        made, fourier, weighted = _along(axis, surface_h, of_axis, times)
        at_centre = at_centre * _centre_share(made, weighted, fourier)
        ends.append(_end_share(made, weighted, fourier[-1]))
    made, fourier, weighted = _along(first, surface_h, shares[0], times)
    line = medium + faded(made, at_centre @ weighted, fourier)
    ends.insert(0, _end_share(made, weighted, fourier[-1]))

    warn_no_ice_no_boiling(medium, before, line)
    end = _without_negligible(SolidState(medium, amplitudes, tuple(ends)))
    return SolidLeg(line, centre(line), surface(first, line, medium, surface_h), end)


def _require_fitting(solid: Solid, state: SolidState) -> None:
    """Refuse the state of another body."""
    if [shares.shape[1] for shares in state.shares] != [axis.cells for axis in solid.axes]:
        raise ValueError("state must be of this solid: its axes or cells differ")


def _line(solid: Solid, state: SolidState) -> FloatArray:
    """Temperatures from the centre along the thinnest axis [°C]."""
    left = state.amplitudes.copy()
    for shares in state.shares[1:]:
        left *= centre(shares)
    return np.asarray(state.level_c + left @ state.shares[0], dtype=np.float64).reshape(solid.axes[0].cells)


def _with_birth(state: SolidState, medium: float) -> tuple[FloatArray, tuple[FloatArray, ...]]:
    """Add the birth of a leg to those before it; one axis alone keeps a single sum."""
    change = state.level_c - medium
    if len(state.shares) == 1:
        return np.ones(1), ((change + state.amplitudes @ state.shares[0])[None],)
    if change == 0:
        return state.amplitudes, state.shares
    grown = tuple(np.concatenate([shares, np.ones((1, shares.shape[1]))]) for shares in state.shares)
    return np.append(state.amplitudes, change), grown


def _along(
    axis: ThermalBody, surface_h: float, shares: FloatArray, times: FloatArray
) -> tuple[Modes, FloatArray, FloatArray]:
    """Modes of an axis, Fourier numbers of the moments, and the weights of each birth, shape (births, cells)."""
    made = modes(axis.cells, axis.shape_exponent, biot_number(axis, surface_h))
    return made, times * axis.diffusivity_m2_s / axis.half_thickness_m**2, weights(made, shares)


def _centre_share(made: Modes, weighted: FloatArray, fourier: FloatArray) -> FloatArray:
    """What is left of each birth at the centre of an axis, shape (n, births)."""
    living = alive(made.rates, float(fourier.min()))
    at_centre = centre((made.vectors / made.root_volumes[:, None]).T)[:living]
    return np.asarray(np.exp(-np.outer(fourier, made.rates[:living])) @ (weighted[:, :living] * at_centre).T)


def _end_share(made: Modes, weighted: FloatArray, fourier: float) -> FloatArray:
    """What is left of each birth along an axis at one moment, shape (births, cells)."""
    return faded(made, weighted, np.full(len(weighted), fourier))


def _without_negligible(state: SolidState) -> SolidState:
    """Drop births of which nothing that matters is left."""
    most = np.abs(state.amplitudes)
    for shares in state.shares:
        most = most * np.abs(shares).max(axis=1, initial=0.0)
    kept = most >= _NEGLIGIBLE_C
    if kept.all():
        return state
    return SolidState(state.level_c, state.amplitudes[kept], tuple(shares[kept] for shares in state.shares))
