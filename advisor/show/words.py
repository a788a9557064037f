"""Steps and figures in the cook's words."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor
from typing import TYPE_CHECKING

from advisor.course.measured import gaps
from advisor.course.roles import SEARS, passes
from advisor.infer.text import show_span
from advisor.knowledge.cuts import EITHER
from advisor.units import write_moment, write_quantity, write_range

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.case.facts import Fact
    from advisor.case.model import Case, Ingredient, PlanStep
    from advisor.case.probe import ProbeLog
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System

# What a step begins with when it is told as an instruction.
INSTRUCTIONS = {
    "thaw": "Thaw it",
    "score": "Score it",
    "needle": "Pierce it",
    "pound": "Pound it",
    "inject": "Inject it",
    "tumble": "Tumble it",
    "salt": "Salt it",
    "marinate": "Marinate it",
    "brine": "Brine it",
    "hold": "Keep it",
    "wipe": "Wipe it clean",
    "put_stuffing_in": "Put the stuffing in",
    "bag": "Bag it",
    "dry": "Pat it dry",
    "pressure_up": "Bring it up to pressure",
    "bath": "Cook it in the bath",
    "oven": "Cook it in the oven",
    "braise": "Braise it",
    "pressure_drop": "Let the pressure drop",
    "pan": "Sear it in the pan",
    "grill": "Sear it on the grill",
    "rest": "Rest it",
    "ice": "Chill it in ice water",
    "chill": "Chill it",
    "hot_hold": "Hold it hot",
    "reheat": "Reheat it",
    "slice": "Slice it",
    "pull_to_shreds": "Pull it to shreds",
    "serve": "Serve it",
}
IN_STEAM = "Cook it in steam"
# Where the place says nothing that the instruction does not.
PLAIN_PLACES = frozenset({"counter", "pan", "grill", "braise", "rest", "ice_bath"})
TIMELESS = frozenset({"serve"})


def step_line(report: Report, index: int, rulebase: Rulebase) -> str:
    """One step as an instruction, with quantities, temperature and time."""
    step = report.computed.case.steps[index]
    system = report.case.system
    parts = [IN_STEAM if step.action == "oven" and step.word("place") == "steam" else INSTRUCTIONS[step.action]]
    if step.ingredients:
        parts.append("with " + ", ".join(ingredient(item, report.case) for item in step.ingredients))
    if step.action == "salt" and step.given.get("minutes") is not None and step.number("minutes") == 0:
        return " ".join((*parts, "just before the heat")) + "."
    if "pump_pct" in step.given:
        parts.append(f"with brine at {write_quantity(step.number('pump_pct'), 'percent', system)} of its weight")
    parts += _knife(step, report.case, rulebase)
    place = step.word("place")
    if place not in PLAIN_PLACES and step.action not in ("bag", "serve", "oven"):
        shown = rulebase.vocabulary["step"]["place"].says.get(place, rulebase.media[place].name)
        before = "on" if place == "counter" else "in"
        parts.append(f"{before} {shown}" if step.action != "bath" or place != "bath_circulated" else "")
    if (
        place not in ("counter", "rest", "pan", "grill")
        and "temperature" in step.given
        and step.action not in ("bag", "serve")
    ):
        parts.append(f"at {write_quantity(step.number('temperature'), 'temperature', system)}")
    parts.append(_length(report, index))
    return " ".join(part for part in parts if part) + "."


def _knife(step: PlanStep, case: Case, rulebase: Rulebase) -> list[str]:
    vocabulary = rulebase.vocabulary["step"]
    parts: list[str] = []
    for name, form in (
        ("slice_thickness", "{} thick"),
        ("depth", "{} deep"),
        ("thickness_after", "to {} thick"),
    ):
        if name in step.given and not (name == "thickness_after" and step.action == "slice"):
            parts.append(form.format(write_quantity(step.number(name), "length", case.system)))
    if "direction" in step.given:
        parts.append(vocabulary["direction"].says[step.word("direction")])
    if step.word("second_side") not in ("", "none"):
        parts.append(f"then the second side {vocabulary['second_side'].says[step.word('second_side')]}")
    return parts


def _length(report: Report, index: int) -> str:
    step = report.computed.case.steps[index]
    system = report.case.system
    if step.action in TIMELESS:
        return ""
    course = report.computed.course
    leg = course.slow.of_step(index) if course is not None else None
    if "until_core" in step.given:
        core = write_quantity(step.number("until_core"), "temperature", system)
        each = " each side" if step.action in ("pan", "grill") else ""
        spent = report.inference.facts.steps[index].get("minutes")
        if each and spent is not None:
            spent = _half_minutes(spent)
        if leg is None or spent is None:
            return f"until the middle reads {core}"
        span = show_span(spent, system)
        return f"until the middle reads {core} ({'' if span.startswith('up to') else 'about '}{span}{each})"
    minutes = leg.minutes if leg is not None else step.number("minutes")
    given = step.given.get("minutes")
    if step.action in SEARS:
        minutes /= passes(step) if leg is not None else 1.0
        if given is not None and given.origin == "assumed worst":
            return f"until it is brown (no time said; counted as {write_quantity(minutes, 'time', system)} each side)"
        return f"for {write_quantity(minutes, 'time', system)} each side"
    about = "about " if given is not None and given.origin == "assumed typical" else ""
    return f"for {about}{write_quantity(minutes, 'time', system)}" if minutes > 0 else ""


def _half_minutes(spent: Fact) -> Fact:
    """A sear's range in half minutes: nobody turns meat by the second."""
    if spent.low is None or spent.high is None or spent.high < 1:
        return spent
    low, high = floor(spent.low * 2) / 2, ceil(spent.high * 2) / 2
    return replace(spent, low=low, high=high, value=high)


def ingredient(item: Ingredient, case: Case) -> str:
    """An ingredient with its amount and form."""
    name = (item.as_written or item.what).replace("_", " ")
    form = f"{item.form.replace('_', ' ')} " if item.form not in ("", "unknown") and item.form not in name else ""
    if item.grams is None:
        return f"{form}{name}"
    return f"{write_quantity(item.grams, 'mass', case.system)} {form}{name}"


def value_words(value: float | str | None, entry: VocabularyFact, system: str) -> str:
    """A fact's value as the cook reads it."""
    from advisor.infer.text import show_value

    return show_value(value, entry, "us" if system == "us" else "metric")


def piece_line(report: Report, rulebase: Rulebase) -> str:
    """What is on the board, in one line."""
    case = report.computed.case
    cut = rulebase.cuts.get(case.word("piece", "cut", "unknown_cut"), rulebase.cuts["unknown_cut"])
    which = ", not known which" if EITHER in case.word("piece", "cut") else ""
    parts = [f"{cut.name}{which}", case.word("piece", "animal", "animal not known").replace("_", " ")]
    if "weight" in case.piece:
        parts.append(write_quantity(case.number("piece", "weight"), "mass", case.system))
    if "thickness" in case.piece:
        parts.append(f"{write_quantity(case.number('piece', 'thickness'), 'length', case.system)} thick")
    cook_class = str(report.inference.facts.piece["cook_class"].value)
    parts.append(rulebase.vocabulary["piece"]["cook_class"].says.get(cook_class, cook_class))
    return "; ".join(parts)


def ends_line(rulebase: Rulebase, system: System) -> str:
    """Say what the ranges are ranges of, and which end decides."""
    thick = write_quantity(rulebase.parameter("thickness_reading_mm"), "length", system, both=False)
    start, probe = (
        write_quantity(rulebase.parameter(name), "temperature_difference", system, both=False)
        for name in ("start_reading_c", "probe_reading_c")
    )
    return (
        f"Each range runs from the slow end to the fast end: thickness {thick} more or less, start {start}, "
        f"probe {probe}, slow or fast meat, little or much heat through its outside. Safety rests on the worse end."
    )


MOST_LOST_SHOWN = 10


def record_lines(log: ProbeLog, system: System, rulebase: Rulebase) -> list[str]:
    """What a probe's record holds, what was lost of it, and where it has gaps."""
    from datetime import datetime

    last = log.begins + max(channel.times_s[-1] for channel in log.channels)
    begins, until = (datetime.fromtimestamp(moment).astimezone() for moment in (log.begins, last))
    rhythm = write_quantity(log.median_s / 60, "time", system)
    span = f"from {write_moment(begins)} to {write_moment(until)}; " if log.dated else ""
    lines = [f"{log.rows} rows, {len(log.lost)} readings lost; {span}one every {rhythm}."]
    lines.append(f"Read as °{log.unit}.")
    for channel in log.channels:
        ends = write_range(min(channel.temps_c), max(channel.temps_c), "temperature", system)
        length = write_quantity((channel.times_s[-1] - channel.times_s[0]) / 60, "time", system)
        lines.append(f"{channel.name}: {len(channel.times_s)} readings over {length}, {ends}.")
    found = tuple(dict.fromkeys(gaps(log, rulebase)))
    for gap in found[:MOST_LOST_SHOWN]:
        since = datetime.fromtimestamp(log.begins + gap.begins_s).astimezone()
        at = f"from {write_moment(since)}" if log.dated else f"{write_quantity(gap.begins_s / 60, 'time', system)} on"
        lines.append(f"No reading for {write_quantity((gap.ends_s - gap.begins_s) / 60, 'time', system)}, {at}.")
    if len(found) > MOST_LOST_SHOWN:
        lines.append(f"And {len(found) - MOST_LOST_SHOWN} more such gaps.")
    lines += [f"Line {lost.line} not used: {lost.why}." for lost in log.lost[:MOST_LOST_SHOWN]]
    if len(log.lost) > MOST_LOST_SHOWN:
        lines.append(f"And {len(log.lost) - MOST_LOST_SHOWN} more readings not used.")
    return [*lines, *(f"Note: {note}." for note in log.notes)]
