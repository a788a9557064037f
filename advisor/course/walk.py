"""Temperatures of the meat through every step of the plan.

Two courses are walked. The *slow* one takes the low end of measured diffusivities, which is the cautious
side for heating and for cooling; safety rests on it. The *typical* one takes the middle, for tenderness,
enzyme work and clock times. A third, the *cold start*, begins the first cooking step at the coldest place
the meat has been: a warm start is never credited with kill. Where a step waits for a core temperature and
nobody measured the piece, the cold start is also walked for the thinnest it may be, which is done soonest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.case.complete import cut_of
from advisor.course.roles import COOKS, first_cook
from advisor.science.conduction import ThermalBody, at_depth, centre, leg, surface, uniform

if TYPE_CHECKING:
    from advisor.case.model import Case, PlanStep
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
MINUTE = 60.0
MILLIMETRE = 1e-3
# Lethality is summed over half minutes; after five hours the meat is near its bath and steps may be longer.
FINE_STEP_S = 30.0
FINE_UNTIL_S = 5 * 3600.0
COARSE_SAMPLES = 240
# A step that waits for a core temperature is given up after this time.
LONGEST_WAIT_S = 72 * 3600.0


@dataclass(frozen=True, slots=True)
class Leg:
    """One step of the plan as the meat feels it.

    Attributes
    ----------
    step : int
        Index of the step.
    times_s : FloatArray
        Moments since the start of the plan [s], shape (n,).
    medium_c : float
        Temperature of the surroundings as it acts on a wet surface [°C].
    cells : FloatArray
        Temperatures of the shells, centre first [°C], shape (n, cells).
    centre_c, depth_c, surface_c : FloatArray
        Temperatures at the middle, at marinade depth and at the outside [°C], shape (n,).
    reached : bool
        Whether a step that waits for a core temperature got there.
    """

    step: int
    times_s: FloatArray
    medium_c: float
    cells: FloatArray
    centre_c: FloatArray
    surface_c: FloatArray
    depth_c: FloatArray
    reached: bool = True

    @property
    def minutes(self) -> float:
        """Length of the leg [min]."""
        return float(self.times_s[-1] - self.times_s[0]) / MINUTE


@dataclass(frozen=True, slots=True)
class Walked:
    """One walk through all steps: its legs in order."""

    legs: tuple[Leg, ...]

    def of_step(self, index: int) -> Leg | None:
        """Leg of a step, or None when the walk does not hold it."""
        return next((leg_ for leg_ in self.legs if leg_.step == index), None)

    def times(self, *, first: int = 0, last: int | None = None) -> FloatArray:
        """Moments of the steps ``first`` to ``last`` [s], joined."""
        return np.concatenate([leg_.times_s for leg_ in self.between(first, last)])

    def centre(self, *, first: int = 0, last: int | None = None) -> FloatArray:
        """Temperature of the middle through the steps [°C]."""
        return np.concatenate([leg_.centre_c for leg_ in self.between(first, last)])

    def outside(self, *, first: int = 0, last: int | None = None) -> FloatArray:
        """Temperature of the outside through the steps [°C]."""
        return np.concatenate([leg_.surface_c for leg_ in self.between(first, last)])

    def between(self, first: int, last: int | None) -> tuple[Leg, ...]:
        """Legs of the steps ``first`` to ``last``, both counted in."""
        return tuple(leg_ for leg_ in self.legs if leg_.step >= first and (last is None or leg_.step <= last))


@dataclass(frozen=True, slots=True)
class Phase:
    """An unbroken stretch of heating: steps ``first`` to ``last``, of which ``heat_ends`` is the last that heats."""

    first: int
    last: int
    heat_ends: int

    def times(self, walked: Walked) -> FloatArray:
        """Moments of the stretch [s]."""
        return walked.times(first=self.first, last=self.last)

    def core(self, walked: Walked) -> FloatArray:
        """Temperature of the middle as it counts for kill [°C].

        What the middle may still rise by itself once the heat has ended is not counted: how much it does
        hangs on evaporation and draughts that nobody measured.
        """
        parts: list[FloatArray] = []
        top = np.inf
        for leg_ in walked.between(self.first, self.last):
            parts.append(np.minimum(leg_.centre_c, top))
            if leg_.step == self.heat_ends:
                top = float(leg_.centre_c[-1])
        return np.concatenate(parts)


@dataclass(frozen=True, slots=True)
class Course:
    """The walks of one case; ``cold_start`` is None when nothing is cooked."""

    slow: Walked
    typical: Walked
    cold_start: tuple[Walked, ...]


def walk(case: Case, rulebase: Rulebase) -> Course:
    """Walk a completed case through conduction.

    Parameters
    ----------
    case : Case
        Completed: every step has a temperature and a time or a core temperature.
    rulebase : Rulebase
        Thermal properties and surface coefficients.

    Returns
    -------
    Course
        Temperatures in °C against seconds.

    Notes
    -----
    A slab is taken: only the thickness is known, and a slab is the slowest shape. Freezing and thawing are
    not modelled; a thawed piece starts at the freezing point.
    """
    slow, typical = rulebase.parameter("diffusivity_slow"), rulebase.parameter("diffusivity_typical")
    start = case.number("piece", "start_temperature", _out_temperature(case, rulebase))
    begin = first_cook(case)
    cold: tuple[Walked, ...] = ()
    if begin is not None:
        coldest = _coldest(case, begin, start, rulebase)
        # A step that ends at a core temperature ends sooner when heat moves faster or the piece is thin.
        by_core = any("until_core" in step.given for step in case.steps)
        speeds = (slow, typical) if by_core else (slow,)
        pieces = (case, *_thinner(case, rulebase)) if by_core else (case,)
        cold = tuple(_walk(piece, rulebase, speed, coldest, begin) for piece in pieces for speed in speeds)
    return Course(
        slow=_walk(case, rulebase, slow, start, 0),
        typical=_walk(case, rulebase, typical, start, 0),
        cold_start=cold,
    )


def _thinner(case: Case, rulebase: Rulebase) -> tuple[Case, ...]:
    """The thinnest the piece may be, when nobody measured it; none when it was measured."""
    thickness = case.piece["thickness"]
    thinnest = float(min(cut_of(case, rulebase).thickness_mm))
    if thickness.origin != "assumed worst" or thickness.number <= thinnest:
        return ()
    return (case.with_value("piece", "thickness", replace(thickness, value=thinnest)),)


def _out_temperature(case: Case, rulebase: Rulebase) -> float:
    if case.word("piece", "start_state") == "out":
        return case.number("piece", "out_temperature", rulebase.limit("hot_room"))
    return rulebase.limit("cold_hold_max")


def _coldest(case: Case, begin: int, start: float, rulebase: Rulebase) -> float:
    places = [step.number("temperature", start) for step in case.steps[:begin]]
    # Never below the freezing point: the model has no ice, and thaw-first is a rule of its own.
    return max(0.0, min([start, rulebase.limit("cold_hold_max"), *places]))


def _walk(case: Case, rulebase: Rulebase, diffusivity: float, start_c: float, first: int) -> Walked:
    thickness = case.number("piece", "thickness")
    for step in case.steps[:first]:
        thickness = step.number("thickness_after", thickness)
    body = ThermalBody(thickness * MILLIMETRE / 2, 0.0, diffusivity, rulebase.parameter("conductivity"))
    cells = uniform(body, start_c)
    now, legs = 0.0, []
    for index, step in enumerate(case.steps[first:], start=first):
        after = step.number("thickness_after")
        if after:
            body = replace(body, half_thickness_m=after * MILLIMETRE / 2)
            cells = uniform(body, float(np.mean(cells)))
        made = _leg(body, cells, index, step, now, rulebase)
        legs.append(made)
        cells, now = made.cells[-1], float(made.times_s[-1])
    return Walked(tuple(legs))


def surroundings(step: PlanStep, rulebase: Rulebase) -> tuple[float, float]:
    """Temperature [°C] and surface coefficient [W/m2 K] that a wet surface feels in a step."""
    medium = rulebase.media[step.word("place", "counter")]
    temperature = step.number("temperature", medium.usual_c if medium.usual_c is not None else 0.0)
    if medium.surface_cap_c is not None:
        temperature = min(temperature, medium.surface_cap_c)
    return temperature, medium.surface_h_w_m2k


def _leg(body: ThermalBody, cells: FloatArray, index: int, step: PlanStep, now: float, rulebase: Rulebase) -> Leg:
    medium_c, surface_h = surroundings(step, rulebase)
    reached = True
    if step.action == "thaw":
        # Ice keeps the middle at the freezing point; the outside is judged by what surrounds it.
        cells = uniform(body, max(0.0, min(float(np.max(cells)), 0.0)))
        medium_felt = max(0.0, min(medium_c, rulebase.limit("cold_hold_max")))
    else:
        medium_felt = medium_c
    seconds = step.number("minutes") * MINUTE
    until = step.given.get("until_core")
    if until is not None and isinstance(until.value, float):
        most = seconds if "minutes" in step.given and seconds > 0 else LONGEST_WAIT_S
        seconds, reached = _seconds_until(body, cells, medium_felt, surface_h, until.value, most)
    times = _moments(seconds, fine=step.action in COOKS)
    inside = leg(body, cells, medium_felt, surface_h, times)
    outside = surface(body, inside, medium_felt, surface_h)
    # A piece thinner than twice the depth has its middle there.
    depth = min(rulebase.limit("marinade_depth") * MILLIMETRE, body.half_thickness_m)
    return Leg(
        step=index,
        times_s=now + times,
        medium_c=medium_c,
        cells=inside,
        centre_c=centre(inside),
        surface_c=outside,
        depth_c=at_depth(body, inside, depth, outside),
        reached=reached,
    )


def _moments(seconds: float, *, fine: bool) -> FloatArray:
    if seconds <= 0:
        return np.zeros(2)
    step = FINE_STEP_S if fine else max(FINE_STEP_S, min(seconds, FINE_UNTIL_S) / COARSE_SAMPLES)
    close = np.linspace(0.0, min(seconds, FINE_UNTIL_S), 2 + int(min(seconds, FINE_UNTIL_S) / step))
    if seconds <= FINE_UNTIL_S:
        return close
    return np.concatenate([close, np.linspace(FINE_UNTIL_S, seconds, COARSE_SAMPLES)[1:]])


def _seconds_until(
    body: ThermalBody, cells: FloatArray, medium_c: float, surface_h: float, target_c: float, most_s: float
) -> tuple[float, bool]:
    """Time until the middle reads the target, and whether it does within ``most_s``."""
    rising = medium_c > float(centre(cells))

    def there(seconds: float) -> bool:
        core = float(centre(leg(body, cells, medium_c, surface_h, np.array([seconds]))[0]))
        return core >= target_c if rising else core <= target_c

    if there(0.0):
        return 0.0, True
    if not there(most_s):
        return most_s, False
    low, high = 0.0, most_s
    while high - low > 1.0:
        middle = (low + high) / 2
        low, high = (low, middle) if there(middle) else (middle, high)
    return high, True
