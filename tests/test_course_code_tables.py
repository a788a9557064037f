"""The cooking tables of the chosen food code, each row at, inside and outside, for the food it is printed for."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import numpy as np
import pytest

from advisor.advice.report import examine
from advisor.case.facts import Fact, FactSet
from advisor.case.read_plan import read_plan
from advisor.course.heating import OURS, table_facts
from advisor.course.official import rows, standing
from advisor.course.walk import Leg, Phase, Walked
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
# What of each class is tried, the fact that its table moves, and a heat that all our own tables pass at once.
FOODS = {
    "whole": ("animal: beef, form: steak", "whole_code"),
    "broken": ("animal: beef, form: steak, arrived: pierced", "broken"),
    "minced": ("animal: beef, form: minced", "broken"),
    "pork": ("animal: pork, form: roast", "whole"),
    "bird": ("animal: chicken, form: steak", "bird"),
    "wild": ("animal: wild_boar, form: roast", "wild"),
}


def of_their_own():
    for code in RULEBASE.codes.values():
        ruled = RULEBASE.under(code.id)
        for food in FOODS:
            law = ruled.law_tables(food)
            if food in code.cooking and not set(law) <= OURS:
                least = {}
                for row in sorted((r.f, _seconds(r)) for name in law for r in RULEBASE.tables[name].rows):
                    # Two tables with one heat: the shorter time is enough. Past a row of no time nothing is asked.
                    if min(least.values(), default=1.0) > 0:
                        least.setdefault(*row)
                for row in least.items():
                    yield pytest.param(code.id, food, *row, id=f"{code.id} {food} {row[0]:g} F")


def _seconds(row):
    return float(row.s if isinstance(row.s, float | int) else max(row.s))


def still(temp_c, seconds):
    core = np.full(2, temp_c)
    return Leg(0, np.array([0.0, seconds]), temp_c, core[:, None], core, core, core)


def held(code, food, fahrenheit, seconds):
    """Facts of a middle that lies at a temperature for so many seconds, and is cold before and after."""
    piece, name = FOODS[food]
    text = f"piece: {{{piece}, weight: 1 kg, thickness: 20 mm}}\nsteps: [{{do: serve}}]\n"
    case = read_plan(text, RULEBASE, NOW)
    walked = Walked((still((fahrenheit - 32) / 1.8, seconds),))
    course = SimpleNamespace(cold_start=(walked,))
    facts = table_facts(case, course, (Phase(0, 0, 0, frozenset({0})),), RULEBASE.under(code))
    return {key.removeprefix(f"{name}_"): value for key, value in facts.items() if key.startswith(f"{name}_")}


@pytest.mark.parametrize(("code", "food", "fahrenheit", "seconds"), list(of_their_own()))
def test_a_row_of_a_codes_own_table(code, food, fahrenheit, seconds):
    """Met at its time and past it, not a second short of it; what the plan is told is never better than that."""
    ruled = RULEBASE.under(code)
    table = rows(ruled.law_tables(food), ruled)
    own = max(row.temp_c for row in table if row.temp_c <= (fahrenheit - 32) / 1.8 + 1e-9)
    short = (own, seconds - 1) if seconds else (own - 0.1, 0)
    for temp, span, passes in ((own, seconds, True), (own, seconds + 1, True), (*short, False)):
        walked = Walked((still(temp, span),))
        asked = standing((walked,), (Phase(0, 0, 0, frozenset({0})),), table).share
        told = held(code, food, temp * 1.8 + 32, span)["share"]
        assert (asked >= 1) == passes
        assert told <= asked + 1e-9


@pytest.mark.parametrize(
    ("code", "food", "celsius", "minutes", "passes"),
    [
        # UK: whole pork is cooked through by 70 °C for 2 min or its equals; our roast table alone asks 12 min at 60 °C.
        ("uk", "pork", 60, 44.9, False),
        ("uk", "pork", 60, 45, True),
        ("us_food_code_2022", "pork", 60, 12, True),
        # What is pierced, injected, rolled or minced takes the longer times of the burger report.
        ("uk", "broken", 65, 10, False),
        ("uk", "broken", 65, 13.5, False),
        ("uk", "broken", 65, 13.6, True),
        ("uk", "minced", 60, 92.9, False),
        ("uk", "minced", 60, 93, True),
        ("uk", "broken", 75, 0.29, False),
        ("uk", "broken", 75, 0.3, True),
        # A peak of 165 °F passes game in the model code of today; the UK wants it held.
        ("us_food_code_2022", "wild", 74, 0, True),
        ("uk", "wild", 74, 0.1, False),
        ("uk", "wild", 74, 2, True),
        ("us_food_code_2013", "wild", 74, 0.24, False),
        ("us_food_code_2013", "wild", 74, 0.25, True),
        # Canada: pork at 71 °C, beef at 63 °C, in the middle.
        ("canada", "pork", 70.8, 60, False),
        ("canada", "pork", 71, 0, True),
        ("canada", "whole", 62.8, 60, False),
        ("canada", "whole", 63, 0, True),
        # Before 2005 the roast table began at 121 min.
        ("us_food_code_1999", "whole", 54.4445, 120.9, False),
        ("us_food_code_1999", "whole", 54.4445, 121, True),
    ],
)
def test_a_food_under_a_code(code, food, celsius, minutes, passes):
    assert (held(code, food, celsius * 1.8 + 32, minutes * 60)["share"] >= 1) == passes


def test_the_uk_has_no_table_for_whole_beef_and_lamb():
    """Their outside is cooked; our own roast table holds beside, as it does everywhere."""
    uk = RULEBASE.under("uk")
    assert uk.law_tables("whole") == ()
    assert "share" not in held("uk", "whole", 140, 60)
    named = {name for p in RULEBASE.codes["uk"].provisions if "Rare steaks" in p.section for name in p.by}
    assert {"cook.whole_steak", "surface_cook"} <= named


def test_whole_pork_is_looked_up_by_the_animal_and_not_by_the_cut():
    for animal, passes in (("pork", False), ("lamb", True)):
        text = f"piece: {{animal: {animal}, form: roast, weight: 1 kg, thickness: 20 mm}}\nsteps: [{{do: serve}}]\n"
        case = read_plan(text, RULEBASE, NOW)
        walked = Walked((still(60.0, 1200.0),))
        facts = table_facts(
            case, SimpleNamespace(cold_start=(walked,)), (Phase(0, 0, 0, frozenset({0})),), RULEBASE.under("uk")
        )
        assert (facts["whole_share"] >= 1) == passes, animal


STEAK = """
code: {code}
piece: {{animal: beef, cut: sirloin flap, form: steak, weight: 1 kg, thickness: 25 mm, arrived: intact}}
guests: {{setting: {setting}, vulnerable: no, advisory: no, approval: no, latex: no}}
steps: [{{do: dry}}, {{do: pan, for: 4 min}}, {{do: serve}}]
"""


@pytest.mark.parametrize(
    ("code", "setting", "fires"),
    [
        ("us", "work", False),
        ("uk", "work", False),
        ("eu", "work", False),
        ("canada", "work", True),
        ("home", "home", True),
    ],
)
def test_a_rare_steak_down_the_whole_road(code, setting, fires):
    text = STEAK.format(code=code, setting=setting)
    report = examine(read_plan(text, RULEBASE, NOW), RULEBASE, "reference")
    assert ("cook.steak_code" in {f.rule.rule.id for f in report.inference.findings}) == fires
    assert report.verdict == ("change" if fires else "go")


def test_game_under_two_codes_the_strictest_is_held_and_shown():
    """The heat of the model code and the hold of the UK: both rules look, each with its own figures."""
    facts = {
        "piece": {"cook_class": "wild"},
        "course": {"has_cook": "yes", "core_peak": 74.0, "wild_share": 0.5, "wild_row": 70.0, "wild_needs": 2.0},
    }
    sets = {s: {n: Fact(s, n, v, "written") for n, v in values.items()} for s, values in facts.items()}
    told = infer(RULEBASE.under("uk"), FactSet(**sets), engine="reference").findings
    found = next(f for f in told if f.rule.rule.id == "cook.wild_table")
    assert "70" in found.says
    assert "cook.wild" not in {f.rule.rule.id for f in told}
    assert RULEBASE.under("uk").beside("wild_min")[0].figure.value == 73.9
