"""Why a question is asked: the rules that need its answer, at once or through what hangs on it."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.audit.plain import plain
from advisor.case.model import Given
from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.interview.session import Session
from advisor.interview.why import MOVES, SIGNALS, needs
from advisor.knowledge.conditions import conditions_of

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))


def rules(rulebase, question):
    return [need.rule for need in needs(rulebase.questions[question], rulebase, NOW)]


def test_every_rule_that_names_the_fact_is_named(rulebase):
    for question in rulebase.questions.values():
        naming = {
            checked.rule.id
            for checked in rulebase.rules.values()
            if any(f"{c.subject} {c.fact}" == question.fact for c in conditions_of(checked.alternatives))
        }
        assert naming <= set(rules(rulebase, question.id)), question.id


@pytest.mark.parametrize(
    ("question", "rule"),
    [
        ("thickness", "cook.model"),  # through the course: kill_share
        ("arrived", "cook.broken"),  # through conclusions: standing, then cook_class
        ("animal", "cook.bird"),  # through a conclusion: cook_class
        ("softeners", "guests.latex"),
        ("cut", "technique.score"),  # through the cut's record: toughness, grain
    ],
)
def test_rules_that_need_it_through_other_facts_are_named(rulebase, question, rule):
    assert rule in rules(rulebase, question)


def test_what_names_the_fact_comes_first_and_then_the_gravest(rulebase):
    for question in rulebase.questions.values():
        asked = [rulebase.rules[rule] for rule in rules(rulebase, question.id)]
        names = [any(f"{c.subject} {c.fact}" == question.fact for c in conditions_of(c0.alternatives)) for c0 in asked]
        assert names == sorted(names, reverse=True)
        for part in (True, False):
            signals = [one.rule.concludes.signal for one, named in zip(asked, names, strict=True) if named is part]
            places = [SIGNALS.index(signal) if signal else len(SIGNALS) for signal in signals]
            assert places == sorted(places)


def test_each_need_says_what_it_decides_and_why(rulebase):
    for question in rulebase.questions.values():
        for need in needs(question, rulebase, NOW):
            assert need.decides
            assert need.because == plain(rulebase.rules[need.rule].rule.because, rulebase)


PLAN = """
piece: {animal: beef, cut: outside round, form: steak, weight: 1 kg, thickness: 40 mm, arrived: pumped,
  arrived_salt: 0.5 %, start_state: out, out_minutes: 30 min, salt_target: 1.2 %}
guests: {setting: work, vulnerable: "no", latex: "no", advisory: "no", approval: "no"}
steps:
  - {do: score, depth: 10 mm}
  - {do: marinate, place: fridge, for: 12 h, with: [{what: kiwi, form: fresh, amount: 30 g}, {what: salt, amount: 8 g}]}
  - {do: bath, at: 60 C, for: 3 h}
  - {do: pan, for: 1 min}
  - {do: chill, place: fridge, for: 8 h}
  - {do: serve}
"""


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("weight", 2000.0),
        ("thickness", 60.0),
        ("salt_target", 2.0),
        ("arrived_salt", 1.5),
        ("out_minutes", 180.0),
        ("start_state", "frozen"),
        ("arrived", "intact"),
        ("cut", "brisket_point"),
        ("form", "minced"),
        ("animal", "chicken"),
    ],
)
def test_whatever_moves_with_the_answer_has_its_rules_named(rulebase, question, value):
    """Change one answer of a worked case; every rule that names a fact which moved must be among those named."""
    case = read_plan(PLAN, rulebase, NOW)
    subject, _, name = rulebase.questions[question].fact.partition(" ")
    before, after = (
        {(fact.subject.rstrip("0123456789"), fact.name, fact.subject): fact.value for fact in computed.facts.all()}
        for computed in (
            course_facts(case, rulebase),
            course_facts(case.with_value(subject, name, Given(value, "answered")), rulebase),
        )
    )
    moved = {f"{s} {n}" for s, n, place in before | after if before.get((s, n, place)) != after.get((s, n, place))}
    naming = {
        checked.rule.id
        for checked in rulebase.rules.values()
        if any(f"{c.subject} {c.fact}" in moved for c in conditions_of(checked.alternatives))
    }
    assert naming
    assert naming - set(rules(rulebase, question)) == set()


def test_what_an_answer_moves_is_in_the_vocabulary(rulebase):
    for names in MOVES.values():
        for name in names:
            subject, _, fact = name.partition(" ")
            assert fact in rulebase.vocabulary[subject], name


def test_a_session_asks_why_for_its_own_question(rulebase):
    session = Session.start(rulebase, NOW)
    assert [need.rule for need in session.why()] == rules(rulebase, "setting")


def test_no_reason_is_told_with_a_name_in_braces(rulebase):
    for question in rulebase.questions.values():
        assert not [need for need in needs(question, rulebase, NOW) if "{" in need.because or "[" in need.because]
