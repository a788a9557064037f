"""Steam that condenses, its pressure, and wet bulbs, beside handbooks."""

from __future__ import annotations

from pathlib import Path

from published.row import Row
from ruamel.yaml import YAML

from advisor.science.steam import film_condensation_coefficient, saturation_pressure_kpa, wet_bulb_c

DATA = YAML(typ="safe").load(Path(__file__).with_name("steam_and_wet_bulb.yaml"))
SOURCE = "Nusselt's film in Holman, Heat Transfer, Example 9-1; pressures of steam; wet bulbs in ASHRAE Fundamentals"
NOTE = "Nothing was tuned. No source was at hand: every printed value is from memory, or exact."


def row_of(case, printed, what, ours, unit) -> Row:
    """Put one printed value beside ours."""
    label = f"{case['name']}, {what}"
    return Row(label, printed["value"], ours, unit, case["known"], tuple(printed["aim"]), None, printed["why"])


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
    return [*condensed, *pressures, *bulbs]
