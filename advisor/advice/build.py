"""Builds a plan from what the cook has and wants: rules propose ways of working, the road works each of them out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING

from advisor.advice.clean import cleaned, mended_at_last
from advisor.advice.clock import out_of_the_night, salted_less
from advisor.advice.layout import lay_out
from advisor.advice.mends import Mended
from advisor.advice.rank import Score, score
from advisor.advice.report import VERDICTS, Examiner, Report, examine
from advisor.advice.schedule import late_by, schedule
from advisor.advice.thaws import thawed_in_water
from advisor.advice.waits import keeps_until
from advisor.advice.ways import Way, ways
from advisor.case.complete import complete
from advisor.case.model import Case, Given, Ingredient
from advisor.infer.proof import Technique

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from advisor.advice.clean import Made
    from advisor.advice.layout import Lengths
    from advisor.knowledge.rulebase import Rulebase

MINUTE = 60.0
QUARTER_MINUTES = 15
MOST_OTHERS = 2
# The wide search takes seconds: only the two ways that rank first get it, so that the cook does not wait long.
MOST_WIDE = 2


@dataclass(frozen=True, slots=True)
class Option:
    """One way of working, worked out along the road.

    ``made`` are the mends made on the way, each with the rule that asked for it; ``late`` says that it would have
    had to begin already; ``whole`` is the plan before its salting was cut for that.
    """

    way: Way
    report: Report
    made: Made
    score: Score
    late: bool
    whole: Report

    @property
    def rank(self) -> tuple[bool, bool, int, bool, float]:
        """Order of plans: clean ones first, then those that may be chosen, those in time, and the better ones."""
        verdict = self.report.verdict
        return verdict != "go", self.way.aside, VERDICTS.index(verdict), self.late, self.score.total


@dataclass(frozen=True, slots=True)
class Built:
    """A plan that was built.

    ``made`` are the mends made on the way, each with the rule that asked for it, ``ruled_out`` the techniques that
    the rules ruled out; the cook is told of each. ``best`` is the plan itself, ``others`` up to two that are clean
    too, and ``failed`` those that are not, each with what stands in its way. ``wished`` is the service that was named;
    where it cannot be kept the plan is laid out for the earliest that can, and ``in_time`` holds ways that keep it.
    ``ordered`` holds every way that was worked out, the best first. ``keeps_until`` is the latest service for which
    the raw meat keeps, where it was named too far off for that and nothing else is wrong.
    """

    report: Report
    made: Made
    ruled_out: tuple[Technique, ...]
    best: Option
    others: tuple[Option, ...] = ()
    failed: tuple[Option, ...] = ()
    in_time: tuple[Option, ...] = ()
    wished: datetime | None = None
    ordered: tuple[Option, ...] = ()
    keeps_until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Drafts:
    """Ways of working laid out, none of them mended yet: each as wished, and without the softener.

    ``lay`` lays out one more.
    """

    said: Case
    techniques: tuple[Technique, ...]
    laid: tuple[tuple[Way, Case, Case], ...]
    lay: Callable[[Way], tuple[Way, Case, Case]]


# The piece, what was read of the guests, and the units: the techniques and the class of food that come of them.
Chosen = dict[tuple[object, ...], tuple[tuple[Technique, ...], str]]


@dataclass(frozen=True, slots=True)
class Kept:
    """Techniques chosen before, and the facts of the guests that choose them."""

    chosen: Chosen
    reads: frozenset[str]

    def of(self, said: Case, rulebase: Rulebase) -> tuple[tuple[Technique, ...], str]:
        """Techniques and class of food for a case; no rule that chooses reads anything beside the key."""
        key = (
            tuple(sorted((n, str(g.value), g.origin) for n, g in said.piece.items())),
            tuple(sorted((n, str(g.value), g.origin) for n, g in said.guests.items() if n in self.reads)),
            said.system,
        )
        if key not in self.chosen:
            self.chosen[key] = _chosen(said, rulebase)
        return self.chosen[key]


@dataclass(frozen=True, slots=True)
class Drafting:
    """What many plans for nearly the same answers share: lengths, techniques, and one who examines and keeps walks."""

    lengths: Lengths
    kept: Kept
    examine: Examiner


def _chosen(said: Case, rulebase: Rulebase) -> tuple[tuple[Technique, ...], str]:
    inference = examine(said, rulebase, "reference").inference
    return inference.techniques, str(inference.facts.piece["cook_class"].value)


def draft_plans(
    case: Case,
    softeners: tuple[Ingredient, ...],
    rulebase: Rulebase,
    lengths: Lengths | None = None,
    kept: Kept | None = None,
) -> Drafts:
    """Lay out a plan for every way of working that the rules propose.

    Parameters
    ----------
    case : Case
        What the cook has and wants; its steps are ignored.
    softeners : tuple of Ingredient
        What the cook would soften it with; the rules may rule it out.
    rulebase : Rulebase
        The knowledge.
    lengths : dict, optional
        Lengths of heats worked out before.
    kept : Kept, optional
        Techniques chosen before.
    """
    lengths = {} if lengths is None else lengths
    said = replace(case.with_value("guests", "softener", Given("yes" if softeners else "no", "answered")), steps=())
    techniques, cook_class = kept.of(said, rulebase) if kept is not None else _chosen(said, rulebase)
    full = complete(said, rulebase)
    want = full.word("guests", "want", "pink")

    def laid_out(way: Way) -> Case:
        mine, whole = said, full
        if way.heat == "quick_sear" and full.word("piece", "form") in ("steak", "roast"):
            # It is sliced before it is seared, and slices follow other rules than a steak.
            thin = Given("slices", "from the rulebase", note="sliced thin before the sear")
            mine = said.with_value("piece", "form", thin)
            whole = complete(mine, rulebase)
        with_it = softeners if "enzyme" in way.techniques else ()
        steps = lay_out(whole, with_it, way.techniques, cook_class, rulebase, lengths)
        return replace(mine, steps=steps)

    def lay(way: Way) -> tuple[Way, Case, Case]:
        return way, laid_out(way), laid_out(way.without("enzyme"))

    proposed = ways(techniques, want, softened=bool(softeners))
    return Drafts(said, techniques, tuple(map(lay, proposed)), lay)


def build_plan(
    case: Case,
    softeners: tuple[Ingredient, ...],
    rulebase: Rulebase,
    now: datetime | None = None,
    drafting: Drafting | None = None,
) -> Built:
    """Lay out every way that the rules propose, mend each until it is clean, and put them in order.

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
    drafting : Drafting, optional
        What was worked out before, and who examines; such a plan is for comparing, not for showing.
    """
    rulebase = rulebase.under(case.code) if case.code else rulebase
    # To the minute, as it is written.
    case = replace(case, since=now.replace(second=0, microsecond=0) if now is not None else None)
    look = drafting.examine if drafting is not None else Examiner(rulebase)
    drafts = draft_plans(case, softeners, rulebase, *((drafting.lengths, drafting.kept) if drafting else ()))
    options = _thawed_in_time(_options(drafts, look, now), look, now)
    if drafting is None and not any(one.report.verdict == "go" and not one.way.aside for one in options):
        options = _one_mended(sorted(options, key=lambda option: option.rank), look, now)
    ordered = sorted(_none_aside(options), key=lambda option: option.rank)
    best = ordered[0]
    if now is not None and not best.late:
        best = replace(best, report=out_of_the_night(best.report, now, rulebase, look))
    if now is not None and best.late:
        best = replace(best, report=_at_the_earliest(best.report, now, rulebase))
    # What is shown is answered by the engine in use; the search went by the reference evaluator, for speed.
    said = _as_said(best.report.case, case)
    best = replace(best, report=examine(said, rulebase) if drafting is None else look(said))
    clean = [option for option in ordered[1:] if option.report.verdict == "go"]
    return Built(
        report=best.report,
        made=best.made,
        ruled_out=tuple({t.name: t for t in drafts.techniques if t.fit == "rule out"}.values()),
        best=best,
        others=tuple(clean[:MOST_OTHERS]),
        failed=tuple(option for option in ordered[1:] if option.report.verdict != "go"),
        wished=case.serve,
        in_time=tuple(option for option in clean if not option.late),
        ordered=(best, *ordered[1:]),
        keeps_until=keeps_until(best.report, now, look) if drafting is None and now is not None else None,
    )


def _options(drafts: Drafts, look: Examiner, now: datetime | None) -> list[Option]:
    """Every heat worked out, and then the treatments beside the best of them."""
    found = [_worked_out(*laid, look, now) for laid in drafts.laid if not laid[0].treatment]
    first = found[0].way
    best = min(found, key=lambda option: (option.way.aside, option.rank)).way
    treated = (laid for laid in drafts.laid if laid[0].treatment)
    moved = (laid if best == first else drafts.lay(laid[0].beside(best)) for laid in treated)
    return [*found, *(_worked_out(*laid, look, now) for laid in moved)]


def _none_aside(options: list[Option]) -> list[Option]:
    """The ways, those that are only offered among the rest where no other gives what was wished either."""
    if any(o.report.verdict == "go" and not o.way.aside and o.score.brown_c is None for o in options):
        return options
    return [replace(option, way=replace(option.way, aside=False)) for option in options]


def _thawed_in_time(options: list[Option], look: Examiner, now: datetime | None) -> list[Option]:
    """The ways; where none is clean and in time, what is frozen thaws in running water."""
    if now is None or any(option.report.verdict == "go" and not option.late for option in options):
        return options
    return [
        _option(option.way, thawed_in_water(option.whole, look), option.made, look, now) if option.late else option
        for option in options
    ]


def _one_mended(ordered: list[Option], look: Examiner, now: datetime | None) -> list[Option]:
    """The ways with the first of them mended that the wide search can mend; no way that gives the wish was clean."""
    may = [index for index, option in enumerate(ordered) if not option.way.aside]
    for index in may[:MOST_WIDE]:
        option = ordered[index]
        report, made = mended_at_last(option.report, look)
        if report.verdict == "go":
            whole = _option(option.way, report, (*option.made, *made), look, now)
            return [*ordered[:index], whole, *ordered[index + 1 :]]
    return ordered


def _at_the_earliest(report: Report, now: datetime, rulebase: Rulebase) -> Report:
    """The same plan, begun now: its service is moved to when it can be ready, in whole quarter hours."""
    serve = report.case.serve
    slots = schedule(report, rulebase)
    if serve is None or not slots:
        return report
    same_clock = now.astimezone(serve.tzinfo) if serve.tzinfo is not None and now.tzinfo is not None else now
    ready = same_clock.replace(tzinfo=serve.tzinfo) + timedelta(minutes=slots[-1].end)
    ready = ready.replace(second=0, microsecond=0) + timedelta(minutes=1)
    ready += timedelta(minutes=-ready.minute % QUARTER_MINUTES)
    return replace(report, case=replace(report.case, serve=ready))


def _worked_out(way: Way, planned: Case, plain: Case, look: Examiner, now: datetime | None) -> Option:
    rulebase = look.rulebase
    report = _begun_in_time(planned, look, now)
    made: Made = ()
    if report.verdict != "go" and plain.steps != planned.steps:
        # The softener is what most often stands in the way, and leaving it out costs least.
        without = _begun_in_time(plain, look, now)
        if len(without.problems) < len(report.problems):
            mend = Mended("leave the enzyme out", ("steps drop",), without.case, without.verdict, only_if=False)
            made, report = ((mend, report.problems[0].rule.rule.id),), without
    if report.verdict != "go":
        report, more = cleaned(report, rulebase, look)
        made = (*made, *more)
    return _option(way, report, made, look, now)


def _option(way: Way, report: Report, made: Made, look: Examiner, now: datetime | None) -> Option:
    """A way as it is worked out, its salting cut where it would be late."""
    cut = salted_less(report, now, look) if now is not None else report
    late = now is not None and late_by(schedule(cut, look.rulebase), now) is not None
    return Option(way, cut, made, score(cut, look.rulebase), late, report)


def _begun_in_time(planned: Case, look: Examiner, now: datetime | None) -> Report:
    report = look(planned)
    shorter = _in_time(planned, report, now, look.rulebase) if now is not None else planned
    return report if shorter is planned else look(shorter)


def _as_said(planned: Case, case: Case) -> Case:
    """The plan with what was said, and what a mend changed; assumptions are made anew and told as such."""
    kept = {
        name: given
        for name, given in planned.piece.items()
        if name in case.piece or given.origin in ("written", "from the rulebase")
    }
    guests = {name: given for name, given in planned.guests.items() if name in case.guests or name == "softener"}
    unsaid = {
        name: given
        for name, given in case.piece.items()
        if given.value is None and (name not in kept or kept[name].origin != "written")
    }
    unknown = {name: given for name, given in case.guests.items() if given.value is None}
    return replace(planned, piece={**kept, **unsaid}, guests={**guests, **unknown})


def _in_time(planned: Case, report: Report, now: datetime, rulebase: Rulebase) -> Case:
    """Shorten the first salting, as far as salt allows, when the plan would have had to begin already."""
    late = late_by(schedule(report, rulebase), now)
    first = next((i for i, step in enumerate(planned.steps) if step.action in ("salt", "marinate")), None)
    if late is None or first is None:
        return planned
    # A quarter of an hour to begin in: a shorter salting also warms the meat less, and the heat takes a little longer.
    minutes = planned.steps[first].number("minutes") - ceil(late.total_seconds() / MINUTE) - QUARTER_MINUTES
    shortest = rulebase.limit("plan_salt_shortest")
    if planned.steps[first].number("minutes") <= shortest:
        return planned
    return planned.with_step(first, planned.steps[first].with_value("minutes", max(shortest, minutes)))
