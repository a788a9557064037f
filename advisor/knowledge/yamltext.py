"""YAML 1.2 text to plain data, with the line of every entry on demand."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import AliasEvent, CollectionEndEvent, CollectionStartEvent

# A plan or rule file larger than this is not something a person wrote.
MOST_BYTES = 1_000_000
DEEPEST = 40
FIRST_PRINTABLE = 32


@dataclass(frozen=True)
class YamlProblemError(Exception):
    """The text is not YAML we can use: what is wrong, what to write, and the line (0 if unknown)."""

    what: str
    hint: str
    line: int = 0


def read_plain(text: str) -> Any:
    """Read one YAML document into dicts, lists, text and numbers.

    Raises
    ------
    YamlProblemError
        The text is too large, not YAML, holds a key twice, an alias, a tag, or is nested too deep.
    """
    return _load(text, round_trip=False)


def _load(text: str, *, round_trip: bool) -> Any:
    if len(text) > MOST_BYTES:
        what = f"The file has {len(text):,} characters."
        raise YamlProblemError(what, f"A file may have {MOST_BYTES:,} at most; write only the plan.")
    bad = next((c for c in text if ord(c) < FIRST_PRINTABLE and c not in "\n\r\t"), None)
    if bad is not None:
        line = text[: text.index(bad)].count("\n") + 1
        raise YamlProblemError("The file holds bytes that are not text.", "Give a plain text file.", line)
    try:
        _look_through(text)
        return YAML(typ="rt" if round_trip else "safe", pure=True).load(io.StringIO(text))
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = (error.problem or "it is not YAML").strip().splitlines()[0]
        raise YamlProblemError(
            f"The file cannot be read as YAML: {problem}.",
            "Write 'name: value' on each line, with two spaces of indent below a heading.",
            mark.line + 1 if mark is not None else 0,
        ) from error
    except (YAMLError, ValueError, RecursionError, AttributeError, TypeError, OverflowError) as error:
        hint = "Write 'name: value' on each line, without tags or odd signs."
        raise YamlProblemError("The file cannot be read as YAML.", hint) from error


def _look_through(text: str) -> None:
    """Refuse aliases, which can blow a small file up without end, and deep nesting, before anything is built."""
    depth = 0
    for event in YAML(typ="safe", pure=True).parse(io.StringIO(text)):
        if isinstance(event, AliasEvent):
            line = event.start_mark.line + 1
            raise YamlProblemError("The file uses a YAML alias (*name).", "Write the value out.", line)
        depth += isinstance(event, CollectionStartEvent) - isinstance(event, CollectionEndEvent)
        if depth > DEEPEST:
            line = event.start_mark.line + 1
            raise YamlProblemError("The file is nested too deep.", "A plan has three levels at most.", line)


@lru_cache(maxsize=4)
def _with_lines(text: str) -> Any:
    """The document with its lines, kept for the next question about the same text."""
    return _load(text, round_trip=True)


def line_of(text: str, path: tuple[str | int, ...]) -> int:
    r"""Line, counted from 1, of the entry at ``path``; of its nearest parent when it is not there; 0 if none.

    Examples
    --------
    >>> line_of("a: 1\nb:\n  - x\n  - y\n", ("b", 1))
    4
    """
    try:
        node = _with_lines(text)
    except YamlProblemError as problem:
        return problem.line
    line = 1
    for key in path:
        if isinstance(node, CommentedMap) and key in node:
            line = node.lc.key(key)[0] + 1
        elif isinstance(node, CommentedSeq) and isinstance(key, int) and key < len(node):
            line = node.lc.item(key)[0] + 1
        else:
            break
        node = node[key]
    return line
