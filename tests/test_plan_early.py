"""A heat that ends by the probe and is done early: when to read, and where it may be held hot, tried on the plan."""

from __future__ import annotations

from functools import cache

import pytest

from advisor.advice.build import build_plan
from advisor.advice.early import early
from advisor.advice.report import examine
from advisor.case.model import Case, Given, PlanStep
from advisor.knowledge import load_rulebase
from advisor.show.planned import done_early

RULEBASE = load_rulebase()
UK = RULEBASE.under("uk")
CHICKEN = ("chicken", "whole_chicken", 110.0, "well_done", 1800.0)
ROAST = ("beef", "top_round", 75.0, "pink", 2000.0)


@cache
def planned(animal, cut, thickness, want, weight, code=""):
    said = {"animal": animal, "cut": cut, "form": "roast", "arrived": "intact", "start_state": "fridge"}
    sizes = {"weight": weight, "thickness": thickness, "salt_target": 1.2, "stuffing": "none"}
    guests = {"setting": "home", "vulnerable": "no", "want": want, "bath": "no", "pressure": "no"}
    case = Case(
        {name: Given(value, "answered") for name, value in (said | sizes).items()},
        {name: Given(value, "answered") for name, value in guests.items()},
        code=code,
    )
    return build_plan(case, (), RULEBASE).report


@pytest.mark.parametrize(("code", "rulebase", "degrees"), [("", RULEBASE, 57.2), ("uk", UK, 63.0)])
def test_it_is_held_at_the_line_of_the_code_and_the_plan_was_tried_so(code, rulebase, degrees):
    report = planned(*CHICKEN, code)
    soon = early(report, rulebase)
    spent = report.inference.facts.steps[soon.step]["minutes"]
    assert (soon.after_min, soon.sooner_min) == (spent.low, spent.high - spent.low)
    assert soon.hold_c == rulebase.limit("hot_hold_min") == degrees
    held = {name: Given(v) for name, v in (("place", "hot_cupboard"), ("temperature", degrees))}
    step = PlanStep("hot_hold", {**held, "minutes": Given(soon.sooner_min)})
    assert examine(report.case.with_inserted(soon.hold_after + 1, step), rulebase).verdict == "go"
    (line,) = done_early(report, rulebase)[soon.step]
    assert f"at {degrees:g} °C" in line


def test_pink_meat_that_its_sear_cooks_through_is_held_only_after_it():
    report = planned(*ROAST)
    soon = early(report, RULEBASE)
    assert report.case.steps[soon.hold_after].action == "pan"
    (line,) = done_early(report, RULEBASE)[soon.step]
    assert f"go on up to step {soon.hold_after + 1}, then keep it covered and hot" in line


def test_where_no_hold_is_clean_it_is_said_that_there_is_none(monkeypatch):
    monkeypatch.setattr("advisor.advice.early._broken", lambda *_: "hold.warm_cooked_long")
    (line,) = done_early(planned(*ROAST), RULEBASE).popitem()[1]
    assert "Do not keep it: held hot that long, this plan breaks a rule [hold.warm_cooked_long]." in line


def test_ends_that_lie_close_together_are_not_spoken_of():
    assert early(planned("pork", "boston_butt", 90.0, "fall_apart", 2000.0), RULEBASE) is None
