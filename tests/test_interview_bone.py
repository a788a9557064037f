"""A bone and the shape are asked of a piece that comes with and without; a log is warm sooner than a slab."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.case.complete import assumptions, complete
from advisor.interview.opening import opened
from advisor.interview.relevance import Put, relevance_of
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
LOIN = ("pork", "pork loin", "roast", "well_done")


def session_for(animal, cut, form, want, **more):
    session = Session.start(RULEBASE, NOW)
    given = {"setting": "home", "vulnerable": "no", "animal": animal, "cut": cut, "form": form, "weight": "2 kg"}
    for question, text in {**given, "thickness": "80 mm", "want": want, **more}.items():
        session = session.answer_to(RULEBASE.questions[question], text)
    return session


@pytest.mark.parametrize(
    ("told", "more", "asked"),
    [
        (LOIN, {}, {"bone", "shape"}),
        (LOIN, {"bone": "no"}, {"shape"}),
        (LOIN, {"bone": "yes"}, set()),
        (("pork", "pork loin", "slices", "well_done"), {}, set()),
        (("beef", "eye of round", "roast", "pink"), {}, {"shape"}),
        (("beef", "eye of round", "steak", "pink"), {}, set()),
        (("lamb", "lamb shank", "roast", "fall_apart"), {}, set()),
        (("chicken", "whole chicken", "roast", "well_done"), {}, set()),
    ],
)
def test_they_are_asked_where_the_cut_leaves_them_open(told, more, asked):
    opened_up = {question.id for question in session_for(*told, **more).open_questions()}
    assert opened_up & {"bone", "shape"} == asked


def test_the_bone_comes_before_the_shape_that_hangs_on_it():
    session = session_for(*LOIN)
    both = [RULEBASE.questions["shape"], RULEBASE.questions["bone"]]
    here = Put(session.case(), session.softeners)
    assert [one.id for one in relevance_of(RULEBASE).ranked(both, here, both)] == ["bone"]


def slowest(**more):
    """The longest that the oven may take [min]."""
    case = session_for(*LOIN, bath="no", pressure="no", **more).case()
    report = build_plan(case, (), RULEBASE).report
    assert report.verdict == "go"
    index = next(i for i, step in enumerate(report.case.steps) if step.action == "oven")
    return report.computed.course.slow.of_step(index).minutes


def test_no_answer_makes_it_faster_than_the_piece_is():
    log, slab = slowest(bone="no", shape="round"), slowest(bone="no", shape="flat")
    assert log < slab < slowest(bone="no", shape="rolled")
    # Nobody was asked: as with a bone.
    assert slowest() == pytest.approx(slowest(bone="yes"))
    assert slowest() > slab


def test_what_nobody_knows_is_the_worst_and_is_said():
    session = session_for(*LOIN)
    session = session.not_known_to(RULEBASE.questions["bone"])
    full = complete(session.case(), RULEBASE)
    assert any("bone" in told for told in assumptions(full))
    assert "shape" not in {question.id for question in session.open_questions()}
    boned = session_for(*LOIN, bone="no").not_known_to(RULEBASE.questions["shape"])
    assert any("rolled" in told for told in assumptions(complete(boned.case(), RULEBASE)))


def test_what_the_opening_says_is_not_asked():
    session = opened(
        Session.start(RULEBASE, NOW), "boneless pork loin roast, 2 kg, 80 mm thick, rolled and tied"
    ).session
    assert session.case().word("piece", "bone") == "no"
    assert session.case().word("piece", "shape") == "rolled"
    assert not {question.id for question in session.open_questions()} & {"bone", "shape"}
