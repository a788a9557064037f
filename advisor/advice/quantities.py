"""Quantities for this weight: brine, sites, water of the bath, liquid of a braise, portions, and their cost."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, sqrt
from typing import TYPE_CHECKING

from advisor.advice.rank import middle

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase

PERCENT, GRAMS = 100.0, 1000.0
# Meat and brine weigh a little over a gram for each millilitre; the nearest whole is near enough for spacing.
GRAM_PER_ML = 1.0
# Nobody pours it nearer than that.
POURED_ML = 50.0


@dataclass(frozen=True, slots=True)
class Injection:
    """How brine is pumped: all of it [ml], sites, millilitres for a site, and how far apart [mm]."""

    total_ml: float
    sites: int
    site_ml: float
    apart_mm: float


@dataclass(frozen=True, slots=True)
class Quantities:
    """What the plan comes to by weight.

    Attributes
    ----------
    bath_litres : float or None
        Least water of the bath [l].
    liquid_ml : float or None
        Liquid of a braise [ml].
    injection : Injection or None
        When brine is injected.
    cooked_low, cooked_high : float or None
        Cooked weight, both ends of the loss [g].
    portions_low, portions_high : int
        Whole portions.
    cost_low, cost_high : float or None
        Cost of a portion, in the money of the price.
    """

    bath_litres: float | None
    liquid_ml: float | None
    injection: Injection | None
    cooked_low: float | None
    cooked_high: float | None
    portions_low: int
    portions_high: int
    cost_low: float | None
    cost_high: float | None


def quantities(report: Report, rulebase: Rulebase, price_per_kg: float | None = None) -> Quantities:
    """Work out the quantities of a plan.

    Parameters
    ----------
    report : Report
        The plan, examined.
    rulebase : Rulebase
        Portions, water and sites.
    price_per_kg : float, optional
        What a kilogram of the meat costs as it is weighed.
    """
    case = report.computed.case
    weight = case.number("piece", "weight")
    facts = report.computed.facts.course
    low, high = (facts.get(name) for name in ("loss_low", "loss_high"))
    known = middle("loss", report) is not None and low is not None and high is not None
    least = weight * (1 - float(high.value or 0.0) / PERCENT) if known and high is not None else None
    most = weight * (1 - float(low.value or 0.0) / PERCENT) if known and low is not None else None
    portion = rulebase.limit("plan_portion")
    few, many = (int((end or 0.0) // portion) for end in (least, most))
    price = price_per_kg * weight / GRAMS if price_per_kg is not None else None
    return Quantities(
        bath_litres=_bath(report, weight, rulebase),
        liquid_ml=_liquid(report, weight, rulebase),
        injection=_injection(report, weight, rulebase),
        cooked_low=least,
        cooked_high=most,
        portions_low=few,
        portions_high=many,
        cost_low=price / many if price is not None and many else None,
        cost_high=price / few if price is not None and few else None,
    )


def _bath(report: Report, weight: float, rulebase: Rulebase) -> float | None:
    if all(step.action != "bath" for step in report.computed.case.steps):
        return None
    return ceil(rulebase.limit("plan_bath_water") * weight / GRAMS)


def _liquid(report: Report, weight: float, rulebase: Rulebase) -> float | None:
    if all(step.action != "braise" for step in report.computed.case.steps):
        return None
    return POURED_ML * ceil(rulebase.limit("plan_braise_liquid") * weight / GRAMS / POURED_ML)


def _injection(report: Report, weight: float, rulebase: Rulebase) -> Injection | None:
    step = next((step for step in report.computed.case.steps if step.action == "inject"), None)
    thick = report.computed.case.number("piece", "thickness")
    if step is None or thick <= 0:
        return None
    total = step.number("pump_pct") / PERCENT * weight / GRAM_PER_ML
    sites = max(1, ceil(total / rulebase.limit("plan_pump_site")))
    face_mm2 = weight / GRAM_PER_ML * GRAMS / thick
    return Injection(total, sites, total / sites, sqrt(face_mm2 / sites))
