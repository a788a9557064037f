r"""What freezes in meat as it gets colder, and how much heat that holds and carries.

Meat has no melting point: the juice that is left grows saltier as ice forms, and freezes at a lower temperature still.
Some water never freezes, bound to the protein. Below the temperature :math:`T_f` (in °C) where ice first forms

.. math::
    x_{ice} = x_f\left(1-\frac{T_f}{T}\right),\quad
    H = C\,(T-T_f) - \rho\,x_{ice}\,(L_0 + sT),\quad
    k = k_u + (k_f-k_u)\frac{x_{ice}}{x_f}

with :math:`x_f` the water that can freeze, C the heat capacity of thawed meat, and :math:`L_0 + sT` the heat of melting
at T. Heat and temperature give each other in closed form, and so does the integral of the conductivity.

References
----------
.. [1] The ice by the law of dilute solutions, with 0.4 kg of bound water for each kg of protein: H. G. Schwartzberg, J.
   Food Science 41 (1976) 152-156, and ASHRAE Handbook Refrigeration, ch. 9, eqs. 2 and 3 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.science.conduction import ThermalBody
from advisor.science.history import FloatArray, celsius_array, require_fraction, require_not_negative, require_positive
from advisor.science.properties import Composition, conductivity, density, diffusivity
from advisor.science.validity import warn_outside

LATENT_HEAT_J_KG = 333.6e3
"""Heat that melts ice at 0 °C [J/kg]."""

LATENT_SLOPE_J_KGK = 2180.0
"""How much less it takes for each degree below [J/kg K]: water's specific heat less that of ice at -10 °C."""

BOUND_WATER = 0.4
"""Water that does not freeze, for each kg of protein [kg/kg] (Schwartzberg 1976, from memory)."""

_THAWED_AT_C, _FROZEN_AT_C = 5.0, -20.0
_LOWEST_FREEZING_C = -10.0
_COLDEST_C = -40.0


@dataclass(frozen=True, slots=True)
class FrozenBody:
    """A piece of meat that may hold ice, as conduction sees it.

    Parameters
    ----------
    half_thickness_m : float
        Distance R from the centre to the surface [m].
    shape_exponent : float
        β [-]: 0 for a slab, 1 for a long cylinder, 2 for a sphere, between for blocks.
    diffusivity_m2_s, conductivity_w_mk : float
        Of thawed meat [m2/s], [W/m K].
    frozen_conductivity_w_mk : float
        With all the water frozen that can freeze [W/m K].
    density_kg_m3 : float
        Density [kg/m3], taken as the same thawed and frozen.
    freezable_water : float
        Mass fraction of water that can freeze [kg/kg].
    freezing_c : float
        Temperature at which ice first forms [°C].
    cells : int
        Shells between centre and surface [-].

    Raises
    ------
    ValueError
        If a size or property is not above zero, the water does not lie from 0 to 1, ice forms at 0 °C or above or
        below -10 °C, or the water is more than the heat capacity allows.

    Notes
    -----
    Swelling on freezing, 5 to 6 % of the volume, is left out. See :func:`advisor.science.freezing.frozen_leg` for the
    error of the cells.

    Examples
    --------
    >>> FrozenBody(0.025, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66).cells
    24
    """

    half_thickness_m: float
    shape_exponent: float
    diffusivity_m2_s: float
    conductivity_w_mk: float
    frozen_conductivity_w_mk: float
    density_kg_m3: float
    freezable_water: float
    freezing_c: float = -1.0
    cells: int = 24

    def __post_init__(self) -> None:
        """Refuse a body that cannot exist."""
        _ = self.thawed
        require_positive(
            frozen_conductivity_w_mk=self.frozen_conductivity_w_mk,
            density_kg_m3=self.density_kg_m3,
            freezable_water=self.freezable_water,
        )
        require_fraction(freezable_water=self.freezable_water)
        if not _LOWEST_FREEZING_C <= self.freezing_c < 0:
            raise ValueError(f"freezing_c must lie below 0 °C and not below -10 °C, got {self.freezing_c}")
        if self.heat_capacity <= self.density_kg_m3 * self.freezable_water * LATENT_SLOPE_J_KGK:
            raise ValueError(
                f"{self.freezable_water} kg/kg of water that freezes is more than a heat capacity of "
                f"{self.heat_capacity:.3g} J/m3 K allows"
            )

    @property
    def thawed(self) -> ThermalBody:
        """The same piece without ice."""
        return ThermalBody(
            self.half_thickness_m, self.shape_exponent, self.diffusivity_m2_s, self.conductivity_w_mk, self.cells
        )

    @property
    def heat_capacity(self) -> float:
        """Heat capacity of thawed meat [J/m3 K]."""
        return self.conductivity_w_mk / self.diffusivity_m2_s


def frozen_body(
    half_thickness_m: float,
    shape_exponent: float,
    composition: Composition,
    freezing_c: float = -1.0,
    bound_water: float = BOUND_WATER,
    cells: int = 24,
) -> FrozenBody:
    r"""Make a body from what the meat is made of.

    .. math:: x_f = x_{water} - b\,x_{protein}

    Parameters
    ----------
    half_thickness_m : float
        Distance from the centre to the surface [m].
    shape_exponent : float
        β [-], 0 for a slab to 2 for a sphere.
    composition : Composition
        The thawed meat, without ice.
    freezing_c : float
        Temperature at which ice first forms [°C].
    bound_water : float
        Water that does not freeze, for each kg of protein [kg/kg].
    cells : int
        Shells between centre and surface [-].

    Returns
    -------
    FrozenBody
        With the properties of thawed meat at 5 °C and of frozen meat at -20 °C.

    Raises
    ------
    ValueError
        If the meat holds ice, or no water of it can freeze.

    Notes
    -----
    Thawed conductivity is the mean of the components side by side and one behind the other; frozen, Levy's form, 5 %
    less than measured on lean beef. The properties warn outside their own range.

    References
    ----------
    .. [1] See :mod:`advisor.science.properties`; bound water after Schwartzberg 1976 (from memory).

    Examples
    --------
    >>> body = frozen_body(0.025, 0.0, Composition(0.71, 0.22, 0.06, 0.01))
    >>> round(body.freezable_water, 3), round(body.frozen_conductivity_w_mk, 2)
    (0.622, 1.31)
    """
    require_not_negative(bound_water=bound_water)
    if composition.ice:
        raise ValueError(f"composition must be that of the thawed meat, got {composition.ice} of ice")
    freezable = composition.water - bound_water * composition.protein
    require_positive(freezable_water=freezable)
    all_frozen = Composition(
        composition.water - freezable,
        composition.protein,
        composition.fat,
        composition.ash,
        composition.carbohydrate,
        composition.fibre,
        freezable,
    )
    return FrozenBody(
        half_thickness_m,
        shape_exponent,
        float(diffusivity(composition, _THAWED_AT_C)),
        float(conductivity(composition, _THAWED_AT_C)),
        float(conductivity(all_frozen, _FROZEN_AT_C, "levy")),
        float(density(composition, _THAWED_AT_C)),
        freezable,
        freezing_c,
        cells,
    )


def ice_fraction(body: FrozenBody, temp_c: npt.ArrayLike) -> FloatArray:
    r"""Ice in meat at a temperature.

    .. math:: x_{ice} = x_f\,(1 - T_f/T),\quad T < T_f

    Parameters
    ----------
    body : FrozenBody
        The meat.
    temp_c : array_like
        Temperatures [°C], any shape.

    Returns
    -------
    FloatArray
        Mass fraction of ice [kg/kg], of the same shape.

    Raises
    ------
    ValueError
        If a temperature is missing or below absolute zero.

    Warns
    -----
    OutsideRange
        If a temperature is below -40 °C.

    Notes
    -----
    From -40 °C. Within 0.07 kg/kg of another formula from -3 to -30 °C, on the low side. Meat that undercools before
    its first ice is left out.

    References
    ----------
    .. [1] Schwartzberg 1976; ASHRAE Refrigeration, ch. 9, eq. 2 (from memory).

    Examples
    --------
    >>> ice_fraction(FrozenBody(0.025, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66), [5.0, -2.0, -20.0]).round(3).tolist()
    [0.0, 0.33, 0.627]
    """
    temps = celsius_array(temp_c)
    warn_outside("ice in meat", "temperature", np.minimum(temps, 0.0), _COLDEST_C, 0.0, "°C")
    icy = np.minimum(temps, body.freezing_c)
    return np.asarray(body.freezable_water * (1 - body.freezing_c / icy), dtype=np.float64)


def heat_content(body: FrozenBody, temp_c: npt.ArrayLike) -> FloatArray:
    r"""Heat that meat holds, counted from thawed meat at the temperature where ice first forms.

    .. math:: H = C\,(T-T_f) - \rho\,x_{ice}\,(L_0 + sT)

    Parameters
    ----------
    body : FrozenBody
        The meat.
    temp_c : array_like
        Temperatures [°C], any shape.

    Returns
    -------
    FloatArray
        Heat [J/m3], of the same shape; rises with the temperature.

    Raises
    ------
    ValueError
        If a temperature is missing or below absolute zero.

    Warns
    -----
    OutsideRange
        If a temperature is below -40 °C.

    Notes
    -----
    From -40 °C. Heat of melting at T is right to 0.1 % down to -20 °C and 1 % to -40 °C, by the specific heats of water
    and ice.

    References
    ----------
    .. [1] Balance of enthalpy with the ice of :func:`ice_fraction`.

    Examples
    --------
    >>> body = FrozenBody(0.025, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
    >>> (heat_content(body, [-18.0, -1.0, 4.0]) / 1e6).round(1).tolist()
    [-255.4, 0.0, 18.5]
    """
    temps = celsius_array(temp_c)
    melting = body.density_kg_m3 * ice_fraction(body, temps) * (LATENT_HEAT_J_KG + LATENT_SLOPE_J_KGK * temps)
    return np.asarray(body.heat_capacity * (temps - body.freezing_c) - melting, dtype=np.float64)


def temperature_of_heat(body: FrozenBody, heat_j_m3: npt.ArrayLike) -> FloatArray:
    r"""Temperature of meat that holds a given heat: the inverse of :func:`heat_content`.

    .. math::
        (C-\rho x_f s)\,T^2 - \left(C T_f + \rho x_f(L_0 - sT_f) + H\right)T + \rho x_f L_0 T_f = 0,\quad H < 0

    Parameters
    ----------
    body : FrozenBody
        The meat.
    heat_j_m3 : array_like
        Heat [J/m3], any shape.

    Returns
    -------
    FloatArray
        Temperatures [°C], of the same shape.

    Notes
    -----
    Holds everywhere on the curve, which :func:`heat_content` checks: the equation has one root below zero, and that is
    the one.

    References
    ----------
    .. [1] :func:`heat_content` times T.

    Examples
    --------
    >>> body = FrozenBody(0.025, 0.0, 1.3e-7, 0.48, 1.4, 1050.0, 0.66)
    >>> temperature_of_heat(body, heat_content(body, [-18.0, -1.5, 4.0])).round(9).tolist()
    [-18.0, -1.5, 4.0]
    """
    heat = np.asarray(heat_j_m3, dtype=np.float64)
    icy = np.minimum(heat, 0.0)
    water = body.density_kg_m3 * body.freezable_water
    square = body.heat_capacity - water * LATENT_SLOPE_J_KGK
    last = water * LATENT_HEAT_J_KG * body.freezing_c
    linear = (
        -body.heat_capacity * body.freezing_c - water * (LATENT_HEAT_J_KG - LATENT_SLOPE_J_KGK * body.freezing_c) - icy
    )
    root = np.sqrt(linear**2 - 4 * square * last)
    # the form of the root that does not take nearly equal numbers from each other
    cold = np.where(linear > 0, -(linear + root) / (2 * square), 2 * last / np.where(linear > 0, np.inf, root - linear))
    return np.asarray(np.where(heat < 0, cold, body.freezing_c + heat / body.heat_capacity), dtype=np.float64)
