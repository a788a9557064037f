"""Words of the cold that say the meat has left it: "out of the fridge since noon" is out, and never cold."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from advisor.case.words.joined import SOFT, STOPS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.words.scopes import Item

STATE: Final = ("piece", "start_state")
COLD: Final = frozenset({"fridge", "frozen"})
LEAVES: Final = ("out of ", "from the ")
# Said before, they tell that it comes from the cold this minute.
AT_ONCE: Final = frozenset({"straight", "right", "directly", "fresh", "just", "direct"})
LEFT: Final = "taken as straight from the cold; say 'out', and how long, if it has stood"
# What opens a step, so that a time behind it is that of the step.
OPENS: Final = frozenset({"ACTION", "ACTPLACE", "PLACE", "THEN", "AND_STOP", "LABEL"})


def out_of_the_cold(items: Sequence[Item]) -> None:
    """Turn the cold into "out" where it is told since when, or how long, the meat has left it."""
    for index, item in enumerate(items):
        if not _cold(item) or not item.token.key.startswith(LEAVES):
            continue
        of = item.token.key.startswith("out of ")
        if _since(items, index) or _ago(items, index) or (of and _time(items, index) is not None):
            item.token = replace(item.token, value=(*STATE, "out"))
            if (time := _time(items, index)) is not None:
                time.clause = item.clause


def stays_open(items: Sequence[Item], index: int) -> bool:
    """Whether "out of the fridge" leaves open how long it has been so; "straight out of the fridge" does not."""
    if not items[index].token.key.startswith("out of "):
        return False
    before = {word for item in items[max(0, index - 2) : index] for word in item.token.key.split()}
    return not before & AT_ONCE


def _cold(item: Item) -> bool:
    value = item.token.value
    return item.kind == "CHOICE" and isinstance(value, tuple) and value[:2] == STATE and value[2] in COLD


def _since(items: Sequence[Item], index: int) -> bool:
    """Whether "since" stands behind, a comma or a small word between or not."""
    return any(item.kind == "SINCE" for item in _behind(items, index))


def _ago(items: Sequence[Item], index: int) -> bool:
    """Whether "an hour ago" stands behind."""
    return any("ago" in item.token.key.split() for item in _behind(items, index))


def _behind(items: Sequence[Item], index: int) -> list[Item]:
    """What stands behind in the same clause, and in the next where that is no step."""
    found: list[Item] = []
    commas = 0
    for item in items[index + 1 :]:
        if item.kind in OPENS or (item.kind in STOPS and item.kind != SOFT):
            break
        commas += item.kind == SOFT
        if commas > 1:
            break
        found.append(item)
    return found


def _time(items: Sequence[Item], index: int) -> Item | None:
    """The time of it: right behind, alone behind a comma, or right before."""
    behind = _behind(items, index)
    after = next((item for item in behind if _timed(item)), None)
    if after is not None:
        step = next((i for i in items[items.index(after) + 1 :] if i.kind in OPENS or i.kind in STOPS), None)
        if after.clause == items[index].clause or step is None or step.kind in STOPS:
            return after
    for item in reversed(items[:index]):
        if item.kind in OPENS or item.kind in STOPS:
            return None
        if _timed(item):
            return item
    return None


def _timed(item: Item) -> bool:
    return (item.phrase is not None and item.phrase.kind == "time") or item.token.kind == "SPAN"
