r"""What heat and the knife do to toughness: collagen, fibres, slices; and what is lost as juice and colour.

The numbers are planning figures: show them as bands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.science.history import (
    FloatArray,
    celsius_array,
    checked_history,
    integral_of_rate,
    refined,
    require_fraction,
    require_not_negative,
    require_positive,
    sample_spans,
)
from advisor.science.rates import arrhenius_factor
from advisor.science.serving import (
    CookLossModel,
    chew_index,
    cook_loss_pct,
    hankinson_strength,
    myoglobin_denatured,
    slice_fibre_length_m,
)
from advisor.science.validity import warn_outside

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "CookLossModel",
    "HalfTime",
    "chew_index",
    "collagen_fast",
    "collagen_left",
    "collagen_remaining",
    "cook_loss_pct",
    "fibre_hardening_long",
    "fibre_hardening_short",
    "hankinson_strength",
    "myoglobin_denatured",
    "slice_fibre_length_m",
    "tenderness_index",
]


@dataclass(frozen=True, slots=True)
class HalfTime:
    r"""A first-order step given by its half-time at one temperature.

    .. math:: k(T) = \frac{\ln 2}{t_{1/2}}\exp\left[-\frac{E_a}{R}\left(\frac1T-\frac1{T_{ref}}\right)\right]

    Parameters
    ----------
    half_time_at_ref_s : float
        Half-time at the reference [s].
    ref_c : float
        Reference temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Raises
    ------
    ValueError
        If a time is not above zero or the activation energy is negative.

    Notes
    -----
    A step of its own range: the functions that use it check that.

    References
    ----------
    .. [1] Arrhenius, see :mod:`advisor.science.rates`.

    Examples
    --------
    >>> step = HalfTime(660.0, 58.0, 520.0)
    >>> round(float(step.rate(np.array(58.0))) * 660.0, 3)
    0.693
    """

    half_time_at_ref_s: float
    ref_c: float
    activation_kj_mol: float

    def __post_init__(self) -> None:
        """Refuse a step that has no rate."""
        require_positive(half_time_at_ref_s=self.half_time_at_ref_s)
        require_not_negative(activation_kj_mol=self.activation_kj_mol)

    def rate(self, temps_c: FloatArray) -> FloatArray:
        """Rate of the step [1/s] at temperatures [°C]."""
        factor = arrhenius_factor(temps_c, self.ref_c, self.activation_kj_mol)
        return math.log(2) / self.half_time_at_ref_s * factor


_COLLAGEN_C = (-1.0, 95.0)
"""Up to the hottest customary schedule; below 50 °C next to nothing happens, so the cold end is open."""

_SHORT_COOK_C = 90.0
"""Hottest cook of the study [°C]."""

_INDEX_KGF = (1.0, 15.0)
"""Shear forces met with on cooked beef [kgf]."""


def _done(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, step: HalfTime) -> FloatArray:
    """Share of a first-order step that is done at each sample."""
    return -np.expm1(-integral_of_rate(times_s, temps_c, step.rate))


def collagen_fast(
    times_s: npt.ArrayLike,
    temps_c: npt.ArrayLike,
    half_time_at_ref_s: float,
    ref_c: float,
    activation_kj_mol: float,
) -> FloatArray:
    r"""Share of the collagen that has shrunk.

    .. math:: u = 1 - \exp\left(-\int \frac{\ln 2}{t_{1/2}(T)}\,dt\right)

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    half_time_at_ref_s : float
        Half-time at the reference [s].
    ref_c : float
        Reference temperature [°C].
    activation_kj_mol : float
        Activation energy [kJ/mol].

    Returns
    -------
    FloatArray
        Share shrunk at each sample [-].

    Raises
    ------
    ValueError
        If a constant is out of range or times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        If the temperature lies outside -1 to 95 °C.

    Notes
    -----
    From the fall in shear of small beef cylinders at 50 to 64 °C; above that the step is over within a
    minute, so that only what lies above 95 °C warns. Animals differ widely.

    References
    ----------
    .. [1] Machlik and Draudt, J. Food Science 28 (1963) 711 (abstract read).

    Examples
    --------
    >>> collagen_fast([0, 660], [58, 58], 660.0, 58.0, 520.0).round(6).tolist()
    [0.0, 0.5]
    """
    warn_outside("softening of collagen", "temperature", temps_c, *_COLLAGEN_C, "°C")
    return _done(times_s, temps_c, HalfTime(half_time_at_ref_s, ref_c, activation_kj_mol))


def collagen_remaining(times_s: npt.ArrayLike, temps_c: npt.ArrayLike, fast: HalfTime, slow: HalfTime) -> FloatArray:
    """Share of the connective tissue's strength that remains, (1 - u) + u v.

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures [°C], ``(n,)`` or ``(n, places)``.
    fast : HalfTime
        The step that shrinks it (u).
    slow : HalfTime
        The step that then dissolves it (1 - v).

    Returns
    -------
    FloatArray
        Share at each sample [-], 1 at the first, never rising.

    Raises
    ------
    ValueError
        If times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        If the temperature lies outside -1 to 95 °C.

    Notes
    -----
    The slow step is a planning rate set to agree with customary schedules from 55 to 95 °C, not measured
    kinetics; hotter warns. Little moves below 54 °C.

    References
    ----------
    .. [1] Bouton and Harris, J. Food Science 1981: old animals 24 to 48 h at 60 °C (abstract read).
    .. [2] Customary schedules at 57, 65, 80 and 95 °C (from memory).

    Examples
    --------
    >>> fast, slow = HalfTime(660.0, 58.0, 520.0), HalfTime(43200.0, 60.0, 75.0)
    >>> collagen_remaining([0, 43200], [60, 60], fast, slow).round(2).tolist()
    [1.0, 0.5]
    """
    warn_outside("softening of collagen", "temperature", temps_c, *_COLLAGEN_C, "°C")
    shrunk = _done(times_s, temps_c, fast)
    dissolved = _done(times_s, temps_c, slow)
    return 1 - shrunk * dissolved


def collagen_left(
    times_s: npt.ArrayLike, temps_c: npt.ArrayLike, fast: HalfTime, slows: Sequence[HalfTime]
) -> FloatArray:
    """Share of the connective tissue's strength that a history leaves, (1 - u) + u v, for several slow steps at once.

    Parameters
    ----------
    times_s : array_like
        Times [s].
    temps_c : array_like
        Temperatures of one place [°C], shape (n,).
    fast : HalfTime
        The step that shrinks it (u).
    slows : sequence of HalfTime
        Steps that may then dissolve it (1 - v), such as both ends of what is plausible.

    Returns
    -------
    FloatArray
        Share at the last sample [-], one for each slow step: the last of :func:`collagen_remaining`.

    Raises
    ------
    ValueError
        If times and temperatures do not fit.

    Warns
    -----
    OutsideRange
        If the temperature lies outside -1 to 95 °C.

    Notes
    -----
    Holds as :func:`collagen_remaining` does, from -1 to 95 °C.

    References
    ----------
    .. [1] Bouton and Harris, J. Food Science 1981: old animals 24 to 48 h at 60 °C (abstract read).

    Examples
    --------
    >>> fast, slow = HalfTime(660.0, 58.0, 520.0), HalfTime(43200.0, 60.0, 75.0)
    >>> collagen_left([0, 43200], [60, 60], fast, [slow]).round(2).tolist()
    [0.5]
    """
    warn_outside("softening of collagen", "temperature", temps_c, *_COLLAGEN_C, "°C")
    times, temps, _ = refined(*checked_history(times_s, temps_c))
    spans = sample_spans(times)
    shrunk, *dissolved = (-np.expm1(-(spans @ step.rate(temps))) for step in (fast, *slows))
    return np.asarray(1 - shrunk * np.array(dissolved), dtype=np.float64)


def fibre_hardening_long(temp_c: npt.ArrayLike, from_c: float, to_c: float, slope_per_c: float) -> FloatArray:
    r"""Toughening of lean fibres by a long hold, :math:`e^{s(T-T_1)}` between two temperatures, flat outside.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the hold [°C].
    from_c, to_c : float
        Ends of the range [°C].
    slope_per_c : float
        Rise of the logarithm [1/°C].

    Returns
    -------
    FloatArray
        Factor [-], 1 at and below `from_c`.

    Raises
    ------
    ValueError
        If the range is empty or the slope negative.

    Warns
    -----
    OutsideRange
        If the temperature lies outside what is named in the notes.

    Notes
    -----
    One muscle, one study (57 to 63 °C, 11 to 17 h, beef semimembranosus); outside `from_c` to `to_c` it is held
    flat and warns. Not for cuts rich in collagen, which soften as the hold gets hotter.

    References
    ----------
    .. [1] Liu et al., Meat Research 38(1) (2024) 44 (abstract read).

    Examples
    --------
    >>> fibre_hardening_long([50, 57, 63, 70], 57.0, 63.0, 0.07).round(2).tolist()
    [1.0, 1.0, 1.52, 1.52]
    """
    rise = _rise(temp_c, from_c, to_c, slope_per_c)
    warn_outside("fibres hardening in a long hold", "temperature", temp_c, from_c, to_c, "°C")
    return np.exp(slope_per_c * rise)


def fibre_hardening_short(temp_c: npt.ArrayLike, from_c: float, to_c: float, slope_per_c: float) -> FloatArray:
    """Toughening of fibres in a short cook, 1 + s (T - T1) between two temperatures, flat outside.

    Parameters
    ----------
    temp_c : array_like
        Highest temperature reached [°C].
    from_c, to_c : float
        Ends of the range [°C].
    slope_per_c : float
        Rise [1/°C].

    Returns
    -------
    FloatArray
        Factor [-], 1 at and below `from_c`.

    Raises
    ------
    ValueError
        If the range is empty or the slope negative.

    Warns
    -----
    OutsideRange
        If a temperature is above 90 °C.

    Notes
    -----
    An estimate, from `from_c` to `to_c`; flat outside, since what is hotter in a short cook is usually no harder for
    it: up to 90 °C, the hottest of the study. Below `from_c` nothing hardens, so that no cold is too cold for it.

    References
    ----------
    .. [1] Christensen, Purslow and Larsen, Meat Science 55 (2000) 301-307 (abstract read), for the direction;
       the hottest of the study from memory.

    Examples
    --------
    >>> fibre_hardening_short([55, 70, 90], 60.0, 80.0, 0.02).round(2).tolist()
    [1.0, 1.2, 1.4]
    """
    rise = _rise(temp_c, from_c, to_c, slope_per_c)
    felt = np.maximum(np.asarray(temp_c, dtype=np.float64), from_c)
    warn_outside("fibres hardening in a short cook", "temperature", felt, from_c, _SHORT_COOK_C, "°C")
    return 1 + slope_per_c * rise


def _rise(temp_c: npt.ArrayLike, from_c: float, to_c: float, slope_per_c: float) -> FloatArray:
    """Degrees above the start of a range, no more than the range holds."""
    require_not_negative(slope_per_c=slope_per_c)
    if not from_c < to_c:
        raise ValueError(f"from_c must be below to_c, got {from_c} and {to_c}")
    return np.asarray(np.clip(celsius_array(temp_c), from_c, to_c) - from_c, dtype=np.float64)


def tenderness_index(
    base_kgf: float,
    *,
    collagen_share: float,
    hardening: float,
    remaining: float,
    enzyme_factor: float,
    mechanical_factor: float,
) -> float:
    """Shear force to be expected, F0 [(1 - g) H + g c] e m.

    Parameters
    ----------
    base_kgf : float
        Shear force of the cut, plainly cooked [kgf].
    collagen_share : float
        Share g of the toughness that is connective tissue [-].
    hardening : float
        Factor H of the fibres [-].
    remaining : float
        Connective tissue left, c [-].
    enzyme_factor, mechanical_factor : float
        What enzyme and blades or mallet leave [-].

    Returns
    -------
    float
        Shear force [kgf].

    Raises
    ------
    ValueError
        If a share is not from 0 to 1 or another value not above zero.

    Warns
    -----
    OutsideRange
        If the base lies outside 1 to 15 kgf.

    Notes
    -----
    An index that ranks plans for one cut; the shares are estimates. Show a band:
    :func:`advisor.science.tenderness.tenderness_band`. Warns for a base outside 1 to 15 kgf.

    References
    ----------
    None: an index of this project (estimate).

    Examples
    --------
    >>> tenderness_index(
    ...     5.0, collagen_share=0.5, hardening=1.0, remaining=0.2, enzyme_factor=1.0, mechanical_factor=1.0
    ... )
    3.0
    """
    require_positive(base_kgf=base_kgf, hardening=hardening)
    require_fraction(
        collagen_share=collagen_share,
        remaining=remaining,
        enzyme_factor=enzyme_factor,
        mechanical_factor=mechanical_factor,
    )
    warn_outside("shear force to be expected", "base", base_kgf, *_INDEX_KGF, "kgf")
    structure = (1 - collagen_share) * hardening + collagen_share * remaining
    return base_kgf * structure * enzyme_factor * mechanical_factor
