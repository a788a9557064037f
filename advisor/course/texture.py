"""Connective tissue, tenderness and cooking loss along a course. Bands, never promises."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.case.complete import cut_of
from advisor.course.roles import COOKS
from advisor.science.band import Band, certain
from advisor.science.serving import CookLossModel
from advisor.science.tenderness import chew_band, loss_band, tenderness_band
from advisor.science.texture import HalfTime, collagen_left, fibre_hardening_long, fibre_hardening_short

if TYPE_CHECKING:
    from advisor.case.model import Case
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
    "duck": "duck",
    "farmed_deer": "game",
    "wild_game": "game",
    "wild_boar": "game",
}
RIGHT_ANGLE, MILLIMETRE = 90.0, 1e-3


@dataclass(frozen=True, slots=True)
class Texture:
    """Forecast of texture, as bands with their confidence.

    Attributes
    ----------
    collagen_left : Band
        Strength left in the connective tissue [-].
    shear : Band
        Shear force [kgf].
    chew : Band or None
        Chewing of the slices against meat that is just tender and not sliced [-]; None when nothing is sliced.
    loss : Band
        Weight lost in cooking [%].
    hold_share : float
        Longest bath against the longest that suits the cut [-].
    """

    collagen_left: Band
    shear: Band
    chew: Band | None
    loss: Band
    hold_share: float


def texture(case: Case, walked: Walked, enzymes: Band, rulebase: Rulebase) -> Texture:
    """Forecast the texture of a completed case along one walk; ``enzymes`` is what they leave of the shear."""
    cooks = [leg for leg in walked.legs if case.steps[leg.step].action in COOKS]
    seconds = sum(leg.minutes for leg in cooks) * 60.0
    hold = max(cooks, key=lambda leg: leg.minutes) if cooks else None
    hold_c = float(hold.centre_c[-1]) if hold is not None else float(walked.centre()[-1])
    left = _collagen_left(case, walked, rulebase)
    shear = tenderness_band(
        of_parameter(f"shear_{cut_of(case, rulebase).toughness}_kgf", rulebase),
        collagen_share=of_parameter(f"collagen_share_{cut_of(case, rulebase).toughness}", rulebase),
        hardening=certain(_hardening(case, hold_c, seconds, rulebase)),
        remaining=left,
        enzyme_factor=enzymes,
        mechanical_factor=_mechanical(case, rulebase),
    )
    return Texture(
        left,
        shear,
        _chew(case, shear, rulebase),
        loss_band(
            certain(max(hold_c, 0.0)), seconds, _loss_model(rulebase), rulebase.parameter("cook_loss_uncertainty_pct")
        ),
        _hold_share(case, walked, rulebase),
    )


def of_parameter(name: str, rulebase: Rulebase) -> Band:
    """Band of a parameter: its own ends where the rulebase gives them, else the value alone."""
    middle = rulebase.parameter(name)
    entry = next(table[name] for table in (rulebase.texture, rulebase.meat, rulebase.enzyme_model) if name in table)
    return Band(
        entry.low if entry.low is not None else middle, middle, entry.high if entry.high is not None else middle
    )


def _collagen_left(case: Case, walked: Walked, rulebase: Rulebase) -> Band:
    p = rulebase.parameter
    fast = HalfTime(
        p("collagen_fast_half_time_min") * 60,
        p("collagen_fast_reference_c"),
        p("collagen_fast_activation_kj_mol"),
    )
    times, core = walked.times(), walked.centre()
    row = AGE_ROW.get(case.word("piece", "animal"), "poultry")
    hours = of_parameter(f"collagen_half_time_60c_{row}_h", rulebase)

    reference = p("collagen_slow_reference_c"), p("collagen_slow_activation_kj_mol")
    slows = [HalfTime(half_h * HOUR, *reference) for half_h in (hours.low, hours.mid, hours.high)]
    low, mid, high = map(float, collagen_left(times, core, fast, slows))
    return Band(low, mid, high)


def _hardening(case: Case, hold_c: float, seconds: float, rulebase: Rulebase) -> float:
    """Factor by which heat hardens the fibres; a cut rich in collagen softens instead."""
    p = rulebase.parameter
    if cut_of(case, rulebase).collagen == "high":
        return 1.0
    if seconds > p("fibre_long_hold_from_h") * HOUR:
        low, high, rate = p("fibre_long_hold_low_c"), p("fibre_long_hold_high_c"), p("fibre_long_hold_rate_per_c")
        return float(fibre_hardening_long(hold_c, low, high, rate))
    low, high, rate = p("fibre_short_cook_low_c"), p("fibre_short_cook_high_c"), p("fibre_short_cook_rate_per_c")
    return float(fibre_hardening_short(hold_c, low, high, rate))


def _mechanical(case: Case, rulebase: Rulebase) -> Band:
    """What blades, mallet and knife leave of the shear."""
    passes = sum(step.action in ("needle", "pound") for step in case.steps)
    names = {1: "blade_one_pass", 2: "blade_two_passes"}
    taken = of_parameter(names.get(passes, "blade_three_passes"), rulebase) if passes else certain(0.0)
    thickness, scored = case.number("piece", "thickness"), 1.0
    for step in case.steps:
        if step.action == "score" and thickness:
            faces = 1 if step.word("second_side", "none") == "none" else 2
            depth = min(1.0, faces * step.number("depth") / thickness)
            scored *= 1.0 - rulebase.parameter("scoring_outer_layers") * depth
    return Band((1 - taken.high) * scored, (1 - taken.mid) * scored, (1 - taken.low) * scored)


def _chew(case: Case, shear: Band, rulebase: Rulebase) -> Band | None:
    """Chewing of the slices, by their thickness and how the knife runs to the grain."""
    p = rulebase.parameter
    cut = next((step for step in case.steps if step.action == "slice" and "slice_thickness" in step.given), None)
    if cut is None:
        return None
    thick, off = cut.number("slice_thickness"), p("slice_off_mm")
    thin = max(thick - off, thick / 2)
    across = cut.word("direction", "along_grain") == "across_grain"
    astray = p("slice_off_deg")
    angle = Band(RIGHT_ANGLE - astray, RIGHT_ANGLE, RIGHT_ANGLE) if across else Band(0.0, 0.0, astray)
    return chew_band(
        shear,
        slice_m=Band(thin * MILLIMETRE, thick * MILLIMETRE, (thick + off) * MILLIMETRE),
        angle_deg=angle,
        piece_length_m=case.number("piece", "length", p("fibre_length_mm")) * MILLIMETRE,
        reference_shear_kgf=p("chew_reference_kgf"),
        reference_length_m=p("bite_length_mm") * MILLIMETRE,
        exponent=p("chew_exponent"),
    )


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
