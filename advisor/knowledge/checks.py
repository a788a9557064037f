"""Cross-checks of the rulebase: what one entry says of another must be there."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from itertools import chain
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from advisor.knowledge import records as r
from advisor.knowledge.conditions import Alternative, ConditionError, conditions_of, parse_when
from advisor.knowledge.rulebase import CheckedRule

if TYPE_CHECKING:
    from advisor.knowledge.loader import Files

Vocabulary = Mapping[str, Mapping[str, r.VocabularyFact]]
PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
RULE_ID = re.compile(r"[a-z]+\.[a-z0-9_]+\Z")


def folded(word: str) -> str:
    """Fold a name for look-up: NFC, lower case, single spaces, no end stops.

    Examples
    --------
    >>> folded("  Tri-Tip ")
    'tri tip'
    """
    text = unicodedata.normalize("NFC", word).casefold().replace("-", " ").replace("_", " ")
    return " ".join(text.split()).strip(" .")


def checked_rules(
    files: Files, vocabulary: Vocabulary, limits: Mapping[str, r.Limit], sources: Mapping[str, r.Source]
) -> dict[str, CheckedRule]:
    """Read every rule file, parse its conditions and put the rules into strata.

    Raises
    ------
    RulebaseError
        With file and line, for the first thing that does not fit.
    """
    found: dict[str, tuple[r.Rule, tuple[Alternative, ...], str, int]] = {}
    for file in sorted(name for name in files.texts if name.startswith("rules/")):
        for index, rule in enumerate(files.section(file, "rules", TypeAdapter(list[r.Rule]))):
            path: tuple[str | int, ...] = ("rules", index)
            if rule.id in found:
                raise files.error(file, path, f"The rule '{rule.id}' stands twice.", "Ids are never used again.")
            if not RULE_ID.match(rule.id):
                raise files.error(file, path, f"'{rule.id}' is no rule id.", "Write subject.name, in lower case.")
            try:
                alternatives = parse_when(rule.when, vocabulary, limits)
            except ConditionError as error:
                raise files.error(file, (*path, "when"), f"Rule '{rule.id}': {error.what}", error.hint) from error
            _check_rule(files, file, path, rule, vocabulary, limits, sources)
            found[rule.id] = (rule, alternatives, file, index)
    strata = _strata(files, found)
    return {
        rule_id: CheckedRule(rule, alternatives, file, index, strata[rule_id])
        for rule_id, (rule, alternatives, file, index) in found.items()
    }


def _check_rule(
    files: Files,
    file: str,
    path: tuple[str | int, ...],
    rule: r.Rule,
    vocabulary: Vocabulary,
    limits: Mapping[str, r.Limit],
    sources: Mapping[str, r.Source],
) -> None:
    problems = chain(
        _conclusion_problems(rule, vocabulary),
        _safety_problems(rule),
        _source_problems(rule, sources),
        _text_problems(rule, vocabulary, limits),
        _mend_problems(rule, vocabulary),
    )
    for key, what, hint in problems:
        raise files.error(file, (*path, key), f"Rule '{rule.id}': {what}", hint)


# A problem of a rule: the key it stands under, what is wrong, what to write instead.
Problems = Iterator[tuple[str, str, str]]


def _conclusion_problems(rule: r.Rule, vocabulary: Vocabulary) -> Problems:
    conclusion = rule.concludes
    if sum([conclusion.verdict is not None, bool(conclusion.fact), bool(conclusion.technique)]) != 1:
        hint = "Give verdict and signal, or fact and value, or technique and fit."
        yield "concludes", "it must conclude one thing.", hint
    if conclusion.verdict is not None and conclusion.signal is None:
        yield "concludes", "a verdict needs a signal word.", "Add signal: DANGER, WARNING, CAUTION or NOTICE."
    if conclusion.fact:
        subject, _, fact = conclusion.fact.partition(" ")
        entry = vocabulary.get(subject, {}).get(fact)
        if entry is None or not entry.concluded or conclusion.value not in entry.choices:
            what = f"'{conclusion.fact}: {conclusion.value}' is not a fact a rule may conclude."
            yield "concludes", what, "Mark it 'concluded: true' in the vocabulary, with this choice."


def _safety_problems(rule: r.Rule) -> Problems:
    if rule.concern != "safety" or rule.concludes.verdict not in ("change", "stop"):
        return
    if not (rule.mend or rule.no_mend):
        yield "mend", "a safety rule says how it is mended, or that it cannot be.", "Add 'mend:' or 'no_mend:'."
    if rule.caution is None:
        yield "caution", "a safety rule carries its caution.", "Add hazard, consequence and instead."


def _source_problems(rule: r.Rule, sources: Mapping[str, r.Source]) -> Problems:
    for cite in rule.source:
        if cite.id not in sources:
            yield "source", f"there is no source '{cite.id}'.", "Add it to sources.yaml."
    if not rule.source:
        yield "source", "it cites nothing.", "Cite a source, or common_practice."


def _text_problems(rule: r.Rule, vocabulary: Vocabulary, limits: Mapping[str, r.Limit]) -> Problems:
    texts = {"says": rule.says, "because": rule.because, "beside": rule.beside}
    if rule.caution is not None:
        texts |= {"caution": f"{rule.caution.hazard} {rule.caution.consequence} {rule.caution.instead}"}
    for key, text in texts.items():
        for name in PLACEHOLDER.findall(text):
            if not _known_placeholder(name, vocabulary, limits):
                yield key, f"'{{{name}}}' names no fact and no limit.", "Write {subject.fact} or {limit_name}."
        bare = PLACEHOLDER.sub("", text)
        if re.search(r"\d", bare):
            yield key, f"a number stands in the text: '{bare.strip()[:60]}'.", "Name a limit in braces instead."


def _mend_problems(rule: r.Rule, vocabulary: Vocabulary) -> Problems:
    for mend in rule.mend:
        subject, _, fact = mend.change.partition(" ")
        if not _changeable(subject, fact, vocabulary):
            hint = "Name a fact of the piece, the guests, or of steps by role or action."
            yield "mend", f"'{mend.change}' cannot be changed.", hint


# What a mend may change beside facts: steps put in or left out, and the amount of an ingredient.
STEP_CHANGES = frozenset({"add", "remove"})
AMOUNTS = frozenset({"salt", "soda"})


def _changeable(subject: str, fact: str, vocabulary: Vocabulary) -> bool:
    if subject in ("piece", "guests"):
        return fact in vocabulary[subject]
    if subject == "steps":
        return fact in STEP_CHANGES
    step = vocabulary["step"]
    known = subject == "step" or subject in step["action"].choices or subject in step["role"].choices
    return known and (fact in step or fact in AMOUNTS)


def _known_placeholder(name: str, vocabulary: Vocabulary, limits: Mapping[str, r.Limit]) -> bool:
    name = name.partition("|")[0]
    if name in limits:
        return True
    subject, _, fact = name.partition(".")
    return fact in vocabulary.get(subject, {})


def _strata(files: Files, found: Mapping[str, tuple[r.Rule, tuple[Alternative, ...], str, int]]) -> dict[str, int]:
    """Order rules so that each runs after all rules that conclude what it reads."""
    makers: dict[tuple[str, str], set[str]] = {}
    for rule_id, (rule, _, _, _) in found.items():
        if rule.concludes.fact:
            subject, _, fact = rule.concludes.fact.partition(" ")
            makers.setdefault((subject, fact), set()).add(rule_id)
    needs = {
        rule_id: set().union(*(makers.get((c.subject, c.fact), set()) for c in conditions_of(alternatives)))
        for rule_id, (_, alternatives, _, _) in found.items()
    }
    strata = dict.fromkeys(found, 0)
    for _ in range(len(found) + 1):
        moved = False
        for rule_id, before in needs.items():
            level = 1 + max((strata[b] for b in before), default=-1)
            if level > strata[rule_id]:
                strata[rule_id], moved = level, True
        if not moved:
            return strata
    rule, _, file, index = found[max(strata, key=lambda name: strata[name])]
    raise files.error(
        file, ("rules", index), f"Rule '{rule.id}' needs its own conclusion.", "Break the circle of rules."
    )


def check_question(
    files: Files, index: int, question: r.Question, vocabulary: Vocabulary, limits: Mapping[str, r.Limit]
) -> None:
    """Check that a question asks for a known fact and that its condition can be read."""
    path: tuple[str | int, ...] = ("questions", index)
    subject, _, fact = question.fact.partition(" ")
    entry = vocabulary.get(subject, {}).get(fact)
    if entry is None and question.fact not in ("goal serve", "steps softeners"):
        raise files.error("questions.yaml", path, f"'{question.fact}' is not in the vocabulary.", "Add it there.")
    for name, when in (("when", question.when), ("asked_when", question.asked_when)):
        if not when:
            continue
        try:
            parse_when(when, vocabulary, limits)
        except ConditionError as error:
            raise files.error("questions.yaml", (*path, name), error.what, error.hint) from error


def check_measured(files: Files, tenderisers: Mapping[str, r.Tenderiser]) -> None:
    """Check that what was measured of a softener is of an enzyme, once of each kind, from low to high.

    Raises
    ------
    RulebaseError
        With file and line, for the first that is not.
    """
    for name, tenderiser in tenderisers.items():
        kinds = [span.of for span in tenderiser.measured_c]
        for index, span in enumerate(tenderiser.measured_c):
            path = ("tenderisers", name, "measured_c", index)
            if tenderiser.loss is None:
                what, hint = f"The tenderiser {name} has no enzyme to measure.", "Take it out, or say its loss."
            elif kinds.index(span.of) < index:
                what, hint = f"The {span.of} of {name} stands twice.", "Write one range, with every source."
            elif span.low > span.high:
                what, hint = f"The {span.of} of {name} is measured from high to low.", "Write the lower one as low."
            else:
                continue
            raise files.error("tenderisers.yaml", path, what, hint)


def _place(files: Files, entry: str) -> tuple[str, tuple[str | int, ...]]:
    """File and path of the last entry of this name under any heading."""
    found: tuple[str, tuple[str | int, ...]] = ("sources.yaml", ())
    for file, data in files.data.items():
        for heading, section in data.items() if isinstance(data, Mapping) else ():
            if isinstance(section, Mapping) and entry in section and heading != "sources":
                inner = section[entry]
                found = (
                    file,
                    (heading, entry, *(["source"] if isinstance(inner, Mapping) and "source" in inner else [])),
                )
    return found


def synonyms(
    files: Files,
    cuts: Mapping[str, r.Cut],
    tenderisers: Mapping[str, r.Tenderiser],
    materials: Mapping[str, r.Material],
    media: Mapping[str, r.Medium],
    ambiguous: list[r.AmbiguousWord],
) -> dict[str, str]:
    """Map every folded name a cook may use to ``kind:id``; cut names are kept apart by animal.

    Raises
    ------
    RulebaseError
        One name means two entries of a kind and is not declared ambiguous.
    """
    doubtful = {folded(word.word) for word in ambiguous}
    names: dict[str, str] = {}
    # A root such as ginger is both a seasoning and a softener; one name then stands for both records.
    groups: list[tuple[str, Mapping[str, Any]]] = [("with", {**materials, **tenderisers}), ("medium", media)]
    animals = sorted({cut.animal for cut in cuts.values()})
    groups += [(f"cut/{a}", {k: c for k, c in cuts.items() if c.animal == a}) for a in animals]
    for kind, group in groups:
        for entry_id, entry in group.items():
            for word in {folded(w) for w in (entry.name, entry_id, *entry.also)}:
                key = f"{kind}:{word}"
                if names.get(key, entry_id) != entry_id and word not in doubtful:
                    file, path = _place(files, entry_id)
                    what = f"'{word}' means both {names[key]} and {entry_id}."
                    raise files.error(file, path[:2], what, "Declare it under 'ambiguous:'.")
                names.setdefault(key, entry_id)
    return names
