"""What nobody knows exactly: both ends are worked out, the worse one decides, and the plan shows the range."""

from datetime import datetime

import numpy as np
import pytest

from advisor.advice.report import examine
from advisor.case.complete import complete
from advisor.case.model import Case, Given, PlanStep
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.course import course_facts, walk
from advisor.course.ends import ends
from advisor.course.piece import piece
from advisor.course.ranges import worst_of
from advisor.show.record import record

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
COOKED_AND_CHILLED = """
piece: {{animal: beef, cut: bottom round, form: roast, weight: 1 kg, thickness: 50 mm{more}}}
guests: {{setting: home, vulnerable: no}}
steps:
  - {{do: needle}}
  - {{do: bag}}
  - {{do: bath, place: water bath, at: 60 C, {bath}}}
  - {{do: ice, for: 5 h}}
  - {{do: chill, at: 3 C, for: 24 h}}
"""


def plan(bath="for: 6 h", more=""):
    return COOKED_AND_CHILLED.format(bath=bath, more=f", {more}" if more else "")


@pytest.fixture(scope="module")
def read(rulebase):
    return lambda text: read_plan(text, rulebase, NOW)


@pytest.fixture(scope="module")
def facts(rulebase, read):
    return lambda text: course_facts(read(text), rulebase).facts


def value(found, name):
    return float(found.course[name].value)


def test_the_value_of_a_time_is_its_worse_end(facts):
    found = facts(plan())
    for name in ("come_up_core", "cool_stage_one", "cool_all", "spore_growth_log", "raw_growth_inside_log"):
        fact = found.course[name]
        assert fact.low <= fact.value == fact.high, name
    assert found.course["come_up_core"].low < found.course["come_up_core"].high
    core = found.course["core_peak"]
    assert core.low == core.value <= core.high


def test_the_slow_end_is_slow_and_the_fast_end_fast(rulebase, read):
    course = walk(complete(read(plan()), rulebase), rulebase)
    warming = [float(walked.of_step(2).centre_c[60]) for walked in course.all]
    assert warming == sorted(warming)
    cooling = [float(walked.of_step(3).centre_c[60]) for walked in course.all]
    assert cooling == sorted(cooling, reverse=True)


def test_the_ends_are_those_the_rulebase_gives(rulebase, read):
    slow, typical, fast = ends(complete(read(plan()), rulebase), rulebase)
    off = rulebase.parameter("thickness_reading_mm")
    assert (slow.sides_mm, typical.sides_mm, fast.sides_mm) == ((50 + off,), (50,), (50 - off,))
    bath = rulebase.media["bath_circulated"]
    assert slow.surface_h(bath) <= typical.surface_h(bath) <= fast.surface_h(bath)
    assert slow.diffusivity < typical.diffusivity < fast.diffusivity
    assert slow.colder_c == -fast.colder_c == rulebase.parameter("start_reading_c")
    assert all(
        medium.surface_h_low <= medium.surface_h_w_m2k <= medium.surface_h_high for medium in rulebase.media.values()
    )


def test_a_probe_that_reads_high_counts_against_the_model_and_not_against_the_laws_own_reading(facts, rulebase, read):
    found = facts(plan("until_core: 58 C"))
    case = complete(read(plan("until_core: 58 C")), rulebase)
    course = walk(case, rulebase)
    right, high = (
        max(float(w.of_step(2).centre_c[-1]) for w in walks) for walks in (course.cold_start, course.cold_probe)
    )
    assert right == pytest.approx(58, abs=0.1)
    assert high == pytest.approx(58 - rulebase.parameter("probe_reading_c"), abs=0.1)
    spent = found.steps[2]["minutes"]
    assert spent.low < spent.value == spent.high


def test_a_piece_whose_three_sides_are_known_heats_faster_and_never_slower(facts):
    flat, block = facts(plan()), facts(plan(more="width: 80 mm, length: 120 mm"))
    assert value(block, "kill_share") > value(flat, "kill_share")
    assert value(block, "come_up_core") < value(flat, "come_up_core")
    assert value(block, "cool_all") < value(flat, "cool_all")


def test_a_round_piece_heats_faster_than_a_flat_one_and_slower_than_a_textbook_cylinder(facts, rulebase, read):
    assert value(facts(plan(more="shape: round")), "come_up_core") < value(facts(plan()), "come_up_core")
    slow, *_ = ends(complete(read(plan(more="shape: round")), rulebase), rulebase)
    assert 0 < piece(complete(read(plan(more="shape: round")), rulebase), slow, rulebase).exponent < 1


@pytest.mark.parametrize("worse", ["bone: yes", "bone: not known", "shape: rolled", "shape: not known"])
def test_bone_and_rolling_slow_the_heat_and_take_away_the_other_sides(worse, facts):
    plain, slowed = facts(plan(more="width: 80 mm")), facts(plan(more=f"width: 80 mm, {worse}"))
    assert value(slowed, "kill_share") < value(plain, "kill_share")
    assert value(slowed, "cool_all") > value(plain, "cool_all")
    assert slowed.course["come_up_core"].high > plain.course["come_up_core"].high


@pytest.mark.parametrize("how", ["touching", "floating"])
def test_bags_that_touch_or_float_widen_the_range_and_raise_a_finding(how, facts, rulebase, read):
    text = plan(f"for: 6 h, bags: {how}")
    apart, close = facts(plan()), facts(text)
    assert value(close, "kill_share") < value(apart, "kill_share")
    spans = [found.course["come_up_core"].high - found.course["come_up_core"].low for found in (apart, close)]
    assert spans[1] > 2 * spans[0]
    report = examine(read(text), rulebase)
    found = {f.rule.rule.id: f.verdict for f in report.inference.findings}
    assert found["bath.bags"] == "change"
    assert "bath.bags" not in {f.rule.rule.id for f in examine(read(plan()), rulebase).inference.findings}


def test_a_rolled_joint_is_not_intact(facts, rulebase, read):
    text = plan(more="shape: rolled").replace("  - {do: needle}\n", "")
    assert examine(read(text), rulebase).inference.facts.piece["standing"].value == "not_intact"
    assert facts(text).course["pierces"].value == "no"


def test_fat_when_known_moves_the_typical_heat_and_only_ever_lowers_the_slow_end(rulebase, read):
    plain = ends(complete(read(plan()), rulebase), rulebase)
    lean, fatty = (ends(complete(read(plan(more=f"fat: {pct} %")), rulebase), rulebase) for pct in (3, 40))
    assert fatty[1].diffusivity < lean[1].diffusivity
    assert fatty[0].diffusivity < plain[0].diffusivity
    assert lean[0].diffusivity <= plain[0].diffusivity


def test_a_frozen_piece_needs_the_time_its_ice_needs(facts):
    def thawed(hours):
        more = "start_state: frozen, start_temperature: -18 C"
        return plan(more=more).replace(
            "  - {do: needle}\n", f"  - {{do: thaw, place: fridge, at: 4 C, for: {hours} h}}\n"
        )

    short, long = facts(thawed(13)), facts(thawed(72))
    assert short.course["still_frozen"].value == "yes"
    assert long.course["still_frozen"].value == "no"
    assert value(short, "kill_share") < value(long, "kill_share")
    assert float(long.course["thaw_needs"].value) / 60 > 13
    assert long.course["thaw_needs"].low < long.course["thaw_needs"].high


def test_a_longer_thaw_in_the_fridge_never_leaves_more_ice(rulebase):
    def middle(hours, thickness):
        steps = (
            PlanStep(
                "thaw",
                {
                    "place": Given("fridge_still"),
                    "temperature": Given(4.0),
                    "minutes": Given(hours * 60.0),
                },
            ),
        )
        given = {
            "animal": Given("beef"),
            "start_state": Given("frozen"),
            "start_temperature": Given(-18.0),
            "thickness": Given(thickness),
        }
        course = walk(complete(Case(piece=given, steps=steps), rulebase), rulebase)
        return float(course.slow.of_step(0).centre_c[-1])

    temps = [middle(hours, 40.0) for hours in (1, 6, 12, 24, 48)]
    assert np.all(np.diff(temps) >= -1e-6)
    assert middle(12, 80.0) <= middle(12, 40.0)


def test_a_model_asked_beyond_its_range_says_so_on_the_finding_and_in_the_machines_copy(rulebase, read):
    """Meat on a counter for days: growth beyond what any model counts."""
    text = """
piece: {animal: beef, cut: bottom round, form: steak, weight: 1 kg, thickness: 30 mm}
guests: {setting: home, vulnerable: no}
steps:
  - {do: hold, place: counter, at: 30 C, for: 2 days}
  - {do: pan, for: 5 min}
"""
    report = examine(read(text), rulebase)
    doubtful = [f for f in report.inference.findings if f.doubts]
    assert doubtful
    told = record(report, (), rulebase)
    assert any(f["doubts"] for f in told["findings"])
    assert any(f["doubts"] for f in told["facts"])


def test_what_chills_at_one_end_only_is_still_judged():
    """A wait that is a chill at the slow end and a mere dip at the fast one counts as a chill."""
    joined = worst_of([{"cools": "yes", "cool_all": 400.0}, {"cools": "no"}])
    assert joined["cools"].value == "yes"
    assert worst_of([{"cool_reached_cold": "yes"}, {"cool_reached_cold": "no"}])["cool_reached_cold"].value == "no"


def test_a_plain_piece_and_bags_apart_are_assumptions_said_aloud(rulebase, read):
    told = " ".join(examine(read(plan()), rulebase).assumed)
    assert "bone" in told
    assert "bags" in told


def test_bags_that_nobody_knows_of_are_taken_to_touch(facts):
    unknown = facts(plan("for: 6 h, bags: not known"))
    assert value(unknown, "kill_share") == value(facts(plan("for: 6 h, bags: touching")), "kill_share")


def test_a_side_less_than_the_thickness_is_a_slip_of_the_pen(read):
    with pytest.raises(PlanErrors, match="less than the thickness"):
        read(plan(more="width: 8 mm"))


def test_meat_fatter_than_any_that_was_held_against_is_doubted_in_what_the_walk_gave(rulebase):
    def doubts(fat):
        text = f"""
piece: {{animal: pork, cut: belly, form: steak, weight: 1 kg, thickness: 30 mm, fat: {fat} %}}
guests: {{setting: home, vulnerable: "no"}}
steps:
  - {{do: pan, for: 5 min}}
  - {{do: serve}}
"""
        facts = course_facts(read_plan(text, rulebase, NOW), rulebase).facts.course
        return [doubt for doubt in facts["core_peak"].doubts if "by its fat" in doubt]

    assert doubts(20) == []
    assert doubts(70) == ["composition of meat by its fat: fat of 0.7 lies outside 0 to 0.5, where it was checked"]
