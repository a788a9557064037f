"""Where a step lies: places, and words that are a step and its place in one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.complete import PLACE_OF_ACTION
from advisor.case.model import Given
from advisor.case.words.draft import ACTION_OF_PLACE, COLD, COOKS, LIES
from advisor.case.words.opened import action_of, flush, open_step, pair_of, was_cooked
from advisor.case.words.scopes import LIGHT
from advisor.case.words.steps import on_action

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Draft
    from advisor.case.words.scopes import Item


OVENS = ("oven_fan", "oven_still")
COMBI = "combi"
# Places to cook in that can also hold hot.
HOLDS_HOT = frozenset({*OVENS, "bath_still", "bath_circulated", "steam"})
# Words before "steam" that leave open how damp it is.
SOME = frozenset({"some", "bit", "little", "with", "low", "half", "touch"})


def on_actplace(builder: Builder, item: Item) -> None:
    """A word that is a step and its place: it is the place where a step lies there already, or after *in the*."""
    action, place = pair_of(item)
    current = builder.current
    if builder.label == ("step", "place") and current is not None:
        builder.label = None
        set_place(current, place, item)
        return
    before = builder.just_before()
    inside = builder.after_prep()
    if current is not None and inside and not current.closed and current.clause == item.clause:
        fits = current.action == action or (current.action == "reheat" and action in COOKS)
        if fits and "place" not in current.given:
            set_place(current, place, item)
            flush(builder)
            return
    if current is not None and current.action == "hold" and current.implied is False and before is not None:
        fits = current.clause == item.clause and "place" not in current.given and inside
        if fits and place not in ACTION_OF_PLACE:
            set_place(current, place, item)
            return
    if current is not None and _held_in_heat(builder, current, place, item):
        return
    on_action(builder, item)
    said = inside or place != PLACE_OF_ACTION.get(action)
    if (
        builder.current is not None
        and said
        and builder.current.action == action
        and "place" not in builder.current.given
    ):
        set_place(builder.current, place, item)


def on_action_or_place(builder: Builder, item: Item) -> None:
    """A word that is a step: "hold it at 60 C in the bath" is one hot hold there."""
    place = PLACE_OF_ACTION.get(action_of(item), "")
    if builder.current is not None and _held_in_heat(builder, builder.current, place, item):
        return
    on_action(builder, item)


def on_place_or_hold(builder: Builder, item: Item) -> None:
    """A place: "hold it in a 65 C oven" is one hot hold there."""
    place = str(item.token.value if not isinstance(item.token.value, tuple) else item.token.value[0])
    if builder.current is not None and builder.label is None and _held_in_heat(builder, builder.current, place, item):
        return
    on_place(builder, item)


def on_place(builder: Builder, item: Item) -> None:
    """Give a place to the step that lies there, or open the step that the place is for."""
    place = str(item.token.value if not isinstance(item.token.value, tuple) else item.token.value[0])
    current = builder.current
    if item.token.kind.endswith("~") and isinstance(item.token.value, tuple):
        builder.plan.remark(f"read '{item.token.text}' as {item.token.value[1]}")
    if builder.label == ("step", "place") and current is not None:
        builder.label = None
        set_place(current, place, item)
        return
    own = ACTION_OF_PLACE.get(place)
    before = builder.behind(LIGHT - {"OR"})
    if before is not None and before[1].kind == "OR" and current is not None and "place" in current.given:
        either_place(builder, current, place, item)
        return
    if current is not None and not current.closed:
        lies = current.action in LIES and own not in ("bath", "oven", "pan", "grill", "braise")
        cooks = own == current.action or (current.action == "reheat" and own in COOKS)
        same = current.given.get("place")
        chills = not (current.action == "bag" and current.clause != item.clause)
        empty = current.implied and current.action == "hold" and "minutes" not in current.given
        if same is not None and same.value == place and (current.clause == item.clause or empty):
            return
        if place == "steam" and current.action == "oven" and current.clause == item.clause:
            _steam(builder, current, item)
            return
        if place in ("hot_cupboard", "heat_lamp") and current.action == "hold":
            current.action = "hot_hold"
        if (lies or cooks) and same is None and chills:
            set_place(current, place, item)
            flush(builder)
            return
    cooked = any(draft.action in COOKS for draft in builder.plan.drafts[: builder.insert_at])
    action = own or ("chill" if cooked and place in COLD else "hold")
    draft = open_step(builder, action, item, implied=True)
    if own is None or builder.after_prep() or place != PLACE_OF_ACTION.get(action):
        set_place(draft, place, item)


def _held_in_heat(builder: Builder, draft: Draft, place: str, item: Item) -> bool:
    """Read "hold in a 65 C oven", of what is cooked, as one hot hold there; not where the heat is one to cook at.

    Where the words say that it is held hot, "keep warm in the oven", no heat need stand by them.
    """
    hot = draft.action == "hot_hold"
    same = (
        (hot or draft.action == "hold")
        and not draft.closed
        and draft.clause == item.clause
        and "place" not in draft.given
    )
    if not same or place not in HOLDS_HOT or not was_cooked(builder, draft):
        return False
    inside = False
    for one in reversed(builder.items[: builder.index]):
        inside = inside or one.kind == "PREP"
        if one.phrase is None and one.kind not in LIGHT:
            break
    ahead = [one for one in builder.items[builder.index + 1 :] if one.clause == item.clause]
    heats = [one.phrase for one in (*(waiting for _, waiting in builder.pending), *ahead) if one.phrase is not None]
    most = builder.plan.rulebase.trade_words["likely to"]["hot_hold"]
    said = draft.given.get("temperature")
    tops = [p.high for p in heats if p.kind == "temperature" and p.high is not None]
    tops += [said.value] if said is not None and isinstance(said.value, float) else []
    if not inside or not (tops or hot) or max(tops, default=most) > most:
        return False
    draft.action = "hot_hold"
    set_place(draft, place, item)
    flush(builder)
    return True


def _steam(builder: Builder, draft: Draft, item: Item) -> None:
    """A combi oven on steam is steam; of an oven with some steam in it nobody can tell how damp it is."""
    near = builder.items[max(0, builder.index - 3) : builder.index]
    some = any(i.kind in ("VAGUE", "JUNK") or set(i.token.key.split()) & SOME for i in near if i.phrase is None)
    place = draft.given.get("place")
    combi = place is not None and COMBI in place.as_written.lower()
    if not some and (combi or any(i.token.key == "on" for i in near)) and (place is None or place.value in OVENS):
        set_place(draft, "steam", item)
        return
    if place is not None and place.value == "steam":
        return
    builder.plan.lose(item.start, item.end, "how damp is the oven? Say its humidity in percent, or 'combi on steam'.")


def set_place(draft: Draft, place: str, item: Item) -> None:
    """Note the place of a step."""
    note = ""
    value = item.token.value
    if item.token.kind.endswith("~") and isinstance(value, tuple):
        note = f"read '{item.token.text}' as {value[1]}"
    draft.given["place"] = Given(place, "written", item.token.text, note)


def either_place(builder: Builder, draft: Draft, place: str, item: Item) -> None:
    """Of two places the worse: they stand from cold to warm in the vocabulary."""
    order = builder.plan.rulebase.vocabulary["step"]["place"].choices
    kept = str(draft.given["place"].value)
    worse = max(kept, place, key=order.index)
    if worse != kept:
        written = f"{draft.given['place'].as_written} or {item.token.text}"
        draft.given["place"] = Given(worse, "written", written, "the warmer of the two is taken, the worse one")
