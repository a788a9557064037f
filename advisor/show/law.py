"""What the food codes ask, in a sentence, beside what holds here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.knowledge.strictest import STRICTEST, STRICTEST_NAME
from advisor.units import write_quantity, write_span

if TYPE_CHECKING:
    from advisor.knowledge.codes import Code, Cooling
    from advisor.knowledge.rulebase import Rulebase
    from advisor.knowledge.strictest import Beside
    from advisor.units import System


def law_line(name: str, rulebase: Rulebase, system: System) -> str:
    """Say what the food code chosen asks, where it is not what holds here, and who asks more elsewhere.

    Empty when the code asks the same, or has no figure, and nobody asks more.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> law_line("raw_out_max", load_rulebase(), "metric")
    'US model Food Code 3-501.19(B): 4 h. We hold 2 h, the stricter.'
    """
    limit, besides = rulebase.limits[name], rulebase.beside(name)
    chosen = next((beside for beside in besides if beside.chosen), None)
    held = write_quantity(limit.value, limit.quantity, system)
    parts: list[str] = []
    if chosen is not None:
        asks = write_quantity(chosen.figure.value, limit.quantity, system)
        if chosen.stands != "the same":
            parts = [f"{chosen.code.name} {chosen.figure.section}: {asks}. We hold {held}, the stricter."]
    house = rulebase.house.limits.get(name) if rulebase.house is not None else None
    if house is not None and limit.basis == "house rule":
        parts = parts or [f"We hold {held}."]
        parts.append(f"House rule{': ' + house.note if house.note else ''} ({limit.source[0].section}).")
    stricter = next((beside for beside in besides if not beside.chosen and beside.stands == "stricter"), None)
    if stricter is not None:
        asks = write_quantity(stricter.figure.value, limit.quantity, system)
        parts.append(f"Strictest elsewhere: {stricter.code.name}, {asks}.")
    return " ".join(parts)


def beside_line(beside: Beside, name: str, rulebase: Rulebase, system: System) -> str:
    """Say what one food code asks, where it stands, and how that is known."""
    limit, figure = rulebase.limits[name], beside.figure
    asks = write_quantity(figure.value, limit.quantity, system)
    printed = f" (printed: {figure.printed})" if figure.printed else ""
    known, duty = figure.known.replace("_", " "), "" if figure.duty == "law" else "; advice"
    chosen = "; the code chosen" if beside.chosen else ""
    note = f" {figure.note}" if figure.note else ""
    stands = f"{beside.stands} than" if beside.stands != "the same" else "the same as"
    return (
        f"{beside.code.name}: {asks}{printed}, {stands} what holds here; {beside.source} {figure.section}, "
        f"{known}{duty}{chosen}.{note}"
    )


def cooling_line(code: Code, cooling: Cooling, system: System) -> str:
    """Say how a code wants cooked food cooled: its stages, where it stands and how that is known."""
    stages = ", ".join(
        f"{write_quantity(stage.from_c, 'temperature', system)} to "
        f"{write_quantity(stage.to_c, 'temperature', system)} in {write_span(stage.minutes)}"
        for stage in cooling.stages
    )
    total = f", in all {write_span(cooling.total_min)}" if cooling.total_min else ""
    note = f" {cooling.note}" if cooling.note else ""
    known = cooling.known.replace("_", " ")
    return f"{code.name}, {cooling.foods}: {stages}{total}; {cooling.section}, {known}.{note}"


def standing_line(rulebase: Rulebase) -> str:
    """Say which food code and which house file a plan was judged under."""
    code = rulebase.codes.get(rulebase.code)
    house = f"; house file {rulebase.house.name}, state {rulebase.house.digest}" if rulebase.house is not None else ""
    name = code.name if code is not None else "no food code"
    if rulebase.code == STRICTEST:
        name = f"{STRICTEST_NAME}, for nobody said which holds"
    return f"Judged under: {name}{house}. Where figures differ, the stricter holds."
