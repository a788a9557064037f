"""Clock times of a plan, counted back from service, and the checks on the way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from advisor.course.roles import SEARS

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.case.facts import Fact
    from advisor.knowledge.rulebase import Rulebase

# A row of a table is the least; the kill model may ask more, and the planned time counts it all.
KEEP_ON = "leave it in the heat and read again; never cut the planned time short"
# Which facts of the tables speak for a class of food.
TABLE_OF = {"bird": "bird", "whole_meat": "whole", "organ_meat": "liver"}
# Steps at which the cook's hands are busy for the whole of their length.
BUSY = frozenset({"score", "needle", "pound", "inject", "salt", "wipe", "bag", "dry", "pan", "grill", "slice", "serve"})


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
    course = report.computed.course
    steps = report.computed.case.steps
    lengths: list[float] = []
    for index, step in enumerate(steps):
        leg = course.slow.of_step(index) if course is not None else None
        turns = step.number("sides", 1.0) if step.action in SEARS else 1.0
        lengths.append(leg.minutes if leg is not None else step.number("minutes") * turns)
    serve = report.computed.case.serve
    # A final step of no length is the service itself.
    total = sum(lengths)
    slots: list[Slot] = []
    now = 0.0
    for index, length in enumerate(lengths):
        begins = serve - timedelta(minutes=total - now) if serve is not None else None
        ends = serve - timedelta(minutes=total - now - length) if serve is not None else None
        slots.append(Slot(index, now, now + length, begins, ends, _busy(steps[index].action, length, rulebase)))
        now += length
    return tuple(slots)


def _busy(action: str, length: float, rulebase: Rulebase) -> float:
    """Hands-on minutes of a step: all of a sear; of other work what it usually takes, the rest is waiting."""
    if action in ("pan", "grill"):
        return length
    usual = rulebase.trade_words["usual minutes"].get(action, 0.0)
    return min(length, usual) if action in BUSY else 0.0


def late_by(slots: tuple[Slot, ...], now: datetime) -> timedelta | None:
    """How much too late it is to begin, or None when there is time or no service was named."""
    if not slots or slots[0].begins is None:
        return None
    begins = slots[0].begins
    now = (
        now.astimezone(begins.tzinfo)
        if begins.tzinfo is not None and now.tzinfo is not None
        else now.replace(tzinfo=begins.tzinfo)
    )
    return now - begins if now > begins else None


def checks(report: Report, rulebase: Rulebase) -> tuple[Check, ...]:
    """Readings to take on the way: the middle after the main heat, and both cooling marks."""
    from advisor.units import write_quantity

    system = report.case.system
    facts = report.computed.facts.course
    found: list[Check] = []
    cook_class = report.inference.facts.piece["cook_class"].value
    prefix = TABLE_OF.get(str(cook_class), "broken")
    row, needs, share = (facts.get(f"{prefix}_{name}") for name in ("row", "needs", "share"))
    steps = report.computed.case.steps
    main = [i for i, role in enumerate(report.computed.roles) if role == "cook"]
    gentle = [i for i in main if steps[i].action not in SEARS]
    if main and _number(share) < 1 and cook_class in ("whole_meat", "doubtful_meat"):
        shown = write_quantity(rulebase.limit("surface_cook"), "temperature", system, rounding="up")
        found.append(Check(main[-1], 0.0, f"every face has changed colour and reads {shown} or more", "sear it again"))
    elif main and _number(share) >= 1:
        shown = write_quantity(_number(row), "temperature", system, rounding="up")
        hold = f" for {write_quantity(_number(needs), 'time', system)}" if _number(needs) > 0 else ""
        at = (gentle or main)[-1]
        found.append(
            Check(
                at,
                0.0,
                f"the middle at {shown} or more{hold}",
                KEEP_ON,
            )
        )
    cool = next((i for i, role in enumerate(report.computed.roles) if role == "cool"), None)
    if cool is not None:
        for limit, most in (("cool_first_to", "cool_first_max"), ("cold_hold_max", "cool_all_max")):
            shown = write_quantity(rulebase.limit(limit), "temperature", system, rounding="down")
            found.append(
                Check(
                    cool,
                    rulebase.limit(most),
                    f"the middle at {shown} or less",
                    "reheat it fully at once or throw it out; do not put it away",
                )
            )
    return tuple(found)


def _number(fact: Fact | None) -> float:
    return fact.value if fact is not None and isinstance(fact.value, float) else 0.0
