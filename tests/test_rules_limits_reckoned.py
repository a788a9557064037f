"""Limits that no rule compares: the reckoning that uses each turns at it; and no limit is left untried."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from advisor.advice.clock import _by_night, _changed
from advisor.advice.layout import lay_out
from advisor.advice.rank import score
from advisor.advice.report import examine
from advisor.case.complete import complete
from advisor.case.model import Ingredient
from advisor.case.probe import read_log
from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.course.afterwards import cooling_facts
from advisor.course.measured import gaps
from advisor.course.walk import Leg, Walked
from advisor.infer.examples import NEAR
from advisor.knowledge import load_rulebase
from advisor.knowledge.conditions import ORDERED, conditions_of

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
MINUTE = 60.0
# Limits of the reckoning, with the test below that holds it against a value at, inside and outside.
TURNS = {
    "cool_from": "test_the_clock_of_cooling_starts_at_its_line",
    "cool_first_to": "test_the_first_stage_ends_at_its_line",
    "roast_hot_hold_min": "test_cooked_meat_is_lukewarm_below_its_line",
    "stew_heat": "test_a_pot_stews_from_its_line",
    "come_up_from": "test_time_out_counts_as_warming_up_above_its_line",
    "thaw_day": "test_a_thaw_in_the_fridge_counts_past_its_day",
    "thaw_day_kg": "test_a_thaw_of_one_big_bird_counts_past_the_time_for_its_weight",
    "thaw_bird_kg": "test_a_bird_is_thawed_after_its_official_time",
    "thaw_bird_water_kg": "test_a_bird_is_thawed_after_its_official_time",
    "growth_ceiling": "test_growth_is_counted_up_to_its_ceiling",
    "log_gap_min": "test_a_gap_of_a_record_begins_past_its_line",
    "log_gap_times": "test_a_gap_of_a_slow_record_begins_past_so_many_times_its_rhythm",
    "plan_night_from": "test_the_night_begins_and_ends_at_its_hours",
    "plan_night_to": "test_the_night_begins_and_ends_at_its_hours",
    "plan_night_most_wait": "test_a_wait_is_made_longer_up_to_its_line",
    "plan_salt_shortest": "test_a_salting_is_cut_down_to_its_shortest",
    "pink_most": "test_a_middle_is_told_brown_past_its_line",
    "plan_mild_strength": "test_a_softener_stays_on_overnight_up_to_its_strength",
}
# Figures that are taken as they stand; nothing turns at them.
TAKEN = {
    "marinade_depth": "said in a text",
    "salt_usual": "said in a text, and the salt of a plan of ours",
    "wipe_leaves": "share of the enzyme that goes on after wiping",
    "pumped_salt": "salt of pumped meat when the label is lost",
    "sear_unsaid": "a sear of which nobody said how long",
    "plan_bird_core": "core of a plan of ours",
    "plan_pan_closed": "core of a plan of ours",
    "plan_pan_open": "core of a plan of ours",
}
# And what a plan of ours is made of: its heats, lengths, amounts and weights, which a kitchen may choose by taste.
OF_A_PLAN = "plan_"
EITHER_SIDE = [(-NEAR, "under"), (0.0, "at"), (NEAR, "over")]
SIDES = pytest.mark.parametrize("shift", [shift for shift, _ in EITHER_SIDE], ids=[name for _, name in EITHER_SIDE])


def test_every_limit_is_held_against_at_its_figure_and_on_both_sides_or_is_taken_as_it_stands():
    """Those that rules compare are tried one by one in ``test_rules_limits``."""
    compared = {
        condition.limit
        for checked in RULEBASE.rules.values()
        for condition in conditions_of(checked.alternatives)
        if condition.comparison in ORDERED
    }
    ours = {name for name, limit in RULEBASE.limits.items() if name.startswith(OF_A_PLAN) and limit.stricter == "taste"}
    assert compared | set(TURNS) | set(TAKEN) | ours == set(RULEBASE.limits)
    assert not compared & (set(TURNS) | set(TAKEN))
    assert all(callable(globals()[name]) for name in TURNS.values())


def cooled(points):
    """Facts of a fall of the hottest depth through points of minutes and °C."""
    minutes, temps = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    hot = np.full(2, temps[0])
    legs = (
        Leg(0, np.array([-600.0, 0.0]), 95.0, hot[:, None], hot, hot, hot),
        Leg(1, minutes * MINUTE, 1.0, temps[:, None], temps, temps, temps),
    )
    return cooling_facts(Walked(legs), ("cook", "cool"), RULEBASE)


@SIDES
def test_cooked_meat_is_lukewarm_below_its_line(shift):
    line = RULEBASE.limit("roast_hot_hold_min")
    text = f"""
piece: {{animal: beef, cut: bottom round, form: roast, weight: 1 kg, thickness: 40 mm, arrived: intact}}
guests: {{setting: home, vulnerable: "no"}}
steps:
  - {{do: oven, place: oven, at: 120 C, until_core: 70 C}}
  - {{do: hot_hold, place: hot cupboard, at: {line + shift} C, for: 90 min}}
"""
    facts = course_facts(read_plan(text, RULEBASE, NOW), RULEBASE).facts.course
    assert facts["lukewarm_cooked_minutes"].value == (90 if shift < 0 else 0)


@SIDES
def test_the_clock_of_cooling_starts_at_its_line(shift):
    """An hour just at the line is not yet cooling; an hour just under it is."""
    line = RULEBASE.limit("cool_from")
    found = cooled([(0, 80), (10, line + shift), (70, line + shift), (130, 4)])
    assert (found["cool_stage_one"] > 60) == (shift < 0)


@SIDES
def test_the_first_stage_ends_at_its_line(shift):
    line = RULEBASE.limit("cool_first_to")
    found = cooled([(0, 80), (30, line + shift), (100, line + shift)])
    assert (found["cool_reached_first"] == "yes") == (shift <= 0)


@SIDES
def test_time_out_counts_as_warming_up_above_its_line(shift):
    line = RULEBASE.limit("come_up_from")
    text = (
        "piece: {{animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm, start_state: out, "
        "out_minutes: {minutes}, out_temperature: {line} C}}\n"
        "steps: [{{do: bath, at: 60 C, for: 2 h}}, {{do: serve}}]\n"
    )
    times = [
        course_facts(read_plan(text.format(minutes=f"{minutes} min", line=line + shift), RULEBASE, NOW), RULEBASE)
        .facts.course["come_up_core"]
        .value
        for minutes in (1, 61)
    ]
    assert (times[1] - times[0] >= 60 - 1e-6) == (shift > 0)


@SIDES
def test_a_pot_stews_from_its_line(shift):
    text = (
        "piece: {animal: beef, cut: chuck, form: cubes, weight: 1 kg, thickness: 30 mm}\n"
        f"steps: [{{do: braise, at: {RULEBASE.limit('stew_heat') + shift} C, for: 2 h}}, {{do: serve}}]\n"
    )
    stewed = course_facts(read_plan(text, RULEBASE, NOW), RULEBASE).facts.course["stew_minutes"].value
    assert stewed == (0 if shift < 0 else 120)


@pytest.mark.parametrize(("hours", "at_ceiling"), [(2, False), (6, False), (72, True), (96, True)])
def test_growth_is_counted_up_to_its_ceiling(hours, at_ceiling):
    text = (
        "piece: {animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm}\n"
        f"steps: [{{do: hold, place: counter, at: 30 C, for: {hours} h}}, {{do: bath, at: 60 C, for: 2 h}}]\n"
    )
    grown = course_facts(read_plan(text, RULEBASE, NOW), RULEBASE).facts.course["raw_growth_log"].value
    ceiling = RULEBASE.limit("growth_ceiling")
    assert grown <= ceiling
    assert (grown == ceiling) == at_ceiling


def record(rhythm_s, gap_s):
    """A record with one gap among readings of an even rhythm."""
    moments = [0.0]
    for number in range(20):
        moments.append(moments[-1] + (gap_s if number == 10 else rhythm_s))
    rows = [f"{1764064800 + moment:.3f},5,C" for moment in moments]
    return read_log("time,value,unit\n" + "\n".join(rows) + "\n", "core.csv", ZoneInfo("UTC"))


@pytest.mark.parametrize("shift", [-1.0, 0.0, 1.0])
def test_a_gap_of_a_record_begins_past_its_line(shift):
    line = RULEBASE.limit("log_gap_min") * MINUTE
    assert bool(gaps(record(60, line + shift), RULEBASE)) == (shift > 0)


@pytest.mark.parametrize("shift", [-1.0, 0.0, 1.0])
def test_a_gap_of_a_slow_record_begins_past_so_many_times_its_rhythm(shift):
    rhythm = 600.0
    line = RULEBASE.limit("log_gap_times") * rhythm
    assert line > RULEBASE.limit("log_gap_min") * MINUTE
    assert bool(gaps(record(rhythm, line + shift), RULEBASE)) == (shift > 0)


@SIDES
def test_a_softener_stays_on_overnight_up_to_its_strength(shift):
    softener = next(name for name, t in RULEBASE.tenderisers.items() if t.strength > NEAR and t.fridge_minutes)
    line = RULEBASE.limits["plan_mild_strength"]
    moved = line.model_copy(update={"value": RULEBASE.tenderisers[softener].strength - shift})
    book = RULEBASE.with_limits({**RULEBASE.limits, "plan_mild_strength": moved}, "moved")
    text = (
        "piece: {animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm}\nsteps: [{do: serve}]\n"
    )
    case = replace(complete(read_plan(text, book, NOW), book), steps=())
    steps = lay_out(case, (Ingredient(softener, form="fresh"),), frozenset({"enzyme"}), "whole_meat", book)
    overnight = book.trade_words["time"]["overnight"]
    held = next(step for step in steps if step.action == "marinate").number("minutes")
    assert (held == overnight) == (shift <= 0)


@pytest.mark.parametrize("beyond", [-60.0, 0.0, 60.0])
def test_a_thaw_in_the_fridge_counts_past_its_day(beyond):
    long = RULEBASE.limit("thaw_day") + beyond

    def raw_cold(place, start="frozen", do="thaw"):
        text = (
            "piece: {animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm, "
            f"start_state: {start}}}\n"
            f"steps: [{{do: {do}, place: {place}, for: {long} min}}, {{do: hold, place: fridge, for: 2 h}}, "
            "{do: pan, for: 3 min}, {do: serve}]\n"
        )
        facts = course_facts(read_plan(text, RULEBASE, NOW), RULEBASE).facts.course
        return facts["raw_cold_minutes"].value

    assert raw_cold("fridge") == pytest.approx(2 * MINUTE + max(0.0, beyond))
    # What was never frozen has no such day, and a thaw that is not in the cold has none either.
    assert raw_cold("fridge", "fridge", "hold") == pytest.approx(2 * MINUTE + long)
    assert raw_cold("running water") == pytest.approx(2 * MINUTE)


@pytest.mark.parametrize("beyond", [-60.0, 0.0, 60.0])
def test_a_thaw_of_one_big_bird_counts_past_the_time_for_its_weight(beyond):
    day, each = RULEBASE.limit("thaw_day"), RULEBASE.limit("thaw_day_kg")

    def raw_cold(kilos, minutes, cut="whole turkey", stuffing="none"):
        weight = f"weight: {kilos} kg, " if kilos else ""
        text = (
            f'piece: {{cut: {cut}, form: roast, {weight}thickness: 140 mm, bone: "yes", stuffing: {stuffing}, '
            f"start_state: frozen}}\nsteps: [{{do: thaw, place: fridge, for: {minutes} min}}, "
            "{do: oven, at: 180 C, for: 3 h}, {do: serve}]\n"
        )
        facts = course_facts(read_plan(text, RULEBASE, NOW), RULEBASE).facts.course
        return facts["raw_cold_minutes"].value

    most = max(RULEBASE.cuts["whole_turkey"].weight_g) / 1000
    assert raw_cold(6, 6 * each + beyond) == pytest.approx(max(0.0, beyond))
    # A light bird has its day, as has one that may be stuffed or of unknown weight, and what may be many pieces.
    assert raw_cold(1.5, day + beyond, "whole chicken") == pytest.approx(max(0.0, beyond))
    assert raw_cold(0, day + beyond) == pytest.approx(max(0.0, beyond))
    assert raw_cold(6, 6 * each + beyond, stuffing="inside") == pytest.approx(6 * each + beyond - day)
    assert raw_cold(6, 6 * each + beyond, "turkey breast") == pytest.approx(6 * each + beyond - day)
    # More than one such bird ever weighs is more than one.
    assert raw_cold(2 * most, most * each + beyond) == pytest.approx(max(0.0, beyond))


@pytest.mark.parametrize(("place", "limit"), [("fridge", "thaw_bird_kg"), ("running water", "thaw_bird_water_kg")])
@SIDES
def test_a_bird_is_thawed_after_its_official_time(place, limit, shift):
    # Longer than the model takes, so that it is the line that decides.
    line = RULEBASE.limits[limit].model_copy(update={"value": 3000.0 if place == "fridge" else 400.0})
    book = RULEBASE.with_limits({**RULEBASE.limits, limit: line}, "moved")
    heat = 4 if place == "fridge" else 15
    text = (
        'piece: {animal: chicken, cut: whole chicken, form: roast, weight: 2 kg, thickness: 100 mm, bone: "yes", '
        "stuffing: none, start_state: frozen}\n"
        f"steps: [{{do: thaw, place: {place}, at: {heat} C, for: {2 * book.limit(limit) + shift} min}}, "
        "{do: oven, at: 180 C, until_core: 75 C}, {do: serve}]\n"
    )
    facts = course_facts(read_plan(text, book, NOW), book).facts.course
    assert facts["still_frozen"].value == ("yes" if shift < 0 else "no")
    assert facts["thaw_needs"].high == 2 * book.limit(limit)


def test_a_minute_in_the_freezer_buys_no_day():
    text = (
        "piece: {animal: chicken, cut: chicken thigh, weight: 1 kg, thickness: 30 mm, start_state: fridge}\n"
        "steps: [{do: hold, place: fridge, for: 2 days}, {do: hold, place: freezer, for: 5 min}, "
        "{do: thaw, place: fridge, for: 1 day}, {do: pan, for: 3 min}, {do: serve}]\n"
    )
    facts = course_facts(read_plan(text, RULEBASE, NOW), RULEBASE).facts.course
    assert facts["raw_cold_minutes"].value == pytest.approx(3 * 24 * MINUTE)


@SIDES
def test_a_middle_is_told_brown_past_its_line(shift):
    text = (
        "piece: {animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm}\nguests: {want: pink}\n"
        "steps: [{do: bath, place: water bath, at: 62 C, for: 3 h}, {do: serve}]\n"
    )
    report = examine(read_plan(text, RULEBASE, NOW), RULEBASE, "reference")
    peak = float(report.computed.course.typical.legs[0].centre_c.max())
    moved = RULEBASE.limits["pink_most"].model_copy(update={"value": peak - shift})
    book = RULEBASE.with_limits({**RULEBASE.limits, "pink_most": moved}, "moved")
    assert score(report, book).brown_c == (peak if shift > 0 else None)


def test_the_night_begins_and_ends_at_its_hours():
    begins, ends = (int(RULEBASE.limit(f"plan_night_{which}")) for which in ("from", "to"))
    for minute, night in ((begins - 1, False), (begins, True), (begins + 1, True), (ends - 1, True), (ends, False)):
        assert _by_night(datetime(2026, 11, 25, minute // 60, minute % 60), RULEBASE) == night  # noqa: DTZ001


SALTED = "piece: {animal: beef, form: steak}\nsteps: [{do: salt, place: fridge, for: 120 min, with: salt}]\n"


@SIDES
def test_a_wait_is_made_longer_up_to_its_line(shift):
    case = read_plan(SALTED, RULEBASE, NOW)
    assert (_changed(case, 0, RULEBASE.limit("plan_night_most_wait") + shift, RULEBASE) is not None) == (shift <= 0)


@SIDES
def test_a_salting_is_cut_down_to_its_shortest(shift):
    case = read_plan(SALTED, RULEBASE, NOW)
    assert (_changed(case, 0, RULEBASE.limit("plan_salt_shortest") + shift - 120, RULEBASE) is not None) == (shift >= 0)
