"""Conduction against the textbook table, the exact series, and an independent stepping solver."""

import math
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from advisor.science.conduction import (
    PRESCRIBED_SURFACE,
    Shape,
    ThermalBody,
    at_depth,
    biot_roots,
    centre,
    leg,
    series_amplitudes,
    series_temperature,
    surface,
    uniform,
)
from advisor.science.shapes import bessel_j

ONE_TERM = YAML(typ="safe").load(Path(__file__).parent / "published" / "one_term_conduction.yaml")
COLUMNS = {Shape.SLAB: 1, Shape.CYLINDER: 3, Shape.SPHERE: 5}
EXPONENTS = {Shape.SLAB: 0.0, Shape.CYLINDER: 1.0, Shape.SPHERE: 2.0}
ROUNDING = 5.1e-5  # the table prints four decimals


def beef(thickness_m, exponent=0.0, diffusivity=1.3e-7, cells=40):
    return ThermalBody(thickness_m / 2, exponent, diffusivity, 0.48, cells)


@pytest.mark.parametrize("shape", list(Shape))
@pytest.mark.parametrize("row", ONE_TERM["rows"], ids=lambda row: f"Bi={row[0]}")
def test_first_root_and_amplitude_agree_with_the_printed_table(row, shape):
    roots = biot_roots(row[0], shape, 1)
    column = COLUMNS[shape]
    assert roots[0] == pytest.approx(row[column], abs=ROUNDING)
    assert series_amplitudes(roots, shape)[0] == pytest.approx(row[column + 1], abs=ROUNDING)


@pytest.mark.parametrize("shape", list(Shape))
@pytest.mark.parametrize("row", ONE_TERM["beyond_the_printed_copy"]["rows"], ids=lambda row: f"Bi={row[0]}")
def test_roots_beyond_the_printed_copy_agree_with_an_independent_root_finder(row, shape):
    roots = biot_roots(row[0], shape, 1)
    column = COLUMNS[shape]
    assert roots[0] == pytest.approx(row[column], abs=6e-7)  # six decimals in the file
    assert series_amplitudes(roots, shape)[0] == pytest.approx(row[column + 1], abs=6e-7)


@pytest.mark.parametrize("shape", list(Shape))
def test_an_infinite_biot_number_gives_the_exact_limits(shape):
    roots = biot_roots(math.inf, shape, 1)
    root, amplitude = ONE_TERM["limit_infinite_biot"][shape.value]
    assert roots[0] == pytest.approx(root, abs=ROUNDING)
    assert series_amplitudes(roots, shape)[0] == pytest.approx(amplitude, abs=ROUNDING)


def test_bessel_functions_agree_with_scipy():
    points = np.linspace(0.0, 400.0, 2001)
    np.testing.assert_allclose(bessel_j(0, points), j0(points), atol=2e-13)
    np.testing.assert_allclose(bessel_j(1, points), j1(points), atol=2e-13)


def test_forty_cylinder_roots_agree_with_scipy():
    zeros = jn_zeros(0, 40)
    below = np.concatenate([[1e-9], jn_zeros(1, 39)])
    expected = [
        brentq(lambda x: x * j1(x) - 7.0 * j0(x), low, high, xtol=1e-13) for low, high in zip(below, zeros, strict=True)
    ]
    np.testing.assert_allclose(biot_roots(7.0, Shape.CYLINDER, 40), expected, atol=1e-10)


def test_the_series_starts_at_one_and_ends_at_zero():
    for shape in Shape:
        assert series_temperature(0.3, 1e-3, 10.0, shape) == pytest.approx(1.0, abs=1e-6)
        assert series_temperature(0.3, 50.0, 10.0, shape) == pytest.approx(0.0, abs=1e-12)


# Errors found when the method was chosen: 50 mm, h 95, 5 to 60 C, N = 40; half a unit is given for rounding.
@pytest.mark.parametrize(("shape", "worst"), [(Shape.SLAB, 0.0035), (Shape.CYLINDER, 0.0095), (Shape.SPHERE, 0.0165)])
def test_cells_agree_with_the_series(shape, worst):
    def largest_error(cells):
        body = beef(0.050, EXPONENTS[shape], 1.3e-7, cells)
        times = np.arange(60.0, 4 * 3600 + 1, 60.0)
        biot = 95 * body.half_thickness_m / body.conductivity_w_mk
        fourier = times * body.diffusivity_m2_s / body.half_thickness_m**2
        exact = [60 - 55 * series_temperature(0.0, number, biot, shape) for number in fourier]
        return np.max(np.abs(centre(leg(body, uniform(body, 5.0), 60.0, 95.0, times)) - exact))

    assert largest_error(40) < worst
    assert largest_error(40) / largest_error(80) == pytest.approx(4.0, rel=0.1)  # second order in the cell


def test_surface_and_depth_agree_with_the_series():
    body = beef(0.050)
    biot = 95 * body.half_thickness_m / body.conductivity_w_mk
    cells = leg(body, uniform(body, 5.0), 60.0, 95.0, [1800.0])
    fourier = 1800.0 * body.diffusivity_m2_s / body.half_thickness_m**2
    at_surface = surface(body, cells, 60.0, 95.0)
    assert at_surface[0] == pytest.approx(60 - 55 * series_temperature(1.0, fourier, biot, Shape.SLAB), abs=0.02)
    for depth, position in ((0.0, 1.0), (0.004, 0.84), (0.0125, 0.5), (0.025, 0.0)):
        exact = 60 - 55 * series_temperature(position, fourier, biot, Shape.SLAB)
        assert at_depth(body, cells, depth, at_surface)[0] == pytest.approx(exact, abs=0.03)


@pytest.mark.parametrize("exponent", [0.0, 0.28, 0.7, 1.25, 2.0])
def test_modes_agree_with_a_stepping_solver(exponent):
    """The same equations written out cell by cell and stepped by scipy; agreement to its own tolerance."""
    body = beef(0.040, exponent)
    count, radius, size = body.cells, body.half_thickness_m, body.half_thickness_m / body.cells
    edges = [index * size for index in range(count + 1)]
    volumes = [(edges[i + 1] ** (exponent + 1) - edges[i] ** (exponent + 1)) / (exponent + 1) for i in range(count)]
    through = 1 / (1 / 95 + size / (2 * body.conductivity_w_mk))

    def slopes(_time, cells):
        gain = np.zeros(count)
        for i in range(count - 1):
            flow = body.diffusivity_m2_s * edges[i + 1] ** exponent * (cells[i + 1] - cells[i]) / size
            gain[i] += flow
            gain[i + 1] -= flow
        outer = body.diffusivity_m2_s / body.conductivity_w_mk * radius**exponent * through
        gain[-1] += outer * (60 - cells[-1])
        return gain / volumes

    times = [300.0, 1800.0, 5400.0]
    stepped = solve_ivp(
        slopes,
        (0, 5400.0),
        np.full(count, 5.0),
        method="LSODA",
        t_eval=times,
        rtol=1e-7,
        atol=1e-7,
        lband=1,
        uband=1,
    )
    np.testing.assert_allclose(leg(body, uniform(body, 5.0), 60.0, 95.0, times), stepped.y.T, atol=5e-4)


def test_a_leg_may_be_cut_in_two_without_changing_it():
    body = beef(0.060, 0.28)
    whole = leg(body, uniform(body, 5.0), 57.0, 95.0, [7000.0])
    half = leg(body, uniform(body, 5.0), 57.0, 95.0, [3000.0])
    np.testing.assert_allclose(leg(body, half[-1], 57.0, 95.0, [4000.0]), whole, atol=1e-9)


def test_a_leg_begins_where_it_was_told_to():
    body = beef(0.030)
    start = np.linspace(50.0, 10.0, body.cells)
    np.testing.assert_allclose(leg(body, start, 2.0, 8.0, [0.0])[0], start, atol=1e-10)


def test_a_prescribed_surface_is_the_limit_of_a_very_large_coefficient():
    body = beef(0.030)
    held = leg(body, uniform(body, 5.0), 60.0, PRESCRIBED_SURFACE, [600.0])
    np.testing.assert_allclose(held, leg(body, uniform(body, 5.0), 60.0, 1e9, [600.0]), atol=1e-5)
    fourier = 600.0 * body.diffusivity_m2_s / body.half_thickness_m**2
    assert centre(held)[0] == pytest.approx(60 - 55 * series_temperature(0.0, fourier, math.inf, Shape.SLAB), abs=0.02)
    assert surface(body, held, 60.0, PRESCRIBED_SURFACE)[0] == 60.0


def test_places_work_on_one_row_and_on_many():
    body = beef(0.030)
    many = leg(body, uniform(body, 5.0), 60.0, 95.0, [0.0, 600.0, 1200.0])
    assert centre(many).shape == (3,)
    assert float(centre(many[1])) == centre(many)[1]
    np.testing.assert_allclose(at_depth(body, many, 0.015, surface(body, many, 60.0, 95.0)), centre(many))


def test_the_egg_of_the_textbook_reaches_its_centre_temperature_in_time():
    """Cengel, Heat Transfer, example 4-3 (from memory): 865 s to 70 C by one term; the series says 861 s."""
    egg = ThermalBody(0.025, 2.0, 0.151e-6, 0.627, 60)
    seconds = np.arange(800.0, 901.0)
    middle = centre(leg(egg, uniform(egg, 5.0), 95.0, 1200.0, seconds))
    assert np.interp(70.0, middle, seconds) == pytest.approx(861.0, abs=1.0)


# Thickness of slab that explains the record below, in mm, by bath and diffusivity.
FLAP = {
    (54.5, 1.11e-7): 29.1,
    (54.5, 1.30e-7): 32.1,
    (54.5, 1.45e-7): 34.4,
    (55.0, 1.11e-7): 31.0,
    (55.0, 1.30e-7): 34.2,
    (55.0, 1.45e-7): 36.6,
}


@pytest.mark.parametrize(("bath_c", "diffusivity"), FLAP)
def test_the_core_of_a_sirloin_flap_tells_how_thick_it_was(bath_c, diffusivity):
    """A bottom-sirloin flap at 21 C in a bath of 54.5 to 55 C had a core of 53.3 C after about 80 min.

    Common practice, no source; "about" 80 min. With h 95 W/m2K and k 0.48 W/mK the record asks for a slab of
    29 mm (slow meat, cooler bath) to 37 mm (quick meat, warmer bath). A flap is usually 20 to 40 mm thick, so
    this is plausible for one toward the thick end. It is no check of the diffusivity: the thickness is not
    known to 3 mm.
    """

    def core_excess(thickness_m):
        body = beef(thickness_m, 0.0, diffusivity)
        return float(centre(leg(body, uniform(body, 21.0), bath_c, 95.0, [80 * 60.0]))[0]) - 53.3

    thickness = 1000 * brentq(core_excess, 0.005, 0.100)
    assert thickness == pytest.approx(FLAP[bath_c, diffusivity], abs=0.1)
    assert 29.0 < thickness < 37.0


@pytest.mark.parametrize(
    "wrong",
    [
        {"half_thickness_m": 0.0},
        {"half_thickness_m": math.nan},
        {"diffusivity_m2_s": -1e-7},
        {"conductivity_w_mk": 0.0},
        {"shape_exponent": -0.1},
        {"shape_exponent": 2.1},
        {"cells": 3},
    ],
)
def test_an_impossible_body_is_refused(wrong):
    right = {
        "half_thickness_m": 0.01,
        "shape_exponent": 0.0,
        "diffusivity_m2_s": 1e-7,
        "conductivity_w_mk": 0.5,
        "cells": 40,
    }
    with pytest.raises(ValueError, match=next(iter(wrong))):
        ThermalBody(**(right | wrong))


def test_impossible_legs_are_refused():
    body = beef(0.030)
    cells = uniform(body, 5.0)
    for coefficient in (0.0, -5.0, math.nan):
        with pytest.raises(ValueError, match="surface_h"):
            leg(body, cells, 60.0, coefficient, [1.0])
    with pytest.raises(ValueError, match="times_s"):
        leg(body, cells, 60.0, 95.0, [-1.0])
    with pytest.raises(ValueError, match="start_cells"):
        leg(body, cells[:-1], 60.0, 95.0, [1.0])
    with pytest.raises(ValueError, match="absolute zero"):
        leg(body, cells, -300.0, 95.0, [1.0])
    with pytest.raises(ValueError, match="depth_m"):
        at_depth(body, cells, 0.0151, 5.0)


def test_impossible_series_are_refused():
    with pytest.raises(ValueError, match="Biot"):
        biot_roots(0.0, Shape.SLAB, 1)
    with pytest.raises(ValueError, match="root"):
        biot_roots(1.0, Shape.SLAB, 0)
    with pytest.raises(ValueError, match="position"):
        series_temperature(1.2, 0.1, 1.0, Shape.SLAB)
    with pytest.raises(ValueError, match="Fourier"):
        series_temperature(0.5, -0.1, 1.0, Shape.SLAB)
