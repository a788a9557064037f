"""Items to a plan: each action opens a step, each thing, place and figure goes to the step it stands by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from advisor.case.words import places, steps, things, told
from advisor.case.words.draft import Draft
from advisor.case.words.joined import STOPS
from advisor.case.words.opened import put_on
from advisor.case.words.scopes import LIGHT, Item

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from advisor.case.model import Given
    from advisor.case.words.draft import Plan


class Builder:
    """Walks the items of a text once."""

    def __init__(self, plan: Plan, items: Sequence[Item]) -> None:
        self.plan = plan
        self.items = [item for item in items if item.part == "said"]
        self.index = 0
        self.current: Draft | None = None
        self.insert_at: int | None = None
        self.pending: list[tuple[str, Item]] = []
        self.label: tuple[str, str] | None = None
        self.core = -1  # clause in which the middle was named and no temperature has followed
        self.out = -1  # clause in which the meat was said to have been out
        self.until = -1  # index of the item behind "until"
        self.form: Item | None = None
        self.with_at = -1  # index of the last thing put on
        self.amount_at = 0  # place in the text of the last amount of a thing
        self.cuts: list[Item] = []
        self.animals: list[Item] = []
        self.meats: list[Item] = []
        self.origins: list[Item] = []
        self.junk: list[Item] = []
        self.waiting: dict[str, Given] = {}  # choices of the next step that does not heat

    def ahead(self, light: frozenset[str] = LIGHT) -> Item | None:
        """The next item that weighs, in the same clause; None at its end."""
        for item in self.items[self.index + 1 :]:
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                return None
            if item.kind not in light:
                return item
        return None

    def behind(self, light: frozenset[str] = LIGHT, *, over_stop: bool = False) -> tuple[int, Item] | None:
        """The last item that weighs, in the same clause unless asked."""
        for index in range(self.index - 1, -1, -1):
            item = self.items[index]
            if item.kind in STOPS and over_stop:
                continue
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                return None
            if item.kind not in light:
                return index, item
        return None

    def just_before(self) -> Item | None:
        """The item before, whatever it is."""
        return self.items[self.index - 1] if self.index else None

    def clause_opens(self) -> Item | None:
        """What opens a step later in this clause, before another figure of a step's."""
        for item in self.items[self.index + 1 :]:
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                return None
            if item.kind in ("ACTION", "ACTPLACE", "PLACE"):
                return item
        return None

    def begins_clause(self) -> bool:
        """Whether nothing that weighs stands before it in the clause."""
        light = LIGHT | {"FIRST", "BETWEEN", "LABEL"}
        for item in reversed(self.items[: self.index]):
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP", "AFTER"):
                return True
            if item.kind not in light and item.phrase is None:
                return False
        return True

    def after_prep(self) -> bool:
        """Whether *in* or *on* stands before it, with only small words between."""
        for item in reversed(self.items[: self.index]):
            if item.kind == "PREP" or (item.kind == "FILL" and item.token.key.startswith(("in ", "on "))):
                return True
            if item.kind not in ("FILL", "A", "OF"):
                return False
        return False

    def after_with(self) -> bool:
        """Whether *with* stands before it, with only small words between."""
        for item in reversed(self.items[: self.index]):
            if item.token.key == "with":
                return True
            if item.kind not in LIGHT:
                return False
        return False

    def run(self) -> None:
        """Read every item."""
        while self.index < len(self.items):
            item = self.items[self.index]
            handler = HANDLERS.get(item.kind)
            if handler is not None:
                handler(self, item)
            elif item.kind not in LIGHT and item.kind not in STOPS and item.numeric:
                self.plan.lose(item.start, item.end, "a number that has no place in the plan.")
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                self.end_clause(item)
            self.index += 1
        self.end()

    def end_clause(self, item: Item) -> None:
        """End a clause: "then" closes the step."""
        if item.kind == "THEN" and self.current is not None:
            self.current.closed = True
        if item.kind != "SOFT" or self.insert_at is not None:
            self.insert_at = None
        if item.kind in ("HARD", "ASKED"):
            self.label = None

    def end(self) -> None:
        """Give what still waits to the last step, if it can be its; list the rest."""
        for fact, item in self.pending:
            phrase = item.phrase
            if phrase is None:
                continue
            last = self.current
            if last is not None and not last.closed and fact not in last.given and fact != "until_core":
                put_on(self, last, fact, item)
            else:
                self.plan.lose(item.start, item.end, "it belongs to no step.")
        self.pending = []
        if self.waiting:
            served = next((draft for draft in self.plan.drafts if draft.action == "serve"), None)
            if served is None:
                served = Draft("serve", implied=True)
                self.plan.drafts.append(served)
            served.given.update(self.waiting)
        for _, start, end in self.plan.days:
            if not any(first <= start and end <= last for first, last in self.plan.placed):
                self.plan.lose(start, end)


# What is done with an item of each kind; the rest are small words.
HANDLERS: Final[dict[str, Callable[[Builder, Item], None]]] = {
    "LABEL": steps.on_label,
    "AFTER": steps.on_after,
    "BEFORE": steps.on_before,
    "FIRST": steps.on_first,
    "ACTION": places.on_action_or_place,
    "ACTPLACE": places.on_actplace,
    "PLACE": places.on_place_or_hold,
    "FORM": things.on_form,
    "WITH": things.on_with,
    "CUT": told.on_cut,
    "ANIMAL": told.on_animal,
    "MEAT": told.on_meat,
    "CODE": told.on_code,
    "CORE": told.on_core,
    "UNTIL": told.on_until,
    "PREP_TO": told.on_prep_to,
    "CHOICE": told.on_choice,
    "HOW_THICK": told.on_how_thick,
    "HOW_HEAVY": told.on_how_heavy,
    "HOW_LONG": told.on_how_long,
    "NOT_KNOWN": told.on_not_known,
    "JUNK": told.on_junk,
    "VAGUE": told.on_vague,
    "DAMP": told.on_damp,
    "FARMED": told.on_origin,
    "WILD": told.on_origin,
    "PEOPLE": told.on_people,
    "FEEDS": told.on_feeds,
    "LIQUOR": told.on_liquor,
    "PHRASE": told.on_phrase,
}
