"""Cooked meat that is warmed again goes slowly through the heat that germs like best."""

from __future__ import annotations

import pytest

from advisor.case.complete import complete
from advisor.case.model import Case, Given, PlanStep
from advisor.course import course_facts
from advisor.course.walk import walk
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()


def step(action, **values):
    return PlanStep(action, {n: Given(float(v) if isinstance(v, int | float) else v) for n, v in values.items()}, ())


def growth(thickness, bath_c, minutes, action="reheat"):
    steps = (
        step("bath", place="bath_circulated", temperature=60, minutes=900),
        step("ice", place="ice_bath", temperature=1, minutes=420),
        step("hold", place="fridge_still", temperature=3, minutes=1440),
        step(action, place="bath_circulated", temperature=bath_c, minutes=minutes),
        step("serve"),
    )
    piece = {"animal": "beef", "cut": "unknown_cut", "form": "roast", "arrived": "intact", "weight": 1500.0}
    piece |= {"thickness": float(thickness), "start_state": "fridge"}
    guests = {"setting": "work", "vulnerable": "no", "advisory": "no", "approval": "yes", "latex": "no"}
    case = Case({k: Given(v) for k, v in piece.items()}, {k: Given(v) for k, v in guests.items()}, steps)
    return course_facts(case, RULEBASE).facts.course["spore_growth_log"].value


@pytest.mark.parametrize("action", ["bath", "reheat"])
def test_a_slow_warming_in_a_bath_just_hot_enough_to_be_called_cooking_is_counted(action):
    """Seventy millimetres, three hours: at 54 °C it came to 4.6 powers of ten, at 55 °C to the 0.43 of the cooling."""
    assert growth(70, 55, 180, action) == pytest.approx(growth(70, 54, 180, action), abs=0.6)
    assert growth(70, 55, 180, action) > RULEBASE.limit("spore_growth_max")


def test_an_hour_and_a_half_is_within_what_the_codes_give_a_reheat():
    assert growth(70, 55, 90) < RULEBASE.limit("spore_growth_max")


def test_a_thin_piece_warmed_fast_is_not_held_up():
    assert growth(25, 55, 40) < 0.1


def test_a_second_cook_begins_as_cold_as_the_chill_may_have_made_it():
    """Twenty millimetres, ten minutes in ice: 38 °C in the middle at the slow end, 14 °C at the fast one.

    Half an hour at 63 °C then took the middle to 58.1 °C from the one and to 54.7 °C from the other.
    """
    cook = {"place": "bath_circulated", "temperature": 63}
    steps = (
        step("bath", minutes=90, **cook),
        step("ice", place="ice_bath", temperature=1, minutes=10),
        step("bath", minutes=30, **cook),
        step("serve"),
    )
    piece = {"animal": "chicken", "cut": "unknown_cut", "form": "steak", "thickness": 20.0, "start_state": "fridge"}
    case = complete(Case({k: Given(v) for k, v in piece.items()}, {}, steps), RULEBASE)
    walked = walk(case, RULEBASE)
    fast = walked.fast.of_step(2)
    second = walked.cold_start[0].of_step(2)
    assert second.centre_c[0] <= fast.centre_c[0] + 0.5
    assert second.centre_c[-1] < 54.8
    # What was killed before the chill still stands.
    assert walked.cold_start[0].of_step(0).centre_c[-1] > 62
