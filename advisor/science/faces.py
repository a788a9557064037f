r"""How warm a slab of meat is inside while its two faces feel different things, as in a pan.

The slab is cut into cells from one face to the other. As in :mod:`advisor.science.conduction` the cells obey a linear
system, whose modes are found once, so that no error comes from stepping in time [1]_.

.. math::
    \frac{\partial T}{\partial t} = \alpha T'',\quad
    k\,T'(0) = h_1\,(T(0)-T_1),\quad -k\,T'(L) = h_2\,(T(L)-T_2)

References
----------
.. [1] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959, ch. 3 (from memory).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from advisor.science.conduction import ThermalBody, checked_times, warn_no_ice_no_boiling
from advisor.science.history import FloatArray, celsius_array


def leg_by_faces(
    body: ThermalBody,
    start_cells: npt.ArrayLike,
    media_c: tuple[float, float],
    surface_hs: tuple[float, float],
    times_s: npt.ArrayLike,
) -> FloatArray:
    r"""Temperatures of a slab through a stay in which each face has a medium of its own.

    .. math:: T(t) = T_\infty + Q\, e^{-\Lambda t}\, Q^T (T_0 - T_\infty)

    with :math:`T_\infty` the straight line between the faces that everything comes to.

    Parameters
    ----------
    body : ThermalBody
        The slab; it has twice the body's cells from face to face.
    start_cells : array_like
        Temperatures at the start, from the first face to the second [°C], shape (2 cells,).
    media_c : tuple of float
        Temperatures that the first and the second face feel [°C].
    surface_hs : tuple of float
        Surface coefficients of both [W/m2 K]; 0 for a face that passes no heat, infinity for one that is held.
    times_s : array_like
        Moments, counted from the start [s]; any order.

    Returns
    -------
    FloatArray
        One row for each moment, one column for each cell from the first face to the second [°C].

    Raises
    ------
    ValueError
        If the body is no slab, the cells do not match it, a time or a coefficient is negative, or no face passes heat.

    Warns
    -----
    OutsideRange
        If the meat or a medium is below -1 °C or the inside comes above 100 °C: the model has no ice and no boiling.

    Notes
    -----
    Exact in time for constant properties. Media of -1 to 100 °C.

    References
    ----------
    .. [1] Carslaw and Jaeger, ch. 3 (from memory); held by tests to :func:`~advisor.science.conduction.leg`, which it
       must give where both faces are alike, and for a slab twice as thick where one passes no heat.

    Examples
    --------
    >>> body = ThermalBody(0.01, 0.0, 1.3e-7, 0.48, 20)
    >>> cells = leg_by_faces(body, [5.0] * 40, (100.0, 20.0), (1e9, 1e9), [0.0, 360000.0])
    >>> cells[:, [0, -1]].round(1).tolist()
    [[5.0, 5.0], [99.0, 21.0]]
    """
    if body.shape_exponent != 0:
        raise ValueError(f"only a slab has two faces, got shape_exponent {body.shape_exponent}")
    count = 2 * body.cells
    start = celsius_array(start_cells)
    if start.shape != (count,):
        raise ValueError(f"start_cells must hold {count} temperatures, got shape {start.shape}")
    if not min(surface_hs) >= 0 or not max(surface_hs) > 0:
        raise ValueError(f"surface_hs must not be below zero, nor both zero, got {surface_hs}")
    times = checked_times(times_s)
    media = celsius_array(media_c)
    width = 2 * body.half_thickness_m / count
    passes = tuple(_conductance(h * width / body.conductivity_w_mk) for h in surface_hs)
    rates, vectors = _modes(count, *passes)
    drive = np.zeros(count)
    drive[0], drive[-1] = passes[0] * media[0], passes[1] * media[1]
    settled = vectors @ ((vectors.T @ drive) / rates)
    fading = np.exp(-np.outer(times * body.diffusivity_m2_s / width**2, rates))
    temps = settled + (fading * (vectors.T @ (start - settled))) @ vectors.T
    warn_no_ice_no_boiling(media[np.array(surface_hs) > 0], start, temps)
    return np.asarray(temps, dtype=np.float64)


def _conductance(biot: float) -> float:
    """Conductance from a face cell's middle to its medium, in units of that between two cells [-]."""
    return 0.0 if biot == 0 else 1 / (1 / biot + 1 / 2)


@lru_cache(maxsize=64)
def _modes(count: int, first: float, second: float) -> tuple[FloatArray, FloatArray]:
    """Decay rates and orthonormal shapes of the cells, in units of the cells' width and diffusivity."""
    matrix = np.diag(np.full(count, 2.0)) - np.eye(count, k=1) - np.eye(count, k=-1)
    matrix[0, 0], matrix[-1, -1] = 1 + first, 1 + second
    rates, vectors = np.linalg.eigh(matrix)
    return rates, vectors
