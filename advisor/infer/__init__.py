"""From facts to findings: durable-rules fires the rulebase, a plain evaluator stands beside it."""

from __future__ import annotations

from advisor.infer.infer import infer
from advisor.infer.laws import check_conclusions, check_exceptions, check_facts
from advisor.infer.proof import Finding, Firing, Inference, Judged, Technique
from advisor.infer.reference import first_failing, judge, why_not

__all__ = [
    "Finding",
    "Firing",
    "Inference",
    "Judged",
    "Technique",
    "check_conclusions",
    "check_exceptions",
    "check_facts",
    "first_failing",
    "infer",
    "judge",
    "why_not",
]
