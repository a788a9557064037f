"""Surface coefficients from correlations beside textbooks' worked examples."""

from __future__ import annotations

from pathlib import Path

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
    "as worked in Incropera and DeWitt, Examples 7.1 and 7.2"
)
NOTE = "Nothing was tuned. The books were not read themselves: a companion and a study site work their examples."


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
    return [*vertical_rows(), *flat_rows(), *radiated]
