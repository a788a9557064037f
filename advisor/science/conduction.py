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

import numpy as np
import numpy.typing as npt

from advisor.science.history import FloatArray, celsius_array, require_positive
from advisor.science.modes import faded, modes, weights
from advisor.science.shapes import Shape, biot_roots, series_amplitudes, series_temperature
from advisor.science.validity import warn_outside

__all__ = [
    "PRESCRIBED_SURFACE",
    "Shape",
    "ThermalBody",
    "at_depth",
    "biot_number",
    "biot_roots",
    "centre",
    "checked_times",
    "leg",
    "series_amplitudes",
    "series_temperature",
    "surface",
    "uniform",
    "warn_no_ice_no_boiling",
]

PRESCRIBED_SURFACE = math.inf
"""Surface coefficient of a medium that holds the surface at its own temperature."""

_MODEL = "conduction without ice or boiling"
_FREEZING_C, _BOILING_C = -1.0, 100.0
_ROUNDING_C = 1e-6
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


def biot_number(body: ThermalBody, surface_h: float) -> float:
    """Ratio of the resistance inside a body to the one at its surface.

    .. math:: Bi = hR/k

    Parameters
    ----------
    body : ThermalBody
        The body.
    surface_h : float
        Surface coefficient h [W/m2 K], or :data:`PRESCRIBED_SURFACE`.

    Returns
    -------
    float
        Biot number [-].

    Raises
    ------
    ValueError
        If the coefficient is not above zero: a surface that passes no heat has no place here.

    Notes
    -----
    Holds everywhere, by definition; above about 0.1 the inside is not at one temperature.

    Examples
    --------
    >>> round(biot_number(ThermalBody(0.02, 0.0, 1.3e-7, 0.5), 95.0), 3)
    3.8
    """
    if not surface_h > 0:
        raise ValueError(f"surface_h must be above zero, got {surface_h}")
    return surface_h * body.half_thickness_m / body.conductivity_w_mk


def checked_times(times_s: npt.ArrayLike) -> FloatArray:
    """Moments of a leg as an array, refused when one is missing or before its start.

    Parameters
    ----------
    times_s : array_like
        Moments, counted from the start of the leg [s].

    Returns
    -------
    FloatArray
        The same, float64.

    Raises
    ------
    ValueError
        If it is not a list of finite moments, or one is negative.

    Notes
    -----
    Holds everywhere; moments may come in any order.

    Examples
    --------
    >>> checked_times([0, 60]).tolist()
    [0.0, 60.0]
    """
    times = np.asarray(times_s, dtype=np.float64)
    if times.ndim != 1 or not np.all(np.isfinite(times)) or np.any(times < 0):
        raise ValueError("times_s must be a list of finite moments, none before the leg starts")
    return times


def warn_no_ice_no_boiling(medium_c: npt.ArrayLike, start: FloatArray, temps: FloatArray) -> None:
    """Warn where meat would freeze or boil, which properties that do not change cannot show.

    Parameters
    ----------
    medium_c : array_like
        Temperatures of the medium [°C].
    start : FloatArray
        Temperatures inside at the start [°C].
    temps : FloatArray
        Temperatures inside later [°C].

    Warns
    -----
    OutsideRange
        If the start or a medium lies below -1 °C, where lean meat begins to freeze, or the inside comes above 100 °C,
        where its water boils. A medium above 100 °C alone does not warn: the inside may stay below.

    Notes
    -----
    Between -1 and 100 °C nothing is warned of.

    References
    ----------
    .. [1] Lean meat begins to freeze between about -0.9 and -1.7 °C: handbooks of food engineering (from memory).

    Examples
    --------
    >>> from advisor.science.validity import gathered
    >>> body = ThermalBody(0.015, 0.0, 1.3e-7, 0.48)
    >>> with gathered() as found:
    ...     cells = leg(body, uniform(body, 5.0), -18.0, 25.0, [600.0])
    >>> found[0].name, found[0].value
    ('temperature of the medium', -18.0)
    """
    coldest, hottest = float(np.min(medium_c)), float(np.max(medium_c))
    low, high = float(start.min()), float(start.max())
    if min(coldest, low) >= _FREEZING_C - _ROUNDING_C and max(hottest, high) <= _BOILING_C + _ROUNDING_C:
        return  # what lies between start and medium is then within too
    checked = (_FREEZING_C, _BOILING_C, "°C")
    if coldest < _FREEZING_C - _ROUNDING_C:
        warn_outside(_MODEL, "temperature of the medium", coldest, *checked)
    warn_outside(_MODEL, "temperature of the meat at the start", start, *checked)
    if temps.size and float(temps.max()) > _BOILING_C + _ROUNDING_C:
        warn_outside(_MODEL, "temperature inside the meat", float(temps.max()), *checked)


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

    Raises
    ------
    ValueError
        If the temperature is missing or below absolute zero.

    Notes
    -----
    Holds everywhere above absolute zero.

    Examples
    --------
    >>> uniform(ThermalBody(0.015, 0.0, 1.3e-7, 0.48, 4), 5.0).tolist()
    [5.0, 5.0, 5.0, 5.0]
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

    Warns
    -----
    OutsideRange
        If the meat or the medium is below -1 °C or the inside comes above 100 °C: the model has no ice and no boiling.

    Notes
    -----
    Exact in time for constant properties; the error is that of the cells, see :class:`ThermalBody`. A schedule is a
    chain of legs: the last row of one starts the next.

    References
    ----------
    .. [1] Carslaw and Jaeger, ch. 3, 7 and 9, for the continuous body (from memory); held to its series by tests.

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
    times = checked_times(times_s)
    medium = float(celsius_array(medium_c))
    made = modes(body.cells, body.shape_exponent, biot_number(body, surface_h))
    fourier = times * body.diffusivity_m2_s / body.half_thickness_m**2
    temps = medium + faded(made, weights(made, start - medium)[None], fourier)
    warn_no_ice_no_boiling(medium, start, temps)
    return temps


def centre(temps: FloatArray) -> FloatArray:
    r"""Temperature at the centre, from an even parabola through the two inmost cells.

    .. math:: T_0 = (9\,T_1 - T_2)/8

    Parameters
    ----------
    temps : FloatArray
        Cells on the last axis, centre first [°C].

    Returns
    -------
    FloatArray
        Temperatures without the last axis [°C].

    Notes
    -----
    Holds everywhere for cells that :func:`leg` gave: exact for a profile that is a parabola near the centre; while a
    front has only just come in, it may overshoot by hundredths of a degree.

    Examples
    --------
    >>> float(centre(np.array([20.0, 20.8, 30.0, 40.0])))
    19.9
    """
    return np.asarray((9 * temps[..., 0] - temps[..., 1]) / 8, dtype=np.float64)


def surface(body: ThermalBody, temps: FloatArray, medium_c: float, surface_h: float) -> FloatArray:
    r"""Temperature of the surface, where the heat that reaches it leaves it.

    .. math:: T_s = \frac{h\,T_\infty + g\,T_N}{h + g},\quad g = \frac{2 N k}{R}

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

    Notes
    -----
    Holds everywhere between the outmost cell and the medium, on a straight line of heat flow.

    Examples
    --------
    >>> body = ThermalBody(0.02, 0.0, 1.3e-7, 0.5)
    >>> float(surface(body, uniform(body, 5.0), 60.0, PRESCRIBED_SURFACE))
    60.0
    """
    share = 1 / (1 + 2 * body.cells / biot_number(body, surface_h))
    return np.asarray(share * medium_c + (1 - share) * temps[..., -1], dtype=np.float64)


def at_depth(body: ThermalBody, temps: FloatArray, depth_m: float, surface_temps: npt.ArrayLike) -> FloatArray:
    r"""Temperature at a depth below the surface, on straight lines between the known places.

    .. math:: T = (1-s)\,T_i + s\,T_{i+1}

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

    Notes
    -----
    Holds everywhere for cells that :func:`leg` gave, to the error of a straight line between two cells, below 0.1 °C
    with 40 cells once the first minutes are over.

    Examples
    --------
    >>> body = ThermalBody(0.02, 0.0, 1.3e-7, 0.5)
    >>> round(float(at_depth(body, uniform(body, 30.0), 0.010, 50.0)), 3)
    30.0
    """
    if not 0 <= depth_m <= body.half_thickness_m:
        raise ValueError(f"depth_m must lie from 0 to the centre at {body.half_thickness_m}, got {depth_m}")
    depth = depth_m / body.half_thickness_m
    # Known places from the surface inward: the surface, the cells' middles, the centre.
    place = depth * body.cells + 0.5
    outer = min(int(place), body.cells)

    def known(number: int) -> FloatArray:
        if number == 0:
            return np.asarray(surface_temps, dtype=np.float64)
        return temps[..., body.cells - number] if number <= body.cells else centre(temps)

    first, last = max(outer - 0.5, 0.0), min(outer + 0.5, float(body.cells))
    share = (place - 0.5 - first) / (last - first)
    return np.asarray((1 - share) * known(outer) + share * known(outer + 1), dtype=np.float64)
