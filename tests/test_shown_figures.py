"""What a page says of its figures: no impossible doubt, check, or range."""

from __future__ import annotations

import io
from datetime import datetime

import pytest
from rich.console import Console

from advisor.advice.report import examine
from advisor.case.words.reader import read_words
from advisor.knowledge import load_rulebase
from advisor.show.page import Page
from advisor.units import write_range

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a kitchen's clock
SAID = "intact, from the fridge, at home, nobody vulnerable"


def checked(words):
    return examine(read_words(words, RULEBASE, NOW), RULEBASE, "reference")


def page(words):
    """Give the verdict, and what the page says of a plan in one line."""
    report = checked(words)
    out = io.StringIO()
    Page(Console(file=out, width=100), RULEBASE).report(report, (), NOW)
    return report.verdict, " ".join(out.getvalue().split())


def test_growth_past_what_meat_can_carry_is_doubted_without_a_figure():
    """The sentence says 8 powers of ten at most; the doubt named the 25.4 that the sum without an end came to."""
    doubts = [
        doubt
        for one in checked(f"pork leg 15 cm thick, bath at 52 C for 20 h, {SAID}").problems
        for doubt in one.doubts
    ]
    grown = [doubt for doubt in doubts if "powers of ten" in doubt]
    assert grown
    assert not [doubt for doubt in grown if "lies outside" in doubt]
    assert all(
        doubt.endswith("numbers level off at about 6 powers of ten; more means as many as the meat can carry")
        for doubt in grown
    )


def test_a_question_that_was_not_settled_ends_with_one_stop():
    _, text = page(f"brisket 4 kg, oven at 110 C for 10 h, {SAID}")
    assert "both together?" in text
    assert "?." not in text


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [(0, 480, "up to 8 h"), (0.2, 0.6, "12 s to 36 s"), (0, 0, "0 min"), (5, 480, "5 min to 8 h")],
)
def test_a_range_of_time_from_nothing_names_its_end(low, high, text):
    assert write_range(low, high, "time", "metric") == text


def test_a_rule_of_thickness_names_no_law_of_the_cold():
    """It reads the cold line only to see whether the meat is still warm."""
    _, text = page(f"pork shoulder 8 cm thick, braise for 4 h, cool in the fridge for 12 h, {SAID}")
    told = text.split("goes straight into the fridge")[-1].split("[cool.fridge_thick]")[0]
    assert "4 °C" not in told
    assert "[cool.fridge_thick]" in text
