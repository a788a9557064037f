"""The best way for common cuts, held against what a good working cook would do: common practice, no source.

Each row: the cut, its form and thickness [mm], how it should eat, the tools, and the heat of the best way; several
where cooks differ.
"""

from __future__ import annotations

import pytest

from advisor.advice.build import build_plan
from advisor.advice.schedule import checks
from advisor.case.model import Case, Given
from advisor.knowledge import load_rulebase
from advisor.show.planned import other_lines

RULEBASE = load_rulebase()
EXPECTED = [
    ("flank_steak", "steak", 20, "pink", "", ("pan",)),
    ("flank_steak", "steak", 20, "thin_quick", "", ("quick_sear",)),
    ("outside_skirt", "steak", 15, "pink", "bath", ("pan",)),
    ("chuck_roll", "roast", 80, "fall_apart", "", ("braise",)),
    ("chuck_roll", "roast", 80, "pink", "bath", ("low_bath",)),
    ("chuck_roll", "cubes", 30, "fall_apart", "pressure", ("braise", "pressure")),
    ("boston_butt", "roast", 100, "fall_apart", "", ("braise",)),
    ("pork_loin", "steak", 25, "pink", "", ("pan",)),
    ("pork_loin", "steak", 5, "well_done", "", ("pan",)),
    ("pork_loin", "roast", 80, "well_done", "", ("roast",)),
    ("chicken_breast", "steak", 25, "well_done", "", ("pan",)),
    ("chicken_breast", "steak", 25, "well_done", "bath", ("low_bath", "pan")),
    ("chicken_thigh", "steak", 25, "well_done", "", ("pan", "roast")),
    ("lamb_shank", "roast", 60, "fall_apart", "bath", ("braise",)),
    ("duck_breast", "steak", 25, "pink", "", ("pan",)),
    ("turkey_breast", "roast", 90, "well_done", "", ("roast",)),
    ("goat_shoulder", "roast", 80, "fall_apart", "", ("braise",)),
    ("venison_haunch", "steak", 20, "pink", "", ("pan",)),
    ("beef_tenderloin", "steak", 35, "pink", "", ("pan", "roast")),
    ("ribeye", "steak", 45, "pink", "", ("roast",)),
    ("ribeye", "steak", 38, "pink", "", ("pan", "roast")),
    ("chuck_roll", "minced", 20, "well_done", "", ("pan",)),
    ("chuck_roll", "minced", 20, "thin_quick", "", ("pan",)),
    ("chuck_roll", "minced", 60, "well_done", "pressure", ("roast",)),
    ("chuck_roll", "minced", 20, "fall_apart", "", ("braise",)),
    ("calf_liver", "slices", 12, "well_done", "", ("pan",)),
]


def built(cut, form, thickness, want, tools):
    piece = {"animal": RULEBASE.cuts[cut].animal, "cut": cut, "form": form, "thickness": float(thickness)}
    piece |= {"weight": 1200.0, "start_state": "fridge", "arrived": "intact", "salt_target": 1.2}
    guests = {"want": want, "setting": "home", "vulnerable": "no", "latex": "no"}
    guests |= {tool: "yes" if tool == tools else "no" for tool in ("bath", "pressure", "blade_tool", "injector")}
    said = Case(
        {k: Given(v, "answered") for k, v in piece.items()}, {k: Given(v, "answered") for k, v in guests.items()}
    )
    return build_plan(said, (), RULEBASE)


@pytest.mark.parametrize("row", EXPECTED, ids=lambda row: "-".join(map(str, row[:5])))
def test_the_best_way_is_one_that_a_good_cook_would_take(row):
    *what, heats = row
    best = built(*what).best
    assert best.report.verdict == "go"
    assert best.way.heat in heats


def test_slices_for_a_fast_sear_are_thin_enough_to_be_fast():
    for cut in ("chicken_breast", "flank_steak"):
        steps = built(cut, "steak", 25, "thin_quick", "").best.report.case.steps
        assert next(step.number("slice_thickness") for step in steps if step.action == "slice") <= 5
        assert next(step.number("minutes") for step in steps if step.action == "pan") <= 5


def test_what_cannot_be_pink_without_a_bath_is_said_and_comes_last():
    plan = built("chuck_roll", "roast", 80, "pink", "")
    assert any("brown all through" in line for line in other_lines(plan, RULEBASE))
    assert plan.best.score.brown_c > RULEBASE.limit("pink_most")
    duck = built("duck_breast", "steak", 25, "pink", "bath")
    assert duck.best.way.heat == "low_bath"
    assert duck.best.score.brown_c is None


def test_mince_is_salted_just_before_the_heat():
    steps = built("chuck_roll", "minced", 20, "well_done", "").best.report.case.steps
    assert [step.number("minutes") for step in steps if step.action == "salt"] == [0.0]


@pytest.mark.parametrize(
    ("cut", "form", "want", "action", "does"),
    [
        ("pork_spareribs", "roast", "fall_apart", "pull_to_shreds", False),
        ("boston_butt", "roast", "fall_apart", "pull_to_shreds", True),
        ("chicken_drumstick", "roast", "well_done", "slice", False),
        ("turkey_breast", "roast", "well_done", "slice", True),
    ],
)
def test_what_goes_to_the_plate_on_its_bone_is_neither_pulled_nor_sliced(cut, form, want, action, does):
    steps = built(cut, form, 40, want, "").best.report.case.steps
    assert any(step.action == action for step in steps) is does


def test_pink_that_goes_while_it_rests_is_said():
    duck = built("duck_breast", "steak", 25, "pink", "bath")
    assert any("still rises while it rests" in line for line in other_lines(duck, RULEBASE))
    steak = built("strip_loin", "steak", 25, "pink", "")
    assert not any("pink" in line for line in other_lines(steak, RULEBASE))
    done = built("strip_loin", "steak", 25, "well_done", "")
    assert not any("pink" in line for line in other_lines(done, RULEBASE))


def test_a_fast_sear_of_slices_counts_with_the_rest_where_nothing_else_is_pink_either():
    tough = built("chuck_roll", "steak", 25, "pink", "")
    assert not any(option.way.aside for option in tough.ordered)
    assert tough.best.way.heat == "quick_sear"
    assert any("brown all through" in line for line in other_lines(tough, RULEBASE))
    # Where another way is pink, the slices are only offered.
    bathed = built("chuck_roll", "steak", 25, "pink", "bath")
    assert [option.way.heat for option in bathed.ordered if option.way.aside] == ["quick_sear", "braise"]


@pytest.mark.parametrize(("thickness", "together"), [(9.0, True), (10.0, False)])
def test_what_is_too_thin_for_a_probe_is_probed_some_pieces_together(thickness, together):
    report = built("pork_loin", "steak", thickness, "well_done", "").best.report
    assert ["held together" in check.limit for check in checks(report, RULEBASE)] == [together]


def test_a_mend_keeps_the_probe_where_it_can():
    oven = next(one for one in built("pork_loin", "steak", 25, "pink", "").ordered if one.way.heat == "roast")
    assert "until_core" in next(step for step in oven.report.case.steps if step.action == "oven").given


def test_a_brine_that_has_no_time_to_salt_comes_behind_salt_by_weight():
    """Common practice, no source: a bird is not brined for an hour, it is salted."""
    piece = {"animal": "turkey", "cut": "whole_turkey", "form": "roast", "weight": 5400.0, "start_state": "frozen"}
    piece |= {"arrived": "intact", "salt_target": 1.2, "stuffing": "none", "bone": "yes", "thickness": 149.0}
    guests = {"want": "well_done", "setting": "home", "vulnerable": "no", "latex": "no", "bath": "no"}
    given = [{k: Given(v, "answered") for k, v in one.items()} for one in (piece, guests)]
    best = build_plan(Case(*given), (), RULEBASE).best
    assert best.report.verdict == "go"
    assert best.report.computed.salt.pct >= 1.2
