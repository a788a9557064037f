"""Fills in what was not said: the worst plausible value for safety, the usual value else, and says so."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.case.work_times import PRESSURE_UP, STUFFS, usual_minutes
from advisor.knowledge.cuts import EITHER
from advisor.science.brine import sodium_to_salt

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.facts import Origin
    from advisor.knowledge.records import Cut, VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

# Where a step takes place when nobody said.
PLACE_OF_ACTION: Mapping[str, str] = {
    "bath": "bath_still",
    "oven": "oven_still",
    "braise": "braise",
    "pan": "pan",
    "grill": "grill",
    "ice": "ice_bath",
    "chill": "fridge_still",
    "rest": "rest",
    "hot_hold": "hot_cupboard",
    "reheat": "bath_still",
}
# Steps that wait: without a place the worst is the counter. All others are work at the counter.
WAITS = frozenset({"hold", "marinate", "salt", "brine", "thaw"})
GRAMS = 1000.0
# Forms in which a bone can still be in the meat.
WITH_BONE = frozenset({"steak", "roast"})
# Steps that mean nothing without a time, unless they end at a core temperature.
NEEDS_TIME = frozenset(
    {
        "hold",
        "marinate",
        "brine",
        "bath",
        "oven",
        "braise",
        "pan",
        "grill",
        "ice",
        "chill",
        "hot_hold",
        "reheat",
        "thaw",
    }
)
NEEDS_HEAT = frozenset({"bath", "oven", "braise", "reheat"})
SEARS = frozenset({"pan", "grill"})
MAIN_COOKS = frozenset({"bath", "oven", "braise"})


def complete(case: Case, rulebase: Rulebase) -> Case:
    """Return the case with every fact that has an answer or an assumption filled in.

    Facts whose vocabulary entry says ``cannot_go_on`` stay unknown; the rules then ask for them.
    """
    case = _worst_cut_said(_animal_from_cut(case, rulebase), rulebase)
    cut = cut_of(case, rulebase)
    piece = {**_filled(case.piece, "piece", rulebase), **_sizes(case, cut, rulebase)}
    filled = replace(case, piece=piece, guests=_filled(case.guests, "guests", rulebase))
    weight = filled.number("piece", "weight")
    steps = _short_sears(filled.steps, rulebase)
    return replace(filled, steps=tuple(_step(step, weight, filled, rulebase) for step in steps))


def is_whole_bird(case: Case, rulebase: Rulebase) -> bool:
    """Tell whether it is a bird in one piece; one of which nobody named the form may be."""
    return case.word("piece", "form") in ("roast", "") and cut_of(case, rulebase).whole_bird


def cut_of(case: Case, rulebase: Rulebase) -> Cut:
    """Record of the cut; the worst plausible one when it is not known."""
    return rulebase.cuts.get(case.word("piece", "cut", "unknown_cut"), rulebase.cuts["unknown_cut"])


def _animal_from_cut(case: Case, rulebase: Rulebase) -> Case:
    cut = rulebase.cuts.get(case.word("piece", "cut"))
    if cut is None or cut.animal == "any" or case.word("piece", "animal"):
        return case
    return case.with_value(
        "piece", "animal", Given(cut.animal, "from the rulebase", note=f"{cut.name} is {cut.animal}")
    )


def _worst_cut_said(case: Case, rulebase: Rulebase) -> Case:
    """Say it where the cut is one of several and nobody knows which: the worst of each is taken."""
    given = case.given("piece", "cut")
    if given is None or not isinstance(given.value, str) or EITHER not in given.value:
        return case
    name = rulebase.cuts[given.value].name
    note = f"the cut is {name}, and nobody knows which, so we took the worst of each: the thickest and the toughest"
    return case.with_value("piece", "cut", replace(given, origin="assumed worst", note=note))


def _filled(given: Mapping[str, Given], subject: str, rulebase: Rulebase) -> dict[str, Given]:
    filled = dict(given)
    for name, entry in rulebase.vocabulary[subject].items():
        have = filled.get(name)
        if (have is not None and have.value is not None) or entry.unknown is None:
            continue
        assumed = _assumption(entry)
        if assumed is not None:
            filled[name] = assumed
    return filled


def _assumption(entry: VocabularyFact) -> Given | None:
    unknown = entry.unknown
    if unknown is None or unknown.value is None or unknown.policy == "find_out":
        return None
    origin: Origin = "assumed worst" if unknown.policy == "worst" else "assumed typical"
    shown = entry.says.get(str(unknown.value), str(unknown.value).replace("_", " "))
    kind = "the worst plausible" if unknown.policy == "worst" else "the usual"
    return Given(unknown.value, origin, note=f"{entry.means}: not said, so we took {kind}: {shown}")


def _sizes(case: Case, cut: Cut, rulebase: Rulebase) -> dict[str, Given]:
    """Weight, thickness, start and salt, where they were not said."""
    state = _start_state(case)
    start = case.word("piece", "start_state") or str(state["start_state"].value)
    # In this order the assumptions are told.
    return {
        **_unsaid(case, _measures(cut, by_core=any("until_core" in step.given for step in case.steps))),
        **_unsaid(case, _height_of_bird(case, cut, rulebase)),
        **state,
        **_unsaid(case, _start_heat(start, rulebase)),
        **_unsaid(case, _fridge_time(case, start)),
        **_plain_piece(case, cut),
        **_unsaid(case, _stuffing(case, cut)),
        **_unsaid(case, _salts(case, rulebase)),
    }


def _unsaid(case: Case, assumed: Mapping[str, Given]) -> dict[str, Given]:
    """Those assumptions for which the case has no value."""
    said = {name for name, given in case.piece.items() if given.value is not None}
    return {name: given for name, given in assumed.items() if name not in said}


def _measures(cut: Cut, *, by_core: bool) -> dict[str, Given]:
    thinnest = "; for a step that waits for the middle we also took the thinnest" if by_core else ""
    return {
        "thickness": Given(
            float(max(cut.thickness_mm)),
            "assumed worst",
            note=f"thickness not measured, so we took the thickest that is usual for {cut.name}{thinnest}",
        ),
        "weight": Given(
            sum(map(float, cut.weight_g)) / len(cut.weight_g),
            "assumed typical",
            note=f"weight not said, so we took a usual one for {cut.name}; amounts of salt and pulp hang on it",
        ),
    }


def _height_of_bird(case: Case, cut: Cut, rulebase: Rulebase) -> dict[str, Given]:
    """Height of a whole bird with nothing in it, of known weight, that nobody measured: the most for that weight."""
    bone = case.given("piece", "bone")
    grams = min(case.number("piece", "weight"), float(max(cut.weight_g)))
    sure = is_whole_bird(case, rulebase) and (bone is None or bone.value == "yes")
    if not sure or case.word("piece", "stuffing") not in ("none", "apart") or grams < float(min(cut.weight_g)):
        return {}
    note = "thickness not measured, so we took the most that is usual for the height of a bird of its weight"
    most = bird_height_mm(grams, rulebase) * rulebase.parameter("bird_height_most")
    return {"thickness": Given(min(most, float(max(cut.thickness_mm))), "assumed worst", note=note)}


def bird_height_mm(grams: float, rulebase: Rulebase) -> float:
    """Height at which a whole bird of a weight [g] usually lies [mm]."""
    return rulebase.parameter("bird_height_mm") * math.pow(grams / GRAMS, 1 / 3)


def _plain_piece(case: Case, cut: Cut) -> dict[str, Given]:
    """Shape and bone, where nobody was asked: told together. Asked and not known stays not known, which is worst.

    A cut that is sold with its bone, always or at times, is taken to have it, until somebody says that it has none.
    """
    flat = Given("flat", "assumed typical", note="nobody spoke of rolling, so we took a flat piece")
    if cut.bone == "usual" and case.word("piece", "form", "roast") in WITH_BONE:
        note = f"nobody spoke of a bone; {cut.name} is sold with one, so we took it to have one"
        plain = {"shape": flat, "bone": Given("yes", "assumed worst", note=note)}
    elif cut.bone == "sometimes" and case.word("piece", "form", "roast") in WITH_BONE:
        note = f"nobody spoke of a bone; {cut.name} is sold with and without, so we took it to have one: say which"
        plain = {"shape": flat, "bone": Given("yes", "assumed worst", note=note)}
    else:
        note = "nobody spoke of a bone or of rolling, so we took a flat piece without a bone"
        plain = {"shape": replace(flat, note=note), "bone": Given("no", "assumed typical", note=note)}
    found = {name: given for name, given in plain.items() if name not in case.piece}
    asked = case.piece.get("bone")
    if asked is not None and asked.value is None:
        # It counts as a bone that slows the heat. That a bird is sure to have its bones, and a hollow, it does not say.
        found["bone"] = Given(
            "yes", "not known", note="nobody knows whether there is a bone, so we took it to have one"
        )
    return found


def _stuffing(case: Case, cut: Cut) -> dict[str, Given]:
    """Stuffing: asked and not known is inside; of a whole bird that nobody was asked about it is said."""
    if any(step.action == STUFFS for step in case.steps):
        note = "a step of the plan puts the stuffing in, so it is stuffed"
        return {"stuffing": Given("inside", "from the rulebase", note=note)}
    if "stuffing" in case.piece:
        note = "nobody knows whether it is stuffed, so we took it to be"
        return {"stuffing": Given("inside", "assumed worst", note=note)}
    if cut.whole_bird and case.word("piece", "form") in ("roast", ""):
        note = "nobody spoke of stuffing, so we took the bird to have none; say whether it is stuffed"
        return {"stuffing": Given("none", "assumed typical", note=note)}
    return {}


def _start_state(case: Case) -> dict[str, Given]:
    """Where the meat has been: not asked about is the fridge, asked and not known is the worst."""
    if case.word("piece", "start_state"):
        return {}
    if "start_state" not in case.piece:
        note = "where the meat has been was not said, so we took it to be from the fridge; if out, say how long"
        return {"start_state": Given("fridge", "assumed typical", note=note)}
    note = "where the meat has been is not known, so we took it to have been out"
    return {"start_state": Given("out", "assumed worst", note=note)}


def _start_heat(start: str, rulebase: Rulebase) -> dict[str, Given]:
    if start == "out":
        note = "room temperature not said, so we took a hot kitchen"
        return {"out_temperature": Given(rulebase.media["counter"].worst_c, "assumed worst", note=note)}
    place = "freezer" if start == "frozen" else "fridge_still"
    note = f"start temperature not said; taken from {rulebase.media[place].name}"
    return {"start_temperature": Given(rulebase.usual_c(place), "assumed typical", note=note)}


def _fridge_time(case: Case, start: str) -> dict[str, Given]:
    """Days raw in the fridge before the plan: not asked about is none, and said; asked and not known stays so."""
    if "fridge_time" in case.piece:
        return {}
    if start == "frozen":
        return {"fridge_time": Given(0.0, "from the rulebase")}
    note = "days raw in the fridge before step 1 were not said, so we took none; if any, write 'fridge time: 1 day'"
    return {"fridge_time": Given(0.0, "assumed typical", note=note)}


def _salts(case: Case, rulebase: Rulebase) -> dict[str, Given]:
    note = "salt wanted not said, so we took the usual"
    salts = {"salt_target": Given(rulebase.limit("salt_usual"), "assumed typical", note=note)}
    sodium = case.given("piece", "label_sodium")
    if sodium is not None and isinstance(sodium.value, float | int):
        salt = sodium_to_salt(float(sodium.value))
        salts["arrived_salt"] = Given(salt, "from the rulebase", note="worked out from the sodium on the label")
    elif case.word("piece", "arrived") == "pumped":
        note = "salt in the pumped meat not said, so we took the usual"
        salts["arrived_salt"] = Given(rulebase.limit("pumped_salt"), "assumed typical", note=note)
    return salts


def _step(step: PlanStep, weight: float, case: Case, rulebase: Rulebase) -> PlanStep:
    given = dict(step.given)
    if "place" not in given or given["place"].value is None:
        waits = step.action in WAITS
        place = PLACE_OF_ACTION.get(step.action, "counter")
        temperature = given.get("temperature")
        if (
            waits
            and temperature is not None
            and isinstance(temperature.value, float)
            and temperature.value <= rulebase.limit("cold_hold_max")
        ):
            place, waits = "fridge_still", False
        note = f"where to {step.action} was not said, so we took {rulebase.media[place].name}"
        given["place"] = Given(
            place,
            "assumed worst" if waits else "assumed typical",
            note=note if waits or step.action == "bath" else "",
        )
    given |= _temperature(step, given, rulebase)
    given |= _minutes(step, given, weight, rulebase)
    given |= _humidity(given, rulebase)
    if step.action == "bath" and "bags" not in given:
        note = "how the bags lie was not said, so we took them apart and under water"
        given["bags"] = Given("apart", "assumed typical", note=note)
    if step.action in ("pan", "grill") and "sides" not in given:
        given["sides"] = Given(2.0, "assumed typical")
    usual = rulebase.base_limit("turns_min")
    if step.action in ("pan", "grill") and "turns" not in given and rulebase.limit("turns_min") > usual:
        given["turns"] = Given(usual, "assumed worst", note="how often it is turned was not said, so we took once")
    ingredients = tuple(_amount(item, step, weight, case, rulebase) for item in step.ingredients)
    return replace(step, given=given, ingredients=ingredients)


def _short_sears(steps: tuple[PlanStep, ...], rulebase: Rulebase) -> tuple[PlanStep, ...]:
    """Count a sear without a time, after another cook, as hardly a touch: it may be that short, and kills least so.

    Where the sear is all the cooking there is, its time is asked for.
    """
    note = "how long to sear was not said, so we counted on hardly any: it browns, but it is not what makes this safe"
    least = Given(rulebase.limit("sear_unsaid"), "assumed worst", note=note)
    made: list[PlanStep] = []
    for step in steps:
        unsaid = step.action in SEARS and not any(
            name in step.given and step.given[name].value is not None for name in ("minutes", "until_core")
        )
        cooked = any(before.action in MAIN_COOKS for before in made)
        made.append(replace(step, given={**step.given, "minutes": least}) if unsaid and cooked else step)
    return tuple(made)


def _temperature(step: PlanStep, given: Mapping[str, Given], rulebase: Rulebase) -> dict[str, Given]:
    have = given.get("temperature")
    if have is not None and have.value is not None:
        return {}
    medium = rulebase.media[str(given["place"].value)]
    if medium.surface_cap_c is not None and step.action not in NEEDS_HEAT:
        return {"temperature": Given(medium.surface_cap_c, "from the rulebase")}
    if step.action == PRESSURE_UP:
        # No heat is counted, and the time is: the meat must not look colder than it may be.
        note = "no heat was counted while the pot comes up to pressure: we took the meat to stand in a hot room"
        return {"temperature": Given(float(medium.worst_c or rulebase.limit("hot_room")), "assumed worst", note=note)}
    if step.action in WAITS or step.action in ("chill", "ice", "hot_hold", "rest"):
        if medium.worst_c is None:
            return {}
        note = f"the temperature of the {medium.name} was not said, so we took the worst plausible"
        return {"temperature": Given(float(medium.worst_c), "assumed worst", note=note)}
    if medium.usual_c is None:
        return {}
    return {"temperature": Given(float(medium.usual_c), "assumed typical")}


def _humidity(given: Mapping[str, Given], rulebase: Rulebase) -> dict[str, Given]:
    """Take an oven of which nobody said how damp it is as dry; told where it is cool enough to matter."""
    have = given.get("humidity")
    if not rulebase.media[str(given["place"].value)].dries or (have is not None and have.value is not None):
        return {}
    heat = given["temperature"].value if "temperature" in given else None
    matters = isinstance(heat, float) and heat < rulebase.parameter("dry_felt_until_c")
    note = "how damp the oven is was not said, so we took it as dry: the wet meat stays cooler than the oven for long"
    return {"humidity": Given(0.0, "assumed worst", note=note if matters else "")}


def _minutes(step: PlanStep, given: Mapping[str, Given], weight: float, rulebase: Rulebase) -> dict[str, Given]:
    have = given.get("minutes")
    if have is not None and have.value is not None:
        return {}
    if "until_core" in given or step.action in NEEDS_TIME or (step.action == "salt" and "place" in step.given):
        return {}
    return {"minutes": Given(usual_minutes(step.action, rulebase, weight), "assumed typical")}


def _amount(item: Ingredient, step: PlanStep, weight: float, case: Case, rulebase: Rulebase) -> Ingredient:
    """Give an ingredient its grams: from its share, from the salt target, or at the usual dose."""
    if item.grams is not None:
        return item
    if item.share_pct is not None:
        return replace(item, grams=item.share_pct / 100.0 * weight)
    material = rulebase.materials.get(item.what)
    if material is not None and material.kind == "salt" and step.action in ("salt", "marinate"):
        share = case.number("piece", "salt_target", rulebase.limit("salt_usual"))
        return replace(
            item,
            grams=share / 100.0 * weight,
            note=f"amount of {item.as_written} not said; taken at the salt wanted",
        )
    if item.what in rulebase.tenderisers and rulebase.tenderisers[item.what].strength > 0:
        share = rulebase.parameter("dose_cap_pct")
        return replace(
            item,
            grams=share / 100.0 * weight,
            note=f"amount of {item.as_written} not said; taken at the most that works",
        )
    if material is not None and material.salt_pct > 0:
        share = rulebase.parameter("dose_cap_pct")
        return replace(
            item,
            grams=share / 100.0 * weight,
            note=f"amount of {item.as_written} not said; taken at the same share as pulp",
        )
    return item


def missing(case: Case) -> tuple[tuple[int, str], ...]:
    """Steps that lack a time or a heat that nothing may replace, as pairs of index and fact name."""
    gaps: list[tuple[int, str]] = []
    for index, step in enumerate(case.steps):
        if "minutes" not in step.given and "until_core" not in step.given:
            gaps.append((index, "minutes"))
        if "temperature" not in step.given or step.given["temperature"].value is None:
            gaps.append((index, "temperature"))
    return tuple(gaps)


def assumptions(case: Case, leave_out: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Every assumption of a completed case, in plain words, less those on the facts named in ``leave_out``."""
    notes = [
        given.note
        for subject, facts in (("piece", case.piece), ("guests", case.guests))
        for name, given in facts.items()
        if (given.origin.startswith("assumed") or (given.origin == "not known" and given.value is not None))
        and f"{subject} {name}" not in leave_out
    ]
    for number, step in enumerate(case.steps, start=1):
        notes += [
            f"step {number}: {given.note}"
            for given in step.given.values()
            if given.origin.startswith("assumed") and given.note
        ]
        notes += [f"step {number}: {item.note}" for item in step.ingredients if item.note]
        notes += [
            f"step {number}: nobody said whether the {item.as_written} is raw; we took it as raw"
            for item in step.ingredients
            if item.form == "unknown"
        ]
    return tuple(dict.fromkeys(note for note in notes if note))
