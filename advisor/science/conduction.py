r"""How warm a piece of meat is inside, while it lies in one medium after another.

The piece is cut into shells between its centre and its surface. Heat passes between neighbouring shells and,
through a surface coefficient, to the medium. For properties that do not change the shells obey a linear
system; its modes are found once, and the temperature then follows at any time with no error from stepping in
time [1]_.

.. math::
    \frac{\partial T}{\partial t} = \alpha\left(T'' + \frac{\beta}{r}T'\right),\quad
    T'(0)=0,\quad -k\,T'(R) = h\,(T(R)-T_\infty)

References
----------
.. [1] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959 (from memory);
   the shape exponent β between 0 and 2 for blocks follows D. E. Baldwin, Int. J. Gastronomy and Food Science
   1 (2012) 15-30.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from advisor.science.history import FloatArray, celsius_array, require_positive
from advisor.science.shapes import Shape, biot_roots, series_amplitudes, series_temperature

__all__ = [
    "PRESCRIBED_SURFACE",
    "Shape",
    "ThermalBody",
    "at_depth",
    "biot_roots",
    "centre",
    "leg",
    "series_amplitudes",
    "series_temperature",
    "surface",
    "uniform",
]

PRESCRIBED_SURFACE = math.inf
"""Surface coefficient of a medium that holds the surface at its own temperature."""

_FEWEST_CELLS = 4
_HIGHEST_EXPONENT = 2.0


@dataclass(frozen=True, slots=True)
class ThermalBody:
    """A piece of meat as conduction sees it.

    Parameters
    ----------
    half_thickness_m : float
        Distance R from the centre to the surface [m].
    shape_exponent : float
        β [-]: 0 for a slab, 1 for a long cylinder, 2 for a sphere, between for blocks.
    diffusivity_m2_s : float
        Thermal diffusivity α [m2/s].
    conductivity_w_mk : float
        Thermal conductivity k [W/m K].
    cells : int
        Shells between centre and surface [-].

    Raises
    ------
    ValueError
        If a size or property is not above zero, the exponent is not from 0 to 2 or there are fewer than four
        cells.

    Notes
    -----
    With 40 cells a 50 mm piece heated from 5 °C to 60 °C is right to 0.003 °C (slab), 0.009 °C (cylinder) and
    0.016 °C (sphere); the error falls with the square of the cell size. Not for freezing, thawing, bone, or a
    crust that dries.

    Examples
    --------
    >>> ThermalBody(0.015, 0.0, 1.3e-7, 0.48).cells
    40
    """

    half_thickness_m: float
    shape_exponent: float
    diffusivity_m2_s: float
    conductivity_w_mk: float
    cells: int = 40

    def __post_init__(self) -> None:
        """Refuse a body that cannot exist."""
        require_positive(
            half_thickness_m=self.half_thickness_m,
            diffusivity_m2_s=self.diffusivity_m2_s,
            conductivity_w_mk=self.conductivity_w_mk,
        )
        if not 0 <= self.shape_exponent <= _HIGHEST_EXPONENT:
            raise ValueError(f"shape_exponent must lie from 0 (slab) to 2 (sphere), got {self.shape_exponent}")
        if self.cells < _FEWEST_CELLS:
            raise ValueError(f"cells must be at least {_FEWEST_CELLS}, got {self.cells}")


@dataclass(frozen=True, slots=True)
class _Modes:
    """Decay rates and shapes of one body in one kind of medium, in units of R and R²/α."""

    rates: FloatArray
    vectors: FloatArray
    root_volumes: FloatArray


@lru_cache(maxsize=256)
def _modes(cells: int, shape_exponent: float, biot: float) -> _Modes:
    """Decompose the shell system once; bodies of one shape, Biot number and cell count share it."""
    edges = np.linspace(0.0, 1.0, cells + 1)
    volumes = np.diff(edges ** (shape_exponent + 1)) / (shape_exponent + 1)
    between = edges[1:-1] ** shape_exponent * cells
    to_medium = 1 / (1 / biot + 0.5 / cells)
    losses = np.concatenate([[0.0], between]) + np.concatenate([between, [to_medium]])
    root_volumes = np.sqrt(volumes)
    couplings = between / (root_volumes[1:] * root_volumes[:-1])
    system = np.diag(losses / volumes) - np.diag(couplings, 1) - np.diag(couplings, -1)
    rates, vectors = np.linalg.eigh(system)
    for array in (rates, vectors, root_volumes):
        array.flags.writeable = False
    return _Modes(rates, vectors, root_volumes)


def _biot(body: ThermalBody, surface_h: float) -> float:
    """Biot number of a body, refusing a surface that passes no heat."""
    if not surface_h > 0:
        raise ValueError(f"surface_h must be above zero, got {surface_h}")
    return surface_h * body.half_thickness_m / body.conductivity_w_mk


def uniform(body: ThermalBody, temp_c: float) -> FloatArray:
    """Cells of a body that is at one temperature throughout.

    Parameters
    ----------
    body : ThermalBody
        The body.
    temp_c : float
        Its temperature [°C].

    Returns
    -------
    FloatArray
        One temperature for each cell, centre first [°C].
    """
    return np.full(body.cells, float(celsius_array(temp_c)))


def leg(
    body: ThermalBody,
    start_cells: npt.ArrayLike,
    medium_c: float,
    surface_h: float,
    times_s: npt.ArrayLike,
) -> FloatArray:
    r"""Temperatures through a stay in one medium.

    .. math:: T(t) = T_\infty + V^{-1/2} Q\, e^{-\Lambda t}\, Q^T V^{1/2}\,(T_0 - T_\infty)

    Parameters
    ----------
    body : ThermalBody
        The body.
    start_cells : array_like
        Temperatures of the cells at the start of the leg, centre first [°C].
    medium_c : float
        Temperature of the medium [°C].
    surface_h : float
        Surface coefficient [W/m2 K], or :data:`PRESCRIBED_SURFACE`.
    times_s : array_like
        Moments, counted from the start of the leg [s]; any order.

    Returns
    -------
    FloatArray
        One row for each moment, one column for each cell [°C].

    Raises
    ------
    ValueError
        If the cells do not match the body, a time is negative, or the coefficient is not above zero.

    Notes
    -----
    Exact in time for constant properties. A schedule is a chain of legs: the last row of one starts the next.

    Examples
    --------
    >>> body = ThermalBody(0.015, 0.0, 1.3e-7, 0.48)
    >>> cells = leg(body, uniform(body, 5.0), 60.0, 95.0, [0.0, 3600.0, 36000.0])
    >>> centre(cells).round(1).tolist()
    [5.0, 56.5, 60.0]
    """
    start = celsius_array(start_cells)
    if start.shape != (body.cells,):
        raise ValueError(f"start_cells must hold {body.cells} temperatures, got shape {start.shape}")
    times = np.asarray(times_s, dtype=np.float64)
    if times.ndim != 1 or not np.all(np.isfinite(times)) or np.any(times < 0):
        raise ValueError("times_s must be a list of finite moments, none before the leg starts")
    medium = float(celsius_array(medium_c))
    modes = _modes(body.cells, body.shape_exponent, _biot(body, surface_h))
    fourier = times * body.diffusivity_m2_s / body.half_thickness_m**2
    weights = modes.vectors.T @ (modes.root_volumes * (start - medium))
    left = (np.exp(-np.outer(fourier, modes.rates)) * weights) @ modes.vectors.T
    return np.asarray(medium + left / modes.root_volumes, dtype=np.float64)


def centre(temps: FloatArray) -> FloatArray:
    """Temperature at the centre, from an even parabola through the two inmost cells.

    Parameters
    ----------
    temps : FloatArray
        Cells on the last axis, centre first [°C].

    Returns
    -------
    FloatArray
        Temperatures without the last axis [°C].

    Examples
    --------
    >>> float(centre(np.array([20.0, 20.8, 30.0, 40.0])))
    19.9
    """
    return np.asarray((9 * temps[..., 0] - temps[..., 1]) / 8, dtype=np.float64)


def surface(body: ThermalBody, temps: FloatArray, medium_c: float, surface_h: float) -> FloatArray:
    """Temperature of the surface, where the heat that reaches it leaves it.

    Parameters
    ----------
    body : ThermalBody
        The body.
    temps : FloatArray
        Cells on the last axis, centre first [°C].
    medium_c : float
        Temperature of the medium [°C].
    surface_h : float
        Surface coefficient [W/m2 K].

    Returns
    -------
    FloatArray
        Temperatures without the last axis [°C].

    Raises
    ------
    ValueError
        If the coefficient is not above zero.

    Examples
    --------
    >>> body = ThermalBody(0.02, 0.0, 1.3e-7, 0.5)
    >>> float(surface(body, uniform(body, 5.0), 60.0, PRESCRIBED_SURFACE))
    60.0
    """
    share = 1 / (1 + 2 * body.cells / _biot(body, surface_h))
    return np.asarray(share * medium_c + (1 - share) * temps[..., -1], dtype=np.float64)


def at_depth(body: ThermalBody, temps: FloatArray, depth_m: float, surface_temps: npt.ArrayLike) -> FloatArray:
    """Temperature at a depth below the surface, on straight lines between the known places.

    Parameters
    ----------
    body : ThermalBody
        The body.
    temps : FloatArray
        Cells on the last axis, centre first [°C].
    depth_m : float
        Depth below the surface [m].
    surface_temps : array_like
        Temperatures of the surface from :func:`surface` [°C].

    Returns
    -------
    FloatArray
        Temperatures without the last axis [°C].

    Raises
    ------
    ValueError
        If the depth is negative or beyond the centre.

    Examples
    --------
    >>> body = ThermalBody(0.02, 0.0, 1.3e-7, 0.5)
    >>> round(float(at_depth(body, uniform(body, 30.0), 0.010, 50.0)), 3)
    30.0
    """
    if not 0 <= depth_m <= body.half_thickness_m:
        raise ValueError(f"depth_m must lie from 0 to the centre at {body.half_thickness_m}, got {depth_m}")
    at_surface = np.asarray(surface_temps, dtype=np.float64)
    inward = np.concatenate([at_surface[..., None], temps[..., ::-1], centre(temps)[..., None]], axis=-1)
    middles = (np.arange(body.cells) + 0.5) / body.cells
    places = np.concatenate([[0.0], middles, [1.0]])
    depth = depth_m / body.half_thickness_m
    outer = min(int(np.searchsorted(places, depth, side="right")) - 1, body.cells)
    share = (depth - places[outer]) / (places[outer + 1] - places[outer])
    return np.asarray((1 - share) * inward[..., outer] + share * inward[..., outer + 1], dtype=np.float64)
