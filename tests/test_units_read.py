"""What a cook may write, and the number it comes to, worked by hand from the exact units."""

import pytest

from advisor.errors import AmbiguousUnitError, InputError
from advisor.units import Reading, read_quantity

INCH, POUND, OUNCE, CUP, TEASPOON = 25.4, 453.59237, 28.349523125, 236.5882365, 4.92892159375

LENGTHS = {
    "1 1/4 in": 1.25 * INCH,
    "1-1/4 in": 1.25 * INCH,
    "1–1/4 in": 1.25 * INCH,
    "1¼ in": 1.25 * INCH,
    "1 ¼ IN": 1.25 * INCH,
    "1 1⁄4 in": 1.25 * INCH,
    "1 and 1/4 inches": 1.25 * INCH,
    "inch and a half": 1.5 * INCH,
    "inch-and-a-half": 1.5 * INCH,
    "an inch and a quarter": 1.25 * INCH,
    "an inch and three quarters": 1.75 * INCH,
    "one and a half inches": 1.5 * INCH,
    "2 inches and a half": 2.5 * INCH,
    "half an inch": INCH / 2,
    "half inch": INCH / 2,
    "half-inch": INCH / 2,
    "one half inch": INCH / 2,
    "a quarter inch": INCH / 4,
    "a quarter of an inch": INCH / 4,
    "three quarters of an inch": 0.75 * INCH,
    "3/4 of an inch": 0.75 * INCH,
    "3/4in.": 0.75 * INCH,
    "5/4 in": 1.25 * INCH,
    "an inch": INCH,
    "2-inch": 2 * INCH,
    '1.5"': 1.5 * INCH,
    "1.5″": 1.5 * INCH,
    "1.5''": 1.5 * INCH,
    "1 1/2”": 1.5 * INCH,
    "1 ft 2 in": 14 * INCH,
    "1 ft 2": 14 * INCH,
    "1' 2\"": 14 * INCH,
    "1’2”": 14 * INCH,
    "3 cm": 30,
    "3\u00a0cm": 30,
    "3\u202fcm": 30,
    "3㎝": 30,
    "30mm": 30,
    "30 MM,": 30,
    "  30 mm . ": 30,
    "3,5 cm": 35,
    "3.5 cm": 35,
    ",5 cm": 5,
    ".5 cm": 5,
    "0,500 cm": 5,
    "1,500 mm": 1500,
    "1,234.5 mm": 1234.5,
    "1.234,5 mm": 1234.5,
    "1,234,567 mm": 1234567,
    "٣ cm": 30,
    "٣٫٥ cm": 35,
    "３０ mm": 30,
    "३ cm": 30,
    "0.04 m": 40,
    "about 3 cm": 30,
    "~3 cm": 30,
    "+3 cm": 30,
    "32 mm (1 1/4 in)": 32,
    "1 1/4 in (32 mm)": 1.25 * INCH,
    "0 mm": 0,
}
MASSES = {
    "2 lb 8": 2.5 * POUND,
    "2 lb 8 oz": 2.5 * POUND,
    "2lb8oz": 2.5 * POUND,
    "2lb8": 2.5 * POUND,
    "2 lbs., 8 ozs.": 2.5 * POUND,
    "2lb,8oz": 2.5 * POUND,
    "2 lb and 8 oz": 2.5 * POUND,
    "2 lb & 8 oz": 2.5 * POUND,
    "2 lb + 8 oz": 2.5 * POUND,
    "2.5 lb": 2.5 * POUND,
    "2 1/2 pounds": 2.5 * POUND,
    "2½lb": 2.5 * POUND,
    "two and a half pounds": 2.5 * POUND,
    "2 pounds and a half": 2.5 * POUND,
    "2 lb 1/2 oz": 2 * POUND + OUNCE / 2,
    "half a pound": POUND / 2,
    "a third of a pound": POUND / 3,
    "1,1 kg": 1100,
    "1.1kg": 1100,
    "0.5 kg": 500,
    "half a kilo": 500,
    "1 kg 200 g": 1200,
    "1,500 g": 1500,
    "1500 grams": 1500,
    "250 mg": 0.25,
    "12 oz": 12 * OUNCE,
}
TEMPERATURES = {
    "57C": 57,
    "57 °C": 57,
    "57 ° c": 57,
    "57ºC": 57,
    "57℃": 57,
    "57,5 C": 57.5,
    "57 degrees celsius": 57,
    "57 centigrade": 57,
    "135F": 515 / 9,
    "135 deg F": 515 / 9,
    "135 degrees Fahrenheit": 515 / 9,
    "-18 C": -18,
    "−18 °C": -18,
    "minus 18 C": -18,
    "-40 F": -40,
    "0 F": -160 / 9,
    "330.15 K": 57,
    "57 °C (135 °F)": 57,
    "135 °F (57.2 °C)": 515 / 9,
    "-273.15 C": -273.15,
}
TIMES = {
    "5 h 30": 330,
    "5h30": 330,
    "5h30m": 330,
    "5 hours, 30 minutes": 330,
    "5 hrs and 30 mins": 330,
    "5:30 h": 330,
    "5:30 hours": 330,
    "5:30 min": 5.5,
    "1:30:00": 90,
    "1:30:30 h": 90.5,
    "2 h": 120,
    "90 min": 90,
    "1,500 min": 1500,
    "1.5 hours": 90,
    "two hours": 120,
    "twelve hours": 720,
    "an hour and a half": 90,
    "a hour and a quarter": 75,
    "half an hour": 30,
    "half hour": 30,
    "three quarters of an hour": 45,
    "3 days": 4320,
    "2 days 4 h": 3120,
    "1 week": 10080,
    "45 s": 0.75,
    "45 sec": 0.75,
    "5 min 30": 5.5,
    "1 h 5 min 30 s": 65.5,
}
VOLUMES = {
    "250 ml": 250,
    "1 litre": 1000,
    "1.5 L": 1500,
    "2 dl": 200,
    "2 cl": 20,
    "1 tsp": TEASPOON,
    "2 tbsp": 6 * TEASPOON,
    "1 cup": CUP,
    "1 c": CUP,
    "a cup and a half": 1.5 * CUP,
    "2 cups 1 tbsp": 2 * CUP + 3 * TEASPOON,
    "1 fl oz": CUP / 8,
    "8 fl. oz.": CUP,
    "4 fluid ounces": CUP / 2,
    "1 pint": 2 * CUP,
    "1 quart": 4 * CUP,
    "a gallon": 16 * CUP,
}
SHARES = {
    "1.2 %": 1.2,
    "1,2%": 1.2,
    "1.2 percent": 1.2,
    "1.2 per cent": 1.2,
    "1.2": 1.2,
    "half a percent": 0.5,
    "15 g/kg": 1.5,
    "15 g / kg": 1.5,
    "15 g per kg": 1.5,
    "150 ppm": 0.015,
    "150 mg/kg": 0.015,
    "1,500 ppm": 0.15,
}
COUNTS = {"4": 4, "four": 4, "4 people": 4, "1,200": 1200, "12 pcs": 12, "zero": 0}
DIFFERENCES = {"2 C": 2, "9 °F": 5, "3 K": 3, "-2 °C": -2, "2 degrees C": 2}

ALL = [
    (kind, text, value)
    for kind, table in {
        "length": LENGTHS,
        "mass": MASSES,
        "temperature": TEMPERATURES,
        "time": TIMES,
        "volume": VOLUMES,
        "percent": SHARES,
        "count": COUNTS,
        "temperature_difference": DIFFERENCES,
    }.items()
    for text, value in table.items()
]


@pytest.mark.parametrize(("kind", "text", "value"), ALL)
def test_text_is_read(kind, text, value):
    reading = read_quantity(text, kind)
    assert reading.value == pytest.approx(value, rel=1e-12, abs=1e-9)
    assert reading.kind == kind
    assert reading.as_written == text.strip()


@pytest.mark.parametrize(
    ("text", "kind", "unit", "system", "note"),
    [
        ("1 1/4 inches", "length", "in", "us", ""),
        ("2 lb 8", "mass", "lb oz", "us", ""),
        ("1.1 kilo", "mass", "kg", "metric", ""),
        ("135F", "temperature", "°F", "us", ""),
        ("57 celsius", "temperature", "°C", "metric", ""),
        ("5h30", "time", "h min", "metric", ""),
        ("1 cup", "volume", "cups", "us", "US measure"),
        ("about 2 cups 1 tbsp", "volume", "cups tbsp", "us", "US measure, about"),
        ("1.2", "percent", "%", "metric", ""),
        ("15 g/kg", "percent", "g/kg", "metric", ""),
        ("4", "count", "", "metric", ""),
        ("roughly 3 cm", "length", "cm", "metric", "about"),
    ],
)
def test_the_unit_as_understood_is_told(text, kind, unit, system, note):
    reading = read_quantity(text, kind)
    assert (reading.unit, reading.system, reading.note) == (unit, system, note)


def test_a_reading_cannot_be_changed():
    reading = read_quantity("3 cm", "length")
    assert reading == Reading(30.0, "length", "cm", "metric", "3 cm")
    with pytest.raises(AttributeError):
        reading.value = 3.0


@pytest.mark.parametrize("text", ["overnight", "Overnight", " OVERNIGHT ", "over  night", "cafe\u0301", "CAFÉ"])
def test_trade_words_come_from_the_caller(text):
    words = {"overnight": 720, "over night": 720, "Café": 720}
    reading = read_quantity(text, "time", words=words)
    assert (reading.value, reading.unit) == (720.0, "min")
    assert "12 h" in reading.note


def test_a_trade_word_without_the_callers_table_is_unknown():
    with pytest.raises(InputError, match='"overnight"'):
        read_quantity("overnight", "time")


def test_a_trade_word_is_held_to_the_bounds():
    with pytest.raises(InputError, match=r"must be 1 h or less\. You typed \"overnight\""):
        read_quantity("overnight", "time", words={"overnight": 720}, high=60, name="time out of the fridge")


@pytest.mark.parametrize(("number", "kind"), [(3, "count"), (1.5, "percent"), (0, "count")])
def test_a_bare_number_from_a_file_is_read_where_no_unit_is_needed(number, kind):
    assert read_quantity(number, kind).value == number


def test_minus_nothing_is_nothing():
    assert str(read_quantity("-0 °C", "temperature").value) == "0.0"


BARE_TEMPERATURES = [
    ("57", "57 °C (134.6 °F)"),
    ("57 degrees", "57 °C (134.6 °F)"),
    ("57°", "57 °C (134.6 °F)"),
    ("20", "20 °C (68 °F)"),
    ("80", "80 °C (176 °F)"),
    ("80.5", "80.5 °F (26.9 °C)"),
    ("135", "135 °F (57.2 °C)"),
    ("4", "4 °C (39.2 °F)"),
    ("-18", "-18 °C (-0.4 °F)"),
    # Nothing is -300 °C, so it can only be °F; it is still asked, never assumed.
    ("-300", "-300 °F (-184.4 °C)"),
    (135, "135 °F (57.2 °C)"),
    (57.0, "57 °C (134.6 °F)"),
]


@pytest.mark.parametrize(("text", "guess"), BARE_TEMPERATURES)
def test_a_bare_temperature_is_asked_about_with_a_guess(text, guess):
    with pytest.raises(AmbiguousUnitError) as caught:
        read_quantity(text, "temperature", name="bath")
    assert caught.value.guess == guess
    assert guess in caught.value.hint
    # The guess can be handed straight back when the cook says yes.
    assert read_quantity(caught.value.guess, "temperature").as_written == guess


@pytest.mark.parametrize(
    ("text", "low", "high", "guess"),
    [("60", 0, 20, "60 °F (15.6 °C)"), ("90", 50, 100, "90 °C (194 °F)")],
)
def test_the_guess_is_one_that_fits_the_bounds(text, low, high, guess):
    with pytest.raises(AmbiguousUnitError) as caught:
        read_quantity(text, "temperature", low=low, high=high)
    assert caught.value.guess == guess
