"""How sour or alkaline a marinade makes the outside of the meat, how deep, and what that does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.course.roles import COOKS
from advisor.science.acid import (
    ACETIC,
    BICARBONATE,
    CITRIC,
    LACTIC,
    ph_after,
    retarded_diffusivity,
    sour_depth_m,
)
from advisor.science.acid_bands import acid_band, soda_band

if TYPE_CHECKING:
    from collections.abc import Iterator

    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.walk import Leg, Walked
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.acid import Buffer

BUFFERS = {"acetic": ACETIC, "lactic": LACTIC, "citric": CITRIC}
PERCENT, MINUTE, MILLIMETRE = 100.0, 60.0, 1e-3


def souring_facts(case: Case, walked: Walked, rulebase: Rulebase) -> dict[str, Value]:
    """Acidity of the outermost meat once it is in balance with its marinade, and the depth of the sour front."""
    found = list(_sours(case, rulebase))
    if not found:
        return {}
    p = rulebase.parameter
    before, buffering = p("meat_ph"), p("meat_buffering_mol_kg_ph")
    step, buffer, share = max(found, key=lambda one: abs(ph_after(before, one[1], one[2], buffering) - before))
    after = ph_after(before, buffer, share, buffering)
    facts: dict[str, Value] = {"outer_ph": after}
    # What it can give before the meat has turned: all that it holds against the meat as it was.
    given = abs(share / buffer.kg_per_mol * buffer.protons(after if buffer.base else before))
    minutes = sum(leg.minutes for leg in _legs(case, walked, step))
    if given > 0 and minutes > 0:
        slow = retarded_diffusivity(p("acid_free_diffusivity_m2_s"), given, abs(before - after), buffering)
        facts["acid_depth"] = sour_depth_m(slow, minutes * MINUTE) / MILLIMETRE
    if buffer.base:
        facts["soda_band"] = soda_band(
            PERCENT * share, low=p("soda_low_pct"), high=p("soda_high_pct"), soapy_above=p("soda_soapy_above_pct")
        ).value
    else:
        facts["acid_band"] = acid_band(
            after,
            chalky_below=p("acid_chalky_below_ph"),
            softens_below=p("acid_softens_below_ph"),
            worst=(p("acid_worst_low_ph"), p("acid_worst_high_ph")),
        ).value
    return facts


def outer_phs(case: Case, rulebase: Rulebase) -> tuple[float, ...]:
    """Acidity of the outermost meat in balance with each sour or alkaline thing of the plan.

    Of a thing whose amount nobody said, as much as may be: it alone in the marinade, or soda at the most that works.
    """
    p = rulebase.parameter
    return tuple(
        ph_after(p("meat_ph"), buffer, share, p("meat_buffering_mol_kg_ph"))
        for _, buffer, share in (*_sours(case, rulebase), *_unsaid(case, rulebase))
    )


def _unsaid(case: Case, rulebase: Rulebase) -> Iterator[tuple[int, Buffer, float]]:
    for index, step in enumerate(case.steps):
        for item in step.ingredients:
            tenderiser = rulebase.tenderisers.get(item.what)
            if tenderiser is None or item.grams:
                continue
            if tenderiser.acid_of:
                strength = tenderiser.acid_pct / PERCENT
                yield index, BUFFERS[tenderiser.acid_of], rulebase.parameter("meat_water_fraction") * strength
            elif tenderiser.kind == "alkali":
                yield index, BICARBONATE, rulebase.parameter("dose_cap_pct") / PERCENT


def _sours(case: Case, rulebase: Rulebase) -> Iterator[tuple[int, Buffer, float]]:
    """Step, acid or soda, and how much of it the outermost meat takes up [kg/kg]."""
    water = rulebase.parameter("meat_water_fraction")
    weight = case.number("piece", "weight", 1.0)
    for index, step in enumerate(case.steps):
        wet = sum(item.grams or 0.0 for item in step.ingredients)
        for item in step.ingredients:
            tenderiser = rulebase.tenderisers.get(item.what)
            if tenderiser is None or not item.grams:
                continue
            if tenderiser.acid_of:
                # In balance the meat's own water is as sour as the marinade.
                strength = tenderiser.acid_pct / PERCENT * item.grams / max(wet, item.grams)
                yield index, BUFFERS[tenderiser.acid_of], water * strength
            elif tenderiser.kind == "alkali":
                yield index, BICARBONATE, item.grams / weight


def _legs(case: Case, walked: Walked, first: int) -> Iterator[Leg]:
    for leg in walked.between(first, None):
        action = case.steps[leg.step].action
        if action in COOKS or (leg.step > first and action == "wipe"):
            return
        yield leg
