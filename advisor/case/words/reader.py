"""A cook's words to a case: cut, classified, cut into phrases, sorted from what is no plan, and put in their places."""

from __future__ import annotations

import json
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
    from collections.abc import Sequence
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
    case = _case(plan)
    case = _consistent(case, rulebase)
    return replace(case, not_understood=_lost(plan, items), unsettled=tuple(plan.unsettled) + case.unsettled)


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
    animals = {str(_plain(item)): item for item in builder.animals}
    for item in (*builder.animals, *builder.cuts):
        if item.token.kind.endswith("~") and isinstance(item.token.value, tuple):
            plan.remark(f"read '{item.token.text}' as {item.token.value[1]}")
    if len(animals) > 1:
        first, last = builder.animals[0], builder.animals[-1]
        plan.lose(first.start, last.end, "which animal is it from?")
    elif animals:
        ((animal, item),) = animals.items()
        plan.piece["animal"] = Given(animal, "written", item.token.text)
    found: dict[str, Item] = {}
    for item in builder.cuts:
        hint, _, word = str(_plain(item)).rpartition(":")
        animal = hint or (next(iter(animals)) if len(animals) == 1 else "")
        match = names.find_cut(word, animal, plan.rulebase)
        if match.found is not None:
            found.setdefault(match.found, item)
            if hint and not animals:
                plan.piece.setdefault("animal", Given(hint, "written", item.token.text))
        elif match.could_be and (plain := _plain_name(word, match.could_be, plan.rulebase)):
            found.setdefault(plain, item)
            others = " or ".join(plan.rulebase.cuts[c].name for c in match.could_be if c != plain)
            taken = f"'{item.token.text}' is taken as {plan.rulebase.cuts[plain].name}; it can also mean {others}"
            # Safety hangs on the thickness alone; where that was not said, the other cuts are too thick to pass over.
            if "thickness" in plan.piece and plan.piece["thickness"].value is not None:
                plan.remark(f"{taken}. Say so if it is that")
            else:
                plan.ask(f"{taken}, and nobody said how thick it is. Say which, or how thick")
        elif match.could_be and (beef := _of_beef(match.could_be, plan.rulebase)):
            # The guess is shown and asked about: what holds for beef need not hold for the other.
            found.setdefault(beef, item)
            animals_said = " or ".join(sorted({plan.rulebase.cuts[c].animal for c in match.could_be}))
            plan.ask(f"'{item.token.text}': {animals_said}? We think beef. Name the animal")
        elif match.could_be:
            cuts = " or ".join(f"'{plan.rulebase.cuts[c].name}'" for c in match.could_be)
            plan.lose(item.start, item.end, f"it can mean more than one cut: {cuts}. {match.ask}")
        else:
            plan.lose(item.start, item.end, f"no cut of {animal.replace('_', ' ')} that we know.")
    if len(found) > 1:
        several = list(found.values())
        joined = all(i.kind in LIGHT or i.kind in ("OR", "CUT", "FILL") for i in builder.items if several[0].start < i.start < several[-1].start)  # fmt: skip
        if joined:
            plan.lose(several[0].start, several[-1].end, "which of them is it? One piece at a time.")
        else:
            plan.lose(several[-1].start, several[-1].end, f"it was '{several[0].token.text}' before. Which is it?")
    elif found:
        ((cut, item),) = found.items()
        note = ""
        if item.token.kind.endswith("~") and isinstance(item.token.value, tuple):
            note = f"read '{item.token.text}' as {item.token.value[1]}"
        plan.piece["cut"] = Given(cut, "written", item.token.text, note)


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


def _plain(item: Item) -> object:
    value = item.token.value
    return value[0] if isinstance(value, tuple) else value


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
        piece=plan.piece,
        guests=plan.guests,
        steps=tuple(draft.done() for draft in plan.drafts),
        serve=plan.serve,
        system="us" if us else "metric",
        code=plan.code,
        remarks=tuple(plan.remarks),
    )


def _consistent(case: Case, rulebase: Rulebase) -> Case:
    """Take out what cannot be so beside the rest, and ask about it."""
    asked: list[str] = []
    for _ in range(MOST_STEPS):
        wrong = contradictions(case, rulebase, lambda path: json.dumps(path))
        if not wrong:
            break
        for error in wrong[:1]:
            asked.append(f"{error.what} {error.hint}")
            case = _without(case, json.loads(error.where))
    return replace(case, unsettled=(*case.unsettled, *asked))


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
