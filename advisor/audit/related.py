"""What stands beside a rule or a limit: neighbours, exceptions, users."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.audit.plain import limits_of_rule
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import CheckedRule, Rulebase


def neighbours(rule_id: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Rules nearest to one: those that name its limits, then those that look at most of its facts.

    Facts that many rules look at tell little, so each counts by how rare it is.
    """
    looks = {name: _looks_at(checked) for name, checked in rulebase.rules.items()}
    often: dict[str, int] = {}
    for seen in looks.values():
        for one in seen:
            often[one] = often.get(one, 0) + 1
    own = looks[rule_id]
    shared = {
        name: sum(1.0 / often[one] for one in own & seen)
        for name, seen in looks.items()
        if name != rule_id and own & seen
    }
    return tuple(sorted(shared, key=lambda name: (-shared[name], name)))


def exceptions(rule_id: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Rules that are an exception to this one."""
    return tuple(name for name, checked in rulebase.rules.items() if checked.rule.exception_to == rule_id)


def rules_with_limit(limit: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Rules that hold a fact against a limit, or name it in a text."""
    return tuple(name for name in rulebase.rules if limit in limits_of_rule(name, rulebase))


def _looks_at(checked: CheckedRule) -> set[str]:
    conditions = list(conditions_of(checked.alternatives))
    return {f"{c.subject} {c.fact}" for c in conditions} | {c.limit for c in conditions if c.limit}
