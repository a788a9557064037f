"""Amounts of things that are put on: weights, spoons, doses and shares."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.model import Ingredient, by_spoon
from advisor.case.words.draft import SAME, TAKES
from advisor.case.words.joined import STOPS
from advisor.case.words.opened import put_on
from advisor.case.words.scopes import LIGHT, Item
from advisor.case.words.things import add, on_with
from advisor.errors import InputError
from advisor.units import read_quantity

AMOUNTS = frozenset({"mass", "volume", "percent"})
MEATS = frozenset({"CUT", "ANIMAL", "MEAT"})

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Draft
    from advisor.case.words.phrases import Phrase


def place_amount(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A weight or volume: of a thing put on, or of the piece."""
    plan = builder.plan
    following = builder.ahead()
    of_meat = builder.ahead(LIGHT - {"PREP"})
    if phrase.kind == "mass" and of_meat is not None and of_meat.kind in MEATS:
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["weight"], "weight", phrase)
        return
    if following is not None and following.kind == "WITH" and not _has_its_own(builder, following):
        _to_come(builder, item, phrase, following)
        return
    thing = _thing_before(builder, item, phrase)
    if thing is not None:
        draft, place = thing
        _set_amount(builder, draft, place, phrase, item)
        return
    if phrase.kind == "volume" and _of_a_brine(builder, following):
        draft = add(builder, Ingredient("water", "water"), item)
        draft.action = "brine" if draft.action in ("marinate", "hold") else draft.action
        _set_amount(builder, draft, len(draft.ingredients) - 1, phrase, item)
        return
    if phrase.kind == "mass":
        if builder.current is not None and builder.current.action == "salt" and not builder.current.closed:
            same = builder.current.clause == item.clause and not builder.current.ingredients
            if same and "weight" in plan.piece:
                draft = add(builder, Ingredient("table_salt", "salt"), item)
                _set_amount(builder, draft, len(draft.ingredients) - 1, phrase, item)
                return
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["weight"], "weight", phrase)
        return
    plan.lose(item.start, item.end, "of what?")


def _of_a_brine(builder: Builder, following: Item | None) -> bool:
    """Whether a volume is that of a brine told by its strength: "2 litres of a 5 % brine"."""
    if following is None or following.phrase is None or following.phrase.kind != "percent":
        return False
    behind = builder.items[builder.items.index(following) + 1 :][:1]
    return bool(behind) and (behind[0].token.value == "brine" or behind[0].kind == "LIQUOR")


def _has_its_own(builder: Builder, thing: Item) -> bool:
    """Whether an amount is not that of the thing behind it.

    "1 lb soy sauce 60 ml", "oil 30 g salt 10 g": amounts and things take turns, and an amount stands last. "30 g oil
    10 g salt" ends with a thing. "1 lb with a dry rub" is the meat's.
    """
    place = builder.items.index(thing)
    between = builder.items[builder.index + 1 : place]
    if any(item.kind == "AND" or item.token.key == "with" for item in between):
        return True
    turns: list[str] = []
    for item in builder.items[place + 1 :]:
        if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
            break
        if item.kind not in LIGHT or item.phrase is not None:
            phrase = item.phrase
            amount = phrase is not None and phrase.name == "quantity" and phrase.kind in AMOUNTS
            turns.append("amount" if amount else "meat" if item.kind in MEATS else item.kind)
    thing_last = True
    for turn, behind in zip(turns, [*turns, ""][1:], strict=True):
        # "30 g salt on 2 kg pork belly": the second amount is the meat's.
        if turn != ("amount" if thing_last else "WITH") or behind == "meat":
            break
        thing_last = not thing_last
    return not thing_last


def _to_come(builder: Builder, item: Item, phrase: Phrase, following: Item) -> None:
    """The thing stands behind its amount: put it on now, with the amount."""
    _take(builder, following)
    if builder.current is not None and builder.current.ingredients:
        _set_amount(builder, builder.current, len(builder.current.ingredients) - 1, phrase, item)


def _take(builder: Builder, thing: Item) -> None:
    """Go on to a thing that stands behind its amount, and put it on."""
    here = builder.index
    builder.index = builder.items.index(thing)
    form = next((i for i in builder.items[here : builder.index] if i.kind == "FORM"), None)
    builder.form = form if form is not None else builder.form
    builder.with_at = here if builder.with_at < 0 else builder.with_at
    on_with(builder, thing)
    builder.with_at = builder.index


def _thing_before(builder: Builder, item: Item, phrase: Phrase) -> tuple[Draft, int] | None:
    """The thing put on that this amount stands behind."""
    current = builder.current
    if current is None or not current.ingredients:
        return None
    last = len(current.ingredients) - 1
    if current.ingredients[last].grams is not None or current.ingredients[last].share_pct is not None:
        return None
    before = builder.behind(LIGHT - {"OR"}, over_stop=True)
    touches = before is not None and before[0] == builder.with_at
    close = builder.behind(LIGHT - {"OR"}) is not None
    previous = builder.just_before()
    bracket = previous is not None and previous.token.text == "("
    if touches and (close or bracket or phrase.kind == "volume" or "weight" in builder.plan.piece):
        return current, last
    opened = phrase.kind == "volume" or bracket
    return (current, last) if opened and not current.closed and current.clause >= item.clause - 1 else None


def _grams(builder: Builder, what: str, phrase: Phrase, value: float) -> float:
    """Weight of an amount; what has no weight by the spoon weighs about as much as water."""
    if phrase.kind == "mass":
        return value
    material = builder.plan.rulebase.materials.get(what)
    spoon = material.density_g_per_tsp if material is not None else None
    return value if spoon is None else value / read_quantity("1 tsp", "volume").value * spoon


def _set_amount(builder: Builder, draft: Draft, place: int, phrase: Phrase, item: Item) -> None:
    if phrase.low is None or phrase.high is None:
        return
    if phrase.bound == "least":
        builder.plan.lose(item.start, item.end, "how much at the most?")
        return
    builder.amount_at = item.start
    thing = draft.ingredients[place]
    grams = _grams(builder, thing.what, phrase, max(phrase.low, phrase.high))
    if thing.grams is not None and abs(thing.grams - grams) > SAME * max(thing.grams, grams):
        builder.plan.lose(item.start, item.end, f"there are two amounts of {thing.as_written}. Which is it?")
        return
    if phrase.ranged:
        written = builder.plan.cut(phrase.start, phrase.end)
        builder.plan.remark(f"'{written}' of {thing.as_written}: the larger figure is taken, the worse one")
    material = builder.plan.rulebase.materials.get(thing.what)
    spooned = phrase.kind == "volume" and material is not None and material.density_g_per_tsp is not None
    note = by_spoon(thing.as_written, grams) if spooned else thing.note
    draft.ingredients[place] = replace(thing, grams=grams, note=note)
    builder.plan.place(phrase.start, phrase.end)
    if phrase.kind == "mass":
        builder.plan.systems.append(phrase.system)


def _set_share(builder: Builder, draft: Draft, place: int, share: float, phrase: Phrase) -> None:
    thing = draft.ingredients[place]
    if phrase.ranged:
        written = builder.plan.cut(phrase.start, phrase.end)
        builder.plan.remark(f"'{written}' of {thing.as_written}: the larger figure is taken, the worse one")
    draft.ingredients[place] = replace(thing, share_pct=share)
    builder.plan.place(phrase.start, phrase.end)


def place_dose(builder: Builder, item: Item) -> None:
    """An amount for a weight of meat: "a teaspoon a pound", "15 g a kilo"."""
    phrase = item.phrase
    if phrase is None or phrase.low is None or phrase.high is None:
        builder.plan.lose(item.start, item.end, phrase.problem if phrase is not None else "")
        return
    following = builder.ahead()
    if following is not None and following.kind == "WITH":
        _take(builder, following)
    draft = builder.current
    if draft is not None and draft.action == "salt" and not draft.ingredients and not draft.closed:
        add(builder, Ingredient("table_salt", "salt"), item)
    if draft is None or not draft.ingredients or draft.closed or draft.action not in TAKES:
        builder.plan.lose(item.start, item.end, "of what?")
        return
    last = len(draft.ingredients) - 1
    per = _per(phrase)
    if per is None:
        builder.plan.lose(item.start, item.end, "for how much meat?")
        return
    _for_each_too(builder, draft, item)
    grams = _grams(builder, draft.ingredients[last].what, phrase, max(phrase.low, phrase.high))
    _set_share(builder, draft, last, grams / per * 100.0, phrase)


def _per(phrase: Phrase) -> float | None:
    """Weight of meat that a dose is for, in grams: "per pound", "per 100 g"; None where it cannot be read."""
    kinds = [word.kind for word in phrase.words]
    behind = phrase.words[kinds.index("PER") + 1 :]
    text = " ".join(str(word.value or word.key) for word in behind)
    try:
        grams = read_quantity(text if len(behind) > 1 else f"1 {text}", "mass").value
    except InputError:
        return None
    return grams if grams > 0.0 else None


def _for_each_too(builder: Builder, draft: Draft, item: Item) -> None:
    """Ask about "1 tsp salt and 1 tsp pepper per pound": the first may be for each pound, or in all."""
    before = builder.items[max(0, builder.items.index(item) - 2) : builder.items.index(item)]
    if [i.kind for i in before] == ["WITH", "AND"] and len(draft.ingredients) > 1:
        first = draft.ingredients[-2]
        if first.grams is not None:
            builder.plan.ask(f"the {first.as_written}: is that in all, or for each weight of meat too? Say it for each")


def _damp(builder: Builder) -> bool:
    """Whether a word for humidity stands beside a share, before it or behind."""
    beside = (builder.ahead(), *builder.items[max(0, builder.index - 2) : builder.index])
    return any(item is not None and item.kind == "DAMP" for item in beside)


def _humidity(builder: Builder, item: Item) -> None:
    """Give the humidity to the oven that is open, or to the one that this clause opens or that follows it."""
    current = builder.current
    if current is not None and not current.closed and current.action == "oven":
        put_on(builder, current, "humidity", item)
        return
    waits = current is None or current.closed or current.clause != item.clause
    if waits and (builder.clause_opens() is not None or builder.begins_clause()):
        builder.pending.append(("humidity", item))
    else:
        builder.plan.lose(item.start, item.end, "how damp is what? Only an oven has it here.")


def place_share(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A share: of a thing put on, of the fat in the meat, or of the brine pumped in."""
    plan = builder.plan
    if phrase.low is None or phrase.high is None:
        return
    share = max(phrase.low, phrase.high)
    following = builder.ahead()
    current = builder.current
    if _damp(builder):
        _humidity(builder, item)
        return
    if following is not None and following.kind == "WITH":
        _take(builder, following)
        if builder.current is not None and builder.current.ingredients:
            _set_share(builder, builder.current, len(builder.current.ingredients) - 1, share, phrase)
        return
    if following is not None and following.token.key == "fat":
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["fat"], "fat", phrase)
        following.kind = "FILL"
        return
    if current is not None and current.action in ("inject", "tumble") and not current.closed:
        _pumped(builder, current, following, share, phrase)
        return
    thing = _thing_before(builder, item, phrase)
    before = builder.behind(LIGHT - {"OR"}, over_stop=True)
    if thing is not None and before is not None and before[0] == builder.with_at:
        _set_share(builder, thing[0], thing[1], share, phrase)
        return
    if not _of_salt_or_brine(builder, item, following, share, phrase):
        plan.lose(item.start, item.end, "a share of what?")


def _pumped(builder: Builder, current: Draft, following: Item | None, share: float, phrase: Phrase) -> None:
    """Take the share as how much is pumped in, or as the strength of a brine of which the water is known."""
    weighed = any(thing.what == "water" and thing.grams for thing in current.ingredients)
    if weighed and following is not None and following.token.value == "brine":
        builder.plan.strengths.append((current, share, phrase))
    else:
        builder.plan.put(current.given, builder.plan.rulebase.vocabulary["step"]["pump_pct"], "pump_pct", phrase)
    if following is not None and following.kind in ("ACTION", "LIQUOR"):
        following.kind = "FILL"


def _of_salt_or_brine(builder: Builder, item: Item, following: Item | None, share: float, phrase: Phrase) -> bool:
    """Take "salt it at 2 %"; keep "4 % brine", "brine 4 %" until its water is known."""
    current = builder.current
    if current is not None and current.action == "salt" and not current.ingredients and not current.closed:
        draft = add(builder, Ingredient("table_salt", "salt"), item)
        _set_share(builder, draft, len(draft.ingredients) - 1, share, phrase)
        return True
    named = following is not None and following.kind == "ACTION" and following.token.value == "brine"
    if not named and (current is None or current.action != "brine" or current.closed):
        return False
    builder.plan.strengths.append((None if named else current, share, phrase))
    return True
