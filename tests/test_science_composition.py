"""Heat properties from composition: bounds, limits, refusals and warnings, and figures computed before."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.science.properties import (
    LEAN,
    Composition,
    conductivity,
    density,
    diffusivity,
    lean_with_fat,
    specific_heat,
)
from advisor.science.validity import gathered

# Computed from the same formulas when the reference figures were gathered, in a script apart; to the digits shown.
# cut, water, protein, fat, ash, T, rho, cp, k parallel, k series, alpha parallel and series in 1e-7 m2/s
COMPUTED_BEFORE = [
    ("lean beef", 0.71, 0.22, 0.06, 0.01, 5, 1056, 3539, 0.482, 0.379, 1.290, 1.014),
    ("lean beef", 0.71, 0.22, 0.06, 0.01, 20, 1053, 3544, 0.502, 0.397, 1.346, 1.062),
    ("lean beef", 0.71, 0.22, 0.06, 0.01, 55, 1042, 3564, 0.541, 0.428, 1.456, 1.154),
    ("brisket", 0.65, 0.19, 0.15, 0.01, 20, 1037, 3414, 0.470, 0.352, 1.328, 0.994),
    ("brisket", 0.65, 0.19, 0.15, 0.01, 55, 1025, 3435, 0.503, 0.368, 1.428, 1.044),
    ("pork shoulder", 0.65, 0.175, 0.165, 0.01, 20, 1032, 3414, 0.468, 0.349, 1.329, 0.991),
    ("pork loin", 0.725, 0.215, 0.05, 0.01, 20, 1053, 3577, 0.509, 0.406, 1.352, 1.079),
    ("chicken breast", 0.75, 0.225, 0.015, 0.01, 20, 1059, 3631, 0.523, 0.430, 1.359, 1.117),
    ("cooked beef", 0.60, 0.31, 0.08, 0.01, 55, 1064, 3330, 0.497, 0.377, 1.401, 1.062),
]


@st.composite
def thawed_meat(draw):
    """Draw meat with 50 to 80 % water and no ice."""
    water = draw(st.floats(0.5, 0.8))
    ash = draw(st.floats(0.005, 0.02))
    protein = draw(st.floats(0.05, 1 - water - ash - 0.001))
    return Composition(water, protein, 1 - water - ash - protein, ash)


@pytest.mark.parametrize("row", COMPUTED_BEFORE, ids=lambda row: f"{row[0]} at {row[5]} °C")
def test_the_figures_of_the_house_are_met_to_their_digits(row):
    _, water, protein, fat, ash, temp_c, *expected = row

    made = Composition(water, protein, fat, ash)
    ours = [
        density(made, temp_c),
        specific_heat(made, temp_c),
        conductivity(made, temp_c, "parallel"),
        conductivity(made, temp_c, "series"),
        1e7 * diffusivity(made, temp_c, "parallel"),
        1e7 * diffusivity(made, temp_c, "series"),
    ]
    for value, figure, half_a_digit in zip(ours, expected, [0.51, 0.51, 5.1e-4, 5.1e-4, 5.1e-4, 5.1e-4], strict=True):
        assert float(value) == pytest.approx(figure, abs=half_a_digit)


@given(thawed_meat(), st.floats(0.0, 100.0))
def test_the_mean_lies_between_the_bounds_and_the_diffusivity_follows(made, temp_c):
    least, mean, most = (float(conductivity(made, temp_c, way)) for way in ("series", "mean", "parallel"))
    assert least <= mean <= most
    assert mean == pytest.approx((least + most) / 2)
    expected = mean / float(density(made, temp_c)) / float(specific_heat(made, temp_c))
    assert float(diffusivity(made, temp_c)) == pytest.approx(expected)


@given(st.floats(0.0, 0.5), st.floats(0.0, 0.5), st.floats(0.0, 70.0))
def test_fatter_meat_carries_and_holds_less_heat(one, other, temp_c):
    leaner, fatter = lean_with_fat(min(one, other)), lean_with_fat(max(one, other))
    for ours in (conductivity, specific_heat, density):
        assert float(ours(leaner, temp_c)) >= float(ours(fatter, temp_c)) - 1e-9


@given(st.floats(0.01, 0.7), st.floats(-40.0, 0.0))
def test_levy_lies_between_the_bounds_and_more_ice_carries_more(ice, temp_c):
    made = Composition(0.75 - ice, 0.22, 0.02, 0.01, ice=ice)
    least, levy, most = (float(conductivity(made, temp_c, way)) for way in ("series", "levy", "parallel"))
    assert least <= levy <= most
    icier = dataclasses.replace(made, water=made.water - 0.005, ice=ice + 0.005)
    assert float(conductivity(icier, temp_c, "levy")) > levy


def test_levy_ends_at_the_phases_themselves():
    thawed = Composition(0.75, 0.22, 0.02, 0.01)
    assert float(conductivity(thawed, 5.0, "levy")) == float(conductivity(thawed, 5.0, "parallel"))
    pure = Composition(0.0, 0.0, 0.0, 0.0, ice=1.0)
    for way in ("mean", "series", "parallel", "levy"):
        assert float(conductivity(pure, -20.0, way)) == pytest.approx(2.385194, abs=1e-6)
    trace = Composition(0.75 - 1e-7, 0.22, 0.02, 0.01, ice=1e-7)
    with gathered():
        level = float(conductivity(thawed, 0.0, "parallel"))
    assert float(conductivity(trace, 0.0, "levy")) == pytest.approx(level, rel=1e-5)


def test_shapes_of_temperatures_are_kept():
    made = lean_with_fat(0.1)
    temps = np.array([[5.0, 20.0, 55.0], [60.0, 70.0, 80.0]])
    for ours in (density, specific_heat, conductivity, diffusivity):
        assert ours(made, temps).shape == (2, 3)
        assert ours(made, temps)[0, 1] == pytest.approx(float(ours(made, 20.0)))
        assert ours(made, 20.0).shape == ()


@pytest.mark.parametrize(
    ("fat", "water", "protein"),
    [(0.06, 0.71, 0.22), (0.15, 0.65, 0.19), (0.05, 0.725, 0.215), (0.015, 0.75, 0.225), (0.165, 0.65, 0.175)],
)
def test_meat_known_by_its_fat_is_close_to_what_tables_give(fat, water, protein):
    made = lean_with_fat(fat)
    assert made.water == pytest.approx(water, abs=0.02)
    assert made.protein == pytest.approx(protein, abs=0.025)


def test_all_fat_and_no_fat():
    assert lean_with_fat(0.0) == LEAN
    assert lean_with_fat(1.0) == Composition(0.0, 0.0, 1.0, 0.0)


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ((0.7, 0.2, 0.05, 0.01), "add up to 1"),
        ((1.1, -0.1, 0.0, 0.0), "from 0 to 1"),
        ((float("nan"), 0.5, 0.4, 0.1), "from 0 to 1"),
    ],
)
def test_a_composition_that_cannot_be_is_refused(parts, said):
    with pytest.raises(ValueError, match=said):
        Composition(*parts)


def test_other_impossible_input_is_refused():
    made = lean_with_fat(0.1)
    with pytest.raises(ValueError, match="fat_fraction"):
        lean_with_fat(10.0)
    with pytest.raises(ValueError, match="no fat"):
        lean_with_fat(0.1, made)
    with pytest.raises(ValueError, match="mixing"):
        conductivity(made, 20.0, "best")
    with pytest.raises(ValueError, match="absolute zero"):
        density(made, -300.0)


@pytest.mark.parametrize(
    ("made", "temp_c", "warns"),
    [
        (lean_with_fat(0.1), 150.0, False),
        (lean_with_fat(0.1), 151.0, True),
        (lean_with_fat(0.1), -1.0, True),
        (Composition(0.1, 0.2, 0.05, 0.01, ice=0.64), -40.0, False),
        (Composition(0.1, 0.2, 0.05, 0.01, ice=0.64), -41.0, True),
        (Composition(0.1, 0.2, 0.05, 0.01, ice=0.64), 1.0, True),
        (Composition(0.0, 0.0, 1.0, 0.0), -40.0, False),
        (Composition(0.0, 0.0, 1.0, 0.0), -41.0, True),
    ],
)
def test_the_edge_of_the_range_is_said(made, temp_c, warns):
    for ours in (density, specific_heat, conductivity):
        with gathered() as found:
            ours(made, temp_c)
        assert bool(found) == warns
