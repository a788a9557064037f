"""What an acidity or an amount of soda does to meat, by name. The limits are passed in."""

from __future__ import annotations

from enum import StrEnum

from advisor.science.history import require_not_negative
from advisor.science.validity import warn_outside

_HIGHEST_PH = 14.0


class AcidBand(StrEnum):
    """What an acidity does to meat."""

    CHALKY = "chalky"
    SOFTENS = "softens"
    BETWEEN = "between"
    """Below the worst, not yet where acid softens."""
    WORST = "worst water holding"
    PLAIN = "plain"


def acid_band(ph: float, *, chalky_below: float, softens_below: float, worst: tuple[float, float]) -> AcidBand:
    """Name what an acidity does to meat.

    Parameters
    ----------
    ph : float
        Acidity of the meat there [-].
    chalky_below, softens_below : float
        Limits [-].
    worst : tuple of float
        Ends of the band in which meat holds least water [-].

    Returns
    -------
    AcidBand
        The band; a limit itself counts to the worse side, the ends of the worst band to it.

    Raises
    ------
    ValueError
        If the limits are out of order or the pH is not from 0 to 14.

    Notes
    -----
    The minimum of water holding is read, the limits of softening and chalk are kitchen experience; whole tenths and no
    finer. Holds everywhere from pH 0 to 14, for lean meat; the bands lie between named acidities, and nothing sharp
    happens at a line.

    References
    ----------
    .. [1] Burke and Monahan, Meat Sci. 63 (2003) 161-168 (abstract read), for the direction.

    Examples
    --------
    >>> acid_band(5.2, chalky_below=4.5, softens_below=4.8, worst=(5.0, 5.5)).value
    'worst water holding'
    """
    if not 0 <= ph <= _HIGHEST_PH:
        raise ValueError(f"ph must lie from 0 to 14, got {ph}")
    if not chalky_below <= softens_below <= worst[0] <= worst[1]:
        raise ValueError("limits must rise from chalky over soft to the worst band")
    if ph < chalky_below:
        return AcidBand.CHALKY
    if ph < softens_below:
        return AcidBand.SOFTENS
    if ph < worst[0]:
        return AcidBand.BETWEEN
    return AcidBand.WORST if ph <= worst[1] else AcidBand.PLAIN


class SodaBand(StrEnum):
    """What an amount of soda does to meat."""

    NONE = "does nothing"
    WORKS = "works"
    FULL = "is as much as helps beef, and more than helps chicken"
    TOO_MUCH = "is more than helps"
    SOAPY = "tastes of soap"


def soda_band(pct: float, *, low: float, high: float, soapy_above: float) -> SodaBand:
    """Name what an amount of baking soda does to meat.

    Parameters
    ----------
    pct : float
        Soda, percent of the meat's weight [%].
    low : float
        Where it does its work [%].
    high : float
        Above which nothing more is gained [%].
    soapy_above : float
        Above which it tastes of soap [%].

    Returns
    -------
    SodaBand
        The band; a limit itself still counts to the milder one.

    Raises
    ------
    ValueError
        If the limits are out of order or the amount negative.

    Warns
    -----
    OutsideRange
        If the soda lies outside 0 to 2 %.

    Notes
    -----
    Chicken gained nothing above 0.3 %, beef above 0.6 %; what is soapy is kitchen experience. Tried up to 0.8 %
    (injected, to 1.5 %); above 2 % it warns.

    References
    ----------
    .. [1] Petracci et al., J. Poult. Sci. 51 (2014) 206-212 (abstract read).
    .. [2] Kang et al., Food Sci. Technol. 2022 (abstract read).

    Examples
    --------
    >>> soda_band(0.5, low=0.3, high=0.6, soapy_above=0.8).value
    'is as much as helps beef, and more than helps chicken'
    """
    require_not_negative(pct=pct)
    if not 0 <= low <= high <= soapy_above:
        raise ValueError("limits must rise from low over high to soapy")
    warn_outside("soda on meat", "soda", pct, 0.0, 2.0, "%")
    if pct == 0:
        return SodaBand.NONE
    if pct <= low:
        return SodaBand.WORKS
    if pct <= high:
        return SodaBand.FULL
    return SodaBand.TOO_MUCH if pct <= soapy_above else SodaBand.SOAPY
