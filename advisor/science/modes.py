r"""The modes of the shells that a body is cut into: how fast each fades, and what it looks like.

Everything is in units of the half thickness R and of R²/α, so bodies of one shape, cell count and Biot number share
their modes.

.. math::
    V_i\,\dot T_i = g_{i-1}(T_{i-1}-T_i) + g_i(T_{i+1}-T_i),\quad
    V_i=\frac{r_{i+1}^{\beta+1}-r_i^{\beta+1}}{\beta+1},\quad g_i = N r_{i+1}^\beta,\quad
    g_N = \frac{1}{1/Bi + 1/2N}

References
----------
.. [1] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959, §3.11 (from memory), for
   the slab's :math:`\lambda\tan\lambda = Bi`, whose form in cells is derived in :func:`slab_angles`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from advisor.science.history import FloatArray

_DEAD_EXPONENT = 36.0
"""A mode that has faded by exp(-36), 2e-16, is below the spacing of floats."""

_BLOCK_ENDS = (8, 32, 128)
"""Moments are taken in blocks: in each later one more modes are dead and left out."""

_NEWTON_STEPS = 5
"""From the start used, four steps reach the last digit for Biot numbers from 1e-9 to 1e9; one is spare."""


@dataclass(frozen=True, slots=True)
class Modes:
    """Decay rates and shapes of one body in one kind of medium, in units of R and R²/α.

    Attributes
    ----------
    rates : FloatArray
        Decay rates [-], rising, shape (cells,).
    vectors : FloatArray
        Orthonormal shapes in columns [-], of the cells scaled by ``root_volumes``; above zero at the centre.
    root_volumes : FloatArray
        Square roots of the cells' volumes [-], shape (cells,).
    """

    rates: FloatArray
    vectors: FloatArray
    root_volumes: FloatArray


def slab_angles(cells: int, biot: FloatArray) -> FloatArray:
    r"""Angles of the modes of a slab cut into cells of one size.

    .. math:: u_i = \cos((i+\tfrac12)\theta),\quad 2N\tan(\theta/2)\,\tan(N\theta) = Bi

    The first says that no heat crosses the centre. Put into the balance of the outmost cell it gives the second, which
    for many cells becomes the textbook's :math:`\lambda\tan\lambda = Bi` with :math:`\lambda = N\theta`. The decay
    rate is :math:`4N^2\sin^2(\theta/2)`.

    Parameters
    ----------
    cells : int
        Cells N between the centre and the surface.
    biot : FloatArray
        Biot numbers [-], any shape; infinity allowed.

    Returns
    -------
    FloatArray
        The N angles θ [rad] of each, rising, on a new last axis.

    Notes
    -----
    Holds everywhere: Nθ lies between kπ and (k + ½)π for mode k; Newton's method on the arctangent of the equation
    stays there.

    Examples
    --------
    >>> float(4 * slab_angles(4, np.array(np.inf))[0] / np.pi)
    0.5
    """
    resistance = 1 / np.asarray(biot, dtype=np.float64)[..., None]
    turns = np.pi * np.arange(cells)
    # mode 0 starts between the limits of small and of large Biot numbers, the others as if tan were straight
    start = np.arctan2(1.0, resistance * np.maximum(turns, 1.0))
    start[..., 0] = 1 / np.sqrt(resistance[..., 0] + 4 / np.pi**2)
    angle = turns + start
    for _ in range(_NEWTON_STEPS):
        tangent = np.tan(angle / (2 * cells))
        ratio = resistance * 2 * cells * tangent
        slope = 1 + resistance * (1 + tangent**2) / (1 + ratio**2)
        angle = angle - (angle - turns - np.arctan2(1.0, ratio)) / slope
    return np.asarray(angle / cells, dtype=np.float64)


def _slab_modes(cells: int, biot: float) -> Modes:
    """Modes of a slab, in closed form."""
    angles = slab_angles(cells, np.array(biot))
    vectors = np.cos(np.outer(np.arange(cells) + 0.5, angles))
    vectors /= np.sqrt(np.sum(vectors**2, axis=0))
    return Modes(4 * cells**2 * np.sin(angles / 2) ** 2, vectors, np.full(cells, cells**-0.5))


def _decomposed(cells: int, shape_exponent: float, biot: float) -> Modes:
    """Modes of any shape, by decomposing the balance of its cells."""
    edges = np.linspace(0.0, 1.0, cells + 1)
    volumes = np.diff(edges ** (shape_exponent + 1)) / (shape_exponent + 1)
    between = edges[1:-1] ** shape_exponent * cells
    to_medium = 1 / (1 / biot + 0.5 / cells)
    losses = np.concatenate([[0.0], between]) + np.concatenate([between, [to_medium]])
    root_volumes = np.sqrt(volumes)
    couplings = between / (root_volumes[1:] * root_volumes[:-1])
    system = np.diag(losses / volumes) - np.diag(couplings, 1) - np.diag(couplings, -1)
    _, vectors = np.linalg.eigh(system)
    # The rate as what passes between cells and out, all of it positive: right to the last figures even for a slowest
    # mode a billion times slower than the fastest, where the eigenvalue itself is not.
    across = np.diff(vectors / root_volumes[:, None], axis=0, append=0.0)
    rates = np.append(between, to_medium) @ across**2
    return Modes(rates, vectors * np.where(vectors[0] < 0, -1.0, 1.0), root_volumes)


@lru_cache(maxsize=512)
def modes(cells: int, shape_exponent: float, biot: float) -> Modes:
    """Modes of a body, found once and kept.

    Parameters
    ----------
    cells : int
        Shells between centre and surface.
    shape_exponent : float
        β [-], 0 for a slab to 2 for a sphere.
    biot : float
        Biot number hR/k [-], above zero; infinity for a surface held at the medium's temperature.

    Returns
    -------
    Modes
        The modes; its arrays are read only.

    Examples
    --------
    >>> round(float(modes(40, 0.0, 1.0).rates[0]) ** 0.5, 3)  # the textbook's first root is 0.8603
    0.86
    """
    made = _slab_modes(cells, biot) if shape_exponent == 0 else _decomposed(cells, shape_exponent, biot)
    for array in (made.rates, made.vectors, made.root_volumes):
        array.flags.writeable = False
    return made


def weights(made: Modes, temps: FloatArray) -> FloatArray:
    r"""Share of each mode in a distribution of temperature.

    .. math:: w_j = \sum_i T_i \sqrt{v_i}\,u_{ij}

    Parameters
    ----------
    made : Modes
        The modes.
    temps : FloatArray
        Temperatures above the medium [K], cells on the last axis.

    Returns
    -------
    FloatArray
        Weights [K], modes on the last axis.

    Notes
    -----
    Holds everywhere.

    Examples
    --------
    >>> made = modes(4, 0.0, 1.0)
    >>> bool(weights(made, np.ones(4))[0] > 0)
    True
    """
    return np.asarray((temps * made.root_volumes) @ made.vectors, dtype=np.float64)


def alive(rates: FloatArray, fourier: float) -> int:
    r"""Count the modes that have not faded to nothing by a moment.

    .. math:: \lambda_j^2 Fo < 36

    Parameters
    ----------
    rates : FloatArray
        Decay rates [-], rising.
    fourier : float
        Fourier number αt/R² [-].

    Returns
    -------
    int
        How many, at least one.

    Notes
    -----
    Holds everywhere: what is left out is below 2e-16 of where it began.

    Examples
    --------
    >>> alive(np.array([1.0, 10.0, 100.0]), 1.0)
    2
    """
    return max(int(np.searchsorted(rates * fourier, _DEAD_EXPONENT)), 1)


def faded(made: Modes, weighted: FloatArray, fourier: FloatArray) -> FloatArray:
    r"""Temperatures of the cells above the medium, as the modes fade.

    .. math:: T_i = \frac{1}{\sqrt{v_i}}\sum_j u_{ij}\,w_j\,e^{-\lambda_j^2 Fo}

    Parameters
    ----------
    made : Modes
        The modes.
    weighted : FloatArray
        Weights of the modes at each moment before fading [K], shape (n, cells) or (1, cells).
    fourier : FloatArray
        Fourier numbers [-], shape (n,); quickest when they rise.

    Returns
    -------
    FloatArray
        Temperatures above the medium [K], shape (n, cells).

    Notes
    -----
    Holds everywhere, to the spacing of floats.

    Examples
    --------
    >>> made = modes(4, 0.0, 1.0)
    >>> start = np.array([1.0, 2.0, 3.0, 4.0])
    >>> faded(made, weights(made, start)[None], np.zeros(1)).round(9).tolist()
    [[1.0, 2.0, 3.0, 4.0]]
    """
    count = fourier.size
    out = np.empty((count, made.rates.size))
    begin = 0
    for end in (*(end for end in _BLOCK_ENDS if end < count), count):
        moments = fourier[begin:end]
        living = alive(made.rates, float(moments.min(initial=np.inf)) if count else 0.0)
        share = np.exp(np.multiply.outer(-moments, made.rates[:living]))
        share *= weighted[begin:end, :living] if len(weighted) > 1 else weighted[:, :living]
        np.matmul(share, made.vectors[:, :living].T, out=out[begin:end])
        begin = end
    out /= made.root_volumes
    return out
