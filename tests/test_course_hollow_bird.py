"""A whole bird that is known to hold nothing is reckoned as hollow; anything unsure stays a solid piece, or worse."""

from datetime import datetime

import pytest

from advisor.advice.report import examine
from advisor.case.complete import assumptions, complete
from advisor.case.read_plan import read_plan
from advisor.course import walk
from advisor.course.ends import counts_as_hollow, ends, if_hollow
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
BIRD = {
    "animal": "turkey",
    "cut": "whole turkey",
    "form": "roast",
    "weight": "6 kg",
    "thickness": "150 mm",
    "bone": '"yes"',
    "stuffing": "none",
    "start_state": "fridge",
}
ROAST = "{do: oven, place: oven without a fan, at: 165 C, until_core: 75 C}"
RANK = {"go": 0, "change": 1, "ask": 2, "stop": 3}


def case(step=ROAST, **other):
    said = ", ".join(f"{name}: {value}" for name, value in {**BIRD, **other}.items() if value)
    text = f'piece: {{{said}}}\nguests: {{setting: home, vulnerable: "no"}}\nsteps:\n  - {step}\n  - {{do: serve}}\n'
    return complete(read_plan(text, RULEBASE, NOW), RULEBASE)


def hollow(**other):
    return counts_as_hollow(case(**other), RULEBASE)


def slow_mm(**other):
    return ends(case(**other), RULEBASE)[0].sides_mm[0]


def test_a_bird_that_is_not_stuffed_is_reckoned_by_a_share_of_its_height():
    share, off = RULEBASE.meat["hollow_bird_share"], RULEBASE.parameter("thickness_reading_mm")
    slow, typical, fast = ends(case(thickness="200 mm"), RULEBASE)
    assert slow.sides_mm == (pytest.approx(200 * share.high + off),)
    assert typical.sides_mm == (pytest.approx(200 * share.value),)
    assert fast.sides_mm == (pytest.approx(200 * share.low - off),)
    assert hollow(stuffing="apart")


@pytest.mark.parametrize(
    "unsure",
    [
        {"stuffing": ""},
        {"stuffing": "not known"},
        {"stuffing": "inside"},
        {"weight": ""},
        {"weight": "3 kg"},  # lighter than such a bird is sold: it may be a part of one
        {"bone": '"no"'},
        {"bone": "not known"},
        {"shape": "rolled"},
        {"start_state": "frozen"},
        {"cut": "turkey breast"},
        {"step": "{do: hold, place: freezer, at: -18 C, for: 24 h}"},
    ],
)
def test_whatever_is_unsure_is_a_solid_piece(unsure):
    assert not hollow(**unsure)
    assert slow_mm(**unsure) >= 150 > slow_mm()


def test_thicker_and_heavier_are_never_thinner():
    by_height = [slow_mm(thickness=f"{mm} mm") for mm in (60, 120, 154, 160, 240)]
    by_weight = [slow_mm(weight=f"{kg} kg") for kg in (3.6, 5, 6, 8, 12)]
    assert by_height == sorted(by_height)
    assert by_weight == sorted(by_weight)
    usual = RULEBASE.parameter("bird_height_mm") * 6 ** (1 / 3)
    assert by_height[0] == pytest.approx(usual * RULEBASE.meat["hollow_bird_share"].high + 2)


def test_a_bird_that_may_be_hollow_counts_at_the_worse_of_both():
    stuffed = case(stuffing="inside")
    assert if_hollow(stuffed, RULEBASE) == ends(case(), RULEBASE)
    assert if_hollow(case(), RULEBASE) == ()
    course, plain = walk(stuffed, RULEBASE), walk(case(), RULEBASE)
    sure = {tuple(walked.centre()) for walked in plain.all}
    assert sure <= {tuple(walked.centre()) for walked in course.ends}
    cold = {tuple(walked.centre()) for walked in plain.cold_start}
    assert cold <= {tuple(walked.centre()) for walked in course.cold_start}
    assert {tuple(w.centre()) for w in plain.cold_probe} <= {tuple(w.centre()) for w in course.cold_probe}


def test_a_feast_days_turkey_may_be_roasted_and_the_same_bird_stuffed_may_not():
    plain, stuffed = examine(case(), RULEBASE), examine(case(stuffing="inside"), RULEBASE)
    assert plain.verdict == "go"
    assert RANK[stuffed.verdict] > RANK[plain.verdict]
    assert "hold.staph_inside" in [finding.rule.rule.id for finding in stuffed.problems]
    told = [[finding.rule.rule.id for finding in one.inference.findings] for one in (plain, stuffed)]
    assert ["heat.hollow_bird" in ids for ids in told] == [True, False]
    assert ["heat.solid_bird" in ids for ids in told] == [False, True]


def test_a_height_that_nobody_measured_is_the_most_for_a_bird_of_its_weight():
    usual, most = RULEBASE.parameter("bird_height_mm"), RULEBASE.parameter("bird_height_most")
    unread = case(thickness="")
    assert unread.number("piece", "thickness") == pytest.approx(usual * 6 ** (1 / 3) * most)
    assert any("height of a bird of its weight" in note for note in assumptions(unread))
    # No lower than any that a ruler would read on such a bird, at the slow end, and no higher at the fast end.
    slow, _, fast = ends(unread, RULEBASE)
    for height in (usual * 6 ** (1 / 3), usual * 6 ** (1 / 3) * most):
        told = ends(case(thickness=f"{height} mm"), RULEBASE)
        assert slow.sides_mm >= told[0].sides_mm
        assert fast.sides_mm <= told[2].sides_mm
    heavy = [case(thickness="", weight=f"{kilos} kg").number("piece", "thickness") for kilos in (4, 6, 9, 12, 30)]
    assert heavy == sorted(heavy)
    # What weighs more than one such bird is more than one.
    assert heavy[-1] <= max(RULEBASE.cuts["whole_turkey"].thickness_mm)


@pytest.mark.parametrize(
    "unsure",
    [
        {"stuffing": "inside"},
        {"stuffing": ""},
        {"weight": ""},
        {"weight": "3 kg"},
        {"bone": '"no"'},
        {"bone": "not known"},
    ],
)
def test_a_height_that_nobody_measured_of_an_unsure_bird_is_the_most_that_is_usual(unsure):
    assert case(thickness="", **unsure).number("piece", "thickness") == max(RULEBASE.cuts["whole_turkey"].thickness_mm)
