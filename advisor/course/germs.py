"""Kill and growth along a course: the slowest kill and the worst growth decide."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course.stretches import BIRDS
from advisor.science.growth import GrowthCurve, grown_by_end
from advisor.science.lethality import log_kill
from advisor.science.validity import NotMeasured, OutsideRange, gathered, warn_not_measured

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from advisor.course.walk import Leg, Phase, Walked
    from advisor.knowledge.records import Kill as KillData
    from advisor.knowledge.records import Organism, Span
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
# The middle, and three places between it and the outside.
INNER_PLACES = 4
RED_MEAT, POULTRY = "red_meat", "poultry"


@dataclass(frozen=True, slots=True)
class Kill:
    """Kill of one germ: powers of ten, its share of the target, and its name."""

    log: float
    share: float
    germ: str


NO_KILL = Kill(0.0, 0.0, "no germ known")


def kills(
    walks: tuple[Walked, ...],
    phases: tuple[Phase, ...],
    animal: str,
    rulebase: Rulebase,
    more: Mapping[str, float] | None = None,
) -> dict[str, Kill]:
    """Kill of every germ at the middle, by id.

    Parameters
    ----------
    walks : tuple of Walked
        Cold-start walks; the one with the least kill decides.
    phases : tuple of Phase
        Unbroken stretches of heating; the best one counts, for kill is not added up across a chill.
    animal : str
        Picks the heat resistance: birds have their own; for an animal not known (empty) the toughest counts.
    more : mapping, optional
        Powers of ten asked for above the target, by germ.
    """
    if not animal:
        classes = [kills(walks, phases, one, rulebase, more) for one in ("other_bird", "beef")]
        names = dict.fromkeys(name for found in classes for name in found)
        return {name: min((c[name] for c in classes if name in c), key=lambda kill: kill.share) for name in names}
    food = POULTRY if animal in BIRDS else RED_MEAT
    extra = more or {}
    found: dict[str, Kill] = {}
    for name, organism in rulebase.organisms.items():
        for data in organism.kill:
            if food in data.foods:
                logs = (max((_log(walked, phase, data, rulebase) for phase in phases), default=0.0) for walked in walks)
                reached = min(logs, default=0.0)
                found[name] = Kill(reached, reached / (data.target_log + extra.get(name, 0.0)), organism.name)
                if data.measured_c is None and reached > 0:
                    warn_not_measured(f"our estimate of how heat kills {organism.name}", "temperature")
    return found


def is_killed(
    organism: Organism, times_s: FloatArray, temps_c: FloatArray, animal: str, rulebase: Rulebase
) -> npt.NDArray[np.bool_]:
    """Whether an organism meets its target of kill along a history, at each place; in every kind of meat it may be."""
    foods = (POULTRY if animal in BIRDS else RED_MEAT,) if animal else (RED_MEAT, POULTRY)
    dead = np.ones(temps_c.shape[1:], dtype=np.bool_)
    for data in organism.kill:
        if set(data.foods) & set(foods):
            dead &= _log10_killed(times_s, temps_c, data, None, rulebase) >= data.target_log
    return dead


def _log(walked: Walked, phase: Phase, data: KillData, rulebase: Rulebase) -> float:
    return float(_log10_killed(phase.times(walked), phase.core(walked), data, span(data.measured_c), rulebase))


def _log10_killed(
    times_s: FloatArray, temps_c: FloatArray, data: KillData, measured_c: tuple[float, float] | None, rulebase: Rulebase
) -> FloatArray:
    """Kill over the whole of a history [log10], at each place."""
    history = log_kill(
        times_s,
        temps_c,
        d_ref_s=data.d_ref_min * 60.0,
        ref_c=data.ref_c,
        z_c=data.z_c,
        floor_c=rulebase.no_kill_credit_below_c,
        measured_c=measured_c,
    )
    return np.asarray(history[-1])


def span(measured_c: Span | None) -> tuple[float, float] | None:
    """Lowest and highest temperature of a span [°C]; None where there is none."""
    return (measured_c.low, measured_c.high) if measured_c is not None else None


def curve(organism: Organism, *, cooked: bool) -> GrowthCurve:
    """Growth curve of an organism, with its lag before or after cooking."""
    growth = organism.growth
    return GrowthCurve(
        growth.t_min_c,
        growth.t_opt_c,
        growth.t_max_c,
        growth.mu_opt_per_h,
        growth.floor_c,
        growth.ceiling_c,
        growth.lag_h0_after_cooking if cooked else growth.lag_h0_raw,
        span(growth.measured_c),
        organism.name,
    )


@dataclass(frozen=True, slots=True)
class Places:
    """Temperature histories of the places where germs may sit, over walks of one plan on one clock.

    ``outside`` and ``inside`` have the shape (n, walks, places).
    """

    times_s: FloatArray
    outside: FloatArray
    inside: FloatArray


def places(legs: tuple[Leg, ...], cooks: frozenset[int]) -> Places:
    """Histories for growth along one walk.

    While the meat waits, its outside is also taken at the temperature of the room itself: a thin edge is
    there long before the rest, and a thicker piece must not look better for being slow.
    """
    times = np.concatenate([leg.times_s for leg in legs])
    surface = np.concatenate([leg.surface_c for leg in legs])
    film = np.concatenate(
        [leg.surface_c if leg.step in cooks else np.full(leg.times_s.shape, leg.medium_c) for leg in legs]
    )
    inner = np.concatenate([leg.cells[:, inner_columns(leg.cells.shape[1])] for leg in legs])
    return Places(times, np.stack([surface, film], axis=1)[:, None], inner[:, None])


def together(spots: Sequence[Places]) -> list[Places]:
    """Put walks that share their clock into one, in order; those that do not stay by themselves."""
    joined: list[list[Places]] = []
    for one in spots:
        if joined and np.array_equal(joined[-1][0].times_s, one.times_s):
            joined[-1].append(one)
        else:
            joined.append([one])
    return [
        Places(
            group[0].times_s,
            np.concatenate([one.outside for one in group], axis=1),
            np.concatenate([one.inside for one in group], axis=1),
        )
        for group in joined
    ]


def inner_columns(cells: int) -> npt.NDArray[np.intp]:
    """Columns of the places inside, of so many cells from the middle outward."""
    return np.linspace(0, cells - 1, INNER_PLACES + 1).astype(np.intp)[:-1]


def with_past(spots: Places, seconds: float, temp_c: float) -> Places:
    """Put the time the meat has already been out before the plan, every place at the temperature it was out at."""
    if seconds <= 0:
        return spots

    def before(temps: FloatArray) -> FloatArray:
        return np.concatenate([np.full((2, *temps.shape[1:]), temp_c), temps])

    times = np.concatenate([[0.0, seconds], spots.times_s + seconds])
    return Places(times, before(spots.outside), before(spots.inside))


def until_killed(spots: Places, floor_c: float) -> Places:
    """Hold each place at the kill floor from its last moment below it, and end when all are hot for good."""
    inside, ends_in = _hot_for_good(spots.inside, floor_c)
    outside, ends_out = _hot_for_good(spots.outside, floor_c)
    end = max(ends_in, ends_out) + 1
    return Places(spots.times_s[:end], outside[:end], inside[:end])


def _hot_for_good(temps: FloatArray, floor_c: float) -> tuple[FloatArray, int]:
    """Temperatures held at the floor once they stay above it, and the first moment at which all do."""
    below = temps < floor_c
    # First moment after the last one below, for each place.
    hot = np.where(below.any(axis=0), len(temps) - np.argmax(below[::-1], axis=0), 0)
    moments = np.arange(len(temps)).reshape(-1, *(1,) * (temps.ndim - 1))
    return np.where(moments >= hot, floor_c, temps), min(int(hot.max(initial=0)), len(temps) - 1)


@dataclass(frozen=True, slots=True)
class Grown:
    """Growth of one organism in each walk, at its worst outer and inner place [log10], shape (walks,).

    ``doubts`` is what its curve was not checked for.
    """

    name: str
    outside: FloatArray
    inside: FloatArray
    doubts: tuple[OutsideRange, ...] = ()

    @property
    def anywhere(self) -> FloatArray:
        """Growth at the worst place of all."""
        return np.maximum(self.outside, self.inside)


def grown(spots: Sequence[Places], organisms: Sequence[Organism], *, cooked: bool, ceiling: float) -> tuple[Grown, ...]:
    """Growth of every organism up to ``ceiling`` [log10]; one pass over all walks and places for all of them."""
    curves = [curve(organism, cooked=cooked) for organism in organisms]
    outside: list[FloatArray] = []
    inside: list[FloatArray] = []
    with gathered() as beyond:
        for group in together(spots):
            outer = group.outside.shape[2]
            logs = grown_by_end(group.times_s, np.concatenate([group.outside, group.inside], axis=2), curves)
            outside.append(np.minimum(logs[..., :outer].max(axis=2), ceiling))
            inside.append(np.minimum(logs[..., outer:].max(axis=2), ceiling))
    of_all = zip(organisms, curves, np.concatenate(outside, axis=1), np.concatenate(inside, axis=1), strict=True)
    return tuple(Grown(one.name, out, into, _doubts(one, of, beyond)) for one, of, out, into in of_all)


def _doubts(organism: Organism, of: GrowthCurve, beyond: Sequence[OutsideRange]) -> tuple[OutsideRange, ...]:
    """What the curve of an organism was not checked for: temperatures it left, or all, where its rate is our guess."""
    found = tuple(warning for warning in beyond if warning.model == of.model)
    if organism.growth.measured_c is not None:
        return found
    return (NotMeasured(f"our estimate of how fast {organism.name} grows", "temperature"), *found)
