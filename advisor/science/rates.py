"""Rates that depend on temperature: Arrhenius and Eyring forms, shared by enzymes, salt, collagen and colour.

References
----------
.. [1] Arrhenius (1889) and Eyring (1935) rate laws, as in any text of physical chemistry (from memory).
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from advisor.science.constants import BOLTZMANN, GAS_CONSTANT, PLANCK
from advisor.science.history import FloatArray, kelvin_array, require_not_negative, require_positive
from advisor.science.validity import warn_outside

_LOSS = "loss of an enzyme by heat"
LIVING_C = (-1.0, 90.0)
"""From where meat freezes to the hottest at which the loss of an enzyme put on meat was measured, papain [°C]."""


def within_measured(model: str, temp_c: npt.ArrayLike, measured_c: tuple[float, float] | None) -> None:
    """Warn when a temperature lies outside those a rate was measured at; nothing when they are not known.

    Parameters
    ----------
    model : str
        What is computed, in plain words.
    temp_c : array_like
        Temperatures [°C], any shape.
    measured_c : tuple of float or None
        Lowest and highest temperature measured [°C].

    Raises
    ------
    ValueError
        If the range runs from high to low.

    Warns
    -----
    OutsideRange
        With the temperature farthest out.

    Notes
    -----
    The range belongs to the data, so it is passed in.

    References
    ----------
    None; see :mod:`advisor.science.validity`.

    Examples
    --------
    >>> within_measured("loss of an enzyme by heat", 60.0, (55.0, 67.0))
    """
    if measured_c is None:
        return
    low, high = measured_c
    if not low <= high:
        raise ValueError(f"measured_c must run from the lower to the higher, got {low} and {high}")
    warn_outside(model, "temperature", temp_c, low, high, "°C")


def arrhenius_factor(temp_c: npt.ArrayLike, ref_c: float, activation_kj_mol: float) -> FloatArray:
    r"""How much faster a process runs than at a reference temperature.

    .. math:: \exp\left[-\frac{E_a}{R}\left(\frac1T-\frac1{T_{ref}}\right)\right]

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    ref_c : float
        Reference temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Returns
    -------
    FloatArray
        Ratio of rates [-], 1 at the reference.

    Raises
    ------
    ValueError
        If the activation energy is negative.

    Notes
    -----
    The law itself holds everywhere; the constants do not. Who has their range checks it with :func:`within_measured`.

    References
    ----------
    .. [1] Arrhenius, see the module.

    Examples
    --------
    >>> float(arrhenius_factor(55.0, 55.0, 45.0))
    1.0
    """
    require_not_negative(activation_kj_mol=activation_kj_mol)
    inverse = 1 / kelvin_array(temp_c) - 1 / float(kelvin_array(ref_c))
    return np.exp(-activation_kj_mol * 1000 / GAS_CONSTANT * inverse)


def arrhenius_loss_rate(
    temp_c: npt.ArrayLike,
    prefactor_per_s: float,
    activation_kj_mol: float,
    *,
    measured_c: tuple[float, float] | None = None,
) -> FloatArray:
    r"""First-order loss from a prefactor, k = A exp(-Ea/RT).

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    prefactor_per_s : float
        A [1/s].
    activation_kj_mol : float
        Activation energy [kJ/mol].
    measured_c : tuple of float, optional
        Lowest and highest temperature it was measured at [°C].

    Returns
    -------
    FloatArray
        Rates [1/s].

    Raises
    ------
    ValueError
        If a constant is not above zero, or the range runs from high to low.

    Notes
    -----
    Good within `measured_c`, where it is given, and warns beyond; a high activation energy makes it very steep
    there.

    References
    ----------
    .. [1] Arrhenius, see the module.

    Examples
    --------
    >>> round(math.log(2) / float(arrhenius_loss_rate(60.0, 1.37e50 / 60, 326.0)) / 60, 1)
    6.6
    """
    require_positive(prefactor_per_s=prefactor_per_s, activation_kj_mol=activation_kj_mol)
    within_measured(_LOSS, temp_c, measured_c)
    # One exponential of the sum: A alone may be far beyond, and exp(-Ea/RT) far below, what is comfortable.
    power = math.log(prefactor_per_s) - activation_kj_mol * 1000 / (GAS_CONSTANT * kelvin_array(temp_c))
    return np.exp(power)


def eyring_loss_rate(
    temp_c: npt.ArrayLike,
    enthalpy_kj_mol: float,
    entropy_j_mol_k: float,
    *,
    measured_c: tuple[float, float] | None = None,
) -> FloatArray:
    r"""First-order loss from enthalpy and entropy of activation.

    .. math:: k = \frac{k_B T}{h}\,e^{\Delta S/R}\,e^{-\Delta H/(RT)}

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    enthalpy_kj_mol : float
        ΔH [kJ/mol].
    entropy_j_mol_k : float
        ΔS [J/mol K], either sign.
    measured_c : tuple of float, optional
        Lowest and highest temperature it was measured at [°C].

    Returns
    -------
    FloatArray
        Rates [1/s].

    Raises
    ------
    ValueError
        If the enthalpy is not above zero, or the range runs from high to low.

    Notes
    -----
    Good within `measured_c`, where it is given, and warns beyond.

    References
    ----------
    .. [1] Eyring, see the module.

    Examples
    --------
    >>> round(math.log(2) / float(eyring_loss_rate(60.0, 91.4, -49.6)) / 60)
    139
    """
    require_positive(enthalpy_kj_mol=enthalpy_kj_mol)
    within_measured(_LOSS, temp_c, measured_c)
    kelvin = kelvin_array(temp_c)
    power = entropy_j_mol_k / GAS_CONSTANT - enthalpy_kj_mol * 1000 / (GAS_CONSTANT * kelvin)
    return BOLTZMANN * kelvin / PLANCK * np.exp(power)


def reference_loss_rate(
    temp_c: npt.ArrayLike,
    rate_per_s_at_ref: float,
    ref_c: float,
    activation_kj_mol: float,
    *,
    measured_c: tuple[float, float] | None = None,
) -> FloatArray:
    r"""First-order loss from its value at one temperature.

    .. math:: k = k_{ref}\exp\left[-\frac{E_a}{R}\left(\frac1T-\frac1{T_{ref}}\right)\right]

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    rate_per_s_at_ref : float
        Rate at the reference [1/s].
    ref_c : float
        Reference temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].
    measured_c : tuple of float, optional
        Lowest and highest temperature it was measured at [°C].

    Returns
    -------
    FloatArray
        Rates [1/s].

    Raises
    ------
    ValueError
        If the rate or the activation energy is negative, or the range runs from high to low.

    Notes
    -----
    With one measured point the activation energy is borrowed: give 10 °C on either side of it as `measured_c`. Warns
    beyond `measured_c`, where it is given.

    References
    ----------
    .. [1] Arrhenius, see the module.

    Examples
    --------
    >>> float(reference_loss_rate(50.0, 3e-5, 50.0, 200.0))
    3e-05
    """
    require_not_negative(rate_per_s_at_ref=rate_per_s_at_ref)
    within_measured(_LOSS, temp_c, measured_c)
    return rate_per_s_at_ref * arrhenius_factor(temp_c, ref_c, activation_kj_mol)


def equivalent_time_s(time_s: float, temp_c: float, other_c: float, activation_kj_mol: float) -> float:
    r"""Time at another temperature that does the same work, while the enzyme stays alive.

    .. math:: t_2 = t_1\,\frac{a(T_1)}{a(T_2)}

    Parameters
    ----------
    time_s : float
        Time at `temp_c` [s].
    temp_c : float
        Temperature [°C].
    other_c : float
        The other temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Returns
    -------
    float
        Time at `other_c` [s].

    Raises
    ------
    ValueError
        If the time or the activation energy is negative.

    Warns
    -----
    OutsideRange
        If a temperature lies outside -1 to 90 °C.

    Notes
    -----
    For living enzyme, from -1 to 90 °C. Heat loss is left out: toward temperatures at which the enzyme dies use
    :func:`advisor.science.holds.equivalent_hold_s`.

    References
    ----------
    .. [1] Arrhenius, see the module.

    Examples
    --------
    >>> round(equivalent_time_s(24 * 3600.0, 4.0, 55.0, 45.0) / 3600, 2)
    1.15
    """
    require_not_negative(time_s=time_s)
    within_measured("work of an enzyme", [temp_c, other_c], LIVING_C)
    return time_s * float(arrhenius_factor(temp_c, other_c, activation_kj_mol))
