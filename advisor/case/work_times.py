"""How long a piece of work by hand, or what a pot needs beside its cooking, usually takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import Rulebase

STUFFS = "put_stuffing_in"
PRESSURE_UP, PRESSURE_DROP = "pressure_up", "pressure_drop"


def usual_minutes(action: str, rulebase: Rulebase) -> float:
    """How long it usually takes [min]; 0 where nothing is usual."""
    if action == STUFFS:
        return rulebase.limit("plan_stuffing")
    if action == PRESSURE_UP:
        return rulebase.limit("plan_pressure_up")
    if action == PRESSURE_DROP:
        return rulebase.limit("plan_pressure_drop")
    return float(rulebase.trade_words["usual minutes"].get(action, 0.0))
