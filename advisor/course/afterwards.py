"""After the cook: cooling stages, and the clocks of warm and cold holding."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.case.complete import GRAMS, cut_of
from advisor.course.ends import counts_as_hollow
from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.course.roles import Lies
    from advisor.course.stretches import Stretches
    from advisor.course.walk import Walked
    from advisor.knowledge.rulebase import Rulebase

FloatArray = npt.NDArray[np.float64]
FREEZER = "freezer"


def served_last(case: Case) -> bool:
    """Whether the plan ends on the plate, so that nothing is kept after its last step."""
    return bool(case.steps) and case.steps[-1].action == "serve"


def cooling_facts(
    walked: Walked, roles: tuple[str, ...], rulebase: Rulebase, *, served: bool = False
) -> dict[str, Value]:
    """Both cooling stages at the hottest depth [min].

    The clock starts when that depth last leaves the upper end, or when the heat ends if it never was that
    hot. A stage that is not over when the chill ends counts as not reached, with the time it has taken so far, and
    with the temperature [°C] at which that depth ends.
    """
    found = [_cooled(walked, first, last, rulebase) for first, last in chills(walked, roles, rulebase, served=served)]
    if not found:
        return {"cools": "no"}
    return {
        "cools": "yes",
        "cool_stage_one": max(one.one for one in found) / MINUTE,
        "cool_all": max(one.both for one in found) / MINUTE,
        "cool_reached_first": "yes" if all(one.one_reached for one in found) else "no",
        "cool_reached_cold": "yes" if all(one.both_reached for one in found) else "no",
        "cool_end": max(one.end_c for one in found),
    }


def chills(
    walked: Walked, roles: tuple[str, ...], rulebase: Rulebase, *, served: bool = False
) -> list[tuple[int, int]]:
    """Every stretch without heat, after some heat, in which the meat is chilled: first and last step.

    A short dip before more heat, within the time of the first stage, is no chilling to keep; nor is one before the
    plate, where the plan ends there (``served``) within the time that cooked food may stand warm. What is done with it
    after the last cold stay, as drying it before the sear, warms its outside and is no part of the cooling.
    """
    cold = rulebase.limit("cold_hold_max")
    ends = [-1, *(i for i, role in enumerate(roles) if role in ("cook", "hot_hold")), len(roles)]
    found: list[tuple[int, int]] = []
    for before, after in pairwise(ends):
        if before < 0 or "cool" not in roles[before + 1 : after]:
            continue
        minutes = sum(leg.minutes for leg in walked.between(before + 1, after - 1))
        if after < len(roles) and roles[after] == "cook" and minutes <= rulebase.limit("cool_first_max"):
            continue
        if served and after == len(roles) and minutes <= rulebase.limit("cooked_out_max"):
            continue
        stays = [leg for leg in walked.between(before + 1, after - 1) if leg.medium_c <= cold]
        last = max((leg.step for leg in stays), default=after - 1)
        found.append((before + 1, max(last, _last_cool(roles, before, after))))
    return found


def _last_cool(roles: tuple[str, ...], before: int, after: int) -> int:
    return max(index for index in range(before + 1, after) if roles[index] == "cool")


class _Cooled(NamedTuple):
    """Both stages of one chill [s], whether each came to its end, and the temperature at which the chill ends [°C]."""

    one: float
    both: float
    one_reached: bool
    both_reached: bool
    end_c: float


def _cooled(walked: Walked, first: int, last: int, rulebase: Rulebase) -> _Cooled:
    times, core = hottest(walked, first, last)
    begin = last_at_or_above(times, core, rulebase.limit("cool_from"))
    one, one_reached = until_below(times, core, begin, rulebase.limit("cool_first_to"))
    both, both_reached = until_below(times, core, begin, rulebase.limit("cold_hold_max"))
    return _Cooled(one, both, one_reached, both_reached, float(core[-1]))


def hottest(walked: Walked, first: int, last: int) -> tuple[FloatArray, FloatArray]:
    """Moments [s] of the steps ``first`` to ``last``, and the temperature of the hottest depth [°C].

    The hottest depth decides a cooling: after a short sear the middle is the coldest place, not the slowest.
    """
    cells = [np.max(leg.cells, axis=1) for leg in walked.between(first, last)]
    return walked.times(first=first, last=last), np.concatenate(cells)


def last_at_or_above(times: FloatArray, temps: FloatArray, level: float) -> float:
    """Moment at which a fall last leaves a level; its beginning, when it never was that hot [s]."""
    hot = np.flatnonzero(temps >= level)
    return float(times[hot[-1]]) if hot.size else float(times[0])


def until_below(times: FloatArray, temps: FloatArray, begin: float, level: float) -> tuple[float, bool]:
    """Time from ``begin`` until a fall is at a level for good [s], and whether it ever is."""
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
    case: Case, walked: Walked, found: Stretches, roles: tuple[str, ...], laid: tuple[Lies, ...], rulebase: Rulebase
) -> dict[str, Value]:
    """Add up the clocks: warm and cold, raw and cooked, sealed and not [min]."""
    cold, hot = rulebase.limit("cold_hold_max"), rulebase.limit("hot_hold_min")
    # From here up no curve of the book grows: a roast held as hot as the roast table allows is not lukewarm.
    holds = rulebase.limit("roast_hot_hold_min")
    target = found.target
    raw_until = target.first if target is not None else len(roles)
    lethal = found.lethal is not None or target is None
    sums = dict.fromkeys(
        (
            "warm_raw_minutes",
            "raw_cold_minutes",
            "warm_cooked_minutes",
            "lukewarm_cooked_minutes",
            "cold_days",
            "sealed_cold",
            "sealed_aromatic_cold",
            "acid_minutes",
            "mild_acid_minutes",
        ),
        0.0,
    )
    sums["warm_raw_minutes"] += case.number("piece", "out_minutes")
    sums["raw_cold_minutes"] += case.number("piece", "fridge_time")
    low = rulebase.meat["freezing_point_c"].low
    freezes = rulebase.parameter("freezing_point_c") if low is None else low
    thawing = 0.0
    for leg in walked.legs:
        role, minutes = roles[leg.step], leg.minutes
        if case.steps[leg.step].word("place") == FREEZER and leg.medium_c < freezes:
            # Frozen, nothing grows; the clock stands still. Whether it is thawed again is a rule of its own. Meat in a
            # freezer that is hardly below nought is only kept cold.
            continue
        warm, chilled = cold < leg.medium_c < hot, leg.medium_c <= cold
        raw = leg.step < raw_until
        if role != "cook" and raw:
            sums["warm_raw_minutes" if leg.medium_c > cold else "raw_cold_minutes"] += minutes
            if chilled and case.steps[leg.step].action == "thaw":
                thawing += minutes
        elif role != "cook":
            sums["warm_cooked_minutes"] += minutes if warm else 0.0
            sums["lukewarm_cooked_minutes"] += minutes if cold < leg.medium_c < holds else 0.0
            sums["cold_days"] += minutes if chilled else 0.0
            if not lethal:
                # Never cooked through: the clocks of raw meat run on.
                sums["warm_raw_minutes"] += minutes if warm else 0.0
                sums["raw_cold_minutes"] += minutes if chilled else 0.0
        if laid[leg.step].sealed and leg.medium_c <= cold:
            sums["sealed_cold"] += minutes
            sums["sealed_aromatic_cold"] += minutes if laid[leg.step].aromatic else 0.0
        if laid[leg.step].acid and raw:
            sums["acid_minutes" if laid[leg.step].sharp else "mild_acid_minutes"] += minutes
    if case.word("piece", "start_state") == "frozen":
        sums["raw_cold_minutes"] -= min(thawing, _thaw_days(case, rulebase))
    return dict(sums)


def _thaw_days(case: Case, rulebase: Rulebase) -> float:
    """Part of a thaw in the fridge that does not count: the days of raw meat are told from when it has thawed [min].

    How long it takes is not left to a model, lest a thicker piece be given more of them: it is a day. A bird that is
    reckoned as hollow has the official time for its weight, as far as one such bird is ever so heavy; of other meat the
    weight may be that of many pieces.
    """
    if not counts_as_hollow(case, rulebase):
        return rulebase.limit("thaw_day")
    grams = min(case.number("piece", "weight"), float(max(cut_of(case, rulebase).weight_g)))
    return max(rulebase.limit("thaw_day"), grams / GRAMS * rulebase.limit("thaw_day_kg"))
