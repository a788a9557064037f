"""What the time and temperature tables of other food codes ask, beside a finding that rests on such a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from advisor.case.complete import is_whole_bird
from advisor.course import official
from advisor.units import write_quantity, write_span

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.infer.proof import Finding
    from advisor.knowledge.codes import Code, FoodClass
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System

# Facts that a rule holds against a table, to the start of the names of the nearest row and what it asks.
OF_TABLE: Final[dict[str, str]] = {
    "broken_share": "broken",
    "chart_share": "broken",
    "whole_share": "whole",
    "whole_chart_share": "whole",
    "whole_code_share": "whole_code",
    "bird_share": "bird",
    "bird_chart_share": "bird",
    "wild_share": "wild",
}
CLASS_OF: Final[dict[str, FoodClass]] = {
    "broken": "broken",
    "whole": "whole",
    "whole_code": "whole",
    "bird": "bird",
    "wild": "wild",
}
# Printed temperatures are rounded: a row this close above is the same row.
ROUNDING_C: Final = 0.06
NEVER: Final = float("inf")


def table_line(finding: Finding, report: Report, rulebase: Rulebase) -> str:
    """Say which food code of today asks most where this finding's table row stands; empty when none asks more.

    Codes in force are left out: their tables are held already. Each code is met by any row of its tables.
    """
    judged = (j.condition for j in finding.figures if j.condition.subject == "course")
    name = next((OF_TABLE[c.fact] for c in judged if c.fact in OF_TABLE), "")
    course = report.inference.facts.course
    row, needs = (course.get(f"{name}_{what}") for what in ("row", "needs"))
    if row is None or needs is None or not isinstance(row.value, float) or not isinstance(needs.value, float):
        return ""
    classes = [CLASS_OF[name]]
    if name == "broken" and report.case.word("piece", "form") == "minced":
        classes = ["minced"]
    if report.case.word("piece", "animal") == "pork" and name in ("broken", "whole"):
        classes.append("pork")
    if name == "bird" and is_whole_bird(report.case, rulebase):
        classes.append("whole_bird")
    found = [
        (*_asks(tables, row.value, rulebase), code)
        for food in classes
        for code, tables in rulebase.tables_elsewhere(food)
    ]
    if not found:
        return ""
    seconds, lowest_c, lowest_s, code = max(found, key=lambda one: (one[0], one[1], one[2], one[3].id))
    if seconds <= needs.value * official.MINUTE:
        return ""
    return _said(seconds, row.value, (lowest_c, lowest_s), code, report.case.system)


def _asks(tables: tuple[str, ...], at_c: float, rulebase: Rulebase) -> tuple[float, float, float]:
    """Hold that some tables ask at a temperature [s], never where no row is as low; and the lowest row [°C, s]."""
    rows = official.rows(tables, rulebase)
    lowest = min(rows, key=lambda row: row.temp_c)
    counted = [row.seconds for row in rows if row.temp_c <= at_c + ROUNDING_C]
    return min(counted, default=NEVER), lowest.temp_c, lowest.seconds


def _said(seconds: float, at_c: float, lowest: tuple[float, float], code: Code, system: System) -> str:
    if seconds < NEVER:
        return f"Strictest elsewhere: {code.name}, {write_quantity(at_c, 'temperature', system)} {_held(seconds)}."
    warm = write_quantity(lowest[0], "temperature", system)
    return f"Strictest elsewhere: {code.name}, where nothing below {warm} counts; {warm} {_held(lowest[1])}."


def _held(seconds: float) -> str:
    return f"for {write_span(seconds / official.MINUTE)}" if seconds else "at once"
