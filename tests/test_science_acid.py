"""Acid and soda: balances of charge, and the bands at their limits."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.science.acid import (
    ACETIC,
    BICARBONATE,
    CITRIC,
    LACTIC,
    Buffer,
    ph_after,
    ph_after_strong,
    retarded_diffusivity,
    sour_depth_m,
)
from advisor.science.acid_bands import AcidBand, SodaBand, acid_band, soda_band
from advisor.science.validity import OutsideRange

LIMITS = {"chalky_below": 4.5, "softens_below": 4.8, "worst": (5.0, 5.5)}
SODA = {"low": 0.3, "high": 0.6, "soapy_above": 0.8}
ACIDS = (ACETIC, LACTIC, CITRIC)


@pytest.mark.parametrize("buffer", [*ACIDS, BICARBONATE])
@pytest.mark.parametrize("amount", [0.0, 0.001, 0.005, 0.02])
def test_charge_balances(buffer, amount):
    after = ph_after(5.7, buffer, amount, 0.05)
    assert amount / buffer.kg_per_mol * buffer.protons(after) == pytest.approx(0.05 * (5.7 - after), abs=1e-9)


@given(st.sampled_from(ACIDS), st.floats(0, 0.03), st.floats(1.01, 3), st.floats(0.03, 0.08))
def test_more_acid_is_sourer_and_more_buffer_less_so(acid, amount, times, capacity):
    after = ph_after(5.7, acid, amount, capacity)
    assert after <= 5.7 + 1e-9
    assert ph_after(5.7, acid, amount * times, capacity) <= after + 1e-9
    assert ph_after(5.7, acid, amount, capacity * times) >= after - 1e-9
    # A weak acid never does more than if it gave up every proton.
    all_given = amount / acid.kg_per_mol * len(acid.pka)
    assert after >= ph_after_strong(5.7, all_given, capacity) - 1e-9


@given(st.floats(0, 0.02), st.floats(1.01, 3))
def test_more_soda_is_more_alkaline(amount, times):
    after = ph_after(5.7, BICARBONATE, amount, 0.05)
    assert 5.7 - 1e-9 <= after <= ph_after_strong(5.7, -amount / BICARBONATE.kg_per_mol, 0.05) + 1e-9
    assert ph_after(5.7, BICARBONATE, amount * times, 0.05) >= after - 1e-9


def test_half_a_mole_of_a_strong_acid_by_hand():
    assert ph_after_strong(5.6, 0.025, 0.05) == pytest.approx(5.1)
    assert ph_after_strong(5.6, -0.05, 0.05) == pytest.approx(6.6)


def test_the_front_is_held_up_by_the_meat_it_turns():
    assert retarded_diffusivity(4e-10, 0.5, 0.0, 0.05) == pytest.approx(4e-10)
    strong, weak = (retarded_diffusivity(4e-10, acid, 1.0, 0.05) for acid in (0.5, 0.01))
    assert weak == pytest.approx(4e-10 / 6)
    assert strong == pytest.approx(4e-10 / 1.1)
    assert sour_depth_m(weak, 4 * 3600.0) == pytest.approx(math.sqrt(weak * 14400))


@pytest.mark.parametrize(
    ("ph", "band"),
    [
        (3.1, AcidBand.CHALKY),
        (4.5, AcidBand.SOFTENS),
        (4.79, AcidBand.SOFTENS),
        (4.8, AcidBand.BETWEEN),
        (5.0, AcidBand.WORST),
        (5.5, AcidBand.WORST),
        (5.51, AcidBand.PLAIN),
    ],
)
def test_acid_bands_at_their_limits(ph, band):
    assert acid_band(ph, **LIMITS) is band


@pytest.mark.parametrize(
    ("pct", "band"),
    [
        (0.0, SodaBand.NONE),
        (0.3, SodaBand.WORKS),
        (0.31, SodaBand.FULL),
        (0.6, SodaBand.FULL),
        (0.7, SodaBand.TOO_MUCH),
        (0.8, SodaBand.TOO_MUCH),
        (0.81, SodaBand.SOAPY),
    ],
)
def test_soda_bands_at_their_limits(pct, band):
    assert soda_band(pct, **SODA) is band


def test_models_warn_beyond_their_range():
    with pytest.warns(OutsideRange, match="acidity of meat"):
        ph_after(5.6, CITRIC, 0.03, 0.05)
    with pytest.warns(OutsideRange, match="acidity of meat"):
        ph_after_strong(5.6, 0.1, 0.05)
    with pytest.warns(OutsideRange, match="fall of pH"):
        retarded_diffusivity(4e-10, 0.5, 3.0, 0.05)
    with pytest.warns(OutsideRange, match="sour front"):
        sour_depth_m(1e-10, 100 * 3600.0)
    with pytest.warns(OutsideRange, match="soda"):
        soda_band(3.0, **SODA)


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="ph of meat"):
        ph_after(1.0, ACETIC, 0.01, 0.05)
    with pytest.raises(ValueError, match="ph of meat"):
        ph_after_strong(11.0, 0.01, 0.05)
    with pytest.raises(ValueError, match="kg_per_kg"):
        ph_after(5.6, ACETIC, -0.01, 0.05)
    with pytest.raises(ValueError, match="buffering"):
        ph_after(5.6, ACETIC, 0.01, 0.0)
    with pytest.raises(ValueError, match="finite"):
        ph_after_strong(5.6, math.inf, 0.05)
    with pytest.raises(ValueError, match="pka"):
        Buffer(0.06, ())
    with pytest.raises(ValueError, match="kg_per_mol"):
        Buffer(0.0, (4.8,))
    with pytest.raises(ValueError, match="acid_mol_kg"):
        retarded_diffusivity(4e-10, 0.0, 1.0, 0.05)
    with pytest.raises(ValueError, match="time_s"):
        sour_depth_m(1e-10, -1.0)
    with pytest.raises(ValueError, match="limits"):
        acid_band(5.0, chalky_below=4.9, softens_below=4.8, worst=(5.0, 5.5))
    with pytest.raises(ValueError, match="from 0 to 14"):
        acid_band(15.0, **LIMITS)
    with pytest.raises(ValueError, match="limits"):
        soda_band(0.5, low=0.7, high=0.6, soapy_above=0.8)
    with pytest.raises(ValueError, match="pct"):
        soda_band(-0.5, **SODA)
