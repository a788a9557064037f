"""Which words mean which unit. A word that is not listed here is never read.

A general parser would take "pinch" for a pico-inch, so a person's own words are looked up in these tables and
only the unit's name from the table goes on to be converted.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal[
    "temperature",  # stored in °C
    "temperature_difference",  # stored in °C (kelvin)
    "time",  # stored in minutes
    "length",  # stored in mm
    "mass",  # stored in g
    "volume",  # stored in ml
    "percent",  # stored in %
    "count",  # a bare number
]
System = Literal["metric", "us"]

STORED: Final[dict[Kind, str]] = {
    "temperature": "degC",
    "temperature_difference": "delta_degC",
    "time": "minute",
    "length": "millimeter",
    "mass": "gram",
    "volume": "milliliter",
    "percent": "percent",
    "count": "",
}
STORED_LABEL: Final[dict[Kind, str]] = {
    "temperature": "°C",
    "temperature_difference": "°C",
    "time": "min",
    "length": "mm",
    "mass": "g",
    "volume": "ml",
    "percent": "%",
    "count": "",
}
KIND_NAME: Final[dict[Kind, str]] = {
    "temperature": "a temperature",
    "temperature_difference": "a difference in temperature",
    "time": "a time",
    "length": "a length",
    "mass": "a weight",
    "volume": "a volume",
    "percent": "a share",
    "count": "a count",
}


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as a cook writes it.

    Parameters
    ----------
    label : str
        How we write it back.
    pint : str
        Its name in the registry.
    system : {"metric", "us"}
        Which way of measuring it belongs to.
    implied : str
        Label of the unit meant by a bare number after this one ("2 lb 8"); empty when there is none.
    small : bool
        True when a thousand of them is an everyday amount, so that "1,500" can only mean fifteen hundred.
    note : str
        What a person should be told about it.
    """

    label: str
    pint: str
    system: System = "metric"
    implied: str = ""
    small: bool = False
    note: str = ""


def _table(*rows: tuple[Unit, str]) -> dict[str, Unit]:
    return {word: unit for unit, words in rows for word in words.split("|")}


def _us_measure(label: str, pint: str) -> Unit:
    return Unit(label, pint, "us", note="US measure")


_GRAM = "g|gr|gm|gms|gram|grams|gramme|grammes"
_PER_KILO = "g/kg|g per kg|g per kilo|g a kilo|grams per kilo|grams per kg|grams a kilo"

UNITS: Final[dict[Kind, dict[str, Unit]]] = {
    "temperature": _table(
        (Unit("°C", "degC"), "c|celsius|centigrade"),
        (Unit("°F", "degF", "us"), "f|fahrenheit"),
        (Unit("K", "kelvin"), "k|kelvin"),
    ),
    "temperature_difference": _table(
        (Unit("°C", "delta_degC"), "c|celsius|centigrade"),
        (Unit("°F", "delta_degF", "us"), "f|fahrenheit"),
        (Unit("K", "kelvin"), "k|kelvin|kelvins"),
    ),
    "time": _table(
        (Unit("s", "second", small=True), "s|sec|secs|second|seconds"),
        (Unit("min", "minute", implied="s", small=True), "m|min|mins|minute|minutes"),
        (Unit("h", "hour", implied="min"), "h|hr|hrs|hour|hours"),
        (Unit("days", "day"), "d|day|days"),
        (Unit("weeks", "week"), "w|wk|wks|week|weeks"),
    ),
    "length": _table(
        (Unit("mm", "millimeter", small=True), "mm|millimetre|millimetres|millimeter|millimeters"),
        (Unit("cm", "centimeter"), "cm|cms|centimetre|centimetres|centimeter|centimeters"),
        (Unit("m", "meter"), "m|metre|metres|meter|meters"),
        (Unit("in", "inch", "us"), "in|ins|inch|inches|\"|''"),
        (Unit("ft", "foot", "us", implied="in"), "ft|foot|feet|'"),
    ),
    "mass": _table(
        (Unit("mg", "milligram", small=True), "mg|milligram|milligrams"),
        (Unit("g", "gram", small=True), _GRAM),
        (Unit("kg", "kilogram"), "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes"),
        (Unit("oz", "ounce", "us"), "oz|ozs|ounce|ounces"),
        (Unit("lb", "pound", "us", implied="oz"), "lb|lbs|pound|pounds|pounder|pounders"),
    ),
    "volume": _table(
        (Unit("ml", "milliliter", small=True), "ml|mls|millilitre|millilitres|milliliter|milliliters|cc"),
        (Unit("cl", "centiliter"), "cl|centilitre|centilitres|centiliter|centiliters"),
        (Unit("dl", "deciliter"), "dl|decilitre|decilitres|deciliter|deciliters"),
        (Unit("L", "liter"), "l|litre|litres|liter|liters"),
        (_us_measure("tsp", "teaspoon"), "tsp|tsps|teaspoon|teaspoons"),
        (_us_measure("tbsp", "tablespoon"), "tbsp|tbsps|tbs|tablespoon|tablespoons"),
        (_us_measure("fl oz", "fluid_ounce"), "fl oz|floz|fluid oz|fluid ounce|fluid ounces"),
        (_us_measure("cups", "cup"), "c|cup|cups"),
        (_us_measure("pt", "pint"), "pt|pts|pint|pints"),
        (_us_measure("qt", "quart"), "qt|qts|quart|quarts"),
        (_us_measure("gal", "gallon"), "gal|gals|gallon|gallons"),
    ),
    "percent": _table(
        (Unit("%", "percent"), "%|percent|per cent|pct|pc"),
        (Unit("g/kg", "gram/kilogram"), _PER_KILO),
        (Unit("ppm", "ppm", small=True), "ppm|mg/kg|mg per kg|mg per kilo"),
    ),
    "count": _table(
        (Unit("", "", small=True), "x|pc|pcs|piece|pieces|people|guests|portion|portions|serving|servings"),
    ),
}
LONGEST_UNIT: Final = 3  # words in the longest phrase above

DEGREE_WORDS: Final = frozenset({"°", "deg", "degs", "degree", "degrees"})

NUMBER_WORDS: Final[dict[str, int]] = {
    word: number
    for number, word in enumerate(
        (
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
        )
    )
}
FRACTION_WORDS: Final[dict[str, float]] = {
    "half": 1 / 2,
    "halves": 1 / 2,
    "third": 1 / 3,
    "thirds": 1 / 3,
    "quarter": 1 / 4,
    "quarters": 1 / 4,
    "eighth": 1 / 8,
    "eighths": 1 / 8,
    "sixteenth": 1 / 16,
    "sixteenths": 1 / 16,
}
HEDGES: Final = frozenset({"about", "around", "approx", "approximately", "roughly", "circa", "ca", "~"})
VAGUE: Final = frozenset(
    {"couple", "few", "several", "some", "pinch", "dash", "handful", "splash", "knob", "stick", "bit", "lot"},
)
RANGE_WORDS: Final = frozenset({"to", "or", "between", "until"})

# A slip of the pen or of the key: the unit that was probably meant, the likeliest first.
SLIPS: Final[dict[str, tuple[str, ...]]] = {
    "m": ("cm", "mm"),
    "cm": ("mm", "in"),
    "mm": ("cm",),
    "in": ("cm", "mm"),
    "ft": ("in",),
    "°C": ("°F",),
    "°F": ("°C",),
    "K": ("°C",),
    "kg": ("g", "lb"),
    "g": ("kg", "mg"),
    "mg": ("g",),
    "lb": ("oz",),
    "oz": ("lb",),
    "L": ("ml",),
    "ml": ("L",),
    "h": ("min",),
    "min": ("h", "s"),
    "s": ("min",),
    "days": ("h",),
    "weeks": ("days",),
    "%": ("g/kg",),
    "g/kg": ("%",),
    "ppm": ("g/kg",),
}


def unit_by_label(kind: Kind, label: str) -> Unit | None:
    """Find a unit by the label we write it with.

    Parameters
    ----------
    kind : Kind
        What is measured.
    label : str
        For example ``"oz"``.

    Returns
    -------
    Unit or None
        None when the kind has no such unit.
    """
    return next((unit for unit in UNITS[kind].values() if unit.label == label), None)


def kind_of_word(word: str) -> Kind | None:
    """Tell which kind a unit word belongs to, when it is only one.

    Parameters
    ----------
    word : str
        A word in small letters.

    Returns
    -------
    Kind or None
        None when no kind or several have that word.
    """
    homes = [kind for kind, table in UNITS.items() if word in table and kind != "temperature_difference"]
    return homes[0] if len(homes) == 1 else None
