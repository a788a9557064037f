"""The shipped rules: both evaluators say the same of any facts, and forgetting facts clears no one."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.case.facts import Fact, FactSet
from advisor.infer import check_conclusions, check_exceptions, engine, infer, reference
from advisor.infer.examples import facts_from_example
from advisor.knowledge import load_rulebase
from advisor.knowledge.conditions import conditions_of


@pytest.fixture(scope="module")
def rulebase():
    return load_rulebase()


@cache
def bounds():
    """Limits that the rules hold each fact against."""
    found: dict[tuple[str, str], list[float]] = {}
    for checked in load_rulebase().rules.values():
        for condition in conditions_of(checked.alternatives):
            if condition.bound is not None:
                found.setdefault((condition.subject, condition.fact), []).append(condition.bound)
    return found


def values(subject, name, entry):
    if entry.quantity is None:
        return st.sampled_from([None, *entry.choices, *(["pineapple", "hot_hold"] if entry.words else [])])
    near = [b + shift for b in bounds().get((subject, name), [0.0]) for shift in (0.0, 0.01, -0.01, 0.00004, 0.00006)]
    return st.one_of(st.none(), st.sampled_from(near), st.floats(-100.0, 1e5))


@st.composite
def groups(draw, subject, place):
    facts = {}
    for name, entry in load_rulebase().vocabulary[subject].items():
        if draw(st.integers(0, 3)):
            facts[name] = Fact(place, name, draw(values(subject, name, entry)), "written")
    return facts


@st.composite
def cases(draw):
    return FactSet(
        piece=draw(groups("piece", "piece")),
        guests=draw(groups("guests", "guests")),
        course=draw(groups("course", "course")),
        steps=tuple(draw(groups("step", f"step{n}")) for n in range(1, draw(st.integers(0, 4)) + 1)),
    )


CALM = settings(max_examples=100, deadline=None, database=None, suppress_health_check=list(HealthCheck))


@CALM
@given(facts=cases())
def test_both_evaluators_say_the_same_of_random_facts(facts):
    rulebase = load_rulebase()
    one = infer(rulebase, facts, engine="durable")
    other = infer(rulebase, facts, engine="reference")
    assert one.firings == other.firings
    assert one.facts == other.facts
    assert one.findings == other.findings
    assert one.techniques == other.techniques


def test_both_evaluators_say_the_same_of_every_example(rulebase):
    strata = {checked.stratum for checked in rulebase.rules.values()}
    by_stratum = [[c for c in rulebase.rules.values() if c.stratum == stratum] for stratum in sorted(strata)]
    fired: set[str] = set()
    for checked in rulebase.rules.values():
        examples = checked.rule.examples
        for example in (*examples.fires, *examples.near_misses):
            facts = facts_from_example(example, rulebase)
            for rules in by_stratum:
                found = engine.fire(rules, facts)
                assert found == reference.fire(rules, facts)
                fired |= {firing.rule_id for firing in found}
    assert fired == set(rulebase.rules)


def test_the_shipped_rules_keep_the_laws_of_inference(rulebase):
    check_exceptions(rulebase)
    check_conclusions(rulebase)


def test_a_case_of_which_nothing_is_known_is_taken_for_the_worst(rulebase):
    facts = infer(rulebase, FactSet()).facts
    assert facts.piece["standing"].value == rulebase.vocabulary["piece"]["standing"].choices[-1]
    assert facts.piece["standing"].origin == "assumed worst"
