"""Walks that are shared between cases: what no walk feels changes none, and what reads no salt comes out the same."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.case.complete import complete
from advisor.case.model import Case, Given, PlanStep
from advisor.course import course_facts
from advisor.course.facts import SALTLESS, Walks
from advisor.course.walk import UNFELT, felt_of, walk
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
OTHER = {
    "salt_target": 2.0,
    "arrived": "pierced",
    "arrived_salt": 1.0,
    "label_sodium": 0.5,
    "use_by": "passed",
    "pack": "blown",
}


def step(action, **values):
    return PlanStep(action, {n: Given(float(v) if isinstance(v, int) else v) for n, v in values.items()}, ())


def case(**other):
    piece = {"animal": "beef", "cut": "chuck_roll", "form": "roast", "thickness": 60.0, "weight": 1000.0}
    piece |= {"arrived": "intact", "start_state": "fridge", "salt_target": 1.2} | other
    steps = (
        step("salt", place="fridge_still", temperature=4, minutes=600),
        step("bath", place="bath_circulated", temperature=57, minutes=400),
        step("dry"),
        step("pan", minutes=1, sides=2),
        step("serve"),
    )
    return Case({k: Given(v) for k, v in piece.items()}, {"vulnerable": Given("no")}, steps)


def centres(full):
    return [one.centre() for one in (*walk(full, RULEBASE).ends, *walk(full, RULEBASE).cold_start)]


@pytest.mark.parametrize("fact", sorted(UNFELT))
def test_what_is_not_felt_changes_no_walk(fact):
    plain, other = complete(case(), RULEBASE), complete(case(**{fact: OTHER[fact]}), RULEBASE)
    assert plain.piece.get(fact) != other.piece[fact]
    if fact != "label_sodium":  # the salt that is reckoned from it stands beside it
        assert felt_of(plain) == felt_of(other)
    assert all(np.array_equal(a, b) for a, b in zip(centres(plain), centres(other), strict=True))


@pytest.mark.parametrize("other", [{"thickness": 61.0}, {"bone": "yes"}, {"start_state": "frozen"}, {"fat": 20.0}])
def test_what_is_felt_is_walked_anew(other):
    assert felt_of(complete(case(), RULEBASE)) != felt_of(complete(case(**other), RULEBASE))


@pytest.mark.parametrize(
    "other", [{"salt_target": 2.0}, {"arrived": "pierced"}, {"weight": 2000.0}, {"thickness": 40.0}]
)
def test_facts_of_shared_walks_are_those_worked_out_alone(other):
    walks = Walks()
    for one in (case(), case(**other), replace(case(**other), steps=case().steps[1:])):
        shared, alone = course_facts(one, RULEBASE, walks), course_facts(one, RULEBASE)
        assert dict(shared.facts.course) == dict(alone.facts.course)
        assert shared.facts.steps == alone.facts.steps


def test_salt_is_shared_and_nothing_else_is():
    walks = Walks()
    for one in (case(), case(salt_target=2.0), case(arrived="pierced")):
        list(course_facts(one, RULEBASE, walks).facts.course)
    assert len(walks.courses) == 1
    assert len(walks.facts) == 2
    assert all(set(made) <= SALTLESS for made in walks.facts.values())
