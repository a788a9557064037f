"""Answers from a file: replayed through the same questions, every mistake with its line."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.case.complete import complete
from advisor.case.model import PlanStep
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.write_plan import write_plan
from advisor.interview.answers import read_answers, replay
from advisor.interview.session import Session

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
GOOD = """
setting: work
vulnerable: no
animal: beef
cut: flank steak
form: steak
arrived: intact
weight: 2 lb 8
thickness: 1 1/4 in
start_state: fridge
fridge_time: yesterday
want: pink
bath: yes
pressure: no
blade_tool: no
injector: no
softeners: fresh kiwi
latex: no
salt_target: 1.2
advisory: yes
approval: no
serve: 2026-11-28 19:00
"""


def replayed(rulebase, text):
    return replay(read_answers(text, "answers.yaml", rulebase), rulebase, NOW)


def wrong(rulebase, text):
    with pytest.raises(PlanErrors) as caught:
        replayed(rulebase, text)
    return caught.value.errors


def test_a_file_answers_what_a_terminal_would(rulebase):
    texts = dict(line.split(": ", 1) for line in GOOD.strip().splitlines())
    session = Session.start(rulebase, NOW)
    # What is not asked, for it changes nothing, is taken from a file all the same.
    while (question := session.question or next(iter(session.open_questions()), None)) is not None:
        session = session.answer_to(question, texts[question.id])
    assert replayed(rulebase, GOOD).case() == session.case()
    assert replayed(rulebase, GOOD).softeners == session.softeners


def test_what_is_not_in_the_file_is_not_known_and_taken_at_its_worst(rulebase):
    session = replayed(rulebase, "animal: beef\n")
    assert session.question is None
    case = session.case()
    asked = {one.question for one in session.answered} - {"animal", "serve", "softeners"}
    assert all(one.read.given.origin == "not known" for one in session.answered if one.question in asked)
    full = complete(case, rulebase)
    assert full.word("guests", "vulnerable") == "some"
    assert full.word("piece", "start_state") == "out"


@pytest.mark.parametrize("word", ["not known", "dk", "don't know", "'?'", "Not Known"])
def test_not_known_is_an_answer(rulebase, word):
    assert replayed(rulebase, f"animal: beef\nthickness: {word}\n").case().given("piece", "thickness").value is None


def test_the_order_of_the_lines_does_not_matter(rulebase):
    lines = GOOD.strip().splitlines()
    assert replayed(rulebase, "\n".join(reversed(lines))).case() == replayed(rulebase, GOOD).case()


def test_every_mistake_is_named_with_its_line(rulebase):
    errors = wrong(rulebase, "animal: beef\nform: wedge\nthickness: 30\nweight: 900 g\n")
    assert [error.where for error in errors] == ["answers.yaml, line 2", "answers.yaml, line 3"]
    assert "30 mm" in errors[1].hint


@pytest.mark.parametrize(
    ("text", "where", "word"),
    [
        ("animal: beef\nthicknes: 30 mm\n", "answers.yaml, line 2", "thickness"),
        ("animal: beef\nweight: [1, 2]\n", "answers.yaml, line 2", "same line"),
        ("animal: beef\nweight:\n", "answers.yaml, line 2", "same line"),
        ("animal: beef\nanimal: pork\n", "answers.yaml, line 2", ""),
        ("", "answers.yaml", "animal: beef"),
        ("- beef\n", "answers.yaml", "animal: beef"),
        ("a: {b\n", "answers.yaml, line 2", ""),
        ("\x00", "answers.yaml, line 1", ""),
        ("1: 2\n", "answers.yaml", ""),
    ],
)
def test_a_file_that_is_no_list_of_answers_is_refused(rulebase, text, where, word):
    errors = wrong(rulebase, text)
    assert errors[0].where.startswith(where)
    assert word in errors[0].hint


def test_an_ambiguous_cut_must_be_settled_in_the_file_and_the_hint_works(rulebase):
    errors = wrong(rulebase, "animal: beef\ncut: bavette\n")
    assert errors[0].where == "answers.yaml, line 2"
    for name in ("sirloin flap", "flank steak"):
        assert f"'{name}'" in errors[0].hint
        assert replayed(rulebase, f"animal: beef\ncut: {name}\n").case().word("piece", "cut") == name.replace(" ", "_")


def test_a_file_may_say_that_nobody_knows_which_of_several_cuts_it_is(rulebase):
    worst = "sirloin flap or flank steak"
    assert f"'{worst}'" in wrong(rulebase, "animal: beef\ncut: bavette\n")[0].hint
    case = replayed(rulebase, f"animal: beef\ncut: {worst}\n").case()
    assert case.word("piece", "cut") == "sirloin_flap or flank_steak"
    # What is kept of it comes back.
    kept = write_plan(replace(complete(case, rulebase), steps=(PlanStep("serve"),)), rulebase)
    assert read_plan(kept, rulebase, NOW).word("piece", "cut") == case.word("piece", "cut")


def test_a_fruit_without_its_form_is_refused_and_the_hint_works(rulebase):
    errors = wrong(rulebase, "animal: beef\nsofteners: kiwi\n")
    assert errors[0].where == "answers.yaml, line 2"
    assert "softener form: fresh" in errors[0].hint
    session = replayed(rulebase, "animal: beef\nsofteners: kiwi\nsoftener form: fresh\n")
    assert [(item.what, item.form) for item in session.softeners] == [("green_kiwi", "fresh")]


def test_each_fruit_needs_its_own_form(rulebase):
    text = "animal: beef\nsofteners: kiwi, pineapple\nsoftener form: "
    assert "pineapple" in wrong(rulebase, text + "fresh\n")[0].what
    session = replayed(rulebase, text + "fresh, not known\n")
    assert [item.form for item in session.softeners] == ["fresh", "unknown"]


def test_a_form_that_is_none_is_refused_on_its_own_line(rulebase):
    errors = wrong(rulebase, "animal: beef\nsofteners: kiwi\nsoftener_form: shiny\n")
    assert errors[0].where == "answers.yaml, line 3"


def test_an_answer_that_no_question_asked_for_is_told_and_does_not_count(rulebase):
    session = replayed(rulebase, GOOD.replace("vulnerable: no", "vulnerable: some"))
    assert [line.split(":")[0] for line in session.unused] == ["advisory"]
    assert session.case().given("guests", "advisory") is None
    assert session.case().not_understood == session.unused
    assert replayed(rulebase, GOOD).unused == ()


def test_a_form_without_a_fruit_is_told(rulebase):
    session = replayed(rulebase, "animal: beef\nsofteners: none\nsoftener form: fresh\n")
    assert len(session.unused) == 1
