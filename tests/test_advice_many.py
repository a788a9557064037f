"""Many plans in one go, and two side by side."""

import json
from datetime import datetime

import pytest
from click.testing import CliRunner

from advisor.advice.beside import beside
from advisor.advice.many import check_many, plans_in
from advisor.advice.report import examine
from advisor.case.read_plan import read_plan
from advisor.cli import cli

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
GOOD = """title: Good
piece: {animal: beef, cut: bottom round, form: roast, weight: 1 kg, thickness: 40 mm}
guests: {setting: home, vulnerable: no}
steps:
  - {do: bag}
  - {do: bath, place: water bath, at: 60 C, for: 12 h}
  - {do: serve}
"""
COOL = GOOD.replace("60 C, for: 12 h", "50 C, for: 1 h").replace("Good", "Cool")
BROKEN = "title: Broken\npiece: {animl: beef}\n"


def test_plans_are_parted_by_three_dashes_and_keep_their_lines():
    text = f"{GOOD}---\n{BROKEN}---\n# a note alone is no plan\n---\n{COOL}"
    plans = list(plans_in(text, "week.yaml"))
    assert len(plans) == 3
    assert [text.count("\n") - len(text.lstrip("\n").splitlines()) for text, _ in plans] == [0, 8, 13]


def test_one_plan_is_one_plan():
    assert [text for text, _ in plans_in(GOOD, "a.yaml")] == [GOOD]


@pytest.mark.parametrize("jobs", [1, 2])
def test_every_plan_has_its_verdict_whatever_the_processes(jobs, rulebase):
    plans = [(GOOD, "good"), (BROKEN, "broken"), (COOL, "cool")]
    checked = check_many(plans, rulebase, NOW, jobs=jobs)
    assert [one.verdict for one in checked] == [
        "go",
        "unreadable",
        examine(read_plan(COOL, rulebase, NOW), rulebase).verdict,
    ]
    assert "animl" in checked[1].why
    assert checked[2].why


def test_the_command_prints_a_line_each_and_leaves_with_the_worst(tmp_path):
    week = tmp_path / "week.yaml"
    week.write_text(f"{GOOD}---\n{COOL}")
    told = CliRunner().invoke(cli, ["check", str(week)])
    assert told.exit_code in (10, 20)
    assert "Good" in told.output
    assert "1 go" in told.output
    as_json = CliRunner().invoke(cli, ["check", "--json", str(week), str(week)])
    assert [one["verdict"] for one in json.loads(as_json.output)][:1] == ["go"]
    assert len(json.loads(as_json.output)) == 4


def test_two_plans_side_by_side_say_what_is_better(rulebase):
    reports = [examine(read_plan(text, rulebase, NOW), rulebase) for text in (GOOD, COOL)]
    sides = {side.what: side for side in beside(*reports, rulebase)}
    assert sides["verdict"].better == "first"
    assert sides["in all"].better == "second"
    assert sides[rulebase.vocabulary["course"]["kill_share"].means].better == "first"
    turned = {side.what: side for side in beside(*reversed(reports), rulebase)}
    other = {"first": "second", "second": "first", "": ""}
    assert {what: side.better for what, side in turned.items()} == {
        what: other[side.better] for what, side in sides.items()
    }
    same = beside(reports[0], reports[0], rulebase)
    assert not any(side.better for side in same)


def test_the_command_sets_two_files_side_by_side(tmp_path):
    for name, text in (("a.yaml", GOOD), ("b.yaml", COOL)):
        (tmp_path / name).write_text(text)
    told = CliRunner().invoke(cli, ["beside", str(tmp_path / "a.yaml"), str(tmp_path / "b.yaml")])
    assert told.exit_code == 0
    assert "(better)" in told.output
    told = CliRunner().invoke(cli, ["beside", "--json", str(tmp_path / "a.yaml"), str(tmp_path / "b.yaml")])
    assert json.loads(told.output)["plans"] == ["Good", "Cool"]


WORDS = "beef bottom round, 1 kg, 40 mm thick, at home, bath 60 C for 12 hours, serve"


def test_words_and_files_go_together_in_one_check(tmp_path):
    file, said = tmp_path / "good.yaml", tmp_path / "said.txt"
    file.write_text(GOOD)
    said.write_text(f"{WORDS}\n---\nflank, 2 lb, 1 in thick, grill 3 min a side, table 12\n")
    told = CliRunner().invoke(cli, ["check", "--json", str(file), WORDS, str(said)])
    checked = json.loads(told.output)
    assert [one["name"][:4] for one in checked[:2]] == ["Good", "beef"]
    assert len(checked) == 4
    # A number that stands nowhere is asked about, in a week's list too.
    assert checked[3]["verdict"] in ("ask", "stop")
    assert "unreadable" not in {one["verdict"] for one in checked}


def test_two_plans_in_words_side_by_side_are_played_back(tmp_path):
    file = tmp_path / "good.yaml"
    file.write_text(GOOD)
    cooler = WORDS.replace("60 C", "50 C")
    told = CliRunner().invoke(cli, ["beside", WORDS, cooler])
    assert told.exit_code == 0, told.exception
    assert "What we understood of the first" in told.output
    assert "What we understood of the second" in told.output
    told = CliRunner().invoke(cli, ["beside", str(file), f"{WORDS}, 77 of them"])
    assert told.output.count("What we understood") == 1
    assert "77" in told.output
    out = json.loads(CliRunner().invoke(cli, ["beside", "--json", str(file), f"{WORDS}, 77 of them"]).output)
    assert out["plans"][0] == "Good"
    assert any("77" in point for point in out["unsettled"][1])


def test_a_file_that_is_not_there_is_not_taken_for_words(tmp_path):
    told = CliRunner().invoke(cli, ["beside", str(tmp_path / "no.yaml"), WORDS])
    assert "cannot be read" in str(told.exception)


def test_of_many_files_none_is_passed_over(tmp_path):
    (tmp_path / "good.yaml").write_text(GOOD)
    (tmp_path / "empty.yaml").write_text("\n")
    files = [str(tmp_path / name) for name in ("good.yaml", "empty.yaml", "gone.yaml")]
    done = CliRunner().invoke(cli, ["check", *files, "--json"])
    assert done.exit_code == 3
    told = json.loads(done.output)
    assert [one["verdict"] for one in told] == ["go", "unreadable", "unreadable"]
    assert "nothing in it" in told[1]["why"]
    assert "cannot be read" in told[2]["why"]
