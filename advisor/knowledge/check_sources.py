"""Every figure and every entry cites a listed source, and claims no more than what it cites was read for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from advisor.knowledge.loader import Files
    from advisor.knowledge.records import Basis, EntryKnown, Source

Path = tuple[str | int, ...]
# Sections whose entries, and the parts of them, say their source and how they are known: section, what an entry is.
SECTIONS = {
    "organisms.yaml": {"organisms": "organism"},
    "tenderisers.yaml": {"tenderisers": "tenderiser", "enzyme_model": "figure"},
    "materials.yaml": {"materials": "material"},
    "surroundings.yaml": {"media": "medium", "meat": "figure"},
    "texture.yaml": {"texture": "figure"},
}
FOLDERS = {"limits/": {"limits": "limit"}, "meats/": {"cuts": "cut"}, "codes/": {"tables": "table"}}
# What one of the sources must be known as for an entry to claim that it was read.
CLAIMS = {
    "read": frozenset({"read", "read_in_part"}),
    "read_in_part": frozenset({"read", "read_in_part", "read_through_adoption"}),
    "read_through_adoption": frozenset({"read_through_adoption"}),
}
NO_DOCUMENT = frozenset({"common_practice", "estimate"})
CITE = "Cite a source, or common_practice."


@dataclass(frozen=True, slots=True)
class Cited:
    """An entry or a part of one: where it stands, what it cites, how it is known; a limit has a basis instead."""

    file: str
    path: Path
    owner: str
    names: tuple[str, ...]
    known: str


def basis_of(names: Sequence[str], known: EntryKnown, sources: Mapping[str, Source]) -> Basis:
    """Tell what an entry rests on, in the words that rules and limits use.

    Parameters
    ----------
    names : sequence of str
        Ids of the sources it cites.
    known : str
        How it is known.
    sources : mapping of str to Source
        All sources.
    """
    if known == "estimate":
        return "estimate"
    if known != "from_memory":
        return "published"
    return "common practice" if all(sources[n].standing in NO_DOCUMENT for n in names) else "from memory"


def check_sources(files: Files, sources: Mapping[str, Source]) -> None:
    """Check that every entry cites something, that it is listed, and that it was read as the entry says.

    Raises
    ------
    RulebaseError
        With file and line, for the first entry of which that is not so.
    """
    for entry in _all(files):
        path = (*entry.path, "source")
        if not entry.names:
            raise files.error(entry.file, path, f"The {entry.owner} cites nothing.", CITE)
        for name in entry.names:
            if name not in sources:
                what = f"The {entry.owner} cites '{name}', which is not listed."
                raise files.error(entry.file, path, what, "Add it to sources.yaml.")
        read = {sources[name].known for name in entry.names}
        if entry.known in CLAIMS and not read & CLAIMS[entry.known]:
            claim = entry.known.replace("_", " ")
            what = f"The {entry.owner} is said to be '{claim}', but nothing it cites is."
            hint = "Cite what was read, or write known: from_memory or estimate."
            raise files.error(entry.file, (*entry.path, "known"), what, hint)


def _all(files: Files) -> Iterator[Cited]:
    for file, data in files.data.items():
        folder = next((kinds for start, kinds in FOLDERS.items() if file.startswith(start)), {})
        for section, kind in {**SECTIONS.get(file, {}), **folder}.items():
            for name, entry in (data.get(section) or {}).items():
                yield from _within(file, (section, name), f"{kind} {name}", entry)


def _within(file: str, path: Path, owner: str, node: Any) -> Iterator[Cited]:
    """Every part of an entry that says a source, the entry itself first."""
    if isinstance(node, Mapping):
        if "source" in node:
            yield Cited(file, path, owner, _names(node["source"]), str(node.get("known", "")))
        parts: Iterator[tuple[str | int, Any]] = iter(node.items())
    elif isinstance(node, Sequence) and not isinstance(node, str):
        parts = iter(enumerate(node))
    else:
        return
    for key, part in parts:
        if key != "source":
            yield from _within(file, (*path, key), owner, part)


def _names(source: Any) -> tuple[str, ...]:
    listed = source if isinstance(source, list) else [source]
    names = (one["id"] if isinstance(one, Mapping) else one for one in listed)
    return tuple(str(name) for name in names if name)
