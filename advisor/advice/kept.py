"""A result that was kept: opened again, and held against what the rulebase says now."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from advisor.advice.report import examine
from advisor.case.probe import Channel, Lost, ProbeLog
from advisor.case.read_plan import read_plan
from advisor.errors import InputError

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase


@dataclass(frozen=True, slots=True)
class Reopened:
    """A kept result and the same plan examined now.

    Attributes
    ----------
    kept : mapping
        The result as it was kept.
    now : Report
        The plan, and its probe's record if it had one, down the road of today.
    same_rulebase : bool
        Whether the rulebase is the one that answered then, house file and food code included.
    gone, new : tuple of str
        Rules that spoke then and do not now, and the other way round.
    """

    kept: Mapping[str, Any]
    now: Report
    same_rulebase: bool
    gone: tuple[str, ...]
    new: tuple[str, ...]


def read_kept(text: str, name: str) -> Mapping[str, Any]:
    """Read a kept result.

    Raises
    ------
    InputError
        It is not one of ours, or lacks the plan.
    """
    hint = "Give a file that 'advisor check PLAN --save FILE.json' wrote."
    try:
        kept = json.loads(text)
    except ValueError as error:
        raise InputError("This is not a kept result: it is no JSON.", hint, name) from error
    wanted = ("verdict", "findings", "plan", "rulebase")
    if not isinstance(kept, Mapping) or any(key not in kept for key in wanted):
        raise InputError("This is not a kept result: it lacks the plan or the verdict.", hint, name)
    if not isinstance(kept["plan"], str) or not isinstance(kept["rulebase"], Mapping):
        raise InputError("The plan in this kept result cannot be read.", hint, name)
    return kept


def reopened(kept: Mapping[str, Any], name: str, rulebase: Rulebase, now: datetime) -> Reopened:
    """Examine a kept plan again.

    Raises
    ------
    PlanErrors
        The plan in it cannot be read by the rulebase of today.
    """
    case = read_plan(kept["plan"], rulebase, now, f"the plan in {name}")
    log = kept.get("log")
    if isinstance(log, Mapping):
        case = replace(case, log=_log(log, name), log_from=kept.get("log_from"))
    report = examine(case, rulebase)
    then = {str(finding.get("rule")) for finding in kept["findings"] if isinstance(finding, Mapping)}
    today = {finding.rule.rule.id for finding in (*report.problems, *report.notes)}
    return Reopened(
        kept,
        report,
        kept["rulebase"].get("hash") == rulebase.digest,
        tuple(sorted(then - today)),
        tuple(sorted(today - then)),
    )


def _log(log: Mapping[str, Any], name: str) -> ProbeLog:
    try:
        channels = tuple(
            Channel(str(one["name"]), tuple(map(float, one["times_s"])), tuple(map(float, one["temps_c"])))
            for one in log["channels"]
        )
        return ProbeLog(
            str(log["name"]),
            float(log["begins_s"]),
            channels,
            int(log["rows"]),
            tuple(Lost(int(one["line"]), str(one["why"])) for one in log["lost"]),
            str(log["unit"]),
            float(log["usual_interval_s"]),
            tuple(map(str, log["notes"])),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise InputError(
            "The probe's record in this kept result cannot be read.", "Check the plan again with its log.", name
        ) from error
