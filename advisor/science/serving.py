"""What the knife does to toughness, and what cooking takes of weight and colour."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.history import (
    FloatArray,
    celsius_array,
    integral_of_rate,
    require_fraction,
    require_not_negative,
    require_positive,
)
from advisor.science.rates import arrhenius_loss_rate
from advisor.science.validity import warn_outside

_RIGHT_ANGLE_DEG = 90.0
_PERCENT = 100.0
_LOSS_C = (50.0, 70.0)
_LOSS_H = 48.0
"""Ends of the table the loss model was set to [°C, h]."""

_PIGMENT_C = 77.0
"""Hottest temperature at which the pigment's kinetics were given [°C]; below 50 °C next to nothing turns."""

_SLICE_MM = (0.5, 30.0)
"""From shaved to a steak eaten as cut [mm]."""


def _sine_and_cosine(angle_deg: float) -> tuple[float, float]:
    """Sine and cosine of an angle to the fibres, refused outside a right angle."""
    if not 0 <= angle_deg <= _RIGHT_ANGLE_DEG:
        raise ValueError(f"angle_deg must lie from 0 (along the fibres) to 90 (square across), got {angle_deg}")
    return math.sin(math.radians(angle_deg)), math.cos(math.radians(angle_deg))


def slice_fibre_length_m(thickness_m: float, angle_deg: float, piece_length_m: float) -> float:
    """Length of the fibres in a slice, d / sin θ, no longer than the piece.

    Parameters
    ----------
    thickness_m : float
        Thickness of the slice [m].
    angle_deg : float
        Angle between the knife's plane and the fibres [°], 90 square across.
    piece_length_m : float
        Length of the fibres in the piece [m].

    Returns
    -------
    float
        Length [m].

    Raises
    ------
    ValueError
        If a length is not above zero or the angle not from 0 to 90.

    Warns
    -----
    OutsideRange
        If the thickness lies outside 0.5 to 30 mm.

    Notes
    -----
    Geometry of straight fibres; fanned muscles need the angle where the knife stands. Slices outside 0.5 to 30 mm
    are no slices, and warn.

    References
    ----------
    None: geometry.

    Examples
    --------
    >>> round(slice_fibre_length_m(0.005, 30.0, 0.2), 4)
    0.01
    """
    require_positive(thickness_m=thickness_m, piece_length_m=piece_length_m)
    sine, _ = _sine_and_cosine(angle_deg)
    warn_outside("fibres in a slice", "thickness", thickness_m * 1000, *_SLICE_MM, "mm")
    return piece_length_m if thickness_m >= piece_length_m * sine else thickness_m / sine


def hankinson_strength(angle_deg: float, along: float, across: float) -> float:
    r"""Strength of a fibrous solid pulled at an angle to its fibres.

    .. math:: \sigma(\varphi) = \frac{\sigma_L \sigma_T}{\sigma_L \sin^2\varphi + \sigma_T \cos^2\varphi}

    Parameters
    ----------
    angle_deg : float
        Angle φ between pull and fibres [°].
    along, across : float
        Strength along and across the fibres, in one unit.

    Returns
    -------
    float
        Strength in that unit.

    Raises
    ------
    ValueError
        If a strength is not above zero or the angle not from 0 to 90.

    Notes
    -----
    Holds everywhere from 0 to 90°, which is all there is. A law for wood, borrowed; for meat only the two ends were
    measured.

    References
    ----------
    .. [1] Purslow, Meat Science 12 (1985) 39 (abstract read), for 300 and 25 kN/m2.

    Examples
    --------
    >>> round(hankinson_strength(45.0, 300.0, 25.0))
    46
    """
    require_positive(along=along, across=across)
    sine, cosine = _sine_and_cosine(angle_deg)
    return along * across / (along * sine**2 + across * cosine**2)


def chew_index(
    shear_kgf: float, fibre_length_m: float, reference_shear_kgf: float, reference_length_m: float, exponent: float
) -> float:
    r"""Index of chewing, :math:`(F/F_{ref})\min(1, L/L_{ref})^{n}`, lower is easier.

    Parameters
    ----------
    shear_kgf : float
        Shear force [kgf].
    fibre_length_m : float
        Fibre length in the slice [m].
    reference_shear_kgf : float
        Shear force that counts as 1 [kgf].
    reference_length_m : float
        Length beyond which longer fibres no longer matter [m].
    exponent : float
        How strongly the length of the fibres counts, n [-]: 0 not at all, 1 in proportion.

    Returns
    -------
    float
        Index [-].

    Raises
    ------
    ValueError
        If a value is not above zero, or the exponent not from 0 to 1.

    Warns
    -----
    OutsideRange
        If the shear force against the reference lies outside a third to 3.

    Notes
    -----
    An estimate: no curve of chewing force against slice thickness was found in print. Use it to rank slices
    of one cut. Warns for a shear force outside a third to three times the reference.

    References
    ----------
    .. [1] Purslow, Meat Science 12 (1985) 39 (abstract read), for why short fibres are easy.

    Examples
    --------
    >>> chew_index(4.4, 0.0025, 4.4, 0.010, 0.5)
    0.5
    """
    require_positive(
        shear_kgf=shear_kgf,
        fibre_length_m=fibre_length_m,
        reference_shear_kgf=reference_shear_kgf,
        reference_length_m=reference_length_m,
    )
    require_fraction(exponent=exponent)
    warn_outside("chewing", "shear force against the reference", shear_kgf / reference_shear_kgf, 1 / 3, 3.0)
    return shear_kgf / reference_shear_kgf * math.pow(min(1.0, fibre_length_m / reference_length_m), exponent)


@dataclass(frozen=True, slots=True)
class CookLossModel:
    """Constants of the cook-loss model.

    Parameters
    ----------
    base_pct, span_pct : float
        Lowest fast loss and what rising temperature adds to it [%].
    mid_c, width_c : float
        Middle and width of that rise [°C].
    fast_s : float
        Time constant of the fast loss [s].
    slow_pct : float
        Largest slow loss [%].
    slow_from_c, slow_over_c : float
        Where the slow loss begins, and over how many degrees it comes in [°C].
    slow_s : float
        Time constant of the slow loss [s].
    cap_pct : float
        Highest loss given [%].

    Raises
    ------
    ValueError
        If a loss is negative, a time or width not above zero, or the cap beyond 100 %.

    Notes
    -----
    Set for 50 to 70 °C; :func:`cook_loss_pct` checks it.

    References
    ----------
    .. [1] See :func:`cook_loss_pct`.

    Examples
    --------
    >>> CookLossModel(5, 35, 61, 6, 3600, 16, 50, 7, 50400, 45).cap_pct
    45
    """

    base_pct: float
    span_pct: float
    mid_c: float
    width_c: float
    fast_s: float
    slow_pct: float
    slow_from_c: float
    slow_over_c: float
    slow_s: float
    cap_pct: float

    def __post_init__(self) -> None:
        """Refuse constants that describe no loss."""
        require_not_negative(base_pct=self.base_pct, span_pct=self.span_pct, slow_pct=self.slow_pct)
        require_positive(width_c=self.width_c, fast_s=self.fast_s, slow_over_c=self.slow_over_c, slow_s=self.slow_s)
        if not 0 < self.cap_pct <= _PERCENT:
            raise ValueError(f"cap_pct must lie above 0 and not beyond 100, got {self.cap_pct}")


def cook_loss_pct(temp_c: float, time_s: float, model: CookLossModel) -> float:
    r"""Weight lost in cooking, as a percentage of the raw weight.

    .. math::
        L_1(T)\,(1-e^{-t/\tau_1}) + L_2\,c(T)\,(1-e^{-t/\tau_2}),\quad
        L_1 = b + \frac{s}{1+e^{-(T-T_m)/w}}

    Parameters
    ----------
    temp_c : float
        Core temperature of the hold [°C].
    time_s : float
        Time at it [s].
    model : CookLossModel
        Constants.

    Returns
    -------
    float
        Loss [%], no more than the cap.

    Raises
    ------
    ValueError
        If the time is negative or the temperature impossible.

    Warns
    -----
    OutsideRange
        If the temperature lies outside 50 to 70 °C.
        If the time lies outside 0 to 48 h.

    Notes
    -----
    Beef held at 50 to 70 °C for up to 48 h, beyond which it warns; within 6 points on the rows it was set by, up to
    18 points too high for spiced roasts. Salt lowers it by several points. Show a range.

    References
    ----------
    .. [1] Liu et al., Meat Research 38(1) (2024) 44 (abstract read): the four rows it was set by.

    Examples
    --------
    >>> model = CookLossModel(5, 35, 61, 6, 3600, 16, 50, 7, 50400, 45)
    >>> round(cook_loss_pct(57.0, 12 * 3600.0, model))
    26
    """
    require_not_negative(time_s=time_s)
    temp = float(celsius_array(temp_c))
    warn_outside("cooking loss", "temperature", temp, *_LOSS_C, "°C")
    warn_outside("cooking loss", "time", time_s / SECONDS_PER_HOUR, 0.0, _LOSS_H, "h")
    fast = model.base_pct + model.span_pct / (1 + math.exp(-(temp - model.mid_c) / model.width_c))
    begun = float(np.clip((temp - model.slow_from_c) / model.slow_over_c, 0.0, 1.0))
    loss = -fast * math.expm1(-time_s / model.fast_s) - model.slow_pct * begun * math.expm1(-time_s / model.slow_s)
    return min(loss, model.cap_pct)


def myoglobin_denatured(
    times_s: npt.ArrayLike, temps_c: npt.ArrayLike, prefactor_per_s: float, activation_kj_mol: float
) -> FloatArray:
    r"""Share of the red pigment that has turned, :math:`1 - \exp(-\int A e^{-E_a/RT}\,dt)`.

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    prefactor_per_s : float
        A [1/s].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Returns
    -------
    FloatArray
        Share at each sample [-].

    Raises
    ------
    ValueError
        If a constant is not above zero or times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        If the temperature lies outside -1 to 77 °C.

    Notes
    -----
    Open cooking of minutes to an hour at 50 to 77 °C; hotter warns. Says too much brown for meat held for hours in
    a sealed bag. Colour proves nothing about germs.

    References
    ----------
    .. [1] Geileskey et al. 1998, beef chuck (read second hand, in a thesis).

    Examples
    --------
    >>> myoglobin_denatured([0, 60], [63, 63], 7.98e43 / 60, 290.0).round(3).tolist()
    [0.0, 0.067]
    """
    warn_outside("pigment turning", "temperature", temps_c, -1.0, _PIGMENT_C, "°C")
    integral = integral_of_rate(
        times_s, temps_c, lambda temps: arrhenius_loss_rate(temps, prefactor_per_s, activation_kj_mol)
    )
    return -np.expm1(-integral)
