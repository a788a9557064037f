"""A plan that can be mended is mended by the planner itself; one that is late gives up its salting first."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from advisor.advice import build
from advisor.advice.build import build_plan
from advisor.advice.report import examine
from advisor.case.model import Case, Given
from advisor.case.read_plan import read_plan
from advisor.case.write_plan import write_plan
from advisor.knowledge import load_rulebase
from advisor.show.planned import conflict_line
from advisor.show.words import step_line

RULEBASE = load_rulebase().under("us_home")
CHICAGO = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 26, 7, 1, tzinfo=CHICAGO)


def case(cut, want, serve, *, form="steak", bath="no", **piece):
    given = {"animal": "beef", "cut": cut, "form": form, "arrived": "intact", "start_state": "fridge"}
    given |= {"salt_target": 1.2, **piece}
    guests = {"want": want, "setting": "home", "vulnerable": "no", "latex": "no", "bath": bath, "pressure": "no"}
    us = {"serve": serve, "system": "us", "code": "us_home"}
    return Case(
        {k: Given(v, "answered") for k, v in given.items()}, {k: Given(v, "answered") for k, v in guests.items()}, **us
    )


def brisket():
    saturday = datetime(2026, 11, 28, 19, tzinfo=CHICAGO)
    return case("brisket_flat", "pink", saturday, form="roast", bath="yes", weight=1814.4, thickness=50.8)


def test_a_bath_too_cool_for_a_whole_piece_is_made_hotter():
    built = build_plan(brisket(), (), RULEBASE, NOW)
    assert built.report.verdict == "go"
    assert [rule for _, rule in built.made] == ["cook.whole"]


def test_what_few_trials_do_not_mend_the_wide_search_does(monkeypatch):
    monkeypatch.setattr(build, "cleaned", lambda report, *_: (report, ()))
    built = build_plan(brisket(), (), RULEBASE, NOW)
    assert built.report.verdict == "go"
    assert built.best.way.name == "a low bath"
    assert [rule for _, rule in built.made] == ["cook.whole"]


def flank(hour, minute):
    serve = datetime(2026, 11, 26, hour, minute, tzinfo=CHICAGO)
    return case("flank_steak", "thin_quick", serve, weight=907.2, thickness=25.4)


def salting(built):
    return next(step.number("minutes") for step in built.report.case.steps if step.action == "salt")


def test_salting_is_given_up_before_the_service(rulebase):
    built = build_plan(flank(7, 31), (), RULEBASE, NOW)
    assert (built.report.verdict, built.best.late, salting(built)) == ("go", False, 0.0)
    assert built.report.case.serve == built.wished
    assert conflict_line(built) == ""
    index = next(i for i, step in enumerate(built.report.case.steps) if step.action == "salt")
    assert step_line(built.report, index, rulebase).endswith("salt just before the heat.")
    # Kept and read again it is the same plan.
    again = read_plan(write_plan(built.report.case, RULEBASE), RULEBASE, NOW)
    assert examine(again, RULEBASE, "reference").verdict == "go"
    assert again.steps[index].number("minutes", 1.0) == 0.0


def test_the_salting_is_cut_no_more_than_is_late():
    built = build_plan(flank(8, 10), (), RULEBASE, NOW)
    assert (built.report.verdict, built.best.late) == ("go", False)
    assert salting(built) == RULEBASE.limit("plan_salt_shortest")


def test_no_earlier_service_than_without_salting_is_kept_from_the_cook():
    built = build_plan(flank(7, 10), (), RULEBASE, NOW)
    assert built.best.late
    assert salting(built) == 0.0
    assert built.report.case.serve == datetime(2026, 11, 26, 7, 30, tzinfo=CHICAGO)


def frozen(day, hour, thickness=25.0):
    serve = datetime(2026, 11, day, hour, tzinfo=CHICAGO)
    return case("strip_loin", "pink", serve, weight=900.0, thickness=thickness, start_state="frozen")


def thaw(built):
    return next(step for step in built.report.case.steps if step.action == "thaw")


def test_what_is_frozen_thaws_in_running_water_where_the_fridge_would_be_too_late():
    built = build_plan(frozen(26, 13), (), RULEBASE, NOW)
    assert built.report.verdict == "go"
    assert conflict_line(built) == ""
    step = thaw(built)
    assert step.word("place") == "running_water"
    assert step.number("temperature") <= RULEBASE.limit("thaw_water_max")
    assert RULEBASE.limit("thaw_water_min") <= step.number("minutes") <= RULEBASE.limit("raw_out_max")
    assert built.report.inference.facts.course["still_frozen"].value == "no"


def test_where_there_is_time_it_thaws_in_the_fridge():
    assert thaw(build_plan(frozen(29, 19), (), RULEBASE, NOW)).word("place") == "fridge_still"


def test_what_would_lie_too_long_in_the_water_stays_in_the_fridge_and_is_late():
    built = build_plan(frozen(26, 19, thickness=60.0), (), RULEBASE, NOW)
    assert thaw(built).word("place") == "fridge_still"
    assert conflict_line(built).startswith("It cannot be ready by")
