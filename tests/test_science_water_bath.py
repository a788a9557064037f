"""Published tables of water-bath times, cell by cell."""

import math
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from advisor.science.conduction import ThermalBody, centre, leg, uniform
from advisor.science.lethality import log_kill

PUBLISHED = Path(__file__).parent / "published"
PASTEURISATION = YAML(typ="safe").load(PUBLISHED / "bath_pasteurisation_times.yaml")
TIMES = YAML(typ="safe").load(PUBLISHED / "bath_heating_ice_cooling_times.yaml")
HEAT = PASTEURISATION["heat"]
CELLS = [
    (row["thickness_mm"], bath, published, computed)
    for row in PASTEURISATION["rows"]
    for bath, published, computed in zip(
        PASTEURISATION["bath_c"], row["published_min"], row["computed_min"], strict=True
    )
]


def core_history(thickness_mm, bath_c, exponent):
    body = ThermalBody(thickness_mm / 2000, exponent, HEAT["diffusivity_m2_s"], HEAT["conductivity_w_mk"], cells=40)
    times = np.arange(0.0, 900 * 60.0, 30.0)
    start = uniform(body, PASTEURISATION["start_c"])
    return times, centre(leg(body, start, bath_c, HEAT["surface_h_w_m2k"], times))


def minutes_to_kill(history, organism):
    kill = log_kill(
        *history,
        d_ref_s=organism["d_min"] * 60,
        ref_c=organism["ref_c"],
        z_c=organism["z_c"],
        floor_c=-math.inf,
    )
    return float(np.interp(organism["log10"], kill, history[0])) / 60


@lru_cache(maxsize=200)
def pasteurisation_minutes(thickness_mm, bath_c):
    """Minutes until the slowest of the three organisms has met its target at the centre."""
    exponents = HEAT["shape_exponent"]
    exponent = exponents["thickness_to_30_mm"] if thickness_mm <= 30 else exponents["thicker"]
    history = core_history(thickness_mm, bath_c, exponent)
    return max(minutes_to_kill(history, organism) for organism in PASTEURISATION["organisms"]["rows"])


@pytest.mark.parametrize(("thickness_mm", "bath_c", "published", "computed"), CELLS)
def test_pasteurisation_time_is_not_beyond_the_published_and_at_most_its_rounding_below(
    thickness_mm, bath_c, published, computed
):
    """The three rows with room above are named, with the reason, in the data file."""
    minutes = pasteurisation_minutes(thickness_mm, bath_c)
    fair = PASTEURISATION["fair_test"]
    assert minutes <= published + fair["room_above_min"].get(thickness_mm, 0.0)
    assert published - minutes <= fair["room_below_min"]
    assert minutes == pytest.approx(computed, abs=0.3)


def rounded_up(minutes):
    if minutes < 20:
        return math.ceil(minutes)
    return math.ceil(minutes / 5) * 5 if minutes <= 60 else math.ceil(minutes / 15) * 15


def test_rounded_up_as_the_table_is_149_of_168_cells_are_exactly_the_published():
    """The rounding rule was inferred from the table, so this counts agreement; it does not prove the rule."""
    exact = sum(rounded_up(pasteurisation_minutes(mm, bath)) == published for mm, bath, published, _ in CELLS)
    assert len(CELLS) == 168
    assert exact == 149


@pytest.mark.parametrize(
    ("thickness_mm", "published"),
    list(
        zip(
            PASTEURISATION["poultry_55c"]["thickness_mm"],
            PASTEURISATION["poultry_55c"]["published_min"],
            strict=True,
        )
    ),
)
def test_poultry_at_55_c_is_within_4_percent(thickness_mm, published):
    """Two cells miss 4.0 % by a hair: 5 mm (287.7 for 300 min, 4.11 %) and 15 mm (312.1, 4.04 %).

    The row is printed in quarter hours, 5 % of 300 min, and its first three cells are alike; hence the
    0.0412.
    """
    row = PASTEURISATION["poultry_55c"]
    history = core_history(thickness_mm, 55.0, row["shape_exponent"])
    assert minutes_to_kill(history, row["organism"]) == pytest.approx(published, rel=0.0412)


def relative_errors(kind):
    settings, errors, exact = TIMES[kind], [], 0
    for thickness_mm, *printed in TIMES[f"{kind}_rows"]:
        for name, published in zip(("slab", "cylinder", "sphere"), printed, strict=True):
            if published is not None:
                minutes = minutes_to_temperature(thickness_mm, TIMES["shape_exponents"][name], settings)
                errors.append(minutes / published - 1)
                exact += rounded_to_nearest(minutes) == published
    return np.array(errors), exact


def minutes_to_temperature(thickness_mm, exponent, settings):
    body = ThermalBody(
        thickness_mm / 2000, exponent, settings["diffusivity_m2_s"], settings["conductivity_w_mk"], cells=40
    )
    times = np.arange(0.0, 500 * 60.0, 15.0)
    cells = leg(body, uniform(body, settings["start_c"]), settings["medium_c"], settings["surface_h_w_m2k"], times)
    # From the start toward the medium, whichever way that is, the approach is monotone.
    left = np.abs(centre(cells) - settings["medium_c"])
    return float(np.interp(-abs(settings["target_c"] - settings["medium_c"]), -left, times)) / 60


def rounded_to_nearest(minutes):
    if minutes < 14.5:
        return round(minutes)
    return round(minutes / 5) * 5 if minutes < 60 else round(minutes / 15) * 15


def test_heating_times_agree_with_the_remembered_table():
    """52 cells from memory: relative rms 4.5 %; the shape exponents were fitted to this very table."""
    errors, _ = relative_errors("heating")
    assert errors.size == 52
    assert np.sqrt(np.mean(errors**2)) <= TIMES["heating"]["rms_rel_error"] + 0.0005  # its third decimal is rounded
    assert np.max(np.abs(errors)) < 0.16


def test_ice_cooling_times_agree_with_the_remembered_table():
    """60 cells from memory: relative rms 5.0 %; the shape exponents were fitted to this very table."""
    errors, _ = relative_errors("cooling")
    assert errors.size == 60
    assert np.sqrt(np.mean(errors**2)) <= TIMES["cooling"]["rms_rel_error"] + 0.0005  # its third decimal is rounded
    assert np.max(np.abs(errors)) < 0.24


def test_the_tables_cylinder_is_not_the_long_cylinder():
    """With the textbook exponents the model would be far too fast, which is the dangerous way."""
    settings = TIMES["heating"]
    for exponent, printed in ((1.0, 120), (2.0, 90)):
        assert minutes_to_temperature(50, exponent, settings) < 0.9 * printed
