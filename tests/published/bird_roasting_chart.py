"""Whole birds with nothing in them, beside the official roasting chart: minutes from the fridge to 165 °F."""

from __future__ import annotations

from datetime import datetime

from published._shipped import INFINITE, rulebase
from published.row import Row

from advisor.case.complete import complete
from advisor.case.read_plan import read_plan
from advisor.course import walk

SOURCE = (
    "Poultry Roasting Chart, foodsafety.gov (US government, reviewed September 2023), and the times for turkeys from "
    "USDA FSIS; both read in stored copies that others made"
)
NOTE = (
    "The chart gives weights, not heights: the height is ours, the usual one for the weight. The share of the height "
    "that counts was set on these rows, so they show that one share fits every weight, not that it was foretold. What "
    "must hold is that our slow end is no sooner than the chart's longest time. Rooms: 'aim' is the chart's own range."
)
# name, animal, cut, pounds, oven [°F], chart's shortest and longest [min]
CHART = (
    ("turkey, 8 to 12 lb", "turkey", "whole turkey", (8, 12), 325, (165, 180)),
    ("turkey, 12 to 14 lb", "turkey", "whole turkey", (12, 14), 325, (180, 225)),
    ("turkey, 14 to 18 lb", "turkey", "whole turkey", (14, 18), 325, (225, 255)),
    ("turkey, 18 to 20 lb", "turkey", "whole turkey", (18, 20), 325, (255, 270)),
    ("turkey, 20 to 24 lb", "turkey", "whole turkey", (20, 24), 325, (270, 300)),
    ("chicken, 3 to 4 lb", "chicken", "whole chicken", (3, 4), 350, (75, 90)),
    ("chicken, 5 to 7 lb", "chicken", "whole chicken", (5, 7), 350, (120, 135)),
    ("cornish hen, 18 to 24 oz", "chicken", "whole chicken", (1.125, 1.5), 350, (50, 60)),
    ("duck, 5 lb at 30 to 35 min/lb", "duck", "whole duck", (5, 5), 350, (150, 175)),
)
TARGET_F = 165
POUND_G = 453.592
NEAR = (0.8, 1.2)
DUCK = (0.6, 1.0)
WEIGHTS = "the weight is the middle of the chart's span and the height is ours: a fifth to either side is let stand"
FAT = "the chart roasts a duck on to melt its fat; we reckon to 165 °F alone, so up to two fifths sooner is let stand"


def minutes(animal, cut, pounds, oven_f):
    """Give minutes to the target at the slow end, in the middle and at the fast end."""
    book = rulebase()
    grams = sum(pounds) / 2 * POUND_G
    height = book.parameter("bird_height_mm") * (grams / 1000) ** (1 / 3)
    plan = f"""
piece: {{animal: {animal}, cut: {cut}, form: roast, thickness: {height:.1f} mm, weight: {grams:.0f} g, arrived: intact,
  bone: "yes", stuffing: none, start_temperature: 5 C}}
steps:
  - {{do: oven, place: oven without a fan, at: {oven_f} F, until_core: {TARGET_F} F}}
  - {{do: serve}}
"""
    case = complete(read_plan(plan, book, datetime(2026, 11, 25, 12)), book)  # noqa: DTZ001 - kitchens tell no zone
    return [walked.legs[0].times_s[-1] / 60 for walked in walk(case, book).all]


def rows():
    """Give for each bird the middle beside the chart's, and the slow end beside the chart's longest time."""
    for what, animal, cut, pounds, oven_f, (short, long) in CHART:
        slow, typical, _ = minutes(animal, cut, pounds, oven_f)
        middle = (short + long) / 2
        told = f"{what}, not stuffed, {oven_f} °F"
        aim = (short - middle, long - middle)
        low, high = DUCK if animal == "duck" else NEAR
        met = aim[0] <= typical - middle <= aim[1]
        held = None if met else (min(aim[0], (low - 1) * middle), max(aim[1], (high - 1) * middle))
        reason = "within the chart's own range" if met else FAT if animal == "duck" else WEIGHTS
        yield Row(f"{told}: in the middle of ours", middle, typical, "min", "read", aim, held, reason)
        no_sooner = "safety is judged there: no sooner than the chart's longest"
        yield Row(f"{told}: our slow end", float(long), slow, "min", "read", (0.0, INFINITE), None, no_sooner)
