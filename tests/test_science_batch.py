"""A batch of pieces equals each piece by itself, through several stays."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.science.batch import Batch, batch_leg, batch_uniform
from advisor.science.conduction import ThermalBody, centre, leg, surface, uniform
from advisor.science.mode_tables import many_modes
from advisor.science.modes import modes
from advisor.science.validity import gathered

law = settings(deadline=None, max_examples=40)
sizes = st.lists(st.floats(0.002, 0.08), min_size=1, max_size=6)
stays = st.lists(
    st.tuples(st.floats(0.0, 100.0), st.floats(5.0, 1500.0), st.floats(60.0, 20000.0)), min_size=1, max_size=3
)


def pieces(halves, exponent=0.0, cells=20):
    n = len(halves)
    return Batch(np.array(halves), np.linspace(1.1e-7, 1.45e-7, n), np.linspace(0.45, 0.55, n), exponent, cells)


def each(batch):
    values = zip(batch.half_thickness_m, batch.diffusivity_m2_s, batch.conductivity_w_mk, strict=True)
    return [ThermalBody(float(r), batch.shape_exponent, float(a), float(k), batch.cells) for r, a, k in values]


@law
@given(sizes, stays, st.sampled_from([0.0, 0.7, 1.0]), st.booleans())
def test_a_batch_equals_its_pieces(halves, legs, exponent, even):
    batch = pieces(halves, exponent)
    cells = batch_uniform(batch, 4.0)
    alone = [uniform(body, 4.0) for body in each(batch)]
    for medium, h, seconds in legs:
        times = np.linspace(0, seconds, 9) if even else np.array([0.0, 0.1, 0.13, 0.5, 1.0]) * seconds
        made = batch_leg(batch, cells, medium, h, times, keep_cells=True)
        for b, body in enumerate(each(batch)):
            temps = leg(body, alone[b], medium, h, times)
            np.testing.assert_allclose(made.centre[b], centre(temps), atol=1e-8)
            np.testing.assert_allclose(made.surface[b], surface(body, temps, medium, h), atol=1e-8)
            np.testing.assert_allclose(made.cells[b], temps, atol=1e-8)
            np.testing.assert_allclose(made.end[b], temps[-1], atol=1e-8)
            alone[b] = temps[-1]
        cells = made.end


@settings(deadline=None, max_examples=15)
@given(st.sampled_from([0.0, 0.28, 1.0, 2.0]), st.integers(0, 2**32 - 1), st.booleans())
def test_a_large_batch_read_off_tables_equals_its_pieces(exponent, seed, even):
    """Enough pieces for the tables; each with its own meat, start, media and surfaces, through three stays."""
    random = np.random.default_rng(seed)
    n = 80
    batch = Batch(
        np.geomspace(0.002, 0.08, n),
        random.uniform(1.0e-7, 1.5e-7, n),
        random.uniform(0.4, 0.6, n),
        exponent,
        40,
    )
    starts = random.uniform(0, 60, n)
    cells = batch_uniform(batch, starts)
    alone = [uniform(body, start) for body, start in zip(each(batch), starts, strict=True)]
    for _ in range(3):
        media, coefficients = random.uniform(0, 100, n), np.exp(random.uniform(np.log(3), np.log(3000), n))
        coefficients[random.integers(n)] = np.inf
        seconds = random.uniform(60, 20000)
        times = np.linspace(0, seconds, 31) if even else np.sort(random.uniform(0, seconds, 11))
        made = batch_leg(batch, cells, media, coefficients, times, keep_cells=True)
        for b, body in enumerate(each(batch)):
            temps = leg(body, alone[b], media[b], coefficients[b], times)
            np.testing.assert_allclose(made.centre[b], centre(temps), atol=1e-8)
            np.testing.assert_allclose(made.surface[b], surface(body, temps, media[b], coefficients[b]), atol=1e-8)
            np.testing.assert_allclose(made.cells[b], temps, atol=1e-8)
            np.testing.assert_allclose(made.end[b], temps[-1], atol=1e-8)
            alone[b] = temps[-1]
        cells = made.end


@pytest.mark.parametrize("exponent", [0.0, 0.28, 0.7, 1.0, 1.25, 2.0])
@pytest.mark.parametrize("cells", [4, 40])
def test_modes_read_off_a_table_are_the_modes(exponent, cells):
    biot = np.geomspace(1e-5, 1e5, 1000)
    rates, shapes, _ = many_modes(cells, exponent, biot, np.zeros(1000), 36.0)
    for number in range(0, 1000, 37):
        exact = modes(cells, exponent, float(biot[number]))
        np.testing.assert_allclose(rates[number], exact.rates, rtol=2e-11)
        np.testing.assert_allclose(shapes[number], exact.vectors, atol=1e-11)


def test_a_node_of_a_table_is_met_exactly():
    biot = np.append(np.full(30, 8.0), 1.0)  # an end of two spans
    rates, shapes, _ = many_modes(40, 1.0, biot, np.zeros(31), 36.0)
    np.testing.assert_allclose(rates[0], modes(40, 1.0, 8.0).rates, rtol=1e-11)
    np.testing.assert_allclose(shapes[0], modes(40, 1.0, 8.0).vectors, atol=1e-11)


def test_moments_at_the_start_alone_give_the_start():
    batch = pieces([0.01, 0.02])
    start = batch_uniform(batch, [5.0, 20.0])
    made = batch_leg(batch, start, 60.0, 95.0, [0.0, 0.0], keep_cells=True)
    np.testing.assert_allclose(made.end, start)
    np.testing.assert_allclose(made.cells, np.repeat(start[:, None], 2, axis=1))
    np.testing.assert_allclose(made.centre, [[5.0, 5.0], [20.0, 20.0]])


def test_boiling_on_the_way_is_told():
    batch = pieces([0.01, 0.02])
    with gathered() as found:
        batch_leg(batch, batch_uniform(batch, 5.0), 100.0, 500.0, [60.0, 3600.0])
    assert not found
    with gathered() as found:
        batch_leg(batch, batch_uniform(batch, 5.0), [90.0, 160.0], 500.0, [60.0, 3600.0])
        batch_leg(batch, batch_uniform(batch, 5.0), [-18.0, 2.0], 20.0, [60.0])
    assert [(warning.name, warning.value < 0) for warning in found] == [
        ("temperature inside the meat", False),
        ("temperature of the medium", True),
    ]


def test_each_piece_may_have_its_own_medium_surface_and_start():
    batch = pieces([0.01, 0.02, 0.03])
    media, coefficients, starts = np.array([40.0, 60.0, 3.0]), np.array([95.0, np.inf, 8.0]), np.array([5.0, 2.0, 60.0])
    made = batch_leg(batch, batch_uniform(batch, starts), media, coefficients, [0.0, 600.0])
    for b, body in enumerate(each(batch)):
        temps = leg(body, uniform(body, starts[b]), media[b], coefficients[b], [0.0, 600.0])
        np.testing.assert_allclose(made.centre[b], centre(temps), atol=1e-9)
        np.testing.assert_allclose(made.surface[b], surface(body, temps, media[b], coefficients[b]), atol=1e-9)


def test_a_thousand_pieces_are_slower_the_thicker_they_are():
    batch = Batch(np.linspace(0.005, 0.08, 1000), np.full(1000, 1.3e-7), np.full(1000, 0.48))
    made = batch_leg(batch, batch_uniform(batch, 5.0), 60.0, 95.0, np.arange(0.0, 4 * 3600.0 + 1, 60.0))
    assert np.all(np.diff(made.centre, axis=0) <= 1e-9)
    assert np.all(np.diff(made.centre, axis=1) >= -1e-9)
    assert made.centre.min() >= 5.0 - 1e-9
    assert made.centre.max() <= 60.0


@pytest.mark.parametrize(
    ("halves", "more", "says"),
    [
        ([0.0, 0.01], {}, "above zero"),
        ([[0.01]], {}, "one length"),
        ([0.01], {"shape_exponent": 3.0}, "shape_exponent"),
        ([0.01], {"cells": 3}, "cells"),
    ],
)
def test_a_batch_that_cannot_exist_is_refused(halves, more, says):
    with pytest.raises(ValueError, match=says):
        Batch(np.array(halves), np.full(len(halves), 1.3e-7), np.full(len(halves), 0.48), **more)


@pytest.mark.parametrize(
    ("times", "h", "says"),
    [([], 95.0, "at least one"), ([10.0, 5.0], 95.0, "fall"), ([-1.0], 95.0, "before"), ([1.0], 0.0, "surface_h")],
)
def test_a_stay_that_cannot_be_is_refused(times, h, says):
    batch = pieces([0.01])
    with pytest.raises(ValueError, match=says):
        batch_leg(batch, batch_uniform(batch, 5.0), 60.0, h, times)
