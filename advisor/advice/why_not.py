"""Why not: what a change of a plan would break, by how much, and what it would ease."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from advisor.advice.altering import Reading, readings
from advisor.advice.beside import Side, beside
from advisor.advice.report import VERDICTS, Report, examine
from advisor.advice.schedule import late_by, schedule
from advisor.case.words.altered import read_altered
from advisor.errors import InputError
from advisor.units import write_quantity

if TYPE_CHECKING:
    from datetime import datetime, timedelta

    from advisor.case.model import Case
    from advisor.case.words.altered import Altered
    from advisor.infer.proof import Finding, Judged
    from advisor.knowledge.rulebase import Rulebase

EASE = 1e-9
# Tools of the interview, each with the actions and places of a step that needs it.
TOOLS = {
    "bath": frozenset({"bath", "bath_circulated", "bath_still"}),
    "pressure": frozenset({"pressure_cooker"}),
    "blade_tool": frozenset({"needle"}),
    "injector": frozenset({"inject"}),
}
NUMBERED = re.compile(r"^step \d+: ")
UNPLACED = "not_placed"
SAYS_OF = {"is over": "over", "is at least": "over", "is under": "short of", "is at most": "short of"}


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that stands in the way of the changed plan.

    Attributes
    ----------
    finding : Finding
        What it says of the changed plan.
    before : str
        What it said of the plan as it stands; empty when it did not stand in its way.
    by : tuple of str
        For every figure it compares: what it comes to, the limit, and by how much it is beyond it.
    """

    finding: Finding
    before: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WhyNot:
    """What a change would do.

    Attributes
    ----------
    altered : Altered
        The change as it was understood.
    reading : Reading
        The way it was taken: where several steps could be meant, the worst.
    others : tuple of str
        The other steps that could be meant.
    before, after : Report
        The plan without it and with it.
    breaks, worse : tuple of Broken
        Rules that stand in its way anew; those that did already, and more so now.
    mends : tuple of Finding
        What stood in the way of the plan, and would no longer.
    differs : tuple of Side
        Everything else that would be otherwise: time, bite, salt, yield, risk.
    not_there : tuple of str
        Tools that the change needs and of which the cook did not say that they are there, in sentences.
    late : timedelta or None
        By how much it could not be ready for the service named, begun now; None where the plan is as late, or in time.
    assumed : tuple of str
        What had to be assumed of the change.
    """

    altered: Altered
    reading: Reading
    others: tuple[str, ...]
    before: Report
    after: Report
    breaks: tuple[Broken, ...]
    worse: tuple[Broken, ...]
    mends: tuple[Finding, ...]
    differs: tuple[Side, ...]
    not_there: tuple[str, ...] = ()
    late: timedelta | None = None
    assumed: tuple[str, ...] = ()

    @property
    def understood_all(self) -> bool:
        """Whether every word of the change has its place; if not, nothing can be promised of it."""
        return not self.altered.case.open_points and not self.altered.case.not_understood


def why_not(before: Report, words: str, rulebase: Rulebase, now: datetime) -> WhyNot:
    """Put a change into a plan, take it down the same road, and hold the findings side by side.

    Where the change could be of several steps, each is tried and the worst is told.

    Raises
    ------
    InputError
        The change cannot be read, or speaks of nothing in this plan.
    """
    rulebase = rulebase.under(before.case.code) if before.case.code else rulebase
    altered = read_altered(words, before.case, rulebase, now)
    ways = readings(before.case, altered, rulebase)
    can = [way for way in ways if not way.problem]
    if not can:
        raise InputError(f"The plan cannot be so: {ways[0].problem}", "Say the change in other words.")
    tried = [(way, examine(_with_open(way, altered), rulebase, "reference")) for way in can]
    reading, _ = max(tried, key=lambda pair: _badness(before, pair[1]))
    after = examine(_with_open(reading, altered), rulebase)
    old = {finding.rule.rule.id: finding for finding in reversed(before.problems)}
    breaks: list[Broken] = []
    worse: list[Broken] = []
    for finding in after.problems:
        had = old.get(finding.rule.rule.id)
        if any(judged.condition.fact == UNPLACED for judged in finding.figures):
            continue  # what was not understood of the change is told on its own
        if had is None:
            breaks.append(Broken(finding, "", _by(finding, before, rulebase)))
        elif _further(finding) > _further(had) + EASE or _rank(finding) > _rank(had):
            worse.append(Broken(finding, had.says, _by(finding, before, rulebase)))
    still = {finding.rule.rule.id for finding in after.problems}
    return WhyNot(
        altered,
        reading,
        tuple("; ".join(way.where) for way in can if way is not reading and way.where),
        before,
        after,
        _once(breaks),
        _once(worse),
        tuple(finding for rule, finding in old.items() if rule not in still),
        tuple(
            side for side in beside(before, after, rulebase) if side.first != side.second and side.what != "only here"
        ),
        _not_there(before, after, rulebase),
        _late(before, after, rulebase, now),
        _newly_assumed(before, after),
    )


def _newly_assumed(before: Report, after: Report) -> tuple[str, ...]:
    """What was assumed of the change alone; a step put in gives those behind it other numbers."""
    had = {NUMBERED.sub("", line) for line in before.assumed}
    return tuple(line for line in after.assumed if NUMBERED.sub("", line) not in had)


def _not_there(before: Report, after: Report, rulebase: Rulebase) -> tuple[str, ...]:
    """Tools that the changed plan needs, the plan as it stands does not, and the cook did not say to have."""
    found: list[str] = []
    for fact, needs in TOOLS.items():
        if (
            _needs(after, needs)
            and not _needs(before, needs)
            and (said := after.case.given("guests", fact)) is not None
        ):
            tool = next((q.tool for q in rulebase.questions.values() if q.fact == f"guests {fact}"), fact)
            if said.value == "no" and said.origin != "assumed typical":
                found.append(f"You told us that you do not have {tool}.")
            elif said.value != "yes":
                found.append(f"You did not say that you have {tool}.")
    return tuple(found)


def _needs(report: Report, needs: frozenset[str]) -> bool:
    return any(step.action in needs or step.word("place") in needs for step in report.case.steps)


def _late(before: Report, after: Report, rulebase: Rulebase, now: datetime) -> timedelta | None:
    """By how much the change is too late for the service, where the plan as it stands is less so."""
    late, as_planned = late_by(schedule(after, rulebase), now), late_by(schedule(before, rulebase), now)
    return late if late is not None and (as_planned is None or as_planned < late) else None


def _with_open(way: Reading, altered: Altered) -> Case:
    """The changed plan, with what is open in the words of the change open in it too."""
    lost = (*way.case.not_understood, *altered.case.not_understood)
    return replace(way.case, unsettled=(*way.case.unsettled, *altered.case.unsettled), not_understood=lost)


def _once(found: list[Broken]) -> tuple[Broken, ...]:
    """Each rule and sentence once; a rule may speak of two steps."""
    told = {(one.finding.rule.rule.id, one.finding.says): one for one in reversed(found)}
    return tuple(reversed(told.values()))


def _rank(finding: Finding) -> int:
    return VERDICTS.index(finding.verdict)


def _further(finding: Finding) -> float:
    """How far beyond its limits a rule finds the plan, as a share of each limit."""
    return sum(
        abs(judged.margin) / max(abs(judged.condition.bound), 1.0)
        for judged in finding.figures
        if judged.margin is not None and judged.condition.bound is not None
    )


def _badness(before: Report, after: Report) -> tuple[int, int, float]:
    """Order of the ways to take a change: verdict, then how many rules it breaks, then how far."""
    old = {finding.rule.rule.id for finding in before.problems}
    new = {finding.rule.rule.id for finding in after.problems} - old
    return VERDICTS.index(after.verdict), len(new), sum(_further(finding) for finding in after.problems)


def _by(finding: Finding, before: Report, rulebase: Rulebase) -> tuple[str, ...]:
    """For every figure of a finding: what it comes to, its limit, how far beyond, and what it was before."""
    return tuple(dict.fromkeys(line for j in finding.figures if (line := _by_one(j, before, rulebase))))


def _by_one(judged: Judged, before: Report, rulebase: Rulebase) -> str:
    condition = judged.condition
    if judged.margin is None or condition.bound is None or not isinstance(judged.value, float | int):
        return ""
    side = SAYS_OF.get(condition.comparison)
    if side is None:
        return ""
    entry = rulebase.vocabulary[condition.subject][condition.fact]
    kind = entry.quantity or "count"
    system = before.case.system

    def show(value: float) -> str:
        return write_quantity(value, kind, system)

    apart = abs(judged.margin)
    off = write_quantity(apart, "temperature_difference" if kind == "temperature" else kind, system)
    how = (
        f"{off} {side} the limit of {show(condition.bound)}"
        if apart > EASE
        else f"right at the limit of {show(condition.bound)}"
    )
    had = before.computed.facts.course.get(condition.fact) if condition.subject == "course" else None
    was = f" (as planned {show(had.value)})" if had is not None and isinstance(had.value, float | int) else ""
    return f"{entry.means}: {show(float(judged.value))}{was}, {how}"
