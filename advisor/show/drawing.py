"""How to slice, drawn: the grain as lines, the knife across them, and how thick."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.complete import cut_of
from advisor.units import write_quantity

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase

# One piece from above, with its grain, and the knife (#) square across it. ASCII, so that any terminal shows it.
LENGTHWISE = (
    "+--#-----#-----#-----+",
    "|--#-----#-----#-----|",
    "|--#-----#-----#-----|",
    "|--#-----#-----#-----|",
    "+--#-----#-----#-----+",
)
ACROSS = (
    "+--------------------+",
    "||  |  |  |  |  |  | |",
    "######################",
    "||  |  |  |  |  |  | |",
    "######################",
    "||  |  |  |  |  |  | |",
    "+--------------------+",
)
FAN = (
    "+--------------------+",
    r"|  \   \   |   /   / |",
    "|####################|",
    r"|   \  \   |   /  /  |",
    "|####################|",
    r"|    \  \  |  /  /   |",
    "+--------------------+",
)
DIAGONAL = (
    "+--------------------+",
    r"| / # / / / # / / / /|".replace("#", "\\"),
    r"|/ / # / / / # / / / |".replace("#", "\\"),
    r"| / / # / / / # / / /|".replace("#", "\\"),
    r"|/ / / # / / / # / / |".replace("#", "\\"),
    "+--------------------+",
)
SHAPES = {"lengthwise": LENGTHWISE, "across": ACROSS, "diagonal": DIAGONAL, "fan": FAN}
KNIFE = {"diagonal": "\\", "lengthwise": "#", "across": "#", "fan": "#"}
GRAIN = {"diagonal": "/", "lengthwise": "-", "across": "|", "fan": "the slanting lines"}


def slicing_lines(report: Report, rulebase: Rulebase) -> tuple[str, ...]:
    """A small drawing of grain, knife and thickness, and the same in words; empty when nothing is sliced.

    The words stand first and hold all that the drawing shows, for those who hear the page.
    """
    step = next((step for step in report.computed.case.steps if step.action == "slice"), None)
    if step is None:
        return ()
    cut = cut_of(report.computed.case, rulebase)
    thick = step.number("slice_thickness")
    shown = write_quantity(thick, "length", report.case.system) if thick else "as thin as you can"
    words = (f"Grain: {cut.grain_words}", f"Cut square across the lines, {shown} thick.")
    shape = SHAPES.get(cut.grain)
    if shape is None:
        return (*words, "The lines run more than one way in this cut: look, and turn the piece as they turn.")
    return (*words, f"Seen from above: the grain is {GRAIN[cut.grain]}, the knife is {KNIFE[cut.grain]}", *shape)
