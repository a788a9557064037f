"""The words of a moment: which day and which time of day a text names."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Final

from advisor.errors import InputError
from advisor.units.text import shown

DAYS: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NOON: Final = 12
_LAST_HOUR: Final = 23

_MONTH_WORD: Final = (
    r"(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b"
)
_YEAR_PART: Final = r"(?:,?\s(?P<year>[0-9]{4})\b(?!:))?"
_DATE_FORMS: Final = (
    re.compile(r"(?<![0-9:.-])(?P<year>[0-9]{4})-(?P<number>[0-9]{2})-(?P<day>[0-9]{2})(?:t(?=[0-9])|(?![0-9-]))"),
    re.compile(rf"(?<![0-9:.])(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?\s?(?:of\s)?{_MONTH_WORD}\.?{_YEAR_PART}"),
    re.compile(
        rf"\b{_MONTH_WORD}\.?\s(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?(?![0-9:.]|\s?[ap]\.?m|\s?h){_YEAR_PART}",
    ),
)
_WEEKDAY: Final = re.compile(
    r"\b(mon(?:day)?|tue(?:s(?:day)?)?|wed(?:nesday)?|thu(?:r(?:s(?:day)?)?)?"
    r"|fri(?:day)?|sat(?:urday)?|sun(?:day)?)\b\.?",
)
_NEAR_DAY: Final = re.compile(r"\b(today|tonight|tomorrow)\b")
_FILLER: Final = re.compile(r"\b(?:at|on|the|of|by|for|o'clock)\b|,(?!\d)|@")
_TIME_12: Final = re.compile(r"([0-9]{1,2})(?:[:.]([0-9]{2}))?\s?([ap])\.?\s?m\.?")
_TIME_24: Final = re.compile(r"([0-9]{2}):([0-9]{2})(?::00)?(?:\s?h)?|([0-9]{1,2})\s?h\s?([0-9]{2})?")
_TIME_LOOSE: Final = re.compile(r"([0-9]{1,2})(?:[:.]([0-9]{2}))?")


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked, what was typed, and when."""

    name: str
    typed: str
    now: datetime
    where: str

    def refuse(self, what: str, hint: str) -> InputError:
        """Build the error: what was typed and what is wrong with it."""
        title = self.name[:1].upper() + self.name[1:]
        return InputError(f"{title}: you typed {shown(self.typed)}. {what}", hint, self.where)

    def not_understood(self) -> InputError:
        """Say that the text is neither a day nor a time."""
        hint = "For example Sat 19:00 or 2026-11-28 19:00."
        return self.refuse("We cannot read it as a day and a time.", hint)


@dataclass(frozen=True, slots=True)
class Day:
    """The day as written: a date, a weekday, or a number of days from today; or none of them."""

    on: date | None = None
    year_given: bool = False
    weekday: int | None = None
    ahead: int | None = None
    evening: bool = False

    @property
    def given(self) -> bool:
        """True when any day was named."""
        return self.on is not None or self.weekday is not None or self.ahead is not None


def _take_date(asked: Asked, text: str) -> tuple[date | None, bool, str]:
    """Cut a date out of the text; also tell whether its year was written."""
    for form in _DATE_FORMS:
        match = form.search(text)
        if match is None:
            continue
        parts = match.groupdict()
        month = int(parts["number"]) if parts.get("number") else MONTHS.index(parts["month"][:3]) + 1
        year = int(parts["year"]) if parts["year"] else asked.now.year
        rest = f"{text[: match.start()]} {text[match.end() :]}"
        # 29 Feb without a year may mean the next year that has one.
        years = [year] if parts["year"] else [year, year + 1]
        for candidate in years:
            try:
                return date(candidate, month, int(parts["day"])), bool(parts["year"]), rest
            except ValueError:
                continue
        raise asked.refuse("There is no such day.", "For example 28 Nov 19:00.")
    return None, False, text


def take_day(asked: Asked, text: str) -> tuple[Day, str]:
    """Cut everything that names the day out of the text."""
    on, year_given, rest = _take_date(asked, text)
    weekday: int | None = None
    ahead: int | None = None
    evening = False
    if match := _WEEKDAY.search(rest):
        weekday = [day.lower() for day in DAYS].index(match.group(1)[:3])
        rest = f"{rest[: match.start()]} {rest[match.end() :]}"
    if match := _NEAR_DAY.search(rest):
        ahead = 1 if match.group(1) == "tomorrow" else 0
        evening = match.group(1) == "tonight"
        rest = f"{rest[: match.start()]} {rest[match.end() :]}"
    day = Day(on, year_given, weekday, ahead, evening)
    return day, " ".join(_FILLER.sub(" ", rest).split())


def take_time(asked: Asked, text: str, day: Day) -> time:
    """Read what is left as a time of day."""
    if text in ("noon", "midday", "12 noon"):
        return time(_NOON)
    if text in ("midnight", "12 midnight", "24:00"):
        raise asked.refuse(
            "Midnight belongs to two days.",
            "Write 00:00 with the day that begins then, such as Sun 00:00, or 23:59 with the day that ends.",
        )
    if match := _TIME_12.fullmatch(text):
        return _twelve_hour(asked, int(match.group(1)), int(match.group(2) or 0), match.group(3))
    if match := _TIME_24.fullmatch(text):
        hour, minute = match.group(1) or match.group(3), match.group(2) or match.group(4) or "0"
        return _checked_time(asked, int(hour), int(minute))
    if match := _TIME_LOOSE.fullmatch(text):
        return _loose_time(asked, int(match.group(1)), match.group(2), day)
    if not text and day.given:
        raise asked.refuse("The time is missing.", "Write the day and the time, for example Sat 19:00.")
    raise asked.not_understood()


def _checked_time(asked: Asked, hour: int, minute: int) -> time:
    try:
        return time(hour, minute)
    except ValueError:
        raise asked.refuse("There is no such time of day.", "Hours go to 23 and minutes to 59.") from None


def _twelve_hour(asked: Asked, hour: int, minute: int, half: str) -> time:
    if not 1 <= hour <= _NOON:
        raise asked.refuse("With am or pm the hour is 1 to 12.", "For example 7 pm or 19:00.")
    if hour == _NOON and minute == 0 and half == "a":
        raise asked.refuse(
            "12 am is midnight, which belongs to two days.",
            "Write 12:00 for noon, or 00:00 with the day that begins then.",
        )
    return _checked_time(asked, hour % _NOON + (_NOON if half == "p" else 0), minute)


def _loose_time(asked: Asked, hour: int, minute: str | None, day: Day) -> time:
    """Read "7", "7:30" or "19": only what can be but one time of day."""
    if day.evening and 1 <= hour < _NOON:
        return _checked_time(asked, hour + _NOON, int(minute or 0))
    if (_NOON < hour <= _LAST_HOUR and (day.given or minute)) or (hour == 0 and minute):
        return _checked_time(asked, hour, int(minute or 0))
    if 1 <= hour <= _NOON:
        typed = f"{hour}:{minute}" if minute else str(hour)
        raise asked.refuse("It could be morning or evening.", f"Write {typed} am or {typed} pm.")
    raise asked.not_understood()
