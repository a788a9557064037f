"""Changes that put a step in, leave a thing out, or use less of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.course.roles import SEARS, is_aromatic, live_share
from advisor.course.seasoning import salt_share
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Callable

    from advisor.advice.changes import Change
    from advisor.advice.report import Report
    from advisor.knowledge.records import Mend
    from advisor.knowledge.rulebase import Rulebase

DAY = 1440.0


def step_changes(fact: str, mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    """Put a step in, or leave an ingredient out."""
    return _add(mend, report, rulebase) if fact == "add" else _remove(mend, report, rulebase)


def _add(mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    from advisor.advice.changes import Change

    case = report.computed.case
    actions = [step.action for step in case.steps]
    step = PlanStep(
        mend.to,
        {"minutes": Given(rulebase.trade_words["usual minutes"].get(mend.to, 0.0), "assumed typical")},
    )
    if mend.to == "dry":
        index = next((i for i, action in enumerate(actions) if action in SEARS), None)
        where = "before the sear"
    elif mend.to == "wipe":
        index = next(
            (
                i
                for i, action in enumerate(actions)
                if action in ("bag", "bath", "oven", "braise", "dry", "pan", "grill")
            ),
            None,
        )
        where = "before it is cooked"
    elif mend.to == "thaw":
        fridge = rulebase.media["fridge_still"]
        step = PlanStep(
            "thaw",
            {
                "place": Given("fridge_still"),
                "temperature": Given(float(fridge.usual_c or 0.0)),
                "minutes": Given(DAY, "assumed typical"),
            },
        )
        index, where = 0, "first, in the fridge, for a day or until no ice is left"
    else:
        index = next((i for i, action in enumerate(actions) if action in ("slice", "serve")), len(actions))
        where = "at the end"
    if index is None or (mend.to in actions and mend.to == "wipe"):
        return []
    at = index
    shown = rulebase.vocabulary["step"]["action"].says.get(mend.to, mend.to)
    return [
        Change(
            f"steps add {mend.to}",
            1,
            lambda c, _: c.with_inserted(at, step),
            lambda _: f"add a step: {shown}, {where}",
        )
    ]


def _remove(mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    from advisor.advice.changes import Change

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
    }
    goes = tests[mend.to]
    if not any(goes(item) for step in report.computed.case.steps for item in step.ingredients):
        return []

    def apply(case: Case, _: int) -> Case:
        left = [_without(step, goes, swap=mend.to == "curing_salt") for step in case.steps]
        return replace(case, steps=_tidied(tuple(left), rulebase))

    return [Change(f"leave out {mend.to}", 1, apply, lambda _: mend.says or f"leave the {mend.to} out")]


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
    from advisor.advice.changes import Change

    case, weight = report.computed.case, report.computed.case.number("piece", "weight")
    items = case.steps[index].ingredients
    if fact == "soda":
        have = sum(i.grams or 0.0 for i in items if _is_soda(i, rulebase))
        factor = rulebase.limit("soda_max") / 100 * weight / have if have else 1.0
    else:
        mine = sum((i.grams or 0.0) * salt_share(i.what, rulebase) for i in items)
        surplus = (report.computed.salt.pct - case.number("piece", "salt_target")) / 100 * weight
        factor = max(0.0, 1.0 - surplus / mine) if mine else 1.0
    if factor >= 1.0:
        return []
    touched = tuple(
        replace(i, grams=(i.grams or 0.0) * factor, share_pct=None)
        if (_is_soda(i, rulebase) if fact == "soda" else salt_share(i.what, rulebase) > 0)
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
    return sum((item.grams or 0.0) * salt_share(item.what, rulebase) for item in step.ingredients)


def _is_soda(item: Ingredient, rulebase: Rulebase) -> bool:
    return item.what in rulebase.tenderisers and rulebase.tenderisers[item.what].kind == "alkali"
