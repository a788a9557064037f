"""What a probe recorded stands in the place of the model: what happened decides, and a gap proves nothing."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from advisor.advice.report import examine
from advisor.case.probe import read_log
from advisor.case.read_plan import read_plan
from advisor.units import write_quantity

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
PLAN = """
piece: {animal: beef, cut: bottom round, form: roast, weight: 1 kg, thickness: 40 mm}
guests: {setting: home, vulnerable: no}
steps:
  - {do: needle}
  - {do: bag}
  - {do: bath, place: water bath, at: 60 C, for: 5 h}
  - {do: ice, for: 3 h}
  - {do: chill, at: 3 C, for: 24 h}
"""
BIRD = PLAN.replace("beef", "chicken").replace("bottom round", "not known")


def csv(minutes, temps, fahrenheit=False):
    unit = "°F" if fahrenheit else "°C"
    shown = [temp * 1.8 + 32 if fahrenheit else temp for temp in temps]
    stamps = [datetime.fromtimestamp(1764064800 + 60 * m, ZoneInfo("UTC")).isoformat() for m in minutes]
    return f"time,core {unit}\n" + "\n".join(f"{s},{t:.3f}" for s, t in zip(stamps, shown, strict=True))


@pytest.fixture(scope="module")
def run(rulebase):
    def examined(plan, text=None, log_from=None):
        case = read_plan(plan, rulebase, NOW)
        if text is not None:
            case = replace(case, log=read_log(text, "core.csv", ZoneInfo("UTC")), log_from=log_from)
        return examine(case, rulebase)

    return examined


@pytest.fixture(scope="module")
def modelled(run):
    """The plan's own course, minute by minute from the bath on."""
    course = run(PLAN).computed.course.typical
    times = np.concatenate([leg.times_s for leg in course.legs if leg.step >= 2]) / 60
    temps = np.concatenate([leg.centre_c for leg in course.legs if leg.step >= 2])
    minutes = np.arange(0, int(times[-1] - times[0]))
    return minutes, np.interp(minutes, times - times[0], temps)


def rules(report):
    return {f.rule.rule.id: f.verdict for f in report.problems}


def value(report, name):
    return report.computed.facts.course[name].value


def test_a_record_of_what_the_model_expects_gives_what_the_model_gives(run, modelled):
    report, plain = run(PLAN, csv(*modelled)), run(PLAN)
    assert "cook.broken" not in rules(report)
    assert report.verdict == plain.verdict
    assert value(report, "cool_stage_one") == pytest.approx(
        float(plain.computed.facts.course["cool_stage_one"].value), rel=0.25
    )


def test_the_unit_of_the_record_changes_nothing(run, modelled):
    celsius, fahrenheit = run(PLAN, csv(*modelled)), run(PLAN, csv(*modelled, fahrenheit=True))
    for name in ("kill_share", "cool_all", "core_peak"):
        assert value(celsius, name) == pytest.approx(value(fahrenheit, name), rel=1e-3)


def test_noise_of_a_tenth_of_a_degree_changes_little(run, modelled):
    minutes, temps = modelled
    noisy = temps + np.random.default_rng(7).normal(0, 0.1, temps.size)
    assert value(run(PLAN, csv(minutes, noisy)), "kill_share") == pytest.approx(
        value(run(PLAN, csv(*modelled)), "kill_share"), rel=0.05
    )


def test_a_record_that_never_got_there_fails_whatever_the_plan_promised(run, modelled):
    minutes, temps = modelled
    report = run(PLAN, csv(minutes, np.minimum(temps, 53.0)))
    assert rules(report)["cook.broken"] == "change"
    assert value(report, "kill_share") == 0


def test_the_probes_error_counts_against_the_cook(run):
    """A core of 54.9 °C for six hours is above the lowest row; a probe that may be a degree off does not prove it."""
    minutes = np.arange(0, 600)
    held = np.where(minutes < 60, 5 + minutes * 49.9 / 60, np.where(minutes < 420, 54.9, 4.0))
    assert rules(run(PLAN, csv(minutes, held)))["cook.broken"] == "change"
    hotter = np.where(minutes < 60, 5 + minutes * 53 / 60, np.where(minutes < 420, 58.0, 4.0))
    assert "cook.broken" not in rules(run(PLAN, csv(minutes, hotter)))


def test_a_gap_across_the_heat_proves_nothing_and_asks(run, modelled):
    minutes, temps = modelled
    kept = (minutes < 20) | (minutes > 298)
    report = run(PLAN, csv(minutes[kept], temps[kept]))
    assert report.verdict != "go"
    assert rules(report)["record.gap"] == "ask"
    assert value(report, "kill_share") < 0.1 * value(run(PLAN, csv(*modelled)), "kill_share")
    assert value(report, "log_gap_minutes") == pytest.approx(279, abs=2)


def test_a_gap_while_the_meat_is_cold_is_no_matter(run, modelled):
    minutes, temps = modelled
    late = minutes[-1] - 600
    kept = (minutes < late) | (minutes > late + 300)
    assert np.all(temps[minutes > late] < 4)
    assert "record.gap" not in rules(run(PLAN, csv(minutes[kept], temps[kept])))


def test_more_gaps_never_make_a_better_verdict(run, modelled):
    minutes, temps = modelled
    order = ("go", "change", "ask", "stop")
    whole = order.index(run(PLAN, csv(*modelled)).verdict)
    for begins in range(0, 400, 40):
        kept = (minutes < begins) | (minutes > begins + 60)
        assert order.index(run(PLAN, csv(minutes[kept], temps[kept])).verdict) >= whole


def test_rows_that_could_not_be_read_are_told(run, modelled):
    text = csv(*modelled) + "\nnonsense,4\n"
    report = run(PLAN, text)
    assert "record.lost" in {f.rule.rule.id for f in report.notes}


def test_a_drifting_probe_does_not_pass_by_drifting_up(run, modelled):
    minutes, temps = modelled
    low = np.minimum(temps, 52.0) + minutes * 0.5 / minutes[-1]
    assert "cook.broken" in rules(run(PLAN, csv(minutes, low)))


def test_a_roast_cooled_slower_than_the_codes_stages_is_found_by_its_record(run):
    minutes = np.arange(0, 16 * 60)
    hot = np.where(minutes < 300, np.minimum(60.0, 5 + minutes), 3 + 57 * np.exp(-(minutes - 300) / 240))
    found = rules(run(PLAN, csv(minutes, hot)))
    # By hand: 54.2 °C fall to 18.1 in 240 ln(54.2/18.1) = 4.4 h, and the record ends at 3 + 57 exp(-2.75) = 6.6 °C.
    assert {"cool.first_stage", "cool.cold_not_reached"} <= set(found)


@pytest.mark.parametrize(("chilled_min", "mark"), [(30, "cool.first_not_reached"), (150, "cool.cold_not_reached")])
def test_a_record_that_ends_before_the_mark_says_where_it_ends(run, chilled_min, mark):
    """3 + 57 exp(-t/60) is 37.6 °C after 30 min and 7.7 °C after 150 min, each with the clock not yet over."""
    plan = PLAN[: PLAN.index("  - {do: ice")] + "  - {do: ice, for: 30 min}\n"
    minutes = np.arange(0, 300 + chilled_min + 1)
    temps = np.where(minutes < 300, np.minimum(60.0, 5 + minutes), 3 + 57 * np.exp(-(minutes - 300) / 60))
    report = run(plan, csv(minutes, temps))
    said = {f.rule.rule.id: f.says for f in report.problems}
    assert mark in said
    assert not {"cool.first_stage", "cool.both_stages"} & set(said)
    ends = 3 + 57 * np.exp(-chilled_min / 60) + 1
    assert f"the middle is at {write_quantity(ends, 'temperature', 'metric')}" in said[mark]


@pytest.mark.parametrize(
    ("animal", "core_c", "minutes", "table"),
    [
        # FSIS Appendix A (2021), meat, 6.5 log: 140 °F for 12 min; read. One degree more for the probe's error.
        ("beef", 61.0, 12.2, "broken"),
        # FSIS Appendix A (2021), chicken, 7 log: 150 °F for 4.9 min at 12 % fat; read.
        ("chicken", 66.6, 5.0, "bird"),
    ],
)
def test_a_published_hold_typed_in_as_a_record_gives_the_published_answer(animal, core_c, minutes, table, run):
    plan = PLAN if animal == "beef" else BIRD
    step = 0.1
    times = np.arange(0, 400, step)
    rise = np.clip(5 + (times - 60) * 400, 5, core_c)
    fall = times > 60 + (core_c - 5) / 400 + minutes
    held = np.where(fall, 4.0, rise)
    enough = run(plan, csv(times, held))
    short = run(plan, csv(times, np.where(times > 60 + (core_c - 5) / 400 + 0.7 * minutes, 4.0, rise)))
    assert float(value(enough, f"{table}_share")) >= 0.99
    assert float(value(short, f"{table}_share")) < 0.9


def test_slow_cooling_between_two_heats_of_one_record_is_not_hidden(run):
    """Cooked, left to cool for eight hours, heated again: the record must not count as one long heat."""
    minutes = np.arange(0, 1400)
    first = np.minimum(60.0, 5 + minutes * 1.0)
    cooled = 20 + 40 * np.exp(-(minutes - 300) / 200)
    again = np.minimum(60.0, 25 + (minutes - 900) * 1.0)
    temps = np.where(minutes < 300, first, np.where(minutes < 900, cooled, np.where(minutes < 1100, again, 3.0)))
    report = run(PLAN, csv(minutes, temps))
    assert rules(report)["record.again"] == "ask"
    assert report.verdict in ("ask", "stop")
    # By hand: 20 + 40 exp(-t/200) falls to 54.4 after 30 min, so that the heat ends at 330 of the 1400 minutes.
    assert report.computed.course.slow.of_step(2).minutes == pytest.approx(330, abs=1)


def test_a_wavering_reading_is_no_second_heat(run, modelled):
    minutes, temps = modelled
    noisy = temps + np.where((minutes % 2 == 0) & (np.abs(temps - 54.4) < 1), 0.4, -0.4)
    assert value(run(PLAN, csv(minutes, noisy)), "log_again") == "no"


def test_raw_meat_that_the_record_shows_warm_has_stood_warm_whatever_the_plan_says(run):
    """The plan says fridge at 4 °C for the night; the probe read 20 °C for all of it."""
    plan = """
piece: {animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm, arrived: intact}
guests: {setting: home, vulnerable: no}
steps:
  - {do: hold, place: fridge, at: 4 C, for: 10 h}
  - {do: dry}
  - {do: pan, for: 4 min}
  - {do: serve}
"""
    minutes = np.arange(0, 620)
    warm = csv(minutes, np.where(minutes < 600, 20.0, 20 + (minutes - 600) * 2.0))
    assert run(plan).computed.facts.course["warm_raw_minutes"].value < 30
    report = run(plan, warm, log_from=0)
    assert value(report, "warm_raw_minutes") > 590
    assert "hold.warm_raw_long" in rules(report)


def test_food_that_the_record_shows_lukewarm_is_not_held_hot_whatever_the_plan_says(run):
    plan = PLAN.replace(
        "  - {do: ice, for: 3 h}\n  - {do: chill, at: 3 C, for: 24 h}\n", "  - {do: hot_hold, at: 63 C, for: 2 h}\n"
    )
    minutes = np.arange(0, 420)
    held = csv(minutes, np.where(minutes < 300, np.minimum(60, 5 + minutes * 1.0), 50.0))
    assert "hold.hot_low" not in rules(run(plan))
    assert "hold.hot_low" in rules(run(plan, held))


def test_a_record_in_fahrenheit_that_calls_itself_celsius_is_not_believed(run, modelled):
    minutes, temps = modelled
    wrong = csv(minutes, temps, fahrenheit=True).replace("°F", "°C")
    report = run(PLAN, wrong)
    assert rules(report)["record.too_hot"] == "ask"
    assert report.verdict != "go"
    # The middle of a bath at 60 °C reads 140: less the probe's error, and the bath.
    assert value(report, "log_over_heat") == pytest.approx(np.max(temps) * 1.8 + 32 - 1 - 60, abs=0.1)
    assert "record.too_hot" not in rules(run(PLAN, csv(minutes, temps)))


SEARED = PLAN[: PLAN.index("  - {do: ice")] + "  - {do: pan, for: 1 min}\n  - {do: serve}\n"


def test_raw_meat_in_fahrenheit_below_a_hundred_is_no_cooked_meat_in_celsius(run):
    """The bath failed: 40 °F rose to 95 °F (35 °C). With a sear in the plan no heat up to the boil is impossible."""
    minutes = np.arange(0, 400)
    failed = csv(minutes, np.where(minutes < 390, np.minimum(95.0, 40.0 + minutes), 40.0))
    report = run(SEARED, failed)
    assert "record.too_hot" not in rules(report)
    assert "cook.broken" not in rules(report)
    assert rules(report)["record.unit"] == "ask"
    assert value(report, "log_off_other") < value(report, "log_off") - 5
    right = run(SEARED, failed.replace("°C", "°F"))
    assert "record.unit" not in rules(right)
    assert "cook.broken" in rules(right)


def test_a_cooling_in_celsius_read_as_fahrenheit_is_asked_about(run, modelled):
    minutes, temps = modelled
    cooling = minutes >= 300
    shown = csv(minutes[cooling], temps[cooling])
    assert not {"record.unit", "record.too_cold"} & set(rules(run(PLAN, shown, log_from=3)))
    asked = rules(run(PLAN, shown.replace("°C", "°F"), log_from=3))
    assert (asked["record.unit"], asked["record.too_cold"]) == ("ask", "ask")


@pytest.mark.parametrize("stood_c", [10.0, 20.0, 30.0])
def test_raw_meat_that_stood_warm_in_celsius_is_not_cold_in_fahrenheit(run, stood_c):
    plan = SEARED.replace("  - {do: needle}", "  - {do: hold, place: fridge, at: 4 C, for: 8 h}")
    report = run(plan, csv(np.arange(0, 480), np.full(480, stood_c)).replace("°C", "°F"), log_from=0)
    assert rules(report)["record.too_cold"] == "ask"


def test_a_record_in_celsius_that_calls_itself_fahrenheit_passes_nothing(run, modelled):
    minutes, temps = modelled
    report = run(PLAN, csv(minutes, temps).replace("°C", "°F"))
    assert report.verdict != "go"
    assert "cook.broken" in rules(report)


def test_of_several_probes_in_the_meat_the_coldest_is_the_kill_and_the_warmest_the_cooling(run, modelled):
    minutes, temps = modelled
    lines = csv(minutes, temps).splitlines()[1:]
    cold = [f"{line},{temp - 12:.3f}" for line, temp in zip(lines, temps, strict=True)]
    report = run(PLAN, "\n".join(["time,probe 1 °C,probe 2 °C", *cold]))
    assert "cook.broken" in rules(report)
    late = np.where(minutes > 300, np.maximum(temps, 30.0), temps)
    warm = [f"{line},{temp:.3f}" for line, temp in zip(lines, late, strict=True)]
    both = run(PLAN, "\n".join(["time,probe 1 °C,probe 2 °C", *warm]))
    assert any(rule.startswith("cool.") for rule in rules(both))
