"""durable-rules against the plain evaluator, and what happens when it misbehaves."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

import advisor
from advisor.case.facts import Fact, FactSet
from advisor.errors import EngineError
from advisor.infer import engine, reference
from advisor.infer.proof import Firing
from advisor.knowledge.conditions import Alternative, ConditionError, parse_condition, parse_when
from advisor.knowledge.records import Conclusion, Examples, Limit, Rule, VocabularyFact
from advisor.knowledge.rulebase import CheckedRule

QUANTITIES = {
    "temperature": (0.0, -18.0, 5.0, 54.44444, 62.7777777778),
    "time": (15.0, 120.0, 1e9),
    "count": (1 / 3, 0.005, 1.0),
}
LIMITS = {
    f"{quantity}_{number}": Limit(value=value, quantity=quantity, means="m", source=[], basis="estimate")
    for quantity, values in QUANTITIES.items()
    for number, value in enumerate(values)
}
# Words that look like numbers, hold odd letters, or are each other's beginning.
CHOICES = ["no", "yes", "5", "5.0", "é", "none", "ye", "null"]


def _entry(quantity):
    return (
        VocabularyFact(means="m", choices=CHOICES)
        if quantity == "word"
        else VocabularyFact(means="m", quantity=quantity)
    )


KINDS = {
    "piece": {"id": "word", "heat": "temperature", "share": "count", "kind": "word"},
    "guests": {"number": "count", "at_risk": "word"},
    "step": {"temperature": "temperature", "minutes": "time", "action": "word", "at": "word", "sid": "count"},
    "course": {"total": "time", "peak": "temperature", "cooled": "word"},
}
VOCABULARY = {subject: {name: _entry(kind) for name, kind in names.items()} for subject, names in KINDS.items()}
NO_EXAMPLES = Examples(fires=[], near_misses=[])


def rule_of(when, rule_id="t.rule", *, concludes=None, exception_to="", absent=()):
    """Make a rule; step patterns in ``absent`` may stand beside a step condition, which the language refuses."""
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
        examples=NO_EXAMPLES,
    )
    patterns = tuple(tuple(parse_condition(one, VOCABULARY, LIMITS) for one in pattern) for pattern in absent)
    alternatives = tuple(
        Alternative(alternative.conditions, alternative.absent_steps + patterns)
        for alternative in parse_when(list(when), VOCABULARY, LIMITS)
    )
    return CheckedRule(record, alternatives, "rules/t.yaml", 0, 0)


def facts_of(steps=(), **groups):
    def group(place, values):
        return {name: Fact(place, name, value, "written") for name, value in values.items()}

    return FactSet(
        **{subject: group(subject, groups.get(subject, {})) for subject in ("piece", "guests", "course")},
        steps=tuple(group(f"step{number}", step) for number, step in enumerate(steps, start=1)),
    )


# --- the two evaluators agree


@st.composite
def sentences(draw, subjects=("piece", "guests", "step", "course")):
    subject = draw(st.sampled_from(subjects))
    name, kind = draw(st.sampled_from(sorted(KINDS[subject].items())))
    if draw(st.integers(0, 5)) == 0:
        return f"{subject} {name} {draw(st.sampled_from(['is known', 'is not known']))}"
    if kind == "word":
        words = draw(st.lists(st.sampled_from(CHOICES), min_size=1, max_size=4, unique=True))
        comparison = draw(st.sampled_from(["is", "is not", "is one of"]))
        return f"{subject} {name} {comparison} {', '.join(words if comparison == 'is one of' else words[:1])}"
    comparison = draw(st.sampled_from(["is over", "is at least", "is under", "is at most"]))
    return f"{subject} {name} {comparison} {kind}_{draw(st.integers(0, len(QUANTITIES[kind]) - 1))}"


@st.composite
def whens(draw):
    when = draw(st.lists(sentences(), min_size=1, max_size=3))
    part = st.one_of(sentences(), st.lists(sentences(), min_size=1, max_size=2))
    when += [{"any": draw(st.lists(part, min_size=1, max_size=3))} for _ in range(draw(st.integers(0, 2)))]
    absent = draw(st.lists(st.lists(sentences(("step",)), min_size=1, max_size=3), max_size=2))
    if absent:
        when.insert(0, draw(sentences(("piece", "guests", "course"))))
    return {"when": when, "absent": absent}


FORMS = [
    {},
    {"concludes": Conclusion(verdict="go", signal="NOTICE")},
    {"exception_to": "t.rule0"},
    {"concludes": Conclusion(technique="press", fit="choose")},
]


@st.composite
def rule_sets(draw):
    rules = []
    for number in range(draw(st.integers(1, 10))):
        try:
            rules.append(rule_of(**draw(whens()), rule_id=f"t.rule{number}", **draw(st.sampled_from(FORMS))))
        except ConditionError:
            assume(False)  # noqa: FBT003 - a rule too long for the language is not of interest
    return rules


def values(kind):
    if kind == "word":
        return st.one_of(st.none(), st.sampled_from([*CHOICES, "e\u0301", "other", "w0", "\ud800", "a\x00b", ""]))
    near = [bound + shift for bound in QUANTITIES[kind] for shift in (0.0, 0.01, -0.01, 0.00004, 0.00006, -0.00004)]
    return st.one_of(st.none(), st.sampled_from(near), st.floats(-1e15, 1e15, allow_nan=False), st.integers(-3, 200))


@st.composite
def groups(draw, subject):
    return {name: draw(values(kind)) for name, kind in KINDS[subject].items() if draw(st.integers(0, 4))}


@st.composite
def fact_sets(draw):
    return facts_of(
        steps=draw(st.lists(groups("step"), max_size=4)),
        **{subject: draw(groups(subject)) for subject in ("piece", "guests", "course")},
    )


@settings(max_examples=150, deadline=None, database=None, suppress_health_check=list(HealthCheck))
@given(rules=rule_sets(), cases=st.lists(fact_sets(), min_size=3, max_size=8))
def test_both_evaluators_agree_on_random_rules_and_facts(rules, cases):
    for facts in cases:
        assert engine.fire(rules, facts) == reference.fire(rules, facts)


NEAR_WORDS = ("no", "yes")
STEP_TESTS = ("step action is yes", "step action is not no", "step at is one of no, yes", "step minutes is over time_0")
STEP_TESTS += ("step minutes is at most time_0", "step at is known", "step at is not known")


@st.composite
def few_steps(draw):
    word = st.sampled_from([None, *NEAR_WORDS])
    step = st.fixed_dictionaries({"action": word, "at": word, "minutes": st.sampled_from([None, 15.0, 15.01])})
    return draw(st.lists(step, max_size=3))


@settings(max_examples=150, deadline=None, database=None)
@given(
    absent=st.lists(st.lists(st.sampled_from(STEP_TESTS), min_size=1, max_size=2), min_size=1, max_size=2),
    beside=st.lists(st.sampled_from(STEP_TESTS), max_size=1),
    form=st.sampled_from(FORMS),
    plans=st.lists(few_steps(), min_size=8, max_size=8),
)
def test_both_evaluators_agree_on_what_is_absent(absent, beside, form, plans):
    rule = rule_of(["course peak is known", *beside], absent=absent, **form)
    for steps in plans:
        facts = facts_of(steps=steps, course={"peak": 1.0})
        assert engine.fire([rule], facts) == reference.fire([rule], facts)


def test_the_random_rules_do_fire_and_do_not_fire():
    """The comparison above is worth something only if both happen often, with steps and with ``none``."""
    from random import Random

    chance = Random(7)  # noqa: S311 - no secret
    rules = [
        rule_of(
            [
                "step temperature is over temperature_2",
                {"any": ["step action is yes", "step minutes is over time_0"]},
            ]
        ),
        rule_of(
            [
                "piece heat is under temperature_3",
                {"none": ["step action is yes", "step minutes is over time_0"]},
            ]
        ),
        rule_of(
            ["piece heat is under temperature_3", {"none": ["step action is one of yes, no"]}],
            exception_to="t.rule",
        ),
        rule_of(["piece id is not known", "step at is not yes"]),
    ]
    fired: set[tuple[int, int]] = set()
    for _ in range(400):
        steps = [
            {
                "temperature": chance.choice([None, 4.0, 6.0]),
                "minutes": chance.choice([None, 15.0, 16.0]),
                "action": chance.choice([None, "yes", "no", "é"]),
                "at": chance.choice([None, "yes", "no"]),
            }
            for _ in range(chance.randrange(4))
        ]
        piece = {"heat": chance.choice([None, 54.0, 55.0]), "id": chance.choice([None, "yes"])}
        facts = facts_of(steps=steps, piece=piece)
        for number, rule in enumerate(rules):
            found = engine.fire([rule], facts)
            assert found == reference.fire([rule], facts)
            fired.add((number, len(found)))
    assert {(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (2, 0), (2, 1), (3, 0), (3, 1), (3, 2)} <= fired


def test_unknown_facts_never_fire():
    names = [(s, n, k) for s, facts in KINDS.items() for n, k in facts.items()]
    rules = [
        rule_of([f"{s} {n} {'is not yes' if k == 'word' else f'is over {k}_0'}"], f"t.{s}_{n}") for s, n, k in names
    ]
    unknown = {s: dict.fromkeys(facts) for s, facts in KINDS.items() if s != "step"}
    facts = facts_of(steps=[dict.fromkeys(KINDS["step"]), {}], **unknown)
    assert engine.fire(rules, facts) == reference.fire(rules, facts) == ()
    assert engine.fire(rules, FactSet()) == ()


# --- what the engine cannot hold in one set is dealt into several


def test_more_rules_than_a_set_holds_are_split_and_all_fire():
    rules = [rule_of(["step minutes is over time_0", "step sid is under count_0"], f"t.r{n}") for n in range(130)]
    facts = facts_of(steps=[{"minutes": 99.0, "sid": 0.0}, {"minutes": 1.0, "sid": 0.0}])
    assert engine.fire(rules, facts) == tuple(Firing(f"t.r{n}", 0, 0) for n in range(130))
    compiled = engine._compile_once(rules)
    assert len(compiled.sets) == 3


def test_alternatives_and_nones_count_towards_the_size_of_a_set():
    when = [
        {"any": ["course total is over time_0", "course total is over time_1", "course peak is known"]},
        {"none": ["step minutes is over time_2"]},
    ]
    rules = [rule_of(when, f"t.n{n}") for n in range(40)]
    facts = facts_of(steps=[{"minutes": 5.0}], course={"peak": 1.0, "total": 500.0})
    assert engine.fire(rules, facts) == reference.fire(rules, facts)
    assert len(engine.fire(rules, facts)) == 40
    assert len(engine._compile_once(rules).sets) > 1


def test_rules_on_different_subjects_count_together():
    heat = [rule_of(["piece heat is over temperature_0"], f"t.heat{n}") for n in range(40)]
    risk = [rule_of(["guests at_risk is yes"], f"t.risk{n}") for n in range(40)]
    assert len(engine._compile_once([*heat, *risk]).sets) == 2


@pytest.mark.parametrize("place", [0, 1])
def test_a_bound_step_is_held_against_the_none_of_its_own_rule(place):
    rule = rule_of(["course peak is known", "step minutes is over time_0"], absent=[["step action is yes"]])
    steps = [{"minutes": 1.0, "action": "no"}, {"minutes": 1.0, "action": "no"}]
    steps[place] = {"minutes": 99.0, "action": "yes"}
    facts = facts_of(steps=steps, course={"peak": 1.0})
    assert engine.fire([rule], facts) == reference.fire([rule], facts) == ()


def test_limit_and_fact_are_rounded_alike():
    rules = [rule_of(["piece heat is at least temperature_3"])]  # 54.44444
    for heat, fires in ((54.4444, True), (54.44436, True), (54.44434, False)):
        facts = facts_of(piece={"heat": heat})
        assert bool(engine.fire(rules, facts)) == bool(reference.fire(rules, facts)) == fires


def test_none_beside_a_step_condition_is_refused():
    """Left to itself the engine does not hold a bound step against a 'none' which that step meets."""
    with pytest.raises(ConditionError, match="none"):
        rule_of(
            ["piece heat is not known", "step action is not known", {"none": ["step action is not known"]}], "t.both"
        )


def test_the_same_rules_are_compiled_once():
    def rules():
        return [rule_of(["course total is over time_1"], "t.once")]

    engine.fire(rules(), FactSet())
    before = len(engine._kept)
    engine.fire(rules(), facts_of(course={"total": 500.0}))
    assert len(engine._kept) == before


def test_a_rule_that_must_be_sure_is_not_taken_for_one_that_need_not():
    when = ["piece heat is known", {"none": ["step action is yes"]}]
    facts = facts_of(piece={"heat": 1.0}, steps=[{}])
    assert engine.fire([rule_of(when)], facts) == (Firing("t.rule", 0, None),)
    assert engine.fire([rule_of(when, exception_to="t.other")], facts) == ()


@pytest.mark.parametrize("count", [1, 40])
def test_a_case_in_which_nothing_fires_leaves_the_process_alive(count):
    """Deleting a state in which no rule ever fired once brought the process down."""
    for number in range(count):
        rules = [rule_of(["step minutes is over time_0"], f"t.quiet{count}_{number}")]
        assert engine.fire(rules, facts_of(steps=[{"minutes": 1.0}])) == ()
        assert engine.fire(rules, facts_of(piece={"heat": 1.0})) == ()


def test_two_thousand_cases_on_one_set_are_kept_apart():
    """More than a thousand states alive at once are more than the engine can hold."""
    rules = [rule_of(["step minutes is over time_0", "guests at_risk is yes"], "t.apart")]
    for number in range(2000):
        risk = "yes" if number % 3 else "no"
        found = engine.fire(rules, facts_of(steps=[{"minutes": 16.0}], guests={"at_risk": risk}))
        assert bool(found) == (risk == "yes")


def test_threads_do_not_mix_their_cases():
    rules = [rule_of(["step minutes is over time_0"], "t.thread")]
    wrong: list[int] = []

    def work(count):
        facts = facts_of(steps=[{"minutes": 16.0}] * count)
        wrong.extend(1 for _ in range(100) if len(engine.fire(rules, facts)) != count)

    threads = [threading.Thread(target=work, args=(count,)) for count in (0, 1, 2, 3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []


# --- bad actions, bad facts, bad rules


def test_an_exception_in_an_action_is_an_error(monkeypatch):
    def action(_rule, _alternative, _fired):
        def note(_closure):
            raise ZeroDivisionError("spoilt action")

        return note

    facts = facts_of(steps=[{"minutes": 16.0}])
    rules = [rule_of(["step minutes is over time_0"], f"t.spoilt{n}") for n in range(3)]
    with monkeypatch.context() as patch:
        patch.setattr(engine, "_action", action)
        with pytest.raises(EngineError, match="spoilt action"):
            engine.fire(rules, facts)
    sound = [rule_of(["step minutes is over time_0"], "t.sound")]
    assert engine.fire(sound, facts) == (Firing("t.sound", 0, 0),)


def test_an_action_that_is_dropped_because_the_clock_jumped_is_an_error(monkeypatch):
    import durable.engine

    rules = [rule_of(["step minutes is over time_0"], "t.jump")]
    facts = facts_of(steps=[{"minutes": 16.0}])
    assert len(engine.fire(rules, facts)) == 1
    ticks = iter(range(0, 10_000_000, 3600))
    with monkeypatch.context() as patch:
        patch.setattr(durable.engine, "_unix_now", lambda: next(ticks))
        with pytest.raises(EngineError, match="dropped an action"):
            engine.fire(rules, facts)
    assert len(engine.fire(rules, facts)) == 1


def test_a_fact_that_the_engine_refuses_is_an_error(monkeypatch):
    rules = [rule_of(["piece heat is over temperature_0"], "t.refused")]
    engine.fire(rules, FactSet())
    monkeypatch.setattr(engine, "number_of", lambda _value, _condition: 1e-07)
    with pytest.raises(EngineError, match="refuses the fact 'piece'"):
        engine.fire(rules, facts_of(piece={"heat": 1.0}))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 1e16, "hot"])
def test_a_value_that_cannot_be_compared_is_an_error(value):
    rules = [rule_of(["piece heat is over temperature_0"])]
    with pytest.raises(EngineError):
        engine.fire(rules, facts_of(piece={"heat": value}))


def test_numbers_that_python_writes_with_an_exponent_pass():
    rules = [rule_of(["piece heat is over temperature_0"])]
    assert engine.fire(rules, facts_of(piece={"heat": 1e-07})) == ()
    assert engine.fire(rules, facts_of(piece={"heat": 1e-04})) == (Firing("t.rule", 0, None),)
    assert engine.fire(rules, facts_of(piece={"heat": 1e15})) == (Firing("t.rule", 0, None),)


def test_a_rule_of_nothing_but_none_is_refused():
    absent = (parse_condition("step action is yes", VOCABULARY, LIMITS),)
    sound = rule_of(["step minutes is over time_0"])
    for conditions in ((), sound.alternatives[0].conditions):
        endless = CheckedRule(sound.rule, (Alternative(conditions, (absent,)),), "rules/t.yaml", 0, 0)
        with pytest.raises(EngineError, match="beside 'none'"):
            engine.fire([endless], FactSet())


def test_a_rule_wider_than_the_engine_is_refused():
    absent = tuple((parse_condition("step action is yes", VOCABULARY, LIMITS),) for _ in range(12))
    sound = rule_of(["piece heat is known"])
    wide = CheckedRule(sound.rule, (Alternative(sound.alternatives[0].conditions, absent),), "rules/t.yaml", 0, 0)
    with pytest.raises(EngineError, match="13 patterns"):
        engine.fire([wide], FactSet())


def test_without_the_package_the_engine_says_so(monkeypatch):
    monkeypatch.setattr(engine, "available", lambda: False)
    with pytest.raises(EngineError, match="cannot be loaded"):
        engine.fire([rule_of(["piece heat is known"])], FactSet())


def test_importing_the_room_loads_nothing_heavy_and_no_engine():
    program = (
        "import sys, advisor.infer, advisor.infer.engine, advisor.infer.examples; "
        "heavy = 'durable pint numpy rich prompt_toolkit'.split(); "
        "sys.exit(', '.join(m for m in heavy if m in sys.modules) or 0)"
    )
    folder = Path(advisor.__file__).parents[1]
    done = subprocess.run([sys.executable, "-c", program], cwd=folder, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_the_host_starts_no_threads():
    before = threading.active_count()
    engine.fire([rule_of(["piece heat is known"], "t.silent")], facts_of(piece={"heat": 1.0}))
    assert threading.active_count() == before
