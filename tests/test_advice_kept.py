"""A result that is kept can be opened again, explained, and held against the rules of today."""

import json

import pytest
from click.testing import CliRunner

from advisor.cli import cli

PLAN = """title: Kept
piece: {animal: beef, cut: bottom round, form: roast, weight: 1 kg, thickness: 40 mm}
guests: {setting: home, vulnerable: no}
steps:
  - {do: needle}
  - {do: bag}
  - {do: bath, place: water bath, at: 56 C, for: 1 h}
  - {do: serve}
"""
LOG = "time,core °C\n" + "\n".join(
    f"2026-11-25T{10 + m // 60:02d}:{m % 60:02d}:00Z,{min(56, 5 + m)}" for m in range(240)
)


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.yaml").write_text(PLAN)
    (tmp_path / "core.csv").write_text(LOG)
    return lambda *words: CliRunner().invoke(cli, list(words))


@pytest.mark.parametrize("more", [(), ("--log", "core.csv")])
def test_what_is_kept_opens_with_the_same_verdict(more, run, tmp_path):
    first = run("check", "plan.yaml", "--save", "kept.json", *more)
    kept = json.loads((tmp_path / "kept.json").read_text())
    again = run("reopen", "kept.json")
    assert again.exit_code == first.exit_code
    assert f"Then: {kept['verdict'].upper()}" in again.output
    assert "It is the same rulebase" in again.output
    assert "Spoke then" not in again.output
    assert "Speaks now" not in again.output


def test_a_rulebase_that_has_changed_is_said_and_what_differs(run, tmp_path):
    run("check", "plan.yaml", "--save", "kept.json")
    kept = json.loads((tmp_path / "kept.json").read_text())
    kept["rulebase"]["hash"] = "another"
    kept["findings"] = [f for f in kept["findings"] if f["rule"] != "cook.broken"] + [
        kept["findings"][0] | {"rule": "old.rule"}
    ]
    (tmp_path / "older.json").write_text(json.dumps(kept))
    again = run("reopen", "older.json")
    assert "same rulebase" not in again.output
    assert "Spoke then and does not now: old.rule" in again.output
    assert "Speaks now and did not then: cook.broken" in again.output


def test_a_house_file_tightened_since_is_a_change(run, tmp_path):
    run("check", "plan.yaml", "--save", "kept.json")
    (tmp_path / "house.yaml").write_text("limits:\n  cold_hold_max: 3 C\n")
    again = run("reopen", "kept.json", "--house", "house.yaml")
    assert "same rulebase" not in again.output


def test_the_plan_alone_is_kept_as_a_plan_file(run):
    first = run("check", "plan.yaml", "--save", "copy.yaml")
    assert run("check", "copy.yaml").exit_code == first.exit_code


def test_nothing_is_overwritten(run):
    run("check", "plan.yaml", "--save", "kept.json")
    told = run("check", "plan.yaml", "--save", "kept.json")
    assert told.exit_code != 0
    assert "already" in str(told.exception) + told.output


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"verdict": 1, "findings": [], "plan": 3, "rulebase": {}}'])
def test_what_is_no_kept_result_is_said(text, run, tmp_path):
    (tmp_path / "odd.json").write_text(text)
    told = run("reopen", "odd.json")
    assert "kept result" in str(told.exception) + told.output
