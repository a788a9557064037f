"""A pressure cooker in a plan: coming up and the drop have their time, none of their heat counts, and it is safe."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

from advisor.advice.build import build_plan
from advisor.advice.report import examine
from advisor.advice.schedule import checks, schedule
from advisor.case.model import Case, Given
from advisor.case.read_plan import read_plan
from advisor.case.write_plan import write_plan
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
POT = ["pressure_up", "braise", "pressure_drop"]
# What safety rests on: more of these is worse, and less of those.
WORSE = ("warm_raw_minutes", "raw_growth_log", "raw_growth_inside_log", "staph_growth_log", "come_up_core")
# The outside may be a hair warmer, as after any wait in a room: it starts the cook less cold.
BETTER = ("kill_share", "whole_share", "core_peak")


@cache
def planned():
    said = {"animal": "beef", "cut": "hindshank", "form": "cubes", "arrived": "intact", "start_state": "fridge"}
    sizes = {"weight": 2000.0, "thickness": 40.0, "salt_target": 1.2}
    guests = {"setting": "work", "vulnerable": "no", "want": "fall_apart", "bath": "no", "pressure": "yes"}
    case = Case(
        {name: Given(value, "answered") for name, value in (said | sizes).items()},
        {name: Given(value, "answered") for name, value in guests.items()},
    )
    return build_plan(case, (), RULEBASE).report


def actions(report):
    return [step.action for step in report.case.steps]


def test_coming_up_and_the_drop_have_their_time():
    report = planned()
    first = actions(report).index("pressure_up")
    assert actions(report)[first : first + 3] == POT
    slots = schedule(report, RULEBASE)
    lengths = [slots[first + n].end - slots[first + n].start for n in (0, 2)]
    assert lengths == [RULEBASE.limit("plan_pressure_up"), RULEBASE.limit("plan_pressure_drop")]


def test_none_of_their_heat_counts_and_safety_is_never_better_for_them():
    report = planned()
    bare = replace(report.case, steps=tuple(s for s in report.case.steps if s.action not in (POT[0], POT[2])))
    with_it, without = (examine(case, RULEBASE).computed.facts.course for case in (report.case, bare))
    for name in WORSE:
        assert (with_it[name].value or 0.0) >= (without[name].value or 0.0) - 1e-9, name
    for name in BETTER:
        assert with_it[name].value <= without[name].value + 1e-9, name
    assert with_it["warm_raw_minutes"].value == without["warm_raw_minutes"].value + RULEBASE.limit("plan_pressure_up")
    # While it comes up it counts as lying in a hot room, and this is said.
    assert any("no heat was counted while the pot comes up" in sentence for sentence in report.assumed)


def test_the_caution_on_steam_stands_where_the_lid_is_opened_and_the_probe_is_read_there():
    report = planned()
    drop = actions(report).index("pressure_drop")
    told = {f.rule.rule.id: f for f in report.of_step(drop)}
    assert "Never force it." in told["practice.pressure_drop"].caution[2]
    assert "practice.pressure" not in {f.rule.rule.id for f in report.inference.findings}
    assert [check.step for check in checks(report, RULEBASE)] == [drop]
    # A plan without that step still warns, at the braise.
    bare = examine(replace(report.case, steps=tuple(s for s in report.case.steps if s.action != POT[2])), RULEBASE)
    assert "practice.pressure" in {f.rule.rule.id for f in bare.of_step(drop - 1)}


def test_the_plan_is_the_same_as_a_file():
    report = planned()
    again = examine(read_plan(write_plan(report.case, RULEBASE), RULEBASE, NOW), RULEBASE)
    assert (again.verdict, actions(again)) == (report.verdict, actions(report)) == ("go", actions(report))
