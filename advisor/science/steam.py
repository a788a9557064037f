r"""Steam and damp air around a wet surface: what it condenses, and how far evaporation keeps the surface cooler.

In saturated steam or air a wet surface does not dry and comes to the temperature of what surrounds it; in drier air it
stays near the wet bulb until it has dried.

References
----------
.. [1] W. Nusselt, Z. Ver. dt. Ing. 60 (1916) 541, as in Holman, *Heat Transfer*, eq. 9-10 (from memory).
.. [2] ASHRAE *Handbook Fundamentals*, chapter on psychrometrics: saturation pressure over water after Hyland and Wexler
   1983, and the balance of the wet bulb (from memory).
"""

from __future__ import annotations

import math
from functools import lru_cache

from advisor.science.constants import ZERO_CELSIUS_K
from advisor.science.convection import STANDARD_GRAVITY
from advisor.science.history import celsius_array, require_fraction, require_positive
from advisor.science.validity import warn_outside

__all__ = ["ATMOSPHERE_KPA", "film_condensation_coefficient", "saturation_pressure_kpa", "wet_bulb_c"]

ATMOSPHERE_KPA = 101.325
"""Standard atmosphere, at sea level [kPa] (exact)."""

_LAMINAR = 0.943
_HYLAND_WEXLER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)
_LOWEST_C, _HIGHEST_C, _HOTTEST_AIR_C = 0.0, 200.0, 300.0
_AIR_KPA = (20.0, 110.0)
_WATER_TO_AIR = 0.621945
_AIR_CP, _VAPOUR_CP, _WATER_CP = 1.006, 1.86, 4.186
_LATENT_0C, _LATENT_SLOPE = 2501.0, 2.326
_SATURATED = 1.0 - 1e-9
_HALVINGS = 60


def film_condensation_coefficient(
    height_m: float,
    difference_k: float,
    density_kg_m3: float,
    conductivity_w_mk: float,
    viscosity_pa_s: float,
    latent_j_kg: float,
) -> float:
    r"""Mean surface coefficient of pure steam that condenses in a smooth film on an upright face.

    .. math:: h = 0.943\left[\frac{\rho^2 g\,h_{fg} k^3}{\mu L\,\Delta T}\right]^{1/4}

    Parameters
    ----------
    height_m : float
        Height L of the face [m].
    difference_k : float
        Steam less face [K].
    density_kg_m3, conductivity_w_mk, viscosity_pa_s : float
        Of the water in the film, at its mean temperature [kg/m3, W/m K, Pa s]; that of the steam is left out.
    latent_j_kg : float
        Heat of condensing [J/kg].

    Returns
    -------
    float
        Surface coefficient [W/m2 K].

    Raises
    ------
    ValueError
        If a value is not above zero.

    Warns
    -----
    OutsideRange
        If the film runs with ripples: Reynolds number above 1800 of the film at the lower edge.

    Notes
    -----
    For a smooth or rippled film, Reynolds number up to 1800; ripples give some 20 % more than this. Pure steam: a
    hundredth part of air in it can halve the coefficient.

    References
    ----------
    .. [1] Nusselt 1916, in Holman eq. 9-10 (from memory); Example 9-1 held by a test.

    Examples
    --------
    >>> round(film_condensation_coefficient(0.3, 2.0, 960.0, 0.68, 2.82e-4, 2255e3), -1)
    13160.0
    """
    require_positive(
        height_m=height_m,
        difference_k=difference_k,
        density_kg_m3=density_kg_m3,
        conductivity_w_mk=conductivity_w_mk,
        viscosity_pa_s=viscosity_pa_s,
        latent_j_kg=latent_j_kg,
    )
    driving = density_kg_m3**2 * STANDARD_GRAVITY * latent_j_kg * conductivity_w_mk**3
    coefficient = _LAMINAR * (driving / (viscosity_pa_s * height_m * difference_k)) ** 0.25
    reynolds = 4 * coefficient * height_m * difference_k / (latent_j_kg * viscosity_pa_s)
    warn_outside("steam condensing in a film", "Reynolds number of the film", reynolds, 0.0, 1800.0)
    return float(coefficient)


def saturation_pressure_kpa(temp_c: float) -> float:
    r"""Pressure of steam in balance with water.

    .. math:: \ln p = c_1/T + c_2 + c_3 T + c_4 T^2 + c_5 T^3 + c_6 \ln T

    Parameters
    ----------
    temp_c : float
        Temperature [°C].

    Returns
    -------
    float
        Pressure [kPa].

    Raises
    ------
    ValueError
        If the temperature is missing or below absolute zero.

    Warns
    -----
    OutsideRange
        If the temperature does not lie from 0 to 200 °C.

    Notes
    -----
    From 0 to 200 °C, within 0.1 % of steam tables up to 100 °C.

    References
    ----------
    .. [1] ASHRAE Fundamentals, eq. 6 of the chapter (from memory).

    Examples
    --------
    >>> round(saturation_pressure_kpa(60.0), 2)
    19.94
    """
    warn_outside("pressure of steam", "temperature", celsius_array(temp_c), _LOWEST_C, _HIGHEST_C, "°C")
    return _pressure(temp_c)


def _pressure(temp_c: float) -> float:
    kelvin = temp_c + ZERO_CELSIUS_K
    c1, c2, c3, c4, c5, c6 = _HYLAND_WEXLER
    exponent = c1 / kelvin + c2 + kelvin * (c3 + kelvin * (c4 + kelvin * c5)) + c6 * math.log(kelvin)
    return math.exp(exponent) / 1000.0


def wet_bulb_c(temp_c: float, humidity: float, pressure_kpa: float = ATMOSPHERE_KPA) -> float:
    r"""Temperature to which air cools a wet surface that evaporates into it.

    .. math:: W = \frac{(2501 - 2.326\,T_w)\,W_s(T_w) - 1.006\,(T - T_w)}{2501 + 1.86\,T - 4.186\,T_w}

    Parameters
    ----------
    temp_c : float
        Temperature of the air [°C].
    humidity : float
        Pressure of the steam in it as a share of the most it can hold [-]; above boiling, the share of steam [-].
    pressure_kpa : float
        Pressure of the air [kPa]; that at the sea where it is not given.

    Returns
    -------
    float
        Wet-bulb temperature [°C]; never above the air's or the boiling point.

    Raises
    ------
    ValueError
        If the temperature is missing or below 0 °C, the humidity does not lie from 0 to 1, or the pressure is not above
        that of steam at 0 °C.

    Warns
    -----
    OutsideRange
        If the air is above 300 °C, or its pressure does not lie from 20 to 110 kPa.

    Notes
    -----
    From 0 to 300 °C and 20 to 110 kPa, from the highest mountains to below the sea. For still or moving air without
    radiation; walls and elements that shine on the meat, and an outside that has dried, make the surface warmer than
    this.

    References
    ----------
    .. [1] ASHRAE Fundamentals, eq. 35 of the chapter, solved by halving (from memory).

    Examples
    --------
    >>> round(wet_bulb_c(30.0, 0.5), 1), round(wet_bulb_c(60.0, 1.0), 1)
    (22.0, 60.0)
    """
    require_fraction(humidity=humidity)
    if float(celsius_array(temp_c)) < _LOWEST_C:
        raise ValueError(f"temp_c must not be below {_LOWEST_C:g} °C, got {temp_c}")
    if not pressure_kpa > _pressure(_LOWEST_C):
        raise ValueError(f"pressure_kpa must be above that of steam at 0 °C, got {pressure_kpa}")
    warn_outside("wet bulb", "temperature of the air", temp_c, _LOWEST_C, _HOTTEST_AIR_C, "°C")
    warn_outside("wet bulb", "pressure of the air", pressure_kpa, *_AIR_KPA, "kPa")
    return _balanced(temp_c, humidity, pressure_kpa)


@lru_cache(maxsize=256)
def _balanced(temp_c: float, humidity: float, whole_kpa: float) -> float:
    boiling = _boiling_c(whole_kpa)
    if humidity >= _SATURATED:
        return min(temp_c, boiling)
    steam = humidity * (_pressure(temp_c) if temp_c < boiling else whole_kpa)
    held = _WATER_TO_AIR * steam / (whole_kpa - steam)

    def cooler(wet_c: float) -> bool:
        """Whether a wet bulb this cold would take up more heat than it gives off."""
        pressure = _pressure(wet_c)
        most = _WATER_TO_AIR * pressure / (whole_kpa - pressure)
        needs = (_LATENT_0C - _LATENT_SLOPE * wet_c) * most - _AIR_CP * (temp_c - wet_c)
        return needs < held * (_LATENT_0C + _VAPOUR_CP * temp_c - _WATER_CP * wet_c)

    low, high = _LOWEST_C, min(temp_c, boiling - 1e-6)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if cooler(middle) else (low, middle)
    return (low + high) / 2


@lru_cache(maxsize=64)
def _boiling_c(whole_kpa: float) -> float:
    """Temperature at which the pressure above comes to that of the air; at the sea a little under 100 °C [°C]."""
    low, high = _LOWEST_C, _HIGHEST_C
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _pressure(middle) < whole_kpa else (low, middle)
    return low
