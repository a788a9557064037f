"""What enzymes do at each depth below the faces and beside cuts, and what a wait in the cold is worth in the warm.

A marinade runs into score lines and needle tracks: there the enzyme has the wall for its face, at the heat of that
depth. Paste is asked about at the fast end of how an enzyme moves, shielded by the meat, with acid and salt as suits it
best. Tenderness is forecast from the slow end, as a free film, to that same fast end; tracks, which press shut and thin
out sooner than a face, count only there, and so do fruits of which nobody proved that they soften meat.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course.medium import MILLIMETRE, MOST_FILM, conditions, film_m, strength_in
from advisor.course.ranges import Ranged
from advisor.course.roles import COOKS, Softener, first_cook, softeners
from advisor.course.softening import loss_rate
from advisor.course.walk import MINUTE
from advisor.science.band import Band, Confidence, certain
from advisor.science.enzyme import enzyme_work, relative_activity
from advisor.science.holds import Hold, time_for_work_s
from advisor.science.reach import Source, distance_to_score_m, distance_to_track_m, film_thickness_m
from advisor.science.softening import mush_depth_m, shear_factors, work_on_walls

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.walk import Leg, Walked
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
PERCENT = 100.0
# Distances from a wet wall at which work is reckoned [mm]; an enzyme gets a millimetre or so in a day.
DISTANCES_MM = np.array([0.0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0])
# Depths at which heat is looked at [mm]; it differs slowly from one to the next.
HEAT_AT_MM = np.array([0.0, 0.7, 2.0, 5.0])
# Places along a cut from the face to its end, as shares of it, and from one cut to midway between two.
ALONG = np.linspace(0.0, 1.0, 4)
ACROSS = np.linspace(0.0, 1.0, 9) ** 2
# Beyond this many half works the floor is reached long since, and no more is said.
MOST_HALF_WORKS = 10.0


@dataclass(frozen=True, slots=True)
class Opened:
    """How deep a marinade gets by itself [mm]: down score lines, and down needle tracks; how many faces are scored."""

    score_mm: float
    scored_faces: int
    track_mm: float

    @property
    def deepest_mm(self) -> float:
        """The deeper of both [mm]."""
        return max(self.score_mm, self.track_mm)


@dataclass(frozen=True, slots=True)
class Done:
    """Work of all softeners together [% h] by distance from a wet wall and depth, shape (distances, depths).

    ``walls`` is beside what lies on the meat, ``pockets`` beside injected liquid where it lies together, ``even`` where
    it is spread evenly, shape (depths,).
    """

    depths_mm: FloatArray
    walls: FloatArray
    pockets: FloatArray
    even: FloatArray


@dataclass(frozen=True, slots=True)
class End:
    """One end of what nobody knows exactly: "low" or "high" of each figure, and how the meat shields the enzyme."""

    at: str
    protection: str


LEAST, MOST = End("low", "protection_film"), End("high", "protection_in_meat")


def opened(case: Case) -> Opened:
    """Score lines and needle tracks that the plan makes before it cooks.

    Tracks that the meat came with have pressed shut in the pack: no marinade is taken to run into them.
    """
    cook = first_cook(case)
    before = case.steps[:cook] if cook is not None else case.steps
    thickness = case.number("piece", "thickness")
    scores = [step for step in before if step.action == "score"]
    tracks = [step.number("depth", thickness) for step in before if step.action == "needle"]
    both = any(step.word("second_side", "none") != "none" for step in scores)
    return Opened(
        min(thickness, max((step.number("depth") for step in scores), default=0.0)),
        (2 if both else 1) if scores else 0,
        min(thickness, max(tracks, default=0.0)),
    )


def depth_facts(case: Case, done: Done | None, rulebase: Rulebase) -> dict[str, Value]:
    """How the work near a wet wall stands against paste, and how deep paste goes."""
    every = softeners(case, rulebase)
    if not every:
        return {"enzyme_work": 0.0, "mush_share": 0.0}
    put_on = done if done is not None else Done(np.zeros(1), *(np.zeros((len(DISTANCES_MM), 1)),) * 2, np.zeros(1))
    return _paste(case, put_on, rulebase)


def room_minutes(case: Case, walks: Sequence[Walked], rulebase: Rulebase) -> Ranged | None:
    """Time at room temperature that a wait is worth, from end to end of the walks and of how speed goes with heat."""
    every = softeners(case, rulebase)
    if not every:
        return None
    energy = rulebase.enzyme_model["activation_kj_mol"]
    middle = rulebase.parameter("activation_kj_mol")
    at = {end if end is not None else middle for end in (energy.low, middle, energy.high)}
    ends = [_room_minutes(case, walked, every[0], one, rulebase) for walked in walks for one in at]
    known = [end for end in ends if end is not None]
    value = _room_minutes(case, walks[1], every[0], middle, rulebase)
    return Ranged(value, min(known), max(known)) if value is not None and len(known) == len(ends) else None


def proven(every: tuple[Softener, ...], rulebase: Rulebase) -> tuple[Softener, ...]:
    """Softeners of which it was shown that they soften meat."""
    return tuple(one for one in every if rulebase.tenderisers[one.what].enzyme != "unproven")


def mush_share(case: Case, done: Done | None, rulebase: Rulebase) -> float:
    """Work where a cook would feel paste against the work that makes it [-]."""
    return float(str(_paste(case, done, rulebase)["mush_share"])) if done is not None else 0.0


def _paste(case: Case, done: Done, rulebase: Rulebase) -> dict[str, Value]:
    """How the work stands against paste at the worst wet wall, and how deep paste goes."""
    mush = rulebase.parameter("half_work") * rulebase.parameter("mush_work_factor")
    felt, cuts = rulebase.parameter("paste_felt_mm"), opened(case)
    # Beside a face distance and depth are one; along a cut the distance is from its wall.
    face = np.array(
        [np.interp(r, done.depths_mm, row) for r, row in zip(DISTANCES_MM, done.walls + done.even, strict=True)]
    )
    along = done.depths_mm <= cuts.deepest_mm
    walls = (done.walls + done.even)[:, along] if cuts.deepest_mm > 0 else np.zeros((len(DISTANCES_MM), 0))
    lines = np.concatenate([face[:, None], walls, done.pockets, np.broadcast_to(done.even, done.pockets.shape)], axis=1)
    at_felt = np.array([np.interp(felt, DISTANCES_MM, line) for line in lines.T])
    found: dict[str, Value] = {
        "enzyme_work": float(at_felt.max()),
        "mush_share": float(at_felt.max()) / mush,
        "mush_depth": max(mush_depth_m(DISTANCES_MM, line, mush) for line in lines.T),
    }
    if walls.shape[1]:
        pasty = done.depths_mm[along][at_felt[1 : 1 + walls.shape[1]] > mush]
        found["mush_along"] = float(pasty.max(initial=0.0))
    return found


def enzyme_factor(case: Case, walked: Walked, most: Done | None, rulebase: Rulebase) -> Band:
    """What enzymes leave of the shear of the whole piece [-], a mean over depth and from cut to cut."""
    if most is None:
        return certain(1.0)
    every = softeners(case, rulebase)
    low = _left(case, most, MOST, rulebase)
    high = _left(case, work_done(case, walked, proven(every, rulebase), LEAST, rulebase), LEAST, rulebase)
    # Only the ends are told; between them lies no figure better than their middle.
    return Band(min(low, high), (low + high) / 2, max(low, high), Confidence.LOW)


def work_done(case: Case, walked: Walked, every: tuple[Softener, ...], end: End, rulebase: Rulebase) -> Done | None:
    """Work of some softeners of a plan along one walk, at one end; None where there is none."""
    if not every:
        return None
    cuts, half = opened(case), case.number("piece", "thickness") / 2
    depths = np.unique(np.concatenate([np.minimum(HEAT_AT_MM, half), ALONG * cuts.deepest_mm, [half]]))
    walls, pockets = (np.zeros((len(DISTANCES_MM), len(depths))) for _ in range(2))
    even = np.zeros(len(depths))
    for softener in every:
        legs = walked.between(softener.step, None)
        times = np.concatenate([leg.times_s for leg in legs])
        temps = np.concatenate([at_depths(leg, depths) for leg in legs])
        work = partial(
            work_on_walls,
            times,
            temps,
            activity=_activity(softener, rulebase),
            loss_rate=partial(loss_rate, rulebase.tenderisers[softener.what].loss),
            protection_factor=rulebase.parameter(end.protection),
        )
        if case.steps[softener.step].action == "inject":
            pockets = pockets + work(
                distances_m=DISTANCES_MM * MILLIMETRE, source=_pocket(case, softener, end, rulebase)
            )
            even = even + work(distances_m=[0.0], source=_spread(case, softener, end, rulebase))[0]
        else:
            wiped = [leg.times_s[-1] - times[0] for leg in legs if leg.step > softener.step and _wipes(case, leg)]
            source = _on_top(case, softener, float(wiped[0]) if wiped else np.inf, end, rulebase)
            walls = walls + work(distances_m=DISTANCES_MM * MILLIMETRE, source=source)
    return Done(depths, walls, pockets, even)


def _on_top(case: Case, softener: Softener, wiped_s: float, end: End, rulebase: Rulebase) -> Source:
    """What lies on the faces; wiping leaves a share of it there, and all that has gone in already."""
    step = case.steps[softener.step]
    cap = np.inf if end is MOST else rulebase.parameter("dose_cap_pct")
    return Source(
        strength_in(step, softener, case, rulebase) * getattr(conditions(case, softener, rulebase), end.at),
        _end_of("enzyme_diffusivity_m2_s", end, rulebase),
        film_m(step, softener, case, rulebase, cap),
        wiped_s,
        rulebase.limit("wipe_leaves"),
    )


def _pocket(case: Case, softener: Softener, end: End, rulebase: Rulebase) -> Source:
    """Injected liquid where it lies together, as a film between two needles' ways."""
    step = case.steps[softener.step]
    spacing = _end_of("needle_spacing_mm", MOST, rulebase) * MILLIMETRE
    pumped = _pumped(case, softener)
    return Source(
        strength_in(step, softener, case, rulebase) * getattr(conditions(case, softener, rulebase), end.at),
        _end_of("enzyme_diffusivity_m2_s", end, rulebase),
        film_thickness_m(pumped, spacing) if pumped > 0 else np.inf,
    )


def _spread(case: Case, softener: Softener, end: End, rulebase: Rulebase) -> Source:
    """Injected liquid come even through the piece: its dose by weight everywhere."""
    tenderiser = rulebase.tenderisers[softener.what]
    dose = softener.pct if end is MOST else min(softener.pct, rulebase.parameter("dose_cap_pct"))
    factor = getattr(conditions(case, softener, rulebase), end.at)
    diffusivity = _end_of("enzyme_diffusivity_m2_s", end, rulebase)
    return Source(dose * tenderiser.strength * softener.live * factor, diffusivity)


def _pumped(case: Case, softener: Softener) -> float:
    """Share of the meat's weight that is injected [-]; where nobody said it, all the liquid there is."""
    step = case.steps[softener.step]
    said = step.number("pump_pct")
    liquid = sum(item.grams or 0.0 for item in step.ingredients) / case.number("piece", "weight", 1.0)
    share = said / PERCENT if said else max(liquid, softener.pct / PERCENT)
    return min(share, MOST_FILM)


def _end_of(name: str, end: End, rulebase: Rulebase) -> float:
    middle = rulebase.parameter(name)
    entry = rulebase.texture[name] if name in rulebase.texture else rulebase.enzyme_model[name]
    other = {"low": entry.low, "high": entry.high}[end.at]
    return float(other if other is not None else middle)


def _left(case: Case, done: Done | None, end: End, rulebase: Rulebase) -> float:
    """Share of the shear left, over the whole piece [-]."""
    if done is None:
        return 1.0
    half_work, floor = rulebase.parameter("half_work"), rulebase.parameter("shear_floor")

    def left(work: FloatArray) -> FloatArray:
        return shear_factors(np.minimum(work, MOST_HALF_WORKS * half_work), half_work, floor)

    half, cuts = case.number("piece", "thickness") / 2, opened(case)
    score_mm = min(cuts.score_mm, half)
    depths = np.unique(
        np.concatenate([np.minimum(DISTANCES_MM, half), np.minimum(score_mm + DISTANCES_MM, half), [half]])
    )
    walls = np.array([np.interp(depths, done.depths_mm, row) for row in done.walls])
    even = np.interp(depths, done.depths_mm, done.even)
    # Fewer cuts soften less: the spacing is at its wide end where the enzyme is at its slow one.
    other = LEAST if end is MOST else MOST
    plain = distance_to_score_m(depths[:, None], np.zeros(len(ACROSS)), 0.0, 1.0)
    spacing = _end_of("score_spacing_mm", other, rulebase)
    scored = distance_to_score_m(depths[:, None], ACROSS * spacing / 2, score_mm, spacing)
    if end is MOST and cuts.track_mm > 0:
        tracks = distance_to_track_m(
            depths[:, None], ACROSS, cuts.track_mm, _end_of("needle_spacing_mm", other, rulebase)
        )
        plain, scored = np.minimum(plain, tracks), np.minimum(scored, tracks)

    def mean(distances: FloatArray) -> float:
        work = np.array([np.interp(row, DISTANCES_MM, column) for row, column in zip(distances, walls.T, strict=True)])
        across = np.trapezoid(left(work + even[:, None]), ACROSS, axis=1)
        return float(np.trapezoid(across, depths) / (depths[-1] - depths[0]))

    faces = [mean(scored)] * cuts.scored_faces + [mean(plain)] * (2 - cuts.scored_faces)
    whole = sum(faces) / 2
    if end is LEAST and np.any(done.pockets > 0):
        # At the least injected liquid softens only the meat it lies in.
        pumped = max(_pumped(case, s) for s in softeners(case, rulebase) if case.steps[s.step].action == "inject")
        face_only = Done(done.depths_mm, done.walls, np.zeros_like(done.pockets), np.zeros_like(done.even))
        soft = float(np.mean(left(done.pockets[0])))
        return _left(case, face_only, end, rulebase) * (1 - pumped * (1 - soft))
    return whole


def at_depths(leg: Leg, depths_mm: FloatArray) -> FloatArray:
    """Temperatures at depths below the face through one step [°C], shape (n, depths); the middle beyond it."""
    cells = leg.cells.shape[1]
    places = np.concatenate([[0.0], (np.arange(cells) + 0.5) / cells, [1.0]])
    inward = np.concatenate([leg.surface_c[:, None], leg.cells[:, ::-1], leg.centre_c[:, None]], axis=1)
    share = np.clip(depths_mm * MILLIMETRE / leg.half_thickness_m, 0.0, 1.0)
    outer = np.clip(np.searchsorted(places, share, side="right") - 1, 0, cells)
    part = (share - places[outer]) / (places[outer + 1] - places[outer])
    return np.asarray((1 - part) * inward[:, outer] + part * inward[:, outer + 1], dtype=np.float64)


def _wipes(case: Case, leg: Leg) -> bool:
    return case.steps[leg.step].action == "wipe"


def _activity(
    softener: Softener, rulebase: Rulebase, activation_kj_mol: float | None = None
) -> Callable[[FloatArray], FloatArray]:
    """Speed against that at the reference; above the best temperatures of an enzyme it rises no further."""
    best = max(rulebase.tenderisers[softener.what].optimum_c, default=np.inf)
    energy = rulebase.parameter("activation_kj_mol") if activation_kj_mol is None else activation_kj_mol

    def speed(temps_c: FloatArray) -> FloatArray:
        return relative_activity(np.minimum(temps_c, best), energy, rulebase.parameter("reference_c"))

    return speed


def _room_minutes(
    case: Case, walked: Walked, softener: Softener, activation_kj_mol: float, rulebase: Rulebase
) -> float | None:
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
    activity, loss = _activity(softener, rulebase, activation_kj_mol), rulebase.tenderisers[softener.what].loss
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
