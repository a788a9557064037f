"""What comes of a case, in short: every way laid out and judged, so that two answers can be held against each other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.advice.build import Drafting, Kept, draft_plans
from advisor.advice.report import Examiner, worst
from advisor.case.complete import complete
from advisor.case.facts import Fact
from advisor.course import course_facts
from advisor.course.facts import Walks
from advisor.infer import infer
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from advisor.advice.build import Chosen
    from advisor.advice.layout import Lengths
    from advisor.case.model import Case, Given, Ingredient, PlanStep
    from advisor.course.facts import Computed
    from advisor.knowledge.rulebase import Rulebase

Outcome = tuple[object, ...]
MOST_KEPT = 400
MOST_WALKED = 800
DECIMALS = 3


class Outcomes:
    """Works out outcomes, and keeps what was walked: guests change no temperatures.

    Parameters
    ----------
    rulebase : Rulebase
        The knowledge.
    """

    def __init__(self, rulebase: Rulebase) -> None:
        self.rulebase = rulebase
        self.lengths: Lengths = {}
        self._walked: dict[Outcome, Computed] = {}
        self._walks = Walks()
        self._found: dict[Outcome, Outcome] = {}
        self._judgements: dict[Outcome, Outcome] = {}
        self._chosen: Chosen = {}
        self._choosing, self._judging = _read_of_guests(rulebase)

    def of(self, case: Case, softeners: tuple[Ingredient, ...]) -> Outcome:
        """Steps, verdict and findings of every way that the rules propose.

        A piece that nobody measured is worked out at both ends of what is usual for its cut.
        """
        key = (_said(case.piece), _said(case.guests), softeners)
        if key not in self._found:
            if len(self._found) >= MOST_KEPT:
                self._found.clear()
                self._judgements.clear()
                self._chosen.clear()
            found = [self._at(one, softeners) for one in _measured(case, self.rulebase)]
            self._found[key] = tuple(found)
        return self._found[key]

    def _at(self, case: Case, softeners: tuple[Ingredient, ...]) -> Outcome:
        drafts = draft_plans(case, softeners, self.rulebase, self.lengths, Kept(self._chosen, self._choosing))
        plans = [
            plan
            for _, wished, plain in drafts.laid
            for plan in ((wished,) if wished.steps == plain.steps else (wished, plain))
        ]
        names = tuple(way.name for way, _, _ in drafts.laid)
        return (names, *(self._judged(plan) for plan in plans))

    def _judged(self, plan: Case) -> Outcome:
        """Steps, verdict, findings and forecast; worked out anew only where a rule that judges reads another answer."""
        guests = complete(replace(plan, steps=()), self.rulebase).guests
        read = {name: given for name, given in guests.items() if name in self._judging}
        key = (_said(plan.piece), _said(read), _steps(plan.steps), plan.system)
        if key not in self._judgements:
            self._judgements[key] = self._judged_anew(plan)
        return self._judgements[key]

    def _judged_anew(self, plan: Case) -> Outcome:
        computed = self.computed(plan)
        found = infer(self.rulebase, computed.facts, plan.system, "reference").findings
        report_key = tuple(sorted((f.rule.rule.id, -1 if f.step is None else f.step) for f in found))
        feel = tuple(
            round(fact.value, DECIMALS)
            for name in ("tender_high", "loss_high")
            if (fact := computed.facts.course.get(name)) is not None and isinstance(fact.value, float)
        )
        return _steps(plan.steps), worst([f.verdict for f in found]), report_key, feel

    def drafting(self) -> Drafting:
        """What plans share that are built to be held against each other, with an examiner of their own."""
        return Drafting(self.lengths, Kept(self._chosen, self._choosing), Examiner(self.rulebase, self.computed))

    def computed(self, plan: Case) -> Computed:
        """Facts of a plan; what was walked before is not walked again for other guests."""
        told = (str(plan.since), str(plan.serve)) if plan.since is not None else ()
        key = (_said(plan.piece), _steps(plan.steps), plan.system, told)
        if key not in self._walked:
            if len(self._walked) >= MOST_WALKED:
                self._walked.clear()
                self._walks.clear()
            self._walked[key] = course_facts(plan, self.rulebase, self._walks)
        computed = self._walked[key]
        guests = complete(replace(plan, steps=()), self.rulebase).guests
        facts = {
            name: Fact("guests", name, entry.default, "from the rulebase")
            for name, entry in self.rulebase.vocabulary["guests"].items()
            if entry.default is not None
        } | {name: Fact("guests", name, given.value, given.origin) for name, given in guests.items()}
        case = replace(computed.case, guests={**computed.case.guests, **guests}, serve=plan.serve, code=plan.code)
        return replace(computed, case=case, facts=replace(computed.facts, guests=facts))


def _read_of_guests(rulebase: Rulebase) -> tuple[frozenset[str], frozenset[str]]:
    """Facts of the guests that choose ways of working, and those that judge a plan; what concludes counts for both."""
    choosing: set[str] = set()
    judging: set[str] = set()
    for checked in rulebase.rules.values():
        names = {c.fact for c in conditions_of(checked.alternatives) if c.subject == "guests"}
        if checked.rule.concludes.technique or checked.rule.concludes.fact:
            choosing |= names
        if not checked.rule.concludes.technique:
            judging |= names
    return frozenset(choosing), frozenset(judging)


def _said(given: Mapping[str, Given]) -> Outcome:
    return tuple(sorted((name, str(one.value), one.origin) for name, one in given.items()))


def _steps(steps: Iterable[PlanStep]) -> Outcome:
    return tuple(
        (
            step.action,
            tuple(sorted((name, _rounded(given.value)) for name, given in step.given.items())),
            tuple((item.what, item.form, _rounded(item.grams)) for item in step.ingredients),
        )
        for step in steps
    )


def _rounded(value: object) -> object:
    return str(round(value, DECIMALS)) if isinstance(value, float) else str(value)


def _measured(case: Case, rulebase: Rulebase) -> tuple[Case, ...]:
    """The case itself; where nobody measured how thick it is, at both ends of its cut, as if each were measured.

    All that lies between is walked when the plan is mended (`interview.mended`), and when it is shown.
    """
    thick = case.piece.get("thickness")
    if thick is not None and thick.value is not None:
        return (case,)
    from advisor.case.complete import cut_of
    from advisor.case.model import Given

    ends = cut_of(complete(case, rulebase), rulebase).thickness_mm
    return tuple(case.with_value("piece", "thickness", Given(float(end), "answered")) for end in (min(ends), max(ends)))
