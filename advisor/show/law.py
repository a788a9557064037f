"""What the food codes ask, in a sentence, beside what holds here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.units import write_quantity, write_span

if TYPE_CHECKING:
    from advisor.knowledge.codes import Code, Cooling
    from advisor.knowledge.rulebase import Rulebase
    from advisor.knowledge.strictest import Beside
    from advisor.units import System


def law_line(name: str, rulebase: Rulebase, system: System) -> str:
    """Say where a limit in force asks more than the food code chosen; empty when both ask the same.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> law_line("raw_out_max", load_rulebase(), "metric")
    'US model Food Code 3-501.19(B): 4 h. Here 2 h holds, the stricter.'
    """
    chosen = next((beside for beside in rulebase.beside(name) if beside.chosen), None)
    limit = rulebase.limits[name]
    held = write_quantity(limit.value, limit.quantity, system)
    house = rulebase.house.limits.get(name) if rulebase.house is not None else None
    ours = ""
    if house is not None and limit.basis == "house rule":
        ours = f" House rule{': ' + house.note if house.note else ''} ({limit.source[0].section})."
    if chosen is None or chosen.stands == "the same":
        return f"{held} holds here.{ours}" if ours else ""
    asks = write_quantity(chosen.figure.value, limit.quantity, system)
    return f"{chosen.code.name} {chosen.figure.section}: {asks}. Here {held} holds, the stricter.{ours}"


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
    return f"Judged under: {name}{house}. Where figures differ, the stricter holds."
