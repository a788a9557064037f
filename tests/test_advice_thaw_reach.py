"""A plan that only a shorter thaw would mend is not tried on: no other length of the thaw is a plan."""

from __future__ import annotations

from advisor.advice.clean import cleaned
from advisor.advice.report import Examiner
from advisor.case.model import Case, Given, PlanStep
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()


def plan(days):
    piece = {"animal": "beef", "cut": "chuck_roll", "form": "minced", "thickness": 30.0, "weight": 1000.0}
    piece |= {"arrived": "intact", "start_state": "frozen"}
    thaw = {"place": "fridge_still", "temperature": 4.0, "minutes": days * 1440.0}
    oven = {"place": "oven_still", "temperature": 120.0, "until_core": 60.0}
    steps = tuple(
        PlanStep(action, {n: Given(v) for n, v in given.items()}, ())
        for action, given in (("thaw", thaw), ("oven", oven), ("rest", {}), ("serve", {}))
    )
    guests = {"setting": "home", "vulnerable": "no", "latex": "no"}
    return Case({k: Given(v) for k, v in piece.items()}, {k: Given(v) for k, v in guests.items()}, steps)


def tried(days):
    look = Examiner(RULEBASE)
    report = look(plan(days))
    after, made = cleaned(report, RULEBASE, look)
    return report, after, made, len(look.reports)


def test_nothing_is_tried_where_only_the_thaw_is_too_long():
    report, after, made, looked = tried(4)
    assert "hold.fridge_days_small" in {finding.rule.rule.id for finding in report.problems}
    assert (after, made, looked) == (report, (), 1)


def test_where_the_thaw_is_no_trouble_changes_are_tried():
    report, _, _, looked = tried(2)
    assert report.verdict == "change"
    assert looked > 2
