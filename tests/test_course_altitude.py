"""A kitchen high up: water boils cooler there, what boils or steams takes longer, and nothing is safer for it."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_course_laws import LAW, afters, never_better, step

from advisor.case.model import Case, Given
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.words.either import read_either
from advisor.course import course_facts
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
PLAN = """
piece: {{animal: beef, cut: chuck roll, form: roast, weight: 2 kg, thickness: 80 mm}}
guests: {{altitude: {}}}
steps:
  - {{do: braise, at: 95 C, for: 3 h}}
"""
BRAISE = step("braise", place="braise", temperature=100, minutes=120)


def plan(*steps, metres=None, animal="beef", thickness=60.0):
    piece = {
        "animal": animal,
        "cut": "unknown_cut",
        "form": "roast",
        "arrived": "intact",
        "weight": 1500.0,
        "thickness": thickness,
        "start_state": "fridge",
    }
    guests = {"setting": "home", "vulnerable": "no", "advisory": "no", "approval": "no", "latex": "no"}
    high = {} if metres is None else {"altitude": 1000.0 * metres}
    return Case({k: Given(v) for k, v in piece.items()}, {k: Given(v) for k, v in (guests | high).items()}, steps)


def course(case):
    return course_facts(case, RULEBASE).facts.course


def told(case):
    found = infer(RULEBASE, course_facts(case, RULEBASE).facts, engine="reference").findings
    return [one.says for one in found if one.rule.rule.id == "practice.high_up"]


def test_at_two_thousand_metres_a_braise_is_at_most_93_degrees():
    """Standard atmosphere 79.5 kPa, steam tables 93.3 °C: see published/boiling_high_up.py."""
    high = course(plan(BRAISE, metres=2000))
    assert high["boils_at"].value == pytest.approx(93.3, abs=0.05)
    assert high["surface_peak"].value < 93.4 < course(plan(BRAISE))["surface_peak"].value
    assert high["core_peak"].value < course(plan(BRAISE))["core_peak"].value - 3


@pytest.mark.parametrize("place", ["oven_still", "steam", "pan", "pressure_cooker"])
def test_every_wet_outside_stays_cooler_high_up(place):
    action = {"pan": "pan", "pressure_cooker": "braise"}.get(place, "oven")
    cook = step(action, place=place, temperature=200 if place == "oven_still" else 115, minutes=20)
    peaks = [float(course(plan(cook, metres=metres))["surface_peak"].value) for metres in (0, 1500, 3000)]
    assert peaks == sorted(peaks, reverse=True)
    assert peaks[0] > peaks[2] + 5


def test_at_the_sea_nothing_is_other_than_where_nobody_said_how_high():
    said, unsaid = (plan(BRAISE, step("serve"), metres=metres) for metres in (0, None))
    assert {n: f.value for n, f in course(said).items()} == {n: f.value for n, f in course(unsaid).items()}
    assert "boils_at" not in course(said)
    assert told(said) == told(unsaid) == []


def test_it_is_told_of_liquid_and_steam_alone_and_from_six_hundred_metres():
    assert len(told(plan(BRAISE, metres=601))) == 1
    assert told(plan(BRAISE, metres=600)) == []
    assert told(plan(step("oven", place="oven_still", temperature=180, minutes=60), metres=2000)) == []


@pytest.mark.parametrize(("written", "metres"), [("2000 m", 2000.0), ("6500 ft", 1981.2)])
def test_a_height_stands_in_a_plan_in_metres_or_feet(written, metres):
    case = read_plan(PLAN.format(written), RULEBASE, NOW)
    assert case.number("guests", "altitude") == pytest.approx(1000 * metres)


def test_a_height_that_no_kitchen_has_is_refused():
    with pytest.raises(PlanErrors, match="Altitude"):
        read_plan(PLAN.format("20 km"), RULEBASE, NOW)
    with pytest.raises(PlanErrors, match="Altitude"):
        read_plan(PLAN.format("9000 m"), RULEBASE, NOW)


@pytest.mark.parametrize(
    ("words", "metres"),
    [
        ("braise for 3 hours at 2000 m", 2000.0),
        ("at 6500 feet, braise for 3 hours", 1981.2),
        ("braise for 180 m, 1800 metres above sea level", 1800.0),
        ("altitude: 1600 m. braise for 3 hours", 1600.0),
    ],
)
def test_a_height_is_read_from_words_and_a_time_in_m_stays_one(words, metres):
    case = read_either(f"chuck roast, 2 kg, 80 mm thick, {words}", RULEBASE, NOW)
    assert case.number("guests", "altitude") == pytest.approx(1000 * metres)
    assert [s.number("minutes") for s in case.steps if s.action == "braise"] == [180.0]


def test_an_oven_that_waits_for_the_probe_gets_there_in_a_city_on_a_high_plain():
    """At 2240 m and 3600 m water boils at 92.5 °C and 87.9 °C: pork comes apart there too."""
    cook = step("oven", place="oven_still", temperature=140, until_core=88.0), step("serve")
    for metres in (0, 2240, 3600):
        found = course_facts(plan(*cook, metres=metres, animal="pork", thickness=90.0), RULEBASE)
        verdicts = {one.rule.rule.id for one in infer(RULEBASE, found.facts, engine="reference").findings}
        assert "cook.never_there" not in verdicts, metres


@st.composite
def hot_plans(draw):
    action, place, heats = draw(
        st.sampled_from(
            [
                ("braise", "braise", (85, 95, 100)),
                ("braise", "pressure_cooker", (115,)),
                ("oven", "oven_still", (90, 120, 180)),
                ("oven", "steam", (80, 100)),
                ("pan", "pan", (200,)),
            ]
        )
    )
    end = draw(
        st.one_of(
            st.sampled_from([2, 10, 30, 60, 180]).map(lambda m: {"minutes": m}),
            st.sampled_from([54.4, 60, 63, 71, 74]).map(lambda c: {"until_core": c}),
        )
    )
    cook = step(action, place=place, temperature=draw(st.sampled_from(heats)), **end)
    animal, thickness = draw(st.sampled_from(["beef", "pork", "chicken"])), float(draw(st.integers(10, 110)))
    return plan(cook, *draw(afters()), step("serve"), animal=animal, thickness=thickness)


@settings(LAW, max_examples=30)
@given(hot_plans(), st.sampled_from([700, 2000, 4000, 5500]))
def test_a_kitchen_higher_up_is_never_better(case, metres):
    never_better(case, case.with_value("guests", "altitude", Given(1000.0 * metres)))


@pytest.mark.parametrize("place", ["bath_circulated", "bath_still"])
def test_a_bath_high_up_is_no_hotter_than_water_boils_there(place):
    bath = step("bath", place=place, temperature=99, minutes=600)
    at_sea, high = (course_facts(plan(bath, metres=metres), RULEBASE).facts.course for metres in (None, 3000))
    assert at_sea["core_peak"].value > 95
    assert high["core_peak"].value < 91
