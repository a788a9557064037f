"""Runs one case down the whole road and says what it comes to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from advisor.case.complete import assumptions
from advisor.course import course_facts
from advisor.infer import infer
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from advisor.case.model import Case
    from advisor.course.facts import Computed
    from advisor.infer.proof import Finding, Inference
    from advisor.knowledge.records import Verdict
    from advisor.knowledge.rulebase import Rulebase

Engine = Literal["auto", "durable", "reference"]
# From harmless to worst. A missing fact outranks a change: nothing can be promised without it.
VERDICTS: tuple[Verdict, ...] = ("go", "change", "ask", "stop")
SIGNALS = ("NOTICE", "CAUTION", "WARNING", "DANGER")


@dataclass(frozen=True, slots=True)
class Report:
    """One case, examined.

    Attributes
    ----------
    case : Case
        As it was read or answered.
    computed : Computed
        The completed case, its course and facts.
    inference : Inference
        The proof: firings, findings, techniques, and which engine answered.
    verdict : {"go", "change", "ask", "stop"}
        The worst of the findings.
    assumed : tuple of str
        What was assumed, in plain words.
    """

    case: Case
    computed: Computed
    inference: Inference
    verdict: Verdict
    assumed: tuple[str, ...]

    @property
    def problems(self) -> tuple[Finding, ...]:
        """Findings that stand in the way, worst first."""
        return tuple(sorted((f for f in self.inference.findings if f.verdict != "go"), key=severity, reverse=True))

    @property
    def notes(self) -> tuple[Finding, ...]:
        """Findings that only inform, worst signal first; the reasons of the steps are left to the steps."""
        told = [f for f in self.inference.findings if f.verdict == "go" and not f.rule.rule.beside]
        return tuple(sorted(told, key=severity, reverse=True))

    def of_step(self, index: int) -> tuple[Finding, ...]:
        """Findings bound to step ``index`` (from 0), worst first."""
        return tuple(sorted((f for f in self.inference.findings if f.step == index), key=severity, reverse=True))


def severity(finding: Finding) -> tuple[int, int, int]:
    """Order of findings: signal, then verdict, with safety before law before craft."""
    concern = ("money", "craft", "law", "safety").index(finding.concern)
    return SIGNALS.index(finding.signal), VERDICTS.index(finding.verdict), concern


def worst(verdicts: Sequence[Verdict]) -> Verdict:
    """Worst of several verdicts; "go" when there are none."""
    return max(verdicts, key=VERDICTS.index, default="go")


def examine(case: Case, rulebase: Rulebase, engine: Engine = "auto") -> Report:
    """Take a case down the road: complete, walk, compute, infer, judge.

    Raises
    ------
    EngineError
        The inference engine failed; never a wrong verdict instead.
    """
    # A plan that names its food code is judged under it, whoever asks; under a code twice is under it once.
    rulebase = rulebase.under(case.code) if case.code else rulebase
    computed = course_facts(case, rulebase)
    inference = infer(rulebase, computed.facts, system=case.system, engine=engine)
    verdict = worst([finding.verdict for finding in inference.findings])
    return Report(case, computed, inference, verdict, assumptions(computed.case, _idle(computed, rulebase)))


class Examiner:
    """Examines cases while a plan is made, by the reference evaluator, and keeps what it found.

    Two plans that are made from nearly the same answers come by the same cases; each is walked once.

    Parameters
    ----------
    rulebase : Rulebase
        Under the food code that holds.
    walk : callable, optional
        Walks a case; `course_facts` when not given.
    """

    def __init__(self, rulebase: Rulebase, walk: Callable[[Case], Computed] | None = None) -> None:
        self.rulebase = rulebase
        self.reports: list[Report] = []
        self._walk = walk

    def __call__(self, case: Case) -> Report:
        """Examine a case."""
        if self._walk is None:
            report = examine(case, self.rulebase, "reference")
        else:
            computed = self._walk(case)
            inference = infer(self.rulebase, computed.facts, system=case.system, engine="reference")
            verdict = worst([finding.verdict for finding in inference.findings])
            report = Report(case, computed, inference, verdict, ())
        self.reports.append(report)
        return report


def _idle(computed: Computed, rulebase: Rulebase) -> frozenset[str]:
    """Facts on which nothing hangs in this case, so that an assumption about them need not be told."""
    idle = set(_only_for_planning(rulebase))
    if computed.case.word("guests", "setting") == "home":
        idle |= {"guests advisory", "guests approval"}
    if all(
        facts.get("adds_latex_kin") is None or facts["adds_latex_kin"].value == "no" for facts in computed.facts.steps
    ):
        idle.add("guests latex")
    return frozenset(idle)


def _only_for_planning(rulebase: Rulebase) -> frozenset[str]:
    """Names of facts that only choose ways of working; assuming them changes no finding."""
    planning: set[str] = set()
    judging: set[str] = set()
    for checked in rulebase.rules.values():
        names = {f"{c.subject} {c.fact}" for c in conditions_of(checked.alternatives)}
        (planning if checked.rule.concludes.technique else judging).update(names)
    return frozenset(planning - judging)
