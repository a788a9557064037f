"""A person's text made plain: one kind of space, dash, quote and digit; then cut into tokens."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Final, Literal

MAX_LENGTH: Final = 200  # characters; no quantity or moment a person writes comes near it
_GROUP: Final = 3  # digits between two marks of thousands
_SHOWN: Final = 40  # characters of a person's text repeated in a message

_PLAIN: Final = str.maketrans(
    {
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("″“”„‟＂", '"'),
        **dict.fromkeys("′’‘‛`", "'"),
        **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
        **dict.fromkeys("⁄∕", "/"),
        "٫": ".",
        "٬": ",",
    },
)
_FRACTION: Final = re.compile(r"<fraction> ((?:00[0-9A-F]{2} )+)2044((?: 00[0-9A-F]{2})+)")


class TextRefusedError(ValueError):
    """The text holds something no quantity holds; `args` are what is wrong and what to write instead."""

    def __init__(self, what: str, hint: str) -> None:
        super().__init__(what, hint)
        self.what = what
        self.hint = hint


def shown(text: str) -> str:
    """Quote a person's text in a message, shortened and without anything that could upset a terminal.

    Parameters
    ----------
    text : str
        Whatever was typed.

    Returns
    -------
    str
        In double quotes.

    Examples
    --------
    >>> shown("4 m")
    '"4 m"'
    """
    short = text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
    return '"' + "".join("?" if unicodedata.category(c)[0] == "C" else c for c in short) + '"'


def _plain_character(character: str) -> str:
    """Turn a digit of any script, or a one-character fraction, into ASCII."""
    category = unicodedata.category(character)
    if category[0] == "C":
        raise TextRefusedError("There is a hidden character in it.", "Type it again by hand.")
    if category == "Nd":
        return str(unicodedata.decimal(character))
    if category != "No":
        return character
    # Only fractions: a superscript or circled digit would otherwise turn "5²" into 52.
    match = _FRACTION.fullmatch(unicodedata.decomposition(character))
    if match is None:
        raise TextRefusedError(f"{shown(character)} is not a digit we can read.", "Write plain digits.")
    above, below = ("".join(chr(int(code, 16)) for code in group.split()) for group in match.groups())
    return f" {above}/{below} "


def plain(text: str) -> str:
    """Bring a person's text to small letters, ASCII digits and single spaces.

    Parameters
    ----------
    text : str
        Whatever was typed.

    Returns
    -------
    str
        Empty when there was nothing but space.

    Raises
    ------
    TextRefusedError
        When the text is too long or holds hidden characters or odd digits.

    Examples
    --------
    >>> plain("  1¼ IN ")
    '1 1/4 in'
    """
    if len(text) > MAX_LENGTH:
        raise TextRefusedError(
            f"It is too long: {len(text)} characters.",
            f"Use at most {MAX_LENGTH} characters.",
        )
    stripped = text.strip(" \t\r\n").translate(_PLAIN)
    ascii_digits = "".join(_plain_character(character) for character in stripped)
    folded = unicodedata.normalize("NFKC", ascii_digits).casefold().translate(_PLAIN)
    return " ".join(folded.split())


TokenKind = Literal["clock", "fraction", "number", "word", "mark"]


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a quantity.

    Parameters
    ----------
    kind : {"clock", "fraction", "number", "word", "mark"}
        What it is.
    text : str
        As it stands in the plain text.
    value : float
        The number; 0 for a word or mark.
    thousands : bool
        True when one comma before three digits was taken to part thousands.
    tight : bool
        True when nothing stands between it and the token before.
    """

    kind: TokenKind
    text: str
    value: float = 0.0
    thousands: bool = False
    tight: bool = False

    @property
    def whole(self) -> bool:
        """True when it is a number without a broken part."""
        return self.kind == "number" and self.value.is_integer()


_TOKEN: Final = re.compile(
    r"""
    (?P<clock>[0-9]+:[0-9]{2}(?::[0-9]{2})?(?!:|[.,]?[0-9]))
    |(?P<fraction>[0-9]+\s?/\s?[0-9]+)
    |(?P<number>[0-9]+(?:[.,][0-9]+)*|(?:(?<=\s)\.|(?<=-)\.|^[.,])[0-9]+)
    |(?P<word>[^\W\d_]+(?:\s?/\s?[^\W\d_]+)*)
    |(?P<mark>''|["'%°&+~-])
    |(?P<stray>\s+|,(?!\d)|(?<=[^\W\d_]),|\.(?!\d))
    |(?P<other>.)
    """,
    re.VERBOSE,
)


def _in_threes(head: str, groups: list[str]) -> bool:
    """Tell whether digits are parted the way thousands are."""
    return 1 <= len(head) <= _GROUP and all(len(group) == _GROUP for group in groups)


def _number(text: str) -> tuple[float, bool]:
    """Read digits with commas and points; also tell whether a lone comma was taken to part thousands."""
    puzzle = TextRefusedError(f"{shown(text)} is not a number we can read.", "Write it like 1.5 or 1500.")
    commas, points = text.count(","), text.count(".")
    if points > 1 and commas > 1:
        raise puzzle
    decimal = max(",.", key=text.rfind) if commas and points else "." if points else ","
    grouping = "," if decimal == "." else "."
    lone_thousands = False
    if not points and commas:
        head, *groups = text.split(",")
        in_threes = _in_threes(head, groups) and head[0] != "0"
        if commas > 1 and not in_threes:
            raise puzzle
        if in_threes:
            decimal, grouping, lone_thousands = ".", ",", commas == 1
    whole, _, broken = text.partition(decimal)
    if decimal in broken or grouping in broken:
        raise puzzle
    head, *groups = whole.split(grouping)
    if groups and not _in_threes(head, groups):
        raise puzzle
    return float(f"{head or '0'}{''.join(groups)}.{broken or '0'}"), lone_thousands


def _ratio(text: str) -> float:
    above, below = (int(part) for part in text.split("/"))
    if below == 0:
        raise TextRefusedError(f"{shown(text)} divides by nothing.", "Write a fraction such as 1/2.")
    return above / below


def tokens(text: str) -> list[Token]:
    """Cut plain text into numbers, words and marks; stray commas and full stops fall away.

    Parameters
    ----------
    text : str
        As `plain` gives it.

    Returns
    -------
    list of Token
        In the order written.

    Raises
    ------
    TextRefusedError
        When a character or number cannot be read.

    Examples
    --------
    >>> [token.text for token in tokens("2lb 8 oz.")]
    ['2', 'lb', '8', 'oz']
    """
    found: list[Token] = []
    end_of_last = -1
    for match in _TOKEN.finditer(text):
        name, piece = str(match.lastgroup), match.group()
        tight = match.start() == end_of_last
        if name == "stray":
            continue
        end_of_last = match.end()
        if name == "number":
            value, thousands = _number(piece)
            found.append(Token("number", piece, value, thousands, tight))
        elif name == "fraction":
            found.append(Token("fraction", piece, _ratio(piece), tight=tight))
        elif name == "clock":
            found.append(Token("clock", piece, tight=tight))
        elif name == "word":
            found.append(Token("word", piece.replace(" ", ""), tight=tight))
        elif name == "mark":
            found.append(Token("mark", piece, tight=tight))
        else:
            raise TextRefusedError(f"We cannot read {shown(piece)} in it.", "Write a number and a unit.")
    return found
