"""Stays out of the cold in words: all of them count, in plans and in the opening; none ends in another step."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.case.words.reader import read_words
from advisor.case.words.stays import HOW_LONG
from advisor.interview.opening import opened
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 18, tzinfo=ZoneInfo("America/Chicago"))
PLAN = "chicken thighs, 1 kg, 30 mm thick, no bone, for home, {}, oven at 200 C until 82 C, serve"


def planned(words):
    case = read_words(PLAN.format(words), RULEBASE, NOW)
    oven = next(step for step in case.steps if step.action == "oven")
    assert "minutes" not in oven.given
    assert not any(step.action == "serve" and step.given for step in case.steps)
    assert case.serve is None
    return case


def told(words):
    found = opened(Session.start(RULEBASE, NOW), words)
    given = {one.question: one.read.given.value for one in found.session.answered if one.read.given is not None}
    return given, found


@pytest.mark.parametrize(
    ("words", "minutes"),
    [
        ("on the kitchen table for 5 h", 300),
        ("in the fridge, but it was in the car for two hours before", 120),
        ("outside in the heat for 4 hours, now in the fridge", 240),
        ("fridge, out from 9am-4pm", 420),
        ("in the fridge after five hours in the car", 300),
        ("20 minutes on the counter, then 3 hours in the car", 200),
        ("out almost 4 hours", 240),
        ("out 2-3 hours", 180),
        ("in a rucksack for 4 hours", 240),
        ("50 min on the counter, 50 min on the table", 100),
        ("temper 50 min on the counter, out 50 min", 100),
        ("left in the hot car 2 h", 120),
        ("it sat for 4 hours in the shed", 240),
        ("from the fridge, stood two hours in the kitchen", 120),
        ("out from 10:00 to 15:30", 330),
        ("unrefrigerated for 5 h", 300),
    ],
)
def test_a_plan_counts_every_stay_out_of_the_cold_and_gives_none_to_a_step(words, minutes):
    case = planned(words)
    assert case.word("piece", "start_state") == "out"
    assert case.number("piece", "out_minutes") == minutes


@pytest.mark.parametrize(
    "words",
    [
        "the power was out for 6 hours",
        "in a cool box with ice 4 h",
        "in the broken fridge for 5 h",
        "the fridge was off for 6 hours",
        "in the walk-in with the door open 3 h",
        "taken out at noon",
        "I took it out at 3 pm",
        "out 50 min twice",
        "out from 9 to 4",
        "fridge, warm when I got them",
        "lukewarm",
        "delivered warm",
        "out for hours",
        "left out on the counter, I think 3 hours",
    ],
)
def test_a_plan_asks_about_a_stay_that_cannot_be_reckoned(words):
    case = planned(words)
    assert case.word("piece", "start_state") != "fridge"
    assert "out_minutes" not in case.piece
    assert any(HOW_LONG in one for one in case.unsettled)


@pytest.mark.parametrize(
    "words",
    ["in a hammock for 4 hours", "3 hours in transit", "forgot it on the bus for 3 hours", "marinate 2 h in the car"],
)
def test_a_time_in_a_place_nobody_knows_belongs_to_no_step(words):
    case = planned(words)
    assert any(one.endswith("it belongs to no step.") for one in case.unsettled)


def test_how_hot_a_car_may_be_counts_in_a_plan():
    hottest = RULEBASE.trade_words["heat of place left"]["car"]
    assert planned("5 hours in the car").number("piece", "out_temperature") == hottest
    assert planned("4 hours on a hot day").number("piece", "out_temperature") == hottest
    assert planned("2 hours in the sun").number("piece", "out_temperature") == hottest
    assert planned("out 1 h at 20 C and 3 h at 30 C").number("piece", "out_temperature") == 30


@pytest.mark.parametrize("words", ["not left out", "never been out", "thaw in the fridge 24 h", "salt, 12 h in a tray"])
def test_no_stay_is_read_where_none_was_told(words):
    case = planned(words)
    assert case.word("piece", "start_state") != "out"
    assert not case.unsettled


def test_a_power_cut_while_it_lay_in_the_fridge_stays_with_that_step():
    case = planned("in the fridge 24 h with a power cut of 3 h")
    assert case.steps[0].number("power_off") == 180
    assert not case.unsettled


def test_what_is_done_after_the_heat_is_no_stay_of_raw_meat():
    words = "chicken thighs, 1 kg, oven at 200 C until 82 C, take it out, rest 10 min on the counter, serve"
    assert "out_minutes" not in read_words(words, RULEBASE, NOW).piece
    held = read_words("chuck roast, 1 kg, oven at 200 C until 82 C, hold for 2 hours on the table", RULEBASE, NOW)
    assert [step.action for step in held.steps][:2] == ["oven", "hold"]


@pytest.mark.parametrize(
    ("words", "minutes"),
    [
        ("chicken thighs, 1 kg, out from noon to 4 pm, now in the fridge", 240),
        ("beef chuck roast, 3 lb, 3 in thick, for home, out from 8 am to 4 pm, now in the fridge", 480),
        ("chicken thighs, 1 kg, fridge, out from 9am-4pm", 420),
        ("chicken thighs, 1 kg, fridge. Out from noon to 4 pm", 240),
        ("chicken thighs, 1 kg, out between 9 am and 4 pm, now in the fridge", 420),
        ("pork shoulder, 2 kg, 8 cm thick, for home, in the car from 9 am to 4 pm, now in the fridge", 420),
        ("minced beef, 500 g, 2 cm thick, not kept cold for 6 hours, now in the fridge", 360),
        ("minced beef, 500 g, 2 cm thick, out 30 min, and 8 hours in the car", 510),
        ("minced beef, 500 g, out 30 min plus 8 hours in the car", 510),
        ("minced beef, 500 g, left out 30 min, car 8 h", 510),
        ("minced beef, 500 g, out for 30 min, then fridge, then out for 8 h", 510),
        ("minced beef, 500 g, out 50 min in the morning and again 50 min in the afternoon", 100),
        ("minced beef, 500 g, out 50 min on monday, out 50 min on tuesday", 100),
        ("minced beef, 500 g, out 1h at 20 C and 3h at 30 C", 240),
        ("chicken thighs, 1 kg, outside in the heat for 4 hours, now in the fridge", 240),
        ("chicken thighs, 1 kg, out almost 4 hours", 240),
    ],
)
def test_the_opening_puts_all_stays_together(words, minutes):
    given, _ = told(words)
    assert (given["start_state"], given["out_minutes"]) == ("out", minutes)


@pytest.mark.parametrize(
    "words",
    [
        "minced beef, 500 g, in the fridge since noon, out before",
        "minced beef, 500 g, fridge, warm when I got them",
        "minced beef, 500 g, out 50 min twice",
        "minced beef, 500 g, out three times 40 min",
        "minced beef, 500 g, out 50 min a day for 3 days",
        "minced beef, 500 g, out 1 hour maybe 2",
        "chicken thighs, 1 kg, fridge, out from 9 to 4",
        "chicken thighs, 1 kg, the power was out for 6 hours",
        "chicken thighs, 1 kg, in the fridge, in a hammock for 4 hours",
        "chicken thighs, 1 kg, in the fridge, 3 hours in transit",
    ],
)
def test_the_opening_asks_about_a_stay_it_cannot_reckon(words):
    given, found = told(words)
    assert given.get("start_state") in (None, "out")
    assert "out_minutes" not in given
    assert found.notes
