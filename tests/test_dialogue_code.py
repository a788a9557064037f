"""The food code is asked for once, in plain words; not knowing it is the strictest of all, and that is said."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from datetime import datetime

import pytest
from rich.console import Console

from advisor.advice.report import VERDICTS, examine
from advisor.case.read_plan import read_plan
from advisor.case.write_plan import write_plan
from advisor.infer import infer
from advisor.infer.examples import facts_from_example
from advisor.knowledge import load_rulebase, read_house, under_house
from advisor.knowledge.strictest import STRICTEST, compared, of_all
from advisor.show.page import Page
from advisor.show.typed import Quit
from advisor.show.which_code import asked_code, is_chosen, keep_code

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local


def asked(*typed):
    """Answer with these lines; gives the code and what was on the screen."""
    lines, out = iter(typed), io.StringIO()
    page = Page(Console(file=out, width=80, highlight=False), RULEBASE)
    code = asked_code(page, lambda *_: next(lines))
    return code, " ".join(out.getvalue().split())


# --- the question


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("uk", "uk"),
        ("The UK", "uk"),
        ("scotland", "uk_scotland"),
        ("canada", "canada"),
        ("1", next(code.id for code in RULEBASE.codes.values() if not code.older)),
        ("usa", "us_food_code_2022"),
        ("food code 2013", "us_food_code_2013"),
        ("dk", STRICTEST),
        ("i don't know", STRICTEST),
        ("strictest", STRICTEST),
    ],
)
def test_an_answer_is_read(typed, code):
    assert asked(typed)[0] == code


def test_not_knowing_is_said_aloud_and_a_word_we_do_not_know_is_asked_back():
    code, text = asked("atlantis", "why", "99", "", "dk")
    assert code == STRICTEST
    assert text.count("Type a number from 1") == 3
    assert RULEBASE.local_lines["food_code_why"] in text
    assert "strictest line of all lands" in text
    assert all(one.name in text for one in RULEBASE.codes.values() if not one.older)


def test_the_cook_may_leave():
    with pytest.raises(Quit):
        asked("quit")


# --- kept in the house file


def test_an_answer_makes_a_house_file_and_is_asked_no_more(tmp_path):
    told = keep_code("uk", tmp_path, RULEBASE)
    text = (tmp_path / "house.yaml").read_text(encoding="utf-8")
    house = under_house(RULEBASE, read_house(text, "house.yaml", RULEBASE))
    assert (house.code, is_chosen(house, None)) == ("uk", True)
    assert "house.yaml" in told
    assert not is_chosen(RULEBASE, None)
    assert is_chosen(RULEBASE, "uk")


def test_a_house_file_that_is_there_keeps_every_line(tmp_path):
    file = tmp_path / "house.yaml"
    old = "kitchen: River barge # ours\nlimits:\n  cold_hold_max: {value: 3 C, note: our walk-in}\n"
    file.write_text(old, encoding="utf-8")
    keep_code("canada", tmp_path, RULEBASE)
    text = file.read_text(encoding="utf-8")
    assert text.startswith(old)
    house = read_house(text, "house.yaml", RULEBASE)
    assert (house.code, house.limits["cold_hold_max"].value, house.kitchen) == ("canada", 3.0, "River barge")


@pytest.mark.parametrize("old", ["{kitchen: River barge}\n", "limits: [", "limits:\n  cold_hold_max: 3 parsecs\n"])
def test_a_file_that_cannot_take_the_line_is_left_alone_and_the_cook_is_told(old, tmp_path):
    file = tmp_path / "house.yaml"
    file.write_text(old, encoding="utf-8")
    assert "code: uk" in keep_code("uk", tmp_path, RULEBASE)
    assert file.read_text(encoding="utf-8") == old


def test_not_knowing_is_not_kept(tmp_path):
    assert keep_code(STRICTEST, tmp_path, RULEBASE) == ""
    assert list(tmp_path.iterdir()) == []


def test_the_command_asks_once(tmp_path):
    env = {**os.environ, "XDG_CONFIG_HOME": str(tmp_path), "XDG_STATE_HOME": str(tmp_path), "COLUMNS": "80"}

    def ask(*typed):
        done = subprocess.run(
            [sys.executable, "-m", "advisor", "ask"],
            input="\n".join([*typed, ""]).encode(),
            capture_output=True,
            check=False,
            timeout=60,
            env=env,
        )
        assert b"Traceback" not in done.stderr
        return " ".join(done.stdout.decode().split())

    question = RULEBASE.local_lines["food_code_ask"]
    assert question in ask("quit")
    assert question in ask("dk", "quit")
    assert question in ask("uk", "quit")
    again = ask("quit")
    assert question not in again


# --- the strictest of all


def test_the_strictest_of_all_is_at_least_as_strict_as_each():
    strict = RULEBASE.under(STRICTEST)
    for code in of_all(RULEBASE.codes):
        for name, limit in RULEBASE.under(code.id).limits.items():
            assert compared(strict.limit(name), limit) in ("the same", "stricter") or limit.stricter == "fixed", name
        for food in ("whole", "broken", "minced", "pork", "bird", "wild"):
            tables = RULEBASE.under(code.id).law_tables(food)
            assert not tables or tables in {asked for _, asked in strict.asked_tables(food)}, (code.id, food)
        coolings = RULEBASE.under(code.id).law_coolings()
        assert not coolings or coolings in strict.asked_coolings()
    assert strict.version_hash.endswith("+strictest")
    assert RULEBASE.codes["us_fsis"] not in strict.in_force, "what binds plants is not asked of a kitchen"


def test_no_example_of_a_rule_gets_a_better_verdict_under_the_strictest():
    strict = RULEBASE.under(STRICTEST)
    for checked in RULEBASE.rules.values():
        for example in (*checked.rule.examples.fires, *checked.rule.examples.near_misses):
            facts = facts_from_example(example, RULEBASE)
            before, after = (
                max((VERDICTS.index(f.verdict) for f in infer(book, facts, engine="reference").findings), default=0)
                for book in (RULEBASE, strict)
            )
            assert after >= before, (checked.rule.id, example)


PLAN = """
code: {code}
piece: {{animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm, arrived: intact}}
guests: {{setting: work, vulnerable: no, advisory: no, approval: no, latex: no}}
steps:
  - {{do: braise, at: 95 C, for: 3 h}}
  - {{do: hot_hold, at: 61 C, for: 60 min}}
  - {{do: serve}}
"""


@pytest.mark.parametrize(("code", "verdict"), [("us", "go"), ("uk", "change"), ("strictest", "change")])
def test_a_plan_shows_the_code_that_it_was_judged_under(code, verdict):
    case = read_plan(PLAN.format(code=code), RULEBASE, NOW)
    assert read_plan(write_plan(case, RULEBASE), RULEBASE, NOW).code == case.code
    report = examine(case, RULEBASE, "reference")
    assert report.verdict == verdict
    out = io.StringIO()
    Page(Console(file=out, width=100, highlight=False), RULEBASE.under(case.code)).report(report, (), NOW)
    page = " ".join(out.getvalue().split())
    assert "Judged under: " in page
    if code == "strictest":
        assert page.index("the strictest of all food codes, for nobody said which holds") < 200
        assert "63 °C" in page
