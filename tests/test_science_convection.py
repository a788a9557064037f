"""Surface coefficients: limits, order and refusals, and what the book of rules takes beside what air and water give."""

from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from advisor.science.convection import (
    ROUGH_FLOW_REYNOLDS,
    STEFAN_BOLTZMANN,
    nusselt_flat_plate,
    nusselt_vertical_plate,
    radiation_coefficient,
    rayleigh_number,
    still_fluid_coefficient,
    stream_coefficient,
)
from advisor.science.validity import gathered

MEDIA = YAML(typ="safe").load(Path(__file__).parents[1] / "rulebase" / "surroundings.yaml")["media"]
FACE_M = 0.1
WET_MEAT = 0.95
AIR, WATER = "Air", "Water"

# Worked out once from the same formula with fluid properties from memory, when the reference figures were gathered.
STILL_WATER_BEFORE = {(55, 2): 490, (55, 10): 800, (55, 50): 1320, (10, 2): 220, (10, 10): 350, (10, 20): 440}
STILL_AIR_BEFORE = {5: 3.6, 50: 6.7}


def fluid(name, film_c):
    """Conductivity, kinematic viscosity, Prandtl number and expansion from a property library."""
    state = ("T", film_c + 273.15, "P", 101325.0, name)
    viscosity = PropsSI("VISCOSITY", *state) / PropsSI("DMASS", *state)
    expansion = PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", *state)
    return PropsSI("CONDUCTIVITY", *state), viscosity, PropsSI("PRANDTL", *state), expansion


def still(name, film_c, difference_k, face_m=FACE_M):
    return still_fluid_coefficient(face_m, difference_k, *fluid(name, film_c))


def in_air(air_c, difference_k):
    """Still air and radiation together, for meat warmer than a room by a difference."""
    radiated = float(radiation_coefficient(air_c + difference_k, air_c, WET_MEAT))
    return still(AIR, air_c + difference_k / 2, difference_k) + radiated


@pytest.mark.parametrize(("case", "figure"), STILL_WATER_BEFORE.items())
def test_still_water_is_what_the_house_worked_out_from_memory(case, figure):
    assert still(WATER, *case) == pytest.approx(figure, rel=0.015)  # two to three figures


@pytest.mark.parametrize(("difference_k", "figure"), STILL_AIR_BEFORE.items())
def test_still_air_is_what_the_house_worked_out_from_memory(difference_k, figure):
    assert still(AIR, 21 + difference_k / 2, difference_k) == pytest.approx(figure, rel=0.04)


@pytest.mark.parametrize("medium", ["bath_circulated", "bath_still"])
@pytest.mark.parametrize("difference_k", [2, 10, 50])
def test_the_book_takes_less_in_a_bath_than_still_water_alone_gives(medium, difference_k):
    """Lower means slower to heat: bag, film of juice and touching bags are in it."""
    taken = MEDIA[medium]
    assert taken["surface_h_low"] < taken["surface_h_w_m2k"] + 1 < still(WATER, 55, difference_k) / 4
    assert taken["surface_h_high"] < still(WATER, 55, difference_k)


def test_the_book_takes_less_in_an_ice_bath_than_still_water_alone_gives():
    """Late in the bath the water by the meat is near 5 °C and 2 K colder; below 4 °C the formula has no say."""
    assert MEDIA["ice_bath"]["surface_h_w_m2k"] < still(WATER, 5, 2)
    assert MEDIA["running_water"]["surface_h_low"] < still(WATER, 6, 2)


@pytest.mark.parametrize(("medium", "air_c"), [("counter", 21), ("rest", 21), ("fridge_still", 4)])
def test_the_book_takes_less_in_still_air_than_air_and_radiation_give(medium, air_c):
    """The low end is for cooling, where slow is the worse; a tray or a stack hides part of the surface."""
    taken = MEDIA[medium]
    assert taken["surface_h_low"] < in_air(air_c, 1)
    assert taken["surface_h_w_m2k"] < in_air(air_c, 10)


@pytest.mark.parametrize(("medium", "air_c"), [("counter", 21), ("rest", 21), ("fridge_still", 4)])
def test_the_books_high_end_holds_what_hot_meat_gives_off_in_still_air(medium, air_c):
    """Meat 50 K above the air loses heat quickest; the high end is there for where quick is the worse."""
    given_off = in_air(air_c, 50)
    assert given_off < MEDIA[medium]["surface_h_high"] < 1.1 * given_off


@pytest.mark.parametrize(
    ("medium", "slow", "quick"), [("fridge_fan", 1, 2), ("walk_in", 1, 2), ("blast_chiller", 3, 5)]
)
def test_the_book_takes_in_moving_air_what_a_smooth_stream_and_radiation_give(medium, slow, quick):
    """Air of handbook speeds over 0.1 to 0.2 m of meat at 4 °C."""
    radiated = float(radiation_coefficient(4, 4, WET_MEAT))
    conductivity, viscosity, prandtl, _ = fluid(AIR, 4)
    least = stream_coefficient(0.2, slow, conductivity, viscosity, prandtl) + radiated
    most = stream_coefficient(0.1, quick, conductivity, viscosity, prandtl) + radiated
    taken = MEDIA[medium]
    assert taken["surface_h_low"] < least * 1.01
    assert least < taken["surface_h_w_m2k"] * 1.02 < most
    assert taken["surface_h_high"] < most


def test_the_book_takes_in_a_still_oven_what_air_and_radiation_give():
    """Air of 163 °C and walls as hot, meat at 60 °C."""
    given_off = still(AIR, (163 + 60) / 2, 103) + float(radiation_coefficient(60, 163, WET_MEAT))
    taken = MEDIA["oven_still"]
    assert taken["surface_h_low"] < given_off < taken["surface_h_high"]
    assert given_off == pytest.approx(taken["surface_h_w_m2k"], rel=0.25)


def test_the_book_takes_in_simmering_liquid_less_than_still_water_gives():
    assert MEDIA["braise"]["surface_h_low"] < still(WATER, 95, 2)
    assert MEDIA["braise"]["surface_h_high"] < still(WATER, 75, 50)


@given(st.floats(0.1, 9.9e11), st.floats(1.001, 10.0), st.floats(0.01, 1000.0))
def test_more_buoyancy_carries_more(rayleigh, more, prandtl):
    least = float(nusselt_vertical_plate(rayleigh, prandtl))
    assert least > 0.825**2
    if rayleigh * more <= 1e12:
        assert float(nusselt_vertical_plate(rayleigh * more, prandtl)) > least


@given(st.floats(0.01, 1.0), st.floats(0.5, 80.0))
def test_warming_and_cooling_by_the_same_difference_give_the_same(face_m, difference_k):
    air = fluid(AIR, 20)
    upward, downward = (still_fluid_coefficient(face_m, sign * difference_k, *air) for sign in (1, -1))
    assert upward == downward
    taller = still_fluid_coefficient(face_m * 1.5, difference_k, *air)
    assert taller < upward * 1.02  # a taller face gives less for each of its parts, until its flow turns rough


def test_no_difference_leaves_conduction_through_the_film():
    with gathered() as found:
        assert float(nusselt_vertical_plate(0.0, 0.7)) == pytest.approx(0.825**2)
    assert found[0].name == "Rayleigh number"


@given(st.floats(100.0, 9.9e7), st.floats(1.001, 3.0), st.floats(0.6, 60.0))
def test_a_faster_stream_carries_more(reynolds, more, prandtl):
    slow, quick = nusselt_flat_plate([reynolds, reynolds * more], prandtl)
    assert quick > slow * 0.999


def test_the_two_flows_meet_where_one_turns_into_the_other():
    below, above = nusselt_flat_plate([ROUGH_FLOW_REYNOLDS, ROUGH_FLOW_REYNOLDS * (1 + 1e-9)], 0.7)
    assert above == pytest.approx(below, rel=0.003)


@given(st.floats(-30.0, 200.0), st.floats(-30.0, 200.0), st.floats(0.0, 1.0))
def test_radiation_is_the_difference_of_the_fourth_powers(surface_c, around_c, emissivity):
    coefficient = float(radiation_coefficient(surface_c, around_c, emissivity))
    fourths = (surface_c + 273.15) ** 4 - (around_c + 273.15) ** 4
    assert coefficient * (surface_c - around_c) == pytest.approx(emissivity * STEFAN_BOLTZMANN * fourths, abs=1e-9)
    mean = (surface_c + around_c) / 2 + 273.15
    off = ((surface_c - around_c) / 2 / mean) ** 2
    assert coefficient == pytest.approx(4 * emissivity * STEFAN_BOLTZMANN * mean**3 * (1 + off), rel=1e-9)


def test_shapes_are_kept():
    assert nusselt_vertical_plate(np.full((2, 3), 1e6), 0.7).shape == (2, 3)
    assert nusselt_flat_plate(np.full((2, 3), 1e4), 0.7).shape == (2, 3)
    assert radiation_coefficient([[20.0], [30.0]], [4.0, 21.0]).shape == (2, 2)


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: rayleigh_number(0.0, 5.0, 1.5e-5, 0.7, 0.0034), "height_m"),
        (lambda: rayleigh_number(0.1, float("nan"), 1.5e-5, 0.7, 0.0034), "expansion_times_difference"),
        (lambda: nusselt_vertical_plate(-1.0, 0.7), "rayleigh"),
        (lambda: nusselt_vertical_plate(1e6, 0.0), "prandtl"),
        (lambda: still_fluid_coefficient(0.1, 5.0, -0.02, 1.5e-5, 0.7, 0.0034), "conductivity_w_mk"),
        (lambda: nusselt_flat_plate(float("inf"), 0.7), "reynolds"),
        (lambda: stream_coefficient(0.1, 0.0, 0.02, 1.5e-5, 0.7), "speed_m_s"),
        (lambda: radiation_coefficient(20.0, -300.0), "absolute zero"),
        (lambda: radiation_coefficient(20.0, 4.0, 1.1), "emissivity"),
    ],
)
def test_impossible_input_is_refused(ask, said):
    with pytest.raises(ValueError, match=said):
        ask()


@pytest.mark.parametrize(
    ("ask", "name"),
    [
        (lambda: nusselt_vertical_plate(1.1e12, 0.7), "Rayleigh number"),
        (lambda: nusselt_vertical_plate(0.05, 0.7), "Rayleigh number"),
        (lambda: nusselt_flat_plate(50.0, 0.7), "Reynolds number"),
        (lambda: nusselt_flat_plate(2e8, 0.7), "Reynolds number"),
        (lambda: nusselt_flat_plate(1e4, 0.5), "Prandtl number"),
    ],
)
def test_the_edge_of_the_range_is_said(ask, name):
    with gathered() as found:
        ask()
    assert [warning.name for warning in found] == [name]
