"""What the quiz is made from beside the rules: misconceptions, subjects, and the words of a situation."""

from __future__ import annotations

from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING, Any, Literal

from pydantic import Field, TypeAdapter

from advisor.knowledge.records import Basis, Cite, Record

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from advisor.knowledge.loader import Files
    from advisor.knowledge.records import Limit, Source, VocabularyFact

MISCONCEPTIONS, QUIZ = "misconceptions.yaml", "quiz.yaml"
# What may stand in braces beside the names of limits.
FIGURES = frozenset(
    {
        "value",
        "share",
        "means",
        "cut",
        "weight",
        "thin",
        "thick",
        "within",
        "time",
        "from",
        "to",
        "clock",
        "day",
        "step",
    }
)
# How a slip makes a wrong figure or choice out of the right one.
Slip = Literal[
    "",
    "verdict",
    "times",
    "plus",
    "other_limit",
    "other_choice",
    "other_grain",
    "other_technique",
    "other_problem",
    "lesser_problem",
    "half_mend",
    "more_mend",
    "other_mend",
    "other_order",
    "calc",
    "calc_kilo",
    "thick_twice",
    "thick_same",
    "thick_cubed",
    "other_stage",
    "rest_stage",
    "plus_day",
    "minus_day",
    "other_direction",
    "either_direction",
]


class Misconception(Record):
    """Something that people believe and the rules refute; ``at_length`` says the same in more words.

    ``leads_to`` is what it does to the food or the guest, where the rule that refutes it does not say.
    """

    believes: str
    at_length: str = ""
    leads_to: str = ""
    refuted_by: list[str] = Field(default_factory=list)
    near: list[str] = Field(default_factory=list)
    slip: Slip = ""
    value: str = ""
    factor: float = 1.0
    source: list[Cite]
    basis: Basis

    @property
    def wordings(self) -> tuple[str, ...]:
        """The belief in few words, and in more, so that an option can be had in the length of the right one."""
        return (self.believes, self.at_length) if self.at_length else (self.believes,)

    def is_near(self, rule_id: str) -> bool:
        """Tell whether an item about a rule may offer this belief."""
        return any(fnmatchcase(rule_id, pattern) for pattern in self.near)


class QuizSettings(Record):
    """What an item, a sitting and a subject that is known must meet."""

    margin_degrees: float
    margin_share: float
    longest_to_shortest: float
    fewest_options: int
    most_options: int
    reading_grade: float
    longest_sentence: int
    mastered_share: float
    mastered_sittings: int
    mastered_gap_hours: float
    items_in_sitting: int
    few_answers: int
    idle_option_share: float
    recall_room: float
    recall_room_degrees: float
    bath_within: float


class QuizSubject(Record):
    """A subject that one learns as a whole; ``rules`` are ids, with ``*`` for any ending."""

    title: str
    must_know: bool
    rules: list[str]


class Shift(Record):
    """The scenario of a shift: which subjects it brings."""

    title: str
    subjects: list[str]


@dataclass(frozen=True, slots=True)
class QuizBook:
    """Everything that the quiz needs beside the rules; empty for a rulebase without it."""

    misconceptions: Mapping[str, Misconception] = field(default_factory=dict)
    settings: QuizSettings | None = None
    subjects: Mapping[str, QuizSubject] = field(default_factory=dict)
    shifts: Mapping[str, Shift] = field(default_factory=dict)
    asks: Mapping[str, str] = field(default_factory=dict)
    verdicts: Mapping[str, str] = field(default_factory=dict)
    choices: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    techniques: Mapping[str, str] = field(default_factory=dict)
    kinds_of_way: Mapping[str, list[str]] = field(default_factory=dict)
    actions: Mapping[str, str] = field(default_factory=dict)
    situations: Mapping[str, str | Mapping[str, str]] = field(default_factory=dict)
    whole: tuple[str, ...] = ()
    stricter: str = ""
    limit_asks: Mapping[str, str] = field(default_factory=dict)
    clashes: tuple[Mapping[str, str], ...] = ()
    unfit_reasons: Mapping[str, list[str]] = field(default_factory=dict)
    style: Mapping[str, Any] = field(default_factory=dict)

    def subject_of(self, rule_id: str) -> str:
        """Subject of a rule: the first that names it; empty when none does."""
        return next(
            (name for name, one in self.subjects.items() if any(fnmatchcase(rule_id, p) for p in one.rules)), ""
        )

    def slips(self, kind: Slip) -> dict[str, Misconception]:
        """Misconceptions that make a wrong answer in one way."""
        return {name: one for name, one in self.misconceptions.items() if one.slip == kind}


def read_quizbook(
    files: Files,
    rules: Iterable[str],
    limits: Mapping[str, Limit],
    vocabulary: Mapping[str, Mapping[str, VocabularyFact]],
    sources: Mapping[str, Source],
) -> QuizBook:
    """Read both files and check every name in them.

    Raises
    ------
    RulebaseError
        An entry is not of its kind, or names a rule, fact, source or limit that there is not.
    """
    clashes: TypeAdapter[Iterable[Mapping[str, str]]] = TypeAdapter(list[dict[str, str]])
    words: TypeAdapter[Mapping[str, str]] = TypeAdapter(dict[str, str])
    book = QuizBook(
        misconceptions=files.section(MISCONCEPTIONS, "misconceptions", TypeAdapter(dict[str, Misconception])),
        settings=files.section(QUIZ, "settings", TypeAdapter(QuizSettings)),
        subjects=files.section(QUIZ, "subjects", TypeAdapter(dict[str, QuizSubject])),
        shifts=files.section(QUIZ, "shifts", TypeAdapter(dict[str, Shift])),
        asks=files.section(QUIZ, "asks", words),
        verdicts=files.section(QUIZ, "verdicts", words),
        choices=files.section(QUIZ, "choices", TypeAdapter(dict[str, dict[str, str]])),
        techniques=files.section(QUIZ, "techniques", words),
        kinds_of_way=files.section(QUIZ, "kinds_of_way", TypeAdapter(dict[str, list[str]])),
        actions=files.section(QUIZ, "actions", words),
        situations=files.section(QUIZ, "situations", TypeAdapter(dict[str, str | dict[str, str]])),
        whole=tuple(files.section(QUIZ, "whole", TypeAdapter(list[str]))),
        limit_asks=files.section(QUIZ, "limit_asks", words),
        stricter=files.section(QUIZ, "stricter", TypeAdapter(str)),
        clashes=tuple(files.section(QUIZ, "clashes", clashes)),
        unfit_reasons=files.section(QUIZ, "unfit_reasons", TypeAdapter(dict[str, list[str]])),
        # How the audit hears syllables; items are held to a reading grade by the same ear.
        style=files.data.get("audit/style.yaml") or {},
    )
    _check_misconceptions(files, book, frozenset(rules), sources)
    _check_subjects(files, book, frozenset(rules))
    _check_words(files, book, limits, vocabulary)
    return book


def _check_misconceptions(files: Files, book: QuizBook, rules: frozenset[str], sources: Mapping[str, Source]) -> None:
    for name, one in book.misconceptions.items():
        path: tuple[str | int, ...] = ("misconceptions", name)
        _all_known(files, MISCONCEPTIONS, (*path, "refuted_by"), one.refuted_by, rules)
        _all_known(files, MISCONCEPTIONS, (*path, "source"), [cite.id for cite in one.source], frozenset(sources))
        _all_match(files, MISCONCEPTIONS, (*path, "near"), one.near, rules)
        if one.near and not one.refuted_by:
            hint = "A belief that is offered must be refuted by a rule."
            raise files.error(MISCONCEPTIONS, path, f"'{name}' is refuted by no rule.", hint)


def _check_subjects(files: Files, book: QuizBook, rules: frozenset[str]) -> None:
    for name, subject in book.subjects.items():
        _all_match(files, QUIZ, ("subjects", name, "rules"), subject.rules, rules)
    for name, shift in book.shifts.items():
        _all_known(files, QUIZ, ("shifts", name, "subjects"), shift.subjects, frozenset(book.subjects))


def _all_known(files: Files, file: str, path: tuple[str | int, ...], names: list[str], known: frozenset[str]) -> None:
    for name in names:
        if name not in known:
            raise files.error(file, path, f"There is no '{name}'.", "Name one that stands in the rulebase.")


def _all_match(
    files: Files, file: str, path: tuple[str | int, ...], patterns: list[str], rules: frozenset[str]
) -> None:
    for pattern in patterns:
        # A pattern may wait for rules to come; a name without a star must be that of a rule.
        if "*" not in pattern and pattern not in rules:
            raise files.error(file, path, f"No rule is '{pattern}'.", "Name a rule, or the beginning of one and *.")


def _check_words(
    files: Files,
    book: QuizBook,
    limits: Mapping[str, Limit],
    vocabulary: Mapping[str, Mapping[str, VocabularyFact]],
) -> None:
    for fact, said in book.situations.items():
        path: tuple[str | int, ...] = ("situations", fact)
        subject, _, name = fact.partition(" ")
        if name not in vocabulary.get(subject, {}):
            raise files.error(QUIZ, path, f"'{fact}' is no fact.", "Name a fact of the vocabulary.")
        for sentence in [said] if isinstance(said, str) else said.values():
            _check_braces(files, path, sentence, limits)
    for name, sentence in book.limit_asks.items():
        if name not in limits:
            raise files.error(QUIZ, ("limit_asks", name), f"There is no limit '{name}'.", "Name one of limits/.")
        _check_braces(files, ("limit_asks", name), sentence, limits)
    for ask, sentence in book.asks.items():
        _check_braces(files, ("asks", ask), sentence, limits)


def _check_braces(files: Files, path: tuple[str | int, ...], sentence: str, limits: Mapping[str, Limit]) -> None:
    from advisor.knowledge.checks import PLACEHOLDER  # which knows the rulebase that this book is a part of

    for placeholder in PLACEHOLDER.findall(sentence):
        if placeholder not in FIGURES and placeholder not in limits:
            hint = "In braces stands the name of a limit, or 'value' or 'share'."
            raise files.error(QUIZ, path, f"'{{{placeholder}}}' is neither.", hint)
