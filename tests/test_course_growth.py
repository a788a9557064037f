"""Growth after the cook and in meat that no heat cooked through, of every germ that grows there."""

from __future__ import annotations

import pytest

from advisor.case.model import Case, Given, PlanStep
from advisor.course import course_facts
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
HOUR, DAY = 60.0, 1440.0


def step(action, **values):
    return PlanStep(action, {n: Given(float(v) if isinstance(v, int | float) else v) for n, v in values.items()}, ())


COOK = step("bath", place="bath_circulated", temperature=60, minutes=15 * HOUR)
ICE = step("ice", place="ice_bath", temperature=1, minutes=5 * HOUR)
FRIDGE = {"place": "fridge_still", "temperature": 5}


def plan(*steps, **piece):
    whole = {"animal": "beef", "cut": "unknown_cut", "form": "roast", "arrived": "intact", "weight": 1500.0}
    whole |= {"thickness": 50.0, "start_state": "fridge"} | piece
    guests = {"setting": "home", "vulnerable": "no", "advisory": "no", "approval": "yes", "latex": "no"}
    return Case({k: Given(v) for k, v in whole.items()}, {k: Given(v) for k, v in guests.items()}, (*steps,))


def facts(case):
    return course_facts(case, RULEBASE).facts


def grown(name, *steps, **piece):
    return facts(plan(*steps, **piece)).course[name].value


def found(case):
    return {f.rule.rule.id: f for f in infer(RULEBASE, facts(case), engine="reference").findings}


# --- meat that no heat cooks through

TOO_SHORT = step("bath", place="bath_circulated", temperature=57, minutes=3 * HOUR)
THICK = {"thickness": 130.0, "arrived": "pierced"}
AFTER = [
    step("hold", place="counter", temperature=25, minutes=8 * HOUR),
    step("hot_hold", place="hot_cupboard", temperature=45, minutes=8 * HOUR),
]


@pytest.mark.parametrize("after", AFTER, ids=lambda s: s.action)
def test_a_raw_middle_goes_on_growing_after_the_last_heat(after):
    before = grown("raw_growth_inside_log", TOO_SHORT, step("serve"), **THICK)
    later = grown("raw_growth_inside_log", TOO_SHORT, after, step("serve"), **THICK)
    assert later > before + 3
    assert grown("staph_growth_inside_log", TOO_SHORT, after, step("serve"), **THICK) > 2


def test_growth_in_a_raw_middle_is_no_caution_beside_a_short_warm_up():
    """What excuses growth while the meat warms is the kill that follows; here none does."""
    short = step("bath", place="bath_circulated", temperature=57, minutes=2 * HOUR)
    case = plan(short, step("hold", place="counter", temperature=30, minutes=3 * HOUR), **THICK)
    course = facts(case).course
    assert course["come_up_core"].value < RULEBASE.limit("come_up_max") < 10 * HOUR
    assert course["cooked_through"].value == "no"
    assert found(case)["hold.growth_inside_raw"].verdict == "change"


@pytest.mark.parametrize(
    ("cook", "killed"),
    [
        (step("pan", minutes=3, sides=2), True),
        (step("bath", place="bath_circulated", temperature=66, minutes=2 * HOUR), True),
        (step("bath", place="bath_circulated", temperature=55, minutes=10), False),
    ],
    ids=["seared", "long enough outside", "hardly warmed"],
)
def test_the_outside_counts_after_a_heat_that_killed_nothing_there(cook, killed):
    after = step("hold", place="counter", temperature=25, minutes=8 * HOUR)
    assert (grown("raw_growth_log", cook, after, **THICK) < 1) is killed


def test_meat_cooked_through_counts_as_before():
    warm = step("hold", place="counter", temperature=25, minutes=8 * HOUR)
    assert grown("raw_growth_inside_log", COOK, warm) == grown("raw_growth_inside_log", COOK)


# --- after the cook


def test_every_germ_that_grows_after_the_cook_is_reckoned():
    """Each concern of the rulebase is read: a germ that grows faster shows in the fact of its kind."""
    warm = step("hold", place="counter", temperature=30, minutes=4 * HOUR)
    course = facts(plan(COOK, warm, step("hold", **FRIDGE, minutes=3 * DAY))).course
    for name in ("spore_growth_log", "cooked_poison_log", "botulinum_inside_log", "cold_growth_log"):
        fact = course[name]
        assert 0 < fact.low <= fact.value == fact.high, name
    assert course["cooked_poison_germ"].value == RULEBASE.organisms["b_cereus"].name
    assert course["cold_growth_germ"].value == RULEBASE.organisms["listeria"].name
    read = {"c_perfringens", "b_cereus", "listeria", "c_botulinum_proteolytic", "c_botulinum_nonproteolytic"}
    after = {n for n, one in RULEBASE.organisms.items() if {"cooling", "cold_store"} & set(one.concern)}
    assert after == read, "a new germ needs a fact, a rule and a limit"


def test_warmer_or_longer_after_the_cook_never_grows_less():
    """Of meat that was chilled first: hot meat falls through what germs like best sooner in a colder place."""
    hours, heats = (2, 10, 60), (3, 8, 15, 30)
    at = {
        (hour, heat): facts(
            plan(COOK, ICE, step("hold", place="counter", temperature=heat, minutes=hour * HOUR))
        ).course
        for hour in hours
        for heat in heats
    }
    for name in ("spore_growth_log", "cooked_poison_log", "botulinum_inside_log", "cold_growth_log"):
        rows = [[at[hour, heat][name].value for heat in heats] for hour in hours]
        assert all(row == sorted(row) for row in rows), name
        assert all(list(column) == sorted(column) for column in zip(*rows, strict=True)), name
        assert rows[-1][-1] > rows[0][0] + 3, name


def test_botulinum_needs_no_bag_deep_inside_a_thick_piece():
    slow = step("chill", **FRIDGE, minutes=20 * HOUR)
    thick = plan(step("oven", place="oven_fan", temperature=120, until_core=70), slow, thickness=150.0)
    course = facts(thick).course
    assert course["sealed_growth_log"].value == 0
    assert course["botulinum_inside_log"].value > RULEBASE.limit("no_growth")
    thin = plan(step("oven", place="oven_fan", temperature=120, until_core=70), slow, thickness=15.0)
    assert facts(thin).course["botulinum_inside_log"].value < RULEBASE.limit("no_growth")


KEPT = step("hold", **FRIDGE, minutes=6 * DAY)


def test_meat_sealed_through_its_cook_and_still_sealed_has_no_listeria():
    bag, cold = step("bag"), (COOK, ICE, KEPT)
    assert grown("cold_growth_log", bag, *cold) == 0
    opened = grown("cold_growth_log", bag, COOK, ICE, step("slice"), KEPT)
    assert 2 < opened <= grown("cold_growth_log", bag, COOK, step("slice"), ICE, KEPT)
    assert opened < RULEBASE.limit("cold_growth_max")


def test_a_bag_is_no_credit_where_the_cook_does_not_kill_listeria():
    short = step("bath", place="bath_circulated", temperature=60, minutes=1.5 * HOUR)
    assert grown("cold_growth_log", step("bag"), short, ICE, KEPT) > 2
    assert grown("cold_growth_log", step("bag"), short, ICE, KEPT, thickness=15.0) == 0


def test_what_the_code_allows_is_not_condemned_and_a_day_more_with_warm_hours_is():
    """Each clock alone passes: six days, two hours out, six hours of cooling; their sum is more than the code's own."""
    assert "hold.cold_growth" not in found(plan(COOK, step("dry"), ICE, KEPT))
    out = step("hold", place="counter", temperature=30, minutes=1.9 * HOUR)
    again = step("hold", **FRIDGE, minutes=5.9 * DAY)
    slow = step("chill", **FRIDGE, minutes=6 * HOUR)
    assert "hold.cold_growth" in found(plan(COOK, out, slow, again, thickness=30.0))


OF_STAGES = {"cool.first_stage", "cool.first_not_reached", "cool.both_stages", "cool.cold_not_reached"}
AFTER_THE_COOK = {"cool.poison", "cool.botulinum", "cool.spores", "hold.cold_growth", "hold.warm_cooked_long"}


def test_cooling_within_the_codes_stages_and_six_days_after_it_are_not_condemned():
    """Every thickness in every cold place; the new lines lie outside what passes the stages, with room to spare."""
    passed = 0
    for thickness in (15.0, 25.0, 35.0, 45.0, 60.0, 80.0):
        for place, temperature in (("ice_bath", 1), ("blast_chiller", -2), ("fridge_fan", 2)):
            chill = step("ice" if place == "ice_bath" else "chill", place=place, temperature=temperature, minutes=360)
            fired = set(found(plan(COOK, step("dry"), chill, KEPT, thickness=thickness)))
            passed += not fired & OF_STAGES
            assert fired & OF_STAGES or not fired & AFTER_THE_COOK, (thickness, place)
    assert passed >= 6


def test_ten_hours_warm_after_the_cook_are_thrown_out():
    fired = found(plan(COOK, step("hold", place="counter", temperature=30, minutes=10 * HOUR)))
    stops = {name for name, finding in fired.items() if finding.verdict == "stop"}
    assert {"cool.spores_many", "cool.poison_made", "cool.botulinum_made", "hold.warm_cooked_long"} <= stops
    assert "Bacillus cereus" in fired["cool.poison_made"].says


def test_a_roast_held_as_hot_as_the_roast_table_allows_is_not_lukewarm():
    hot = plan(COOK, step("hot_hold", place="hot_cupboard", temperature=55, minutes=6 * HOUR))
    fired = found(hot)
    assert not {"hold.warm_cooked_long", "cool.poison", "cool.spores"} & set(fired)


# --- what the curves were not checked for


def test_a_finding_says_what_its_curve_was_not_checked_for_once():
    fired = found(plan(COOK, step("hold", place="counter", temperature=30, minutes=10 * HOUR)))
    (guess,) = (d for d in fired["cool.botulinum_made"].doubts if "estimate" in d)
    name = RULEBASE.organisms["c_botulinum_proteolytic"].name
    assert guess == f"our estimate of how fast {name} grows: not measured at any temperature"
    assert not any("botulinum" in doubt for doubt in fired["cool.spores_many"].doubts)
    # B. cereus was checked over the whole of a cooling, so that only numbers past its levelling off are doubted.
    assert not any("temperature" in doubt for doubt in fired["cool.poison_made"].doubts)


def test_growth_far_from_where_its_curve_was_checked_is_told_in_the_cooks_units():
    cold = step("hold", place="fridge_still", temperature=3, minutes=25 * DAY)
    (doubt,) = found(plan(COOK, ICE, cold))["hold.cold_growth"].doubts
    assert "Listeria monocytogenes: temperature of 1 °C (33.8 °F) lies outside 4 to 35 °C (39.2 to 95 °F)" in doubt
    warm = step("hold", place="counter", temperature=22, minutes=5 * HOUR)
    doubts = found(plan(warm, COOK, thickness=12.0))["hold.growth"].doubts
    assert not any("grow" in doubt for doubt in doubts), doubts


def test_a_meat_that_stays_cold_has_no_doubts_of_growth():
    course = facts(plan(step("hold", **FRIDGE, minutes=HOUR), COOK)).course
    for name in ("spore_growth_log", "cooked_poison_log", "cold_growth_log", "staph_growth_log"):
        assert course[name].doubts == (), name


# --- heat after the cook that is no heat for the meat

BRAISED = step("braise", place="braise", temperature=95, minutes=4 * HOUR)


def test_a_low_oven_after_the_cook_counts_as_the_warm_hold_that_it_is():
    """Both are walked through the same dry air; what the step is called changes nothing of what grows."""
    low = [step(action, place="oven_still", temperature=60, minutes=8 * HOUR) for action in ("oven", "hold")]
    cooked, held = (grown("spore_growth_log", BRAISED, one, thickness=40.0) for one in low)
    assert cooked >= RULEBASE.limit("spore_growth_stop")
    assert cooked == pytest.approx(held, abs=1)
    hot = step("oven", place="oven_still", temperature=95, minutes=8 * HOUR)
    assert grown("spore_growth_log", BRAISED, hot, thickness=40.0) == 0


def test_a_warm_wait_does_not_make_a_slow_reheat_a_fast_one():
    ice = step("ice", place="ice_bath", temperature=0.5, minutes=5 * HOUR)
    cold = [BRAISED, ice, step("hold", place="fridge_still", temperature=4, minutes=2 * DAY)]
    again = step("oven", place="oven_still", temperature=140, minutes=5 * HOUR)
    out = step("hold", place="counter", temperature=24, minutes=110)
    at_once = grown("spore_growth_log", *cold, again)
    assert at_once > RULEBASE.limit("spore_growth_max")
    assert grown("spore_growth_log", *cold, out, again) >= at_once


@pytest.mark.parametrize(("degrees", "counts"), [(-0.3, True), (-1.5, True), (-5, False), (-18, False)])
def test_a_freezer_hardly_below_nought_stops_no_clock(degrees, counts):
    days = grown("cold_days", BRAISED, ICE, step("hold", place="freezer", temperature=degrees, minutes=50 * DAY))
    assert (days > RULEBASE.limit("cooked_cold_max")) == counts
