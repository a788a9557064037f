"""What cannot be used, and what we say about it."""

import pytest

from advisor.errors import AmbiguousUnitError, InputError
from advisor.units import read_quantity


def refusal(text, kind, **options):
    with pytest.raises(InputError) as caught:
        read_quantity(text, kind, **options)
    assert not isinstance(caught.value, AmbiguousUnitError)
    return caught.value


@pytest.mark.parametrize("text", ["", " ", "\n", "\u00a0"])
def test_empty_text_asks_for_the_answer(text):
    error = refusal(text, "length", name="thickness", where="plan.yaml, line 3")
    assert str(error) == "plan.yaml, line 3: Enter the thickness, for example 40 mm or 1 1/2 in."


def test_the_example_lies_within_the_bounds():
    error = refusal("", "temperature", low=0, high=10, name="fridge temperature")
    assert str(error) == "Enter the fridge temperature, for example 5 °C or 41 °F."


OUT_OF_RANGE = [
    ("4 m", "length", 3, 300, "between 3 mm (1/8 in) and 300 mm (11 3/4 in)", "Did you mean 4 cm?"),
    ("400 cm", "length", 3, 500, "between 3 mm (1/8 in) and 500 mm (19 5/8 in)", "Did you mean 400 mm?"),
    ("20 in", "length", 3, 300, "between 1/8 in (3 mm) and 11 3/4 in (300 mm)", "Did you mean 20 cm?"),
    ("1 mm", "length", 3, 300, "between 3 mm (1/8 in) and 300 mm (11 3/4 in)", "Did you mean 1 cm?"),
    ("135 C", "temperature", 30, 100, "between 30 °C (86 °F) and 100 °C (212 °F)", "Did you mean 135 °F?"),
    ("57 F", "temperature", 30, 100, "between 86 °F (30 °C) and 212 °F (100 °C)", "Did you mean 57 °C?"),
    ("500 kg", "mass", 50, 20000, "between 50 g (2 oz) and 20 kg (44 lb 1 oz)", "Did you mean 500 g?"),
    ("1,500 g", "mass", 1, 10, "between 1 g", "Did you mean 1.5 g?"),
    ("30 h", "time", None, 60, "must be 1 h or less", "Did you mean 30 min?"),
    ("90 s", "time", 30, None, "must be 30 min or more", "Did you mean 90 min?"),
    ("15 %", "percent", 0, 5, "between 0 % and 5 %", "Did you mean 15 g/kg?"),
    ("15", "percent", 0, 5, "between 0 % and 5 %", "Did you mean 15 g/kg?"),
    ("500 cm", "length", 3, 300, "between", "For example 40 mm or 1 1/2 in."),
    ("2 lb 8 oz", "mass", None, 100, "must be 3 1/2 oz (100 g) or less", "For example 100 g or 3 1/2 oz."),
    (12, "count", 1, 10, "between 1 and 10", "For example 4."),
]


@pytest.mark.parametrize(("text", "kind", "low", "high", "bounds", "hint"), OUT_OF_RANGE)
def test_out_of_range_gives_bounds_text_and_what_was_meant(text, kind, low, high, bounds, hint):
    error = refusal(text, kind, low=low, high=high, name="answer")
    assert error.what.startswith("Answer must be ")
    assert bounds in error.what
    assert f'You typed "{text}".' in error.what
    assert error.hint == hint


def test_a_bare_temperature_that_fits_neither_way_is_out_of_range():
    error = refusal("900", "temperature", low=30, high=100, name="bath")
    assert 'Bath must be between 30 °C (86 °F) and 100 °C (212 °F). You typed "900".' in str(error)


@pytest.mark.parametrize(("low", "high"), [(54.444, 100.0), (0.0, 4.444)])
def test_a_bound_we_print_is_accepted_when_typed_back(low, high):
    message = refusal("700 C", "temperature", low=low, high=high).what
    printed = message.split("between ")[1].split(". You typed")[0]
    for bound in printed.split(" and "):
        read_quantity(bound, "temperature", low=low, high=high)


@pytest.mark.parametrize(
    ("kind", "typed", "hint"),
    [
        ("length", "30", "30 mm or 30 in"),
        ("mass", "680", "680 g or 680 kg"),
        ("mass", 2.5, "2.5 g or 2.5 kg"),
        ("time", "90", "90 min or 90 h"),
        ("volume", "half", "0.5 ml or 0.5 L"),
        ("temperature_difference", "2 degrees", "2 °C or 2 °F"),
    ],
)
def test_a_missing_unit_is_asked_for_with_two_examples(kind, typed, hint):
    error = refusal(typed, kind)
    assert "The unit is missing." in error.what
    assert hint in error.hint


def test_the_units_offered_fit_the_bounds():
    assert "2 in or 2 cm" in refusal("2", "length", low=3, high=300).hint


WRONG = [
    ("length", "a couple of inches", '"couple" is no fixed amount'),
    ("mass", "pinch", '"pinch" is no fixed amount'),
    ("volume", "1 pinch", '"pinch" is no fixed amount'),
    ("mass", "a few lb", '"few" is no fixed amount'),
    ("mass", "2 cups", '"cups" measures a volume, not a weight'),
    ("volume", "3 oz", '"oz" measures a weight, not a volume'),
    ("length", "3 kg", '"kg" measures a weight, not a length'),
    ("length", "cm", 'no number before "cm"'),
    ("temperature", "C", 'no number before "c"'),
    ("length", "3 blorg", '"blorg"'),
    ("length", "2-3 cm", "more than one number"),
    ("length", "2 – 3 cm", "more than one number"),
    ("length", "2 cm-3 cm", "more than one number"),
    ("length", "2 to 3 cm", "more than one number"),
    ("length", "2 or 3 cm", "more than one number"),
    ("length", "2 3 cm", "more than one number"),
    ("length", "1 5/4 in", "more than one number"),
    ("length", "1.5 1/2 in", "more than one number"),
    ("length", "½½ in", "more than one number"),
    ("temperature", "40 C 3 F", "more than one number"),
    ("percent", "1 % 2 %", "more than one number"),
    ("time", "2h-3h", "more than one number"),
    ("length", "1/0 in", "divides by nothing"),
    ("length", "-3 cm", "cannot be less than nothing"),
    ("mass", "minus 3 g", "cannot be less than nothing"),
    ("time", "-5 min", "cannot be less than nothing"),
    ("volume", "-1 ml", "cannot be less than nothing"),
    ("percent", "-1 %", "cannot be less than nothing"),
    ("count", "-1", "cannot be less than nothing"),
    ("count", "2.5", "must be a whole number"),
    ("count", "one and a half", "must be a whole number"),
    ("temperature", "-274 C", "colder than -273.15 °C"),
    ("temperature", "-460 F", "colder than -273.15 °C"),
    ("temperature", "-500", "colder than -273.15 °C"),
    ("mass", "1 lb 200 g", "mixes two ways of measuring"),
    ("mass", "2 oz 3 lb", "larger unit comes first"),
    ("mass", "2 lb 3 lb", "larger unit comes first"),
    ("mass", "1.5 lb 3 oz", "Only the last number"),
    ("mass", "2 lb 16", "only 16 oz in 1 lb"),
    ("time", "1 h 90 min", "only 60 min in 1 h"),
    ("mass", "2 lb 1/2", "no unit after the last number"),
    ("mass", "1 kg 200", "no unit after the last number"),
    ("time", "2 days 4", "no unit after the last number"),
    ("time", "5:30", "could be hours and minutes"),
    ("time", "5:75 h", "could be hours and minutes"),
    ("time", "5:30 days", "could be hours and minutes"),
    ("time", "1:30:00 min", "could be hours and minutes"),
    ("length", "5:30 h", "looks like a time"),
    ("mass", "1,500 kg", "could be 1.5 kg or 1500 kg"),
    ("percent", "1,500", "could be 1.5 % or 1500 %"),
    ("mass", "1,5,3 g", "not a number we can read"),
    ("mass", "1.5.3 g", "not a number we can read"),
    ("mass", "1.5,3.2 g", "not a number we can read"),
    ("mass", "1,50.3 g", "not a number we can read"),
    ("mass", "1.5/2 g", "We cannot read"),
    ("mass", "2 lb.8 oz", "We cannot read"),
    ("mass", "1e5 g", '"e"'),
    ("mass", "nan g", '"nan"'),
    ("mass", "inf", '"inf"'),
    ("mass", "5² g", "not a digit we can read"),
    ("mass", "③ g", "not a digit we can read"),
    ("mass", "9" * 150 + " g", "too large"),
    ("mass", "9" * 190 + " lb", "too large"),
    ("mass", "5 g - ", "stray dash"),
    ("length", "--5 cm", "stray dash"),
    ("length", "about", "ends too soon"),
    ("length", "3 cm (5 in)", "figure in brackets is a different amount"),
    ("temperature", "57 °C (57 °F)", "figure in brackets is a different amount"),
    ("length", "3 cm (", "We cannot read"),
    ("mass", "1" * 201, "too long"),
    ("mass", "5\x07 g", "hidden character"),
    ("mass", "5\t g", "hidden character"),
    ("mass", "5\u200b g", "hidden character"),
    ("mass", "\u202e5 g", "hidden character"),
    ("mass", "5\x1b[31m g", "hidden character"),
    ("mass", "\ud800", "hidden character"),
]


@pytest.mark.parametrize(("kind", "text", "reason"), WRONG)
def test_the_reason_is_told(kind, text, reason):
    error = refusal(text, kind, name="answer", where="plan.yaml, line 3")
    assert reason in error.what
    assert error.hint
    assert error.where == "plan.yaml, line 3"
    assert not any(ord(character) < 32 for character in str(error))


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf"), 10**400, 1e10, True, None, [3]])
@pytest.mark.parametrize("kind", ["count", "temperature", "mass"])
def test_what_a_file_may_hold_instead_of_a_number(number, kind):
    assert "not a number we can count with" in refusal(number, kind).what


def test_a_trade_word_worth_nothing_finite_is_refused():
    assert "not a number" in refusal("ever", "time", words={"ever": float("inf")}).what


FORBIDDEN = ("please", "sorry", "oops", "invalid", "forbidden", "error")


@pytest.mark.parametrize(("kind", "text", "reason"), WRONG)
def test_messages_are_plain(kind, text, reason):
    assert reason
    message = str(refusal(text, kind)).lower()
    assert not [word for word in FORBIDDEN if word in message]
