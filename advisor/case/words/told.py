"""Facts that are said outright: the meat, the guests, the middle, what is not known, and words without a place."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from advisor.case.model import Given, Ingredient
from advisor.case.words.amounts import place_dose
from advisor.case.words.draft import COOKS, TAKES
from advisor.case.words.figures import place_figure
from advisor.case.words.lexicon import lexicon_of
from advisor.case.words.moments import place_moment
from advisor.case.words.outside import LEFT, stays_open
from advisor.case.words.scopes import LIGHT
from advisor.case.words.things import add

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.scopes import Item

MEAT: Final = frozenset({"CUT", "ANIMAL", "MEAT"})
UNIT_LETTERS: Final = 4
# Said behind the heat these are of what comes after it: the board it is sliced on, what goes with it.
OF_COOKED: Final = frozenset({"board", "hands", "egg", "rice", "self_service", "topped_up"})
FILLS: Final = 4  # words
# Said of what grows as well: "wild leeks"; "shot by my uncle" is said of meat alone.
OF_THINGS_TOO: Final = frozenset({"wild", "farmed"})
# Units that are other words as well.
UNIT_TOO: Final = frozenset({"second", "seconds", "quart", "stick", "sticks", "drop", "drops", "stone"})


def on_cut(builder: Builder, item: Item) -> None:
    """Keep a word for the cut until all are read."""
    builder.cuts.append(item)
    builder.label = None


def on_animal(builder: Builder, item: Item) -> None:
    """Keep a word for the animal until all are read."""
    builder.animals.append(item)
    builder.label = None


def on_meat(builder: Builder, item: Item) -> None:
    """A word for an animal that is also a cut of it: the cut only where no other is named."""
    builder.meats.append(item)
    builder.label = None


def on_code(builder: Builder, item: Item) -> None:
    """Note the food code."""
    builder.plan.code = str(item.token.value)


def on_core(builder: Builder, item: Item) -> None:
    """Note that the middle is meant."""
    builder.core = item.clause


def on_until(builder: Builder, item: Item) -> None:
    """Note that what follows ends the step."""
    del item
    builder.until = builder.index


def on_prep_to(builder: Builder, item: Item) -> None:
    """Note that what follows may end the step."""
    on_until(builder, item)


def on_choice(builder: Builder, item: Item) -> None:
    """Note a choice of the vocabulary."""
    value = item.token.value
    if not isinstance(value, tuple):
        return
    subject, fact, choice = map(str, value)
    named = builder.label == (subject, fact)
    builder.label = None
    if subject == "goal":
        builder.plan.code = choice
        return
    given = Given(choice, "written", item.token.text)
    if subject == "step":
        on_step_choice(builder, item, fact, given, named=named)
        return
    if (subject, fact) == ("piece", "form") and _of_a_thing(builder):
        return  # "minced garlic" says nothing of the meat
    if (subject, fact) == ("piece", "form") and item.token.key.startswith("sausage") and _fills(builder):
        builder.plan.lose(item.start, item.end)
        return
    if (fact, choice) == ("start_state", "out"):
        builder.out = item.clause
    elif fact == "start_state" and not named and stays_open(builder.items, builder.index):
        given = replace(given, note=LEFT)
    if fact == "form" and builder.current is not None and choice in ("slices", "cubes") and not _of_the_meat(builder):
        builder.plan.lose(item.start, item.end)
        return
    set_choice(builder, builder.plan.piece if subject == "piece" else builder.plan.guests, subject, fact, given)


def _of_the_meat(builder: Builder) -> bool:
    """Whether the word for the meat stands right before: "mutton leg cubes"."""
    before = builder.just_before()
    return before is not None and before.kind in MEAT


def _fills(builder: Builder) -> bool:
    """Whether sausage meat is said to be what the meat is stuffed with."""
    beside = builder.items[max(0, builder.index - FILLS) : builder.index + FILLS]
    return any(word.startswith("stuff") for item in beside for word in item.token.key.split())


def _of_a_thing(builder: Builder) -> bool:
    """Whether a shape is that of the thing right behind it, and not of meat named right before."""
    behind = (item for item in builder.items[builder.index + 1 :] if item.kind != "FORM")
    after = next(behind, None)
    return after is not None and after.kind == "WITH" and not _of_the_meat(builder)


def on_step_choice(builder: Builder, item: Item, fact: str, given: Given, *, named: bool) -> None:
    """Note a choice of a step; what is so of cooked food waits for the step behind the heat, unless it was named."""
    current = builder.current
    if named and current is not None:
        current.given[fact] = given
    elif fact == "egg" and current is not None and current.action in TAKES:
        add(builder, Ingredient("egg_white", item.token.text), item)
    elif fact in OF_COOKED and (current is None or current.action in COOKS):
        builder.waiting[fact] = given
    elif current is not None:
        set_choice(builder, current.given, "step", fact, given)
    else:
        builder.plan.lose(item.start, item.end)


def set_choice(builder: Builder, given: dict[str, Given], subject: str, fact: str, new: Given) -> None:
    """Note a choice; of two the worse, which stands later in the vocabulary."""
    kept = given.get(fact)
    if kept is None or kept.value == new.value:
        given[fact] = new
        return
    order = builder.plan.rulebase.vocabulary[subject][fact].choices
    joined = builder.behind(LIGHT - {"OR"})
    either = joined is not None and joined[1].kind == "OR"
    if isinstance(kept.value, str) and isinstance(new.value, str):
        worse = max(kept.value, new.value, key=order.index)
        given[fact] = Given(worse, "written", f"{kept.as_written} or {new.as_written}", "the worse is taken")
    if not either:
        builder.plan.ask(f"'{kept.as_written}' and '{new.as_written}' cannot both be so. Which is it?")


def on_how_thick(builder: Builder, item: Item) -> None:
    """The thickness is named."""
    about(builder, "thickness", item)


def on_how_heavy(builder: Builder, item: Item) -> None:
    """The weight is named."""
    about(builder, "weight", item)


def on_how_long(builder: Builder, item: Item) -> None:
    """The time out of the cold is named."""
    if "start_state" in builder.plan.piece:
        about(builder, "out_minutes", item)


def about(builder: Builder, fact: str, item: Item) -> None:
    """A fact was named: what follows is its value, or it is not known."""
    near = [i for i in builder.items[max(0, builder.index - 4) : builder.index + 4] if i.kind == "NOT_KNOWN"]
    if near:
        written = builder.plan.cut(min(near[0].start, item.start), max(near[0].end, item.end))
        builder.plan.piece[fact] = Given(None, "not known", written)
        near[0].part = "used"
    else:
        builder.label = ("piece", fact)


def on_not_known(builder: Builder, item: Item) -> None:
    """Note that a fact is not known."""
    if builder.label is not None and builder.label[0] != "step":
        subject, fact = builder.label
        (builder.plan.piece if subject == "piece" else builder.plan.guests)[fact] = Given(
            None, "not known", item.token.text
        )
        builder.label = None
    elif builder.label is not None and builder.current is not None:
        builder.current.given[builder.label[1]] = Given(None, "not known", item.token.text)
        builder.label = None
    elif item.part == "said" and not any(
        i.kind.startswith("HOW_") for i in builder.items[builder.index : builder.index + 4]
    ):
        builder.plan.lose(item.start, item.end)


def on_junk(builder: Builder, item: Item) -> None:
    """List a word that is nothing we know."""
    builder.plan.lost.append((item.start, item.end))
    if item.numeric:
        builder.plan.lose(item.start, item.end, "a number that has no place in the plan.")
    beside = builder.items[builder.index + 1 : builder.index + 2]
    if item.token.key == "per" and builder.current is not None and builder.current.ingredients:
        weighed = [i for i, thing in enumerate(builder.current.ingredients) if thing.grams is not None]
        if weighed:
            # "a spoon of salt per quart" is no weight of salt on the meat.
            last = builder.current.ingredients[weighed[-1]]
            builder.current.ingredients[weighed[-1]] = replace(last, grams=None)
            end = beside[0].end if beside else item.end
            builder.plan.lose(builder.amount_at, end, "how much is it of the meat's weight? Write it in percent.")
    units = lexicon_of(builder.plan.rulebase).units
    if len(item.token.key) >= UNIT_LETTERS and (item.token.key,) in units and item.token.key not in UNIT_TOO:
        builder.plan.lose(item.start, item.end, "how much? The number before it is not understood.")


def on_origin(builder: Builder, item: Item) -> None:
    """Keep "farmed" or "wild" until the meat is known; "wild garlic" says nothing of it."""
    following = builder.ahead()
    of_a_thing = ("WITH", "JUNK") if item.token.key in OF_THINGS_TOO else ("WITH",)
    if following is not None and following.kind in of_a_thing:
        builder.plan.lost.append((item.start, item.end))
    else:
        builder.origins.append(item)


def on_people(builder: Builder, item: Item) -> None:
    """List a word for guests that no number stands by."""
    builder.plan.lost.append((item.start, item.end))


def on_feeds(builder: Builder, item: Item) -> None:
    """List "feeds" and the like where no number follows."""
    after = builder.items[builder.index + 1 : builder.index + 2]
    if not after or after[0].phrase is None or after[0].phrase.name != "bare":
        builder.plan.lost.append((item.start, item.end))


def on_damp(builder: Builder, item: Item) -> None:
    """List a word for humidity that no share stands by."""
    beside = builder.items[max(0, builder.index - 3) : builder.index + 3]
    if not any(i.phrase is not None and i.phrase.kind == "percent" for i in beside):
        builder.plan.lost.append((item.start, item.end))


def on_vague(builder: Builder, item: Item) -> None:
    """List an amount that is none."""
    builder.plan.lost.append((item.start, item.end))


def on_liquor(builder: Builder, item: Item) -> None:
    """List a liquid of unknown strength."""
    builder.plan.lost.append((item.start, item.end))


def on_phrase(builder: Builder, item: Item) -> None:
    """Put a phrase with a figure in its place."""
    phrase = item.phrase
    if phrase is None:
        return
    if phrase.name == "vague":
        on_vague_phrase(builder, item)
    elif phrase.name == "moment":
        place_moment(builder, item)
    elif phrase.name == "dose":
        place_dose(builder, item)
    else:
        place_figure(builder, item)


def on_vague_phrase(builder: Builder, item: Item) -> None:
    """Ask about "a few hours", which is no figure; "a pinch of salt" is an amount nobody said."""
    timed = any(word.kind.startswith("U") for word in item.phrase.words) if item.phrase is not None else False
    if timed:
        builder.plan.lose(item.start, item.end, "that is no fixed amount. How much is it at the most?")
    else:
        builder.plan.lost.append((item.start, item.end))
