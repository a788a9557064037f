"""A cook's words to a case: cut, classified, cut into phrases, sorted from what is no plan, and put in their places."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.contradictions import HEATERS, contradictions
from advisor.case.model import Case, Given, Ingredient
from advisor.case.words import english
from advisor.case.words.birds import bird_by_bird
from advisor.case.words.build import Builder
from advisor.case.words.classify import Classifier
from advisor.case.words.draft import COLD, COOKS, Plan
from advisor.case.words.joined import STOPS
from advisor.case.words.lexicon import lexicon_of
from advisor.case.words.meat import settle_meat
from advisor.case.words.outside import out_of_the_cold
from advisor.case.words.scopes import LIGHT, Item, Scope, items_of, scopes_of
from advisor.case.words.shape import settle_shape
from advisor.case.words.stays import lacking, put_stays, set_aside, stays
from advisor.case.words.stuffing import settle_stuffing
from advisor.case.words.things import SALTY
from advisor.case.words.tokens import tokens

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from advisor.case.words.stays import Stay
    from advisor.knowledge.rulebase import Rulebase

MOST_STEPS = 40
FOREIGN_FROM = 4  # words
# What a denial says of a fact with two answers.
DENIED = {
    ("guests", "latex", "yes"): "no",
    ("piece", "bone", "yes"): "no",
    ("piece", "stuffing", "inside"): "none",
    ("piece", "bone", "no"): "yes",
    ("guests", "vulnerable", "some"): "no",
}
OF_WHAT = "of the water, or of the meat? Give grams of salt and of water, or say 'of the meat'."
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
    return read_scopes(text, rulebase, now, shape=True)[0]


def read_scopes(text: str, rulebase: Rulebase, now: datetime, *, shape: bool = False) -> tuple[Case, list[Scope]]:
    """Read as `read_words` does, and give what was denied, asked or only told beside the case.

    With ``shape`` the words are those of a whole plan, and the shape of the meat is read from how it is named.

    Raises
    ------
    InputError
        The text is empty or far too long.
    """
    plan, items, scopes, told = _planned(text, rulebase, now, (), shape=shape)
    if lacking(told, plan):
        plan, items, scopes, _ = _planned(text, rulebase, now, told, shape=shape)
    case = _consistent(_case(plan), rulebase)
    lost = (*_lost(plan, items), *case.not_understood)
    return replace(case, not_understood=lost, unsettled=tuple(plan.unsettled) + case.unsettled), scopes


def _planned(
    text: str, rulebase: Rulebase, now: datetime, aside: Sequence[Stay], *, shape: bool
) -> tuple[Plan, list[Item], list[Scope], list[Stay]]:
    """Read once; with ``aside`` the stays out of the cold are put together by themselves."""
    found = Classifier(tokens(text), lexicon_of(rulebase), text).run()
    items = items_of(found)
    scopes = scopes_of(items)
    told = stays(text, items, rulebase)
    out_of_the_cold(items)
    plan = Plan(rulebase, text, now)
    set_aside(items, aside, plan)
    builder = Builder(plan, items)
    builder.run()
    put_stays(plan, items, aside)
    for scope in scopes:
        _told(plan, scope)
    settle_meat(plan, builder)
    settle_stuffing(plan)
    if shape:
        settle_shape(plan, builder, items)
    _rested_raw(plan)
    _warm_holds(plan)
    if shape:
        _heat_of_words(plan)
    _salt_in_water(plan)
    _strength_of_brine(plan, items)
    _settle_order(plan)
    _weight_of(plan, items)
    bird_by_bird(plan, items)
    _thawed(plan)
    _audit(plan, items)
    if shape:
        _foreign(plan, items)
    return plan, items, scopes, told


def _audit(plan: Plan, items: Sequence[Item]) -> None:
    """Hold every number and time against its place: what has none, and was not listed, is listed and asked about."""
    for item in items:
        timed = item.phrase is not None and item.phrase.name != "vague"
        if not (item.numeric or timed):
            continue
        found = any(start <= item.start and item.end <= end for start, end in (*plan.placed, *plan.lost))
        # A choice such as a food code's year is in the case by its words.
        if not found and item.kind not in ("CHOICE", "CODE"):
            plan.lose(item.start, item.end, "it has no place in the plan.")


def _foreign(plan: Plan, items: Sequence[Item]) -> None:
    """Ask anew where most words are nothing we know, as they are in another language."""
    words = [item for item in items if item.kind not in STOPS and any(c.isalpha() for c in item.token.text)]
    unknown = [item for item in words if item.kind == "JUNK"]
    if len(unknown) >= FOREIGN_FROM and 2 * len(unknown) > len(words):
        plan.ask("most of these words are not understood; words are read in English. Say it anew, or in a plan file")


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
        whole = value[1] != "vulnerable" or item.token.key in english.ALL_OF_THEM
        if other is not None and whole:
            given = plan.piece if value[0] == "piece" else plan.guests
            given.setdefault(str(value[1]), Given(other, "written", words))
    plan.remark(f"left out, as you said: '{words}'")


def _salt_in_water(plan: Plan) -> None:
    """Meat that lies in water and salt is brined, whatever it was called; "as a brine" behind it is no second one."""
    brine = None
    for draft in list(plan.drafts):
        kinds = [plan.rulebase.materials[t.what].kind for t in draft.ingredients if t.what in plan.rulebase.materials]
        water = any(thing.what == "water" for thing in draft.ingredients)
        if draft.action == "marinate" and draft.implied and water and SALTY & set(kinds):
            draft.action, brine = "brine", draft
        elif brine is not None and draft.action == "brine" and not draft.given and not draft.ingredients:
            plan.drafts.remove(draft)
        else:
            brine = None


def _strength_of_brine(plan: Plan, items: Sequence[Item]) -> None:
    """Ask about "brine, 6 % salt": cooks mean the water, and a plan counts salt by the meat unless both are weighed."""
    if any(item.kind == "OF_MEAT" for item in items):
        for _, _, phrase in plan.strengths:
            plan.lose(phrase.start, phrase.end, OF_WHAT)
        return
    shares = [item for item in items if item.phrase is not None and item.phrase.kind == "percent"]
    _told_strengths(plan)
    for draft in plan.drafts:
        if draft.action != "brine":
            continue
        for place, thing in enumerate(draft.ingredients):
            said = next((i for i in shares if i.phrase is not None and i.phrase.high == thing.share_pct), None)
            material = plan.rulebase.materials.get(thing.what)
            if said is None or thing.share_pct is None or material is None or material.kind not in SALTY:
                continue
            draft.ingredients[place] = replace(thing, share_pct=None)
            plan.lose(said.start, said.end, OF_WHAT)


def _told_strengths(plan: Plan) -> None:
    """Take "5 % brine" as salt by the weight of its water, where that was said; ask about it otherwise."""
    brines = [draft for draft in plan.drafts if draft.action in ("brine", "inject", "tumble")]
    for told, share, phrase in plan.strengths:
        draft = told if told is not None else brines[0] if len(brines) == 1 else None
        things = draft.ingredients if draft is not None else []
        water = next((thing.grams for thing in things if thing.what == "water"), None)
        salted = any(plan.rulebase.materials[t.what].kind in SALTY for t in things if t.what in plan.rulebase.materials)
        if draft is None or water is None or salted or phrase.ranged:
            plan.lose(phrase.start, phrase.end, OF_WHAT)
            continue
        written = plan.cut(phrase.start, phrase.end)
        draft.ingredients.append(Ingredient("table_salt", "salt", grams=water * share / 100.0))
        plan.remark(f"'{written}' is taken as salt by the weight of the water")
        plan.place(phrase.start, phrase.end)


def _warm_holds(plan: Plan) -> None:
    """A hold of what is cooked, at a heat, is a hot hold."""
    least = plan.rulebase.trade_words["likely from"]["bath"]
    cooked = False
    for draft in plan.drafts:
        heat = draft.given["temperature"].value if "temperature" in draft.given else None
        warm = isinstance(heat, float) and heat >= least
        if (
            cooked
            and draft.action in ("hold", "rest")
            and warm
            and not draft.labelled
            and "place" not in draft.given
            and not draft.ingredients
        ):
            draft.action = "hot_hold"
        cooked = cooked or draft.action in COOKS


def _heat_of_words(plan: Plan) -> None:
    """Where only a word says how hot a pot is, "simmer", the coolest that it is likely to mean, and it is said so."""
    for index, draft in enumerate(plan.drafts):
        heats = [heat for heat, _ in draft.heats]
        if heats and "temperature" in draft.given and draft.given["temperature"].value is None:
            del draft.given["temperature"]  # said not to be known: no word for it counts
            continue
        if draft.action != "braise" or not heats or {"temperature", "until_core"} & set(draft.given):
            continue
        place = draft.given["place"].value if "place" in draft.given else "braise"
        beside = plan.drafts[index + 1 : index + 2]
        oven = bool(beside) and beside[0].action in COOKS and beside[0].clause == draft.clause
        known = [heat for heat in heats if heat is not None]
        if place != "braise" or oven or len(known) < len(heats):
            continue
        word = next(word for heat, word in draft.heats if heat == min(known))
        note = f"assumed: the coolest that '{word}' is likely to be; say how hot it is if you know"
        draft.given["temperature"] = Given(min(known), "written", word, note)


def _rested_raw(plan: Plan) -> None:
    """Meat that rests in the cold before any heat is kept there: resting is what cooked meat does."""
    for draft in plan.drafts:
        if draft.action in HEATERS:
            return
        if draft.action == "rest" and "place" in draft.given and draft.given["place"].value in COLD:
            draft.action = "hold"


def _settle_order(plan: Plan) -> None:
    """A step that was only named after "after", and stands twice, leaves the order open."""
    for draft in plan.drafts:
        if draft.referred and not draft.given:
            plan.ask(f"the {draft.action.replace('_', ' ')} was named out of order. Say the steps in order, each once.")
    if len(plan.drafts) > MOST_STEPS:
        plan.ask(f"there are {len(plan.drafts)} steps; {MOST_STEPS} are the most. Check one dish at a time.")
        del plan.drafts[MOST_STEPS:]


def _weight_of(plan: Plan, items: Sequence[Item]) -> None:
    """Of several pieces, an amount by weight needs to know whether the weight said is that of one or of all."""
    amounts = any(thing.grams is not None for draft in plan.drafts for thing in draft.ingredients)
    of_all = any(item.token.key in english.OF_ALL for item in items if item.phrase is None)
    if plan.count > 1 and "weight" in plan.piece and amounts and not of_all:
        of_one = any(item.token.key in english.OF_ONE for item in items if item.phrase is None)
        weight = plan.piece["weight"].as_written
        asks = "the amounts put on" if of_one else f"the weight, '{weight}',"
        plan.ask(f"there are {plan.count} pieces: is {asks} for one of them, or for all? Say the weight in all")


def _thawed(plan: Plan) -> None:
    """What is thawed was frozen, unless it went into the freezer on the way."""
    first = next((i for i, draft in enumerate(plan.drafts) if draft.action == "thaw"), None)
    state = plan.piece.get("start_state")
    if first == 0 and state is not None and state.value == "out" and not plan.drafts[0].given:
        plan.remark(f"it is thawed already, as it was said to be '{state.as_written}'")
        del plan.drafts[0]
        return
    if first is None or state is not None:
        return
    if not any(d.given["place"].value == "freezer" for d in plan.drafts[:first] if "place" in d.given):
        plan.piece["start_state"] = Given("frozen", "written", "thaw", "it is thawed, so it was frozen")


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
