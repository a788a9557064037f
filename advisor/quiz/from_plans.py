"""Items from whole plans: what is wrong first, the smallest change, an order that the rules allow."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Final

from advisor.advice.changes import changes
from advisor.advice.report import examine, severity
from advisor.infer.text import fill
from advisor.knowledge.checks import PLACEHOLDER
from advisor.quiz.bench import Refused
from advisor.quiz.claims import Claim
from advisor.quiz.items import Option, assemble
from advisor.quiz.plan_words import order_words, plan_lines

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from advisor.advice.change import Change
    from advisor.case.model import Case
    from advisor.knowledge.quizbook import Slip
    from advisor.knowledge.records import Verdict
    from advisor.quiz.bench import Bench
    from advisor.quiz.items import Item

# A cook does not wait longer for a question; what is not found within so many runs of the road is not asked.
MOST_RUNS: Final = 24
MOST_LESSER: Final = 1
MOST_SHARED: Final = 0.5
_HOW_LONG: Final = re.compile(r"(\bfor )\{\w+\.\w*minutes\}")
_CONTENT: Final = re.compile(r"[a-z]{4,}")


def _plan(bench: Bench, name: str) -> tuple[str, tuple[str, ...]]:
    case = bench.plan(name)
    title = case.title if case.title.endswith(("?", "!", ".")) or not case.title else f"{case.title}."
    return title, plan_lines(case, bench.rulebase, bench.system)


def _hazard(bench: Bench, rule_id: str) -> str:
    """Name the fault that a rule speaks of, when it needs no figures for it; how long it was is "too long".

    The figures of the plan in one option alone would show which one is right.
    """
    rule = bench.rule(rule_id)
    text = _HOW_LONG.sub(rf"\1{bench.book.asks['too_long']}", rule.caution.hazard if rule.caution is not None else "")
    return "" if PLACEHOLDER.search(text) else text


def alike(one: str, other: str) -> bool:
    """Tell whether two names of faults share so many words that the one could be read for the other.

    Examples
    --------
    >>> alike("Meat cooked too little in the middle.", "Minced meat cooked too little in the middle.")
    True
    >>> alike("Poultry cooked too little.", "A fridge that is too warm.")
    False
    """
    words = [{word for word in _CONTENT.findall(text.lower()) if word != "meat"} for text in (one, other)]
    return len(words[0] & words[1]) > MOST_SHARED * min(len(words[0]), len(words[1]))


def first_item(bench: Bench, name: str, rng: Random) -> Item:
    """Ask what is wrong first with a plan; wrong options are lesser faults, and faults that it has not.

    Raises
    ------
    Refused
        Nothing is wrong, or too few other faults read like this one.
    """
    problems = bench.problems(name)
    if not problems:
        raise Refused("nothing is wrong with the plan")
    case, first = bench.plan(name), problems[0]
    rule_id = first.rule.rule.id
    if first.rule.rule.contested:
        raise Refused("contested")
    if first.caution is None:
        raise Refused("the fault has no short name")
    hazard = _hazard(bench, rule_id)
    if not hazard:
        raise Refused("the fault has no name without figures")
    slip: dict[Slip, str] = {one.slip: key for key, one in bench.book.misconceptions.items() if one.slip}
    speaking = {finding.rule.rule.id for finding in problems}
    lesser = [f.rule.rule.id for f in problems[1:] if severity(f) < severity(first) and _hazard(bench, f.rule.rule.id)][
        :MOST_LESSER
    ]
    absent = [
        other
        for other, checked in bench.rulebase.rules.items()
        if other not in speaking and not checked.rule.contested and _hazard(bench, other)
    ]
    rng.shuffle(absent)
    options = [Option(hazard, (Claim(case, "first", rule_id, rule=rule_id),))]
    for other in [*lesser, *absent]:
        text = _hazard(bench, other)
        lengths = [len(one.text) for one in options] + [len(text)]
        if any(alike(text, one.text) for one in options):
            continue
        if max(lengths) > bench.settings.longest_to_shortest * min(lengths):
            continue
        kind: Slip = "lesser_problem" if other in lesser else "other_problem"
        options.append(Option(text, (Claim(case, "first", other, rule=other),), slip[kind]))
        if len(options) == bench.settings.fewest_options:
            break
    if len(options) < bench.settings.fewest_options:
        raise Refused("too few other faults")
    # The title of a plan often names its fault.
    _, told = _plan(bench, name)
    return assemble("first", rule_id, bench.rulebase, rng, ("", bench.book.asks["first"]), options, told=told)


# --- the smallest change


@dataclass(frozen=True)
class _Way:
    """A change with the smallest place on its grid that brings the plan to go; 0 when none was found."""

    change: Change
    place: int


class _Mending:
    """Changes of one plan, each run down the road once."""

    def __init__(self, bench: Bench, name: str) -> None:
        self.bench = bench
        report = examine(bench.plan(name), bench.rulebase, "reference")
        self.base, self.runs = report.computed.case, 0
        self.options: list[Change] = []
        for finding in report.problems:
            for change in changes(finding, report, bench.rulebase):
                if not change.only_if and change.words(1) not in {one.words(1) for one in self.options}:
                    self.options.append(change)
        self.ways = [_Way(change, self.smallest(change)) for change in self.options]

    def case(self, change: Change, place: int) -> Case:
        return change.apply(self.base, place)

    def verdict(self, change: Change, place: int) -> Verdict:
        self.runs += 1
        return self.bench.road.judge(Claim(self.case(change, place), "verdict")).verdict

    def smallest(self, change: Change) -> int:
        """Smallest place that mends, by striding out and halving back; 0 when none was found."""
        failed, place = 0, 1
        while self.verdict(change, place) != "go":
            failed = place
            if place >= change.size or self.runs > MOST_RUNS:
                return 0
            place = min(place * 2, change.size)
        while place - failed > 1:
            middle = (place + failed) // 2
            if self.verdict(change, middle) == "go":
                place = middle
            else:
                failed = middle
        return place


def _mending(bench: Bench, name: str) -> _Mending:
    kept = bench.mends.get(name)
    if not isinstance(kept, _Mending):
        kept = bench.mends[name] = _Mending(bench, name)
    return kept


def mend_item(bench: Bench, name: str, rng: Random) -> Item:
    """Ask for the smallest change that mends a plan.

    Raises
    ------
    Refused
        Nothing is wrong, no one change mends it, or too few other changes fail to.
    """
    problems = bench.problems(name)
    if not problems:
        raise Refused("nothing is wrong with the plan")
    mending = _mending(bench, name)
    ways = [way for way in mending.ways if way.place]
    if not ways:
        raise Refused("no one change mends it")
    way = rng.choice(ways)
    slip: dict[Slip, str] = {one.slip: key for key, one in bench.book.misconceptions.items() if one.slip}
    rule_id = problems[0].rule.rule.id
    options = [Option(way.change.words(way.place), _mends(mending, way.change, way.place, rule_id))]
    wrong = list(_not_mends(mending, way))
    rng.shuffle(wrong)
    for kind, change, place in wrong:
        text = change.words(place)
        lengths = [len(one.text) for one in options] + [len(text)]
        if text in {one.text for one in options} or max(lengths) > bench.settings.longest_to_shortest * min(lengths):
            continue
        options.append(Option(text, _mends(mending, change, place, rule_id), slip[kind]))
        if len(options) == bench.settings.fewest_options:
            break
    if len(options) < bench.settings.fewest_options:
        raise Refused("too few other changes")
    capital = [replace(one, text=f"{one.text[0].upper()}{one.text[1:]}.") for one in options]
    _, told = _plan(bench, name)
    return assemble("mend", rule_id, bench.rulebase, rng, ("", bench.ask("mend", rule_id)), capital, told=told)


def _mends(mending: _Mending, change: Change, place: int, rule_id: str) -> tuple[Claim, ...]:
    """Say that a change is the smallest of its kind: with it the plan is clean, one place short of it not."""
    claims = [Claim(mending.case(change, place), "verdict", says="go", rule=rule_id)]
    if place > 1:
        claims.append(Claim(mending.case(change, place - 1), "verdict", says="not go", rule=rule_id))
    return tuple(claims)


def _not_mends(mending: _Mending, way: _Way) -> Iterator[tuple[Slip, Change, int]]:
    half = way.place // 2
    if half >= 1:
        yield "half_mend", way.change, half
    more = min(way.change.size, way.place * 2)
    if more > way.place:
        yield "more_mend", way.change, more
    for other in mending.ways:
        if other.change is not way.change and not other.place:
            for place in sorted({1, (other.change.size + 1) // 2}):
                if mending.verdict(other.change, place) != "go":
                    yield "other_mend", other.change, place


# --- orders


def order_item(bench: Bench, name: str, rng: Random) -> Item:
    """Ask for the order of steps that breaks no rule.

    Raises
    ------
    Refused
        The plan is not clean, or too few other orders break one and the same rule.
    """
    if bench.problems(name):
        raise Refused("the plan is not clean")
    case = bench.plan(name)
    broken: dict[str, list[Case]] = {}
    for other in _orders(case):
        judgement = bench.road.judge(Claim(other, "verdict"))
        if judgement.problems and not judgement.problems[0].rule.rule.contested:
            broken.setdefault(judgement.problems[0].rule.rule.id, []).append(other)
    wanted = bench.settings.fewest_options - 1
    able = sorted(rule for rule, cases in broken.items() if len(cases) >= wanted)
    if not able:
        raise Refused("too few other orders")
    rule_id = rng.choice(able)
    slip = next(iter(bench.book.slips("other_order")))
    wrong = rng.sample(broken[rule_id], wanted)
    options = [Option(order_words(case, bench.rulebase), (Claim(case, "verdict", says="go", rule=rule_id),))]
    options += [
        Option(order_words(one, bench.rulebase), (Claim(one, "verdict", says="go", rule=rule_id),), slip)
        for one in wrong
    ]
    # How long and how warm each step is decides too; in the order of the alphabet it tells nothing of theirs.
    told = plan_lines(case, bench.rulebase, bench.system)
    steps = sorted(line.split(". ", 1)[1] for line in told[2:])
    board = (*told[:2], *(step for step in steps if step != "serve"))
    stem = f"{case.title}." if case.title else ""
    return assemble("order", rule_id, bench.rulebase, rng, (stem, bench.book.asks["order"]), options, told=board)


def _orders(case: Case) -> Iterator[Case]:
    """Orders in which two steps have changed places; serving stays last."""
    places = [place for place, step in enumerate(case.steps) if step.action != "serve"]
    for one, other in combinations(places, 2):
        steps = list(case.steps)
        steps[one], steps[other] = steps[other], steps[one]
        yield replace(case, steps=tuple(steps))


def fault_words(bench: Bench, rule_id: str) -> str:
    """Fault of a rule with no figures in it."""
    from advisor.case.facts import FactSet

    return fill(_hazard(bench, rule_id), bench.rulebase, FactSet(), None, bench.system)
