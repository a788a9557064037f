"""The plain evaluator: three values, margins, steps, ``none``, and why a rule did not fire."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.case.facts import Fact, FactSet
from advisor.errors import EngineError
from advisor.infer import reference
from advisor.infer.proof import Firing
from advisor.knowledge.conditions import parse_condition, parse_when
from advisor.knowledge.records import Conclusion, Examples, Limit, Rule, VocabularyFact
from advisor.knowledge.rulebase import CheckedRule

VOCABULARY = {
    "piece": {
        "thickness": VocabularyFact(means="t", quantity="length"),
        "state": VocabularyFact(means="s", choices=["fridge", "frozen", "out"]),
        "cut": VocabularyFact(means="c", words=True),
    },
    "guests": {"at_risk": VocabularyFact(means="r", choices=["no", "yes"])},
    "step": {
        "temperature": VocabularyFact(means="t", quantity="temperature"),
        "minutes": VocabularyFact(means="m", quantity="time"),
        "action": VocabularyFact(means="a", choices=["hold", "bath", "chill"]),
    },
    "course": {"total": VocabularyFact(means="t", quantity="time")},
}
LIMITS = {
    "warm": Limit(value=5.0, quantity="temperature", means="w", source=[], basis="estimate"),
    "long": Limit(value=120.0, quantity="time", means="l", source=[], basis="estimate"),
    "thick": Limit(value=50.0, quantity="length", means="t", source=[], basis="estimate"),
    "tiny": Limit(value=0.00001, quantity="length", means="t", source=[], basis="estimate"),
}


def rule_of(*when, rule_id="t.rule", concludes=None, exception_to=""):
    record = Rule(
        id=rule_id,
        concern="craft",
        when=list(when),
        concludes=concludes or Conclusion(verdict="change", signal="NOTICE"),
        says="It is so.",
        because="It must be.",
        source=[],
        basis="estimate",
        exception_to=exception_to,
        examples=Examples(fires=[], near_misses=[]),
    )
    return CheckedRule(record, parse_when(list(when), VOCABULARY, LIMITS), "rules/t.yaml", 0, 0)


def facts_of(piece=None, guests=None, course=None, steps=()):
    def group(place, values):
        return {name: Fact(place, name, value, "written") for name, value in (values or {}).items()}

    return FactSet(
        piece=group("piece", piece),
        guests=group("guests", guests),
        course=group("course", course),
        steps=tuple(group(f"step{number}", step) for number, step in enumerate(steps, start=1)),
    )


@pytest.mark.parametrize(
    ("sentence", "value", "state", "margin"),
    [
        ("piece thickness is over thick", 50.01, "true", 0.01),
        ("piece thickness is over thick", 50.0, "false", 0.0),
        ("piece thickness is over thick", 49.99, "false", -0.01),
        ("piece thickness is at least thick", 50.0, "true", 0.0),
        ("piece thickness is at least thick", 49.99, "false", -0.01),
        ("piece thickness is under thick", 49.99, "true", 0.01),
        ("piece thickness is under thick", 50.0, "false", 0.0),
        ("piece thickness is at most thick", 50.0, "true", 0.0),
        ("piece thickness is at most thick", 50.01, "false", -0.01),
        ("piece thickness is over thick", None, "unknown", None),
        ("piece thickness is known", 1.0, "true", None),
        ("piece thickness is known", None, "false", None),
        ("piece thickness is not known", 1.0, "false", None),
        ("piece thickness is not known", None, "true", None),
        ("piece state is out", "out", "true", None),
        ("piece state is out", "frozen", "false", None),
        ("piece state is out", None, "unknown", None),
        ("piece state is not out", "frozen", "true", None),
        ("piece state is not out", "out", "false", None),
        ("piece state is not out", None, "unknown", None),
        ("piece state is one of out, frozen", "frozen", "true", None),
        ("piece state is one of out, frozen", "fridge", "false", None),
        ("piece state is one of out, frozen", None, "unknown", None),
        ("piece cut is jamón", "jamo\u0301n", "true", None),
    ],
)
def test_a_condition_is_true_false_or_unknown_with_its_margin(sentence, value, state, margin):
    condition = parse_condition(sentence, VOCABULARY, LIMITS)
    judged = reference.judge(condition, facts_of(piece={condition.fact: value}), None)
    assert (judged.state, judged.value, judged.margin, judged.step) == (state, value, margin, None)


def test_a_fact_that_is_absent_is_unknown_like_one_that_is_none():
    known = parse_condition("guests at_risk is known", VOCABULARY, LIMITS)
    is_yes = parse_condition("guests at_risk is yes", VOCABULARY, LIMITS)
    assert reference.judge(known, FactSet(), None).state == "false"
    assert reference.judge(is_yes, FactSet(), None).state == "unknown"


def test_numbers_are_compared_after_rounding_to_four_decimals():
    rule = rule_of("piece thickness is over thick")
    assert reference.fire([rule], facts_of(piece={"thickness": 50.00004})) == ()
    assert reference.fire([rule], facts_of(piece={"thickness": 50.00006})) == (Firing("t.rule", 0, None),)


def test_all_conditions_on_a_step_bind_the_same_step():
    rule = rule_of("step temperature is over warm", "step minutes is over long")
    apart = [{"temperature": 20.0, "minutes": 10.0}, {"temperature": 3.0, "minutes": 900.0}]
    assert reference.fire([rule], facts_of(steps=apart)) == ()
    both = [*apart, {"temperature": 20.0, "minutes": 121.0}, {"temperature": 6.0, "minutes": 500.0}]
    assert reference.fire([rule], facts_of(steps=both)) == (Firing("t.rule", 0, 2), Firing("t.rule", 0, 3))


def test_the_lowest_of_two_alternatives_that_hold_is_kept():
    rule = rule_of({"any": ["piece state is frozen", "piece thickness is over thick", "guests at_risk is yes"]})
    facts = facts_of(piece={"state": "out", "thickness": 80.0}, guests={"at_risk": "yes"})
    assert reference.fire([rule], facts) == (Firing("t.rule", 1, None),)


def test_a_rule_with_and_without_a_step_puts_the_whole_plan_first():
    rule = rule_of({"any": ["step action is hold", "piece state is out"]})
    facts = facts_of(piece={"state": "out"}, steps=[{"action": "bath"}, {"action": "hold"}])
    assert reference.fire([rule], facts) == (Firing("t.rule", 1, None), Firing("t.rule", 0, 1))


NONE_CHILLED = ("piece state is out", {"none": ["step action is chill", "step minutes is over long"]})


@pytest.mark.parametrize(
    ("steps", "complains", "may_allow"),
    [
        ([], True, True),
        ([{"action": "bath", "minutes": 500.0}], True, True),
        ([{"action": "chill", "minutes": 120.0}], True, True),
        ([{"action": "chill", "minutes": 121.0}], False, False),
        ([{"action": "bath"}, {"action": "chill", "minutes": 900.0}], False, False),
        # What is not known neither silences a complaint nor allows anything.
        ([{"action": "chill"}], True, False),
        ([{"minutes": 900.0}], True, False),
        ([{}], True, False),
        ([{"action": "bath"}], True, True),
    ],
)
@pytest.mark.parametrize(
    "allowing",
    [
        {"exception_to": "t.other"},
        {"concludes": Conclusion(verdict="go", signal="NOTICE")},
        {"concludes": Conclusion(technique="press", fit="choose")},
    ],
)
def test_none_is_read_to_the_worse_side(steps, complains, may_allow, allowing):
    facts = facts_of(piece={"state": "out"}, steps=steps)
    assert bool(reference.fire([rule_of(*NONE_CHILLED)], facts)) == complains
    assert bool(reference.fire([rule_of(*NONE_CHILLED, **allowing)], facts)) == may_allow


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e16, "thick", True])
def test_a_value_that_cannot_be_compared_is_an_error_and_not_a_silent_no(value):
    rule = rule_of("piece thickness is over thick")
    with pytest.raises(EngineError):
        reference.fire([rule], facts_of(piece={"thickness": value}))


def test_a_number_where_a_word_belongs_is_an_error():
    with pytest.raises(EngineError, match="needs a word"):
        reference.fire([rule_of("piece state is out")], facts_of(piece={"state": 3.0}))


def test_a_limit_that_rounding_would_wipe_out_is_refused():
    with pytest.raises(EngineError, match="smaller unit"):
        reference.fire([rule_of("piece thickness is over tiny")], facts_of(piece={"thickness": 1.0}))


def test_why_not_names_the_first_condition_that_failed_and_by_how_much():
    rule = rule_of("step action is hold", "step temperature is over warm", "step minutes is over long")
    steps = [
        {"action": "bath", "temperature": 56.0, "minutes": 10.0},
        {"action": "hold", "temperature": 4.0, "minutes": 600.0},
    ]
    judged = reference.why_not(rule, facts_of(steps=steps))
    assert [one.state for one in judged] == ["true", "false", "true"]
    failing = reference.first_failing(judged)
    assert failing is not None
    assert (failing.condition.fact, failing.margin, failing.step) == ("temperature", -1.0, 1)


def test_why_not_prefers_the_unknown_to_the_false():
    rule = rule_of({"any": ["piece state is out", "guests at_risk is yes"]})
    judged = reference.why_not(rule, facts_of(piece={"state": "frozen"}))
    assert [(one.condition.fact, one.state) for one in judged] == [("at_risk", "unknown")]


def test_why_not_shows_the_step_that_meets_a_none():
    facts = facts_of(piece={"state": "out"}, steps=[{"action": "bath"}, {"action": "chill", "minutes": 900.0}])
    judged = reference.why_not(rule_of(*NONE_CHILLED), facts)
    failing = reference.first_failing(judged)
    assert failing is not None
    assert (failing.condition.fact, failing.under_none, failing.step) == ("action", True, 1)


def test_why_not_speaks_of_a_plan_without_steps():
    judged = reference.why_not(rule_of("step minutes is over long", "step action is not known"), FactSet())
    assert [one.state for one in judged] == ["unknown", "unknown"]


def test_why_not_of_a_rule_that_fires_has_nothing_that_fails():
    judged = reference.why_not(rule_of("piece state is out"), facts_of(piece={"state": "out"}))
    assert [one.state for one in judged] == ["true"]
    assert reference.first_failing(judged) is None


def test_could_fire_counts_the_unknown_and_not_the_false():
    rule = rule_of("piece state is out", "guests at_risk is yes")
    assert reference.could_fire(rule, facts_of(piece={"state": "out"})) == (Firing("t.rule", 0, None),)
    assert reference.could_fire(rule, facts_of(piece={"state": "frozen"})) == ()
    assert reference.could_fire(rule_of(*NONE_CHILLED), facts_of(steps=[{"action": "chill", "minutes": 130.0}])) == ()


SENTENCES = [
    "piece thickness is over thick",
    "piece state is not out",
    "piece state is one of out, frozen",
    "guests at_risk is yes",
    "step temperature is at least warm",
    "step minutes is at most long",
    "step action is hold",
    "course total is known",
]
VALUES = {
    ("piece", "thickness"): [None, 49.0, 51.0],
    ("piece", "state"): [None, "fridge", "out"],
    ("guests", "at_risk"): [None, "no", "yes"],
    ("course", "total"): [None, 5.0],
}


@st.composite
def cases(draw):
    when = draw(st.lists(st.sampled_from(SENTENCES), min_size=1, max_size=4, unique=True))
    groups: dict[str, dict[str, object]] = {"piece": {}, "guests": {}, "course": {}}
    for (subject, name), values in VALUES.items():
        groups[subject][name] = draw(st.sampled_from(values))
    step = st.fixed_dictionaries(
        {
            "temperature": st.sampled_from([None, 4.0, 5.0, 60.0]),
            "minutes": st.sampled_from([None, 1.0, 121.0]),
            "action": st.sampled_from([None, "hold", "bath"]),
        }
    )
    return when, groups, draw(st.lists(step, max_size=3)), draw(st.randoms(use_true_random=False))


@settings(max_examples=300, deadline=None, database=None)
@given(cases())
def test_forgetting_a_fact_never_makes_a_positive_rule_fire(case):
    when, groups, steps, chance = case
    rule = rule_of(*when)
    fewer = {subject: {n: v for n, v in group.items() if chance.random() < 0.6} for subject, group in groups.items()}
    forgotten = [{n: (v if chance.random() < 0.6 else None) for n, v in step.items()} for step in steps]
    before = set(reference.fire([rule], facts_of(**groups, steps=steps)))
    after = set(reference.fire([rule], facts_of(**fewer, steps=forgotten)))
    assert after <= before
    if "course total is known" not in when:
        # Forgetting makes 'is known' false, not unknown; every other positive condition only becomes open.
        assert before <= set(reference.could_fire(rule, facts_of(**fewer, steps=forgotten)))
