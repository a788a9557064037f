"""Changes that put a step in, leave a thing out, or use less of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.advice.change import Change
from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.case.work_times import usual_minutes
from advisor.course.plan_facts import allergens_in
from advisor.course.roles import SEARS, is_aromatic, live_share
from advisor.course.seasoning import salt_of
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from advisor.advice.report import Report
    from advisor.knowledge.records import Mend
    from advisor.knowledge.rulebase import Rulebase

DAY = 1440.0
LONGEST_THAW_DAYS = 4
# Pulp is wiped off before the first step that shuts the meat up or heats it.
WIPED_BEFORE = frozenset({"put_stuffing_in", "bag", "bath", "oven", "braise", "dry", "pan", "grill"})
ENDS = frozenset({"slice", "serve"})


def step_changes(fact: str, mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    """Put a step in, or leave an ingredient out."""
    return _add(mend, report, rulebase) if fact == "add" else _remove(mend, report, rulebase)


def _add(mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    actions = [step.action for step in report.computed.case.steps]
    if mend.to == "wipe" and mend.to in actions:
        return []
    at, where = _place_for(mend.to, actions)
    if at is None:
        return []
    shown = rulebase.vocabulary["step"]["action"].says.get(mend.to, mend.to)

    def words(place: int) -> str:
        days = f", for {write_quantity(place * DAY, 'time', report.case.system)}" if mend.to == "thaw" else ""
        return f"add a step: {shown}, {where}{days}"

    return [
        Change(
            f"steps add {mend.to}",
            LONGEST_THAW_DAYS if mend.to == "thaw" else 1,
            lambda case, place: case.with_inserted(at, _added_step(mend.to, place, rulebase)),
            words,
            shifts=(1, -at),
        )
    ]


def _place_for(action: str, actions: list[str]) -> tuple[int | None, str]:
    """Index at which a new step belongs, None when there is no such place; and the place in words."""
    if action == "dry":
        return _first_of(SEARS, actions), "before the sear"
    if action == "wipe":
        return _first_of(WIPED_BEFORE, actions), "before it is cooked"
    if action == "thaw":
        return 0, "first, in the fridge, until no ice is left"
    end = _first_of(ENDS, actions)
    return (len(actions) if end is None else end), "at the end"


def _first_of(wanted: Collection[str], actions: list[str]) -> int | None:
    return next((index for index, action in enumerate(actions) if action in wanted), None)


def _added_step(action: str, place: int, rulebase: Rulebase) -> PlanStep:
    if action == "thaw":
        return PlanStep(
            "thaw",
            {
                "place": Given("fridge_still"),
                "temperature": Given(float(rulebase.usual_c("fridge_still") or 0.0)),
                "minutes": Given(place * DAY),
            },
        )
    return PlanStep(action, {"minutes": Given(usual_minutes(action, rulebase), "assumed typical")})


def _remove(mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    tests: dict[str, Callable[[Ingredient], bool]] = {
        "softener": lambda item: (
            live_share(item, rulebase) > 0
            or (item.what in rulebase.tenderisers and rulebase.tenderisers[item.what].latex)
        ),
        "aromatic": lambda item: is_aromatic(item, rulebase),
        "soda": lambda item: item.what in rulebase.tenderisers and rulebase.tenderisers[item.what].kind == "alkali",
        "curing_salt": lambda item: (
            item.what in rulebase.materials and rulebase.materials[item.what].kind == "curing_salt"
        ),
        "allergen": lambda item: report.computed.case.word("guests", "allergy") in allergens_in(item.what, rulebase),
    }
    goes, swaps = tests[mend.to], mend.to == "curing_salt"
    if not any(goes(item) for step in report.computed.case.steps for item in step.ingredients):
        return []

    def apply(case: Case, _: int) -> Case:
        left = [_without(step, goes, swap=swaps) for step in case.steps]
        return replace(case, steps=_tidied(tuple(left), rulebase))

    said = mend.says or f"leave the {mend.to} out"
    emptied = [
        number
        for number, step in enumerate(report.computed.case.steps, start=1)
        if step.action == "marinate" and step.ingredients and all(map(goes, step.ingredients)) and not swaps
    ]
    if emptied:
        # A marinade with nothing in it is no step any more; its wait goes with it.
        said += " and step " + " and ".join(map(str, emptied)) + " with it"
    return [Change(f"leave out {mend.to}", 1, apply, lambda _: said, shifts=(2, 0))]


def _tidied(steps: tuple[PlanStep, ...], rulebase: Rulebase) -> tuple[PlanStep, ...]:
    """Drop a marinade that has nothing in it any more, call one that is only salt by its name, and drop idle wiping."""
    kept: list[PlanStep] = []
    for step in steps:
        if step.action == "marinate" and not step.ingredients:
            continue
        salt_only = all(
            i.what in rulebase.materials and rulebase.materials[i.what].kind == "salt" for i in step.ingredients
        )
        kept.append(replace(step, action="salt") if step.action == "marinate" and salt_only else step)
    marinated = any(step.action in ("marinate", "brine") for step in kept)
    return tuple(step for step in kept if marinated or step.action != "wipe")


def _without(step: PlanStep, goes: Callable[[Ingredient], bool], *, swap: bool) -> PlanStep:
    kept = [
        item if not goes(item) else Ingredient("table_salt", "salt", grams=item.grams, share_pct=item.share_pct)
        for item in step.ingredients
        if swap or not goes(item)
    ]
    return replace(step, ingredients=tuple(kept))


def less(index: int, fact: str, kind: str, report: Report, rulebase: Rulebase) -> list[Change]:
    """Use less salt, so that all sources come to the target; or less soda, down to its limit."""
    case, weight = report.computed.case, report.computed.case.number("piece", "weight")
    items = case.steps[index].ingredients
    if fact == "soda":
        have = sum(i.grams or 0.0 for i in items if _is_soda(i, rulebase))
        factor = rulebase.limit("soda_max") / 100 * weight / have if have else 1.0
    else:
        mine = sum((i.grams or 0.0) * salt_of(i, rulebase) for i in items)
        surplus = (report.computed.salt.pct - case.number("piece", "salt_target")) / 100 * weight
        factor = max(0.0, 1.0 - surplus / mine) if mine else 1.0
    if factor >= 1.0:
        return []
    touched = tuple(
        replace(i, grams=(i.grams or 0.0) * factor, share_pct=None)
        if (_is_soda(i, rulebase) if fact == "soda" else salt_of(i, rulebase) > 0)
        else i
        for i in items
    )
    shown = ", ".join(
        f"{write_quantity(new.grams or 0.0, 'mass', case.system)} {new.as_written or new.what}"
        for old, new in zip(items, touched, strict=True)
        if new != old
    )
    return [
        Change(
            kind,
            1,
            lambda c, _: c.with_step(index, replace(c.steps[index], ingredients=touched)),
            lambda _: f"step {index + 1}: only {shown}",
        )
    ]


def salt_in(step: PlanStep, rulebase: Rulebase) -> float:
    """Salt that a step brings [g]."""
    return sum((item.grams or 0.0) * salt_of(item, rulebase) for item in step.ingredients)


def _is_soda(item: Ingredient, rulebase: Rulebase) -> bool:
    return item.what in rulebase.tenderisers and rulebase.tenderisers[item.what].kind == "alkali"
