"""Who has mastered what, what is believed with confidence and wrong, and how the items themselves do."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from advisor.quiz.items import state_of
from advisor.quiz.spacing import SURE

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.store import Answer

# Two-sided 95 % of the normal distribution.
Z_95: Final = 1.959964
# Part of the learners in the upper and the lower group when an item is held against the rest.
GROUP: Final = 0.27


def wilson(hits: int, of: int, z: float = Z_95) -> tuple[float, float]:
    r"""Wilson's interval for a share.

    .. math:: \frac{p + z^2/2n \pm z\sqrt{p(1-p)/n + z^2/4n^2}}{1 + z^2/n}

    (Wilson 1927, J Am Stat Assoc 22:209, from memory.)

    Raises
    ------
    ValueError
        There are no trials, or more hits than trials.

    Examples
    --------
    >>> tuple(round(end, 3) for end in wilson(8, 10))
    (0.49, 0.943)
    >>> wilson(0, 5)[0]
    0.0
    """
    if of < 1 or not 0 <= hits <= of:
        raise ValueError(f"{hits} of {of} is no share")
    share = hits / of
    middle = share + z * z / (2 * of)
    half = z * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    below = 1 + z * z / of
    return max(0.0, (middle - half) / below), min(1.0, (middle + half) / below)


@dataclass(frozen=True, slots=True)
class RuleStanding:
    """How a learner stands on one rule as it is today."""

    rule: str
    asked: int
    right: int
    held: bool
    confident_wrong: int


@dataclass(frozen=True, slots=True)
class SubjectStanding:
    """How a learner stands on a subject."""

    subject: str
    must_know: bool
    rules: int
    held: int
    seen: int
    mastered: bool


def current(answers: Iterable[Answer], rulebase: Rulebase) -> list[Answer]:
    """Leave out answers about rules that have changed since, or are gone: they show nothing about today's."""
    states = {rule: state_of(rule, rulebase) for rule in rulebase.rules}
    return [answer for answer in answers if states.get(answer.rule) == answer.state]


def rule_standing(rule: str, answers: Sequence[Answer], rulebase: Rulebase) -> RuleStanding:
    """Sum up a learner's answers on one rule.

    A rule is held when it was right in as many sittings as ``quiz.yaml`` asks, the first and the last of them far
    enough apart, with nothing wrong in those sittings and none since.
    """
    mine = [answer for answer in answers if answer.rule == rule]
    confident = sum(not answer.is_right and answer.sure == SURE for answer in mine)
    return RuleStanding(rule, len(mine), sum(a.is_right for a in mine), _held(mine, rulebase), confident)


def _held(answers: Sequence[Answer], rulebase: Rulebase) -> bool:
    settings = rulebase.quiz.settings
    if settings is None or not answers:
        return False
    sittings: dict[int, list[Answer]] = {}
    for answer in sorted(answers, key=lambda one: one.at):
        sittings.setdefault(answer.sitting, []).append(answer)
    clean: list[datetime] = []
    for group in sittings.values():
        # A wrong answer undoes what went before; a clean sitting after it counts again.
        clean = [*clean, group[-1].at] if all(answer.is_right for answer in group) else []
    gap = timedelta(hours=settings.mastered_gap_hours)
    return len(clean) >= settings.mastered_sittings and clean[-1] - clean[0] >= gap


def subject_standing(
    subject: str, askable: Iterable[str], answers: Sequence[Answer], rulebase: Rulebase
) -> SubjectStanding:
    """Sum up a subject: every rule held where it must be known, else the share that ``quiz.yaml`` asks."""
    book = rulebase.quiz
    rules = [rule for rule in askable if book.subject_of(rule) == subject]
    standings = [rule_standing(rule, answers, rulebase) for rule in rules]
    held = sum(one.held for one in standings)
    must = book.subjects[subject].must_know
    share = 1.0 if must or book.settings is None else book.settings.mastered_share
    mastered = bool(rules) and held >= share * len(rules)
    return SubjectStanding(subject, must, len(rules), held, sum(one.asked > 0 for one in standings), mastered)


@dataclass(frozen=True, slots=True)
class Believed:
    """A misconception that was chosen: how often, of how many times it was offered, how often with confidence."""

    name: str
    chosen: int
    offered: int
    confident: int


def believed(answers: Sequence[Answer]) -> list[Believed]:
    """Misconceptions that were chosen, those chosen with confidence first."""
    offered = Counter(name for answer in answers for name in answer.offered.split())
    chosen = Counter(answer.misconception for answer in answers if answer.misconception)
    confident = Counter(a.misconception for a in answers if a.misconception and a.sure == SURE)
    found = [Believed(name, chosen[name], offered[name], confident[name]) for name in chosen]
    return sorted(found, key=lambda one: (-one.confident, -one.chosen, one.name))


@dataclass(frozen=True, slots=True)
class ItemStanding:
    """How the items of one rule and kind do; below ``few_answers`` counts and an interval, no judgement.

    ``upper_less_lower`` is the share right among the best learners less that among the weakest; None when too few.
    """

    rule: str
    kind: str
    asked: int
    right: int
    low: float
    high: float
    upper_less_lower: float | None
    idle: tuple[str, ...]


def item_standings(answers: Sequence[tuple[str, Answer]], rulebase: Rulebase) -> list[ItemStanding]:
    """Sum up the items of each rule and kind."""
    settings = rulebase.quiz.settings
    groups: dict[tuple[str, str], list[tuple[str, Answer]]] = {}
    for name, answer in answers:
        groups.setdefault((answer.rule, answer.kind), []).append((name, answer))
    few = settings.few_answers if settings is not None else 0
    idle_below = settings.idle_option_share if settings is not None else 0.0
    ranks = _shares(answers)
    found = []
    for (rule, kind), group in sorted(groups.items()):
        right = sum(answer.is_right for _, answer in group)
        low, high = wilson(right, len(group))
        enough = len(group) >= few
        apart = _apart(group, ranks) if enough else None
        idle = _idle([answer for _, answer in group], idle_below) if enough else ()
        found.append(ItemStanding(rule, kind, len(group), right, low, high, apart, idle))
    return found


def _shares(answers: Sequence[tuple[str, Answer]]) -> dict[str, float]:
    total, right = Counter(name for name, _ in answers), Counter(name for name, answer in answers if answer.is_right)
    return {name: right[name] / total[name] for name in total}


def _apart(group: Sequence[tuple[str, Answer]], ranks: dict[str, float]) -> float | None:
    names = sorted({name for name, _ in group}, key=lambda name: (ranks[name], name))
    size = round(GROUP * len(names))
    if size < 1:
        return None
    weak, best = set(names[:size]), set(names[-size:])

    def share(of: set[str]) -> float:
        mine = [answer.is_right for name, answer in group if name in of]
        return sum(mine) / len(mine)

    return share(best) - share(weak)


def _idle(answers: Sequence[Answer], below: float) -> tuple[str, ...]:
    """Wrong options that hardly anybody takes."""
    offered = Counter(name for answer in answers for name in answer.offered.split())
    chosen = Counter(answer.misconception for answer in answers if answer.misconception)
    return tuple(sorted(name for name, count in offered.items() if chosen[name] < below * count))
