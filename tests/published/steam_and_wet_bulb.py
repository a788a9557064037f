"""Steam that condenses, its pressure, and wet bulbs, beside handbooks."""

from __future__ import annotations

from pathlib import Path

from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from published.row import Row, share_of
from ruamel.yaml import YAML

from advisor.science.constants import ZERO_CELSIUS_K
from advisor.science.steam import ATMOSPHERE_KPA, film_condensation_coefficient, saturation_pressure_kpa, wet_bulb_c

DATA = YAML(typ="safe").load(Path(__file__).with_name("steam_and_wet_bulb.yaml"))
SOURCE = (
    "Nusselt's film in Holman, Heat Transfer, Example 9-1, and in Incropera and DeWitt, Example 10.3; pressures of "
    "steam; wet bulbs in ASHRAE Fundamentals; pressures and wet bulbs by CoolProp"
)
NOTE = (
    "Nothing was tuned. No book was at hand: every printed value is from memory, or exact. The library's values stand "
    "beside; their rooms were set after ours had been seen to agree."
)


def row_of(case, printed, what, ours, unit) -> Row:
    """Put one printed value beside ours."""
    label = f"{case['name']}, {what}"
    held = tuple(printed["held"]) if "held" in printed else None
    return Row(label, printed["value"], ours, unit, case["known"], tuple(printed["aim"]), held, printed["why"])


def of_library():
    """Give pressures and wet bulbs beside a reference library."""
    for temp_c in DATA["pressures_of_library"]:
        pressure = PropsSI("P", "T", temp_c + ZERO_CELSIUS_K, "Q", 0, "Water") / 1000
        ours = saturation_pressure_kpa(float(temp_c))
        what, why = f"{temp_c} °C, pressure of steam, by library", "within a thousandth, as the function says of itself"
        yield Row(what, pressure, ours, "kPa", "reference library", share_of(pressure, 1e-3), None, why)
    for temp_c, humidity in DATA["wet_bulbs_of_library"]:
        kelvin = HAPropsSI("B", "T", temp_c + ZERO_CELSIUS_K, "R", humidity, "P", ATMOSPHERE_KPA * 1000)
        ours = wet_bulb_c(float(temp_c), humidity)
        what = f"{temp_c} °C, {humidity * 100:g} % humidity, wet bulb, by library"
        why = "air as an ideal gas and straight heats, good to a tenth of a degree"
        yield Row(what, kelvin - ZERO_CELSIUS_K, ours, "°C", "reference library", (-0.1, 0.1), None, why)


def rows():
    """Give every row."""
    condensed = [
        row_of(
            case,
            case["coefficient"],
            "coefficient",
            film_condensation_coefficient(
                case["height_m"],
                case["difference_k"],
                case["density"],
                case["conductivity"],
                case["viscosity"],
                float(case["latent"]),
            ),
            "W/m2 K",
        )
        for case in DATA["condensation"]
    ]
    pressures = [
        row_of(case, case, "pressure of steam", saturation_pressure_kpa(case["temp_c"]), "kPa")
        for case in DATA["pressures"]
    ]
    bulbs = [
        row_of(case, case, "wet bulb", wet_bulb_c(float(case["temp_c"]), case["humidity"]), "°C")
        for case in DATA["wet_bulbs"]
    ]
    return [*condensed, *pressures, *bulbs, *of_library()]
