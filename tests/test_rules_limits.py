"""Every ordered comparison of every rule: at its limit, just inside and just outside."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.case.facts import Fact, FactSet
from advisor.infer import engine, reference
from advisor.infer.examples import NEAR
from advisor.knowledge import load_rulebase
from advisor.knowledge.conditions import ORDERED

RULEBASE = load_rulebase()
EVALUATORS = {"reference": reference.fire} | ({"durable": engine.fire} if engine.available() else {})
# Whether a comparison holds just under its limit, at it, and just over it.
HOLDS = {
    "is over": (False, False, True),
    "is at least": (False, True, True),
    "is under": (True, False, False),
    "is at most": (True, True, False),
}


def places(rulebase):
    """Every ordered comparison of every rule, with the alternative it stands in."""
    return {
        f"{checked.rule.id}-{a}-{condition.subject} {condition.fact} {condition.comparison}": (
            checked,
            alternative,
            condition,
        )
        for checked in rulebase.rules.values()
        for a, alternative in enumerate(checked.alternatives)
        for condition in alternative.conditions
        if condition.comparison in ORDERED
    }


PLACES = places(RULEBASE)
# The comparisons that a food code has moved, under that code.
MOVED = {
    f"{code}-{name}": place
    for code in sorted(RULEBASE.codes)
    for name, place in places(RULEBASE.under(code)).items()
    if place[2].bound != PLACES[name][2].bound
}


def _meets(condition, value):
    facts = FactSet(**_groups({(condition.subject, condition.fact): value}))
    return reference.judge(condition, facts, 0).state == "true"


def _candidates(condition):
    entry = RULEBASE.vocabulary[condition.subject][condition.fact]
    if condition.bound is not None:
        return [condition.bound + shift for shift in (0.0, NEAR, -NEAR)]
    if entry.quantity is not None:
        return [1.0, None]
    return [*entry.choices, "a word", None] if entry.words else [*entry.choices, None]


def _other_facts(alternative, held_back):
    """Give values under which every condition on another fact holds."""
    wanted = {}
    for condition in alternative.conditions:
        key = (condition.subject, condition.fact)
        if key != (held_back.subject, held_back.fact):
            wanted.setdefault(key, []).append(condition)
    return {
        key: next(
            value
            for condition in conditions
            for value in _candidates(condition)
            if all(_meets(other, value) for other in conditions)
        )
        for key, conditions in wanted.items()
    }


def _groups(values):
    def group(subject, place):
        return {
            name: Fact(place, name, value, "not known" if value is None else "written")
            for (owner, name), value in values.items()
            if owner == subject
        }

    return {
        **{subject: group(subject, subject) for subject in ("piece", "guests", "course")},
        "steps": (group("step", "step1"),),
    }


@pytest.mark.parametrize("place", [*PLACES, *MOVED])
def test_a_rule_turns_at_its_limit(place):
    checked, alternative, condition = (PLACES | MOVED)[place]
    alone = replace(checked, alternatives=(alternative,))
    key = (condition.subject, condition.fact)
    others = _other_facts(alternative, condition)
    same_fact = [c for c in alternative.conditions if (c.subject, c.fact) == key and c is not condition]
    values = (condition.bound - NEAR, condition.bound, condition.bound + NEAR)
    for value, holds in zip(values, HOLDS[condition.comparison], strict=True):
        facts = FactSet(**_groups({**others, key: value}))
        assert (reference.judge(condition, facts, 0).state == "true") == holds, value
        # A band has two limits on one fact; the other end must leave room on both sides of this one.
        assert all(_meets(other, value) for other in same_fact), "the two ends of a band touch"
        assert bool(reference.fire([alone], facts)) == holds, value


@pytest.mark.parametrize("fire", EVALUATORS.values(), ids=EVALUATORS)
@pytest.mark.parametrize("place", PLACES)
def test_the_rule_set_as_a_whole_turns_there_with_each_evaluator(place, fire):
    checked, alternative, condition = PLACES[place]
    stratum = [other for other in RULEBASE.rules.values() if other.stratum == checked.stratum]
    others = _other_facts(alternative, condition)
    values = (condition.bound - NEAR, condition.bound, condition.bound + NEAR)
    for value, holds in zip(values, HOLDS[condition.comparison], strict=True):
        facts = FactSet(**_groups({**others, (condition.subject, condition.fact): value}))
        fired = fire(stratum, facts)
        assert fired == reference.fire(stratum, facts)
        assert any(firing.rule_id == checked.rule.id for firing in fired) or not holds


def test_codes_move_some_limits():
    """Else the tests above would have tried nothing under a code."""
    assert {name.partition("-")[0] for name in MOVED} >= {"anz", "canada", "eu", "uk", "us_home"}


def test_a_fact_that_is_not_known_turns_no_rule_on():
    for checked, alternative, condition in PLACES.values():
        facts = FactSet(**_groups({**_other_facts(alternative, condition), (condition.subject, condition.fact): None}))
        assert reference.fire([replace(checked, alternatives=(alternative,))], facts) == ()
