"""Stuffing is asked where it is usual and matters; what nobody knows counts as stuffed, and what was said is kept."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.case.complete import assumptions, complete
from advisor.interview.opening import opened
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))


def session_for(animal, cut, form, want, stuffing=""):
    session = Session.start(RULEBASE, NOW)
    for question, text in (("setting", "home"), ("vulnerable", "no"), ("animal", animal), ("cut", cut)):
        session = session.answer_to(RULEBASE.questions[question], text)
    for question, text in (("form", form), ("weight", "1500 g"), ("thickness", "90 mm"), ("want", want)):
        session = session.answer_to(RULEBASE.questions[question], text)
    return session.answer_to(RULEBASE.questions["stuffing"], stuffing) if stuffing else session


@pytest.mark.parametrize(
    ("told", "asked"),
    [
        (("chicken", "whole chicken", "roast", "well_done"), True),
        (("lamb", "leg of lamb", "roast", "pink"), True),
        (("chicken", "breast", "steak", "well_done"), False),
        (("pork", "Boston butt", "roast", "fall_apart"), False),
        (("beef", "chuck roll", "roast", "well_done"), False),
    ],
)
def test_it_is_asked_of_birds_and_roasts_that_are_stuffed(told, asked):
    assert ("stuffing" in [question.id for question in session_for(*told).open_questions()]) is asked


def test_an_answer_counts_where_it_would_not_be_asked():
    assert session_for("beef", "flank steak", "roast", "pink", "inside").case().word("piece", "stuffing") == "inside"
    said = opened(Session.start(RULEBASE, NOW), "beef flank, rolled and stuffed, 1 kg, in one piece").session
    assert said.case().word("piece", "stuffing") == "inside"


def test_what_nobody_knows_counts_as_stuffed_and_is_said():
    session = session_for("lamb", "leg of lamb", "roast", "pink").not_known_to(RULEBASE.questions["stuffing"])
    full = complete(session.case(), RULEBASE)
    assert full.word("piece", "stuffing") == "inside"
    assert "nobody knows whether it is stuffed, so we took it to be" in assumptions(full)
    report = build_plan(session.case(), (), RULEBASE).report
    assert report.verdict == "go"
    assert report.computed.facts.course["core_peak"].value >= RULEBASE.limit("stuffed_min")


def test_of_a_whole_bird_that_nobody_was_asked_about_it_is_said():
    case = session_for("chicken", "whole chicken", "roast", "well_done").case()
    told = " ".join(assumptions(complete(case, RULEBASE)))
    assert "nobody spoke of stuffing, so we took the bird to have none" in told
