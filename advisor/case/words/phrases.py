"""Terminals to phrases with figures: the longest that the grammar knows at each place, read into fixed units."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any, Final

from advisor.errors import InputError
from advisor.units import read_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lark import Lark, Tree

    from advisor.case.words.tokens import Token
    from advisor.units import Kind, System

MOST_IN_PHRASE: Final = 16  # terminals
_COMMENT: Final = re.compile(r"//.*")
_TERMINAL: Final = re.compile(r"\b[A-Z][A-Z_]*\b")
KINDS: Final[dict[str, Kind]] = {
    "temp": "temperature",
    "time": "time",
    "length": "length",
    "mass": "mass",
    "volume": "volume",
    "share": "percent",
    "temps": "temperature",
    "times": "time",
    "lengths": "length",
    "masses": "mass",
    "volumes": "volume",
    "shares": "percent",
}
# What tells that the number before is a size.
SIZED: Final = frozenset({"THICK", "WIDE", "DEEP", "LONG_SIDE"})
_BARE: Final = frozenset({"degrees", "degrees_range", "bare"})
_WIDEST: Final = 4.0  # of a range whose second end has no unit
_HALVES: Final = {"half": "1/2", "third": "1/3", "quarter": "1/4", "eighth": "1/8", "sixteenth": "1/16"}


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of the grammar.

    Parameters
    ----------
    name : str
        ``quantity``, ``dose``, ``sided``, ``span``, ``bare``, ``moment`` or ``vague``.
    kind : Kind or None
        What a quantity measures.
    low, high : float or None
        Its ends in the fixed unit, or as bare numbers; equal when it is one figure, None when it cannot be read.
    bound : str
        ``least`` or ``most`` where it was said so.
    hedged : bool
        Whether it said "about".
    system : str
        The cook's way of measuring.
    words : tuple of Token
        What it is made of.
    problem : str
        Why it cannot be read.
    """

    name: str
    kind: Kind | None
    low: float | None
    high: float | None
    words: tuple[Token, ...]
    bound: str = ""
    hedged: bool = False
    system: System = "metric"
    problem: str = ""

    @property
    def start(self) -> int:
        """Where it begins in the text."""
        return min(word.start for word in self.words)

    @property
    def end(self) -> int:
        """Where it ends in the text."""
        return max(word.end for word in self.words)

    @property
    def ranged(self) -> bool:
        """Whether it has two ends."""
        return self.low is not None and self.low != self.high


@cache
def _parser() -> Lark:
    """The grammar, compiled once; its terminals come from `classify`, not from text."""
    from lark import Lark
    from lark.lexer import Lexer

    class Given(Lexer):
        """Hands on terminals that are there already."""

        def __init__(self, conf: Any) -> None:
            self.conf = conf

        def lex(self, data: Any) -> Iterator[Any]:  # type: ignore[override]
            yield from data

    text = resources.files(__package__).joinpath("grammar.lark").read_text(encoding="utf-8")
    terminals = sorted(set(_TERMINAL.findall(_COMMENT.sub("", text))))
    return Lark(f"{text}\n%declare {' '.join(terminals)}\n", parser="lalr", lexer=Given, maybe_placeholders=False)


def _a_size(found: Sequence[Token], first: int, place: int) -> bool:
    """Whether a bare number behind a weight is that of a size: "3 lb 4 thick" is no 3 lb 4 oz."""
    if place == first or place + 1 >= len(found) or not found[place].kind.endswith("_B"):
        return False
    return found[place - 1].kind in ("UMASS", "UTIME", "UVOL") and found[place + 1].kind in SIZED


def phrase_at(found: Sequence[Token], index: int) -> Phrase | None:
    """Give the longest phrase with a figure that begins at this terminal; None when there is none."""
    from lark import Token as Terminal
    from lark.exceptions import UnexpectedInput

    going = _parser().parse_interactive([])
    ends: list[Any] = []
    for count in range(min(MOST_IN_PHRASE, len(found) - index)):
        token = found[index + count]
        if _a_size(found, index, index + count):
            break
        terminal = Terminal(token.kind, token.text)
        terminal.start_pos = index + count
        try:
            going.feed_token(terminal)
        except (UnexpectedInput, KeyError):
            break
        ends.append(going.copy())  # type: ignore[no-untyped-call]
    best: Phrase | None = None
    while ends:
        try:
            tree = ends[-1].feed_eof()
        except UnexpectedInput:
            ends.pop()
            continue
        read = _read(tree, tuple(found[index : index + len(ends)]), found)
        # "5 g and 30 g" is no one weight: a shorter phrase that can be read is meant.
        if not read.problem:
            return read
        best = best or read
        ends.pop()
    return best


def _read(tree: Tree[Any], words: tuple[Token, ...], found: Sequence[Token]) -> Phrase:
    body = tree.children[0]
    name = str(body.data)
    hedges = [w.kind for w in words if w.kind in ("HEDGE", "LEAST", "MOST")]
    bound = "least" if "LEAST" in hedges else "most" if "MOST" in hedges else ""
    hedged = "HEDGE" in hedges
    inner = next((c for c in body.children if hasattr(c, "data") and str(c.data) in {*KINDS, *_BARE}), None)
    if name == "span":
        word = next(w for w in words if w.kind == "SPAN")
        minutes = float(str(word.value))
        return Phrase(name, "time", minutes, minutes, words, bound, hedged)
    if name in ("moment", "vague"):
        return Phrase(name, None, None, None, words, bound, hedged)
    if name == "bare" or inner is None or str(inner.data) in _BARE:
        return _bare(body if inner is None else inner, words, bound, found, hedged=hedged)
    kind = KINDS[str(inner.data)]
    unit = next(t for t in reversed(_terminals(inner)) if t.type.startswith("U"))
    ends = {str(c.data): c for c in inner.children if hasattr(c, "data")}
    if ends:
        low_node = next(node for key, node in ends.items() if key.startswith("low"))
        high_node = next((node for key, node in ends.items() if key.startswith("high")), None)
        last = [t for t in inner.children if getattr(t, "type", "") == "NUM_B"]
        texts = [_text(_terminals(part), unit, found) for part in (low_node, high_node or _Numbers(last))]
        if high_node is None and kind != "temperature":
            return _loose_range(_measured(name, kind, texts, words, bound, hedged=hedged))
    else:
        texts = [_text(_terminals(inner), unit, found)]
    return _measured(name, kind, texts, words, bound, hedged=hedged)


class _Numbers:
    def __init__(self, children: list[Any]) -> None:
        self.children = children


def _terminals(node: Any) -> list[Any]:
    found: list[Any] = []
    for child in node.children:
        found += _terminals(child) if hasattr(child, "data") else [child]
    return found


def _text(terminals: Sequence[Any], unit: Any, found: Sequence[Token]) -> str:
    """Write terminals so that the reader of quantities knows them; the unit is added where it stands elsewhere."""
    parts = [piece for t in terminals if (piece := _piece(found[t.start_pos]))]
    if len(terminals) == 1 and terminals[0].type.startswith("U"):
        parts.insert(0, "1")  # "inch thick"
    if not any(t.type.startswith("U") for t in terminals):
        parts.append(_piece(found[unit.start_pos]))
    return " ".join(parts)


def _piece(token: Token) -> str:
    if token.kind in ("HEDGE", "LEAST", "MOST", "DEG", "FILL", "BETWEEN"):
        return ""
    if token.kind == "A":
        return "a"
    if token.kind.startswith(("NUM", "HALF_", "FRAC")) or token.kind.startswith("U"):
        return str(token.value)
    return token.key


def _measured(name: str, kind: Kind, texts: list[str], words: tuple[Token, ...], bound: str, *, hedged: bool) -> Phrase:
    try:
        readings = [read_quantity(text, kind) for text in texts]
    except InputError as error:
        return Phrase(name, kind, None, None, words, bound, hedged, problem=str(error))
    values = [reading.value for reading in readings]
    return Phrase(name, kind, values[0], values[-1], words, bound, hedged, readings[-1].system)


def _loose_range(phrase: Phrase) -> Phrase:
    """A range whose second end has no unit: "2 hours to 3"; in "2 hours to 55 in the middle" it is of another kind."""
    if phrase.low is not None and phrase.high is not None and not phrase.low < phrase.high <= _WIDEST * phrase.low:
        return replace(phrase, low=None, high=None, problem="the two figures are no range.")
    return phrase


def _bare(node: Any, words: tuple[Token, ...], bound: str, found: Sequence[Token], *, hedged: bool) -> Phrase:
    """Numbers without a unit, as they stand."""
    groups: list[list[str]] = [[]]
    for terminal in _terminals(node):
        if terminal.type == "TO_NUM":
            groups.append([])
        elif piece := _piece(found[terminal.start_pos]):
            groups[-1].append(piece)
    values: list[float] = []
    for group in groups:
        try:
            # A share is the one kind that needs no unit; a number is read by the same rules as everywhere.
            text = " ".join(
                _HALVES.get(piece.removesuffix("s"), piece) if i else piece for i, piece in enumerate(group)
            )
            negative = text.startswith("-")
            value = read_quantity(f"{text.removeprefix('-')} %", "percent").value
            values.append(-value if negative else value)
        except InputError as error:
            return Phrase("bare", None, None, None, words, bound, hedged, problem=str(error))
    return Phrase("bare", None, values[0], values[-1], words, bound, hedged)
