"""Reading one answer: choices by number, word or beginning; quantities; softeners and their form."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.case.model import Case
from advisor.errors import InputError
from advisor.interview.reading import FORM_OPTIONS, read_answer, read_choice

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
SHAPES = (("steak", "a steak or flat piece"), ("roast", "a whole thick piece"), ("slices", "thin slices"))
GUESTS = (("no", "no, none of these"), ("some", "yes, some guests"), ("facility", "yes, a care home"))


def read(rulebase, question, text):
    return read_answer(rulebase.questions[question], text, Case(), rulebase, NOW)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2", "roast"),
        (" 2 ", "roast"),
        ("2.", "roast"),
        ("2)", "roast"),
        ("roast", "roast"),
        ("ROAST", "roast"),
        ("A whole thick piece.", "roast"),
        ("thin", "slices"),
        ("sl", "slices"),
        ("st", "steak"),
    ],
)
def test_a_choice_is_taken_by_number_id_shown_text_or_unique_beginning(text, value):
    assert read_choice(text, SHAPES) == value


@pytest.mark.parametrize(
    "text", ["0", "4", "-1", "1.5", "1 2", "s", "a", "whole", "", ".", "²", "①", "9" * 5000, "\ud800"]
)
def test_what_is_not_one_choice_is_refused(text):
    with pytest.raises(InputError):
        read_choice(text, SHAPES)


def test_a_beginning_of_two_choices_names_both():
    with pytest.raises(InputError) as caught:
        read_choice("yes", GUESTS)
    assert "2" in caught.value.hint
    assert "3" in caught.value.hint
    assert read_choice("no", GUESTS) == "no"


def test_a_near_word_is_offered_with_its_number_and_not_taken(rulebase):
    with pytest.raises(InputError) as caught:
        read(rulebase, "animal", "wild bore")
    number = list(rulebase.questions["animal"].choices).index("wild_boar") + 1
    assert f"{number} (wild boar)" in caught.value.hint


def test_every_choice_of_every_question_can_be_typed_in_all_three_ways(rulebase):
    for question in rulebase.questions.values():
        for number, (value, shown) in enumerate(question.choices.items(), start=1):
            for text in (str(number), value, shown):
                assert read(rulebase, question.id, text).given.value == value, (question.id, text)


def test_every_choice_of_a_question_is_a_choice_of_its_fact(rulebase):
    for question in rulebase.questions.values():
        if question.choices:
            subject, _, fact = question.fact.partition(" ")
            assert set(question.choices) == set(rulebase.vocabulary[subject][fact].choices), question.id


@pytest.mark.parametrize(
    ("question", "text", "value"),
    [
        ("weight", "1 kilo", 1000.0),
        ("weight", "1,1 kg", 1100.0),
        ("weight", "2 lb 8", 40 * 28.349523125),
        ("thickness", "1 1/4 in", 31.75),
        ("thickness", "1¼″", 31.75),
        ("thickness", "3 cm", 30.0),
        ("salt_target", "1.2", 1.2),
        ("salt_target", "12 g/kg", 1.2),
        ("out_minutes", "1 h 30", 90.0),
        ("out_minutes", "overnight", 720.0),
    ],
)
def test_quantities_are_read_as_a_cook_writes_them(rulebase, question, text, value):
    assert read(rulebase, question, text).given.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("2 days", 2880),
        ("today", 720),
        ("just bought", 720),
        ("none", 720),
        # The day counts from its first minute; of two days with one name the earlier is meant.
        ("yesterday", 2160),
        ("bought it yesterday", 2160),
        ("overnight", 2160),
        ("over night", 2160),
        ("a night", 2160),
        # A part of the day, or an hour, that was told.
        ("yesterday evening", 1140),
        ("last night", 1140),
        ("bought it yesterday at 6pm", 1080),
        ("Monday 9:30 am", 3030),
        ("Tuesday 18:00", 1080),
        ("just bought it", 720),
        ("for 2 days", 2880),
        ("only a day", 1440),
        ("two nights", 3600),
        ("2 days ago", 3600),
        ("since Monday", 3600),
        ("Monday evening", 2580),
        ("wednesday", 10800),
        ("a few days", 7200),
        ("a week", 10080),
    ],
)
def test_days_in_the_fridge_are_read_as_a_cook_says_them(rulebase, text, minutes):
    assert read(rulebase, "fridge_time", text).given.value == minutes


@pytest.mark.parametrize(
    "text",
    [
        "tomorrow",
        "Sunday to Monday",
        "3-5 days",
        "fish",
        "fresh",
        "no",
        "yesterday at 6",
        "61 days",
        "ten months ago",
        "24/11",
        "99 nights",
        "yesterday 9:75 am",
    ],
)
def test_days_that_cannot_be_are_asked_again(rulebase, text):
    with pytest.raises(InputError) as caught:
        read(rulebase, "fridge_time", text)
    # Nor is a shorter time put into the cook's mouth.
    assert "Did you mean" not in str(caught.value)


def test_before_the_morning_today_is_the_day_before(rulebase):
    late = NOW.replace(hour=0, minute=10)
    for text, hours in (("today", 24), ("just bought", 24), ("yesterday", 48), ("two nights", 72)):
        found = read_answer(rulebase.questions["fridge_time"], text, Case({}, {}), rulebase, late)
        assert found.given.value == hours * 60 + 10


@pytest.mark.parametrize(
    ("question", "text"), [("weight", "900"), ("fridge_time", "2"), ("thickness", "30"), ("out_minutes", "90")]
)
def test_a_number_without_a_unit_is_asked_about(rulebase, question, text):
    with pytest.raises(InputError, match="unit is missing"):
        read(rulebase, question, text)


def test_what_cannot_be_is_refused_with_what_was_probably_meant(rulebase):
    with pytest.raises(InputError, match="4 cm"):
        read(rulebase, "thickness", "4 m")


@pytest.mark.parametrize("text", ["none", "No", "nothing", "0", " none. "])
def test_no_softener_is_an_answer(rulebase, text):
    found = read(rulebase, "softeners", text)
    assert found.ingredients == ()
    assert found.given.value == "no"


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("fresh kiwi", [("green_kiwi", "fresh")]),
        ("Kiwi, fresh", [("green_kiwi", "fresh")]),
        ("kiwi fresh", [("green_kiwi", "fresh")]),
        ("raw papaya", [("green_papaya", "fresh")]),
        ("canned pineapple", [("pineapple", "tinned")]),
        ("pineapple from a tin", [("pineapple", "tinned")]),
        ("kiwi powder", [("green_kiwi", "dried_powder")]),
        ("papain powder", [("papain_powder", "dried_powder")]),
        ("lemon", [("lemon_juice", "")]),
        ("yoghurt", [("yogurt", "")]),
        ("fresh kiwi AND lemon", [("green_kiwi", "fresh"), ("lemon_juice", "")]),
        ("fresh figs + fresh ginger & lemon", [("fig_ripe", "fresh"), ("ginger", "fresh"), ("lemon_juice", "")]),
        ("fresh kiwi; frozen pineapple", [("green_kiwi", "fresh"), ("pineapple", "frozen")]),
    ],
)
def test_softeners_are_read_with_their_form(rulebase, text, items):
    found = read(rulebase, "softeners", text)
    assert [(item.what, item.form) for item in found.ingredients] == items
    assert found.options == ()


@pytest.mark.parametrize(
    ("text", "name"), [("raw papaya", "raw papaya"), ("fresh fig", "fig"), ("tinned kiwi", "kiwi")]
)
def test_a_softener_is_called_by_the_cooks_own_word(rulebase, text, name):
    assert [item.as_written for item in read(rulebase, "softeners", text).ingredients] == [name]


@pytest.mark.parametrize("text", ["kiwi", "pineapple juice", "koji", "onion and lemon"])
def test_a_fruit_whose_form_was_not_said_is_asked_about(rulebase, text):
    assert read(rulebase, "softeners", text).options == FORM_OPTIONS


@pytest.mark.parametrize("text", [",", "and", "fresh", "a rock", "salt", "kiwi, a rock", "tinned", "ginger powder"])
def test_what_softens_nothing_is_refused(rulebase, text):
    with pytest.raises(InputError):
        read(rulebase, "softeners", text)


def test_a_slip_in_a_softener_is_offered_and_not_taken(rulebase):
    with pytest.raises(InputError, match=r"Did you mean .*pineapple"):
        read(rulebase, "softeners", "pineaple")


def test_every_form_that_can_be_chosen_is_known_of_every_enzyme(rulebase):
    for tenderiser in rulebase.tenderisers.values():
        assert {value for value, _ in FORM_OPTIONS} <= set(tenderiser.forms)


def test_a_very_long_line_is_refused_at_once(rulebase):
    for question in ("cut", "softeners", "thickness", "serve"):
        with pytest.raises(InputError, match="too long"):
            read(rulebase, question, "flank " * 20_000)


def test_nothing_typed_says_what_to_type(rulebase):
    for question in rulebase.questions.values():
        with pytest.raises(InputError) as caught:
            read(rulebase, question.id, "  ")
        assert "dk" in caught.value.hint
        assert ".," not in str(caught.value)


def test_a_cut_goes_by_any_of_its_names(rulebase):
    found = read(rulebase, "cut", "Bavette d'aloyau".replace("'", " "))
    assert found.given.value == "sirloin_flap"


@pytest.mark.parametrize(
    ("question", "text", "value"),
    [
        ("form", "burgers", "minced"),
        ("form", "a meat loaf", "minced"),
        ("form", "whole", "roast"),
        ("form", "flat piece", "steak"),
        ("start_state", "from the freezer", "frozen"),
        ("setting", "restaurant", "work"),
    ],
)
def test_other_words_for_a_choice_are_taken_at_its_question(rulebase, question, text, value):
    assert read(rulebase, question, text).given.value == value


@pytest.mark.parametrize(("question", "text"), [("form", "piece"), ("arrived", "not pierced"), ("form", "the lot")])
def test_words_that_fit_no_choice_or_several_are_no_answer(rulebase, question, text):
    with pytest.raises(InputError):
        read(rulebase, question, text)


def test_an_hour_from_now_is_a_time_of_service_and_one_that_is_past_is_none(rulebase):
    assert read(rulebase, "serve", "in 2 hours").moment == NOW.replace(hour=14)
    with pytest.raises(InputError, match="past"):
        read(rulebase, "serve", "yesterday at 7pm")


@pytest.mark.parametrize("text", ["none", "no", "nothing"])
def test_none_is_no_at_the_question_for_one_tool(rulebase, text):
    assert read(rulebase, "bath", text).given.value == "no"
