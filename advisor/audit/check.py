"""The whole audit of a rulebase: what keeps it from loading, or else what is wrong with it as a body of knowledge."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import chain
from typing import TYPE_CHECKING

from advisor.audit import contradict, fires, gaps, quizzed, style, unused
from advisor.audit.faults import Fault, Texts
from advisor.audit.gather import gather
from advisor.audit.own import REASONS, ReasonsFile, read_own
from advisor.audit.places import Places
from advisor.audit.regions import Space
from advisor.errors import EngineError
from advisor.infer import check_conclusions, check_exceptions
from advisor.knowledge.conditions import ConditionError, parse_condition

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from advisor.audit.faults import Route
    from advisor.audit.own import Follows, Gap
    from advisor.knowledge.conditions import Condition
    from advisor.knowledge.rulebase import Rulebase

EXCEPTION = "Name a rule, make it of the same concern, and let it rest on what is known, or drop 'exception_to'."
OF_A_STEP = "Name a fact of the step in every way it can fire, or leave {step...} out of its texts."


@dataclass(frozen=True)
class Audit:
    """What an audit found.

    Parameters
    ----------
    rulebase : Rulebase or None
        None when it does not load.
    errors, warnings : tuple of Fault
        By file and line.
    """

    rulebase: Rulebase | None
    errors: tuple[Fault, ...]
    warnings: tuple[Fault, ...]


def audit(folder: Path | None = None) -> Audit:
    """Check a rulebase; the shipped one when no folder is given.

    Raises
    ------
    RulebaseError
        There is no rulebase in the folder.
    """
    texts = Texts(folder)
    rulebase, faults = gather(texts, folder)
    if rulebase is not None:
        faults = list(_audited(rulebase, texts))
    ordered = sorted(dict.fromkeys(faults))
    return Audit(
        rulebase,
        tuple(fault for fault in ordered if fault.severity == "error"),
        tuple(fault for fault in ordered if fault.severity == "warning"),
    )


def _audited(rulebase: Rulebase, texts: Texts) -> Iterator[Fault]:
    texts.load()
    places = Places(rulebase, texts)
    reasons = Reasons(places)
    yield from reasons.faults
    space = Space(rulebase, reasons.follows)
    yield from _laws(rulebase, places)
    here = tuple(
        chain(
            fires.never_fires(space, places),
            contradict.contradictions(space, places, reasons.settled),
            gaps.holes(space, places),
        )
    )
    yield from here
    yield from chain(
        fires.examples(space, places),
        gaps.silent(space, places, reasons.gaps),
        unused.unused(places),
        quizzed.unworded(places),
        style.styled(places),
        _under_codes(space, places, reasons, here),
    )


def _under_codes(space: Space, places: Places, reasons: Reasons, here: tuple[Fault, ...]) -> Iterator[Fault]:
    """Look again under each food code, which moves limits: what holds apart here may meet there.

    Only rules that a moved limit touches can behave otherwise there, so only they are looked at again.
    """
    # By rule and kind: the figures in a message differ from code to code.
    seen = {(fault.kind, fault.file, fault.line) for fault in here}
    for code in space.rulebase.codes:
        if code == space.rulebase.code:
            continue
        there = Space(space.rulebase.under(code), space.follows)
        moved = there.moved_against(space)
        faults = chain(
            fires.never_fires(there, places, moved),
            contradict.contradictions(there, places, reasons.settled, idle=False, among=moved),
            gaps.holes(there, places, moved),
        )
        for fault in faults:
            key = (fault.kind, fault.file, fault.line)
            if key not in seen:
                seen.add(key)
                yield replace(fault, what=f"Under code '{code}': {fault.what}")


def _laws(rulebase: Rulebase, places: Places) -> Iterator[Fault]:
    """Hold each rule to the laws by itself, with the rules it is an exception to, so that none hides another."""
    for rule_id in rulebase.rules:
        for law, key, hint, names in (
            (check_exceptions, "exception_to", EXCEPTION, _line_of_exceptions(rule_id, rulebase)),
            (check_conclusions, "when", OF_A_STEP, (rule_id,)),
        ):
            alone = {name: rulebase.rules[name] for name in names}
            try:
                law(replace(rulebase, rules=alone))
            except EngineError as error:
                said = str(error).removeprefix(f"Rule '{rule_id}'").lstrip(": ")
                # What a rule further down the line breaks is told of that rule.
                if said != str(error):
                    yield places.in_rule(rule_id, key, said, hint, "law")


def _line_of_exceptions(rule_id: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Give a rule and those it is an exception to, one after the other."""
    line = [rule_id]
    while (target := rulebase.rules[line[-1]].rule.exception_to) in rulebase.rules and target not in line:
        line.append(target)
    return tuple(line)


class Reasons:
    """What ``audit/reasons.yaml`` says that the audit could not know.

    Parameters
    ----------
    places : Places
        The rulebase and its files.
    """

    def __init__(self, places: Places) -> None:
        self.places = places
        said, self.faults = read_own(places.texts, REASONS, ReasonsFile)
        self.follows = tuple(self._follows(said.follows))
        self.settled = {frozenset(entry.rules): entry.why for entry in said.settled}
        self.gaps = {name: gaps.Reason(gap.why, tuple(self._beside(name, gap))) for name, gap in said.gaps.items()}

    def _follows(self, entries: list[Follows]) -> Iterator[tuple[Condition, Condition]]:
        for index, entry in enumerate(entries):
            where = self._condition(entry.where, ("follows", index, "where"))
            also = self._condition(entry.also, ("follows", index, "also"))
            if where is not None and also is not None:
                yield where, also

    def _beside(self, name: str, gap: Gap) -> Iterator[tuple[Condition, ...]]:
        for group in gap.beside:
            read = (self._condition(sentence, ("gaps", name, "beside")) for sentence in group)
            yield tuple(condition for condition in read if condition is not None)

    def _condition(self, sentence: str, route: Route) -> Condition | None:
        rulebase = self.places.rulebase
        try:
            return parse_condition(sentence, rulebase.vocabulary, rulebase.limits)
        except ConditionError as error:
            self.faults.append(self.places.in_file(REASONS, route, error.what, error.hint, "loading"))
            return None
