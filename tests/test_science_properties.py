"""Laws that must hold for any plan: warmer, longer or thicker never comes out safer than it is."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.science.conduction import ThermalBody, centre, leg, surface, uniform
from advisor.science.enzyme import enzyme_work, remaining_activity
from advisor.science.growth import GrowthCurve, cardinal_rate, log_growth
from advisor.science.lethality import (
    DwellRow,
    best_row,
    cooling_time,
    first_time_above,
    log_kill,
    longest_dwell,
    time_between,
)
from advisor.science.salt import centre_share_bath, centre_share_dry, hours_to_even
from advisor.science.texture import HalfTime, collagen_remaining

SALMONELLA = {"d_ref_s": 13.18 * 60, "ref_c": 55.0, "z_c": 7.58}  # Baldwin, Table 5.1 note, read
PERFRINGENS = GrowthCurve(10.3, 43.5, 53.4, 5.64, 10.0, 53.4, 5.5)  # braised beef, abstract read; h0 calibrated

law = settings(deadline=None)  # a busy machine, or the first body of its kind, must not fail a law
temps = st.floats(0.0, 75.0)


@st.composite
def histories(draw, at_least=1):
    """Draw a record of 1 to 12 samples with steps of 0 to two hours."""
    steps = draw(st.lists(st.floats(0.0, 7200.0), min_size=at_least - 1, max_size=11))
    readings = draw(st.lists(temps, min_size=len(steps) + 1, max_size=len(steps) + 1))
    return np.concatenate([[0.0], np.cumsum(steps)]), np.array(readings)


@law
@given(histories(), st.floats(0.0, 75.0))
def test_kill_never_falls_in_time_and_is_nothing_below_the_floor(history, floor_c):
    kill = log_kill(*history, **SALMONELLA, floor_c=floor_c)
    assert kill[0] == 0
    assert np.all(np.diff(kill) >= 0)
    if np.max(history[1]) < floor_c:
        assert kill[-1] == 0


@law
@given(histories(), st.floats(0.0, 10.0), st.floats(0.0, 75.0))
def test_kill_never_falls_with_temperature_nor_rises_with_the_floor(history, warmer, floor_c):
    times, cool = history
    kill = log_kill(times, cool, **SALMONELLA, floor_c=floor_c)[-1]
    assert log_kill(times, cool + warmer, **SALMONELLA, floor_c=floor_c)[-1] >= kill * (1 - 1e-9)
    assert log_kill(times, cool, **SALMONELLA, floor_c=floor_c + warmer)[-1] <= kill * (1 + 1e-9)


@law
@given(histories(at_least=2), st.data())
def test_a_sample_on_the_line_changes_nothing(history, data):
    times, readings = history
    place = data.draw(st.integers(0, times.size - 2))
    share = data.draw(st.floats(0.0, 1.0))
    more_times = np.insert(times, place + 1, times[place] + share * (times[place + 1] - times[place]))
    more = np.insert(readings, place + 1, readings[place] + share * (readings[place + 1] - readings[place]))
    kill = log_kill(times, readings, **SALMONELLA, floor_c=54.4)[-1]
    assert np.isclose(log_kill(more_times, more, **SALMONELLA, floor_c=54.4)[-1], kill, rtol=1e-6, atol=1e-9)
    growth = log_growth(times, readings, PERFRINGENS)[-1]
    # The curve ends in a kink at 53.4 C, so quarter-degree trapezoids placed otherwise differ by a little.
    assert np.isclose(log_growth(more_times, more, PERFRINGENS)[-1], growth, rtol=5e-3, atol=2e-3)


@law
@given(histories())
def test_growth_never_falls_in_time(history):
    grown = log_growth(*history, PERFRINGENS)
    assert grown[0] == 0
    assert np.all(np.diff(grown) >= -1e-12)


@law
@given(histories(), st.floats(0.0, 8.0))
def test_more_lag_never_gives_more_growth(history, lag):
    curve = GrowthCurve(10.3, 43.5, 53.4, 5.64, 10.0, 53.4, lag)
    longer = GrowthCurve(10.3, 43.5, 53.4, 5.64, 10.0, 53.4, lag + 1)
    assert log_growth(*history, longer)[-1] <= log_growth(*history, curve)[-1] + 1e-9


@law
@given(st.floats(-20.0, 120.0), st.floats(-5.0, 12.0), st.floats(1.0, 30.0), st.floats(0.02, 0.98))
def test_a_growth_rate_lies_between_nothing_and_the_optimum(temp_c, t_min_c, half_range, share):
    middle, t_max_c = t_min_c + half_range, t_min_c + 2 * half_range
    rate = float(cardinal_rate(temp_c, t_min_c, middle + share * half_range, t_max_c, 2.0))
    assert 0 <= rate <= 2.0 * (1 + 1e-9)


@law
@given(histories(), temps)
def test_a_stay_is_no_longer_than_the_record_nor_than_one_at_a_lower_threshold(history, threshold):
    times, readings = history
    stay = longest_dwell(times, readings, threshold)
    assert 0 <= stay <= times[-1]
    assert longest_dwell(times, readings, threshold - 5) >= stay - 1e-6
    began = first_time_above(times, readings, threshold)
    assert (began is None) == (np.max(readings) < threshold)
    if began is None:
        assert stay == 0


@law
@given(histories(), st.lists(st.tuples(st.floats(50.0, 70.0), st.floats(0.0, 7200.0)), min_size=1, max_size=6))
def test_the_best_row_is_fulfilled_only_by_a_stay_that_is_long_enough(history, rows):
    best = best_row(*history, [DwellRow(*row) for row in rows])
    assert 0 <= best.share <= 10
    assert best.dwell_s == longest_dwell(*history, best.row.temp_c)
    if best.share >= 1:
        assert best.dwell_s >= best.row.seconds * (1 - 1e-12)
        assert np.max(history[1]) >= best.row.temp_c


@law
@given(histories(), st.floats(0.0, 40.0), st.floats(0.5, 35.0))
def test_times_between_add_up(history, low_c, width):
    times, readings = history
    whole = time_between(times, readings, low_c, low_c + 2 * width)
    halves = time_between(times, readings, low_c, low_c + width) + time_between(
        times, readings, low_c + width, low_c + 2 * width
    )
    assert 0 <= whole <= times[-1] * (1 + 1e-12)
    assert halves <= whole + 1e-6  # a stay at exactly the middle belongs to neither half


@law
@given(histories(), st.floats(30.0, 70.0), st.floats(1.0, 29.0))
def test_cooling_further_never_takes_less_time(history, from_c, fall):
    nearer = cooling_time(*history, from_c, from_c - fall / 2)
    further = cooling_time(*history, from_c, from_c - fall)
    if further is not None:
        assert nearer is not None
        assert further >= nearer - 1e-6


bodies = st.builds(
    ThermalBody,
    half_thickness_m=st.floats(0.002, 0.06),
    shape_exponent=st.floats(0.0, 2.0),
    diffusivity_m2_s=st.floats(1e-7, 1.5e-7),
    conductivity_w_mk=st.floats(0.35, 0.55),
)


@law
@given(bodies, st.floats(1.05, 2.0), st.floats(5.0, 200.0), st.floats(60.0, 40000.0))
def test_a_thicker_piece_is_never_warmer_inside(body, thicker, surface_h, time_s):
    grown = ThermalBody(
        body.half_thickness_m * thicker, body.shape_exponent, body.diffusivity_m2_s, body.conductivity_w_mk
    )
    thin = centre(leg(body, uniform(body, 5.0), 60.0, surface_h, [time_s]))[0]
    thick = centre(leg(grown, uniform(grown, 5.0), 60.0, surface_h, [time_s]))[0]
    # Early on both centres are cold to within the error of the cells.
    assert thick <= thin + 2e-3


few = settings(law, max_examples=30)


@few
@given(bodies, st.floats(1.02, 3.0), st.floats(5.0, 1000.0), st.floats(56.0, 90.0))
def test_kill_in_the_middle_never_rises_with_a_thicker_piece(body, thicker, surface_h, medium_c):
    grown = ThermalBody(
        body.half_thickness_m * thicker, body.shape_exponent, body.diffusivity_m2_s, body.conductivity_w_mk
    )
    times = np.linspace(0.0, 4 * body.half_thickness_m**2 / body.diffusivity_m2_s + 600.0, 200)
    thin, thick = (
        log_kill(times, centre(leg(one, uniform(one, 5.0), medium_c, surface_h, times)), **SALMONELLA, floor_c=54.4)
        for one in (body, grown)
    )
    # The floor is a step: a sample that lies on it to a thousandth may fall on either side.
    assert np.all(thick <= thin * (1 + 2e-3) + 1e-6)


@few
@given(bodies, st.floats(0.0, 40.0), st.floats(0.0, 30.0), st.floats(0.0, 30.0), st.floats(5.0, 1000.0))
def test_meat_warms_without_a_turn_and_never_less_from_a_warmer_start_or_in_a_warmer_medium(
    body, start_c, start_up, medium_up, surface_h
):
    times = np.linspace(0.0, 20000.0, 60)
    medium_c = 70.0 + medium_up
    warming = leg(body, uniform(body, start_c), 70.0, surface_h, times)
    assert np.all(np.diff(warming, axis=0) >= -1e-9)
    assert np.all(leg(body, uniform(body, start_c + start_up), medium_c, surface_h, times) >= warming - 1e-9)


@few
@given(bodies, st.floats(0.0, 60.0), st.floats(0.0, 90.0), st.floats(5.0, 1000.0))
def test_the_heat_through_the_surface_is_the_heat_that_the_body_gains(body, start_c, medium_c, surface_h):
    """Of any shape from slab to sphere: ρ c V dT = h A (T - Ts) dt, with A/V = (exponent + 1) / R."""
    begun = leg(body, uniform(body, start_c), medium_c, surface_h, [200.0])[0]
    points, weights = np.polynomial.legendre.leggauss(24)
    moments = np.append(150.0 * (points + 1), 300.0)
    cells = leg(body, begun, medium_c, surface_h, moments)
    into = surface_h * (medium_c - surface(body, cells[:-1], medium_c, surface_h))
    heat = 150.0 * float(into @ weights)
    shells = np.diff(np.linspace(0.0, 1.0, body.cells + 1) ** (body.shape_exponent + 1))
    per_kelvin = body.conductivity_w_mk / body.diffusivity_m2_s * body.half_thickness_m / (body.shape_exponent + 1)
    gained = per_kelvin * float(shells @ (cells[-1] - begun))
    assert np.isclose(gained, heat, rtol=1e-6, atol=1e-3)


@law
@given(bodies, st.floats(0.0, 90.0), st.floats(0.0, 90.0), st.floats(5.0, 1000.0), st.floats(0.0, 40000.0))
def test_meat_stays_between_its_start_and_its_medium(body, start_c, medium_c, surface_h, time_s):
    cells = leg(body, uniform(body, start_c), medium_c, surface_h, [time_s])
    outer = surface(body, cells, medium_c, surface_h)
    low, high = min(start_c, medium_c) - 1e-6, max(start_c, medium_c) + 1e-6
    assert np.all((cells >= low) & (cells <= high))
    assert np.all((outer >= low) & (outer <= high))


@law
@given(histories(), st.floats(1.0, 10.0))
def test_protected_enzyme_lives_longer_and_works_more(history, protection):
    def loss(warm):
        return 1e-3 * np.exp((warm - 60) / 3)

    def speed(warm):
        return np.exp((warm - 55) / 20)

    bare = remaining_activity(*history, loss, 1.0)
    kept = remaining_activity(*history, loss, protection)
    assert np.all(np.diff(bare) <= 0)
    assert np.all(kept >= bare - 1e-12)
    less = enzyme_work(*history, speed, loss, dose_strength=5.0, protection_factor=1.0)
    more = enzyme_work(*history, speed, loss, dose_strength=5.0, protection_factor=protection)
    assert np.all(np.diff(less) >= 0)
    assert more[-1] >= less[-1] * (1 - 1e-9)


@law
@given(histories())
def test_connective_tissue_never_grows_back(history):
    left = collagen_remaining(*history, HalfTime(660.0, 58.0, 520.0), HalfTime(43200.0, 60.0, 75.0))
    assert np.all((left >= 0) & (left <= 1))
    assert np.all(np.diff(left) <= 1e-12)


@law
@given(st.floats(0.0, 5.0), st.floats(0.0, 1.0))
def test_salt_at_the_centre_only_rises(fourier, more):
    for share in (centre_share_dry, centre_share_bath):
        assert -1e-12 <= share(fourier) <= share(fourier + more) + 1e-12 <= 1 + 2e-12


@law
@given(st.floats(0.002, 0.2), st.floats(1e-11, 1e-9), st.floats(0.05, 0.95))
def test_hours_to_even_undo_the_share_at_the_centre(thickness_m, diffusivity, share):
    hours = hours_to_even(thickness_m, diffusivity, share)
    fourier = diffusivity * hours * 3600 / (thickness_m / 2) ** 2
    assert abs(centre_share_dry(fourier) - share) < 1e-9
