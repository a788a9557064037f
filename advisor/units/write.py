"""Floats in fixed units to a cook's words: own system first, the other in brackets, rounded as asked."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, Literal

from advisor.units.convert import convert

if TYPE_CHECKING:
    from advisor.units.words import Kind, System

Rounding = Literal["nearest", "up", "down"]

# A law made in whole °F is printed with its own pair of figures (54.4 °C, 130 °F), though 130 °F is 54.44.
# One decimal of °C is at most 4/90 = 0.044 °C from its whole °F, and a tenth of a °F is 0.056 °C: this lies
# between, so that every such limit is known again and 130.1 °F is not taken for one.
LAW_PAIR_TOLERANCE_C: Final = 0.05

_OPPOSITE: Final[dict[Rounding, Rounding]] = {"nearest": "nearest", "up": "down", "down": "up"}
# Conversion leaves noise of the order 1e-13; without this, 134.6 °F would be rounded up to 134.7.
_NOISE_STEPS: Final = 1e-6

# (below this many stored units, step in stored units, stored units in one, label)
_Band = tuple[float, float, float, str]
_METRIC: Final[dict[str, tuple[_Band, ...]]] = {
    "length": (
        (10.0, 0.1, 1.0, "mm"),
        (1000.0, 1.0, 1.0, "mm"),
        (100_000.0, 10.0, 1000.0, "m"),
        (math.inf, 1000.0, 1000.0, "m"),
    ),
    "mass": (
        (1.0, 0.01, 1.0, "g"),
        (100.0, 0.1, 1.0, "g"),
        (1000.0, 1.0, 1.0, "g"),
        (math.inf, 10.0, 1000.0, "kg"),
    ),
    "volume": (
        (1.0, 0.01, 1.0, "ml"),
        (10.0, 0.1, 1.0, "ml"),
        (1000.0, 1.0, 1.0, "ml"),
        (math.inf, 10.0, 1000.0, "L"),
    ),
    "percent": ((0.1, 0.001, 1.0, "%"), (10.0, 0.01, 1.0, "%"), (math.inf, 0.1, 1.0, "%")),
    "count": ((math.inf, 0.01, 1.0, ""),),
}
# (registry name, label, label of more than one, below this many of them, parts of one)
_Measure = tuple[str, str, str, float, int]
_US: Final[dict[str, tuple[_Measure, ...]]] = {
    "length": (("inch", "in", "in", 0.5, 16), ("inch", "in", "in", 1200.0, 8), ("foot", "ft", "ft", math.inf, 1)),
    "mass": (("ounce", "oz", "oz", 16.0, 4), ("ounce", "oz", "oz", math.inf, 2)),
    "volume": (
        ("teaspoon", "tsp", "tsp", 1.0, 8),
        ("teaspoon", "tsp", "tsp", 3.0, 4),
        ("tablespoon", "tbsp", "tbsp", 8.0, 2),
        ("cup", "cup", "cups", 4.0, 8),
        ("quart", "qt", "qt", 4.0, 8),
        ("gallon", "gal", "gal", math.inf, 8),
    ),
}
_US_STORED: Final = {"length": "millimeter", "mass": "gram", "volume": "milliliter"}
_OUNCES_IN_POUND: Final = 16
_WHOLE_OUNCE: Final = 1.0


def _steps(value: float, step: float, rounding: Rounding) -> int:
    """Count how many steps the value comes to."""
    count = value / step
    if rounding == "up":
        return math.ceil(count - _NOISE_STEPS)
    if rounding == "down":
        return math.floor(count + _NOISE_STEPS)
    return math.floor(count + 0.5 + _NOISE_STEPS)


def _decimal(value: float, step: float, rounding: Rounding) -> str:
    """Write a number to a step of 1, 0.1, 0.01 or 0.001, without idle zeros."""
    places = max(0, round(-math.log10(step)))
    text = f"{_steps(value, step, rounding) * step:.{places}f}"
    return text.rstrip("0").rstrip(".") if places else text


def _fraction(count: int, parts: int) -> str:
    """Write a count of parts as a mixed number: 10 eighths are "1 1/4"."""
    whole, rest = divmod(count, parts)
    if not rest:
        return str(whole)
    shared = math.gcd(rest, parts)
    broken = f"{rest // shared}/{parts // shared}"
    return f"{whole} {broken}" if whole else broken


def _metric(value: float, kind: Kind, rounding: Rounding) -> str:
    for below, step, one, label in _METRIC[kind]:
        # 999.7 g to the nearest gram is 1000 g, which the next band writes as 1 kg.
        if _steps(value, step, rounding) * step < below * (1.0 - 1e-12):
            return f"{_decimal(value / one, step / one, rounding)} {label}".rstrip()
    raise AssertionError(kind)  # the last band has no end


def _us(value: float, kind: Kind, rounding: Rounding) -> str:
    """Write in US measures; empty when the amount is too small for them."""
    for unit, label, plural, below, parts in _US[kind]:
        amount = convert(value, _US_STORED[kind], unit)
        count = _steps(amount, 1.0 / parts, rounding)
        if count >= below * parts:
            continue
        if kind == "mass" and amount < _WHOLE_OUNCE:
            break
        if count == 0 and value > 0:
            break
        if kind == "mass" and count >= _OUNCES_IN_POUND * parts:
            pounds, rest = divmod(count, _OUNCES_IN_POUND * parts)
            return f"{pounds} lb {_fraction(rest, parts)} oz" if rest else f"{pounds} lb"
        return f"{_fraction(count, parts)} {plural if count > parts else label}"
    # Less than the smallest fraction in use: hundredths say more than "0 oz".
    unit, label, *_ = _US[kind][0]
    small = _decimal(convert(value, _US_STORED[kind], unit), 0.01, rounding)
    return "" if small == "0" and value > 0 else f"{small} {label}"


def _tenths(value: float, rounding: Rounding) -> str:
    text = _decimal(value, 0.1, rounding)
    return "0" if text == "-0" else text


def _within(printed_c: float, value: float, rounding: Rounding) -> bool:
    """Tell whether a printed temperature is on the safe side, or off it by no more than a law pair."""
    above = printed_c >= value - LAW_PAIR_TOLERANCE_C - 1e-9
    below = printed_c <= value + LAW_PAIR_TOLERANCE_C + 1e-9
    return {"up": above, "down": below, "nearest": above and below}[rounding]


def _temperature(value: float, rounding: Rounding, *, fahrenheit_first: bool) -> tuple[str, str]:
    """Write a temperature in °C and in °F.

    A value within `LAW_PAIR_TOLERANCE_C` of a whole °F is a limit made in °F: it gets that figure and its
    nearest tenth of a °C, if both lie on the safe side to within the same tolerance. Any other is rounded to
    tenths in the asked direction; a °F in brackets drops its decimal when that does not cross the value.
    """
    fahrenheit = convert(value, "degC", "degF")
    whole = math.floor(fahrenheit + 0.5)
    exact = convert(float(whole), "degF", "degC")
    paired = round(exact, 1)
    if abs(exact - value) <= LAW_PAIR_TOLERANCE_C and _within(paired, value, rounding):
        return f"{_tenths(paired, 'nearest')} °C", f"{whole} °F"
    crosses = {"up": whole < fahrenheit - 1e-6, "down": whole > fahrenheit + 1e-6, "nearest": False}[rounding]
    short = not fahrenheit_first and not crosses
    in_f = str(whole) if short else _tenths(fahrenheit, rounding)
    return f"{_tenths(value, rounding)} °C", f"{in_f} °F"


def _require_finite(value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"cannot write {value} as a quantity")


def write_time(minutes: float, rounding: Rounding = "nearest") -> str:
    """Write how long something takes.

    Parameters
    ----------
    minutes : float
        Length [min]; negative for "too late by".
    rounding : {"nearest", "up", "down"}, optional
        Down for the longest allowed, up for the shortest.

    Returns
    -------
    str
        To the second below ten minutes, else to the minute; in days from 48 hours.

    Raises
    ------
    ValueError
        When the length is not finite.

    Examples
    --------
    >>> write_time(140), write_time(0.5), write_time(3120)
    ('2 h 20 min', '30 s', '2 days 4 h')
    """
    _require_finite(minutes)
    if minutes < 0:
        text = write_time(-minutes, _OPPOSITE[rounding])
        return text if text == "0 min" else f"-{text}"
    seconds = _steps(minutes * 60.0, 1.0, rounding)
    if seconds >= 600:  # noqa: PLR2004 - ten minutes
        seconds = 60 * _steps(minutes, 1.0, rounding)
    total, odd_seconds = divmod(seconds, 60)
    hours, odd_minutes = divmod(total, 60)
    days, odd_hours = divmod(hours, 24) if hours >= 48 else (0, hours)  # noqa: PLR2004 - two days
    pieces = [(days, "days"), (odd_hours, "h"), (odd_minutes, "min"), (odd_seconds, "s")]
    return " ".join(f"{number} {label}" for number, label in pieces if number) or "0 min"


def _signed(value: float, kind: Kind, system: System, rounding: Rounding) -> str:
    """Write length, mass, volume, share or count in one system; a lack is written with a minus."""
    way = _OPPOSITE[rounding] if value < 0 else rounding
    size = abs(value)
    text = _us(size, kind, way) if system == "us" else _metric(size, kind, way)
    return f"-{text}" if value < 0 and text and not text.startswith("0 ") and text != "0" else text


def write_quantity(
    value: float,
    kind: Kind,
    system: System,
    *,
    rounding: Rounding = "nearest",
    both: bool = True,
) -> str:
    """Write a quantity for a cook: own system first, the other in brackets.

    Parameters
    ----------
    value : float
        In the fixed unit of `kind`.
    kind : Kind
        What is measured.
    system : {"metric", "us"}
        The cook's own way of measuring.
    rounding : {"nearest", "up", "down"}, optional
        "up" for a least figure, so that what is printed never reads lower than it; "down" for a greatest one.
    both : bool, optional
        False leaves the bracket out.

    Returns
    -------
    str
        For example ``"57.2 °C (135 °F)"``.

    Raises
    ------
    ValueError
        When the value is not finite.

    Notes
    -----
    Rounding holds in both systems, except that a limit made in whole °F keeps its own pair of figures, which
    may stand up to `LAW_PAIR_TOLERANCE_C` on the other side of the value.

    Examples
    --------
    >>> write_quantity(57.2, "temperature", "metric", rounding="up")
    '57.2 °C (135 °F)'
    >>> write_quantity(680, "mass", "us")
    '1 lb 8 oz (680 g)'
    """
    _require_finite(value)
    if kind == "time":
        return write_time(value, rounding)
    if kind in ("percent", "count"):
        return _signed(value, kind, "metric", rounding)
    if kind == "temperature":
        metric, us = _temperature(value, rounding, fahrenheit_first=system == "us")
    elif kind == "temperature_difference":
        metric = f"{_tenths(value, rounding)} °C"
        us = f"{_tenths(convert(value, 'delta_degC', 'delta_degF'), rounding)} °F"
    else:
        metric, us = _signed(value, kind, "metric", rounding), _signed(value, kind, "us", rounding)
    # Too little for a US measure: the metric figure alone.
    first, second = (us, metric) if system == "us" and us else (metric, us if system == "metric" else "")
    return f"{first} ({second})" if both and second else first


def write_range(low: float, high: float, kind: Kind, system: System, *, both: bool = True) -> str:
    """Write the two ends of a range for a cook, as one figure when they read alike.

    Parameters
    ----------
    low, high : float
        Ends, in the fixed unit of `kind`.
    kind : Kind
        What is measured.
    system : {"metric", "us"}
        The cook's own way of measuring.
    both : bool, optional
        False leaves the bracket out.

    Returns
    -------
    str
        For example ``"53.3 to 54.4 °C (128 to 130 °F)"``.

    Raises
    ------
    ValueError
        When an end is not finite or the range runs backwards.

    Examples
    --------
    >>> write_range(70, 95, "time", "metric")
    '1 h 10 min to 1 h 35 min'
    >>> write_range(0, 480, "time", "metric")
    'up to 8 h'
    >>> write_range(52.0, 53.0, "temperature", "us")
    '125.6 to 127.4 °F (52 to 53 °C)'
    """
    if low > high:
        raise ValueError(f"the range from {low} to {high} runs backwards")
    first = _joined(low, high, kind, system)
    if kind in ("time", "percent", "count") or not both:
        return first
    second = _joined(low, high, kind, "us" if system == "metric" else "metric")
    return f"{first} ({second})"


def _joined(low: float, high: float, kind: Kind, system: System) -> str:
    """Both ends in one system, with the unit once where it is the same."""
    less = write_quantity(low, kind, system, both=False)
    more = write_quantity(high, kind, system, both=False)
    if less == more:
        return more
    if kind == "time" and less == "0 min":
        # The low end says only that it may not be so at all.
        return f"up to {more}"
    number, _, unit = less.rpartition(" ")
    if kind != "time" and number and more.endswith(f" {unit}"):
        return f"{number} to {more}"
    return f"{less} to {more}"
