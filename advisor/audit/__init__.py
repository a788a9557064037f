"""Audits the rulebase as a body of knowledge: what loads may still contradict itself, fall silent or read badly."""

from __future__ import annotations

from advisor.audit.check import Audit, audit
from advisor.audit.faults import Fault

__all__ = ["Audit", "Fault", "audit"]
