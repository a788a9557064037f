"""Reads the files of ``rulebase/`` into one checked `Rulebase`; every error names file and line."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from advisor.errors import RulebaseError
from advisor.knowledge import check_codes, check_sources, checks
from advisor.knowledge import records as r
from advisor.knowledge.conditions import SUBJECTS
from advisor.knowledge.cuts import Cuts
from advisor.knowledge.quizbook import read_quizbook
from advisor.knowledge.rulebase import KILL_FLOOR, Rulebase
from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain

if TYPE_CHECKING:
    from pathlib import Path

    from advisor.knowledge.codes import Code

_T = TypeVar("_T")
RULEBASE_VERSION = "1"


class Files:
    """The raw files: name to text and to plain data; turns a path inside one into an error with its line."""

    def __init__(self, texts: Mapping[str, str], data: Mapping[str, Any]) -> None:
        self.texts = texts
        self.data = data

    def error(self, file: str, path: tuple[str | int, ...], what: str, hint: str) -> RulebaseError:
        """Make the error for the entry at ``path`` of ``file``."""
        return RulebaseError(file, line_of(self.texts[file], path), what, hint)

    def section(self, file: str, key: str, kind: TypeAdapter[_T]) -> _T:
        """Validate one top-level section of a file.

        Raises
        ------
        RulebaseError
            The section is missing, or an entry is not of its kind.
        """
        data = self.data.get(file)
        if not isinstance(data, Mapping) or key not in data:
            raise RulebaseError(file, 0, f"The section '{key}:' is missing.", f"Begin the file with '{key}:'.")
        try:
            return kind.validate_python(data[key])
        except ValidationError as error:
            first = error.errors()[0]
            place = tuple(part for part in first["loc"] if isinstance(part, str | int))
            shown = ".".join(str(part) for part in place)
            raise self.error(
                file, (key, *place), f"'{shown}': {first['msg']}.", f"What was read: {first['input']!r:.80}."
            ) from error


def load_rulebase(folder: Path | None = None) -> Rulebase:
    """Read and check the rulebase; the shipped one when no folder is given.

    Raises
    ------
    RulebaseError
        A file cannot be read, an entry is wrong, or two entries do not fit together.
    """
    return _load_shipped() if folder is None else _build(_read_files(folder))


@lru_cache(maxsize=1)
def _load_shipped() -> Rulebase:
    with resources.as_file(resources.files("rulebase")) as folder:
        return _build(_read_files(folder))


def _read_files(folder: Path) -> Files:
    paths = sorted(folder.rglob("*.yaml"))
    if not paths:
        raise RulebaseError(str(folder), 0, "There is no rulebase here.", "Name a folder with *.yaml files.")
    texts: dict[str, str] = {}
    for path in paths:
        name = path.relative_to(folder).as_posix()
        try:
            texts[name] = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise RulebaseError(name, 0, "The file cannot be read as text.", "Save it as UTF-8.") from error
    return Files(texts, _parsed(texts))


def _digest(texts: Mapping[str, str]) -> str:
    state = hashlib.sha256()
    for name in sorted(texts):
        state.update(name.encode() + b"\0" + texts[name].encode() + b"\0")
    return state.hexdigest()


def _parsed(texts: Mapping[str, str]) -> dict[str, Any]:
    """Parse all files; keep the plain data beside the user's caches, for YAML in pure Python is slow."""
    from platformdirs import user_cache_path

    cache = user_cache_path("prep-advisor") / f"rulebase-{_digest(texts)[:24]}.json"
    try:
        return dict(json.loads(cache.read_text(encoding="utf-8")))
    except (OSError, ValueError):
        pass
    data: dict[str, Any] = {}
    for name, text in texts.items():
        try:
            data[name] = _text_keys(read_plain(text))
        except YamlProblemError as problem:
            raise RulebaseError(name, problem.line, problem.what, problem.hint) from problem
    try:
        cache.parent.mkdir(parents=True, exist_ok=True)
        half = cache.with_suffix(".part")
        half.write_text(json.dumps(data), encoding="utf-8")
        half.replace(cache)
    except (OSError, TypeError, ValueError):
        pass  # a kitchen tablet with a read-only disk still gets its answer, only slower
    return data


def _text_keys(node: Any) -> Any:
    if isinstance(node, Mapping):
        return {str(key): _text_keys(value) for key, value in node.items()}
    return [_text_keys(item) for item in node] if isinstance(node, list) else node


# Folders without which a rulebase would load, and call every plan good.
NEEDED = ("rules", "limits", "meats", "codes")
# Figures of the models: file and section.
FIGURES = (("tenderisers.yaml", "enzyme_model"), ("surroundings.yaml", "meat"), ("texture.yaml", "texture"))


def _build(files: Files) -> Rulebase:
    _must_have_folders(files)
    sources = files.section("sources.yaml", "sources", TypeAdapter(dict[str, r.Source]))
    vocabulary: dict[str, dict[str, r.VocabularyFact]] = {
        subject: files.section("vocabulary.yaml", subject, TypeAdapter(dict[str, r.VocabularyFact]))
        for subject in SUBJECTS
    }
    limits = _limits(files)
    rules = checks.checked_rules(files, vocabulary, limits, sources)
    organisms = files.section("organisms.yaml", "organisms", TypeAdapter(dict[str, r.Organism]))
    cuts, ambiguous = _cuts(files)
    tables, codes = _codes(files)
    check_codes.check_codes(files, codes, limits, rules, tables, sources)
    tenderisers = files.section("tenderisers.yaml", "tenderisers", TypeAdapter(dict[str, r.Tenderiser]))
    materials = files.section("materials.yaml", "materials", TypeAdapter(dict[str, r.Material]))
    media = files.section("surroundings.yaml", "media", TypeAdapter(dict[str, r.Medium]))
    figures = {key: files.section(file, key, TypeAdapter(dict[str, r.Value])) for file, key in FIGURES}
    questions = files.section("questions.yaml", "questions", TypeAdapter(list[r.Question]))
    for index, question in enumerate(questions):
        checks.check_question(files, index, question, vocabulary, limits)
    checks.check_measured(files, tenderisers)
    check_sources.check_sources(files, sources)
    return Rulebase(
        version=RULEBASE_VERSION,
        digest=_digest(files.texts)[:16],
        sources=sources,
        vocabulary=vocabulary,
        limits=limits,
        rules=rules,
        questions={question.id: question for question in questions},
        organisms=organisms,
        no_kill_credit_below_c=limits[KILL_FLOOR].value,
        tenderisers=tenderisers,
        enzyme_model=figures["enzyme_model"],
        materials=materials,
        media=media,
        meat=figures["meat"],
        texture=figures["texture"],
        cuts=Cuts(cuts),
        ambiguous=tuple(ambiguous),
        tables=tables,
        codes=codes,
        code=check_codes.default_code(codes),
        trade_words=files.section("vocabulary.yaml", "trade_words", TypeAdapter(dict[str, dict[str, float]])),
        local_lines=files.section("cautions.yaml", "local_lines", TypeAdapter(dict[str, str])),
        synonyms=checks.synonyms(files, cuts, tenderisers, materials, media, ambiguous),
        quiz=read_quizbook(files, rules, limits, vocabulary, sources),
    )


def _must_have_folders(files: Files) -> None:
    for folder in NEEDED:
        if not any(name.startswith(f"{folder}/") for name in files.texts):
            raise RulebaseError(folder, 0, f"There are no {folder} here.", f"The rulebase needs {folder}/*.yaml.")


def _limits(files: Files) -> dict[str, r.Limit]:
    limits: dict[str, r.Limit] = {}
    for file in sorted(name for name in files.texts if name.startswith("limits/")):
        for name, limit in files.section(file, "limits", TypeAdapter(dict[str, r.Limit])).items():
            if name in limits:
                raise files.error(
                    file, ("limits", name), f"The limit '{name}' stands twice.", "Give each its own name."
                )
            limits[name] = limit
    if KILL_FLOOR not in limits:
        raise RulebaseError(
            "limits", 0, f"The limit '{KILL_FLOOR}' is missing.", "The kill model cannot do without it."
        )
    return limits


def _cuts(files: Files) -> tuple[dict[str, r.Cut], list[r.AmbiguousWord]]:
    cuts: dict[str, r.Cut] = {}
    ambiguous: list[r.AmbiguousWord] = []
    for file in sorted(name for name in files.texts if name.startswith("meats/")):
        for name, cut in files.section(file, "cuts", TypeAdapter(dict[str, r.Cut])).items():
            if name in cuts:
                raise files.error(file, ("cuts", name), f"The cut '{name}' stands twice.", "Give each its own id.")
            cuts[name] = cut
        if "ambiguous" in files.data[file]:
            ambiguous += files.section(file, "ambiguous", TypeAdapter(list[r.AmbiguousWord]))
    return cuts, ambiguous


def _codes(files: Files) -> tuple[dict[str, r.Table], dict[str, Code]]:
    tables: dict[str, r.Table] = {}
    codes: dict[str, Code] = {}
    for file in check_codes.code_files(files):
        code = check_codes.read_code(files, file)
        if code.id in codes:
            raise files.error(file, ("code", "id"), f"The code '{code.id}' stands twice.", "Give each its own id.")
        codes[code.id] = code
        # A code that only differs from another in a few figures has no tables of its own.
        own = files.section(file, "tables", TypeAdapter(dict[str, r.Table])) if "tables" in files.data[file] else {}
        for name, table in own.items():
            if name in tables:
                raise files.error(file, ("tables", name), f"The table '{name}' stands twice.", "Name each once.")
            tables[name] = table
    return tables, codes
