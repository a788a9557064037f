"""How long a whole bird thaws, against the official table; and that what is unsure, or not thawed, gets none of it."""

from __future__ import annotations

from datetime import datetime

import pytest

from advisor.advice.report import examine
from advisor.case.complete import complete
from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.course.ends import counts_as_hollow
from advisor.course.thawing import thaw_minutes
from advisor.knowledge import load_rulebase
from advisor.units import read_quantity

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
HOUR = 60.0
ROAST = "{do: oven, place: oven without a fan, at: 165 C, until_core: 75 C}"


def text(weight="6 kg", steps="{do: thaw, place: fridge, at: 4 C, for: 110 h}, " + ROAST, **other):
    bird = {"animal": "turkey", "cut": "whole turkey", "form": "roast", "weight": weight, "bone": '"yes"'}
    bird |= {"stuffing": "none", "start_state": "frozen", **other}
    if "thickness" not in bird:
        kilos = read_quantity(weight, "mass", name="weight").value / 1000
        bird["thickness"] = f"{RULEBASE.parameter('bird_height_mm') * kilos ** (1 / 3):.0f} mm"
    said = ", ".join(f"{name}: {value}" for name, value in bird.items() if value)
    return f'piece: {{{said}}}\nguests: {{setting: home, vulnerable: "no"}}\nsteps: [{steps}, {{do: serve}}]\n'


def case(*args, **other):
    return complete(read_plan(text(*args, **other), RULEBASE, NOW), RULEBASE)


def fact(name, *args, **other):
    return course_facts(read_plan(text(*args, **other), RULEBASE, NOW), RULEBASE).facts.course[name]


# USDA FSIS, Turkey Basics: Safe Thawing, a whole turkey in a fridge at 40 °F or below (the leaflet and its quotations):
# the heaviest of each row, and the most days of that row.
TABLE = [("12 lb", 3), ("16 lb", 4), ("20 lb", 5), ("24 lb", 6)]


@pytest.mark.parametrize(("weight", "days"), TABLE)
def test_a_thaw_in_the_fridge_is_planned_no_shorter_than_the_official_table(weight, days):
    hours = thaw_minutes(case(weight), RULEBASE) / HOUR
    assert hours >= 24 * days
    # Nor so much longer that nobody would do it: a solid piece as high as the bird takes twice as long.
    assert hours <= 24 * (days + 2)


@pytest.mark.parametrize("pounds", [3, 5, 8, 12, 16, 20, 24])
def test_a_thaw_in_water_is_planned_no_shorter_than_half_an_hour_a_pound(pounds):
    water = "{do: thaw, place: running water, at: 15 C, for: 12 h}"
    kind = {} if pounds > 6 else {"animal": "chicken", "cut": "whole chicken"}
    assert thaw_minutes(case(f"{pounds} lb", f"{water}, {ROAST}", **kind), RULEBASE) >= 30 * pounds


@pytest.mark.parametrize(
    ("steps", "hollow"),
    [
        ("{do: thaw, place: fridge, at: 4 C, for: 110 h}, " + ROAST, True),
        ("{do: thaw, place: running water, at: 15 C, for: 12 h}, " + ROAST, True),
        # Straight into the heat, frozen again, or thawed when it is too late: ice may fill the hollow.
        (ROAST, False),
        ("{do: hold, place: fridge, for: 110 h}, " + ROAST, False),
        (ROAST + ", {do: thaw, place: fridge, for: 110 h}", False),
        ("{do: thaw, place: fridge, for: 110 h}, {do: hold, place: freezer, at: -18 C, for: 24 h}, " + ROAST, False),
    ],
)
def test_a_frozen_bird_is_hollow_only_once_it_has_thawed(steps, hollow):
    assert counts_as_hollow(case(steps=steps), RULEBASE) is hollow


@pytest.mark.parametrize("unsure", [{"stuffing": "inside"}, {"stuffing": ""}, {"bone": "not known"}, {"bone": '"no"'}])
def test_an_unsure_bird_thaws_as_a_solid_piece(unsure):
    assert thaw_minutes(case(**unsure), RULEBASE) > 1.5 * thaw_minutes(case(), RULEBASE)


@pytest.mark.parametrize(("hours", "left"), [(60, "yes"), (120, "no")])
def test_a_thaw_that_is_too_short_leaves_ice(hours, left):
    steps = f"{{do: thaw, place: fridge, at: 4 C, for: {hours} h}}, {ROAST}"
    assert fact("still_frozen", "6 kg", steps).value == left


def test_days_after_the_thaw_count_from_its_official_end():
    thawed = "{do: thaw, place: fridge, at: 4 C, for: 110 h}, "
    days = "{{do: hold, place: fridge, at: 4 C, for: {} h}}, "
    verdicts = [
        examine(read_plan(text("6 kg", thawed + days.format(hours) + ROAST), RULEBASE, NOW), RULEBASE, "reference")
        for hours in (1, 24)
    ]
    late = {finding.rule.rule.id for finding in verdicts[1].problems}
    assert "hold.fridge_days_small" not in {finding.rule.rule.id for finding in verdicts[0].problems}
    assert "hold.fridge_days_small" in late


def test_a_heavier_bird_thaws_no_sooner_and_a_thicker_one_neither():
    by_weight = [thaw_minutes(case(f"{kilos} kg"), RULEBASE) for kilos in (4, 5, 6, 8, 10, 11)]
    by_height = [thaw_minutes(case(thickness=f"{mm} mm"), RULEBASE) for mm in (100, 150, 180, 220)]
    assert by_weight == sorted(by_weight)
    assert by_height == sorted(by_height)


@pytest.mark.parametrize("hours", [95, 103, 130])
def test_a_fridge_of_which_nobody_read_the_heat_thaws_no_sooner_than_a_usual_one(hours):
    thaws = [f"{{do: thaw, place: fridge, {at}for: {hours} h}}, {ROAST}" for at in ("", "at: 4 C, ")]
    unread, usual = (fact("still_frozen", "6 kg", steps).value for steps in thaws)
    assert unread == usual
    assert fact("thaw_needs", "6 kg", thaws[0]).high >= fact("thaw_needs", "6 kg", thaws[1]).high
