"""Meat in a brine or under dry salt: what it holds after a time, where, and when it is even.

The shapes are in :mod:`advisor.science.profile` and :mod:`advisor.science.limited_bath`; here they become grams and
hours. Salt sits in the water of the meat, so bath and piece are compared by their water.

References
----------
.. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., Oxford, 1975, ch. 4 (from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from advisor.science.history import require_fraction, require_not_negative, require_positive
from advisor.science.limited_bath import stirred_bath_profile, stirred_bath_uptake
from advisor.science.profile import bath_profile, bath_uptake, dose_profile
from advisor.science.validity import warn_outside

if TYPE_CHECKING:
    import numpy.typing as npt

    from advisor.science.history import FloatArray

_HALVINGS = 100
_LONGEST_FOURIER = 100.0
_STRONGEST_BRINE = 0.20
"""Beyond this share of salt meat gives up water and its outside closes: measured brines ended at 280 kg/m3."""

_DENSEST_KG_M3 = 1300.0


def fourier_number(travelled_m2: float, thickness_m: float, faces: int = 2) -> float:
    """Fourier number Dt/L² of a piece, L half the thickness if both faces are treated, the whole if one is.

    Parameters
    ----------
    travelled_m2 : float
        Dt, or the integral of D over the time [m2].
    thickness_m : float
        Thickness [m].
    faces : int
        Open treated faces, 1 or 2.

    Returns
    -------
    float
        Number [-].

    Raises
    ------
    ValueError
        If the thickness is not above zero, `travelled_m2` negative or faces not 1 or 2.

    Notes
    -----
    Holds everywhere, for a slab. A face under fat, skin or silverskin counts as not treated.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> round(fourier_number(4e-10 * 86400, 0.025), 3)
    0.221
    """
    require_not_negative(travelled_m2=travelled_m2)
    require_positive(thickness_m=thickness_m)
    if faces not in (1, 2):
        raise ValueError(f"faces must be 1 or 2, got {faces}")
    return travelled_m2 / (thickness_m / faces) ** 2


def brine_to_meat(brine_water_kg: float, meat_kg: float, meat_water_fraction: float) -> float:
    r"""Volume of a brine over that of the meat, both as the water that holds salt: alpha of a limited bath.

    .. math:: \alpha = \frac{b}{w\,m}

    Parameters
    ----------
    brine_water_kg : float
        Water of the brine [kg].
    meat_kg : float
        Meat [kg].
    meat_water_fraction : float
        Water in the meat [kg/kg], about 0.75.

    Returns
    -------
    float
        Ratio [-].

    Raises
    ------
    ValueError
        If a mass is not above zero or the fraction not above 0 and up to 1.

    Notes
    -----
    Holds everywhere: a ratio of weights. All of the meat's water is taken to hold salt, and none to move.

    References
    ----------
    .. [1] Crank, sec. 4.3.5, with the partition by water (from memory).

    Examples
    --------
    >>> brine_to_meat(1.5, 1.0, 0.75)
    2.0
    """
    require_positive(brine_water_kg=brine_water_kg, meat_kg=meat_kg, meat_water_fraction=meat_water_fraction)
    require_fraction(meat_water_fraction=meat_water_fraction)
    return brine_water_kg / (meat_kg * meat_water_fraction)


def brined_meat_fraction(
    brine_water_kg: float, salt_kg: float, meat_kg: float, meat_water_fraction: float, own_fraction: float = 0.0
) -> float:
    r"""Salt in meat that has come to rest in its brine.

    .. math:: p = w\,\frac{s + p_0 m}{b + w m}

    Parameters
    ----------
    brine_water_kg : float
        Water b of the brine [kg].
    salt_kg : float
        Salt s of the brine [kg].
    meat_kg : float
        Meat m [kg].
    meat_water_fraction : float
        Water w in the meat [kg/kg].
    own_fraction : float
        Salt p₀ the meat came with [kg/kg].

    Returns
    -------
    float
        Salt over meat [kg/kg].

    Raises
    ------
    ValueError
        If a mass is negative, meat or water of the brine is none, or a fraction is out of range.

    Warns
    -----
    OutsideRange
        If the strength of the brine lies outside 0 to 0.2.

    Notes
    -----
    Water and salt alike in brine and in the water of the meat; the meat is taken to keep its weight. This is less,
    by up to a quarter, than :func:`advisor.science.brine.brine_final_fraction`, which shares the salt over all mass
    alike: dry matter holds no salt. Brines above 20 % salt warn.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> round(brined_meat_fraction(1.0, 0.0305, 1.0, 0.75), 4)
    0.0131
    """
    require_positive(brine_water_kg=brine_water_kg, meat_kg=meat_kg, meat_water_fraction=meat_water_fraction)
    require_not_negative(salt_kg=salt_kg)
    require_fraction(meat_water_fraction=meat_water_fraction, own_fraction=own_fraction)
    strength = salt_kg / (brine_water_kg + salt_kg)
    warn_outside("salt from a brine", "strength of the brine", strength, 0.0, _STRONGEST_BRINE)
    held = salt_kg + own_fraction * meat_kg
    return meat_water_fraction * held / (brine_water_kg + meat_water_fraction * meat_kg)


def soaked_share(fourier: float, alpha: float = math.inf) -> float:
    r"""Share of its final salt that meat has taken from a brine.

    .. math:: M_t/M_\infty = f(Fo, \alpha)

    Parameters
    ----------
    fourier : float
        Dt/L² [-], :func:`fourier_number`.
    alpha : float
        Volume of the brine over that of the meat [-], :func:`brine_to_meat`; without bound for a large one.

    Returns
    -------
    float
        Share [-].

    Raises
    ------
    ValueError
        If the Fourier number is negative or alpha not above zero.

    Notes
    -----
    For a short brine: times the salt at rest it gives the salt then. In a large bath it goes with the square root
    of time up to half full. Raw meat in a brine that is moved now and then.
    Holds everywhere in a slab of raw meat.

    References
    ----------
    .. [1] Crank, eq. 4.18 and 4.37 (from memory).

    Examples
    --------
    >>> round(soaked_share(0.04), 3), round(soaked_share(0.04, alpha=2.0), 3)
    (0.226, 0.311)
    """
    if alpha == math.inf:
        return float(bath_uptake(fourier))
    return float(stirred_bath_uptake(fourier, alpha))


def salt_profile(
    depth_share: npt.ArrayLike, fourier: float, final_fraction: float, *, alpha: float | None = None
) -> FloatArray:
    r"""Salt by depth, for dry salt or for a brine.

    .. math:: p(z) = p_\infty\,c(z/L, Fo, \alpha)

    Parameters
    ----------
    depth_share : array_like
        0 on the treated face, 1 in the middle, or on the far face if only one is treated [-].
    fourier : float
        Dt/L² [-], :func:`fourier_number`.
    final_fraction : float
        Salt once all is even [kg/kg].
    alpha : float or None
        None for dry salt; for a brine its volume over that of the meat [-], without bound for a large one.

    Returns
    -------
    FloatArray
        Salt over meat [kg/kg], shape of the depths.

    Raises
    ------
    ValueError
        If a depth lies outside the piece, a fraction is not from 0 to 1, or a number is out of range.

    Notes
    -----
    What is left of dry salt on the face in the first minutes is counted as in it. Raw meat; no drip.
    Holds everywhere in a slab of raw meat.

    References
    ----------
    .. [1] Crank, eq. 4.17, 4.36 and 4.57 (from memory).

    Examples
    --------
    >>> salt_profile([0.0, 1.0], 0.304, 0.012).round(4).tolist()
    [0.0132, 0.0108]
    """
    require_fraction(final_fraction=final_fraction)
    if alpha is None:
        return final_fraction * dose_profile(depth_share, fourier)
    if alpha == math.inf:
        return final_fraction * bath_profile(depth_share, fourier)
    return final_fraction * stirred_bath_profile(depth_share, fourier, alpha)


def travelled_to_even_m2(thickness_m: float, within: float, *, faces: int = 2, alpha: float | None = None) -> float:
    r"""Dt until salt is even: everywhere within a share of its final value.

    .. math:: Dt = \min\{L^2 Fo : |c(z/L, Fo)/c_\infty - 1| \le \varepsilon\ \text{for all } z\}

    Parameters
    ----------
    thickness_m : float
        Thickness [m].
    within : float
        Share either way [-], between 0 and 1: 0.1 for nine to eleven tenths.
    faces : int
        Open treated faces, 1 or 2.
    alpha : float or None
        None for dry salt; for a brine its volume over that of the meat [-], without bound for a large one.

    Returns
    -------
    float
        Dt [m2]; over the diffusivity it is the time [s].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    The face is the last to come down under dry salt or in a small brine, the middle the last to come up; both are
    asked. Piece and salt as in :func:`salt_profile`.
    Holds everywhere in a slab of raw meat.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> round(travelled_to_even_m2(0.025, 0.1) / 4e-10 / 3600)
    33
    """
    require_positive(thickness_m=thickness_m)
    if not 0 < within < 1:
        raise ValueError(f"within must lie between 0 and 1, got {within}")
    low, high = 0.0, _LONGEST_FOURIER
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        ends = salt_profile([0.0, 1.0], middle, 1.0, alpha=alpha)
        even = max(abs(float(ends[0]) - 1), abs(float(ends[1]) - 1)) <= within
        low, high = (low, middle) if even else (middle, high)
    return high / fourier_number(1.0, thickness_m, faces)


def carried_salt_kg(area_m2: float, film_m: float, density_kg_m3: float, salt_fraction: float) -> float:
    r"""Salt that a film of marinade left on the meat carries into the cook, A h ρ p.

    .. math:: s = A\,h\,\rho\,p

    Parameters
    ----------
    area_m2 : float
        Surface of the meat [m2].
    film_m : float
        Thickness of what stays after draining or wiping [m].
    density_kg_m3 : float
        Density of the marinade [kg/m3].
    salt_fraction : float
        Salt in it [kg/kg].

    Returns
    -------
    float
        Salt [kg].

    Raises
    ------
    ValueError
        If a value is negative, the density is not above zero or the fraction not from 0 to 1.

    Warns
    -----
    OutsideRange
        If the thickness of the film lies outside 0 to 3 mm.
        If the density lies outside 900 to 1300 kg/m3.

    Notes
    -----
    For what clings, not for what has gone in. Films above 3 mm are no films, and warn.

    References
    ----------
    None: a product.

    Examples
    --------
    >>> round(carried_salt_kg(0.06, 2e-4, 1100.0, 0.05) * 1000, 2)
    0.66
    """
    require_not_negative(area_m2=area_m2, film_m=film_m)
    require_positive(density_kg_m3=density_kg_m3)
    require_fraction(salt_fraction=salt_fraction)
    warn_outside("salt carried by a film", "thickness of the film", film_m * 1000, 0.0, 3.0, "mm")
    warn_outside("salt carried by a film", "density", density_kg_m3, 900.0, _DENSEST_KG_M3, "kg/m3")
    return area_m2 * film_m * density_kg_m3 * salt_fraction
