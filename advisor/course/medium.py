"""What lies on the meat as the enzyme meets it: how strong and thick, how sour, how salt.

A puree or marinade on a face is met at its own strength, whatever it weighs beside the meat: near 100 % of fruit
under a plain puree, thinned only by what is stirred into it. Its share of the meat's weight says how thick the film
is, and so how soon it is spent. The scale of work was left as it is: one experiment with the juice taken as mixed
through the meat, so that its 6 % is the strength met there. Against the trade it is set by one figure of our own,
``paste_felt_mm``: the depth of paste that a cook notices. At 0.85 mm every longest customary time of a puree of 5 %,
in the room or the fridge and then into the pan, stays short of paste, and a night in the fridge under the strong ones
goes past it, as cooks say. No published figure stands behind that depth. The share of the meat's weight itself, which
was taken as the strength at the face before, is a twentieth of it for a puree of 5 %.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from advisor.course.roles import DRY_FORMS
from advisor.course.seasoning import PERCENT, salt_of
from advisor.course.souring import outer_phs
from advisor.science.band import Band, Confidence, certain
from advisor.science.conditions import ph_factor_beside, salt_factor
from advisor.science.reach import film_thickness_m

if TYPE_CHECKING:
    from advisor.case.model import Case, Ingredient, PlanStep
    from advisor.course.roles import Softener
    from advisor.knowledge.rulebase import Rulebase

MILLIMETRE = 1e-3
THINS = frozenset({"liquid", "salty"})
# Beyond this share of the meat's weight it is a bath, which is not spent.
MOST_FILM = 0.3


def strength_in(step: PlanStep, softener: Softener, case: Case, rulebase: Rulebase) -> float:
    """Strength of a softener in what it was mixed into, as percent of pineapple flesh [%].

    Only what is wet and said by weight thins it.
    """
    tenderiser = rulebase.tenderisers[softener.what]
    grams = softener.pct / PERCENT * case.number("piece", "weight", 1.0)
    whole = max(wet_grams(step, rulebase), grams)
    share = grams / whole if whole > 0 else 1.0
    return PERCENT * share * tenderiser.strength * softener.live


def wet_grams(step: PlanStep, rulebase: Rulebase) -> float:
    """Weight of all that mixes with an enzyme in a step [g]: purees, juices, dairy, sauces; not oil, herbs or salt."""
    return sum(item.grams or 0.0 for item in step.ingredients if _mixes(item, rulebase))


def _mixes(item: Ingredient, rulebase: Rulebase) -> bool:
    if item.what in rulebase.tenderisers:
        return rulebase.tenderisers[item.what].kind != "alkali" or item.form in DRY_FORMS
    material = rulebase.materials.get(item.what)
    return material is not None and material.kind in THINS


def film_m(step: PlanStep, softener: Softener, case: Case, rulebase: Rulebase, cap_pct: float = math.inf) -> float:
    """Thickness of what lies on both faces [m], without bound where nothing is known of it or it is a bath.

    ``cap_pct`` is the share of softener beyond which more does nothing for tenderness.
    """
    weight = case.number("piece", "weight", 1.0)
    thickness = case.number("piece", "thickness") * MILLIMETRE
    grams = softener.pct / PERCENT * weight
    whole = max(wet_grams(step, rulebase), grams) * (min(1.0, cap_pct / softener.pct) if softener.pct > 0 else 1.0)
    if whole <= 0 or thickness <= 0 or whole / weight > MOST_FILM:
        return math.inf
    return film_thickness_m(whole / weight, thickness)


def conditions(case: Case, softener: Softener, rulebase: Rulebase) -> Band:
    """What acid, soda and salt make of an enzyme's speed against plain meat: promise by the low end, fear the high.

    The meat under the sour front keeps its own acidity and the outermost has that of the balance, so that the place
    where the enzyme works lies somewhere between. The salt there lies between the even level of the piece and the
    strength of the marinade. Of an enzyme for which none of it was measured, the high end is that of plain meat, and
    the low end is none in acid or soda, and what salt leaves of the one enzyme it was measured on.
    """
    return _product(_ph_band(case, softener, rulebase), _salt_band(case, softener, rulebase))


def _product(one: Band, other: Band) -> Band:
    low, middle, high = one.low * other.low, one.mid * other.mid, one.high * other.high
    return Band(low, middle, high, Confidence.LOW)


def _ph_band(case: Case, softener: Softener, rulebase: Rulebase) -> Band:
    plain = rulebase.parameter("meat_ph")
    outer = outer_phs(case, rulebase)
    unknown = any(_sour_by_no_known_acid(item, rulebase) for step in case.steps for item in step.ingredients)
    if not outer and not unknown:
        return certain(1.0)
    enzyme = rulebase.tenderisers[softener.what].enzyme
    if f"enzyme_ph_best_{enzyme}" not in rulebase.texture:
        return Band(0.0, 1.0, 1.0, Confidence.LOW)
    best, works = _ends(f"enzyme_ph_best_{enzyme}", rulebase), _ends(f"enzyme_ph_works_{enzyme}", rulebase)
    low, high = min((plain, *outer)), max((plain, *outer))
    # An acid nobody knows the strength of may stop the enzyme, or suit it.
    low = min(low, works[0]) if unknown else low
    liked = min(max(low, best[0]), high) if low < best[0] else max(min(high, best[1]), low)
    bands = [ph_factor_beside(one, plain, best, works) for one in dict.fromkeys((low, high, liked))]
    return Band(
        min(band.low for band in bands),
        sum(band.mid for band in bands[:2]) / len(bands[:2]),
        max(band.high for band in bands),
        Confidence.LOW,
    )


def _sour_by_no_known_acid(item: Ingredient, rulebase: Rulebase) -> bool:
    tenderiser = rulebase.tenderisers.get(item.what)
    return tenderiser is not None and tenderiser.kind in ("acid", "dairy") and not tenderiser.acid_of


def _ends(name: str, rulebase: Rulebase) -> tuple[float, float]:
    entry = rulebase.texture[name]
    middle = rulebase.parameter(name)
    return entry.low if entry.low is not None else middle, entry.high if entry.high is not None else middle


def _salt_band(case: Case, softener: Softener, rulebase: Rulebase) -> Band:
    least, most = salt_about(case, softener, rulebase)
    if most <= 0:
        return certain(1.0)
    enzyme = rulebase.tenderisers[softener.what].enzyme
    measured = f"enzyme_salt_left_{enzyme}" in rulebase.texture
    name = enzyme if measured else "aspergillus"
    at, left = (rulebase.parameter(f"enzyme_salt_{what}_{name}") for what in ("measured_at_pct", "left"))
    # On another enzyme's figure nothing beyond the salt it was measured in is asked.
    worst = salt_factor(most if measured else min(most, at), at, left)
    if not measured:
        return Band(worst.low, 1.0, 1.0, Confidence.LOW)
    return Band(worst.low, salt_factor((least + most) / 2, at, left).mid, salt_factor(least, at, left).high)


def salt_about(case: Case, softener: Softener, rulebase: Rulebase) -> tuple[float, float]:
    """Least and most salt where an enzyme works [%]: that of meat and marinade come even, and the marinade's own.

    Of salt whose amount nobody said: none at least, and at most as much as it was measured in.
    """
    step, weight = case.steps[softener.step], case.number("piece", "weight", 1.0)
    salty = [item for item in step.ingredients if salt_of(item, rulebase) > 0]
    inside = PERCENT * sum((item.grams or 0.0) * salt_of(item, rulebase) for item in salty)
    wet = wet_grams(step, rulebase) + sum(item.grams or 0.0 for item in salty if not _mixes(item, rulebase))
    strong = inside / wet if wet > 0 else 0.0
    if any(item.grams is None for item in salty):
        strong = max(strong, rulebase.parameter("enzyme_salt_measured_at_pct_aspergillus"))
    return min(inside / (weight + wet), strong), min(strong, PERCENT)
