"""Signs, ranges and bare numbers told by their neighbours, once the words are known."""

from __future__ import annotations

from typing import Final

from advisor.case.words.lexicon import UNIT_KINDS
from advisor.case.words.tokens import Token

UNITS: Final = frozenset(UNIT_KINDS.values())
NUMERIC: Final = frozenset({"NUM", "FRAC", "HALF"})
SOFT, HARD, ASKED = "SOFT", "HARD", "ASKED"
STOPS: Final = frozenset({SOFT, HARD, ASKED})
_CLOCK_HOURS: Final = 12
_OF_A_THING: Final = 6  # terminals of a thing with its form


def dosed(found: list[Token], index: int) -> int:
    """Place of the unit of the amount that stands before, with at most the thing it is of between; -1 without one."""
    for place in range(index - 1, max(-1, index - 1 - _OF_A_THING), -1):
        kind = found[place].kind.rstrip("~")
        if kind in ("UVOL", "UMASS"):
            return place
        if kind not in ("WITH", "FORM", "OF", "A") and found[place].key not in ("of", "the"):
            return -1
    return -1


def doses_joined(found: list[Token]) -> list[Token]:
    """Put "per pound" beside its amount, where a grammar can have it: "a teaspoon of salt per pound"."""
    kept: list[Token] = []
    index = 0
    while index < len(found):
        unit = dosed(kept, len(kept)) if found[index].kind == "PER" else -1
        if unit < 0:
            kept.append(found[index])
            index += 1
            continue
        end = next((i for i in range(index, len(found)) if found[i].kind == "UMASS"), index)
        kept[unit + 1 : unit + 1] = found[index : end + 1]
        index = end + 1
    return kept


def minus_joined(found: list[Token]) -> list[Token]:
    """Join a minus sign to its number, and leave out dashes that only join."""
    kept: list[Token] = []
    for index, token in enumerate(found):
        after = found[index + 1] if index + 1 < len(found) else None
        if token.kind == "DASH" or (token.kind == "JUNK" and token.key == "minus"):
            before = kept[-1] if kept else None
            near = before is not None and before.kind in (*NUMERIC, *UNITS, "DEG", "HALF_DAY", "CLOCK")
            if (
                after is not None
                and after.kind == "NUM"
                and not near
                and (token.key == "minus" or token.end == after.start)
            ):
                found[index + 1] = Token("NUM", f"-{after.text}", token.start, after.end, after.key, f"-{after.value}")
                continue
            if token.kind == "DASH":
                if near and after is not None and after.kind in (*NUMERIC, "CLOCK"):
                    kept.append(token)
                continue
        kept.append(token)
    return kept


def ranged(found: list[Token]) -> list[Token]:
    """Tell the dash, *to*, *or* and *and* of a range from other ones; then type numbers by what follows them."""
    between = False
    for index, token in enumerate(found):
        if token.kind == "BETWEEN":
            between = True
        elif token.kind in STOPS:
            between = False
        is_to = token.kind in ("TO", "DASH") or (token.kind == "AND" and between)
        if not is_to:
            continue
        before = found[index - 1] if index else None
        after = found[index + 1 : index + 3]
        numeric = bool(after) and (
            after[0].kind in NUMERIC or (after[0].kind == "A" and len(after) > 1 and after[1].kind in (*UNITS, "HALF"))
        )
        if before is not None and before.kind in (*NUMERIC, *UNITS, "DEG", "HALF_DAY") and numeric:
            mixed = token.kind == "DASH" and before.kind == "NUM" and after[0].kind == "FRAC"
            found[index] = token.as_kind("JOIN" if mixed else "TO_NUM")
            between = False
        elif token.kind == "DASH":
            found[index] = token.as_kind("FILL")
        elif token.kind == "AND":
            continue
        else:
            found[index] = token.as_kind("OR" if token.key == "or" else "PREP_TO")
    found = _halves(_hedged([t for t in found if t.kind != "JOIN"]))
    return [_typed(found, index) for index in range(len(found))]


def _hedged(found: list[Token]) -> list[Token]:
    """Put the *ish* of "57ish" before its number, where a grammar can have it."""
    for index, token in enumerate(found):
        if token.kind == "HEDGE" and token.key == "ish" and index and found[index - 1].kind in NUMERIC:
            found[index - 1], found[index] = token, found[index - 1]
    return found


def _halves(found: list[Token]) -> list[Token]:
    """Tell "at half seven", which is a time of day, from a half before a unit or a number with one."""
    kept: list[Token] = []
    for token in found:
        before = kept[-1] if kept else None
        at = kept[-2].kind if len(kept) > 1 else ""
        hour = _hour(token)
        if (
            before is not None
            and before.kind == "HALF"
            and before.key == "half"
            and at in ("AT", "UNTIL", "DAY")
            and hour
        ):
            after = found[found.index(token) + 1 :][:1]
            if not after or (after[0].kind not in UNITS and after[0].kind != "DEG"):
                kept[-1] = Token("CLOCK", f"{before.text} {token.text}", before.start, token.end, "", f"{hour}:30")
                continue
        kept.append(token)
    return kept


def _hour(token: Token) -> int:
    """The hour that a number can be on a clock; 0 when it can be none."""
    value = str(token.value)
    return int(value) if token.kind == "NUM" and value.isdecimal() and 1 <= int(value) <= _CLOCK_HOURS else 0


def _of_a_clock(found: list[Token], index: int) -> bool:
    """Whether a bare number is an hour: "6 tonight", "serve at 6", "service from 5 to 9"."""
    if not _hour(found[index]) or (index and found[index - 1].kind == "FEEDS"):
        return False
    after = found[index + 1].kind if index + 1 < len(found) else ""
    if after == "DAY":
        return not index or found[index - 1].key.split()[-1:] not in (["for"], ["by"])
    back = index - 1
    if back > 0 and found[back].kind == "TO_NUM" and _hour(found[back - 1]):
        back -= 2
    began = back
    while back >= 0 and (found[back].kind in ("AT", "BETWEEN", "DAY") or found[back].key in ("from", "it", "is")):
        back -= 1
    at = began >= 0 and (found[began].kind in ("AT", "BETWEEN") or found[began].key == "from")
    nothing_else = after in ("", "TO_NUM", *STOPS) or after.startswith(("DAY", "HALF_DAY"))
    return (
        at
        and nothing_else
        and back >= 0
        and found[back].kind == "ACTION"
        and found[back].value == "serve"
        and found[began].key != "for"
    )


def _typed(found: list[Token], index: int) -> Token:
    """A number before a unit, a number of a clock, or a bare one."""
    token = found[index]
    if token.kind not in NUMERIC:
        return token
    if _of_a_clock(found, index):
        return token.as_kind("NUM_T", token.value)
    ahead = index + 1
    money = index and found[index - 1].kind == "MONEY"
    while not money and ahead < len(found):
        kind = found[ahead].kind
        if kind in UNITS or kind == "DEG":
            return token.as_kind(f"{token.kind}_L", token.value)
        if kind in ("HALF_DAY", "OCLOCK"):
            return token.as_kind("NUM_T", token.value)
        nearer = found[ahead + 1 : ahead + 3]
        part_next = bool(nearer) and (
            nearer[0].kind in ("HALF", "FRAC")
            or (nearer[0].kind == "A" and len(nearer) > 1 and nearer[1].kind == "HALF")
        )
        joins = (kind in ("AND", "TO_NUM") and (part_next or kind == "TO_NUM")) or kind in ("FRAC", "HALF")
        article = kind in ("A", "OF") and (found[ahead - 1].kind in ("HALF", "AND", "OF", "TO_NUM"))
        after_to = kind == "NUM" and found[ahead - 1].kind == "TO_NUM"
        if not (joins or article or after_to):
            break
        ahead += 1
    return token.as_kind(f"{token.kind}_B", token.value)
