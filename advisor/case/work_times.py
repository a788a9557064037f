"""How long a piece of work by hand usually takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import Rulebase

STUFFS = "put_stuffing_in"


def usual_minutes(action: str, rulebase: Rulebase) -> float:
    """How long it usually takes [min]; 0 where nothing is usual."""
    if action == STUFFS:
        return rulebase.limit("plan_stuffing")
    return float(rulebase.trade_words["usual minutes"].get(action, 0.0))
