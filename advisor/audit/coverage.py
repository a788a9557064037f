"""How much the rulebase holds, by subject and concern, and how each part of it is known."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal, get_args

from advisor.knowledge.records import Concern

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from advisor.knowledge.records import Cite
    from advisor.knowledge.rulebase import Rulebase

Rests = Literal[
    "published, read", "published, read in part or through others", "from memory", "common practice", "estimate"
]
RESTS: Final[tuple[Rests, ...]] = get_args(Rests)
CONCERNS: Final[tuple[str, ...]] = get_args(Concern)


@dataclass(frozen=True)
class Coverage:
    """Counts of rules and limits.

    Parameters
    ----------
    subjects : mapping
        Subject, which is the first part of a rule's id, to the number of rules of each concern.
    rules, limits : mapping
        What they rest on, to their number.
    contested : int
        Rules that say where the trade disagrees.
    codes : mapping
        Name of each food code to its sections: those that something here holds, and those outside the job.
    """

    subjects: Mapping[str, Mapping[str, int]]
    rules: Mapping[Rests, int]
    limits: Mapping[Rests, int]
    contested: int
    codes: Mapping[str, tuple[int, int]]


def coverage(rulebase: Rulebase) -> Coverage:
    """Count the rules and limits of a rulebase."""
    subjects: dict[str, Counter[str]] = {}
    for rule_id, checked in rulebase.rules.items():
        subjects.setdefault(rule_id.partition(".")[0], Counter())[checked.rule.concern] += 1
    rules = [checked.rule for checked in rulebase.rules.values()]
    return Coverage(
        {name: dict(subjects[name]) for name in sorted(subjects)},
        Counter(rests_on(rule.basis, rule.source, rulebase) for rule in rules),
        Counter(rests_on(limit.basis, limit.source, rulebase) for limit in rulebase.limits.values()),
        sum(bool(rule.contested) for rule in rules),
        {
            code.name: (sum(bool(p.by) for p in code.provisions), sum(bool(p.out) for p in code.provisions))
            for code in rulebase.codes.values()
        },
    )


def rests_on(basis: str, cites: Iterable[Cite], rulebase: Rulebase) -> Rests:
    """Tell what an entry rests on: its basis, and for a published one the best-known source it cites."""
    if basis in ("common practice", "from memory", "estimate"):
        return basis  # type: ignore[return-value] # the three are among both
    known = {rulebase.sources[cite.id].known for cite in cites if cite.id in rulebase.sources}
    if "read" in known:
        return "published, read"
    if known & {"read_in_part", "read_through_adoption"}:
        return "published, read in part or through others"
    return "from memory"
