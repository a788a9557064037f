"""How long a piece of work by hand, or what a pot needs beside its cooking, usually takes."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import Rulebase

STUFFS = "put_stuffing_in"
PULLS = "pull_to_shreds"
GRAMS = 1000.0
PRESSURE_UP, PRESSURE_DROP = "pressure_up", "pressure_drop"


def usual_minutes(action: str, rulebase: Rulebase, weight_g: float = 0.0) -> float:
    """How long it usually takes [min]; 0 where nothing is usual.

    Parameters
    ----------
    action : str
        What is done.
    rulebase : Rulebase
        The figures.
    weight_g : float, optional
        What the meat weighed raw [g]; only pulling hangs on it.
    """
    if action == PULLS:
        return float(ceil(rulebase.limit("plan_pull_per_kilo") * weight_g / GRAMS))
    if action == STUFFS:
        return rulebase.limit("plan_stuffing")
    if action == PRESSURE_UP:
        return rulebase.limit("plan_pressure_up")
    if action == PRESSURE_DROP:
        return rulebase.limit("plan_pressure_drop")
    return float(rulebase.trade_words["usual minutes"].get(action, 0.0))
