"""A cook's text cut into words, numbers and marks, each with its place in the text."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from typing import Final

from advisor.errors import InputError

MOST_CHARACTERS: Final = 8000
_TOKEN: Final = re.compile(
    r"""
    (?P<clock>(?<![\d:.])\d{1,2}:\d{2}(?::\d{2})?(?![\d:]))
    |(?P<date>(?<!\d)\d{4}-\d{2}-\d{2}(?!\d))
    |(?P<fraction>\d+\s?[/⁄]\s?\d+)
    |(?P<number>\d+(?:[.,]\d+)*|(?<![\w.])\.\d+|[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]|[^\W\d_a-zA-Z]*[²³¹]+)
    |(?P<half_day>(?<=[\d\s])[ap]\.\s?m\.?(?!\w))
    |(?P<word>[^\W\d_]+(?:['’ʼ][^\W\d_]+)*)
    |(?P<stop>\n|\r|…|[.!?;])
    |(?P<mark>''|\S)
    """,
    re.VERBOSE,
)
# French articles that lean on the next word: "d'agneau" is two words.
_LEANING: Final = re.compile(r"(?i)^(d|l|qu)['’ʼ](?=\w{2})")


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of the text.

    Parameters
    ----------
    kind : str
        ``word``, ``number``, ``fraction``, ``clock``, ``date``, ``half_day``, ``stop`` or ``mark``; later the name of
        a terminal of the grammar.
    text : str
        As written.
    start, end : int
        Its place in the text.
    key : str
        The word folded for look-up.
    value : object
        What a terminal carries: an id, a unit, a number.
    """

    kind: str
    text: str
    start: int
    end: int
    key: str = ""
    value: object = None

    def as_kind(self, kind: str, value: object = None) -> Token:
        """Return the token as a terminal of the grammar."""
        return replace(self, kind=kind, value=value)


def fold(word: str) -> str:
    """Fold one word: small letters, no accents, no apostrophes.

    Examples
    --------
    >>> fold("Entraña"), fold("don’t")
    ('entrana', 'dont')
    """
    letters = unicodedata.normalize("NFKD", word.casefold())
    return "".join(c for c in letters if not unicodedata.combining(c) and c not in "'’ʼ")


def tokens(text: str) -> list[Token]:
    """Cut a text into tokens; nothing but space and control characters is lost.

    Raises
    ------
    InputError
        There is nothing in it, or far too much.

    Examples
    --------
    >>> [token.text for token in tokens("flank, 2lb")]
    ['flank', ',', '2', 'lb']
    """
    if len(text) > MOST_CHARACTERS:
        raise InputError(
            f"That is more than {MOST_CHARACTERS} characters of words.",
            f"Use at most {MOST_CHARACTERS}: one dish at a time.",
        )
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        kind, piece = str(match.lastgroup), match.group()
        if kind == "mark" and unicodedata.category(piece[0])[0] in "CZ":
            continue
        if kind == "word" and (leaning := _LEANING.match(piece)):
            cut = match.start() + leaning.end()
            found.append(Token("word", leaning.group(), match.start(), cut, fold(leaning.group())))
            found.append(Token("word", text[cut : match.end()], cut, match.end(), fold(text[cut : match.end()])))
            continue
        found.append(Token(kind, piece, match.start(), match.end(), fold(piece)))
    if all(token.kind == "stop" for token in found):
        raise InputError(
            "There is nothing to read.",
            "Write what it is, how heavy, how thick, and what is done with it, such as "
            "'flank, 2 lb, 1 in thick, fridge overnight with soy sauce, grill 3 min a side'.",
        )
    return found
