"""Laws that hold for every value and every text, tried on many."""

import itertools

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from advisor.errors import InputError
from advisor.units import LAW_PAIR_TOLERANCE_C, read_quantity, write_quantity

KINDS = ["temperature", "temperature_difference", "time", "length", "mass", "volume", "percent", "count"]
INCH, OUNCE, TEASPOON = 25.4, 28.349523125, 4.92892159375
NUMBERS = "1 2 12 0 1/2 1/0 ½ 1¼ 1,500 3,5 .5 5:30 1:30:00 99999999999999999999 ² ٣"
UNIT_WORDS = "in \" ' ft lb oz g kg g/kg h min s d m cm mm C F °C ° K % cup fl oz tsp pinch x ppm"
OTHER_WORDS = "and a an half quarter three of about ~ - – + & / ( ) , . : ; to deg degrees minus overnight"
SPACES = [" ", "  ", "\u00a0", "\t", "\n", "\u200b", "\x00", "´", "e\u0301", "\U0001f969"]
PIECES = [*NUMBERS.split(), *UNIT_WORDS.split(), *OTHER_WORDS.split(), *SPACES]


def read_or_refuse(text, kind, **options):
    try:
        reading = read_quantity(text, kind, **options)
    except InputError as caught:
        error = caught
    else:
        assert -1e9 <= reading.value <= 1e9
        return
    assert error.what
    assert error.hint
    assert not any(ord(character) < 32 for character in str(error))


@given(st.text(), st.sampled_from(KINDS), st.sampled_from([{}, {"low": 1.0}, {"low": 1.0, "high": 9.0}]))
@example("9" * 200, "mass", {})
@example("1/" + "9" * 198, "mass", {})
@example("9" * 198 + "/1", "temperature", {"low": 1.0})
@example("\U0001f100", "mass", {})
@example("ﷺ" * 200, "mass", {})
def test_any_text_is_read_or_refused(text, kind, options):
    read_or_refuse(text, kind, **options)


@given(
    st.lists(st.sampled_from(PIECES), max_size=9),
    st.sampled_from(["", " "]),
    st.sampled_from(KINDS),
    st.sampled_from([{}, {"high": 9.0}, {"low": 1.0, "high": 9.0}]),
)
def test_any_mixture_of_known_pieces_is_read_or_refused(pieces, glue, kind, options):
    read_or_refuse(glue.join(pieces), kind, words={"overnight": 720.0}, **options)


@given(st.one_of(st.integers(), st.floats()), st.sampled_from(KINDS))
def test_any_number_is_read_or_refused(number, kind):
    read_or_refuse(number, kind)


def printed_values(text, kind):
    """Read the two figures of a printed text apart."""
    return [read_quantity(piece.rstrip(")"), kind).value for piece in text.split(" (")]


@given(st.floats(-60, 300), st.sampled_from(["metric", "us"]))
@example(54.48, "metric")
@example(54.5, "us")
@example(57.0, "us")
@example(62.72, "us")
def test_a_printed_temperature_stays_on_its_side_in_both_systems(value, system):
    slack = LAW_PAIR_TOLERANCE_C + 1e-6
    for printed in printed_values(write_quantity(value, "temperature", system, rounding="up"), "temperature"):
        assert value - slack <= printed <= value + 0.5
    for printed in printed_values(write_quantity(value, "temperature", system, rounding="down"), "temperature"):
        assert value - 0.5 <= printed <= value + slack
    own, other = printed_values(write_quantity(value, "temperature", system), "temperature")
    assert abs(own - value) <= slack
    # In brackets a °F is whole: half of one is 0.28 °C.
    assert abs(other - value) <= 0.28 + slack


@given(st.integers(-400, 3000), st.sampled_from(["metric", "us"]))
def test_no_pass_becomes_a_failure_by_reading_a_printed_limit(tenths, system):
    """A probe that reads exactly what was printed meets the limit, to within the tolerance of a law pair."""
    limit = tenths / 10
    for figure in printed_values(write_quantity(limit, "temperature", system, rounding="up"), "temperature"):
        assert figure + LAW_PAIR_TOLERANCE_C + 1e-6 >= limit


LIMITS = {"time": 1e4, "length": 2000.0, "mass": 50000.0, "volume": 20000.0, "percent": 100.0}
AMOUNTS = st.sampled_from(list(LIMITS)).flatmap(
    lambda kind: st.tuples(st.just(kind), st.floats(0, LIMITS[kind])),
)


@given(AMOUNTS, st.sampled_from(["metric", "us"]))
def test_printed_amounts_stay_on_their_side_in_both_systems(amount, system):
    kind, value = amount
    # The writer overlooks a millionth of a step; the largest step is a gallon's eighth, 473 ml.
    noise = 5e-4 if value > 1000 else 1e-4 if kind == "volume" else 3e-5
    for printed in printed_values(write_quantity(value, kind, system, rounding="up"), kind):
        assert printed >= value - noise
    for printed in printed_values(write_quantity(value, kind, system, rounding="down"), kind):
        assert printed <= value + noise


def resolution(kind, value, system):
    """Half the step that a value of this size is printed with, in the stored unit."""
    if kind == "time":
        return 0.5 if value >= 9.99 else 0.5 / 60
    if kind == "percent":
        return 0.05 if value >= 9.99 else 0.005 if value >= 0.0999 else 0.0005
    if system == "metric":
        fine = {"length": (10, 1000), "mass": (100, 1000), "volume": (10, 1000)}[kind]
        hundredths = kind != "length" and value < 0.99
        return 0.005 if hundredths else 0.05 if value < fine[0] * 0.99 else 0.5 if value < fine[1] * 0.99 else 5.0
    if kind == "length":
        return INCH / 32 if value < 0.46 * INCH else INCH / 16
    if kind == "mass":
        return 0.005 * OUNCE if value < 0.99 * OUNCE else OUNCE / 8 if value < 15.8 * OUNCE else OUNCE / 4
    # Teaspoons, tablespoons to half a cup, then eighths of a cup, a quart and a gallon.
    steps = [(0.9, 1 / 16), (2.8, 1 / 8), (23.0, 3 / 4), (188.0, 3.0), (752.0, 12.0), (1e9, 48.0)]
    return next(half for below, half in steps if value / TEASPOON < below) * TEASPOON


@given(AMOUNTS, st.sampled_from(["metric", "us"]))
@example(("volume", 59.2), "us")
@example(("mass", 999.7), "metric")
def test_round_trip(amount, system):
    kind, value = amount
    text = write_quantity(value, kind, system, both=False)
    again = read_quantity(text, kind).value
    assert abs(again - value) <= resolution(kind, value, system) * (1 + 1e-6) + 1e-6
    # What has been rounded once is printed the same for ever. What is too small for US measures is written in
    # metric ones; the nothing it may be read as is not.
    assert again == 0 or write_quantity(again, kind, system, both=False) == text


@given(st.floats(-60, 300), st.sampled_from(["metric", "us"]))
def test_round_trip_of_temperatures(value, system):
    text = write_quantity(value, "temperature", system, both=False)
    again = read_quantity(text, "temperature").value
    assert abs(again - value) <= LAW_PAIR_TOLERANCE_C + 1e-6
    assert write_quantity(again, "temperature", system, both=False) == text


@given(AMOUNTS, st.sampled_from(["metric", "us"]), st.sampled_from(["nearest", "up", "down"]))
def test_our_own_text_with_both_systems_can_be_typed_back(amount, system, rounding):
    kind, value = amount
    text = write_quantity(value, kind, system, rounding=rounding)
    assert read_quantity(text, kind).value == read_quantity(text.split(" (")[0], kind).value


@given(
    st.integers(0, 40),
    st.integers(1, 7),
    st.sampled_from(["{w} {n}/8 {u}", "{w}-{n}/8 {u}", "{w} and {n}/8 {u}", "{w}  {n} / 8{u}"]),
    st.sampled_from([("in", "length", INCH), ("oz", "mass", OUNCE), ("hours", "time", 60.0), ("cm", "length", 10.0)]),
)
def test_mixed_numbers(whole, eighths, form, unit):
    label, kind, size = unit
    text = form.format(w=whole, n=eighths, u=label)
    assert read_quantity(text, kind).value == pytest.approx((whole + eighths / 8) * size, rel=1e-12)


@given(st.integers(0, 99), st.integers(0, 59), st.sampled_from(["{h} h {m}", "{h}h{m:02d}", "{h}:{m:02d} h"]))
def test_hours_and_minutes(hours, minutes, form):
    assert read_quantity(form.format(h=hours, m=minutes), "time").value == 60 * hours + minutes


@given(st.decimals(0, 999, places=2), st.sampled_from(["{} cm", "{}cm"]))
def test_comma_and_point_read_alike(number, form):
    with_point = form.format(number)
    with_comma = with_point.replace(".", ",")
    assert read_quantity(with_comma, "length").value == read_quantity(with_point, "length").value


def test_capitals_and_spaces_never_matter():
    texts = {"mass": "2 lb 8 oz", "temperature": "57 °c", "time": "an hour and a half", "volume": "1 fl oz"}
    changes = [str.upper, str.title, lambda text: f"  {text} ", lambda text: text.replace(" ", "\u00a0")]
    for (kind, text), change in itertools.product(texts.items(), changes):
        assert read_quantity(change(text), kind).value == read_quantity(text, kind).value
