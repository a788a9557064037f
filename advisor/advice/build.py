"""Builds a plan from what the cook has and wants: rules choose the ways of working, the road checks the result."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.advice.changes import LONGEST_MINUTES, QUARTER_HOUR
from advisor.advice.mends import Mended, find_mends
from advisor.advice.report import Report, examine
from advisor.case.complete import complete, cut_of
from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.case.names import find_ingredient
from advisor.course import course_facts

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.knowledge.records import Cut
    from advisor.knowledge.rulebase import Rulebase

# A plan that three rounds of mending do not bring to go is shown as it is, with what stands in its way.
MOST_ROUNDS = 3


def build_plan(
    case: Case, softeners: tuple[Ingredient, ...], rulebase: Rulebase
) -> tuple[Report, tuple[Mended, ...]]:
    """Lay out steps for a case that has none, then mend them along the road until they are clean.

    Parameters
    ----------
    case : Case
        What the cook has and wants; its steps are ignored.
    softeners : tuple of Ingredient
        What the cook would soften it with; the rules may rule it out.
    rulebase : Rulebase
        The knowledge.

    Returns
    -------
    report, tuple of Mended
        The examined plan, and the mends that were made on the way, each to be told to the cook.
    """
    case = case.with_value("guests", "softener", Given("yes" if softeners else "no", "answered"))
    chosen = _techniques(replace(case, steps=()), rulebase)
    full = complete(replace(case, steps=()), rulebase)
    planned = replace(case, steps=_steps(full, softeners if "enzyme" in chosen else (), chosen, rulebase))
    report = examine(planned, rulebase)
    made: list[Mended] = []
    for _ in range(MOST_ROUNDS):
        if report.verdict == "go":
            break
        mend = next((m for m in find_mends(report, rulebase) if not m.only_if), None)
        if mend is None:
            break
        made.append(mend)
        report = examine(
            replace(planned, steps=mend.case.steps, piece={**case.piece, **_changed(full, mend.case)}),
            rulebase,
        )
    return report, tuple(made)


def _changed(full: Case, mended: Case) -> dict[str, Given]:
    """Values of the piece that a mend altered."""
    return {name: given for name, given in mended.piece.items() if full.piece.get(name) != given}


def _techniques(case: Case, rulebase: Rulebase) -> frozenset[str]:
    """Names of techniques that some rule chooses and none rules out."""
    techniques = examine(case, rulebase).inference.techniques
    ruled_out = {t.name for t in techniques if t.fit == "rule out"}
    return frozenset(t.name for t in techniques if t.fit == "choose") - ruled_out


def _given(**values: Value) -> dict[str, Given]:
    return {name: Given(value, "from the rulebase") for name, value in values.items()}


def _steps(
    case: Case, softeners: tuple[Ingredient, ...], chosen: frozenset[str], rulebase: Rulebase
) -> tuple[PlanStep, ...]:
    cut = cut_of(case, rulebase)
    steps: list[PlanStep] = []
    if case.word("piece", "start_state") == "frozen":
        steps.append(PlanStep("thaw", _fridge(rulebase, rulebase.trade_words["time"]["a day"])))
    if "score" in chosen:
        depth = case.number("piece", "thickness") * (
            rulebase.texture["scoring_depth_of_thickness"].low or 0.0
        )
        steps.append(
            PlanStep(
                "score", _given(depth=round(depth, 1), direction="across_grain", second_side="across_first")
            )
        )
    steps += _seasoning(case, softeners, chosen, rulebase)
    steps += _heating(case, cut, chosen, rulebase)
    if "sear" in chosen and "quick_sear" not in chosen:
        steps += [
            PlanStep("dry"),
            PlanStep("pan", _given(minutes=rulebase.limit("plan_sear_minutes"), sides=2.0)),
        ]
    if "slice_across" in chosen:
        steps.append(
            PlanStep("slice", _given(direction="across_grain", slice_thickness=float(min(cut.slice_mm))))
        )
    return (*steps, PlanStep("serve"))


def _fridge(rulebase: Rulebase, minutes: float) -> dict[str, Given]:
    fridge = rulebase.media["fridge_still"]
    return _given(place="fridge_still", temperature=float(fridge.usual_c or 0.0), minutes=minutes)


def _seasoning(
    case: Case, softeners: tuple[Ingredient, ...], chosen: frozenset[str], rulebase: Rulebase
) -> list[PlanStep]:
    """Salt, with the softener if there is one: a mild one overnight, a strong one for its own short time."""
    if "salt_ahead" not in chosen and not softeners:
        return []
    weight = case.number("piece", "weight")
    own = case.number("piece", "arrived_salt") if case.word("piece", "arrived") == "pumped" else 0.0
    wanted = max(0.0, case.number("piece", "salt_target") - own) / 100 * weight
    brought = sum(
        (i.grams or 0.0) * rulebase.tenderisers[i.what].salt_pct / 100
        for i in _dosed(softeners, weight, rulebase)
    )
    name, _ = find_ingredient("salt", rulebase)
    salt = Ingredient(name or "table_salt", "salt", grams=round(max(0.0, wanted - brought), 1))
    overnight = rulebase.trade_words["time"]["overnight"]
    strong = [
        i for i in softeners if rulebase.tenderisers[i.what].strength > rulebase.limit("plan_mild_strength")
    ]
    mild = tuple(i for i in softeners if i not in strong)
    salted = (salt,) if salt.grams else ()
    steps: list[PlanStep] = []
    if mild:
        steps += [
            PlanStep("marinate", _fridge(rulebase, overnight), (*_dosed(mild, weight, rulebase), *salted)),
            PlanStep("wipe"),
        ]
    elif salted:
        steps.append(PlanStep("salt", _fridge(rulebase, overnight), salted))
    for item in strong:
        times = rulebase.tenderisers[item.what].fridge_minutes.get("steak") or [
            rulebase.limit("enzyme_room_max")
        ]
        steps += [
            PlanStep("marinate", _fridge(rulebase, float(min(times))), _dosed((item,), weight, rulebase)),
            PlanStep("wipe"),
        ]
    return steps


def _dosed(softeners: tuple[Ingredient, ...], weight: float, rulebase: Rulebase) -> tuple[Ingredient, ...]:
    share = rulebase.parameter("dose_cap_pct")
    return tuple(
        item if item.grams else replace(item, grams=round(share / 100 * weight)) for item in softeners
    )


def _heating(case: Case, cut: Cut, chosen: frozenset[str], rulebase: Rulebase) -> list[PlanStep]:
    want, limit = case.word("guests", "want", "pink"), rulebase.limit
    if "quick_sear" in chosen:
        return [PlanStep("dry"), PlanStep("pan", _given(minutes=limit("plan_quick_sear_minutes"), sides=2.0))]
    cook_class = examine(case, rulebase).inference.facts.piece["cook_class"].value
    if "low_bath" in chosen:
        heat = {"pink": limit("plan_bath_pink"), "well_done": limit("plan_bath_done")}.get(
            want, limit("plan_bath_soft")
        )
        if cook_class == "bird":
            heat = max(heat, limit("plan_bath_bird"))
        elif cook_class == "wild":
            heat = max(heat, limit("plan_bird_core") + 1)
        bath = PlanStep(
            "bath", _given(place="bath_circulated", temperature=heat, minutes=limit("plan_bath_minutes"))
        )
        return [PlanStep("bag"), _softened(bath, case, cut, want, rulebase)]
    if "braise" in chosen:
        heat = limit("plan_braise_heat")
        return [
            _softened(
                PlanStep("braise", _given(temperature=heat, minutes=limit("plan_bath_minutes"))),
                case,
                cut,
                want,
                rulebase,
            )
        ]
    core = limit("plan_bird_core") if cook_class in ("bird", "wild") else limit("plan_roast_core")
    return [
        PlanStep("oven", _given(place="oven_still", temperature=limit("plan_oven_heat"), until_core=core)),
        PlanStep("rest"),
    ]


def _softened(step: PlanStep, case: Case, cut: Cut, want: str, rulebase: Rulebase) -> PlanStep:
    """Lengthen the main heat by quarter hours until the connective tissue is as soft as wanted."""
    if cut.collagen == "low" or (cut.collagen == "medium" and want != "fall_apart"):
        return step
    target = rulebase.parameter(
        "collagen_left_fork_tender" if want == "fall_apart" else "collagen_left_sliced"
    )

    def soft(quarters: int) -> bool:
        longer = step.with_value("minutes", quarters * QUARTER_HOUR, origin="from the rulebase")
        left = course_facts(replace(case, steps=(longer,)), rulebase).facts.course["collagen_left"].value
        return isinstance(left, float) and left <= target

    low, high = int(step.number("minutes") // QUARTER_HOUR), int(LONGEST_MINUTES // QUARTER_HOUR)
    if soft(low):
        return step
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if soft(middle) else (middle, high)
    return step.with_value("minutes", high * QUARTER_HOUR, origin="from the rulebase")
