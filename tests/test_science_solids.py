"""Blocks and rolls against products of the textbook series, an independent solver, and the laws of heat."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from advisor.science.conduction import ThermalBody, centre, leg, surface, uniform
from advisor.science.shapes import Shape, series_temperature
from advisor.science.solids import Solid, block, mean_c, roll, solid_leg, uniform_solid

ALPHA, K = 1.3e-7, 0.48
law = settings(deadline=None, max_examples=40)
sides = st.floats(0.01, 0.15)
stays = st.lists(
    st.tuples(st.floats(0.0, 100.0), st.floats(5.0, 1500.0), st.floats(30.0, 10000.0)), min_size=1, max_size=3
)


def left_in_slab(side, h, seconds, shape=Shape.SLAB, position=0.0):
    half = side / 2
    return series_temperature(position, ALPHA * seconds / half**2, h * half / K, shape)


@pytest.mark.parametrize("seconds", [600.0, 3600.0, 9000.0])
@pytest.mark.parametrize("lengths", [(0.05, 0.075, 0.125), (0.04, 0.04), (0.06,)])
def test_a_block_is_the_product_of_its_slabs(lengths, seconds):
    body = block(lengths, ALPHA, K)
    made = solid_leg(body, uniform_solid(body, 5.0), 60.0, 95.0, [seconds])
    expected = 60 - 55 * np.prod([left_in_slab(side, 95.0, seconds) for side in lengths])
    assert made.centre[0] == pytest.approx(expected, abs=0.02)  # the error of 40 cells
    on_face = left_in_slab(lengths[0], 95.0, seconds, position=1.0)
    others = np.prod([left_in_slab(side, 95.0, seconds) for side in lengths[1:]])
    assert made.surface[0] == pytest.approx(60 - 55 * on_face * others, abs=0.02)


@pytest.mark.parametrize("seconds", [600.0, 3600.0])
def test_a_roll_is_the_product_of_cylinder_and_slab(seconds):
    body = roll(0.06, 0.15, ALPHA, K)
    made = solid_leg(body, uniform_solid(body, 5.0), 60.0, 95.0, [seconds])
    left = left_in_slab(0.06, 95.0, seconds, Shape.CYLINDER) * left_in_slab(0.15, 95.0, seconds)
    assert made.centre[0] == pytest.approx(60 - 55 * left, abs=0.02)


def two_sided(half_a, half_b, legs, start, n=24):
    """Centre of an endless bar by finite volumes in two dimensions, stepped by a general solver."""
    da, db = half_a / n, half_b / n
    temps = np.full((n, n), start)
    for medium, h, seconds in legs:
        out_a, out_b = 1 / (1 / h + da / 2 / K) / da, 1 / (1 / h + db / 2 / K) / db

        def rates(_, flat, medium=medium, out_a=out_a, out_b=out_b):
            t = flat.reshape(n, n)
            change = np.zeros_like(t)
            across = K / da**2 * np.diff(t, axis=0)
            change[:-1] += across
            change[1:] -= across
            along = K / db**2 * np.diff(t, axis=1)
            change[:, :-1] += along
            change[:, 1:] -= along
            change[-1] += out_a * (medium - t[-1])
            change[:, -1] += out_b * (medium - t[:, -1])
            return (change * ALPHA / K).ravel()

        solved = solve_ivp(rates, (0, seconds), temps.ravel(), method="BDF", rtol=1e-7, atol=1e-7)
        temps = solved.y[:, -1].reshape(n, n)
    return temps


def test_a_bar_through_bath_and_ice_agrees_with_an_independent_solver():
    legs = [(60.0, 95.0, 2400.0), (0.0, 60.0, 1500.0)]
    body = block((0.04, 0.07), ALPHA, K, cells=24)
    state = uniform_solid(body, 5.0)
    for medium, h, seconds in legs:
        made = solid_leg(body, state, medium, h, [seconds])
        state = made.end
    temps = two_sided(0.02, 0.035, legs, 5.0)
    # The same cells on both sides: what is left is the stepping of the other.
    np.testing.assert_allclose(made.line[-1], (9 * temps[:, 0] - temps[:, 1]) / 8, atol=2e-3)
    assert mean_c(body, state) == pytest.approx(float(temps.mean()), abs=2e-3)


@law
@given(sides, stays)
def test_one_axis_equals_the_leg_of_its_body(side, legs):
    body = block((side,), ALPHA, K)
    axis, state, cells = body.axes[0], uniform_solid(body, 4.0), uniform(body.axes[0], 4.0)
    for medium, h, seconds in legs:
        times = [0.0, 0.3 * seconds, seconds]
        made, temps = solid_leg(body, state, medium, h, times), leg(axis, cells, medium, h, times)
        np.testing.assert_allclose(made.line, temps, atol=1e-9)
        np.testing.assert_allclose(made.centre, centre(temps), atol=1e-9)
        np.testing.assert_allclose(made.surface, surface(axis, temps, medium, h), atol=1e-9)
        state, cells = made.end, temps[-1]


@law
@given(sides, sides, sides, stays)
def test_nothing_is_warmer_or_colder_than_meat_and_media(a, b, c, legs):
    body = block((a, b, c), ALPHA, K, cells=20)
    state = uniform_solid(body, 4.0)
    seen = [4.0, *(medium for medium, _, _ in legs)]
    for medium, h, seconds in legs:
        made = solid_leg(body, state, medium, h, np.linspace(0, seconds, 5))
        # The centre is a parabola through two cells: a little room where they still differ sharply.
        assert made.line.min() >= min(seen) - 1e-6
        assert made.line.max() <= max(seen) + 1e-6
        assert min(seen) - 1e-6 <= mean_c(body, made.end) <= max(seen) + 1e-6
        state = made.end


@law
@given(sides, sides, sides, st.floats(20.0, 1000.0), st.floats(60.0, 20000.0))
def test_a_block_is_never_slower_than_the_slab_of_its_thinnest_side_nor_a_thicker_one_faster(a, b, c, h, seconds):
    def middle(*lengths):
        body = block(lengths, ALPHA, K)
        return float(solid_leg(body, uniform_solid(body, 5.0), 60.0, h, [seconds]).centre[0])

    assert middle(a, b, c) >= middle(min(a, b, c)) - 1e-6
    assert middle(a, b, 1.1 * c) <= middle(a, b, c) + 1e-6


@law
@given(sides, sides, st.floats(5.0, 1000.0), st.floats(10.0, 5000.0))
def test_the_heat_still_missing_is_the_product_over_the_sides(a, b, h, seconds):
    """The share left in the whole is the product of the shares left in its slabs, by volume as at the centre."""

    def share_left(*lengths):
        whole = block(lengths, ALPHA, K, cells=16)
        return (60 - mean_c(whole, solid_leg(whole, uniform_solid(whole, 5.0), 60.0, h, [seconds]).end)) / 55

    assert share_left(a, b) == pytest.approx(share_left(a) * share_left(b), abs=1e-8)


def test_the_order_of_the_sides_does_not_matter():
    one, other = block((0.03, 0.06, 0.09), ALPHA, K), block((0.09, 0.03, 0.06), ALPHA, K)
    assert one == other


def test_what_cannot_be_a_solid_is_refused():
    thin, thick = ThermalBody(0.01, 0.0, ALPHA, K), ThermalBody(0.02, 0.0, ALPHA, K)
    with pytest.raises(ValueError, match="at least one"):
        Solid(())
    with pytest.raises(ValueError, match="thinnest"):
        Solid((thick, thin))
    with pytest.raises(ValueError, match="share one"):
        Solid((thin, ThermalBody(0.02, 0.0, 2 * ALPHA, K)))
    with pytest.raises(ValueError, match="three dimensions"):
        Solid((ThermalBody(0.01, 2.0, ALPHA, K), ThermalBody(0.01, 1.0, ALPHA, K)))
    with pytest.raises(ValueError, match="of this solid"):
        solid_leg(block((0.03,), ALPHA, K), uniform_solid(block((0.03, 0.05), ALPHA, K), 5.0), 60.0, 95.0, [1.0])
    with pytest.raises(ValueError, match="one moment"):
        solid_leg(block((0.03,), ALPHA, K), uniform_solid(block((0.03,), ALPHA, K), 5.0), 60.0, 95.0, [])
