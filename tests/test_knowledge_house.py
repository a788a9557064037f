"""The kitchen's house file: it may tighten limits, never loosen one; refusals name file, line and what to write."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import datetime

import pytest

from advisor.advice.mends import find_mends
from advisor.advice.report import VERDICTS, examine
from advisor.case.read_plan import read_plan
from advisor.errors import InputError
from advisor.infer import infer
from advisor.infer.examples import NEAR, facts_from_example
from advisor.knowledge import load_rulebase, read_house, under_house
from advisor.knowledge.conditions import conditions_of

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
MOVABLE = {name: limit for name, limit in RULEBASE.limits.items() if limit.stricter in ("lower", "higher")}
UNIT = {
    "temperature": "C",
    "temperature_difference": "C",
    "time": "min",
    "length": "mm",
    "mass": "g",
    "percent": "%",
    "count": "",
}


def house(text, rulebase=RULEBASE):
    return under_house(rulebase, read_house(text, "house.yaml", rulebase))


def refused(text, rulebase=RULEBASE):
    with pytest.raises(InputError) as caught:
        house(text, rulebase)
    return caught.value


def figure(value, limit):
    return f"{value:.6f} {UNIT[limit.quantity]}".strip()


def one(name, value, limit):
    return f"limits:\n  {name}: {{value: {figure(value, limit)}}}\n"


def step(limit):
    """A change that no rounding hides, to the stricter side."""
    size = 0.1 if limit.quantity == "temperature" else max(0.01, abs(limit.value) / 100)
    return -size if limit.stricter == "lower" else size


# Of nothing there is no less: such a limit cannot be tightened.
TIGHTENED = [
    name for name, limit in MOVABLE.items() if limit.quantity == "temperature" or limit.value + step(limit) >= 0
]

# --- every limit: at, just inside, just outside


@pytest.mark.parametrize("name", MOVABLE)
def test_a_limit_repeated_as_it_is_changes_nothing(name):
    ruled = house(one(name, MOVABLE[name].value, MOVABLE[name]))
    assert ruled.limits[name] == RULEBASE.limits[name]


@pytest.mark.parametrize("name", TIGHTENED)
def test_a_limit_may_be_tightened(name):
    limit = MOVABLE[name]
    ruled = house(one(name, limit.value + step(limit), limit))
    assert ruled.limit(name) == pytest.approx(limit.value + step(limit), abs=1e-5)
    assert ruled.base_limit(name) == limit.value
    cite = ruled.limits[name].source[0]
    assert (cite.id, cite.section) == ("house", "house.yaml, line 2")
    for checked in ruled.rules.values():
        for condition in conditions_of(checked.alternatives):
            if condition.limit == name:
                assert condition.bound == ruled.limit(name)


@pytest.mark.parametrize("name", MOVABLE)
def test_a_limit_may_never_be_loosened(name):
    limit = MOVABLE[name]
    error = refused(one(name, limit.value - step(limit), limit))
    assert error.where == "house.yaml, line 2"
    assert figure(limit.value - step(limit), limit).split()[0].rstrip("0") in error.what
    assert limit.means in error.what
    cite = limit.source[0]
    assert RULEBASE.sources[cite.id].title in error.what
    assert cite.section in error.what
    assert name in error.hint
    assert ("or less" if limit.stricter == "lower" else "or more") in error.hint


@pytest.mark.parametrize("name", [n for n, limit in RULEBASE.limits.items() if limit.stricter == "fixed"])
def test_how_the_book_reckons_cannot_be_changed(name):
    limit = RULEBASE.limits[name]
    for value in (limit.value * 0.9, limit.value * 1.1):
        error = refused(one(name, value, limit))
        assert "cannot change it" in error.what


@pytest.mark.parametrize("factor", [0.9, 1.1])
@pytest.mark.parametrize("name", ["salt_usual", "plan_bath_pink", "enzyme_room_max"])
def test_taste_may_go_either_way(name, factor):
    limit = RULEBASE.limits[name]
    assert house(one(name, limit.value * factor, limit)).limit(name) == pytest.approx(limit.value * factor)


# --- a stricter house never gets a better verdict


@pytest.mark.parametrize("name", TIGHTENED)
def test_no_example_of_a_rule_gets_a_better_verdict_in_a_stricter_house(name):
    limit = MOVABLE[name]
    strict = house(one(name, limit.value + 20 * step(limit), limit))
    for checked in RULEBASE.rules.values():
        if not any(c.limit == name for c in conditions_of(checked.alternatives)):
            continue
        for example in (*checked.rule.examples.fires, *checked.rule.examples.near_misses):
            facts = facts_from_example(example, RULEBASE)
            before, after = (
                max((VERDICTS.index(f.verdict) for f in infer(book, facts, engine="reference").findings), default=0)
                for book in (RULEBASE, strict)
            )
            assert after >= before, (checked.rule.id, example)


PLAN = """
piece: {animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm, arrived: intact}
guests: {setting: home, vulnerable: no, latex: no}
steps:
  - {do: marinate, place: fridge, at: 4.5 C, for: 3 h, with: soy sauce}
  - {do: dry}
  - {do: pan, for: 4 min, sides: 2}
  - {do: serve}
"""


def test_a_plan_is_judged_by_the_house():
    case = read_plan(PLAN, RULEBASE, NOW)
    strict = house("limits:\n  cold_hold_max: 3 C\n")
    assert "hold.fridge_warm" not in _fired(examine(case, RULEBASE, "reference"))
    report = examine(case, strict, "reference")
    says = next(f.says for f in report.inference.findings if f.rule.rule.id == "hold.fridge_warm")
    assert "3 °C" in says


def test_a_cold_house_is_planned_for_and_mended_at_its_own_line():
    strict = house("limits:\n  cold_hold_max: 3 C\n")
    assert (strict.usual_c("fridge_still"), RULEBASE.usual_c("fridge_still")) == (3.0, 4.0)
    assert (strict.usual_c("freezer"), strict.usual_c("counter")) == (-18, RULEBASE.usual_c("counter"))
    report = examine(read_plan(PLAN, strict, NOW), strict, "reference")
    assert "hold.start_warm" not in _fired(report), "the meat is taken to come from this kitchen's fridge"
    mends = find_mends(report, strict)
    assert mends
    assert "3 °C" in mends[0].change


def _fired(report):
    return {finding.rule.rule.id for finding in report.inference.findings}


# --- how it may be written


def test_a_limit_may_be_a_figure_alone_or_have_a_note_and_be_in_the_kitchens_own_units():
    text = (
        "kitchen: River barge\ncode: uk\nlimits:\n"
        "  cold_hold_max: 38 F\n"
        '  raw_out_max: {value: 1 h, note: "the galley is hot"}\n'
        "  spore_growth_max: {value: 0.5, quantity: count}\n"
    )
    ruled = house(text)
    assert ruled.limit("cold_hold_max") == pytest.approx(3.333, abs=1e-3)
    assert ruled.limit("raw_out_max") == 60
    assert ruled.limits["raw_out_max"].note == "the galley is hot"
    assert ruled.limit("spore_growth_max") == 0.5
    assert ruled.limit("hot_hold_min") == 63, "the code it chose"
    assert (ruled.code, ruled.house.kitchen) == ("uk", "River barge")
    assert "River barge" in ruled.sources["house"].title


@pytest.mark.parametrize("text", ["", "kitchen: none of ours\n", "limits: {}\n", "limits:\n"])
def test_a_house_without_rules_changes_no_limit(text):
    assert house(text).limits == RULEBASE.limits


def test_what_is_printed_beside_a_limit_counts_as_the_limit():
    """135 °F is 57.22 °C, and our figure is 57.2; 70 °F is 21.11, and ours is 21.1, which is the stricter."""
    ruled = house("limits:\n  hot_hold_min: 135 F\n  cool_first_to: 70 F\n  cold_hold_max: 41 F\n")
    assert ruled.limits == RULEBASE.limits


@pytest.mark.parametrize(
    ("text", "where", "what", "hint"),
    [
        ("limits:\n  cold_hold: 3 C\n", "line 2", "no limit 'cold_hold'", "cold_hold_max"),
        ("limits:\n  zz: 3 C\n", "line 2", "no limit 'zz'", "rulebase/limits"),
        ("limits:\n  cold_hold_max: 3\n", "line 2", "It could be °C or °F", "3 °C"),
        ("limits:\n  raw_out_max: 60\n", "line 2", "The unit is missing", "min"),
        ("limits:\n  raw_out_max: 60 mm\n", "line 2", "60 mm", ""),
        ("limits:\n  raw_out_max: soon\n", "line 2", "soon", ""),
        ("limits:\n  raw_out_max: -5 min\n", "line 2", "-5 min", ""),
        ("limits:\n  hot_hold_min: 145 C\n", "line 2", "145 C", ""),
        ("limits:\n  raw_out_max: {note: none}\n", "line 2", "has no value", "2 h"),
        ("limits:\n  raw_out_max: [1 h, 2 h]\n", "line 2", "has no value", "2 h"),
        ("limits:\n  raw_out_max: {value: yes}\n", "line 2", "yes", ""),
        ("limits:\n  raw_out_max:\n    value: 1 h\n    means: mine\n", "line 4", "'means'", "'note'"),
        ("limits:\n  raw_out_max: {value: 1 h, quantity: length}\n", "line 2", "is a time", "quantity: time"),
        ("limits: 3\n", "line 1", "not a list", "cold_hold_max"),
        ("- 3\n", "line 1", "not a list", "cold_hold_max"),
        ("rules: []\n", "line 1", "'rules'", "limits"),
        ("kitchen: a\ncode: atlantis\n", "line 2", "no food code", "uk"),
        ("limits:\n  raw_out_max: 1 h\n  raw_out_max: 2 h\n", "line 3", "YAML", ""),
        ("limits: &a {}\nkitchen: *a\n", "line 2", "alias", ""),
        ("limits: {\n", "line 2", "YAML", ""),
    ],
)
def test_what_cannot_be_used_is_refused_with_its_place(text, where, what, hint):
    error = refused(text)
    assert error.where == f"house.yaml, {where}", str(error)
    assert what in error.what, str(error)
    assert hint in error.hint, str(error)


def test_a_loosening_says_all_there_is_to_say():
    error = refused("kitchen: a\nlimits:\n  cold_hold_max:\n    value: 46 F\n    note: the old walk-in\n")
    assert str(error) == (
        "house.yaml, line 3: 'cold_hold_max: 46 F' is looser than the limit of 5 °C (41 °F) (highest temperature for "
        "keeping meat cold, Food Code, Recommendations of the United States Public Health Service, 3-501.16(A)(2)). "
        "A house file may be stricter, never looser. Write 5 °C (41 °F) or less, or leave out 'cold_hold_max'."
    )


def test_a_house_is_held_to_the_code_it_chose():
    """60 °C is stricter than the US line and looser than that of the UK."""
    assert house("limits: {hot_hold_min: 60 C}\n").limit("hot_hold_min") == 60
    error = refused("code: uk\nlimits: {hot_hold_min: 60 C}\n")
    assert "63 °C" in error.what
    assert "Schedule 4 paragraph 6" in error.what


def test_a_code_chosen_after_a_house_never_loosens_it():
    ruled = house("limits: {hot_hold_min: 65 C}\n").under("uk")
    assert ruled.limit("hot_hold_min") == 65
    assert ruled.law("hot_hold_min").value == 63
    assert ruled.house is not None


# --- the record


def test_every_house_has_a_hash_of_its_own():
    one_hour, half = house("limits: {raw_out_max: 1 h}\n"), house("limits: {raw_out_max: 30 min}\n")
    assert len({RULEBASE.version_hash, one_hour.version_hash, half.version_hash}) == 3
    assert len({RULEBASE.digest, one_hour.digest, half.digest}) == 3
    assert one_hour.house.digest in one_hour.version_hash


def test_both_evaluators_turn_at_the_limit_of_the_house():
    """At, just inside and just outside: one rule, at the figure of the house and no longer at ours."""
    from advisor.case.facts import Fact, FactSet
    from advisor.infer import engine

    ruled = house("limits: {raw_out_max: 1 h}\n")
    names = ["reference", *(["durable"] if engine.available() else [])]
    for minutes, fires in ((60 - NEAR, False), (60.0, False), (60 + NEAR, True), (120.0, True)):
        facts = FactSet(course={"warm_raw_minutes": Fact("course", "warm_raw_minutes", minutes, "written")})
        for name in names:
            found = {f.rule.rule.id for f in infer(ruled, facts, engine=name).findings}
            assert ("hold.warm_raw" in found) == fires, (name, minutes)


def advisor(*words, stdin=None):
    return subprocess.run(
        [sys.executable, "-m", "advisor", *words], capture_output=True, text=True, input=stdin, check=False, timeout=120
    )


def test_the_command_line_takes_a_house_and_a_code(tmp_path):
    file = tmp_path / "house.yaml"
    file.write_text("limits: {cold_hold_max: 3 C}\n", encoding="utf-8")
    strict = advisor("check", "-", "--json", "--house", str(file), stdin=PLAN)
    plain = advisor("check", "-", "--json", stdin=PLAN)
    assert "hold.fridge_warm" in {f["rule"] for f in json.loads(strict.stdout)["findings"]}
    assert "hold.fridge_warm" not in {f["rule"] for f in json.loads(plain.stdout)["findings"]}
    records = [json.loads(done.stdout)["rulebase"] for done in (strict, plain)]
    assert records[0]["hash"] != records[1]["hash"]
    assert records[0]["house"] is not None
    assert records[0]["house"] in records[0]["state"]
    assert (records[1]["house"], records[1]["code"]) == (None, RULEBASE.code)
    shown = advisor("limits", "hot_hold_min", "--code", "the uk")
    assert shown.returncode == 0
    assert "63 °C" in shown.stdout
    assert "United Kingdom" in shown.stdout


@pytest.mark.parametrize("command", [("check", "-"), ("demo",), ("limits",), ("rule", "cold")])
def test_a_loose_house_stops_every_command_before_it_judges(command, tmp_path):
    file = tmp_path / "house.yaml"
    file.write_text("limits: {cold_hold_max: 9 C}\n", encoding="utf-8")
    done = advisor(*command, "--house", str(file), stdin=PLAN)
    assert done.returncode == 3
    assert "never looser" in done.stderr
    assert done.stdout == ""


def test_the_house_file_in_the_usual_place_is_found(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    from platformdirs import user_config_path

    folder = user_config_path("prep-advisor")
    if not folder.is_relative_to(tmp_path):
        pytest.skip("this system keeps its settings elsewhere; a person's own are not touched")
    folder.mkdir(parents=True)
    (folder / "house.yaml").write_text("limits: {cold_hold_max: 9 C}\n", encoding="utf-8")
    assert advisor("limits").returncode == 3
    (folder / "house.yaml").write_text("limits: {cold_hold_max: 2 C}\n", encoding="utf-8")
    assert "2 °C" in advisor("limits", "cold_hold_max").stdout


def test_a_house_that_is_not_there_is_said(tmp_path):
    done = advisor("limits", "--house", str(tmp_path / "none.yaml"))
    assert done.returncode == 3
    assert "cannot be read" in done.stderr
