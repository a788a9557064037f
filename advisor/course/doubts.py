"""A warning of the science in the cook's own units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.science.validity import NotMeasured, OutsideRange
from advisor.units import write_quantity, write_range

if TYPE_CHECKING:
    from advisor.units import System
    from advisor.units.write import Rounding


def doubt(warning: OutsideRange, system: System) -> str:
    """Say what was asked beyond the range it was checked over.

    Parameters
    ----------
    warning : OutsideRange
        As the science gave it.
    system : {"metric", "us"}
        The cook's units, which come first.

    Returns
    -------
    str
        A sentence without its full stop; temperatures in both systems, other quantities as science has them.

    Examples
    --------
    >>> doubt(OutsideRange("depth", "temperature", 84.7297, -1.0, 50.0, "°C"), "us")
    'depth: temperature of 184.6 °F (84.8 °C) lies outside 30.2 to 122 °F (-1 to 50 °C), where it was checked'
    """
    if warning.name == "growth" and warning.value > warning.high:
        # The model has no upper limit of numbers, so how far past it the sum runs on says nothing.
        return (
            f"{warning.model}: numbers level off at about {warning.high:g} {warning.unit}; "
            "more means as many as the meat can carry"
        )
    if isinstance(warning, NotMeasured) or warning.unit != "°C" or warning.low == warning.high:
        return str(warning)
    away: Rounding = "up" if warning.value > warning.high else "down"
    value = write_quantity(warning.value, "temperature", system, rounding=away)
    edges = write_range(warning.low, warning.high, "temperature", system)
    return f"{warning.model}: {warning.name} of {value} lies outside {edges}, where it was checked"
