"""The parts of the audit by themselves: reading grades, regions, contradictions, counts, and the commands."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

import rulebase as shipped
from advisor.audit.contradict import clashes
from advisor.audit.coverage import CONCERNS, RESTS, coverage
from advisor.audit.faults import Texts
from advisor.audit.gaps import silent
from advisor.audit.places import Places
from advisor.audit.reading import Ear, ear_from, sentences
from advisor.audit.regions import Space, meet
from advisor.audit.unused import FIGURES, figures_read, unused
from advisor.case.words.either import read_either
from advisor.course import course_facts
from advisor.infer import reference
from advisor.infer.examples import NEAR
from advisor.knowledge import records
from advisor.knowledge.conditions import parse_condition
from advisor.knowledge.yamltext import read_plain

SHIPPED = Path(shipped.__file__).parent
SCENARIOS = sorted((Path(__file__).parent.parent / "scenarios" / "worked").glob("*.yaml"))


@pytest.fixture(scope="module")
def space(rulebase):
    return Space(rulebase)


# --- reading


@pytest.mark.parametrize(
    ("text", "words", "count", "syllables"),
    [
        # By hand: every word here is of one syllable, so the grade is 0.39 times the words of a sentence less 3.79.
        ("The cat sat on the mat.", 6, 1, 6),
        ("The cat sat. The dog ran off.", 7, 2, 7),
        ("Keep it cold: or chill it; or eat it.", 9, 3, 9),
        ("Salt it at {cold_hold_max} now.", 5, 1, 5),
        ("Germs multiply.", 2, 1, 4),
    ],
)
def test_the_grade_is_the_formula(text, words, count, syllables):
    assert len(sentences(text)) == count
    expected = 0.39 * words / count + 11.8 * syllables / words - 15.59
    assert Ear().grade(text) == pytest.approx(expected, abs=1e-9)


def test_known_and_corrected_words_count_as_they_are_listed():
    ear = ear_from({"thermometer": "a tool"}, {"cooked": 1}, 2)
    assert [ear.syllables(word) for word in ("thermometer", "Thermometers", "thermometer's", "cooked")] == [2, 2, 2, 1]


def test_each_known_word_has_its_reason_and_is_used():
    style = read_plain((SHIPPED / "audit" / "style.yaml").read_text(encoding="utf-8"))
    texts = "".join(p.read_text(encoding="utf-8").lower() for p in SHIPPED.rglob("*.yaml") if p.name != "style.yaml")
    assert all(style["known"].values())
    assert [word for word in style["known"] if word not in texts] == []
    assert [word for word in style["syllables"] if word not in texts] == []


# --- regions


def test_one_value_stands_for_every_cell(space, rulebase):
    """Between two neighbouring values no rule changes its mind about a fact."""
    for checked in rulebase.rules.values():
        for alternative in checked.alternatives:
            for condition in alternative.conditions:
                if condition.bound is None:
                    continue
                values = space.values((condition.subject, condition.fact))
                assert {condition.bound, condition.bound + NEAR} <= set(values) or None in values
                states = {space.state(condition, value) for value in values}
                assert {"true", "false"} <= states, str(condition)


def test_two_regions_meet_where_both_allow():
    a, b = ("piece", "form"), ("piece", "animal")
    assert meet({a: ("steak", "roast")}, {a: ("roast",), b: ("beef",)}) == {a: ("roast",), b: ("beef",)}


def test_a_fact_that_rules_conclude_is_followed_back(space, rulebase):
    def region(*sentences_):
        return space.region(parse_condition(s, rulebase.vocabulary, rulebase.limits) for s in sentences_)

    key = ("piece", "cook_class")
    assert space.unreachable(region("piece cook_class is bird", "piece animal is beef")) == key
    assert space.unreachable(region("piece cook_class is bird", "piece animal is duck")) is None
    # By way of the standing, which other rules conclude.
    assert space.unreachable(region("piece cook_class is broken_meat", "piece animal is beef")) is None
    assert space.unreachable(region("piece cook_class is doubtful_meat", "piece animal is chicken")) == key


def test_every_example_that_fires_a_rule_lies_in_its_region(space, rulebase):
    for checked in rulebase.rules.values():
        for alternative in checked.alternatives:
            facts = space.meeting(alternative, alternative)
            assert facts is not None, checked.rule.id
            assert space.fires(checked, facts), checked.rule.id


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_what_is_said_to_go_together_does_in_every_scenario(path, rulebase):
    """The implications of ``audit/reasons.yaml`` hold of what the course works out."""
    case = read_either(path.read_text(encoding="utf-8"), rulebase, datetime(2026, 11, 25, 12))  # noqa: DTZ001 - a plan's clock is local
    facts = course_facts(case, rulebase).facts
    reasons = read_plain((SHIPPED / "audit" / "reasons.yaml").read_text(encoding="utf-8"))
    for entry in reasons["follows"]:
        first, second = (parse_condition(entry[key], rulebase.vocabulary, rulebase.limits) for key in ("where", "also"))
        for number in range(len(facts.steps)):
            if reference.judge(first, facts, number).state == "true":
                assert reference.judge(second, facts, number).state == "true", (number, entry)


# --- contradictions and gaps


def test_clashes_are_real(space):
    """Whatever the search names fires both rules."""
    for clash in clashes(space):
        for rule_id in (clash.one, clash.other):
            assert space.fires(space.rulebase.rules[rule_id], clash.facts)


def test_the_search_agrees_with_trying_every_pair_of_values(space, rulebase):
    """On rules of few facts: both fire somewhere if and only if the search finds where."""
    from itertools import combinations, product

    small = [
        checked
        for checked in rulebase.rules.values()
        if len(checked.alternatives) == 1
        and not checked.alternatives[0].absent_steps
        and len({(c.subject, c.fact) for c in checked.alternatives[0].conditions}) <= 2
        and not any(space.concluded_only((c.subject, c.fact)) for c in checked.alternatives[0].conditions)
    ]
    tried = 0
    for one, other in combinations(small, 2):
        a, b = one.alternatives[0], other.alternatives[0]
        shared = {(c.subject, c.fact) for c in a.conditions} & {(c.subject, c.fact) for c in b.conditions}
        if not shared:
            continue
        keys = sorted({(c.subject, c.fact) for c in (*a.conditions, *b.conditions)})
        found = any(
            space.fires(one, facts) and space.fires(other, facts)
            for facts in (dict(zip(keys, v, strict=True)) for v in product(*(space.values(key) for key in keys)))
        )
        assert found == (space.meeting(a, b) is not None), (one.rule.id, other.rule.id)
        tried += 1
        if tried == 60:
            break
    assert tried > 20


def test_the_harmless_case_raises_no_worry(space, rulebase):
    """Else a rule that always speaks would hide every gap."""
    worries = [
        rule_id
        for rule_id, checked in rulebase.rules.items()
        if space.fires(checked, space.harmless) and checked.rule.concludes.verdict in ("ask", "change", "stop")
    ]
    assert worries == []


def test_without_reasons_only_limits_that_count_beside_others_are_named(space, rulebase):
    named = list(silent(space, Places(rulebase, Texts()), {}))
    assert len(named) < len(rulebase.limits) / 2
    assert not any("'raw_out_max'" in fault.what for fault in named)


# --- counts


def test_every_rule_and_limit_is_counted_once(rulebase):
    found = coverage(rulebase)
    assert sum(sum(counts.values()) for counts in found.subjects.values()) == len(rulebase.rules)
    assert sum(found.rules.values()) == len(rulebase.rules)
    assert sum(found.limits.values()) == len(rulebase.limits)
    assert set(found.rules) <= set(RESTS)
    assert all(set(counts) <= set(CONCERNS) for counts in found.subjects.values())


# --- the commands


def run(*words):
    return subprocess.run([sys.executable, "-m", "advisor", *words], capture_output=True, check=False, encoding="utf-8")


def test_check_of_the_shipped_rulebase_ends_well():
    done = run("rulebase", "check")
    assert done.returncode == 0, done.stdout
    assert "No errors; no warnings." in done.stdout
    assert "\x1b" not in done.stdout


def test_check_of_a_faulty_folder_lists_faults_and_says_so(tmp_path):
    folder = tmp_path / "rulebase"
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    bad = Path(__file__).parent / "bad_audits" / "word_of_a_maker"
    shutil.copytree(bad / "rules", folder / "rules", dirs_exist_ok=True)
    done = run("rulebase", "check", str(folder))
    assert done.returncode == 3
    assert "rules/zz_bad.yaml, line 6:" in done.stdout
    assert "2 errors (1 quiz, 1 style); no warnings." in done.stdout
    assert max(len(line.rstrip()) for line in done.stdout.splitlines()) <= 80
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("words", [["no-such-folder"], [str(Path(__file__).parent / "bad_rulebases" / "cut_twice")]])
def test_check_of_no_rulebase_is_a_sentence(words):
    done = run("rulebase", "check", *words)
    assert done.returncode == 3
    assert "Traceback" not in done.stderr
    assert done.stdout + done.stderr


def test_coverage_prints_its_tables():
    done = run("rulebase", "coverage")
    assert done.returncode == 0
    assert "published, read" in done.stdout
    assert max(len(line.rstrip()) for line in done.stdout.splitlines()) <= 80


# --- what lies idle


@pytest.mark.parametrize(("heading", "file"), FIGURES)
def test_a_figure_that_no_calculation_reads_is_a_fault(heading, file, rulebase):
    figures = getattr(rulebase, heading)
    idle = replace(rulebase, **{heading: {**figures, "density": next(iter(figures.values()))}})
    found = [fault for fault in unused(Places(idle, Texts())) if fault.severity == "error"]
    assert [(fault.file, fault.kind) for fault in found] == [(file, "unused")]
    assert "'density'" in found[0].what


def test_a_name_put_together_is_read_and_a_word_of_the_science_is_not():
    assert figures_read().fullmatch("shear_very_tender_kgf")
    assert figures_read().fullmatch("specific_heat") is None


# What a record says to a reader of the file alone, and why no code reads it.
ONLY_TOLD = {
    "note": "a remark",
    "spore": "what kind of germ it is; that heat spares its spores is in the rules",
    "fat_columns": "which fat each column of a table is for; the longest time counts",
    "log_target": "what a table says that it was made for; the tests of published figures read it",
    "c": "a table's own Celsius, rounded from the Fahrenheit that is the law",
}


@pytest.mark.parametrize(
    "name",
    [
        "Medium",
        "Material",
        "Tenderiser",
        "Measured",
        "Loss",
        "Organism",
        "Growth",
        "Kill",
        "Toxin",
        "Cut",
        "UsualHold",
        "Table",
        "TableRow",
        "Limit",
        "VocabularyFact",
    ],
)
def test_each_field_of_a_record_is_read(name):
    """No figure of an entry stands in the rulebase for nothing."""
    code = "".join(p.read_text(encoding="utf-8") for p in Path(records.__file__).parents[1].rglob("*.py"))
    fields = set(getattr(records, name).model_fields) - set(ONLY_TOLD)
    assert {field for field in fields if re.search(rf"\.{field}\b", code) is None} == set()
