"""Facts that need no temperatures: what the plan holds, and each step's own facts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.complete import cut_of, is_whole_bird
from advisor.case.facts import Fact, Origin, Value
from advisor.case.model import BY_SPOON
from advisor.case.work_times import PRESSURE_DROP, STUFFS
from advisor.course.ends import altitude_m, counts_as_hollow
from advisor.course.roles import COOKS, SEARS, WET, Lies, last_cook, live_share, passes
from advisor.course.seasoning import salt_share
from advisor.science.altitude import boiling_point_c, standard_pressure_kpa

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.model import Case, PlanStep
    from advisor.course.seasoning import Seasoned
    from advisor.course.walk import Course
    from advisor.knowledge.records import Material, Tenderiser
    from advisor.knowledge.rulebase import Rulebase

Values = dict[str, tuple[Value, str, tuple[str, ...]]]
PLAN = "advisor.course.plan_facts"


def yes_no(holds: bool) -> str:
    """Word of the vocabulary for a truth value."""
    return "yes" if holds else "no"


def _bird_counted(case: Case, rulebase: Rulebase) -> str:
    """How heat is reckoned in a whole bird that is cooked."""
    if last_cook(case) is None or not is_whole_bird(case, rulebase):
        return "no_bird"
    return "hollow" if counts_as_hollow(case, rulebase) else "solid"


def _fridge_days_known(case: Case) -> bool:
    """Whether anybody knows how long the meat has been raw in the fridge; where nobody was asked, none is assumed."""
    given = case.given("piece", "fridge_time")
    return given is None or given.value is not None


def plan_facts(case: Case, salt: Seasoned, rulebase: Rulebase) -> Values:
    """Facts of the plan as a whole."""
    actions = [step.action for step in case.steps]
    enzymes = [item for step in case.steps for item in step.ingredients if live_share(item, rulebase) > 0]
    kinds = {
        rulebase.tenderisers[i.what].kind for s in case.steps for i in s.ingredients if i.what in rulebase.tenderisers
    }
    marinated = any(step.action in ("marinate", "brine") for step in case.steps)
    found: dict[str, Value] = {
        "has_cook": yes_no(last_cook(case) is not None),
        "enzyme_used": yes_no(bool(enzymes)),
        "enzyme_name": ", ".join(dict.fromkeys(i.as_written or i.what for i in enzymes)) or "no enzyme",
        "marinated": yes_no(marinated),
        "scores": yes_no("score" in actions),
        "scored_and_marinated": yes_no("score" in actions and marinated),
        "pierces": yes_no("needle" in actions),
        "injects": yes_no("inject" in actions),
        "drops_pressure": yes_no(PRESSURE_DROP in actions),
        "stuffs": yes_no(STUFFS in actions),
        "stuffed_wait": _stuffed_wait(case),
        "tumbles": yes_no("tumble" in actions),
        "pounds": yes_no("pound" in actions),
        "frozen_at_cook": yes_no(_frozen_at_cook(case)),
        "bird_counted": _bird_counted(case, rulebase),
        "fridge_days_known": yes_no(_fridge_days_known(case)),
        "has_slice": yes_no("slice" in actions),
        "has_sear": yes_no(any(action in SEARS for action in actions)),
        "dried_before_sear": yes_no(_dried(actions)),
        "uses_bath": yes_no("bath" in actions),
        "holds_hot": yes_no("hot_hold" in actions),
        "stew_minutes": _stewed(case, rulebase),
        "soda_left": yes_no(_soda_left(case, rulebase)),
        "acid_and_soda": yes_no("alkali" in kinds and bool(kinds & {"acid", "dairy"})),
        "salt_pct": salt.pct,
        "salt_over_target": salt.pct - case.number("piece", "salt_target"),
        "salt_sources": float(len(salt.sources)),
        "salt_centre_share": salt.centre_share,
        "salt_depth": salt.depth_mm,
        "salt_outer": salt.outer_pct,
        "salt_middle": salt.middle_pct,
        "nitrite_ppm": salt.nitrite_ppm,
    }
    found |= _allergens(case, rulebase)
    found["reheats"] = float(actions.count("reheat"))
    if case.open_points:
        found["not_placed"] = "; ".join(case.open_points)
    high = altitude_m(case)
    if high > 0:
        found["boils_at"] = boiling_point_c(standard_pressure_kpa(high))
    return {
        name: (value, PLAN, tuple(f"step{n}.action" for n in range(1, len(actions) + 1)))
        for name, value in found.items()
    }


def allergens_in(what: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Allergens that the usual product of this name holds; garlic and its kin stand in two books, either may."""
    books: tuple[Mapping[str, Material | Tenderiser], ...] = (rulebase.materials, rulebase.tenderisers)
    return tuple(dict.fromkeys(allergen for book in books if what in book for allergen in book[what].allergens))


def _allergens(case: Case, rulebase: Rulebase) -> dict[str, Value]:
    """Allergens of all that goes on the meat, and whether a guest's own is among them."""
    used = (item.what for step in case.steps for item in step.ingredients)
    held = dict.fromkeys(allergen for what in used for allergen in allergens_in(what, rulebase))
    met = case.word("guests", "allergy") in held
    return {"allergy_met": yes_no(met), **({"allergens": ", ".join(held)} if held else {})}


def _stuffed_wait(case: Case) -> float:
    """Time from putting the stuffing in until the next heat, or the end [min]; 0 where no step does it."""
    actions = [step.action for step in case.steps]
    if STUFFS not in actions:
        return 0.0
    waits = case.steps[actions.index(STUFFS) + 1 :]
    heat = next((i for i, step in enumerate(waits) if step.action in COOKS), len(waits))
    return sum(step.number("minutes") for step in waits[:heat])


def _stewed(case: Case, rulebase: Rulebase) -> float:
    """Time in liquid near the boil [min]; in a step that ends at a core temperature none is counted."""
    hot = rulebase.limit("stew_heat")
    stews = (step for step in case.steps if step.action == "braise" and step.number("temperature") >= hot)
    return sum(step.number("minutes") for step in stews)


def _soda_left(case: Case, rulebase: Rulebase) -> bool:
    """Whether soda is on the meat, neither rinsed nor wiped off, when the first cooking step begins."""
    soda = False
    for step in case.steps:
        if step.action in COOKS:
            return soda
        soda = (soda and step.action != "wipe") or any(
            item.what in rulebase.tenderisers and rulebase.tenderisers[item.what].kind == "alkali"
            for item in step.ingredients
        )
    return False


def _frozen_at_cook(case: Case) -> bool:
    """Whether the meat is frozen, from the start or from a stay in the freezer, when a cooking step begins."""
    frozen = case.word("piece", "start_state") == "frozen"
    for step in case.steps:
        if step.action in COOKS and frozen:
            return True
        in_freezer = step.word("place") == "freezer" and step.number("temperature") < 0
        frozen = in_freezer or (frozen and step.action != "thaw")
    return False


def _dried(actions: list[str]) -> bool:
    """Whether the meat is dried after its last wet step and before every sear that follows one."""
    wet = False
    for action in actions:
        if action == "dry":
            wet = False
        elif action in SEARS and wet:
            return False
        elif action in WET:
            wet = True
        elif action == "salt":
            wet = wet or False
    return "dry" in actions or not any(a in WET for a in actions)


def step_facts(
    index: int, case: Case, role: str, laid: Lies, course: Course | None, rulebase: Rulebase
) -> dict[str, Fact]:
    """Facts of one step: what was said of it and what follows from it."""
    step = case.steps[index]
    subject = f"step{index + 1}"
    facts = {
        name: Fact(subject, name, given.value, given.origin, as_written=given.as_written, note=given.note)
        for name, given in step.given.items()
    }

    def put(name: str, value: Value, by: str = PLAN, origin: Origin = "computed", inputs: tuple[str, ...] = ()) -> None:
        if value is not None:
            facts[name] = Fact(subject, name, value, origin, by=by, inputs=inputs)

    put("action", step.action, origin="written")
    put("number", float(index + 1))
    put("role", role)
    last = last_cook(case)
    put("cooked_before", yes_no(any(s.action in COOKS for s in case.steps[:index]) and last is not None))
    put("sealed_now", yes_no(laid.sealed))
    put("live_enzyme_now", yes_no(laid.live_softener))
    put("aromatic_now", yes_no(laid.aromatic))
    put("acid_now", yes_no(laid.acid))
    for name, value in _ingredient_facts(step, case, rulebase).items():
        put(name, value, inputs=("piece.weight",))
    thickness = case.number("piece", "thickness")
    if step.action == "score" and thickness and "depth" in step.given:
        put("depth_share", step.number("depth") / thickness, inputs=(f"{subject}.depth", "piece.thickness"))
    if step.action == "slice" and "slice_thickness" in step.given:
        over = step.number("slice_thickness") - max(cut_of(case, rulebase).slice_mm)
        put("slice_over", max(0.0, over), inputs=(f"{subject}.slice_thickness", "piece.cut"))
    if step.action == "serve":
        cold = course is not None and _comes_cold(course, index, rulebase)
        put("served", "cold" if cold else "hot", inputs=("piece.thickness", "piece.start_temperature"))
    if course is not None:
        facts |= _felt(subject, course, index, step, facts)
    return facts


def _comes_cold(course: Course, index: int, rulebase: Rulebase) -> bool:
    """Whether no part of the meat is warmer than the end of the first stage of cooling when it is served."""
    before = [[leg for leg in walked.legs if leg.step < index] for walked in course.all]
    line = rulebase.limit("cool_first_to")
    return all(legs and float(legs[-1].cells[-1].max()) <= line for legs in before)


def _felt(subject: str, course: Course, index: int, step: PlanStep, facts: Mapping[str, Fact]) -> dict[str, Fact]:
    """Temperatures at the end of a step, its length and whether it gets there, with their ranges."""
    legs = [leg for walked in course.all if (leg := walked.of_step(index)) is not None]
    if not legs:
        return {}
    by = "advisor.science.conduction.leg"
    ends = {
        "core_end": [float(leg.centre_c[-1]) for leg in legs],
        "depth_end": [float(leg.depth_c[-1]) for leg in legs],
        "surface_end": [float(leg.surface_c[-1]) for leg in legs],
    }
    if "minutes" not in step.given:
        ends["minutes"] = [leg.minutes / passes(step) for leg in legs]
    felt = {
        name: Fact(
            subject,
            name,
            values[0],
            "computed",
            by=by,
            inputs=(f"{subject}.until_core", "piece.thickness") if name == "minutes" else ("piece.thickness",),
            low=min(values),
            high=max(values),
        )
        for name, values in ends.items()
        if name not in facts or name != "minutes"
    }
    reaches = yes_no(all(leg.reached for leg in legs))
    return {**felt, "reaches": Fact(subject, "reaches", reaches, "computed", by=by)}


def _ingredient_facts(step: PlanStep, case: Case, rulebase: Rulebase) -> Mapping[str, Value]:
    weight = case.number("piece", "weight", 1.0)
    enzymatic = [
        i for i in step.ingredients if i.what in rulebase.tenderisers and rulebase.tenderisers[i.what].strength > 0
    ]
    live = [i for i in enzymatic if live_share(i, rulebase) > 0]
    soda = sum(
        i.grams or 0.0
        for i in step.ingredients
        if i.what in rulebase.tenderisers and rulebase.tenderisers[i.what].kind == "alkali"
    )
    proven = [i for i in live if rulebase.tenderisers[i.what].enzyme != "unproven"]
    state = (
        "none"
        if not enzymatic
        else "heated"
        if not live
        else "unknown"
        if any(i.form == "unknown" for i in live)
        else "raw"
    )
    adds = "no" if not enzymatic else "heated" if not live else "yes" if proven else "unproven"
    return {
        "fruit_state": state,
        "adds_enzyme": adds,
        "adds_latex_kin": yes_no(
            any(i.what in rulebase.tenderisers and rulebase.tenderisers[i.what].latex for i in step.ingredients)
        ),
        "pulp_pct": 100.0 * sum(i.grams or 0.0 for i in live) / weight if live else None,
        "cures": yes_no(
            any(
                i.what in rulebase.materials and rulebase.materials[i.what].kind == "curing_salt"
                for i in step.ingredients
            )
        ),
        "salt_by_spoon": yes_no(
            any(
                BY_SPOON in i.note and i.what in rulebase.materials and salt_share(i.what, rulebase) > 0
                for i in step.ingredients
            )
        ),
        "adds_soda": yes_no(soda > 0),
        "soda_pct": 100.0 * soda / weight if soda else None,
        "adds_acid": yes_no(
            any(
                i.what in rulebase.tenderisers and rulebase.tenderisers[i.what].kind in ("acid", "dairy")
                for i in step.ingredients
            )
        ),
    }
