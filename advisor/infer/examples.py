"""Reads the examples that stand with a rule into facts, so that they can be run as tests."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from advisor.case.facts import Fact, FactSet, Value
from advisor.errors import RulebaseError
from advisor.infer import reference

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.knowledge.records import Example, VocabularyFact
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

# In the fixed unit of the quantity: a hundredth of a degree, minute, millimetre, gram or percent.
NEAR: Final = 0.01
UNKNOWN: Final = "unknown"
_SHIFTS: Final = {"at ": 0.0, "just over ": NEAR, "just under ": -NEAR}


def facts_from_example(example: Example, rulebase: Rulebase) -> FactSet:
    """Make the facts that an example names; every other fact is absent.

    Parameters
    ----------
    example : Example
        Values are numbers in the fixed unit, choice words, ``at LIMIT``, ``just over LIMIT`` or ``just under
        LIMIT`` (a hundredth of the unit beside it), or ``unknown`` (asked and not known).
    rulebase : Rulebase
        Its vocabulary and limits.

    Returns
    -------
    FactSet
        ``step`` first, then ``steps``.

    Raises
    ------
    RulebaseError
        The example names a fact, a word or a limit that does not exist, or a value of the wrong kind.
    """
    steps = ([example.step] if example.step else []) + example.steps
    return FactSet(
        piece=_facts("piece", "piece", example.piece, rulebase),
        guests=_facts("guests", "guests", example.guests, rulebase),
        course=_facts("course", "course", example.course, rulebase),
        steps=tuple(_facts("step", f"step{n}", step, rulebase) for n, step in enumerate(steps, start=1)),
    )


def example_fires(rule: CheckedRule, example: Example, rulebase: Rulebase) -> bool:
    """Tell whether a rule, taken alone, holds on an example.

    Raises
    ------
    RulebaseError
        As in `facts_from_example`.
    """
    return bool(reference.fire([rule], facts_from_example(example, rulebase)))


def _facts(subject: str, place: str, values: Mapping[str, Any], rulebase: Rulebase) -> dict[str, Fact]:
    facts: dict[str, Fact] = {}
    for name, written in values.items():
        entry = rulebase.vocabulary[subject].get(name)
        if entry is None:
            raise _wrong(f"An example names '{subject} {name}'.", "Name a fact of the vocabulary.")
        value = _value(f"{subject} {name}", written, entry, rulebase)
        facts[name] = Fact(place, name, value, "not known" if value is None else "written")
    return facts


def _value(fact: str, written: Any, entry: VocabularyFact, rulebase: Rulebase) -> Value:
    # Some facts have "unknown" among their choices; there it is a word like any other.
    if written == UNKNOWN and UNKNOWN not in entry.choices:
        return None
    if entry.quantity is None:
        if not isinstance(written, str) or not (written in entry.choices or entry.words):
            raise _wrong(f"'{fact}: {written}' is no choice.", f"Use one of: {', '.join(entry.choices)}.")
        return written
    if isinstance(written, str):
        return _beside_limit(fact, written, entry, rulebase)
    if isinstance(written, bool) or not isinstance(written, int | float):
        raise _wrong(f"'{fact}: {written}' is no number.", "Write a number, or 'at', 'just over' a limit.")
    return float(written)


def _beside_limit(fact: str, written: str, entry: VocabularyFact, rulebase: Rulebase) -> float:
    for words, shift in _SHIFTS.items():
        limit = rulebase.limits.get(written.removeprefix(words).strip()) if written.startswith(words) else None
        if limit is None:
            continue
        if limit.quantity != entry.quantity:
            raise _wrong(f"'{fact}: {written}' is a {limit.quantity}.", f"Name a limit that is a {entry.quantity}.")
        return limit.value + shift
    raise _wrong(f"'{fact}: {written}' names no limit.", "Write 'at', 'just over' or 'just under' and a limit.")


def _wrong(what: str, hint: str) -> RulebaseError:
    return RulebaseError("examples", 0, what, hint)
