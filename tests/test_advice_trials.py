"""A change that is tried is judged as a whole check would judge it, whatever is left unworked and kept on the way."""

from __future__ import annotations

import pickle
from datetime import datetime
from importlib import resources

import pytest

from advisor.advice import mends
from advisor.advice.change import Change
from advisor.advice.report import examine
from advisor.case.facts import Fact
from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.course.facts import LISTED, NOT_WALKED
from advisor.course.on_demand import FactsOnDemand, Group
from advisor.course.piece import _stayed
from advisor.infer import infer
from advisor.infer.obstacles import Obstacles
from advisor.knowledge.yamltext import read_plain

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
WORKED = ("warm_overnight_marinade", "held_hot_under_uk_law", "scored_in_line_and_seared_wet", "burger_pink")
HOT = """piece: {animal: beef, cut: flank steak, form: steak, weight: 900 g, thickness: 30 mm, start_state: fridge}
steps:
  - {do: pan, at: 250 C, for: 20 min}
  - {do: serve}
"""


def case_of(name, rulebase):
    text = resources.files("scenarios").joinpath(f"worked/{name}.yaml").read_text(encoding="utf-8")
    return read_plan(read_plain(text)["plan"], rulebase, NOW)


@pytest.mark.parametrize("name", WORKED)
def test_a_trial_is_judged_as_a_whole_check_is(name, rulebase, monkeypatch):
    tried = []
    in_the_way = mends._Search.in_the_way

    def noted(search, parts):
        rule = in_the_way(search, parts)
        tried.append((search.changed(parts), rule is None))
        return rule

    monkeypatch.setattr(mends._Search, "in_the_way", noted)
    mends.find_mends(examine(case_of(name, rulebase), rulebase), rulebase)
    assert tried
    for case, good in tried:
        assert (examine(case, rulebase, "reference").verdict == "go") == good


@pytest.mark.parametrize("name", WORKED)
def test_facts_asked_for_one_by_one_are_those_of_the_whole(name, rulebase):
    case = case_of(name, rulebase)
    rulebase = rulebase.under(case.code) if case.code else rulebase
    whole = dict(course_facts(case, rulebase).facts.course)
    alone = course_facts(case, rulebase).facts.course
    for fact in sorted(rulebase.vocabulary["course"], reverse=True):
        assert alone.get(fact) == whole.get(fact)


def test_every_fact_of_the_course_is_listed_where_it_is_made(rulebase):
    """One that is missing makes every trial work out all facts: add it to `LISTED` or `NOT_WALKED`."""
    listed = {name: by for by, names in LISTED.items() for name in names.split()}
    found = course_facts(case_of(WORKED[0], rulebase), rulebase).facts.course
    unwalked = {name for name, fact in found.items() if fact.by not in LISTED} | NOT_WALKED
    assert set(rulebase.vocabulary["course"]) - unwalked == set(listed)
    for name, fact in found.items():
        assert fact.by == listed.get(name, fact.by)


@pytest.mark.parametrize("name", WORKED)
def test_obstacles_are_the_findings_that_are_not_go(name, rulebase):
    case = case_of(name, rulebase)
    rulebase = rulebase.under(case.code) if case.code else rulebase
    facts = course_facts(case, rulebase).facts
    bad = any(finding.verdict != "go" for finding in infer(rulebase, facts, engine="reference").findings)
    assert (Obstacles(rulebase).first(facts) is not None) == bad


def fact(name):
    return Fact("course", name, 1.0, "computed")


def test_a_name_on_no_list_is_looked_for_everywhere():
    made = []

    def work(name):
        made.append(name)
        return {name: fact(name)}

    groups = tuple(Group(n, frozenset({n} if n == "a" else ()), lambda n=n: work(n)) for n in ("a", "b"))
    facts = FactsOnDemand({"known": fact("known")}, frozenset({"nowhere"}), groups)
    assert facts["known"].value == 1.0
    assert facts.get("nowhere") is None
    assert made == []
    assert facts["a"].value == 1.0
    assert made == ["a"]
    assert facts.get("b") == fact("b")
    assert made == ["a", "b"]
    assert list(facts) == ["known", "a", "b"]
    assert len(facts) == 3
    assert pickle.loads(pickle.dumps(facts)) == dict(facts)  # noqa: S301 - our own


def test_a_fact_listed_under_another_function_is_refused():
    groups = (Group("f", frozenset({"a"}), dict), Group("g", frozenset(), lambda: {"a": fact("a")}))
    with pytest.raises(ValueError, match="g gave a"):
        list(FactsOnDemand({}, frozenset(), groups))


def test_a_stay_that_is_known_is_doubted_as_at_first(rulebase):
    _stayed.cache_clear()
    case = read_plan(HOT.replace("start_state: fridge", "start_temperature: -3 C, start_state: frozen"), rulebase, NOW)
    first, again = (dict(course_facts(case, rulebase).facts.course) for _ in range(2))
    assert first == again
    assert _stayed.cache_info().hits > 0


class Marked(mends._Search):
    """A search in which the rule at each place of the grid is written down."""

    def __init__(self, rules):
        self.rules, self.trials, self.most = rules, 0, 120

    def in_the_way(self, parts):
        self.trials += 1
        ((_, place),) = parts
        return self.rules[place - 1]


@pytest.mark.parametrize(
    ("rules", "place", "trials"),
    [
        ([None] * 9, 1, 1),
        (["short"] * 6 + [None] * 4, 7, 6),
        # A narrow gap between too little and too much.
        (["short"] * 52 + [None] * 3 + ["long"] * 185, 53, 11),
        (["short"] * 120 + ["long"] * 120, None, 9),
        # Nothing that the change does moves the rule.
        (["short"] * 240, None, 3),
        (["short"] * 5 + [None] * 2 + ["short"] * 5, 6, 6),
        (["short"], None, 1),
    ],
)
def test_the_smallest_place_is_found_between_too_little_and_too_much(rules, place, trials):
    change = Change("step1 minutes", len(rules), lambda case, _: case, str)
    search = Marked(rules)
    assert search.smallest((), change) == place
    assert search.trials <= trials


@pytest.mark.parametrize(
    ("size", "at", "marks"),
    [
        ("weight: 2 kg, thickness: 90 mm", "110 C", range(120, 221, 10)),
        ("weight: 4 lb, thickness: 3 in", "250 F", range(275, 426, 25)),
    ],
)
def test_an_oven_is_made_hotter_by_the_marks_of_its_dial(size, at, marks, rulebase):
    """The air of an oven goes beyond the boil, where water and what lies in it do not."""
    text = f"""piece: {{animal: pork, cut: loin, form: roast, {size}, start_state: fridge}}
steps:
  - {{do: oven, at: {at}, until_core: 54 C}}
  - {{do: serve}}
"""
    report = examine(read_plan(text, rulebase, NOW), rulebase)
    change = next(c for c in mends._options(report, rulebase).changes if c.kind.endswith("temperature"))
    made = [change.apply(report.computed.case, place).steps[0].number("temperature") for place in (1, change.size)]
    sign = at[-1]
    assert made == pytest.approx([mark if sign == "C" else (mark - 32) / 1.8 for mark in (marks[0], marks[-1])])
    assert change.size == len(marks)


def test_a_plan_that_says_nothing_of_drying_is_mended_all_the_same(rulebase):
    """Paste, a short cook and a wet pan: the enzyme and the heat are two changes, and the drying goes beside them."""
    from advisor.case.words.reader import read_words

    said = (
        "flank, 2 lb, inch and a half thick, blended papaya and salt, fridge overnight, 130F bath two hours, "
        "sear a minute a side; work, no latex allergies, nobody vulnerable"
    )
    offered = mends.find_mends(examine(read_words(said, rulebase, NOW), rulebase), rulebase)
    assert offered
    assert "leave the enzyme out" in offered[0].change
    assert "add a step: dry" in offered[0].change
    assert "wipe" not in offered[0].change
    assert {mend.verdict for mend in offered} == {"go"}


PLAIN_WORDS = """
units: us
piece: {animal: beef, cut: flank steak, form: steak, weight: 2 lb, thickness: 1 1/2 in}
steps:
  - {do: marinate, place: fridge, for: 12 h, with: [{what: papaya, form: fresh}, {what: salt}]}
  - {do: bath, at: 130 F, for: 2 h}
  - {do: pan}
  - {do: serve}
"""


def test_a_sear_without_a_time_is_no_reason_to_ask_after_a_bath_and_proves_nothing(rulebase):
    report = examine(read_plan(PLAIN_WORDS, rulebase, NOW), rulebase)
    assert "cook.missing" not in {finding.rule.rule.id for finding in report.problems}
    sear = report.computed.case.steps[2]
    assert sear.given["minutes"].origin == "assumed worst"
    # Too short to count as browned, so that no rule on the outside passes by it.
    assert sear.number("minutes") < rulebase.under("strictest").limit("sear_least")
    alone = PLAIN_WORDS.replace("  - {do: bath, at: 130 F, for: 2 h}\n", "")
    report = examine(read_plan(alone, rulebase, NOW), rulebase)
    assert "cook.missing" in {finding.rule.rule.id for finding in report.problems}


def test_small_jobs_come_with_the_mend_and_only_those_that_are_needed(rulebase):
    """The meat goes wet into the pan here; without drying it no two changes would bring the plan to go."""
    found = mends.find_mends(examine(read_plan(PLAIN_WORDS, rulebase, NOW), rulebase), rulebase)
    assert found
    for mend in found:
        assert examine(mend.case, rulebase).verdict == "go"
        assert "steps add dry" in mend.kinds
        # With the fruit left out there is no pulp to wipe off.
        assert "steps add wipe" not in mend.kinds
