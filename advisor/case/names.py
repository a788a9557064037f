"""From a cook's word to an entry of the rulebase; a near miss is offered, never taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.knowledge.checks import folded

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import Rulebase

# Below this likeness (0 to 100) a name is not worth offering.
NEAR = 60
MOST_OFFERED = 3


@dataclass(frozen=True, slots=True)
class CutMatch:
    """What a word for a cut may mean: one cut, or several to choose from, or only near ones."""

    found: str | None
    could_be: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    ask: str = ""


def nearest(word: str, names: list[str], most: int = MOST_OFFERED) -> list[str]:
    """Names most like ``word``, best first; for offering, never for taking.

    Examples
    --------
    >>> nearest("pineaple", ["pineapple", "ginger", "apple"])[0]
    'pineapple'
    """
    from rapidfuzz import fuzz, process

    found = process.extract(folded(word), names, scorer=fuzz.WRatio, limit=most, score_cutoff=NEAR)
    return [name for name, _, _ in found]


def find_cut(word: str, animal: str, rulebase: Rulebase) -> CutMatch:
    """Look a cut up by any of its names.

    Parameters
    ----------
    word : str
        The cook's word.
    animal : str
        The animal, or empty when it was not said.
    """
    key = folded(word)
    if key in ("unknown cut", "not known", "a cut not known by name", "dont know", "don't know"):
        return CutMatch("unknown_cut")
    animals = [animal] if animal else sorted({cut.animal for cut in rulebase.cuts.values()} - {"any"})
    variants = set().union(*(_variants(key, a) for a in animals))
    for ambiguous in rulebase.ambiguous:
        could = tuple(c for c in ambiguous.could_be if rulebase.cuts[c].animal in animals)
        if folded(ambiguous.word) in variants and len(could) > 1:
            return CutMatch(None, could_be=could, ask=ambiguous.ask)
    hits = {
        rulebase.synonyms[f"cut/{a}:{k}"]
        for a in animals
        for k in _variants(key, a)
        if f"cut/{a}:{k}" in rulebase.synonyms
    }
    if len(hits) == 1:
        return CutMatch(hits.pop())
    if hits:
        return CutMatch(None, could_be=tuple(sorted(hits)), ask="Which animal is it from?")
    names = {
        name.partition(":")[2]: i
        for name, i in rulebase.synonyms.items()
        if name.partition(":")[0] in {f"cut/{a}" for a in animals}
    }
    near = list(dict.fromkeys(names[n] for n in nearest(key, list(names), most=MOST_OFFERED * 2)))[:MOST_OFFERED]
    return CutMatch(None, near=tuple(near))


def _variants(key: str, animal: str) -> set[str]:
    """The word itself, and the word with the animal's name taken off or 'steak' left out."""
    forms = {key}
    for form in list(forms):
        forms |= {form.removeprefix(animal + " "), form.removesuffix(" steak"), form + " steak"}
    return {form for form in forms if form}


def find_ingredient(word: str, rulebase: Rulebase) -> tuple[str | None, list[str]]:
    """Look up something that goes on the meat: its id, or None and the nearest names."""
    key = folded(word)
    found = rulebase.synonyms.get(f"with:{key}")
    if found is None and key.endswith("s"):
        found = rulebase.synonyms.get(f"with:{key[:-1]}")
    if found is not None:
        return found, []
    names = [name.removeprefix("with:") for name in rulebase.synonyms if name.startswith("with:")]
    return None, nearest(key, names)


def find_medium(word: str, rulebase: Rulebase) -> tuple[str | None, list[str]]:
    """Look up a place: its id, or None and the nearest names."""
    key = folded(word).removeprefix("the ").removeprefix("in the ")
    found = rulebase.synonyms.get(f"medium:{key}")
    if found is not None:
        return found, []
    names = [name.removeprefix("medium:") for name in rulebase.synonyms if name.startswith("medium:")]
    return None, nearest(key, names)
