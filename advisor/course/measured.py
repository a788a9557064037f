"""A course as a probe recorded it: the readings stand in the place of the model, and a gap proves nothing.

The record begins at one step of the plan. Its readings are laid over the steps from there on: the heat ends with the
first fall below the heat that kills, not when the plan said; what comes after is laid out by the plan's times, and
what the record does not reach any more is worked out from where it ends. Meat that waits raw is at least as warm as
its record, and food held hot no hotter, whatever the plan said of the place. The probe's error counts against the cook
both ways: readings are lowered where heat must kill, and taken both higher and lower where growth or cooling is judged.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.case.contradictions import BOILING_C
from advisor.course.germs import INNER_PLACES, inner_columns
from advisor.course.piece import CELLS
from advisor.course.ranges import Ranged
from advisor.course.recorded_unit import off_the_plan, under_the_coldest
from advisor.course.roles import SEARS, WAITS, first_cook, heats
from advisor.course.stretches import heat_stretches
from advisor.course.surroundings import surroundings
from advisor.course.walk import MINUTE, Course, Leg, Walked, go_on

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.case.probe import Gap, ProbeLog
    from advisor.course.walk import Phase
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
# Inside a gap nothing is known; a reading this cold proves no kill and breaks every hold.
NO_EVIDENCE_C = 0.0
EDGE_S = 1.0


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings of all channels on one clock: moments [s], temperatures (n, channels) [°C]."""

    times_s: FloatArray
    temps_c: FloatArray

    def cut(self, begins: float, ends: float) -> Readings:
        """Give the readings of a stretch, with the lines at both ends."""
        inside = (self.times_s > begins) & (self.times_s < ends)
        times = np.concatenate([[begins], self.times_s[inside], [ends]])
        temps = np.stack([np.interp(times, self.times_s, column) for column in self.temps_c.T], axis=1)
        # A jump at one moment, two readings with one time, is kept inside the stretch.
        temps[1:-1] = self.temps_c[inside]
        return Readings(times, temps)


def readings(log: ProbeLog) -> Readings:
    """Put all channels on one clock, on straight lines between their own readings."""
    times = np.unique(np.concatenate([channel.times_s for channel in log.channels]))
    temps = [np.interp(times, channel.times_s, channel.temps_c) for channel in log.channels]
    return Readings(times, np.stack(temps, axis=1))


def _without_gaps(read: Readings, log: ProbeLog, rulebase: Rulebase) -> Readings:
    """Readings that prove nothing inside a gap of any channel."""
    edges: list[tuple[float, float]] = [(gap.begins_s, gap.ends_s) for gap in gaps(log, rulebase)]
    times, temps = read.times_s, read.temps_c
    for begins, ends in edges:
        keep = (times <= begins) | (times >= ends)
        at = int(np.searchsorted(times[keep], begins, side="right"))
        cold = np.full((2, temps.shape[1]), NO_EVIDENCE_C)
        temps = np.insert(temps[keep], [at, at], cold, axis=0)
        times = np.insert(times[keep], [at, at], [begins + EDGE_S, max(begins + EDGE_S, ends - EDGE_S)])
    return Readings(times, temps)


def gaps(log: ProbeLog, rulebase: Rulebase) -> tuple[Gap, ...]:
    """Every stretch without readings in any channel."""
    least = rulebase.limit("log_gap_min") * MINUTE
    times = rulebase.limit("log_gap_times")
    return tuple(gap for channel in log.channels for gap in log.gaps(channel, times, least))


def measured(course: Course, case: Case, log: ProbeLog, rulebase: Rulebase) -> Course:
    """Put a record in the place of the model.

    Parameters
    ----------
    course : Course
        The plan as the model walks it.
    case : Case
        Completed.
    log : ProbeLog
        The record.
    """
    off = rulebase.parameter("probe_reading_c")
    read = readings(log)
    sure = _without_gaps(read, log, rulebase)
    first = _begins_at(case)
    laid = _laid(case, read, first, rulebase)
    cold: tuple[Walked, ...] = ()
    # Without a record of the heat itself the model's coldest start stands for it.
    if course.cold_start and any(heats(case.steps[index], rulebase) and b > a for index, a, b in laid):
        lowered = _walked(course.cold_start[0], case, sure, -off, laid, rulebase, for_kill=True)
        begin = first_cook(case) or 0
        cold = (Walked(tuple(leg for leg in lowered.legs if leg.step >= begin)),)
    return Course(
        slow=_walked(course.slow, case, read, off, laid, rulebase),
        typical=_walked(course.typical, case, read, 0.0, laid, rulebase),
        fast=_walked(course.fast, case, read, -off, laid, rulebase),
        cold_start=cold or course.cold_start,
        cold_probe=(),
    )


def _begins_at(case: Case) -> int:
    """Step at which the record begins: the one that was said, else the first that cooks, else the first."""
    if case.log_from is not None:
        return case.log_from
    return first_cook(case) or 0


Laid = tuple[tuple[int, float, float], ...]


def _laid(case: Case, read: Readings, first: int, rulebase: Rulebase) -> Laid:
    """Lay the record over the steps: index, begin and end of each [s since its first reading]."""
    ends = float(read.times_s[-1])
    phase = next((p for p in heat_stretches(case, rulebase) if p.last >= first), None)
    found: list[tuple[int, float, float]] = []
    now = 0.0
    if phase is not None:
        hot = _hot_until(read, rulebase)
        before = range(first, max(phase.first, first))
        never = float(np.max(read.temps_c)) < rulebase.no_kill_credit_below_c
        found, now = _by_plan(case, before, now, ends if never else hot)
        main = _main_heat(case, phase, first)
        if never and now >= ends:
            # It is a record of the raw meat alone, and has nothing of the heat.
            return _to_the_end(found, ends)
        if never and hot <= now:
            hot = min(ends, now + case.steps[main].number("minutes") * MINUTE)
        for index in range(max(phase.first, first), phase.heat_ends + 1):
            till = hot if index == main else now
            found.append((index, now, max(now, till)))
            now = max(now, till)
        first = phase.heat_ends + 1
    rest, now = _by_plan(case, range(first, len(case.steps)), now, ends)
    return _to_the_end(found + rest, ends)


def _to_the_end(found: list[tuple[int, float, float]], ends: float) -> Laid:
    """Let the last step that the record reaches go on for as long as it was recorded."""
    now = found[-1][2] if found else 0.0
    waits = [k for k, (_, a, b) in enumerate(found) if b > a]
    if waits and now < ends:
        k = waits[-1]
        index, begins, _ = found[k]
        found[k] = (index, begins, ends)
        found = found[: k + 1]
    return tuple(found)


def _by_plan(case: Case, steps: range, now: float, ends: float) -> tuple[list[tuple[int, float, float]], float]:
    """Lay steps out by their planned lengths, as far as the record goes."""
    found: list[tuple[int, float, float]] = []
    for index in steps:
        if now >= ends:
            break
        till = min(ends, now + case.steps[index].number("minutes") * MINUTE)
        found.append((index, now, till))
        now = till
    return found, now


def _hot_until(read: Readings, rulebase: Rulebase) -> float:
    """Moment before the first fall of all channels below the heat that kills; else that of the highest reading.

    What is hot again later is no part of this heat: between, the meat stood warm or cooled.
    """
    floor = rulebase.no_kill_credit_below_c
    warmest = np.max(read.temps_c, axis=1)
    hot = np.flatnonzero(warmest >= floor)
    if not hot.size:
        return float(read.times_s[int(np.argmax(warmest))])
    # A reading that wavers about the line by less than the probe's error is no fall.
    falls = np.flatnonzero(warmest[hot[0] :] < floor - rulebase.parameter("probe_reading_c"))
    end = hot[0] + falls[0] if falls.size else len(warmest)
    return float(read.times_s[hot[hot < end][-1]])


def hot_again(log: ProbeLog, rulebase: Rulebase) -> bool:
    """Whether the record is hot enough to kill once more after it has fallen below."""
    read = readings(log)
    later = read.times_s > _hot_until(read, rulebase)
    warmest = np.max(read.temps_c, axis=1)
    return bool(np.any(warmest[later] >= rulebase.no_kill_credit_below_c)) and bool(
        np.max(warmest[~later]) >= rulebase.no_kill_credit_below_c
    )


def as_recorded(case: Case, log: ProbeLog, rulebase: Rulebase) -> Case:
    """Give the case with the temperatures of its places no better than its record shows.

    Raw meat that waits has been somewhere at least as warm as itself, and food held hot somewhere no hotter.
    """
    read = readings(log)
    off = rulebase.parameter("probe_reading_c")
    raw_until = first_cook(case)
    for index, begins, ends in _laid(case, read, _begins_at(case), rulebase):
        step = case.steps[index]
        if ends <= begins or step.action not in WAITS:
            continue
        part, planned = read.cut(begins, ends).temps_c, step.number("temperature")
        value = planned
        if raw_until is None or index < raw_until:
            value = max(planned, float(np.max(part)) + off)
        elif step.action == "hot_hold":
            value = min(planned, float(np.min(part)) - off)
        if value != planned:
            case = case.with_step(index, step.with_value("temperature", value, note="as the record shows"))
    return case


def _main_heat(case: Case, phase: Phase, first: int) -> int:
    """Index of the heat that the record is of: the longest that is no sear."""
    steps = range(max(phase.first, first), phase.heat_ends + 1)
    gentle = [index for index in steps if case.steps[index].action not in SEARS] or list(steps)
    return max(gentle, key=lambda index: case.steps[index].number("minutes"))


def _walked(
    model: Walked,
    case: Case,
    read: Readings,
    off: float,
    laid: Laid,
    rulebase: Rulebase,
    *,
    for_kill: bool = False,
) -> Walked:
    """One walk with the readings, each off by the probe's error, in the place of the model's legs."""
    first = laid[0][0]
    legs = [leg for leg in model.legs if leg.step < first]
    now = float(legs[-1].times_s[-1]) if legs else 0.0
    for index, begins, ends in laid:
        part = read.cut(begins, ends)
        legs.append(_leg(model.of_step(index), case, index, part, now, off, rulebase))
        now = float(legs[-1].times_s[-1])
    after = laid[-1][0] + 1
    return Walked((*legs, *go_on(case, rulebase, legs[-1], after, now, for_kill=for_kill)))


def _leg(
    of_model: Leg | None, case: Case, index: int, part: Readings, now: float, off: float, rulebase: Rulebase
) -> Leg:
    cells = _as_cells(part.temps_c + off)
    coldest = np.min(cells, axis=1)
    medium_c, _ = surroundings(case.steps[index], rulebase)
    times = now + part.times_s - part.times_s[0]
    outside = coldest
    if of_model is not None and of_model.minutes > 0 and part.times_s[-1] > part.times_s[0]:
        # A probe in the middle says nothing of the outside: there the model stays.
        share = (part.times_s - part.times_s[0]) / (part.times_s[-1] - part.times_s[0])
        own = (of_model.times_s - of_model.times_s[0]) / (of_model.times_s[-1] - of_model.times_s[0])
        outside = np.interp(share, own, of_model.surface_c)
    elif of_model is not None:
        outside = np.full_like(coldest, float(np.max(of_model.surface_c)))
    until = case.steps[index].given.get("until_core")
    asked = until.number if until is not None and isinstance(until.value, float) else None
    reached = asked is None or bool(np.max(coldest) >= asked if medium_c > asked else np.min(coldest) <= asked)
    return Leg(index, times, medium_c, cells, coldest, outside, coldest, reached)


def _as_cells(temps: FloatArray) -> FloatArray:
    """Spread the channels over as many columns as a walked piece has, so that each place looked at is a channel.

    Of more channels than places the coldest and the hottest of each moment count, and the first two.
    """
    if temps.shape[1] > INNER_PLACES:
        temps = np.column_stack([np.min(temps, axis=1), np.max(temps, axis=1), temps[:, 0], temps[:, 1]])
    columns = np.zeros(CELLS, dtype=np.intp)
    for channel, place in enumerate(inner_columns(CELLS)[: temps.shape[1]]):
        columns[place:] = channel
    return temps[:, columns]


def _over_heat(case: Case, read: Readings, rulebase: Rulebase) -> float:
    """How far the record, less the probe's own error, reads above the hottest thing in the plan [K]."""
    hottest = max((surroundings(step, rulebase)[0] for step in case.steps), default=BOILING_C)
    places = [rulebase.media[step.word("place", "counter")] for step in case.steps]
    caps = any(step.action in SEARS for step in case.steps) or any(place.surface_cap_c for place in places)
    # The cap of an oven is that of a wet face; a dry face, and the middle in the end, may come to the boil.
    top = BOILING_C if caps else min(hottest, BOILING_C)
    return max(0.0, float(np.max(read.temps_c)) - rulebase.parameter("probe_reading_c") - top)


def log_facts(case: Case, modelled: Walked, rulebase: Rulebase) -> dict[str, Ranged]:
    """What the record is worth: rows, what was lost, gaps while the meat was neither cold nor hot, impossible heat.

    ``modelled`` is the plan as the model walks it, without the record.
    """
    log = case.log
    if log is None:
        return {}
    cold, hot = rulebase.limit("cold_hold_max"), rulebase.limit("hot_hold_min")
    read = readings(log)
    laid = _laid(case, read, _begins_at(case), rulebase)
    as_read, other = off_the_plan(modelled, laid, read.times_s, np.mean(read.temps_c, axis=1), log.unit)
    lowest = np.min(read.temps_c, axis=1)
    longest, bad = 0.0, False
    for gap in gaps(log, rulebase):
        ends = read.cut(gap.begins_s, gap.ends_s).temps_c[[0, -1]]
        off = rulebase.parameter("probe_reading_c")
        if not (np.all(ends + off <= cold) or np.all(ends - off >= hot)):
            bad, longest = True, max(longest, gap.ends_s - gap.begins_s)
    return {
        "log_rows": Ranged(float(log.rows)),
        "log_lost": Ranged(float(len(log.lost))),
        "log_gap": Ranged("yes" if bad else "no"),
        "log_gap_minutes": Ranged(longest / MINUTE),
        "log_again": Ranged("yes" if hot_again(log, rulebase) else "no"),
        "log_over_heat": Ranged(_over_heat(case, read, rulebase)),
        "log_under_cold": Ranged(under_the_coldest(case, laid, read.times_s, lowest, first_cook(case), rulebase)),
        "log_off": Ranged(as_read),
        "log_off_other": Ranged(other),
        "log_other_unit_nearer": Ranged(max(0.0, as_read - other)),
        "log_minutes": Ranged(float(read.times_s[-1]) / MINUTE),
    }
