"""Enzymes against measured heat loss, and their work against hand sums."""

import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML
from scipy.integrate import solve_ivp

from advisor.science.enzyme import (
    arrhenius_loss_rate,
    enzyme_work,
    equivalent_time_s,
    eyring_loss_rate,
    mean_shear_factor,
    reached_fraction,
    reference_loss_rate,
    relative_activity,
    remaining_activity,
    shear_factor,
)

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "enzyme_heat_loss.yaml")
BROMELAIN, PAPAIN, ACTIVITY = PUBLISHED["bromelain"], PUBLISHED["papain"], PUBLISHED["activity"]


def bromelain_loss(temp_c):
    return arrhenius_loss_rate(temp_c, BROMELAIN["prefactor_per_min"] / 60, BROMELAIN["activation_kj_mol"])


def activity(temp_c):
    return relative_activity(temp_c, 45.0, ACTIVITY["ref_c"])


def half_life_min(rate_per_s):
    return math.log(2) / float(rate_per_s) / 60


@pytest.mark.parametrize(("temp_c", "minutes"), BROMELAIN["half_life_min"].items())
def test_bromelain_half_lives(temp_c, minutes):
    """R to ten digits where the file's figures used 8.314 shifts these by 0.7 %; the rest is rounding."""
    assert half_life_min(bromelain_loss(temp_c)) == pytest.approx(minutes, rel=0.013)


@pytest.mark.parametrize(("temp_c", "minutes", "left"), BROMELAIN["independent_check"]["rows"])
def test_bromelain_left_agrees_with_another_laboratory(temp_c, minutes, left):
    """The other laboratory's juice kept 83 % after an hour at 50 C; these constants say 85 %."""
    seconds = minutes * 60
    remaining = remaining_activity([0, seconds], [temp_c, temp_c], bromelain_loss, 1.0)[-1]
    assert remaining == pytest.approx(left, abs=0.025)


@pytest.mark.parametrize(("temp_c", "minutes"), PAPAIN["half_life_min"].items())
def test_papain_half_lives(temp_c, minutes):
    rate = eyring_loss_rate(temp_c, PAPAIN["enthalpy_kj_mol"], PAPAIN["entropy_j_mol_k"])
    assert half_life_min(rate) == pytest.approx(minutes, rel=0.013)


def test_koji_keeps_a_fifth_after_four_hours():
    row = PUBLISHED["koji"]["row"]
    rate = math.log(2) / (row["half_life_min"] * 60)
    seconds = row["minutes"] * 60
    left = remaining_activity([0, seconds], [55, 55], lambda temps: reference_loss_rate(temps, rate, 55.0, 200.0), 1.0)[
        -1
    ]
    assert left == pytest.approx(row["left"], abs=0.002)


@pytest.mark.parametrize(
    ("energy", "temp_c", "relative"),
    [
        (energy, temp_c, relative)
        for energy in (35, 45, 55)
        for temp_c, relative in ACTIVITY[f"relative_{energy}"].items()
    ],
)
def test_relative_activity(energy, temp_c, relative):
    rate = float(relative_activity(temp_c, energy, ACTIVITY["ref_c"]))
    assert rate == pytest.approx(relative, rel=0.006, abs=0.0006)  # printed to three decimals or digits


def test_a_fridge_night_is_worth_about_an_hour_in_the_bath():
    hours = equivalent_time_s(24 * 3600.0, 4.0, 55.0, 45.0) / 3600
    assert hours == pytest.approx(1.2, abs=0.06)
    assert equivalent_time_s(24 * 3600.0, 4.0, 55.0, 55.0) / 3600 == pytest.approx(0.6, abs=0.03)
    assert equivalent_time_s(24 * 3600.0, 4.0, 55.0, 35.0) / 3600 == pytest.approx(2.3, abs=0.06)


def test_the_anchor_experiment_gives_the_half_work():
    """Six percent pineapple juice, 50 C, one hour; the work that halved the shear is the scale's unit."""
    anchor = PUBLISHED["pineapple_on_beef"]
    times = [0, anchor["minutes"] * 60]
    work = enzyme_work(
        times,
        [anchor["temp_c"]] * 2,
        activity,
        bromelain_loss,
        dose_strength=anchor["dose_percent"],
        protection_factor=1.0,
    )[-1]
    assert work == pytest.approx(anchor["half_work"], rel=0.005)
    assert shear_factor(work, anchor["half_work"], 0.4) == pytest.approx(0.5, abs=0.003)


def test_work_agrees_with_a_stepping_solver_while_the_meat_warms():
    times = np.linspace(0, 7200, 61)
    temps = 60 - 55 * np.exp(-times / 1500)
    dose, protection = 5.0, 5.0

    def slopes(time, state):
        temp = np.interp(time, times, temps)
        return [
            -float(bromelain_loss(temp)) / protection * state[0],
            dose * float(activity(temp)) * state[0] / 3600,
        ]

    stepped = solve_ivp(slopes, (0, 7200), [1.0, 0.0], max_step=20, rtol=1e-8, atol=1e-10).y[:, -1]
    assert remaining_activity(times, temps, bromelain_loss, protection)[-1] == pytest.approx(stepped[0], rel=2e-3)
    work = enzyme_work(times, temps, activity, bromelain_loss, dose_strength=dose, protection_factor=protection)
    assert work[-1] == pytest.approx(stepped[1], rel=1e-3)


def test_one_long_stretch_at_a_killing_temperature_is_exact():
    """At 70 C the enzyme lives 18 s on average; two samples an hour apart must not give it half an hour."""
    rate = float(bromelain_loss(70.0))
    work = enzyme_work([0, 3600], [70, 70], activity, bromelain_loss, dose_strength=5.0, protection_factor=1.0)
    assert work[-1] == pytest.approx(5.0 * float(activity(70.0)) / rate / 3600)


def test_protection_slows_the_loss_as_many_times():
    bare = remaining_activity([0, 600], [60, 60], bromelain_loss, 1.0)[-1]
    inside = remaining_activity([0, 6000], [60, 60], bromelain_loss, 10.0)[-1]
    assert inside == pytest.approx(bare)


def test_rates_may_be_given_at_the_samples_and_for_many_depths():
    times = np.linspace(0, 600, 2000)
    temps = np.column_stack([np.linspace(50, 58, 2000), np.linspace(50, 61, 2000)])
    by_function = remaining_activity(times, temps, bromelain_loss, 1.0)
    by_samples = remaining_activity(times, temps, bromelain_loss(temps), 1.0)
    np.testing.assert_allclose(by_function, by_samples, rtol=1e-6)


def test_the_shear_factor_halves_and_stops_at_its_floor():
    assert shear_factor(0.0, 4.3, 0.4) == 1.0
    assert shear_factor(4.3 * math.log2(1 / 0.7), 4.3, 0.4) == pytest.approx(0.7)
    assert shear_factor(100.0, 4.3, 0.4) == 0.4


@pytest.mark.parametrize(("diffusivity", "hours", "depth_mm"), PUBLISHED["reach"]["depth_mm"])
def test_the_reach_of_an_enzyme(diffusivity, hours, depth_mm):
    reached = reached_fraction(diffusivity, hours * 3600.0, 0.025)
    assert reached == pytest.approx(2 * depth_mm / 25, rel=0.03)
    assert reached_fraction(diffusivity, hours * 3600.0, 1e-5) == 1.0


def test_a_piece_reached_in_part_is_softened_in_part():
    assert mean_shear_factor(0.0, 0.4) == 1.0
    assert mean_shear_factor(1.0, 0.4) == 0.4
    assert mean_shear_factor(0.2, 0.5) == pytest.approx(0.9)


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="loss rates of shape"):
        remaining_activity([0, 1], [50, 50], np.zeros(3), 1.0)
    with pytest.raises(ValueError, match="loss rates must be"):
        remaining_activity([0, 1], [50, 50], np.array([0.0, -1.0]), 1.0)
    with pytest.raises(ValueError, match="protection_factor"):
        remaining_activity([0, 1], [50, 50], np.zeros(2), 0.0)
    with pytest.raises(ValueError, match="dose_strength"):
        enzyme_work([0, 1], [50, 50], activity, np.zeros(2), dose_strength=-1.0, protection_factor=1.0)
    with pytest.raises(ValueError, match="half_work"):
        shear_factor(1.0, 0.0, 0.4)
    with pytest.raises(ValueError, match="floor"):
        shear_factor(1.0, 1.0, 1.4)
    with pytest.raises(ValueError, match="reached"):
        mean_shear_factor(1.1, 0.5)
    with pytest.raises(ValueError, match="thickness_m"):
        reached_fraction(1e-11, 3600.0, 0.0)
    with pytest.raises(ValueError, match="activation_kj_mol"):
        relative_activity(20.0, -1.0, 55.0)
    with pytest.raises(ValueError, match="absolute zero"):
        relative_activity(-274.0, 45.0, 55.0)
    with pytest.raises(ValueError, match="prefactor_per_s"):
        arrhenius_loss_rate(60.0, 0.0, 326.0)
    with pytest.raises(ValueError, match="enthalpy_kj_mol"):
        eyring_loss_rate(60.0, 0.0, -49.6)
    with pytest.raises(ValueError, match="rate_per_s_at_ref"):
        reference_loss_rate(60.0, -1.0, 55.0, 200.0)
