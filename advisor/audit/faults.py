"""A fault of the rulebase, and the files that it is looked up in."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from importlib import resources
from typing import TYPE_CHECKING, Any, Literal

from advisor.errors import RulebaseError
from advisor.knowledge import loader
from advisor.knowledge.yamltext import line_of, read_plain

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

Severity = Literal["error", "warning"]
Route = tuple[str | int, ...]
CAUTION_PARTS = ("hazard", "consequence", "instead")


@dataclass(frozen=True, order=True)
class Fault:
    """One thing that is wrong, where it stands, and what to write instead.

    Parameters
    ----------
    file : str
        File, relative to the rulebase.
    line : int
        Line from 1; 0 when the whole file is meant.
    what, hint : str
        What is wrong; what to write instead.
    kind : str
        Which audit found it, in a word.
    severity : {"error", "warning"}
        A warning does not fail the check.
    """

    file: str
    line: int
    what: str
    hint: str
    kind: str
    severity: Severity = "error"

    @property
    def place(self) -> str:
        """File and line in words."""
        return f"{self.file}, line {self.line}" if self.line else self.file


@dataclass
class Texts:
    """The files of one rulebase as written, for lines and for what the loader does not keep.

    Parameters
    ----------
    folder : Path or None
        Where they are; the shipped ones when None.
    """

    folder: Path | None = None
    _data: dict[str, Any] = field(default_factory=dict, repr=False)

    @cached_property
    def texts(self) -> Mapping[str, str]:
        """Name of each file, relative to the rulebase, to its text."""
        if self.folder is not None:
            return _texts(self.folder)
        with resources.as_file(resources.files("rulebase")) as folder:
            return _texts(folder)

    def data(self, file: str) -> Any:
        """Plain data of one file; empty when there is no such file.

        Raises
        ------
        YamlProblemError
            It cannot be read as YAML.
        """
        if file not in self._data:
            self._data[file] = read_plain(self.texts[file]) if file in self.texts else {}
        return self._data[file]

    def load(self) -> None:
        """Take the data of all files from the loader's cache, once they are known to be sound."""
        self._data.update(loader._parsed(self.texts))  # noqa: SLF001 - the cache is the loader's

    def line(self, file: str, route: Route) -> int:
        """Line of the entry at ``route``; of its nearest parent when it is not there."""
        return line_of(self.texts[file], route) if file in self.texts else 0


def _texts(folder: Path) -> dict[str, str]:
    paths = sorted(folder.rglob("*.yaml"))
    if not paths:
        raise RulebaseError(str(folder), 0, "There is no rulebase here.", "Name a folder with *.yaml files.")
    texts: dict[str, str] = {}
    for path in paths:
        name = path.relative_to(folder).as_posix()
        try:
            texts[name] = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            texts[name] = "\0"  # no YAML can hold this, so the fault is found when it is read
    return texts
