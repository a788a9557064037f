"""Stuffing in a plan: a step of its own with its caution in it, a reading of its own, and the way without it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.altering import readings
from advisor.advice.build import build_plan
from advisor.advice.mends import find_mends
from advisor.advice.report import examine
from advisor.advice.schedule import checks, schedule
from advisor.case.complete import complete
from advisor.case.model import Case, Given, PlanStep
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.words.altered import read_altered
from advisor.case.work_times import STUFFS
from advisor.case.write_plan import write_plan
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))


def bird(stuffing="inside", thickness=110.0, animal="chicken", weight=1800.0):
    """A whole bird from the fridge, cooked through, at home."""
    said = {"animal": animal, "cut": f"whole_{animal}", "form": "roast", "arrived": "intact", "start_state": "fridge"}
    sizes = {"weight": weight, "thickness": thickness, "salt_target": 1.2, "stuffing": stuffing}
    guests = {"setting": "home", "vulnerable": "no", "want": "well_done", "bath": "no", "pressure": "no"}
    return Case(
        {name: Given(value, "answered") for name, value in (said | sizes).items()},
        {name: Given(value, "answered") for name, value in guests.items()},
    )


@cache
def planned(stuffing="inside", **more):
    return build_plan(bird(stuffing, **more), (), RULEBASE)


def actions(report):
    return [step.action for step in report.case.steps]


def test_it_is_put_in_just_before_the_heat_and_its_caution_stands_in_that_step():
    report = planned().report
    place = actions(report).index(STUFFS)
    assert actions(report)[place + 1] == "oven"
    assert [f.rule.rule.id for f in report.of_step(place)] == ["practice.put_stuffing_in"]
    assert schedule(report, RULEBASE)[place].busy == RULEBASE.limit("plan_stuffing")
    # It is told once, where it is done.
    assert "cook.stuffed_ahead" not in {f.rule.rule.id for f in report.inference.findings}


def test_the_heat_ends_with_a_reading_in_the_stuffing_as_well():
    report = planned().report
    oven = actions(report).index("oven")
    told = [check.limit for check in checks(report, RULEBASE) if check.step == oven]
    assert any("the middle of the stuffing at 73.9 °C" in limit for limit in told)
    assert not any("stuffing" in check.limit for check in checks(planned("none").report, RULEBASE))


def test_what_nobody_knows_or_is_cooked_apart_has_no_such_step():
    unknown = build_plan(bird().with_value("piece", "stuffing", Given(None, "not known")), (), RULEBASE).report
    assert STUFFS not in actions(unknown)
    oven = actions(unknown).index("oven")
    assert "cook.stuffed_ahead" in [f.rule.rule.id for f in unknown.of_step(oven)]
    apart = planned("apart").report
    assert STUFFS not in actions(apart)
    oven = actions(apart).index("oven")
    told = [f.beside for f in apart.of_step(oven) if f.rule.rule.id == "cook.stuffing_apart"]
    assert told == ["Cook the stuffing in a dish of its own, until its middle reads 73.9 °C (165 °F)."]


def test_where_the_stuffing_stands_in_the_way_it_is_cooked_apart_and_this_is_said():
    built = planned(animal="turkey", thickness=200.0, weight=7000.0)
    assert [(mend.change, rule) for mend, rule in built.made] == [("cook the stuffing apart", "hold.staph_inside")]
    assert built.report.verdict == "go"
    assert STUFFS not in actions(built.report)
    # A plan file that stuffs it is offered the same.
    steps = (PlanStep(STUFFS), *built.report.case.steps)
    bad = examine(replace(bird(animal="turkey", thickness=200.0, weight=7000.0), steps=steps), RULEBASE)
    assert bad.verdict == "stop"
    mends = find_mends(bad, RULEBASE)
    assert mends[0].change == "cook the stuffing apart"
    assert STUFFS not in [step.action for step in mends[0].case.steps]


def test_the_time_that_filling_takes_counts_as_time_out_of_the_cold():
    filled, plain = planned().report, planned("none").report
    warm = [r.computed.facts.course["warm_raw_minutes"].value for r in (filled, plain)]
    assert warm[0] == warm[1] + RULEBASE.limit("plan_stuffing")


def test_the_plan_is_the_same_as_a_file():
    report = planned().report
    again = examine(read_plan(write_plan(report.case, RULEBASE), RULEBASE, NOW), RULEBASE)
    assert again.verdict == report.verdict == "go"
    assert actions(again) == actions(report)


def test_a_step_that_puts_it_in_says_that_it_is_stuffed():
    case = Case({"animal": Given("chicken", "written")}, {}, (PlanStep(STUFFS), PlanStep("oven")))
    assert complete(case, RULEBASE).word("piece", "stuffing") == "inside"
    piece, steps = "piece: {cut: whole chicken, stuffing: none}", "steps:\n- do: put_stuffing_in\n- {do: serve}\n"
    with pytest.raises(PlanErrors) as caught:
        read_plan(f"{piece}\n{steps}", RULEBASE, NOW)
    assert "A step puts the stuffing in" in caught.value.errors[0].what


@pytest.mark.parametrize("words", ["cook the stuffing apart", "what if the stuffing is on the side", "not stuffed"])
def test_a_change_that_takes_it_out_takes_its_step_with_it(words):
    plan = planned().report.case
    (reading,) = readings(plan, read_altered(words, plan, RULEBASE, NOW), RULEBASE)
    assert reading.did[-1] == "step 2 (put the stuffing in) is left out"
    assert reading.case.word("piece", "stuffing") in ("apart", "none")
    assert STUFFS not in [step.action for step in reading.case.steps]
    assert not reading.problem
