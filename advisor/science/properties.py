r"""How well meat carries and holds heat, from what it is made of.

Each component of a food has formulas of its own, in powers of the temperature in °C; a mixture follows from them
[1]_:

.. math::
    \frac1\rho = \sum_i\frac{x_i}{\rho_i},\quad c_p=\sum_i x_i c_i,\quad v_i = \rho\,x_i/\rho_i,\quad
    k_\parallel = \sum_i v_i k_i,\quad \frac1{k_\perp}=\sum_i\frac{v_i}{k_i},\quad \alpha = \frac{k}{\rho c_p}

The coefficients are part of the named formula, so they stand here and not in the book of rules.

References
----------
.. [1] Y. Choi and M. R. Okos, *Effects of temperature and composition on the thermal properties of foods*, in Food
   Engineering and Process Applications 1, Elsevier, 1986, as printed in ASHRAE Handbook Refrigeration 2006, chapter 9,
   Tables 1 and 2 (read through a property library that cites them).
"""

from __future__ import annotations

from dataclasses import astuple, dataclass
from typing import Literal, TypeAlias, get_args

import numpy as np
import numpy.typing as npt

from advisor.science.history import FloatArray, celsius_array, require_fraction
from advisor.science.validity import warn_outside

Mixing: TypeAlias = Literal["mean", "parallel", "series", "levy"]
"""How heat is taken to cross the components: side by side, one after the other, half way between the two, or, with
ice, ice and the rest (side by side) strewn through each other."""

_MODEL = "heat properties from composition"
_COLDEST_C, _THAWED_C, _HOTTEST_C = -40.0, 0.0, 150.0
_ROUNDING = 1e-6
_FATTEST = 0.5

# Powers 0, 1 and 2 of the temperature, in the order of the fields of Composition:
# water, protein, fat, ash, carbohydrate, fibre, ice.
_CONDUCTIVITY_W_MK = np.array(
    [
        [0.57109, 1.7625e-3, -6.7036e-6],
        [0.17881, 1.1958e-3, -2.7178e-6],
        [0.18071, -2.7604e-4, -1.7749e-7],
        [0.32962, 1.4011e-3, -2.9069e-6],
        [0.20141, 1.3874e-3, -4.3312e-6],
        [0.18331, 1.2497e-3, -3.1683e-6],
        [2.2196, -6.2489e-3, 1.0154e-4],
    ]
)
_DENSITY_KG_M3 = np.array(
    [
        [997.18, 3.1439e-3, -3.7574e-3],
        [1329.9, -0.51840, 0.0],
        [925.59, -0.41757, 0.0],
        [2423.8, -0.28063, 0.0],
        [1599.1, -0.31046, 0.0],
        [1311.5, -0.36589, 0.0],
        [916.89, -0.13071, 0.0],
    ]
)
# Water's constant term is 4176.2 in a copy of the 1986 paper and 4128.9 in ASHRAE 2006 and what follows it. Pure water
# at 25 °C has 4180, so the paper's stands here; beef comes out 1 % higher with it.
_SPECIFIC_HEAT_J_KGK = np.array(
    [
        [4176.2, -9.0864e-2, 5.4731e-3],
        [2008.2, 1.2089, -1.3129e-3],
        [1984.2, 1.4733, -4.8008e-3],
        [1092.6, 1.8896, -3.6817e-3],
        [1548.8, 1.9625, -5.9399e-3],
        [1845.9, 1.8306, -4.6509e-3],
        [2062.3, 6.0769, 0.0],
    ]
)


@dataclass(frozen=True, slots=True)
class Composition:
    """What a piece of food is made of, as shares of its mass.

    Parameters
    ----------
    water, protein, fat, ash : float
        Mass fractions [kg/kg]; water is the liquid part.
    carbohydrate, fibre : float
        Mass fractions [kg/kg]; meat has next to none.
    ice : float
        Mass fraction of frozen water [kg/kg].

    Raises
    ------
    ValueError
        If a fraction does not lie from 0 to 1, or they do not add up to 1.

    Notes
    -----
    Holds everywhere: any meat whose parts add up to 1, to a millionth.

    Examples
    --------
    >>> Composition(0.71, 0.22, 0.06, 0.01).fat
    0.06
    >>> Composition(0.71, 0.22, 0.16, 0.01)
    Traceback (most recent call last):
    ...
    ValueError: the mass fractions must add up to 1, got 1.1
    """

    water: float
    protein: float
    fat: float
    ash: float
    carbohydrate: float = 0.0
    fibre: float = 0.0
    ice: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a composition that cannot be."""
        require_fraction(
            water=self.water,
            protein=self.protein,
            fat=self.fat,
            ash=self.ash,
            carbohydrate=self.carbohydrate,
            fibre=self.fibre,
            ice=self.ice,
        )
        total = sum(astuple(self))
        if abs(total - 1) > _ROUNDING:
            raise ValueError(f"the mass fractions must add up to 1, got {total:.6g}")

    @property
    def fractions(self) -> FloatArray:
        """The seven mass fractions [kg/kg], in the order of the fields."""
        return np.array(astuple(self), dtype=np.float64)


LEAN = Composition(71 / 94, 22 / 94, 0.0, 1 / 94)
"""The part of meat that is not fat: water, protein and ash as 71 : 22 : 1, from lean beef. An estimate for other meat:
chicken breast has 76 : 23 : 1 by the same reckoning, brisket 72 : 21 : 1."""


def lean_with_fat(fat_fraction: float, lean: Composition = LEAN) -> Composition:
    r"""Composition of meat of which only the fat is known.

    .. math:: x_i = (1 - x_{fat})\,x_i^{lean}

    Parameters
    ----------
    fat_fraction : float
        Mass fraction of fat [kg/kg].
    lean : Composition
        What is not fat; must hold no fat itself.

    Returns
    -------
    Composition
        The mixture.

    Raises
    ------
    ValueError
        If the fat does not lie from 0 to 1, or the lean part holds fat.

    Warns
    -----
    OutsideRange
        If the fat lies outside 0 to 0.5.

    Notes
    -----
    From 0 to 0.5 of fat: the fattest pork whose measured conductivity it is held against has 0.48. An estimate: lean
    parts differ by about 0.01 in water and protein. Raw meat only; cooked meat has lost water.

    Examples
    --------
    >>> made = lean_with_fat(0.06)
    >>> round(made.water, 3), round(made.protein, 3), round(made.ash, 3)
    (0.71, 0.22, 0.01)
    """
    require_fraction(fat_fraction=fat_fraction)
    if lean.fat:
        raise ValueError(f"the lean part must hold no fat, got {lean.fat}")
    warn_outside("composition of meat by its fat", "fat", fat_fraction, 0.0, _FATTEST)
    shares = (1 - fat_fraction) * lean.fractions
    shares[2] = fat_fraction
    return Composition(*(float(share) for share in shares))


def _of_components(coefficients: FloatArray, temps: FloatArray) -> FloatArray:
    """Property of each component, components on the first axis."""
    shaped = coefficients.T.reshape((3, -1) + (1,) * temps.ndim)
    return np.asarray(shaped[0] + temps * (shaped[1] + temps * shaped[2]), dtype=np.float64)


def _checked(composition: Composition, temp_c: npt.ArrayLike) -> FloatArray:
    """Temperatures as an array; warn where the formulas do not hold."""
    temps = celsius_array(temp_c)
    if composition.ice:
        warn_outside(_MODEL, "temperature of ice", temps, _COLDEST_C, _THAWED_C, "°C")
    elif composition.water:
        warn_outside(_MODEL, "temperature of water with no ice", temps, _THAWED_C, _HOTTEST_C, "°C")
    else:
        warn_outside(_MODEL, "temperature", temps, _COLDEST_C, _HOTTEST_C, "°C")
    return temps


def _weighted(weights: FloatArray, values: FloatArray) -> FloatArray:
    """Sum over the components."""
    return np.asarray(np.tensordot(weights, values, axes=1), dtype=np.float64)


def density(composition: Composition, temp_c: npt.ArrayLike) -> FloatArray:
    r"""Density of a food without pores.

    .. math:: 1/\rho = \sum_i x_i/\rho_i

    Parameters
    ----------
    composition : Composition
        What it is made of.
    temp_c : array_like
        Temperatures [°C], any shape.

    Returns
    -------
    FloatArray
        Density [kg/m3], of the same shape.

    Raises
    ------
    ValueError
        If a temperature is missing or below absolute zero.

    Warns
    -----
    OutsideRange
        Outside -40 to 150 °C; with water and no ice below 0 °C; with ice above 0 °C.

    Notes
    -----
    Checked from -40 to 150 °C. Liquid water was fitted from 0 °C up; the formula is carried on below for the part of
    the water that does not freeze.

    References
    ----------
    .. [1] Choi and Okos 1986, as printed in ASHRAE Refrigeration 2006, ch. 9, Tables 1 and 2 (read through a property
       library) and eq. 6 without pores (from memory).

    Examples
    --------
    >>> round(float(density(Composition(0.71, 0.22, 0.06, 0.01), 20.0)))
    1053
    """
    temps = _checked(composition, temp_c)
    return np.asarray(1 / _weighted(composition.fractions, 1 / _of_components(_DENSITY_KG_M3, temps)))


def specific_heat(composition: Composition, temp_c: npt.ArrayLike) -> FloatArray:
    r"""Specific heat of a food while none of its water freezes or melts.

    .. math:: c_p = \sum_i x_i c_i

    Parameters
    ----------
    composition : Composition
        What it is made of.
    temp_c : array_like
        Temperatures [°C], any shape.

    Returns
    -------
    FloatArray
        Specific heat [J/kg K], of the same shape.

    Raises
    ------
    ValueError
        If a temperature is missing or below absolute zero.

    Warns
    -----
    OutsideRange
        Outside -40 to 150 °C; with water and no ice below 0 °C; with ice above 0 °C.

    Notes
    -----
    Checked from -40 to 150 °C. Fat that melts, between about 0 and 45 °C, takes more than this says. The constant
    term of water is that of the 1986 paper, 4176.2; ASHRAE 2006 prints 4128.9, which pure water contradicts.

    References
    ----------
    .. [1] Choi and Okos 1986, as printed in ASHRAE Refrigeration 2006, ch. 9, Tables 1 and 2 (read through a property
       library); water from a copy of the 1986 paper (read).

    Examples
    --------
    >>> round(float(specific_heat(Composition(0.71, 0.22, 0.06, 0.01), 20.0)))
    3544
    """
    temps = _checked(composition, temp_c)
    return _weighted(composition.fractions, _of_components(_SPECIFIC_HEAT_J_KGK, temps))


def _levy(first: FloatArray, second: FloatArray, share: FloatArray) -> FloatArray:
    """Conductivity of two phases strewn through each other; the same whichever is named first."""
    contrast = (first - second) ** 2 / ((first + second) ** 2 + first * second / 2)
    sum_of_roots = 2 / contrast - 1 + 2 * share
    spread = (sum_of_roots - np.sqrt(sum_of_roots**2 - 8 * share / contrast)) / 2
    step = first - second
    return np.asarray(second * (2 * second + first + 2 * spread * step) / (2 * second + first - spread * step))


def conductivity(composition: Composition, temp_c: npt.ArrayLike, mixing: Mixing = "mean") -> FloatArray:
    r"""Thermal conductivity of a food without pores.

    .. math:: k_\parallel = \sum_i v_i k_i,\quad 1/k_\perp = \sum_i v_i/k_i,\quad k = (k_\parallel + k_\perp)/2

    Levy's form for ice of conductivity :math:`k_1` and volume share :math:`v`, in the rest of :math:`k_2`:

    .. math::
        k = k_2\frac{2k_2 + k_1 + 2F(k_1-k_2)}{2k_2 + k_1 - F(k_1-k_2)},\quad
        F = \tfrac12\left(G - \sqrt{G^2 - 8v/\Lambda}\right),\quad G = \frac2\Lambda - 1 + 2v,\quad
        \Lambda = \frac{(k_1-k_2)^2}{(k_1+k_2)^2 + k_1k_2/2}

    Parameters
    ----------
    composition : Composition
        What it is made of.
    temp_c : array_like
        Temperatures [°C], any shape.
    mixing : {"mean", "parallel", "series", "levy"}
        Components side by side along the heat (the most there can be), one behind the other (the least), the mean, or
        Levy's form for ice, with the rest side by side; without ice that is "parallel".

    Returns
    -------
    FloatArray
        Conductivity [W/m K], of the same shape.

    Raises
    ------
    ValueError
        If the mixing is none of the four, or a temperature is missing or below absolute zero.

    Warns
    -----
    OutsideRange
        Outside -40 to 150 °C; with water and no ice below 0 °C; with ice above 0 °C.

    Notes
    -----
    Checked from -40 to 150 °C. Real meat lies between the two bounds; the mean is our choice, within 7 % of what was
    measured on lean meat without ice. With ice the bounds lie far apart, 0.5 and 1.6 W/m K for lean beef at -20 °C, and
    Levy's form is the one that fits: within 10 % on lamb [2]_.

    References
    ----------
    .. [1] Choi and Okos 1986, as printed in ASHRAE Refrigeration 2006, ch. 9, Tables 1 and 2 (read through a property
       library); parallel and series models there (from memory).
    .. [2] Q. T. Pham and J. Willix, J. Food Science 54 (1989) 508-515, lamb from -40 to 30 °C (abstract read, authors
       from memory): Levy's form of the Maxwell-Eucken equation fits best. F. L. Levy, Int. J. Refrigeration 4 (1981)
       223-225: the equation (from memory).

    Examples
    --------
    >>> lean = Composition(0.71, 0.22, 0.06, 0.01)
    >>> [round(float(conductivity(lean, 20.0, way)), 3) for way in ("series", "mean", "parallel")]
    [0.397, 0.45, 0.502]
    """
    if mixing not in get_args(Mixing):
        raise ValueError(f"mixing must be one of {', '.join(get_args(Mixing))}, got {mixing!r}")
    temps = _checked(composition, temp_c)
    volumes = composition.fractions.reshape((-1,) + (1,) * temps.ndim) / _of_components(_DENSITY_KG_M3, temps)
    volumes = volumes / np.sum(volumes, axis=0)
    each = _of_components(_CONDUCTIVITY_W_MK, temps)
    parallel, series = np.sum(volumes * each, axis=0), 1 / np.sum(volumes / each, axis=0)
    match mixing:
        case "parallel":
            chosen = parallel
        case "series":
            chosen = series
        case "mean":
            chosen = (parallel + series) / 2
        case "levy":
            ice, rest = volumes[-1], np.sum(volumes[:-1], axis=0)
            beside = np.sum(volumes[:-1] * each[:-1], axis=0) / np.where(rest > 0, rest, 1)
            mixed = 0 < composition.ice < 1
            chosen = _levy(each[-1], beside, ice) if mixed else parallel
    return np.asarray(chosen, dtype=np.float64)


def diffusivity(composition: Composition, temp_c: npt.ArrayLike, mixing: Mixing = "mean") -> FloatArray:
    r"""Thermal diffusivity of a food while none of its water freezes or melts.

    .. math:: \alpha = k/(\rho c_p)

    Parameters
    ----------
    composition : Composition
        What it is made of.
    temp_c : array_like
        Temperatures [°C], any shape.
    mixing : {"mean", "parallel", "series", "levy"}
        As for :func:`conductivity`.

    Returns
    -------
    FloatArray
        Diffusivity [m2/s], of the same shape.

    Raises
    ------
    ValueError
        As for :func:`conductivity`.

    Warns
    -----
    OutsideRange
        As for :func:`conductivity`.

    Notes
    -----
    Checked from -40 to 150 °C. Bounds and mean are those of the conductivity.

    References
    ----------
    .. [1] Definition of the diffusivity; components as for :func:`conductivity`.

    Examples
    --------
    >>> round(float(diffusivity(Composition(0.71, 0.22, 0.06, 0.01), 20.0)) * 1e7, 2)
    1.2
    """
    heat_held = density(composition, temp_c) * specific_heat(composition, temp_c)
    return np.asarray(conductivity(composition, temp_c, mixing) / heat_held, dtype=np.float64)
