"""Whether anything stands in the way of a case, without saying all that does: for changes that are tried."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.infer import reference
from advisor.infer.infer import Concluding, standing

if TYPE_CHECKING:
    from advisor.case.facts import FactSet
    from advisor.infer.proof import Firing
    from advisor.knowledge.rulebase import CheckedRule, Rulebase


class Obstacles:
    """Looks for a rule that stands in the way, beginning with those that did last time.

    It finds one exactly when `infer` with the reference evaluator gives a finding other than *go*; only it stops at
    the first, so that facts no rule has asked for until then need not be worked out.

    Parameters
    ----------
    rulebase : Rulebase
        Under the food code of the case.
    """

    def __init__(self, rulebase: Rulebase) -> None:
        self._rulebase = rulebase
        self._concluding = Concluding(rulebase)
        self._order = [
            checked for checked in rulebase.rules.values() if checked.rule.concludes.verdict not in (None, "go")
        ]
        self._exceptions: dict[str, list[CheckedRule]] = {}
        for checked in rulebase.rules.values():
            if checked.rule.exception_to:
                self._exceptions.setdefault(checked.rule.exception_to, []).append(checked)

    def first(self, facts: FactSet) -> str | None:
        """Rule that stands in the way of a case with these facts, the one that did last time if it still does."""
        by_stratum = self._concluding.by_stratum(facts)
        for place, checked in enumerate(self._order):
            if self._stands(checked, by_stratum):
                # Most likely it stands in the way of the next change as well.
                self._order.insert(0, self._order.pop(place))
                return checked.rule.id
        return None

    def _stands(self, checked: CheckedRule, by_stratum: dict[int, FactSet]) -> bool:
        fired = reference.fire([checked], by_stratum[checked.stratum])
        if not fired:
            return False
        firings: list[Firing] = list(fired)
        waiting = list(self._exceptions.get(checked.rule.id, ()))
        while waiting:
            exception = waiting.pop()
            firings += reference.fire([exception], by_stratum[exception.stratum])
            waiting += self._exceptions.get(exception.rule.id, ())
        return any(firing.rule_id == checked.rule.id for firing in standing(self._rulebase, firings))
