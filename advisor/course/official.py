"""What the official time and temperature tables say of a course; the tables themselves stand in the rulebase."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.science.stays import DwellRow, best_row

if TYPE_CHECKING:
    from advisor.course.walk import Phase, Walked
    from advisor.knowledge.rulebase import Rulebase

MINUTE = 60.0
FREEZING_F, F_PER_C = 32.0, 1.8


@dataclass(frozen=True, slots=True)
class Standing:
    """How a course stands against a table: the nearest row, what it asks [min], what it had [min], and the share."""

    share: float
    row_c: float
    needs_min: float
    held_min: float


def rows(tables: tuple[str, ...], rulebase: Rulebase) -> tuple[DwellRow, ...]:
    """Rows of one or more tables; where fat matters, the column for fat that is not known."""
    found: list[DwellRow] = []
    for name in tables:
        for row in rulebase.tables[name].rows:
            seconds = row.s if isinstance(row.s, float | int) else max(row.s)
            # The law's number is the Fahrenheit one; the Celsius printed beside it is rounded and holds as well.
            exact = (row.f - FREEZING_F) / F_PER_C
            found.append(DwellRow(min(exact, row.c_printed if row.c_printed is not None else exact), float(seconds)))
    return tuple(found)


def longest(tables: tuple[str, ...], rulebase: Rulebase) -> tuple[DwellRow, ...]:
    """Rows of several tables, taking the longest time wherever a temperature stands in more than one."""
    by_temperature: dict[float, float] = {}
    for row in rows(tables, rulebase):
        by_temperature[row.temp_c] = max(row.seconds, by_temperature.get(row.temp_c, 0.0))
    return tuple(DwellRow(temp, seconds) for temp, seconds in sorted(by_temperature.items()))


def standing(walks: tuple[Walked, ...], phases: tuple[Phase, ...], table: tuple[DwellRow, ...]) -> Standing:
    """Compare the middle with a table: for each walk its best stretch of heating, and the worst of the walks.

    Rows are met by one unbroken stay; nothing is interpolated between rows or added up across a chill.
    """
    lowest = min(table, key=lambda row: row.temp_c)
    worst: Standing | None = None
    for walked in walks:
        best = Standing(0.0, lowest.temp_c, lowest.seconds / MINUTE, 0.0)
        for phase in phases:
            row, dwell, share = best_row(phase.times(walked), phase.core(walked), table)
            if share > best.share:
                best = Standing(share, row.temp_c, row.seconds / MINUTE, dwell / MINUTE)
        if worst is None or best.share < worst.share:
            worst = best
    return worst or Standing(0.0, lowest.temp_c, lowest.seconds / MINUTE, 0.0)
