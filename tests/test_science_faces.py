"""A slab whose faces feel different things."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.science.conduction import ThermalBody, leg, uniform
from advisor.science.faces import leg_by_faces
from advisor.science.validity import gathered

THIN = ThermalBody(0.006, 0.0, 1.11e-7, 0.48, 24)
TIMES = np.array([0.0, 20.0, 120.0, 600.0])


def test_faces_that_are_alike_give_the_plain_slab():
    both = leg_by_faces(THIN, [5.0] * 48, (100.0, 100.0), (250.0, 250.0), TIMES)
    plain = leg(THIN, uniform(THIN, 5.0), 100.0, 250.0, TIMES)
    assert both[:, 24:] == pytest.approx(plain, abs=1e-8)
    assert both[:, :24] == pytest.approx(plain[:, ::-1], abs=1e-8)


def test_a_face_that_passes_no_heat_gives_a_slab_twice_as_thick():
    one = leg_by_faces(THIN, [5.0] * 48, (100.0, 20.0), (250.0, 0.0), TIMES)
    double = ThermalBody(0.012, 0.0, 1.11e-7, 0.48, 48)
    assert one[:, ::-1] == pytest.approx(leg(double, uniform(double, 5.0), 100.0, 250.0, TIMES), abs=1e-8)


def test_one_face_after_the_other_against_small_steps_in_time():
    """12 mm from 3 °C, six minutes on each face at 250 W/m2K, the other at 30 W/m2K in 20 °C.

    Steps of 0.04 s through 60 cells, worked out apart, left 51.77 °C at the coldest place and 67.78 °C as the highest
    of the middle.
    """
    hot, air = (100.0, 250.0), (20.0, 30.0)
    first = leg_by_faces(THIN, [3.0] * 48, (hot[0], air[0]), (hot[1], air[1]), [360.0])[-1]
    then = leg_by_faces(THIN, first, (air[0], hot[0]), (air[1], hot[1]), np.linspace(0.0, 360.0, 200))
    assert then[-1].min() == pytest.approx(51.77, abs=0.1)
    assert then[:, 24].max() == pytest.approx(67.78, abs=0.3)


def test_it_never_leaves_what_surrounds_it():
    cells = leg_by_faces(THIN, np.linspace(2.0, 40.0, 48), (90.0, 20.0), (1000.0, 9.0), np.linspace(0.0, 9000.0, 30))
    assert cells.min() >= 2.0 - 1e-9
    assert cells.max() <= 90.0 + 1e-9


def test_what_cannot_be_is_refused_and_boiling_is_told():
    with pytest.raises(ValueError, match="both zero"):
        leg_by_faces(THIN, [5.0] * 48, (100.0, 20.0), (0.0, 0.0), TIMES)
    with pytest.raises(ValueError, match="48 temperatures"):
        leg_by_faces(THIN, [5.0] * 24, (100.0, 20.0), (10.0, 10.0), TIMES)
    with pytest.raises(ValueError, match="only a slab"):
        leg_by_faces(ThermalBody(0.006, 1.0, 1.11e-7, 0.48, 24), [5.0] * 48, (9.0, 9.0), (10.0, 10.0), TIMES)
    with gathered() as found:
        leg_by_faces(THIN, [5.0] * 48, (180.0, 20.0), (math.inf, 9.0), TIMES)
    assert found[0].name == "temperature inside the meat"
