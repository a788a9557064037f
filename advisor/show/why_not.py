"""What a change would break, on the screen and as a machine's object."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Any

from advisor.case.write_plan import write_plan
from advisor.show.record import finding_told
from advisor.units import write_moment, write_span

if TYPE_CHECKING:
    from advisor.advice.why_not import Broken, WhyNot
    from advisor.knowledge.rulebase import Rulebase
    from advisor.show.page import Page

MINUTE = 60.0


def show_why_not(told: WhyNot, page: Page) -> None:
    """Print how the change was taken, what it would break and by how much, what it would ease, and what differs."""
    page.line(f"Why not: {told.altered.words}", bold=True)
    taken = [f"- {did}" for did in told.reading.did]
    taken += [
        f"- it could be {other} too; the worst is told. Say 'step' and its number to choose." for other in told.others
    ]
    taken += [f"- {remark}." for remark in told.altered.case.remarks]
    taken += [f"- {line}" for line in told.assumed]
    for line in taken:
        page.line(line, 2)
    _open(told, page)
    page.line()
    page.line(summary(told), bold=True)
    for line in told.not_there:
        page.line(line, 2, bold=True)
    if told.late is not None:
        page.line(_late_line(told), 2, bold=True)
    _broken_lines("It would break", told.breaks, told, page)
    _broken_lines("It would make worse", told.worse, told, page)
    _rest(told, page)


def _broken_lines(heading: str, found: tuple[Broken, ...], told: WhyNot, page: Page) -> None:
    if found:
        page.heading(heading)
    for one in found:
        page.finding(one.finding, told.before.case.system)
        for line in one.by:
            page.line(f"By how much: {line}.", 4)
        if one.before:
            page.line(f"As planned: {one.before}", 4)


def _late_line(told: WhyNot) -> str:
    """By how much it would be too late, begun now."""
    minutes = ceil(told.late.total_seconds() / MINUTE) if told.late is not None else 0
    serve = told.after.case.serve
    when = f" for {write_moment(serve)}" if serve is not None else ""
    return f"Begun now, it would be {write_span(minutes)} too late{when}."


def _rest(told: WhyNot, page: Page) -> None:
    """Print what the change would mend, and what else would be otherwise."""
    if told.mends:
        page.heading("It would mend")
    for finding in told.mends:
        page.line(f"{finding.says} [{finding.rule.rule.id}]", 2)
    if told.differs:
        page.heading("What else would differ")
    for side in told.differs:
        better = {"first": " (better as planned)", "second": " (better with the change)", "": ""}[side.better]
        page.line(f"{side.what}: as planned {side.first}, with the change {side.second}{better}", 2)


def _open(told: WhyNot, page: Page) -> None:
    if told.understood_all:
        return
    page.heading("Not understood, so nothing can be promised of it")
    for part in told.altered.case.not_understood:
        page.line(f"- '{part}'", 2)
    for point in told.altered.case.open_points:
        page.line(f"- {point}", 2)


def summary(told: WhyNot) -> str:
    """Say in a line or two what the change comes to."""
    before, after = told.before.verdict.upper(), told.after.verdict.upper()
    turn = f"the plan stays {after}" if before == after else f"the plan turns from {before} to {after}"
    count = len(told.breaks)
    if count:
        return f"It would break {count} rule{'s' if count > 1 else ''}; {turn}."
    if told.worse:
        return f"It breaks no other rule, but makes {len(told.worse)} of them worse; {turn}."
    if told.not_there or told.late is not None:
        return f"It breaks no rule, but it cannot be done so; {turn}."
    if not told.understood_all:
        return f"What was understood of it breaks nothing; {turn}."
    return f"It breaks nothing that we know; {turn}."


def why_not_record(told: WhyNot, rulebase: Rulebase) -> dict[str, Any]:
    """Make the object that ``--json`` prints under ``why_not``."""
    case = told.altered.case
    return {
        "words": told.altered.words,
        "says": summary(told),
        "understood": list(told.reading.did),
        "could_be_too": list(told.others),
        "remarks": list(case.remarks),
        "not_understood": list(case.not_understood),
        "unsettled": list(case.open_points),
        "verdict_before": told.before.verdict,
        "verdict_after": told.after.verdict,
        "breaks": [_broken(one) for one in told.breaks],
        "worse": [_broken(one) for one in told.worse],
        "mends": [{"rule": f.rule.rule.id, "says": f.says} for f in told.mends],
        "differs": [
            {"what": s.what, "planned": s.first, "changed": s.second, "better": _better(s.better)} for s in told.differs
        ],
        "cannot_be_done": [*told.not_there, *([_late_line(told)] if told.late is not None else [])],
        "assumed": list(told.assumed),
        "plan": write_plan(told.after.case, rulebase),
    }


def _better(side: str) -> str:
    return {"first": "planned", "second": "changed"}.get(side, "")


def _broken(one: Broken) -> dict[str, Any]:
    finding = one.finding
    return {
        **finding_told(finding),
        "by_how_much": list(one.by),
        "before": one.before,
    }
