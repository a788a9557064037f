"""How far a value may be from another that was printed rounded."""

from __future__ import annotations

from decimal import Decimal


def half_digit(printed: float, shift: float = 0.0) -> tuple[float, float]:
    """Give half of the last digit printed, either way, moved on the side of a known shift.

    ``shift`` is what a known difference, such as a longer gas constant, takes from ours or adds to it.
    """
    text = repr(printed).removesuffix(".0")
    exponent = Decimal(text).as_tuple().exponent
    half = 0.5 * 10.0 ** int(exponent) + 1e-9
    return (min(shift, 0.0) - half, max(shift, 0.0) + half)
