"""Builds a plan from what the cook has and wants: rules choose the ways of working, the road checks the result."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

from advisor.advice.layout import lay_out
from advisor.advice.mends import Mended, find_mends
from advisor.advice.report import Report, examine
from advisor.advice.schedule import late_by, schedule
from advisor.case.complete import complete
from advisor.case.model import Case, Given, Ingredient

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.infer.proof import Technique
    from advisor.knowledge.rulebase import Rulebase

# A plan that three rounds of mending do not bring to go is shown as it is, with what stands in its way.
MOST_ROUNDS = 3
MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class Built:
    """A plan that was built.

    ``made`` are the mends made on the way, each with the rule that asked for it, ``ruled_out`` the techniques that
    the rules ruled out; the cook is told of each.
    """

    report: Report
    made: tuple[tuple[Mended, str], ...]
    ruled_out: tuple[Technique, ...]


def build_plan(case: Case, softeners: tuple[Ingredient, ...], rulebase: Rulebase, now: datetime | None = None) -> Built:
    """Lay out steps for a case that has none, then mend them along the road until they are clean.

    Parameters
    ----------
    case : Case
        What the cook has and wants; its steps are ignored.
    softeners : tuple of Ingredient
        What the cook would soften it with; the rules may rule it out.
    rulebase : Rulebase
        The knowledge.
    now : datetime, optional
        Local time; a plan that would begin in the past has its salting shortened as far as that helps.
    """
    said = replace(case.with_value("guests", "softener", Given("yes" if softeners else "no", "answered")), steps=())
    inference = examine(said, rulebase).inference
    out = {t.name: t for t in inference.techniques if t.fit == "rule out"}
    chosen = frozenset(t.name for t in inference.techniques if t.fit == "choose") - set(out)
    cook_class = str(inference.facts.piece["cook_class"].value)
    full = complete(said, rulebase)
    if "quick_sear" in chosen and full.word("piece", "form") in ("steak", "roast"):
        # It is sliced before it is seared, and slices follow other rules than a steak.
        said = said.with_value(
            "piece", "form", Given("slices", "from the rulebase", note="sliced thin before the sear")
        )
        full = complete(said, rulebase)
    steps = lay_out(full, softeners if "enzyme" in chosen else (), chosen, cook_class, rulebase)
    planned = replace(said, steps=steps)
    report, made = examine(planned, rulebase), []
    if now is not None:
        planned = _in_time(planned, report, now, rulebase)
        report = examine(planned, rulebase)
    for _ in range(MOST_ROUNDS):
        mend = next((m for m in find_mends(report, rulebase) if not m.only_if), None)
        if report.verdict == "go" or mend is None:
            break
        made.append((mend, report.problems[0].rule.rule.id))
        changed = {name: given for name, given in mend.case.piece.items() if full.piece.get(name) != given}
        report = examine(replace(planned, steps=mend.case.steps, piece={**said.piece, **changed}), rulebase)
    return Built(report, tuple(made), tuple(out.values()))


def _in_time(planned: Case, report: Report, now: datetime, rulebase: Rulebase) -> Case:
    """Shorten the first salting, as far as salt allows, when the plan would have had to begin already."""
    late = late_by(schedule(report, rulebase), now)
    first = next((i for i, step in enumerate(planned.steps) if step.action in ("salt", "marinate")), None)
    if late is None or first is None:
        return planned
    minutes = planned.steps[first].number("minutes") - ceil(late.total_seconds() / MINUTE)
    shortest = rulebase.limit("plan_salt_shortest")
    return planned.with_step(first, planned.steps[first].with_value("minutes", max(shortest, minutes)))
