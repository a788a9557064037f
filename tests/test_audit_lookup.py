"""Looking things up: any order, any spelling, and nothing left unfilled on the screen."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from advisor.audit.lookup import look_up, subjects
from advisor.audit.plain import figure, limits_of_rule
from advisor.audit.related import exceptions, neighbours, rules_with_limit
from advisor.audit.traits import brought_in, traits_of_cut, traits_of_softener
from advisor.errors import InputError
from advisor.show.rules import show_rules


def shown(words, rulebase, width=80):
    out = io.StringIO()
    show_rules(words, rulebase, Console(file=out, width=width, highlight=False))
    return out.getvalue()


def flat(text):
    return " ".join(text.split())


# --- what is found


@pytest.mark.parametrize(
    ("words", "kind", "first"),
    [
        ("hold.warm_raw", "rule", "hold.warm_raw"),
        ("HOLD.WARM_RAW", "rule", "hold.warm_raw"),
        ("cold_hold_max", "limit", "cold_hold_max"),
        ("cold hold max", "limit", "cold_hold_max"),
        ("raw warm", "rule", "hold.warm_raw"),
        ("warm raw", "rule", "hold.warm_raw"),
        ("latex allergy", "rule", "guests.latex"),
        ("pregnant", "rule", "guests.some_raw"),  # another word of the vocabulary for a choice
        ("jaccard", "rule", "practice.needle"),
        ("bone in", "rule", "probe.bone"),
        ("reheating", "rule", "hold.reheat_low"),
        ("flat iron", "cut", "flat_iron"),
        ("featherblade", "cut", "flat_iron"),
        ("bicarb", "softener", "baking_soda"),
        ("pineaple", "softener", "pineapple"),
        ("papaia", "softener", "green_papaya"),
        ("chiken", "cut", "chicken_breast"),
        ("garlic", "material", "garlic"),
        ("two hour rule", "rule", "hold.warm_raw"),  # a section of a source
    ],
)
def test_words_find_it(words, kind, first, rulebase):
    assert first in look_up(words, rulebase).of(kind)[:8]


def test_the_order_of_the_words_does_not_matter(rulebase):
    for words in ("warm raw meat fridge", "bath germs low", "salt too much"):
        there, back = (look_up(w, rulebase) for w in (words, " ".join(reversed(words.split()))))
        assert {(h.kind, h.name) for h in there.hits} == {(h.kind, h.name) for h in back.hits}


def test_a_subject_gives_all_its_rules(rulebase):
    for subject, rules in subjects(rulebase).items():
        assert set(rules) <= set(look_up(subject, rulebase).of("rule")), subject


def test_a_slip_in_any_letter_of_an_id_still_finds_the_rule(rulebase):
    for rule_id in rulebase.rules:
        longest = max(rule_id.replace(".", "_").split("_"), key=len)
        if len(longest) < 7:  # one letter of a short word leaves too little to go by
            continue
        slip = longest[:3] + "x" + longest[4:]
        assert rule_id in look_up(rule_id.replace(longest, slip), rulebase).of("rule"), (rule_id, slip)


def test_words_that_stand_nowhere_together_give_those_that_have_most(rulebase):
    found = look_up("botulism bag garlic trichinosis", rulebase)
    assert found.partly
    assert "seal.aromatic_low_bath" in found.of("rule")
    assert "most of them" in shown("botulism bag garlic trichinosis", rulebase)


def test_a_name_of_several_cuts_asks(rulebase):
    assert len(look_up("brisket", rulebase).of("cut")) >= 3
    assert "names several cuts" in shown("brisket", rulebase)


@pytest.mark.parametrize("words", ["zzzzqq", "brucella", "☃", "(", "'; zzqq", "a" * 300])
def test_no_match_offers_the_nearest_three(words, rulebase):
    with pytest.raises(InputError) as caught:
        shown(words, rulebase)
    assert len(look_up(words, rulebase).nearest) == 3
    assert caught.value.hint.startswith("The nearest: ")


def test_every_limit_cut_softener_and_thing_is_found_by_its_id(rulebase):
    groups = {
        "limit": rulebase.limits,
        "cut": rulebase.cuts,
        "softener": rulebase.tenderisers,
        "material": rulebase.materials,
    }
    for kind, group in groups.items():
        for name in group:
            found = look_up(name, rulebase)
            # A root such as ginger is a seasoning and a softener; it is shown as the softener.
            kinds = ("softener", "material") if kind == "material" else (kind,)
            assert any(name in found.of(k) for k in kinds), (kind, name)


# --- what is shown


@pytest.mark.parametrize("width", [80, 120])
def test_every_rule_is_shown_whole_and_filled_in(width, rulebase):
    for rule_id, checked in rulebase.rules.items():
        text = shown(rule_id, rulebase, width)
        one_line = flat(text)
        assert "{" not in text, rule_id
        assert "\x1b" not in text, rule_id
        assert max(len(line) for line in text.splitlines()) <= width, rule_id
        for limit in limits_of_rule(rule_id, rulebase):
            assert f"{limit} = {figure(rulebase.limits[limit])}" in one_line, (rule_id, limit)
        for cite in checked.rule.source:
            assert cite.id in one_line
        assert one_line.count("fires on:") >= len(checked.rule.examples.fires)
        for name in exceptions(rule_id, rulebase):
            assert name in one_line, (rule_id, name)


def test_a_rule_says_what_may_mend_it_what_is_contested_and_how_its_sources_are_known(rulebase):
    for rule_id, checked in rulebase.rules.items():
        rule, text = checked.rule, flat(shown(rule_id, rulebase))
        assert ("What may be changed to mend it" in text) == bool(rule.mend), rule_id
        assert ("Contested: by nobody" in text) == (not rule.contested), rule_id
        assert "Contested:" in text, rule_id
        assert ("No mend:" in text) == bool(rule.no_mend), rule_id
        for cite in rule.source:
            source = rulebase.sources[cite.id]
            if source.standing not in ("common_practice", "estimate"):
                assert f"known: {source.known.replace('_', ' ')}" in text, rule_id


@pytest.mark.parametrize("group", ["limits", "cuts", "tenderisers", "materials"])
def test_every_record_is_shown_without_braces(group, rulebase):
    for number, name in enumerate(getattr(rulebase, group)):
        width = (80, 120)[number % 2]
        text = shown(name, rulebase, width)
        assert "{" not in text, name
        assert max(len(line) for line in text.splitlines()) <= width, name


def test_a_limit_shows_the_rules_that_use_it(rulebase):
    for name in rulebase.limits:
        text = flat(shown(name, rulebase))
        for rule_id in rules_with_limit(name, rulebase):
            assert f"{rule_id}:" in text, (name, rule_id)


def test_many_hits_are_cut_short_and_say_so(rulebase):
    assert "add a word to narrow it down" in shown("meat", rulebase)


# --- neighbours and traits


def test_neighbours_are_mutual_and_never_the_rule_itself(rulebase):
    near = {rule_id: set(neighbours(rule_id, rulebase)) for rule_id in rulebase.rules}
    for rule_id, others in near.items():
        assert rule_id not in others
        assert all(rule_id in near[other] for other in others)


def ids(rules):
    return {checked.rule.id for checked in rules}


def test_a_cut_brings_in_the_rules_of_its_animal_and_no_others(rulebase):
    bird = ids(brought_in(traits_of_cut(rulebase.cuts["chicken_breast"]), rulebase))
    beef = ids(brought_in(traits_of_cut(rulebase.cuts["flat_iron"]), rulebase))
    assert {"class.bird", "cook.bird"} <= bird
    assert not bird & {"class.wild", "cook.wild", "cook.whole_steak"}
    assert not beef & {"class.bird", "cook.bird", "class.wild", "cook.wild"}


@pytest.mark.parametrize(
    ("softener", "there", "not_there"),
    [
        ("pineapple", {"guests.latex", "enzyme.mush", "intact.enzyme"}, {"marinade.acid_long", "marinade.soda_high"}),
        ("koji", {"enzyme.mush"}, {"guests.latex"}),
        ("baking_soda", {"marinade.soda_high", "marinade.acid_and_soda"}, {"enzyme.mush", "guests.latex"}),
        ("lemon_juice", {"marinade.acid_long", "marinade.acid_and_soda"}, {"enzyme.mush", "marinade.soda_high"}),
    ],
)
def test_a_softener_brings_in_what_it_does(softener, there, not_there, rulebase):
    found = ids(brought_in(traits_of_softener(rulebase.tenderisers[softener]), rulebase))
    assert there <= found
    assert not not_there & found
