"""The only place that touches pint: one registry for the process, built when first needed."""

from __future__ import annotations

import os
import pickle
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from pint import UnitRegistry

_APPLICATION = "prep-advisor"
# What a cache file that is missing, half written, from another version or not ours to read can raise.
_CACHE_FAULTS = (
    OSError,
    EOFError,
    pickle.PickleError,
    AttributeError,
    ImportError,
    IndexError,
    KeyError,
    TypeError,
    ValueError,
)


def cache_folder() -> Path | None:
    """Find a folder where pint may keep its parsed definitions.

    Returns
    -------
    Path or None
        A writable folder below the user's cache folder; None when there is none.
    """
    from platformdirs import user_cache_path

    folder = user_cache_path(_APPLICATION) / "units"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK | os.X_OK) else None


@cache
def registry() -> UnitRegistry[Any]:
    """Build the one unit registry of this process.

    Returns
    -------
    UnitRegistry
        With automatic offset conversion off, so that adding two temperatures stays an error.

    Notes
    -----
    A cache that cannot be used costs a quarter of a second and nothing else, so it is passed over in silence.
    """
    from pint import UnitRegistry

    folder = cache_folder()
    if folder is not None:
        try:
            return UnitRegistry(autoconvert_offset_to_baseunit=False, cache_folder=str(folder))
        except _CACHE_FAULTS:
            pass
    return UnitRegistry(autoconvert_offset_to_baseunit=False)


@lru_cache(maxsize=4096)
def convert(value: float, source: str, target: str) -> float:
    """Convert a number from one unit to another.

    Parameters
    ----------
    value : float
        The number, in `source`.
    source, target : str
        Names from our own tables, never a person's text.

    Returns
    -------
    float
        The number, in `target`.

    Examples
    --------
    >>> convert(1.25, "inch", "millimeter")
    31.75
    >>> round(convert(135.0, "degF", "degC"), 3)
    57.222
    """
    if source == target:
        return value
    # Quantity(value, unit), not value * unit or a string: only this form is right for offset units.
    return float(registry().Quantity(value, source).to(target).magnitude)
