"""What a page says of its figures: no impossible doubt, check, or range."""

from __future__ import annotations

import io
from datetime import datetime

import pytest
from rich.console import Console

from advisor.advice.report import examine
from advisor.advice.schedule import checks
from advisor.case.words.reader import read_words
from advisor.knowledge import load_rulebase
from advisor.show.page import Page
from advisor.units import write_range

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a kitchen's clock
SAID = "intact, from the fridge, at home, nobody vulnerable"


def checked(words):
    return examine(read_words(words, RULEBASE, NOW), RULEBASE, "reference")


def page(words):
    """Give the verdict, and what the page says of a plan in one line."""
    report = checked(words)
    out = io.StringIO()
    Page(Console(file=out, width=100), RULEBASE).report(report, (), NOW)
    return report.verdict, " ".join(out.getvalue().split())


def test_growth_past_what_meat_can_carry_is_doubted_without_a_figure():
    """The sentence says 8 powers of ten at most; the doubt named the 25.4 that the sum without an end came to."""
    doubts = [
        doubt
        for one in checked(f"pork leg 15 cm thick, bath at 52 C for 20 h, {SAID}").problems
        for doubt in one.doubts
    ]
    grown = [doubt for doubt in doubts if "powers of ten" in doubt]
    assert grown
    assert not [doubt for doubt in grown if "lies outside" in doubt]
    assert all(
        doubt.endswith("numbers level off at about 6 powers of ten; more means as many as the meat can carry")
        for doubt in grown
    )


def test_a_question_that_was_not_settled_ends_with_one_stop():
    _, text = page(f"brisket 4 kg, oven at 110 C for 10 h, {SAID}")
    assert "both together?" in text
    assert "?." not in text


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [(0, 480, "up to 8 h"), (0.2, 0.6, "12 s to 36 s"), (0, 0, "0 min"), (5, 480, "5 min to 8 h")],
)
def test_a_range_of_time_from_nothing_names_its_end(low, high, text):
    assert write_range(low, high, "time", "metric") == text


def test_a_rule_of_thickness_names_no_law_of_the_cold():
    """It reads the cold line only to see whether the meat is still warm."""
    _, text = page(f"pork shoulder 8 cm thick, braise for 4 h, cool in the fridge for 12 h, {SAID}")
    told = text.split("goes straight into the fridge")[-1].split("[cool.fridge_thick]")[0]
    assert "4 °C" not in told
    assert "[cool.fridge_thick]" in text


def readings(words):
    """Give the verdict, and the readings of a plan: number of the step, what it must show, what to do else."""
    report = checked(words)
    return report.verdict, [(one.step + 1, one.limit, one.otherwise) for one in checks(report, RULEBASE)]


def test_a_reheat_straight_to_the_plate_has_no_reading_of_the_cook():
    """It was asked for 73.3 °C for 12 s of a middle that the same page put at 13.5 to 40.8 °C."""
    words = "cooked duck leg 300 g 4 cm thick, braise at 90 C for 3 h, ice bath for 4 h, fridge at 3 C for 1 day"
    verdict, found = readings(f"{words}, reheat in the oven at 200 C for 20 min, serve, {SAID}")
    assert verdict == "go"
    assert [step for step, limit, _ in found if "or more" in limit] == [1]


@pytest.mark.parametrize("oven", [60, 63])
def test_the_reading_stands_by_the_heat_that_kills(oven):
    _, found = readings(f"brisket flat 2 kg 5 cm thick, braise for 4 h, oven at {oven} C for 1 h, serve, {SAID}")
    assert [step for step, _, _ in found] == [1]


def test_a_reheat_for_holding_hot_is_read_where_its_own_rule_asks():
    words = "pork shoulder 1 kg 5 cm thick, braise at 90 C for 5 h, ice bath for 3 h, fridge for 1 day"
    _, found = readings(f"{words}, reheat in the oven at 180 C until 76 C inside, keep warm at 65 C for 2 h, {SAID}")
    assert (4, "the middle at 73.9 °C (165 °F) or more") in [(step, limit) for step, limit, _ in found]


def test_meat_sliced_from_the_fridge_is_served_cold():
    cold = "pork loin chop 3 cm thick, bath at 60 C for 4 h, ice bath for 2 h, fridge for 1 day, slice, serve"
    assert "Serve it cold, at once." in page(f"{cold}, {SAID}")[1]
    assert "Serve it hot, at once." in page(f"pork loin chop 3 cm thick, bath at 60 C for 4 h, slice, serve, {SAID}")[1]


@pytest.mark.parametrize("after", ["ice bath for 5 min", "ice bath for 10 min", "rest at 20 C for 5 min"])
def test_a_dip_before_the_plate_is_no_cooling_to_keep(after):
    verdict, found = readings(f"ribeye steak 3 cm thick, dry it, pan 4 min a side, {after}, slice, serve, {SAID}")
    assert verdict == "go"
    assert not [limit for _, limit, _ in found if "or less" in limit]


@pytest.mark.parametrize("kept", ["ice bath for 10 min", "ice bath for 10 min, hold at 20 C for 2 h, serve"])
def test_a_dip_that_something_is_kept_after_is_a_cooling(kept):
    assert checked(f"ribeye steak 3 cm thick, dry it, pan 4 min a side, {kept}, {SAID}").verdict != "go"


@pytest.mark.parametrize("held", ["hold hot in the oven at 65 C for 3 h", "keep it warm in a 65 C oven for 3 h"])
def test_holding_hot_in_an_oven_is_one_step(held):
    """It was read as a hot hold without a time and a cook after it."""
    case = read_words(f"pork shoulder 5 cm thick, braise at 90 C for 5 h, {held}, serve, {SAID}", RULEBASE, NOW)
    assert [step.action for step in case.steps] == ["braise", "hot_hold", "serve"]
    step = case.steps[1]
    assert (step.word("place"), step.number("temperature"), step.number("minutes")) == ("oven_still", 65, 180)


def test_a_dry_oven_that_holds_too_cool_says_why_and_offers_a_hot_cupboard():
    words = f"pork shoulder 5 cm thick, braise at 90 C for 5 h, keep it warm in a 63 C oven for 5 h, serve, {SAID}"
    _, text = page(words)
    assert "In a dry oven wet meat stays well below the heat that is set." in text
    assert checked(words.replace("63 C oven", "63 C hot cupboard")).verdict == "go"


def test_a_cooling_warmed_again_says_what_its_clock_counts():
    words = "pork loin 4 cm thick, bath at 62 C for 5 h, ice bath for 4 h, counter at 25 C for 60 min"
    words = f"{words}, fridge at 3 C for 1 day, serve, {SAID}"
    said = [one.says for one in checked(words).problems if one.rule.rule.id == "cool.both_stages"]
    assert all("for good" in text for text in said)
    assert said
