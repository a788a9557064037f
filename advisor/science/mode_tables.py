r"""Modes of many bodies of one shape, read off tables over the Biot number.

Rates and shapes of the modes are smooth in the logarithm of the Biot number, so that they need to be decomposed at a
few places only and are interpolated between. A table spans a factor of 8 in the Biot number and is kept.

.. math::
    f(x) = \frac{\sum_j w_j f_j/(x-x_j)}{\sum_j w_j/(x-x_j)},\quad x = \ln Bi,\quad
    w_j = (-1)^j\delta_j

with :math:`x_j` the extremes of a Chebyshev polynomial and :math:`\delta_j` a half at both ends, else one [1]_.

References
----------
.. [1] J.-P. Berrut and L. N. Trefethen, Barycentric Lagrange interpolation, SIAM Review 46 (2004) 501-517, eq. 4.2 and
   5.4 (from memory). Held by tests to the modes themselves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from advisor.science.modes import modes

if TYPE_CHECKING:
    from advisor.science.history import FloatArray

__all__ = ["many_modes"]

_LOG_SPAN = math.log(8.0)
_FEWEST_NODES, _MOST_NODES = 20, 80
_TOLERANCE = 1e-11
"""Error of a shape of length 1, and of a rate as a share of it: a difference of 100 K is then right to 1e-7 °C, the
small innermost cell of a sphere counted in."""


@dataclass(frozen=True, slots=True)
class _Table:
    """Modes at the nodes of one span of the Biot number."""

    logs: FloatArray
    factors: FloatArray
    log_rates: FloatArray
    vectors: FloatArray

    def at(self, logs: FloatArray, living: int) -> tuple[FloatArray, FloatArray]:
        """Interpolate: rates, shape (b, living), and shapes of the modes, (b, cells, living)."""
        apart = logs[:, None] - self.logs
        share = np.where(apart == 0, 1.0, self.factors / np.where(apart == 0, 1.0, apart))
        share[np.any(apart == 0, axis=1)] = 0.0
        share[apart == 0] = 1.0
        share /= share.sum(axis=1, keepdims=True)
        nodes, cells, _ = self.vectors.shape
        vectors = share @ self.vectors[:, :, :living].reshape(nodes, cells * living)
        return np.exp(share @ self.log_rates[:, :living]), vectors.reshape(-1, cells, living)


def _built(cells: int, shape_exponent: float, low: float, nodes: int) -> _Table:
    """Decompose at the nodes of the span that begins at a logarithm."""
    order = np.arange(nodes)
    logs = low + _LOG_SPAN * (1 - np.cos(np.pi * order / (nodes - 1))) / 2
    factors = np.where(order % 2 == 0, 1.0, -1.0)
    factors[[0, -1]] /= 2
    made = [modes.__wrapped__(cells, shape_exponent, math.exp(one)) for one in logs]
    return _Table(logs, factors, np.log([one.rates for one in made]), np.array([one.vectors for one in made]))


def _error(table: _Table, cells: int, shape_exponent: float) -> float:
    """Largest error half way between nodes, looked at in the middle of the span, where they lie farthest apart."""
    middle = table.logs.size // 2
    logs = (table.logs[middle - 2 : middle + 1] + table.logs[middle - 1 : middle + 2]) / 2
    rates, vectors = table.at(logs, cells)
    worst = 0.0
    for one, rate, vector in zip(logs, rates, vectors, strict=True):
        made = modes.__wrapped__(cells, shape_exponent, math.exp(one))
        worst = max(worst, float(np.abs(vector - made.vectors).max()), float(np.abs(rate / made.rates - 1).max()))
    return worst


@lru_cache(maxsize=64)
def _table(cells: int, shape_exponent: float, number: int) -> _Table:
    """Table of one span, with more nodes until it is right."""
    nodes = _FEWEST_NODES
    table = _built(cells, shape_exponent, number * _LOG_SPAN, nodes)
    while _error(table, cells, shape_exponent) > _TOLERANCE and nodes < _MOST_NODES:
        nodes *= 2
        table = _built(cells, shape_exponent, number * _LOG_SPAN, nodes)
    return table


def many_modes(
    cells: int, shape_exponent: float, biot: FloatArray, first_fourier: FloatArray, dead_exponent: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Modes of many bodies of one shape, as far as any of them is still there at the first moment asked for.

    Parameters
    ----------
    cells : int
        Shells between centre and surface.
    shape_exponent : float
        β [-], 0 for a slab to 2 for a sphere.
    biot : FloatArray
        Biot numbers [-], above zero, infinity allowed, shape (b,).
    first_fourier : FloatArray
        Fourier number of the first moment [-], shape (b,).
    dead_exponent : float
        A mode that has faded by more than exp of minus this is left out [-].

    Returns
    -------
    tuple of FloatArray
        Rates [-], shape (b, m); orthonormal shapes [-], (b, cells, m); root volumes [-], (cells,).

    Notes
    -----
    Holds everywhere. For Biot numbers of 1e-6 to 1e6 by tables, right to 1e-11; what lies outside, and bodies so few
    that a table would be more work, are decomposed one by one.

    Examples
    --------
    >>> rates, _, _ = many_modes(40, 1.0, np.linspace(1.0, 2.0, 50), np.ones(50), 36.0)
    >>> round(float(rates[0, 0]) ** 0.5, 3)  # the textbook's first root is 1.2558
    1.256
    """
    logs = np.log(biot)
    numbers = np.floor(logs / _LOG_SPAN)
    tabled = np.abs(logs) <= math.log(1e6)
    # The higher the Biot number, the faster every mode fades: those of the smallest tell how many are needed.
    slowest = modes(cells, shape_exponent, float(biot.min())).rates
    living = max(int(np.searchsorted(slowest * float(first_fourier.min()), dead_exponent)), 1)
    rates, vectors = np.empty((biot.size, living)), np.empty((biot.size, cells, living))
    for number in np.unique(numbers[tabled]):
        here = np.flatnonzero(tabled & (numbers == number))
        if here.size <= _FEWEST_NODES:
            tabled[here] = False
            continue
        rates[here], vectors[here] = _table(cells, shape_exponent, int(number)).at(logs[here], living)
    for one in np.flatnonzero(~tabled):
        made = modes(cells, shape_exponent, float(biot[one]))
        rates[one], vectors[one] = made.rates[:living], made.vectors[:, :living]
    return rates, vectors, modes(cells, shape_exponent, float(biot.min())).root_volumes
