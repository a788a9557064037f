"""What a plan that was built has beside one that was only checked: other ways, quantities, the clock, the knife."""

from __future__ import annotations

import math
from datetime import timedelta
from typing import TYPE_CHECKING

from advisor.advice.clock import beside
from advisor.advice.early import early
from advisor.advice.quantities import quantities
from advisor.advice.rank import greyed_at
from advisor.advice.waits import wait
from advisor.case.work_times import PRESSURE_UP
from advisor.course.ends import has_bone
from advisor.errors import InputError
from advisor.show.drawing import slicing_lines
from advisor.units import read_quantity, write_moment, write_quantity, write_range, write_span

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.advice.build import Built, Option
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase

QUARTER = 15
SECONDS = 60.0
# A wait of which nothing need be said.
SOON = timedelta(minutes=30)
TOO_LATE = "too late for the service named"
GRAMS = 1000.0
POUND, KILO = frozenset({"lb", "lbs", "pound", "pounds"}), frozenset({"kg", "kilo", "kilos", "kilogram"})
# A difference smaller than this is none that a cook would notice.
SAME_SHARE = 0.05


def conflict_line(built: Built, now: datetime | None = None) -> str:
    """What stands at the top when the plan cannot be ready by the time that was named; empty when it can."""
    ready = built.report.case.serve
    if not built.best.late or built.wished is None or ready is None:
        return ""
    line = f"It cannot be ready by {write_moment(built.wished, now=now)}: earliest {write_moment(ready, now=now)}"
    if built.in_time:
        return f"{line}, or this other way by then: {built.in_time[0].way.name}."
    return f"{line}. No other way that we know is ready by then."


def keeps_line(built: Built, now: datetime | None = None) -> str:
    """Until when the raw meat keeps, where the service is too far off for it; empty where it is not."""
    if built.keeps_until is None:
        return ""
    return f"It does not keep so long: serve it by {write_moment(built.keeps_until, now=now)}, or freeze it now."


def until_lines(report: Report, now: datetime, rulebase: Rulebase) -> tuple[str, ...]:
    """What becomes of the meat until the first step begins; nothing where that is soon."""
    if report.case.serve is None and report.computed.case.word("piece", "start_state") != "frozen":
        return ("You named no time to serve it, so it begins now. More time raw in the fridge is not counted.",)
    left = wait(report, now, rulebase)
    if left is None or left < SOON:
        return ()
    span = write_span(left.total_seconds() / SECONDS)
    if report.computed.case.word("piece", "start_state") == "frozen":
        return (f"Until then, for {span}, keep it frozen.",)
    cold = write_quantity(rulebase.limit("cold_hold_max"), "temperature", report.case.system, rounding="down")
    return (f"Until then keep it in the fridge, at {cold} or colder. These {span} count as days in the fridge too.",)


def other_lines(built: Built, rulebase: Rulebase) -> tuple[str, ...]:
    """Up to two other ways, a line each with what they trade; then why the rest are out."""
    lines = [f"Chosen: {built.best.way.name}."]
    if built.best.score.brown_c is not None:
        middle = write_quantity(built.best.score.brown_c, "temperature", built.report.case.system)
        lines.append(f"You wanted it pink. The middle gets to about {middle}, so it will be brown all through.")
    later = greyed_at(built.report, rulebase)
    if later is not None:
        middle = write_quantity(later, "temperature", built.report.case.system)
        lines.append(
            f"You wanted it pink. The middle still rises while it rests, to about {middle}: it may turn brown."
        )
    lines += [f"Or {option.way.name}: {traded(option, built.best)}." for option in built.others]
    for option in built.failed:
        problem = option.report.problems[0]
        lines.append(f"Not {option.way.name}: {problem.says} [{problem.rule.rule.id}]")
    return tuple(lines)


def traded(option: Option, best: Option) -> str:
    """What one way gives and costs against another, in a line."""
    mine, theirs = option.score, best.score
    told: list[str] = []
    if abs(mine.bite - theirs.bite) > SAME_SHARE * theirs.bite:
        told.append("softer to bite" if mine.bite < theirs.bite else "firmer to bite")
    more = mine.minutes - theirs.minutes
    if abs(more) >= QUARTER:
        told.append(f"{write_span(abs(more))} {'longer' if more > 0 else 'shorter'}")
    loss = mine.loss - theirs.loss
    if abs(loss) >= 1:
        told.append(f"loses {abs(loss):.0f} % {'more' if loss > 0 else 'less'} of its weight")
    work = mine.busy - theirs.busy
    if abs(work) >= 1:
        told.append(f"{write_span(abs(work))} {'more' if work > 0 else 'less'} work by hand")
    told += [mend.change for mend, _ in option.made]
    if option.late:
        told.append(TOO_LATE)
    return "; ".join(told) if told else "much the same"


def clock_lines(report: Report, rulebase: Rulebase, now: datetime | None = None) -> tuple[str, ...]:
    """Latest start, what can be done the day before, and what falls into the night all the same."""
    known = beside(report, rulebase)
    lines: list[str] = []
    if known.latest is not None:
        cut = ((known.shorter, "with the salting cut to its shortest"), (known.unsalted, "salted just before the heat"))
        told = [f"{write_moment(moment, now=now)}, {how}" for moment, how in cut if moment is not None]
        lines.append(f"Latest start: {'; '.join(told) or write_moment(known.latest, now=now)}.")
    if known.day_before:
        numbers = ", ".join(str(step + 1) for step in known.day_before)
        lines.append(f"Begun by the day before: {'steps' if len(known.day_before) > 1 else 'step'} {numbers}.")
    if known.night:
        numbers = ", ".join(str(step + 1) for step in known.night)
        lines.append(f"At night all the same: {'steps' if len(known.night) > 1 else 'step'} {numbers}.")
    return tuple(lines)


def poured(report: Report, rulebase: Rulebase) -> dict[int, tuple[str, ...]]:
    """The liquid that goes in, by the step that it goes into."""
    liquid = quantities(report, rulebase).liquid_ml
    steps = enumerate(report.computed.case.steps)
    into = next((n for n, step in steps if step.action in (PRESSURE_UP, "braise")), None)
    if liquid is None or into is None:
        return {}
    least = ", and never less than the book of your cooker asks for" if _under_pressure(report) else ""
    return {into: (f"Liquid: about {write_quantity(liquid, 'volume', report.case.system)}{least}.",)}


def _under_pressure(report: Report) -> bool:
    return any(step.action == PRESSURE_UP for step in report.computed.case.steps)


def done_early(report: Report, rulebase: Rulebase, now: datetime | None = None) -> dict[int, tuple[str, ...]]:
    """When to begin to read the probe, and what to do with meat that is done long before the clock says, by step."""
    soon = early(report, rulebase)
    if soon is None:
        return {}
    span = write_span(soon.sooner_min)
    begin = f"after {write_span(soon.after_min)}" if soon.from_ is None else f"from {write_moment(soon.from_, now=now)}"
    read = f"Read it {begin} on: it may be done {span} early. If so,"
    if soon.hold_after is None:
        why = f"held hot that long, this plan breaks a rule [{soon.broken}]"
        return {soon.step: (f"{read} go on at once and serve it sooner. Do not keep it: {why}.",)}
    hot = write_quantity(soon.hold_c, "temperature", report.case.system, rounding="up")
    first = "" if soon.hold_after == soon.step else f"go on up to step {soon.hold_after + 1}, then "
    keep = f"{first}keep it covered and hot, at {hot} or more by the probe, outside and middle, for {span} at most."
    more = " It goes on cooking there." if soon.browner else ""
    return {soon.step: (f"{read} {keep}{more} Or go on at once and serve it sooner.",)}


def quantity_lines(report: Report, rulebase: Rulebase, price_per_kg: float | None = None) -> tuple[str, ...]:
    """Water, sites, yield, portions and cost, for this weight."""
    told = report.computed.case.number("guests", "price")
    price_per_kg = told if price_per_kg is None and told > 0 else price_per_kg
    found, system = quantities(report, rulebase, price_per_kg), report.case.system
    lines: list[str] = []
    if found.bath_litres is not None:
        lines.append(f"Bath: {found.bath_litres:.0f} litres of water or more.")
    if found.liquid_ml is not None:
        about = write_quantity(found.liquid_ml, "volume", system)
        lines.append(f"Braise: about {about} of liquid, or what covers half of it; common practice, no source.")
    if found.injection is not None:
        pump = found.injection
        apart = write_quantity(pump.apart_mm, "length", system)
        lines.append(
            f"Inject {pump.total_ml:.0f} ml at {pump.sites} places, {pump.site_ml:.0f} ml each, {apart} apart."
        )
    if found.cooked_low is not None and found.cooked_high is not None:
        cooked = write_range(found.cooked_low, found.cooked_high, "mass", system)
        each = write_quantity(rulebase.limit("plan_portion"), "mass", system)
        few, many = found.portions_low, found.portions_high
        count = f"{few}" if few == many else f"{few} to {many}"
        count += " portion" if many == 1 else " portions"
        bone = " The bone is weighed in: reckon fewer." if has_bone(report.computed.case) else ""
        lines.append(f"Cooked weight: {cooked}; {count} of {each}.{bone}")
    if found.cost_low is not None and found.cost_high is not None:
        low, high = f"{found.cost_low:.2f}", f"{found.cost_high:.2f}"
        lines.append(f"Meat for a portion costs {low if low == high else f'{low} to {high}'}.")
    return tuple(lines)


def read_price(text: str, system: str, rulebase: Rulebase) -> float:
    """Read what the meat costs, for a kilogram; a bare figure is for a kilogram or a pound, as the cook measures.

    Raises
    ------
    InputError
        It is no price.
    """
    words = text.replace("per", " ").replace("/", " ").replace("a ", " ").split()
    each = "lb" if system == "us" else "kg"
    if len(words) > 1 and words[-1].rstrip(".").lower() in POUND | KILO:
        each = "lb" if words.pop().rstrip(".").lower() in POUND else "kg"
    try:
        figure = float("".join(words).strip("$€£").replace(",", "."))
    except ValueError:
        figure = math.nan
    entry = rulebase.vocabulary["guests"]["price"]
    if not (entry.low or 0.0) < figure <= (entry.high or math.inf):
        raise InputError("That is no price we can read.", "Type what a kilo or a pound costs, such as: price 12.50 kg.")
    return figure * GRAMS / read_quantity("1 lb", "mass").value if each == "lb" else figure


def cost_line(report: Report, rulebase: Rulebase, price_per_kg: float) -> str:
    """What the meat for a portion costs."""
    found = quantities(report, rulebase, price_per_kg)
    if found.cost_low is None or found.cost_high is None:
        return "There is no forecast of what is left to serve, so no cost of a portion."
    each = write_quantity(rulebase.limit("plan_portion"), "mass", report.case.system)
    return f"Meat for a portion of {each} costs {found.cost_low:.2f} to {found.cost_high:.2f}."


def knife_lines(report: Report, rulebase: Rulebase) -> tuple[str, ...]:
    """How to slice, drawn and told."""
    return slicing_lines(report, rulebase)
