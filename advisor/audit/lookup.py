"""Looks up rules, limits, cuts and softeners by id, by subject or by words, in any order and spelling.

A whole name comes first: the id of a rule or limit, a subject (the first part of a rule's id, or its file), a cut
or something that goes on the meat by any of its names. Then the words: every one of them must stand in an entry.
A word stands there as it is, as the beginning of a longer one (or the other way round: *cooling*, *cool*), by a
synonym of the vocabulary or of a place, or misspelt. Entries are ranked by where the words stand and how exactly.
Where no entry has all the words, those that have most of them are given, and it is said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal

from advisor.audit.plain import plain, sentence, texts_of
from advisor.case.names import find_cut, find_ingredient
from advisor.knowledge.checks import folded
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from advisor.knowledge.rulebase import CheckedRule, Rulebase

Kind = Literal["rule", "limit", "cut", "softener", "material"]
KINDS: Final[tuple[Kind, ...]] = ("rule", "limit", "cut", "softener", "material")
# Where a word stands: in the id, in what is said, anywhere else, in the title of a source, which many rules share.
WEIGHTS: Final = (3.0, 2.0, 1.0, 0.5)
# How it stands there.
EXACT, BEGINS, MEANT, MISSPELT = 1.0, 0.9, 0.8, 0.6
# Words this short are never taken for the beginning of another, or for a slip.
SHORTEST: Final = 4
# Rank of what was named in full; the more below nought, the earlier.
NAMED: Final = -1000.0
# How like a misspelt word is to the one it is taken for (0 to 100).
LIKE: Final = 82
NEAREST: Final = 3
NO_WORDS: Final = frozenset(
    {"a", "an", "and", "any", "are", "at", "be", "by", "can", "do", "for", "from", "how", "i", "if", "in", "is", "it"}
    | {"its", "me", "my", "of", "off", "on", "or", "so", "some", "than", "that", "the", "this", "to", "up", "was"}
    | {"what", "when", "which", "with", "you"}
)
_WORD: Final = re.compile(r"[^\W_]+")


@dataclass(frozen=True, order=True)
class Hit:
    """One entry that was found.

    Parameters
    ----------
    rank : float
        Less the sum of how well each word stands in it: the best comes first.
    kind, name : str
        What it is, and its id.
    """

    rank: float
    kind: Kind = field(compare=False)
    name: str


@dataclass(frozen=True)
class Found:
    """What was found for some words.

    Parameters
    ----------
    hits : tuple of Hit
        Best first.
    nearest : tuple of str
        Names most like the words, when there is no hit.
    asks : str
        What to ask when the words are a name of several cuts.
    partly : bool
        No entry has all the words; these have most of them.
    """

    hits: tuple[Hit, ...]
    nearest: tuple[str, ...] = ()
    asks: str = ""
    partly: bool = False

    def of(self, kind: Kind) -> tuple[str, ...]:
        """Names of the hits of one kind."""
        return tuple(hit.name for hit in self.hits if hit.kind == kind)


def look_up(words: str, rulebase: Rulebase) -> Found:
    """Find what some words name, or speak of.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> book = load_rulebase()
    >>> look_up("hold.warm_raw", book).of("rule")
    ('hold.warm_raw',)
    >>> look_up("koji", book).of("softener")[:1]
    ('koji',)
    """
    whole = folded(words)
    name = words.strip().lower()
    if name in rulebase.rules or name in rulebase.limits:
        return Found((Hit(NAMED, "rule" if name in rulebase.rules else "limit", name),))
    joined = "_".join(whole.split())
    things = [Hit(NAMED, "rule", rule) for rule in subjects(rulebase).get(joined, ())]
    if joined in rulebase.limits:
        things.append(Hit(NAMED, "limit", joined))
    cut = find_cut(words, "", rulebase)
    things += [Hit(NAMED, "cut", name) for name in ((cut.found,) if cut.found else cut.could_be)]
    what, _ = find_ingredient(words, rulebase)
    if what is not None:
        things.append(Hit(NAMED, "softener" if what in rulebase.tenderisers else "material", what))
    index = _Index(rulebase)
    wanted = [word for word in _WORD.findall(whole) if word not in NO_WORDS] or _WORD.findall(whole)
    by_words, partly = index.search(wanted, whole)
    known = {(hit.kind, hit.name) for hit in things}
    hits = (*things, *(hit for hit in by_words if (hit.kind, hit.name) not in known))
    if not hits:
        return Found((), nearest=index.nearest(whole))
    return Found(hits, asks=cut.ask if len(cut.could_be) > 1 else "", partly=partly and not things)


def subjects(rulebase: Rulebase) -> dict[str, tuple[str, ...]]:
    """Every subject, by the first part of the ids and by the names of the files, with its rules."""
    found: dict[str, list[str]] = {}
    for rule_id, checked in rulebase.rules.items():
        stem = checked.file.rpartition("/")[2].removesuffix(".yaml")
        for name in dict.fromkeys((rule_id.partition(".")[0], stem)):
            found.setdefault(name, []).append(rule_id)
    return {name: tuple(rules) for name, rules in found.items()}


class _Index:
    """The words of every entry, by where they stand."""

    def __init__(self, rulebase: Rulebase) -> None:
        self.rulebase = rulebase

    @cached_property
    def entries(self) -> Mapping[tuple[Kind, str], tuple[frozenset[str], ...]]:
        found: dict[tuple[Kind, str], tuple[frozenset[str], ...]] = {}
        for name, checked in self.rulebase.rules.items():
            stem = checked.file.rpartition("/")[2].removesuffix(".yaml")
            says, *others = texts_of(checked.rule)
            conclusion = checked.rule.concludes
            others += [sentence(condition, self.rulebase) for condition in conditions_of(checked.alternatives)]
            others += [checked.rule.contested, conclusion.technique, conclusion.fact]
            others += [cite.section for cite in checked.rule.source]
            titles = [self.rulebase.sources[cite.id].title for cite in checked.rule.source]
            # Figures and names of facts are what a text speaks of, too.
            found["rule", name] = tuple(
                _bag(plain(text, self.rulebase) for text in texts) for texts in ((name, stem), (says,), others, titles)
            )
            *before, rest, titled = found["rule", name]
            found["rule", name] = (*before, rest | _choices_of(checked), titled)
        for name, limit in self.rulebase.limits.items():
            found["limit", name] = tuple(_bag(texts) for texts in ((name,), (limit.means,), (limit.for_,)))
        for name, cut in self.rulebase.cuts.items():
            found["cut", name] = tuple(
                _bag(texts) for texts in ((name, cut.name), cut.also, (cut.animal, *cut.muscles))
            )
        for name, softener in self.rulebase.tenderisers.items():
            bags = ((name, softener.name), softener.also, (softener.enzyme, softener.kind))
            found["softener", name] = tuple(_bag(texts) for texts in bags)
        for name, thing in self.rulebase.materials.items():
            found["material", name] = tuple(_bag(texts) for texts in ((name, thing.name), thing.also, (thing.kind,)))
        return found

    @cached_property
    def vocabulary(self) -> frozenset[str]:
        """Every word that stands anywhere."""
        return frozenset(word for bags in self.entries.values() for bag in bags for word in bag)

    @cached_property
    def meanings(self) -> Mapping[str, frozenset[str]]:
        """Other words for a choice or a place, folded, to the choices that they mean, as rules name them."""
        found: dict[str, set[str]] = {}
        for facts in self.rulebase.vocabulary.values():
            for fact, entry in facts.items():
                for choice, others in entry.also.items():
                    for other in others:
                        found.setdefault(folded(other), set()).add(_choice(fact, choice))
        for place, medium in self.rulebase.media.items():
            for other in medium.also:
                found.setdefault(folded(other), set()).add(_choice("place", place))
        return {word: frozenset(meant) for word, meant in found.items()}

    def search(self, wanted: list[str], whole: str) -> tuple[list[Hit], bool]:
        """Entries in which every word stands, or for which the whole is another word; else those with most words."""
        forms = [self._forms(word) for word in wanted]
        phrase = dict.fromkeys(self.meanings.get(whole, ()), MEANT)
        scored: list[tuple[int, Hit]] = []
        for (kind, name), bags in self.entries.items():
            scores = self._scores(forms, bags)
            stand = sum(score > 0 for score in scores)
            by_phrase = sum(self._scores([phrase], bags))
            if stand == len(scores) or by_phrase:
                stand = len(scores)
            if stand:
                scored.append((stand, Hit(-sum(scores) - by_phrase, kind, name)))
        most = max((stand for stand, _ in scored), default=0)
        enough = most == len(wanted) or most * 2 >= len(wanted)
        return sorted(hit for stand, hit in scored if stand == most and enough), most < len(wanted)

    def _scores(self, forms: list[dict[str, float]], bags: tuple[frozenset[str], ...]) -> list[float]:
        """How well each word stands in an entry."""
        return [
            max(
                (weight * form[word] for weight, bag in zip(WEIGHTS, bags, strict=False) for word in form.keys() & bag),
                default=0.0,
            )
            for form in forms
        ]

    def _forms(self, word: str) -> dict[str, float]:
        """Words of the entries that a word may be, with how surely. A slip is looked for only when nothing else is."""
        from rapidfuzz import fuzz, process

        forms = dict.fromkeys(self.meanings.get(word, ()), MEANT)
        for known in self.vocabulary:
            short, long = sorted((known, word), key=len)
            if len(short) >= SHORTEST and long.startswith(short):
                forms[known] = BEGINS
        if word in self.vocabulary:
            forms[word] = EXACT
        if not forms and len(word) >= SHORTEST:
            spelt = process.extract(word, [*self.vocabulary, *self.meanings], scorer=fuzz.ratio, score_cutoff=LIKE)
            for known, _, _ in spelt:
                forms |= dict.fromkeys((known, *self.meanings.get(known, ())), MISSPELT)
        return forms

    def nearest(self, whole: str) -> tuple[str, ...]:
        """Names most like some words, the best first."""
        from rapidfuzz import fuzz, process

        names = [*self.rulebase.rules, *self.rulebase.limits]
        names += [cut.name for cut in self.rulebase.cuts.values()]
        names += [softener.name for softener in self.rulebase.tenderisers.values()]
        names += [thing.name for thing in self.rulebase.materials.values()]
        best = process.extract(whole, list(dict.fromkeys(names)), scorer=fuzz.ratio, processor=folded, limit=NEAREST)
        return tuple(name for name, _, _ in best)


def _bag(texts: Iterable[str]) -> frozenset[str]:
    return frozenset(word for text in texts for word in _WORD.findall(folded(text)))


def _choice(fact: str, choice: str) -> str:
    return f"{fact}={choice}"


def _choices_of(checked: CheckedRule) -> frozenset[str]:
    """Choices that a rule's conditions ask for."""
    return frozenset(
        _choice(c.fact, choice)
        for c in conditions_of(checked.alternatives)
        if c.comparison in ("is", "is one of")
        for choice in c.choices
    )
