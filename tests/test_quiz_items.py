"""Items are made from the rules, proved by a second road, and change or go with them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from itertools import islice
from random import Random

import pytest
from quiz_proof import NOW, found_out, lengths_of, prove

from advisor.infer import engine
from advisor.knowledge import read_house, under_house
from advisor.knowledge.records import Example
from advisor.quiz.claims import Claim, Road
from advisor.quiz.feedback import because, feedback
from advisor.quiz.items import state_of
from advisor.quiz.lint import CHECKS, lint, proved
from advisor.quiz.maker import Maker, Mould, ShippedPlans
from advisor.quiz.sitting import ordered, screening
from advisor.quiz.store import answer_to

# Contested craft that only informs: it draws no line and asks nothing of the cook, so it is an opinion. The line up
# to which `enzyme.mush_unproven` speaks is asked as that of `enzyme.soft_near`, which speaks past it; asked of the
# former, a wrong figure was told to be stricter that is laxer.
CANNOT_BE_ASKED = {
    "enzyme.cold_works",
    "enzyme.mush_in_pot",
    "enzyme.mush_unproven",
    "heat.hollow_bird",
    "heat.solid_bird",
    "marinade.acid_outside",
    "marinade.soda_outside",
    "practice.rest",
    "probe.bone",
}
# A learner who holds one belief and knows all else is found out within so many items: once, and twice.
# It was 100 and 160 while there were 120 beliefs; with 133 of them the worst came to 163 and the room was widened.
# With 147 it is 105 and 184 at three seeds: each is offered twice, so more beliefs take more items.
FOUND_ONCE, FOUND_TWICE = 110, 190
# One who knows nothing and goes by length alone: of three options a third is chance. The run of 10,000 is held
# closer to it; some 80 items can be this far off by the draw alone.
MOST_BY_LENGTH, MOST_BY_LENGTH_OF_REASONS = 0.42, 0.45


def some_plans(rulebase, each=8):
    """Each plan costs whole checks; the run on demand has them all."""
    plans = ShippedPlans(rulebase, NOW)
    # A clean one with a bath, and one with faults of which one is the worst, are needed whatever else is drawn.
    needed = ["pork_loin_in_a_bath", "thick_pumped_roast_in_a_low_bath"]
    return {name: plans[name] for name in [*needed, *sorted(plans)[::each]]}


@pytest.fixture(scope="module")
def maker(rulebase):
    return Maker(rulebase, some_plans(rulebase))


@pytest.fixture(scope="module")
def proof(rulebase, maker):
    return prove(200, rulebase, "ci", maker=maker)


def test_every_item_stands_before_a_second_road(proof):
    assert proof.made == 200
    assert not proof.failed
    assert proof.evaluator == ("durable" if engine.available() else "reference")


def test_keys_stand_in_every_place(proof):
    for count, places in proof.places.items():
        assert set(places) == set(range(count))
        assert max(places.values()) / sum(places.values()) < 0.45


def test_length_does_not_give_the_key_away(proof):
    """The right reason was the longest option in seven of ten, until beliefs could be had in more words."""
    for kind, most in (("all", MOST_BY_LENGTH), ("reason", MOST_BY_LENGTH_OF_REASONS)):
        chance, *by_length = lengths_of(proof, kind)
        assert max(by_length) < most
        assert chance < 0.34
    assert 0.85 < sum(proof.ratios) / len(proof.ratios) < 1.15


def test_every_rule_that_can_be_asked_is_asked(maker, rulebase):
    able = {rule for rule in rulebase.rules if any(maker.of_rule(rule, f"able.{n}") for n in range(8))}
    assert set(rulebase.rules) - able <= CANNOT_BE_ASKED
    left = [rulebase.rules[rule].rule for rule in CANNOT_BE_ASKED]
    assert all(rule.contested and rule.concern == "craft" and rule.concludes.verdict == "go" for rule in left)


def test_every_rule_has_a_subject(rulebase):
    assert [rule for rule in rulebase.rules if not rulebase.quiz.subject_of(rule)] == []


def test_the_same_seed_gives_the_same_form(rulebase, maker):
    other = Maker(rulebase, some_plans(rulebase))
    assert other.form("s", 20) == maker.form("s", 20)
    assert other.form("s", 20) != maker.form("t", 20)


def test_a_form_asks_nothing_twice(maker):
    items = maker.form("once", 80)
    assert len({item.question + "".join(item.told) for item in items}) == 80


def test_undercooked_lamb_is_never_clean(maker):
    """The whole road took what was not told at its worst, and the rule no longer saw its own meat."""
    example = Example(
        piece={"cook_class": "doubtful_meat", "animal": "lamb", "form": "steak"},
        course={"has_cook": "yes", "whole_share": 0.8},
    )
    judgement = maker.bench.road.judge(Claim(example, "verdict"))
    assert judgement.verdict == "change"
    assert "cook.whole" in {finding.rule.rule.id for finding in judgement.problems}


def test_a_verdict_item_never_calls_clean_what_its_rule_stops(maker, rulebase):
    """For each example that fires a rule, made lively over some seeds, the key is what the rule itself asks."""
    for rule_id, checked in rulebase.rules.items():
        if checked.rule.concludes.verdict not in ("change", "stop"):
            continue
        for seed in range(6):
            item = maker.make(Mould("verdict", rule_id), f"never.{seed}")
            if item is None or item.rule_id != rule_id:
                continue
            claim = item.options[item.key].claims[0]
            fired = any(f.rule_id == rule_id for f in maker.bench.road.judge(claim).inference.firings)
            assert claim.says == (checked.rule.concludes.verdict if fired else "go"), item.question


def test_figures_of_a_limit_item_are_refuted_by_a_margin(maker, rulebase):
    item = next(i for n in range(20) if (i := maker.make(Mould("limit", "hold.reheat_slow"), f"m{n}")))
    settings = rulebase.quiz.settings
    for option in item.options:
        outcome = maker.bench.road.of_all(option.claims)
        assert outcome.holds == (not option.misconception)
        if option.misconception:
            assert outcome.margin.enough(settings)


def test_a_limit_that_moves_moves_its_items(rulebase):
    """A house rule and a food code are quizzed as they stand."""
    house = under_house(rulebase, read_house("limits: {reheat_max: 1 h}", "house.yaml", rulebase))
    item = next(i for n in range(20) if (i := Maker(house, {}).make(Mould("limit", "hold.reheat_slow"), f"h{n}")))
    assert item.options[item.key].text == "1 h"
    shipped = next(i for n in range(20) if (i := Maker(rulebase, {}).make(Mould("limit", "hold.reheat_slow"), f"h{n}")))
    assert shipped.options[shipped.key].text == "2 h"
    assert shipped.state != item.state


@pytest.mark.parametrize("code", ["uk", "canada"])
def test_a_food_code_is_quizzed_as_it_stands(rulebase, code):
    ruled = rulebase.under(code)
    maker = Maker(ruled, some_plans(ruled, 24))
    items = maker.form(code, 25)
    assert len(items) == 25
    road = Road(ruled, "reference")
    assert [lint(item, ruled, road) for item in items] == [[]] * 25


def test_a_changed_rule_retires_its_items(rulebase, maker):
    item = next(i for n in range(20) if (i := maker.make(Mould("limit", "hold.reheat_slow"), f"r{n}")))
    looser = rulebase.with_limits(
        {**rulebase.limits, "reheat_max": rulebase.limits["reheat_max"].model_copy(update={"value": 90.0})}, "test"
    )
    assert state_of(item.rule_id, looser) != item.state
    reasons = lint(item, looser, Road(looser))
    assert "its rule has changed" in reasons
    assert "the right option does not hold" in reasons


def test_a_contested_rule_is_never_asked_as_fact(maker, rulebase):
    said = rulebase.quiz.asks["contested"]
    seen = 0
    for mould in maker.moulds:
        if mould.about in rulebase.rules and rulebase.rules[mould.about].rule.contested:
            item = maker.make(mould, "contested")
            if item is not None and rulebase.rules[item.rule_id].rule.contested:
                seen += 1
                assert item.ask.startswith(said)
                assert item.ask != rulebase.quiz.asks["which"]
    assert seen > 5


def test_both_systems_of_units(rulebase):
    maker = Maker(rulebase, some_plans(rulebase, 24), "us")
    items = maker.form("us", 40)
    road = Road(rulebase, "reference", "us")
    assert [list(proved(item, rulebase, road)) for item in items] == [[]] * 40


def spoilt(item, reason):  # noqa: C901, PLR0912 - one branch for each fault
    """An item that breaks one thing."""
    key, wrong = item.options[item.key], [o for o in item.options if o.misconception]
    match reason:
        case "not one question":
            return replace(item, ask=f"{item.ask} And why?")
        case "two options read the same":
            return replace(item, options=(key, replace(wrong[0], text=key.text), *wrong[1:]))
        case "not one right option":
            return replace(item, options=(key, replace(wrong[0], misconception=""), *wrong[1:]))
        case "a wrong option without a named misconception":
            return replace(item, options=(key, replace(wrong[0], misconception="nonsense"), *wrong[1:]))
        case "an option that takes in others":
            return replace(item, options=(key, replace(wrong[0], text="All of the above."), *wrong[1:]))
        case "lengths give it away":
            return replace(item, options=(replace(key, text=key.text * 2), *wrong))
        case "options of unlike grammar":
            return replace(item, options=(replace(key, text=key.text.rstrip(".")), *wrong))
        case "too few or too many options":
            return replace(item, options=(key, wrong[0]))
        case "absolute words in the wrong options alone":
            return replace(item, options=(key, *(replace(o, text=f"Never {o.text[:-7]}.") for o in wrong)))
        case "a question that denies":
            return replace(item, ask="Which of these is not true?")
        case "too hard to read":
            return replace(item, stem="Microbiological proliferation necessitates refrigeration immediately.")
        case "a word that we do not use":
            return replace(item, stem=f"{item.stem} It is safe.")
        case "a wrong option holds":
            return replace(item, options=(key, replace(wrong[0], claims=key.claims), *wrong[1:]))
        case "the right option does not hold":
            return replace(item, options=(replace(key, claims=wrong[0].claims), *wrong))
        case _:
            return replace(item, rule_id="gone.rule")


@pytest.mark.parametrize(
    "reason",
    [
        "not one question",
        "two options read the same",
        "not one right option",
        "a wrong option without a named misconception",
        "an option that takes in others",
        "lengths give it away",
        "options of unlike grammar",
        "too few or too many options",
        "absolute words in the wrong options alone",
        "a question that denies",
        "too hard to read",
        "a word that we do not use",
        "a wrong option holds",
        "the right option does not hold",
        "no rule decides it",
    ],
)
def test_the_lint_names_what_is_wrong(maker, rulebase, reason):
    made = (maker.make(Mould("reason", "hold.cooked_days"), f"lint{n}") for n in range(40))
    item = next(i for i in made if i is not None)
    assert lint(item, rulebase, maker.bench.road) == []
    broken = spoilt(item, reason)
    found = [why for check in CHECKS for why in check(broken, rulebase)]
    if broken.rule_id in rulebase.rules:
        found += proved(broken, rulebase, maker.bench.road)
    assert reason in found


def test_figures_out_of_order_and_by_a_hair_are_refused(maker, rulebase):
    item = next(i for n in range(20) if (i := maker.make(Mould("limit", "hold.reheat_slow"), f"o{n}")))
    turned = replace(item, options=tuple(reversed(item.options)))
    assert "figures out of order" in lint(turned, rulebase, maker.bench.road)
    wrong = next(option for option in item.options if option.misconception)
    example = Example(course={"reheat_minutes": rulebase.limit("reheat_max") + 1.0})
    hair = replace(wrong, claims=(Claim(example, "rule", "hold.reheat_slow", "silent", rule="hold.reheat_slow"),))
    options = tuple(hair if option is wrong else option for option in item.options)
    assert "a wrong option is wrong by a hair" in lint(replace(item, options=options), rulebase, maker.bench.road)


def test_one_belief_is_found_out(maker):
    """A learner who knows all but one thing chooses it whenever it is offered; each belief is tried at once."""
    once, twice, never = found_out(maker)
    assert not never
    assert max(once) <= FOUND_ONCE
    # A few can be offered in one item alone, which is not asked twice.
    assert len(twice) >= 0.97 * len(once)
    assert max(twice) <= FOUND_TWICE


def test_beliefs_are_gone_through_in_short_sittings(maker):
    """Three sittings of ten go on where the last one ended; each item offers something not offered before."""
    at, given, seen = datetime(2026, 11, 25, 12, tzinfo=UTC), [], set()
    for number in range(3):
        for item in islice(screening(maker, f"short{number}", given), 10):
            answer = answer_to(item, item.key, 3, at, number)
            assert set(answer.offered.split()) - seen
            seen |= set(answer.offered.split())
            given.append(answer)
    assert len({answer.item for answer in given}) == 30


def test_each_belief_is_refuted_by_each_rule_it_names(maker, rulebase):
    from advisor.quiz.from_rules import drawn

    for name, one in rulebase.quiz.misconceptions.items():
        for rule in one.refuted_by:
            example = drawn(maker.bench, rule, Random(1), firing=True)  # noqa: S311 - a draw of questions
            outcome = maker.bench.road.outcome(Claim(example, "rule", rule, "silent", rule=rule))
            assert not outcome.holds, name


def test_each_belief_says_what_comes_of_it(rulebase):
    """What it does to the food or the guest: in its own words, or in those of each rule that refutes it."""
    for name, one in rulebase.quiz.misconceptions.items():
        cautions = [rulebase.rules[rule].rule.caution for rule in one.refuted_by]
        assert one.leads_to or not one.near or all(cautions), name


def test_a_clean_case_is_not_given_the_reason_of_another(maker):
    """It was told that whole meat has germs in its middle, out of the reason of the rule for pierced meat."""
    rule = "cook.broken"
    made = (maker.make(Mould("verdict", rule), f"clean{n}") for n in range(60))
    item = next(i for i in made if i and i.rule_id == rule and i.options[i.key].claims[0].says == "go")
    said = because(rule, item.options[item.key], maker.bench.road)
    assert "such meat" not in said
    assert "line" in said


@pytest.mark.parametrize("rule", ["hold.reheat_low", "cook.wild", "hold.thaw_water_warm", "hold.hot_low"])
def test_the_right_temperature_is_not_the_only_round_one(maker, rule):
    item = next(i for n in range(30) if (i := maker.make(Mould("limit", rule), f"round{n}")))
    in_f = [round(option.value * 1.8 + 32.0, 1) % 5 for option in item.options]
    in_c = [option.value % 5 for option in item.options]
    assert max(in_c) == 0 or all(min(one, 5 - one) < 0.2 for one in in_f), item.options


def test_what_opinions_differ_on_refutes_nothing_as_fact(maker, rulebase):
    """A belief that only a contested rule refutes is offered where it is asked by whose rules, and nowhere else."""
    from advisor.quiz.from_rules import refuters

    assert refuters(maker.bench, "a_trace_is_fine", "guests.latex") == ["guests.latex"]
    assert refuters(maker.bench, "a_trace_is_fine", "cook.bird") == []
    made = (maker.make(Mould("reason", "guests.latex"), f"fact{n}") for n in range(40))
    item = next(i for i in made if i is not None)
    bare = replace(item, ask=rulebase.quiz.asks["which"])
    found = lint(bare, rulebase, maker.bench.road)
    assert {"contested, asked as fact", "a belief that only an opinion refutes"} <= set(found)


def test_due_rules_come_first_then_must_knows(rulebase):
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    rules = ["sear.wet", "salt.nitrite", "cool.spores", "score.depth"]
    due = {"sear.wet": now.replace(hour=9), "cool.spores": now.replace(day=28)}
    order = ordered(rules, due, now, rulebase, "x")
    assert order[0] == "sear.wet"
    assert order[1] == "salt.nitrite"
    assert order[-1] == "cool.spores"
    assert ordered(rules, due, now, rulebase, "x", only_due=True)[0] == "sear.wet"
    assert "cool.spores" not in ordered(rules, due, now, rulebase, "x", only_due=True)


def test_a_reason_stands_alone(rulebase):
    from advisor.quiz.from_rules import fit_reasons

    said = "Pulp is sour. It eats the outside. Salt goes deeper. That is our reading."
    assert fit_reasons(said, rulebase.quiz) == ["Pulp is sour.", "Salt goes deeper."]


def test_feedback_names_no_figure_that_is_not_known_and_leaves_no_brace(maker):
    """Of a situation that tells less than a rule's words, such as the salt at both ends, the reason is told instead."""
    road = maker.bench.road
    for rule in ("salt.uneven", "cool.code_stage", "cool.code_end", "cool.code_start", "cool.first_not_reached"):
        for n in range(6):
            item = maker.of_rule(rule, f"told.{n}")
            for place in range(len(item.options) if item is not None else 0):
                said = feedback(item, place, road)
                assert "not known" not in said.why + said.would
                assert "{" not in said.why + said.would


def test_no_situation_is_clean_only_because_it_tells_too_little(maker):
    """Meat out of the cold at 21 °C was called clean, and so was a steak of no known animal with a middle too cool."""
    for rule, words in (("cool.first_not_reached", "at 21"), ("cool.cold_not_reached", "at 5 °C")):
        made = [maker.of_rule(rule, f"warm.{n}") for n in range(12)]
        assert not any(words in item.stem for item in made if item is not None)
    for n in range(12):
        item = maker.of_rule("cook.brief_sear", f"beef.{n}")
        if item is not None and "70 % of the time" in item.stem and item.options[item.key].text.startswith("Go on"):
            assert "The meat is beef." in item.stem
            assert "The outside gets to" in item.stem

    for rule in ("cook.bird", "cook.wild_table", "cook.broken", "cook.steak_code"):
        for n in range(12):
            item = maker.of_rule(rule, f"other.{n}")
            if item is not None and item.kind == "verdict" and item.options[item.key].text.startswith("Go on"):
                # Whole meat that fell short of the time of another kind is told to have had its own.
                assert (
                    "whole and closed" not in item.stem
                    or "0 % of the time at heat that whole" in item.stem
                    or ("that the code asks of whole meat" in item.stem and "It is a whole piece." not in item.stem)
                )


def test_a_line_for_all_guests_is_not_asked_as_that_of_some(maker):
    """Wild game was asked for at large, and a wrong figure told that "they" can die of it."""
    limits = {mould.about for mould in maker.moulds if mould.kind == "limit"}
    assert "cook.wild" in limits
    assert not {"guests.facility_raw", "guests.some_raw"} & limits


def test_no_wrong_figure_is_refuted_by_another_line_than_the_one_asked_for(maker):
    """Past full strength another rule speaks of paste: silence there is no proof that the line asks too much."""
    for n in range(12):
        item = maker.of_rule("enzyme.soft_near", f"side.{n}")
        if item is not None and item.kind == "limit":
            assert max(option.value for option in item.options) <= 1.0


def test_the_worst_fault_is_named_without_the_figures_of_its_plan(maker, rulebase):
    from advisor.quiz.from_plans import _hazard

    assert _hazard(maker.bench, "hold.warm_raw_long") == "Raw meat warm for too long."
    assert all("{" not in _hazard(maker.bench, rule) for rule in rulebase.rules)
