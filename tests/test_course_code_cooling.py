"""The coolings that food codes print, judged where their code is the chosen one: each stage at, inside and outside."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from advisor.advice.report import examine
from advisor.case.facts import Fact, FactSet
from advisor.case.read_plan import read_plan
from advisor.course.chilling import code_cooling_facts
from advisor.course.walk import Leg, Walked
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
JUDGED = [
    (code.id, cooling)
    for code in RULEBASE.codes.values()
    for cooling in RULEBASE.under(code.id).law_coolings()
    if cooling in code.cooling
]
STAGES = [(code, cooling, number) for code, cooling in JUDGED for number in range(len(cooling.stages))]
NAMED = [f"{cooling.name} {number + 1}" for _, cooling, number in STAGES]
RULES = {"cool.code_stage", "cool.code_end", "cool.code_start"}
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
MINUTE, NEAR = 60.0, 0.5
ROLES = ("cook", "work", "cool")


def leg(step, points):
    """Make a leg whose hottest depth goes through points of minutes and °C in straight lines."""
    minutes, temps = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    times = np.unique(np.concatenate([np.linspace(minutes[0], minutes[-1], 4001), minutes]))
    cells = np.interp(times, minutes, temps)
    return Leg(step, times * MINUTE, float(temps[-1]), cells[:, None], cells, cells, cells)


def fall(cooling, *, longer=0.0, at=0, wait=0.0, stop_short=0.0):
    """A cook, a wait and a fall that takes each stage in its time, stage ``at`` so many minutes longer."""
    top = cooling.stages[0].from_c
    points = [(wait, top)]
    for number, stage in enumerate(cooling.stages):
        end = stage.to_c + (stop_short if number == len(cooling.stages) - 1 else 0.0)
        points.append((points[-1][0] + stage.minutes + (longer if number == at else 0.0), end))
    return Walked((leg(0, [(-30, top), (0, top)]), leg(1, [(0, top), (wait, top)]), leg(2, points)))


def facts_of(walked, code, roles=ROLES, setting="work"):
    ruled = RULEBASE.under(code)
    found = {name: ranged.value for name, ranged in code_cooling_facts([walked], roles, ruled).items()}
    course = {name: Fact("course", name, value, "computed") for name, value in {**found, "cools": "yes"}.items()}
    guests = {"setting": Fact("guests", "setting", setting, "written")}
    fired = infer(ruled, FactSet(course=course, guests=guests), engine="reference").findings
    return found, {f.rule.rule.id for f in fired} & RULES


def test_the_coolings_of_three_codes_are_judged_by_their_stages():
    assert {cooling.name for _, cooling in JUDGED} == {"fsis_option_1", "fsis_option_2", "uk_cook_chill", "anz_cooling"}


def test_what_is_not_judged_says_why_and_what_the_limits_judge_has_their_figures():
    for code in RULEBASE.codes.values():
        ruled = RULEBASE.under(code.id)
        for cooling in code.cooling:
            assert (cooling.judged == "no") == bool(cooling.why)
            if cooling.judged != "limits":
                continue
            first, last = cooling.stages[0], cooling.stages[-1]
            assert first.from_c == ruled.limit("cool_from")
            assert (first.to_c, first.minutes) == (ruled.limit("cool_first_to"), ruled.limit("cool_first_max"))
            assert (last.to_c, cooling.total_min) == (ruled.limit("cold_hold_max"), ruled.limit("cool_all_max"))


def test_an_edition_takes_the_cooling_of_the_one_it_is_based_on():
    assert [c.name for c in RULEBASE.under("uk_scotland").law_coolings()] == ["uk_cook_chill"]
    assert RULEBASE.under("us_food_code_2009").law_coolings() == ()


@pytest.mark.parametrize(("code", "cooling", "number"), STAGES, ids=NAMED)
def test_a_stage_at_its_time_passes_and_past_it_does_not(code, cooling, number, monkeypatch):
    # Alone, so that no other option of the same code takes the plan in.
    monkeypatch.setattr(type(RULEBASE), "law_coolings", lambda _: (cooling,))
    for longer, passes in ((-NEAR, True), (0.0, True), (NEAR, False)):
        found, fired = facts_of(fall(cooling, longer=longer, at=number), code)
        assert ("cool.code_stage" not in fired) == passes, (longer, found)
        assert found["code_cool_reached"] == "yes"
    assert found["code_cool_allowed"] == cooling.stages[number].minutes
    assert found["code_cool_took"] == pytest.approx(cooling.stages[number].minutes + NEAR, abs=0.02)
    assert (found["code_cool_from"], found["code_cool_to"]) == (
        cooling.stages[number].from_c,
        cooling.stages[number].to_c,
    )


@pytest.mark.parametrize(("code", "cooling"), JUDGED, ids=[cooling.name for _, cooling in JUDGED])
@pytest.mark.parametrize(("short", "passes"), [(-0.1, True), (0.0, True), (0.1, False)])
def test_a_fall_that_stops_a_tenth_of_a_degree_short_is_told(code, cooling, short, passes, monkeypatch):
    monkeypatch.setattr(type(RULEBASE), "law_coolings", lambda _: (cooling,))
    found, fired = facts_of(fall(cooling, stop_short=short), code)
    assert ("cool.code_end" not in fired) == passes, found
    assert found["code_cool_end"] == cooling.stages[-1].to_c


@pytest.mark.parametrize("name", ["uk_cook_chill", "fsis_option_2"])
def test_chilling_begins_in_time(name, monkeypatch):
    code, cooling = next((c, k) for c, k in JUDGED if k.name == name)
    monkeypatch.setattr(type(RULEBASE), "law_coolings", lambda _: (cooling,))
    for longer, passes in ((-NEAR, True), (0.0, True), (NEAR, False)):
        _, fired = facts_of(fall(cooling, wait=cooling.begin_min + longer), code)
        assert ("cool.code_start" not in fired) == passes, longer


def test_a_wait_does_not_shorten_the_ninety_minutes_but_a_longer_one_than_allowed_does():
    """UK: half an hour to begin, then an hour and a half, whatever the meat was at when it came off the heat."""
    cooling = next(k for _, k in JUDGED if k.name == "uk_cook_chill")
    for wait, passes in ((0.0, True), (30.0, True), (40.0, False)):
        found, fired = facts_of(fall(cooling, wait=wait), "uk")
        assert ("cool.code_stage" not in fired) == passes, (wait, found)
    assert found["code_cool_took"] == pytest.approx(100.0, abs=0.1)


def test_of_two_plant_options_one_met_is_enough():
    second = next(k for _, k in JUDGED if k.name == "fsis_option_2")
    # From 48.9 °C on: too slow for the first option's 1.5 h only when it has stood long before.
    slow = Walked(
        (
            leg(0, [(-30, 54.4), (0, 54.4)]),
            leg(1, [(0, 54.4), (1, 54.4)]),
            leg(2, [(1, 54.4), (60, 49.0), (119, 26.7), (400, 4.0)]),
        )
    )
    found, fired = facts_of(slow, "us_fsis")
    assert fired == set(), found
    assert found["code_cool_name"] == second.called


def test_at_home_and_under_the_model_code_nothing_more_is_asked():
    cooling = next(k for _, k in JUDGED if k.name == "uk_cook_chill")
    assert facts_of(fall(cooling, longer=60.0), "uk", setting="home")[1] == set()
    assert facts_of(fall(cooling, longer=60.0), "us_food_code_2022") == ({}, set())
    assert facts_of(fall(cooling), "uk", roles=("cook", "work", "cooked_hold"))[0] == {}


def test_a_slower_or_later_fall_is_never_judged_better():
    for code, cooling in JUDGED:
        last = (False, -1.0)
        for longer in (-20, -5, 0, 5, 20, 90):
            found, _ = facts_of(fall(cooling, longer=longer), code)
            now = (found["code_cool_reached"] == "no", found["code_cool_share"])
            assert now >= last, (cooling.name, longer)
            last = now


PLAN = """
code: {code}
piece: {{animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: {thick} mm, arrived: intact}}
guests: {{setting: work, vulnerable: no, advisory: no, approval: no, latex: no}}
steps:
  - {{do: bag}}
  - {{do: bath, at: 60 C, for: 10 h}}
  - {{do: ice, place: ice bath, for: {minutes} min}}
  - {{do: hold, place: fridge, at: 4 C, for: 10 h}}
  - {{do: serve}}
"""


@pytest.mark.parametrize(
    ("code", "thick", "minutes", "verdict"),
    [("us", 35, 100, "go"), ("uk", 35, 100, "change"), ("uk", 15, 100, "go"), ("anz", 35, 100, "go")],
)
def test_down_the_whole_road_the_chosen_code_decides(code, thick, minutes, verdict):
    """35 mm in ice water keeps the model code's six hours, and not the ninety minutes of UK cook-chill."""
    case = read_plan(PLAN.format(code=code, thick=thick, minutes=minutes), RULEBASE, NOW)
    report = examine(case, RULEBASE, "reference")
    fired = {f.rule.rule.id for f in report.inference.findings} & RULES
    assert (report.verdict, "cool.code_stage" in fired) == (verdict, verdict == "change")
