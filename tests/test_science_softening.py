"""Enzymes by depth: against a stepped slab with a film, by balances, and by what must never get better."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.science.enzyme import arrhenius_loss_rate, enzyme_work, relative_activity
from advisor.science.reach import Source, concentration, distance_to_score_m, distance_to_track_m, film_thickness_m
from advisor.science.softening import mean_over_thickness, mush_depth_m, shear_factors, work_by_depth, work_on_walls
from advisor.science.validity import OutsideRange

D = 1e-11
HOUR = 3600.0


def activity(temps):
    return relative_activity(temps, 45.0, 55.0)


def loss(temps):
    return arrhenius_loss_rate(temps, 1.37e50 / 60, 326.0)


def stepped(hours, film_m=math.inf, wiped_h=math.inf, leaves=0.0):
    """Meat in cells of 20 µm under a mixed film, stepped explicitly; what each cell holds, and the film, at the end."""
    size, count = 2e-5, 300
    cells, film = np.zeros(count), 1.0
    step = 0.2 * size**2 / D
    steps = math.ceil(hours * HOUR / step)
    step = hours * HOUR / steps
    wiped = False
    for index in range(steps):
        if not wiped and index * step >= wiped_h * HOUR:
            wiped, film = True, 0.0
        flow = -D * np.diff(cells) / size
        inward = 0.0 if wiped and leaves == 0 else D * (film - cells[0]) / (size / 2)
        cells += step / size * (np.concatenate([[inward], flow]) - np.concatenate([flow, [0.0]]))
        if film_m < math.inf:
            film -= step / film_m * inward
    return (np.arange(count) + 0.5) * size, cells, film


@pytest.mark.parametrize("film_m", [math.inf, 5e-4, 1e-4])
def test_a_film_on_the_face_agrees_with_a_stepped_slab(film_m):
    depths, cells, _ = stepped(12.0, film_m)
    found = concentration(12 * HOUR, depths, Source(100.0, D, film_m))
    np.testing.assert_allclose(found, cells, atol=2e-3)


def test_what_is_in_the_meat_after_a_wipe_agrees_with_a_stepped_slab():
    depths, cells, _ = stepped(12.0, wiped_h=4.0)
    found = concentration(12 * HOUR, depths, Source(100.0, D, wiped_s=4 * HOUR, wipe_leaves=0.0))
    np.testing.assert_allclose(found, cells, atol=2e-3)


@pytest.mark.parametrize("film_m", [1e-3, 1e-4])
def test_meat_and_film_together_hold_the_dose(film_m):
    depths = np.linspace(0, 0.02, 40001)
    found = concentration(24 * HOUR, depths, Source(100.0, D, film_m))
    held = np.trapezoid(found, depths) + film_m * found[0]
    assert held == pytest.approx(film_m, rel=1e-5)


@pytest.mark.parametrize("hours", [4.0, 8.0, 48.0])
def test_a_wipe_takes_nothing_out_of_the_meat(hours):
    depths = np.linspace(0, 0.02, 40001)
    source = Source(100.0, D, wiped_s=4 * HOUR, wipe_leaves=0.0)
    held = np.trapezoid(concentration(hours * HOUR, depths, source), depths)
    before = np.trapezoid(concentration(4 * HOUR, depths, source), depths)
    assert held == pytest.approx(before, rel=1e-3)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0, 72 * HOUR),
    st.floats(0, 72 * HOUR),
    st.floats(0, 0.01),
    st.floats(1e-5, 0.01),
    st.floats(0, 72 * HOUR),
    st.floats(0, 1),
)
def test_more_film_longer_or_less_wiping_never_means_less_enzyme(time_s, more_s, depth, film_m, wiped_s, leaves):
    at = concentration(time_s, depth, Source(1.0, D, film_m, wiped_s, leaves))
    assert -1e-12 <= at <= 1 + 1e-9
    assert concentration(time_s, depth, Source(1.0, D, 2 * film_m, wiped_s, leaves)) >= at - 1e-4
    assert concentration(time_s, depth, Source(1.0, D, film_m, wiped_s, 1.0)) >= at - 1e-3
    assert concentration(time_s, depth, Source(1.0, D)) >= at - 1e-9
    assert concentration(time_s + more_s, depth, Source(1.0, D)) >= concentration(time_s, depth, Source(1.0, D)) - 1e-9


def test_work_on_the_face_is_the_work_of_the_dose():
    times = np.linspace(0, 2 * HOUR, 30)
    temps = 20 + 38 * times / times[-1]
    plain = enzyme_work(times, temps, activity, loss, dose_strength=5.0, protection_factor=7.0)[-1]
    by_depth = work_by_depth(times, temps[:, np.newaxis], [0.0], Source(5.0, D), activity, loss, protection_factor=7.0)
    assert by_depth[0] == pytest.approx(plain, rel=1e-4)


def test_work_by_depth_agrees_with_fine_steps_on_a_warming_piece():
    depths = np.array([0.0002, 0.0005, 0.001])
    times = np.linspace(0, 3 * HOUR, 40)
    temps = np.minimum(4 + 18 * times[:, np.newaxis] / HOUR - 3000 * depths, 58.0)
    source = Source(100.0, D, 5e-4, wiped_s=2 * HOUR, wipe_leaves=0.2)
    found = work_by_depth(times, temps, depths, source, activity, loss, protection_factor=3.0)
    for depth, column, ours in zip(depths, temps.T, found, strict=True):
        fine = np.linspace(0, 3 * HOUR, 20001)
        temp = np.interp(fine, times, column)
        alive = np.exp(-np.concatenate([[0], np.cumsum(loss(temp)[1:] * np.diff(fine))]) / 3.0)
        there = concentration(fine, depth, source)
        assert ours == pytest.approx(np.trapezoid(100 / HOUR * activity(temp) * alive * there, fine), rel=5e-3)


def test_two_samples_a_day_apart_are_enough_in_the_fridge():
    coarse = work_by_depth(
        [0, 24 * HOUR], [[4.0] * 3] * 2, [0, 5e-4, 2e-3], Source(100.0, D), activity, loss, protection_factor=7.0
    )
    times = np.linspace(0, 24 * HOUR, 3000)
    fine = work_by_depth(
        times, np.full((3000, 3), 4.0), [0, 5e-4, 2e-3], Source(100.0, D), activity, loss, protection_factor=7.0
    )
    np.testing.assert_allclose(coarse, fine, rtol=5e-3)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 48), st.floats(0, 30), st.floats(1, 200), st.floats(1e-5, 5e-3))
def test_stronger_and_longer_never_means_less_mush(hours, temp_c, strength, film_m):
    depths = np.linspace(0, 0.005, 40)

    def mush(time_h, source):
        temps = np.full((2, depths.size), temp_c)
        work = work_by_depth([0, time_h * HOUR], temps, depths, source, activity, loss, protection_factor=7.0)
        return mush_depth_m(depths, work, 8.6)

    first = mush(hours, Source(strength, D, film_m))
    assert mush(hours, Source(strength * 1.5, D, film_m)) >= first - 1e-9
    assert mush(hours, Source(strength, D, 2 * film_m)) >= first - 1e-6
    assert mush(hours * 1.3, Source(strength, D, film_m)) >= first - 1e-6


def test_mush_reaches_down_to_where_the_work_falls_below():
    assert mush_depth_m([0.0, 0.001, 0.002], [5.0, 4.0, 3.0], 8.6) == 0.0
    assert mush_depth_m([0.0, 0.001, 0.002], [12.0, 8.0, 2.0], 10.0) == pytest.approx(5e-4)
    assert mush_depth_m([0.0, 0.001], [12.0, 11.0], 10.0) == 0.001
    # The outside was seared dead before it turned to mush; the layer below did.
    assert mush_depth_m([0.0, 0.001, 0.002], [5.0, 12.0, 2.0], 10.0) == pytest.approx(0.0012)


def test_distances_to_score_lines_and_needle_tracks():
    depths = [0.0, 0.004, 0.010]
    assert distance_to_score_m(depths, 0.0, 0.006, 0.010).round(4).tolist() == [0.0, 0.0, 0.004]
    assert distance_to_score_m(depths, 0.010, 0.006, 0.010).round(4).tolist() == [0.0, 0.0, 0.004]
    assert distance_to_score_m(depths, 0.005, 0.006, 0.010).round(4).tolist() == [0.0, 0.004, 0.0064]
    assert distance_to_score_m(depths, 0.005, 0.0, 0.010).tolist() == depths
    assert distance_to_track_m(depths, 0.0, 0.008, 0.010).round(4).tolist() == [0.0, 0.0, 0.002]
    assert distance_to_track_m(0.02, 1.0, 0.03, 0.010) == pytest.approx(0.010 / math.sqrt(2))


def test_no_place_is_nearer_to_a_face_than_the_distance_says():
    depths, across = np.meshgrid(np.linspace(0, 0.02, 30), np.linspace(0, 0.01, 30))
    assert np.all(distance_to_score_m(depths, across, 0.008, 0.010) <= depths + 1e-15)
    assert np.all(distance_to_track_m(depths, across / 0.01, 0.008, 0.010) <= depths + 1e-15)


def test_the_mean_over_a_piece_counts_both_faces_and_what_was_not_reached():
    depths = np.linspace(0, 0.002, 21)
    assert mean_over_thickness(depths, np.full(21, 0.5), 0.020) == pytest.approx(0.9)
    assert mean_over_thickness(depths, np.full(21, 0.5), 0.020, faces=1) == pytest.approx(0.95)
    assert mean_over_thickness([0.0], [0.5], 0.02) == 1.0
    assert shear_factors([[0.0, 4.3]], 4.3, 0.4).tolist() == [[1.0, 0.5]]


def test_a_film_holds_the_dose():
    assert film_thickness_m(0.05, 0.020) * 2 / 0.020 == pytest.approx(0.05)
    with pytest.warns(OutsideRange, match="film of a marinade"):
        film_thickness_m(0.5, 0.020)
    with pytest.warns(OutsideRange, match="depth of an enzyme"):
        concentration(100 * HOUR, 0.0, Source(1.0, D))


def test_impossible_input_is_refused():
    plain = {"activity": activity, "loss_rate": loss, "protection_factor": 1.0}
    with pytest.raises(ValueError, match="for distances of shape"):
        work_by_depth([0, 1], [[4.0, 4.0]] * 2, [0.0], Source(1.0, D), **plain)
    with pytest.raises(ValueError, match="for distances of shape"):
        work_by_depth([0, 1], [4.0, 4.0], [0.0], Source(1.0, D), **plain)
    with pytest.raises(ValueError, match="protection_factor"):
        work_by_depth([0, 1], [[4.0]] * 2, [0.0], Source(1.0, D), **(plain | {"protection_factor": 0.0}))
    with pytest.raises(ValueError, match="loss rates"):
        work_by_depth([0, 1], [[4.0]] * 2, [0.0], Source(1.0, D), **(plain | {"loss_rate": lambda t: t - 100}))
    with pytest.raises(ValueError, match="strength"):
        Source(-1.0, D)
    with pytest.raises(ValueError, match="film_m"):
        Source(1.0, D, 0.0)
    with pytest.raises(ValueError, match="wiped_s"):
        Source(1.0, D, wiped_s=-1.0)
    with pytest.raises(ValueError, match="wipe_leaves"):
        Source(1.0, D, wipe_leaves=2.0)
    with pytest.raises(ValueError, match="faces"):
        film_thickness_m(0.05, 0.02, 3)
    with pytest.raises(ValueError, match="spacing_m"):
        distance_to_score_m(0.0, 0.0, 0.005, 0.0)
    with pytest.raises(ValueError, match="depth_m"):
        distance_to_score_m(-0.001, 0.0, 0.005, 0.01)
    with pytest.raises(ValueError, match="share_between"):
        distance_to_track_m(0.001, 1.5, 0.005, 0.01)
    with pytest.raises(ValueError, match="must rise"):
        mush_depth_m([0.001, 0.0], [1.0, 1.0], 8.6)
    with pytest.raises(ValueError, match="for work of shape"):
        mush_depth_m([0.0, 0.001], [1.0], 8.6)
    with pytest.raises(ValueError, match="one face has to itself"):
        mean_over_thickness([0.0, 0.02], [1.0, 1.0], 0.02)
    with pytest.raises(ValueError, match="for factors of shape"):
        mean_over_thickness([0.0, 0.01], [1.0], 0.02)
    with pytest.raises(ValueError, match="faces"):
        mean_over_thickness([0.0], [1.0], 0.02, faces=0)


@pytest.mark.parametrize("wiped_s", [np.inf, 3 * HOUR])
def test_work_on_walls_agrees_with_work_by_depth_where_both_can_tell(wiped_s):
    """The same sum on another mesh: within 2 % of the work at the face, on a night in the cold and two hours hot."""
    times = np.array([0.0, 12 * HOUR, 12.5 * HOUR, 14.5 * HOUR])
    depths = np.array([0.0, 0.0002, 0.0004, 0.001, 0.002])
    temps = np.repeat([[4.0], [4.0], [55.0], [58.0]], depths.size, axis=1)
    for film in (np.inf, 5e-4, 1e-5):
        source = Source(100.0, 2e-11, film, wiped_s, 0.3)
        along = np.diag(work_on_walls(times, temps, depths, source, activity, loss, protection_factor=7.0))
        plain = work_by_depth(times, temps, depths, source, activity, loss, protection_factor=7.0)
        np.testing.assert_allclose(along, plain, rtol=0.02, atol=0.02 * plain.max())


def test_beside_a_wall_the_heat_is_that_of_the_depth_and_the_enzyme_that_of_the_distance():
    """By hand: an hour at 55 °C at one depth, at 4 °C (0.048 as fast) at the other; 5 % at the wall."""
    temps = np.array([[55.0, 4.0], [55.0, 4.0]])
    work = work_on_walls([0, HOUR], temps, [0.0], Source(5.0, D), activity, np.zeros_like, protection_factor=1.0)
    assert work[0] == pytest.approx([5.0, 5.0 * 0.048], rel=0.01)
