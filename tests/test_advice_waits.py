"""Raw meat that is in the fridge now lies there until the first step: days that count against it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.advice.mends import find_mends
from advisor.advice.report import examine
from advisor.advice.schedule import schedule
from advisor.case.complete import assumptions, complete
from advisor.case.model import Case, Given
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.write_plan import write_plan
from advisor.course.roles import first_cook
from advisor.course.waiting import minutes_between
from advisor.knowledge import load_rulebase
from advisor.show.planned import keeps_line, until_lines

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))


def built(days, **more):
    return plan_for(days, more).report


def plan_for(days, more):
    piece = {"animal": "chicken", "cut": "chicken_breast", "form": "steak", "thickness": 25.0, "weight": 900.0}
    piece |= {"arrived": "intact", "start_state": "fridge", "salt_target": 1.2, "bone": "no", **more}
    guests = {"want": "well_done", "setting": "home", "vulnerable": "no", "bath": "no", "pressure": "no"}
    given = [{name: Given(value, "answered") for name, value in one.items()} for one in (piece, guests)]
    return build_plan(Case(*given, serve=NOW + timedelta(days=days)), (), RULEBASE, NOW)


@pytest.mark.parametrize(
    ("days", "more", "goes"), [(1, {}, True), (7, {}, False), (7, {"start_state": "frozen"}, True)]
)
def test_a_week_in_the_fridge_before_the_plan_begins_is_no_plan(days, more, goes):
    report = built(days, **more)
    assert (report.verdict == "go") is goes
    found = {finding.rule.rule.id for finding in report.problems}
    assert ("hold.fridge_days_small" in found) is not goes
    again = examine(read_plan(write_plan(report.case, RULEBASE), RULEBASE, NOW), RULEBASE, "reference")
    assert again.verdict == report.verdict


def test_a_later_service_is_never_better():
    cold = [built(days).computed.facts.course["raw_cold_minutes"].value for days in (1, 2, 4)]
    assert cold == sorted(cold)
    told = built(1, fridge_time=2000.0).computed.facts.course["raw_cold_minutes"].value
    assert told == pytest.approx(cold[0] + 2000, abs=2)


@pytest.mark.parametrize("more", [{}, {"start_state": "frozen"}, {"start_state": "out", "out_minutes": 10.0}])
def test_days_of_which_nobody_knows_are_never_better_than_any_that_are_known(more):
    """After dk there is no plan, as for meat that was out for nobody knows how long."""
    report = built(1, fridge_time=None, **more)
    assert report.verdict == "stop"
    assert "hold.fridge_unknown" in {finding.rule.rule.id for finding in report.problems}
    again = examine(read_plan(write_plan(report.case, RULEBASE), RULEBASE, NOW), RULEBASE, "reference")
    assert again.verdict == "stop"


def test_days_that_nobody_spoke_of_are_none_and_said():
    case = complete(Case({"cut": Given("chicken_breast", "written")}, {}), RULEBASE)
    assert case.number("piece", "fridge_time") == 0
    assert any("days raw in the fridge" in note for note in assumptions(case))


def test_the_page_says_until_when_the_meat_keeps_and_that_service_is_a_plan():
    plan = plan_for(3, {"fridge_time": 1440.0})
    assert plan.report.verdict == "change"
    assert NOW < plan.keeps_until < NOW + timedelta(days=3)
    sooner = plan_for((plan.keeps_until - NOW) / timedelta(days=1), {"fridge_time": 1440.0})
    assert sooner.report.verdict == "go"
    later = plan_for((plan.keeps_until - NOW) / timedelta(days=1) + 1, {"fridge_time": 1440.0})
    assert later.report.verdict != "go"
    assert keeps_line(plan, NOW).startswith("It does not keep so long: serve it by Thu ")


def test_a_service_so_soon_that_the_salt_has_no_time_is_offered_too():
    """A day and a half old, and salted for 12 h: not even a plan that begins now keeps, one salted late does."""
    plan = plan_for(3.3, {"fridge_time": 2250.0})
    assert any(step.action == "salt" and step.number("minutes") >= 600 for step in plan.report.case.steps)
    assert NOW < plan.keeps_until < NOW + timedelta(hours=14)
    assert plan_for((plan.keeps_until - NOW) / timedelta(days=1), {"fridge_time": 2250.0}).report.verdict == "go"


@pytest.mark.parametrize("more", [{"fridge_time": 5000.0}, {"start_state": "out", "out_minutes": 300.0}])
def test_meat_that_is_past_saving_is_offered_no_sooner_service(more):
    plan = plan_for(3, more)
    assert plan.report.verdict != "go"
    assert plan.keeps_until is None
    assert not keeps_line(plan, NOW)


def test_the_page_says_what_to_do_with_the_meat_until_the_first_step():
    fresh, frozen = plan_for(1, {}).report, plan_for(3, {"start_state": "frozen"}).report
    assert until_lines(fresh, NOW, RULEBASE)[0].startswith(
        "Until then keep it in the fridge, at 5 °C (41 °F) or colder."
    )
    assert until_lines(frozen, NOW, RULEBASE)[0].endswith("keep it frozen.")
    assert until_lines(fresh, fresh.case.serve, RULEBASE) == ()
    unserved = replace(fresh, case=replace(fresh.case, serve=None))
    assert "begins now" in until_lines(unserved, NOW, RULEBASE)[0]


def test_a_thaw_that_takes_too_long_is_mended_by_no_sooner_service():
    plan = plan_for(8, {"start_state": "frozen", "form": "roast", "cut": "whole_chicken", "thickness": 130.0})
    assert plan.report.verdict != "go"
    assert plan.keeps_until is None


def test_the_wait_counts_in_every_way_that_is_offered_and_in_every_mend():
    """A shorter salting only starts later: it mends nothing of meat that is kept too long."""
    for days in (1.3, 2.05, 2.5, 5):
        plan = plan_for(days, {"fridge_time": 1440.0})
        for option in (plan.best, *plan.others, *plan.in_time):
            again = read_plan(write_plan(option.report.case, RULEBASE), RULEBASE, NOW)
            assert examine(again, RULEBASE, "reference").verdict == option.report.verdict
            raw = option.report.computed.facts.course["raw_cold_minutes"].value
            cook = next(
                slot for slot in schedule(option.report, RULEBASE) if slot.step == first_cook(option.report.case)
            )
            if option.report.verdict == "go":
                # From when it was told to the first heat; what is done at the counter is not in the fridge.
                assert 1440 <= raw <= 1440 + (cook.begins - NOW).total_seconds() / 60 + 1
        for mend in find_mends(plan.report, RULEBASE):
            assert not mend.kinds or not all("minutes" in kind for kind in mend.kinds)


def test_days_are_counted_through_the_night_in_which_the_clocks_go_back():
    zone = ZoneInfo("America/Chicago")
    first, last = datetime(2026, 10, 31, 12, tzinfo=zone), datetime(2026, 11, 1, 12, tzinfo=zone)
    assert minutes_between(first, last) == 25 * 60
    assert minutes_between(first.replace(tzinfo=None), last.replace(tzinfo=None)) == 24 * 60


def test_a_moment_of_counting_that_is_no_moment_is_refused_with_its_line():
    text = write_plan(built(1).case, RULEBASE)
    assert "as_of: 2026-11-25 12:00" in text
    for told, wrong in (("yesterday", "no day and time"), ("2026-11-25 12:01", "still to come")):
        with pytest.raises(PlanErrors, match=wrong):
            read_plan(text.replace("as_of: 2026-11-25 12:00", f"as_of: {told}"), RULEBASE, NOW)
