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
from advisor.interview import store
from advisor.interview.answers import read_answers, replay
from advisor.interview.food_code import asking_code
from advisor.interview.opening import opened
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase, read_house, under_house
from advisor.knowledge.strictest import STRICTEST, compared, of_all
from advisor.show.dialogue import run_dialogue
from advisor.show.page import Page
from advisor.show.which_code import is_chosen, keep_code

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local


class Cook:
    """A cook who is asked for the code; what is on the screen, and where the answers are kept."""

    def __init__(self, path):
        self.path, self.text = path / "session.json", ""

    def asked(self, *typed):
        """Type these lines, then leave; gives the session as it is kept."""
        # The first line is for the opening, which is not shown again once something is kept.
        opening = [] if self.path.exists() else [""]
        lines, out = iter((*opening, *typed, "quit")), io.StringIO()
        session = Session.start(asking_code(RULEBASE), NOW)
        run_dialogue(session, self.path, Console(file=out, width=80, highlight=False), lambda *_: next(lines))
        self.text = " ".join(out.getvalue().split())
        return store.load(self.path, asking_code(RULEBASE), NOW).session


@pytest.fixture
def cook(tmp_path):
    return Cook(tmp_path)


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
def test_an_answer_is_read_and_holds_from_then_on(typed, code, cook):
    session = cook.asked(typed)
    assert session.rulebase.code == code
    assert session.question.id == "setting"


def test_not_knowing_is_said_aloud_and_a_word_we_do_not_know_is_asked_back(cook):
    assert cook.asked("atlantis", "why", "99", "", "dk").rulebase.code == STRICTEST
    assert cook.text.count("is not one of the choices") == 2
    assert RULEBASE.local_lines["food_code_again"] in cook.text
    assert RULEBASE.local_lines["food_code_why"] in cook.text
    assert "strictest line of all lands" in cook.text
    assert all(one.name in cook.text for one in RULEBASE.codes.values() if not one.older)


def test_the_code_is_a_row_like_any_other(cook):
    """It stands in *so far*; *back* and *change* reach it, and every question after it stays answered."""
    session = cook.asked("canada", "work", "so far", "back", "back", "uk")
    assert "1 Food rules of: Canada 2 Cooked for: guests at work" in cook.text
    assert session.rulebase.code == "uk"
    session = cook.asked("yes", "home", "change 1", "dk", "so far")
    assert session.rulebase.code == STRICTEST
    assert "2 Cooked for: people at home" in cook.text
    assert [one.question for one in session.ordered()] == ["code", "setting"]
    assert session.base.code == RULEBASE.code


def test_a_code_told_in_the_opening_is_not_asked_for():
    session = opened(Session.start(asking_code(RULEBASE), NOW), "beef flank steak, food code: uk").session
    assert session.rulebase.code == "uk"
    assert "code" not in [question.id for question in session.open_questions()]


def test_an_answers_file_may_name_it():
    answers = read_answers("code: uk\nanimal: beef\nwant: pink\n", "a.yaml", asking_code(RULEBASE))
    assert replay(answers, asking_code(RULEBASE), NOW).rulebase.code == "uk"


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
    assert question in ask("", "quit")
    assert question in ask("", "uk", "quit")
    # It is a kept answer like the others, and is in the house file once the interview is at its end.
    again = ask("yes", "so far", "quit")
    assert question not in again
    assert "1 Food rules of: United Kingdom" in again
    keep_code("uk", tmp_path / "prep-advisor", RULEBASE)
    assert question not in ask("no", "", "quit")


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
