"""After the cook: cooling stages, and the clocks of warm and cold holding."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.roles import Lies
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
FREEZER = "freezer"


def cooling_facts(walked: Walked, roles: tuple[str, ...], rulebase: Rulebase) -> dict[str, Value]:
    """Both cooling stages at the hottest depth [min].

    The clock starts when that depth last leaves the upper end, or when the heat ends if it never was that
    hot. A stage that is not over when the chill ends counts as not reached, with the time it has taken so far.
    """
    first = next((index for index, role in enumerate(roles) if role == "cool"), None)
    if first is None:
        return {"cools": "no"}
    before = next((index for index in range(first, -1, -1) if roles[index] == "cook"), 0)
    end = next((index - 1 for index in range(first, len(roles)) if roles[index] == "cook"), len(roles) - 1)
    if end <= before:
        return {"cools": "no"}
    times = walked.times(first=before + 1, last=end)
    # The hottest depth decides: after a short sear the middle is the coldest place, not the slowest.
    core = np.concatenate([np.max(leg.cells, axis=1) for leg in walked.between(before + 1, end)])
    begin = _last_at_or_above(times, core, rulebase.limit("cool_from"))
    one, one_reached = _until_below(times, core, begin, rulebase.limit("cool_first_to"))
    both, both_reached = _until_below(times, core, begin, rulebase.limit("cold_hold_max"))
    return {
        "cools": "yes",
        "cool_stage_one": one / MINUTE,
        "cool_all": both / MINUTE,
        "cool_reached_first": "yes" if one_reached else "no",
        "cool_reached_cold": "yes" if both_reached else "no",
    }


def _last_at_or_above(times: FloatArray, temps: FloatArray, level: float) -> float:
    hot = np.flatnonzero(temps >= level)
    return float(times[hot[-1]]) if hot.size else float(times[0])


def _until_below(times: FloatArray, temps: FloatArray, begin: float, level: float) -> tuple[float, bool]:
    # The middle may still rise a little as it evens out; what counts is when it is below for good.
    above = np.flatnonzero(temps > level)
    if not above.size or times[above[-1]] < begin:
        return 0.0, True
    last = int(above[-1])
    if last + 1 >= len(times):
        return float(times[-1]) - begin, False
    span = temps[last] - temps[last + 1]
    share = (temps[last] - level) / span if span > 0 else 1.0
    return float(times[last] + share * (times[last + 1] - times[last])) - begin, True


def time_facts(
    case: Case, walked: Walked, roles: tuple[str, ...], laid: tuple[Lies, ...], rulebase: Rulebase
) -> dict[str, Value]:
    """Add up the clocks: warm and cold, raw and cooked, sealed and not [min]."""
    cold, hot = rulebase.limit("cold_hold_max"), rulebase.limit("hot_hold_min")
    sums = dict.fromkeys(
        (
            "warm_raw_minutes",
            "raw_cold_minutes",
            "warm_cooked_minutes",
            "cold_days",
            "sealed_cold",
            "sealed_aromatic_cold",
            "acid_minutes",
        ),
        0.0,
    )
    sums["warm_raw_minutes"] += case.number("piece", "out_minutes")
    raw = True
    for leg in walked.legs:
        role, minutes = roles[leg.step], leg.minutes
        if case.steps[leg.step].word("place") == FREEZER:
            # Frozen, nothing grows; the clock stands still. Whether it is thawed again is a rule of its own.
            continue
        raw = raw and role in ("raw_hold", "work")
        if role == "raw_hold" or (role == "work" and raw):
            sums["warm_raw_minutes" if leg.medium_c > cold else "raw_cold_minutes"] += minutes
        elif role in ("cooked_hold", "hot_hold", "work", "cool"):
            if cold < leg.medium_c < hot:
                sums["warm_cooked_minutes"] += minutes
            elif leg.medium_c <= cold:
                sums["cold_days"] += minutes
        if laid[leg.step].sealed and leg.medium_c <= cold:
            sums["sealed_cold"] += minutes
            sums["sealed_aromatic_cold"] += minutes if laid[leg.step].aromatic else 0.0
        if laid[leg.step].acid and role in ("raw_hold", "work"):
            sums["acid_minutes"] += minutes
    return dict(sums)
