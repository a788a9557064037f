"""Cuts by id; a cut of which nobody knows which of a few it is has the worst of each of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from advisor.knowledge.records import Cut

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

EITHER: Final = " or "
NOT_TOLD = "not known which"
# The words of a record, harmless first.
TISSUES: Final = ("muscle", "heart", "organ", "liver")
SOLD: Final = ("untouched", "pumped", "pierced")
PARASITES: Final = ("none", "toxoplasma", "trichinella")
TOUGHNESS: Final = ("very_tender", "tender", "intermediate", "tough")
COLLAGEN: Final = ("low", "medium", "high")
MIXED: Final = "mixed"


class Cuts(Mapping[str, Cut]):
    """All cuts of the rulebase by id; *one or other* gives the worst of those, and is not among those that are listed.

    Parameters
    ----------
    cuts : mapping
        The cuts that have a record of their own.
    """

    def __init__(self, cuts: Mapping[str, Cut]) -> None:
        self._cuts = dict(cuts)
        self._made: dict[str, Cut] = {}

    def __getitem__(self, name: str) -> Cut:
        """Record of a cut, or the worst of several."""
        if name in self._cuts:
            return self._cuts[name]
        if name not in self._made:
            could = name.split(EITHER)
            if len(could) < 2:  # noqa: PLR2004 - one name is no choice
                raise KeyError(name)
            self._made[name] = worst_of([self._cuts[one] for one in could])
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        """Ids of the cuts that have a record of their own."""
        return iter(self._cuts)

    def __len__(self) -> int:
        """How many cuts have a record of their own."""
        return len(self._cuts)


def worst_of(could: Sequence[Cut]) -> Cut:
    """Make the record of a cut that is one of several: each trait is the worst that one of them has.

    Sizes run from the least to the most of all, for the thick end is taken where heat must reach the middle and the
    thin one where a step waits for it. A trait that only helps is left out where they do not share it.
    """
    names = list(dict.fromkeys(cut.name for cut in could))
    grains = {cut.grain for cut in could}
    bones = {cut.bone for cut in could}
    holds = [cut.usual_hold for cut in could if cut.usual_hold is not None]
    known = {cut.known for cut in could}
    return Cut(
        name=EITHER.join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names),
        animal=_same((cut.animal for cut in could), "any"),
        bone=next(iter(bones)) if len(bones) == 1 else "sometimes",
        whole_bird=all(cut.whole_bird for cut in could),
        tissue=max((cut.tissue for cut in could), key=TISSUES.index),
        often_sold=max((cut.often_sold for cut in could), key=SOLD.index),
        parasite=max((cut.parasite for cut in could), key=PARASITES.index),
        single_muscle=all(cut.single_muscle for cut in could),
        toughness=max((cut.toughness for cut in could), key=TOUGHNESS.index),
        collagen=max((cut.collagen for cut in could), key=COLLAGEN.index),
        grain=next(iter(grains)) if len(grains) == 1 else MIXED,
        grain_words=_all_said(cut.grain_words for cut in could),
        thickness_mm=_span(cut.thickness_mm for cut in could),
        weight_g=_span(cut.weight_g for cut in could),
        slice_mm=min((cut.slice_mm for cut in could), key=max),
        suits=[way for way in could[0].suits if all(way in cut.suits for cut in could)],
        usual_hold=min(holds, key=lambda hold: max(hold.hours), default=None),
        ruins_it=_all_said(cut.ruins_it for cut in could),
        source=list(
            dict.fromkeys(s for cut in could for s in ([cut.source] if isinstance(cut.source, str) else cut.source))
        ),
        known=next(iter(known)) if len(known) == 1 else "from_memory",
    )


def _same(values: Iterable[str], otherwise: str) -> str:
    """The value that all share; ``otherwise`` where they do not."""
    found = set(values)
    return found.pop() if len(found) == 1 else otherwise


def _span(sizes: Iterable[list[float]]) -> list[float]:
    """From the least to the most of all."""
    every = [size for pair in sizes for size in pair]
    return [min(every), max(every)]


def _all_said(sentences: Iterable[str]) -> str:
    return " Or: ".join(dict.fromkeys(sentences))
