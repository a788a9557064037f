"""Stuffing that goes in after the heat, or lies in raw meat before it; and what is stuffed is not sliced raw."""

from __future__ import annotations

from datetime import datetime

import pytest

from advisor.advice.build import build_plan
from advisor.advice.report import examine
from advisor.case.model import Case, Given
from advisor.case.read_plan import read_plan
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase().under("us_home")
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
BIRD = "piece: {animal: chicken, cut: whole chicken, weight: 1.8 kg, thickness: 110 mm, stuffing: inside}\n"
OVEN, STUFF = "{do: oven, at: 180 C, until_core: 82 C}", "{do: put stuffing in}"


def found(*steps):
    text = f"{BIRD}guests: {{setting: home}}\nsteps: [{', '.join(steps)}, {{do: serve}}]\n"
    report = examine(read_plan(text, RULEBASE, NOW), RULEBASE, "reference")
    return report.verdict, {problem.rule.rule.id for problem in report.problems}


@pytest.mark.parametrize("after", [(), ("{do: oven, at: 220 C, for: 5 min}",), ("{do: hot hold, at: 60 C, for: 3 h}",)])
def test_stuffing_that_goes_in_after_the_heat_is_never_go(after):
    verdict, rules = found(OVEN, STUFF, *after)
    assert verdict != "go"
    assert "cook.stuffed_after_heat" in rules
    assert found(STUFF, OVEN)[0] == "go"


@pytest.mark.parametrize(("minutes", "fires"), [(30, False), (31, True), (47 * 60, True)])
@pytest.mark.parametrize("place", ["fridge, at: 4 C", "counter"])
def test_what_is_stuffed_ahead_is_no_plan(minutes, fires, place):
    _, rules = found(STUFF, f"{{do: hold, place: {place}, for: {minutes} min}}", OVEN)
    assert ("cook.stuffed_wait" in rules) is fires
    # The wait comes before it is filled, and counts for nothing here.
    assert "cook.stuffed_wait" not in found(f"{{do: hold, place: {place}, for: {minutes} min}}", STUFF, OVEN)[1]


def test_what_is_stuffed_is_not_sliced_raw_for_a_fast_sear():
    piece = {"animal": "turkey", "cut": "turkey_breast", "form": "roast", "thickness": 90.0, "weight": 2000.0}
    piece |= {"start_state": "fridge", "arrived": "intact", "stuffing": "inside", "bone": "no"}
    guests = {"want": "thin_quick", "setting": "home", "vulnerable": "no", "bath": "no", "pressure": "no"}
    given = [{name: Given(value, "answered") for name, value in one.items()} for one in (piece, guests)]
    built = build_plan(Case(*given), (), RULEBASE)
    assert not [option for option in built.ordered if option.way.heat == "quick_sear"]
    if built.report.verdict == "go":
        assert built.report.computed.facts.course["core_peak"].value >= RULEBASE.limit("stuffed_min")
