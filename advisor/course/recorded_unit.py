"""Whether a record can be of this plan in the unit in which it was read.

Between °C and °F every reading from freezing to the boil moves by 18 K or more. So a record read in the wrong unit lies
far from the plan's own course, and nearer to it once it is read in the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.case.probe import FAHRENHEIT, to_celsius, to_fahrenheit
from advisor.course.surroundings import surroundings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.model import Case
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
# So many moments of the record are held against the plan.
MOMENTS = 400


def off_the_plan(
    modelled: Walked, laid: Sequence[tuple[int, float, float]], times_s: FloatArray, temps_c: FloatArray, unit: str
) -> tuple[float, float]:
    """How far the record lies from the plan's own course, on the mean: as read, and in the other unit [K].

    Parameters
    ----------
    modelled : Walked
        The plan as the model walks it, at its typical end.
    laid : sequence of tuple
        Step, and begin and end of its share of the record [s].
    times_s, temps_c : ndarray
        The record: moments [s], and the mean of its channels [°C].
    unit : str
        In which it was read.
    """
    begins, ends = laid[0][1], laid[-1][2]
    moments = np.linspace(begins, ends, MOMENTS)
    expected = np.full(MOMENTS, np.nan)
    for index, first, last in laid:
        leg = modelled.of_step(index)
        inside = (moments >= first) & (moments <= last)
        if leg is None or last <= first or not np.any(inside):
            continue
        # A step may have taken longer than planned: its course is stretched with it.
        span = float(leg.times_s[-1] - leg.times_s[0])
        at = leg.times_s[0] + (moments[inside] - first) / (last - first) * span
        expected[inside] = np.interp(at, leg.times_s, leg.centre_c)
    known = ~np.isnan(expected)
    if not np.any(known):
        return 0.0, 0.0
    read = np.interp(moments[known], times_s, temps_c)
    other = to_fahrenheit(read) if unit == FAHRENHEIT else to_celsius(read)
    return float(np.mean(np.abs(read - expected[known]))), float(np.mean(np.abs(other - expected[known])))


def under_the_coldest(
    case: Case,
    laid: Sequence[tuple[int, float, float]],
    times_s: FloatArray,
    temps_c: FloatArray,
    raw_until: int | None,
    rulebase: Rulebase,
) -> float:
    """How far the record, less the probe's own error, reads below the coldest thing in the plan [K].

    Meat that waits raw has met what comes before in the plan and its own step; of later steps the times are the plan's
    and not the record's, so there the coldest of the whole plan counts.
    """
    around = [surroundings(step, rulebase)[0] for step in case.steps]
    start = case.number("piece", "start_temperature")
    worst = 0.0
    for index, first, last in laid:
        raw = raw_until is None or index < raw_until
        coldest = min(start, *(around[: index + 1] if raw else around))
        inside = (times_s >= first) & (times_s <= last)
        if last > first and np.any(inside):
            worst = max(worst, coldest - rulebase.parameter("probe_reading_c") - float(np.min(temps_c[inside])))
    return worst
