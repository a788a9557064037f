"""The machine's copy of a report: one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from advisor.advice.mends import no_mend_lines
from advisor.advice.schedule import schedule
from advisor.case.words.playback import understood
from advisor.case.write_plan import write_plan
from advisor.show.words import step_line
from advisor.units import write_quantity

if TYPE_CHECKING:
    from advisor.advice.mends import Mended
    from advisor.advice.report import Report
    from advisor.case.facts import Fact
    from advisor.case.probe import ProbeLog
    from advisor.infer.proof import Finding
    from advisor.knowledge.rulebase import Rulebase

UNITS = {
    "temperature": "degC",
    "temperature_difference": "K",
    "time": "min",
    "length": "mm",
    "mass": "g",
    "volume": "ml",
    "percent": "%",
    "count": "1",
}


def record(
    report: Report,
    mends: tuple[Mended, ...],
    rulebase: Rulebase,
    if_true: tuple[str, ...] = (),
    *,
    planned: bool = False,
) -> dict[str, Any]:
    """Make the object that ``--json`` prints; its schema is ``result.schema.json``."""
    return {
        "verdict": report.verdict,
        "title": report.case.title,
        "findings": [_finding(finding, rulebase, report) for finding in (*report.problems, *report.notes)],
        "mends": [{"change": m.change, "verdict_after": m.verdict, "only_if": m.only_if} for m in mends],
        "if_true": list(if_true),
        "without_mend": list(no_mend_lines(report, mends, rulebase, planned=planned)),
        "facts": [_fact(fact, rulebase) for fact in report.inference.facts.all()],
        "assumed": list(report.assumed),
        "understood": understood(report.case, rulebase),
        "remarks": list(report.case.remarks),
        "not_understood": list(report.case.not_understood),
        "unsettled": list(report.case.open_points),
        "steps": [
            {
                "number": slot.step + 1,
                "says": step_line(report, slot.step, rulebase),
                "begins": slot.begins.isoformat() if slot.begins is not None else None,
                "ends": slot.ends.isoformat() if slot.ends is not None else None,
                "start_min": round(slot.start, 2),
                "end_min": round(slot.end, 2),
                "rules": [f.rule.rule.id for f in report.of_step(slot.step)],
            }
            for slot in schedule(report, rulebase)
        ],
        "plan": write_plan(report.case, rulebase),
        "log": _log(report.case.log),
        "log_from": report.case.log_from,
        "engine": report.inference.engine,
        "rulebase": {
            "version": rulebase.version,
            "hash": rulebase.digest,
            "state": rulebase.version_hash,
            "code": rulebase.code,
            "house": rulebase.house.digest if rulebase.house is not None else None,
        },
    }


def _log(log: ProbeLog | None) -> dict[str, Any] | None:
    """What a probe's record holds, with every reading lost and why."""
    if log is None:
        return None
    return {
        "name": log.name,
        "begins_s": log.begins,
        "unit": log.unit,
        "rows": log.rows,
        "usual_interval_s": log.median_s,
        "channels": [
            {"name": channel.name, "times_s": list(channel.times_s), "temps_c": list(channel.temps_c)}
            for channel in log.channels
        ],
        "lost": [{"line": lost.line, "why": lost.why} for lost in log.lost],
        "notes": list(log.notes),
    }


def finding_told(finding: Finding) -> dict[str, Any]:
    """What every record of a finding begins with."""
    return {
        "rule": finding.rule.rule.id,
        "concern": finding.concern,
        "signal": finding.signal,
        "verdict": finding.verdict,
        "step": finding.step + 1 if finding.step is not None else None,
        "says": finding.says,
        "because": finding.because,
    }


def _finding(finding: Finding, rulebase: Rulebase, report: Report) -> dict[str, Any]:
    return {
        **finding_told(finding),
        "caution": dict(zip(("hazard", "consequence", "instead"), finding.caution, strict=True))
        if finding.caution
        else None,
        "figures": [
            {
                "condition": str(judged.condition),
                "value": judged.value,
                "limit": judged.condition.bound,
                "margin": judged.margin,
                "unit": UNITS.get(_quantity(judged.condition.subject, judged.condition.fact, rulebase), ""),
                "shown": write_quantity(
                    judged.value,
                    _kind(judged.condition.subject, judged.condition.fact, rulebase),
                    report.case.system,
                )
                if isinstance(judged.value, float)
                else str(judged.value),
                "codes": _codes(judged.condition.limit, rulebase),
            }
            for judged in finding.figures
        ],
        "sources": [
            {
                "id": c.id,
                "title": rulebase.sources[c.id].title,
                "edition": rulebase.sources[c.id].edition,
                "section": c.section,
                "known": rulebase.sources[c.id].known,
            }
            for c in finding.sources
        ],
        "doubts": list(finding.doubts),
        "basis": finding.rule.rule.basis,
    }


def _codes(limit: str, rulebase: Rulebase) -> list[dict[str, Any]]:
    """What each food code asks where a limit was compared with, the chosen one first, then the strictest."""
    return [
        {
            "code": beside.code.id,
            "value": beside.figure.value,
            "source": beside.source,
            "section": beside.figure.section,
            "known": beside.figure.known,
            "stands": beside.stands,
        }
        for beside in (rulebase.beside(limit) if limit else ())
    ]


def _quantity(subject: str, fact: str, rulebase: Rulebase) -> str:
    return rulebase.vocabulary[subject][fact].quantity or ""


def _kind(subject: str, fact: str, rulebase: Rulebase) -> Any:
    return rulebase.vocabulary[subject][fact].quantity or "count"


def _fact(fact: Fact, rulebase: Rulebase) -> dict[str, Any]:
    subject = "step" if fact.subject.startswith("step") else fact.subject
    entry = rulebase.vocabulary.get(subject, {}).get(fact.name)
    return {
        "name": fact.id,
        "value": fact.value,
        "unit": UNITS.get(entry.quantity or "", "") if entry is not None else "",
        "low": fact.low,
        "high": fact.high,
        "doubts": list(fact.doubts),
        "origin": fact.origin,
        "as_written": fact.as_written,
        "by": fact.by,
    }
