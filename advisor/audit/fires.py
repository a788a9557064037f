"""Rules that cannot do their work: never fire, are fired by no example, or conclude what never stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.errors import RulebaseError
from advisor.infer import engine, reference
from advisor.infer.examples import facts_from_example

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Iterator, Sequence

    from advisor.audit.faults import Fault
    from advisor.audit.places import Places
    from advisor.audit.regions import Space
    from advisor.case.facts import FactSet
    from advisor.infer.proof import Firing
    from advisor.knowledge.records import Example
    from advisor.knowledge.rulebase import CheckedRule

    Fire = Callable[[Sequence[CheckedRule], FactSet], tuple[Firing, ...]]


def never_fires(space: Space, places: Places, among: Container[str] | None = None) -> Iterator[Fault]:
    """Find rules, and alternatives of rules, whose conditions nothing can meet; ``among``: only of these rules."""
    for checked in space.rulebase.rules.values():
        rule = checked.rule
        if among is not None and rule.id not in among:
            continue
        reasons = [space.impossible(alternative) for alternative in checked.alternatives]
        if all(reasons):
            yield places.in_rule(
                rule.id,
                "when",
                f"it can never fire: {reasons[0]}.",
                "Mend the condition, or the rule that should conclude the fact, or take the rule out.",
                "never fires",
            )
        elif any(reasons):
            number, reason = next((n, r) for n, r in enumerate(reasons, start=1) if r)
            yield places.in_rule(
                rule.id,
                "when",
                f"its alternative {number} can never hold: {reason}.",
                "Mend or take out that line under 'any:'.",
                "never fires",
                "warning",
            )


def examples(space: Space, places: Places) -> Iterator[Fault]:
    """Find rules that no example fires, or that a near miss fires, by each evaluator there is."""
    evaluators: dict[str, Fire] = {"the reference evaluator": reference.fire}
    if engine.available():
        evaluators["durable-rules"] = engine.fire
    strata: dict[int, list[CheckedRule]] = {}
    for checked in space.rulebase.rules.values():
        strata.setdefault(checked.stratum, []).append(checked)
    for checked in space.rulebase.rules.values():
        found = checked.rule.examples
        kinds: list[tuple[str, list[Example]]] = [("fires", found.fires), ("near_misses", found.near_misses)]
        for key, group in kinds:
            if not group:
                what = "no example fires it." if key == "fires" else "it has no near miss."
                hint = f"Add one under 'examples: {key}:'; values may be 'at LIMIT', 'just over LIMIT'."
                yield places.in_rule(checked.rule.id, "examples", what, hint, "examples")
            for number, example in enumerate(group, start=1):
                yield from _example(space, places, checked, (key, number, example), evaluators, strata)


def _example(
    space: Space,
    places: Places,
    checked: CheckedRule,
    which: tuple[str, int, Example],
    evaluators: dict[str, Fire],
    strata: dict[int, list[CheckedRule]],
) -> Iterator[Fault]:
    key, number, example = which
    rule_id = checked.rule.id
    route = ("examples", key, number - 1)
    try:
        facts = facts_from_example(example, space.rulebase)
    except RulebaseError as error:
        yield places.in_rule(rule_id, route, f"{key} {number}: {error.what}", error.hint, "examples")
        return
    for name, fire in evaluators.items():
        # The engine keeps what it compiled, so it is always asked for a whole stratum; the other takes one rule.
        rules = [checked] if fire is reference.fire else strata[checked.stratum]
        fired = any(firing.rule_id == rule_id for firing in fire(rules, facts))
        if fired != (key == "fires"):
            told = f"near miss {number} fires it" if fired else f"example {number} does not fire it"
            failing = reference.first_failing(reference.why_not(checked, facts))
            said = f" It fails at: {failing.condition}." if failing is not None and not fired else ""
            yield places.in_rule(
                rule_id, route, f"{told} by {name}.{said}", "Mend the example or the conditions.", "examples"
            )
            return
