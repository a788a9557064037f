"""Beside a finding that rests on a cooking table stands the code of today whose own table asks most there.

The figures are those of the tables in rulebase/codes: Canada pork and minced 71 °C, beef 63 °C, poultry pieces 74 °C;
US advice for homes minced 160 °F; UK 60 °C for 93 min (burger report), 70 °C for 2 min.
"""

from __future__ import annotations

from datetime import datetime

import pytest

from advisor.advice.report import examine
from advisor.case.read_plan import read_plan
from advisor.show.table_law import table_line

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
PLAN = (
    "piece: {{animal: {animal}, cut: {cut}, form: {form}, weight: 1 kg, thickness: 20 mm, arrived: {arrived}}}\n"
    "guests: {{setting: work, vulnerable: no, advisory: no, approval: no, latex: no}}\n"
    "steps: [{{do: bath, place: water bath, at: {heat} C, for: {time}}}, {{do: serve}}]\n"
)


def beside(rule, book, **plan):
    """The line beside one rule's finding, under one state of the rulebase."""
    report = examine(read_plan(PLAN.format(**plan), book, NOW), book, "reference")
    found = next(f for f in report.inference.findings if f.rule.rule.id == rule)
    return table_line(found, report, book)


BURGER = {"animal": "beef", "cut": "chuck", "form": "minced", "arrived": "intact"}
CHOP = {"animal": "pork", "cut": "pork loin", "form": "steak", "arrived": "intact"}
PIERCED = {"animal": "beef", "cut": "flank steak", "form": "steak", "arrived": "pierced"}


@pytest.mark.parametrize(
    ("code", "rule", "plan", "says"),
    [
        ("us_food_code_2022", "cook.broken", {**BURGER, "heat": 58, "time": "40 min"}, "nothing below 71.1 °C"),
        (
            "us_food_code_2022",
            "cook.whole",
            {**CHOP, "heat": 58, "time": "20 min"},
            "Canada, where nothing below 71 °C",
        ),
        ("canada", "cook.whole", {**CHOP, "heat": 58, "time": "20 min"}, "US advice for homes"),
        ("us_food_code_2022", "cook.broken", {**PIERCED, "heat": 61, "time": "12 min"}, "nothing below 6"),
        ("strictest", "cook.whole", {**CHOP, "heat": 58, "time": "20 min"}, ""),
    ],
)
def test_the_table_that_asks_most_stands_beside_a_finding(code, rule, plan, says, rulebase):
    line = beside(rule, rulebase.under(code), **plan)
    assert says in line
    assert bool(line) == bool(says)


def test_a_code_that_prints_the_row_is_named_with_its_time(rulebase):
    """At 70 °C the UK holds poultry for two minutes; nobody prints a longer time there but Canada, which has no row."""
    plan = {"animal": "chicken", "cut": "chicken breast", "form": "roast", "arrived": "intact", "heat": 75}
    line = beside("cook.bird", rulebase, **plan, time="8 min")
    assert "Strictest elsewhere" in line


def test_a_finding_that_rests_on_no_table_has_no_such_line(rulebase):
    plan = {**CHOP, "heat": 53, "time": "5 h"}
    assert beside("cook.low_bath", rulebase, **plan) == ""
