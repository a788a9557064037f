"""Facts that cannot both be so. These are slips of the pen, not dangerous plans; a dangerous plan gets a verdict."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from advisor.case.work_times import STUFFS
from advisor.errors import InputError

if TYPE_CHECKING:
    from advisor.case.model import Case, PlanStep
    from advisor.knowledge.rulebase import Rulebase

Where = Callable[[tuple[str | int, ...]], str]
# Actions that only make sense in one kind of place.
PLACES_OF: dict[str, tuple[str, ...]] = {
    "bath": ("bath_circulated", "bath_still"),
    "oven": ("oven_still", "oven_fan", "steam"),
    "pan": ("pan",),
    "grill": ("grill",),
    "ice": ("ice_bath",),
}
# Steps whose surroundings must be hotter than the middle is to become.
WATER = ("bath", "braise", "ice")
# 212 F comes out a hair above it.
BOILING_C = 100.0 + 1e-6
# The one place where water is hotter than that.
PRESSURE = "pressure_cooker"
HEATERS = ("bath", "oven", "braise", "reheat", "pan", "grill")


def contradictions(case: Case, rulebase: Rulebase, where: Where) -> list[InputError]:
    """List every pair of facts that cannot both be so."""
    return [*_piece(case, rulebase, where), *_steps(case, rulebase, where)]


def _piece(case: Case, rulebase: Rulebase, where: Where) -> Iterator[InputError]:
    cut = rulebase.cuts.get(case.word("piece", "cut"))
    animal = case.word("piece", "animal")
    if cut is not None and animal and cut.animal not in (animal, "any"):
        yield InputError(
            f"The cut '{cut.name}' is {cut.animal.replace('_', ' ')}, but the animal is {animal.replace('_', ' ')}.",
            "Correct one of the two.",
            where(("piece", "cut")),
        )
    if case.word("piece", "start_state") == "fridge" and case.number("piece", "out_minutes") > 0:
        yield InputError(
            "The meat is said to be from the fridge and to have been out.",
            "Write 'start_state: out', or take 'out_minutes' away.",
            where(("piece", "out_minutes")),
        )
    if case.word("piece", "stuffing") in ("none", "apart") and any(step.action == STUFFS for step in case.steps):
        yield InputError(
            "A step puts the stuffing in, but the meat is said to have none in it.",
            "Write 'stuffing: inside', or take the step away.",
            where(("piece", "stuffing")),
        )
    thickness = case.number("piece", "thickness")
    for side in ("width", "length"):
        if 0 < case.number("piece", side) < thickness:
            yield InputError(
                f"The {side} is said to be less than the thickness.",
                "The thickness is the smallest of the three sides; correct one of the two.",
                where(("piece", side)),
            )
    start = case.given("piece", "start_temperature")
    if (
        case.word("piece", "start_state") == "frozen"
        and start is not None
        and isinstance(start.value, float)
        and round(start.value, 6) > 0  # 32 °F is read as a hair above 0 °C
    ):
        yield InputError(
            "The meat is said to be frozen and warmer than freezing.",
            "Correct 'start_state' or 'start_temperature'.",
            where(("piece", "start_temperature")),
        )


def _steps(case: Case, rulebase: Rulebase, where: Where) -> Iterator[InputError]:
    thickness = case.number("piece", "thickness")
    frozen = case.word("piece", "start_state") == "frozen"
    for index, step in enumerate(case.steps):
        place = step.word("place")
        fits = PLACES_OF.get(step.action)
        if place and fits is not None and place not in fits:
            yield InputError(
                f"The step '{step.action}' is said to be in {rulebase.media[place].name}.",
                "Correct 'do' or 'place'.",
                where(("steps", index, "place")),
            )
        if step.action == "thaw" and not frozen:
            yield InputError(
                "The step 'thaw' thaws meat that is not frozen.",
                "Write 'start_state: frozen', put 'thaw' before the cooking, or take it away.",
                where(("steps", index)),
            )
        frozen = step.word("place") == "freezer" or (frozen and step.action != "thaw")
        yield from _until(index, step, where)
        if step.action == "ice" and step.number("temperature") > rulebase.limit("room_is_above"):
            yield InputError(
                "That is no ice water: with ice in it, it stays near 0 °C (32 °F).",
                "Correct 'at', or write 'do: chill' with its place.",
                where(("steps", index, "at")),
            )
        if step.action in WATER and place != PRESSURE and step.number("temperature") > BOILING_C:
            yield InputError(
                "A bath of water does not get hotter than 100 °C (212 °F).",
                "Correct 'at', write 'place: pressure cooker' if it is one, or use 'do: oven'.",
                where(("steps", index, "at")),
            )
        after = step.number("thickness_after")
        if after and thickness and after > thickness:
            yield InputError(
                "The piece is said to be thicker after the step than before.",
                "Write a 'thickness_after' below the thickness.",
                where(("steps", index, "thickness_after")),
            )
        depth = step.number("depth")
        if step.action == "score" and thickness and depth >= thickness:
            yield InputError(
                "The cuts are said to go deeper than the piece is thick.",
                "Write a smaller 'depth', such as a quarter of the thickness.",
                where(("steps", index, "depth")),
            )
        if after and step.action not in ("pound", "slice", "work", "score"):
            yield InputError(
                f"'thickness_after' does not belong to '{step.action}'.",
                "Give the thickness at the top, or use 'do: pound'.",
                where(("steps", index, "thickness_after")),
            )
        if after and thickness:
            thickness = after


def _until(index: int, step: PlanStep, where: Where) -> Iterator[InputError]:
    until, medium = step.given.get("until_core"), step.given.get("temperature")
    if until is None or not isinstance(until.value, float):
        return
    if (
        step.action in HEATERS
        and medium is not None
        and isinstance(medium.value, float)
        and until.value >= medium.value
    ):
        yield InputError(
            "The middle cannot become as hot as what surrounds it.",
            "Write an 'until_core' below 'at', or a hotter 'at'.",
            where(("steps", index, "until_core")),
        )
    if step.action not in (*HEATERS, "ice", "chill", "rest", "hold", "thaw"):
        yield InputError(
            f"'until_core' does not belong to '{step.action}'.",
            "Use it on a step that heats or cools.",
            where(("steps", index, "until_core")),
        )
