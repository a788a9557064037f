r"""Tenderness, slices and yield as bands: what is expected, how far it may be out, and how sure that is.

Every number that goes in is uncertain: the muscle, its collagen, how hard the fibres get, what enzyme and blades leave.
With all of them at their kind end, or all at their unkind, no forecast would tell two plans apart, and all at once is
improbable, since they are uncertain for reasons of their own. So the band is the root of the sum of squares of what
each does alone,

.. math:: F_{high} = F + \sqrt{\textstyle\sum_i (F(\text{input } i \text{ at its unkind end}) - F)^2}

and never wider than with all together. Each side is taken by itself. A worse end never gives a better band.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TypeAlias

from advisor.science.band import Band, certain, least_sure
from advisor.science.history import require_fraction, require_positive
from advisor.science.serving import CookLossModel, chew_index, cook_loss_pct, slice_fibre_length_m
from advisor.science.texture import tenderness_index
from advisor.science.validity import warn_outside

_PERCENT = 100.0
Formula: TypeAlias = Callable[[Mapping[str, float]], float]


def spread(inputs: Mapping[str, Band], formula: Formula) -> Band:
    r"""Band of a result from the bands of what goes into it, as the module says.

    .. math:: F_{high} = F + \sqrt{\textstyle\sum_i (F_i - F)^2}

    Parameters
    ----------
    inputs : mapping of str to Band
        What goes in, by name.
    formula : callable
        The result of one value for each name. It must rise or fall with each of them throughout.

    Returns
    -------
    Band
        In the unit of the result, as sure as the least sure input that has a width.

    Raises
    ------
    ValueError
        If nothing goes in, or the formula refuses a value.

    Notes
    -----
    Holds everywhere. Root of the sum of squares: exact for small independent effects that add, and within the band of
    all ends together always.

    References
    ----------
    .. [1] Propagation of uncertainty, JCGM 100:2008, sec. 5.1 (from memory), with ends in place of deviations.

    Examples
    --------
    >>> band = spread({"a": Band(1, 2, 3), "b": Band(4, 5, 6)}, lambda values: values["a"] + values["b"])
    >>> round(band.low, 2), band.mid, round(band.high, 2)
    (5.59, 7, 8.41)
    """
    if not inputs:
        raise ValueError("at least one input is needed")
    middle = {name: band.mid for name, band in inputs.items()}
    mid = formula(middle)
    below = above = 0.0
    best, worst = dict(middle), dict(middle)
    for name, band in inputs.items():
        ends = {end: formula(middle | {name: end}) for end in (band.low, band.high)}
        least, most = min(ends, key=ends.__getitem__), max(ends, key=ends.__getitem__)
        below += max(0.0, mid - ends[least]) ** 2
        above += max(0.0, ends[most] - mid) ** 2
        best[name], worst[name] = least, most
    low = min(mid, max(mid - math.sqrt(below), formula(best)))
    high = max(mid, min(mid + math.sqrt(above), formula(worst)))
    return Band(low, mid, high, least_sure(*inputs.values()))


def tenderness_band(
    base_kgf: Band,
    *,
    collagen_share: Band,
    hardening: Band,
    remaining: Band,
    enzyme_factor: Band,
    mechanical_factor: Band,
) -> Band:
    """Shear force to be expected as a band, of F0 [(1 - g) H + g c] e m.

    Parameters
    ----------
    base_kgf : Band
        Shear force of the cut, plainly cooked [kgf].
    collagen_share : Band
        Share g of the toughness that is connective tissue [-].
    hardening : Band
        Factor H of the fibres [-].
    remaining : Band
        Connective tissue left, c [-].
    enzyme_factor, mechanical_factor : Band
        What enzyme and blades or mallet leave [-].

    Returns
    -------
    Band
        Shear force [kgf], with its confidence.

    Raises
    ------
    ValueError
        If a share is not from 0 to 1 or another value not above zero.

    Notes
    -----
    Low confidence in every case today: the shares of collagen are estimates. The index warns for a base
    outside 1 to 15 kgf.

    References
    ----------
    .. [1] Index of this project, see :func:`advisor.science.texture.tenderness_index` (estimate).

    Examples
    --------
    >>> one = certain(1.0)
    >>> band = tenderness_band(
    ...     Band(4.6, 5.5, 7.0),
    ...     collagen_share=Band(0.4, 0.5, 0.6),
    ...     hardening=one,
    ...     remaining=certain(0.2),
    ...     enzyme_factor=one,
    ...     mechanical_factor=one,
    ... )
    >>> round(band.low, 2), round(band.mid, 2), round(band.high, 2), band.confidence.value
    (2.6, 3.3, 4.3, 'low')
    """
    inputs = {
        "base_kgf": base_kgf,
        "collagen_share": collagen_share,
        "hardening": hardening,
        "remaining": remaining,
        "enzyme_factor": enzyme_factor,
        "mechanical_factor": mechanical_factor,
    }
    return spread(inputs, lambda values: tenderness_index(**values))


def chew_band(
    shear_kgf: Band,
    *,
    slice_m: Band,
    angle_deg: Band,
    piece_length_m: float,
    reference_shear_kgf: float,
    reference_length_m: float,
    exponent: float,
) -> Band:
    r"""Index of chewing as a band, with slice thickness and the knife's angle folded in.

    .. math:: C = \frac{F}{F_{ref}}\min\left(1, \frac{d/\sin\theta}{L_{ref}}\right)^n

    Parameters
    ----------
    shear_kgf : Band
        Shear force [kgf].
    slice_m : Band
        Thickness of the slices as the hand cuts them [m].
    angle_deg : Band
        Angle between the knife's plane and the fibres [°], 90 square across.
    piece_length_m : float
        Length of the fibres in the piece [m].
    reference_shear_kgf, reference_length_m : float
        Shear force that counts as 1 [kgf], and length beyond which longer fibres no longer matter [m].
    exponent : float
        How strongly the length of the fibres counts, from 0 to 1 [-].

    Returns
    -------
    Band
        Index [-], lower is easier.

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    An estimate, to rank slices of one cut; no curve of chewing against thickness was found in print.

    References
    ----------
    .. [1] Purslow, Meat Science 12 (1985) 39 (abstract read), for why short fibres are easy.

    Examples
    --------
    >>> flat, square = certain(0.004), certain(90.0)
    >>> band = chew_band(
    ...     Band(3.5, 4.4, 5.3),
    ...     slice_m=flat,
    ...     angle_deg=square,
    ...     piece_length_m=0.2,
    ...     reference_shear_kgf=4.4,
    ...     reference_length_m=0.01,
    ...     exponent=0.5,
    ... )
    >>> round(band.mid, 2)
    0.63
    """

    def index(values: Mapping[str, float]) -> float:
        fibres = slice_fibre_length_m(values["slice_m"], values["angle_deg"], piece_length_m)
        return chew_index(values["shear_kgf"], fibres, reference_shear_kgf, reference_length_m, exponent)

    return spread({"shear_kgf": shear_kgf, "slice_m": slice_m, "angle_deg": angle_deg}, index)


def loss_band(temp_c: Band, time_s: float, model: CookLossModel, uncertainty_pct: float) -> Band:
    r"""Weight lost in cooking as a band, percent of the raw weight.

    .. math:: L = L(T, t) \pm u

    Parameters
    ----------
    temp_c : Band
        Core temperature of the hold [°C].
    time_s : float
        Time at it [s].
    model : CookLossModel
        Constants.
    uncertainty_pct : float
        How far one piece may be from the model either way [percentage points].

    Returns
    -------
    Band
        Loss [%], from none to the model's cap.

    Raises
    ------
    ValueError
        If time or uncertainty is negative, or a temperature impossible.

    Notes
    -----
    As :func:`advisor.science.serving.cook_loss_pct`, which warns beyond what it was set by.

    References
    ----------
    .. [1] As there.

    Examples
    --------
    >>> model = CookLossModel(5, 35, 61, 6, 3600, 16, 50, 7, 50400, 45)
    >>> band = loss_band(certain(57.0), 12 * 3600.0, model, 6.0)
    >>> round(band.low), round(band.mid), round(band.high)
    (20, 26, 32)
    """
    scatter = Band(-uncertainty_pct, 0.0, uncertainty_pct)

    def loss(values: Mapping[str, float]) -> float:
        return min(max(cook_loss_pct(values["temp_c"], time_s, model) + values["scatter"], 0.0), model.cap_pct)

    return spread({"temp_c": temp_c, "scatter": scatter}, loss)


def yield_range(raw_kg: float, loss_pct: Band, trim_fraction: Band, added_kg: float = 0.0) -> Band:
    """Weight to be served from a raw weight, (m (1 - trim) + added) (1 - loss).

    Parameters
    ----------
    raw_kg : float
        Raw weight as bought [kg].
    loss_pct : Band
        Weight lost in cooking [%], :func:`loss_band`.
    trim_fraction : Band
        Trimmed off before cooking, as a share of the raw weight [kg/kg].
    added_kg : float
        Brine that stays in the meat [kg].

    Returns
    -------
    Band
        Served weight [kg]: all losses high, expected, all low.

    Raises
    ------
    ValueError
        If the weight is not above zero, a loss or a share out of range, or the added weight negative.

    Warns
    -----
    OutsideRange
        If the cooking loss lies outside 0 to 60 %.

    Notes
    -----
    Here the ends are taken together, not as a root of squares: who buys for a table must not come out short. Losses
    above 60 % are beyond all meat that was read, and warn.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> band = yield_range(1.0, Band(20, 26, 32), Band(0.05, 0.10, 0.15))
    >>> round(band.low, 2), round(band.mid, 2), round(band.high, 2)
    (0.58, 0.67, 0.76)
    """
    require_positive(raw_kg=raw_kg)
    require_fraction(least_trim=trim_fraction.low, most_trim=trim_fraction.high)
    require_fraction(least_loss=loss_pct.low / _PERCENT, most_loss=loss_pct.high / _PERCENT)
    if not (math.isfinite(added_kg) and added_kg >= 0):
        raise ValueError(f"added_kg must be a finite number, zero or above, got {added_kg}")
    warn_outside("weight to be served", "cooking loss", loss_pct.high, 0.0, 60.0, "%")

    def served(trim: float, loss: float) -> float:
        return (raw_kg * (1 - trim) + added_kg) * (1 - loss / _PERCENT)

    return Band(
        served(trim_fraction.high, loss_pct.high),
        served(trim_fraction.mid, loss_pct.mid),
        served(trim_fraction.low, loss_pct.low),
        least_sure(loss_pct, trim_fraction),
    )


def raw_weight_kg(served_kg: float, loss_pct: Band, trim_fraction: Band) -> Band:
    r"""Raw weight to buy for a served weight, the other way round.

    .. math:: m = \frac{m_s}{(1 - t)(1 - L)}

    Parameters
    ----------
    served_kg : float
        Weight to be served [kg].
    loss_pct : Band
        Weight lost in cooking [%].
    trim_fraction : Band
        Trimmed off before cooking [kg/kg].

    Returns
    -------
    Band
        Raw weight [kg]; with its high end nobody goes short.

    Raises
    ------
    ValueError
        If the weight is not above zero, or a loss or a share out of range or the whole.

    Notes
    -----
    As :func:`yield_range`.
    Holds where the bands put in hold.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> round(raw_weight_kg(1.0, Band(20, 26, 32), certain(0.1)).high, 2)
    1.63
    """
    require_positive(served_kg=served_kg)
    one = yield_range(1.0, loss_pct, trim_fraction)
    if one.low <= 0:
        raise ValueError("nothing would be left to serve")
    return Band(served_kg / one.high, served_kg / one.mid, served_kg / one.low, one.confidence)


__all__ = [
    "Band",
    "certain",
    "chew_band",
    "loss_band",
    "raw_weight_kg",
    "spread",
    "tenderness_band",
    "yield_range",
]
