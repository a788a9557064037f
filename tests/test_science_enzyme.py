"""Enzyme work against hand sums and a stepping solver; what is published stands in ``published/``."""

import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML
from scipy.integrate import solve_ivp

from advisor.science.enzyme import (
    arrhenius_loss_rate,
    enzyme_work,
    eyring_loss_rate,
    mean_shear_factor,
    reached_fraction,
    reference_loss_rate,
    relative_activity,
    remaining_activity,
    shear_factor,
)

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "enzyme_heat_loss.yaml")
BROMELAIN, ACTIVITY = PUBLISHED["bromelain"], PUBLISHED["activity"]


def bromelain_loss(temp_c):
    return arrhenius_loss_rate(temp_c, BROMELAIN["prefactor_per_min"] / 60, BROMELAIN["activation_kj_mol"])


def activity(temp_c):
    return relative_activity(temp_c, 45.0, ACTIVITY["ref_c"])


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


def test_the_reach_of_an_enzyme_is_twice_its_depth_up_to_the_whole():
    assert reached_fraction(1e-11, 24 * 3600.0, 0.025) == pytest.approx(2 * math.sqrt(1e-11 * 86400) / 0.025)
    assert reached_fraction(1e-11, 24 * 3600.0, 1e-5) == 1.0


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
