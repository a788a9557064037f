"""A batch of pieces equals each piece by itself, through several stays."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.science.batch import Batch, batch_leg, batch_uniform
from advisor.science.conduction import ThermalBody, centre, leg, surface, uniform

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
