"""Things that are put on the meat: their form, and the step they go to."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from advisor.case.model import Ingredient
from advisor.case.words.draft import COOKS, TAKES
from advisor.case.words.opened import flush, open_step
from advisor.case.words.scopes import LIGHT

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Draft
    from advisor.case.words.scopes import Item

SALTY: Final = frozenset({"salt", "curing_salt"})


def on_form(builder: Builder, item: Item) -> None:
    """Keep the form of a thing: raw, tinned, dried."""
    before = builder.behind(LIGHT - {"FORM"}, over_stop=True)
    if before is not None and before[1].phrase is not None and before[1].phrase.kind in ("mass", "volume"):
        # "asian pear 80 g grated": the amount stands between.
        inner = builder.items[before[0] - 1] if before[0] else None
        before = (before[0] - 1, inner) if inner is not None and before[0] - 1 == builder.with_at else before
    following = builder.ahead(LIGHT - {"FORM"})
    if following is not None and following.kind == "WITH":
        builder.form = item
    elif (
        before is not None and before[1].kind == "WITH" and builder.current is not None and builder.current.ingredients
    ):
        last = builder.current.ingredients[-1]
        if last.form in ("", "unknown") and before[0] == builder.with_at:
            builder.current.ingredients[-1] = replace(last, form=str(item.token.value))


def on_with(builder: Builder, item: Item) -> None:
    """Read a thing that is put on."""
    value = item.token.value
    slip = isinstance(value, tuple)
    what = str(value[0] if isinstance(value, tuple) else value)
    name = item.token.text
    softens = what in builder.plan.rulebase.tenderisers
    form = ""
    if builder.form is not None:
        form = str(builder.form.token.value)
        builder.form = None
    first = item.token.key.split()[0] if not slip else ""
    if not form and first == "fresh" and not called(builder, what).startswith("fresh"):
        form = "fresh"
    if not form and softens:
        form = "unknown"
    note = f"read '{item.token.text}' as {value[1]}" if isinstance(value, tuple) else ""
    if note:
        builder.plan.remark(note)
    add(builder, Ingredient(what, name, form if softens or form else ""), item)
    builder.with_at = builder.index


def called(builder: Builder, what: str) -> str:
    """What the rulebase itself calls a thing."""
    book = builder.plan.rulebase
    return book.tenderisers[what].name if what in book.tenderisers else book.materials[what].name


def add(builder: Builder, thing: Ingredient, item: Item) -> Draft:
    """Put a thing on the meat, in the step it stands by or in one of its own."""
    salted = salty(builder, thing.what)
    current = builder.current
    same = current is not None and current.clause == item.clause
    before = builder.behind(LIGHT, over_stop=True)
    chain = (
        before is not None and (before[0] == builder.with_at or before[1].phrase is not None) and builder.with_at >= 0
    )
    # "leave the steak (1 kg) in kiwi": the leaving is the marinating, though a bracket stands between.
    bare = (
        current is not None
        and current.action == "hold"
        and not {"minutes", "place"} & set(current.given)
        and builder.after_prep()
    )
    if current is not None and not current.closed:
        if current.action in TAKES and (
            same or bare or current.implied or chain or current.action in ("marinate", "brine", "salt")
        ):
            if current.action == "hold":
                if not bare and not (same and current.implied):
                    current = None
                else:
                    current.action = "salt" if salted else "marinate"
            if current is not None:
                if current.action == "salt" and current.implied and not salted:
                    current.action = "marinate"
                again = [had for had in current.ingredients if had.what == thing.what and had.grams is None]
                if again and again[0].share_pct is None:
                    # Named twice: what follows is said of it, so it goes last.
                    current.ingredients.remove(again[0])
                    thing = again[0] if again[0].form not in ("", "unknown") else thing
                current.ingredients.append(thing)
                flush(builder)
                return current
        elif current.action in ("chill", "ice") and same and _into(builder):
            # "chill overnight in its stock": it lies in it, and that is no marinade.
            current.ingredients.append(thing)
            return current
        elif current.action in COOKS and same and (_into(builder) or (current.ingredients and _joined(builder))):
            current.ingredients.append(thing)
            return current
    draft = open_step(builder, "salt" if salted else "marinate", item, implied=True)
    draft.ingredients.append(thing)
    return draft


def _into(builder: Builder) -> bool:
    """Whether a thing goes into what cooks: "braise in wine", "with stock"."""
    return builder.after_prep() or builder.after_with()


def _joined(builder: Builder) -> bool:
    """Whether *and* joins it to the thing before: "in red wine and stock"."""
    before = builder.behind()
    return before is not None and before[0] == builder.with_at


def salty(builder: Builder, what: str) -> bool:
    """Whether it is salt itself."""
    material = builder.plan.rulebase.materials.get(what)
    return material is not None and material.kind in SALTY
