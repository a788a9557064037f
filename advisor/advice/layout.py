"""Lays out the steps of a plan for the chosen ways of working, every figure from the rulebase or computed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, floor
from typing import TYPE_CHECKING

from advisor.advice.changes import LONGEST_MINUTES, QUARTER_HOUR
from advisor.case.complete import cut_of
from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.case.names import find_ingredient
from advisor.case.work_times import PRESSURE_DROP, PRESSURE_UP, PULLS, STUFFS, usual_minutes
from advisor.course import course_facts
from advisor.course.thawing import thaw_minutes
from advisor.course.walk import UNFELT

if TYPE_CHECKING:
    from collections.abc import Callable

    from advisor.case.facts import Value
    from advisor.knowledge.rulebase import Rulebase

TINY = 1e-6
# Where a value is the cook's own; all else is an assumption of ours.
TOLD = ("answered", "written")
HOUR = 60.0
PERCENT = 100.0
# Values of the piece, the step, the fact that must be enough and how much of it: the minutes that give it.
Lengths = dict[tuple[object, ...], float]


def lay_out(
    case: Case,
    softeners: tuple[Ingredient, ...],
    chosen: frozenset[str],
    cook_class: str,
    rulebase: Rulebase,
    lengths: Lengths | None = None,
) -> tuple[PlanStep, ...]:
    """Steps for a completed case, in order, ending with service.

    Parameters
    ----------
    case : Case
        Completed, without steps.
    softeners : tuple of Ingredient
        What it is softened with; empty for nothing.
    chosen : frozenset of str
        Names of techniques.
    cook_class : str
        Which cooking rules the food falls under as it arrived.
    lengths : dict, optional
        Lengths of the main heat that were worked out already; what is worked out here is put in.
    """
    layout = _Layout(case, softeners, chosen, cook_class, rulebase, lengths if lengths is not None else {})
    return (*layout.before(), *layout.seasoning(), *layout.heating(), *layout.finish(), PlanStep("serve"))


@dataclass(frozen=True, slots=True)
class _Layout:
    case: Case
    softeners: tuple[Ingredient, ...]
    chosen: frozenset[str]
    cook_class: str
    rulebase: Rulebase
    lengths: Lengths

    @property
    def want(self) -> str:
        return self.case.word("guests", "want", "pink")

    def before(self) -> list[PlanStep]:
        """Thawing, and what is done with blades, mallet or knife."""
        steps: list[PlanStep] = []
        if self.case.word("piece", "start_state") == "frozen":
            steps.append(self.thawed())
        if "needle" in self.chosen:
            steps.append(PlanStep("needle"))
        if "pound" in self.chosen and not self.sliced_raw():
            share = self.rulebase.limit("plan_pound_to") / PERCENT
            flat = round(self.case.number("piece", "thickness") * share, 1)
            steps.append(PlanStep("pound", _given(thickness_after=flat)))
        steps += self.sliced_raw()
        if self.scored():
            share = self.rulebase.texture["scoring_depth_of_thickness"].low or 0.0
            depth = round(self.case.number("piece", "thickness") * share, 1)
            steps.append(PlanStep("score", _given(depth=depth, direction="across_grain", second_side="across_first")))
        return steps

    def scored(self) -> bool:
        """Whether shallow cuts are made; never for a pan that leaves it pink, which has no time to make them safe."""
        if "pan" in self.chosen and self.want == "pink":
            return False
        return "score" in self.chosen and "pound" not in self.chosen and not self.sliced_raw()

    def thawed(self) -> PlanStep:
        """A thaw in the fridge until the last ice has gone at the slow end; in running water where that is long.

        A piece so thick that it would lie too long in water as well has days in the fridge, and nothing else.
        """
        least = self.rulebase.trade_words["time"]["a day"]
        needs = self.thaw_needs(self.fridge(least))
        if needs <= LONGEST_MINUTES:
            return PlanStep("thaw", self.fridge(max(least, needs)))
        water = water_thaw(self.case, self.rulebase)
        in_water = self.thaw_needs(water)
        if in_water > self.rulebase.limit("raw_out_max"):
            return PlanStep("thaw", self.fridge(needs))
        return PlanStep("thaw", {**water, "minutes": Given(in_water, "from the rulebase")})

    def thaw_needs(self, given: dict[str, Given]) -> float:
        """Whole hours until the last ice has gone [min]; never less than the step has, nor more than a step may."""
        step = PlanStep("thaw", given)
        key = (*self.piece_key(self.case), "thaw", step.word("place"))
        if key not in self.lengths:
            alone = replace(self.case, steps=(step,))
            needs = thaw_minutes(alone, self.rulebase)
            self.lengths[key] = ceil((needs - TINY) / HOUR) * HOUR
        most = self.rulebase.vocabulary["step"]["minutes"].high or LONGEST_MINUTES
        return min(max(step.number("minutes"), self.lengths[key]), most)

    def seasoning(self) -> list[PlanStep]:
        """Salt, with the softener if there is one: a mild one overnight, a strong one for its own short time."""
        weight, limit = self.case.number("piece", "weight"), self.rulebase.limit
        salt = self.salt()
        salted = (salt,) if salt.grams and "salt_ahead" in self.chosen else ()
        thin = self.case.word("piece", "form") in ("slices", "cubes")
        salting = limit("plan_salt_thin") if thin else self.rulebase.trade_words["time"]["overnight"]
        overnight = self.fridge(salting)
        steps: list[PlanStep] = []
        if salted and "inject" in self.chosen:
            steps.append(self.injected(salt, weight))
            salted = ()
        elif salted and "brine" in self.chosen:
            steps.append(self.brined(weight))
            salted = ()
        strength = {i: self.rulebase.tenderisers[i.what].strength for i in self.softeners}
        mild = tuple(i for i in self.softeners if strength[i] <= limit("plan_mild_strength"))
        if mild:
            steps += [PlanStep("marinate", overnight, (*self.dosed(mild, weight), *salted)), PlanStep("wipe")]
        elif salted:
            steps.append(PlanStep("salt", overnight, salted))
        elif salt.grams and self.case.word("piece", "form") == "minced":
            # Salt that lies in mince makes it bind, as in a sausage.
            steps.append(PlanStep("salt", self.fridge(0.0), (salt,)))
        for item in self.softeners:
            if item in mild:
                continue
            times = self.rulebase.tenderisers[item.what].fridge_minutes.get("steak") or [limit("enzyme_room_max")]
            steps += [
                PlanStep("marinate", self.fridge(float(min(times))), self.dosed((item,), weight)),
                PlanStep("wipe"),
            ]
        if "alkali" in self.chosen:
            soda, _ = find_ingredient("baking soda", self.rulebase)
            grams = round(limit("plan_soda") / PERCENT * weight, 1)
            lies = self.fridge(limit("plan_soda_minutes"))
            steps += [
                PlanStep("marinate", lies, (Ingredient(soda or "baking_soda", "baking soda", grams=grams),)),
                PlanStep("wipe"),
            ]
        return steps

    def brined(self, weight: float) -> PlanStep:
        """A weighed brine: its salt is reckoned on meat and water together, so that it cannot get too salty."""
        limit = self.rulebase.limit
        water = round(limit("plan_brine_water") / PERCENT * weight)
        grams = round(self.case.number("piece", "salt_target") / PERCENT * (weight + water), 1)
        liquid, _ = find_ingredient("water", self.rulebase)
        salt, _ = find_ingredient("salt", self.rulebase)
        return PlanStep(
            "brine",
            self.fridge(limit("plan_brine_minutes")),
            (
                Ingredient(salt or "table_salt", "salt", grams=grams),
                Ingredient(liquid or "water", "water", grams=float(water)),
            ),
        )

    def injected(self, salt: Ingredient, weight: float) -> PlanStep:
        """Brine from a needle: what stays in the meat brings the salt that is wanted."""
        pump = self.rulebase.limit("plan_pump")
        kept = self.rulebase.parameter("injection_kept_salt_only")
        water, _ = find_ingredient("water", self.rulebase)
        brine = pump / PERCENT * weight
        grams = round(min((salt.grams or 0.0) / kept, brine / 2), 1)
        items = (
            replace(salt, grams=grams),
            Ingredient(water or "water", "water", grams=float(round(brine - grams))),
        )
        return PlanStep("inject", _given(pump_pct=pump), items)

    def salt(self) -> Ingredient:
        """Salt for the meat, less what the meat and the softeners bring."""
        weight = self.case.number("piece", "weight")
        target = self.case.number("piece", "salt_target")
        if self.case.word("piece", "arrived") == "pumped":
            target = max(0.0, target - self.case.number("piece", "arrived_salt"))
        dosed = self.dosed(self.softeners, weight)
        brought = sum((i.grams or 0.0) * self.rulebase.tenderisers[i.what].salt_pct / 100 for i in dosed)
        grams = target * weight / 100 - brought
        name, _ = find_ingredient("salt", self.rulebase)
        return Ingredient(name or "table_salt", "salt", grams=round(max(0.0, grams), 1))

    def dosed(self, softeners: tuple[Ingredient, ...], weight: float) -> tuple[Ingredient, ...]:
        """Softeners with their amounts, at the most that works where none was said."""
        grams = round(self.rulebase.parameter("dose_cap_pct") / 100 * weight)
        return tuple(item if item.grams else replace(item, grams=float(grams)) for item in softeners)

    def heating(self) -> list[PlanStep]:
        """Stuffing, where the cook says that there is some, and then the main heat at once."""
        told = self.case.given("piece", "stuffing")
        stuffs = told is not None and told.value == "inside" and told.origin in TOLD
        filled = [PlanStep(STUFFS, _given(minutes=self.usual(STUFFS)))] if stuffs else []
        return [*filled, *self.main_heat()]

    def usual(self, work: str) -> float:
        """How long a piece of work usually takes [min]."""
        return usual_minutes(work, self.rulebase)

    def main_heat(self) -> list[PlanStep]:
        """The main heat: long enough to warm it through and to soften what must soften; kill is left to the road."""
        limit = self.rulebase.limit
        if "quick_sear" in self.chosen:
            core = self.whole(self.pan_core(), ceil)
            return [PlanStep("dry"), PlanStep("pan", _given(until_core=core, sides=2.0))]
        if "pan" in self.chosen:
            core = self.whole(self.pan_core(), ceil)
            return [PlanStep("dry"), PlanStep("pan", _given(until_core=core, sides=2.0)), PlanStep("rest")]
        if "low_bath" in self.chosen:
            heat = self.whole(self.bath_heat(), ceil)
            bath = PlanStep(
                "bath", _given(place="bath_circulated", temperature=heat, minutes=limit("plan_bath_minutes"))
            )
            near = heat - limit("plan_core_below_bath")
            return [
                PlanStep("bag"),
                self.softened(self.lengthened(bath, "core_peak", lambda core: core >= near, near)),
            ]
        if "pressure" in self.chosen:
            heat = self.whole(limit("plan_pressure_heat"), floor)
            pot = _given(place="pressure_cooker", temperature=heat, minutes=limit("plan_pressure_minutes"))
            up, drop = (PlanStep(work, _given(minutes=self.usual(work))) for work in (PRESSURE_UP, PRESSURE_DROP))
            return [up, self.softened(PlanStep("braise", pot)), drop]
        if "braise" in self.chosen:
            heat = self.whole(limit("plan_braise_heat"), ceil)
            return [self.softened(PlanStep("braise", _given(temperature=heat, minutes=limit("plan_bath_minutes"))))]
        core = limit("plan_bird_core") if self.through() else limit("plan_roast_core")
        if self.case.word("piece", "form") == "steak":
            # A steak is seared after the oven, as it is in a pan alone.
            core = min(core, self.pan_core())
        heat = limit("plan_oven_hot") if self.through() else limit("plan_oven_heat")
        oven = _given(place="oven_still", temperature=self.whole(heat, ceil), until_core=self.whole(core, ceil))
        rest = _given(minutes=limit("plan_rest_roast")) if self.roasted() else {}
        return [PlanStep("oven", oven), PlanStep("rest", rest)]

    def roasted(self) -> bool:
        """Whether it is cooked through whole in a hot oven."""
        whole = self.case.word("piece", "form") == "roast"
        return whole and self.through() and not {"low_bath", "braise", "pressure"} & self.chosen

    def through(self) -> bool:
        """Whether it is cooked through."""
        stuffed = self.case.word("piece", "stuffing") == "inside"
        return stuffed or self.cook_class in ("bird", "wild", "organ_meat") or self.want == "well_done"

    def pan_core(self) -> float:
        """Middle at which it comes out of the pan [°C], which gives it no time at that heat.

        Pink is a closed beef steak alone, for guests who are well; all else is laid out for the hot end of the
        times that the code prints for it.
        """
        limit = self.rulebase.limit
        if self.through():
            return limit("plan_bird_core")
        if self.cook_class != "whole_meat" or {"pound", "needle", "inject"} & self.chosen:
            return limit("plan_pan_open")
        steak = self.case.word("piece", "animal") == "beef" and self.case.word("piece", "form") == "steak"
        well = self.case.word("guests", "vulnerable") == "no"
        return limit("plan_pan_pink") if steak and well else limit("plan_pan_closed")

    def bath_heat(self) -> float:
        """Heat of the bath [°C] for how it should eat, raised where the food's class asks more."""
        limit = self.rulebase.limit
        heat = {"pink": limit("plan_bath_pink"), "well_done": limit("plan_bath_done")}.get(
            self.want, limit("plan_bath_soft")
        )
        stuffed = self.case.word("piece", "stuffing") == "inside"
        if self.cook_class == "bird" and not stuffed:
            return max(heat, limit("plan_bath_bird"))
        if stuffed or self.cook_class in ("wild", "organ_meat"):
            return max(heat, limit("plan_bird_core") + limit("plan_core_below_bath"))
        return heat

    def finish(self) -> list[PlanStep]:
        """Drying, searing, slicing and pulling."""
        steps: list[PlanStep] = []
        # What was braised is wet and brown already; what was cooked in the pan, or whole in a hot oven, is brown.
        brown = {"quick_sear", "braise", "pressure", "pan"} & self.chosen
        if "sear" in self.chosen and not brown and not self.roasted():
            sear = _given(minutes=self.rulebase.limit("plan_sear_minutes"), sides=2.0)
            steps += [PlanStep("dry"), PlanStep("pan", sear)]
        if "slice_across" in self.chosen and not self.sliced_raw() and not self.one_portion():
            thin = float(max(cut_of(self.case, self.rulebase).slice_mm))
            if thin < self.case.number("piece", "thickness"):
                steps.append(PlanStep("slice", _given(direction="across_grain", slice_thickness=thin)))
        return [*steps, *self.pulled()]

    def one_portion(self) -> bool:
        """Whether it is a small piece on its bone, such as a drumstick, that goes to the plate as it is."""
        cut = cut_of(self.case, self.rulebase)
        return cut.bone == "usual" and max(cut.weight_g) <= 2 * self.rulebase.limit("plan_portion")

    def pulled(self) -> list[PlanStep]:
        """Standing until hands can work on it, where nothing else came after the heat, and pulling to shreds."""
        piece, limit = self.case.piece, self.rulebase.limit
        whole = self.case.word("piece", "form") == "roast" and self.want == "fall_apart"
        cut = cut_of(self.case, self.rulebase)
        # Ribs and shanks go to the plate on their bone.
        whole = whole and (cut.bone != "usual" or cut.whole_bird)
        if not whole or "weight" not in piece or self.case.number("piece", "weight") < limit("plan_pull_from"):
            return []
        straight = bool({"braise", "pressure"} & self.chosen)
        stands = [PlanStep("rest", _given(minutes=limit("plan_pull_stand")))] if straight else []
        minutes = usual_minutes(PULLS, self.rulebase, self.case.number("piece", "weight"))
        return [*stands, PlanStep(PULLS, _given(minutes=minutes))]

    def sliced_raw(self) -> list[PlanStep]:
        """For a quick sear a thick piece is sliced first, across the grain."""
        thin = min(float(max(cut_of(self.case, self.rulebase).slice_mm)), self.rulebase.limit("plan_stir_slice"))
        if "quick_sear" not in self.chosen or self.case.number("piece", "thickness") <= thin:
            return []
        return [PlanStep("slice", _given(direction="across_grain", slice_thickness=thin, thickness_after=thin))]

    def softened(self, step: PlanStep) -> PlanStep:
        """Lengthen the main heat until the connective tissue is as soft as wanted."""
        collagen = cut_of(self.case, self.rulebase).collagen
        apart = self.want == "fall_apart"
        minced = self.case.word("piece", "form") == "minced"
        if collagen == "low" or ((collagen == "medium" or minced) and not apart):
            return step
        target = self.rulebase.parameter("collagen_left_fork_tender" if apart else "collagen_left_sliced")
        return self.lengthened(step, "collagen_left", lambda left: left <= target, target)

    def lengthened(self, step: PlanStep, fact: str, enough: Callable[[float], bool], bound: float) -> PlanStep:
        """The step with the fewest quarter hours, from its own length up, at which a computed fact is enough."""
        case = self.before_heat()
        heats = tuple((name, given.value) for name, given in step.given.items())
        key = (*self.piece_key(case), step.action, heats, fact, bound)

        def done(quarters: int) -> bool:
            longer = step.with_value("minutes", quarters * QUARTER_HOUR, origin="from the rulebase")
            value = course_facts(replace(case, steps=(longer,)), self.rulebase).facts.course[fact].value
            return isinstance(value, float) and enough(value)

        if key not in self.lengths:
            low, high = int(step.number("minutes") // QUARTER_HOUR), int(LONGEST_MINUTES // QUARTER_HOUR)
            if done(low):
                self.lengths[key] = step.number("minutes")
            else:
                while high - low > 1:
                    middle = (low + high) // 2
                    low, high = (low, middle) if done(middle) else (middle, high)
                self.lengths[key] = high * QUARTER_HOUR
        return step.with_value("minutes", self.lengths[key], origin="from the rulebase")

    @staticmethod
    def piece_key(case: Case) -> tuple[object, ...]:
        """What is known of the piece, by value and by where it came from: a guess is walked at more ends."""
        return tuple(sorted((n, str(g.value), g.origin) for n, g in case.piece.items() if n not in UNFELT))

    def before_heat(self) -> Case:
        """The piece as it goes into the heat: thawed, and as thin as it was beaten."""
        case = self.case
        if case.word("piece", "start_state") == "frozen":
            cold = self.rulebase.usual_c("fridge_still") or 0.0
            case = case.with_value("piece", "start_state", Given("fridge", "from the rulebase"))
            case = case.with_value("piece", "start_temperature", Given(cold, "from the rulebase"))
        if "pound" in self.chosen and "thickness" in case.piece:
            flat = case.number("piece", "thickness") * self.rulebase.limit("plan_pound_to") / PERCENT
            case = case.with_value("piece", "thickness", replace(case.piece["thickness"], value=round(flat, 1)))
        return case

    def fridge(self, minutes: float) -> dict[str, Given]:
        """A wait in the fridge, never warmer than is usual."""
        usual = float(self.rulebase.usual_c("fridge_still") or 0.0)
        return _given(place="fridge_still", temperature=self.whole(usual, floor), minutes=minutes)

    def whole(self, heat: float, to: Callable[[float], int]) -> float:
        """A heat [°C] in whole degrees of the cook's own scale."""
        return _whole(heat, to, self.case)


def water_thaw(case: Case, rulebase: Rulebase) -> dict[str, Given]:
    """A thaw in cold running water, of the shortest length that any steak takes."""
    usual = rulebase.usual_c("running_water") or 0.0
    least = rulebase.limit("thaw_water_min")
    return _given(place="running_water", temperature=_whole(usual, floor, case), minutes=least)


def _whole(heat: float, to: Callable[[float], int], case: Case) -> float:
    return (to(heat * 9 / 5 + 32 - TINY) - 32) * 5 / 9 if case.system == "us" else heat


def _given(**values: Value) -> dict[str, Given]:
    return {name: Given(value, "from the rulebase") for name, value in values.items()}
