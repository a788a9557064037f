"""Stuffing in words: any that is named and not said to be apart, or not there, counts as inside."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from advisor.case.model import Given
from advisor.case.work_times import STUFFS

if TYPE_CHECKING:
    from advisor.case.words.draft import Plan

IS_IT: Final = "is it stuffed? Say 'stuffed', 'not stuffed', or 'stuffing apart'."
FACT: Final = "stuffing"
_CLAUSE: Final = re.compile(r"[^,;.!\n?]+\??")
_NAMED: Final = re.compile(
    r"\bstuffing\b|\b(?:filling|forcemeat|farce|dressing)\b(?=\s+(?:is\s+)?(?:inside|in\s+it|in\s+the\s+(?:cavity|middle|bird)))"
    r"|\bun-?stuffed\b",
    re.IGNORECASE,
)
_UNSTUFFED: Final = re.compile(r"\bun-?stuffed\b", re.IGNORECASE)
# "No bread stuffing", with one or two words between at most.
_NONE: Final = re.compile(
    r"\b(?:no|without|without\s+any|free\s+of|not\s+any|hasn.?t\s+any|has\s+no)\s+(?:[\w-]+\s+){0,2}?stuffing\b",
    re.IGNORECASE,
)
_APART: Final = re.compile(
    r"\b(?:apart|separate(?:ly)?|on\s+the\s+side|alongside|(?:own|other|another)\s+(?:dish|tin|tray|pan))\b",
    re.IGNORECASE,
)
_INSIDE: Final = re.compile(
    r"\b(?:inside|in\s+it|cavity|in\s+the\s+(?:middle|bird)|full\s+of|packed|filled)\b", re.IGNORECASE
)
_DENIES: Final = re.compile(r"\b(?:no|not|never|without|nor|\w+n['’]?t|if|whether|maybe|perhaps|or)\b", re.IGNORECASE)
_UNKNOWN: Final = re.compile(r"\b(?:know|sure|certain|idea)\b", re.IGNORECASE)
# Taken out, or served with it: where it is in the oven is not said.
_ELSEWHERE: Final = re.compile(
    r"\b(?:take|taking|taken|remove\w*|leave|leaving|skip|drop|out|serve\w*|eat|later|after\w*)\b", re.IGNORECASE
)


def settle_stuffing(plan: Plan) -> None:
    """Take stuffing that is named as inside, where nothing else was read of it; ask where it may be elsewhere."""
    if FACT in plan.piece or any(draft.action == STUFFS for draft in plan.drafts):
        return
    found = [
        (_where(clause[0]), " ".join(clause[0].split()), clause.start(), clause.end())
        for clause in _CLAUSE.finditer(plan.text)
        if _NAMED.search(clause[0]) and not clause[0].endswith("?")
    ]
    # Of several the one that is worst; what is open is asked, unless another says inside.
    for value in ("inside", "", None, "apart", "none"):
        one = next((one for one in found if one[0] == value), None)
        if one is None:
            continue
        if value == "":
            plan.ask(f"'{one[1]}': {IS_IT}")
            return
        plan.piece[FACT] = Given(value, "written" if value else "not known", one[1])
        plan.lost = [
            (start, end)
            for start, end in plan.lost
            if not (one[2] <= start and end <= one[3]) or any(c.isnumeric() for c in plan.cut(start, end))
        ]
        return


def _where(words: str) -> str | None:
    """What a clause says of the stuffing: inside, apart, none; empty where it is open, None where nobody knows."""
    inside, apart = _INSIDE.search(words), _APART.search(words)
    if _UNKNOWN.search(words):
        return None
    if _UNSTUFFED.search(words) and "stuffing" not in words.lower():
        return "" if _DENIES.search(words) else "none"
    if _NONE.search(words):
        return "" if _ELSEWHERE.search(words) or apart else "none"
    if _DENIES.search(words) or (_ELSEWHERE.search(words) and not apart and not inside):
        return ""
    if apart:
        return "" if inside else "apart"
    return "inside"
