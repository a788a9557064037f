"""The plain evaluator: a loop over rules, alternatives and steps, in three values.

A condition on a fact that is not there, or whose value is None, is unknown; a rule fires only when all its
conditions are true. ``is known`` is then false and ``is not known`` true.

``none`` is read against the plan as far as it is known: it holds unless some step meets all its conditions as
true, so a rule that misses a step complains when it cannot see one. Three kinds of rule take a worry away or
allow something (`must_be_sure`); for them ``none`` holds only when every step surely fails its pattern.

Numbers are compared after rounding (`rounded`), here and in the engine, so that both agree at a limit.
"""

from __future__ import annotations

import math
import operator
import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from advisor.errors import EngineError
from advisor.infer.proof import Firing, Judged, State

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from advisor.case.facts import Fact, FactSet, Value
    from advisor.knowledge.conditions import Alternative, Comparison, Condition
    from advisor.knowledge.records import Rule
    from advisor.knowledge.rulebase import CheckedRule

# Four decimals tell 0.01 of every unit apart, and no such number is written with an exponent.
DECIMALS: Final = 4
# From 1e16 on Python writes an exponent without a point, which the engine cannot read.
LARGEST: Final = 1e15
# A limit that rounding would move by more than this share stands in too large a unit.
MOST_ROUNDING: Final = 1e-3

_COMPARE: Final[Mapping[Comparison, tuple[Callable[[float, float], bool], int]]] = {
    "is over": (operator.gt, 1),
    "is at least": (operator.ge, 1),
    "is under": (operator.lt, -1),
    "is at most": (operator.le, -1),
}


def rounded(value: float) -> float:
    """Round to the decimals in which numbers are compared; never minus nought.

    Raises
    ------
    EngineError
        The number is not finite or too large to be written without an exponent.

    Examples
    --------
    >>> rounded(54.44444), rounded(-0.00001)
    (54.4444, 0.0)
    """
    if not math.isfinite(value) or abs(value) > LARGEST:
        raise EngineError(f"The number {value!r} cannot be compared with a limit.")
    return round(float(value), DECIMALS) + 0.0


def bound_of(condition: Condition) -> float:
    """Give the limit of an ordered condition, rounded as facts are.

    Raises
    ------
    EngineError
        It has no limit, or one so small that rounding would change it.
    """
    if condition.bound is None:
        raise EngineError(f"The condition '{condition}' has no limit.")
    bound = rounded(condition.bound)
    if abs(bound - condition.bound) > MOST_ROUNDING * abs(condition.bound):
        raise EngineError(f"The limit {condition.bound!r} in '{condition}' is too small; give it in a smaller unit.")
    return bound


def number_of(value: Value, condition: Condition) -> float | None:
    """Value of a fact as a number to compare; None when it is not known.

    Raises
    ------
    EngineError
        It is a word, a truth value or not finite: a comparison with it would be false without a word.
    """
    if value is None:
        return None
    if isinstance(value, str | bool):
        raise EngineError(f"'{condition}' needs a number, but the fact is {value!r}.")
    return rounded(value)


def word_of(value: Value, condition: Condition) -> str | None:
    """Value of a fact as a word to compare, in composed form (NFC); None when it is not known.

    Raises
    ------
    EngineError
        It is a number.
    """
    if value is None:
        return None
    if not isinstance(value, str):
        raise EngineError(f"'{condition}' needs a word, but the fact is {value!r}.")
    return unicodedata.normalize("NFC", value)


def words_of(condition: Condition) -> tuple[str, ...]:
    """Words that a condition compares with, in composed form (NFC)."""
    return _composed(condition.choices)


@lru_cache(maxsize=4096)
def _composed(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(unicodedata.normalize("NFC", word) for word in words)


def must_be_sure(rule: Rule) -> bool:
    """Tell whether a rule takes a worry away or allows something.

    An exception, a *go* and a chosen technique make the plan look better; what is not known may not do that.
    """
    return bool(rule.exception_to) or rule.concludes.verdict == "go" or rule.concludes.fit == "choose"


def judge(condition: Condition, facts: FactSet, step: int | None) -> Judged:
    """Hold one condition against the facts.

    Parameters
    ----------
    condition : Condition
        What is asked.
    facts : FactSet
        All facts of the case.
    step : int or None
        Step from 0 whose facts ``step`` means; with None there is no such step and all of it is unknown.

    Raises
    ------
    EngineError
        The fact is of the wrong kind for the comparison.
    """
    in_step = condition.subject == "step"
    if in_step and step is None:
        state: State = "false" if condition.comparison == "is known" else "unknown"
        return Judged(condition, state, None, None, None)
    fact: Fact | None = facts.of(condition.subject, step).get(condition.fact)
    value = None if fact is None else fact.value
    state, margin = _compared(condition, value)
    return Judged(condition, state, value, margin, step if in_step else None)


def _state_of(condition: Condition, facts: FactSet, step: int | None) -> State:
    """State of a condition alone, as `judge` gives it; most conditions are only asked for this."""
    if condition.subject == "step" and step is None:
        return "false" if condition.comparison == "is known" else "unknown"
    fact = facts.of(condition.subject, step).get(condition.fact)
    return _compared(condition, None if fact is None else fact.value)[0]


def _compared(condition: Condition, value: Value) -> tuple[State, float | None]:
    comparison = condition.comparison
    if comparison in ("is known", "is not known"):
        return _state((value is not None) == (comparison == "is known")), None
    if comparison in _COMPARE:
        number, bound = number_of(value, condition), bound_of(condition)
        if number is None:
            return "unknown", None
        compare, direction = _COMPARE[comparison]
        return _state(compare(number, bound)), round(direction * (number - bound), DECIMALS) + 0.0
    word = word_of(value, condition)
    if word is None:
        return "unknown", None
    return _state((word in words_of(condition)) != (comparison == "is not")), None


def _state(holds: bool) -> State:
    return "true" if holds else "false"


def _places(alternative: Alternative, facts: FactSet) -> Sequence[int | None]:
    """List the steps that an alternative can bind, or None alone when it names no step."""
    of_a_step = any(condition.subject == "step" for condition in alternative.conditions)
    return range(len(facts.steps)) if of_a_step else (None,)


def _blocking_step(pattern: Sequence[Condition], facts: FactSet, *, sure: bool) -> int | None:
    """Find the first step that keeps a ``none`` from holding."""
    blocking = ("true", "unknown") if sure else ("true",)
    for step in range(len(facts.steps)):
        if all(_state_of(condition, facts, step) in blocking for condition in pattern):
            return step
    return None


def _holds(rule: CheckedRule, alternative: Alternative, facts: FactSet, step: int | None) -> bool:
    for condition in alternative.conditions:
        if _state_of(condition, facts, step) != "true":
            return False
    sure = must_be_sure(rule.rule)
    return all(_blocking_step(pattern, facts, sure=sure) is None for pattern in alternative.absent_steps)


def fire(rules: Sequence[CheckedRule], facts: FactSet) -> tuple[Firing, ...]:
    """Find every rule that holds, once for each step it can speak of.

    A rule that names facts of a step binds one step for all of them. When two alternatives hold for the same
    step, the lower one is kept.

    Parameters
    ----------
    rules : sequence of CheckedRule
        Rules of one stratum, in the order in which firings are wanted.
    facts : FactSet
        All facts they may read.

    Returns
    -------
    tuple of Firing
        In the order of the rules, then of the steps.

    Raises
    ------
    EngineError
        A fact is of the wrong kind for a comparison.
    """
    firings: list[Firing] = []
    for rule in rules:
        lowest: dict[int | None, int] = {}
        for number, alternative in enumerate(rule.alternatives):
            for step in _places(alternative, facts):
                if step not in lowest and _holds(rule, alternative, facts, step):
                    lowest[step] = number
        firings += [Firing(rule.rule.id, lowest[step], step) for step in sorted(lowest, key=step_order)]
    return tuple(firings)


def step_order(step: int | None) -> int:
    """Sort key that puts the whole plan before its first step."""
    return -1 if step is None else step


def could_fire(rule: CheckedRule, facts: FactSet) -> tuple[Firing, ...]:
    """Find where a rule holds or would hold if what is not known turned out the worst way.

    Returns
    -------
    tuple of Firing
        Every place at which no condition is false and no step surely meets a ``none``.
    """
    lowest: dict[int | None, int] = {}
    for number, alternative in enumerate(rule.alternatives):
        if any(_blocking_step(pattern, facts, sure=False) is not None for pattern in alternative.absent_steps):
            continue
        for step in _places(alternative, facts):
            if all(judge(condition, facts, step).state != "false" for condition in alternative.conditions):
                lowest.setdefault(step, number)
    return tuple(Firing(rule.rule.id, lowest[step], step) for step in sorted(lowest, key=step_order))


def why_not(rule: CheckedRule, facts: FactSet) -> tuple[Judged, ...]:
    """Judge the conditions of the alternative and step that come nearest to firing.

    Returns
    -------
    tuple of Judged
        Conditions in the order of the rule, then those under a ``none`` that a step meets. `first_failing`
        picks the one to name. When the rule fires, all of them hold.

    Notes
    -----
    Nearest: fewest conditions that do not hold; among these fewest false ones; then the lower alternative and
    step. In a plan without steps a condition on a step is unknown.
    """
    candidates = list(_candidates(rule, facts))
    return min(candidates, key=_distance) if candidates else ()


def _candidates(rule: CheckedRule, facts: FactSet) -> Iterator[tuple[Judged, ...]]:
    sure = must_be_sure(rule.rule)
    for alternative in rule.alternatives:
        under_none = _met_under_none(alternative, facts, sure=sure)
        for step in _places(alternative, facts) or (None,):
            yield tuple(judge(condition, facts, step) for condition in alternative.conditions) + under_none


def _met_under_none(alternative: Alternative, facts: FactSet, *, sure: bool) -> tuple[Judged, ...]:
    met: list[Judged] = []
    for pattern in alternative.absent_steps:
        step = _blocking_step(pattern, facts, sure=sure)
        if step is not None:
            judged = (judge(condition, facts, step) for condition in pattern)
            met += [Judged(j.condition, j.state, j.value, j.margin, j.step, under_none=True) for j in judged]
    return tuple(met)


def _fails(judged: Judged) -> bool:
    return judged.under_none or judged.state != "true"


def _distance(judged: Sequence[Judged]) -> tuple[int, int]:
    failing = [one for one in judged if _fails(one)]
    return len(failing), sum(one.under_none or one.state == "false" for one in failing)


def first_failing(judged: Sequence[Judged]) -> Judged | None:
    """Pick the first condition that kept a rule from firing; None when all hold."""
    return next((one for one in judged if _fails(one)), None)
