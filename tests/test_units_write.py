"""What a cook reads. The expected texts were written down before the code that makes them."""

import pytest

from advisor.units import write_quantity, write_span

NEAREST = [
    (57.0, "temperature", "metric", "57 °C (135 °F)"),
    (57.2, "temperature", "metric", "57.2 °C (135 °F)"),
    (515 / 9, "temperature", "us", "135 °F (57.2 °C)"),
    (57.0, "temperature", "us", "134.6 °F (57 °C)"),
    (-18.0, "temperature", "metric", "-18 °C (0 °F)"),
    (-160 / 9, "temperature", "us", "0 °F (-17.8 °C)"),
    (-0.01, "temperature", "metric", "0 °C (32 °F)"),
    (3.0, "temperature_difference", "metric", "3 °C (5.4 °F)"),
    (-5.0, "temperature_difference", "us", "-9 °F (-5 °C)"),
    (-0.01, "temperature_difference", "metric", "0 °C (0 °F)"),
    (680.0, "mass", "metric", "680 g (1 lb 8 oz)"),
    (680.0, "mass", "us", "1 lb 8 oz (680 g)"),
    (999.7, "mass", "metric", "1 kg (2 lb 3 1/2 oz)"),
    (1133.98, "mass", "us", "2 lb 8 oz (1.13 kg)"),
    (907.18474, "mass", "us", "2 lb (907 g)"),
    (450.0, "mass", "us", "15 3/4 oz (450 g)"),
    (453.0, "mass", "us", "1 lb (453 g)"),
    (28.0, "mass", "metric", "28 g (0.99 oz)"),
    (28.5, "mass", "metric", "28.5 g (1 oz)"),
    (2.5, "mass", "metric", "2.5 g (0.09 oz)"),
    (0.25, "mass", "us", "0.01 oz (0.25 g)"),
    (0.1, "mass", "us", "0.1 g"),
    (0.1, "mass", "metric", "0.1 g"),
    (0.0, "mass", "metric", "0 g (0 oz)"),
    (-5.0, "mass", "metric", "-5 g (-0.18 oz)"),
    (31.75, "length", "metric", "32 mm (1 1/4 in)"),
    (31.75, "length", "us", "1 1/4 in (32 mm)"),
    (6.35, "length", "us", "1/4 in (6.4 mm)"),
    (4.8, "length", "metric", "4.8 mm (3/16 in)"),
    (1219.2, "length", "metric", "1.22 m (48 in)"),
    (0.5, "length", "us", "0.02 in (0.5 mm)"),
    (250.0, "volume", "metric", "250 ml (1 cup)"),
    (250.0, "volume", "us", "1 cup (250 ml)"),
    (5.0, "volume", "metric", "5 ml (1 tsp)"),
    (15.0, "volume", "metric", "15 ml (1 tbsp)"),
    (355.0, "volume", "us", "1 1/2 cups (355 ml)"),
    (1000.0, "volume", "metric", "1 L (1 qt)"),
    (3785.4, "volume", "us", "1 gal (3.79 L)"),
    (1.2, "percent", "metric", "1.2 %"),
    (1.25, "percent", "us", "1.25 %"),
    (0.015, "percent", "metric", "0.015 %"),
    (12.34, "percent", "metric", "12.3 %"),
    (12.0, "count", "metric", "12"),
    (-3.0, "count", "metric", "-3"),
    (140.0, "time", "metric", "2 h 20 min"),
    (45.0, "time", "us", "45 min"),
    (0.5, "time", "metric", "30 s"),
    (5.5, "time", "metric", "5 min 30 s"),
    (59.7, "time", "metric", "1 h"),
    (1440.0, "time", "metric", "24 h"),
    (3120.0, "time", "metric", "2 days 4 h"),
    (2880.0, "time", "metric", "2 days"),
    (3140.0, "time", "metric", "2 days 4 h 20 min"),
    (0.0, "time", "metric", "0 min"),
    (-20.0, "time", "metric", "-20 min"),
    (-0.001, "time", "metric", "0 min"),
]


@pytest.mark.parametrize(("value", "kind", "system", "text"), NEAREST)
def test_written_to_the_nearest(value, kind, system, text):
    assert write_quantity(value, kind, system) == text
    assert write_quantity(value, kind, system, both=False) == text.split(" (")[0]


DIRECTED = [
    # Least figures never read lower than the limit ...
    (57.2, "temperature", "metric", "up", "57.2 °C (135 °F)"),
    (57.0, "temperature", "metric", "up", "57 °C (135 °F)"),
    (57.0, "temperature", "us", "up", "134.6 °F (57 °C)"),
    (63.0, "temperature", "metric", "up", "63 °C (145.4 °F)"),
    (74.0, "temperature", "metric", "up", "74 °C (165.2 °F)"),
    (57.01, "temperature", "metric", "up", "57.1 °C (135 °F)"),
    (54.5, "temperature", "metric", "up", "54.5 °C (130.1 °F)"),
    (54.48, "temperature", "metric", "up", "54.5 °C (130.1 °F)"),
    # ... except that a limit made in whole °F keeps its pair.
    (54.44, "temperature", "metric", "up", "54.4 °C (130 °F)"),
    (490 / 9, "temperature", "us", "up", "130 °F (54.4 °C)"),
    (62.8, "temperature", "metric", "up", "62.8 °C (145 °F)"),
    (5.0, "temperature", "metric", "down", "5 °C (41 °F)"),
    (4.0, "temperature", "metric", "down", "4 °C (39 °F)"),
    (40 / 9, "temperature", "us", "down", "40 °F (4.4 °C)"),
    (21.0, "temperature", "metric", "down", "21 °C (69.8 °F)"),
    (57.09, "temperature", "metric", "down", "57 °C (134.7 °F)"),
    (61.2, "time", "metric", "up", "1 h 2 min"),
    (61.8, "time", "metric", "down", "1 h 1 min"),
    (0.01, "time", "metric", "up", "1 s"),
    (9.999, "time", "metric", "up", "10 min"),
    (9.999, "time", "metric", "down", "9 min 59 s"),
    (10.001, "time", "metric", "up", "11 min"),
    (-61.2, "time", "metric", "up", "-1 h 1 min"),
    (31.75, "length", "metric", "down", "31 mm (1 1/4 in)"),
    (31.8, "length", "us", "up", "1 3/8 in (32 mm)"),
    (680.0, "mass", "metric", "down", "680 g (1 lb 7 1/2 oz)"),
    (250.0, "volume", "metric", "up", "250 ml (1 1/8 cups)"),
    (1.234, "percent", "metric", "up", "1.24 %"),
    (-5.0, "mass", "us", "up", "-0.17 oz (-5 g)"),
]


@pytest.mark.parametrize(("value", "kind", "system", "rounding", "text"), DIRECTED)
def test_written_toward_safety(value, kind, system, rounding, text):
    assert write_quantity(value, kind, system, rounding=rounding) == text


@pytest.mark.parametrize("fahrenheit", range(-40, 451))
@pytest.mark.parametrize("rounding", ["nearest", "up", "down"])
def test_a_limit_made_in_fahrenheit_keeps_its_pair(fahrenheit, rounding):
    celsius = (fahrenheit - 32) * 5 / 9
    tenth = f"{round(celsius, 1):g}".replace("-0 ", "0 ")
    expected = f"{tenth} °C ({fahrenheit} °F)"
    assert write_quantity(celsius, "temperature", "metric", rounding=rounding) == expected
    # The same limit kept to two decimals or to one, as tables print it.
    for digits in (2, 1):
        again = write_quantity(round(celsius, digits), "temperature", "us", rounding=rounding)
        assert again == f"{fahrenheit} °F ({tenth} °C)"


@pytest.mark.parametrize("celsius", range(-40, 251))
@pytest.mark.parametrize("rounding", ["nearest", "up", "down"])
def test_a_limit_made_in_whole_celsius_stays_whole(celsius, rounding):
    assert write_quantity(float(celsius), "temperature", "metric", rounding=rounding).startswith(f"{celsius} °C (")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
@pytest.mark.parametrize("kind", ["temperature", "time", "mass", "count"])
def test_what_is_not_finite_cannot_be_written(value, kind):
    with pytest.raises(ValueError, match="cannot write"):
        write_quantity(value, kind, "metric")


def test_a_span_is_written_like_a_time():
    assert write_span(140) == "2 h 20 min"
    assert write_span(61.2, rounding="up") == "1 h 2 min"
    with pytest.raises(ValueError, match="cannot write"):
        write_span(float("nan"))
