"""Connective tissue, tenderness and cooking loss along a course. Bands, never promises."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.case.complete import cut_of
from advisor.course.roles import COOKS
from advisor.science.enzyme import mean_shear_factor, reached_fraction, shear_factor
from advisor.science.serving import CookLossModel, cook_loss_pct
from advisor.science.texture import (
    HalfTime,
    collagen_remaining,
    fibre_hardening_long,
    fibre_hardening_short,
    tenderness_index,
)

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.softening import Softened
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase

HOUR = 3600.0
# Which age row of the slow collagen step an animal takes when its age is not known: the toughest that is usual.
AGE_ROW = {
    "beef": "prime",
    "veal": "calf",
    "lamb": "lamb",
    "goat": "mutton",
    "pork": "pork",
    "rabbit": "poultry",
    "farmed_deer": "game",
    "wild_game": "game",
    "wild_boar": "game",
}
BAND = 0.2


@dataclass(frozen=True, slots=True)
class Texture:
    """Forecast of texture: collagen strength left [-], shear band [kgf], loss band [%], hold against the usual [-]."""

    collagen_left: float
    shear_low: float
    shear_high: float
    loss_low: float
    loss_high: float
    hold_share: float


def texture(case: Case, walked: Walked, soft: Softened, rulebase: Rulebase) -> Texture:
    """Forecast the texture of a completed case."""
    times, core = walked.times(), walked.centre()
    slow_h = rulebase.parameter(f"collagen_half_time_60c_{AGE_ROW.get(case.word('piece', 'animal'), 'poultry')}_h")
    left = float(
        collagen_remaining(
            times,
            core,
            HalfTime(
                rulebase.parameter("collagen_fast_half_time_min") * 60,
                rulebase.parameter("collagen_fast_reference_c"),
                rulebase.parameter("collagen_fast_activation_kj_mol"),
            ),
            HalfTime(
                slow_h * HOUR,
                rulebase.parameter("collagen_slow_reference_c"),
                rulebase.parameter("collagen_slow_activation_kj_mol"),
            ),
        )[-1]
    )
    cooks = [leg for leg in walked.legs if case.steps[leg.step].action in COOKS]
    seconds = sum(leg.minutes for leg in cooks) * 60.0
    hold = max(cooks, key=lambda leg: leg.minutes) if cooks else None
    hold_c = float(hold.centre_c[-1]) if hold is not None else float(core[-1])
    shear = _shear(case, hold_c, seconds, left, soft, walked, rulebase)
    loss = cook_loss_pct(max(hold_c, 0.0), seconds, _loss_model(rulebase))
    spread = rulebase.parameter("cook_loss_uncertainty_pct")
    cap = rulebase.parameter("cook_loss_most_pct")
    return Texture(
        left,
        shear * (1 - BAND),
        shear * (1 + BAND),
        max(0.0, loss - spread),
        min(cap, loss + spread),
        _hold_share(case, walked, rulebase),
    )


def _shear(
    case: Case, hold_c: float, seconds: float, left: float, soft: Softened, walked: Walked, rulebase: Rulebase
) -> float:
    cut = cut_of(case, rulebase)
    p = rulebase.parameter
    if cut.collagen == "high":
        hardening = 1.0
    elif seconds > p("fibre_long_hold_from_h") * HOUR:
        hardening = float(
            fibre_hardening_long(
                hold_c,
                p("fibre_long_hold_low_c"),
                p("fibre_long_hold_high_c"),
                p("fibre_long_hold_rate_per_c"),
            )
        )
    else:
        hardening = float(
            fibre_hardening_short(
                hold_c,
                p("fibre_short_cook_low_c"),
                p("fibre_short_cook_high_c"),
                p("fibre_short_cook_rate_per_c"),
            )
        )
    enzyme = 1.0
    if soft.soft_work > 0:
        local = shear_factor(soft.soft_work, p("half_work"), p("shear_floor"))
        reached = reached_fraction(
            p("enzyme_diffusivity_m2_s"),
            float(walked.times()[-1]),
            case.number("piece", "thickness") / 1000.0,
        )
        enzyme = mean_shear_factor(reached, local)
    return tenderness_index(
        p(f"shear_{cut.toughness}_kgf"),
        collagen_share=p(f"collagen_share_{cut.toughness}"),
        hardening=hardening,
        remaining=left,
        enzyme_factor=enzyme,
        mechanical_factor=_mechanical(case, rulebase),
    )


def _mechanical(case: Case, rulebase: Rulebase) -> float:
    passes = sum(step.action in ("needle", "pound") for step in case.steps)
    names = {1: "blade_one_pass", 2: "blade_two_passes"}
    factor = 1.0 if passes == 0 else 1.0 - rulebase.parameter(names.get(passes, "blade_three_passes"))
    thickness = case.number("piece", "thickness")
    for step in case.steps:
        if step.action == "score" and thickness:
            faces = 1 if step.word("second_side", "none") == "none" else 2
            depth = min(1.0, faces * step.number("depth") / thickness)
            factor *= 1.0 - rulebase.parameter("scoring_outer_layers") * depth
    return factor


def _loss_model(rulebase: Rulebase) -> CookLossModel:
    p = rulebase.parameter
    return CookLossModel(
        p("cook_loss_base_pct"),
        p("cook_loss_span_pct"),
        p("cook_loss_middle_c"),
        p("cook_loss_width_c"),
        p("cook_loss_fast_time_h") * HOUR,
        p("cook_loss_slow_pct"),
        p("cook_loss_slow_from_c"),
        p("cook_loss_slow_over_c"),
        p("cook_loss_slow_time_h") * HOUR,
        p("cook_loss_most_pct"),
    )


def _hold_share(case: Case, walked: Walked, rulebase: Rulebase) -> float:
    usual = cut_of(case, rulebase).usual_hold
    longest = max((leg.minutes for leg in walked.legs if case.steps[leg.step].action == "bath"), default=0.0)
    return longest / 60.0 / max(usual.hours) if usual is not None else 0.0
