"""A hot pan to a probe as a way of working: what it is laid out to, and what comes of it along the road."""

from __future__ import annotations

from functools import cache

import pytest

from advisor.advice.build import build_plan
from advisor.case.model import Case, Given
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
PAN = "a hot pan or grill, to a probe"


@cache
def built(cut, want="pink", thickness=25.0, **more):
    piece = {"cut": cut, "animal": RULEBASE.cuts[cut].animal, "form": "steak", "weight": 900.0, "arrived": "intact"}
    piece |= {"thickness": thickness, "start_state": "fridge", "salt_target": 1.2}
    guests = {"want": want, "setting": "work", "vulnerable": "no", "latex": "no", "bath": "no", "pressure": "no"}
    for name, value in more.items():
        (guests if name in guests else piece)[name] = value
    return build_plan(
        Case({k: Given(v, "answered") for k, v in piece.items()}, {k: Given(v, "answered") for k, v in guests.items()}),
        (),
        RULEBASE,
    )


def panned(plan):
    found = [one for one in (plan.best, *plan.others, *plan.failed) if one.way.name == PAN]
    return found[0] if found else None


def core_of(option):
    pan = next(step for step in option.report.case.steps if step.action == "pan")
    return pan.number("until_core")


@pytest.mark.parametrize(
    ("cut", "more", "core"),
    [
        ("strip_loin", {}, 50.0),
        ("strip_loin", {"arrived": "pierced"}, 68.3),
        ("strip_loin", {"arrived": None}, 68.3),
        ("strip_loin", {"vulnerable": "some"}, 63.0),
        ("strip_loin", {"vulnerable": "facility"}, 63.0),
        ("lamb_loin", {}, 63.0),
        ("chicken_breast", {}, 74.0),
        ("strip_loin", {"want": "well_done"}, 74.0),
    ],
)
def test_what_is_not_a_closed_beef_steak_for_the_well_comes_out_hotter(cut, more, core):
    """Nobody knows whether it was pierced: it is laid out as if it had been."""
    option = panned(built(cut, **more))
    assert option.report.verdict == "go"
    assert core_of(option) >= core
    assert core_of(option) <= core + 1


def test_each_side_s_time_is_told_with_its_range():
    report = panned(built("strip_loin")).report
    index = next(i for i, step in enumerate(report.case.steps) if step.action == "pan")
    minutes = report.inference.facts.steps[index]["minutes"]
    assert minutes.origin == "computed"
    assert 0 < minutes.low < minutes.high


@pytest.mark.parametrize(
    ("cut", "thickness", "form"),
    [("strip_loin", 50.0, "steak"), ("chuck_roll", 25.0, "steak"), ("ribeye", 25.0, "roast")],
)
def test_no_pan_for_what_is_thick_or_tough(cut, thickness, form):
    assert panned(built(cut, thickness=thickness, form=form)) is None


def test_no_cuts_are_made_in_what_the_pan_leaves_pink():
    assert all(step.action != "score" for step in panned(built("inside_skirt", thickness=15.0)).report.case.steps)
