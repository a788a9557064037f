"""Facts worked out when first asked for: a change that is tried and fails early need not be worked out whole."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from advisor.case.facts import Fact


@dataclass(frozen=True, slots=True)
class Group:
    """Facts that come out of one function together.

    Attributes
    ----------
    by : str
        The function.
    names : frozenset of str
        Facts that it alone may give.
    work : callable
        Gives them, and maybe others; some may be left out.
    """

    by: str
    names: frozenset[str]
    work: Callable[[], Mapping[str, Fact]]


class FactsOnDemand(Mapping[str, Fact]):
    """Facts by name, of which groups are worked out once they are needed.

    Looking at all of them, as every whole check does, works out every group; the order is that of the groups. A name
    that no group lists may be in any: asked for it, all are worked out, so that nothing reads as not known because a
    list is short.

    Parameters
    ----------
    known : mapping
        Facts there from the start.
    absent : frozenset of str
        Names that are among them or nowhere.
    groups : tuple of Group
        The rest.
    """

    def __init__(self, known: Mapping[str, Fact], absent: frozenset[str], groups: tuple[Group, ...]) -> None:
        self._known = dict(known)
        self._absent = absent
        self._groups = groups
        self._listed = {name: group for group in groups for name in group.names}
        self._made: dict[str, Mapping[str, Fact]] = {}
        self._all: dict[str, Fact] | None = None

    def _of(self, group: Group) -> Mapping[str, Fact]:
        if group.by not in self._made:
            made = group.work()
            stray = [name for name in made if self._listed.get(name, group) is not group or name in self._absent]
            if stray:
                raise ValueError(f"{group.by} gave {', '.join(stray)}, which is listed elsewhere")
            self._made[group.by] = made
        return self._made[group.by]

    def _every(self) -> dict[str, Fact]:
        if self._all is None:
            every = dict(self._known)
            for group in self._groups:
                every |= self._of(group)
            self._all = every
        return self._all

    def __getitem__(self, name: str) -> Fact:
        """Fact of a name, worked out with its group when it is the first of it."""
        if self._all is not None:
            return self._all[name]
        if name in self._listed:
            return self._of(self._listed[name])[name]
        if name in self._known or name in self._absent:
            return self._known[name]
        return self._every()[name]

    def __iter__(self) -> Iterator[str]:
        """Yield every name."""
        return iter(self._every())

    def __len__(self) -> int:
        """How many facts there are."""
        return len(self._every())

    def __reduce__(self) -> tuple[type[dict[str, Fact]], tuple[dict[str, Fact]]]:
        """Travel between processes as plain facts."""
        return dict, (dict(self._every()),)
