"""Changes that a rule allows: each a small edit of the case on a legal grid, with its words."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor
from typing import TYPE_CHECKING

from advisor.advice import inserts
from advisor.advice.change import Change
from advisor.case.complete import is_whole_bird
from advisor.case.model import Given
from advisor.case.work_times import STUFFS
from advisor.course.roles import COOKS, SEARS, passes
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Callable

    from advisor.advice.report import Report
    from advisor.case.model import Case
    from advisor.infer.proof import Finding
    from advisor.knowledge.records import Mend
    from advisor.knowledge.rulebase import Rulebase

# The limit that says what it costs to end a step by the clock that ended by the probe.
BY_CLOCK = "plan_weigh_by_clock"
# And what it costs to take the stuffing out.
UNSTUFFED = "plan_weigh_unstuffed"
QUARTER_HOUR, HALF_MINUTE = 15.0, 0.5
LONGEST_SEAR = 20.0
LONGEST_MINUTES = 72 * 60.0
HOTTEST_C = 100.0
FAHRENHEIT = 5.0 / 9.0
INCH_MM = 25.4
ROLES = frozenset({"work", "raw_hold", "cook", "cooked_hold", "cool", "hot_hold"})


def changes(finding: Finding, report: Report, rulebase: Rulebase) -> list[Change]:
    """All changes that the rule of a finding names, as they apply to this case."""
    found: list[Change] = []
    for mend in finding.rule.rule.mend:
        subject, _, fact = mend.change.partition(" ")
        if subject == "steps":
            found += inserts.step_changes(fact, mend, report, rulebase)
        elif subject == "guests":
            found.append(_guests(fact, mend, rulebase))
        elif subject == "piece":
            found += _thickness(report, rulebase) if fact == "thickness" else _piece(fact, mend, report)
        else:
            for index in _targets(subject, fact, finding, report, rulebase):
                found += _step(index, fact, mend, report, rulebase)
    return found


def _piece(fact: str, mend: Mend, report: Report) -> list[Change]:
    words = mend.says or f"{fact.replace('_', ' ')}: {mend.to}"
    if fact == "stuffing":
        return _unstuffed(mend.to, words, report)
    return [
        Change(
            f"piece {fact}",
            1,
            lambda case, _: case.with_value("piece", fact, Given(mend.to, "written")),
            lambda _: words,
        )
    ]


def _unstuffed(to: str, words: str, report: Report) -> list[Change]:
    """Take the stuffing out of the meat, and the step that puts it in out of the plan."""
    if report.computed.case.word("piece", "stuffing") != "inside":
        return []

    def apply(case: Case, _: int) -> Case:
        steps = tuple(step for step in case.steps if step.action != STUFFS)
        return replace(case.with_value("piece", "stuffing", Given(to, "written")), steps=steps)

    return [Change("piece stuffing", 1, apply, lambda _: words, shifts=(2, 0), gives_up=(UNSTUFFED,))]


def _guests(fact: str, mend: Mend, rulebase: Rulebase) -> Change:
    entry = rulebase.vocabulary["guests"][fact]
    shown = (
        mend.says or f"make sure that {entry.means}" if mend.to == "yes" else mend.says or f"{entry.means}: {mend.to}"
    )
    return Change(
        f"guests {fact}",
        1,
        lambda case, _: case.with_value("guests", fact, Given(mend.to, "written")),
        lambda _: shown,
        only_if=True,
    )


def _thickness(report: Report, rulebase: Rulebase) -> list[Change]:
    case = report.computed.case
    now, step = case.number("piece", "thickness"), INCH_MM / 4 if case.system == "us" else 5.0
    thinnest = rulebase.limit("plan_cut_thinnest")
    grid = [value for i in range(60) if (value := (now // step) * step - i * step) >= thinnest and value < now]
    if not grid or any("thickness_after" in s.given for s in case.steps):
        return []
    if is_whole_bird(case, rulebase) or case.word("piece", "stuffing") == "inside":
        # Nobody cuts a whole bird thinner, or what is stuffed; taken apart it is another plan.
        return []
    return [
        Change(
            "piece thickness",
            len(grid),
            lambda c, place: c.with_value("piece", "thickness", Given(grid[place - 1], "written")),
            lambda place: f"cut the piece down to {write_quantity(grid[place - 1], 'length', case.system)} thick",
            gives_up=("plan_weigh_cut_down",),
        )
    ]


def _targets(subject: str, fact: str, finding: Finding, report: Report, rulebase: Rulebase) -> list[int]:
    """Indices of the steps that a mend speaks of."""
    steps, roles = report.computed.case.steps, report.computed.roles
    if subject == "step" and finding.step is None and fact == "salt":
        return [max(range(len(steps)), key=lambda i: inserts.salt_in(steps[i], rulebase))]
    if subject == "step":
        return [finding.step] if finding.step is not None else []
    if subject == "cook":
        named = [i for i, step in enumerate(steps) if step.action in COOKS]
    elif subject in ROLES:
        named = [i for i, role in enumerate(roles) if role == subject]
    else:
        named = [i for i, step in enumerate(steps) if step.action == subject]
    if subject == "cook":
        # A longer or hotter sear is no way to cook the middle; change the main heat.
        main = [i for i in named if steps[i].action not in ("pan", "grill")] or named
        return [max(main, key=lambda i: _minutes(report, i))] if main else []
    if subject == "raw_hold" and fact in ("place", "minutes"):
        cold = rulebase.limit("cold_hold_max")
        warm = [i for i in named if steps[i].number("temperature") > cold]
        named = warm or (named if fact == "minutes" else [])
    if subject == "cool":
        # What chills first decides how fast the meat falls; the fridge behind it only keeps it cold.
        return named[:1]
    if fact != "minutes" or not named:
        return named
    longest = max(named, key=lambda i: _minutes(report, i))
    # A thaw has the time that the ice needs: what else lies raw may be shortened instead.
    others = [i for i in named if steps[i].action != "thaw"] if steps[longest].action == "thaw" else []
    return [*([max(others, key=lambda i: _minutes(report, i))] if others else []), longest]


def _minutes(report: Report, index: int) -> float:
    course = report.computed.course
    leg = course.slow.of_step(index) if course is not None else None
    step = report.computed.case.steps[index]
    return leg.minutes / passes(step) if leg is not None else step.number("minutes")


def _step(index: int, fact: str, mend: Mend, report: Report, rulebase: Rulebase) -> list[Change]:
    case = report.computed.case
    step = case.steps[index]
    name = f"step {index + 1} ({rulebase.vocabulary['step']['action'].says.get(step.action, step.action)})"
    kind = f"step{index + 1} {fact}"
    if fact == "place":
        return [] if step.word("place") == mend.to else [_place(index, kind, name, mend, case, rulebase)]
    if fact == "minutes":
        return _time(index, kind, name, mend, report)
    if fact == "temperature":
        return _heat(index, kind, name, mend, case, rulebase)
    if fact == "until_core":
        return _core(index, kind, name, case, rulebase)
    if fact == "liquid_temperature":
        return [_cold_liquid(index, kind, name, case, rulebase)]
    if fact in ("salt", "soda"):
        return inserts.less(index, fact, kind, report, rulebase)
    if fact == "turns":
        often = rulebase.limit("turns_min")
        return [Change(kind, 1, _set(index, fact, lambda _: often), lambda _: f"{name}: turn it over {often:g} times")]
    if fact == "depth":
        deepest = rulebase.limit("score_depth_max") * case.number("piece", "thickness")
        value = float(int(deepest))
        return [
            Change(
                kind,
                1,
                _set(index, fact, lambda _: value),
                lambda _: f"{name}: cut {write_quantity(value, 'length', case.system)} deep",
            )
        ]
    entry = rulebase.vocabulary["step"][fact]
    return [
        Change(
            kind,
            1,
            _set(index, fact, lambda _: mend.to),
            lambda _: f"{name}: {entry.says.get(mend.to, mend.to.replace('_', ' '))}",
        )
    ]


def _set(index: int, fact: str, value: Callable[[int], float | str]) -> Callable[[Case, int], Case]:
    return lambda case, place: case.with_step(index, case.steps[index].with_value(fact, value(place)))


def _place(index: int, kind: str, name: str, mend: Mend, case: Case, rulebase: Rulebase) -> Change:
    medium = rulebase.media[mend.to]
    usual = rulebase.usual_c(mend.to)
    degrees = float(usual if usual is not None else rulebase.limit("cold_hold_max"))
    if case.system == "us":
        degrees = (floor(degrees * 9 / 5 + 32) - 32) * FAHRENHEIT
    shown = rulebase.vocabulary["step"]["place"].says.get(mend.to, medium.name)
    # What thawed in a warm place needs whole days in a cold one.
    thaws = case.steps[index].action == "thaw"

    def apply(changed: Case, days: int) -> Case:
        step = changed.steps[index].with_value("place", mend.to).with_value("temperature", degrees)
        return changed.with_step(index, step.with_value("minutes", days * inserts.DAY) if thaws else step)

    def words(days: int) -> str:
        time = f", for {write_quantity(days * inserts.DAY, 'time', case.system)}" if thaws else ""
        return f"{name}: move it to {shown}, at {write_quantity(degrees, 'temperature', case.system)}{time}"

    return Change(kind, inserts.LONGEST_THAW_DAYS if thaws else 1, apply, words)


def _cold_liquid(index: int, kind: str, name: str, case: Case, rulebase: Rulebase) -> Change:
    degrees = float(rulebase.usual_c("fridge_still") or 0.0)
    shown = write_quantity(degrees, "temperature", case.system)
    return Change(
        kind,
        1,
        _set(index, "liquid_temperature", lambda _: degrees),
        lambda _: f"{name}: chill the brine to {shown} first",
    )


def _time(index: int, kind: str, name: str, mend: Mend, report: Report) -> list[Change]:
    now = _minutes(report, index)
    sears = report.computed.case.steps[index].action in SEARS
    tick, longest = (HALF_MINUTE, LONGEST_SEAR) if sears else (QUARTER_HOUR, LONGEST_MINUTES)
    if mend.direction == "down":
        first = (now - 0.01) // tick
        grid = [tick * (first - i) for i in range(int(first))]
    else:
        first = now // tick + 1
        grid = [tick * (first + i) for i in range(int((longest - now) // tick))]
    if not grid:
        return []

    def apply(case: Case, place: int) -> Case:
        step = case.steps[index].with_value("minutes", grid[place - 1])
        # A step that waited for a core temperature becomes a hold of known length.
        given = {key: value for key, value in step.given.items() if key != "until_core"}
        return case.with_step(index, replace(step, given=given))

    def words(place: int) -> str:
        time = write_quantity(grid[place - 1], "time", report.case.system)
        return f"{name}: for {time} {'each side' if sears else 'in all'}"

    by_clock = (BY_CLOCK,) if "until_core" in report.computed.case.steps[index].given else ()
    return [Change(kind, len(grid), apply, words, gives_up=by_clock)]


def _heat(index: int, kind: str, name: str, mend: Mend, case: Case, rulebase: Rulebase) -> list[Change]:
    step = case.steps[index]
    now, up = step.number("temperature"), mend.direction == "up"
    air = rulebase.media[step.word("place", "counter")].dries
    if air and up:
        # A dial turns in tens of degrees, in quarter hundreds of the other scale.
        grid = _dial(now, rulebase.limit("plan_oven_hottest"), us=case.system == "us")
    else:
        grid = _degrees(now, case.system == "us", up=up) if now < HOTTEST_C else []
    if not grid:
        return []
    return [
        Change(
            kind,
            len(grid),
            _set(index, "temperature", lambda place: grid[place - 1]),
            lambda place: f"{name}: at {write_quantity(grid[place - 1], 'temperature', case.system)}",
        )
    ]


def _core(index: int, kind: str, name: str, case: Case, rulebase: Rulebase) -> list[Change]:
    """Take it out later: the middle a few degrees hotter, and the heat around it with it."""
    step = case.steps[index]
    if step.action == "bath" and "until_core" not in step.given:
        return []
    # No middle below the kill floor meets any row; the search begins there.
    begin = max(step.number("until_core"), rulebase.no_kill_credit_below_c)
    grid = _degrees(begin, case.system == "us", up=True)[:-1]

    def apply(changed: Case, place: int) -> Case:
        one = FAHRENHEIT if changed.system == "us" else 1.0
        hotter = max(changed.steps[index].number("temperature"), grid[place - 1] + one)
        step = changed.steps[index].with_value("until_core", grid[place - 1]).with_value("temperature", hotter)
        given = {key: value for key, value in step.given.items() if key != "minutes"}
        return changed.with_step(index, replace(step, given=given))

    def words(place: int) -> str:
        reads = write_quantity(grid[place - 1], "temperature", case.system)
        bath = ", with the bath at least a degree above" if case.steps[index].action == "bath" else ""
        return f"{name}: until the middle reads {reads}{bath}"

    return [Change(kind, len(grid), apply, words)] if grid else []


def _dial(now: float, hottest: float, *, us: bool) -> list[float]:
    """Marks of an oven's dial above ``now`` [°C]."""
    factor, zero, mark = (9 / 5, 32.0, 25) if us else (1.0, 0.0, 10)
    first = (floor(now * factor + zero) // mark + 1) * mark
    return [(value - zero) / factor for value in range(first, int(hottest * factor + zero) + 1, mark)]


def _degrees(now: float, fahrenheit: bool, *, up: bool) -> list[float]:
    """Whole degrees of the cook's scale above or below ``now`` [°C]."""
    factor, zero = (9 / 5, 32.0) if fahrenheit else (1.0, 0.0)
    here = now * factor + zero
    first = floor(here) + 1 if up else ceil(here) - 1
    end = int((HOTTEST_C if up else 0.0) * factor + zero)
    whole = range(first, end + 1) if up else range(first, end - 1, -1)
    return [(value - zero) / factor for value in whole]
