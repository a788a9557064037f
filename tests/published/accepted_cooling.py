"""Cooling schedules that authorities accept, beside the growth of C. perfringens the shipped curve finds in them."""

from __future__ import annotations

import itertools

import numpy as np
from published._shipped import data, grown_log10
from published.row import Row

GROWTH = data("growth_on_meat.yaml")
SCHEDULES = [*GROWTH["accepted_cooling"], *GROWTH["other_accepted_cooling"]]
CALIBRATED = {entry["name"] for entry in GROWTH["accepted_cooling"]}
SOURCE = (
    "; ".join(dict.fromkeys(entry["source"] for entry in SCHEDULES)) + f". Criterion: {GROWTH['criterion']['source']}"
)
NOTE = (
    "Published is the 1 log that the US standard allows; ours is what the shipped curve and lag give when each stage "
    "is used to the last minute. The lag was calibrated on the first three schedules, so they are no check of it; the "
    "others are. Straight lines stand longest where growth is fastest, a fall as in ice water less; a real piece lies "
    "between."
)
KNOWN = {
    "from memory": "from memory",
    "read in part": "read in part",
    "read through": "read through an adoption",
    "read": "read",
}


def straight(points):
    """Give hours and temperatures of straight lines through the points."""
    return np.array(points).T


def toward_freezing_water(points):
    """Give each stage as a body cools in ice water: the same ratio of degrees in the same time."""
    share = np.linspace(0, 1, 200)
    stages = list(itertools.pairwise(points))
    hours = np.concatenate([a[0] + share * (b[0] - a[0]) for a, b in stages])
    return hours, np.concatenate([a[1] * (b[1] / a[1]) ** share for a, b in stages])


def why(name):
    """Give the reason for a miss."""
    reasons = GROWTH["cooling_missed_reasons"]
    if name in CALIBRATED:
        return reasons["near"]
    return reasons["cured"] if "cured" in name and "uncured" not in name else reasons["works"]


def rows():
    """Give every schedule both ways."""
    for entry in SCHEDULES:
        name, how = entry["name"], entry["how_known"]
        known = next(mark for start, mark in KNOWN.items() if how.startswith(start))
        over = GROWTH["cooling_missed"].get(name, [None, None])
        for (shape, history), room in zip(
            (("straight", straight), ("as in ice water", toward_freezing_water)), over, strict=True
        ):
            ours = grown_log10("c_perfringens", *history(entry["points"]), cooked=True)
            held = None if room is None else (-1.0, room)
            reason = "accepted, so no more than 1 log" if room is None else why(name)
            yield Row(f"{name}, {shape}", 1.0, ours, "log10", known, (-1.0, 0.0), held, reason)
