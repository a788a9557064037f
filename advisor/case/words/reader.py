"""A cook's words to a case: cut, classified, cut into phrases, sorted from what is no plan, and put in their places."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case import names
from advisor.case.contradictions import contradictions
from advisor.case.model import Case, Given
from advisor.case.words.build import Builder
from advisor.case.words.classify import STOPS, Classifier
from advisor.case.words.draft import Plan
from advisor.case.words.lexicon import lexicon_of
from advisor.case.words.scopes import LIGHT, Item, Scope, items_of, scopes_of
from advisor.case.words.tokens import tokens

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from advisor.knowledge.rulebase import Rulebase

MOST_STEPS = 40
# What a denial says of a fact with two answers.
DENIED = {
    ("guests", "latex", "yes"): "no",
    ("piece", "bone", "yes"): "no",
    ("piece", "bone", "no"): "yes",
    ("guests", "vulnerable", "some"): "no",
}
# Only this word covers all of them; "no kids" leaves the old and the ill.
ALL_OF_THEM = frozenset({"vulnerable", "vulnerable guests", "vulnerable people"})
NO_PLAN = {
    "question": "a question is no part of the plan; say it without asking, if it is",
    "hearsay": "somebody says so, which is no plan; say it yourself, if it is",
    "condition": "it hangs on an if; say what will be done",
    "doubtful": "it cannot be told whether that is wanted or not",
    "denied": "a number in what is not done",
}


def read_words(text: str, rulebase: Rulebase, now: datetime) -> Case:
    """Read a plan in a cook's own words.

    Parameters
    ----------
    text : str
        What the cook said.
    rulebase : Rulebase
        Names, vocabulary and bounds; the words the reader knows are made from it.
    now : datetime
        Local time, for "tomorrow lunch".

    Returns
    -------
    Case
        Every number is in it, or in ``not_understood`` and in ``unsettled``.

    Raises
    ------
    InputError
        The text is empty or far too long.
    """
    raw = tokens(text)
    found = Classifier(raw, lexicon_of(rulebase), text).run()
    items = items_of(found)
    scopes = scopes_of(items)
    plan = Plan(rulebase, text, now)
    builder = Builder(plan, items)
    builder.run()
    for scope in scopes:
        _told(plan, scope)
    _settle_meat(plan, builder)
    _settle_order(plan)
    _audit(plan, items)
    case = _consistent(_case(plan), rulebase)
    lost = (*_lost(plan, items), *case.not_understood)
    return replace(case, not_understood=lost, unsettled=tuple(plan.unsettled) + case.unsettled)


def _audit(plan: Plan, items: Sequence[Item]) -> None:
    """Hold every number and time against its place: what has none, and was not listed, is listed and asked about."""
    for item in items:
        timed = item.phrase is not None and item.phrase.name != "vague"
        if not (item.numeric or timed):
            continue
        if not any(start <= item.start and item.end <= end for start, end in (*plan.placed, *plan.lost)):
            # A choice such as a food code's year is in the case by its words.
            if item.kind not in ("CHOICE", "CODE"):
                plan.lose(item.start, item.end, "it has no place in the plan.")


def _told(plan: Plan, scope: Scope) -> None:
    """Say what was left out and why; what is denied of a fact with two answers is the other answer."""
    start, end = scope.items[0].start, scope.items[-1].end
    words = plan.cut(start, end)
    serious = scope.numeric or scope.kind == "doubtful" or (scope.kind in ("condition", "hearsay") and scope.does)
    if scope.kind != "denied" or serious:
        plan.lose(start, end, NO_PLAN[scope.kind] + "." if serious else "")
        return
    for item in scope.items:
        value = item.token.value if item.kind == "CHOICE" else None
        if not isinstance(value, tuple):
            continue
        other = DENIED.get((str(value[0]), str(value[1]), str(value[2])))
        whole = value[1] != "vulnerable" or item.token.key in ALL_OF_THEM
        if other is not None and whole:
            given = plan.piece if value[0] == "piece" else plan.guests
            given.setdefault(str(value[1]), Given(other, "written", words))
    plan.remark(f"left out, as you said: '{words}'")


def _settle_meat(plan: Plan, builder: Builder) -> None:
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


def _settle_cut(plan: Plan, builder: Builder, said: dict[Item, str], animal: str) -> None:
    """Find the one cut that all the words for it can mean."""
    rulebase = plan.rulebase
    could: dict[Item, tuple[str, ...]] = {}
    asks: list[str] = []
    for item, carried in said.items():
        hint, _, word = carried.rpartition(":")
        match = names.find_cut(word, hint or animal, rulebase)
        could[item] = (match.found,) if match.found is not None else match.could_be
        asks += [match.ask] if match.ask else []
        if not could[item]:
            plan.lose(item.start, item.end, f"no cut of {(hint or animal).replace('_', ' ')} that we know.")
    items = [item for item in sorted(said, key=lambda item: item.start) if could[item]]
    if not items:
        return
    first, last = items[0], items[-1]
    # "venison backstrap": each word leaves several, both together fewer.
    both = tuple(cut for cut in could[first] if all(cut in could[item] for item in items))
    if not both:
        inner = [i for i in builder.items if first.start < i.start < last.start]
        if all(i.kind in LIGHT or i.kind in ("OR", "CUT", "MEAT") for i in inner):
            plan.lose(first.start, last.end, "which of them is it? One piece at a time.")
        else:
            plan.lose(last.start, last.end, f"it was '{first.token.text}' before. Which is it?")
        return
    if len(both) == 1:
        hints = {carried.rpartition(":")[0] for carried in said.values()} - {""}
        if hints and not animal:
            plan.piece.setdefault("animal", Given(hints.pop(), "written", first.token.text))
        note = next((_slip(item) for item in items if item.token.kind.endswith("~")), "")
        plan.piece["cut"] = Given(both[0], "written", plan.cut(first.start, first.end), note)
        return
    written = plan.cut(first.start, first.end)
    others = " or ".join(f"'{rulebase.cuts[c].name}'" for c in both)
    if plain := _plain_name(said[first].rpartition(":")[2], both, rulebase):
        taken = f"'{written}' is taken as {rulebase.cuts[plain].name}; it can mean {others}"
        # Safety hangs on the thickness alone; where that was not said, the other cuts are too thick to pass over.
        if "thickness" in plan.piece and plan.piece["thickness"].value is not None:
            taken += "; say so if it is another"
        else:
            plan.ask(f"{taken}, and nobody said how thick it is. Say which, or how thick")
        plan.piece["cut"] = Given(plain, "written", written, taken)
    elif beef := _of_beef(both, rulebase):
        # The guess is shown and asked about: what holds for beef need not hold for the other.
        animals_said = " or ".join(sorted({rulebase.cuts[c].animal for c in both}))
        plan.ask(f"'{written}': {animals_said}? We think beef. Name the animal")
        plan.piece["cut"] = Given(beef, "written", written)
    else:
        end = items[-1].end if all(len(could[i]) > 1 for i in items) else first.end
        ask = asks[0] if len(items) == 1 and asks else "Which is it?"
        plan.lose(first.start, end, f"it can mean more than one cut: {others}. {ask}")


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


def _of_beef(could_be: tuple[str, ...], rulebase: Rulebase) -> str:
    """The one cut of beef among cuts that are each of another animal."""
    animals = [rulebase.cuts[c].animal for c in could_be]
    return could_be[animals.index("beef")] if "beef" in animals and len(set(animals)) == len(animals) else ""


def _settle_order(plan: Plan) -> None:
    """A step that was only named after "after", and stands twice, leaves the order open."""
    for draft in plan.drafts:
        if draft.referred and not draft.given:
            plan.ask(f"the {draft.action.replace('_', ' ')} was named out of order. Say the steps in order, each once.")
    if len(plan.drafts) > MOST_STEPS:
        plan.ask(f"there are {len(plan.drafts)} steps; {MOST_STEPS} are the most. Check one dish at a time.")
        del plan.drafts[MOST_STEPS:]


def _case(plan: Plan) -> Case:
    us = plan.systems.count("us") > plan.systems.count("metric")
    return Case(
        piece=_in_order(plan.piece, plan.rulebase.vocabulary["piece"]),
        guests=_in_order(plan.guests, plan.rulebase.vocabulary["guests"]),
        steps=tuple(draft.done() for draft in plan.drafts),
        serve=plan.serve,
        system="us" if us else "metric",
        code=plan.code,
        remarks=tuple(plan.remarks),
    )


def _in_order(given: Mapping[str, Given], vocabulary: Mapping[str, object]) -> dict[str, Given]:
    """Facts in the order of the vocabulary, as a plan file is written."""
    return {name: given[name] for name in vocabulary if name in given}


def _consistent(case: Case, rulebase: Rulebase) -> Case:
    """Take out what cannot be so beside the rest, and ask about it."""
    asked: list[str] = []
    gone: list[str] = []
    for _ in range(MOST_STEPS):
        wrong = contradictions(case, rulebase, json.dumps)
        if not wrong:
            break
        for error in wrong[:1]:
            asked.append(f"{error.what} {error.hint}")
            path = json.loads(error.where)
            before = _written(case)
            case = _without(case, path)
            gone += sorted((before - _written(case)).elements())
    return replace(case, unsettled=(*case.unsettled, *asked), not_understood=tuple(gone))


def _written(case: Case) -> Counter[str]:
    """The cook's words for every value of a case."""
    steps = (given for step in case.steps for given in step.given.values())
    return Counter(given.as_written for given in (*case.piece.values(), *case.guests.values(), *steps))


def _without(case: Case, path: Sequence[str | int]) -> Case:
    if path[0] == "piece":
        return replace(case, piece={name: given for name, given in case.piece.items() if name != path[1]})
    index = int(path[1])
    step = case.steps[index]
    if len(path) > 2:  # noqa: PLR2004 - ("steps", index, fact)
        fact = {"at": "temperature", "for": "minutes"}.get(str(path[2]), str(path[2]))
        return case.with_step(index, replace(step, given={n: g for n, g in step.given.items() if n != fact}))
    return case.with_step(index, replace(step, action="hold"))


def _lost(plan: Plan, items: Sequence[Item]) -> tuple[str, ...]:
    """Words that have no place, those that stand together in one phrase."""
    between = [item for item in items if item.kind in LIGHT and item.kind not in STOPS]
    merged: list[list[int]] = []
    for start, end in sorted(plan.lost):
        if merged and (start <= merged[-1][1] or _only(between, plan.text, merged[-1][1], start)):
            merged[-1][1] = max(merged[-1][1], end)
        else:
            merged.append([start, end])
    return tuple(dict.fromkeys(plan.cut(start, end) for start, end in merged))


def _only(light: Sequence[Item], text: str, start: int, end: int) -> bool:
    """Whether only small words stand between two places of the text."""
    gap = list(text[start:end])
    for item in light:
        if start <= item.start and item.end <= end:
            gap[item.start - start : item.end - start] = " " * (item.end - item.start)
    return not "".join(gap).strip()
