"""Official time and temperature tables, row by row, and cases worked from them down the whole road."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from advisor.case.facts import Fact, FactSet
from advisor.course.afterwards import cooling_facts
from advisor.course.official import longest, rows, standing
from advisor.course.walk import Leg, Phase, Walked
from advisor.infer import infer
from advisor.science.stays import DwellRow

PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "food_code_cases.yaml")
TABLES = PUBLISHED["tables"]
COOLING = ("cool_stage_one", "cool_all", "cool_reached_first", "cool_reached_cold", "cool_end", "cools")


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def met_from(fahrenheit, printed_c):
    """Temperature from which a row is met: its Fahrenheit, or the rounded Celsius printed beside it if lower."""
    return min(celsius(fahrenheit), printed_c)


ROWS = [(name, *row) for name, table in TABLES.items() for row in table["rows"]]
EACH_ROW = pytest.mark.parametrize(("name", "fahrenheit", "printed", "seconds"), ROWS)
EACH_ROW_WITH_A_TIME = pytest.mark.parametrize(
    ("name", "fahrenheit", "printed", "seconds"), [row for row in ROWS if row[3] > 0]
)


def history(points, step=0):
    """Make a walk whose middle goes through points of seconds and °C in straight lines."""
    times, temps = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    return Leg(step, times, float(temps[-1]), temps[:, None], temps, temps, temps)


def held(temp_c, seconds, table):
    return standing((Walked((history([(0, temp_c), (seconds, temp_c)]),)),), (Phase(0, 0, 0, frozenset({0})),), table)


def published(names):
    """Give the rows that were published for some tables, as the course would have them."""
    worst = {}
    for name in names:
        for fahrenheit, _, seconds in TABLES[name]["rows"]:
            worst[fahrenheit] = max(seconds, worst.get(fahrenheit, 0))
    return worst


# --- row by row


@pytest.mark.parametrize("name", TABLES)
def test_the_rulebase_has_the_published_rows_and_no_other(name, rulebase):
    have = {row.f: (row.s if isinstance(row.s, float | int) else max(row.s)) for row in rulebase.tables[name].rows}
    assert have == published([name])


@pytest.mark.parametrize("name", TABLES)
def test_the_celsius_of_a_row_is_its_fahrenheit(name, rulebase):
    for row in rulebase.tables[name].rows:
        assert row.c == pytest.approx(celsius(row.f), abs=0.005), row.f
    printed = {row.f: row.c_printed for row in rulebase.tables[name].rows}
    assert printed == {fahrenheit: celsius_ for fahrenheit, celsius_, _ in TABLES[name]["rows"]}


@EACH_ROW
def test_a_history_at_a_row_for_its_time_meets_it(name, fahrenheit, printed, seconds, rulebase):
    for temp in (celsius(fahrenheit), printed):
        assert held(temp, seconds, rows((name,), rulebase)).share >= 1


@EACH_ROW_WITH_A_TIME
def test_a_second_less_than_a_row_asks_does_not_meet_it(name, fahrenheit, printed, seconds, rulebase):
    stand = held(celsius(fahrenheit), seconds - 1, rows((name,), rulebase))
    assert stand.share < 1
    assert stand.needs_min == pytest.approx(seconds / 60)
    assert stand.row_c == pytest.approx(met_from(fahrenheit, printed))
    assert stand.held_min == pytest.approx((seconds - 1) / 60)


@EACH_ROW
def test_a_tenth_of_a_degree_below_a_row_counts_as_the_next_lower_row(name, fahrenheit, printed, seconds, rulebase):
    stand = held(met_from(fahrenheit, printed) - 0.1, max(seconds, 1), rows((name,), rulebase))
    lower = [row for row in TABLES[name]["rows"] if row[0] < fahrenheit]
    if not lower:
        assert stand.share == 0
        return
    below, printed_below, asks = max(lower)
    assert (stand.share >= 1) == (asks <= max(seconds, 1))
    if asks > 0:
        assert stand.row_c == pytest.approx(met_from(below, printed_below))
        assert stand.needs_min == pytest.approx(asks / 60)


def test_between_two_rows_the_lower_one_asks_its_whole_time(rulebase):
    """At 132 °F the roast table prints nothing: 89 minutes, as at 131 °F, and no less."""
    table = rows(("roast_table",), rulebase)
    assert held(celsius(132), 89 * 60, table).share >= 1
    assert held(celsius(132), 89 * 60 - 1, table).share < 1


def test_a_bird_of_unknown_kind_takes_the_longer_of_two_tables(rulebase):
    both = longest(("chicken_7_log", "turkey_7_log"), rulebase)
    wanted = published(["chicken_7_log", "turkey_7_log"])
    assert [row.seconds for row in both] == [seconds for _, seconds in sorted(wanted.items())]


def test_two_stays_parted_by_a_chill_are_not_added_up(rulebase):
    table = rows(("roast_table",), rulebase)
    parts = [(0, 60), (400, 60), (500, 5), (600, 60), (1000, 60)]
    one = Walked((history(parts),))
    assert standing((one,), (Phase(0, 0, 0, frozenset({0})),), table).share < 1


def test_of_two_walks_the_worse_one_decides(rulebase):
    table = rows(("roast_table",), rulebase)
    good = Walked((history([(0, 60), (720, 60)]),))
    bad = Walked((history([(0, 60), (360, 60)]),))
    for walks in ((good, bad), (bad, good)):
        assert standing(walks, (Phase(0, 0, 0, frozenset({0})),), table).share == pytest.approx(0.5)


# --- cases worked beforehand


def _table_of(case, rulebase):
    if "fat" not in case:
        return longest(tuple(case["tables"]), rulebase)
    table = rulebase.tables[case["tables"][0]]
    column = table.fat_columns.index(case["fat"])
    return tuple(DwellRow(met_from(row.f, row.c_printed), float(row.s[column])) for row in table.rows)


@pytest.mark.parametrize("case", PUBLISHED["dwell_cases"], ids=lambda case: case["id"])
def test_dwell(case, rulebase):
    temp = case["C"] if "C" in case else celsius(case["F"])
    seconds = case.get("dwell_s", case.get("dwell_min", 0) * 60)
    share = held(temp, seconds, _table_of(case, rulebase)).share
    assert (share >= 1) == case["passes"], (case["food"], share)


def _cooled(points, rulebase):
    fall = [(hours * 3600, celsius(fahrenheit)) for hours, fahrenheit in points]
    hot = [(0, celsius(150)), (600, celsius(135))]
    walked = Walked((history(hot), history([(600 + s, c) for s, c in fall], step=1)))
    return cooling_facts(walked, ("cook", "cool"), rulebase)


@pytest.mark.parametrize("case", PUBLISHED["cooling_cases"], ids=lambda case: case["id"])
def test_cooling(case, rulebase):
    values = _cooled(case["points"], rulebase)
    found = infer(rulebase, facts(course={name: values[name] for name in COOLING}))
    stages = {"cool.first_stage", "cool.both_stages", "cool.first_not_reached", "cool.cold_not_reached"}
    broken = stages & rules_of(found)
    assert (not broken) == case["passes"], values


def test_cooling_times_are_those_of_the_history(rulebase):
    values = _cooled([[0, 135], [1.5, 70], [4.5, 41]], rulebase)
    assert values["cool_stage_one"] == pytest.approx(90, abs=1)
    assert values["cool_all"] == pytest.approx(270, abs=1)
    assert values["cool_reached_cold"] == "yes"


def test_a_fall_that_never_gets_cold_is_not_taken_as_done(rulebase):
    values = _cooled([[0, 135], [1.5, 70], [4, 45]], rulebase)
    assert values["cool_reached_first"] == "yes"
    assert values["cool_reached_cold"] == "no"
    assert values["cool_all"] == pytest.approx(240, abs=1)


def facts(steps=(), **groups):
    def group(place, values):
        return {name: Fact(place, name, value, "written") for name, value in values.items()}

    return FactSet(
        **{subject: group(subject, values) for subject, values in groups.items()},
        steps=tuple(group(f"step{number}", step) for number, step in enumerate(steps, start=1)),
    )


def rules_of(inference):
    return {finding.rule.rule.id for finding in inference.findings}


def harsh(inference):
    """Findings of safety and law that do not let the plan go as it is, with their verdicts."""
    return {
        finding.rule.rule.id: finding.verdict
        for finding in inference.findings
        if finding.concern in ("safety", "law") and finding.verdict != "go"
    }


@pytest.mark.parametrize(("minutes", "passes"), [(360.0, True), (480.0, False)], ids=["s01", "s02"])
def test_come_up(minutes, passes, rulebase):
    """50 to 130 °F in six hours passes; eight in a large piece that is not intact does not."""
    found = infer(
        rulebase,
        facts(
            piece={"standing": "not_intact", "cook_class": "broken_meat", "animal": "beef"},
            course={"come_up_core": minutes, "come_up_surface": 30.0},
        ),
    )
    assert ("cook.come_up" not in rules_of(found)) == passes


# --- the whole road

ORDINARY = "guests: {setting: work, vulnerable: no, advisory: no, approval: no, latex: no}"
HOME = "guests: {setting: home, vulnerable: no, advisory: no, approval: no, latex: no}"
STEAK = (
    "animal: beef, cut: sirloin flap, weight: 1 kg, thickness: 25 mm, form: steak, arrived: intact, start_state: fridge"
)


def plan(steps, piece=STEAK, guests=ORDINARY):
    return f"piece: {{{piece}}}\n{guests}\nsteps:\n" + "".join(f"  - {{{step}}}\n" for step in steps)


RARE = ["do: dry", "do: pan, for: 4 min, sides: 2", "do: serve"]


def test_s07_a_night_on_the_counter_is_thrown_out_and_the_same_in_the_fridge_is_not(road):
    counter = plan(["do: marinate, place: counter, at: 21 C, for: 12 h, with: soy sauce", *RARE])
    assert harsh(road(counter))["hold.warm_raw_long"] == "stop"
    fridge = plan(["do: marinate, place: fridge, at: 5 C, for: 12 h, with: soy sauce", *RARE])
    assert not {rule for rule in harsh(road(fridge)) if rule.startswith("hold.")}


def test_s08_three_quarters_of_an_hour_out_before_the_sear_passes(road):
    found = road(plan(["do: hold, place: counter, at: 22 C, for: 45 min", *RARE]))
    assert harsh(found) == {}


def test_s09_an_hour_and_a_half_in_a_hot_kitchen_fails(road):
    found = harsh(road(plan(["do: hold, place: counter, at: 35 C, for: 90 min", *RARE])))
    assert found["hold.hot_room"] == "change"


def test_s10_a_thaw_under_the_tap_and_work_of_four_and_a_half_hours_fails(road):
    piece = STEAK.replace("fridge", "frozen")
    steps = [
        "do: thaw, place: running water, at: 21 C, for: 3 h",
        "do: score, depth: 5 mm, for: 90 min",
        *RARE,
    ]
    assert "hold.warm_raw_long" in harsh(road(plan(steps, piece)))


ROAST = STEAK.replace(
    "sirloin flap, weight: 1 kg, thickness: 25 mm, form: steak",
    "bottom round, weight: 1.5 kg, thickness: 60 mm, form: roast",
)


def hot_held(core, minutes, at):
    return [
        "do: bag",
        f"do: bath, at: {core + 1} C, for: {minutes} min",
        f"do: hot_hold, at: {at}, for: 60 min",
        "do: serve",
    ]


def test_s16_a_roast_held_at_131_f_is_refused_here_and_the_rule_says_that_the_code_allows_it(road, rulebase):
    """The code lets roasts be held at 130 °F; we hold all food to 135 °F, the stricter, and say so.

    40 mm thick: at 60 mm the slow end of the come-up in a still bath would be a second finding.
    """
    found = harsh(road(plan(hot_held(58, 600, "131 F"), ROAST.replace("60 mm", "40 mm"))))
    assert found == {"hold.hot_low": "change"}
    assert "roast" in rulebase.rules["hold.hot_low"].rule.contested.lower()


def test_s17_a_stew_held_at_131_f_fails_and_at_135_f_passes(road):
    piece = ROAST.replace("form: roast", "form: cubes")
    cook = ["do: braise, at: 95 C, for: 3 h"]
    low = harsh(road(plan([*cook, "do: hot_hold, at: 131 F, for: 60 min", "do: serve"], piece)))
    assert low["hold.hot_low"] == "change"
    assert harsh(road(plan([*cook, "do: hot_hold, at: 135 F, for: 60 min", "do: serve"], piece))) == {}


def test_s18_raw_garlic_sealed_on_the_bench_for_three_days_stops(road):
    steps = ["do: marinate, place: counter, at: 21 C, for: 3 days, sealed: yes, with: garlic", *RARE]
    found = harsh(road(plan(steps)))
    assert found["seal.aromatic_warm_hold"] == "stop"
    assert found["seal.botulinum_growth"] == "stop"


def test_s22_a_scored_and_marinated_steak_seared_round_a_rare_middle_fails(road):
    steps = [
        "do: score, depth: 5 mm",
        "do: marinate, place: fridge, at: 4 C, for: 2 h, with: soy sauce",
        *RARE,
    ]
    found = road(plan(steps))
    assert float(found.facts.course["core_peak"].value) < 54
    assert found.facts.piece["standing"].value == "not_intact"
    assert harsh(found)["cook.broken"] == "change"


def test_an_injected_steak_that_leaves_a_low_bath_when_its_core_reads_53_fails(road):
    steps = [
        "do: inject, pump_pct: 10 %, with: [{what: water, amount: 100 g}, {what: salt, amount: 12 g}]",
        "do: bag",
        "do: bath, place: bath, at: 54.5 C, until_core: 53.3 C",
        "do: dry",
        "do: pan, for: 1 min",
        "do: slice, direction: across grain, slice_thickness: 5 mm",
        "do: serve",
    ]
    found = road(plan(steps, STEAK.replace("25 mm", "1 1/4 in")))
    assert harsh(found)["cook.broken"] == "change"
    line = next(finding for finding in found.findings if finding.rule.rule.id == "cook.to_order_line")
    assert line.verdict == "go"
    assert "never" in line.says


def test_what_is_enough_at_145_f_for_an_intact_steak_is_not_enough_for_a_pounded_one(road):
    """Fifteen seconds against three minutes; a pounded steak is no longer intact."""
    piece = STEAK.replace("25 mm", "12 mm").replace("animal: beef", "animal: pork").replace("sirloin flap", "not known")
    cook = [
        "do: bag",
        "do: bath, at: 75 C, until_core: 62.8 C",
        "do: bath, at: 75 C, for: 15 s",
        "do: ice, for: 60 min",
    ]
    intact = road(plan(cook, piece))
    pounded = road(plan(["do: pound, thickness_after: 12 mm", *cook], piece))
    assert float(intact.facts.course["core_peak"].value) == pytest.approx(63.1, abs=0.5)
    assert harsh(intact) == {}
    assert harsh(pounded)["cook.broken"] == "change"


def test_a_pounded_steak_held_three_minutes_at_145_f_passes_the_table_and_not_the_model(road):
    """The code allows it. A probe that reads a degree high leaves the model short of its kill, and the plan says so."""
    cook = [
        "do: bag",
        "do: bath, at: 63.5 C, until_core: 62.9 C",
        "do: bath, at: 63.5 C, for: 3 min",
        "do: serve",
    ]
    assert harsh(road(plan(["do: pound, thickness_after: 12 mm", *cook]))) == {"cook.model": "change"}


@pytest.mark.parametrize("advisory", ["no", "yes"])
def test_a_steak_under_raw_pineapple_served_rare_draws_a_caution_unless_the_menu_warns(advisory, road):
    softened = "do: marinate, place: fridge, at: 4 C, for: 2 h, with: {what: pineapple, form: fresh, amount: 50 g}"
    found = road(plan([softened, "do: wipe", *RARE], guests=ORDINARY.replace("advisory: no", f"advisory: {advisory}")))
    assert found.facts.piece["standing"].value == "in_doubt"
    doubt = [finding for finding in found.findings if finding.rule.rule.id == "cook.doubtful"]
    assert [(finding.verdict, finding.signal) for finding in doubt] == (
        [("change", "CAUTION")] if advisory == "no" else []
    )
    assert "cook.to_order_line" in rules_of(found)


def test_an_intact_beef_steak_seared_on_both_faces_passes_for_ordinary_guests_only(road):
    assert harsh(road(plan(RARE))) == {}
    assert harsh(road(plan(RARE, guests=HOME))) == {}
    facility = harsh(road(plan(RARE, guests=ORDINARY.replace("vulnerable: no", "vulnerable: facility"))))
    assert facility["guests.facility_raw"] == "stop"
    some = harsh(road(plan(RARE, guests=ORDINARY.replace("vulnerable: no", "vulnerable: some"))))
    assert some["guests.some_raw"] == "change"


def test_an_intact_beef_steak_seared_on_one_face_only_fails(road):
    assert "cook.whole_steak" in harsh(road(plan(["do: dry", "do: pan, for: 4 min, sides: 1", "do: serve"])))


@pytest.mark.parametrize(("animal", "cut"), [("lamb", "leg of lamb"), ("pork", "loin"), ("veal", "not known")])
def test_only_beef_may_be_cooked_by_its_outside(animal, cut, road):
    piece = STEAK.replace("animal: beef, cut: sirloin flap", f"animal: {animal}, cut: {cut}")
    found = road(plan(RARE, piece))
    assert float(found.facts.course["surface_peak"].value) > 63
    assert harsh(found)["cook.whole"] == "change"


def test_kill_is_not_added_up_across_a_chill(road):
    """Twice half of a row is not a row."""
    half = [
        "do: bag",
        "do: bath, at: 66 C, until_core: 59 C",
        "do: bath, at: 60.6 C, for: 12 min",
        "do: ice, for: 2 h",
    ]
    once = road(plan(["do: needle", *half, "do: serve"]))
    twice = road(plan(["do: needle", *half, *half, "do: serve"]))
    assert 0.5 < float(once.facts.course["broken_share"].value) < 1
    assert harsh(twice)["cook.broken"] == "change"


def bathed(minutes):
    return [
        "do: bag",
        "do: bath, at: 62 C, until_core: 60.05 C",
        f"do: bath, at: 60.6 C, for: {minutes} min",
        "do: serve",
    ]


def animal(name, cut):
    return ROAST.replace("animal: beef, cut: bottom round", f"animal: {name}, cut: {cut}").replace("60 mm", "30 mm")


def test_a_hunted_boar_at_60_c_for_12_minutes_fails(road):
    assert harsh(road(plan(bathed(12), animal("wild boar", "not known"))))["cook.wild"] == "change"


def test_a_pork_loin_roast_at_60_c_passes_after_12_minutes_and_not_at_once(road):
    assert harsh(road(plan(bathed(12), animal("pork", "loin")))) == {}
    assert harsh(road(plan(bathed(0), animal("pork", "loin"))))["cook.whole"] == "change"


def test_a_chicken_by_the_times_for_red_meat_fails(road):
    assert harsh(road(plan(bathed(12), animal("chicken", "not known"))))["cook.bird"] == "change"


def test_a_chicken_by_the_plant_table_passes_at_home_and_needs_the_inspector_at_work(road):
    at_60_c_for_an_hour = bathed(60)
    assert harsh(road(plan(at_60_c_for_an_hour, animal("chicken", "not known"), HOME))) == {}
    work = harsh(road(plan(at_60_c_for_an_hour, animal("chicken", "not known"))))
    assert work == {"cook.bird_chart": "change"}
