"""Raw meat that is in the fridge now lies there until the first step: days that count against it."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.advice.report import examine
from advisor.case.model import Case, Given
from advisor.case.read_plan import read_plan
from advisor.case.write_plan import write_plan
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))


def built(days, **more):
    piece = {"animal": "chicken", "cut": "chicken_breast", "form": "steak", "thickness": 25.0, "weight": 900.0}
    piece |= {"arrived": "intact", "start_state": "fridge", "salt_target": 1.2, "bone": "no", **more}
    guests = {"want": "well_done", "setting": "home", "vulnerable": "no", "bath": "no", "pressure": "no"}
    given = [{name: Given(value, "answered") for name, value in one.items()} for one in (piece, guests)]
    return build_plan(Case(*given, serve=NOW + timedelta(days=days)), (), RULEBASE, NOW).report


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
