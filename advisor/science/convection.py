r"""How much heat a surface gives to the air or water around it: surface coefficients from correlations.

The fluid's properties are plain arguments, taken at the mean of surface and fluid temperature. The coefficient is

.. math:: h = \frac{Nu\,k}{L}

with the Nusselt number of still fluid by a vertical face [1]_ or of a stream along a flat one [2]_; in air, radiation
comes on top.

References
----------
.. [1] S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1323-1329, eq. 9 (from memory; through two
   textbooks' worked examples, read).
.. [2] F. P. Incropera and D. P. DeWitt, *Fundamentals of Heat and Mass Transfer*, eqs. 7.30 and 7.38 (read through
   worked examples).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.science.history import FloatArray, kelvin_array, require_fraction, require_not_negative, require_positive
from advisor.science.validity import warn_outside

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of gravity [m/s2] (exact)."""

STEFAN_BOLTZMANN = 5.670374419e-8
"""Stefan-Boltzmann constant [W/m2 K4], CODATA 2018 (exact)."""

_KITCHEN_C = (-40.0, 300.0)
"""From a freezer to the hottest oven [°C]."""

ROUGH_FLOW_REYNOLDS = 5e5
"""Reynolds number at which a stream along a flat plate is taken to turn rough [-]."""


def rayleigh_number(
    height_m: float,
    difference_k: float,
    kinematic_viscosity_m2_s: float,
    prandtl: float,
    expansion_per_k: float,
) -> float:
    r"""Strength of the flow that a warm or cold face sets going in a still fluid.

    .. math:: Ra = \frac{g\,|\beta\,\Delta T|\,L^3\,Pr}{\nu^2}

    Parameters
    ----------
    height_m : float
        Height L of the face [m].
    difference_k : float
        Temperature of the face less that of the fluid [K]; either sign.
    kinematic_viscosity_m2_s : float
        Kinematic viscosity ν [m2/s].
    prandtl : float
        Prandtl number [-].
    expansion_per_k : float
        Thermal expansion β [1/K]; either sign, water shrinks below 4 °C.

    Returns
    -------
    float
        Rayleigh number [-], zero or above.

    Raises
    ------
    ValueError
        If height, viscosity or Prandtl number is not above zero, or a number is missing.

    Notes
    -----
    A definition: holds everywhere that the properties do, which are passed in. Near 4 °C, where water is densest, no
    single expansion describes the flow, and the result means little.

    References
    ----------
    .. [1] Churchill and Chu 1975 (from memory).

    Examples
    --------
    >>> round(rayleigh_number(0.71, 209.0, 26.4e-6, 0.69, 2.5e-3) / 1e9, 2)
    1.82
    """
    require_positive(height_m=height_m, kinematic_viscosity_m2_s=kinematic_viscosity_m2_s, prandtl=prandtl)
    driving = abs(expansion_per_k * difference_k)
    require_not_negative(expansion_times_difference=driving)
    return STANDARD_GRAVITY * driving * height_m**3 * prandtl / kinematic_viscosity_m2_s**2


def nusselt_vertical_plate(rayleigh: npt.ArrayLike, prandtl: float) -> FloatArray:
    r"""Nusselt number of a vertical face in still fluid, smooth and rough flow.

    .. math:: Nu = \left(0.825 + \frac{0.387\,Ra^{1/6}}{\left[1+(0.492/Pr)^{9/16}\right]^{8/27}}\right)^2

    Parameters
    ----------
    rayleigh : array_like
        Rayleigh numbers over the height [-], any shape.
    prandtl : float
        Prandtl number [-].

    Returns
    -------
    FloatArray
        Nusselt numbers over the height [-], of the same shape.

    Raises
    ------
    ValueError
        If a Rayleigh number is negative or missing, or the Prandtl number is not above zero.

    Warns
    -----
    OutsideRange
        If a Rayleigh number does not lie from 0.1 to 1e12.

    Notes
    -----
    Checked for 0.1 < Ra < 1e12 and any Prandtl number. Within about 10 % of measured plates; in smooth flow (Ra below
    1e9) a little on the low side.

    References
    ----------
    .. [1] Churchill and Chu 1975, eq. 9 (from memory; through two textbooks' worked examples, read).

    Examples
    --------
    >>> round(float(nusselt_vertical_plate(1.813e9, 0.69)), 1)
    147.1
    """
    require_positive(prandtl=prandtl)
    numbers = np.asarray(rayleigh, dtype=np.float64)
    if not np.all(np.isfinite(numbers)) or np.any(numbers < 0):
        raise ValueError("rayleigh must be finite numbers, zero or above")
    warn_outside("natural convection at a vertical face", "Rayleigh number", numbers, 0.1, 1e12)
    by_prandtl = (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)
    return np.asarray((0.825 + 0.387 * numbers ** (1 / 6) / by_prandtl) ** 2, dtype=np.float64)


def still_fluid_coefficient(
    height_m: float,
    difference_k: float,
    conductivity_w_mk: float,
    kinematic_viscosity_m2_s: float,
    prandtl: float,
    expansion_per_k: float,
) -> float:
    r"""Surface coefficient of a vertical face in still air or water.

    .. math:: h = Nu(Ra, Pr)\,k/L

    Parameters
    ----------
    height_m : float
        Height L of the face [m].
    difference_k : float
        Temperature of the face less that of the fluid [K]; either sign.
    conductivity_w_mk : float
        Conductivity of the fluid [W/m K].
    kinematic_viscosity_m2_s : float
        Kinematic viscosity of the fluid [m2/s].
    prandtl : float
        Prandtl number of the fluid [-].
    expansion_per_k : float
        Thermal expansion of the fluid [1/K].

    Returns
    -------
    float
        Surface coefficient [W/m2 K], radiation not counted.

    Raises
    ------
    ValueError
        If a size or property is not above zero, or a number is missing.

    Warns
    -----
    OutsideRange
        If the Rayleigh number does not lie from 0.1 to 1e12.

    Notes
    -----
    Checked for 0.1 < Ra < 1e12. Properties at the mean of face and fluid temperature. For one face with room to flow:
    bags that touch, crowd or hide each other get less.

    References
    ----------
    .. [1] Churchill and Chu 1975, eq. 9 (from memory; through two textbooks' worked examples, read).

    Examples
    --------
    >>> round(still_fluid_coefficient(0.71, 209.0, 33.8e-3, 26.4e-6, 0.69, 2.5e-3), 1)
    7.0
    """
    require_positive(conductivity_w_mk=conductivity_w_mk)
    rayleigh = rayleigh_number(height_m, difference_k, kinematic_viscosity_m2_s, prandtl, expansion_per_k)
    return float(nusselt_vertical_plate(rayleigh, prandtl)) * conductivity_w_mk / height_m


def nusselt_flat_plate(reynolds: npt.ArrayLike, prandtl: float) -> FloatArray:
    r"""Nusselt number of a flat face along which a fluid streams.

    .. math::
        Nu = 0.664\,Re^{1/2}Pr^{1/3}\ (Re \le 5\times10^5),\quad Nu = (0.037\,Re^{4/5} - 871)\,Pr^{1/3}

    Parameters
    ----------
    reynolds : array_like
        Reynolds numbers over the length along the stream [-], any shape.
    prandtl : float
        Prandtl number [-].

    Returns
    -------
    FloatArray
        Nusselt numbers over the length [-], of the same shape.

    Raises
    ------
    ValueError
        If a Reynolds number is negative or missing, or the Prandtl number is not above zero.

    Warns
    -----
    OutsideRange
        If a Reynolds number is below 100 or above 1e8, or the Prandtl number does not lie from 0.6 to 60.

    Notes
    -----
    Checked for Re from 100 to 1e8 and Pr from 0.6 to 60. Smooth flow from a sharp edge; a fan's rough stream over a
    blunt piece gives more, so this is the low side.

    References
    ----------
    .. [1] Incropera and DeWitt, eqs. 7.30 and 7.38 (read through worked examples); ranges (from memory).

    Examples
    --------
    >>> nusselt_flat_plate([9600.0, 1e6], 0.7).round(1).tolist()
    [57.8, 1299.5]
    """
    require_positive(prandtl=prandtl)
    numbers = np.asarray(reynolds, dtype=np.float64)
    if not np.all(np.isfinite(numbers)) or np.any(numbers < 0):
        raise ValueError("reynolds must be finite numbers, zero or above")
    warn_outside("stream along a flat face", "Reynolds number", numbers, 100.0, 1e8)
    warn_outside("stream along a flat face", "Prandtl number", prandtl, 0.6, 60.0)
    smooth = 0.664 * np.sqrt(numbers)
    mixed = 0.037 * numbers**0.8 - 871
    return np.asarray(np.where(numbers <= ROUGH_FLOW_REYNOLDS, smooth, mixed) * prandtl ** (1 / 3), dtype=np.float64)


def stream_coefficient(
    length_m: float, speed_m_s: float, conductivity_w_mk: float, kinematic_viscosity_m2_s: float, prandtl: float
) -> float:
    r"""Surface coefficient of a flat face along which air or water streams.

    .. math:: h = Nu(Re, Pr)\,k/L,\quad Re = uL/\nu

    Parameters
    ----------
    length_m : float
        Length L of the face along the stream [m].
    speed_m_s : float
        Speed u of the stream [m/s].
    conductivity_w_mk : float
        Conductivity of the fluid [W/m K].
    kinematic_viscosity_m2_s : float
        Kinematic viscosity of the fluid [m2/s].
    prandtl : float
        Prandtl number of the fluid [-].

    Returns
    -------
    float
        Surface coefficient [W/m2 K], radiation not counted.

    Raises
    ------
    ValueError
        If a size, speed or property is not above zero, or a number is missing.

    Warns
    -----
    OutsideRange
        If the Reynolds number is below 100 or above 1e8, or the Prandtl number does not lie from 0.6 to 60.

    Notes
    -----
    Checked for Re from 100 to 1e8 and Pr from 0.6 to 60. In a slow stream still-fluid flow may give more: take the
    larger.

    References
    ----------
    .. [1] Incropera and DeWitt, eqs. 7.30 and 7.38 (read through worked examples).

    Examples
    --------
    >>> round(stream_coefficient(0.1, 1.5, 0.0245, 1.38e-5, 0.71), 1)
    15.1
    """
    require_positive(
        length_m=length_m,
        speed_m_s=speed_m_s,
        conductivity_w_mk=conductivity_w_mk,
        kinematic_viscosity_m2_s=kinematic_viscosity_m2_s,
    )
    nusselt = nusselt_flat_plate(speed_m_s * length_m / kinematic_viscosity_m2_s, prandtl)
    return float(nusselt) * conductivity_w_mk / length_m


def radiation_coefficient(
    surface_c: npt.ArrayLike, surroundings_c: npt.ArrayLike, emissivity: float = 1.0
) -> FloatArray:
    r"""Surface coefficient that radiation to large surroundings amounts to.

    .. math:: h_r = \varepsilon\sigma\,(T_s^2+T_a^2)(T_s+T_a) \approx 4\varepsilon\sigma\bar T^3

    Parameters
    ----------
    surface_c, surroundings_c : array_like
        Temperatures of the surface and of what it sees [°C].
    emissivity : float
        Emissivity ε of the surface [-]; wet meat has about 0.95.

    Returns
    -------
    FloatArray
        Coefficient [W/m2 K], in the shape of the temperatures together.

    Raises
    ------
    ValueError
        If a temperature is missing or below absolute zero, or the emissivity does not lie from 0 to 1.

    Warns
    -----
    OutsideRange
        If a temperature does not lie from -40 to 300 °C.

    Notes
    -----
    For kitchens, from -40 to 300 °C: hotter, meat chars and flames and hot gas shine beside the walls. The law itself
    is exact for grey surfaces that see nothing but the surroundings. The cube of the mean is low by
    the square of half the difference over the mean: 0.7 % for 50 °C in 0 °C.

    References
    ----------
    .. [1] Law of Stefan and Boltzmann, constant from CODATA 2018 (exact).

    Examples
    --------
    >>> round(float(radiation_coefficient(15.0, 15.0)), 2)
    5.43
    """
    require_fraction(emissivity=emissivity)
    for name, temps in (("surface", surface_c), ("surroundings", surroundings_c)):
        warn_outside("heat by radiation", f"temperature of the {name}", temps, *_KITCHEN_C, "°C")
    warm, around = kelvin_array(surface_c), kelvin_array(surroundings_c)
    return np.asarray(emissivity * STEFAN_BOLTZMANN * (warm**2 + around**2) * (warm + around), dtype=np.float64)
