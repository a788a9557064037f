"""Fills the texts of rules with the figures of a case, in the cook's own units."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final, Literal

from advisor.errors import EngineError
from advisor.knowledge.checks import PLACEHOLDER

if TYPE_CHECKING:
    from advisor.case.facts import Fact, FactSet, Value
    from advisor.knowledge.records import Quantity, VocabularyFact
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System

NOT_KNOWN: Final = "not known"
Filter = Literal["nearest", "up", "down", "plain", "share"]
# What was filled in may be one, or end its sentence itself.
_ONE_POWER: Final = re.compile(r"(?<![\d.,])1 powers of ten")
_STOPPED: Final = re.compile(r"(?<!\.)([.?!])\.(?!\.)")
_FILTERS: Final[tuple[Filter, ...]] = ("nearest", "up", "down", "plain", "share")


def fill(text: str, rulebase: Rulebase, facts: FactSet, step: int | None, system: System) -> str:
    """Put facts and limits in the place of ``{subject.fact}`` and ``{limit_name}``.

    Parameters
    ----------
    text : str
        Text of a rule. After the name may stand ``|up``, ``|down`` (rounded to that side), ``|plain`` (own
        system only) or ``|share`` (as percent of the whole, rounded down); else figures are rounded to the
        nearest and given in both systems.
    rulebase : Rulebase
        Its vocabulary says how a word is shown and in which unit a number is.
    facts : FactSet
        Facts of the case.
    step : int or None
        Step, from 0, that ``step`` means.
    system : {"metric", "us"}
        The cook's units, which come first.

    Returns
    -------
    str
        Text without braces; what is not known reads "not known".

    Raises
    ------
    EngineError
        A name is neither a fact nor a limit, or the word after the bar is none of ours.
    """

    def shown(match: re.Match[str]) -> str:
        return _shown(match[1], rulebase, facts, step, system)

    return tidied(PLACEHOLDER.sub(shown, text))


def tidied(text: str) -> str:
    """Mend what filling leaves: one of many, and two stops at an end.

    Examples
    --------
    >>> tidied("It grows 1 powers of ten. Is it?.")
    'It grows 1 power of ten. Is it?'
    """
    return _ONE_POWER.sub("1 power of ten", _STOPPED.sub(r"\1", text))


def _parts(placeholder: str) -> tuple[str, Filter]:
    name, bar, wanted = placeholder.partition("|")
    if not bar:
        return name.strip(), "nearest"
    for known in _FILTERS:
        if wanted.strip() == known:
            return name.strip(), known
    raise EngineError(f"'{{{placeholder}}}': after the bar stands one of {', '.join(_FILTERS)}.")


def _shown(placeholder: str, rulebase: Rulebase, facts: FactSet, step: int | None, system: System) -> str:
    name, wanted = _parts(placeholder)
    limit = rulebase.limits.get(name)
    if limit is not None:
        return _quantity(limit.value, limit.quantity, wanted, system)
    subject, _, fact_name = name.partition(".")
    entry = rulebase.vocabulary.get(subject, {}).get(fact_name)
    if entry is None:
        raise EngineError(f"'{{{name}}}' names no fact and no limit.")
    if subject == "step" and step is None:
        return NOT_KNOWN
    fact = facts.of(subject, step).get(fact_name)
    if fact is not None and entry.quantity in ("time", "percent") and wanted == "nearest":
        return show_span(fact, system, entry.quantity)
    return show_value(None if fact is None else fact.value, entry, system, wanted)


def show_span(fact: Fact, system: System, quantity: Quantity = "time") -> str:
    """Write how long something takes, or how much salt there is, with both ends when it was worked out at both."""
    from advisor.units import write_quantity, write_range

    if not isinstance(fact.value, float | int):
        return NOT_KNOWN if fact.value is None else fact.value
    if fact.low is None or fact.high is None:
        return write_quantity(fact.value, quantity, system)
    return write_range(fact.low, fact.high, quantity, system)


def show_value(value: Value, entry: VocabularyFact, system: System, wanted: Filter = "nearest") -> str:
    """Write the value of a fact as the cook reads it.

    Raises
    ------
    EngineError
        A number has no quantity in the vocabulary.
    """
    if value is None:
        return NOT_KNOWN
    if isinstance(value, str):
        return entry.says.get(value, value.replace("_", " "))
    if entry.quantity is None:
        raise EngineError(f"A number, {value!r}, stands where the vocabulary has words: {entry.means}.")
    return _quantity(value, entry.quantity, wanted, system)


def _quantity(value: float, kind: Quantity, wanted: Filter, system: System) -> str:
    from advisor.units import write_quantity

    if wanted == "share":
        # A share short of the whole must not read as the whole.
        percent = float(int(100.0 * value))
        return write_quantity(percent, "percent", system) if percent >= 1 else "under 1 %"
    if wanted == "plain":
        return write_quantity(value, kind, system, both=False)
    return write_quantity(value, kind, system, rounding=wanted)
