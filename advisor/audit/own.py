"""The two files that only the audit reads: how texts are to read, and what the audit cannot know by itself.

The loader does not look into them. What is wrong in one is a fault of its own, at its line, and counts as not said.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal, TypeVar

from pydantic import AfterValidator, Field, ValidationError

from advisor.audit.faults import Fault, Route
from advisor.knowledge.records import Record

if TYPE_CHECKING:
    from advisor.audit.faults import Texts

STYLE: Final = "audit/style.yaml"
REASONS: Final = "audit/reasons.yaml"
Group = Literal["reasons", "questions", "cautions"]
_T = TypeVar("_T", bound=Record)


def _pattern(word: str) -> str:
    try:
        re.compile(word)
    except re.error as error:
        raise ValueError(f"this is no pattern: {error}") from error
    return word


class Style(Record):
    """How texts are to read; what is not given is not looked at."""

    grades: dict[Group, float] = Field(default_factory=dict)
    longest: dict[Group, int] = Field(default_factory=dict)
    fewest_words: int = 0
    fewest_reason_words: int = 0
    alike: float = 100.0
    banned: dict[Annotated[str, AfterValidator(_pattern)], str] = Field(default_factory=dict)
    known_as: int = 2
    known: dict[str, str] = Field(default_factory=dict)
    syllables: dict[str, int] = Field(default_factory=dict)


class Follows(Record):
    """Where one condition holds another does, whatever the rules say."""

    where: str
    also: str
    why: str


class Settled(Record):
    """Two rules that contradict each other by the letter, and may stand side by side."""

    rules: Annotated[list[str], Field(min_length=2, max_length=2)]
    why: str


class Gap(Record):
    """A limit that can be passed in silence, all else harmless, and what it counts beside."""

    why: str
    beside: list[list[str]] = Field(default_factory=list)


class ReasonsFile(Record):
    """Everything the audit is told."""

    follows: list[Follows] = Field(default_factory=list)
    settled: list[Settled] = Field(default_factory=list)
    gaps: dict[str, Gap] = Field(default_factory=dict)


def read_own(texts: Texts, file: str, kind: type[_T]) -> tuple[_T, list[Fault]]:
    """Read one of these files: what of it is sound, and a fault for each entry that is not."""
    data = texts.data(file)
    if not isinstance(data, dict):
        return kind(), [Fault(file, 1, "The file is no list of headings.", "Begin it as the shipped one.", "loading")]
    left: dict[str, Any] = {key: _copied(value) for key, value in data.items()}
    faults: list[Fault] = []
    while True:
        try:
            return kind.model_validate(left), faults
        except ValidationError as error:
            for one in sorted(error.errors(), key=_latest_first):
                route: Route = tuple(part for part in one["loc"] if isinstance(part, str | int))
                shown = ".".join(str(part) for part in route if part != "[key]")
                what, hint = f"'{shown}': {one['msg']}.", f"What was read: {one['input']!r:.80}."
                faults.append(Fault(file, texts.line(file, route), what, hint, "loading"))
                _drop(left, route)


def _copied(value: Any) -> Any:
    return dict(value) if isinstance(value, dict) else list(value) if isinstance(value, list) else value


def _latest_first(error: Any) -> tuple[bool, int]:
    """Sort key: entries of a list from the last to the first, so that dropping one leaves the others in place."""
    place = error["loc"][1] if len(error["loc"]) > 1 else None
    return not isinstance(place, int), -place if isinstance(place, int) else 0


def _drop(left: dict[str, Any], route: Route) -> None:
    """Take out the entry that a route leads into; all under the heading when it is not in an entry."""
    heading, *rest = route
    section = left.get(str(heading))
    of_dict = bool(rest) and isinstance(section, dict) and rest[0] in section
    of_list = bool(rest) and isinstance(section, list) and isinstance(rest[0], int) and rest[0] < len(section)
    if section is not None and (of_dict or of_list):
        del section[rest[0]]
    else:
        left.pop(str(heading), None)
