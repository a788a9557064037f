"""Regions of fact space around a limit on which no rule speaks.

silent
    A limit that may only be made stricter guards something. With every other fact at its harmless value (the
    default, or the first choice; numbers not given), a fact just on the wrong side of it must make some rule fire
    that does not fire without it. Where a limit counts only beside other facts, ``audit/reasons.yaml`` names them
    under ``gaps:``, with the reason; with those facts a rule must then fire. A limit that only a calculation uses
    needs the reason alone. A reason that is not needed is a fault.
hole
    Where a safety rule asks for a change, stop or answer because a fact is past a limit, and the fact goes further
    the wrong way past every other limit, some rule must still speak, and none may speak more mildly: worse is never
    better.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from advisor.audit.regions import fact_set
from advisor.infer import reference
from advisor.infer.examples import NEAR
from advisor.knowledge.conditions import ORDERED, conditions_of

if TYPE_CHECKING:
    from collections.abc import Container, Iterator, Mapping, Sequence

    from advisor.audit.faults import Fault
    from advisor.audit.places import Places
    from advisor.audit.regions import Key, Region, Space
    from advisor.case.facts import Value
    from advisor.knowledge.conditions import Alternative, Condition
    from advisor.knowledge.rulebase import CheckedRule

# How much a verdict holds up; what only says something is the mildest.
WEIGHT: Final = {"go": 0, "ask": 1, "change": 2, "stop": 3}
RISING: Final = ("is over", "is at least")
KIND: Final = "gap"


@dataclass(frozen=True)
class Reason:
    """Why nothing is said just past a limit, all else harmless.

    Parameters
    ----------
    why : str
        In words.
    beside : tuple of tuple of Condition
        What must hold beside for the limit to count, in one or several ways.
    """

    why: str
    beside: tuple[tuple[Condition, ...], ...] = ()


def silent(space: Space, places: Places, reasons: Mapping[str, Reason]) -> Iterator[Fault]:
    """Find limits that can be passed in silence, and reasons that are not needed."""
    compared: dict[str, set[Key]] = {}
    for checked in space.rulebase.rules.values():
        for condition in conditions_of(checked.alternatives):
            if condition.limit:
                compared.setdefault(condition.limit, set()).add((condition.subject, condition.fact))
    for name, limit in space.rulebase.limits.items():
        if limit.stricter in ("lower", "higher"):
            yield from _passed(space, places, name, sorted(compared.get(name, ())), reasons.get(name))
    for name in reasons:
        if name not in space.rulebase.limits:
            yield _needless(places, name, "there is no such limit")
        elif space.rulebase.limits[name].stricter not in ("lower", "higher"):
            yield _needless(places, name, "the limit guards nothing")


def _passed(space: Space, places: Places, name: str, keys: list[Key], reason: Reason | None) -> Iterator[Fault]:
    limit = space.rulebase.limits[name]
    over = limit.stricter == "lower"
    wrong = limit.value + (NEAR if over else -NEAR)
    quiet = [key for key in keys if not _speaks(space, name, {}, key, wrong)]
    if reason is None:
        if quiet or not keys:
            said = " and ".join(f"'{s} {n}'" for s, n in quiet)
            what = f"no rule speaks when {said} is just {'over' if over else 'under'} it and all else is harmless."
            hint = f"Add a rule, or name what it counts beside: 'gaps: {{{name}: ...}}' in audit/reasons.yaml."
            yield places.in_limits(name, what if keys else "no rule holds a fact against it.", hint, KIND)
        return
    if keys and not quiet:
        yield _needless(places, name, "rules speak just past it")
    for key in quiet:
        contexts = [_values(space, group, key) for group in reason.beside]
        if not any(_speaks(space, name, context, key, wrong) for context in contexts):
            what = f"'{name}': no rule speaks when '{key[0]} {key[1]}' is just past it, even with what is named beside."
            hint = "Name the facts that it counts beside, as a rule does, or add the rule."
            yield places.in_file("audit/reasons.yaml", ("gaps", name), what, hint, KIND)


def _values(space: Space, group: tuple[Condition, ...], key: Key) -> dict[Key, Value]:
    """First value of each fact under which a group of conditions holds."""
    region = space.narrowed(space.region(group))
    return {other: values[0] for other, values in region.items() if values and other != key}


def _speaks(space: Space, limit: str, context: Mapping[Key, Value], key: Key, value: Value) -> bool:
    # Only a rule that looks at the fact can tell the difference; one that picks a way of working guards nothing, nor
    # does a remark on how it will eat that goes by another figure.
    rules = [one for one in space.looking_at.get(key, ()) if _holds(one, limit)]
    return bool(_speaking(space, rules, {**context, key: value}) - _speaking(space, rules, context))


def _holds(checked: CheckedRule, limit: str) -> bool:
    named = any(condition.limit == limit for condition in conditions_of(checked.alternatives))
    remark = checked.rule.concern == "craft" and checked.rule.concludes.verdict == "go"
    return not checked.rule.concludes.technique and (named or not remark)


def _needless(places: Places, name: str, why: str) -> Fault:
    what = f"The reason for '{name}' is not needed: {why}."
    return places.in_file("audit/reasons.yaml", ("gaps", name), what, "Take it out.", KIND)


def _speaking(space: Space, rules: Sequence[CheckedRule], changed: Mapping[Key, Value]) -> set[str]:
    facts = fact_set({**space.harmless, **changed})
    return {firing.rule_id for firing in reference.fire(rules, facts)}


def holes(space: Space, places: Places, among: Container[str] | None = None) -> Iterator[Fault]:
    """Find places past the limit of a safety rule where no rule speaks any more, or only more mildly.

    ``among``: look only at these rules.
    """
    for checked in space.rulebase.rules.values():
        if among is not None and checked.rule.id not in among:
            continue
        if checked.rule.concern != "safety" or WEIGHT.get(checked.rule.concludes.verdict or "go", 0) == 0:
            continue
        for alternative in checked.alternatives:
            for condition in alternative.conditions:
                if condition.comparison in ORDERED:
                    fault = _hole(space, places, checked, alternative, condition)
                    if fault is not None:
                        yield fault


def _hole(
    space: Space, places: Places, checked: CheckedRule, alternative: Alternative, condition: Condition
) -> Fault | None:
    key = (condition.subject, condition.fact)
    own = [c for c in alternative.conditions if (c.subject, c.fact) == key]
    rising = condition.comparison in RISING
    region = space.narrowed(space.region(alternative.conditions))
    if not all(region.values()) or not _wrong_way(space, condition, rising=rising):
        return None
    inside = [v for v in region[key] if isinstance(v, float)]
    beyond = [
        v
        for v in space.values(key)
        if isinstance(v, float)
        and inside
        and (v > max(inside) if rising else v < min(inside))
        and any(space.state(c, v) != "true" for c in own)
    ]
    rest: Region = {other: values for other, values in region.items() if other != key}
    others = {other: values[0] for other, values in rest.items()}
    least = WEIGHT[checked.rule.concludes.verdict or "go"]
    for value in beyond:
        facts = {**others, key: value}
        found = [c for c in space.rulebase.rules.values() if space.fires(c, facts)]
        most = max((WEIGHT.get(c.rule.concludes.verdict or "", -1) for c in found), default=-1)
        if most < least:
            said = "no rule speaks" if most < 0 else "only a milder rule speaks"
            what = f"further past '{condition}', with '{key[0]} {key[1]}' at {value:g}, {said}."
            hint = "Let the next rule begin where this one ends; worse is never better."
            return places.in_rule(checked.rule.id, "when", what, hint, KIND)
    return None


def _wrong_way(space: Space, condition: Condition, *, rising: bool) -> bool:
    """Tell whether a comparison holds on the wrong side of its limit, so that going further is worse."""
    stricter = space.rulebase.limits[condition.limit].stricter
    return stricter == ("lower" if rising else "higher")
