"""An official table of held temperatures beside what the shipped germs ask: our time is to be no shorter."""

from __future__ import annotations

from published._shipped import INFINITE, asked_seconds
from published.row import Row

STRICTER = "the shipped germs are to ask as long or longer, but for half the last printed digit"


def beside(what, printed_s, temp_c, food, *, known, digit_s, less=None, reason=STRICTER):
    """Give one row of a table; ``less`` is the share by which our time may fall short, where it is known to."""
    ours, germ = asked_seconds(food, temp_c)
    held = None if less is None else (-less * printed_s, INFINITE)
    aim = (-digit_s / 2, INFINITE)
    return Row(f"{what} ({germ.split()[0]} leads)", printed_s, ours, "s", known, aim, held, reason)
