"""Reads the food codes and checks that what they name is there: limits, tables, rules, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from advisor.errors import RulebaseError
from advisor.knowledge.codes import Code

if TYPE_CHECKING:
    from advisor.knowledge import records as r
    from advisor.knowledge.loader import Files
    from advisor.knowledge.rulebase import CheckedRule

# A code file holds these sections beside its tables; all but the first may be missing.
HEAD = "code"
SECTIONS = ("limits", "cooking", "cooling", "provisions")
Problems = Iterator[tuple[tuple[str | int, ...], str, str]]


def code_files(files: Files) -> list[str]:
    """Names of the files that hold a food code."""
    return sorted(name for name in files.texts if name.startswith("codes/"))


def read_code(files: Files, file: str) -> Code:
    """Read one code: its head, and the sections that belong to it.

    Raises
    ------
    RulebaseError
        A section is missing or unknown, or an entry is not of its kind.
    """
    code = files.section(file, HEAD, TypeAdapter(Code))
    data: Any = files.data[file]
    for key in data:
        if key not in (HEAD, "tables", *SECTIONS):
            hint = f"A code has: {', '.join((HEAD, *SECTIONS, 'tables'))}."
            raise files.error(file, (key,), f"'{key}' is no section of a code.", hint)
    found: dict[str, Any] = {}
    for key in SECTIONS:
        if key in data:
            annotation: Any = Code.model_fields[key].annotation
            found[key] = files.section(file, key, TypeAdapter(annotation))
    return code.model_copy(update=found)


def default_code(codes: Mapping[str, Code]) -> str:
    """Id of the code that holds where none was chosen.

    Raises
    ------
    RulebaseError
        None or several say so of themselves.
    """
    found = [code.id for code in codes.values() if code.default]
    if len(found) != 1:
        what = f"{len(found)} codes are marked 'default: true'."
        raise RulebaseError("codes", 0, what, "Mark the one that holds where none was chosen.")
    return found[0]


def check_codes(
    files: Files,
    codes: Mapping[str, Code],
    limits: Mapping[str, r.Limit],
    rules: Mapping[str, CheckedRule],
    tables: Mapping[str, r.Table],
    sources: Mapping[str, r.Source],
) -> None:
    """Check every code against the rest of the rulebase.

    Raises
    ------
    RulebaseError
        With file and line, for the first thing that does not fit.
    """
    by_id = {files.data[file][HEAD]["id"]: file for file in code_files(files)}
    for code in codes.values():
        held = {*limits, *rules, *tables, *(cooling.name for cooling in code.cooling)}
        for problems in (
            _head_problems(code, codes),
            _figure_problems(code, limits),
            _cooking_problems(code, tables),
            _cooling_problems(code),
            _provision_problems(code, held),
            _source_problems(code, sources),
        ):
            for path, what, hint in problems:
                raise files.error(by_id[code.id], path, f"Code '{code.id}': {what}", hint)


def _head_problems(code: Code, codes: Mapping[str, Code]) -> Problems:
    if code.based_on and code.based_on not in codes:
        yield (HEAD, "based_on"), f"there is no code '{code.based_on}'.", f"Use one of: {', '.join(codes)}."
    seen, next_id = {code.id}, code.based_on
    while next_id in codes:
        if next_id in seen:
            yield (HEAD, "based_on"), "it is based on itself.", "Break the circle of codes."
            return
        seen.add(next_id)
        next_id = codes[next_id].based_on


def _figure_problems(code: Code, limits: Mapping[str, r.Limit]) -> Problems:
    for name in code.limits:
        if name not in limits:
            yield ("limits", name), f"there is no limit '{name}'.", "Add it to rulebase/limits, with its own source."
        elif limits[name].stricter not in ("lower", "higher"):
            what = f"the limit '{name}' has no stricter side."
            yield ("limits", name), what, "Write 'stricter: lower' or 'stricter: higher' with the limit."


def _cooking_problems(code: Code, tables: Mapping[str, r.Table]) -> Problems:
    for food, names in code.cooking.items():
        missing = [name for name in names if name not in tables]
        if missing or not names:
            what = f"there is no table '{', '.join(missing)}' for {food} food."
            yield ("cooking", food), what, "Name tables of rulebase/codes."


def _cooling_problems(code: Code) -> Problems:
    for index, cooling in enumerate(code.cooling):
        falls = all(stage.from_c > stage.to_c and stage.minutes > 0 for stage in cooling.stages)
        joined = all(a.to_c >= b.from_c for a, b in zip(cooling.stages, cooling.stages[1:], strict=False))
        if not (cooling.stages and falls and joined):
            what = f"the stages of '{cooling.name}' do not fall one after the other."
            yield ("cooling", index), what, "Write each stage from warm to cold, with its minutes."
        elif (cooling.judged == "no") != bool(cooling.why):
            what = f"'{cooling.name}' is not judged and says not why, or is judged and says why not."
            yield ("cooling", index), what, "Give 'why:' with 'judged: no', and only there."
        elif cooling.judged == "stages" and not cooling.called:
            what = f"'{cooling.name}' has no name for a sentence."
            yield ("cooling", index), what, "Give 'called:', such as 'UK cook-chill advice'."


def _provision_problems(code: Code, held: set[str]) -> Problems:
    for index, provision in enumerate(code.provisions):
        if bool(provision.by) == bool(provision.out):
            what = f"{provision.section} is neither held by something nor outside the job, or both."
            yield ("provisions", index), what, "Give 'by:' with limits, rules or tables, or 'out:' with the reason."
        missing = [name for name in provision.by if name not in held]
        if missing:
            what = f"{provision.section} names '{', '.join(missing)}', which there is not."
            yield ("provisions", index), what, "Name limits, rules, tables, or coolings of this code."


def _source_problems(code: Code, sources: Mapping[str, r.Source]) -> Problems:
    cited: list[tuple[tuple[str | int, ...], str]] = [((HEAD, "source"), code.source)]
    cited += [(("limits", name), figure.source) for name, figure in code.limits.items() if figure.source]
    cited += [(("cooling", index), entry.source) for index, entry in enumerate(code.cooling) if entry.source]
    cited += [(("provisions", index), entry.source) for index, entry in enumerate(code.provisions) if entry.source]
    for path, name in cited:
        if name not in sources:
            yield path, f"it cites '{name}', which is not listed.", "Add it to sources.yaml."
