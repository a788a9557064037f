"""How the chilling of cooked meat stands against the cooling that the chosen food code prints."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from advisor.course.afterwards import chills, hottest, last_at_or_above
from advisor.course.ranges import Ranged
from advisor.course.walk import MINUTE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.course.afterwards import FloatArray
    from advisor.course.walk import Walked
    from advisor.knowledge.codes import Cooling
    from advisor.knowledge.rulebase import Rulebase


@dataclass(frozen=True, slots=True)
class Cooled:
    """One chilling against one printed cooling.

    ``share`` is the time taken as part of the time allowed, in the stage where it is most; ``from_c``, ``to_c``
    [°C], ``took`` and ``allowed`` [min] are of that stage. ``wait`` is the time from the heat to the chilling [min].
    """

    cooling: Cooling
    share: float
    from_c: float
    to_c: float
    took: float
    allowed: float
    wait: float
    reached: bool

    @property
    def wait_share(self) -> float:
        """Time until chilling begins as part of what is allowed; 0 where nothing is asked."""
        return self.wait / self.cooling.begin_min if self.cooling.begin_min else 0.0

    @property
    def badness(self) -> tuple[bool, float]:
        """Sort key: what does not get cold is worse than what takes long."""
        return not self.reached, max(self.share, self.wait_share)


def code_cooling_facts(
    walks: Sequence[Walked], roles: tuple[str, ...], rulebase: Rulebase, *, served: bool = False
) -> dict[str, Ranged]:
    """Facts of the chilling that the chosen code's own cooling does worst, at the worst of the walks.

    Where the code prints several coolings, one met is enough, so the one that is met best counts; where the
    strictest of all codes was chosen, the code that is met worst. Empty where no code prints one that is judged by
    its stages, or nothing is chilled to keep.
    """
    asked = rulebase.asked_coolings()
    found = [
        min((_against(walked, first, last, roles, cooling) for cooling in printed), key=lambda one: one.badness)
        for walked in walks
        for first, last in (chills(walked, roles, rulebase, served=served) if asked else ())
        for printed in asked
    ]
    if not found:
        return {}
    worst = max(found, key=lambda one: one.badness)
    waited = max(found, key=lambda one: one.wait_share)
    shares, waits = [one.share for one in found], [one.wait_share for one in found]
    return {
        "code_cool_name": Ranged(worst.cooling.called),
        "code_cool_share": Ranged(worst.share, min(shares), max(shares)),
        "code_cool_reached": Ranged("yes" if worst.reached else "no"),
        "code_cool_from": Ranged(worst.from_c),
        "code_cool_to": Ranged(worst.to_c),
        "code_cool_end": Ranged(worst.cooling.stages[-1].to_c),
        "code_cool_took": Ranged(worst.took),
        "code_cool_allowed": Ranged(worst.allowed),
        "code_wait_share": Ranged(waited.wait_share, min(waits), max(waits)),
        "code_wait": Ranged(waited.wait),
        "code_wait_max": Ranged(waited.cooling.begin_min),
    }


def _against(walked: Walked, first: int, last: int, roles: tuple[str, ...], cooling: Cooling) -> Cooled:
    times, temps = hottest(walked, first, last)
    chilling = next(step for step in range(first, last + 1) if roles[step] == "cool")
    wait = sum(leg.minutes for leg in walked.between(first, chilling - 1))
    parts: list[tuple[float, float, float, float, float]] = []
    reached, start = True, 0.0
    for number, stage in enumerate(cooling.stages):
        begin = last_at_or_above(times, temps, stage.from_c)
        if number == 0 and cooling.from_begin:
            begin = float(times[0]) + min(wait, cooling.begin_min) * MINUTE
        start = begin if number == 0 else start
        took, there = _down_to(times, temps, begin, stage.to_c)
        reached = reached and there
        parts.append((took / MINUTE / stage.minutes, stage.from_c, stage.to_c, took / MINUTE, stage.minutes))
    if cooling.total_min:
        ends = cooling.stages[-1].to_c
        took, _ = _down_to(times, temps, start, ends)
        whole = took / MINUTE
        parts.append((whole / cooling.total_min, cooling.stages[0].from_c, ends, whole, cooling.total_min))
    share, from_c, to_c, taken, allowed = max(parts)
    return Cooled(cooling, share, from_c, to_c, taken, allowed, wait, reached)


def _down_to(times: FloatArray, temps: FloatArray, begin: float, level: float) -> tuple[float, bool]:
    """Time from ``begin`` until a fall first comes down to a level [s], and whether it does.

    A fridge that is then a degree warmer is a question of storing, not of chilling.
    """
    there = np.flatnonzero((temps <= level) & (times >= begin))
    if not there.size:
        return float(times[-1]) - begin, False
    first = int(there[0])
    if first == 0 or times[first - 1] < begin or temps[first - 1] <= level:
        return max(0.0, float(times[first]) - begin), True
    span = temps[first - 1] - temps[first]
    share = (temps[first - 1] - level) / span
    return float(times[first - 1] + share * (times[first] - times[first - 1])) - begin, True
