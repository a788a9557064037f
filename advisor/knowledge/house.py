"""The kitchen's own house file: it may choose its food code and tighten limits, never loosen one."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from advisor.errors import InputError
from advisor.knowledge.checks import folded
from advisor.knowledge.records import Cite, Source
from advisor.knowledge.strictest import STRICTEST, STRICTEST_WORDS, compared
from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain
from advisor.units import read_quantity, write_quantity

if TYPE_CHECKING:
    from advisor.knowledge.codes import Code
    from advisor.knowledge.records import Limit
    from advisor.knowledge.rulebase import Rulebase

HOUSE_FILE = "house.yaml"
HOUSE_SOURCE = "house"
TOP_KEYS = ("kitchen", "code", "limits")
ENTRY_KEYS = ("value", "quantity", "note")
# Wet food gets no hotter than boiling; what an oven or pan is set to may be.
BOILING_C, HOTTEST_C, COLDEST_C = 100.0, 350.0, -40.0


@dataclass(frozen=True, slots=True)
class HouseFigure:
    """One figure of the house file, in the fixed unit of its limit, and the line it stands on."""

    value: float
    as_written: str
    line: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class House:
    """A house file as read. ``digest`` names exactly its text; ``code`` is empty when it chooses none."""

    name: str
    digest: str
    kitchen: str = ""
    code: str = ""
    limits: Mapping[str, HouseFigure] = field(default_factory=dict)


def code_id(word: str, codes: Mapping[str, Code]) -> str | None:
    """Find a food code by its id, its name or another word for it; None when there is none.

    Examples
    --------
    >>> from advisor.knowledge.codes import Code
    >>> code_id("The UK", {"uk": Code(id="uk", name="United Kingdom", edition="e", source="s", also=["the UK"])})
    'uk'
    """
    key = folded(word)
    if key in map(folded, STRICTEST_WORDS):
        return STRICTEST
    names = {key: code.id for code in codes.values() for key in map(folded, (code.id, code.name, *code.also))}
    return names.get(key)


def chosen_code(word: str, codes: Mapping[str, Code], where: str) -> str:
    """Find a food code by a word.

    Raises
    ------
    InputError
        There is none of that name.
    """
    found = code_id(word, codes)
    if found is None:
        raise InputError(
            f"'{word}' is no food code that we know.", f"Use one of: {', '.join(sorted(codes))}; or {STRICTEST}.", where
        )
    return found


def read_house(text: str, name: str, rulebase: Rulebase) -> House:
    """Read a house file. Whether it loosens a limit is judged by `tightened`.

    Parameters
    ----------
    text : str
        The file's text, YAML.
    name : str
        What the file is called in messages.
    rulebase : Rulebase
        The rulebase that it tightens.

    Raises
    ------
    InputError
        With file and line: it cannot be read, or names a limit, code or unit that there is not.
    """
    try:
        data = read_plain(text)
    except YamlProblemError as problem:
        raise InputError(problem.what, problem.hint, _where(name, problem.line)) from problem
    # An empty file is a house without rules of its own.
    top = _mapping(data if data is not None else {}, (), text, name)
    for key in top:
        if key not in TOP_KEYS:
            hint = f"Use {', '.join(TOP_KEYS)}."
            raise InputError(f"'{key}' is not a word of a house file.", hint, _at(text, name, (key,)))
    code = str(top.get("code") or "")
    if code:
        code = chosen_code(code, rulebase.codes, _at(text, name, ("code",)))
    entries = _mapping(top.get("limits") or {}, ("limits",), text, name)
    limits = {key: _figure(key, entry, text, name, rulebase) for key, entry in entries.items()}
    digest = hashlib.sha256(text.encode()).hexdigest()[:16]
    return House(name, digest, str(top.get("kitchen") or ""), code, limits)


def under_house(rulebase: Rulebase, house: House) -> Rulebase:
    """Give the rulebase tightened by a house file, under the code that it chooses.

    Raises
    ------
    InputError
        The file loosens a limit, or changes one that cannot be changed.
    """
    ruled = rulebase.under(house.code) if house.code else rulebase
    limits = tightened(house, ruled.limits, ruled.sources)
    sources = {**ruled.sources, HOUSE_SOURCE: house_source(house)}
    return ruled.with_limits(limits, f"house {house.digest}", house=house, sources=sources)


def tightened(house: House, limits: Mapping[str, Limit], sources: Mapping[str, Source]) -> dict[str, Limit]:
    """Give the limits with those of the house in their place.

    Raises
    ------
    InputError
        A figure is looser than the limit, or the limit is not one that may be changed. The message has file and
        line, what was read, the limit and its source, and what to write instead.
    """
    moved = dict(limits)
    for name, figure in house.limits.items():
        limit, where = limits[name], _where(house.name, figure.line)
        if limit.stricter == "fixed":
            what = f"'{name}' ({limit.means}) is how the book reckons; a kitchen cannot change it."
            raise InputError(what, f"Leave out '{name}'.", where)
        stands = compared(figure.value, limit)
        if stands == "the same" and limit.stricter != "taste":
            continue
        if stands == "looser" and limit.stricter != "taste":
            raise _loosens(name, figure, limit, sources, where)
        cite = Cite(id=HOUSE_SOURCE, section=where)
        moved[name] = limit.model_copy(
            update={
                "value": figure.value,
                "printed": figure.as_written,
                "source": [cite, *limit.source],
                "basis": "house rule",
                "note": figure.note,
            }
        )
    return moved


def house_source(house: House) -> Source:
    """Give the house file as a source that findings may cite."""
    return Source(
        title=f"House rules{' of ' + house.kitchen if house.kitchen else ''}",
        edition=f"{house.name}, state {house.digest}",
        standing="house_rule",
        known="read",
    )


def _loosens(name: str, figure: HouseFigure, limit: Limit, sources: Mapping[str, Source], where: str) -> InputError:
    cite = limit.source[0] if limit.source else None
    by = ""
    if cite is not None:
        source = sources.get(cite.id)
        by = f", {source.title if source is not None else cite.id}{', ' + cite.section if cite.section else ''}"
    bound = write_quantity(limit.value, limit.quantity, "metric")
    side = "or less" if limit.stricter == "lower" else "or more"
    return InputError(
        f"'{name}: {figure.as_written}' is looser than the limit of {bound} ({limit.means}{by}). "
        "A house file may be stricter, never looser.",
        f"Write {bound} {side}, or leave out '{name}'.",
        where,
    )


def _figure(key: str, entry: Any, text: str, name: str, rulebase: Rulebase) -> HouseFigure:
    path: tuple[str | int, ...] = ("limits", key)
    where = _at(text, name, path)
    limit = rulebase.limits.get(key)
    if limit is None:
        near = get_close_matches(key, list(rulebase.limits), n=3)
        hint = f"Did you mean {' or '.join(repr(word) for word in near)}?" if near else "See rulebase/limits."
        raise InputError(f"There is no limit '{key}'.", hint, where)
    # A figure alone may stand without a heading of its own.
    fields = _mapping(entry, path, text, name) if isinstance(entry, Mapping) else {"value": entry}
    for word in fields:
        if word not in ENTRY_KEYS:
            hint = "A house limit has 'value' and 'note'; its meaning and unit are those of the rulebase."
            raise InputError(f"'{word}' is not a word of a house limit.", hint, _at(text, name, (*path, word)))
    if fields.get("quantity", limit.quantity) != limit.quantity:
        what = f"'{key}' is a {limit.quantity}, not a {fields['quantity']}."
        raise InputError(what, f"Write 'quantity: {limit.quantity}' or leave it out.", where)
    raw = fields.get("value")
    if raw is None or isinstance(raw, bool | list | Mapping):
        shown = write_quantity(limit.value, limit.quantity, "metric", both=False)
        raise InputError(f"'{key}' has no value.", f"Write for example 'value: {shown}'.", where)
    return HouseFigure(_number(key, raw, limit, where), str(raw), line_of(text, path), str(fields.get("note") or ""))


def _number(key: str, raw: str | float, limit: Limit, where: str) -> float:
    if limit.quantity == "count" and isinstance(raw, float | int) and raw >= 0:
        # Powers of ten and shares need not be whole.
        return float(raw)
    hot = HOTTEST_C if limit.value > BOILING_C else BOILING_C
    low, high = (COLDEST_C, hot) if limit.quantity == "temperature" else (None, None)
    spoken = key.replace("_", " ")
    return read_quantity(raw, limit.quantity, low=low, high=high, name=spoken, where=where).value


def _mapping(node: Any, path: tuple[str | int, ...], text: str, name: str) -> Mapping[str, Any]:
    if isinstance(node, Mapping):
        return {str(key): value for key, value in node.items()}
    shown = ".".join(str(part) for part in path) or "The file"
    hint = "Write one limit on each line, such as 'cold_hold_max: 3 C'."
    raise InputError(f"{shown} is not a list of 'name: value' lines.", hint, _at(text, name, path))


def _at(text: str, name: str, path: tuple[str | int, ...]) -> str:
    return _where(name, line_of(text, path))


def _where(name: str, line: int) -> str:
    return f"{name}, line {line}" if line else name
