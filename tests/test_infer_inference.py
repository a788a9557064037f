"""From rules and facts to findings: order of inference, conclusions, exceptions, texts, and the laws they keep."""

from __future__ import annotations

import pytest

from advisor.case.facts import Fact, FactSet
from advisor.errors import EngineError, RulebaseError
from advisor.infer import check_conclusions, check_exceptions, check_facts, infer
from advisor.infer import engine as durable_engine
from advisor.infer.examples import example_fires, facts_from_example
from advisor.infer.proof import Firing
from advisor.infer.text import fill
from advisor.knowledge.checks import checked_rules
from advisor.knowledge.loader import Files
from advisor.knowledge.records import Example, Limit, Source, VocabularyFact
from advisor.knowledge.rulebase import Rulebase
from advisor.units import write_quantity

VOCABULARY = {
    "piece": {
        "arrived": VocabularyFact(means="a", choices=["intact", "pierced"], says={"pierced": "pierced by needles"}),
        "animal": VocabularyFact(means="a", choices=["beef", "wild_boar"]),
        "cut": VocabularyFact(means="c", words=True),
        "standing": VocabularyFact(
            means="s", choices=["intact", "in_doubt", "not_intact"], concluded=True, default="intact"
        ),
        "class": VocabularyFact(means="c", choices=["whole", "broken"], concluded=True, default="whole"),
        "tag": VocabularyFact(means="t", choices=["plain", "odd"], concluded=True, default="plain"),
    },
    "guests": {"at_risk": VocabularyFact(means="r", choices=["no", "yes"])},
    "step": {
        "temperature": VocabularyFact(means="t", quantity="temperature"),
        "minutes": VocabularyFact(means="m", quantity="time"),
        "action": VocabularyFact(means="a", choices=["hold", "bath", "chill"]),
        "fruit": VocabularyFact(means="f", choices=["none", "unknown"]),
        "risk": VocabularyFact(means="r", choices=["low", "high"], concluded=True, default="low"),
    },
    "course": {
        "scores": VocabularyFact(means="s", choices=["no", "yes"]),
        "share": VocabularyFact(means="s", quantity="count"),
    },
}
LIMITS = {
    "warm": Limit(value=5.0, quantity="temperature", means="w", source=[], basis="estimate"),
    "hot": Limit(value=57.34, quantity="temperature", means="h", source=[], basis="estimate"),
    "long": Limit(value=120.0, quantity="time", means="l", source=[], basis="estimate"),
}
SOURCES = {"s": Source(title="t", edition="e", standing="estimate", known="from_memory")}
CAUTION = {"hazard": "Warm at {step.temperature}.", "consequence": "Germs grow.", "instead": "Stay under {warm}."}
PLAIN_CAUTION = {"hazard": "Warm.", "consequence": "Germs grow.", "instead": "Stay under {warm}."}


def rule(rule_id, when, concludes=None, **more):
    return {
        "id": rule_id,
        "concern": "craft",
        "when": when,
        "concludes": concludes or {"verdict": "change", "signal": "NOTICE"},
        "says": "It is so.",
        "because": "It must be.",
        "source": [{"id": "s"}],
        "basis": "estimate",
        "examples": {"fires": [], "near_misses": []},
    } | more


def safety(rule_id, when, **more):
    return (
        rule(
            rule_id,
            when,
            {"verdict": "stop", "signal": "DANGER"},
            concern="safety",
            caution=PLAIN_CAUTION,
            no_mend="None.",
        )
        | more
    )


def rulebase_of(*rules):
    files = Files({"rules/t.yaml": ""}, {"rules/t.yaml": {"rules": list(rules)}})
    checked = checked_rules(files, VOCABULARY, LIMITS, SOURCES)
    empty = ("questions", "organisms", "tenderisers", "enzyme_model", "materials", "media", "meat", "texture")
    nothing = {name: {} for name in (*empty, "cuts", "tables", "codes", "trade_words", "local_lines")}
    return Rulebase(
        version="1",
        digest="test",
        sources=SOURCES,
        vocabulary=VOCABULARY,
        limits=LIMITS,
        rules=checked,
        no_kill_credit_below_c=0.0,
        ambiguous=(),
        **nothing,
    )


def facts_of(piece=None, guests=None, course=None, steps=()):
    def group(place, values):
        return {name: Fact(place, name, value, "written") for name, value in (values or {}).items()}

    return FactSet(
        piece=group("piece", piece),
        guests=group("guests", guests),
        course=group("course", course),
        steps=tuple(group(f"step{number}", step) for number, step in enumerate(steps, start=1)),
    )


@pytest.fixture(params=["durable", "reference"])
def run(request):
    """Infer with one evaluator; every test that takes it runs with both."""
    return lambda rulebase, facts, system="metric": infer(rulebase, facts, system, engine=request.param)


def rules_found(inference):
    return [(finding.rule.rule.id, finding.step) for finding in inference.findings]


# --- findings and their texts


def test_a_finding_carries_figures_texts_facts_and_sources(run):
    warm = safety(
        "hold.warm",
        ["step action is hold", "step temperature is over warm", "step minutes is at least long"],
        says="It lies at {step.temperature|up} for {step.minutes}; the limit is {warm}.",
        because="The {piece.cut} is {piece.arrived} and {guests.at_risk}.",
        beside="Of {piece.animal}.",
        caution=CAUTION,
    )
    facts = facts_of(
        piece={"cut": "chuck_eye", "arrived": "pierced", "animal": "wild_boar"},
        steps=[{"action": "bath"}, {"action": "hold", "temperature": 20.0, "minutes": 120.0}],
    )
    inference = run(rulebase_of(warm), facts)
    (finding,) = inference.findings
    assert finding.says == "It lies at 20 °C (68 °F) for 2 h; the limit is 5 °C (41 °F)."
    assert finding.because == "The chuck eye is pierced by needles and not known."
    assert finding.beside == "Of wild boar."
    assert finding.caution == ("Warm at 20 °C (68 °F).", "Germs grow.", "Stay under 5 °C (41 °F).")
    assert (finding.verdict, finding.signal, finding.concern, finding.step) == ("stop", "DANGER", "safety", 1)
    assert [(one.condition.fact, one.state, one.margin) for one in finding.figures] == [
        ("action", "true", None),
        ("temperature", "true", 15.0),
        ("minutes", "true", 0.0),
    ]
    assert finding.fact_ids == ("step2.action", "step2.temperature", "step2.minutes")
    assert [cite.id for cite in finding.sources] == ["s"]
    assert inference.firings == (Firing("hold.warm", 0, 1),)


def test_findings_come_in_the_order_of_the_rules_then_of_the_steps(run):
    first = rule("a.late", ["piece class is broken", "step action is hold"])
    second = rule("a.early", ["step action is hold"])
    maker = rule("a.maker", ["piece arrived is pierced"], {"fact": "piece class", "value": "broken"})
    facts = facts_of(piece={"arrived": "pierced"}, steps=[{"action": "hold"}, {"action": "hold"}])
    inference = run(rulebase_of(first, second, maker), facts)
    assert rules_found(inference) == [("a.late", 0), ("a.late", 1), ("a.early", 0), ("a.early", 1)]
    assert [firing.rule_id for firing in inference.firings] == ["a.late", "a.late", "a.early", "a.early", "a.maker"]


def test_facts_under_none_are_among_the_facts_used(run):
    missing = rule("a.missing", ["piece arrived is pierced", {"none": ["step action is chill"]}])
    facts = facts_of(piece={"arrived": "pierced"}, steps=[{"action": "hold"}, {}, {"action": "bath"}])
    (finding,) = run(rulebase_of(missing), facts).findings
    assert finding.fact_ids == ("piece.arrived", "step1.action", "step3.action")


def test_techniques_are_kept_apart_from_findings_and_said_once(run):
    suits = rule("a.suits", ["step action is hold"], {"technique": "press", "fit": "choose"})
    facts = facts_of(steps=[{"action": "hold"}, {"action": "hold"}])
    inference = run(rulebase_of(suits), facts)
    assert inference.findings == ()
    assert [(one.name, one.fit, one.says) for one in inference.techniques] == [("press", "choose", "It is so.")]
    assert len(inference.firings) == 2


@pytest.mark.parametrize("system", ["metric", "us"])
def test_placeholders_take_units_and_rounding(system):
    """How a figure is written is the units' affair; that the wish after the bar reaches them is checked here."""
    rulebase, facts = rulebase_of(), facts_of(course={"share": 0.99999}, steps=[{"temperature": 57.34}])
    expected = {
        "{hot}": write_quantity(57.34, "temperature", system),
        "{hot|nearest}": write_quantity(57.34, "temperature", system),
        "{hot|up}": write_quantity(57.34, "temperature", system, rounding="up"),
        "{hot|down}": write_quantity(57.34, "temperature", system, rounding="down"),
        "{hot|plain}": write_quantity(57.34, "temperature", system, both=False),
        "{step.temperature | up}": write_quantity(57.34, "temperature", system, rounding="up"),
        "{course.share|share}": "99 %",
    }
    assert {text: fill(text, rulebase, facts, 0, system) for text in expected} == expected
    assert len(set(expected.values())) >= 4
    assert fill("{step.temperature}", rulebase, facts, None, system) == "not known"


@pytest.mark.parametrize("text", ["{nothing}", "{piece.nothing}", "{warm|sideways}", "{warm|}"])
def test_a_placeholder_that_means_nothing_is_an_error(text):
    with pytest.raises(EngineError):
        fill(text, rulebase_of(), FactSet(), None, "metric")


# --- facts that rules conclude

PIERCED = rule("s.pierced", ["piece arrived is pierced"], {"fact": "piece standing", "value": "not_intact"})
SCORED = rule("s.scored", ["course scores is yes"], {"fact": "piece standing", "value": "in_doubt"})
BROKEN = rule("c.broken", ["piece standing is not_intact"], {"fact": "piece class", "value": "broken"})
SAYS_BROKEN = rule("f.broken", ["piece class is broken"])
SAYS_WHOLE = rule("f.whole", ["piece class is whole"])
STANDING = rulebase_of(SAYS_WHOLE, SAYS_BROKEN, BROKEN, SCORED, PIERCED)


def test_conclusions_reach_the_rules_that_read_them_whatever_the_order_in_the_file(run):
    inference = run(STANDING, facts_of(piece={"arrived": "pierced"}, course={"scores": "no"}))
    assert rules_found(inference) == [("f.broken", None)]
    standing = inference.facts.piece["standing"]
    assert (standing.value, standing.origin, standing.by) == ("not_intact", "concluded", "s.pierced")
    assert standing.inputs == ("piece.arrived",)


def test_the_worst_of_several_conclusions_wins_and_both_stay_in_the_proof(run):
    inference = run(STANDING, facts_of(piece={"arrived": "pierced"}, course={"scores": "yes"}))
    assert inference.facts.piece["standing"].value == "not_intact"
    assert [firing.rule_id for firing in inference.firings] == ["f.broken", "c.broken", "s.scored", "s.pierced"]


def test_what_no_rule_concludes_takes_its_default(run):
    inference = run(STANDING, facts_of(piece={"arrived": "intact"}, course={"scores": "no"}))
    assert rules_found(inference) == [("f.whole", None)]
    assert (inference.facts.piece["class"].value, inference.facts.piece["class"].origin) == (
        "whole",
        "from the rulebase",
    )
    # No rule at all concludes this one.
    assert inference.facts.piece["tag"].value == "plain"


@pytest.mark.parametrize("course", [{"scores": "no"}, {"scores": "yes"}, {"scores": None}, {}])
def test_not_knowing_whether_a_worse_conclusion_holds_is_taken_as_if_it_did(run, course):
    inference = run(STANDING, facts_of(course=course))
    standing = inference.facts.piece["standing"]
    assert (standing.value, standing.origin, standing.by) == ("not_intact", "assumed worst", "s.pierced")
    assert standing.note == "Not known: piece.arrived."
    assert rules_found(inference) == [("f.broken", None)]
    assert "s.pierced" not in [firing.rule_id for firing in inference.firings]


def test_a_worse_value_that_was_given_is_not_made_better(run):
    given = {"arrived": "intact", "standing": "not_intact"}
    inference = run(STANDING, facts_of(piece=given, course={"scores": "yes"}))
    standing = inference.facts.piece["standing"]
    assert (standing.value, standing.origin) == ("not_intact", "written")
    assert rules_found(inference) == [("f.broken", None)]


def test_a_value_that_was_given_keeps_its_origin_when_a_rule_concludes_the_same(run):
    given = {"arrived": "pierced", "standing": "not_intact"}
    inference = run(STANDING, facts_of(piece=given, course={"scores": "no"}))
    assert inference.facts.piece["standing"].origin == "written"


def test_a_better_value_that_was_given_does_not_hide_a_conclusion(run):
    given = {"arrived": "pierced", "standing": "intact"}
    inference = run(STANDING, facts_of(piece=given, course={"scores": "no"}))
    assert inference.facts.piece["standing"].value == "not_intact"


def test_a_fact_of_a_step_is_concluded_for_that_step(run):
    risky = rule("r.risky", ["step temperature is over warm"], {"fact": "step risk", "value": "high"})
    found = rule("f.high", ["step risk is high"])
    low = rule("f.low", ["step risk is low"])
    steps = [{"temperature": 4.0}, {"temperature": 9.0}, {}]
    inference = run(rulebase_of(risky, found, low), facts_of(steps=steps))
    assert rules_found(inference) == [("f.high", 1), ("f.high", 2), ("f.low", 0)]
    assert [step["risk"].origin for step in inference.facts.steps] == [
        "from the rulebase",
        "concluded",
        "assumed worst",
    ]
    assert inference.facts.steps[1]["risk"].id == "step2.risk"


# --- exceptions


def test_an_exception_removes_the_finding_of_its_step_only_and_stays_visible(run):
    warm = rule("h.warm", ["step temperature is over warm"])
    fine = rule("h.fine", ["step action is bath"], {"verdict": "go", "signal": "NOTICE"}, exception_to="h.warm")
    steps = [{"temperature": 20.0, "action": "hold"}, {"temperature": 56.0, "action": "bath"}]
    inference = run(rulebase_of(warm, fine), facts_of(steps=steps))
    assert rules_found(inference) == [("h.warm", 0), ("h.fine", 1)]
    assert Firing("h.warm", 0, 1) in inference.firings


def test_an_exception_for_the_whole_plan_removes_every_step(run):
    warm = rule("h.warm", ["step temperature is over warm"])
    fine = rule("h.fine", ["guests at_risk is no"], {"verdict": "go", "signal": "NOTICE"}, exception_to="h.warm")
    facts = facts_of(guests={"at_risk": "no"}, steps=[{"temperature": 20.0}, {"temperature": 30.0}])
    assert rules_found(run(rulebase_of(warm, fine), facts)) == [("h.fine", None)]


def test_an_exception_on_something_not_known_removes_nothing(run):
    warm = rule("h.warm", ["step temperature is over warm"])
    fine = rule(
        "h.fine", ["guests at_risk is no", {"none": ["step action is hold"]}], {"verdict": "go", "signal": "NOTICE"}
    ) | {"exception_to": "h.warm"}
    rulebase = rulebase_of(warm, fine)
    steps = [{"temperature": 20.0}]
    assert rules_found(run(rulebase, facts_of(steps=steps))) == [("h.warm", 0)]
    assert rules_found(run(rulebase, facts_of(guests={"at_risk": "no"}, steps=steps))) == [("h.warm", 0)]
    known = [{"temperature": 20.0, "action": "bath"}]
    assert rules_found(run(rulebase, facts_of(guests={"at_risk": "no"}, steps=known))) == [("h.fine", None)]


def test_an_exception_that_is_itself_excepted_gives_the_finding_back(run):
    first = rule("e.first", ["piece arrived is pierced"])
    second = rule("e.second", ["piece animal is beef"], exception_to="e.first")
    third = rule("e.third", ["guests at_risk is yes"], exception_to="e.second")
    rulebase = rulebase_of(first, second, third)
    piece = {"arrived": "pierced", "animal": "beef"}
    assert rules_found(run(rulebase, facts_of(piece=piece))) == [("e.second", None)]
    both = run(rulebase, facts_of(piece=piece, guests={"at_risk": "yes"}))
    assert rules_found(both) == [("e.first", None), ("e.third", None)]


def test_a_safety_rule_may_be_an_exception_to_a_safety_rule(run):
    warm = safety("h.warm", ["step temperature is over warm"])
    fine = safety("h.fine", ["step action is bath"], exception_to="h.warm")
    facts = facts_of(steps=[{"temperature": 56.0, "action": "bath"}])
    assert rules_found(run(rulebase_of(warm, fine), facts)) == [("h.fine", 0)]


BASE = rule("x.base", ["piece arrived is pierced"])
SAFE_BASE = safety("x.base", ["piece arrived is pierced"])


@pytest.mark.parametrize(
    ("rules", "message"),
    [
        ([rule("x.one", ["piece animal is beef"], exception_to="x.none")], "is no rule"),
        ([SAFE_BASE, rule("x.one", ["piece animal is beef"], exception_to="x.base")], "may not take away a safety"),
        ([SAFE_BASE, rule("x.one", ["piece animal is beef"], exception_to="x.base", concern="law")], "(law)"),
        ([SAFE_BASE, safety("x.one", ["piece animal is not known"], exception_to="x.base")], "is not known"),
        ([PIERCED, rule("x.one", ["piece animal is beef"], exception_to="s.pierced")], "not concluded facts"),
        ([BASE, PIERCED | {"exception_to": "x.base"}], "not concluded facts"),
        ([BASE | {"exception_to": "x.base"}], "circle"),
        (
            [BASE | {"exception_to": "x.two"}, rule("x.two", ["piece animal is beef"], exception_to="x.base")],
            "circle",
        ),
    ],
)
def test_an_exception_that_may_not_be_is_refused(rules, message):
    rulebase = rulebase_of(*rules)
    with pytest.raises(EngineError) as caught:
        check_exceptions(rulebase)
    assert message in str(caught.value)
    with pytest.raises(EngineError):
        infer(rulebase, FactSet())


@pytest.mark.parametrize(
    "wrong",
    [
        rule("x.step", ["piece animal is beef"], {"fact": "step risk", "value": "high"}),
        rule("x.step", ["piece animal is beef"], says="It lies at {step.temperature}."),
        rule("x.step", [{"any": ["step action is hold", "piece animal is beef"]}], because="At {step.temperature}."),
        safety("x.step", ["piece animal is beef"], caution=CAUTION),
    ],
)
def test_a_rule_that_speaks_of_a_step_without_binding_one_is_refused(wrong):
    with pytest.raises(EngineError, match="speaks of a step"):
        check_conclusions(rulebase_of(wrong))
    with pytest.raises(EngineError, match="speaks of a step"):
        infer(rulebase_of(wrong), FactSet())


# --- facts


@pytest.mark.parametrize(
    "facts",
    [
        facts_of(piece={"arived": "pierced"}),
        facts_of(piece={"arrived": "peirced"}),
        facts_of(piece={"arrived": 1.0}),
        facts_of(steps=[{"minutes": "long"}]),
        facts_of(steps=[{"minutes": float("nan")}]),
        facts_of(steps=[{"minutes": float("inf")}]),
        facts_of(steps=[{"minutes": True}]),
        FactSet(steps=({"minutes": Fact("step2", "minutes", 1.0, "written")},)),
        FactSet(piece={"arrived": Fact("piece", "animal", "pierced", "written")}),
    ],
)
def test_a_fact_that_no_rule_would_see_is_refused(facts):
    with pytest.raises(EngineError):
        check_facts(STANDING, facts)
    with pytest.raises(EngineError):
        infer(STANDING, facts)


def test_facts_that_fit_pass_the_check():
    check_facts(STANDING, facts_of(piece={"cut": "any words", "arrived": None}, steps=[{"minutes": 3, "risk": "low"}]))


# --- which evaluator answers


def test_the_answer_says_which_evaluator_gave_it(monkeypatch):
    assert infer(STANDING, FactSet(), engine="reference").engine == "reference evaluator"
    assert infer(STANDING, FactSet(), engine="durable").engine == "durable-rules"
    assert infer(STANDING, FactSet()).engine == "durable-rules"
    monkeypatch.setattr(durable_engine, "available", lambda: False)
    assert infer(STANDING, FactSet()).engine == "reference evaluator"
    with pytest.raises(EngineError, match="cannot be loaded"):
        infer(STANDING, FactSet(), engine="durable")


def test_a_failing_engine_is_not_replaced_in_silence(monkeypatch):
    def spoilt(_name, _fact):
        raise EngineError("spoilt")

    monkeypatch.setattr(durable_engine, "_tell", spoilt)
    with pytest.raises(EngineError, match="spoilt"):
        infer(STANDING, FactSet())


# --- examples


def test_an_example_becomes_facts():
    example = Example(
        piece={"arrived": "pierced", "animal": "unknown"},
        step={"temperature": "just over warm", "minutes": 3, "fruit": "unknown"},
        steps=[{"temperature": "at warm"}, {"temperature": "just under warm"}],
    )
    facts = facts_from_example(example, STANDING)
    assert {fact.id: fact.value for fact in facts.all()} == pytest.approx(
        {
            "piece.arrived": "pierced",
            "piece.animal": None,
            "step1.temperature": 5.01,
            "step1.minutes": 3.0,
            "step1.fruit": "unknown",
            "step2.temperature": 5.0,
            "step3.temperature": 4.99,
        }
    )
    assert facts.piece["animal"].origin == "not known"


@pytest.mark.parametrize(
    "example",
    [
        Example(piece={"nothing": 1}),
        Example(piece={"arrived": "maybe"}),
        Example(piece={"arrived": True}),
        Example(piece={"arrived": 1}),
        Example(step={"temperature": "at long"}),
        Example(step={"temperature": "at nothing"}),
        Example(step={"temperature": "over warm"}),
        Example(step={"temperature": True}),
        Example(step={"temperature": [1]}),
    ],
)
def test_an_example_that_cannot_be_read_is_refused(example):
    with pytest.raises(RulebaseError):
        facts_from_example(example, STANDING)


def test_a_rule_fires_on_its_example_and_not_on_the_near_miss():
    rulebase = rulebase_of(rule("h.warm", ["step temperature is over warm"]))
    warm = rulebase.rules["h.warm"]
    assert example_fires(warm, Example(step={"temperature": "just over warm"}), rulebase)
    assert not example_fires(warm, Example(step={"temperature": "at warm"}), rulebase)
    assert not example_fires(warm, Example(step={"temperature": "unknown"}), rulebase)
