"""What is braised to be pulled: it stands and is pulled in time that the course walks, and its liquid has an amount."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.advice.quantities import quantities
from advisor.advice.report import examine
from advisor.advice.schedule import schedule
from advisor.case.complete import complete
from advisor.case.model import Case, Given, PlanStep
from advisor.case.read_plan import read_plan
from advisor.case.write_plan import write_plan
from advisor.knowledge import load_rulebase
from advisor.show.planned import poured, quantity_lines

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
PULL = "pull_to_shreds"


@cache
def planned(want="fall_apart", form="roast", weight=2500.0, thickness=100.0):
    said = {"animal": "pork", "cut": "boston_butt", "form": form, "arrived": "intact", "start_state": "fridge"}
    sizes = {"weight": weight, "thickness": thickness, "salt_target": 1.2, "bone": "no"}
    guests = {"setting": "work", "vulnerable": "no", "want": want, "bath": "no", "pressure": "no"}
    case = Case(
        {name: Given(value, "answered") for name, value in (said | sizes).items()},
        {name: Given(value, "answered") for name, value in guests.items()},
    )
    return build_plan(case, (), RULEBASE).report


def actions(report):
    return [step.action for step in report.case.steps]


def test_it_stands_and_is_pulled_by_the_kilo():
    report = planned()
    assert actions(report)[-4:] == ["braise", "rest", PULL, "serve"]
    stands, pulls = schedule(report, RULEBASE)[-3:-1]
    assert stands.end - stands.start == RULEBASE.limit("plan_pull_stand")
    # Two and a half kilograms at five minutes each, in whole minutes, all of it by hand.
    assert pulls.busy == pulls.end - pulls.start == 13


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"want": "well_done"}, "it is sliced"),
        ({"form": "cubes", "thickness": 40.0}, "cubes fall apart by themselves"),
        ({"weight": 900.0, "thickness": 60.0}, "it falls apart on the plate"),
    ],
)
def test_what_is_not_pulled_in_the_kitchen_has_no_such_step(more, why):
    assert PULL not in actions(planned(**more)), why


def test_the_course_counts_all_of_that_time():
    report = planned()
    bare = replace(report.case, steps=tuple(s for s in report.case.steps if s.action not in ("rest", PULL)))
    short, full = (examine(case, RULEBASE).computed.facts.course for case in (bare, report.case))
    more = RULEBASE.limit("plan_pull_stand") + 13
    assert full["warm_cooked_minutes"].value == pytest.approx(short["warm_cooked_minutes"].value + more)
    for name in ("spore_growth_log", "cooked_poison_log", "raw_growth_log"):
        assert (full[name].value or 0.0) >= (short[name].value or 0.0), name
    # A rest right after the heat belongs to it, as after any other; the pulling kills nothing.
    rested = replace(report.case, steps=tuple(s for s in report.case.steps if s.action != PULL))
    assert full["kill_share"].value == examine(rested, RULEBASE).computed.facts.course["kill_share"].value


def test_a_file_that_says_no_time_for_it_gets_the_usual():
    case = Case({"weight": Given(4000.0, "written")}, {}, (PlanStep("braise"), PlanStep(PULL)))
    assert complete(case, RULEBASE).steps[1].number("minutes") == 20.0


def test_the_liquid_has_an_amount_in_the_step_and_in_the_list_marked_as_practice():
    report = planned()
    assert quantities(report, RULEBASE).liquid_ml == 1250.0
    braise = actions(report).index("braise")
    assert poured(report, RULEBASE) == {braise: ("Liquid: about 1.25 L (1 3/8 qt).",)}
    told = quantity_lines(report, RULEBASE)[0]
    assert told.startswith("Braise: about 1.25 L (1 3/8 qt) of liquid")
    assert told.endswith("common practice, no source.")
    assert RULEBASE.limits["plan_braise_liquid"].basis == "common practice"


def test_the_plan_is_the_same_as_a_file():
    report = planned()
    again = examine(read_plan(write_plan(report.case, RULEBASE), RULEBASE, NOW), RULEBASE)
    assert (again.verdict, actions(again)) == ("go", actions(report))
