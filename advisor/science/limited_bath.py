"""A piece in a brine of limited volume, which weakens as the meat takes its salt.

References
----------
.. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., Oxford, 1975, sec. 4.3.5 (from memory).
.. [2] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959, sec. 12.4 (from memory).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from advisor.science.history import FloatArray, require_positive
from advisor.science.profile import checked_place, scaled_erfc, surface_source_share

_EARLY_FOURIER = 0.01
"""Below it the two faces do not yet know of each other (to 1e-11); above it sixty waves are plenty."""

_TERMS = 60
_HALVINGS = 60


@lru_cache(maxsize=64)
def stirred_bath_roots(alpha: float, count: int) -> FloatArray:
    r"""Roots of :math:`\tan q = -\alpha q`, one in each :math:`((n-\tfrac12)\pi,\ n\pi)`.

    Parameters
    ----------
    alpha : float
        Volume of the bath over that of the piece, both counted as the water that holds salt [-].
    count : int
        How many.

    Returns
    -------
    FloatArray
        Roots [-], rising; read only, for they are kept.

    Raises
    ------
    ValueError
        If alpha is not above zero or the count below one.

    Notes
    -----
    By halving, to the last digit.
    Holds for any alpha above zero.

    References
    ----------
    .. [1] Crank, Table 4.1 (from memory).

    Examples
    --------
    >>> stirred_bath_roots(1.0, 2).round(4).tolist()
    [2.0288, 4.9132]
    """
    require_positive(alpha=alpha)
    if count < 1:
        raise ValueError(f"count must be one or more, got {count}")
    n = np.arange(1, count + 1)
    low, high = (n - 0.5) * np.pi, n * np.pi
    sign = (-1.0) ** n
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        # sin q + alpha q cos q, free of the pole of the tangent; its sign at the upper end is known.
        above = sign * (np.sin(middle) + alpha * middle * np.cos(middle)) > 0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    roots = np.asarray(0.5 * (low + high), dtype=np.float64)
    roots.flags.writeable = False
    return roots


def stirred_bath_profile(depth_share: npt.ArrayLike, fourier: npt.ArrayLike, alpha: float) -> FloatArray:
    r"""Concentration against its final value, when the bath is limited and weakens as the piece takes salt.

    .. math:: 1 + \sum_n \frac{2(1+\alpha)\,e^{-q_n^2 Fo}}{1+\alpha+\alpha^2 q_n^2}\,
        \frac{\cos(q_n(1-z))}{\cos q_n},\qquad \tan q_n = -\alpha q_n

    Parameters
    ----------
    depth_share : array_like
        z [-], any shape.
    fourier : array_like
        Dt/L² [-].
    alpha : float
        Volume of the bath over that of the piece, both counted as the water that holds salt [-].

    Returns
    -------
    FloatArray
        Ratio [-], shape of both together. At the start the face stands at (1 + α)/α, the bath's strength then.

    Raises
    ------
    ValueError
        If alpha is not above zero, a depth lies outside the piece or a Fourier number is negative or not finite.

    Notes
    -----
    Holds everywhere in a slab in a bath that is stirred; in one that stands still the face is weaker, so this is a
    little fast. Exact for constant diffusivity. With alpha without bound it becomes
    :func:`advisor.science.profile.bath_profile`.

    References
    ----------
    .. [1] Crank, eq. 4.36 and, early, Carslaw and Jaeger, sec. 12.4 (from memory).

    Examples
    --------
    >>> stirred_bath_profile([0.0, 1.0], 5.0, 1.0).round(3).tolist()
    [1.0, 1.0]
    """
    depth, number = checked_place(depth_share, fourier)
    require_positive(alpha=alpha)
    roots = stirred_bath_roots(alpha, _TERMS)
    late_at = np.maximum(number, _EARLY_FOURIER)
    # 1/cos q is taken from the tangent: for a large bath cos q is next to nothing.
    root_part = np.cos(roots * (1 - depth[..., np.newaxis])) * np.exp(-(roots**2) * late_at[..., np.newaxis])
    weights = 2 * (1 + alpha) / (1 + alpha + (alpha * roots) ** 2) * _inverse_cosine(roots, alpha)
    late = 1 + (root_part * weights).sum(axis=-1)
    early = (1 + alpha) / alpha * surface_source_share(depth, np.minimum(number, _EARLY_FOURIER), alpha)
    return np.where(number < _EARLY_FOURIER, early, late)


def _inverse_cosine(roots: FloatArray, alpha: float) -> FloatArray:
    """1/cos q at a root of tan q = -alpha q, with its sign."""
    sign = np.where(np.arange(1, roots.size + 1) % 2 == 0, 1.0, -1.0)
    return np.asarray(sign * np.sqrt(1 + (alpha * roots) ** 2), dtype=np.float64)


def stirred_bath_uptake(fourier: npt.ArrayLike, alpha: float) -> FloatArray:
    r"""Share of its final content that a piece has taken from a limited bath.

    .. math:: 1 - \sum_n \frac{2\alpha(1+\alpha)}{1+\alpha+\alpha^2 q_n^2}\,e^{-q_n^2 Fo}
        \;\approx\; (1+\alpha)\left[1 - e^{Fo/\alpha^2}\,\mathrm{erfc}\frac{\sqrt{Fo}}{\alpha}\right]\ \text{early}

    Parameters
    ----------
    fourier : array_like
        Dt/L² [-].
    alpha : float
        Volume of the bath over that of the piece, both counted as the water that holds salt [-].

    Returns
    -------
    FloatArray
        Share [-].

    Raises
    ------
    ValueError
        If alpha is not above zero or a Fourier number is negative or not finite.

    Notes
    -----
    As :func:`stirred_bath_profile`, of which it is the mean. A small bath is even sooner than a large one.
    Holds everywhere, for a slab in a brine that is moved.

    References
    ----------
    .. [1] Crank, eq. 4.37 and 4.43 (from memory).

    Examples
    --------
    >>> stirred_bath_uptake([0.0, 0.1, 5.0], 1.0).round(2).tolist()
    [0.0, 0.55, 1.0]
    """
    _, number = checked_place(0.0, fourier)
    roots = stirred_bath_roots(alpha, _TERMS)
    late_at = np.maximum(number, _EARLY_FOURIER)[..., np.newaxis]
    weights = 2 * alpha * (1 + alpha) / (1 + alpha + (alpha * roots) ** 2)
    late = 1 - (weights * np.exp(-(roots**2) * late_at)).sum(axis=-1)
    early = (1 + alpha) * (1 - scaled_erfc(np.sqrt(np.minimum(number, _EARLY_FOURIER)) / alpha))
    return np.where(number < _EARLY_FOURIER, early, late)
