"""Heat properties from composition: components and water beside a property library, meat beside what was measured."""

from __future__ import annotations

import warnings
from pathlib import Path

from CoolProp.CoolProp import PropsSI
from published.row import Row, share_of
from ruamel.yaml import YAML

from advisor.science.properties import Composition, conductivity, density, diffusivity, lean_with_fat, specific_heat
from advisor.science.validity import OutsideRange

DATA = YAML(typ="safe").load(Path(__file__).with_name("meat_heat_properties.yaml"))
SOURCE = (
    "Choi and Okos 1986 through the property library CoolProp (its food components, after ASHRAE Refrigeration 2006, "
    "and its water after IAPWS); Sweat and others 1973; Pan and Singh 2001; Meat Refrigeration 2002, Table 13.2; "
    "ASHRAE Refrigeration ch. 9, Tables 3 and 5 and measured diffusivities"
)
NOTE = (
    "Nothing was tuned. Conductivity and diffusivity are the mean of the components side by side and one behind the "
    "other. Where only the water is known, the fat is what the lean part leaves over; brine is not counted."
)
PURE = {
    name: Composition(**({"water": 0.0, "protein": 0.0, "fat": 0.0, "ash": 0.0} | {name: 1.0}))
    for name in ("water", "protein", "fat", "ash", "carbohydrate", "fibre", "ice")
}
LIBRARY_NAMES = {"fibre": "Fiber"}
PROPERTIES = (("density", "D", density, "kg/m3"), ("specific heat", "C", specific_heat, "J/kg K"))
CONDUCTIVITY = ("conductivity", "L", conductivity, "W/m K")
ATMOSPHERE_PA, ZERO_K = 101325.0, 273.15
LEAN_WATER = 71 / 94
COLD_WATER = "below 25 °C the paper's quadratic misses water by this much; beef's diffusivity moves by less than 1.5 %"


def eight(value: float) -> float:
    """Give a value with eight figures, so that the last bits of one machine do not reach the report."""
    return float(f"{value:.8g}")


def of_row(row) -> Composition:
    """Composition of a row that gives water, or fat, or everything."""
    if "protein" in row:
        parts = [row[name] for name in ("water", "protein", "fat", "ash")]
        return Composition(*(part / sum(parts) for part in parts))
    return lean_with_fat(row["fat"] / 100 if "fat" in row else max(0.0, 1 - row["water"] / 100 / LEAN_WATER))


def frozen(row) -> Composition:
    """Frozen lean meat, by the freezing curve from -1 °C and 0.4 kg bound water for each kg of protein."""
    thawed = of_row(row)
    ice = (thawed.water - 0.4 * thawed.protein) * (1 + 1.0 / row["temp_c"])
    return Composition(thawed.water - ice, thawed.protein, thawed.fat, thawed.ash, ice=ice)


def component_rows():
    """Give each component beside the library's own copy of the same formulas."""
    for name, made in PURE.items():
        temp_c = -20.0 if name == "ice" else 20.0
        fluid = f"INCOMP::Food{LIBRARY_NAMES.get(name, name.capitalize())}"
        for what, key, ours, unit in (*PROPERTIES, CONDUCTIVITY):
            published = eight(PropsSI(key, "T", temp_c + ZERO_K, "P", ATMOSPHERE_PA, fluid))
            value = eight(float(ours(made, temp_c)))
            misprint = name == "water" and key == "C"
            yield Row(
                f"{name} at {temp_c:g} °C, {what}",
                published,
                value,
                unit,
                "reference library",
                share_of(published, 1e-6),
                share_of(published, 0.012) if misprint else None,
                "the library follows ASHRAE's constant term, 4128.9, where a copy of the 1986 paper has 4176.2; see "
                "the rows of pure water"
                if misprint
                else "the same coefficients",
            )


def water_rows():
    """Give water beside the standard of its own, which knows nothing of Choi and Okos."""
    aims = {"D": (0.002, 0.003), "C": (0.005, 0.008), "L": (0.02, 0.022)}
    for temp_c in (5.0, 20.0, 55.0, 90.0):
        for what, key, ours, unit in (*PROPERTIES, CONDUCTIVITY):
            published = PropsSI(key, "T", temp_c + ZERO_K, "P", ATMOSPHERE_PA, "HEOS::Water")
            room, wider = (share_of(published, share) for share in aims[key])
            value = float(ours(PURE["water"], temp_c))
            missed = not room[0] <= value - published <= room[1]
            yield Row(
                f"pure water at {temp_c:g} °C, {what}",
                published,
                value,
                unit,
                "reference library",
                room,
                wider if temp_c < 25 and missed else None,
                COLD_WATER if missed else "a quadratic fit over 0 to 150 °C",
            )


def row_of(table, row, what, ours) -> Row:
    """Put a row of a table beside ours, with the wider room where the table says why."""
    aim = share_of(row["value"], table["aim_share"])
    held = share_of(row["value"], row["held_share"]) if "held_share" in row else None
    return Row(what, row["value"], ours, table["unit"], table["known"], aim, held, row.get("missed", table["why"]))


def measured_rows():
    """Give meat beside what was measured on it."""
    for name in ("specific_heat_measured", "specific_heat_handbook"):
        table = DATA[name]
        for row in table["rows"]:
            temp_c = row.get("temp_c", 10.0)
            ours = float(specific_heat(of_row(row), temp_c)) / 1000
            what = f"{row['food']}, {row['water']:g} % water, specific heat at {temp_c:g} °C"
            yield row_of(table, row, what, ours)
    for row in DATA["conductivity_measured"]["rows"]:
        icy = row["temp_c"] < 0
        made = frozen(row) if icy else of_row(row)
        ours = float(conductivity(made, row["temp_c"], "levy" if icy else "mean"))
        what = f"{row['food']}, conductivity at {row['temp_c']:g} °C"
        yield Row(what, row["value"], ours, "W/m K", row["known"], tuple(row["aim"]), None, row["why"])
    table = DATA["diffusivity_measured"]
    for row in table["rows"]:
        ours = 1e7 * float(diffusivity(of_row(row), row["temp_c"]))
        what = f"{row['food']}, {row['water']:g} % water, diffusivity at {row['temp_c']:g} °C"
        yield row_of(table, row, what, ours)


def rows():
    """Give every row."""
    with warnings.catch_warnings():
        warnings.simplefilter("error", OutsideRange)
        return [*component_rows(), *water_rows(), *measured_rows()]
