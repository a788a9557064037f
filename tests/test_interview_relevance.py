"""Only what can still matter is asked: what was left out changes nothing, whatever is answered to it.

Some answer sets run each time; ``RELEVANCE_SETS=500`` tries as many as that.
"""

from __future__ import annotations

import os
import random
from dataclasses import replace
from datetime import datetime
from statistics import median
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.advice.report import examine
from advisor.case.read_plan import read_plan
from advisor.case.write_plan import write_plan
from advisor.errors import InputError
from advisor.interview.relevance import Put, Relevance, relevance_of
from advisor.interview.session import Session

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
SETS = int(os.environ.get("RELEVANCE_SETS", "4"))
TEXTS = {
    "weight": ["900 g", "2 lb 8", "3 kg", "dk"],
    "thickness": ["12 mm", "1 1/4 in", "60 mm"],
    "arrived_salt": ["0.8 %", "dk"],
    "out_minutes": ["20 min", "3 h"],
    "salt_target": ["1.2", "dk"],
    "serve": ["Sat 19:00", "today 20:00", "dk"],
    "softeners": ["none", "fresh kiwi", "yogurt", "koji", "dk"],
}


def text_for(question, session, pick):
    if question.fact == "piece cut":
        animal = session.case().word("piece", "animal")
        cuts = [cut.name for cut in session.rulebase.cuts.values() if cut.animal == animal]
        return pick.choice([*cuts, "dk"]) if cuts else "dk"
    choices = list(question.choices.values())
    return pick.choice(TEXTS.get(question.id, [*choices, choices[0], "dk"] if choices else ["dk"]))


def whole(rulebase, seed):
    """An interview with random answers; the same seed gives the same."""
    pick = random.Random(seed)  # noqa: S311 - nothing secret
    session = Session.start(rulebase, NOW)
    while (question := session.question) is not None:
        text = text_for(question, session, pick)
        try:
            session = session.not_known() if text == "dk" else session.answer(text)
        except InputError:
            session = session.not_known()
        while session.follow_up is not None:
            session = session.settle(session.follow_up.options[0][0])
    return session


def outcome(built):
    """What the cook is told to do, and what is said of it."""
    steps = [
        (step.action, {n: g.value for n, g in step.given.items()}, [(i.what, i.grams) for i in step.ingredients])
        for step in built.report.computed.case.steps
    ]
    found = sorted((f.rule.rule.id, f.step or -1) for f in built.report.inference.findings)
    return built.best.way.name, built.report.verdict, steps, found


@pytest.mark.parametrize("seed", range(SETS))
def test_no_answer_to_a_question_left_out_changes_the_plan_a_finding_or_a_caution(rulebase, seed):
    session = whole(rulebase, seed)
    before = outcome(build_plan(session.case(), session.softeners, rulebase, NOW))
    here = Put(session.case(), session.softeners)
    for question in session.not_asked():
        for put in relevance_of(rulebase).answers(question, here):
            after = outcome(build_plan(put.case, put.softeners, rulebase, NOW))
            assert after == before, f"{question.id}: {put.case.guests}"


@pytest.mark.parametrize("seed", range(SETS))
def test_a_plan_that_comes_out_is_go_as_a_plan_file_too_or_says_that_it_cannot_be(rulebase, seed):
    session = whole(rulebase, seed)
    built = build_plan(session.case(), session.softeners, rulebase, NOW)
    again = examine(read_plan(write_plan(built.report.case, rulebase), rulebase, NOW), rulebase, "reference")
    assert again.verdict == built.report.verdict
    if built.report.verdict != "go":
        assert built.report.problems
        assert all(finding.says for finding in built.report.problems)


def test_what_was_worked_out_before_changes_no_question(rulebase):
    session = whole(rulebase, 1)
    for number in range(len(session.answered) + 1):
        part = replace(session, answered=session.answered[:number])
        fresh = Relevance(rulebase).next(Put(part.case(), part.softeners), part.open_questions())
        assert fresh == part.question


def test_a_scenario_is_asked_no_more_than_it_needs(rulebase):
    """The median over the worked scenarios, each answered as its own plan says."""
    from pathlib import Path

    from ruamel.yaml import YAML

    counts = []
    for path in sorted(Path("scenarios/worked").glob("*.yaml")):
        plan = YAML(typ="safe").load(path.read_text(encoding="utf-8"))["plan"]
        case = read_plan(plan, rulebase, NOW)
        session = Session.start(rulebase, NOW)
        while (question := session.question) is not None:
            subject, _, fact = question.fact.partition(" ")
            given = case.given(subject, fact) if subject in ("piece", "guests") else None
            if given is None or given.value is None:
                session = session.not_known()
            elif isinstance(given.value, str):
                word = rulebase.cuts[given.value].name if fact == "cut" else given.value
                session = session.answer(question.choices.get(word, word))
            else:
                unit = {"mass": "g", "length": "mm", "time": "min", "percent": "%"}
                session = session.answer(f"{given.value} {unit[rulebase.vocabulary[subject][fact].quantity]}")
            while session.follow_up is not None:
                session = session.settle(session.follow_up.options[0][0])
        counts.append(len(session.answered))
    assert median(counts) <= 15
    assert max(counts) < len(rulebase.questions)
    print("questions over the scenarios:", sorted(counts), "median", median(counts))  # noqa: T201 - asked for
