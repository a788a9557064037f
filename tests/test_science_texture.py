"""Collagen, fibres, slices and loss: how the models behave; what is published stands in ``published/``."""

import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from advisor.science.texture import (
    CookLossModel,
    HalfTime,
    chew_index,
    collagen_fast,
    collagen_left,
    collagen_remaining,
    cook_loss_pct,
    fibre_hardening_long,
    fibre_hardening_short,
    hankinson_strength,
    slice_fibre_length_m,
    tenderness_index,
)

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "texture_of_cooked_meat.yaml")
FAST_ROW, SLOW_ROW = PUBLISHED["collagen_fast"], PUBLISHED["collagen_slow"]
FAST = HalfTime(FAST_ROW["half_time_min"] * 60.0, FAST_ROW["ref_c"], FAST_ROW["activation_kj_mol"])
SLOW = HalfTime(SLOW_ROW["half_time_h"] * 3600.0, SLOW_ROW["ref_c"], SLOW_ROW["activation_kj_mol"])
LOSS = PUBLISHED["cook_loss"]


@pytest.mark.parametrize("temp_c", FAST_ROW["half_times_min"])
def test_half_of_the_collagen_shrinks_in_its_half_time(temp_c):
    half_s = math.log(2) / float(FAST.rate(np.array(float(temp_c))))
    shrunk = collagen_fast([0, half_s], [temp_c] * 2, FAST.half_time_at_ref_s, FAST.ref_c, FAST.activation_kj_mol)
    assert shrunk[-1] == pytest.approx(0.5)


def test_nothing_dissolves_before_it_has_shrunk():
    held = collagen_remaining([0, 24 * 3600], [50, 50], FAST, SLOW)[-1]
    shrunk = collagen_fast([0, 24 * 3600], [50, 50], FAST.half_time_at_ref_s, FAST.ref_c, FAST.activation_kj_mol)[-1]
    assert held > 1 - shrunk
    # Below 54 C collagen hardly moves in a working day.
    assert collagen_remaining([0, 8 * 3600], [50, 50], FAST, SLOW)[-1] > 0.95


def test_a_warming_core_gives_the_same_from_few_samples_as_from_many():
    few = collagen_remaining([0, 3600], [50, 62], FAST, SLOW)[-1]
    times = np.linspace(0, 3600, 5001)
    many = collagen_remaining(times, 50 + 12 * times / 3600, FAST, SLOW)[-1]
    assert few == pytest.approx(many, rel=2e-3)


def test_fibres_harden_in_long_holds_between_57_and_63_c():
    assert fibre_hardening_long([40.0, 57.0, 80.0], 57.0, 63.0, 0.07).round(3).tolist() == [1.0, 1.0, 1.522]


def test_fibres_harden_in_short_cooks_between_60_and_80_c():
    assert fibre_hardening_short([50.0, 60.0, 70.0, 80.0, 90.0], 60.0, 80.0, 0.02).round(3).tolist() == [
        1.0,
        1.0,
        1.2,
        1.4,
        1.4,
    ]


def test_the_index_is_the_base_when_nothing_is_done_and_falls_with_each_help():
    plain = {
        "collagen_share": 0.35,
        "hardening": 1.0,
        "remaining": 1.0,
        "enzyme_factor": 1.0,
        "mechanical_factor": 1.0,
    }
    assert tenderness_index(5.0, **plain) == pytest.approx(5.0)
    assert tenderness_index(5.0, **(plain | {"remaining": 0.2})) == pytest.approx(5.0 * (0.65 + 0.35 * 0.2))
    assert tenderness_index(5.0, **(plain | {"enzyme_factor": 0.5, "mechanical_factor": 0.8})) == pytest.approx(2.0)
    assert tenderness_index(5.0, **(plain | {"hardening": 1.5})) == pytest.approx(5.0 * (0.65 * 1.5 + 0.35))


def test_a_slice_along_the_fibres_holds_them_whole():
    assert slice_fibre_length_m(0.005, 0.0, 0.3) == 0.3
    assert slice_fibre_length_m(0.005, 0.5, 0.3) == 0.3


def test_the_chew_index_counts_force_and_the_root_of_length_up_to_a_bite():
    assert chew_index(4.4, 0.010, 4.4, 0.010, 0.5) == pytest.approx(1.0)
    assert chew_index(4.4, 0.200, 4.4, 0.010, 0.5) == pytest.approx(1.0)
    assert chew_index(8.8, 0.0049, 4.4, 0.010, 0.5) == pytest.approx(2 * 0.7)


def loss_model():
    constants = dict(LOSS["constants"])
    constants["fast_s"] = constants.pop("fast_h") * 3600.0
    constants["slow_s"] = constants.pop("slow_h") * 3600.0
    return CookLossModel(**constants)


def test_cook_loss_stops_at_its_cap():
    assert cook_loss_pct(80.0, 1e7, loss_model()) == 45
    assert cook_loss_pct(60.0, 0.0, loss_model()) == 0


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="half_time_at_ref_s"):
        HalfTime(0.0, 58.0, 520.0)
    with pytest.raises(ValueError, match="from_c"):
        fibre_hardening_long(60.0, 63.0, 57.0, 0.07)
    with pytest.raises(ValueError, match="slope_per_c"):
        fibre_hardening_short(60.0, 60.0, 80.0, -0.02)
    with pytest.raises(ValueError, match="collagen_share"):
        tenderness_index(
            5.0, collagen_share=35.0, hardening=1.0, remaining=1.0, enzyme_factor=1.0, mechanical_factor=1.0
        )
    with pytest.raises(ValueError, match="angle_deg"):
        slice_fibre_length_m(0.005, 91.0, 0.3)
    with pytest.raises(ValueError, match="across"):
        hankinson_strength(45.0, 300.0, 0.0)
    with pytest.raises(ValueError, match="fibre_length_m"):
        chew_index(4.4, 0.0, 4.4, 0.010, 0.5)
    with pytest.raises(ValueError, match="cap_pct"):
        CookLossModel(5, 35, 61, 6, 3600, 16, 50, 7, 50400, 145)
    with pytest.raises(ValueError, match="time_s"):
        cook_loss_pct(60.0, -1.0, loss_model())


def test_what_collagen_is_left_by_the_end_is_the_last_of_its_whole_course():
    times = np.cumsum(np.linspace(60, 900, 50))
    temps = 40 + 45 * np.sin(np.linspace(0, 3, 50)) ** 2
    slows = [HalfTime(hours * 3600, 60.0, 75.0) for hours in (6, 12, 24)]
    whole = [collagen_remaining(times, temps, FAST, slow)[-1] for slow in slows]
    assert collagen_left(times, temps, FAST, slows) == pytest.approx(whole, rel=1e-12)
