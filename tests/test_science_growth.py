"""Growth: the curve, its lag and its edges; published doubling times and coolings stand in the report."""

import dataclasses
import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML
from scipy.integrate import quad
from scipy.optimize import brentq

from advisor.science.growth import GrowthCurve, cardinal_rate, grown_by_end, log_growth
from advisor.science.validity import gathered

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "growth_on_meat.yaml")
CURVES = {name: GrowthCurve(**entry["values"]) for name, entry in PUBLISHED["curves"].items()}
PERFRINGENS, SALMONELLA = CURVES["clostridium_perfringens"], CURVES["salmonella"]
SCHEDULES = {entry["name"]: entry for entry in PUBLISHED["accepted_cooling"]}


def rate_per_h(curve, temp_c):
    return float(
        cardinal_rate(
            temp_c,
            curve.t_min_c,
            curve.t_opt_c,
            curve.t_max_c,
            curve.mu_opt_per_h,
            floor_c=curve.floor_c,
            ceiling_c=curve.ceiling_c,
        )
    )


def test_the_curve_peaks_at_its_optimum_and_ends_at_both_ends():
    for curve in CURVES.values():
        temps = np.linspace(curve.t_min_c, curve.t_max_c, 5001)
        rates = cardinal_rate(temps, curve.t_min_c, curve.t_opt_c, curve.t_max_c, curve.mu_opt_per_h)
        assert np.max(rates) == pytest.approx(curve.mu_opt_per_h, rel=1e-6)
        assert temps[np.argmax(rates)] == pytest.approx(curve.t_opt_c, abs=0.02)
        assert rates[0] == rates[-1] == 0.0


def test_hard_limits_hold_where_the_curve_would_still_grow():
    assert PUBLISHED["none_below"]["finding"].startswith("no growth")
    assert rate_per_h(SALMONELLA, 5.2) > 0
    assert rate_per_h(SALMONELLA, 5.19) == 0
    warm = dataclasses.replace(SALMONELLA, ceiling_c=44.0)
    assert rate_per_h(warm, 44.0) > 0
    assert rate_per_h(warm, 44.01) == 0


def test_between_the_curves_end_and_a_higher_ceiling_nothing_grows():
    curve = GrowthCurve(7.7, 40.6, 46.7, 1.97, 7.0, 50.0, 0.0)  # S. aureus, abstract read; ceiling from memory
    assert rate_per_h(curve, 48.0) == 0
    assert rate_per_h(curve, 7.3) == 0


def test_without_lag_growth_is_the_rate_times_the_time():
    hours = 5.0
    grown = log_growth([0, hours * 3600], [25, 25], SALMONELLA)[-1]
    assert grown == pytest.approx(rate_per_h(SALMONELLA, 25.0) * hours / math.log(10))


def test_with_lag_growth_follows_the_physiological_state():
    """Written as in the source: ln N/N0 = I + ln[(exp(-I) + q0) / (1 + q0)], q0 = 1/(exp(h0) - 1)."""
    work = rate_per_h(PERFRINGENS, 43.5) * 2.0
    q0 = 1 / math.expm1(PERFRINGENS.lag_h0)
    expected = (work + math.log((math.exp(-work) + q0) / (1 + q0))) / math.log(10)
    assert log_growth([0, 7200], [43.5, 43.5], PERFRINGENS)[-1] == pytest.approx(expected)


def test_long_after_the_lag_growth_is_behind_by_h0():
    days = log_growth([0, 30 * 86400], [30, 30], PERFRINGENS)[-1]
    free = log_growth([0, 30 * 86400], [30, 30], dataclasses.replace(PERFRINGENS, lag_h0=0.0))[-1]
    assert free - days == pytest.approx(PERFRINGENS.lag_h0 / math.log(10))


def test_two_samples_outside_the_range_do_not_hide_the_growth_between():
    """A record with only its two ends, 60 and 5 C, against an integral by an independent quadrature."""
    free = dataclasses.replace(PERFRINGENS, lag_h0=0.0)
    hours = 6.0
    expected, _ = quad(
        lambda hour: rate_per_h(free, 60 - 55 * hour / hours),
        0,
        hours,
        points=[hours * (60 - 53.4) / 55, hours * (60 - 10.3) / 55],
    )
    assert log_growth([0, hours * 3600], [60, 5], free)[-1] == pytest.approx(expected / math.log(10), rel=1e-4)


def test_growth_of_many_depths_is_the_growth_of_each():
    times = np.linspace(0, 4 * 3600, 30)
    temps = np.column_stack([np.linspace(60, 10, 30), np.linspace(55, 20, 30), np.full(30, 38.0)])
    together = log_growth(times, temps, PERFRINGENS)
    assert together.shape == (30, 3)
    for place in range(3):
        # Depths share one set of fine steps, so the kink where growth begins is met a little differently.
        alone = log_growth(times, temps[:, place], PERFRINGENS)
        np.testing.assert_allclose(together[:, place], alone, atol=1e-4)


def straight(schedule):
    hours, temps = np.array(schedule["points"]).T
    return hours * 3600, temps


def log10_with(h0, history):
    return float(log_growth(*history, dataclasses.replace(PERFRINGENS, lag_h0=h0))[-1])


@pytest.mark.parametrize("name", SCHEDULES)
def test_without_lag_every_accepted_cooling_schedule_would_be_condemned(name):
    assert log10_with(0.0, straight(SCHEDULES[name])) == pytest.approx(SCHEDULES[name]["log10_without_lag"], abs=0.05)


@pytest.mark.parametrize("name", SCHEDULES)
def test_the_lag_that_makes_a_schedule_just_acceptable_is_the_stated_one(name):
    history = straight(SCHEDULES[name])
    h0 = brentq(lambda trial: log10_with(trial, history) - 1.0, 0.1, 12.0)
    assert h0 == pytest.approx(SCHEDULES[name]["h0_for_one_log"], abs=0.05)


def test_the_shipped_curves_are_those_checked_here(rulebase):
    """So that what is found with them holds for a plan; rows beside published values use the shipped ones."""
    for name, shipped in (("clostridium_perfringens", "c_perfringens"), ("salmonella", "salmonella")):
        grows = rulebase.organisms[shipped].growth
        for field, value in PUBLISHED["curves"][name]["values"].items():
            assert getattr(grows, "lag_h0_after_cooking" if field == "lag_h0" else field) == value


def test_growth_by_the_end_is_the_last_of_the_whole_course_for_every_organism_and_place():
    rng = np.random.default_rng(7)
    times = np.cumsum(rng.uniform(0, 900, 40))
    temps = np.cumsum(rng.normal(0, 4, (40, 2, 3)), axis=0) + 25
    curves = list(CURVES.values())
    with gathered():
        whole = [log_growth(times, temps, curve)[-1] for curve in curves]
        assert grown_by_end(times, temps, curves) == pytest.approx(np.array(whole), rel=1e-12)
        assert grown_by_end(times, temps, []).shape == (0, 2, 3)


def test_growth_beyond_six_powers_of_ten_is_told():
    for hours, beyond in ((6, False), (12, True)):
        with gathered() as found:
            grown = log_growth([0, hours * 3600], [40, 40], SALMONELLA)[-1]
        assert bool(found) is beyond
        assert all(warning.value == pytest.approx(grown) for warning in found)


def test_growth_outside_the_measured_temperatures_is_told_where_anything_grows():
    checked = dataclasses.replace(SALMONELLA, measured_c=(10.0, 15.0))
    for temps, values in (([10, 15], []), ([2, 4], []), ([60, 80], []), ([8, 12], [8.0]), ([12, 30], [30.0])):
        with gathered() as found:
            log_growth([0, 3600], temps, checked)
        assert [warning.value for warning in found] == values
    with gathered() as found:
        log_growth([0, 3600], [8, 30], SALMONELLA)
    assert not found, "no range, nothing to tell"


def test_an_impossible_curve_is_refused():
    good = PUBLISHED["curves"]["salmonella"]["values"]
    for wrong, message in (
        ({"t_min_c": 41.0}, "t_min_c < t_opt_c"),
        ({"t_opt_c": 20.0}, "middle"),
        ({"mu_opt_per_h": 0.0}, "mu_opt_per_h"),
        ({"lag_h0": -1.0}, "lag_h0"),
        ({"floor_c": 50.0}, "floor_c"),
        ({"measured_c": (15.0, 10.0)}, "measured_c"),
    ):
        with pytest.raises(ValueError, match=message):
            GrowthCurve(**(good | wrong))
