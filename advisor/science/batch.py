r"""Many pieces at once through the same stays: pieces that differ in thickness, meat, surface, start or medium.

.. math:: T_b(t) = T_{\infty,b} + \sum_k w_{b,k}\, x_{b,k}\, e^{-\Lambda_{b,k} \alpha_b t / R_b^2}

The modes hang on the Biot number alone and are read off tables over it (:mod:`advisor.science.mode_tables`), so that
little is decomposed however many pieces there are.

References
----------
.. [1] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959, ch. 3 (from memory). Held
   by tests to :func:`advisor.science.conduction.leg`, piece by piece.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.science.conduction import checked_times, warn_no_ice_no_boiling
from advisor.science.history import FloatArray, celsius_array
from advisor.science.mode_tables import many_modes

__all__ = ["Batch", "BatchLeg", "batch_leg", "batch_uniform"]

_DEAD_EXPONENT = 36.0
_FEWEST_CELLS = 4
_HIGHEST_EXPONENT = 2.0
_EVEN = 1e-9


@dataclass(frozen=True, slots=True)
class Batch:
    """Pieces of one shape that differ in size and meat.

    Parameters
    ----------
    half_thickness_m : FloatArray
        Distance from the centre to the surface [m], shape (b,).
    diffusivity_m2_s : FloatArray
        Thermal diffusivity [m2/s], shape (b,).
    conductivity_w_mk : FloatArray
        Thermal conductivity [W/m K], shape (b,).
    shape_exponent : float
        β [-], 0 for a slab to 2 for a sphere; the same for all.
    cells : int
        Cells between centre and surface [-].

    Raises
    ------
    ValueError
        If shapes differ, a value is not above zero, the exponent is not from 0 to 2 or there are fewer than four cells.

    Notes
    -----
    Holds for bodies with one axis and properties that do not change. Blocks have no batch: each axis of each would need
    its whole list of changes of medium carried along; walk them one by one with
    :func:`advisor.science.solids.solid_leg`.

    Examples
    --------
    >>> Batch(np.array([0.01, 0.02]), np.full(2, 1.3e-7), np.full(2, 0.48)).size
    2
    """

    half_thickness_m: FloatArray
    diffusivity_m2_s: FloatArray
    conductivity_w_mk: FloatArray
    shape_exponent: float = 0.0
    cells: int = 40

    def __post_init__(self) -> None:
        """Refuse a batch that cannot exist."""
        values = (self.half_thickness_m, self.diffusivity_m2_s, self.conductivity_w_mk)
        if len({np.shape(value) for value in values}) != 1 or np.ndim(self.half_thickness_m) != 1:
            raise ValueError("half_thickness_m, diffusivity_m2_s and conductivity_w_mk must be lists of one length")
        if not all(np.all(np.isfinite(value)) and np.all(np.asarray(value) > 0) for value in values):
            raise ValueError("sizes and properties must be finite numbers above zero")
        if not 0 <= self.shape_exponent <= _HIGHEST_EXPONENT:
            raise ValueError(f"shape_exponent must lie from 0 (slab) to 2 (sphere), got {self.shape_exponent}")
        if self.cells < _FEWEST_CELLS:
            raise ValueError(f"cells must be at least {_FEWEST_CELLS}, got {self.cells}")

    @property
    def size(self) -> int:
        """How many pieces."""
        return int(np.size(self.half_thickness_m))


@dataclass(frozen=True, slots=True)
class BatchLeg:
    """Temperatures of a batch through a stay in one medium.

    Attributes
    ----------
    centre, surface : FloatArray
        At the centre and on the surface [°C], shape (b, n).
    end : FloatArray
        Cells at the last moment, centre first [°C], shape (b, cells).
    cells : FloatArray or None
        Cells at every moment [°C], shape (b, n, cells), when they were asked for.
    """

    centre: FloatArray
    surface: FloatArray
    end: FloatArray
    cells: FloatArray | None


def batch_uniform(batch: Batch, temp_c: npt.ArrayLike) -> FloatArray:
    """Cells of pieces that are each at one temperature throughout.

    Parameters
    ----------
    batch : Batch
        The pieces.
    temp_c : array_like
        Temperature of all, or of each, shape () or (b,) [°C].

    Returns
    -------
    FloatArray
        Cells [°C], shape (b, cells).

    Raises
    ------
    ValueError
        If a temperature is missing or below absolute zero.

    Notes
    -----
    Holds everywhere: nothing is modelled here.

    Examples
    --------
    >>> batch_uniform(Batch(np.array([0.01]), np.array([1.3e-7]), np.array([0.48]), cells=4), 5.0).tolist()
    [[5.0, 5.0, 5.0, 5.0]]
    """
    temps = np.broadcast_to(celsius_array(temp_c), (batch.size,))
    return np.repeat(temps[:, None], batch.cells, axis=1)


def batch_leg(
    batch: Batch,
    start_cells: npt.ArrayLike,
    medium_c: npt.ArrayLike,
    surface_h: npt.ArrayLike,
    times_s: npt.ArrayLike,
    *,
    keep_cells: bool = False,
) -> BatchLeg:
    r"""Temperatures of all pieces through a stay in one medium each.

    .. math::
        \partial_t T = \alpha\,r^{-\beta}\,\partial_r\left(r^\beta\,\partial_r T\right),
        \quad -k\,\partial_r T(R) = h\,(T(R) - T_\infty)

    Parameters
    ----------
    batch : Batch
        The pieces.
    start_cells : array_like
        Cells at the start, centre first [°C], shape (b, cells).
    medium_c : array_like
        Temperature of the medium [°C], shape () or (b,).
    surface_h : array_like
        Surface coefficient [W/m2 K], shape () or (b,); infinity holds the surface at the medium.
    times_s : array_like
        Moments since the start of the leg, at least one and rising [s], shape (n,); quickest when evenly spaced.
    keep_cells : bool
        Give the cells at every moment as well.

    Returns
    -------
    BatchLeg
        Temperatures.

    Raises
    ------
    ValueError
        If the cells do not match the batch, there is no moment, times fall or are negative, or a coefficient is not
        above zero.

    Warns
    -----
    OutsideRange
        If meat or medium is below -1 °C or the inside comes above 100 °C: the model has no ice and no boiling.

    Notes
    -----
    Exact in time for constant properties; the error is that of the cells, as for
    :func:`advisor.science.conduction.leg`, which it equals to 1e-8 °C.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> pieces = Batch(np.array([0.015, 0.025]), np.full(2, 1.3e-7), np.full(2, 0.48))
    >>> made = batch_leg(pieces, batch_uniform(pieces, 5.0), 60.0, 95.0, [0.0, 3600.0])
    >>> made.centre.round(1).tolist()
    [[5.0, 56.5], [5.0, 41.2]]
    """
    start = celsius_array(start_cells)
    if start.shape != (batch.size, batch.cells):
        raise ValueError(f"start_cells must have shape {(batch.size, batch.cells)}, got {start.shape}")
    times = checked_times(times_s)
    if times.size == 0 or np.any(np.diff(times) < 0):
        raise ValueError("times_s must hold at least one moment, and must not fall")
    medium = np.broadcast_to(celsius_array(medium_c), (batch.size,))
    surface_coefficient = np.broadcast_to(np.asarray(surface_h, dtype=np.float64), (batch.size,))
    if not np.all(surface_coefficient > 0):
        raise ValueError("surface_h must be above zero")
    biot = surface_coefficient * batch.half_thickness_m / batch.conductivity_w_mk
    later = times[times > 0]
    speeds = batch.diffusivity_m2_s / batch.half_thickness_m**2
    first_fourier = speeds * (later[0] if later.size else np.inf)
    rates, vectors, roots = many_modes(batch.cells, batch.shape_exponent, biot, first_fourier, _DEAD_EXPONENT)
    weighted = np.matmul(((start - medium[:, None]) * roots)[:, None], vectors)[:, 0]
    shapes = vectors / roots[:, None]
    left = _left(rates * speeds[:, None], weighted, later, shapes, keep_cells=keep_cells)
    return _joined(batch, start, medium, biot, times, left)


@dataclass(frozen=True, slots=True)
class _Left:
    """What is left of the difference to the medium after the start: at centre, outmost cell, end, and in all cells."""

    centre: FloatArray
    outmost: FloatArray
    end: FloatArray | None
    cells: FloatArray | None


def _left(rates: FloatArray, weighted: FloatArray, times: FloatArray, shapes: FloatArray, *, keep_cells: bool) -> _Left:
    """Let the modes fade at centre and outmost cell, and at the end or at every moment in all cells."""
    if not times.size:
        none = np.empty((len(rates), 0))
        return _Left(none, none, None, np.empty((*shapes.shape[:1], 0, shapes.shape[1])) if keep_cells else None)
    places = np.stack([(9 * shapes[:, 0] - shapes[:, 1]) / 8, shapes[:, -1]], axis=1) * weighted[:, None]
    steps = np.diff(times, prepend=0.0)
    even = times.size > 1 and float(np.ptp(steps)) <= _EVEN * float(times[-1])
    course = _by_powers(rates, places, float(steps.mean()), times.size) if even else _one_by_one(rates, places, times)
    last = weighted * np.exp(-rates * times[-1])
    end = np.matmul(shapes, last[:, :, None])[:, :, 0]
    cells = None
    if keep_cells:
        transposed = np.swapaxes(shapes, 1, 2)
        cells = np.empty((len(rates), times.size, shapes.shape[1]))
        for piece, rate in enumerate(rates):
            cells[piece] = (np.exp(-np.outer(times, rate)) * weighted[piece]) @ transposed[piece]
    return _Left(course[:, 0], course[:, 1], end, cells)


def _by_powers(rates: FloatArray, places: FloatArray, step: float, count: int) -> FloatArray:
    """Courses (b, 2, n) at even moments: one whole number of long steps and one of short ones make up each moment."""
    short = math.isqrt(count - 1) + 1
    long = -(-count // short)
    begin = np.exp(-np.multiply.outer(short * step * np.arange(long), rates)).transpose(1, 0, 2)
    within = np.exp(-np.multiply.outer(step * np.arange(1, short + 1), rates)).transpose(1, 2, 0)
    started = (places[:, :, None] * begin[:, None]).reshape(len(rates), 2 * long, -1)
    course = np.matmul(started, within).reshape(len(rates), 2, long * short)
    return np.asarray(course[:, :, :count], dtype=np.float64)


def _one_by_one(rates: FloatArray, places: FloatArray, times: FloatArray) -> FloatArray:
    """Courses (b, 2, n) at any moments."""
    course = np.empty((len(rates), 2, times.size))
    for number, moment in enumerate(times):
        course[:, :, number] = np.matmul(places, np.exp(-rates * moment)[:, :, None])[:, :, 0]
    return course


def _joined(
    batch: Batch, start: FloatArray, medium: FloatArray, biot: FloatArray, times: FloatArray, left: _Left
) -> BatchLeg:
    """Put the moments at the very start, which are the start itself, before the later ones."""
    at_start = int(np.sum(times <= 0))
    level = medium[:, None]
    middle = np.repeat(((9 * start[:, 0] - start[:, 1]) / 8)[:, None], at_start, axis=1)
    edge = np.repeat(start[:, -1:], at_start, axis=1)
    share = (1 / (1 + 2 * batch.cells / biot))[:, None]
    outmost = np.concatenate([edge, level + left.outmost], axis=1)
    cells = None
    if left.cells is not None:
        first = np.repeat(start[:, None], at_start, axis=1)
        cells = np.concatenate([first, level[:, :, None] + left.cells], axis=1)
    end = start if left.end is None else level + left.end
    # hottest after the start is the outmost cell, some time on the way, or what was hottest to begin with
    warn_no_ice_no_boiling(medium, start, outmost)
    return BatchLeg(
        np.concatenate([middle, level + left.centre], axis=1), share * level + (1 - share) * outmost, end, cells
    )
