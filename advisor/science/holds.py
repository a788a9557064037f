r"""Holding at one temperature while the enzyme dies: what it does, how long it takes, and what it can never do.

At a constant temperature

.. math:: W(t) = \frac{s\,a\,m}{k_d}\left(1 - e^{-k_d t/m}\right),\qquad W_\infty = \frac{s\,a\,m}{k_d}

with s the strength of the dose, a the speed against the reference, k_d the loss rate, m the protection of the meat.

References
----------
.. [1] First-order loss of a catalyst, as in any text of enzyme kinetics (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.history import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Hold:
    """An enzyme at one temperature.

    Parameters
    ----------
    speed : float
        Strength of the dose times speed against the reference [%], above zero.
    loss_per_s : float
        Loss rate k_d at this temperature [1/s].
    protection_factor : float
        m [-]: 1 for a film of juice, more inside meat.

    Raises
    ------
    ValueError
        If the speed or the protection is not above zero, or the loss rate is negative.

    Notes
    -----
    Holds where activity and loss rate hold; those functions check it.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> Hold(5.0, 0.0, 1.0).speed
    5.0
    """

    speed: float
    loss_per_s: float
    protection_factor: float

    def __post_init__(self) -> None:
        """Refuse an enzyme that has no meaning."""
        require_positive(speed=self.speed, protection_factor=self.protection_factor)
        require_not_negative(loss_per_s=self.loss_per_s)


def held_work(time_s: float, hold: Hold) -> float:
    r"""Work of an enzyme held at one temperature, W(t) of the module.

    .. math:: W(t) = \frac{s\,a\,m}{k_d}\left(1 - e^{-k_d t/m}\right)

    Parameters
    ----------
    time_s : float
        Time [s].
    hold : Hold
        The enzyme at its temperature.

    Returns
    -------
    float
        Work, percent of pineapple flesh times hours at the reference temperature [% h].

    Raises
    ------
    ValueError
        If the time is negative.

    Notes
    -----
    Exact for first-order loss; the range is that of the rates put in.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> held_work(3600.0, Hold(5.0, 0.0, 1.0))
    5.0
    """
    require_not_negative(time_s=time_s)
    loss = hold.loss_per_s / hold.protection_factor
    lived = time_s if loss * time_s == 0 else -math.expm1(-loss * time_s) / loss
    return hold.speed * lived / SECONDS_PER_HOUR


def most_work(hold: Hold) -> float:
    r"""Work an enzyme does until it is all dead, W∞ of the module.

    .. math:: W_\infty = \frac{s\,a\,m}{k_d}

    Parameters
    ----------
    hold : Hold
        The enzyme at its temperature.

    Returns
    -------
    float
        Work [% h]; infinite if it does not die.

    Notes
    -----
    Not a time to plan for: nine tenths of it are done after 2.3 lifetimes m/k_d.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> most_work(Hold(5.0, 1 / 3600, 1.0))
    5.0
    """
    if hold.loss_per_s == 0:
        return math.inf
    return hold.speed * hold.protection_factor / hold.loss_per_s / SECONDS_PER_HOUR


def time_for_work_s(work: float, hold: Hold) -> float:
    r"""Time at one temperature until an enzyme has done a given work.

    .. math:: t = -\frac{m}{k_d}\ln\left(1 - \frac{W}{W_\infty}\right)

    Parameters
    ----------
    work : float
        Work to be done [% h].
    hold : Hold
        The enzyme at its temperature.

    Returns
    -------
    float
        Time [s]; infinite if the enzyme dies before it has done as much.

    Raises
    ------
    ValueError
        If the work is negative.

    Notes
    -----
    Infinite means never, however long it is held: take more of it, or a cooler hold.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> time_for_work_s(5.0, Hold(5.0, 0.0, 1.0))
    3600.0
    >>> time_for_work_s(6.0, Hold(5.0, 1 / 3600, 1.0))
    inf
    """
    require_not_negative(work=work)
    most = most_work(hold)
    if work >= most:
        return math.inf
    plain = work * SECONDS_PER_HOUR / hold.speed
    share = work / most
    return plain if share == 0 else plain * -math.log1p(-share) / share


def equivalent_hold_s(time_s: float, hold: Hold, other: Hold) -> float:
    r"""Time in another hold that does the same work, the loss by heat counted in both.

    .. math:: W_2(t_2) = W_1(t_1)

    Parameters
    ----------
    time_s : float
        Time in the first hold [s].
    hold, other : Hold
        The enzyme at its temperature in either.

    Returns
    -------
    float
        Time in the other [s]; infinite if the enzyme dies there before it has done as much.

    Raises
    ------
    ValueError
        If the time is negative.

    Notes
    -----
    Each hold starts with all of the enzyme alive.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> round(equivalent_hold_s(24 * 3600.0, Hold(0.048, 0.0, 1.0), Hold(1.0, 0.0, 1.0)) / 3600, 2)
    1.15
    """
    return time_for_work_s(held_work(time_s, hold), other)
