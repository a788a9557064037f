"""Kill against the published lethality tables; stays and cooling against hand sums."""

import math
from pathlib import Path

import numpy as np
import pytest
from published import fsis_appendix_a_meat, fsis_appendix_a_poultry
from ruamel.yaml import YAML

from advisor.science.lethality import (
    DwellRow,
    best_row,
    carried_in_log,
    cooling_time,
    first_time_above,
    kill_rate,
    log_kill,
    longest_dwell,
    time_between,
)
from advisor.science.validity import gathered

TABLE = YAML(typ="safe").load(Path(__file__).parent / "published" / "lethality_times_beef.yaml")
LINE = TABLE["straight_line_6_5_log"]


def by_the_line(temp_f):
    rate = kill_rate((temp_f - 32) / 1.8, d_ref_s=LINE["d60_min"] * 60, ref_c=60.0, z_c=LINE["z_c"], floor_c=-math.inf)
    return 6.5 / float(rate) / 60


def test_the_beef_table_is_a_straight_line_but_for_its_rounding(record_property):
    """Printed minutes are whole to 145 F: 7.26 min stand as 8, so the worst rows lie just below 146 F."""
    misses = {row[0]: by_the_line(row[0]) / row[2] - 1 for row in TABLE["rows"]}
    for temp_f, miss in misses.items():
        record_property(f"relative_miss_{temp_f}F", round(miss, 4))
    worst = max(misses, key=lambda temp_f: abs(misses[temp_f]))
    assert worst == 142
    assert misses[worst] == pytest.approx(-0.0921, abs=0.0005)
    assert max(abs(miss) for temp_f, miss in misses.items() if temp_f >= 146) < 0.034  # printed in seconds
    assert np.sqrt(np.mean(np.square(list(misses.values())))) == pytest.approx(0.037, abs=0.0015)


def short_of(rows):
    """Rows where the shipped germs ask less than the table, by more than its rounding, and the largest share."""
    below = [row for row in rows if not row.met]
    return len(below), len(rows), max((-row.error / row.published for row in below), default=0.0)


def test_how_often_the_shipped_germs_ask_less_than_the_official_tables():
    """Counted, so that a change of the germs shows; the tables hold beside the model everywhere."""
    meat, poultry = list(fsis_appendix_a_meat.rows()), list(fsis_appendix_a_poultry.rows())
    assert short_of([row for row in meat if "6.5 log" in row.what]) == (0, 31, 0.0)
    assert short_of([row for row in meat if "5 log" in row.what and "6.5" not in row.what]) == (0, 31, 0.0)
    for rows, counted in (
        ([row for row in meat if "7 log" in row.what], (2, 31, 0.0338)),
        ([row for row in poultry if row.what.startswith("chicken")], (8, 360, 0.0680)),
        ([row for row in poultry if row.what.startswith("turkey")], (22, 360, 0.1333)),
    ):
        assert short_of(rows) == pytest.approx(counted, abs=0.0005)


SALMONELLA = {"d_ref_s": 60.0, "ref_c": 60.0, "z_c": 5.0}


def test_one_d_at_the_reference_is_one_log_and_one_z_is_ten_times_the_rate():
    assert log_kill([0, 60], [60, 60], **SALMONELLA, floor_c=54.4)[-1] == pytest.approx(1.0)
    assert log_kill([0, 60], [65, 65], **SALMONELLA, floor_c=54.4)[-1] == pytest.approx(10.0)


def test_a_ramp_is_integrated_exactly():
    """From 60 to 65 C in 60 s at z = 5 the mean rate is (10 - 1)/ln 10 times that at 60 C."""
    ramp = log_kill([0, 60], [60, 65], **SALMONELLA, floor_c=-math.inf)[-1]
    assert ramp == pytest.approx(9 / math.log(10), rel=1e-12)
    assert ramp == pytest.approx(log_kill([0, 60], [65, 60], **SALMONELLA, floor_c=-math.inf)[-1])


def test_a_dense_trapezoid_agrees_with_the_exact_ramp():
    times = np.linspace(0, 60, 2001)
    temps = 50 + times / 4
    rates = kill_rate(temps, **SALMONELLA, floor_c=55.0)
    assert log_kill([0, 60], [50, 65], **SALMONELLA, floor_c=55.0)[-1] == pytest.approx(
        np.trapezoid(rates, times), rel=2e-3
    )


@pytest.mark.parametrize("ends", [(50.0, 60.0), (60.0, 50.0)])
def test_only_the_part_of_a_stretch_above_the_floor_counts(ends):
    whole = log_kill([0, 100], list(ends), **SALMONELLA, floor_c=55.0)[-1]
    half = log_kill([0, 50], sorted([55.0, 60.0]), **SALMONELLA, floor_c=-math.inf)[-1]
    assert whole == pytest.approx(half)


def test_the_floor_itself_counts_and_just_below_does_not():
    assert log_kill([0, 60], [54.4, 54.4], **SALMONELLA, floor_c=54.4)[-1] > 0
    assert log_kill([0, 60], [54.39, 54.39], **SALMONELLA, floor_c=54.4)[-1] == 0
    at_floor, below = kill_rate([54.4, 54.39], **SALMONELLA, floor_c=54.4)
    assert at_floor > 0
    assert below == 0


def test_kill_of_many_places_is_the_kill_of_each():
    times = [0, 600, 1200]
    temps = np.array([[50.0, 58.0], [58.0, 54.0], [61.0, 61.0]])
    both = log_kill(times, temps, **SALMONELLA, floor_c=54.4)
    for place in range(2):
        np.testing.assert_allclose(both[:, place], log_kill(times, temps[:, place], **SALMONELLA, floor_c=54.4))


@pytest.mark.parametrize(
    ("times", "temps", "stay"),
    [
        ([0, 10], [60, 60], 10.0),
        ([0, 10], [50, 54.99], 0.0),
        ([0, 10, 20, 30], [50, 60, 60, 50], 20.0),  # 5 + 10 + 5
        ([0, 10, 20], [60, 55, 60], 20.0),  # touching the line does not break a stay
        ([0, 10, 20], [60, 54, 60], 10 * 5 / 6),
        ([0, 10, 20], [50, 55, 50], 0.0),  # one moment has no length
        ([0, 10, 10, 20], [60, 60, 50, 50], 10.0),  # a jump
        ([5], [60], 0.0),
    ],
)
def test_longest_dwell_follows_straight_lines(times, temps, stay):
    assert longest_dwell(times, temps, 55.0) == pytest.approx(stay)


MEASURED = (55.0, 65.0)


def told(times, temps, **settings):
    """What is said of a history beyond the temperatures D and z were measured at."""
    with gathered() as found:
        log_kill(times, temps, **SALMONELLA, floor_c=54.4, **settings)
    return [warning.value for warning in found]


def test_kill_above_the_measured_temperatures_is_told():
    assert told([0, 600, 1200], [5, 65, 65], measured_c=MEASURED) == []
    assert told([0, 600, 1200], [5, 70, 65], measured_c=MEASURED) == [70.0]
    assert told([0, 600], [5, 90]) == []


def test_kill_credited_below_the_measured_temperatures_is_told_unless_a_warm_up_only_passes():
    assert told([0, 7200], [54.5, 54.5], measured_c=MEASURED) == [54.5]
    assert told([0, 7200], [54.3, 54.3], measured_c=MEASURED) == []  # below the floor nothing is credited
    times = np.linspace(0, 7200, 200)
    assert told(times, 60 - 55 * np.exp(-times / 1200), measured_c=MEASURED) == []


def test_each_place_is_looked_at_for_itself():
    """A hot outside must not hide that all the kill of the middle is credited below the measured range."""
    temps = np.array([[64.0, 54.5], [64.0, 54.5]])
    assert told([0, 7200], temps, measured_c=MEASURED) == [54.5]


def test_a_rate_tells_the_farthest_credited_temperature_outside():
    with gathered() as found:
        rates = kill_rate([20.0, 54.5, 60.0, 80.0], **SALMONELLA, floor_c=54.4, measured_c=MEASURED)
    assert [warning.value for warning in found] == [80.0]
    np.testing.assert_array_equal(rates, kill_rate([20.0, 54.5, 60.0, 80.0], **SALMONELLA, floor_c=54.4))


def test_what_a_blade_carries_in_is_a_share_of_the_surface_load(rulebase):
    shipped = rulebase.parameter("blade_germs_to_centre")
    with gathered() as found:
        assert carried_in_log(shipped) == pytest.approx(-1.398, abs=0.001)
    assert not found, "the shipped share was measured"
    with gathered() as found:
        assert carried_in_log(1.0) == 0.0  # all of it
    assert [warning.value for warning in found] == [1.0]
    surface, kill = 6.0, 5.0
    assert surface + carried_in_log(shipped) - kill == pytest.approx(-0.398, abs=0.001)
    for wrong in (0.0, -0.1, 1.5, math.nan):
        with pytest.raises(ValueError, match="share"):
            carried_in_log(wrong)


ROWS = [DwellRow(60.0, 720.0), DwellRow(54.4, 6720.0), DwellRow(70.0, 0.0)]


def test_the_best_row_is_the_one_with_the_largest_share():
    best = best_row([0, 720], [60.0, 60.0], ROWS)
    assert (best.row, best.dwell_s, best.share) == (ROWS[0], 720.0, 1.0)
    short = best_row([0, 3360], [55.0, 55.0], ROWS)
    assert (short.row, short.share) == (ROWS[1], 0.5)


def test_a_row_without_time_is_met_by_reaching_it():
    best = best_row([0, 10, 20], [20.0, 70.0, 20.0], ROWS)
    assert (best.row, best.dwell_s, best.share) == (ROWS[2], 0.0, 1.0)


def test_a_table_never_reached_gives_its_coolest_row_and_no_share():
    best = best_row([0, 1e6], [54.3, 54.3], ROWS)
    assert (best.row, best.dwell_s, best.share) == (ROWS[1], 0.0, 0.0)


def test_shares_are_capped_and_ties_go_to_the_hotter_row():
    best = best_row([0, 1e6], [65.0, 65.0], ROWS)
    assert (best.row, best.share) == (ROWS[0], 10.0)


def test_first_time_above_is_interpolated_or_none():
    assert first_time_above([0, 10, 20], [50, 60, 70], 65.0) == 15.0
    assert first_time_above([3, 10], [70, 60], 65.0) == 3.0
    assert first_time_above([0, 10], [50, 60], 65.0) is None


@pytest.mark.parametrize(
    ("times", "temps", "expected"),
    [
        ([0, 10, 20], [0, 100, 0], 2 * 4.0),
        ([0, 10], [30, 30], 10.0),
        ([0, 10], [60, 60], 0.0),  # held at the upper limit is under control
        ([0, 10], [20, 20], 0.0),
        ([0, 10], [10, 10], 0.0),
        ([0, 10], [20, 60], 10.0),
    ],
)
def test_time_between_counts_what_lies_strictly_between(times, temps, expected):
    assert time_between(times, temps, 20.0, 60.0) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("times", "temps", "expected"),
    [
        ([0, 100], [60, 10], 60.0),
        ([0, 100], [50, 20], 100.0),
        ([0, 100], [60, 30], None),
        ([0, 100], [49, 10], 0.0),
        ([0, 100], [49, 30], 0.0),
        ([0, 100, 200, 300], [60, 10, 60, 10], 60.0),  # the last fall counts
        ([0, 100, 200], [60, 55, 52], None),
        ([0, 50, 50, 100], [60, 60, 10, 10], 0.0),  # a jump
    ],
)
def test_cooling_time_runs_from_the_last_warm_moment(times, temps, expected):
    got = cooling_time(times, temps, 50.0, 20.0)
    assert got == (None if expected is None else pytest.approx(expected))


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="d_ref_s"):
        kill_rate(60.0, 0.0, 60.0, 5.0, 54.4)
    with pytest.raises(ValueError, match="z_c"):
        log_kill([0, 1], [60, 60], d_ref_s=60.0, ref_c=60.0, z_c=-5.0, floor_c=54.4)
    with pytest.raises(ValueError, match="measured_c"):
        kill_rate(60.0, 60.0, 60.0, 5.0, 54.4, measured_c=(65.0, 55.0))
    with pytest.raises(ValueError, match="measured_c"):
        log_kill([0, 1], [60, 60], **SALMONELLA, floor_c=54.4, measured_c=(65.0, 55.0))
    with pytest.raises(ValueError, match="backwards"):
        longest_dwell([1, 0], [60, 60], 55.0)
    with pytest.raises(ValueError, match="at least one moment"):
        longest_dwell([], [], 55.0)
    with pytest.raises(ValueError, match="shape"):
        longest_dwell([0, 1], [60], 55.0)
    with pytest.raises(ValueError, match="finite"):
        longest_dwell([0, math.inf], [60, 60], 55.0)
    with pytest.raises(ValueError, match="finite"):
        longest_dwell([0, 1], [60, math.nan], 55.0)
    with pytest.raises(ValueError, match="one temperature for each time"):
        longest_dwell([0, 1], [[60, 61], [60, 61]], 55.0)
    with pytest.raises(ValueError, match="at least one row"):
        best_row([0, 1], [60, 60], [])
    with pytest.raises(ValueError, match="seconds"):
        best_row([0, 1], [60, 60], [DwellRow(60.0, -1.0)])
    with pytest.raises(ValueError, match="low_c"):
        time_between([0, 1], [60, 60], 50.0, 50.0)
    with pytest.raises(ValueError, match="to_c"):
        cooling_time([0, 1], [60, 60], 20.0, 50.0)
