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

    Examples
    --------
    >>> float(arrhenius_factor(55.0, 55.0, 45.0))
    1.0
    """
    require_not_negative(activation_kj_mol=activation_kj_mol)
    inverse = 1 / kelvin_array(temp_c) - 1 / float(kelvin_array(ref_c))
    return np.exp(-activation_kj_mol * 1000 / GAS_CONSTANT * inverse)


def arrhenius_loss_rate(temp_c: npt.ArrayLike, prefactor_per_s: float, activation_kj_mol: float) -> FloatArray:
    r"""First-order loss from a prefactor, k = A exp(-Ea/RT).

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C].
    prefactor_per_s : float
        A [1/s].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Returns
    -------
    FloatArray
        Rates [1/s].

    Raises
    ------
    ValueError
        If a constant is not above zero.

    Notes
    -----
    Good within the temperatures of the fit; a high activation energy makes it very steep outside.

    Examples
    --------
    >>> round(math.log(2) / float(arrhenius_loss_rate(60.0, 1.37e50 / 60, 326.0)) / 60, 1)
    6.6
    """
    require_positive(prefactor_per_s=prefactor_per_s, activation_kj_mol=activation_kj_mol)
    # One exponential of the sum: A alone may be far beyond, and exp(-Ea/RT) far below, what is comfortable.
    power = math.log(prefactor_per_s) - activation_kj_mol * 1000 / (GAS_CONSTANT * kelvin_array(temp_c))
    return np.exp(power)


def eyring_loss_rate(temp_c: npt.ArrayLike, enthalpy_kj_mol: float, entropy_j_mol_k: float) -> FloatArray:
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

    Returns
    -------
    FloatArray
        Rates [1/s].

    Raises
    ------
    ValueError
        If the enthalpy is not above zero.

    Notes
    -----
    Good within the temperatures of the fit.

    Examples
    --------
    >>> round(math.log(2) / float(eyring_loss_rate(60.0, 91.4, -49.6)) / 60)
    139
    """
    require_positive(enthalpy_kj_mol=enthalpy_kj_mol)
    kelvin = kelvin_array(temp_c)
    power = entropy_j_mol_k / GAS_CONSTANT - enthalpy_kj_mol * 1000 / (GAS_CONSTANT * kelvin)
    return BOLTZMANN * kelvin / PLANCK * np.exp(power)


def reference_loss_rate(
    temp_c: npt.ArrayLike, rate_per_s_at_ref: float, ref_c: float, activation_kj_mol: float
) -> FloatArray:
    """First-order loss from its value at one temperature.

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

    Returns
    -------
    FloatArray
        Rates [1/s].

    Raises
    ------
    ValueError
        If the rate or the activation energy is negative.

    Notes
    -----
    With one measured point the activation energy is borrowed; keep within 10 °C of it.

    Examples
    --------
    >>> float(reference_loss_rate(50.0, 3e-5, 50.0, 200.0))
    3e-05
    """
    require_not_negative(rate_per_s_at_ref=rate_per_s_at_ref)
    return rate_per_s_at_ref * arrhenius_factor(temp_c, ref_c, activation_kj_mol)


def equivalent_time_s(time_s: float, temp_c: float, other_c: float, activation_kj_mol: float) -> float:
    """Time at another temperature that does the same work, while the enzyme stays alive.

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

    Notes
    -----
    Heat loss is left out: do not use it toward temperatures at which the enzyme dies.

    Examples
    --------
    >>> round(equivalent_time_s(24 * 3600.0, 4.0, 55.0, 45.0) / 3600, 2)
    1.15
    """
    require_not_negative(time_s=time_s)
    return time_s * float(arrhenius_factor(temp_c, other_c, activation_kj_mol))
