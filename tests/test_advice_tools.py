"""The tools of a kitchen: asked in one list where they matter; no plan asks for one that is not there."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.advice.why_not import why_not
from advisor.case.model import Case, Given
from advisor.errors import InputError
from advisor.interview.opening import opened
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase
from advisor.show.why_not_way import _to_try, unknown_way, why_not_way

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
ROAST = "chuck roast, 3 lb, 3 in thick, from the fridge, for home, cooked through, serve Sat 19:00"


def case(cut="top_round", thickness=40.0, **more):
    piece = {"animal": "beef", "cut": cut, "form": "roast", "weight": 900.0, "arrived": "intact"}
    piece |= {"thickness": thickness, "start_state": "fridge", "salt_target": 1.2}
    guests = {"want": "pink", "setting": "home", "vulnerable": "no", "latex": "no", "bath": "yes", "pressure": "no"}
    for name, value in more.items():
        (piece if name in piece else guests)[name] = value
    return Case(
        {k: Given(v, "answered") for k, v in piece.items()}, {k: Given(v, "answered") for k, v in guests.items()}
    )


def asked_for_tools():
    session = opened(Session.start(RULEBASE, NOW), ROAST).session
    for question, text in (
        ("vulnerable", "1"),
        ("form", "2"),
        ("shape", "2"),
        ("arrived", "1"),
        ("fridge_time", "1 day"),
        ("salt_target", "1.2"),
        ("softeners", "none"),
    ):
        session = session.answer_to(RULEBASE.questions[question], text)
    return session


def test_blades_are_used_where_they_are_and_nowhere_else():
    for has in ("yes", "no", None):
        built = build_plan(case(blade_tool=has), (), RULEBASE)
        used = {one.way.name for one in built.ordered if any(s.action == "needle" for s in one.report.case.steps)}
        assert bool(used) is (has == "yes")
        assert all(one.report.verdict == "go" for one in built.ordered if one.way.name in used)


def test_brine_is_injected_where_there_is_a_needle_for_it():
    for has in ("yes", "no"):
        built = build_plan(case("chuck_roll", 80.0, want="fall_apart", bath="no", injector=has), (), RULEBASE)
        injected = [one for one in built.ordered if any(s.action == "inject" for s in one.report.case.steps)]
        assert bool(injected) is (has == "yes")
        assert all(not one.way.aside for one in injected)


def test_what_is_done_before_is_tried_beside_the_best_heat():
    """A thick lean roast is too long in a low bath, so the needle is tried beside the oven."""
    built = build_plan(case("eye_of_round", 90.0, want="well_done", injector="yes"), (), RULEBASE)
    heats = [one for one in built.ordered if not one.way.treatment]
    assert {one.way.heat for one in heats} >= {"low_bath", "roast"}
    assert {one.way.heat for one in built.ordered if one.way.treatment == "inject"} == {heats[0].way.heat}


def test_a_pan_after_blades_is_laid_out_for_meat_that_is_open():
    built = build_plan(case("top_round", 25.0, form="steak", blade_tool="yes", bath="no"), (), RULEBASE)
    needled = next(one for one in built.ordered if one.way.treatment == "needle" and one.way.heat == "pan")
    pan = next(step for step in needled.report.case.steps if step.action == "pan")
    assert needled.report.verdict == "go"
    assert pan.number("until_core") >= RULEBASE.limit("plan_pan_open")


def test_tools_that_matter_are_asked_in_one_list():
    session = asked_for_tools()
    assert [question.id for question in session.tools] == ["bath", "pressure", "injector"]
    done = session.answer_tools("2 and 3")
    given = {name: done.case().word("guests", name) for name in ("bath", "pressure", "injector")}
    assert given == {"bath": "no", "pressure": "yes", "injector": "yes"}
    assert done.question is None
    assert session.answer_tools("none").case().word("guests", "pressure") == "no"
    assert session.answer_tools("pressure cooker").case().word("guests", "pressure") == "yes"
    assert {session.tools_not_known().case().guests[name].value for name in given} == {None}


@pytest.mark.parametrize("text", ["4", "a whisk", "1 2 9", " "])
def test_a_list_that_cannot_be_read_changes_nothing(text):
    with pytest.raises(InputError):
        asked_for_tools().answer_tools(text)


def test_one_tool_alone_is_asked_as_a_question():
    session = asked_for_tools()
    session = session.answer_to(RULEBASE.questions["pressure"], "no")
    session = session.answer_to(RULEBASE.questions["injector"], "no")
    assert session.question.id == "bath"
    assert session.tools == ()
    assert replace(session, again="bath").tools == ()


@pytest.fixture(scope="module")
def braised():
    return build_plan(case("chuck_roll", 80.0, want="fall_apart", bath="no"), (), RULEBASE)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("a hot pan", "how tough the cut is: it asks for very tender or tender or intermediate; here it is tough"),
        ("in a skillet", "thickness at the thickest place: it asks for at most 40 mm (1 5/8 in); here it is 80 mm"),
        ("a water bath", "the kitchen has a water bath that holds its heat: it asks for yes; here it is no"),
        (
            "needle it",
            "the kitchen has a tool with blades or needles that pierces meat: it asks for yes; here it is no (assumed)",
        ),
        ("enzyme", "there is something to soften it with: it asks for yes; here it is no"),
        ("braise it", "It is in the plan you have: a braise."),
        ("a blade tool", "the kitchen has a tool with blades or needles that pierces meat: it asks for yes"),
        ("blades", "the kitchen has a tool with blades or needles that pierces meat: it asks for yes"),
        ("use a syringe", "the kitchen has a needle to inject brine with: it asks for yes"),
    ],
)
def test_why_not_says_what_the_rules_ask_for_a_way_that_is_not_offered(braised, words, says):
    assert says in " ".join(why_not_way(words, braised, RULEBASE))


@pytest.mark.parametrize("words", ["braise it at 90 C", "step 2: 4 hours", "leave it out overnight", "an air fryer"])
def test_why_not_leaves_what_is_no_way_to_those_who_read_changes(braised, words):
    assert why_not_way(words, braised, RULEBASE) == ()


def test_what_is_no_way_is_said_with_those_that_are(braised):
    assert (
        unknown_way("an air fryer", braised)
        == "We reckon no way called 'an air fryer' for this piece. We worked out one way: a braise."
    )


@pytest.mark.parametrize("technique", ["low_bath", "pressure", "roast", "pound", "needle", "brine", "inject"])
def test_what_is_offered_to_try_can_be_typed_and_is_reckoned(braised, technique):
    words = next(_to_try(technique, braised, RULEBASE)).partition("type: why not ")[2].rstrip(".")
    told = why_not(braised.report, words, RULEBASE, NOW)
    assert told.understood_all
    assert technique not in {"low_bath", "pressure"} or told.not_there


def test_a_way_that_is_too_late_says_so_first():
    wished = replace(case("chuck_roll", 80.0, want="fall_apart", pressure="yes"), serve=NOW.replace(hour=18))
    built = build_plan(wished, (), RULEBASE, NOW)
    assert why_not_way("a water bath", built, RULEBASE)[0].startswith("a low bath: it cannot be ready by")
