"""The words of the rulebase: no word that our style bans, no sentence too long, no text too hard."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import inf
from typing import TYPE_CHECKING, Any, Final

from advisor.audit.faults import CAUTION_PARTS, Fault, Route
from advisor.audit.own import STYLE, Style, read_own
from advisor.audit.reading import count_words, ear_from, sentences

if TYPE_CHECKING:
    from collections.abc import Iterator

    from advisor.audit.own import Group
    from advisor.audit.places import Places
    from advisor.audit.reading import Ear
    from advisor.knowledge.records import Rule

# Titles of other people's documents keep their words, so do the words that a cook may type; ids are read by no one.
NOT_OURS: Final = frozenset(
    {"title", "publisher", "authors", "edition", "section", "printed", "id", "fact", "change", "when", "also", "word"}
)
REASONS: Final = ("says", "because", "beside", "contested", "no_mend")
ASKED: Final = ("ask", "why", "help", "again")
KIND: Final = "style"
MEMORY_OR_GUESS: Final = {"estimate": "an estimate", "from memory": "memory"}
DISSENT: Final = "Add 'contested:' with what others do or hold, or what was not measured."


def styled(places: Places) -> Iterator[Fault]:
    """Hold every text to ``audit/style.yaml``."""
    if STYLE not in places.texts.texts:
        what = "It is not there, so words and reading grades were not looked at."
        yield Fault(STYLE, 0, what, "Take the shipped one.", KIND, "warning")
        return
    style, faults = read_own(places.texts, STYLE, Style)
    yield from faults
    yield from banned(places, style)
    yield from hard(places, style)
    yield from depth(places, style)


def banned(places: Places, style: Style) -> Iterator[Fault]:
    """Find words that are banned, in every text of ours."""
    words = style.banned
    patterns = {word: re.compile(rf"(?<![\w-])(?:{word})(?![\w-])", re.IGNORECASE) for word in words}
    for file in places.texts.texts:
        if file == STYLE:
            continue
        for route, text in _texts(places.texts.data(file), ()):
            for word, pattern in patterns.items():
                found = pattern.search(text)
                if found:
                    what = f"'{found[0]}' is a word that we do not use: '{_around(text, found)}'."
                    yield places.in_file(file, route, what, words[word], KIND)


def _texts(node: Any, route: Route) -> Iterator[tuple[Route, str]]:
    if isinstance(node, Mapping):
        for key, value in node.items():
            if key not in NOT_OURS:
                yield from _texts(value, (*route, key))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from _texts(value, (*route, index))
    elif isinstance(node, str):
        yield route, node


def _around(text: str, found: re.Match[str], room: int = 24) -> str:
    begin, end = max(0, found.start() - room), found.end() + room
    return f"{'…' if begin else ''}{text[begin:end]}{'…' if end < len(text) else ''}"


def hard(places: Places, style: Style) -> Iterator[Fault]:
    """Find texts of rules, questions and plan lines that are too long or too hard to read."""
    ear = ear_from(style.known, style.syllables, style.known_as)
    for rule_id, checked in places.rulebase.rules.items():
        for group, route, text in rule_texts(checked.rule):
            for what, hint in _problems(text, group, style, ear):
                yield places.in_rule(rule_id, route, what, hint, KIND)
    for index, question in enumerate(places.rulebase.questions.values()):
        for key in ASKED:
            for what, hint in _problems(getattr(question, key), "questions", style, ear):
                route = ("questions", index, key)
                yield places.in_file("questions.yaml", route, f"Question '{question.id}': {what}", hint, KIND)
    for name, text in places.rulebase.local_lines.items():
        for what, hint in _problems(text, "reasons", style, ear):
            yield places.in_file("cautions.yaml", ("local_lines", name), f"Line '{name}': {what}", hint, KIND)


def rule_texts(rule: Rule) -> Iterator[tuple[Group, Route, str]]:
    """Texts of a rule that a person reads: the kind of text, where it stands, and the text."""
    for key in REASONS:
        if getattr(rule, key):
            yield "reasons", (key,), getattr(rule, key)
    for index, mend in enumerate(rule.mend):
        if mend.says:
            yield "reasons", ("mend", index, "says"), mend.says
    if rule.caution is not None:
        # The three parts are read in one breath.
        yield "cautions", ("caution",), " ".join(getattr(rule.caution, part) for part in CAUTION_PARTS)


def _problems(text: str, group: Group, style: Style, ear: Ear) -> Iterator[tuple[str, str]]:
    longest, hardest, least = style.longest.get(group, inf), style.grades.get(group, inf), style.fewest_words
    said = sentences(text)
    for sentence in said:
        count = count_words(sentence)
        if count > longest:
            yield f"a sentence of {count} words: '{_cut(sentence)}'.", f"{longest} are the most; make two of it."
        grade = ear.grade(sentence)
        if count >= least and grade > hardest:
            yield _too_hard(f"'{_cut(sentence)}'", grade, hardest)
            return
    grade = ear.grade(text)
    if grade > hardest and sum(count_words(sentence) for sentence in said) >= least:
        yield _too_hard(f"'{_cut(text)}' as a whole", grade, hardest)


def _too_hard(what: str, grade: float, hardest: float) -> tuple[str, str]:
    hint = "Use shorter words and sentences; a trade word may be listed under 'known:' in audit/style.yaml."
    return f"reading grade {grade:.1f}, {hardest:g} is the most: {what}.", hint


def _cut(text: str, most: int = 70) -> str:
    return text if len(text) <= most else text[:most].rsplit(" ", 1)[0] + " …"


def depth(places: Places, style: Style) -> Iterator[Fault]:
    """Find rules that say the same thing twice instead of why, or boast of a source that nobody read.

    A rule that asks for a change says what may be changed, or that nothing mends it; one that rests on an estimate
    or on memory says what others hold against it.
    """
    from rapidfuzz import fuzz

    alike, least = style.alike, style.fewest_reason_words
    sources = places.rulebase.sources
    for rule_id, checked in places.rulebase.rules.items():
        rule = checked.rule
        if fuzz.ratio(rule.says.lower(), rule.because.lower()) > alike or len(rule.because.split()) < least:
            hint = "Say by what way it comes about: what grows, melts, moves or dies, and why there."
            yield places.in_rule(rule_id, "because", "the reason only says it again, or hardly anything.", hint, KIND)
        if rule.concludes.verdict in ("change", "stop") and not (rule.mend or rule.no_mend):
            hint = "Add 'mend:' with what may be changed, or 'no_mend:' with what to do instead."
            yield places.in_rule(rule_id, "concludes", "it asks for a change and names none.", hint, KIND)
        if rule.basis in ("estimate", "from memory") and not rule.contested:
            what, hint = f"it rests on {MEMORY_OR_GUESS[rule.basis]} and does not say what is contested.", DISSENT
            yield places.in_rule(rule_id, "basis", what, hint, KIND)
        known = [sources[cite.id] for cite in rule.source if cite.id in sources]
        if rule.basis == "published" and all(s.standing in ("common_practice", "estimate") for s in known):
            hint = "Write basis: common practice or estimate, or cite the publication."
            yield places.in_rule(rule_id, "basis", "it says published, but cites only custom or our own.", hint, KIND)
        elif rule.basis == "published" and all(s.known == "from_memory" for s in known):
            what = "it says published, but every source is from memory."
            yield places.in_rule(rule_id, "basis", what, "Write basis: from memory.", KIND, "warning")
