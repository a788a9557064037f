"""What enzymes do at each depth, and what a wait in the cold is worth at room temperature."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course.roles import COOKS, Softener, softeners
from advisor.course.softening import loss_rate
from advisor.course.walk import MINUTE
from advisor.science.enzyme import enzyme_work, relative_activity
from advisor.science.holds import Hold, time_for_work_s
from advisor.science.reach import Source
from advisor.science.softening import mush_depth_m, work_by_depth

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.walk import Leg, Walked
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
MILLIMETRE = 1e-3
# Depths below a wet face at which work is reckoned [mm]; an enzyme gets a millimetre or so in a day.
DEPTHS_MM = np.array([0.0, 0.1, 0.2, 0.4, 0.7, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0])


def depth_facts(case: Case, walked: Walked, mush_share: float, rulebase: Rulebase) -> dict[str, Value]:
    """Depth to which the meat turns to paste, and what the wait before the cook is worth at room temperature.

    Where the work on the face itself, ``mush_share`` of what makes paste, is not enough, none is below it.
    """
    every = softeners(case, rulebase)
    if not every:
        return {}
    put_on = [softener for softener in every if case.steps[softener.step].action != "inject"]
    found: dict[str, Value] = {"mush_depth": 0.0}
    if mush_share > 1:
        mush = rulebase.parameter("half_work") * rulebase.parameter("mush_work_factor")
        work = sum((_work(case, walked, softener, rulebase) for softener in put_on), np.zeros(len(DEPTHS_MM)))
        found["mush_depth"] = mush_depth_m(DEPTHS_MM, work, mush)
    room = _room_minutes(case, walked, every[0], rulebase)
    return found if room is None else {**found, "enzyme_room_minutes": room}


def at_depths(leg: Leg, depths_mm: FloatArray) -> FloatArray:
    """Temperatures at depths below the face through one step [°C], shape (n, depths)."""
    cells = leg.cells.shape[1]
    places = np.concatenate([[0.0], (np.arange(cells) + 0.5) / cells, [1.0]])
    inward = np.concatenate([leg.surface_c[:, None], leg.cells[:, ::-1], leg.centre_c[:, None]], axis=1)
    share = np.clip(depths_mm * MILLIMETRE / leg.half_thickness_m, 0.0, 1.0)
    outer = np.clip(np.searchsorted(places, share, side="right") - 1, 0, cells)
    part = (share - places[outer]) / (places[outer + 1] - places[outer])
    return np.asarray((1 - part) * inward[:, outer] + part * inward[:, outer + 1], dtype=np.float64)


def _work(case: Case, walked: Walked, softener: Softener, rulebase: Rulebase) -> FloatArray:
    """Work of one softener at each depth [% h], as the meat shields it: the side of paste."""
    legs = walked.between(softener.step, None)
    times = np.concatenate([leg.times_s for leg in legs])
    temps = np.concatenate([at_depths(leg, DEPTHS_MM) for leg in legs])
    wiped = [leg.times_s[-1] - times[0] for leg in legs if leg.step > softener.step and _wipes(case, leg)]
    tenderiser = rulebase.tenderisers[softener.what]
    diffusivity = rulebase.enzyme_model["enzyme_diffusivity_m2_s"]
    source = Source(
        softener.pct * tenderiser.strength * softener.live,
        # The fast end: paste goes as deep as it may.
        float(diffusivity.high if diffusivity.high is not None else rulebase.parameter("enzyme_diffusivity_m2_s")),
        wiped_s=float(wiped[0]) if wiped else np.inf,
        wipe_leaves=rulebase.limit("wipe_leaves"),
    )
    return work_by_depth(
        times,
        temps,
        DEPTHS_MM * MILLIMETRE,
        source,
        _activity(rulebase),
        partial(loss_rate, tenderiser.loss),
        protection_factor=rulebase.parameter("protection_in_meat"),
    )


def _wipes(case: Case, leg: Leg) -> bool:
    return case.steps[leg.step].action == "wipe"


def _activity(rulebase: Rulebase) -> partial[FloatArray]:
    return partial(
        relative_activity,
        activation_kj_mol=rulebase.parameter("activation_kj_mol"),
        ref_c=rulebase.parameter("reference_c"),
    )


def _room_minutes(case: Case, walked: Walked, softener: Softener, rulebase: Rulebase) -> float | None:
    """Time at room temperature that does what the wait on the face does before wiping or cooking [min].

    None where it does not wait, or where the enzyme would be dead at room temperature before it has done as much.
    """
    legs = []
    for leg in walked.between(softener.step, None):
        action = case.steps[leg.step].action
        if action in COOKS or (leg.step > softener.step and action == "wipe"):
            break
        legs.append(leg)
    waited = sum(leg.minutes for leg in legs)
    if waited <= 0:
        return None
    room = rulebase.usual_c("counter")
    activity, loss = _activity(rulebase), rulebase.tenderisers[softener.what].loss
    protection = rulebase.parameter("protection_film")
    times = np.concatenate([leg.times_s for leg in legs])
    surface = np.concatenate([leg.surface_c for leg in legs])
    work = enzyme_work(
        times, surface, activity, partial(loss_rate, loss), dose_strength=1.0, protection_factor=protection
    )
    at_room = np.array([float(room if room is not None else 0.0)])
    hold = Hold(float(activity(at_room)[0]), float(loss_rate(loss, at_room)[0]), protection)
    seconds = time_for_work_s(float(work[-1]), hold)
    return seconds / MINUTE if np.isfinite(seconds) else None
