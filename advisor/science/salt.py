r"""How deep salt goes, and how long until the piece is even.

The weighing out is in :mod:`advisor.science.brine` and passed on from here.

References
----------
.. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., Oxford, 1975, ch. 2 and 4 (from memory).
"""

from __future__ import annotations

import math

from advisor.science.brine import (
    brine_final_fraction,
    dry_salt_kg,
    equilibrium_brine_salt_kg,
    injection_brine_fraction,
    label_salt_pct,
    pump_salt_kg,
    sodium_to_salt,
)
from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.history import require_not_negative, require_positive
from advisor.science.rates import arrhenius_factor
from advisor.science.validity import warn_outside

__all__ = [
    "brine_final_fraction",
    "centre_share_bath",
    "centre_share_dry",
    "dry_salt_kg",
    "equilibrium_brine_salt_kg",
    "hours_to_even",
    "injection_brine_fraction",
    "label_salt_pct",
    "penetration_depth_m",
    "pump_salt_kg",
    "salt_diffusivity",
    "sodium_to_salt",
]

_SWITCH_FOURIER = 0.2
"""Below it the image form converges fast, above it the Fourier form; eight terms of either give 1e-15."""

_TERMS = 8
_HALVINGS = 100
_LONGEST_FOURIER = 100.0
_EITHER_FACE = (1, 2)
_THICKEST_MM = 300.0
_LONGEST_H = 720.0
_RAW_C = (-1.0, 50.0)
"""From where meat freezes to where it begins to shrink and to push salty juice out [°C]."""


def salt_diffusivity(temp_c: float, d_ref_m2_s: float, ref_c: float, activation_kj_mol: float) -> float:
    r"""Diffusivity of salt in raw meat at a temperature.

    .. math:: D = D_{ref}\,\exp\left[-\frac{E_a}{R}\left(\frac1T-\frac1{T_{ref}}\right)\right]

    Parameters
    ----------
    temp_c : float
        Temperature [°C].
    d_ref_m2_s : float
        Diffusivity at the reference [m2/s].
    ref_c : float
        Reference temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Returns
    -------
    float
        Diffusivity [m2/s].

    Raises
    ------
    ValueError
        If a constant is out of range.

    Warns
    -----
    OutsideRange
        If the temperature lies outside -1 to 50 °C.

    Notes
    -----
    Raw meat, -1 to 50 °C; outside it warns, since above 50 °C shrinking meat drives salty juice outward.
    Measurements span fivefold.

    References
    ----------
    .. [1] Pork loin in brine at 5 °C, 1.9e-10 m2/s, 2015 (abstract read).
    .. [2] Bertram et al., J. Agric. Food Chem. 53 (2005) 7814, sodium imaging, 8 to 10e-10 m2/s (abstract read).

    Examples
    --------
    >>> salt_diffusivity(5.0, 4e-10, 5.0, 20.0)
    4e-10
    """
    require_positive(d_ref_m2_s=d_ref_m2_s)
    warn_outside("salt moving in meat", "temperature", temp_c, *_RAW_C, "°C")
    return d_ref_m2_s * float(arrhenius_factor(temp_c, ref_c, activation_kj_mol))


def centre_share_dry(fourier: float) -> float:
    r"""Salt at the centre against its final value, when the whole dose starts on the surface.

    .. math:: 1 + 2\sum_{n\ge1} (-1)^n e^{-n^2\pi^2 Fo}
        = \frac{2}{\sqrt{\pi Fo}} \sum_{n\ge0} e^{-(n+1/2)^2/Fo}

    Parameters
    ----------
    fourier : float
        Dt/L² [-], L half the thickness if both faces are salted, the whole if one is.

    Returns
    -------
    float
        Share [-], 0 at the start and 1 in the end.

    Raises
    ------
    ValueError
        If the Fourier number is negative or not finite.

    Notes
    -----
    Holds everywhere in a slab of constant diffusivity, no drip; the salt dissolves at once. By depth:
    :func:`advisor.science.profile.dose_profile`.
    Holds for raw meat.

    References
    ----------
    .. [1] Crank, eq. 4.57 with a thin source (from memory).

    Examples
    --------
    >>> round(centre_share_dry(0.304), 3)
    0.9
    """
    require_not_negative(fourier=fourier)
    if fourier == 0:
        return 0.0
    if fourier < _SWITCH_FOURIER:
        images = sum(math.exp(-((n + 0.5) ** 2) / fourier) for n in range(_TERMS))
        return 2 / math.sqrt(math.pi * fourier) * images
    waves = sum((-1.0) ** n * math.exp(-((n * math.pi) ** 2) * fourier) for n in range(1, _TERMS))
    return 1 + 2 * waves


def centre_share_bath(fourier: float) -> float:
    r"""Salt at the centre against the surface, when a large bath keeps the surface constant.

    .. math:: 1 - \frac4\pi\sum_{n\ge0} \frac{(-1)^n}{2n+1} e^{-(2n+1)^2\pi^2 Fo/4}
        = 2\sum_{n\ge0} (-1)^n\,\mathrm{erfc}\frac{2n+1}{2\sqrt{Fo}}

    Parameters
    ----------
    fourier : float
        Dt/L² [-], L half the thickness.

    Returns
    -------
    float
        Share [-], 0 at the start and 1 in the end.

    Raises
    ------
    ValueError
        If the Fourier number is negative or not finite.

    Notes
    -----
    Holds everywhere in a slab of constant diffusivity, brine that does not weaken. By depth:
    :func:`advisor.science.profile.bath_profile`; a brine that weakens: :mod:`advisor.science.limited_bath`.
    Holds for raw meat.

    References
    ----------
    .. [1] Crank, eq. 4.17 and 4.15 (from memory).

    Examples
    --------
    >>> round(centre_share_bath(1.03), 3)
    0.9
    """
    require_not_negative(fourier=fourier)
    if fourier == 0:
        return 0.0
    if fourier < _SWITCH_FOURIER:
        return 2 * sum((-1.0) ** n * math.erfc((2 * n + 1) / (2 * math.sqrt(fourier))) for n in range(_TERMS))
    odd = [2 * n + 1 for n in range(_TERMS)]
    waves = sum((-1.0) ** n / m * math.exp(-((m * math.pi / 2) ** 2) * fourier) for n, m in enumerate(odd))
    return 1 - 4 / math.pi * waves


def hours_to_even(thickness_m: float, diffusivity_m2_s: float, share: float, salted_faces: int = 2) -> float:
    r"""Time until dry salt at the centre has reached a share of its final value.

    .. math:: t = Fo(c)\,\frac{(d/n)^2}{D}

    Parameters
    ----------
    thickness_m : float
        Thickness of the piece [m].
    diffusivity_m2_s : float
        Diffusivity of salt [m2/s].
    share : float
        Share of the final value [-], between 0 and 1.
    salted_faces : int
        2 if both faces are salted, 1 if one is.

    Returns
    -------
    float
        Hours [h].

    Raises
    ------
    ValueError
        If a value is out of range.

    Warns
    -----
    OutsideRange
        If the thickness lies outside 0 to 300 mm.

    Notes
    -----
    Slab with open lean faces; fat and silverskin let next to nothing through, so count such a face as not
    salted. Slabs beyond 0.3 m are no kitchen's, and warn.

    References
    ----------
    .. [1] Crank, see the module.

    Examples
    --------
    >>> round(hours_to_even(0.025, 4e-10, 0.9))
    33
    """
    require_positive(thickness_m=thickness_m, diffusivity_m2_s=diffusivity_m2_s)
    if not 0 < share < 1:
        raise ValueError(f"share must lie between 0 and 1, got {share}")
    if salted_faces not in _EITHER_FACE:
        raise ValueError(f"salted_faces must be 1 or 2, got {salted_faces}")
    warn_outside("salt moving in meat", "thickness", thickness_m * 1000, 0.0, _THICKEST_MM, "mm")
    low, high = 0.0, _LONGEST_FOURIER
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if centre_share_dry(middle) < share else (low, middle)
    return high * (thickness_m / salted_faces) ** 2 / diffusivity_m2_s / SECONDS_PER_HOUR


def penetration_depth_m(diffusivity_m2_s: float, time_s: float) -> float:
    r"""Depth of the front, :math:`\sqrt{Dt}`.

    Parameters
    ----------
    diffusivity_m2_s : float
        Diffusivity [m2/s].
    time_s : float
        Time [s].

    Returns
    -------
    float
        Depth [m]; with the surface held constant the concentration there is erfc(1/2), 48 % of the surface's.

    Raises
    ------
    ValueError
        If the diffusivity is not above zero or the time negative.

    Warns
    -----
    OutsideRange
        If the time lies outside 0 to 720 h.

    Notes
    -----
    For raw meat, up to 30 days, beyond which it has aged into something else. While the depth is well under half the
    thickness, which the caller knows and this does not; a length scale beyond it all the same.

    References
    ----------
    .. [1] Crank, eq. 2.45 (from memory).

    Examples
    --------
    >>> round(penetration_depth_m(4e-10, 86400.0) * 1000, 1)
    5.9
    """
    require_positive(diffusivity_m2_s=diffusivity_m2_s)
    require_not_negative(time_s=time_s)
    warn_outside("depth of what moves into meat", "time", time_s / SECONDS_PER_HOUR, 0.0, _LONGEST_H, "h")
    return math.sqrt(diffusivity_m2_s * time_s)
