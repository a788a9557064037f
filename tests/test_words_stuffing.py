"""Stuffing that is named in words counts as inside, unless they say that it is apart or not there."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.case.words.reader import read_words
from advisor.case.words.stuffing import IS_IT
from advisor.interview.opening import opened
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 18, tzinfo=ZoneInfo("America/Chicago"))
BIRD = "whole chicken 1.8 kg, 11 cm thick, for home, "


def read(words):
    return read_words(f"{BIRD}{words}, oven at 200 C until 70 C, serve", RULEBASE, NOW)


@pytest.mark.parametrize(
    ("words", "where"),
    [
        ("stuffing inside", "inside"),
        ("with stuffing", "inside"),
        ("with bread stuffing", "inside"),
        ("with stuffing in the cavity", "inside"),
        ("full of stuffing", "inside"),
        ("bread stuffing in the middle", "inside"),
        ("packed with stuffing", "inside"),
        ("it has stuffing in it", "inside"),
        ("there is stuffing in it", "inside"),
        ("with a sausage meat stuffing", "inside"),
        ("stuffed with bread", "inside"),
        ("unstuffed", "none"),
        ("not stuffed", "none"),
        ("without stuffing", "none"),
        ("no bread stuffing", "none"),
        ("without any stuffing in it", "none"),
        ("stuffing cooked separately", "apart"),
        ("stuffing in a separate dish", "apart"),
        ("stuffing on the side", "apart"),
    ],
)
def test_where_the_stuffing_is_said_to_be(words, where):
    case = read(words)
    assert case.word("piece", "stuffing") == where
    assert not case.unsettled
    found = opened(Session.start(RULEBASE, NOW), BIRD + words)
    assert found.session.case().word("piece", "stuffing") == where


@pytest.mark.parametrize(
    "words", ["maybe with stuffing", "take the stuffing out", "not unstuffed", "eat it with stuffing"]
)
def test_stuffing_that_may_be_elsewhere_is_asked_about(words):
    case = read(words)
    assert "stuffing" not in case.piece
    assert any(IS_IT in one for one in case.unsettled)
    assert "stuffing" not in opened(Session.start(RULEBASE, NOW), BIRD + words).session.case().piece


def test_stuffing_of_which_nobody_knows_counts_as_not_known():
    case = read("I do not know if it has stuffing")
    assert case.piece["stuffing"].value is None


def test_a_bird_with_stuffing_said_to_be_apart_and_inside_is_stuffed():
    assert read("stuffing in a separate dish, and bread stuffing in the cavity").word("piece", "stuffing") == "inside"
