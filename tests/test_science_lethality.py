"""Kill against the published lethality tables; stays and cooling against hand sums."""

import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from advisor.science.lethality import (
    DwellRow,
    best_row,
    cooling_time,
    first_time_above,
    kill_rate,
    log_kill,
    longest_dwell,
    time_between,
)

TABLE = YAML(typ="safe").load(Path(__file__).parent / "published" / "lethality_times_beef.yaml")
LINE = TABLE["straight_line_6_5_log"]


def celsius(temp_f):
    return (temp_f - 32) / 1.8


def minutes_for(log10, temp_c, d60_min, z_c):
    rate = kill_rate(temp_c, d_ref_s=d60_min * 60, ref_c=60.0, z_c=z_c, floor_c=-math.inf)
    return log10 / float(rate) / 60


@pytest.mark.parametrize("row", TABLE["rows"], ids=lambda row: f"{row[0]}F")
def test_the_line_gives_each_row_of_the_beef_table_within_its_rounding(row):
    minutes = minutes_for(6.5, celsius(row[0]), LINE["d60_min"], LINE["z_c"])
    assert minutes == pytest.approx(row[2], rel=LINE["worst_relative_residual"])


def test_the_worst_row_of_the_beef_table_is_a_whole_minute_in_a_short_time(record_property):
    """Printed minutes are whole to 145 F: 7.26 min stand as 8, so the worst rows lie just below 146 F."""
    misses = {
        row[0]: minutes_for(6.5, celsius(row[0]), LINE["d60_min"], LINE["z_c"]) / row[2] - 1 for row in TABLE["rows"]
    }
    for temp_f, miss in misses.items():
        record_property(f"relative_miss_{temp_f}F", round(miss, 4))
    worst = max(misses, key=lambda temp_f: abs(misses[temp_f]))
    assert worst == 142
    assert misses[worst] == pytest.approx(-0.0921, abs=0.0005)
    assert max(abs(miss) for temp_f, miss in misses.items() if temp_f >= 146) < 0.034  # printed in seconds
    assert np.sqrt(np.mean(np.square(list(misses.values())))) == pytest.approx(0.037, abs=0.0015)


@pytest.mark.parametrize(
    ("point", "ratio"),
    list(zip(TABLE["goodfellow_brown"]["points"], TABLE["goodfellow_brown"]["line_over_point"], strict=True)),
)
def test_the_ground_beef_line_misses_the_measured_points_as_stated(point, ratio):
    """Three points that bend: the line asks 36 % more than measured at 57 C, 14 % less at both ends."""
    line = TABLE["goodfellow_brown"]["line"]
    assert minutes_for(1.0, point[0], line["d60_min"], line["z_c"]) / point[1] == pytest.approx(ratio, abs=0.006)


@pytest.mark.parametrize(("temp_f", "table_min", "line_min"), TABLE["goodfellow_brown"]["appendix_a_compared"])
def test_the_ground_beef_line_stands_behind_the_beef_table(temp_f, table_min, line_min):
    """The table adds next to nothing to the line: within 10 %, its whole minutes allowed for."""
    line = TABLE["goodfellow_brown"]["line"]
    minutes = minutes_for(6.5, celsius(temp_f), line["d60_min"], line["z_c"])
    assert minutes == pytest.approx(line_min, rel=0.02)
    assert minutes == pytest.approx(table_min, rel=0.10)


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
