"""Situations: the small sets of facts that stand with a rule, with figures a cook would write, and in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from advisor.infer.examples import UNKNOWN, facts_from_example
from advisor.infer.infer import figures
from advisor.infer.reference import fire, why_not
from advisor.infer.text import show_value, tidied
from advisor.knowledge.checks import PLACEHOLDER
from advisor.quiz.figures import beside, between

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from random import Random

    from advisor.case.facts import Value
    from advisor.infer.proof import Judged
    from advisor.knowledge.records import Example
    from advisor.knowledge.rulebase import CheckedRule, Rulebase
    from advisor.quiz.figures import Side
    from advisor.units import System

UPWARD: Final = frozenset({"is over", "is at least"})


class NoWordsError(Exception):
    """A fact of a situation has no words in ``quiz.yaml``."""


def fires(rule: CheckedRule, example: Example, rulebase: Rulebase) -> bool:
    """Tell whether a rule holds on a situation."""
    return bool(fire([rule], facts_from_example(example, rulebase)))


def lively(rule: CheckedRule, example: Example, rulebase: Rulebase, rng: Random, system: System) -> Example | None:
    """Give an example with figures at a margin from its limits; None where that is not to be had.

    The shipped examples stand a hundredth beside a limit, to catch slips of code; nobody should be asked by a hair.
    """
    facts = facts_from_example(example, rulebase)
    found = fire([rule], facts)
    judged: Sequence[Judged] = figures(rule, found[0], facts) if found else why_not(rule, facts)
    moved = example
    for (subject, fact), ones in _by_fact(judged).items():
        value = _moved(ones, rulebase, rng, system, f"{subject} {fact}")
        if value is not None:
            moved = with_value(moved, subject, fact, value)
    moved = _plain(moved, rulebase)
    return moved if bool(found) == fires(rule, moved, rulebase) else None


def _by_fact(judged: Sequence[Judged]) -> dict[tuple[str, str], list[Judged]]:
    found: dict[tuple[str, str], list[Judged]] = {}
    for one in judged:
        if one.condition.bound is not None and one.margin is not None:
            found.setdefault((one.condition.subject, one.condition.fact), []).append(one)
    return found


def _moved(ones: list[Judged], rulebase: Rulebase, rng: Random, system: System, fact: str) -> float | None:
    """A new figure for a fact, on the same side of each of its limits."""
    settings = rulebase.quiz.settings
    entry = rulebase.vocabulary[ones[0].condition.subject][ones[0].condition.fact]
    quantity = entry.quantity
    if settings is None or quantity is None:
        return None
    lows: list[float] = []
    highs: list[float] = []
    for one in ones:
        bound = one.condition.bound or 0.0
        above = (one.condition.comparison in UPWARD) == (one.state == "true")
        (lows if above else highs).append(bound)
    if lows and highs:
        return between(max(lows), min(highs), quantity, rng, settings)
    bound = max(lows) if lows else min(highs)
    side: Side = "over" if lows else "under"
    value = beside(bound, quantity, side, rng, settings, system, whole=fact in rulebase.quiz.whole)
    # Nothing holds more water than water: a figure that cannot be is moved to the nearest that can.
    value = value if entry.high is None else min(value, entry.high)
    return value if entry.low is None else max(value, entry.low)


def _plain(example: Example, rulebase: Rulebase) -> Example:
    """Write ``at LIMIT`` and the like as figures."""
    facts = facts_from_example(example, rulebase)
    for subject in ("piece", "guests", "course", "step"):
        group = facts.of(subject) if subject != "step" else (facts.steps[0] if facts.steps else {})
        for name, fact in group.items():
            if fact.value is not None:
                example = with_value(example, subject, name, fact.value)
    return example


def with_value(example: Example, subject: str, fact: str, value: Value) -> Example:
    """Give an example in which one fact has another value; only where the example speaks of it."""
    if subject == "step" and fact not in example.step:
        steps = [{**step, fact: value} if fact in step else step for step in example.steps]
        return example.model_copy(update={"steps": steps})
    return example.model_copy(update={subject: {**getattr(example, subject), fact: value}})


def sentences(example: Example, rulebase: Rulebase, system: System) -> list[str]:
    """Tell a situation in words, one sentence a fact.

    Raises
    ------
    NoWordsError
        A fact has none.
    """
    said = [_sentence(subject, name, value, rulebase, system) for subject, name, value in _told(example)]
    return list(dict.fromkeys(one for one in said if one))


def _told(example: Example) -> Iterator[tuple[str, str, Any]]:
    for subject in ("piece", "guests"):
        for name, value in getattr(example, subject).items():
            yield subject, name, value
    for step in ([example.step] if example.step else []) + example.steps:
        # What is done, and where, come before how much of it.
        for name in sorted(step, key=lambda n: ("action", "role", "place").index(n) if n in _FIRST else len(_FIRST)):
            yield "step", name, step[name]
    for name, value in example.course.items():
        yield "course", name, value


_FIRST: Final = frozenset({"action", "role", "place"})


def _sentence(subject: str, name: str, value: Any, rulebase: Rulebase, system: System) -> str:
    said = rulebase.quiz.situations.get(f"{subject} {name}")
    if said is None:
        raise NoWordsError(f"{subject} {name}")
    entry = rulebase.vocabulary[subject][name]
    asked_in_vain = value is None or (value == UNKNOWN and UNKNOWN not in entry.choices)
    if not isinstance(said, str):
        key = UNKNOWN if asked_in_vain else str(value)
        if key not in said and "any" not in said:
            raise NoWordsError(f"{subject} {name}: {key}")
        said = said.get(key, said.get("any", ""))
    elif asked_in_vain:
        raise NoWordsError(f"{subject} {name}: unknown")
    return filled(said, value, subject, name, rulebase, system)


def filled(text: str, value: Any, subject: str, name: str, rulebase: Rulebase, system: System) -> str:
    """Put the figure of a fact, and limits, into a sentence."""
    from advisor.units import write_quantity

    entry = rulebase.vocabulary[subject][name]

    def shown(placeholder: str) -> str:
        if placeholder == "share":
            return f"{round(100.0 * float(value))} %"
        if placeholder == "value":
            return show_value(value, entry, system)
        limit = rulebase.limits[placeholder]
        return write_quantity(limit.value, limit.quantity, system)

    return tidied(PLACEHOLDER.sub(lambda match: shown(match[1]), text))
