"""The words of the questions: short sentences, easy words, each part there. Grade six at most (Flesch-Kincaid)."""

from __future__ import annotations

import re

# Kincaid et al. 1975, Navy research report 8-75: weights of words in a sentence and syllables in a word.
PER_WORD, PER_SYLLABLE, OFFSET = 0.39, 11.8, 15.59
HIGHEST_GRADE = 6.0
LONGEST_SENTENCE, USUAL_SENTENCE = 20, 15


def syllables(word):
    """Count groups of vowels, less a silent e at the end; at least one."""
    groups = len(re.findall(r"[aeiouy]+", word))
    silent = word.endswith("e") and not word.endswith(("le", "ee")) and groups > 1
    return max(1, groups - silent)


def sentences(text):
    """Words of each sentence; numbers, units and quoted labels are not read as words."""
    plain = re.sub(r"'[^']+'|\d[\d./]*|%", " ", text.lower())
    found = [re.findall(r"[a-z]+", part) for part in re.split(r"[.?!:]", plain)]
    return [words for words in found if words]


def grade(text):
    parts = sentences(text)
    words = [word for part in parts for word in part]
    per_word = sum(map(syllables, words)) / len(words)
    return PER_WORD * len(words) / len(parts) + PER_SYLLABLE * per_word - OFFSET


def test_the_measure_itself():
    assert [syllables(word) for word in ("meat", "safe", "water", "table", "allergy", "the")] == [1, 1, 2, 2, 3, 1]
    hard = "Institutional authorisation necessitates comprehensive documentation of thermal pasteurisation procedures."
    assert grade("The cat sat on the mat. It was wet.") < 1 < HIGHEST_GRADE < grade(hard)


def test_the_questions_read_at_grade_six_or_below(rulebase):
    questions = rulebase.questions.values()
    for part in ("ask", "why", "help"):
        text = ". ".join(getattr(question, part).rstrip(".") for question in questions if getattr(question, part))
        assert grade(text) <= HIGHEST_GRADE, part


def test_no_sentence_is_long(rulebase):
    every = [
        words
        for question in rulebase.questions.values()
        for text in (question.ask, question.why, question.help, question.again, question.look)
        for words in sentences(text)
    ]
    assert max(map(len, every)) <= LONGEST_SENTENCE
    assert sum(map(len, every)) / len(every) <= USUAL_SENTENCE


def test_every_question_has_its_reason_its_short_name_and_a_way_not_to_know(rulebase):
    shorts = [question.short for question in rulebase.questions.values()]
    assert len(set(shorts)) == len(shorts)
    for question in rulebase.questions.values():
        subject, _, fact = question.fact.partition(" ")
        known = rulebase.vocabulary.get(subject, {}).get(fact)
        assert question.why
        assert question.dont_know is not None or (known is not None and known.unknown is not None), question.id


def test_what_not_knowing_means_is_the_same_in_both_places(rulebase):
    for question in rulebase.questions.values():
        subject, _, fact = question.fact.partition(" ")
        entry = rulebase.vocabulary.get(subject, {}).get(fact)
        if question.dont_know is not None and entry is not None:
            assert entry.unknown is not None
            assert (question.dont_know.policy, question.dont_know.value) == (entry.unknown.policy, entry.unknown.value)
