"""What several walks of one plan say together: the worse end, and the range."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.case.facts import Value

if TYPE_CHECKING:
    from advisor.science.validity import OutsideRange

Values = Mapping[str, Value]
# Words that are told of the walk in which this number is worst.
GOES_WITH: Mapping[str, str] = {
    "raw_growth_germ": "raw_growth_log",
    "raw_growth_inside_germ": "raw_growth_inside_log",
    "cooked_poison_germ": "cooked_poison_log",
    "cold_growth_germ": "cold_growth_log",
}

# Where this is so at either end the rules must look; of all other words "no" is the worse.
WORSE_WHEN_YES = frozenset({"cools"})


@dataclass(frozen=True, slots=True)
class Ranged:
    """A value with the ends it was worked out at, and what its own model was not checked for.

    The ends are None for words.
    """

    value: Value
    low: float | None = None
    high: float | None = None
    doubts: tuple[OutsideRange, ...] = ()


def plain(values: Values) -> dict[str, Ranged]:
    """Values worked out once."""
    return {name: Ranged(value) for name, value in values.items()}


def worst_of(found: Sequence[Values], *, least: frozenset[str] = frozenset()) -> dict[str, Ranged]:
    """Join what each walk gave.

    Parameters
    ----------
    found : sequence of mapping
        One for each walk.
    least : frozenset of str
        Numbers that are worse when lower; all others are worse when higher. Of two words the worse counts too.
    """
    joined: dict[str, Ranged] = {}
    for name in dict.fromkeys(name for values in found for name in values):
        numbers = [values[name] for values in found if isinstance(values.get(name), float | int)]
        ends = [float(number) for number in numbers if not isinstance(number, str) and number is not None]
        if ends:
            joined[name] = Ranged(min(ends) if name in least else max(ends), min(ends), max(ends))
            continue
        words = [values[name] for values in found if name in values]
        worse = "yes" if name in WORSE_WHEN_YES else "no"
        joined[name] = Ranged(worse if worse in words else words[0])
    for word, number in GOES_WITH.items():
        if word in joined:
            worst = max(found, key=lambda values: _as_number(values.get(number)))
            joined[word] = Ranged(worst[word])
    return joined


def middle_of(found: Sequence[Values]) -> dict[str, Ranged]:
    """Join what the slow, the typical and the fast walk gave, with the typical as the value."""
    joined = worst_of(found)
    return {name: Ranged(found[1].get(name), ranged.low, ranged.high) for name, ranged in joined.items()}


def _as_number(value: Value) -> float:
    return float(value) if isinstance(value, float | int) else float("-inf")
