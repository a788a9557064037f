"""The shape it is cooked in, where the words show it without saying it: a steak, or a whole piece.

A named cut with a thickness is no mince, for mince has none. What shows nothing is left unsaid, and the completion of
the case then takes the worst.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from advisor.case.contradictions import HEATERS
from advisor.case.model import Given
from advisor.case.words import english
from advisor.case.words.lexicon import words_of
from advisor.case.words.scopes import LIGHT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Plan
    from advisor.case.words.scopes import Item
    from advisor.knowledge.records import Cut

MEAT: Final = ("CUT", "ANIMAL", "MEAT")
STEAK, WHOLE = "steak", "roast"
# What a cut suits that is cooked as a steak, and what one suits that is cooked whole.
AS_STEAK: Final = frozenset({"grill", "sear_and_slice"})
AS_WHOLE: Final = frozenset({"roast", "braise"})


def settle_shape(plan: Plan, builder: Builder, items: Sequence[Item]) -> None:
    """Note the shape that the words show; nothing where they show none, or speak of anything cut up."""
    if "form" in plan.piece or _cut_up(plan, items):
        return
    said = _by_word(builder.items)
    cut = plan.rulebase.cuts.get(str(plan.piece["cut"].value)) if "cut" in plan.piece else None
    if said is not None:
        form, word = said
        _note(plan, form, word)
    elif cut is not None and _thickness(plan) is not None:
        form = shape_of(cut, _thickness(plan) or 0.0, _weight(plan))
        _note(plan, form, f"{plan.piece['cut'].as_written}, {plan.piece['thickness'].as_written}")


def shape_of(cut: Cut, thickness_mm: float, weight_g: float) -> str:
    """Steak or whole piece, by the record of the cut.

    A cut that is neither roasted nor braised is a steak; one that is neither grilled nor seared is a whole piece. Of
    the rest a piece is whole when it weighs what the whole cut does, or is nearer to its thickness (as a ratio) than
    to that of the thinnest steak of it.
    """
    suits = set(cut.suits)
    if not suits & AS_WHOLE:
        return STEAK
    if not suits & AS_STEAK or weight_g >= min(cut.weight_g):
        return WHOLE
    return WHOLE if thickness_mm > math.sqrt(min(cut.thickness_mm) * max(cut.thickness_mm)) else STEAK


def _note(plan: Plan, form: str, words: str) -> None:
    called = plan.rulebase.vocabulary["piece"]["form"].says[form]
    note = f"read as {called} from your words; say so if it is minced or cut up"
    plan.piece["form"] = Given(form, "written", words, note)


def _thickness(plan: Plan) -> float | None:
    given = plan.piece.get("thickness")
    return given.value if given is not None and isinstance(given.value, float) else None


def _weight(plan: Plan) -> float:
    """Weight of the piece; 0 where it was not said, or may be that of several."""
    given = plan.piece.get("weight")
    return given.value if given is not None and isinstance(given.value, float) and plan.count <= 1 else 0.0


def _cut_up(plan: Plan, items: Sequence[Item]) -> bool:
    """Whether anything is said of mince, cubes, strips or slices before the heat, even if only asked or denied."""
    for item, after in pairwise((*items, None)):
        if item is None or item.phrase is not None:
            continue
        words = set(words_of(item.token.text))
        if words & english.CUT_UP_FOR:
            return True
        if item.kind == "ACTION":
            continue
        if after is not None and after.kind == "WITH":
            # "minced garlic" is no word for the meat.
            continue
        value = item.token.value if item.kind == "CHOICE" else None
        shaped = isinstance(value, tuple) and value[:2] == ("piece", "form")
        if shaped or words & english.CUT_UP:
            return True
    heats = next((i for i, draft in enumerate(plan.drafts) if draft.action in HEATERS), len(plan.drafts))
    return any(draft.action == "slice" for draft in plan.drafts[:heats])


def _by_word(items: Sequence[Item]) -> tuple[str, str] | None:
    """The shape that stands in the name of the meat or beside it, with the word that says it."""
    for index, item in enumerate(items):
        if item.phrase is not None:
            continue
        words = set(words_of(item.token.text)) if item.kind in MEAT else set()
        for form, names in english.SHAPES.items():
            if words & names:
                return form, item.token.text
            if item.kind in ("FILL", "ACTION") and item.token.key in names and _beside_meat(items, index, form):
                return form, item.token.text
    return None


def _beside_meat(items: Sequence[Item], index: int, form: str) -> bool:
    """Whether a word stands right behind the meat, or before it: "pork steak", "steak of venison", "a whole flank"."""
    before = items[index - 1] if index else None
    if before is not None and before.phrase is None and before.kind in MEAT:
        return True
    if items[index].kind != "FILL":
        return False
    after = next((item for item in items[index + 1 :] if item.kind not in LIGHT), None)
    if after is None:
        return form == STEAK
    if after.phrase is not None:
        return form == STEAK
    return after.kind in MEAT or (form == STEAK and after.kind in ("SOFT", "HARD", "THICK", "ACTION"))
