"""Middle of a piece in a bath, as the published tables of bath times have it: the model behind three modules."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from published._shipped import data, rulebase

from advisor.science.conduction import ThermalBody, centre, leg, uniform
from advisor.science.lethality import log_kill

PASTEURISATION = data("bath_pasteurisation_times.yaml")
TIMES = data("bath_heating_ice_cooling_times.yaml")


@lru_cache(maxsize=400)
def middle(thickness_mm, bath_c, exponent):
    """Give times and temperatures of the middle, by the heat figures of the pasteurisation table's own note."""
    heat = PASTEURISATION["heat"]
    body = ThermalBody(thickness_mm / 2000, exponent, heat["diffusivity_m2_s"], heat["conductivity_w_mk"], cells=40)
    times = np.arange(0.0, 900 * 60.0, 30.0)
    start = uniform(body, PASTEURISATION["start_c"])
    return times, centre(leg(body, start, bath_c, heat["surface_h_w_m2k"], times))


def table_exponent(thickness_mm):
    """Give the shape exponent of the table at a thickness."""
    exponents = PASTEURISATION["heat"]["shape_exponent"]
    return exponents["thickness_to_30_mm"] if thickness_mm <= 30 else exponents["thicker"]


def minutes_to_kill(history, d_ref_s, ref_c, z_c, target_log):
    """Minutes until a target is met in a history; the table knows no floor."""
    kill = log_kill(*history, d_ref_s=d_ref_s, ref_c=ref_c, z_c=z_c, floor_c=-math.inf)
    return float(np.interp(target_log, kill, history[0])) / 60


def shipped_minutes(history, food, germs=None):
    """Minutes until the slowest of the shipped germs has met its target in a history."""
    return max(
        minutes_to_kill(history, kill.d_ref_min * 60, kill.ref_c, kill.z_c, kill.target_log)
        for name, organism in rulebase().organisms.items()
        for kill in organism.kill
        if food in kill.foods and (germs is None or name in germs)
    )


@lru_cache(maxsize=400)
def minutes_to_temperature(kind, thickness_mm, shape):
    """Minutes until the middle comes to the target of the heating or the cooling table."""
    settings = TIMES[kind]
    exponent = TIMES["shape_exponents"][shape]
    return minutes_with(settings, thickness_mm, exponent)


def minutes_with(settings, thickness_mm, exponent):
    """Minutes until the middle comes to a target, for any shape exponent."""
    body = ThermalBody(
        thickness_mm / 2000, exponent, settings["diffusivity_m2_s"], settings["conductivity_w_mk"], cells=40
    )
    times = np.arange(0.0, 500 * 60.0, 15.0)
    cells = leg(body, uniform(body, settings["start_c"]), settings["medium_c"], settings["surface_h_w_m2k"], times)
    # From the start toward the medium, whichever way that is, the approach is monotone.
    left = np.abs(centre(cells) - settings["medium_c"])
    return float(np.interp(-abs(settings["target_c"] - settings["medium_c"]), -left, times)) / 60


def nearest_room(printed):
    """Room of a time printed to the nearest minute below 15, nearest 5 to an hour, nearest quarter hour above."""
    half = 0.5 if printed < 15 else 2.5 if printed <= 60 else 7.5
    return (-0.5 if printed == 15 else -half, 7.5 if printed == 60 else half)


def times_rows(kind, row):
    """Give every printed cell of the heating or the cooling table, as ``row(what, printed, ours, outside)``."""
    outside = TIMES["outside_rounding"][kind]
    for thickness_mm, *printed in TIMES[f"{kind}_rows"]:
        for shape, minutes in zip(("slab", "cylinder", "sphere"), printed, strict=True):
            if minutes is not None:
                what = f"{thickness_mm} mm, the column named {shape}"
                yield row(
                    what, minutes, minutes_to_temperature(kind, thickness_mm, shape), thickness_mm in outside[shape]
                )
