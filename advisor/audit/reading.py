r"""How hard a text is to read: the Flesch-Kincaid grade, with syllables from ``syllapy``.

The grade of a text of :math:`w` words, :math:`s` sentences and :math:`y` syllables is

.. math:: 0.39\,w/s + 11.8\,y/w - 15.59

(Kincaid and others 1975, Naval Technical Training Command report 8-75; the formula is from memory and stands so in
every handbook of it). As in Flesch's own count, a colon or semicolon ends a sentence too. A figure that is filled
in counts as one word of one syllable: it is seen, not spelt.

The formula is made for whole pages. On a few words one long name decides it, so a sentence is graded by itself only
from a least number of words on; shorter ones count with the text that they stand in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Final

from advisor.knowledge.checks import PLACEHOLDER

if TYPE_CHECKING:
    from collections.abc import Mapping

PER_WORD, PER_SYLLABLE, LESS = 0.39, 11.8, 15.59
_ENDS: Final = re.compile(r"(?<=[.?!:;])[\"')\]]*\s+")
# The stop of "C. perfringens" ends no sentence.
_INITIAL: Final = re.compile(r"\b([A-Z])\.(?=\s+[a-z])")
_WORD: Final = re.compile(r"[A-Za-zÀ-ÿ]+(?:['’][A-Za-z]+)*|\d[\d.,/]*")


@dataclass(frozen=True)
class Ear:
    """How many syllables a reader hears in a word.

    Parameters
    ----------
    known : mapping
        Words that every cook knows, however long, to the reason; each counts as `known_as`.
    corrected : mapping
        Words that the counting library gets wrong, to their syllables.
    known_as : int
        Syllables of a known word.
    """

    known: Mapping[str, str] = field(default_factory=dict)
    corrected: Mapping[str, int] = field(default_factory=dict)
    known_as: int = 2

    def syllables(self, word: str) -> int:
        """Count the syllables of one word.

        Examples
        --------
        >>> Ear().syllables("tenderness"), Ear(known={"thermometer": "a tool"}).syllables("Thermometers")
        (3, 2)
        """
        key = word.lower().replace("’", "'")
        stem = key.removesuffix("'s")
        for form in (stem, stem.removesuffix("s")):
            if form in self.known:
                return self.known_as
        if stem in self.corrected:
            return self.corrected[stem]
        return _heard(stem)

    def grade(self, text: str) -> float:
        """Flesch-Kincaid grade of a text; 0 when it has no words.

        Examples
        --------
        >>> round(Ear().grade("The cat sat on the mat."), 2)
        -1.45
        """
        parts = sentences(text)
        words = [word for part in parts for word in _WORD.findall(part)]
        if not words:
            return 0.0
        heard = sum(self.syllables(word) if word[0].isalpha() else 1 for word in words)
        return PER_WORD * len(words) / len(parts) + PER_SYLLABLE * heard / len(words) - LESS


@cache
def _heard(stem: str) -> int:
    import syllapy  # it reads its list of words when it is imported

    return max(1, int(syllapy.count(stem)))


def sentences(text: str) -> list[str]:
    """Sentences of a text, its figures filled in as one word each.

    Examples
    --------
    >>> sentences("C. perfringens grows. Keep it at {cold_hold_max}: or colder.")
    ['C perfringens grows.', 'Keep it at X:', 'or colder.']
    """
    plain = _INITIAL.sub(r"\1", PLACEHOLDER.sub("X", text))
    return [part for part in _ENDS.split(plain.strip()) if _WORD.search(part)]


def count_words(sentence: str) -> int:
    """Words of a sentence."""
    return len(_WORD.findall(sentence))


def ear_from(known: Mapping[str, str], syllables: Mapping[str, int], known_as: int) -> Ear:
    """Make the ear that ``audit/style.yaml`` describes."""
    return Ear(
        known={word.lower(): why for word, why in known.items()},
        corrected={word.lower(): count for word, count in syllables.items()},
        known_as=known_as,
    )
