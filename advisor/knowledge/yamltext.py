"""YAML 1.2 text to plain data, with the line of every entry on demand."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError, YAMLError

# A plan or rule file larger than this is not something a person wrote.
MOST_BYTES = 1_000_000
DEEPEST = 40


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
        The text is too large, not YAML, holds a key twice, tags, or is nested too deep.
    """
    return _load(text, round_trip=False)


def _load(text: str, *, round_trip: bool) -> Any:
    if len(text) > MOST_BYTES:
        raise YamlProblemError(
            f"The file has {len(text):,} characters.",
            f"A file may have {MOST_BYTES:,} at most; write only the plan.",
        )
    bad = next((c for c in text if ord(c) < 32 and c not in "\n\r\t"), None)  # noqa: PLR2004 - control characters
    if bad is not None:
        line = text[: text.index(bad)].count("\n") + 1
        raise YamlProblemError("The file holds bytes that are not text.", "Give a plain text file.", line)
    if "&" in text and any(part.strip().startswith("*") for part in text.split(": ")[1:]):
        # Aliases can blow a small file up without end; no plan needs them.
        raise YamlProblemError("The file uses YAML aliases (*name).", "Write the values out.")
    try:
        loaded = YAML(typ="rt" if round_trip else "safe", pure=True).load(io.StringIO(text))
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = (error.problem or "it is not YAML").strip().splitlines()[0]
        raise YamlProblemError(
            f"The file cannot be read as YAML: {problem}.",
            "Write 'name: value' on each line, with two spaces of indent below a heading.",
            mark.line + 1 if mark is not None else 0,
        ) from error
    except (YAMLError, ValueError, RecursionError, AttributeError, TypeError, OverflowError) as error:
        raise YamlProblemError(
            "The file cannot be read as YAML.", "Write 'name: value' on each line, without tags or odd signs."
        ) from error
    if _depth(loaded) > DEEPEST:
        raise YamlProblemError("The file is nested too deep.", "A plan has three levels at most.")
    return loaded


def _depth(data: Any) -> int:
    level, frontier = 0, [data]
    while frontier and level <= DEEPEST:
        level += 1
        frontier = [
            child
            for node in frontier
            if isinstance(node, dict | list)
            for child in (node.values() if isinstance(node, dict) else node)
        ]
    return level


@lru_cache(maxsize=2)
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
