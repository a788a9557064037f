"""The little closed language that rules state their conditions in.

A condition is one sentence: *subject fact comparison operand*, for example
``step warm_minutes is over raw_out_max``. Operands are choices of the vocabulary or names of limits,
never numbers. Conditions in a list must all hold; ``{any: [...]}`` needs one of them; ``{none: [...]}``
needs that no step of the plan meets all of them. Nothing here is evaluated as code.

Three values: a condition on a fact that is not known is unknown, and a rule fires only on true.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from advisor.knowledge.records import Limit, Subject, VocabularyFact

Comparison = Literal[
    "is",
    "is not",
    "is one of",
    "is over",
    "is at least",
    "is under",
    "is at most",
    "is known",
    "is not known",
]
# Longest first, so that "is not known" is not read as "is not".
COMPARISONS: tuple[Comparison, ...] = (
    "is not known",
    "is known",
    "is one of",
    "is at least",
    "is at most",
    "is over",
    "is under",
    "is not",
    "is",
)
ORDERED: frozenset[str] = frozenset({"is over", "is at least", "is under", "is at most"})
SUBJECTS: tuple[Subject, ...] = ("piece", "guests", "step", "course")
# More alternatives than this make a rule nobody can read, and the engine's sets too wide.
MOST_ALTERNATIVES = 12
MOST_CONDITIONS = 12


class ConditionError(ValueError):
    """A condition sentence cannot be read; carries a hint what to write instead."""

    def __init__(self, what: str, hint: str) -> None:
        super().__init__(what)
        self.what = what
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Condition:
    """One comparison of one fact of one subject.

    ``limit`` names the limit whose value stands in ``bound``; ``choices`` holds the words it is compared with.
    """

    subject: Subject
    fact: str
    comparison: Comparison
    limit: str = ""
    bound: float | None = None
    choices: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Give the sentence back as it is written in a rule."""
        operand = self.limit or ", ".join(self.choices)
        return f"{self.subject} {self.fact} {self.comparison} {operand}".strip()


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way in which a rule can fire: conditions that all hold, and step patterns none of which may exist."""

    conditions: tuple[Condition, ...]
    absent_steps: tuple[tuple[Condition, ...], ...] = ()

    @property
    def subjects(self) -> tuple[Subject, ...]:
        """Subjects that must be there for this alternative, in the fixed order."""
        named = {condition.subject for condition in self.conditions}
        return tuple(subject for subject in SUBJECTS if subject in named)


def parse_condition(
    sentence: str,
    vocabulary: Mapping[str, Mapping[str, VocabularyFact]],
    limits: Mapping[str, Limit],
) -> Condition:
    """Read one sentence against the vocabulary and the limits.

    Raises
    ------
    ConditionError
        Unknown subject, fact, comparison, choice or limit; a number where a limit belongs.
    """
    words = sentence.split()
    if len(words) < 3:  # noqa: PLR2004 - subject, fact, comparison
        raise ConditionError(
            f"'{sentence}' is not a condition.",
            "Write: subject, fact, comparison, limit; for example 'step warm_minutes is over raw_out_max'.",
        )
    subject, fact, rest = words[0], words[1], " ".join(words[2:])
    if subject not in SUBJECTS:
        raise ConditionError(f"'{subject}' is no subject.", f"Use one of: {', '.join(SUBJECTS)}.")
    entry = vocabulary[subject].get(fact)
    if entry is None:
        near = ", ".join(sorted(vocabulary[subject])[:6])
        raise ConditionError(
            f"The vocabulary has no fact '{subject} {fact}'.",
            f"Add it to vocabulary.yaml, or use one like: {near}.",
        )
    comparison = next((c for c in COMPARISONS if rest == c or rest.startswith(c + " ")), None)
    if comparison is None:
        raise ConditionError(f"'{rest}' starts with no comparison.", f"Use one of: {', '.join(COMPARISONS)}.")
    operand = rest[len(comparison) :].strip()
    return _with_operand(subject, fact, comparison, operand, entry, limits)


def _with_operand(
    subject: Subject,
    fact: str,
    comparison: Comparison,
    operand: str,
    entry: VocabularyFact,
    limits: Mapping[str, Limit],
) -> Condition:
    if comparison in ("is known", "is not known"):
        if operand:
            raise ConditionError(f"'{comparison}' takes nothing after it.", f"Leave out '{operand}'.")
        return Condition(subject, fact, comparison)
    if comparison in ORDERED:
        limit = limits.get(operand)
        if entry.quantity is None:
            raise ConditionError(
                f"'{subject} {fact}' is a choice, not a quantity.", "Compare it with 'is' or 'is one of'."
            )
        if limit is None:
            raise ConditionError(
                f"There is no limit '{operand}'.",
                "Numbers stand in rulebase/limits with their source; name one of them here.",
            )
        if limit.quantity != entry.quantity:
            raise ConditionError(
                f"'{fact}' is a {entry.quantity} but limit '{operand}' is a {limit.quantity}.",
                "Compare like with like.",
            )
        return Condition(subject, fact, comparison, limit=operand, bound=limit.value)
    choices = tuple(word.strip() for word in operand.split(",") if word.strip())
    if comparison != "is one of" and len(choices) != 1:
        raise ConditionError(f"'{comparison}' takes one word, not '{operand}'.", "Use 'is one of' for several.")
    unknown = [c for c in choices if not entry.words and c not in entry.choices]
    if unknown or not choices:
        raise ConditionError(
            f"'{', '.join(unknown) or operand}' is no choice of '{subject} {fact}'.",
            f"Use one of: {', '.join(entry.choices) or 'a limit, with is over / is under'}.",
        )
    return Condition(subject, fact, comparison, choices=choices)


def parse_when(
    when: list[Any],
    vocabulary: Mapping[str, Mapping[str, VocabularyFact]],
    limits: Mapping[str, Limit],
) -> tuple[Alternative, ...]:
    """Read a rule's ``when`` into its alternatives (disjunctive normal form).

    Raises
    ------
    ConditionError
        As in `parse_condition`; also too many alternatives, an empty list, or ``none`` without a
        positive condition that is looked at after all steps are known.
    """
    if not when:
        raise ConditionError("'when' is empty.", "A rule needs at least one condition.")
    fixed: list[Condition] = []
    groups: list[list[tuple[Condition, ...]]] = []
    absent: list[tuple[Condition, ...]] = []
    for item in when:
        if isinstance(item, str):
            fixed.append(parse_condition(item, vocabulary, limits))
        elif isinstance(item, Mapping) and set(item) == {"any"}:
            if not isinstance(item["any"], list) or not item["any"]:
                raise ConditionError(
                    "'any' takes a list.", "Write a list: each alternative on its own line, after '- '."
                )
            groups.append([_all_of(part, vocabulary, limits) for part in item["any"]])
        elif isinstance(item, Mapping) and set(item) == {"none"}:
            pattern = _all_of(item["none"], vocabulary, limits)
            if any(condition.subject != "step" for condition in pattern):
                raise ConditionError("'none' speaks only of steps.", "Begin each line under 'none' with 'step'.")
            absent.append(pattern)
        else:
            raise ConditionError(f"'{item}' is not a condition.", "Write a sentence, {any: [...]} or {none: [...]}.")
    ways = prod(len(group) for group in groups)
    if ways > MOST_ALTERNATIVES:
        what = f"The 'any' lists make {ways} alternatives."
        raise ConditionError(what, f"Split the rule: {MOST_ALTERNATIVES} are the most.")
    alternatives = tuple(
        Alternative(tuple(fixed) + tuple(c for part in chosen for c in part), tuple(absent))
        for chosen in product(*groups)
    )
    _check_alternatives(alternatives)
    return alternatives


def _all_of(
    part: Any, vocabulary: Mapping[str, Mapping[str, VocabularyFact]], limits: Mapping[str, Limit]
) -> tuple[Condition, ...]:
    sentences = [part] if isinstance(part, str) else part
    if not isinstance(sentences, list) or not all(isinstance(s, str) for s in sentences):
        raise ConditionError(f"'{part}' is not a sentence or a list of sentences.", "Nest only one level.")
    return tuple(parse_condition(s, vocabulary, limits) for s in sentences)


def _check_alternatives(alternatives: tuple[Alternative, ...]) -> None:
    for alternative in alternatives:
        if not alternative.conditions:
            raise ConditionError("A rule needs a condition that something is so.", "'none' alone never ends.")
        if len(alternative.conditions) > MOST_CONDITIONS:
            raise ConditionError(
                f"A rule of {len(alternative.conditions)} conditions.",
                f"{MOST_CONDITIONS} are the most; split it.",
            )
        if alternative.absent_steps and "step" in alternative.subjects:
            # The engine never holds a bound step against a 'none' that it meets itself.
            raise ConditionError(
                "'none' stands beside a condition on a step.",
                "Name the step's part in a fact of the course instead, for example 'course has_sear is yes'.",
            )
        if alternative.absent_steps and not {"piece", "guests", "course"} & set(alternative.subjects):
            raise ConditionError(
                "'none' needs a condition on the piece, the guests or the course beside it.",
                "The engine looks at steps first; add one, for example 'course has_sear is yes'.",
            )


def conditions_of(alternatives: tuple[Alternative, ...]) -> Iterator[Condition]:
    """Yield every condition of a rule, those under ``none`` included."""
    for alternative in alternatives:
        yield from alternative.conditions
        for pattern in alternative.absent_steps:
            yield from pattern
