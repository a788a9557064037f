"""How much salt to weigh out.

Masses in kg and salt as a mass fraction, whatever the kitchen weighs in. All are balances of mass, exact at any size;
what limits them is what stays in the meat, which is passed in.
"""

from __future__ import annotations

from advisor.science.constants import SODIUM_CHLORIDE_KG_PER_KMOL, SODIUM_KG_PER_KMOL
from advisor.science.history import require_fraction, require_not_negative, require_positive
from advisor.science.validity import warn_outside

_LABEL_ROUNDING = 1.1
"""How far rounding alone may lift a label's salt above the whole."""

_SATURATED = 0.264
"""Salt in a brine that dissolves no more, near 20 °C [kg/kg]; a handbook value, from memory."""


def _require_salt_fraction(**named: float) -> None:
    """Refuse a fraction of salt that no mixture can have."""
    for name, value in named.items():
        if not 0 <= value < 1:
            raise ValueError(f"{name} is a mass fraction and must lie from 0 to below 1, got {value}")


def _warn_undissolved(strength: float) -> None:
    warn_outside("strength of a brine", "salt in the brine", strength, 0.0, _SATURATED)


def dry_salt_kg(meat_kg: float, target_fraction: float) -> float:
    r"""Salt to rub on, p m.

    .. math:: s = p\,m

    Parameters
    ----------
    meat_kg : float
        Meat [kg].
    target_fraction : float
        Salt as a fraction of the meat [kg/kg].

    Returns
    -------
    float
        Salt [kg].

    Raises
    ------
    ValueError
        If the meat is not above zero or the fraction is not from 0 to below 1.

    Notes
    -----
    Holds everywhere: a share of a weight. All that is rubbed on is counted as staying; 5 to 15 % is commonly lost with
    the drip.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> dry_salt_kg(0.300, 0.01)
    0.003
    """
    require_positive(meat_kg=meat_kg)
    _require_salt_fraction(target_fraction=target_fraction)
    return meat_kg * target_fraction


def equilibrium_brine_salt_kg(meat_kg: float, water_kg: float, target_fraction: float) -> float:
    """Salt for a brine that ends with meat and brine alike, p (m + w) / (1 - p).

    Parameters
    ----------
    meat_kg, water_kg : float
        Meat and added water [kg].
    target_fraction : float
        Salt at the end, as a fraction of meat, water and salt together [kg/kg].

    Returns
    -------
    float
        Salt [kg].

    Raises
    ------
    ValueError
        If the meat is not above zero, the water negative or the fraction not from 0 to below 1.

    Warns
    -----
    OutsideRange
        If the salt in the brine before the meat goes in lies outside 0 to 0.264; without water there is no brine.

    Notes
    -----
    The balance at rest; see :func:`advisor.science.salt.hours_to_even` for how long rest takes. The salt
    already in the meat (0.1 to 0.2 %) is left out. Holds for a brine that dissolves, up to 0.264 of salt.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> round(equilibrium_brine_salt_kg(1.0, 1.0, 0.015), 4)
    0.0305
    """
    require_positive(meat_kg=meat_kg)
    require_not_negative(water_kg=water_kg)
    _require_salt_fraction(target_fraction=target_fraction)
    salt = target_fraction * (meat_kg + water_kg) / (1 - target_fraction)
    if water_kg > 0:
        _warn_undissolved(salt / (water_kg + salt))
    return salt


def brine_final_fraction(meat_kg: float, water_kg: float, salt_kg: float) -> float:
    """Salt fraction everywhere once meat and brine are even, s / (m + w + s).

    Parameters
    ----------
    meat_kg, water_kg, salt_kg : float
        Meat, added water and all salt [kg].

    Returns
    -------
    float
        Salt fraction [kg/kg].

    Raises
    ------
    ValueError
        If the meat is not above zero, or water or salt negative.

    Warns
    -----
    OutsideRange
        If the salt in the brine before the meat goes in lies outside 0 to 0.264; without water there is no brine.

    Notes
    -----
    Holds for a brine that dissolves, up to 0.264 of salt. Salt shared over all mass alike. Dry matter holds none, so
    the meat ends lower, by up to a quarter: see :func:`advisor.science.soak.brined_meat_fraction`.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> brine_final_fraction(1.0, 0.96, 0.04)
    0.02
    """
    require_positive(meat_kg=meat_kg)
    require_not_negative(water_kg=water_kg, salt_kg=salt_kg)
    if water_kg > 0:
        _warn_undissolved(salt_kg / (water_kg + salt_kg))
    return salt_kg / (meat_kg + water_kg + salt_kg)


def injection_brine_fraction(target_fraction: float, pump_fraction: float, retained_fraction: float) -> float:
    """Strength of a brine to inject, p (1 + g r) / (g r).

    Parameters
    ----------
    target_fraction : float
        Salt wanted in the pumped meat [kg/kg].
    pump_fraction : float
        Brine injected as a fraction of the raw meat, g [kg/kg].
    retained_fraction : float
        Share of the brine that stays, r [-].

    Returns
    -------
    float
        Salt as a fraction of the brine [kg/kg].

    Raises
    ------
    ValueError
        If a fraction is out of range, or no brine could be strong enough.

    Warns
    -----
    OutsideRange
        If the salt in the brine lies outside 0 to 0.264.

    Notes
    -----
    Above 0.264 the answer cannot be dissolved, and it warns: pump more, or add salt to the surface.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> round(injection_brine_fraction(0.012, 0.10, 0.8), 3)
    0.162
    """
    _require_salt_fraction(target_fraction=target_fraction)
    require_positive(pump_fraction=pump_fraction, retained_fraction=retained_fraction)
    require_fraction(retained_fraction=retained_fraction)
    kept = pump_fraction * retained_fraction
    strength = target_fraction * (1 + kept) / kept
    if strength >= 1:
        raise ValueError(f"keeping {kept} of the meat's weight as brine, even pure salt would not reach the target")
    _warn_undissolved(strength)
    return strength


def pump_salt_kg(meat_kg: float, pump_fraction: float, brine_fraction: float, retained_fraction: float) -> float:
    r"""Salt that an injection leaves in the meat, m g r b.

    .. math:: s = m\,g\,r\,b

    Parameters
    ----------
    meat_kg : float
        Raw meat [kg].
    pump_fraction : float
        Brine injected as a fraction of the raw meat [kg/kg].
    brine_fraction : float
        Salt in the brine [kg/kg].
    retained_fraction : float
        Share of the brine that stays [-].

    Returns
    -------
    float
        Salt [kg].

    Raises
    ------
    ValueError
        If a value is out of range.

    Warns
    -----
    OutsideRange
        If the salt in the brine lies outside 0 to 0.264.

    Notes
    -----
    Holds for a brine that dissolves, up to 0.264 of salt. How much stays was measured from 0.75 (salt alone) to 0.9 on
    beef; it is passed in.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> round(pump_salt_kg(10.0, 0.10, 0.162, 0.8), 4)
    0.1296
    """
    require_positive(meat_kg=meat_kg)
    require_not_negative(pump_fraction=pump_fraction)
    _require_salt_fraction(brine_fraction=brine_fraction)
    require_fraction(retained_fraction=retained_fraction)
    _warn_undissolved(brine_fraction)
    return meat_kg * pump_fraction * retained_fraction * brine_fraction


def sodium_to_salt(sodium_kg: float) -> float:
    r"""Mass of common salt that holds this much sodium, by molar masses.

    .. math:: s = n\,\frac{M_{NaCl}}{M_{Na}}

    Parameters
    ----------
    sodium_kg : float
        Sodium [kg].

    Returns
    -------
    float
        Sodium chloride [kg].

    Raises
    ------
    ValueError
        If the mass is negative.

    Notes
    -----
    All sodium counted as common salt; that of soda or glutamate is then counted too.
    Holds everywhere.

    References
    ----------
    .. [1] Standard atomic weights, IUPAC.

    Examples
    --------
    >>> round(sodium_to_salt(1.0), 3)
    2.542
    """
    require_not_negative(sodium_kg=sodium_kg)
    return sodium_kg * SODIUM_CHLORIDE_KG_PER_KMOL / SODIUM_KG_PER_KMOL


def label_salt_pct(sodium_mg: float, serving_g: float) -> float:
    r"""Salt of a product from the sodium on its label.

    .. math:: p = 100\,\frac{n}{m}\,\frac{M_{NaCl}}{M_{Na}}

    Parameters
    ----------
    sodium_mg : float
        Sodium in a serving [mg].
    serving_g : float
        Serving [g].

    Returns
    -------
    float
        Salt, percent of the product's weight [%].

    Raises
    ------
    ValueError
        If the sodium is negative, the serving not above zero, or there would be more salt than product.

    Notes
    -----
    Holds everywhere for weights; a serving given by volume must be weighed. Labels round sodium to 5 or 10 mg: for a
    small serving that is a few percent of the answer, so that plain salt may come out at a little over 100; it is then
    taken as 100.

    References
    ----------
    .. [1] Standard atomic weights, IUPAC.

    Examples
    --------
    >>> round(label_salt_pct(920.0, 15.0), 1)
    15.6
    """
    require_not_negative(sodium_mg=sodium_mg)
    require_positive(serving_g=serving_g)
    pct = 100 * sodium_to_salt(sodium_mg / 1000) / serving_g
    if pct > 100 * _LABEL_ROUNDING:
        raise ValueError(f"{sodium_mg} mg of sodium in {serving_g} g would be more salt than product")
    return min(pct, 100.0)
