"""The middle of the meat through the plan, with the limits it is held against, as a plot in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase

HEIGHT, NARROWEST, WIDEST = 18, 40, 80
MOST_POINTS = 400
HOUR = 3600.0
# Limits drawn as lines: the cold line, and the floor of kill.
LINES = ("cold_hold_max", "no_kill_credit_below")


def plot_text(report: Report, rulebase: Rulebase, width: int) -> str:
    """Plot of the middle and the outside, at the slow end; empty without a course or on too narrow a screen.

    Told apart by their marks, not by colour.
    """
    course = report.computed.course
    if course is None or width < NARROWEST:
        return ""
    import plotext

    times, core = course.slow.times() / HOUR, course.slow.centre()
    outside = course.slow.outside()
    every = max(1, len(times) // MOST_POINTS)
    us = report.case.system == "us"

    def scale(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> list[float]:
        return [float(value) for value in (values * 9 / 5 + 32 if us else values)]

    plotext.clear_figure()
    plotext.theme("clear")
    plotext.plot_size(min(width, WIDEST), HEIGHT)
    plotext.plot(list(times[::every]), scale(outside[::every]), marker=".", label=". outside")
    plotext.plot(list(times[::every]), scale(core[::every]), marker="o", label="o middle")
    ends = [float(times[0]), float(times[-1])]
    for mark, name in zip("-=", LINES, strict=True):
        level = scale(np.array([rulebase.limit(name)] * 2))
        plotext.plot(ends, level, marker=mark, label=f"{mark} {level[0]:.0f} {'°F' if us else '°C'}")
    plotext.xlabel("hours from the start")
    plotext.ylabel("°F" if us else "°C")
    drawn = plotext.uncolorize(plotext.build())
    plotext.clear_figure()
    return "\n".join(line.rstrip() for line in drawn.splitlines())
