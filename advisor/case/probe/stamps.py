"""Times as loggers write them, to seconds; day and month are never guessed in silence."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from advisor.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

Order = Literal["day first", "month first"]
_DATE = re.compile(r"^(\d{1,4})([-/.])(\d{1,2}|[A-Za-z]{3,9})\2(\d{1,4})$")
_CLOCK = re.compile(r"^(\d{1,2})[:.h](\d{2})(?:[:.](\d{2})(?:[.,]\d+)?)?\s*([AaPp]\.?[Mm]\.?)?$")
_SPAN = re.compile(r"^(\d{1,3}):([0-5]\d):([0-5]\d)(?:[.,]\d+)?$")
_HALVES = re.compile(r"[AaPp]\.?[Mm]\.?$")
# Where a record that names no day begins.
_NO_DAY = datetime(1970, 1, 1, tzinfo=UTC)
HALF_DAY_S, DAY_S = 43_200.0, 86_400.0
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_EPOCH_FROM, _EPOCH_TO = 946684800.0, 4102444800.0
_MILLI = 1000.0
_LONGEST_DAYS = 60
_CENTURY, _FOUR_DIGITS, _NOON, _LAST_MONTH = 2000, 1000, 12, 12


@dataclass(frozen=True, slots=True)
class Stamp:
    """A moment as it was written: with its zone, or the wall clock without; ``orders`` under which it can be read."""

    moments: dict[Order, datetime]

    @property
    def certain(self) -> bool:
        """Whether it reads the same either way."""
        return len(set(self.moments.values())) == 1


def read_stamp(date: str, clock: str) -> Stamp | None:
    """Read one moment from a cell, or from two; None when it is none."""
    whole = f"{date} {clock}".strip().strip('"')
    number = _epoch(whole)
    if number is not None:
        return Stamp({"day first": number, "month first": number})
    iso = _iso(whole)
    if iso is not None:
        return Stamp({"day first": iso, "month first": iso})
    day, _, time = whole.partition(" ")
    dates, at = _dates(day.rstrip(",")), _clock(time.strip())
    if not dates or at is None:
        return None
    return Stamp({order: one + at for order, one in dates.items()})


def read_counted(clock: str, unit_s: float | None) -> Stamp | None:
    """Read a cell that names no day: a count in a unit [s], or hours, minutes and seconds; None when it is neither.

    "05:00" without a day may be hours or minutes, and taken for hours it would make sixty times the heat: it is none.
    """
    text = clock.strip().strip('"')
    span = _SPAN.match(text)
    at = _clock(text) if span is None and _HALVES.search(text) else None
    if span is not None:
        at = timedelta(hours=int(span[1]), minutes=int(span[2]), seconds=int(span[3]))
    if at is None and unit_s is not None:
        try:
            at = timedelta(seconds=float(text.replace(",", ".")) * unit_s)
        except (ValueError, OverflowError):
            return None
    if at is None or not timedelta(0) <= at <= timedelta(days=_LONGEST_DAYS):
        return None
    return Stamp({"day first": _NO_DAY + at, "month first": _NO_DAY + at})


def over_midnight(seconds: Sequence[float]) -> list[float]:
    """Put a day on hours that name none whenever they fall back by more than half of one [s]."""
    days, found = 0.0, list(seconds[:1])
    for before, now in pairwise(seconds):
        days += DAY_S if before - now > HALF_DAY_S else 0.0
        found.append(now + days)
    return found


def _epoch(text: str) -> datetime | None:
    if not re.fullmatch(r"\d{9,13}(\.\d+)?", text):
        return None
    seconds = float(text)
    seconds = seconds / _MILLI if seconds > _EPOCH_TO else seconds
    return datetime.fromtimestamp(seconds, UTC) if _EPOCH_FROM <= seconds <= _EPOCH_TO else None


def _iso(text: str) -> datetime | None:
    if not re.match(r"^\d{4}-\d{2}-\d{2}", text):
        return None
    try:
        return datetime.fromisoformat(text.replace(",", "."))
    except ValueError:
        return None


def _dates(text: str) -> dict[Order, datetime]:
    match = _DATE.match(text)
    if match is None:
        return {}
    first, mark, second, third = match[1], match[2], match[3], match[4]
    if second.isalpha():
        month = next((i for i, name in enumerate(_MONTHS, start=1) if second.lower().startswith(name)), 0)
        return _both(_day(int(third), month, int(first)))
    a, b, c = int(first), int(second), int(third)
    if a >= _FOUR_DIGITS:
        return _both(_day(a, b, c))
    found: dict[Order, datetime] = {}
    for order, (day, month) in (("day first", (a, b)), ("month first", (b, a))):
        # Dots are written with the day first wherever they are written.
        one = _day(c, month, day) if not (mark == "." and order == "month first") else None
        if one is not None:
            found["day first" if order == "day first" else "month first"] = one
    if mark == "." and "day first" in found:
        found["month first"] = found["day first"]
    return found


def _both(day: datetime | None) -> dict[Order, datetime]:
    return {} if day is None else {"day first": day, "month first": day}


def _day(year: int, month: int, day: int) -> datetime | None:
    try:
        return datetime(year if year >= _FOUR_DIGITS else _CENTURY + year, month, day)  # noqa: DTZ001 - wall clock
    except ValueError:
        return None


def _clock(text: str) -> timedelta | None:
    match = _CLOCK.match(text)
    if match is None:
        return None
    hours, minutes, seconds = int(match[1]), int(match[2]), int(match[3] or 0)
    if match[4]:
        hours = hours % _NOON + (_NOON if match[4].lower().startswith("p") else 0)
    if hours > 24 or minutes > 59 or seconds > 59:  # noqa: PLR2004 - a clock
        return None
    return timedelta(hours=hours, minutes=minutes, seconds=seconds)


def choose_order(stamps: Sequence[Stamp], asked: Order | None, name: str) -> tuple[Order, bool]:
    """Tell whether the day or the month comes first.

    Returns
    -------
    tuple of Order and bool
        The order, and whether the file itself settles it or was told; False when either gives the same lengths.

    Raises
    ------
    InputError
        Both can be read and the lengths differ.
    """
    if asked is not None:
        return asked, True
    fits: list[Order] = [order for order in ("day first", "month first") if all(order in s.moments for s in stamps)]
    if not fits:
        # Some rows read only one way, some only the other: the rows decide one by one which are dropped.
        counts: dict[Order, int] = {o: sum(o in s.moments for s in stamps) for o in ("day first", "month first")}
        return max(counts, key=lambda order: counts[order]), True
    if len(fits) == 1 or all(stamp.certain for stamp in stamps):
        return fits[0], True
    lengths = [[(b.moments[o] - a.moments[o]) for a, b in pairwise(stamps)] for o in fits]
    if lengths[0] == lengths[1]:
        return fits[0], False
    raise InputError(
        f"The dates of {name} can be read with the day first or with the month first, and it matters.",
        "Say which: --dates day-first or --dates month-first.",
        name,
    )


def to_seconds(moments: Sequence[datetime], zone: ZoneInfo | None) -> tuple[list[float], int]:
    """Seconds since 1970 of each moment, and how many fell in an hour that a clock change repeats.

    Without a zone a wall clock is this machine's own. One that jumps back within an hour that the zone repeats is
    read as the second pass through it.
    """
    seconds: list[float] = []
    repeated = 0
    for moment in moments:
        if moment.tzinfo is not None:
            seconds.append(moment.timestamp())
            continue
        first, second = (moment.replace(tzinfo=zone, fold=fold).timestamp() for fold in (0, 1))
        twice = second > first
        repeated += twice
        seconds.append(second if twice and seconds and first <= seconds[-1] else first)
    return seconds, repeated
