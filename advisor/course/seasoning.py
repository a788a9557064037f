"""Salt from every source added up, how far it gets before the cook, and curing salt."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from advisor.course.roles import first_cook
from advisor.science.brine import sodium_to_salt
from advisor.science.salt import centre_share_dry, penetration_depth_m, salt_diffusivity
from advisor.science.soak import (
    brine_to_meat,
    brined_meat_fraction,
    fourier_number,
    salt_profile,
    soaked_share,
    travelled_to_even_m2,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.model import Case, Ingredient, PlanStep
    from advisor.course.walk import Leg, Walked
    from advisor.knowledge.rulebase import Rulebase

PPM = 1e6
PERCENT, GRAMS, MINUTE, MILLIMETRE = 100.0, 1000.0, 60.0, 1e-3
# Just rubbed on, all salt lies on the face; its strength there has no end.
LEAST_FOURIER = 1e-3
# Kinds of material that are salt, whoever made them.
PURE = frozenset({"salt", "curing_salt"})


@dataclass(frozen=True, slots=True)
class Source:
    """One source of salt: least and most it brings, as percent of the meat's weight."""

    name: str
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Seasoned:
    """The salt balance.

    Attributes
    ----------
    low_pct, pct : float
        Salt from all sources, percent of the meat's weight: the least, with salt moving slowly, and the most, on
        which "too much" is judged.
    sources : tuple of Source
        What each brings.
    centre_share : float
        Salt at the middle against the even level when cooking starts [-].
    depth_mm : float
        How deep it gets by then [mm].
    outer_pct, middle_pct : float
        Salt on the outside and in the middle by then, with salt moving slowly [%].
    outer_ends, middle_ends : tuple of float
        The same from the least to the most [%].
    even_minutes : tuple of float or None
        Time for dry salt to come even, with salt moving fast and slowly [min].
    nitrite_ppm : float
        Nitrite put on [mg/kg].
    """

    low_pct: float
    pct: float
    sources: tuple[Source, ...]
    centre_share: float
    depth_mm: float
    outer_pct: float
    middle_pct: float
    even_minutes: tuple[float, float] | None
    nitrite_ppm: float
    outer_ends: tuple[float, float]
    middle_ends: tuple[float, float]


def seasoned(case: Case, walked: Walked | None, rulebase: Rulebase) -> Seasoned:
    """Balance the salt of a completed case."""
    # What pumped meat came with is even throughout; what the steps put on must travel.
    arrived = case.number("piece", "arrived_salt") if case.word("piece", "arrived") == "pumped" else 0.0
    put_on = [
        source for index, step in enumerate(case.steps) for source in _sources(case, index, step, walked, rulebase)
    ]
    sources = [*([Source("the pumped meat itself", arrived, arrived)] if arrived else []), *put_on]
    added = sum(source.most for source in put_on)
    fewest = sum(source.least for source in put_on)
    most, least = arrived + added, arrived + fewest
    still = _Spread(0.0, 1.0, 0.0)
    spread, quick = (
        (_spread(case, walked, at, rulebase) if walked is not None and put_on else still) for at in ("low", "high")
    )
    middle, outer = arrived + added * spread.centre_share, arrived + added * spread.outer_share
    return Seasoned(
        least,
        most,
        tuple(sources),
        middle / most if most > 0 else 1.0,
        spread.depth_mm,
        outer,
        middle,
        _even_minutes(case, rulebase) if put_on else None,
        _nitrite_ppm(case, rulebase),
        (arrived + fewest * quick.outer_share, outer),
        (arrived + fewest * spread.centre_share, arrived + added * quick.centre_share),
    )


def _nitrite_ppm(case: Case, rulebase: Rulebase) -> float:
    weight = case.number("piece", "weight", 1.0)
    nitrite = 0.0
    for step in case.steps:
        for item in step.ingredients:
            material = rulebase.materials.get(item.what)
            if material is not None and material.nitrite_pct:
                # Without an amount the worst plausible is that it stands in for the salt.
                grams = item.grams if item.grams is not None else case.number("piece", "salt_target") / PERCENT * weight
                nitrite += grams * material.nitrite_pct / PERCENT / weight * PPM
    return nitrite


def _sources(case: Case, index: int, step: PlanStep, walked: Walked | None, rulebase: Rulebase) -> list[Source]:
    """Salt that a step brings: of a rub all, of a brine what goes in by then, of a wet marinade up to all."""
    weight = case.number("piece", "weight", 1.0)
    salts: list[tuple[str, float, float]] = []
    for item in step.ingredients:
        if salt_of(item, rulebase) > 0:
            low, high = salt_shares(item, rulebase)
            salts.append((item.as_written or item.what, (item.grams or 0.0) * low, (item.grams or 0.0) * high))
    low_g, salt = sum(low for _, low, _ in salts), sum(high for _, _, high in salts)
    liquid = sum(item.grams or 0.0 for item in step.ingredients)
    if step.action == "inject":
        kept = rulebase.parameter("injection_kept_salt_only")
        pumped = step.number("pump_pct") * kept / liquid if salt and liquid else 0.0
        return [Source("the injected brine", pumped * low_g, pumped * salt)] if pumped else []
    water = liquid - salt
    leg = walked.of_step(index) if walked is not None else None
    soaks = step.action == "brine" or (step.action == "marinate" and _runs(step, rulebase))
    if not soaks or salt <= 0 or water <= 0 or leg is None:
        return [Source(name, PERCENT * low / weight, PERCENT * high / weight) for name, low, high in salts]
    least = _soaked_pct(case, leg, low_g, liquid - low_g, "low", rulebase)
    most = _soaked_pct(case, leg, salt, water, "high", rulebase)
    if step.action == "brine":
        return [Source("the brine", least, most)]
    # What clings to the meat goes into the cook with it, so that all of it may count.
    part = least / low_g if low_g > 0 else 0.0
    return [Source(name, part * low, PERCENT * high / weight) for name, low, high in salts]


def _runs(step: PlanStep, rulebase: Rulebase) -> bool:
    """Whether a marinade is wet enough for most of it to stay in the bowl."""
    wet = sum(item.grams or 0.0 for item in step.ingredients if _is_liquid(item, rulebase))
    return wet > sum(item.grams or 0.0 for item in step.ingredients) / 2


def _is_liquid(item: Ingredient, rulebase: Rulebase) -> bool:
    material = rulebase.materials.get(item.what)
    return item.form == "juice" or (material is not None and material.kind in ("liquid", "salty"))


def _soaked_pct(case: Case, leg: Leg, salt_g: float, water_g: float, at: str, rulebase: Rulebase) -> float:
    """Salt that a brine has given by the end of a step, percent of the meat's weight."""
    weight = case.number("piece", "weight", 1.0)
    water = rulebase.parameter("meat_water_fraction")
    final = brined_meat_fraction(water_g / GRAMS, salt_g / GRAMS, weight / GRAMS, water)
    alpha = brine_to_meat(water_g / GRAMS, weight / GRAMS, water)
    travelled = _travelled((leg,), at, rulebase)
    fourier = fourier_number(travelled, case.number("piece", "thickness") * MILLIMETRE)
    return PERCENT * final * soaked_share(fourier, alpha)


def salt_share(what: str, rulebase: Rulebase) -> float:
    """Share of salt in an ingredient, by weight."""
    entry = rulebase.materials.get(what) or rulebase.tenderisers.get(what)
    return entry.salt_pct / PERCENT if entry is not None else 0.0


def salt_of(item: Ingredient, rulebase: Rulebase) -> float:
    """Share of salt in an ingredient, by weight: by its label where told, else what such things usually hold."""
    if item.sodium_pct is None:
        return salt_share(item.what, rulebase)
    return min(1.0, sodium_to_salt(item.sodium_pct / PERCENT))


def salt_shares(item: Ingredient, rulebase: Rulebase) -> tuple[float, float]:
    """Least and most salt in an ingredient, by weight: a sauce differs by maker, a label and salt itself do not."""
    entry, share = rulebase.materials.get(item.what), salt_of(item, rulebase)
    if item.sodium_pct is not None or entry is None or entry.kind in PURE or not entry.salt_pct_range:
        return share, share
    return min(entry.salt_pct_range) / PERCENT, max(entry.salt_pct_range) / PERCENT


@dataclass(frozen=True, slots=True)
class _Spread:
    centre_share: float
    outer_share: float
    depth_mm: float


def _spread(case: Case, walked: Walked, at: str, rulebase: Rulebase) -> _Spread:
    """How far salt has come when cooking starts, moving at one end of what was measured."""
    first = next(
        (i for i, step in enumerate(case.steps) if any(salt_of(item, rulebase) > 0 for item in step.ingredients)),
        None,
    )
    last = first_cook(case)
    if first is None or (last is not None and first >= last):
        return _Spread(0.0, 1.0, 0.0)
    legs = walked.between(first, None if last is None else last - 1)
    if any(case.steps[leg.step].action == "inject" for leg in legs):
        return _Spread(1.0, 1.0, case.number("piece", "thickness") / 2)
    # Judged at the slow end of a wide spread: salt is never said to be deeper than it is sure to be.
    travelled = _travelled(legs, at, rulebase)
    fourier = fourier_number(travelled, case.number("piece", "thickness") * MILLIMETRE)
    outer = float(salt_profile([0.0], max(fourier, LEAST_FOURIER), 1.0)[0])
    return _Spread(centre_share_dry(fourier), outer, penetration_depth_m(1.0, travelled) / MILLIMETRE)


def _travelled(legs: Sequence[Leg], at: str, rulebase: Rulebase) -> float:
    """Diffusivity times time over some steps, with salt moving at one end of what was measured [m2]."""
    value = rulebase.texture["salt_diffusivity_5c_m2_s"]
    end = value.low if at == "low" else value.high
    d_ref = end if end is not None else rulebase.parameter("salt_diffusivity_5c_m2_s")
    top = rulebase.parameter("salt_model_up_to_c")
    return sum(
        salt_diffusivity(
            min(float(np.mean(leg.centre_c)), top),
            d_ref,
            rulebase.parameter("salt_reference_c"),
            rulebase.parameter("salt_activation_kj_mol"),
        )
        * leg.minutes
        * MINUTE
        for leg in legs
    )


@lru_cache(maxsize=16)
def _even_of_one_metre(within: float) -> float:
    """Diffusivity times time to come even, for a slab of one metre [m2]; it goes with thickness squared."""
    return travelled_to_even_m2(1.0, within)


def _even_minutes(case: Case, rulebase: Rulebase) -> tuple[float, float] | None:
    """Time for dry salt in the fridge to come within a share of even everywhere, fast and slow [min]."""
    thickness = case.number("piece", "thickness") * MILLIMETRE
    if thickness <= 0:
        return None
    travelled = _even_of_one_metre(1 - rulebase.limit("salt_even_share")) * thickness**2
    value = rulebase.texture["salt_diffusivity_5c_m2_s"]
    slow, fast = (
        end if end is not None else rulebase.parameter("salt_diffusivity_5c_m2_s") for end in (value.low, value.high)
    )
    return travelled / fast / MINUTE, travelled / slow / MINUTE
