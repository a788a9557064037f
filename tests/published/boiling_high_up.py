"""Pressure of the standard atmosphere, and the heat at which water boils under a pressure."""

from __future__ import annotations

from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from published.row import Row

from advisor.science.altitude import boiling_point_c, standard_pressure_kpa
from advisor.science.steam import wet_bulb_c

SOURCE = (
    "ICAO Doc 7488, standard atmosphere; steam tables of textbooks; USDA FSIS, High Altitude Cooking and Food Safety; "
    "saturation of water and wet bulbs by CoolProp (after IAPWS)"
)
NOTE = (
    "Nothing was tuned. The tables are from memory; they were put down after the code first ran, and none was moved "
    "for it. Weather moves the pressure of a place by more than these errors, and the boiling point by up to 1 °C."
)
PRESSURES_KPA = {0: 101.325, 1000: 89.875, 2000: 79.495, 3000: 70.109, 5000: 54.020}
BOILING_C = {47.39: 80.0, 70.14: 90.0, 84.55: 95.0}
GUIDANCE_F = {0: 212, 2000: 208, 5000: 203, 7500: 198, 10000: 194}
HEIGHTS_M = (600, 1000, 2000, 3000, 5000)
WET_BULBS = ((25.0, 0.5), (60.0, 0.1), (80.0, 0.1), (80.0, 0.3))


def rows():
    """Give each printed value, and the library's boiling points at some heights."""
    for height, printed in PRESSURES_KPA.items():
        room = (-0.0005, 0.0005)
        ours = standard_pressure_kpa(float(height))
        yield Row(f"air at {height} m", printed, ours, "kPa", "from memory", room, None, "half the last digit")
    for pressure, printed in BOILING_C.items():
        what, why = f"water boils at {pressure:g} kPa", "0.1 % of the pressure is 0.03 °C"
        yield Row(what, printed, boiling_point_c(pressure), "°C", "from memory", (-0.03, 0.03), None, why)
    for feet, printed in GUIDANCE_F.items():
        ours = 1.8 * boiling_point_c(standard_pressure_kpa(0.3048 * feet)) + 32
        what, why = f"water boils at {feet} ft, guidance for high kitchens", "half a printed degree"
        yield Row(what, printed, ours, "°F", "from memory", (-0.5, 0.5), None, why)
    for height in HEIGHTS_M:
        pressure = standard_pressure_kpa(float(height))
        printed = PropsSI("T", "P", 1000 * pressure, "Q", 0, "Water") - 273.15
        why = "the two formulas of saturation differ by less than 0.1 %"
        what = f"water boils at {height} m"
        yield Row(what, printed, boiling_point_c(pressure), "°C", "reference library", (-0.03, 0.03), None, why)
    pressure = standard_pressure_kpa(2000.0)
    for temp, humidity in WET_BULBS:
        state = ("T", temp + 273.15, "P", 1000 * pressure, "R", humidity)
        printed = HAPropsSI("B", *state) - 273.15
        ours = wet_bulb_c(temp, humidity, pressure)
        why = "air and steam are taken as ideal gases"
        what = f"wet bulb at 2000 m, {temp:g} °C, {100 * humidity:g} % humidity"
        yield Row(what, printed, ours, "°C", "reference library", (-0.1, 0.1), None, why)
