"""Regions of fact space: which values of each fact a rule's conditions leave, cell by cell.

A condition compares one fact with limits or words, so all limits that any rule holds a fact against cut its range
into cells on which every condition is constant. One value for each cell (just below, at and just above each limit,
and the middle between two) therefore stands for all values, and what is proved on them is proved.

A fact that only rules conclude is there only if its default stands or some rule concludes it; `Space.unreachable`
follows those rules back, as often as needed. That one computed fact follows from another (the role of a step from
its action) is no rule but stands in ``audit/reasons.yaml``, and counts here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from advisor.case.facts import Fact, FactSet, Value
from advisor.infer import reference
from advisor.infer.examples import NEAR
from advisor.knowledge.conditions import SUBJECTS, conditions_of

if TYPE_CHECKING:
    from advisor.knowledge.conditions import Alternative, Condition
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

Key = tuple[str, str]
Region = Mapping[Key, tuple[Value, ...]]
# Beyond the outermost limit of a fact without a range of its own.
FAR: Final = 1000.0
ANOTHER_WORD: Final = "another word"


def fact_set(values: Mapping[Key, Value]) -> FactSet:
    """Facts with these values, the facts of a step all on one step."""

    def group(subject: str, place: str) -> dict[str, Fact]:
        return {
            name: Fact(place, name, value, "not known" if value is None else "written")
            for (owner, name), value in values.items()
            if owner == subject
        }

    step = group("step", "step1")
    return FactSet(
        piece=group("piece", "piece"),
        guests=group("guests", "guests"),
        course=group("course", "course"),
        steps=(step,) if step else (),
    )


@dataclass
class Space:
    """The fact space of one rulebase.

    Parameters
    ----------
    rulebase : Rulebase
        Its rules, limits and vocabulary.
    follows : sequence of (Condition, Condition)
        Where the first holds the second does, whatever the rules say.
    """

    rulebase: Rulebase
    follows: Sequence[tuple[Condition, Condition]] = ()
    _states: dict[tuple[Condition, Value], str] = field(default_factory=dict, repr=False)
    _cells: dict[Key, tuple[Value, ...]] = field(default_factory=dict, repr=False)
    _regions: dict[tuple[tuple[Condition, ...], bool], Region] = field(default_factory=dict, repr=False)

    def entry(self, key: Key) -> VocabularyFact:
        """Vocabulary entry of a fact."""
        return self.rulebase.vocabulary[key[0]][key[1]]

    @cached_property
    def bounds(self) -> Mapping[Key, tuple[float, ...]]:
        """Limits that some rule holds each fact against, in order."""
        found: dict[Key, set[float]] = {}
        for checked in self.rulebase.rules.values():
            for condition in conditions_of(checked.alternatives):
                if condition.bound is not None:
                    found.setdefault((condition.subject, condition.fact), set()).add(condition.bound)
        return {key: tuple(sorted(bounds)) for key, bounds in found.items()}

    @cached_property
    def words(self) -> Mapping[Key, tuple[str, ...]]:
        """Words that some rule compares each free-text fact with."""
        found: dict[Key, set[str]] = {}
        for checked in self.rulebase.rules.values():
            for condition in conditions_of(checked.alternatives):
                if condition.choices:
                    found.setdefault((condition.subject, condition.fact), set()).update(condition.choices)
        return {key: tuple(sorted(words)) for key, words in found.items()}

    def moved_against(self, other: Space) -> frozenset[str]:
        """Ids of the rules that may hold elsewhere here than in another space of the same rules.

        Those are the rules that look at a fact with other cells, at one that such rules conclude, or at one that
        follows from either. Every other rule has the same regions in both.
        """
        keys = {key for key, bounds in self.bounds.items() if bounds != other.bounds.get(key)}
        reads = {
            name: {(c.subject, c.fact) for c in conditions_of(checked.alternatives)}
            for name, checked in self.rulebase.rules.items()
        }
        while True:
            rules = {name for name, read in reads.items() if read & keys}
            more = {
                key for key, makers in self._makers.items() if any(checked.rule.id in rules for _, checked in makers)
            }
            for first, second in self.follows:
                pair = {(first.subject, first.fact), (second.subject, second.fact)}
                more |= pair if pair & keys else set()
            if more <= keys:
                return frozenset(rules)
            keys |= more

    def values(self, key: Key) -> tuple[Value, ...]:
        """One value for each cell of a fact, not known last."""
        if key not in self._cells:
            self._cells[key] = self._cells_of(key)
        return self._cells[key]

    def _cells_of(self, key: Key) -> tuple[Value, ...]:
        entry = self.entry(key)
        if entry.quantity is None:
            words = (*self.words.get(key, ()), ANOTHER_WORD) if entry.words else tuple(entry.choices)
            return (*words, None)
        bounds = self.bounds.get(key, (0.0,))
        points = [bound + shift for bound in bounds for shift in (-NEAR, 0.0, NEAR)]
        points += [(a + b) / 2 for a, b in pairwise(bounds)]
        points += [
            entry.low if entry.low is not None else bounds[0] - FAR,
            entry.high if entry.high is not None else bounds[-1] + FAR,
        ]
        low, high = entry.low, entry.high
        inside = {p for p in points if (low is None or p >= low) and (high is None or p <= high)}
        return (*sorted(inside), None)

    @cached_property
    def looking_at(self) -> Mapping[Key, tuple[CheckedRule, ...]]:
        """Rules that look at each fact."""
        found: dict[Key, dict[str, CheckedRule]] = {}
        for name, checked in self.rulebase.rules.items():
            for condition in conditions_of(checked.alternatives):
                found.setdefault((condition.subject, condition.fact), {})[name] = checked
        return {key: tuple(rules.values()) for key, rules in found.items()}

    def state(self, condition: Condition, value: Value) -> str:
        """Whether a condition holds when its fact has this value: true, false or unknown."""
        if (condition, value) not in self._states:
            facts = fact_set({(condition.subject, condition.fact): value})
            step = 0 if condition.subject == "step" else None
            self._states[condition, value] = reference.judge(condition, facts, step).state
        return self._states[condition, value]

    def region(self, conditions: Iterable[Condition], *, loose: bool = False) -> Region:
        """Values of each named fact under which all conditions are true; ``loose``: under which none is false."""
        wanted_of = (tuple(conditions), loose)
        if wanted_of not in self._regions:
            self._regions[wanted_of] = self._region_of(*wanted_of)
        return self._regions[wanted_of]

    def _region_of(self, conditions: tuple[Condition, ...], loose: bool) -> Region:
        wanted = ("true", "unknown") if loose else ("true",)
        grouped: dict[Key, list[Condition]] = {}
        for condition in conditions:
            grouped.setdefault((condition.subject, condition.fact), []).append(condition)
        return {
            key: tuple(v for v in self.values(key) if all(self.state(c, v) in wanted for c in group))
            for key, group in grouped.items()
        }

    def impossible(self, alternative: Alternative) -> str:
        """Say why an alternative can never hold; empty when it can."""
        region = self.region(alternative.conditions)
        for (subject, name), left in region.items():
            if not left:
                said = [str(c) for c in alternative.conditions if (c.subject, c.fact) == (subject, name)]
                return f"no value of '{subject} {name}' meets {' and '.join(repr(s) for s in said)}"
        empty = [key for key, left in self.narrowed(region).items() if not left]
        if empty:
            return next(f"'{a}' goes with '{b}' alone" for a, b in self.follows if (b.subject, b.fact) == empty[0])
        blocked = self.unreachable(region)
        return f"no rule concludes '{blocked[0]} {blocked[1]}' as it needs, when the rest holds" if blocked else ""

    def narrowed(self, region: Region) -> dict[Key, tuple[Value, ...]]:
        """A region less what cannot stand beside the rest of it."""
        left = dict(region)
        for first, second in self.follows:
            given = left.get((first.subject, first.fact), (None,))
            if given and all(self.state(first, value) == "true" for value in given):
                key = (second.subject, second.fact)
                left[key] = tuple(v for v in left.get(key, self.values(key)) if self.state(second, v) == "true")
        return left

    # --- facts that rules conclude

    @cached_property
    def _makers(self) -> Mapping[Key, tuple[tuple[str, CheckedRule], ...]]:
        found: dict[Key, list[tuple[str, CheckedRule]]] = {}
        for checked in self.rulebase.rules.values():
            conclusion = checked.rule.concludes
            if conclusion.fact:
                subject, _, name = conclusion.fact.partition(" ")
                found.setdefault((subject, name), []).append((conclusion.value, checked))
        return {key: tuple(makers) for key, makers in found.items()}

    def concluded_only(self, key: Key) -> bool:
        """Tell whether a fact comes from rules alone."""
        entry = self.entry(key)
        return entry.concluded and not entry.asked and not entry.computed

    def unreachable(self, region: Region) -> Key | None:
        """Find a concluded fact that cannot have any of the values a region asks of it; None when there is none."""
        for key, allowed in region.items():
            if not self.concluded_only(key):
                continue
            default = self.entry(key).default
            if default in allowed or (default is None and None in allowed):
                continue
            rest = {other: values for other, values in region.items() if other != key}
            if not any(value in allowed and self._made(checked, rest) for value, checked in self._makers.get(key, ())):
                return key
        return None

    def _made(self, checked: CheckedRule, region: Region) -> bool:
        """Tell whether a rule could conclude its fact somewhere in a region."""
        for alternative in checked.alternatives:
            met = self.narrowed(meet(region, self.region(alternative.conditions, loose=True)))
            if all(met.values()) and self.unreachable(met) is None:
                return True
        return False

    def meeting(self, one: Alternative, other: Alternative) -> dict[Key, Value] | None:
        """Find facts on which two alternatives both hold; None when there are none.

        Harmless values are taken before harmful ones, and limits before what lies beyond them.
        """
        met = self.narrowed(meet(self.region(one.conditions), self.region(other.conditions)))
        if not all(met.values()) or self.unreachable(met) is not None:
            return None
        return {key: values[0] for key, values in met.items()}

    def fires(self, checked: CheckedRule, values: Mapping[Key, Value]) -> bool:
        """Tell whether a rule fires on these facts, by the reference evaluator."""
        return bool(reference.fire([checked], fact_set(values)))

    @cached_property
    def harmless(self) -> Mapping[Key, Value]:
        """Every fact at its harmless value: the default, or the first of its choices; numbers are not given."""
        found: dict[Key, Value] = {}
        for subject in SUBJECTS:
            for name, entry in self.rulebase.vocabulary[subject].items():
                if entry.choices:
                    default = entry.default
                    found[subject, name] = default if isinstance(default, str) else entry.choices[0]
        return found


def meet(one: Region, other: Region) -> dict[Key, tuple[Value, ...]]:
    """Values that two regions both allow; a fact that only one of them names keeps what that one allows."""
    met = dict(one)
    for key, values in other.items():
        met[key] = tuple(v for v in met[key] if v in values) if key in met else values
    return met
