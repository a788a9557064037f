"""The words for the animal and the cut: one of each, or a question."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case import names
from advisor.case.model import Given
from advisor.case.words.scopes import LIGHT, Item

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Plan
    from advisor.knowledge.rulebase import Rulebase


# What rules read of a cut, beside its size.
RULES_READ = ("animal", "toughness", "collagen", "grain", "tissue", "often_sold", "parasite")


def settle_meat(plan: Plan, builder: Builder) -> None:
    """Turn the words for the animal and the cut into one of each; ask back rather than guess."""
    cuts = {item: _name(item, 0) for item in builder.cuts}
    animals = {_name(item, 0): item for item in builder.animals}
    for item in builder.meats:
        if cuts or animals:
            animals.setdefault(_name(item, 1), item)
        else:
            cuts[item] = _name(item, 0)
    if not animals and not cuts and not {"animal", "cut"} & set(plan.piece):
        plan.ask("what meat is it? Name the animal and the cut")
    for item in (*animals.values(), *cuts):
        if item.token.kind.endswith("~"):
            plan.remark(_slip(item))
    if len(animals) > 1:
        said = sorted(animals.values(), key=lambda item: item.start)
        plan.lose(said[0].start, said[-1].end, "which animal is it from?")
    elif animals:
        ((name, item),) = animals.items()
        labelled = plan.piece.get("animal")
        if labelled is not None and labelled.value not in (name, None):
            plan.lose(item.start, item.end, f"the animal was said to be '{labelled.as_written}' too.")
        else:
            plan.piece["animal"] = Given(name, "written", item.token.text)
    if cuts:
        animal = plan.piece.get("animal")
        _settle_cut(plan, builder, cuts, str(animal.value) if animal is not None and animal.value else "")
    _settle_origin(plan, builder)


def _of_origin(plan: Plan, builder: Builder, both: tuple[str, ...]) -> tuple[str, ...]:
    """Those cuts that are farmed, or wild, as was said; all where none is."""
    kinds = {item.kind for item in builder.origins}
    if len(kinds) != 1:
        return both
    wild = kinds == {"WILD"}
    fit = tuple(cut for cut in both if plan.rulebase.cuts[cut].animal.startswith("wild") is wild)
    return fit or both


def _settle_origin(plan: Plan, builder: Builder) -> None:
    """Take "farmed" and "wild" of the meat: hunted meat is another class, so what cannot be placed is asked."""
    cuts = plan.rulebase.cuts
    cut = cuts.get(str(plan.piece["cut"].value)) if "cut" in plan.piece else None
    animal = plan.piece["animal"].value if "animal" in plan.piece else cut.animal if cut is not None else None
    said = plan.piece["animal"].as_written if "animal" in plan.piece else ""
    if animal == "farmed_deer" and not builder.origins and not farmed(said):
        written = plan.piece["cut"].as_written if "cut" in plan.piece else said
        plan.ask(f"'{written}': is the deer farmed or hunted? Say which; what was hunted is cooked through")
    for item in builder.origins:
        wild = isinstance(animal, str) and animal.startswith("wild")
        if item.kind == "FARMED":
            if animal == "farmed_deer":
                plan.piece["animal"] = Given("farmed_deer", "written", item.token.text)
            else:
                why = f"but {str(animal).replace('_', ' ')} is hunted. Which is it?" if wild else ""
                plan.lose(item.start, item.end, why)
            continue
        if wild:
            continue
        called = [f"wild {cut.name}", f"wild {cut.name.split()[0]}"] if cut is not None else []
        hunted = next((c for name in called for c in cuts if cuts[c].name == name), None)
        if hunted is None:
            plan.lose(item.start, item.end, "is it hunted? Name the wild animal and the cut.")
            continue
        written = f"{item.token.text} {plan.piece['cut'].as_written}"
        plan.piece["cut"] = Given(hunted, "written", written, f"taken as {cuts[hunted].name}")
        plan.piece["animal"] = Given(cuts[hunted].animal, "written", item.token.text)


def farmed(said: str) -> bool:
    """Whether the words for the animal say that it was farmed; "venison" alone does not.

    Examples
    --------
    >>> farmed("farmed deer"), farmed("venison")
    (True, False)
    """
    return any(word in said.lower() for word in ("farm", "ranch"))


def _settle_cut(plan: Plan, builder: Builder, said: dict[Item, str], animal: str) -> None:
    """Find the one cut that all the words for it can mean."""
    could: dict[Item, tuple[str, ...]] = {}
    asks: list[str] = []
    for item, carried in said.items():
        hint, _, word = carried.rpartition(":")
        match = names.find_cut(word, hint or animal, plan.rulebase)
        could[item] = (match.found,) if match.found is not None else match.could_be
        asks += [match.ask] if match.ask else []
        if not could[item]:
            plan.lose(item.start, item.end, f"no cut of {(hint or animal).replace('_', ' ')} that we know.")
    items = [item for item in sorted(said, key=lambda item: item.start) if could[item]]
    if not items:
        return
    first = items[0]
    # "venison backstrap": each word leaves several, both together fewer.
    both = tuple(cut for cut in could[first] if all(cut in could[item] for item in items))
    both = _of_origin(plan, builder, both)
    if not both:
        _at_odds(plan, builder, first, items[-1])
    elif len(both) == 1:
        hints = {carried.rpartition(":")[0] for carried in said.values()} - {""}
        if hints and not animal:
            plan.piece.setdefault("animal", Given(hints.pop(), "written", first.token.text))
        note = next((_slip(item) for item in items if item.token.kind.endswith("~")), "")
        plan.piece["cut"] = Given(both[0], "written", plan.cut(first.start, first.end), note)
    else:
        end = items[-1].end if all(len(could[i]) > 1 for i in items) else first.end
        ask = asks[0] if len(items) == 1 and asks else "Which is it?"
        _several(plan, said[first].rpartition(":")[2], both, (first.start, end), ask)


def _at_odds(plan: Plan, builder: Builder, first: Item, last: Item) -> None:
    """Ask about words that cannot mean the same cut."""
    inner = [i for i in builder.items if first.start < i.start < last.start]
    if all(i.kind in LIGHT or i.kind in ("OR", "CUT", "MEAT") for i in inner):
        plan.lose(first.start, last.end, "which of them is it? One piece at a time.")
    else:
        plan.lose(last.start, last.end, f"it was '{first.token.text}' before. Which is it?")


def _several(plan: Plan, word: str, both: tuple[str, ...], span: tuple[int, int], ask: str) -> None:
    """Choose among several cuts where that is safe, show a guess where there is one, and ask."""
    cuts = plan.rulebase.cuts
    written = plan.cut(*span)
    animals_of = {cuts[c].animal for c in both}
    if len(animals_of) == 1 and "animal" not in plan.piece:
        plan.piece["animal"] = Given(animals_of.pop(), "written", written)
    others = " or ".join(f"'{cuts[c].name}'" for c in both)
    if plain := _plain_name(word, both, plan.rulebase) or _alike(both, plan.rulebase):
        taken = f"'{written}' is taken as {cuts[plain].name}; it can mean {others}"
        # Safety hangs on the thickness alone; where that was not said, the other cuts are too thick to pass over.
        if "thickness" in plan.piece and plan.piece["thickness"].value is not None:
            taken += "; say so if it is another"
        else:
            plan.ask(f"{taken}, and nobody said how thick it is. Say which, or how thick")
        plan.piece["cut"] = Given(plain, "written", written, taken)
    elif beef := _of_beef(both, plan.rulebase):
        # The guess is shown and asked about: what holds for beef need not hold for the other.
        says = plan.rulebase.vocabulary["piece"]["animal"].says
        animals = " or ".join(sorted({says.get(cuts[c].animal, cuts[c].animal) for c in both}))
        plan.ask(f"'{written}': {animals}? We think beef. Name the animal")
        plan.piece["cut"] = Given(beef, "written", written)
    else:
        plan.lose(*span, f"it can mean more than one cut: {others}. {ask}")


def _name(item: Item, place: int) -> str:
    value = item.token.value
    return str(value[place] if isinstance(value, tuple) else value)


def _slip(item: Item) -> str:
    """What a word with a slip of the pen was read as."""
    return f"read '{item.token.text}' as {_name(item, 1)}"


def _plain_name(word: str, could_be: tuple[str, ...], rulebase: Rulebase) -> str:
    """The one cut, of one animal, that bears just this name, with or without *steak*."""
    cuts = rulebase.cuts
    bears = [c for c in could_be if cuts[c].name in (word, f"{word} steak")]
    one_animal = len({cuts[c].animal for c in could_be}) == 1
    return bears[0] if len(bears) == 1 and one_animal else ""


def _alike(could_be: tuple[str, ...], rulebase: Rulebase) -> str:
    """The first of cuts that no rule can tell apart but by their size; none where one can."""
    cuts = [rulebase.cuts[cut] for cut in could_be]
    return could_be[0] if len({tuple(getattr(cut, name) for name in RULES_READ) for cut in cuts}) == 1 else ""


def _of_beef(could_be: tuple[str, ...], rulebase: Rulebase) -> str:
    """The one cut of beef among cuts that are each of another animal."""
    animals = [rulebase.cuts[c].animal for c in could_be]
    return could_be[animals.index("beef")] if "beef" in animals and len(set(animals)) == len(animals) else ""
