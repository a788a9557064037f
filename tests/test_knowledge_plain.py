"""The words of the rulebase: plain, short, without promises, and without numbers where limits belong."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import chain
from pathlib import Path

import pytest

import rulebase as shipped
from advisor.knowledge import load_rulebase
from advisor.knowledge.checks import PLACEHOLDER
from advisor.knowledge.yamltext import read_plain

RULEBASE = load_rulebase()
FOLDER = Path(shipped.__file__).parent
FILES = sorted(path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.yaml"))
# Words that promise what a program cannot know, or speak in an inspector's name.
BANNED = re.compile(
    r"\b(approved?|certif\w*|compliant|compliance|guarante\w*|safe to eat|100 ?% safe)\b", re.IGNORECASE
)
# Titles of other people's documents keep their words; ids of facts are not read by anyone.
NOT_OURS = {"title", "publisher", "authors", "edition", "section", "id", "fact", "change", "when"}
MOST_WORDS = 22


def texts(node, path=""):
    """Yield every text of plain data with its path, less keys and what is not ours."""
    if isinstance(node, Mapping):
        for key, value in node.items():
            if key not in NOT_OURS:
                yield from texts(value, f"{path}.{key}")
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from texts(value, f"{path}[{number}]")
    elif isinstance(node, str):
        yield path, node


def sentences(text):
    return [part for part in re.split(r"(?<=[.?!:;])\s+", PLACEHOLDER.sub("X", text)) if part]


def longest(text):
    return max((len(sentence.split()) for sentence in sentences(text)), default=0)


@pytest.mark.parametrize("file", FILES)
def test_no_text_promises_anything(file):
    data = read_plain((FOLDER / file).read_text(encoding="utf-8"))
    assert [(path, text) for path, text in texts(data) if BANNED.search(text)] == []


def rule_texts(rule):
    """Texts of a rule that a person reads, by where they stand."""
    found = {"says": rule.says, "because": rule.because, "beside": rule.beside}
    found |= {"contested": rule.contested, "no_mend": rule.no_mend}
    found |= {f"mend {number}": mend.says for number, mend in enumerate(rule.mend)}
    if rule.caution is not None:
        caution = rule.caution
        found |= {"hazard": caution.hazard, "consequence": caution.consequence, "instead": caution.instead}
    return {where: text for where, text in found.items() if text}


@pytest.mark.parametrize("rule_id", RULEBASE.rules)
def test_no_number_stands_in_the_text_of_a_rule(rule_id):
    """Neither in figures nor written out with a unit: numbers are limits and carry their source."""
    spelled = re.compile(
        r"\b(two|three|four|five|six|seven|eight|nine|ten|twelve|twenty|thirty|sixty|hundred)\s+"
        r"(degrees?|hours?|minutes?|seconds?|days?|weeks?|grams?|millimet\w+|centimet\w+|inch\w*|percent)\b",
        re.IGNORECASE,
    )
    for where, text in rule_texts(RULEBASE.rules[rule_id].rule).items():
        bare = PLACEHOLDER.sub("", text)
        assert not re.search(r"\d", bare), where
        assert not spelled.search(bare), where


@pytest.mark.parametrize("rule_id", RULEBASE.rules)
def test_rules_speak_in_short_sentences(rule_id):
    for where, text in rule_texts(RULEBASE.rules[rule_id].rule).items():
        most = MOST_WORDS if where in ("hazard", "consequence", "instead") else MOST_WORDS + 8
        assert longest(text) <= most, (where, text)


@pytest.mark.parametrize("question_id", RULEBASE.questions)
def test_questions_are_short(question_id):
    question = RULEBASE.questions[question_id]
    for text in (question.ask, question.why, question.help, question.again, question.look):
        assert longest(text) <= MOST_WORDS, text
    assert question.ask.endswith(("?", "?.", ".")), "a question ends like one"
    assert "?" in question.ask


def test_lines_that_stand_on_every_plan_are_short():
    for name, text in RULEBASE.local_lines.items():
        assert longest(text) <= MOST_WORDS, name


def test_texts_are_sentences():
    """They begin with a capital or a figure filled in, and end with a stop."""
    odd = [
        (rule_id, where, text)
        for rule_id, checked in RULEBASE.rules.items()
        for where, text in rule_texts(checked.rule).items()
        if not where.startswith("mend") and not re.match(r"""["'A-Z{].*[.?!]$""", text, re.DOTALL)
    ]
    assert odd == []


def test_a_caution_says_three_different_things():
    for rule_id, checked in RULEBASE.rules.items():
        caution = checked.rule.caution
        if caution is not None:
            parts = [caution.hazard, caution.consequence, caution.instead]
            assert len(set(parts)) == len(parts), rule_id
            assert all(parts), rule_id


def test_rules_and_questions_are_told_apart_by_their_words():
    says = [checked.rule.says for checked in RULEBASE.rules.values() if checked.rule.concludes.verdict]
    pairs = {text for text in says if says.count(text) > 1}
    # Pan and grill are one step with two names.
    assert pairs <= {RULEBASE.rules["practice.pan"].rule.says}
    asks = [question.ask for question in RULEBASE.questions.values()]
    assert len(set(asks)) == len(asks)


def test_every_fact_limit_and_choice_is_explained():
    for subject, facts in RULEBASE.vocabulary.items():
        for name, entry in facts.items():
            assert entry.means, (subject, name)
            assert set(entry.says) <= set(entry.choices), (subject, name)
            assert (entry.quantity is not None) + bool(entry.choices) + entry.words == 1, (subject, name)
    assert all(limit.means for limit in RULEBASE.limits.values())


def test_what_not_knowing_means_is_a_choice_of_the_fact():
    for subject, facts in RULEBASE.vocabulary.items():
        for name, entry in facts.items():
            values = [entry.default, entry.unknown.value if entry.unknown else None]
            for value in (value for value in values if isinstance(value, str) and not entry.words):
                assert value in entry.choices, (subject, name, value)


def test_questions_ask_for_facts_that_say_so():
    asked = {
        (subject, name): entry.asked
        for subject, facts in RULEBASE.vocabulary.items()
        for name, entry in facts.items()
        if entry.asked
    }
    assert set(asked.values()) <= set(RULEBASE.questions)
    for (subject, name), question_id in asked.items():
        assert RULEBASE.questions[question_id].fact == f"{subject} {name}"
        choices = RULEBASE.vocabulary[subject][name].choices
        if choices:
            assert set(RULEBASE.questions[question_id].choices) == set(choices), question_id


def test_ambiguous_words_name_cuts_that_there_are():
    named = chain.from_iterable(word.could_be for word in RULEBASE.ambiguous)
    assert set(named) <= set(RULEBASE.cuts)


def test_question_ids_stand_once():
    data = read_plain((FOLDER / "questions.yaml").read_text(encoding="utf-8"))
    ids = [question["id"] for question in data["questions"]]
    assert len(ids) == len(set(ids)) == len(RULEBASE.questions)
