r"""What dose, acidity and salt leave of an enzyme's speed, as plain factors beside temperature.

Data are thin: one koji protease in strong brine, and for acidity a best band and a working range for each enzyme.
Each factor is therefore a :class:`~advisor.science.band.Band`: use its high end to ask about mush, its low end to
promise tenderness.
"""

from __future__ import annotations

import math

from advisor.science.band import Band, Confidence
from advisor.science.history import require_fraction, require_not_negative, require_positive
from advisor.science.validity import warn_outside

_PER_PERCENT = 100.0
_NEUTRAL_LIMIT = 14.0


def dose_strength(dose_pct: float, strength: float, live_share: float, cap_pct: float = math.inf) -> float:
    r"""Strength of a dose, min(dose, cap) × strength × share alive.

    .. math:: s = \min(d, d_{cap})\,q\,l

    Parameters
    ----------
    dose_pct : float
        Percent of the meat's weight [%].
    strength : float
        Strength against fresh pineapple flesh, weight for weight [-].
    live_share : float
        Share of the fresh strength left in the form used [-]; 0 for tinned fruit.
    cap_pct : float
        Dose from which more does not soften more [%]. Leave it out when the question is mush.

    Returns
    -------
    float
        Percent of pineapple flesh [%].

    Raises
    ------
    ValueError
        If dose or strength is negative, the share is not from 0 to 1 or the cap not above zero.

    Warns
    -----
    OutsideRange
        If the strength of the dose lies outside 0 to 10 % pineapple.

    Notes
    -----
    Work in proportion to dose: checked between 0 and 10 % of fresh fruit, in that 10 % softened no less than
    5 %. Above 10 % it warns.

    References
    ----------
    .. [1] Fresh ground fruit on beef at 5 and 10 %, 2010 (abstract read).

    Examples
    --------
    >>> dose_strength(8.0, 0.6, 1.0, cap_pct=5.0)
    3.0
    """
    require_not_negative(dose_pct=dose_pct, strength=strength)
    require_fraction(live_share=live_share)
    if not cap_pct > 0:
        raise ValueError(f"cap_pct must lie above zero, got {cap_pct}")
    warn_outside("work of an enzyme by dose", "strength of the dose", dose_pct * strength, 0.0, 10.0, "% pineapple")
    return min(dose_pct, cap_pct) * strength * live_share


def ph_factor(ph: float, best: tuple[float, float], works: tuple[float, float]) -> Band:
    r"""Share of an enzyme's speed left at an acidity.

    With u the distance outside the best band over the width of the shoulder there,

    .. math:: f_{low} = (1-u)^2,\qquad f_{mid} = 1-u,\qquad f_{high} = 1

    inside the working range; beyond it low and mid are 0 and high falls to 0 over one pH unit.

    Parameters
    ----------
    ph : float
        pH where the enzyme works, meat about 5.6 [-].
    best : tuple of float
        Ends of the band of best pH [-].
    works : tuple of float
        Ends of the range it works in at all [-], holding the best band.

    Returns
    -------
    Band
        Factor [-], low confidence.

    Raises
    ------
    ValueError
        If the ranges do not lie in each other or the pH is not from 0 to 14.

    Warns
    -----
    OutsideRange
        If the pH lies outside what is named in the notes.

    Notes
    -----
    An estimate: only band and range are published, not the shape between, so the ends are the steepest and the
    flattest shape that fit them. Outside the working range it warns.

    References
    ----------
    .. [1] Ranges by enzyme: reviews and abstracts, see ``enzyme_ph_*`` in ``rulebase/texture.yaml``.

    Examples
    --------
    >>> band = ph_factor(5.5, (6.0, 8.0), (5.0, 9.0))
    >>> band.low, band.mid, band.high
    (0.25, 0.5, 1.0)
    """
    if not 0 <= ph <= _NEUTRAL_LIMIT:
        raise ValueError(f"ph must lie from 0 to 14, got {ph}")
    if not works[0] <= best[0] <= best[1] <= works[1]:
        raise ValueError(f"the best band {best} must lie within the working range {works}")
    warn_outside("speed of an enzyme by acidity", "pH", ph, works[0], works[1])
    if best[0] <= ph <= best[1]:
        return Band(1.0, 1.0, 1.0, Confidence.LOW)
    beyond = max(works[0] - ph, ph - works[1], 0.0)
    if beyond > 0:
        return Band(0.0, 0.0, max(0.0, 1.0 - beyond), Confidence.LOW)
    outside, shoulder = (best[0] - ph, best[0] - works[0]) if ph < best[0] else (ph - best[1], works[1] - best[1])
    left = 1.0 - outside / shoulder
    return Band(left**2, left, 1.0, Confidence.LOW)


def ph_factor_beside(ph: float, plain_ph: float, best: tuple[float, float], works: tuple[float, float]) -> Band:
    r"""Speed of an enzyme at an acidity against its speed in plain meat, one shape of the shoulder at a time.

    .. math:: \left(\frac{1-u}{1-u_0}\right)^2,\qquad \frac{1-u}{1-u_0},\qquad 1

    u is that of :func:`ph_factor` at this acidity, u₀ in plain meat; least, middle and most of the three.

    Parameters
    ----------
    ph : float
        pH where the enzyme works [-].
    plain_ph : float
        pH of meat on which its strength and its usual times were found [-].
    best : tuple of float
        Ends of the band of best pH [-].
    works : tuple of float
        Ends of the range it works in at all [-], holding the best band and the plain pH.

    Returns
    -------
    Band
        Factor [-], low confidence; above 1 where this acidity suits it better than plain meat.

    Raises
    ------
    ValueError
        If the ranges do not lie in each other, a pH is not from 0 to 14 or the plain pH is outside the range it works
        in, where nothing could have been found.

    Warns
    -----
    OutsideRange
        If the pH lies outside the working range.

    Notes
    -----
    An estimate, as :func:`ph_factor`, and over the same range. Strengths and times of the trade hold for plain meat:
    against that a factor is 1, whatever the enzyme would like best.

    References
    ----------
    .. [1] See :func:`ph_factor`.

    Examples
    --------
    >>> band = ph_factor_beside(7.0, 5.6, (6.0, 8.0), (4.5, 9.0))
    >>> round(band.low, 3), round(band.mid, 3), round(band.high, 3)
    (1.0, 1.364, 1.86)
    """
    plain = ph_factor(plain_ph, best, works)
    if plain.low <= 0:
        raise ValueError(f"plain_ph must lie within the working range {works}, got {plain_ph}")
    here = ph_factor(ph, best, works)
    low, middle, high = sorted((here.low / plain.low, here.mid / plain.mid, here.high / plain.high))
    return Band(low, middle, high, Confidence.LOW)


def salt_factor(salt_pct: float, at_pct: float, share_left: float) -> Band:
    r"""Share of an enzyme's speed left in salt, through one measured point.

    .. math:: f_{low} = \frac{1}{1 + (1/q-1)\,s/s_1},\qquad f_{mid} = q^{s/s_1},\qquad f_{high} = 1-(1-q)\,s/s_1

    Parameters
    ----------
    salt_pct : float
        Salt s where the enzyme works, percent by weight [%].
    at_pct : float
        Salt s₁ it was measured at [%].
    share_left : float
        Speed q left there against none [-]; 1 for an enzyme that salt leaves alone.

    Returns
    -------
    Band
        Factor [-], low confidence; no band where none or as much salt as measured is there.

    Raises
    ------
    ValueError
        If salt is negative or above 100 %, the measured salt not above zero or the share not above 0 and up to 1.

    Warns
    -----
    OutsideRange
        If the salt lies outside what is named in the notes.

    Notes
    -----
    Between no salt and the one point the shape is unknown; the three are the usual ones (binding of salt, a
    constant fall for each percent, a straight line). Beyond the point it warns and stays at the point.

    References
    ----------
    .. [1] Koji protease for soy sauce, 3 % left in 18 % salt (abstract read).

    Examples
    --------
    >>> band = salt_factor(1.5, 18.0, 0.03)
    >>> round(band.low, 2), round(band.mid, 2), round(band.high, 2)
    (0.27, 0.75, 0.92)
    """
    require_not_negative(salt_pct=salt_pct)
    require_positive(at_pct=at_pct)
    if not 0 < share_left <= 1:
        raise ValueError(f"share_left must lie above 0 and not beyond 1, got {share_left}")
    if salt_pct > _PER_PERCENT:
        raise ValueError(f"salt_pct is a percentage by weight, got {salt_pct}")
    warn_outside("speed of an enzyme in salt", "salt", salt_pct, 0.0, at_pct, "%")
    part = min(1.0, salt_pct / at_pct)
    straight = 1.0 - (1.0 - share_left) * part
    constant = share_left**part
    bound = 1.0 / (1.0 + (1.0 / share_left - 1.0) * part)
    # Rounding may put the three out of order by a last digit where they meet.
    return Band(min(bound, constant), constant, max(straight, constant), Confidence.LOW)
