"""Clock times of a plan, counted back from service, and the checks on the way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import TYPE_CHECKING

from advisor.case.work_times import PRESSURE_DROP, PULLS, STUFFS, usual_minutes
from advisor.course.afterwards import chills, served_last
from advisor.course.roles import SEARS
from advisor.course.stretches import stretches
from advisor.course.waiting import lengths, minutes_between

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.case.facts import Fact
    from advisor.course.walk import Leg
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units.write import Rounding

# A row of a table is the least; the kill model may ask more, and the planned time counts it all.
KEEP_ON = "leave it in the heat and read again; never cut the planned time short"
# What was cooked under pressure is read once the lid is off.
COOK_ON = "lock the lid, bring it up to pressure again and cook on; then read again"
# Which facts of the tables speak for a class of food.
TABLE_OF = {"bird": "bird", "whole_meat": "whole", "organ_meat": "liver"}
# Steps at which the cook's hands are busy for the whole of their length.
BUSY = frozenset(
    {"score", "needle", "pound", "inject", "salt", "wipe", STUFFS, "bag", "dry", "pan", "grill", "slice", "serve"}
)


@dataclass(frozen=True, slots=True)
class Slot:
    """When a step begins and ends.

    ``start`` and ``end`` are minutes from the start of the plan; ``begins`` and ``ends`` clock times when the
    service time is known. ``busy`` is the hands-on time within it [min].
    """

    step: int
    start: float
    end: float
    begins: datetime | None
    ends: datetime | None
    busy: float


@dataclass(frozen=True, slots=True)
class Check:
    """A reading to take: when [min from the start of the step], what it must show, what to do if it does not."""

    step: int
    after_min: float
    limit: str
    otherwise: str


def schedule(report: Report, rulebase: Rulebase) -> tuple[Slot, ...]:
    """Lay the steps end to end, the last one ending at service.

    The slow course gives the length of a step that waits for a core temperature, so that the food is not late.
    """
    steps = report.computed.case.steps
    long = lengths(report.computed.case, report.computed.course)
    serve = report.computed.case.serve
    # A final step of no length is the service itself.
    total = sum(long)
    slots: list[Slot] = []
    now = 0.0
    for index, length in enumerate(long):
        begins = serve - timedelta(minutes=total - now) if serve is not None else None
        ends = serve - timedelta(minutes=total - now - length) if serve is not None else None
        slots.append(Slot(index, now, now + length, begins, ends, _busy(steps[index].action, length, rulebase)))
        now += length
    return tuple(slots)


def _busy(action: str, length: float, rulebase: Rulebase) -> float:
    """Hands-on minutes of a step: all of a sear and of pulling; of other work what is usual, the rest is waiting."""
    if action in ("pan", "grill", PULLS):
        return length
    return min(length, usual_minutes(action, rulebase)) if action in BUSY else 0.0


def late_by(slots: tuple[Slot, ...], now: datetime) -> timedelta | None:
    """How much too late it is to begin, or None when there is time or no service was named."""
    left = time_left(slots, now)
    return -left if left is not None and left < timedelta() else None


def time_left(slots: tuple[Slot, ...], now: datetime) -> timedelta | None:
    """Time from now until the first step begins, below nought when that is past; None when no service was named."""
    if not slots or slots[0].begins is None:
        return None
    return timedelta(minutes=minutes_between(now, slots[0].begins))


def checks(report: Report, rulebase: Rulebase) -> tuple[Check, ...]:
    """Readings to take on the way: after the heat that kills, before holding hot, and both cooling marks."""
    return (*_cooked(report, rulebase), *_reheated(report, rulebase), *_cooled(report, rulebase))


def _shown(value: float, report: Report, rounding: Rounding) -> str:
    from advisor.units import write_quantity

    return write_quantity(value, "temperature", report.case.system, rounding=rounding)


def _cooked(report: Report, rulebase: Rulebase) -> list[Check]:
    """The reading after the heat that the tables are met by; a later heat need not show it again."""
    from advisor.units import write_span

    facts = report.computed.facts.course
    cook_class = report.inference.facts.piece["cook_class"].value
    prefix = TABLE_OF.get(str(cook_class), "broken")
    row, needs, share = (_number(facts.get(f"{prefix}_{name}")) for name in ("row", "needs", "share"))
    steps = report.computed.case.steps
    main = [i for i, role in enumerate(report.computed.roles) if role == "cook"]
    if not main:
        return []
    if share < 1:
        if cook_class not in ("whole_meat", "doubtful_meat"):
            return []
        least = rulebase.limit("surface_cook")
        ends = {i: min(leg.medium_c, leg.surface_c[-1]) for i in main if (leg := _leg(report, i))}
        # The last sear, or else the last heat that leaves the outside as hot as is asked.
        fit = [i for i in main if steps[i].action in SEARS] or [i for i in main if ends.get(i, least) >= least] or main
        mend = "sear it again" if steps[fit[-1]].action in SEARS else KEEP_ON
        limit = f"every face has changed colour and reads {_shown(least, report, 'up')} or more"
        return [Check(fit[-1], 0.0, limit, mend)]
    hold = f" for {write_span(needs)}" if needs > 0 else ""
    at = _killing_step(report, main, row, rulebase)
    asked = f"{_shown(row, report, 'up')} or more{hold}"
    where = "the middle at"
    if _thickness_mm(report, at) < rulebase.limit("plan_probe_thinnest"):
        where = "a thin probe pushed through some pieces held together reads"
    opened = _opened(at, report)
    mend = COOK_ON if opened != at else KEEP_ON
    stuffing = _stuffing(report, rulebase)
    return [Check(opened, 0.0, f"{there} {hot}", mend) for there, hot in ((where, asked), *stuffing)]


def _opened(at: int, report: Report) -> int:
    """The step at whose end a probe gets to the meat: under pressure, when the pressure has dropped."""
    steps = report.computed.case.steps
    return at + 1 if at + 1 < len(steps) and steps[at + 1].action == PRESSURE_DROP else at


def _stuffing(report: Report, rulebase: Rulebase) -> list[tuple[str, str]]:
    """The reading in the stuffing, which lies where the heat comes last: no table of the meat speaks for it."""
    if report.computed.case.word("piece", "stuffing") != "inside":
        return []
    return [("the middle of the stuffing at", f"{_shown(rulebase.limit('stuffed_min'), report, 'up')} or more")]


def _thickness_mm(report: Report, step: int) -> float:
    """Thickness of the meat in a step that heats it [mm], halfway between the ends of the course."""
    course = report.computed.course
    legs = [] if course is None else [end.of_step(step) for end in (course.slow, course.fast)]
    halves = [leg.half_thickness_m for leg in legs if leg is not None]
    return 2e3 * sum(halves) / len(halves) if halves else inf


def _killing_step(report: Report, main: list[int], row_c: float, rulebase: Rulebase) -> int:
    """The step at whose end the middle stands as hot as the row asks: the last of the heat that kills."""
    computed = report.computed
    found = stretches(computed.case, computed.course, rulebase)
    steps = computed.case.steps
    gentle = [i for i in main if steps[i].action not in SEARS] or main
    for phase in (found.target, *found.all):
        there = [] if phase is None else [i for i in gentle if phase.first <= i <= phase.heat_ends]
        # Heat below the row cannot bring the middle back to it, though it may still be that hot from before.
        hot = [i for i in there if (leg := _leg(report, i)) and min(leg.medium_c, leg.centre_c[-1]) >= row_c]
        if hot:
            return hot[-1]
    return gentle[-1]


def _reheated(report: Report, rulebase: Rulebase) -> list[Check]:
    """The reading that ends a reheat for holding hot; what goes straight to the plate need not be so hot."""
    if report.computed.facts.course.get("reheated_to") is None:
        return []
    roles = report.computed.roles
    asked = _shown(rulebase.limit("reheat_min"), report, "up")
    found: list[Check] = []
    chilled, heat = False, None
    for index, role in enumerate(roles):
        if role == "cook":
            heat = index
        elif role in ("cool", "raw_hold", "cooked_hold"):
            chilled, heat = True, None
        elif role == "hot_hold":
            if chilled and heat is not None:
                found.append(Check(heat, 0.0, f"the middle at {asked} or more", KEEP_ON))
            chilled = False
    return found


def _cooled(report: Report, rulebase: Rulebase) -> list[Check]:
    """Both cooling marks, where it is chilled to keep."""
    computed = report.computed
    if computed.course is None:
        return []
    kept = chills(computed.course.slow, computed.roles, rulebase, served=served_last(computed.case))
    if not kept:
        return []
    first, last = kept[0]
    cool = next(i for i in range(first, last + 1) if computed.roles[i] == "cool")
    otherwise = "reheat it fully at once or throw it out; do not put it away"
    return [
        Check(
            cool,
            rulebase.limit(most),
            f"the middle at {_shown(rulebase.limit(limit), report, 'down')} or less",
            otherwise,
        )
        for limit, most in (("cool_first_to", "cool_first_max"), ("cold_hold_max", "cool_all_max"))
    ]


def _leg(report: Report, step: int) -> Leg | None:
    course = report.computed.course
    return course.slow.of_step(step) if course is not None else None


def _number(fact: Fact | None) -> float:
    return fact.value if fact is not None and isinstance(fact.value, float) else 0.0
