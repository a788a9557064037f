"""The ready cases that the row tests do not try: days, packs, curves, and which case is tried where."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from advisor.advice.report import examine
from advisor.case.facts import Fact, FactSet
from advisor.case.model import Case, Given
from advisor.case.read_plan import read_plan
from advisor.course.facts import course_facts
from advisor.infer import infer
from advisor.science.stays import cooling_time

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "food_code_cases.yaml")
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
HOUR, DAY = 60.0, 1440.0
# Three decimals of an hour are 4 s; a printed Celsius is right to half a tenth.
STAGE_SLACK_MIN, ROUNDING_C = 0.1, 0.06


def facts(step=None, **groups):
    def group(place, values):
        return {name: Fact(place, name, value, "written") for name, value in values.items()}

    named = {subject: group(subject, values) for subject, values in groups.items()}
    return FactSet(**named, steps=(group("step1", step),) if step is not None else ())


def fired(rulebase, **groups):
    return {f.rule.rule.id: f.verdict for f in infer(rulebase, facts(**groups), engine="reference").findings}


# --- coolings that codes print


def _curves(rulebase):
    return {cooling.name: cooling for code in rulebase.codes.values() for cooling in code.cooling}


def _meets(points, cooling):
    """Whether a fall passes every stage in its time and comes down to the end of the last."""
    times = np.array([hours * 3600 for hours, _ in points], dtype=float)
    temps = np.array([(fahrenheit - 32) / 1.8 for _, fahrenheit in points])
    spans = [cooling_time(times, temps, s.from_c, s.to_c + ROUNDING_C) for s in cooling.stages]
    whole = cooling_time(times, temps, cooling.stages[0].from_c, cooling.stages[-1].to_c + ROUNDING_C)
    if whole is None or any(span is None for span in spans):
        return False
    within = all(
        span / 60 <= stage.minutes + STAGE_SLACK_MIN for span, stage in zip(spans, cooling.stages, strict=True)
    )
    return within and (cooling.total_min == 0 or whole / 60 <= cooling.total_min + STAGE_SLACK_MIN)


@pytest.mark.parametrize("case", PUBLISHED["curve_cases"], ids=lambda case: case["id"])
def test_a_fall_against_a_printed_cooling(case, rulebase):
    assert _meets(case["points"], _curves(rulebase)[case["curve"]]) == case["passes"]


def test_the_retail_cooling_is_that_of_the_limits(rulebase):
    first, second = _curves(rulebase)["us_retail_cooling"].stages
    assert (first.from_c, first.to_c) == (rulebase.limit("cool_from"), rulebase.limit("cool_first_to"))
    assert (first.minutes, second.minutes) == (rulebase.limit("cool_first_max"), rulebase.limit("cool_all_max"))
    assert second.to_c == rulebase.limit("cold_hold_max")


# --- days and packs


def test_s11_and_s12_seven_days_cold_pass_with_permission_and_eight_do_not(rulebase):
    """The day of making is day 1 of seven; bag-cooked food past 48 h needs a plan besides."""
    for days, passes in ((7, True), (8, False)):
        held = (days - 1) * DAY
        found = fired(rulebase, course={"cold_days": held, "sealed_cold": held}, guests={"approval": "yes"})
        assert ("hold.cooked_days" not in found) == passes
        assert "seal.bag_days" not in found
        alone = fired(rulebase, course={"cold_days": held, "sealed_cold": held}, guests={"approval": "no"})
        assert alone["seal.bag_days"] == "change"


def test_s13_thirty_days_near_freezing_are_refused_here(rulebase):
    """The code allows them with a plan and a unit that is watched; we hold seven days, and the listing says so."""
    assert "hold.cooked_days" in fired(rulebase, course={"cold_days": 30 * DAY})
    listed = rulebase.codes["us_food_code_2022"].provisions
    assert next(p for p in listed if p.section == "3-502.12(D)(2)(e)(i)").out


def test_s14_a_pack_opened_after_47_hours_needs_no_plan(rulebase):
    for hours, passes in ((47, True), (48, True), (49, False)):
        found = fired(rulebase, course={"sealed_cold": hours * HOUR}, guests={"approval": "no"})
        assert ("seal.bag_days" not in found) == passes, hours


def test_s15_a_first_heating_of_75_minutes_fails(rulebase):
    for minutes, passes in ((60.0, True), (75.0, False)):
        found = fired(rulebase, course={"part_cooked": "yes", "first_heat": minutes})
        assert ("cook.part_cooked_long" not in found) == passes


def test_s19_onions_kept_warm_away_from_air_stop(rulebase):
    """Fried onions under butter at 50 °C: the outbreak of 1983."""
    warm = {"sealed_now": "yes", "aromatic_now": "yes", "temperature": 50.0}
    assert fired(rulebase, step={**warm, "role": "cooked_hold"})["seal.aromatic_warm_hold"] == "stop"
    assert fired(rulebase, step={**warm, "role": "hot_hold"})["hold.hot_low"] == "change"


def test_s20_cooked_food_out_for_five_hours_fails(rulebase):
    """The case is rice; the clock is the same for meat."""
    assert fired(rulebase, course={"warm_cooked_minutes": 5 * HOUR})["hold.warm_cooked"] == "change"
    assert "hold.warm_cooked" not in fired(rulebase, course={"warm_cooked_minutes": 2 * HOUR})


def test_s21_every_marinade_carries_the_word_about_boiling_what_is_used_again(rulebase):
    found = infer(rulebase, facts(step={"action": "marinate"}), engine="reference").findings
    told = next(f for f in found if f.rule.rule.id == "practice.marinate")
    assert told.caution is not None
    assert "rolling boil" in told.caution[2]


def test_s23_a_tenderised_steak_in_canada_is_turned_twice(rulebase):
    """Not said, it counts as turned once; elsewhere nobody asks."""
    text = (
        "code: {code}\npiece: {{animal: beef, cut: sirloin flap, form: steak, weight: 1 kg, thickness: 15 mm, "
        "arrived: pierced}}\nguests: {{setting: work, vulnerable: no, advisory: no, approval: no, latex: no}}\n"
        "steps: [{{do: pan, for: 12 min{turns}}}, {{do: serve}}]\n"
    )
    for code, turns, passes in (
        ("canada", "", False),
        ("canada", ", turns: 1", False),
        ("canada", ", turns: 2", True),
        ("canada", ", turns: 3", True),
        ("us", "", True),
        ("us", ", turns: 0", False),
    ):
        case = read_plan(text.format(code=code, turns=turns), rulebase, NOW)
        report = examine(case, rulebase, "reference")
        assert ("cook.turned" not in {f.rule.rule.id for f in report.inference.findings}) == passes, (code, turns)
    assert "cook.turned" in {f.rule.rule.id for f in report.inference.findings}


def test_s24_raw_beef_in_a_pack_for_twelve_days_fails(rulebase):
    """Ten days are the most in the United Kingdom; five for raw cuts here, and 48 h in a pack without a plan."""
    for book in (rulebase, rulebase.under("uk")):
        found = fired(book, course={"raw_cold_minutes": 12 * DAY, "sealed_cold": 12 * DAY}, guests={"approval": "no"})
        assert {"hold.fridge_days_cuts", "seal.bag_days"} <= set(found)


def test_c01_a_sour_marinade_gives_raw_meat_no_leave_to_stand_warm(road):
    text = (
        "piece: {animal: lamb, cut: leg of lamb, form: steak, weight: 1 kg, thickness: 25 mm, arrived: intact}\n"
        "guests: {setting: home, vulnerable: no, latex: no}\nsteps:\n"
        "  - {do: marinate, place: counter, at: 21 C, for: 8 h, with: yoghurt}\n"
        "  - {do: braise, at: 95 C, for: 3 h}\n  - {do: serve}\n"
    )
    found = {f.rule.rule.id: f.verdict for f in road(text).findings}
    assert found["hold.warm_raw_long"] == "stop"


TABLES = {
    "measured.no_cold_packed": "A needs no cold",
    "measured.lab_packed": "A asks a laboratory",
    "measured.no_cold_open": "B needs no cold",
    "measured.lab_open": "B asks a laboratory",
}


@pytest.mark.parametrize(
    ("food", "packed", "ph", "water", "result"),
    [
        ("c01, raw meat in yoghurt", "no", 4.4, 0.97, "B asks a laboratory"),
        ("c02, a vinegar sauce that was not heated", "no", 4.1, 0.97, "B needs no cold"),
        ("c03, a glaze, heated and packed", "yes", 5.5, 0.94, "A needs no cold"),
        ("c04, a stock, heated and packed", "yes", 5.8, 0.99, "A asks a laboratory"),
        ("c05, a dried strip that was not heated", "no", 5.6, 0.87, "B needs no cold"),
        ("c03 of which nobody said that it was packed", "not known", 5.5, 0.94, "B asks a laboratory"),
        ("c03 of which nobody measured the water", "yes", 5.5, "not known", ""),
        ("c02 of which nobody measured the acid", "no", "not known", 0.97, ""),
    ],
)
def test_c02_to_c05_what_a_laboratory_measured_against_the_two_tables(food, packed, ph, water, result, road):
    """Down the whole road, from a plan file. Whatever the table says, no other finding moves.

    Sauce, glaze and stock are no meat; the tables look at figures alone, so a piece of meat bears them here.
    """
    steps = (
        "guests: {setting: work, vulnerable: no, latex: no}\nsteps:\n"
        "  - {do: hold, place: counter, at: 21 C, for: 8 h}\n  - {do: braise, at: 95 C, for: 3 h}\n  - {do: serve}\n"
    )
    piece = "animal: beef, cut: brisket flat, form: slices, weight: 1 kg, thickness: 6 mm, arrived: intact"
    figures = f"acidity: {ph}, water_activity: {water}, heated_then_packed: {packed}"
    plain, told = (road(f"piece: {{{text}}}\n{steps}").findings for text in (piece, f"{piece}, {figures}"))
    by_table = [f for f in told if f.rule.rule.id in TABLES]
    assert [TABLES[f.rule.rule.id] for f in by_table] == ([result] if result else []), food
    assert {f.verdict for f in by_table} <= {"go"}
    others = [(f.rule.rule.id, f.verdict, f.says) for f in told if f.rule.rule.id not in TABLES]
    assert others == [(f.rule.rule.id, f.verdict, f.says) for f in plain]
    assert ("hold.warm_raw_long", "stop") in {(rule, verdict) for rule, verdict, _ in others}


def test_the_two_tables_leave_no_food_out_and_never_say_both(rulebase):
    """Every pair of figures, on and beside each line, has one result; a wetter or less sour food never a better."""
    waters = (0.5, 0.87, 0.88, 0.9, 0.91, 0.92, 0.93, 0.95, 0.96, 1.0)
    for packed in ("yes", "no"):
        results = {}
        for ph in (3.0, 4.19, 4.2, 4.6, 4.61, 5.0, 5.01, 5.6, 5.61, 7.0):
            for water in waters:
                piece = {"acidity": ph, "water_activity": water, "heated_then_packed": packed}
                (results[ph, water],) = set(fired(rulebase, piece=piece)) & set(TABLES)
        asks = {pair for pair, rule in results.items() if "lab" in rule}
        for ph, water in asks:
            assert all(pair in asks for pair in results if pair[0] >= ph and pair[1] >= water)
        assert asks


# --- reheating and thawing


@pytest.mark.parametrize(("minutes", "passes"), [(120.0, True), (121.0, False)])
def test_reheating_within_two_hours(minutes, passes, rulebase):
    """3-403.11(D), read through adoptions."""
    assert ("hold.reheat_slow" not in fired(rulebase, course={"reheat_minutes": minutes})) == passes


@pytest.mark.parametrize(("fahrenheit", "passes"), [(69.9, True), (70.2, False)])
def test_running_water_for_thawing_is_at_70_f_or_colder(fahrenheit, passes, rulebase):
    """3-501.13(B), read through adoptions."""
    step = {"action": "thaw", "place": "running_water", "temperature": (fahrenheit - 32) / 1.8}
    assert ("hold.thaw_water_warm" not in fired(rulebase, step=step)) == passes


# --- which case is tried where

READY = {f"t{n:02}" for n in range(1, 26)} | {f"s{n:02}" for n in range(1, 25)} | {f"c{n:02}" for n in range(1, 6)}


def _ids(key):
    """The ids that a line of ``ready`` speaks of: one, two, or a run of them."""
    found = re.findall(r"[tsc]\d\d", key)
    if " to " in key:
        first, last = (int(name[1:]) for name in found)
        return {f"{key[0]}{n:02}" for n in range(first, last + 1)}
    return set(found)


def test_every_ready_case_is_tried_or_the_reason_why_not_is_given():
    told = [name for key in PUBLISHED["ready"] for name in _ids(key)]
    assert len(READY) == 54
    assert sorted(told) == sorted(READY)


@pytest.mark.parametrize("key", PUBLISHED["ready"])
def test_a_case_is_where_it_is_said_to_be(key):
    entry = PUBLISHED["ready"][key]
    assert ("at" in entry) != ("out" in entry)
    if "out" in entry:
        assert len(entry["out"]) > 20
    elif entry["at"] in PUBLISHED:
        listed = {case["id"].split()[0] for case in PUBLISHED[entry["at"]]}
        assert _ids(key) <= listed
    else:
        folder = Path(__file__).parent
        texts = [(folder / f"test_course_{name}.py").read_text(encoding="utf-8") for name in ("official", "cases")]
        assert any(f"def {entry['at']}(" in text for text in texts)


def test_a_cut_that_nobody_knows_may_carry_what_its_animal_carries(rulebase):
    for animal, worst in (("wild_boar", "trichinella"), ("lamb", "toxoplasma"), ("beef", "none")):
        case = Case({"animal": Given(animal, "answered"), "cut": Given(None, "not known")})
        assert course_facts(case, rulebase).facts.piece["parasite"].value == worst
