"""Enzyme work near the surface along a course, and what is left alive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course.roles import COOKS, Softener
from advisor.science.enzyme import remaining_activity
from advisor.science.rates import arrhenius_loss_rate, eyring_loss_rate, reference_loss_rate
from advisor.science.salt import penetration_depth_m
from advisor.science.validity import warn_not_measured, warn_outside

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.walk import Walked
    from advisor.knowledge.records import Loss
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
MINUTE, HOUR = 60.0, 3600.0
# What was measured of an enzyme, in words that a doubt begins with.
CURVES = {"speed": "how fast its enzyme works", "loss": "how fast heat kills its enzyme"}


@dataclass(frozen=True, slots=True)
class Softened:
    """What the enzymes did.

    Attributes
    ----------
    left : float
        Largest share of any enzyme alive at the end [-].
    hot_minutes : float
        Time in cooking steps with an enzyme alive [min].
    depth_mm : float
        How deep it gets [mm].
    """

    left: float
    hot_minutes: float
    depth_mm: float


def softened(case: Case, walked: Walked, softeners: tuple[Softener, ...], rulebase: Rulebase) -> Softened:
    """Follow every softener: what lives, where it is hot, how deep it gets."""
    if not softeners:
        return Softened(0.0, 0.0, 0.0)
    shielded = rulebase.parameter("protection_in_meat")
    alive = [_alive(case, walked, s, shielded, rulebase) for s in softeners]
    dead = rulebase.parameter("dead_below_fraction")
    hot = max(_hot_minutes(case, walked, s, left, dead) for s, left in zip(softeners, alive, strict=True))
    first = min(s.step for s in softeners)
    times = walked.times(first=first)
    depth = penetration_depth_m(rulebase.parameter("enzyme_diffusivity_m2_s"), float(times[-1] - times[0]))
    return Softened(max(float(left[-1]) for left in alive), hot, depth * 1000.0)


def warn_where_not_measured(case: Case, walked: Walked, softeners: tuple[Softener, ...], rulebase: Rulebase) -> None:
    """Warn of each enzyme that is alive at temperatures at which its loss or its speed was not measured.

    Parameters
    ----------
    case : Case
        The plan.
    walked : Walked
        One walk; the enzyme is followed as meat shields it, so that it lives the longest.
    softeners : tuple of Softener
        What is followed.
    rulebase : Rulebase
        With the ranges, see ``measured_c``.

    Warns
    -----
    OutsideRange
        With the temperature farthest out while more than ``dead_below_fraction`` of the enzyme is alive.
    NotMeasured
        Of a softener for which that curve was measured nowhere.
    """
    shielded, dead = rulebase.parameter("protection_in_meat"), rulebase.parameter("dead_below_fraction")
    for softener in softeners:
        tenderiser = rulebase.tenderisers[softener.what]
        spans = {span.of: span for span in tenderiser.measured_c}
        times, temps = _where(case, walked, softener)
        alive = remaining_activity(times, temps, loss_rate(tenderiser.loss, temps), shielded) > dead
        for of, says in CURVES.items():
            model = f"{tenderiser.name}, {says}"
            if of in spans:
                warn_outside(model, "temperature", temps[alive], spans[of].low, spans[of].high, "°C")
            else:
                warn_not_measured(model, "temperature")


def loss_rate(loss: Loss | None, temps_c: FloatArray) -> FloatArray:
    """Rate at which heat ruins an enzyme [1/s]; none when nothing is known, which is the cautious side."""
    if loss is None:
        return np.zeros_like(temps_c)
    if loss.form == "arrhenius":
        return arrhenius_loss_rate(temps_c, (loss.prefactor_per_min or 0.0) / MINUTE, loss.activation_kj_mol or 0.0)
    if loss.form == "eyring":
        return eyring_loss_rate(temps_c, loss.enthalpy_kj_mol or 0.0, loss.entropy_j_mol_k or 0.0)
    return reference_loss_rate(
        temps_c, (loss.rate_per_h or 0.0) / HOUR, loss.ref_c or 0.0, loss.activation_kj_mol or 0.0
    )


def _alive(case: Case, walked: Walked, softener: Softener, protection: float, rulebase: Rulebase) -> FloatArray:
    times, temps = _where(case, walked, softener)
    rates = loss_rate(rulebase.tenderisers[softener.what].loss, temps)
    return remaining_activity(times, temps, rates, protection)


def _where(case: Case, walked: Walked, softener: Softener) -> tuple[FloatArray, FloatArray]:
    """Times and temperatures where an enzyme works: along the needle's way if injected, else near the surface."""
    inside = case.steps[softener.step].action == "inject"
    temps = walked.centre(first=softener.step) if inside else walked.outside(first=softener.step)
    return walked.times(first=softener.step), temps


def _hot_minutes(case: Case, walked: Walked, softener: Softener, alive: FloatArray, dead: float) -> float:
    times = walked.times(first=softener.step)
    minutes = 0.0
    for leg in walked.between(softener.step, None):
        if case.steps[leg.step].action in COOKS:
            within = (times >= leg.times_s[0]) & (times <= leg.times_s[-1]) & (alive > dead)
            if within.any():
                minutes += float(times[within][-1] - times[within][0]) / MINUTE
    return minutes
