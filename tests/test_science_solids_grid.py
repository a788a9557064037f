"""Blocks and rolls against a grid in all dimensions at once, the series of every shape, and the balance of heat."""

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import sparse
from scipy.sparse.linalg import splu

from advisor.science.conduction import PRESCRIBED_SURFACE, Shape, centre, series_temperature
from advisor.science.solids import SolidState, block, mean_c, roll, solid_leg, uniform_solid
from advisor.science.validity import gathered

ALPHA, K = 1.3e-7, 0.48
law = settings(deadline=None, max_examples=40)
sides = st.floats(0.01, 0.15)
stays = st.lists(
    st.tuples(st.floats(0.0, 100.0), st.floats(3.0, 1000.0), st.floats(60.0, 20000.0)), min_size=1, max_size=4
)
SHAPES = {0.0: Shape.SLAB, 1.0: Shape.CYLINDER}


def meat(sides, cells=40):
    return block(sides, ALPHA, K, cells)


def share_by_series(solid, seconds, surface_h, positions):
    """Product of the exact series of each axis, at x/R along each."""
    share = 1.0
    for axis, position in zip(solid.axes, positions, strict=True):
        biot = surface_h * axis.half_thickness_m / axis.conductivity_w_mk
        fourier = seconds * axis.diffusivity_m2_s / axis.half_thickness_m**2
        share *= series_temperature(position, fourier, biot, SHAPES[axis.shape_exponent])
    return share


@pytest.mark.parametrize("surface_h", [8.0, 95.0, 1000.0])
@pytest.mark.parametrize(
    ("solid", "worst_c"),
    [
        (meat((0.05,)), 0.01),
        (meat((0.05, 0.05)), 0.02),
        (meat((0.05, 0.075, 0.125)), 0.02),
        (meat((0.05, 0.05, 0.05)), 0.03),
        (roll(0.05, 0.15, ALPHA, K), 0.03),
        (roll(0.08, 0.04, ALPHA, K), 0.03),
    ],
    ids=["slab", "rod", "block", "cube", "roll", "disc"],
)
def test_one_leg_is_the_product_of_the_exact_series(solid, worst_c, surface_h):
    times = [600.0, 1800.0, 3600.0, 7200.0, 14400.0]
    made = solid_leg(solid, uniform_solid(solid, 5.0), 60.0, surface_h, times)
    middle = [0.0] * len(solid.axes)
    for place, ours in ((0.0, made.centre), (1.0, made.surface)):
        exact = [60 - 55 * share_by_series(solid, time, surface_h, [place, *middle[1:]]) for time in times]
        np.testing.assert_allclose(ours, exact, atol=worst_c if place == 0 else 2 * worst_c)


def test_the_error_falls_with_the_square_of_the_cells():
    def error(cells):
        solid = meat((0.05, 0.075, 0.125), cells)
        made = solid_leg(solid, uniform_solid(solid, 5.0), 60.0, 95.0, [3600.0])
        return made.centre[0] - (60 - 55 * share_by_series(solid, 3600.0, 95.0, [0.0, 0.0, 0.0]))

    assert error(20) / error(40) == pytest.approx(4.0, rel=0.1)


LEGS = [(58.0, 95.0, 2400.0), (1.0, 100.0, 1500.0), (20.0, 8.0, 1200.0)]


def stepped(solid, start_c, legs, cells, step_s):
    """Finite volumes of a block or roll on a grid of its own, in all its dimensions at once, stepped implicitly.

    Rows of heat balance for the whole grid are put together as a sum over axes; steps are of second order (Crank and
    Nicolson) after four of first order (backward Euler) that take the jump at the start of each leg.
    """
    grids = []
    for axis in solid.axes:
        radius, beta = axis.half_thickness_m, axis.shape_exponent
        edges = np.linspace(0.0, radius, cells + 1)
        grids.append((np.diff(edges ** (beta + 1)) / (beta + 1), edges**beta, radius / cells))
    state = np.full(cells ** len(grids), start_c)
    identity = sparse.identity(cells, format="csr")
    for medium, surface_h, seconds in legs:
        system = sparse.csr_matrix((state.size, state.size))
        for number, (volumes, areas, size) in enumerate(grids):
            inner = K * areas[1:-1] / size
            outer = areas[-1] / (1 / surface_h + size / (2 * K))
            diagonal = -np.concatenate([inner, [outer]]) - np.concatenate([[0.0], inner])
            flow = sparse.diags([inner, diagonal, inner], [-1, 0, 1])
            along = sparse.diags(ALPHA / K / volumes) @ flow
            parts = [along if axis == number else identity for axis in range(len(grids))]
            whole = parts[0]
            for part in parts[1:]:
                whole = sparse.kron(whole, part, format="csr")
            system = system + whole
        above = state - medium
        eye = sparse.identity(state.size, format="csc")
        euler = splu((eye - step_s / 4 * system).tocsc())
        for _ in range(4):
            above = euler.solve(above)
        half = step_s / 2 * system
        nicolson, explicit = splu((eye - half).tocsc()), (eye + half).tocsr()
        for _ in range(round(seconds / step_s) - 1):
            above = nicolson.solve(explicit @ above)
        state = above + medium
    return state.reshape([cells] * len(grids))


@pytest.mark.parametrize(
    ("solid", "cells"),
    [
        (meat((0.04, 0.07), 24), 24),
        (meat((0.04, 0.05, 0.07), 10), 10),
        (roll(0.05, 0.08, ALPHA, K, 24), 24),
        (roll(0.06, 0.03, ALPHA, K, 24), 24),
    ],
    ids=["rod", "block", "roll", "disc"],
)
def test_three_legs_of_other_media_and_coefficients_agree_with_a_whole_grid(solid, cells):
    """The same grid in all dimensions at once: what differs is only that its steps in time are not exact."""
    state = uniform_solid(solid, 5.0)
    for done, (medium, surface_h, seconds) in enumerate(LEGS, 1):
        made = solid_leg(solid, state, medium, surface_h, [seconds / 2, seconds])
        state = made.end
        grid = stepped(solid, 5.0, LEGS[:done], cells, 5.0)
        reached = grid
        for _ in range(grid.ndim - 1):
            reached = centre(reached)  # the other axes at their middle
        np.testing.assert_allclose(made.line[-1], reached, atol=2e-3)
        weighted = grid
        for axis in reversed(solid.axes):
            volumes = np.diff(np.linspace(0, 1, cells + 1) ** (axis.shape_exponent + 1))
            weighted = weighted @ volumes
        assert mean_c(solid, state) == pytest.approx(float(weighted), abs=2e-3)


@law
@given(stays, st.floats(0, 60))
def test_equal_sides_keep_the_cube_symmetric(legs, start_c):
    solid = meat((0.05, 0.05, 0.05), 12)
    state = uniform_solid(solid, start_c)
    for medium, surface_h, seconds in legs:
        state = solid_leg(solid, state, medium, surface_h, [seconds]).end
        for other in state.shares[1:]:
            np.testing.assert_allclose(other, state.shares[0], atol=1e-12)


@law
@given(st.lists(sides, min_size=1, max_size=3), st.floats(3, 1000), st.floats(0, 60), st.floats(0, 100))
def test_what_the_surface_takes_in_is_what_the_body_gains(edges, surface_h, start_c, medium):
    """Heat through all faces, from the outmost cells and the film, against the rise of the mean."""
    solid = meat(tuple(edges), 12)
    state = uniform_solid(solid, start_c)
    state = solid_leg(solid, state, 100 - medium, 50.0, [300.0]).end
    # Gauss points integrate the smooth flow over the leg to far below what is asked here
    points, widths = np.polynomial.legendre.leggauss(24)
    first, seconds = 100.0, 300.0
    state = solid_leg(solid, state, medium, surface_h, [first]).end
    begun = mean_c(solid, state)
    gained = 0.0
    for point, width in zip(points, widths, strict=True):
        moment = solid_leg(solid, state, medium, surface_h, [(point + 1) / 2 * seconds]).end
        means = [
            shares @ np.diff(np.linspace(0, 1, axis.cells + 1) ** (axis.shape_exponent + 1))
            for axis, shares in zip(solid.axes, moment.shares, strict=True)
        ]
        rate = 0.0
        for number, axis in enumerate(solid.axes):
            film = 1 / (1 / surface_h + axis.half_thickness_m / axis.cells / 2 / axis.conductivity_w_mk)
            others = np.prod([mean for index, mean in enumerate(means) if index != number], axis=0)
            outmost = np.sum(moment.amplitudes * moment.shares[number][:, -1] * others)
            capacity = axis.conductivity_w_mk / axis.diffusivity_m2_s * axis.half_thickness_m
            rate -= film * outmost / capacity
        gained += rate * width / 2 * seconds
    ended = mean_c(solid, solid_leg(solid, state, medium, surface_h, [seconds]).end)
    assert ended - begun == pytest.approx(gained, abs=2e-6)


def test_a_leg_may_be_cut_in_many_and_keeps_few_births():
    solid = meat((0.05, 0.08, 0.12))
    whole = solid_leg(solid, uniform_solid(solid, 5.0), 57.0, 95.0, [9000.0])
    state = uniform_solid(solid, 5.0)
    for _ in range(30):
        made = solid_leg(solid, state, 57.0, 95.0, [300.0])
        state = made.end
    np.testing.assert_allclose(made.line, whole.line, atol=1e-9)
    assert len(state.amplitudes) == 1  # the same medium again is no new birth
    for turn in range(200):
        state = solid_leg(solid, state, 20.0 if turn % 2 else 21.0, 95.0, [3600.0]).end
    assert len(state.amplitudes) < 30  # what has faded is dropped
    assert mean_c(solid, state) == pytest.approx(20.3, abs=0.3)


def test_a_prescribed_surface_holds_the_face():
    solid = meat((0.03, 0.05))
    made = solid_leg(solid, uniform_solid(solid, 5.0), 60.0, PRESCRIBED_SURFACE, [600.0, 1200.0])
    np.testing.assert_allclose(made.surface, 60.0)


@pytest.mark.parametrize("edges", list(product([0.02, 0.05], repeat=2)))
def test_the_end_is_the_last_moment_listed(edges):
    solid = meat(edges)
    made = solid_leg(solid, uniform_solid(solid, 5.0), 60.0, 95.0, [1200.0, 600.0])
    again = solid_leg(solid, made.end, 20.0, 8.0, [0.0])
    np.testing.assert_allclose(again.line[0], made.line[1], atol=1e-9)


def test_ice_and_boiling_are_told():
    solid = meat((0.03, 0.05))
    with gathered() as found:
        solid_leg(solid, uniform_solid(solid, 5.0), 0.0, 25.0, [600.0])
        made = solid_leg(solid, uniform_solid(solid, 5.0), 100.0, PRESCRIBED_SURFACE, [0.0, 600.0, 36000.0])
        solid_leg(solid, made.end, 60.0, 95.0, [600.0])
    assert not found
    with gathered() as found:
        solid_leg(solid, uniform_solid(solid, 5.0), -18.0, 25.0, [600.0])
        solid_leg(solid, uniform_solid(solid, 5.0), 160.0, 500.0, [600.0])
    assert [warning.name for warning in found] == ["temperature of the medium", "temperature inside the meat"]


def test_impossible_solids_are_refused():
    with pytest.raises(ValueError, match="one to three"):
        meat(())
    with pytest.raises(ValueError, match="one to three"):
        meat((0.1,) * 4)
    for wrong in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="above zero"):
            meat((0.1, wrong))
        with pytest.raises(ValueError, match="above zero"):
            roll(wrong, None, ALPHA, K)
        with pytest.raises(ValueError, match="above zero"):
            roll(0.1, wrong, ALPHA, K)


def test_impossible_legs_of_solids_are_refused():
    solid = meat((0.03, 0.05))
    state = uniform_solid(solid, 5.0)
    for coefficient in (0.0, -1.0, math.nan):
        with pytest.raises(ValueError, match="surface_h"):
            solid_leg(solid, state, 60.0, coefficient, [1.0])
    for times in ([], [-1.0], [math.nan], 5.0):
        with pytest.raises(ValueError, match="times_s"):
            solid_leg(solid, state, 60.0, 95.0, times)
    for temp in (math.nan, -300.0):
        with pytest.raises(ValueError, match="absolute zero"):
            solid_leg(solid, state, temp, 95.0, [1.0])
        with pytest.raises(ValueError, match="absolute zero"):
            uniform_solid(solid, temp)
    with pytest.raises(ValueError, match="of this solid"):
        solid_leg(meat((0.03,)), state, 60.0, 95.0, [1.0])
    with pytest.raises(ValueError, match="of this solid"):
        mean_c(solid, SolidState(5.0, np.empty(0), (np.empty((0, 40)),)))
