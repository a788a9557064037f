"""Facts of the heat: official tables, kill, peaks, and how long the meat takes to come up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from advisor.case.complete import is_whole_bird
from advisor.course import germs, official
from advisor.course.carried import more_kill
from advisor.course.ranges import Ranged, middle_of, worst_of
from advisor.course.roles import COOKS, SEARS
from advisor.course.stretches import BIRDS, OTHER_BIRDS, THROUGH, WILD, Stretches, bird_rows, strictest
from advisor.course.walk import MINUTE, Course, Leg, Phase, Walked, by_sides
from advisor.science.stays import time_between

if TYPE_CHECKING:
    from advisor.case.facts import Value
    from advisor.case.model import Case
    from advisor.knowledge.codes import Code, FoodClass
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.stays import DwellRow

FloatArray = npt.NDArray[np.float64]
FACES = 2.0
# Tables that answer for a class of food: any row of any of them.
CLASS_TABLES = {
    "broken": ("non_intact_chart", "meat_6_5_log"),
    "whole": ("intact_chart", "roast_table"),
    "liver": ("livers_through",),
}
OURS = frozenset({name for tables in CLASS_TABLES.values() for name in tables} | {*OTHER_BIRDS, *THROUGH})
CHART_ALONE = {
    "chart_share": "non_intact_chart",
    "whole_chart_share": "intact_chart",
    "bird_chart_share": "poultry_165",
}
KILL_FACTS = {"salmonella": "salmonella_kill_log", "e_coli_o157": "e_coli_kill_log", "listeria": "listeria_kill_log"}


def table_facts(case: Case, course: Course, heated: tuple[Phase, ...], rulebase: Rulebase) -> dict[str, Value]:
    """How the middle stands against each official table: share, nearest row, what it asks, what it had.

    A table that only the chosen food code has comes on top of ours; the one that is met less decides. Where all its
    tables are ours, a rule of its own asks for them alone. ``whole_code_`` is that code's table for whole meat alone,
    where it has one: it may ask for the middle of a steak, which else is judged by its outside.
    """
    animal = case.word("piece", "animal")
    tables = {name: official.rows(of, rulebase) for name, of in CLASS_TABLES.items()}
    tables["bird"] = bird_rows(animal, rulebase)
    tables["wild"] = official.rows(THROUGH, rulebase)
    facts: dict[str, Value] = {}
    for name, table in tables.items():
        law = [
            (official.standing(course.cold_start, heated, rows), code.name)
            for code, rows in _law_rows(name, case, rulebase)
        ]
        stands = [official.standing(course.cold_start, heated, table), *(stand for stand, _ in law)]
        facts |= _told(name, min(stands, key=lambda one: one.share))
        if name == "whole" and law:
            worst, code_name = min(law, key=lambda one: one[0].share)
            facts |= {**_told("whole_code", worst), "whole_code_name": code_name}
    for name, alone in CHART_ALONE.items():
        facts[name] = official.standing(course.cold_start, heated, official.rows((alone,), rulebase)).share
    return facts


def _told(name: str, stand: official.Standing) -> dict[str, Value]:
    return {
        f"{name}_share": stand.share,
        f"{name}_row": stand.row_c,
        f"{name}_needs": stand.needs_min,
        f"{name}_held": stand.held_min,
    }


def _law_rows(name: str, case: Case, rulebase: Rulebase) -> list[tuple[Code, tuple[DwellRow, ...]]]:
    """Tables of the chosen code that are held beside ours: each must be met, by any row of it."""
    # No code sets organs apart; what it asks of whole meat is the least that they must meet.
    food: dict[str, FoodClass] = {"broken": "broken", "whole": "whole", "bird": "bird", "wild": "wild"}
    food["liver"] = "whole"
    classes = ["minced" if name == "broken" and case.word("piece", "form") == "minced" else food[name]]
    if case.word("piece", "animal") == "pork" and name in ("broken", "whole", "liver"):
        classes.append("pork")
    if name == "bird" and is_whole_bird(case, rulebase):
        classes.append("whole_bird")
    found = [asked for one in classes for asked in rulebase.asked_tables(one)]
    return [(code, official.rows(law, rulebase)) for code, law in found if not set(law) <= OURS]


def kill_facts(case: Case, course: Course, found: Stretches, rulebase: Rulebase) -> dict[str, Value]:
    """Kill at the middle: of each germ [log10], and of the one that lags most as a share of what is asked.

    What is asked is its target and, in pierced meat, what was carried in above that.
    """
    more = more_kill(case, course.ends, found, rulebase)
    walks = (*course.cold_start, *course.cold_probe)
    kills = germs.kills(walks, found.all, case.word("piece", "animal"), rulebase, more)
    facts: dict[str, Value] = {KILL_FACTS[name]: kill.log for name, kill in kills.items() if name in KILL_FACTS}
    slowest = min(kills.values(), key=lambda kill: kill.share, default=germs.NO_KILL)
    carried = {"carried_log": max(more.values())} if more else {}
    return {**facts, **carried, "kill_share": slowest.share, "kill_germ": slowest.germ}


def again_facts(
    animal: str, course: Course, heated: tuple[Phase, ...], roles: tuple[str, ...], rulebase: Rulebase
) -> dict[str, Ranged]:
    """Cooking in two goes, and reheating for holding hot."""
    facts = {"part_cooked": Ranged("no")}
    if len(heated) > 1:
        rows = official.rows((*CLASS_TABLES["broken"], *CLASS_TABLES["whole"]), rulebase)
        if animal in BIRDS or animal in WILD or not animal:
            # Times for red meat do not cook a bird or game through.
            rows = strictest(animal, rulebase)
        first = official.standing(course.cold_start, heated[:1], rows)
        facts["part_cooked"] = Ranged("no" if first.share >= 1 else "yes")
        facts |= worst_of([{"first_heat": _minutes(walked, heated[0])} for walked in course.all])
    hots = [index for index, role in enumerate(roles) if role == "hot_hold"]
    reheats = [[_reheated(walked, roles, index, rulebase) for index in hots] for walked in course.all]
    reached = [{"reheated_to": min(temps)} for found in reheats if (temps := [t for t in found if t is not None])]
    slow = [
        {"reheat_minutes": max(times)}
        for walked in course.all
        if (times := [t for index in hots if (t := _reheat_minutes(walked, roles, index, rulebase)) is not None])
    ]
    return {**facts, **worst_of(reached, least=frozenset({"reheated_to"})), **worst_of(slow)}


def _minutes(walked: Walked, phase: Phase) -> float:
    return sum(leg.minutes for leg in walked.between(phase.first, phase.heat_ends))


def _reheated(walked: Walked, roles: tuple[str, ...], hot: int, rulebase: Rulebase) -> float | None:
    """Highest temperature of the middle between the last chill and holding hot [°C]; None if it was not chilled."""
    waits = _waits_after_heat(roles, hot)
    start = walked.of_step(waits[-1]) if waits else None
    if start is None or float(start.centre_c[-1]) >= rulebase.base_limit("cool_first_to"):
        return None
    between = walked.between(waits[-1] + 1, hot - 1)
    return max((float(np.max(leg.centre_c)) for leg in between), default=float(start.centre_c[-1]))


def _waits_after_heat(roles: tuple[str, ...], hot: int) -> list[int]:
    """Waits before a hot hold that come after some heat: raw meat that comes out of the fridge is not reheated."""
    first = roles.index("cook") if "cook" in roles[:hot] else hot
    return [index for index in range(first, hot) if roles[index] in ("cool", "raw_hold", "cooked_hold")]


def _reheat_minutes(walked: Walked, roles: tuple[str, ...], hot: int, rulebase: Rulebase) -> float | None:
    """Time the middle takes from the cold line to the reheating temperature [min].

    None where nothing was chilled; where it never gets there, all the time since it left the cold.
    """
    if _reheated(walked, roles, hot, rulebase) is None:
        return None
    chilled = _waits_after_heat(roles, hot)[-1]
    times = walked.times(first=chilled + 1, last=hot)
    core = walked.centre(first=chilled + 1, last=hot)
    cold, asked = rulebase.limit("cold_hold_max"), rulebase.limit("reheat_min")
    warm = np.flatnonzero(core > cold)
    if not warm.size:
        return 0.0
    there = np.flatnonzero(core[warm[0] :] >= asked)
    ends = times[warm[0] + there[0]] if there.size else times[-1]
    return float(ends - times[warm[0]]) / MINUTE


def peak_facts(case: Case, course: Course, heated: tuple[Phase, ...], rulebase: Rulebase) -> dict[str, Ranged]:
    """Highest temperatures of the middle and of every face, and the rise through the sear."""
    coldest = core_peak(course.cold_start, heated)
    facts = {"core_peak": Ranged(None)}
    if isinstance(coldest, float):
        warmest = core_peak((course.fast,), heated)
        facts["core_peak"] = Ranged(coldest, coldest, max(coldest, float(warmest or coldest)))
    outside = worst_of(
        [{"surface_peak": surface_peak(case, w, rulebase)} for w in course.all], least=frozenset({"surface_peak"})
    )
    return {**facts, **outside, **middle_of([{"sear_rise": sear_rise(case, walked)} for walked in course.all])}


def core_peak(walks: tuple[Walked, ...], heated: tuple[Phase, ...]) -> Value:
    """Highest temperature of the middle while it is heated, at the slower of the walks [°C].

    Where nothing is hot enough to count as cooking, the highest of all.
    """

    def peak(walked: Walked) -> float:
        stretches = [phase.core(walked) for phase in heated] or [walked.centre()]
        return max(float(np.max(stretch)) for stretch in stretches)

    return min((peak(walked) for walked in walks), default=None)


def surface_peak(case: Case, walked: Walked, rulebase: Rulebase) -> Value:
    """Highest temperature that every face has reached [°C], in a sear within the time that is told for one side.

    Sears of single faces count once they add up to both; a face that no sear has touched is as the rest of the
    plan left it. None only when nothing is cooked.
    """
    cooks = [leg for leg in walked.legs if case.steps[leg.step].action in COOKS]
    if not cooks:
        return None
    sears = [leg for leg in cooks if case.steps[leg.step].action in SEARS]
    faces = sum(case.steps[leg.step].number("sides", 1.0) for leg in sears)
    first = min((leg.step for leg in sears), default=len(case.steps))
    # What stands about after a sear holds the heat of both turns.
    later = cooks if faces >= FACES else [leg for leg in cooks if leg not in sears]
    touched = (*walked.between(0, first - 1), *(leg for leg in later if leg.step >= first))
    peaks = [float(np.max(_of_one_side(case, leg, rulebase))) for leg in touched]
    return max(peaks, default=float(walked.legs[0].surface_c[0]))


def _of_one_side(case: Case, leg: Leg, rulebase: Rulebase) -> FloatArray:
    """Surface of a step [°C], of a sear only for as long as one face lies in the heat; more of it warms the middle."""
    heated, _ = by_sides(case.steps[leg.step], rulebase)
    since = leg.times_s - leg.times_s[0]
    ends = float(since[-1]) / heated
    # The rise flattens, so that a straight line between two moments reads no hotter than it is.
    return np.append(leg.surface_c[since <= ends], np.interp(ends, since, leg.surface_c))


def sear_rise(case: Case, walked: Walked) -> float:
    """How far the middle rises from the start of the last sear to the end of the plan [K]."""
    sear = next((leg for leg in reversed(walked.legs) if case.steps[leg.step].action in SEARS), None)
    if sear is None:
        return 0.0
    return max(0.0, float(np.max(walked.centre(first=sear.step))) - float(sear.centre_c[0]))


def come_up_facts(
    case: Case, walked: Walked, found: Stretches, roles: tuple[str, ...], rulebase: Rulebase
) -> dict[str, Value]:
    """Time in the slow-heating window before the meat is hot for good, at the middle and at the outside [min].

    An incomplete cook does not reset the clock: what counts ends with the stretch that cooks the meat through, or
    with the last one, at the last moment below the kill floor. While the meat waits its outside is at the room.
    """
    target = found.target
    if target is None:
        return {}
    low, high = rulebase.limit("come_up_from"), rulebase.no_kill_credit_below_c
    legs = walked.between(0, target.heat_ends)
    spots = germs.places(legs, frozenset(i for i, role in enumerate(roles) if role == "cook"))
    times = spots.times_s

    def inside_window(temps: FloatArray) -> float:
        below = np.flatnonzero(temps < high)
        upto = int(below[-1]) + 2 if below.size else 0
        return time_between(times[:upto], temps[:upto], low, high) / MINUTE if upto > 1 else 0.0

    already = case.number("piece", "out_minutes") if low < case.number("piece", "out_temperature", low) <= high else 0.0
    core = np.concatenate([leg.centre_c for leg in legs])
    outside = max(inside_window(place) for place in spots.outside[:, 0].T)
    return {"come_up_core": already + inside_window(core), "come_up_surface": already + outside}
