"""Paste by depth, and what a cold wait is worth in the warm."""

from datetime import datetime

import pytest

from advisor.case.read_plan import read_plan
from advisor.course import course_facts

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local


@pytest.fixture(scope="module")
def facts(rulebase):
    def computed(hold, what="pineapple", amount="50 g", before_bath="", bath="at: 60 C, for: 2 h"):
        text = f"""
piece: {{animal: beef, cut: bottom round, form: steak, weight: 1 kg, thickness: 30 mm}}
guests: {{setting: home, vulnerable: no}}
steps:
  - {{do: marinate, {hold}, with: [{{what: {what}, form: fresh, amount: {amount}}}]}}
{before_bath}  - {{do: bath, place: water bath, {bath}}}
  - {{do: serve}}
"""
        return course_facts(read_plan(text, rulebase, NOW), rulebase).facts.course

    return computed


NIGHT = "place: fridge, at: 4 C, for: 12 h"


def value(found, name):
    return float(found[name].value)


def test_an_hour_at_room_temperature_is_worth_an_hour(facts, rulebase):
    room = rulebase.usual_c("counter")
    found = facts(f"place: counter, at: {room:g} C, for: 60 min")
    # The meat comes from the fridge, so its outside is below the room for most of the hour: 27.5 min came out. The
    # bounds were set after that figure was seen; what they hold is that cold meat is never worth more than the clock.
    assert 20 < value(found, "enzyme_room_minutes") < 60
    warm = facts(f"place: counter, at: {room:g} C, for: 10 h")
    assert value(warm, "enzyme_room_minutes") == pytest.approx(600, rel=0.2)


def test_a_night_in_the_fridge_is_worth_some_hours_in_the_warm(facts):
    """45 kJ/mol makes 4 °C about a third as fast as 21 °C: 0.33 by hand from the rulebase's own figures."""
    found = facts(NIGHT)
    assert value(found, "enzyme_room_minutes") == pytest.approx(720 * 0.33, rel=0.05)


def test_more_fruit_and_more_time_make_paste_deeper_never_shallower(facts):
    depths = [value(facts(NIGHT, amount=f"{grams} g"), "mush_depth") for grams in (20, 100, 400)]
    assert depths == sorted(depths)
    assert depths[-1] > 0
    shorter = value(facts("place: fridge, at: 4 C, for: 2 h", amount="400 g"), "mush_depth")
    assert shorter <= depths[-1]


def test_paste_reaches_a_face_exactly_where_the_surface_work_says_so(facts):
    for grams in (20, 60, 150, 400):
        found = facts(NIGHT, amount=f"{grams} g")
        assert (value(found, "mush_depth") > 0) == (value(found, "mush_share") > 1) or abs(
            value(found, "mush_share") - 1
        ) < 0.05


def test_wiping_before_the_bath_leaves_less_paste(facts):
    """After a short wait little has gone in, and what is wiped off cannot follow in the bath."""
    hour = {"hold": "place: fridge, at: 4 C, for: 1 h", "amount": "200 g", "bath": "at: 50 C, for: 4 h"}
    kept, wiped = facts(**hour), facts(**hour, before_bath="  - {do: wipe}\n")
    assert value(wiped, "mush_depth") < 0.95 * value(kept, "mush_depth")


def test_without_enzyme_nothing_is_said(facts):
    assert "mush_depth" not in facts(NIGHT, what="soy sauce")
    assert "enzyme_room_minutes" not in facts(NIGHT, what="soy sauce")
