"""Mends one laid-out plan until it is clean, with few trials: the first change that helps is taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.advice.changes import changes
from advisor.advice.mends import Mended, find_mends
from advisor.advice.report import VERDICTS, Examiner, Report
from advisor.advice.waits import thawed_too_long, too_long, waits_too_long

if TYPE_CHECKING:
    from advisor.advice.change import Change
    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase

# Plans that compete are mended with few trials each, so that all of them are ready while the cook waits.
MOST_TRIALS = 36
# Ice, and a thickness that nobody measured, make each trial longer. Half of them must still carry a bath over the
# sixteen degrees Fahrenheit from a steak's heat to the rows for a whole piece.
MOST_TRIALS_SLOW = 20
MOST_ROUNDS = 4
Made = tuple[tuple[Mended, str], ...]


def cleaned(report: Report, rulebase: Rulebase, examine: Examiner | None = None) -> tuple[Report, Made]:
    """Change a plan until it is *go*; where that is out of reach it is left as it was.

    Returns
    -------
    tuple of Report and Made
        The plan as it is now, and the changes with the rules that asked for them. Nothing is taken that rests on
        something outside the plan, such as the inspector's word.
    """
    examine = examine or Examiner(rulebase)
    if _out_of_reach(report, rulebase):
        return report, ()
    made: list[tuple[Mended, str]] = []
    trials, as_laid = [_most_trials(report)], report
    # What only a sooner service would mend stands; the rest is mended all the same.
    stands = too_long(report) if waits_too_long(report, rulebase) else frozenset[str]()
    for _ in range(MOST_ROUNDS):
        if _done(report, stands):
            break
        better = _first_that_helps(report, examine, trials, stands)
        if better is None:
            break
        mend, rule = better
        # The same figure changed once more stands in the place of the first change.
        made = [(old, by) for old, by in made if old.kinds != mend.kinds]
        made.append((mend, rule))
        report = examine(mend.case)
    # Half a mend is none: what does not get there is shown as it was laid out.
    return (report, tuple(made)) if _done(report, stands) else (as_laid, ())


def _done(report: Report, stands: frozenset[str]) -> bool:
    return report.verdict == "go" or all(finding.rule.rule.id in stands for finding in report.problems)


def mended_at_last(report: Report, examine: Examiner) -> tuple[Report, Made]:
    """A plan that few trials did not mend, with the smallest change that the wide search finds; else as it was.

    The wide search is the one that judges a finished plan: what it would tell the cook to change is changed here.
    """
    beyond = _out_of_reach(report, examine.rulebase) or waits_too_long(report, examine.rulebase)
    if not report.problems or beyond:
        return report, ()
    rule, thaws = report.problems[0].rule.rule.id, _thaws(report)
    for mend in find_mends(report, examine.rulebase):
        if mend.only_if or thaws.intersection(mend.kinds):
            continue
        after = examine(mend.case)
        if after.verdict == "go":
            return after, ((mend, rule),)
    return report, ()


def slow(report: Report) -> bool:
    """Whether each walk of this case takes long."""
    course = report.computed.course
    frozen = report.computed.case.word("piece", "start_state") == "frozen"
    return frozen or (course is not None and bool(course.between))


def _most_trials(report: Report) -> int:
    return MOST_TRIALS_SLOW if slow(report) else MOST_TRIALS


def _first_that_helps(
    report: Report, examine: Examiner, trials: list[int], stands: frozenset[str]
) -> tuple[Mended, str] | None:
    before = _badness(report)
    best: tuple[tuple[int, int], Mended, str] | None = None
    for change, rules in _options(report, examine.rulebase, stands):
        if trials[0] <= 0:
            break
        place, after = _smallest(change, report.computed.case, examine, trials, rules)
        case = after.case
        mend = Mended(change.words(place), (change.kind,), case, after.verdict, only_if=False)
        if _done(after, stands):
            return mend, rules[0]
        if best is None or _badness(after) < best[0]:
            best = (_badness(after), mend, rules[0])
    return (best[1], best[2]) if best is not None and best[0] < before else None


def _options(report: Report, rulebase: Rulebase, stands: frozenset[str]) -> list[tuple[Change, list[str]]]:
    """Changes that the problems ask for, worst first, each once and with all the rules that ask for it.

    What is a single step, such as turning it twice, comes before what has to be searched for: with it out of the
    way the search ends sooner. What gives something up, such as the probe, comes last.
    """
    thaws = _thaws(report)
    found: dict[tuple[str, str], tuple[Change, list[str]]] = {}
    for finding in report.problems:
        if finding.rule.rule.id in stands:
            continue
        for change in changes(finding, report, rulebase):
            if not change.only_if and change.kind not in thaws:
                found.setdefault((change.kind, change.words(1)), (change, []))[1].append(finding.rule.rule.id)
    several = len(report.problems) > 1
    return sorted(found.values(), key=lambda option: (several and option[0].size > 1, bool(option[0].gives_up)))


def _thaws(report: Report) -> frozenset[str]:
    """Changes of how long it thaws: it was laid out as long as the last ice takes, and no other length is a plan."""
    steps = enumerate(report.case.steps, start=1)
    return frozenset(f"step{i} minutes" for i, step in steps if step.action == "thaw")


def _out_of_reach(report: Report, rulebase: Rulebase) -> bool:
    """Whether something stands in the way that only another length of a thaw would mend."""
    thaws = _thaws(report)
    if not thaws:
        return False
    if thawed_too_long(report):
        return True
    asked = ({change.kind for change in changes(finding, report, rulebase)} for finding in report.problems)
    return any(kinds and kinds <= thaws for kinds in asked)


def _badness(report: Report) -> tuple[int, int]:
    return VERDICTS.index(report.verdict), len(report.problems)


def _smallest(change: Change, case: Case, examine: Examiner, trials: list[int], rules: list[str]) -> tuple[int, Report]:
    """Smallest place on a change's grid at which no rule that asks for it is left: stride out, then halve back.

    Where none is found it is the furthest that was tried: an end of the grid that the trials did not come to is no
    plan, and a thaw cut to nothing takes seconds to walk.
    """

    def tried(place: int) -> Report:
        trials[0] -= 1
        return examine(change.apply(case, place))

    def goes(after: Report) -> bool:
        return after.verdict == "go" or all(finding.rule.rule.id not in rules for finding in after.problems)

    failed, place = 0, 1
    # No change takes more than half of the trials that are left, or the one that helps may never be tried.
    least = trials[0] // 2
    best = tried(place)
    while not goes(best):
        if place >= change.size or trials[0] <= least:
            return place, best
        failed, place = place, min(place * 2, change.size)
        best = tried(place)
    while place - failed > 1 and trials[0] > 0:
        middle = (place + failed) // 2
        after = tried(middle)
        if goes(after):
            place, best = middle, after
        else:
            failed = middle
    return place, best
