"""Bands of tenderness, chewing, loss and yield: ends by hand, and that worse in is never better out."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.science.band import Band, Confidence, certain
from advisor.science.serving import CookLossModel, chew_index, cook_loss_pct, myoglobin_denatured, slice_fibre_length_m
from advisor.science.tenderness import chew_band, loss_band, raw_weight_kg, spread, tenderness_band, yield_range
from advisor.science.texture import collagen_fast, fibre_hardening_long, tenderness_index
from advisor.science.validity import OutsideRange

MODEL = CookLossModel(5, 35, 61, 6, 3600, 16, 50, 7, 50400, 45)
NAMES = ("base_kgf", "collagen_share", "hardening", "remaining", "enzyme_factor", "mechanical_factor")
PLAIN = {
    "collagen_share": certain(0.5),
    "hardening": certain(1.0),
    "remaining": certain(1.0),
    "enzyme_factor": certain(1.0),
    "mechanical_factor": certain(1.0),
}


def bands(low, high):
    return st.tuples(*[st.floats(low, high)] * 3).map(lambda ends: Band(*sorted(ends)))


INPUTS = st.fixed_dictionaries(
    {
        "base_kgf": bands(2.0, 9.0),
        "collagen_share": bands(0.0, 1.0),
        "hardening": bands(1.0, 1.6),
        "remaining": bands(0.0, 1.0),
        "enzyme_factor": bands(0.4, 1.0),
        "mechanical_factor": bands(0.65, 1.0),
    }
)


def forecast(inputs):
    return tenderness_band(inputs["base_kgf"], **{name: inputs[name] for name in NAMES[1:]})


def test_what_is_certain_has_no_width():
    band = tenderness_band(certain(5.0), **(PLAIN | {"remaining": certain(0.2)}))
    assert (band.low, band.mid, band.high) == pytest.approx((3.0, 3.0, 3.0))
    assert band.confidence is Confidence.MEASURED


def test_one_uncertain_thing_gives_its_own_ends():
    band = tenderness_band(Band(4.6, 5.5, 7.0, Confidence.FAIR), **PLAIN)
    assert (band.low, band.mid, band.high) == pytest.approx((4.6, 5.5, 7.0))
    assert band.confidence is Confidence.FAIR


def test_two_add_as_the_root_of_squares_by_hand():
    band = tenderness_band(Band(4.0, 5.0, 6.0), **(PLAIN | {"mechanical_factor": Band(0.7, 0.85, 0.9)}))
    assert band.mid == pytest.approx(4.25)
    assert band.high == pytest.approx(4.25 + math.hypot(0.85, 0.25))
    assert band.low == pytest.approx(4.25 - math.hypot(0.85, 0.75))


@settings(max_examples=150, deadline=None)
@given(INPUTS)
def test_the_band_lies_within_all_ends_together(inputs):
    band = forecast(inputs)
    corners = [
        tenderness_index(
            base,
            collagen_share=share,
            hardening=getattr(inputs["hardening"], end),
            remaining=getattr(inputs["remaining"], end),
            enzyme_factor=getattr(inputs["enzyme_factor"], end),
            mechanical_factor=getattr(inputs["mechanical_factor"], end),
        )
        for end in ("low", "high")
        for base in (getattr(inputs["base_kgf"], end),)
        for share in (inputs["collagen_share"].low, inputs["collagen_share"].high)
    ]
    assert min(corners) - 1e-9 <= band.low <= band.mid <= band.high <= max(corners) + 1e-9


@settings(max_examples=150, deadline=None)
@given(INPUTS, st.sampled_from([n for n in NAMES if n != "collagen_share"]), st.floats(0, 1))
def test_a_tougher_input_never_gives_a_tenderer_middle_or_worse_end(inputs, name, part):
    top = {"base_kgf": 9.0, "hardening": 1.6}.get(name, 1.0)
    old = inputs[name]
    raised = Band(*(end + part * (top - end) for end in (old.low, old.mid, old.high)))
    before, after = forecast(inputs), forecast(inputs | {name: raised})
    assert after.mid >= before.mid - 1e-9
    widened = forecast(inputs | {name: Band(old.low, old.mid, old.high + part * (top - old.high))})
    assert widened.high >= before.high - 1e-9
    assert widened.mid == pytest.approx(before.mid)


def test_thin_and_square_is_easier_to_chew_than_thick_or_slanting():
    settings_ = {"piece_length_m": 0.2, "reference_shear_kgf": 4.4, "reference_length_m": 0.01, "exponent": 0.5}
    shear = Band(3.5, 4.4, 5.3)
    thin = chew_band(shear, slice_m=certain(0.003), angle_deg=certain(90.0), **settings_)
    thick = chew_band(shear, slice_m=certain(0.008), angle_deg=certain(90.0), **settings_)
    slanting = chew_band(shear, slice_m=certain(0.003), angle_deg=certain(30.0), **settings_)
    along = chew_band(shear, slice_m=certain(0.003), angle_deg=certain(0.0), **settings_)
    assert thin.mid < slanting.mid < thick.mid < along.mid
    assert along.mid == pytest.approx(1.0)
    assert thin.mid == pytest.approx(math.sqrt(0.3))
    unsteady = chew_band(shear, slice_m=Band(0.002, 0.003, 0.005), angle_deg=Band(60, 80, 90), **settings_)
    assert unsteady.low < thin.low < thin.high < unsteady.high


def test_loss_as_a_band_stays_between_none_and_the_cap():
    short = loss_band(certain(52.0), 600.0, MODEL, 6.0)
    assert short.low == 0.0
    long = loss_band(certain(70.0), 40 * 3600.0, MODEL, 6.0)
    assert long.high == 45.0
    wide = loss_band(Band(55, 57, 60), 12 * 3600.0, MODEL, 6.0)
    plain = cook_loss_pct(57.0, 12 * 3600.0, MODEL)
    assert wide.mid == pytest.approx(plain)
    assert wide.high == pytest.approx(plain + math.hypot(6.0, cook_loss_pct(60.0, 12 * 3600.0, MODEL) - plain))


def test_yield_by_hand_and_back():
    loss, trim = Band(20, 26, 32), Band(0.05, 0.1, 0.15)
    band = yield_range(2.0, loss, trim, added_kg=0.15)
    assert band.mid == pytest.approx((1.8 + 0.15) * 0.74)
    assert band.low == pytest.approx((1.7 + 0.15) * 0.68)
    need = raw_weight_kg(1.2, loss, trim)
    assert yield_range(need.high, loss, trim).low == pytest.approx(1.2)
    assert need.low < need.mid < need.high
    with pytest.raises(ValueError, match="nothing would be left"):
        raw_weight_kg(1.0, certain(20.0), Band(0.1, 0.5, 1.0))


def test_models_warn_beyond_their_range():
    with pytest.warns(OutsideRange, match="cooking loss"):
        cook_loss_pct(90.0, 3600.0, MODEL)
    with pytest.warns(OutsideRange, match="cooking loss"):
        cook_loss_pct(60.0, 72 * 3600.0, MODEL)
    with pytest.warns(OutsideRange, match="softening of collagen"):
        collagen_fast([0, 60], [60, 120], 660.0, 58.0, 520.0)
    with pytest.warns(OutsideRange, match="long hold"):
        fibre_hardening_long(75.0, 57.0, 63.0, 0.07)
    with pytest.warns(OutsideRange, match="shear force to be expected"):
        tenderness_band(certain(20.0), **PLAIN)
    with pytest.warns(OutsideRange, match="pigment"):
        myoglobin_denatured([0, 60], [85, 85], 7.98e43 / 60, 290.0)
    with pytest.warns(OutsideRange, match="fibres in a slice"):
        slice_fibre_length_m(0.05, 90.0, 0.2)
    with pytest.warns(OutsideRange, match="chewing"):
        chew_index(20.0, 0.01, 4.4, 0.01, 0.5)
    with pytest.warns(OutsideRange, match="weight to be served"):
        yield_range(1.0, certain(70.0), certain(0.0))


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="at least one input"):
        spread({}, lambda _: 1.0)
    with pytest.raises(ValueError, match="remaining"):
        tenderness_band(certain(5.0), **(PLAIN | {"remaining": certain(1.5)}))
    with pytest.raises(ValueError, match="raw_kg"):
        yield_range(0.0, certain(20.0), certain(0.1))
    with pytest.raises(ValueError, match="_loss"):
        yield_range(1.0, certain(120.0), certain(0.1))
    with pytest.raises(ValueError, match="_trim"):
        yield_range(1.0, certain(20.0), certain(1.1))
    with pytest.raises(ValueError, match="added_kg"):
        yield_range(1.0, certain(20.0), certain(0.1), added_kg=-1.0)
    with pytest.raises(ValueError, match="served_kg"):
        raw_weight_kg(0.0, certain(20.0), certain(0.1))
