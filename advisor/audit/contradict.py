"""Rules that contradict each other, found by search.

Two rules contradict each other on a set of facts when both fire on it, at the same step if both speak of one,
neither is an exception to the other, and one of these holds:

fit
    One chooses a technique and the other rules it out.
permission
    One says *go* and the other *change* or *stop*, both for the same concern, and every fact that the second looks
    at the first looks at too: it lets pass, in full view, what the other forbids.
band
    One says *go* and the other *change* or *stop* for the same concern, and they hold one fact against limits from
    opposite sides: from the first limit up it is good, below the second it is not, and the bands overlap.
advice
    Both ask for a change, and each thing that one would have changed the other would have changed the other way:
    up against down, to one word against to another, put in against left out.
fact
    They conclude different values of one fact. The vocabulary ranks the values of such a fact, harmless first, and
    the worst stands, so that alone is settled and no fault. It is one where the lesser value can never stand: the
    rule of the worse value fires wherever the other does, with no condition of its own that the other lacks.

The search is over the cells of `advisor.audit.regions`: just below, at and just above each limit, and every word.
Because each condition speaks of one fact, two rules can fire together if and only if for each fact some cell
suits both; so the search over cells is complete, without trying their product. What is found is confirmed by
firing both rules on it. Facts that only rules conclude must be reachable through those rules.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Iterator, Mapping, Sequence

    from advisor.audit.faults import Fault
    from advisor.audit.places import Places
    from advisor.audit.regions import Key, Space
    from advisor.case.facts import Value
    from advisor.knowledge.conditions import Alternative
    from advisor.knowledge.records import Mend
    from advisor.knowledge.rulebase import CheckedRule

    # Says how two alternatives clash; without alternatives, whether the rules are worth comparing; empty if not.
    _Test = Callable[[CheckedRule, CheckedRule, Alternative | None, Alternative | None], str]

AGAINST = ("change", "stop")
UPWARD, DOWNWARD = ("is over", "is at least"), ("is under", "is at most")


@dataclass(frozen=True)
class Clash:
    """Two rules, why they contradict each other, and facts on which both fire."""

    one: str
    other: str
    sort: str
    what: str
    facts: Mapping[Key, Value]

    @property
    def shown(self) -> str:
        """Render the facts as a rule's example would write them."""
        said = (f"{s} {n}: {'not known' if v is None else v}" for (s, n), v in self.facts.items())
        return ", ".join(said)


def contradictions(
    space: Space,
    places: Places,
    settled: Mapping[frozenset[str], str],
    *,
    idle: bool = True,
    among: Container[str] | None = None,
) -> Iterator[Fault]:
    """Find contradicting rules that no reason settles, and reasons that settle nothing.

    Parameters
    ----------
    settled : mapping
        Pairs of rule ids to the reason why they may stand side by side.
    idle : bool
        Whether to look for reasons that settle nothing.
    among : container of str or None
        Look only at pairs with one of these rules; at all pairs when None.
    """
    met: set[frozenset[str]] = set()
    order = list(space.rulebase.rules)
    for clash in clashes(space, among):
        pair = frozenset((clash.one, clash.other))
        met.add(pair)
        if pair not in settled:
            # Told of the rule that stands later, which is more likely the one that was added.
            first, later = sorted((clash.one, clash.other), key=order.index)
            yield places.in_rule(
                later,
                "when",
                f"it contradicts '{first}' ({clash.sort}): {clash.what}. Both fire on: {clash.shown}.",
                "Part them by a condition, make one the exception_to the other, or give the reason in "
                "audit/reasons.yaml under 'settled:'.",
                "contradiction",
            )
    for pair in settled.keys() - met if idle else ():
        names = " and ".join(sorted(pair))
        what = f"'settled:' gives a reason for {names}, which do not contradict each other."
        yield places.in_file("audit/reasons.yaml", ("settled",), what, "Take the reason out.", "contradiction")


def clashes(space: Space, among: Container[str] | None = None) -> Iterator[Clash]:
    """Every pair of contradicting rules, each with facts on which both fire; ``among``: with one of these rules."""
    rules = list(space.rulebase.rules.values())
    for i, j in _worth_comparing(rules):
        one, other = rules[i], rules[j]
        if among is not None and one.rule.id not in among and other.rule.id not in among:
            continue
        if other.rule.exception_to == one.rule.id or one.rule.exception_to == other.rule.id:
            continue
        yield from _pair(space, one, other)


def _worth_comparing(rules: Sequence[CheckedRule]) -> list[tuple[int, int]]:
    """Pairs of rules that speak of one technique or fact, or that judge: no others can contradict each other."""
    groups: dict[tuple[str, str], list[int]] = {}
    for index, checked in enumerate(rules):
        concludes = checked.rule.concludes
        if concludes.technique:
            groups.setdefault(("technique", concludes.technique), []).append(index)
        if concludes.fact:
            groups.setdefault(("fact", concludes.fact), []).append(index)
        if concludes.verdict == "go" or concludes.verdict in AGAINST:
            groups.setdefault(("concern", checked.rule.concern), []).append(index)
        if concludes.verdict in AGAINST and checked.rule.mend:
            groups.setdefault(("mend", ""), []).append(index)
    return sorted({pair for group in groups.values() for pair in combinations(group, 2)})


def _pair(space: Space, one: CheckedRule, other: CheckedRule) -> Iterator[Clash]:
    for sort, test in (("fit", _fit), ("permission", _permission), ("band", _band), ("advice", _advice)):
        for a, b in ((one, other), (other, one)) if sort in ("permission", "band") else ((one, other),):
            found = _first(space, a, b, test)
            if found is not None:
                yield Clash(a.rule.id, b.rule.id, sort, *found)
                return
    for a, b in ((one, other), (other, one)):
        found = _never_stands(space, a, b)
        if found is not None:
            yield Clash(a.rule.id, b.rule.id, "fact", *found)
            return


def _first(space: Space, one: CheckedRule, other: CheckedRule, test: _Test) -> tuple[str, Mapping[Key, Value]] | None:
    """First pair of alternatives that a test holds against each other and that can both hold."""
    if not test(one, other, None, None):
        return None
    for a in one.alternatives:
        for b in other.alternatives:
            what = test(one, other, a, b)
            facts = space.meeting(a, b) if what else None
            if facts is not None and space.fires(one, facts) and space.fires(other, facts):
                return what, facts
    return None


def _named(alternative: Alternative) -> set[Key]:
    return {(c.subject, c.fact) for c in conditions_of((alternative,))}


def _fit(one: CheckedRule, other: CheckedRule, _a: Alternative | None, _b: Alternative | None) -> str:
    c, d = one.rule.concludes, other.rule.concludes
    if c.technique and c.technique == d.technique and c.fit != d.fit:
        return f"'{one.rule.id}' says {c.fit} {c.technique}, '{other.rule.id}' {d.fit}"
    return ""


def _go_against(one: CheckedRule, other: CheckedRule) -> bool:
    same = one.rule.concern == other.rule.concern
    return same and one.rule.concludes.verdict == "go" and other.rule.concludes.verdict in AGAINST


def _permission(one: CheckedRule, other: CheckedRule, a: Alternative | None, b: Alternative | None) -> str:
    if not _go_against(one, other):
        return ""
    if a is None or b is None:
        return "perhaps"
    if _named(b) <= _named(a):
        verdict = other.rule.concludes.verdict
        return f"'{one.rule.id}' says go, '{other.rule.id}' {verdict}, of the same facts"
    return ""


def _band(one: CheckedRule, other: CheckedRule, a: Alternative | None, b: Alternative | None) -> str:
    if not _go_against(one, other):
        return ""
    if a is None or b is None:
        return "perhaps"
    for c in a.conditions:
        for d in b.conditions:
            if (c.subject, c.fact) == (d.subject, d.fact) and (
                (c.comparison in UPWARD and d.comparison in DOWNWARD)
                or (c.comparison in DOWNWARD and d.comparison in UPWARD)
            ):
                # A rule that bounds the fact on both sides speaks of a band of its own.
                mine = [x for x in b.conditions if (x.subject, x.fact) == (d.subject, d.fact) and x.bound is not None]
                ours = [x for x in a.conditions if (x.subject, x.fact) == (c.subject, c.fact) and x.bound is not None]
                if len(mine) == len(ours) == 1:
                    return f"go when '{c}', {other.rule.concludes.verdict} when '{d}'"
    return ""


def _advice(one: CheckedRule, other: CheckedRule, _a: Alternative | None, _b: Alternative | None) -> str:
    ours, theirs = one.rule.mend, other.rule.mend
    if one.rule.concludes.verdict not in AGAINST or other.rule.concludes.verdict not in AGAINST:
        return ""
    if ours and theirs and all(_opposed(m, n) for m in ours for n in theirs):
        return f"'{one.rule.id}' wants {_shown(ours[0])}, '{other.rule.id}' {_shown(theirs[0])}"
    return ""


def _opposed(one: Mend, other: Mend) -> bool:
    if {one.change, other.change} == {"steps add", "steps remove"}:
        return one.to == other.to
    if one.change != other.change:
        return False
    if one.direction and other.direction:
        return one.direction != other.direction
    return bool(one.to and other.to) and one.to != other.to and not one.change.startswith("steps ")


def _shown(mend: Mend) -> str:
    return f"{mend.change} {mend.direction or 'to ' + mend.to}"


def _never_stands(space: Space, one: CheckedRule, other: CheckedRule) -> tuple[str, Mapping[Key, Value]] | None:
    c, d = one.rule.concludes, other.rule.concludes
    if not c.fact or c.fact != d.fact or c.value == d.value:
        return None
    subject, _, name = c.fact.partition(" ")
    choices = space.rulebase.vocabulary[subject][name].choices
    if choices.index(c.value) > choices.index(d.value):
        return None
    covered = all(any(_within(space, a, b) for b in other.alternatives) for a in one.alternatives)
    facts = space.meeting(one.alternatives[0], one.alternatives[0]) if covered else None
    if facts is None:
        return None
    what = f"'{c.fact}: {c.value}' of '{one.rule.id}' never stands, for '{other.rule.id}' concludes the worse"
    return f"{what} '{d.value}' wherever it does", facts


def _within(space: Space, one: Alternative, other: Alternative) -> bool:
    """Tell whether one alternative holds nowhere but where the other does."""
    mine, theirs = space.region(one.conditions), space.region(other.conditions)
    return all(key in mine and set(mine[key]) <= set(values) for key, values in theirs.items())
