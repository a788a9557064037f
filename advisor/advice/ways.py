"""Ways of working for one piece: what the rules propose, put together into whole plans to be worked out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from advisor.infer.proof import Technique

# The main heat: each plan has one. Their names as they are told.
HEATS = {
    "low_bath": "a low bath",
    "braise": "a braise",
    "pressure": "a pressure cooker",
    "pan": "a hot pan or grill, to a probe",
    "roast": "an oven, to a probe",
    "quick_sear": "sliced thin and seared fast",
}
# What is done to the meat before; each is tried beside one heat, in the end beside the best.
TREATMENTS = {
    "pound": "beaten flat first",
    "needle": "with blades first",
    "brine": "in a weighed brine",
    "inject": "with injected brine",
    "alkali": "with a little baking soda",
}
# What a cook may call a technique: an action, a place or a kind of thing of the plan that it comes down to. Where a
# word may be two, the first that is worked out is told of.
CALLED = {
    "bath": ("low_bath",),
    "bath_circulated": ("low_bath",),
    "bath_still": ("low_bath",),
    "braise": ("braise",),
    "pressure_cooker": ("pressure",),
    "oven": ("roast",),
    "oven_still": ("roast",),
    "oven_fan": ("roast",),
    "pan": ("pan", "quick_sear"),
    "grill": ("pan", "quick_sear"),
    "pound": ("pound",),
    "needle": ("needle",),
    "score": ("score",),
    "brine": ("brine",),
    "inject": ("inject",),
    "alkali": ("alkali",),
    "plant_enzyme": ("enzyme",),
    "fungal_enzyme": ("enzyme",),
}

# The technique that a tool of the kitchen is for, by the fact that says whether it is there.
FOR_TOOL = {"bath": "low_bath", "pressure": "pressure", "blade_tool": "needle", "injector": "inject"}


@dataclass(frozen=True, slots=True)
class Way:
    """One whole way of working.

    Attributes
    ----------
    name : str
        In plain words.
    techniques : frozenset of str
        What the layout reads.
    aside : bool
        It is shown beside the others and never chosen: it does not give what was wished.
    """

    name: str
    techniques: frozenset[str]
    aside: bool = False

    @property
    def heat(self) -> str:
        """The main heat."""
        return next((heat for heat in HEATS if heat in self.techniques), "roast")

    @property
    def treatment(self) -> str:
        """What is done to the meat before that sets this way apart; empty for a heat alone."""
        return next((name for name in TREATMENTS if name in self.techniques), "")

    def beside(self, other: Way) -> Way:
        """The treatment of this way beside the heat of another."""
        name = self.treatment
        return Way(f"{other.name}, {TREATMENTS[name]}", other.techniques | {name}) if name else other

    def without(self, technique: str) -> Way:
        """The same way with one thing left out."""
        return Way(self.name, self.techniques - {technique}, self.aside)


def ways(techniques: Iterable[Technique], want: str, *, softened: bool) -> tuple[Way, ...]:
    """Whole ways of working, those first that the rules name first.

    Parameters
    ----------
    techniques : iterable of Technique
        What the rules chose and ruled out, in their order.
    want : str
        How it should eat.
    softened : bool
        There is something to soften it with.
    """
    told = tuple(techniques)
    out = {t.name for t in told if t.fit == "rule out"}
    chosen = dict.fromkeys(t.name for t in told if t.fit == "choose" and t.name not in out)
    heats = [name for name in chosen if name in HEATS] or ["roast"]
    base = frozenset(name for name in chosen if name not in HEATS and name not in TREATMENTS)
    if not softened:
        base -= {"enzyme"}
    found = [Way(HEATS[heat], base | {heat}, aside=_only_offered(heat, want)) for heat in heats]
    first = found[0]
    treated = (Way("", frozenset({name})).beside(first) for name in TREATMENTS if name in chosen)
    return (*found, *treated)


def _only_offered(heat: str, want: str) -> bool:
    """Whether a heat does not give what was wished: thin slices and a braise are never pink."""
    return (heat == "quick_sear" and want != "thin_quick") or (heat == "braise" and want == "pink")
