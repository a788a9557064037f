"""The examples that stand with each rule, run by both evaluators; and nothing in the rulebase lies idle."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import advisor
from advisor.infer import engine, reference
from advisor.infer.examples import facts_from_example
from advisor.knowledge import load_rulebase
from advisor.knowledge.checks import PLACEHOLDER
from advisor.knowledge.conditions import conditions_of

RULES = load_rulebase().rules
EVALUATORS = {"reference": reference.fire} | ({"durable": engine.fire} if engine.available() else {})

# Limits that no rule names: the code that works out a fact or makes a plan asks for them by name.
LIMITS_OF_CODE = {
    "growth_ceiling": "growth beyond it is not told apart",
    "thaw_day": "what a thaw does not count of the days in the fridge",
    "thaw_day_kg": "what a thaw does not count of the days in the fridge",
    "thaw_bird_kg": "how long a whole bird thaws at least",
    "thaw_bird_water_kg": "how long a whole bird thaws at least",
    "pumped_salt": "salt of pumped meat when the label is lost",
    "log_gap_min": "what is a gap in a probe's record",
    "log_gap_times": "what is a gap in a probe's record",
    "stew_heat": "from when a pot stews",
    "wipe_leaves": "what wiping leaves on the meat",
    "sear_unsaid": "a sear of which nobody said how long",
    "plan_weigh_cut_down": "what a mend gives up",
    "plan_weigh_by_clock": "what a mend gives up",
    "plan_weigh_unstuffed": "what a mend gives up",
    "plan_pressure_up": "what a pressure cooker needs beside its cooking",
    "plan_pressure_drop": "what a pressure cooker needs beside its cooking",
    "plan_pull_from": "what is pulled to shreds",
    "plan_pull_stand": "how long it takes to pull",
    "plan_pull_per_kilo": "how long it takes to pull",
    "plan_braise_liquid": "liquid of a braise",
    "plan_rest_roast": "how long a roast rests",
    "plan_early_told": "a heat that may be done early",
    "plan_stuffing": "how long it takes to fill a bird",
    "plan_probe_thinnest": "thinnest piece that a probe reads alone",
    "plan_bath_pink": "heat of a bath that we plan",
    "plan_bath_done": "heat of a bath that we plan",
    "plan_bath_soft": "heat of a bath that we plan",
    "plan_bath_bird": "heat of a bath that we plan",
    "plan_bath_minutes": "length of a bath that we plan",
    "plan_braise_heat": "heat of a braise that we plan",
    "plan_oven_hottest": "hottest oven that a mend turns to",
    "plan_core_below_bath": "how near the bath the core comes in a bath that we plan",
    "plan_salt_shortest": "shortest salting of a plan when service is near",
    "plan_oven_hot": "heat of an oven for what we plan to cook through",
    "plan_oven_heat": "heat of an oven that we plan",
    "plan_roast_core": "core of a roast that we plan",
    "plan_bird_core": "core of a bird that we plan",
    "plan_sear_minutes": "length of a sear that we plan",
    "plan_stir_slice": "how thin we slice for a fast sear",
    "plan_weigh_salt": "how plans are laid out, timed and put in order",
    "plan_weigh_not_pink": "how plans are laid out, timed and put in order",
    "pink_most": "from when meat that should be pink is told to be brown",
    "plan_pan_pink": "middle of a steak from a pan that we plan",
    "plan_pan_closed": "middle of a steak from a pan that we plan",
    "plan_pan_open": "middle of a steak from a pan that we plan",
    "plan_mild_strength": "strength up to which a softener stays on in a plan of ours",
    "plan_brine_water": "how plans are laid out, timed and put in order",
    "plan_brine_minutes": "how plans are laid out, timed and put in order",
    "plan_cut_thinnest": "how plans are laid out, timed and put in order",
    "plan_pump": "how plans are laid out, timed and put in order",
    "plan_pump_site": "how plans are laid out, timed and put in order",
    "plan_pound_to": "how plans are laid out, timed and put in order",
    "plan_pressure_heat": "how plans are laid out, timed and put in order",
    "plan_pressure_minutes": "how plans are laid out, timed and put in order",
    "plan_salt_thin": "how plans are laid out, timed and put in order",
    "plan_soda": "how plans are laid out, timed and put in order",
    "plan_soda_minutes": "how plans are laid out, timed and put in order",
    "plan_bath_water": "how plans are laid out, timed and put in order",
    "plan_portion": "how plans are laid out, timed and put in order",
    "plan_night_from": "how plans are laid out, timed and put in order",
    "plan_night_to": "how plans are laid out, timed and put in order",
    "plan_night_most_wait": "how plans are laid out, timed and put in order",
    "plan_weigh_bite": "how plans are laid out, timed and put in order",
    "plan_weigh_day": "how plans are laid out, timed and put in order",
    "plan_weigh_loss": "how plans are laid out, timed and put in order",
    "plan_weigh_hour": "how plans are laid out, timed and put in order",
}


def stratum_of(checked):
    """Give all rules of the rule's stratum: the engine keeps compiled sets, so they are asked together."""
    return [other for other in RULES.values() if other.stratum == checked.stratum]


def fires(fire, checked, example, rulebase):
    facts = facts_from_example(example, rulebase)
    return any(firing.rule_id == checked.rule.id for firing in fire(stratum_of(checked), facts))


@pytest.mark.parametrize("evaluator", EVALUATORS)
@pytest.mark.parametrize("rule_id", RULES)
def test_the_examples_of_a_rule_fire_it(rule_id, evaluator, rulebase):
    checked = RULES[rule_id]
    assert checked.rule.examples.fires, "a rule without an example that fires it"
    for number, example in enumerate(checked.rule.examples.fires):
        assert fires(EVALUATORS[evaluator], checked, example, rulebase), f"example {number} does not fire it"


@pytest.mark.parametrize("evaluator", EVALUATORS)
@pytest.mark.parametrize("rule_id", RULES)
def test_the_near_misses_of_a_rule_do_not_fire_it(rule_id, evaluator, rulebase):
    checked = RULES[rule_id]
    assert checked.rule.examples.near_misses, "a rule without a near miss"
    for number, example in enumerate(checked.rule.examples.near_misses):
        assert not fires(EVALUATORS[evaluator], checked, example, rulebase), f"near miss {number} fires it"


@pytest.mark.parametrize("rule_id", RULES)
def test_every_alternative_of_a_rule_is_shown_by_an_example(rule_id, rulebase):
    checked = RULES[rule_id]
    shown = {
        firing.alternative
        for example in checked.rule.examples.fires
        for firing in reference.fire([checked], facts_from_example(example, rulebase))
    }
    missing = [
        str(alternative)
        for n, alternative in enumerate(checked.alternatives)
        if n not in shown and not _implied(checked, n)
    ]
    assert not missing


def _implied(checked, number):
    """Tell whether an alternative holds wherever an earlier one does, so that it can never be the first."""
    own = set(checked.alternatives[number].conditions)
    return any(set(other.conditions) <= own for other in checked.alternatives[:number])


def test_near_misses_differ_from_the_examples_in_one_rule_condition_at_least(rulebase):
    """A near miss that names no fact of the rule would prove nothing."""
    idle = []
    for rule_id, checked in RULES.items():
        named = {(c.subject, c.fact) for c in conditions_of(checked.alternatives)}
        for example in checked.rule.examples.near_misses:
            facts = facts_from_example(example, rulebase)
            held = {("step" if fact.subject.startswith("step") else fact.subject, fact.name) for fact in facts.all()}
            if not held & named:
                idle.append(rule_id)
    assert idle == []


# --- limits and sources


def _code():
    for path in Path(advisor.__file__).parent.rglob("*.py"):
        yield from ast.walk(ast.parse(path.read_text(encoding="utf-8")))


def _asked_by_code():
    """Find the name in every ``limit("name")`` and ``x.limit("name")``, and weights that are handed on by name."""
    calls = [node for node in _code() if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("limit")]
    weights = {node.value for node in _code() if isinstance(node, ast.Constant) and _is_weight(node.value)}
    return weights | {arg.value for call in calls for arg in call.args if isinstance(arg, ast.Constant)}


def _is_weight(value):
    return isinstance(value, str) and value.startswith("plan_weigh_")


def _named_by_rules():
    named = set()
    for checked in RULES.values():
        rule, caution = checked.rule, checked.rule.caution
        texts = [rule.says, rule.because, rule.beside]
        texts += [caution.hazard, caution.consequence, caution.instead] if caution else []
        named |= {name.partition("|")[0] for text in texts for name in PLACEHOLDER.findall(text)}
        named |= {condition.limit for condition in conditions_of(checked.alternatives)}
    return named


def test_code_asks_only_for_limits_that_exist(rulebase):
    assert _asked_by_code() - set(rulebase.limits) == set()


def test_the_list_of_limits_that_code_alone_uses_is_true():
    assert set(LIMITS_OF_CODE) - _asked_by_code() == set()
    assert set(LIMITS_OF_CODE) & _named_by_rules() == set()


def test_every_limit_is_used(rulebase):
    assert set(rulebase.limits) - _named_by_rules() - set(LIMITS_OF_CODE) == set()


def _cited(rulebase):
    cited = [cite.id for checked in RULES.values() for cite in checked.rule.source]
    cited += [cite.id for limit in rulebase.limits.values() for cite in limit.source]
    for organism in rulebase.organisms.values():
        parts = (organism.growth, *organism.kill)
        for entry in (*parts, *(part.measured_c for part in parts if part.measured_c is not None)):
            cited += [entry.source] if isinstance(entry.source, str) else entry.source
    groups = (
        "tenderisers",
        "materials",
        "media",
        "cuts",
        "tables",
        "codes",
        "meat",
        "texture",
        "enzyme_model",
    )
    for entry in (entry for name in groups for entry in getattr(rulebase, name).values()):
        cited += [entry.source] if isinstance(entry.source, str) else entry.source
    cited += [one.source for entry in rulebase.tenderisers.values() for one in entry.measured_c]
    for code in rulebase.codes.values():
        cited += [part.source for part in (*code.limits.values(), *code.cooling, *code.provisions) if part.source]
    return set(cited)


def test_every_source_that_is_cited_is_listed_and_every_one_listed_is_cited(rulebase):
    assert _cited(rulebase) - set(rulebase.sources) == set()
    assert set(rulebase.sources) - _cited(rulebase) == set()


def test_a_common_practice_rule_does_not_pass_for_published():
    """A rule all of whose sources are custom or our own estimate says so in its basis."""
    soft = {"common_practice", "estimate_ours"}
    boast = [
        rule_id
        for rule_id, checked in RULES.items()
        if {cite.id for cite in checked.rule.source} <= soft and checked.rule.basis == "published"
    ]
    assert boast == []
