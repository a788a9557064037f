r"""Concentration against depth while something diffuses into meat: salt, acid, enzyme.

Depth is a share z of the way from the salted face to where nothing flows, 0 at the face: the middle of a piece treated
on both faces, the far face of one treated on one. Time is the Fourier number Fo = Dt/L², L that same way. All work on
arrays that broadcast against each other. Each has a form for early and one for late times; they meet to ten digits.

References
----------
.. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., Oxford, 1975, ch. 2 to 4 (from memory).
.. [2] H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed., Oxford, 1959, ch. 12 (from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from advisor.science.history import FloatArray

_SWITCH_FOURIER = 0.2
"""Below it the images converge fast, above it the waves; eight terms of either give 1e-14."""

_TERMS = 8
_UPTAKE_SWITCH = 0.01
_UPTAKE_TERMS = 60
_ASYMPTOTIC_FROM = 6.0
_NOTHING_BEYOND = 30.0
"""Of erfc and of the bell curve there is nothing left here that a number could hold."""

erfc = np.vectorize(math.erfc, otypes=[np.float64])


def scaled_erfc(value: npt.ArrayLike) -> FloatArray:
    r"""Give :math:`e^{v^2}\,\mathrm{erfc}(v)` without overflow.

    Parameters
    ----------
    value : array_like
        v of zero or more [-].

    Returns
    -------
    FloatArray
        Values [-], falling from 1 to 0.

    Raises
    ------
    ValueError
        If a value is negative or not a number.

    Notes
    -----
    Holds everywhere: the product up to 6, six terms of the asymptotic series beyond: good to seven digits.

    References
    ----------
    .. [1] Abramowitz and Stegun, *Handbook of Mathematical Functions*, eq. 7.1.23 (from memory).

    Examples
    --------
    >>> scaled_erfc([0.0, 100.0]).round(5).tolist()
    [1.0, 0.00564]
    """
    value = np.asarray(value, dtype=np.float64)
    if not np.all(value >= 0):
        raise ValueError("values must be zero or above")
    small = np.minimum(value, _ASYMPTOTIC_FROM)
    direct = np.exp(small**2) * erfc(small)
    large = np.maximum(value, _ASYMPTOTIC_FROM)
    inverse = 1 / (2 * large**2)
    series = 1 - inverse * (1 - 3 * inverse * (1 - 5 * inverse * (1 - 7 * inverse * (1 - 9 * inverse))))
    return np.asarray(
        np.where(value < _ASYMPTOTIC_FROM, direct, series / (large * math.sqrt(math.pi))), dtype=np.float64
    )


def checked_place(depth_share: npt.ArrayLike, fourier: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Depths and times as arrays of one shape, refused outside the piece or before the start.

    Parameters
    ----------
    depth_share : array_like
        z [-].
    fourier : array_like
        Fourier number [-].

    Returns
    -------
    tuple of FloatArray
        Both, of one shape.

    Raises
    ------
    ValueError
        If a depth lies outside the piece or a Fourier number is negative or not finite.

    Notes
    -----
    For the functions of this module and :mod:`advisor.science.limited_bath`.
    Holds everywhere.

    References
    ----------
    None.

    Examples
    --------
    >>> checked_place([0.0, 0.5], 0.1)[1].tolist()
    [0.1, 0.1]
    """
    depth, number = np.broadcast_arrays(np.asarray(depth_share, np.float64), np.asarray(fourier, np.float64))
    if not np.all((depth >= 0) & (depth <= 1)):
        raise ValueError("depth_share must lie from 0 (the face) to 1 (the middle)")
    if not np.all(np.isfinite(number) & (number >= 0)):
        raise ValueError("fourier must be finite, zero or above")
    return depth, number


def dose_profile(depth_share: npt.ArrayLike, fourier: npt.ArrayLike) -> FloatArray:
    r"""Concentration against its even value, when a dose starts as a thin film on the face.

    .. math:: 1 + 2\sum_{n\ge1} \cos(n\pi z)\,e^{-n^2\pi^2 Fo}
        = \frac{1}{\sqrt{\pi Fo}} \sum_{n=-\infty}^{\infty} e^{-(z+2n)^2/4Fo}

    Parameters
    ----------
    depth_share : array_like
        z [-], any shape.
    fourier : array_like
        Dt/L² [-], L half the thickness if both faces are treated, the whole if one is.

    Returns
    -------
    FloatArray
        Ratio [-], shape of both together; infinite on the face at the very start. Its mean over z is 1.

    Raises
    ------
    ValueError
        If a depth lies outside the piece or a Fourier number is negative or not finite.

    Notes
    -----
    Holds everywhere in a slab of constant diffusivity, no drip, the dose dissolved at once: exact for that, at all
    times. Real salt lies undissolved for the first minutes, so the face is not as strong as this says then.

    References
    ----------
    .. [1] Crank, eq. 2.17 and 4.57 with a thin source (from memory).

    Examples
    --------
    >>> dose_profile([0.0, 1.0], 0.304).round(3).tolist()
    [1.1, 0.9]
    """
    depth, number = checked_place(depth_share, fourier)
    safe = np.where(number > 0, number, 1.0)
    early_at, late_at = np.minimum(safe, _SWITCH_FOURIER), np.maximum(safe, _SWITCH_FOURIER)
    early, late = np.zeros_like(depth), np.ones_like(depth)
    for n in range(-_TERMS, _TERMS + 1):
        early = early + np.exp(-((depth + 2 * n) ** 2) / (4 * early_at)) / np.sqrt(np.pi * early_at)
    for n in range(1, _TERMS):
        late = late + 2 * np.cos(n * np.pi * depth) * np.exp(-((n * np.pi) ** 2) * late_at)
    profile = np.where(safe < _SWITCH_FOURIER, early, late)
    return np.where(number > 0, profile, np.where(depth > 0, 0.0, np.inf))


def bath_profile(depth_share: npt.ArrayLike, fourier: npt.ArrayLike) -> FloatArray:
    r"""Concentration against the face's, when a large bath keeps the face constant.

    .. math:: 1 - \frac4\pi\sum_{n\ge0} \frac{\sin((2n+1)\pi z/2)}{2n+1} e^{-(2n+1)^2\pi^2 Fo/4}
        = \sum_{n\ge0} (-1)^n\left[\mathrm{erfc}\frac{2n+z}{2\sqrt{Fo}}
        + \mathrm{erfc}\frac{2n+2-z}{2\sqrt{Fo}}\right]

    Parameters
    ----------
    depth_share : array_like
        z [-], any shape.
    fourier : array_like
        Dt/L² [-].

    Returns
    -------
    FloatArray
        Ratio [-], shape of both together.

    Raises
    ------
    ValueError
        If a depth lies outside the piece or a Fourier number is negative or not finite.

    Notes
    -----
    Holds everywhere in a slab of constant diffusivity in a bath that does not weaken: exact for that. For salt in meat
    the diffusivity falls in strong brine, which this leaves out.

    References
    ----------
    .. [1] Crank, eq. 4.17 and 4.15 (from memory).

    Examples
    --------
    >>> bath_profile([0.0, 1.0], 1.03).round(3).tolist()
    [1.0, 0.9]
    """
    depth, number = checked_place(depth_share, fourier)
    safe = np.where(number > 0, number, 1.0)
    root = 2 * np.sqrt(np.minimum(safe, _SWITCH_FOURIER))
    late_at = np.maximum(safe, _SWITCH_FOURIER)
    early, late = np.zeros_like(depth), np.ones_like(depth)
    for n in range(_TERMS):
        odd = 2 * n + 1
        both = erfc((2 * n + depth) / root) + erfc((2 * n + 2 - depth) / root)
        early = early + (-1) ** n * both
        wave = np.sin(odd * np.pi * depth / 2) * np.exp(-((odd * np.pi / 2) ** 2) * late_at)
        late = late - 4 / (np.pi * odd) * wave
    profile = np.where(safe < _SWITCH_FOURIER, early, late)
    return np.where(number > 0, profile, np.where(depth > 0, 0.0, 1.0))


def bath_uptake(fourier: npt.ArrayLike) -> FloatArray:
    r"""Share of its final content that a piece has taken from a large bath.

    .. math:: 1 - \frac{8}{\pi^2}\sum_{n\ge0} \frac{e^{-(2n+1)^2\pi^2 Fo/4}}{(2n+1)^2}
        \;\approx\; 2\sqrt{Fo/\pi}\ \text{early}

    Parameters
    ----------
    fourier : array_like
        Dt/L² [-].

    Returns
    -------
    FloatArray
        Share [-].

    Raises
    ------
    ValueError
        If a Fourier number is negative or not finite.

    Notes
    -----
    Holds everywhere that :func:`bath_profile` does, of which it is the mean. The law of the square root holds to 1 % up
    to half full.

    References
    ----------
    .. [1] Crank, eq. 4.18 and 4.20 (from memory).

    Examples
    --------
    >>> float(bath_uptake(0.04).round(3))
    0.226
    """
    _, number = checked_place(0.0, fourier)
    early = 2 * np.sqrt(number / np.pi)
    late_at = np.maximum(number, _UPTAKE_SWITCH)
    odd = 2 * np.arange(_UPTAKE_TERMS) + 1
    waves = np.exp(-((odd * np.pi / 2) ** 2) * late_at[..., np.newaxis]) / odd**2
    return np.where(number < _UPTAKE_SWITCH, early, 1 - 8 / np.pi**2 * waves.sum(axis=-1))


def surface_source_share(depth_m: npt.ArrayLike, travelled_m2: npt.ArrayLike, film_m: float = math.inf) -> FloatArray:
    r"""Concentration against that of a film on the face, in meat without end.

    A film that stays as strong as it was, and a mixed film of thickness h that weakens as it gives:

    .. math:: \mathrm{erfc}\frac{x}{2\sqrt{Dt}},\qquad
        e^{x/h + Dt/h^2}\,\mathrm{erfc}\left(\frac{x}{2\sqrt{Dt}} + \frac{\sqrt{Dt}}{h}\right)

    Parameters
    ----------
    depth_m : array_like
        Distance x from the face [m], any shape.
    travelled_m2 : array_like
        Dt, or the integral of D over time [m2].
    film_m : float
        Thickness h of the film, times how much more of the substance it holds than meat beside it [m]; without
        bound for one that stays.

    Returns
    -------
    FloatArray
        Ratio [-]; 1 on the face at the start.

    Raises
    ------
    ValueError
        If a distance or time is negative or not finite, or the film not above zero.

    Notes
    -----
    Holds everywhere in a body without a far side. In a piece, while what has gone in is thin against it: sqrt(Dt) under
    a quarter of its half thickness keeps the far side out of it to 1 %. What meat holds and film has lost always make
    the dose.

    References
    ----------
    .. [1] Crank, eq. 2.45 and 3.35; Carslaw and Jaeger, sec. 12.4 (from memory).

    Examples
    --------
    >>> surface_source_share([0.0, 0.001], 1e-6).round(3).tolist()
    [1.0, 0.48]
    """
    place, gone = np.broadcast_arrays(np.asarray(depth_m, np.float64), np.asarray(travelled_m2, np.float64))
    if not np.all(np.isfinite(place) & (place >= 0)):
        raise ValueError("depth_m must be finite, zero or above")
    if not np.all(np.isfinite(gone) & (gone >= 0)):
        raise ValueError("travelled_m2 must be finite, zero or above")
    if not film_m > 0:
        raise ValueError(f"film_m must lie above zero, got {film_m}")
    root = np.sqrt(np.where(gone > 0, gone, 1.0))
    reach = np.minimum(place / (2 * root), _NOTHING_BEYOND)
    share = erfc(reach) if film_m == math.inf else np.exp(-(reach**2)) * scaled_erfc(reach + root / film_m)
    return np.where(gone > 0, share, np.where(place > 0, 0.0, 1.0))
