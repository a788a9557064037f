"""What a pan is worth for the middle: each face by itself, and no rise that comes of resting."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.case.complete import complete
from advisor.case.model import Case, Given, PlanStep
from advisor.course import course_facts, walk
from advisor.course.ends import ends
from advisor.course.piece import piece
from advisor.course.surroundings import surface_h, surroundings
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()


def step(action, **values):
    return PlanStep(action, {n: Given(float(v) if isinstance(v, int | float) else v) for n, v in values.items()}, ())


def plan(thickness, *steps, animal="chicken", **piece):
    whole = {
        "animal": animal,
        "cut": "unknown_cut",
        "form": "steak",
        "arrived": "intact",
        "weight": 1000.0,
        "thickness": float(thickness),
        "start_state": "fridge",
    } | piece
    guests = {"setting": "work", "vulnerable": "no", "advisory": "no", "approval": "yes", "latex": "no"}
    return Case({k: Given(v) for k, v in whole.items()}, {k: Given(v) for k, v in guests.items()}, steps)


def course(case):
    return course_facts(case, RULEBASE).facts.course


def findings(case):
    found = infer(RULEBASE, course_facts(case, RULEBASE).facts, engine="reference").findings
    return {one.rule.rule.id for one in found if one.verdict != "go"}


def test_a_thin_bird_that_the_pan_alone_cooks_is_heated_one_face_at_a_time():
    """Ten millimetres, six minutes a side.

    By small steps in time, 12 mm at 250 W/m2K and 100 °C below, 30 W/m2K and 20 °C above, from 3 °C: of all places the
    one with the lowest peak comes to 59.8 °C, and the least kill of Salmonella is 0.07 of seven powers of ten. With
    heat from both sides at once for six minutes it came to 76 °C and passed.
    """
    found = course(plan(10, step("dry"), step("pan", minutes=6, sides=2), step("serve")))
    assert found["core_peak"].value == pytest.approx(59.8, abs=0.6)
    assert found["kill_share"].value <= 0.07


@pytest.mark.parametrize(("thickness", "minutes"), [(8, 6), (10, 10), (15, 15), (25, 30)])
def test_meat_that_is_never_turned_is_not_cooked_through(thickness, minutes):
    turned, not_turned = (plan(thickness, step("pan", minutes=minutes, sides=sides), step("serve")) for sides in (2, 1))
    assert course(not_turned)["core_peak"].value < course(turned)["core_peak"].value
    assert "cook.bird" in findings(not_turned)


@pytest.mark.parametrize("piece", [{}, {"shape": "round"}, {"width": 30.0, "length": 60.0}])
def test_a_longer_time_in_the_pan_kills_no_less_whatever_the_shape(piece):
    short, long = (course(plan(20, step("pan", minutes=m, sides=2), step("serve"), **piece)) for m in (6, 12))
    assert long["core_peak"].value > short["core_peak"].value
    assert long["kill_share"].value >= short["kill_share"].value


def test_frozen_meat_in_a_pan_counts_no_hotter_than_thawed():
    cook = step("pan", minutes=12, sides=2), step("serve")
    frozen = course(plan(10, *cook, start_state="frozen", start_temperature=-18.0))
    assert frozen["core_peak"].value < course(plan(10, *cook))["core_peak"].value


def test_six_seconds_in_a_pan_do_not_make_a_rise_count_that_came_of_resting():
    """An oven leaves the middle at 18.6 °C; resting took it to 33 °C, which a dab in the pan then made count."""
    oven = step("oven", place="oven_fan", temperature=220, minutes=36)
    rest = step("rest", place="counter", temperature=25, minutes=30)
    plain = course(plan(60, oven, rest, step("serve")))["core_peak"].value
    dabbed = course(plan(60, oven, rest, step("pan", minutes=0.1, sides=2), step("serve")))["core_peak"].value
    assert dabbed == pytest.approx(plain, abs=0.5)


def test_a_sear_takes_nothing_from_what_a_bath_has_killed():
    bath = step("bag"), step("bath", place="bath_circulated", temperature=60, minutes=120), step("dry")
    without, with_sear = (
        course(plan(20, *bath, *sear, step("serve"))) for sear in ((), (step("pan", minutes=1, sides=2),))
    )
    assert with_sear["kill_share"].value >= without["kill_share"].value
    assert with_sear["bird_share"].value >= 0.98 * without["bird_share"].value


def test_a_record_does_not_make_a_pan_count_that_was_never_turned_in():
    """A lukewarm minute was recorded, the pan after it was not: the pan still heats one face."""
    from datetime import datetime, timedelta
    from zoneinfo import ZoneInfo

    from advisor.case.probe import read_log

    start = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("UTC"))
    rows = [f"{(start + timedelta(minutes=m)).isoformat()},{5 + 0.5 * m}" for m in range(4)]
    case = plan(
        15,
        step("bath", place="bath_circulated", temperature=60, minutes=3),
        step("pan", minutes=10, sides=1),
        step("serve"),
    )
    log = read_log("time,core °C\n" + "\n".join(rows), "core.csv", ZoneInfo("UTC"))
    assert "cook.bird" in findings(replace(case, log=log))


def test_a_probe_in_meat_that_is_never_turned_says_nothing_of_its_far_face():
    found = course(plan(15, step("pan", until_core=75, sides=1), step("serve")))
    assert found["core_peak"].value < 40
    assert "cook.bird" in findings(plan(15, step("pan", until_core=75, sides=1), step("serve")))


@pytest.mark.parametrize("action", ["oven", "reheat"])
def test_a_pan_under_another_name_heats_one_face_at_a_time_too(action):
    """Twelve minutes in all are six on each side."""
    named, sear = (
        course(plan(10, one, step("serve")))["core_peak"].value
        for one in (step(action, place="pan", temperature=180, minutes=12), step("pan", minutes=6, sides=2))
    )
    assert named == pytest.approx(sear, abs=0.2)


@pytest.mark.parametrize("thickness", [15, 40])
def test_a_sear_that_ends_by_the_probe_is_credited_with_the_quickest_rise(thickness):
    """The slow clock of one side after the other would count a third more time near the end than both at once."""
    case = complete(plan(thickness, step("pan", until_core=74.0), step("serve")), RULEBASE)
    slow, _, fast = ends(case, RULEBASE)
    for walked, at in zip(walk(case, RULEBASE).cold_start, (slow, fast), strict=True):
        leg = walked.legs[0]
        whole = piece(case, replace(at, probe_c=0.0), RULEBASE)
        medium_c, _ = surroundings(case.steps[0], RULEBASE, at.end)
        h = surface_h(at, case.steps[0], RULEBASE)
        inside = whole.even(float(leg.centre_c[0]))
        both_at_once = whole.middle(inside, medium_c, h, leg.times_s - leg.times_s[0])
        assert leg.centre_c == pytest.approx(both_at_once, abs=1e-6)


def test_a_face_gets_as_hot_as_the_time_of_its_own_side_makes_it():
    """What two turns do for the middle is more than one side's time; the outside of each face has only its own."""
    case = complete(plan(40, step("pan", minutes=0.6), step("serve"), animal="beef"), RULEBASE)
    slow = ends(case, RULEBASE)[0]
    walked = walk(case, RULEBASE).slow
    whole = piece(case, slow, RULEBASE)
    medium_c, _ = surroundings(case.steps[0], RULEBASE, "slow")
    start = whole.even(float(walked.legs[0].centre_c[0]))
    own = whole.stay(start, medium_c, surface_h(slow, case.steps[0], RULEBASE), np.array([0.0, 36.0]))
    assert float(course(case)["surface_peak"].value) <= float(own.surface[-1]) + 1e-6


@pytest.mark.parametrize("minutes", [3, 8])
def test_a_time_that_caps_a_sear_by_the_probe_counts_for_one_side_only_in_the_kill(minutes):
    """The probe never gets there; two turns would count as one and a half, and pass as two."""
    case = complete(plan(30, step("pan", until_core=95.0, minutes=minutes), step("serve")), RULEBASE)
    slow, _, fast = ends(case, RULEBASE)
    for walked, at in zip(walk(case, RULEBASE).cold_start, (slow, fast), strict=True):
        leg = walked.legs[0]
        assert not leg.reached
        assert leg.minutes == pytest.approx(minutes)
        whole = piece(case, replace(at, probe_c=0.0), RULEBASE)
        medium_c, _ = surroundings(case.steps[0], RULEBASE, at.end)
        one_side = np.array([0.0, minutes * 60.0])
        inside = whole.even(float(leg.centre_c[0]))
        most = whole.middle(inside, medium_c, surface_h(at, case.steps[0], RULEBASE), one_side)[-1]
        assert float(leg.centre_c[-1]) == pytest.approx(float(most), abs=1e-6)


@pytest.mark.parametrize("thickness", [20, 25, 40])
def test_a_seared_steak_rises_while_it_rests_as_far_as_kitchens_see(thickness):
    """By 2 to 6 °C (common practice, no source) in the middle of what is plausible; never less at the ends."""
    case = plan(thickness, step("pan", until_core=52), step("rest", minutes=15), animal="beef", cut="flat_iron")
    whole = walk(complete(case, RULEBASE), RULEBASE)
    rises = [float(one.legs[1].centre_c.max()) - float(one.legs[0].centre_c[-1]) for one in whole.all]
    assert 2 <= rises[1] <= 6, rises
    assert rises[1] <= min(rises[0], rises[2])
