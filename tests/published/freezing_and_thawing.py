"""Freezing and thawing: heat and ice of beef, an exact solution, formulas that fit measured times, home guidance."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from published.row import Row, share_of
from ruamel.yaml import YAML

from advisor.science.conduction import PRESCRIBED_SURFACE, centre
from advisor.science.freezing import (
    FrozenBody,
    frozen_body,
    frozen_leg,
    heat_content,
    ice_fraction,
    time_to_freeze,
    time_to_thaw,
)
from advisor.science.ice import LATENT_HEAT_J_KG
from advisor.science.properties import lean_with_fat

DATA = YAML(typ="safe").load(Path(__file__).with_name("freezing_and_thawing.yaml"))
MEAT = DATA["formulas"]["meat"]
SOURCE = (
    "Riedel's enthalpies of lean beef; Tchigeov 1979; Neumann's solution (Carslaw and Jaeger, ch. 11); Pham 1986 for "
    "freezing; Cleland, Cleland, Earle and Byrne 1986 for thawing; home guidance on thawing; Meat Refrigeration 2002, "
    "ch. 8"
)
NOTE = (
    "Nothing was tuned: ice first forms at -1 °C and 0.4 kg of water is bound to each kg of protein, both handbook "
    "values. The formulas for times get the heat of our own curve, so that they check the flow of heat. Measured times "
    "themselves could not be read."
)
FREEZER_C = -18.0


def body_of(thickness_mm: float, cells: int = 24) -> FrozenBody:
    """Lean meat as the formulas' makers took it."""
    return FrozenBody(
        thickness_mm / 2000,
        0.0,
        MEAT["diffusivity"],
        MEAT["conductivity"],
        MEAT["frozen_conductivity"],
        MEAT["density"],
        MEAT["freezable_water"],
        MEAT["freezing_c"],
        cells,
    )


def lean_beef(water_pct: float) -> FrozenBody:
    """Lean beef by its water."""
    return frozen_body(0.025, 0.0, lean_with_fat(max(0.0, 1 - water_pct / 100 * 94 / 71)))


def curve_rows():
    """Give heat and ice of lean beef."""
    table = DATA["enthalpy_of_lean_beef"]
    body = lean_beef(table["water"])
    for temp_c, published in table["rows"]:
        heat = heat_content(body, [-40.0, float(temp_c)])
        ours = float(heat[1] - heat[0]) / body.density_kg_m3 / 1000
        missed = not table["aim"][0] <= ours - published <= table["aim"][1]
        yield Row(
            f"lean beef, 74.5 % water, heat at {temp_c} °C above -40 °C",
            published,
            ours,
            "kJ/kg",
            table["known"],
            tuple(table["aim"]),
            tuple(table["held"]) if missed else None,
            table["missed"] if missed else table["why"],
        )
    table = DATA["ice_share"]
    for temp_c in table["temps_c"]:
        below = math.log(table["freezing_c"] - temp_c + 1)
        published = 1.105 * table["water"] / 100 / (1 + 0.7138 / below)
        ours = float(ice_fraction(body, temp_c))
        what = f"lean beef, 74.5 % water, ice at {temp_c} °C"
        missed = not table["aim"][0] <= ours - published <= table["aim"][1]
        held = tuple(table["held"]) if missed else None
        reason = table["missed"] if missed else table["why"]
        yield Row(what, published, ours, "kg/kg", table["known"], tuple(table["aim"]), held, reason)


def neumann_root(stefan: float) -> float:
    """Root of the front's equation, by halving."""
    low, high = 0.0, 3.0
    for _ in range(80):
        middle = (low + high) / 2
        if math.sqrt(math.pi) * middle * math.exp(middle**2) * math.erf(middle) < stefan:
            low = middle
        else:
            high = middle
    return low


def exact_rows():
    """Give the time a front takes to the centre, when the frozen part is at its melting point all along."""
    table = DATA["exact"]
    for surface_c in table["surfaces_c"]:
        body = FrozenBody(0.025, 0.0, 1.3e-7, 0.48, 1.5, 1050.0, 0.66, -1e-4, 96)
        melting = body.density_kg_m3 * float(ice_fraction(body, -0.01)) * LATENT_HEAT_J_KG
        root = neumann_root(body.heat_capacity * surface_c / melting)
        published = body.half_thickness_m**2 / (4 * root**2 * body.diffusivity_m2_s) / 60
        ours = time_to_thaw(body, np.full(body.cells, -0.01), surface_c, PRESCRIBED_SURFACE) / 60
        room = share_of(published, table["aim_share"])
        what = f"50 mm slab at its melting point, surface held at {surface_c} °C, until the last ice goes"
        yield Row(what, published, ours, "min", "exact", room, None, table["why"])


def pham_hours(body: FrozenBody, h: float, start_c: float, medium_c: float, final_c: float) -> float:
    """Pham's freezing time of a slab, with the heat of our curve."""
    mean_c = 1.8 + 0.263 * final_c + 0.105 * medium_c
    heat = heat_content(body, [start_c, final_c])
    first = body.heat_capacity * (start_c - mean_c)
    second = float(heat[0] - heat[1]) - first
    biot = h * body.half_thickness_m / body.frozen_conductivity_w_mk
    driven = first / ((start_c + mean_c) / 2 - medium_c) + second / (mean_c - medium_c)
    return body.half_thickness_m / h * driven * (1 + biot / 2) / 3600


def cleland_hours(body: FrozenBody, h: float, start_c: float, medium_c: float) -> tuple[float, float]:
    """Two of the four thawing formulas of Cleland and others, with the heat of our curve; the centre to 0 °C."""
    heat = heat_content(body, [-10.0, 0.0])
    ten_degrees = float(heat[1] - heat[0])
    frozen_capacity = float(np.diff(heat_content(body, [-20.5, -19.5]))[0])
    stefan = body.heat_capacity * (medium_c - body.freezing_c) / ten_degrees
    plank = frozen_capacity * (body.freezing_c - start_c) / ten_degrees
    thickness = 2 * body.half_thickness_m
    biot = h * thickness / body.conductivity_w_mk
    scale = thickness**2 / body.diffusivity_m2_s / 3600
    power = 1.4291 * (0.5 / (biot * stefan) + 0.125 / stefan) ** 1.0248 * stefan**0.2712 * plank**0.0610
    at_surface = 0.5 * (0.7754 + 2.2828 * stefan * plank)
    inside = 0.125 * (0.4271 + 2.1220 * stefan - 1.4847 * stefan**2)
    return scale * power, scale * (at_surface / (biot * stefan) + inside / stefan)


def hours_to_zero(body: FrozenBody, start, medium_c: float, h: float) -> float:
    """Time until the centre is at 0 °C, a degree beyond the last ice."""
    thawed_s = time_to_thaw(body, start, medium_c, h)
    times = np.linspace(0.95, 1.3, 1401) * thawed_s
    return float(np.interp(0.0, centre(frozen_leg(body, start, medium_c, h, times)), times)) / 3600


def formula_rows():
    """Give times of the formulas that fit measured ones."""
    table = DATA["formulas"]["freezing"]
    for thickness_mm, h, start_c, medium_c, final_c in table["rows"]:
        body = body_of(thickness_mm)
        published = pham_hours(body, h, start_c, medium_c, final_c)
        ours = time_to_freeze(body, np.full(body.cells, float(start_c)), medium_c, h, final_c) / 3600
        what = f"{thickness_mm} mm slab, h {h}, {start_c} °C into {medium_c} °C, centre to {final_c} °C"
        yield Row(what, published, ours, "h", table["known"], share_of(published, 0.10), None, table["why"])
    table = DATA["formulas"]["thawing"]
    for thickness_mm, h, start_c, medium_c in table["rows"]:
        body = body_of(thickness_mm)
        ours = hours_to_zero(body, np.full(body.cells, float(start_c)), medium_c, h)
        for name, published in zip(
            ("power form", "Plank's form"), cleland_hours(body, h, start_c, medium_c), strict=True
        ):
            what = f"{thickness_mm} mm slab, h {h}, {start_c} °C into {medium_c} °C, thawed, {name}"
            yield Row(what, published, ours, "h", table["known"], share_of(published, 0.10), None, table["why"])


def guidance_rows():
    """Give what homes are told."""
    for row in DATA["home_guidance"]["rows"]:
        body = body_of(row["thickness_mm"])
        ours = time_to_thaw(body, np.full(body.cells, FREEZER_C), row["medium_c"], row["h"]) / 3600
        held = tuple(row["held_h"]) if "held_h" in row else None
        reason = row.get("missed", row["why"])
        yield Row(row["what"], row["published_h"], ours, "h", "read", tuple(row["aim_h"]), held, reason)


def rows():
    """Give every row."""
    return [*curve_rows(), *exact_rows(), *formula_rows(), *guidance_rows()]
