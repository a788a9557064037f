"""The strictest of several figures wins: limits are moved to the stricter side and never back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from advisor.knowledge.codes import BASIS_OF
from advisor.knowledge.records import Cite

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from advisor.knowledge.codes import Code, CodeFigure
    from advisor.knowledge.conditions import Alternative, Condition
    from advisor.knowledge.records import Limit

# Stands for no code but for all of them: what a kitchen is held to that does not know its code.
STRICTEST = "strictest"
STRICTEST_NAME = "the strictest of all food codes"
STRICTEST_WORDS = (STRICTEST, STRICTEST_NAME, "strictest of all", "all codes", "not known", "unknown")
Stands = Literal["stricter", "the same", "looser"]
# 135 °F is printed as 57.2 and is 57.22: a temperature this close to a limit is the limit, in other units.
ROUNDING_C = 0.06
ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Beside:
    """What one food code asks, beside the figure that is used.

    ``stands`` compares the code's figure with the one used; ``chosen`` is true of the code the kitchen is under.
    """

    code: Code
    figure: CodeFigure
    source: str
    stands: Stands
    chosen: bool


def compared(value: float, limit: Limit) -> Stands:
    """Say how a figure stands to a limit.

    Examples
    --------
    >>> from advisor.knowledge.records import Limit
    >>> cold = Limit(value=5, quantity="temperature", means="m", source=[], basis="estimate", stricter="lower")
    >>> compared(8.0, cold), compared(4.0, cold)
    ('looser', 'stricter')
    """
    slack = ROUNDING_C if limit.quantity == "temperature" else ROUNDING * max(1.0, abs(limit.value))
    if abs(value - limit.value) <= slack:
        return "the same"
    return "stricter" if (value < limit.value) == (limit.stricter == "lower") else "looser"


def inherited(code: Code, codes: Mapping[str, Code]) -> tuple[Code, ...]:
    """Give the code and those it is based on, nearest first."""
    line = [code]
    while line[-1].based_on in codes and codes[line[-1].based_on] not in line:
        line.append(codes[line[-1].based_on])
    return tuple(line)


def asked(name: str, code: Code, codes: Mapping[str, Code]) -> tuple[Code, CodeFigure] | None:
    """Give the figure that a code sets for a limit, its own or one of a code it is based on."""
    return next(((owner, owner.limits[name]) for owner in inherited(code, codes) if name in owner.limits), None)


def of_all(codes: Mapping[str, Code]) -> tuple[Code, ...]:
    """Codes of today that a kitchen may be under, each with figures of its own."""
    return tuple(code for code in codes.values() if not code.older and code.who != "plants")


def under_code(limits: Mapping[str, Limit], code: Code, codes: Mapping[str, Code]) -> dict[str, Limit]:
    """Move every limit for which the code asks more to the code's figure; leave the rest."""
    moved = dict(limits)
    for name, limit in limits.items():
        found = asked(name, code, codes) if limit.stricter in ("lower", "higher") else None
        if found is not None and compared(found[1].value, limit) == "stricter":
            owner, figure = found
            moved[name] = limit.model_copy(
                update={
                    "value": figure.value,
                    "printed": figure.printed,
                    "source": [Cite(id=figure.source or owner.source, section=figure.section)],
                    "basis": BASIS_OF[figure.known],
                    "note": figure.note,
                }
            )
    return moved


def rebound(alternatives: Iterable[Alternative], limits: Mapping[str, Limit]) -> tuple[Alternative, ...]:
    """Give conditions the values that the limits now have."""

    def bound(conditions: tuple[Condition, ...]) -> tuple[Condition, ...]:
        return tuple(replace(c, bound=limits[c.limit].value) if c.limit else c for c in conditions)

    return tuple(
        replace(a, conditions=bound(a.conditions), absent_steps=tuple(bound(pattern) for pattern in a.absent_steps))
        for a in alternatives
    )
