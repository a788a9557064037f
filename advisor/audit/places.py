"""Where each rule, limit and question stands in its file, and faults that name the place."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from advisor.audit.faults import Fault, Route, Severity, Texts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.knowledge.rulebase import Rulebase


class Places:
    """Finds entries in the files of a loaded rulebase.

    Parameters
    ----------
    rulebase : Rulebase
        The entries.
    texts : Texts
        Its files.
    """

    def __init__(self, rulebase: Rulebase, texts: Texts) -> None:
        self.rulebase, self.texts = rulebase, texts

    @cached_property
    def _rules(self) -> Mapping[str, tuple[str, int]]:
        found: dict[str, tuple[str, int]] = {}
        for file in {checked.file for checked in self.rulebase.rules.values()}:
            for index, rule in enumerate(self.texts.data(file)["rules"]):
                found[str(rule["id"])] = (file, index)
        return found

    @cached_property
    def _limits(self) -> Mapping[str, str]:
        return {
            name: file
            for file in self.texts.texts
            if file.startswith("limits/")
            for name in self.texts.data(file).get("limits", {})
        }

    def in_rule(
        self, rule_id: str, key: str | Route, what: str, hint: str, kind: str, severity: Severity = "error"
    ) -> Fault:
        """Make a fault of a rule, at one of its keys."""
        file, index = self._rules[rule_id]
        route = (key,) if isinstance(key, str) else key
        line = self.texts.line(file, ("rules", index, *route))
        return Fault(file, line, f"Rule '{rule_id}': {what}", hint, kind, severity)

    def in_limits(self, name: str, what: str, hint: str, kind: str, severity: Severity = "error") -> Fault:
        """Make a fault of a limit."""
        file = self._limits.get(name, "limits")
        return Fault(file, self.texts.line(file, ("limits", name)), f"Limit '{name}': {what}", hint, kind, severity)

    def in_file(self, file: str, route: Route, what: str, hint: str, kind: str, severity: Severity = "error") -> Fault:
        """Make a fault of any other entry."""
        return Fault(file, self.texts.line(file, route), what, hint, kind, severity)
