"""Surface coefficients: correlations beside textbooks' worked examples, and what we take beside the correlations."""

from __future__ import annotations

import math
from pathlib import Path

from CoolProp.CoolProp import PropsSI
from published._shipped import rulebase
from published.row import Row
from ruamel.yaml import YAML

from advisor.science.convection import (
    nusselt_flat_plate,
    nusselt_vertical_plate,
    radiation_coefficient,
    rayleigh_number,
    still_fluid_coefficient,
    stream_coefficient,
)

DATA = YAML(typ="safe").load(Path(__file__).with_name("surface_coefficients.yaml"))
SOURCE = (
    "Churchill and Chu 1975 as worked in Incropera and DeWitt, Example 9.2, and in Cengel, problem 9-19E; flat plates "
    "as worked in Incropera and DeWitt, Examples 7.1 and 7.2; fluids' properties by CoolProp (water after IAPWS)"
)
NOTE = (
    "Nothing was tuned. The books were not read themselves: a companion and a study site work their examples. In the "
    "last rows published is what the correlation gives with the library's water or air, for 0.1 m of face, and ours "
    "the slow end that the rulebase takes: a bag, its film and its neighbours, or a tray, leave less."
)
FACE_M, WET_MEAT = 0.1, 0.95
# Medium, fluid, its temperature, and how much the face differs from it [K].
TAKEN = (
    ("bath_circulated", "Water", 60.0, -2.0),
    ("bath_circulated", "Water", 60.0, -50.0),
    ("bath_still", "Water", 60.0, -2.0),
    ("ice_bath", "Water", 4.0, 2.0),
    ("running_water", "Water", 5.0, 2.0),
    ("braise", "Water", 96.0, -2.0),
    ("counter", "Air", 21.0, 5.0),
    ("fridge_still", "Air", 4.0, 5.0),
    ("hot_cupboard", "Air", 63.0, -5.0),
)


def row_of(case, key, what, ours, unit="") -> Row:
    """Put one printed value beside ours."""
    printed = case[key]
    label = f"{case['name']}, {what}"
    return Row(label, float(printed["value"]), ours, unit, case["known"], tuple(printed["aim"]), None, printed["why"])


def vertical_rows():
    """Give still air by vertical faces."""
    for case in DATA["vertical_plates"]:
        difference = case["surface_c"] - case["fluid_c"]
        # the book that gives the diffusivity uses it for the Rayleigh number, its rounded Prandtl number for the rest
        prandtl = case["kinematic_viscosity"] / case["diffusivity"] if "diffusivity" in case else case["prandtl"]
        rayleigh = rayleigh_number(
            case["height_m"], difference, case["kinematic_viscosity"], prandtl, case["expansion"]
        )
        yield row_of(case, "rayleigh", "Rayleigh number", rayleigh)
        if "nusselt" in case:
            nusselt = float(nusselt_vertical_plate(rayleigh, case["prandtl"]))
            yield row_of(case, "nusselt", "Nusselt number", nusselt)
        if "heat_w" in case:
            coefficient = still_fluid_coefficient(
                case["height_m"],
                difference,
                case["conductivity"],
                case["kinematic_viscosity"],
                case["prandtl"],
                case["expansion"],
            )
            heat = coefficient * case["height_m"] * case["width_m"] * difference
            yield row_of(case, "heat_w", "heat given off", heat, "W")


def flat_rows():
    """Give streams along flat plates."""
    for case in DATA["flat_plates"]:
        fluid = (case["speed_m_s"], case["conductivity"], case["kinematic_viscosity"], case["prandtl"])
        if "reynolds" in case:
            reynolds = case["speed_m_s"] * case["length_m"] / case["kinematic_viscosity"]
            yield row_of(case, "reynolds", "Reynolds number", reynolds)
            ours = float(nusselt_flat_plate(reynolds, case["prandtl"])) * case["conductivity"]
            yield row_of(case, "heat_w_m", "heat across", ours * case["heat_w_m"]["difference_k"], "W/m")
        elif "coefficient" in case:
            yield row_of(case, "coefficient", "coefficient", stream_coefficient(case["length_m"], *fluid), "W/m2 K")
        else:
            short, long = case["lengths_m"]
            across = stream_coefficient(long, *fluid) * long - stream_coefficient(short, *fluid) * short
            yield row_of(case, "heat_w_m", "heat across", across * case["heat_w_m"]["difference_k"], "W/m")


def still(fluid, fluid_c, difference_k):
    """Coefficient of a still fluid by a face of our size, with radiation where it is air."""
    state = ("T", fluid_c + difference_k / 2 + 273.15, "P", 101325.0, fluid)
    viscosity = PropsSI("VISCOSITY", *state) / PropsSI("DMASS", *state)
    prandtl, expansion = PropsSI("PRANDTL", *state), PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", *state)
    moved = still_fluid_coefficient(
        FACE_M, difference_k, PropsSI("CONDUCTIVITY", *state), viscosity, prandtl, expansion
    )
    if fluid != "Air":
        return moved
    return moved + float(radiation_coefficient(fluid_c + difference_k, fluid_c, WET_MEAT))


def taken_rows():
    """Give what the rulebase takes at the slow end beside the correlation."""
    for medium, fluid, fluid_c, difference_k in TAKEN:
        beside = f"still {fluid.lower()} at {fluid_c:g} °C, face {difference_k:+g} K"
        what = f"{medium.replace('_', ' ')}, slow end, beside {beside}"
        ours = rulebase().media[medium].surface_h_low
        printed = still(fluid, fluid_c, difference_k)
        why = "no more than the still fluid alone gives"
        yield Row(what, printed, ours, "W/m2 K", "reference library", (-math.inf, 0.0), None, why)


def rows():
    """Give every row."""
    radiated = [
        row_of(
            case,
            "coefficient",
            "coefficient",
            float(radiation_coefficient(case["surface_c"], case["surroundings_c"])),
            "W/m2 K",
        )
        for case in DATA["radiation"]
    ]
    return [*vertical_rows(), *flat_rows(), *radiated, *taken_rows()]
