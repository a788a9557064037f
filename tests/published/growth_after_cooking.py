"""B. cereus, C. botulinum and Listeria after the cook, beside trials, limits and accepted schedules."""

from __future__ import annotations

import math

from published._shipped import INFINITE, data, grown_log10
from published.accepted_cooling import SCHEDULES, straight, toward_freezing_water
from published.row import Row

DATA = data("growth_after_cooking.yaml")
DISHES, RICE = DATA["cooked_dishes_cooled"], DATA["cooked_rice_kept"]
TURKEY, PORK, UNFIT = DATA["turkey_cooled"], DATA["listeria_on_pork"], DATA["unfit"]
EU, DATE = DATA["eu_step"], DATA["date_mark"]
SOURCE = "; ".join(part["source"].strip() for part in (TURKEY, DISHES, RICE, PORK, UNFIT, EU, DATE))
NOTE = (
    "No rate or lag was tuned to these. The rates of B. cereus and C. botulinum are estimates; B. cereus came out "
    "above what grew in rice, in dishes and in turkey, whose salt and acid the model does not know: it errs to the "
    "strict side. No code sets a growth of B. cereus: a hundred spores per gram to begin with is ours. The rules that "
    "change a plan begin at the lines here; those that stop it lie at 4 (B. cereus), 1 (C. botulinum) and 6.5 (C. "
    "perfringens), and no accepted schedule for uncured meat passes them."
)
DOUBT = (-0.5, 0.5)
DOUBLING = math.log10(2)
CURED = "the model knows no nitrite, which holds the spores back; curing is not in the book"
WORKS = (
    "hours between 50 and 12 C, where it grows fastest; C. perfringens condemns this schedule by far more. The rule "
    "asks a change there and stops nothing"
)
STRICT = "an upper bound; the model knows neither the salt nor the acid of the turkey and grows more"


def rows():
    """Give the trials, the two anchors of cold keeping, and every schedule both ways."""
    for germ, hours in TURKEY["below_one_log"].items():
        for first in hours:
            ours = _cooled(germ, first)
            held = (-1.0, 2.0) if ours > 1 else None
            reason = STRICT if held else "an upper bound"
            what = f"turkey cooled, first stage {first:g} h, {germ.replace('_', ' ')}"
            yield Row(what, 1.0, ours, "log10", "read in part", (-1.0, 0.0), held, reason)
    for germ, hours in TURKEY["above_one_log"].items():
        for first in hours:
            what = f"turkey of pH 6.6 cooled, first stage {first:g} h, {germ.replace('_', ' ')}, more than"
            yield Row(what, 1.0, _cooled(germ, first), "log10", "read in part", (0.0, INFINITE), None, "a lower bound")
    yield from _dishes()
    yield from _cold()
    for entry in SCHEDULES:
        for shape, history in (("straight", straight), ("as in ice water", toward_freezing_water)):
            yield from _scheduled(entry, shape, history(entry["points"]))


def _cooled(germ, first):
    second, third = TURKEY["later_stages_h"]
    hours = [0, first, first + second, first + second + third]
    return grown_log10(germ, hours, TURKEY["celsius"], cooked=True)


def _dishes():
    reason = "rate and lag are estimates that the germ's limits suggested; they grow more than any dish did: strict"
    for dish, found in DISHES["log10"].items():
        for hours, printed in found.items():
            start, end = DISHES["celsius"]
            history = toward_freezing_water([[0, start], [hours, end]])
            ours = grown_log10("b_cereus", *history, cooked=True)
            held = (0.0, DISHES["missed_by"])
            yield Row(
                f"B. cereus, {dish} cooled in {hours} h", printed, ours, "log10", "read in part", DOUBT, held, reason
            )
    for hours, celsius, printed in RICE["rows"]:
        grown = grown_log10("b_cereus", [0, hours], [celsius] * 2, cooked=True)
        ours = math.log10(RICE["start_per_g"]) + grown
        what = f"B. cereus in rice, {hours} h at {celsius} C, per gram"
        held = None if abs(ours - printed) <= DOUBT[1] else (0.0, RICE["missed_by"])
        yield Row(
            what, printed, ours, "log10", "read in part", DOUBT, held, reason if held else "the model's own doubt"
        )


def _cold():
    grown = grown_log10("listeria", [0, 24 * PORK["days"]], [PORK["celsius"]] * 2, cooked=True)
    yield Row(
        f"Listeria on cooked pork, {PORK['days']} days at {PORK['celsius']} C",
        float(PORK["log10"]),
        grown,
        "log10",
        "read in part",
        (-0.5, 0.5),
        (0.0, 0.9),
        "printed to a whole power; the shipped curve comes from another pork and starts without a lag: it grows more",
    )
    week = grown_log10("listeria", [0, 24 * DATE["days"]], [DATE["celsius"]] * 2, cooked=True)
    step = math.log10(EU["per_gram"] * EU["gram_without"])
    reason = "two laws, one line: within the half power of ten that the model is sure to"
    what = "Listeria from none in 25 g to 100 per gram, beside the 7 days at 5 C of the date mark"
    yield Row(what, step, week, "log10", "read in part", (-0.5, 0.5), None, reason)


def listeria_that_the_code_lets_grow():
    """Work out the growth in the code's slowest cooling and 6 days after it [log10], from which our limit was set.

    It is our own figure on both sides, so it is no row of the report; a test holds the limit to it.
    """
    slowest = next(entry for entry in SCHEDULES if entry["name"] == "FDA Food Code cooling")
    days = grown_log10("listeria", [0, 24 * DATE["after_the_first"]], [DATE["celsius"]] * 2, cooked=True)
    return days + grown_log10("listeria", *straight(slowest["points"]), cooked=True)


def _scheduled(entry, shape, history):
    name, index = entry["name"], 0 if shape == "straight" else 1
    start = UNFIT["b_cereus_start_log10_per_g"]
    grown = {
        "b_cereus": start + grown_log10("b_cereus", *history, cooked=True),
        "c_botulinum_proteolytic": grown_log10("c_botulinum_proteolytic", *history, cooked=True),
    }
    lines = {
        "b_cereus": (f"{name}, {shape}, B. cereus per gram from 100", float(UNFIT["b_cereus_log10_per_g"]), 0.0),
        "c_botulinum_proteolytic": (f"{name}, {shape}, C. botulinum", float(UNFIT["c_botulinum_log10"]), DOUBLING),
    }
    for germ, (what, line, room) in lines.items():
        over = DATA["over"][germ].get(name, [None, None])[index]
        held = None if over is None else (-line, over)
        cured = "cured" in name and "uncured" not in name
        reason = "accepted, so no more than the line" if over is None else CURED if cured else WORKS
        yield Row(what, line, grown[germ], "log10", "read in part", (-line, room), held, reason)
