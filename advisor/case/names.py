"""From a cook's word to an entry of the rulebase; a near miss is offered, never taken."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.knowledge.checks import folded
from advisor.knowledge.cuts import EITHER

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
    meanings = {a: _meanings(key, a, rulebase) for a in animals}
    could = tuple(dict.fromkeys(cut for cuts, _ in meanings.values() for cut in cuts))
    if len(could) == 1:
        return CutMatch(could[0])
    if could:
        asks = [ask for cuts, ask in meanings.values() if cuts]
        return CutMatch(None, could_be=could, ask=asks[0] if len(asks) == 1 else "Which animal is it from?")
    if EITHER in key and (either := _either(key, animals, rulebase)):
        return CutMatch(either)
    names = {
        name.partition(":")[2]: i
        for name, i in rulebase.synonyms.items()
        if name.partition(":")[0] in {f"cut/{a}" for a in animals}
    }
    near = list(dict.fromkeys(names[n] for n in nearest(key, list(names), most=MOST_OFFERED * 2)))[:MOST_OFFERED]
    return CutMatch(None, near=tuple(near))


def _either(key: str, animals: list[str], rulebase: Rulebase) -> str:
    """The id for "this or that", where both are cuts of one animal; empty where they are not."""
    words = [word.strip() for word in key.split(EITHER)]
    found = []
    for animal in animals:
        meant = [_meanings(word, animal, rulebase)[0] for word in words]
        if all(meant):
            found.append(EITHER.join(dict.fromkeys(cut for cuts in meant for cut in cuts)))
    return found[0] if len(found) == 1 else ""


def sure_name(cut: str, rulebase: Rulebase) -> str:
    """Give a name of a cut that reads back as this cut: its id, unless that word has come to mean several."""
    if EITHER in cut:
        return EITHER.join(sure_name(one, rulebase) for one in cut.split(EITHER))
    record = rulebase.cuts.get(cut)
    if record is None:
        return cut
    animal = "" if record.animal == "any" else record.animal
    said = (cut, record.name, *record.also)
    return next((word for word in said if find_cut(word, animal, rulebase).found == cut), cut)


def _meanings(key: str, animal: str, rulebase: Rulebase) -> tuple[tuple[str, ...], str]:
    """Cuts of one animal that a word may mean, and what to ask; the exact word goes before its variants."""
    for form in _variants(key, animal):
        could: dict[str, str] = {}
        for word in rulebase.ambiguous:
            if folded(word.word) == form:
                could |= {cut: word.ask for cut in word.could_be if rulebase.cuts[cut].animal == animal}
        named = rulebase.synonyms.get(f"cut/{animal}:{form}")
        cuts = tuple(dict.fromkeys([*could, *([named] if named is not None else [])]))
        if cuts:
            return cuts, next(iter(could.values()), "Which of these is it?")
    return (), ""


def _variants(key: str, animal: str) -> tuple[str, ...]:
    """The word itself, without its accents, and with the animal's name taken off or 'steak' left out; nearest first."""
    bare = dict.fromkeys(form.removeprefix(animal.replace("_", " ") + " ") for form in (key, *_plain(key)))
    whole = dict.fromkeys((key, *_plain(key), *bare))
    steaks = (other for form in whole for other in (form.removesuffix(" steak"), f"{form} steak"))
    return tuple(form for form in dict.fromkeys((*whole, *steaks)) if form)


def _plain(key: str) -> tuple[str, ...]:
    """The word without accents, its apostrophes left out or read as a space, as names stand in the rulebase."""
    text = unicodedata.normalize("NFKD", key.replace("\u0153", "oe").replace("\u2019", "'"))
    text = unicodedata.normalize("NFC", "".join(c for c in text if not unicodedata.combining(c)))
    return (folded(text.replace("'", "")), folded(text.replace("'", " ")))


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
