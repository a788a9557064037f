"""Figures on either side of a limit that a cook would write: whole degrees, quarter hours, round weights."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from random import Random

    from advisor.knowledge.quizbook import QuizSettings
    from advisor.knowledge.records import Quantity
    from advisor.units import System

# Steps of a figure, from which the smallest is taken that is no smaller than the margin: minutes, millimetres, grams.
GRIDS: dict[str, tuple[float, ...]] = {
    "time": (0.05, 0.25, 1, 2, 5, 10, 15, 30, 60, 120, 360, 720, 1440, 2880),
    "length": (0.1, 0.5, 1, 2, 5, 10, 20),
    "mass": (1, 5, 10, 50, 100, 250, 500, 1000),
    "volume": (1, 5, 10, 50, 100, 250, 500, 1000),
    "percent": (0.05, 0.1, 0.2, 0.5, 1, 2, 5),
    "count": (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50),
    "temperature_difference": (1.0,),
}
MOST_STEPS = 3
FAHRENHEIT = 5.0 / 9.0
Side = Literal["over", "under"]


def step_of(bound: float, quantity: Quantity, settings: QuizSettings, *, whole: bool = False) -> float:
    """Smallest step beside a limit that is a margin."""
    if quantity == "temperature":
        return settings.margin_degrees
    least = abs(bound) * settings.margin_share
    grid = GRIDS[quantity]
    step = next((one for one in grid if one >= least - 1e-9), grid[-1])
    return max(1.0, float(ceil(step))) if whole else step


def beside(
    bound: float,
    quantity: Quantity,
    side: Side,
    rng: Random,
    settings: QuizSettings,
    system: System,
    *,
    whole: bool = False,
) -> float:
    """Give a figure some steps over or under a limit.

    Returns
    -------
    float
        In the fixed unit, at least a margin from the limit; degrees are whole in the cook's own system.
    """
    step = step_of(bound, quantity, settings, whole=whole)
    sign = 1.0 if side == "over" else -1.0
    value = bound + sign * step * rng.randint(1, MOST_STEPS)
    if quantity == "temperature":
        return whole_degrees(value, side, system)
    if value <= 0.0 < bound:
        value = bound + sign * step if bound > step else bound / 2.0
    return round(float(round(value)) if whole else value, 4)


def whole_degrees(value: float, side: Side, system: System) -> float:
    """Round to a whole degree of the cook's system, away from the limit.

    Examples
    --------
    >>> whole_degrees(56.2, "under", "metric"), whole_degrees(58.2, "over", "metric")
    (56.0, 59.0)
    """
    turn = ceil if side == "over" else floor
    if system == "metric":
        return float(turn(value - 1e-9 if side == "over" else value + 1e-9))
    return round((turn(value / FAHRENHEIT + 32.0 - 1e-9) - 32.0) * FAHRENHEIT, 4)


def between(low: float, high: float, quantity: Quantity, rng: Random, settings: QuizSettings) -> float | None:
    """Give a figure between two limits, a margin from both; None when there is no room."""
    step = step_of(low, quantity, settings)
    steps = [low + step * n for n in range(1, 40) if low + step * n <= high - step_of(high, quantity, settings) + 1e-9]
    return round(rng.choice(steps), 4) if steps else None
