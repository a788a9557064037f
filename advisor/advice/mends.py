"""The smallest change that mends a plan: one change, then two, each run down the whole road again."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from advisor.advice.change import Change
from advisor.advice.changes import BY_CLOCK, changes
from advisor.advice.report import Report, worst
from advisor.advice.waits import kept_too_long
from advisor.course import course_facts
from advisor.course.ends import ever_frozen
from advisor.infer import infer
from advisor.infer.obstacles import Obstacles

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.model import Case
    from advisor.course.facts import Computed
    from advisor.knowledge.records import Verdict
    from advisor.knowledge.rulebase import Rulebase

MOST_OFFERED = 3
# With this many single changes at hand, two at once are not looked for: they lose more of what the cook meant.
ENOUGH = 2
# A plain swap counts as a tenth of a whole way along a grid.
PLAIN = 0.1
# A cook does not wait longer than a few seconds; the search is cut off here, and says so.
MOST_TRIALS = 120
# With one mend at hand, few trials go into finding others: of all the worked scenarios none came later than these.
MOST_TRIALS_MORE = 12
# All changes are tried once more with the small jobs done.
MOST_TRIALS_WITH_JOBS = 40
# Where ice melts on the way a trial takes some twenty times as long: a fifth of the trials, or the cook waits a minute.
ICE = 5


@dataclass(frozen=True, slots=True)
class Mended:
    """A change, or two, that bring the plan to ``verdict``.

    Attributes
    ----------
    change : str
        What to do, in plain words with figures.
    kinds : tuple of str
        What was changed.
    case : Case
        The changed plan.
    verdict : str
        What the changed plan comes to, examined anew.
    only_if : bool
        It rests on something outside the plan, such as the inspector's word.
    """

    change: str
    kinds: tuple[str, ...]
    case: Case
    verdict: Verdict
    only_if: bool


# Changes, each with its place on its grid.
Parts = tuple[tuple[Change, int], ...]


class _Search:
    def __init__(self, report: Report, rulebase: Rulebase) -> None:
        # The completed case is changed, so that a change never un-says an assumption.
        self.base = report.computed.case
        # No change touches the food code.
        self.rulebase = rulebase.under(self.base.code) if self.base.code else rulebase
        self.obstacles = Obstacles(self.rulebase)
        self.good: dict[tuple[tuple[int, int], ...], Computed] = {}
        self.bad: dict[tuple[tuple[int, int], ...], str] = {}
        self.trials = 0
        share = ICE if ever_frozen(self.base, self.rulebase) else 1
        self.most, self.most_more, self.most_with_jobs = (
            most // share for most in (MOST_TRIALS, MOST_TRIALS_MORE, MOST_TRIALS_WITH_JOBS)
        )

    def changed(self, parts: Parts) -> Case:
        """The case with all changes made: those first that leave the numbers of the steps as they are."""
        case = self.base
        for change, place in sorted(parts, key=lambda part: part[0].shifts):
            case = change.apply(case, place)
        return case

    def in_the_way(self, parts: Parts) -> str | None:
        """Rule that stands in the way of the case with all changes made; each case is looked at once."""
        key = _key(parts)
        if key in self.good:
            return None
        if key not in self.bad:
            self.trials += 1
            computed = course_facts(self.changed(parts), self.rulebase)
            rule = self.obstacles.first(computed.facts)
            if rule is None:
                self.good[key] = computed
                return None
            self.bad[key] = rule
        return self.bad[key]

    def smallest(self, made: Parts, change: Change) -> int | None:
        """Smallest grid place at which nothing stands in the way beside changes made, halving between the ends.

        Where one rule stands in the way at the first place and another at the last, as too little and too much do,
        the gap between the two is looked for. Where it is the same at both and half way, there is none.
        """
        if self.trials > self.most:
            return None
        first = self.in_the_way((*made, (change, 1)))
        if first is None:
            return 1
        if change.size == 1:
            return None
        failed, place = 1, change.size
        found = self.in_the_way((*made, (change, place)))
        if found == first:
            place = max(1, change.size // 2)
            found = self.in_the_way((*made, (change, place)))
            if found == first:
                return None
        while place - failed > 1 and (found is None or self.trials <= self.most):
            middle = (place + failed) // 2
            rule = self.in_the_way((*made, (change, middle)))
            if rule is None or (found is not None and rule != first):
                found, place = rule, middle
            else:
                failed = middle
        return place if found is None else None

    def mended(self, parts: Parts) -> Mended:
        computed = self.good[_key(parts)]
        case = self.changed(parts)
        # All facts and all rules now, by the engine in use; the course is the one just walked.
        inference = infer(self.rulebase, computed.facts, system=case.system)
        return Mended(
            ", and ".join(change.words(place) for change, place in parts),
            tuple(change.kind for change, _ in parts),
            case,
            worst([finding.verdict for finding in inference.findings]),
            any(change.only_if for change, _ in parts),
        )


def _key(parts: Parts) -> tuple[tuple[int, int], ...]:
    """Changes and places, told apart by the objects that the search holds."""
    return tuple(sorted((id(change), place) for change, place in parts))


def find_mends(report: Report, rulebase: Rulebase) -> tuple[Mended, ...]:
    """Up to three mends that differ in kind; empty when nothing within reach mends the plan.

    One change is tried before two; where neither is enough, both are tried again with the small jobs done that the
    craft asks for. A mend must bring the whole plan to *go*: it may break nothing new.
    """
    if report.verdict == "go":
        return ()
    search = _Search(report, rulebase)
    options = _options(report, rulebase)
    found = _one_or_two(search, options, ())
    jobs = _small_jobs(report, rulebase) if not found else ()
    if jobs:
        search.most = search.trials + search.most_with_jobs
        found = [_needed(search, parts, jobs) for parts in _one_or_two(search, options, jobs)]
    ranked = sorted(found, key=lambda parts: _cost(parts, options.changes, rulebase))
    offered: list[Mended] = []
    for parts in ranked:
        mend = search.mended(parts)
        if mend.verdict == "go" and all(_differs(mend, parts, other) for other in offered):
            offered.append(mend)
        if len(offered) == MOST_OFFERED:
            break
    return tuple(offered)


def _differs(mend: Mended, parts: Parts, other: Mended) -> bool:
    """Tell whether a mend differs from one offered; the clock does not where the probe mends the same step."""
    by_probe = {kind.replace("until_core", "minutes") for kind in other.kinds if "until_core" in kind}
    by_clock = {change.kind for change, _ in parts if BY_CLOCK in change.gives_up}
    return set(mend.kinds) != set(other.kinds) and not by_probe & by_clock


def _one_or_two(search: _Search, options: _Options, made: Parts) -> list[Parts]:
    """Find single changes that mend, then pairs, beside changes made."""
    found: list[Parts] = []
    done = {change.kind for change, _ in made}
    for change in options.changes:
        if change.kind in done:
            continue
        if change.kind in {parts[0][0].kind for parts in found}:
            continue
        place = search.smallest(made, change)
        if place is not None:
            found.append(((change, place), *made))
    if len(found) < ENOUGH:
        search.most = min(search.most, search.trials + search.most_more) if found else search.most
        done |= {parts[0][0].kind for parts in found}
        found += _pairs(search, options, [change for change in options.changes if change.kind not in done], made)
    return found


def _needed(search: _Search, parts: Parts, jobs: Parts) -> Parts:
    """Drop each small job without which the plan goes as well."""
    for job in jobs:
        without = tuple(part for part in parts if part != job)
        if search.in_the_way(without) is None:
            parts = without
    return parts


def _small_jobs(report: Report, rulebase: Rulebase) -> Parts:
    """Steps of a minute that the craft misses, such as drying before the sear: they stand in nobody's way."""
    jobs: dict[str, Change] = {}
    for finding in report.problems:
        if finding.concern == "craft":
            for change in changes(finding, report, rulebase):
                if change.kind.startswith("steps add") and change.size == 1 and not change.only_if:
                    jobs.setdefault(change.kind, change)
    return tuple((job, 1) for job in jobs.values())


@dataclass(frozen=True, slots=True)
class _Options:
    """Changes named by the rules of the problems, worst problem first, and which problems name each kind."""

    changes: tuple[Change, ...]
    meant_for: dict[str, frozenset[int]]
    problems: int

    def left(self, parts: Parts) -> int:
        """How many problems none of the changes is meant for: a pair that leaves none is the likeliest to mend."""
        return self.problems - len(frozenset().union(*(self.meant_for.get(change.kind, ()) for change, _ in parts)))


def _options(report: Report, rulebase: Rulebase) -> _Options:
    """Each kind and direction once."""
    options: dict[tuple[str, str], Change] = {}
    meant_for: dict[str, frozenset[int]] = {}
    for number, finding in enumerate(report.problems):
        for change in changes(finding, report, rulebase):
            options.setdefault((change.kind, change.words(1)), change)
            meant_for[change.kind] = meant_for.get(change.kind, frozenset()) | {number}
    return _Options(tuple(options.values()), meant_for, len(report.problems))


def _pairs(search: _Search, options: _Options, among: list[Change], made: Parts) -> list[Parts]:
    """Two changes: the plainer one made first, the other then searched on its grid."""
    found: list[Parts] = []

    def likeliest(pair: tuple[Change, Change]) -> tuple[int, int]:
        return options.left((*((change, 1) for change in pair), *made)), min(change.size for change in pair)

    for one, other in sorted(combinations(among, 2), key=likeliest):
        if one.kind == other.kind or len(found) >= 2 * MOST_OFFERED:
            continue
        plain, graded = (one, other) if one.size <= other.size else (other, one)
        if plain.size == 1:
            place = search.smallest((*made, (plain, 1)), graded)
            if place is not None:
                found.append(((plain, 1), (graded, place), *made))
            continue
        # Both are graded: take the plainer a quarter and half of its way.
        for first in sorted({max(1, plain.size // 4), max(1, plain.size // 2)}):
            place = search.smallest((*made, (plain, first)), graded)
            if place is not None:
                found.append(((plain, first), (graded, place), *made))
                break
    return found


def _cost(parts: Parts, options: tuple[Change, ...], rulebase: Rulebase) -> tuple[int, int, float, int]:
    """How much of the cook's intention is lost: number of changes, what rests on others, how far along its grid."""
    return (
        len(parts),
        sum(change.only_if for change, _ in parts),
        sum(
            (place / change.size if change.size > 1 else PLAIN) + sum(map(rulebase.limit, change.gives_up))
            for change, place in parts
        ),
        sum(options.index(change) for change, _ in parts if change in options),
    )


def no_mend_lines(
    report: Report, mends: Sequence[Mended], rulebase: Rulebase, *, planned: bool = False
) -> tuple[str, ...]:
    """Say that nothing mends a plan, and what becomes of the food; of problems that nothing mends, always.

    Of a plan that was ``planned`` here nothing has been made yet: what helps is another answer.
    """
    own = tuple(dict.fromkeys(f.rule.rule.no_mend for f in report.problems if f.rule.rule.no_mend))
    if mends or report.verdict == "go":
        return own
    lines = rulebase.local_lines
    if report.case.log is not None:
        return (lines["no_mend_log"], *own)
    if any(finding.verdict == "ask" for finding in report.problems):
        return (lines["no_mend_missing"], *own)
    state = report.case.word("piece", "start_state")
    if planned and state != "frozen" and all(map(kept_too_long, report.problems)):
        return (lines["no_mend_kept"], *own)
    concerns = {finding.concern for finding in report.problems}
    worst_of = next(name for name in ("safety", "law", "craft") if name in concerns or name == "craft")
    # Meat that has been out is a loss, however it would be cooked.
    afresh = planned and worst_of != "law" and state != "out"
    ours = "no_mend_frozen" if state == "frozen" else "no_mend_planned"
    what_now = lines[ours if afresh else f"no_mend_{worst_of}"]
    return (lines["no_mend"], *(own or (what_now,)))
