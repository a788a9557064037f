"""Textbook conduction series for a slab, a long cylinder and a sphere: the yardstick for the cell method.

References
----------
.. [1] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959 (from memory).
.. [2] Y. A. Çengel, *Heat Transfer*, one-term table 4-2 (read to Bi 10).
"""

from __future__ import annotations

import math
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from advisor.science.validity import warn_outside

if TYPE_CHECKING:
    from advisor.science.history import FloatArray

_EARLIEST_FOURIER = 1e-3
_HALVINGS = 60
"""Bisections of an interval of length pi; after 54 the next is below the spacing of floats."""

_BESSEL_NODES_SPARE = 24
"""Quadrature nodes beyond the argument itself; what is left is J of twice that order, below 1e-16."""


class Shape(StrEnum):
    """The three shapes with one space variable."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    SPHERE = "sphere"


def bessel_j(order: int, argument: FloatArray) -> FloatArray:
    r"""Bessel function of the first kind, of whole order.

    .. math:: J_n(x) = \frac{1}{\pi} \int_0^\pi \cos(n\theta - x \sin\theta)\,d\theta

    Parameters
    ----------
    order : int
        The order n, 0 or 1 here.
    argument : FloatArray
        The argument x [-].

    Returns
    -------
    FloatArray
        Values [-], same shape.

    Notes
    -----
    The trapezoid rule on a periodic integrand converges faster than any power of the step. Holds everywhere: good to
    1e-13 for arguments to 1000, and further on as well as the sine itself.

    Examples
    --------
    >>> round(float(bessel_j(0, np.array(2.404825557695773))), 12) == 0.0
    True
    """
    values = np.asarray(argument, dtype=np.float64)
    nodes = int(np.max(np.abs(values), initial=0.0)) + _BESSEL_NODES_SPARE
    angle = np.pi * (np.arange(nodes) + 0.5) / nodes
    integrand = np.cos(order * angle - values[..., None] * np.sin(angle))
    return np.asarray(integrand.mean(axis=-1), dtype=np.float64)


def _boundary_mismatch(roots: FloatArray, resistance: float, shape: Shape) -> FloatArray:
    """Left side of the root equation, divided by the Biot number so that an infinite one is allowed."""
    if shape is Shape.SLAB:
        return resistance * roots * np.sin(roots) - np.cos(roots)
    if shape is Shape.CYLINDER:
        return resistance * roots * bessel_j(1, roots) - bessel_j(0, roots)
    return (resistance - 1) * np.sin(roots) - resistance * roots * np.cos(roots)


@lru_cache(maxsize=512)
def biot_roots(biot: float, shape: Shape, count: int) -> FloatArray:
    r"""First roots of the surface condition.

    .. math::
        \lambda \tan\lambda = Bi \quad
        \lambda J_1(\lambda) = Bi\,J_0(\lambda) \quad
        1 - \lambda \cot\lambda = Bi

    Parameters
    ----------
    biot : float
        Biot number hR/k [-], R half thickness or radius; ``math.inf`` for a surface held at the medium's
        temperature.
    shape : Shape
        Slab, cylinder or sphere.
    count : int
        How many roots.

    Returns
    -------
    FloatArray
        The roots [-], rising. Read only.

    Raises
    ------
    ValueError
        If the Biot number is not above zero or the count is below one.

    Notes
    -----
    Root n lies in ((n-1)π, nπ) for all three shapes, and only one does, so bisection cannot fail. For Biot
    numbers from 1e-6 upward.

    References
    ----------
    .. [1] Çengel, *Heat Transfer*, table 4-2.

    Examples
    --------
    >>> round(float(biot_roots(1.0, Shape.SPHERE, 1)[0]), 4)
    1.5708
    """
    if not biot > 0:
        raise ValueError(f"Biot number must be above zero, got {biot}")
    if count < 1:
        raise ValueError(f"at least one root must be asked for, got {count}")
    shape = Shape(shape)
    index = np.arange(count)
    low, high = index * np.pi, (index + 1) * np.pi
    sign_low = np.where(index % 2 == 0, -1.0, 1.0)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = _boundary_mismatch(middle, 1 / biot, shape) * sign_low > 0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    roots = np.asarray(0.5 * (low + high), dtype=np.float64)
    roots.flags.writeable = False
    return roots


def series_amplitudes(roots: FloatArray, shape: Shape) -> FloatArray:
    r"""Amplitudes of the series for a body that starts at one temperature.

    .. math::
        \frac{4\sin\lambda}{2\lambda+\sin 2\lambda} \quad
        \frac{2}{\lambda}\frac{J_1}{J_0^2+J_1^2} \quad
        \frac{4(\sin\lambda-\lambda\cos\lambda)}{2\lambda-\sin 2\lambda}

    Parameters
    ----------
    roots : FloatArray
        Roots from :func:`biot_roots` [-].
    shape : Shape
        Slab, cylinder or sphere.

    Returns
    -------
    FloatArray
        Amplitudes [-].

    Notes
    -----
    Holds everywhere: for a body that starts at one temperature throughout, any Biot number above zero.

    Examples
    --------
    >>> round(float(series_amplitudes(biot_roots(1.0, Shape.SPHERE, 1), Shape.SPHERE)[0]), 4)
    1.2732
    """
    shape = Shape(shape)
    if shape is Shape.SLAB:
        return 4 * np.sin(roots) / (2 * roots + np.sin(2 * roots))
    if shape is Shape.CYLINDER:
        zero, one = bessel_j(0, roots), bessel_j(1, roots)
        return 2 / roots * one / (zero**2 + one**2)
    return 4 * (np.sin(roots) - roots * np.cos(roots)) / (2 * roots - np.sin(2 * roots))


def series_temperature(position: float, fourier: float, biot: float, shape: Shape, count: int = 60) -> float:
    r"""Temperature inside a body put into a medium, as the share of the first difference that is left.

    .. math:: \theta = \frac{T-T_\infty}{T_0-T_\infty} = \sum_n A_n X(\lambda_n x/R) e^{-\lambda_n^2 Fo}

    Parameters
    ----------
    position : float
        x/R [-], 0 at the centre, 1 at the surface.
    fourier : float
        Fourier number αt/R² [-].
    biot : float
        Biot number hR/k [-].
    shape : Shape
        Slab, cylinder or sphere.
    count : int
        Terms summed.

    Returns
    -------
    float
        The share left [-], 1 at the start and 0 in the end.

    Raises
    ------
    ValueError
        If the position is not from 0 to 1 or the Fourier number is negative.

    Warns
    -----
    OutsideRange
        If the Fourier number is below 0.001, where more terms are asked for than are summed.

    Notes
    -----
    Constant properties, one medium, uniform start. With 60 terms good to 1e-9 for Fourier numbers above
    0.001.

    References
    ----------
    .. [1] Carslaw and Jaeger, ch. 3, 7 and 9 (from memory).

    Examples
    --------
    >>> round(series_temperature(0.0, 0.2, 10.0, Shape.SLAB), 4)
    0.8293
    """
    if not 0 <= position <= 1:
        raise ValueError(f"position must lie from 0 (centre) to 1 (surface), got {position}")
    if not fourier >= 0 or math.isinf(fourier):
        raise ValueError(f"Fourier number must be finite, zero or above, got {fourier}")
    warn_outside("series of conduction", "Fourier number", fourier, _EARLIEST_FOURIER, math.inf)
    shape = Shape(shape)
    roots = biot_roots(biot, shape, count)
    if shape is Shape.SLAB:
        profile = np.cos(roots * position)
    elif shape is Shape.CYLINDER:
        profile = bessel_j(0, roots * position)
    else:
        profile = np.sinc(roots * position / np.pi)
    return float(np.sum(series_amplitudes(roots, shape) * profile * np.exp(-(roots**2) * fourier)))
