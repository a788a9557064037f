"""What a plan's verdict may hang on that nobody said: the worst was taken, and what is true may be better."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from advisor.advice.report import worst
from advisor.case.complete import cut_of
from advisor.case.model import Given
from advisor.course import course_facts
from advisor.infer import infer
from advisor.infer.obstacles import Obstacles
from advisor.units import write_quantity

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase

# What may be better than was taken, and how a cook would say it; those that hang on the guests are dropped first.
BETTER = (
    ("guests", "vulnerable"),
    ("guests", "latex"),
    ("piece", "arrived"),
    ("piece", "bone"),
)
# A bath of which nobody said that it is stirred is taken as a still one.
STILL, STIRRED = "bath_still", "bath_circulated"


@dataclass(frozen=True, slots=True)
class Unsaid:
    """One thing that was not said, as it would be at its best: where it goes, its value, and its words."""

    subject: str
    fact: str
    value: str | float
    words: str

    def said(self, case: Case) -> Case:
        """The case with it said."""
        given = Given(self.value, "answered")
        if self.subject in ("piece", "guests"):
            return case.with_value(self.subject, self.fact, given)
        index = int(self.subject)
        step = case.steps[index]
        return case.with_step(index, replace(step, given={**step.given, self.fact: given}))


def hangs_on(report: Report, rulebase: Rulebase) -> tuple[str, ...]:
    """What would have to be true, and was not said, for the plan to come to *go* as it is; empty where nothing does.

    It promises nothing: each is taken at its worst until the cook says otherwise. No more is named than is needed.
    """
    if report.verdict not in ("change", "stop") or report.case.log is not None or report.case.open_points:
        return ()
    rulebase = rulebase.under(report.case.code) if report.case.code else rulebase
    needed = _unsaid(report, rulebase)
    obstacles = Obstacles(rulebase)

    def goes(said: list[Unsaid]) -> bool:
        case = report.case
        for one in said:
            case = one.said(case)
        return obstacles.first(course_facts(case, rulebase).facts) is None

    if not needed or not goes(needed):
        return ()
    for one in tuple(needed):
        without = [other for other in needed if other is not one]
        if goes(without):
            needed = without
    case = report.case
    for one in needed:
        case = one.said(case)
    found = infer(rulebase, course_facts(case, rulebase).facts, system=case.system).findings
    return tuple(one.words for one in needed) if worst([f.verdict for f in found]) == "go" else ()


def _unsaid(report: Report, rulebase: Rulebase) -> list[Unsaid]:
    full, found = report.computed.case, []
    for subject, fact in BETTER:
        entry = rulebase.vocabulary[subject][fact]
        best = entry.choices[0]
        given = full.given(subject, fact)
        if given is None or given.origin != "assumed worst" or given.value == best:
            continue
        says = entry.says.get(best, best.replace("_", " "))
        # A bone that the cut always has is no matter of not having been said.
        if fact != "bone" or cut_of(full, rulebase).bone == "sometimes":
            found.append(Unsaid(subject, fact, best, f"{entry.means}: {says} (write '{fact}: {best}')"))
    for index, step in enumerate(report.case.steps):
        taken = full.steps[index].given.get("place")
        if "place" not in step.given and taken is not None and taken.value == STILL and step.action == "bath":
            says = rulebase.vocabulary["step"]["place"].says.get(STIRRED, rulebase.media[STIRRED].name)
            found.append(Unsaid(str(index), "place", STIRRED, f"step {index + 1}: {says} (write 'stirred bath')"))
        heat = full.steps[index].given.get("temperature")
        medium = rulebase.media.get(full.steps[index].word("place"))
        if heat is None or heat.origin != "assumed worst" or medium is None or medium.usual_c is None:
            continue
        # A fridge or an ice bath is as warm as the warmest that is plausible until somebody reads its thermometer.
        degrees = float(medium.usual_c)
        if degrees <= rulebase.limit("cold_hold_max"):
            shown = write_quantity(degrees, "temperature", full.system)
            plain = write_quantity(degrees, "temperature", full.system, both=False)
            words = f"step {index + 1}: the {medium.name} is at {shown} (write 'at {plain}')"
            found.append(Unsaid(str(index), "temperature", degrees, words))
    return found
