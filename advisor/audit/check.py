"""The whole audit of a rulebase: what keeps it from loading, or else what is wrong with it as a body of knowledge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import chain
from typing import TYPE_CHECKING, Any

from advisor.audit import contradict, fires, gaps, style, unused
from advisor.audit.faults import Fault, Texts
from advisor.audit.gather import gather
from advisor.audit.places import Places
from advisor.audit.regions import Space
from advisor.errors import EngineError
from advisor.infer import check_conclusions, check_exceptions
from advisor.knowledge.conditions import ConditionError, parse_condition

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from advisor.knowledge.conditions import Condition
    from advisor.knowledge.rulebase import Rulebase

REASONS = "audit/reasons.yaml"
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
    yield from chain(
        fires.never_fires(space, places),
        fires.examples(space, places),
        contradict.contradictions(space, places, reasons.settled),
        gaps.silent(space, places, reasons.gaps),
        gaps.holes(space, places),
        unused.unused(places),
        style.banned(places),
        style.hard(places),
        style.depth(places),
        _under_codes(space, places, reasons),
    )


def _under_codes(space: Space, places: Places, reasons: Reasons) -> Iterator[Fault]:
    """Look again under each food code, which moves limits: what holds apart here may meet there."""

    def found(there: Space) -> dict[str, Fault]:
        faults = chain(
            fires.never_fires(there, places),
            contradict.contradictions(there, places, reasons.settled, idle=False),
            gaps.holes(there, places),
        )
        # By rule and kind: the figures in a message differ from code to code.
        return {f"{fault.kind} {fault.file} {fault.line}": fault for fault in faults}

    here = found(space)
    seen = set(here)
    for code in space.rulebase.codes:
        if code == space.rulebase.code:
            continue
        for key, fault in found(Space(space.rulebase.under(code), space.follows)).items():
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
        self.faults: list[Fault] = []
        data = places.own(REASONS)
        self.follows = tuple(self._follows(data.get("follows")))
        self.settled = {
            frozenset(str(rule) for rule in entry["rules"]): str(entry["why"])
            for entry in self._entries(data.get("settled"), "settled", ("rules", "why"))
        }
        self.gaps = self._gaps(data.get("gaps"))

    def _entries(self, node: Any, key: str, needs: tuple[str, ...]) -> Iterator[Mapping[str, Any]]:
        for index, entry in enumerate(node or ()):
            if isinstance(entry, Mapping) and all(need in entry for need in needs):
                yield entry
            else:
                self._wrong((key, index), f"An entry of '{key}:' has {' and '.join(needs)}.")

    def _follows(self, node: Any) -> Iterator[tuple[Condition, Condition]]:
        for index, entry in enumerate(self._entries(node, "follows", ("where", "also", "why"))):
            found = [self._condition(entry[key], ("follows", index, key)) for key in ("where", "also")]
            if found[0] is not None and found[1] is not None:
                yield found[0], found[1]

    def _gaps(self, node: Any) -> dict[str, gaps.Reason]:
        found: dict[str, gaps.Reason] = {}
        for name, entry in (node or {}).items():
            if not isinstance(entry, Mapping) or not entry.get("why"):
                self._wrong(("gaps", name), f"'{name}' gives no reason.")
                continue
            beside = [
                tuple(c for s in group if (c := self._condition(s, ("gaps", name, "beside"))) is not None)
                for group in entry.get("beside", [])
            ]
            found[str(name)] = gaps.Reason(str(entry["why"]), tuple(beside))
        return found

    def _condition(self, sentence: str, route: tuple[str | int, ...]) -> Condition | None:
        rulebase = self.places.rulebase
        try:
            return parse_condition(str(sentence), rulebase.vocabulary, rulebase.limits)
        except ConditionError as error:
            self._wrong(route, error.what, error.hint)
            return None

    def _wrong(self, route: tuple[str | int, ...], what: str, hint: str = "Write it as the entries beside it.") -> None:
        self.faults.append(self.places.in_file(REASONS, route, what, hint, "loading"))
