"""Temperatures of the meat through every step of the plan.

Each plan is walked at the *slow* end of what is not known exactly, in the middle (*typical*) and at the *fast* end:
thickness, diffusivity, surface coefficient, start and probe (:mod:`advisor.course.ends`). Safety rests on the worse
of them, times are shown with their range, and tenderness rests on the middle. The *cold start* begins the first
cooking step at the coldest the meat may be: a warm start is never credited with kill.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course.ends import Ends, ends, if_hollow, unmeasured
from advisor.course.piece import Piece, piece
from advisor.course.roles import COOKS, SEARS, WAITS, first_cook, passes
from advisor.course.sears import by_face, each_face_s, seared
from advisor.course.surroundings import surface_h, surroundings

if TYPE_CHECKING:
    from advisor.case.model import Case, PlanStep
    from advisor.course.piece import Felt, Inside
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
MINUTE = 60.0
# Lethality is summed over half minutes; after five hours the meat is near its bath and steps may be longer.
FINE_STEP_S = 30.0
FINE_UNTIL_S = 5 * 3600.0
COARSE_SAMPLES = 240
# A step that waits for a core temperature is given up after this time.
LONGEST_WAIT_S = 72 * 3600.0
WAIT_SAMPLES = 120
WAIT_WITHIN_S = 1.0
# What is known of a piece and no walk reads: heat feels neither salt nor what the label says.
UNFELT = frozenset({"salt_target", "arrived", "arrived_salt", "label_sodium", "use_by", "pack"})
# How close thicknesses are tried where nobody measured.
BETWEEN_MM, MOST_BETWEEN = 2.0, 10


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
    half_thickness_m : float
        From the middle to the largest face [m].
    """

    step: int
    times_s: FloatArray
    medium_c: float
    cells: FloatArray
    centre_c: FloatArray
    surface_c: FloatArray
    depth_c: FloatArray
    reached: bool = True
    half_thickness_m: float = 1.0

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
    """An unbroken stretch: steps ``first`` to ``last``, of which ``heats`` heat, ``heat_ends`` is the last of these."""

    first: int
    last: int
    heat_ends: int
    heats: frozenset[int]

    def times(self, walked: Walked) -> FloatArray:
        """Moments of the stretch [s]."""
        return walked.times(first=self.first, last=self.last)

    def core(self, walked: Walked) -> FloatArray:
        """Temperature of the middle as it counts for kill [°C].

        What the middle may still rise by itself while no heat comes is not counted, nor carried on into heat that
        comes after it: how much it does hangs on evaporation and draughts that nobody measured.
        """
        parts: list[FloatArray] = []
        top = np.inf
        for leg_ in walked.between(self.first, self.last):
            if leg_.step in self.heats:
                core = leg_.centre_c - max(0.0, float(leg_.centre_c[0]) - top)
                top = float(core[-1])
            else:
                core = np.minimum(leg_.centre_c, top)
            parts.append(core)
        return np.concatenate(parts)


@dataclass(frozen=True, slots=True)
class Course:
    """The walks of one case.

    Attributes
    ----------
    slow, typical, fast : Walked
        At the slow end of what is not known exactly, in the middle, at the fast end.
    cold_start : tuple of Walked
        From the coldest start, with the probe right: what the law's tables are held against, for the law's own
        figures allow for a probe as exact as it asks. Empty when nothing is cooked.
    cold_probe : tuple of Walked
        The same with a probe that reads high: what the model of kill is held against.
    between : tuple of Walked
        What may be worse than both ends: raw meat that is cooled, from a start that was read too cold; where nobody
        measured, thicknesses between the thinnest and the thickest that are usual, for what grows while meat cools
        by itself is most at some thickness between. A whole bird that may be hollow and is not reckoned so, as if it
        were.
    """

    slow: Walked
    typical: Walked
    fast: Walked
    cold_start: tuple[Walked, ...]
    cold_probe: tuple[Walked, ...]
    between: tuple[Walked, ...] = ()

    @property
    def ends(self) -> tuple[Walked, ...]:
        """Slow, typical and fast, and what may be worse than these: the worst of all counts."""
        return self.slow, self.typical, self.fast, *self.between

    @property
    def all(self) -> tuple[Walked, Walked, Walked]:
        """Slow, typical and fast."""
        return self.slow, self.typical, self.fast


def walk(case: Case, rulebase: Rulebase) -> Course:
    """Walk a completed case through conduction, at every end.

    Parameters
    ----------
    case : Case
        Completed: every step has a temperature and a time or a core temperature.
    rulebase : Rulebase
        Thermal properties, surface coefficients, and how far off a reading may be.

    Returns
    -------
    Course
        Temperatures in °C against seconds.
    """
    slow, typical, fast = ends(case, rulebase)
    start = case.number("piece", "start_temperature", start_temperature(case, rulebase))
    walked, quick = _walk(case, rulebase, slow, start), _walk(case, rulebase, fast, start)
    begin = first_cook(case)
    cold: tuple[Walked, ...] = ()
    probe: tuple[Walked, ...] = ()
    if begin is not None:
        coldest = _coldest(case, begin, start - slow.colder_c, rulebase)
        first = walked.of_step(begin)
        ice = first.cells[0] if first is not None else None
        # A step that ends at a core temperature ends sooner when heat moves faster or the piece is thin.
        by_core = any("until_core" in step.given for step in case.steps)
        used: tuple[Ends, ...] = (slow, fast, *if_hollow(case, rulebase)[::2]) if by_core else (slow,)
        if by_core:
            # Lower down a probe's temperature is there sooner too: high up is never credited for taking longer.
            used += tuple(replace(at, altitude_m=0.0) for at in used if at.altitude_m)
        cold = tuple(_walk_cold(case, rulebase, replace(at, probe_c=0.0), coldest, begin, ice, quick) for at in used)
        if by_core:
            probe = tuple(
                _walk_cold(case, rulebase, replace(at, probe_c=-abs(at.probe_c)), coldest, begin, ice, quick)
                for at in used
            )
    return Course(
        slow=walked,
        typical=_walk(case, rulebase, typical, start),
        fast=quick,
        cold_start=cold,
        cold_probe=probe,
        between=tuple(_walk(case, rulebase, at, start) for at in _between(case, rulebase, slow, fast, start)),
    )


def felt_of(case: Case, unfelt: frozenset[str] = UNFELT) -> tuple[object, ...]:
    """All of a completed case that its walk can feel: two cases with the same of it are walked alike."""
    piece = tuple((n, str(g.value), g.origin) for n, g in sorted(case.piece.items()) if n not in unfelt)
    altitude = case.given("guests", "altitude")
    steps = tuple(
        (step.action, tuple((n, str(g.value), g.origin) for n, g in sorted(step.given.items()))) for step in case.steps
    )
    return piece, str(altitude.value) if altitude is not None else "", steps


def _between(case: Case, rulebase: Rulebase, slow: Ends, fast: Ends, start: float) -> tuple[Ends, ...]:
    """What may be worse than both ends.

    High up, both ends at the sea. Where nobody measured, both ends at thicknesses evenly spread between the thinnest
    and the thickest. Where raw meat is cooled, the slow end from a start that was read too cold: it stays warm for
    longest. A whole bird that is reckoned as solid, as if it were hollow.
    """
    # High up meat comes out of the heat less hot; whatever is worse at the sea counts there as well.
    found: tuple[Ends, ...] = tuple(replace(at, altitude_m=0.0) for at in (slow, fast) if at.altitude_m)
    if any(step.number("temperature", start) < start for step in case.steps[: first_cook(case)]):
        found += (replace(slow, colder_c=fast.colder_c),)
    found += if_hollow(case, rulebase)
    if not unmeasured(case):
        return found
    thick, thin = slow.sides_mm[0], fast.sides_mm[0]
    spread = np.linspace(thick, thin, min(MOST_BETWEEN, 2 + int((thick - thin) / BETWEEN_MM)))
    return found + tuple(
        replace(end, sides_mm=(float(side),))
        for end, among in ((slow, spread[1:-1]), (fast, spread[:-1] + 2 * fast.thicker_mm))
        for side in among
        if side > thin
    )


def start_temperature(case: Case, rulebase: Rulebase) -> float:
    """Temperature of the piece at the start where none was given [°C]."""
    if case.word("piece", "start_state") == "out":
        return case.number("piece", "out_temperature", rulebase.limit("hot_room"))
    # A kitchen that asks more of its fridge has not a colder one.
    return rulebase.base_limit("cold_hold_max")


def _coldest(case: Case, begin: int, start: float, rulebase: Rulebase) -> float:
    places = [step.number("temperature", start) for step in case.steps[:begin]]
    # Not below the freezing point: meat that is still frozen is walked as such.
    return max(0.0, min([start, rulebase.base_limit("cold_hold_max"), *places]))


def _walk(case: Case, rulebase: Rulebase, at: Ends, start_c: float) -> Walked:
    """Walk the whole plan from a start at one temperature."""
    whole = piece(case, at, rulebase)
    start = start_c - at.colder_c
    # Chilled meat is not frozen for being read two degrees too warm.
    return _steps(case, rulebase, whole, whole.even(max(start, 0.0) if start_c >= 0 else start), 0)


def _walk_cold(
    case: Case,
    rulebase: Rulebase,
    at: Ends,
    start_c: float,
    first: int,
    before: FloatArray | None,
    quick: Walked,
) -> Walked:
    """Walk from the first cooking step, at the coldest start, with whatever ice is still in the meat."""
    whole = piece(case, at, rulebase)
    for step in case.steps[:first]:
        after = step.number("thickness_after")
        whole = whole.thinned(after) if after else whole
    inside = whole.even(start_c)
    if before is not None and isinstance(inside, np.ndarray) and float(np.min(before)) < 0:
        inside = np.minimum(inside, before)
    return _steps(case, rulebase, whole, inside, first, for_kill=True, quick=quick)


def _steps(
    case: Case,
    rulebase: Rulebase,
    whole: Piece,
    inside: Inside,
    first: int,
    *,
    for_kill: bool = False,
    quick: Walked | None = None,
) -> Walked:
    now, legs, chilled = 0.0, [], False
    for index, step in enumerate(case.steps[first:], start=first):
        after = step.number("thickness_after")
        if after:
            even = whole.mean(inside)
            whole = whole.thinned(after)
            inside = whole.even(even)
        if quick is not None and chilled and step.action in COOKS:
            inside = _no_warmer(whole, inside, quick.of_step(index))
        # A rest right after the heat still belongs to it.
        chilled = step.action in WAITS - {"rest"} or (chilled and step.action not in COOKS)
        if for_kill and by_face(step):
            made, whole, inside = _leg_by_face(whole, inside, index, step, now, rulebase)
        else:
            made, inside = _leg(whole, inside, index, step, now, rulebase, for_kill=for_kill)
        legs.append(made)
        now = float(made.times_s[-1])
    return Walked(tuple(legs))


def _no_warmer(whole: Piece, inside: Inside, there: Leg | None) -> Inside:
    """Cool the inside to the coldest place of another walk: meat that waited between two cooks may be that cold."""
    if there is None:
        return inside
    coldest = float(np.min(there.cells[0]))
    if isinstance(inside, np.ndarray):
        return np.minimum(inside, coldest)
    return whole.even(min(whole.mean(inside), coldest))


def go_on(
    case: Case, rulebase: Rulebase, last: Leg, after: int, now: float, *, for_kill: bool = False
) -> tuple[Leg, ...]:
    """Walk the steps from ``after`` on, from where a record ended, at the slow end."""
    if after >= len(case.steps):
        return ()
    whole = piece(case, ends(case, rulebase)[0], rulebase)
    for step in case.steps[:after]:
        thinner = step.number("thickness_after")
        whole = whole.thinned(thinner) if thinner else whole
    legs = _steps(case, rulebase, whole, whole.even(float(last.centre_c[-1])), after, for_kill=for_kill).legs
    return tuple(replace(leg, times_s=leg.times_s + now) for leg in legs)


def _leg(
    whole: Piece, inside: Inside, index: int, step: PlanStep, now: float, rulebase: Rulebase, *, for_kill: bool
) -> tuple[Leg, Inside]:
    medium_c, medium = surroundings(step, rulebase, whole.ends.end, whole.ends.altitude_m)
    surface = surface_h(whole.ends, step, rulebase)
    reached = True
    heated, passing = by_sides(step, rulebase)
    if for_kill:
        # The quicker the middle gets to what the probe waits for, the less dies on the way: the clock of both faces
        # hot at once. A time that ends it sooner counts for one side only.
        heated = passing = 1.0
    seconds = step.number("minutes") * MINUTE * heated
    until = step.given.get("until_core")
    if until is not None and isinstance(until.value, float):
        most = seconds if "minutes" in step.given and seconds > 0 else LONGEST_WAIT_S
        wanted = until.value
        if medium.dries and step.number("temperature") > wanted:
            wanted = _reckoned(wanted, medium_c, rulebase)
        seconds, reached = _seconds_until(whole, inside, medium_c, surface, wanted, most)
    times = _moments(seconds, fine=step.action in COOKS)
    felt = whole.stay(inside, medium_c, surface, times)
    made = Leg(
        step=index,
        times_s=now + times * (passing / heated),
        medium_c=medium_c,
        cells=felt.cells,
        centre_c=felt.centre,
        surface_c=felt.surface,
        depth_c=felt.depth,
        reached=reached,
        half_thickness_m=whole.body.half_thickness_m,
    )
    if whole.ends.end == "typical" and passing > 1 and not for_kill:
        return made, _cooled_above(whole, felt, times, rulebase)
    return made, felt.end


def _cooled_above(whole: Piece, felt: Felt, times: FloatArray, rulebase: Rulebase) -> Inside:
    """Inside of a piece taken out of the pan, in the middle of what is plausible: the face turned up has cooled.

    Both faces hot at once tell how fast the middle warms, and leave too much heat behind it: a steak would rise by
    ten degrees while it rests. At both ends all of that heat is left in, for what cools slowly must not look better.
    """
    if whole.ice is not None or not isinstance(felt.end, np.ndarray) or times[-1] <= 0:
        return felt.end
    turned = felt.cells[int(np.searchsorted(times, times[-1] / 2))]
    room = float(rulebase.media["rest"].usual_c or 0.0)
    above = whole.stay(turned, room, rulebase.parameter("turned_up_h"), np.array([0.0, times[-1] / 2]))
    return np.asarray((felt.end + above.cells[-1]) / 2, dtype=np.float64)


def _leg_by_face(
    whole: Piece, inside: Inside, index: int, step: PlanStep, now: float, rulebase: Rulebase
) -> tuple[Leg, Piece, Inside]:
    """A sear as it counts for kill: one face, then the other, and the coldest place for the middle."""
    medium_c, _ = surroundings(step, rulebase, whole.ends.end, whole.ends.altitude_m)
    surface = surface_h(whole.ends, step, rulebase)
    each_s, reached = each_face_s(step), True
    until = step.given.get("until_core")
    if until is not None and isinstance(until.value, float):
        most = each_s if each_s > 0 else LONGEST_WAIT_S
        each_s, reached = _seconds_until(whole, inside, medium_c, surface, until.value, most)
    felt = seared(
        whole, inside, medium_c, surface, step, each_s, rulebase, lambda seconds: _moments(seconds, fine=True)
    )
    made = Leg(
        step=index,
        times_s=now + felt.times_s,
        medium_c=medium_c,
        cells=felt.cells,
        centre_c=felt.coldest_c,
        surface_c=felt.cells[:, -1],
        depth_c=felt.cells[:, -1],
        reached=reached,
        half_thickness_m=felt.piece.body.half_thickness_m,
    )
    return made, felt.piece, felt.inside


def _reckoned(wanted_c: float, felt_c: float, rulebase: Rulebase) -> float:
    """Core temperature up to which a step in an oven is reckoned, where the oven is hotter than the one wanted [°C].

    The outside is reckoned wet, under its cap; it dries in time, and the middle goes on to what is wanted. How long
    that takes is not reckoned. Where the cap leaves the middle in doubt of its kill nothing is taken off.
    """
    near = felt_c - rulebase.parameter("cap_near_c")
    return min(wanted_c, near) if near >= rulebase.parameter("cap_killed_c") else wanted_c


def by_sides(step: PlanStep, rulebase: Rulebase) -> tuple[float, float]:
    """How often the time of a step, told for one side, counts as heat to both faces, and how often it passes.

    While one side lies in the pan the other, still hot, goes on giving heat inwards and takes little: two turns count
    as more than one with both faces hot, and as less than two.
    """
    if step.action not in SEARS:
        return 1.0, 1.0
    return min(passes(step), rulebase.parameter("sear_both_faces")), passes(step)


def _moments(seconds: float, *, fine: bool) -> FloatArray:
    if seconds <= 0:
        return np.zeros(2)
    step = FINE_STEP_S if fine else max(FINE_STEP_S, min(seconds, FINE_UNTIL_S) / COARSE_SAMPLES)
    close = np.linspace(0.0, min(seconds, FINE_UNTIL_S), 2 + int(min(seconds, FINE_UNTIL_S) / step))
    if seconds <= FINE_UNTIL_S:
        return close
    return np.concatenate([close, np.linspace(FINE_UNTIL_S, seconds, COARSE_SAMPLES)[1:]])


def _seconds_until(
    whole: Piece, inside: Inside, medium_c: float, surface_h: float, target_c: float, most_s: float
) -> tuple[float, bool]:
    """Time until the probe in the middle reads the target, and whether it does within ``most_s``."""
    now = float(whole.middle(inside, medium_c, surface_h, np.zeros(1))[0])
    rising = medium_c > now
    # A probe that reads low lets a warming piece go on for longer, and a cooling one too; never for ever.
    off = min(whole.ends.probe_c, abs(medium_c - target_c) / 2)
    target = target_c + off * (1.0 if rising else -1.0)

    def there(core: FloatArray) -> npt.NDArray[np.bool_]:
        return core >= target if rising else core <= target

    low, high = 0.0, most_s
    while True:
        times = np.linspace(low, high, WAIT_SAMPLES)
        met = np.flatnonzero(there(whole.middle(inside, medium_c, surface_h, times)))
        if not met.size:
            return most_s, False
        if met[0] == 0:
            return float(times[0]), True
        low, high = float(times[met[0] - 1]), float(times[met[0]])
        if high - low <= WAIT_WITHIN_S:
            return high, True
