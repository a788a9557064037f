"""How high up a kitchen stands: the pressure of the air there, and the heat at which water boils in it."""

from __future__ import annotations

import math
from functools import lru_cache

from advisor.science.history import require_positive
from advisor.science.steam import ATMOSPHERE_KPA, saturation_pressure_kpa
from advisor.science.validity import warn_outside

__all__ = ["boiling_point_c", "boils_lower_by_c", "standard_pressure_kpa"]

_SEA_LEVEL_K, _LAPSE_K_M = 288.15, 0.0065
_GRAVITY, _AIR_J_KGK = 9.80665, 287.05287
_EXPONENT = _GRAVITY / (_LAPSE_K_M * _AIR_J_KGK)
_LOWEST_M, _TROPOPAUSE_M = -2000.0, 11000.0
_COLDEST_C, _HOTTEST_C = 0.0, 200.0
_HALVINGS = 60


def standard_pressure_kpa(altitude_m: float) -> float:
    r"""Pressure of the standard atmosphere at a height.

    .. math:: p = p_0\left(1 - \frac{L h}{T_0}\right)^{g/(L R)}

    Parameters
    ----------
    altitude_m : float
        Height above sea level [m].

    Returns
    -------
    float
        Pressure [kPa].

    Raises
    ------
    ValueError
        If the height is missing, or where the formula has no air left.

    Warns
    -----
    OutsideRange
        If the height does not lie from -2000 to 11 000 m.

    Notes
    -----
    From -2000 to 11 000 m. Weather moves the pressure of a place by some 3 %, and so the boiling point by 1 °C.

    References
    ----------
    .. [1] ICAO Doc 7488 / ISO 2533, standard atmosphere, troposphere (from memory).

    Examples
    --------
    >>> round(standard_pressure_kpa(0.0), 3), round(standard_pressure_kpa(2000.0), 2)
    (101.325, 79.5)
    """
    left = 1 - _LAPSE_K_M * altitude_m / _SEA_LEVEL_K
    if not math.isfinite(altitude_m) or left <= 0:
        raise ValueError(f"altitude_m must be a height within the air, got {altitude_m}")
    warn_outside("pressure of the air", "height above the sea", altitude_m, _LOWEST_M, _TROPOPAUSE_M, "m")
    return float(ATMOSPHERE_KPA * left**_EXPONENT)


def boiling_point_c(pressure_kpa: float) -> float:
    r"""Temperature at which water boils under a pressure: where its steam presses as much.

    .. math:: p_s(T_b) = p

    Parameters
    ----------
    pressure_kpa : float
        Pressure [kPa].

    Returns
    -------
    float
        Temperature [°C].

    Raises
    ------
    ValueError
        If the pressure is not above zero.

    Warns
    -----
    OutsideRange
        If the water would boil below 0 or above 200 °C; the nearer end is then given.

    Notes
    -----
    From 0.61 to 1550 kPa, 0 to 200 °C, within 0.05 °C of steam tables up to 100 °C: 99.97 °C at one atmosphere. Of
    water alone; what is dissolved in a sauce lifts it by some tenths.

    References
    ----------
    .. [1] :func:`advisor.science.steam.saturation_pressure_kpa`, solved by halving.

    Examples
    --------
    >>> round(boiling_point_c(101.325), 1), round(boiling_point_c(79.5), 1)
    (100.0, 93.3)
    """
    require_positive(pressure_kpa=pressure_kpa)
    ends = saturation_pressure_kpa(_COLDEST_C), saturation_pressure_kpa(_HOTTEST_C)
    warn_outside("boiling of water", "pressure", pressure_kpa, *ends, "kPa")
    low, high = _COLDEST_C, _HOTTEST_C
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if saturation_pressure_kpa(middle) < pressure_kpa else (low, middle)
    return (low + high) / 2


def boils_lower_by_c(altitude_m: float) -> float:
    r"""How much cooler water boils at a height than at the sea.

    .. math:: \Delta T = T_b(p_0) - T_b(p(h))

    Parameters
    ----------
    altitude_m : float
        Height above sea level [m].

    Returns
    -------
    float
        Difference [K]; nothing at the sea or below it, never negative.

    Raises
    ------
    ValueError
        As :func:`standard_pressure_kpa`.

    Warns
    -----
    OutsideRange
        As :func:`standard_pressure_kpa`; below the sea nothing is told, for nothing is taken off.

    Notes
    -----
    From 0 to 11 000 m, about 1 K for each 300 m. What lies below the sea is taken at the sea, where water boils cooler.

    References
    ----------
    .. [1] See the two functions above.

    Examples
    --------
    >>> round(boils_lower_by_c(2000.0), 1), boils_lower_by_c(-400.0)
    (6.7, 0.0)
    """
    return _lower_by(standard_pressure_kpa(max(0.0, altitude_m)))


@lru_cache(maxsize=64)
def _lower_by(pressure_kpa: float) -> float:
    return boiling_point_c(ATMOSPHERE_KPA) - boiling_point_c(pressure_kpa)
