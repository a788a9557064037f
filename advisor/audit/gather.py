"""Finds every fault that keeps a rulebase from loading, not only the first.

The loader stops at the first fault. Here the entry it names is blanked, line by line so that the lines of the rest
stay as they are, and the rest is loaded again, until it loads or what is left cannot do without the entry. A fault
that only says that a blanked entry is missing is left out: it would not be there but for the first.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from advisor.audit.faults import Fault, Route
from advisor.errors import RulebaseError
from advisor.knowledge import loader
from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain

if TYPE_CHECKING:
    from pathlib import Path

    from advisor.audit.faults import Texts
    from advisor.knowledge.rulebase import Rulebase

# More than this and the reader is better served by mending some first.
MOST_FAULTS = 200
# Files that a rulebase may have any number of, so that one of them can be left out.
FOLDERS = ("rules/", "limits/", "meats/", "codes/")
KIND = "loading"


def gather(texts: Texts, folder: Path | None) -> tuple[Rulebase | None, list[Fault]]:
    """Load a rulebase, collecting every fault on the way.

    Returns
    -------
    Rulebase or None
        The rulebase when all of it loads.
    list of Fault
        Empty then.
    """
    try:
        return loader.load_rulebase(folder), []
    except RulebaseError as first:
        faults = _Gathering(dict(texts.texts)).run()
        return None, faults or [_fault(first)]


def _fault(error: RulebaseError) -> Fault:
    return Fault(error.file, error.line, error.what, error.hint, KIND)


class _Gathering:
    """Texts that lose one faulty entry after the other."""

    def __init__(self, texts: dict[str, str]) -> None:
        self.texts = texts
        self.data: dict[str, Any] = {}
        self.faults: list[Fault] = []
        self.gone: set[str] = set()

    def run(self) -> list[Fault]:
        for name in list(self.texts):
            self._parse(name)
        while len(self.faults) < MOST_FAULTS:
            try:
                # The loader's inner door: the same checks, on texts that are not on disk.
                loader._build(loader.Files(self.texts, self.data))  # noqa: SLF001
                break
            except RulebaseError as error:
                fault = _fault(error)
                if fault in self.faults:
                    break
                if not self._follows(fault):
                    self.faults.append(fault)
                if not self._blank(error):
                    break
        return self.faults

    def _parse(self, name: str) -> None:
        if self.texts[name] == "\0":
            self.faults.append(Fault(name, 0, "The file cannot be read as text.", "Save it as UTF-8.", KIND))
            del self.texts[name]
            return
        try:
            self.data[name] = loader._text_keys(read_plain(self.texts[name]))  # noqa: SLF001 - as the loader reads it
        except YamlProblemError as problem:
            self.faults.append(Fault(name, problem.line, problem.what, problem.hint, KIND))
            self._drop(name)

    def _follows(self, fault: Fault) -> bool:
        """Tell whether a fault only misses what was blanked before."""
        return any(re.search(rf"(?<![\w.]){re.escape(name)}(?![\w.])", fault.what) for name in self.gone)

    def _drop(self, name: str) -> bool:
        """Leave a whole file out; False when there must be one."""
        data = self.data.get(name)
        head = data.get("code") if isinstance(data, dict) else None
        self.gone |= {*_names(data), *([str(head["id"])] if isinstance(head, dict) and "id" in head else [])}
        self.texts.pop(name, None)
        self.data.pop(name, None)
        return name.startswith(FOLDERS)

    def _blank(self, error: RulebaseError) -> bool:
        """Blank the entry at the error's line; False when nothing can be left out."""
        file = error.file
        if file not in self.texts:
            return False
        span = _span(self.texts[file], self.data[file], error.line) if error.line else None
        if span is None:
            return self._drop(file)
        begins, ends, name = span
        lines = self.texts[file].splitlines()
        lines[begins - 1 : ends] = [""] * (ends - begins + 1)
        try:
            data = loader._text_keys(read_plain("\n".join(lines) + "\n"))  # noqa: SLF001
        except YamlProblemError:
            return self._drop(file)
        if not isinstance(data, dict) or not all(data.values()):
            return self._drop(file)
        self.texts[file], self.data[file] = "\n".join(lines) + "\n", data
        self.gone.add(name)
        return True


def _entries(data: Any) -> list[tuple[Route, str]]:
    """Routes of all entries of the sections of a file, with their names."""
    found: list[tuple[Route, str]] = []
    for heading, section in data.items() if isinstance(data, dict) else ():
        if isinstance(section, dict):
            found += [((heading, key), key) for key in section]
        elif isinstance(section, list):
            found += [
                ((heading, index), str(item.get("id", "")) if isinstance(item, dict) else "")
                for index, item in enumerate(section)
            ]
    return found


def _names(data: Any) -> list[str]:
    return [name for _, name in _entries(data) if name]


def _span(text: str, data: Any, line: int) -> tuple[int, int, str] | None:
    """First and last line of the entry that holds a line, and its name; None when no entry does."""
    headings = {heading: line_of(text, (heading,)) for heading in (data if isinstance(data, dict) else ())}
    starts = sorted((line_of(text, route), name, route[0]) for route, name in _entries(data))
    last = len(text.splitlines())
    marks = sorted({*headings.values(), *(start for start, _, _ in starts), last + 1})
    for start, name, heading in reversed(starts):
        if start <= line and start > headings[str(heading)]:
            ends = next(mark for mark in marks if mark > start) - 1
            return (start, ends, name or "\0") if line <= ends else None
    return None
