"""Steps of a plan in words: which word opens one, and which stays in the one that is open."""

from __future__ import annotations

from itertools import takewhile
from typing import TYPE_CHECKING

from advisor.case.model import Ingredient
from advisor.case.words.draft import COOKS, TAKES, Draft
from advisor.case.words.joined import STOPS
from advisor.case.words.lexicon import lexicon_of, words_of
from advisor.case.words.opened import action_of, open_step
from advisor.case.words.scopes import LIGHT
from advisor.case.words.things import add

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.scopes import Item


def on_label(builder: Builder, item: Item) -> None:
    """Note the fact that is named before a colon."""
    value = item.token.value
    if isinstance(value, tuple):
        builder.label = (str(value[0]), str(value[1]))


def on_after(builder: Builder, item: Item) -> None:
    """Put Y first in "X after Y"; "after Y, X" stands in order already."""
    del item
    before = builder.behind()
    if before is not None and builder.current is not None:
        builder.insert_at = builder.plan.drafts.index(builder.current)


def on_before(builder: Builder, item: Item) -> None:
    """Hold "before" to the order in which the steps were said."""
    following = builder.ahead(LIGHT | {"FILL"})
    if following is None or following.kind not in ("ACTION", "ACTPLACE"):
        return
    action = action_of(following)
    known = any(draft.action == action for draft in builder.plan.drafts)
    if builder.behind() is None or known:
        builder.plan.ask(f"'{builder.plan.cut(item.start, following.end)}': which comes first? Say the steps in order.")
    if known:
        following.kind = "FILL"


def on_first(builder: Builder, item: Item) -> None:
    """Ask about a step that is said late and done first."""
    if len(builder.plan.drafts) > 1 and builder.behind() is not None:
        builder.plan.ask(f"'{builder.plan.cut(item.start, item.end)}': which comes first? Say the steps in order.")


def on_action(builder: Builder, item: Item) -> None:
    """Open a step, or stay in the one that is meant."""
    action = action_of(item)
    current = builder.current
    following = builder.ahead()
    if action == "serve" and any(draft.action == "serve" for draft in builder.plan.drafts):
        builder.current = next(draft for draft in builder.plan.drafts if draft.action == "serve")
        return
    if builder.insert_at is not None and any(draft.action == action for draft in builder.plan.drafts):
        return  # "rest after searing": the sear is there already
    if current is not None and (_bag_in_bath(builder, current, item) or _brine_pumped(builder, current, item)):
        return
    if current is not None and _held_on(builder, current, item):
        return
    if current is not None and stays(builder, current, action, item):
        note_heat(builder, current, item)
        return
    draft = open_step(builder, action, item)
    note_heat(builder, draft, item)
    # "pounded flank": said of the meat, so what follows belongs to the piece until the step is named again.
    draft.named = draft.closed = (
        following is not None and following.kind in ("CUT", "MEAT") and item.token.key.endswith("ed")
    )
    draft.referred = builder.insert_at is not None and following is None


def _held_on(builder: Builder, current: Draft, item: Item) -> bool:
    """Read "bath 60 C until the core is 58, hold 60 min" as a longer stay in the same bath."""
    ahead = list(takewhile(lambda one: one.kind not in STOPS, builder.items[builder.index + 1 :]))
    timed = any(one.phrase is not None and one.phrase.kind == "time" for one in ahead)
    # "On the table" is a place as well, though the word means that it is served.
    placed = any(one.kind in ("PLACE", "ACTPLACE") or "table" in one.token.key.split() for one in ahead)
    told = "until_core" in current.given and not current.closed
    if item.token.key != "hold" or current.action not in ("bath", "oven", "braise") or not told or not timed or placed:
        return False
    draft = open_step(builder, current.action, item)
    draft.given = {name: current.given[name] for name in ("place", "temperature") if name in current.given}
    return True


def _bag_in_bath(builder: Builder, current: Draft, item: Item) -> bool:
    """Put the bag before the bath it lies in: "cook it at 82 C for 10 hours in a bag"."""
    heated = current.action in ("bath", "oven") and action_of(item) == "bag"
    if not heated or current.clause != item.clause or not builder.after_prep():
        return False
    drafts = builder.plan.drafts
    place = drafts.index(current)
    if not place or drafts[place - 1].action != "bag":
        drafts.insert(place, Draft("bag", clause=item.clause, start=item.start))
    return True


def _brine_pumped(builder: Builder, current: Draft, item: Item) -> bool:
    """Read "brine inject 10 %" as one step: what is pumped in, and no stay in it."""
    before = builder.behind(LIGHT - {"AND"})
    at_once = before is not None and before[1].kind == "ACTION" and current.clause == item.clause
    if action_of(item) != "inject" or current.action != "brine" or current.given or not at_once:
        return False
    current.action = "inject"
    return True


def note_heat(builder: Builder, draft: Draft, item: Item) -> None:
    """Keep what a word says of its heat, "simmer"; nothing where it may be said of something else, as of a sauce."""
    heat = lexicon_of(builder.plan.rulebase).heats.get(words_of(item.token.key))
    if draft.action != "braise" or heat is None:
        return
    light = LIGHT | STOPS | {"THEN", "AND_STOP"}
    before = next((one for one in reversed(builder.items[: builder.index]) if one.kind not in light), None)
    beside = [one for one in (before, builder.ahead(LIGHT - {"PREP"})) if one is not None]
    beside += [one for one in builder.items[builder.index + 1 : builder.index + 3] if one.token.key == "marinade"]
    if any(one.kind in ("JUNK", "WITH") or one.token.key == "marinade" for one in beside):
        draft.heats.append((None, item.token.text))
        return
    draft.heats.append((heat, item.token.text))


def stays(builder: Builder, current: Draft, action: str, item: Item) -> bool:
    """Whether the step that is open is meant, or becomes the one that is meant."""
    if current.named and current.action == action and not current.given:
        current.closed = current.named = False
        return True
    if current.closed:
        return False
    # "rub it with garlic, leave overnight": the leaving is the marinating.
    leaves = action == "hold" and "minutes" not in current.given
    if leaves and current.action in ("marinate", "salt", "brine", "thaw"):
        return True
    if current.clause != item.clause:
        return False
    if action == "bag" and current.implied and current.action in ("marinate", "salt") and not current.given:
        # "thyme and oil in a bag": nothing was said of a stay before.
        current.action, current.implied = action, False
        return True
    if current.action == "chill" and action == "ice" and not current.given:
        current.action = "ice"
        return True
    if current.implied and current.action == "hold" and action in TAKES and "minutes" in current.given:
        current.action, current.implied = action, False
        return True
    if action == "salt" and current.action in TAKES - {"salt"}:
        add(builder, Ingredient("table_salt", item.token.text), item)
        return True
    if current.implied and current.action == "salt" and action == "brine":
        current.action, current.implied = action, False  # "salt brine"
        return True
    reheats = action in COOKS and current.action == "reheat"
    pumps = action == "brine" and current.action in ("inject", "tumble")
    return current.action == action or reheats or pumps
