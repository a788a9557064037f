"""Words to numbers in fixed units, and numbers back to a cook's words.

Every quantity inside the program is a plain float in one fixed unit per kind (see `Kind`). Text is read and
written only here. Importing this package loads neither pint nor numpy: the registry is built when a text is
first converted.
"""

from __future__ import annotations

from advisor.units.clock import read_moment, write_moment, write_span
from advisor.units.read import Reading, read_quantity
from advisor.units.words import Kind, System
from advisor.units.write import LAW_PAIR_TOLERANCE_C, Rounding, write_quantity, write_range

__all__ = [
    "LAW_PAIR_TOLERANCE_C",
    "Kind",
    "Reading",
    "Rounding",
    "System",
    "read_moment",
    "read_quantity",
    "write_moment",
    "write_quantity",
    "write_range",
    "write_span",
]
