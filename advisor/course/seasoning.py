"""Salt from every source added up, how far it gets before the cook, and curing salt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from advisor.course.roles import first_cook
from advisor.science.salt import centre_share_dry, penetration_depth_m, salt_diffusivity

if TYPE_CHECKING:
    from advisor.case.model import Case, PlanStep
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase

PPM = 1e6


@dataclass(frozen=True, slots=True)
class Seasoned:
    """The salt balance.

    Attributes
    ----------
    pct : float
        Salt from all sources, percent of the meat's weight.
    sources : tuple of (name, pct)
        Each source and what it brings.
    centre_share : float
        Salt at the middle against the even level when cooking starts [-].
    depth_mm : float
        How deep it gets by then [mm].
    nitrite_ppm : float
        Nitrite put on [mg/kg].
    """

    pct: float
    sources: tuple[tuple[str, float], ...]
    centre_share: float
    depth_mm: float
    nitrite_ppm: float


def seasoned(case: Case, walked: Walked | None, rulebase: Rulebase) -> Seasoned:
    """Balance the salt of a completed case."""
    weight = case.number("piece", "weight", 1.0)
    sources: list[tuple[str, float]] = []
    if case.word("piece", "arrived") == "pumped":
        sources.append(("the pumped meat itself", case.number("piece", "arrived_salt")))
    nitrite = 0.0
    for step in case.steps:
        sources += _sources(step, weight, rulebase)
        for item in step.ingredients:
            material = rulebase.materials.get(item.what)
            if material is not None and material.nitrite_pct:
                # Without an amount the worst plausible is that it stands in for the salt.
                grams = item.grams if item.grams is not None else case.number("piece", "salt_target") / 100 * weight
                nitrite += grams * material.nitrite_pct / 100.0 / weight * PPM
    centre, depth = (
        _spread(case, walked, rulebase) if walked is not None and sources else (1.0 if not sources else 0.0, 0.0)
    )
    return Seasoned(sum(pct for _, pct in sources), tuple(sources), centre, depth, nitrite)


def _sources(step: PlanStep, weight: float, rulebase: Rulebase) -> list[tuple[str, float]]:
    salts = [
        (item.as_written or item.what, (item.grams or 0.0) * salt_share(item.what, rulebase))
        for item in step.ingredients
        if salt_share(item.what, rulebase) > 0
    ]
    if step.action not in ("brine", "inject"):
        return [(name, 100.0 * grams / weight) for name, grams in salts]
    liquid = sum(item.grams or 0.0 for item in step.ingredients)
    salt = sum(grams for _, grams in salts)
    if step.action == "inject":
        kept = rulebase.parameter("injection_kept_salt_only")
        return [("the injected brine", step.number("pump_pct") * kept * salt / liquid)] if salt and liquid else []
    return [("the brine", 100.0 * salt / (weight + liquid))] if salt else []


def salt_share(what: str, rulebase: Rulebase) -> float:
    """Share of salt in an ingredient, by weight."""
    entry = rulebase.materials.get(what) or rulebase.tenderisers.get(what)
    return entry.salt_pct / 100.0 if entry is not None else 0.0


def _spread(case: Case, walked: Walked, rulebase: Rulebase) -> tuple[float, float]:
    first = next(
        (
            i
            for i, step in enumerate(case.steps)
            if any(salt_share(item.what, rulebase) > 0 for item in step.ingredients)
        ),
        None,
    )
    last = first_cook(case)
    if first is None or (last is not None and first >= last):
        return 0.0, 0.0
    legs = walked.between(first, None if last is None else last - 1)
    low = _parameter_low(rulebase)
    top = rulebase.parameter("salt_model_up_to_c")
    travelled = sum(
        salt_diffusivity(
            min(float(np.mean(leg.centre_c)), top),
            low,
            rulebase.parameter("salt_reference_c"),
            rulebase.parameter("salt_activation_kj_mol"),
        )
        * leg.minutes
        * 60.0
        for leg in legs
    )
    if any(case.steps[leg.step].action == "inject" for leg in legs):
        return 1.0, case.number("piece", "thickness") / 2
    half = case.number("piece", "thickness") / 2000.0
    return centre_share_dry(travelled / half**2), penetration_depth_m(1.0, travelled) * 1000.0


def _parameter_low(rulebase: Rulebase) -> float:
    value = rulebase.texture["salt_diffusivity_5c_m2_s"]
    # The slow end of a wide spread: salt is never said to be deeper than it is sure to be.
    return value.low if value.low is not None else rulebase.parameter("salt_diffusivity_5c_m2_s")
