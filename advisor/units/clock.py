"""Moments and spans: "Sat 7pm" to a date and time, and back to "Sat 19:00"."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from advisor.errors import InputError
from advisor.units.clock_words import DAYS, MONTHS, Asked, Day, take_day, take_time
from advisor.units.text import TextRefusedError, plain
from advisor.units.write import Rounding, write_time

_WEEK: Final = 7
_YEAR: Final = timedelta(days=366)
# "28 Nov" typed on 29 Nov is a slip, not a plan for next year; "2 Jan" typed in December is a plan.
_FAR: Final = timedelta(days=300)
_ISO: Final = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[t ][0-9]{2}:[0-9]{2}(?::[0-9]{2})? ?(?:z|[+-][0-9]{2}:?[0-9]{2})",
)


def _localised(asked: Asked, day: date, at: time) -> datetime:
    """Put day and time together in the zone of `now`; refuse a time the clock change skips or repeats."""
    zone = asked.now.tzinfo
    moment = datetime.combine(day, at, tzinfo=zone)
    if zone is None:
        return moment
    try:
        back = moment.astimezone(UTC).astimezone(zone)
        repeated = moment.utcoffset() != moment.replace(fold=1).utcoffset()
    except OverflowError:
        raise asked.refuse("That is too far away.", "Write a day within a year.") from None
    if back.replace(tzinfo=None, fold=0) != moment.replace(tzinfo=None, fold=0):
        raise asked.refuse("The clocks go forward then; there is no such time.", "Write one an hour later.")
    if repeated:
        raise asked.refuse(
            "The clocks go back then; that time comes twice.",
            f"Write it with its offset from UTC, for example {moment.isoformat(timespec='minutes')}.",
        )
    return moment


def _ahead(asked: Asked, moment: datetime) -> timedelta:
    """Measure how far ahead of now a moment is, in real time and not by the wall clock."""
    if moment.tzinfo is None:
        return moment - asked.now
    return moment.astimezone(UTC) - asked.now.astimezone(UTC)


def _in_future(asked: Asked, moment: datetime) -> datetime:
    ahead = _ahead(asked, moment)
    if ahead < timedelta(0):
        raise asked.refuse(
            f"That is in the past: it is now {write_moment(asked.now)}.",
            "Write a later moment, with its date if it is not this week.",
        )
    if ahead > _YEAR:
        raise asked.refuse("That is more than a year ahead.", "Check the year.")
    return moment


def _resolve(asked: Asked, day: Day, at: time) -> datetime:
    """Choose the date that was meant."""
    today = asked.now.date()
    if day.on is not None:
        moment = _localised(asked, day.on, at)
        if not day.year_given and _ahead(asked, moment) < timedelta(0):
            try:
                later = day.on.replace(year=day.on.year + 1)
            except ValueError:
                later = day.on
            next_year = _localised(asked, later, at)
            moment = next_year if _ahead(asked, next_year) < _FAR else moment
    elif day.weekday is not None and day.ahead is None:
        moment = _localised(asked, today + timedelta((day.weekday - today.weekday()) % _WEEK), at)
    elif day.ahead is not None:
        moment = _localised(asked, today + timedelta(day.ahead), at)
    else:
        moment = _localised(asked, today, at)
        if _ahead(asked, moment) < timedelta(0):
            moment = _localised(asked, today + timedelta(1), at)
    if day.weekday is not None and moment.weekday() != day.weekday:
        raise asked.refuse(f"{moment.date()} is a {DAYS[moment.weekday()]}.", "Check the day and the date.")
    if day.on is not None and day.ahead is not None and today + timedelta(day.ahead) != moment.date():
        raise asked.refuse(f"{moment.date()} is not that day.", "Write only the date.")
    return _in_future(asked, moment)


def _with_offset(asked: Asked, text: str) -> datetime:
    """Read a full date and time with its offset from UTC."""
    try:
        moment = datetime.fromisoformat(text.replace(" +", "+").replace(" z", "z").upper())
    except ValueError:
        raise asked.not_understood() from None
    if asked.now.tzinfo is None:
        raise asked.refuse("Times here have no offset from UTC.", "For example 2026-11-28 19:00.")
    try:
        return _in_future(asked, moment.astimezone(asked.now.tzinfo))
    except OverflowError:
        raise asked.not_understood() from None


def read_moment(text: str, now: datetime, name: str = "service time", where: str = "") -> datetime:
    """Read what a cook wrote as a moment still to come.

    Parameters
    ----------
    text : str
        What was written, for example ``"Sat 7pm"``.
    now : datetime
        The present moment; with a time zone or without.
    name : str, optional
        What the moment is called in messages.
    where : str, optional
        File and line for messages.

    Returns
    -------
    datetime
        In the zone of `now`, without one if `now` has none.

    Raises
    ------
    InputError
        When it cannot be read, could be two times, or is past.

    Notes
    -----
    Two digits, a colon and two digits are the 24-hour clock. A weekday is the next one, today included; one
    whose time has passed today is refused and not moved by a week: "Sat 19:00" would not show the difference.

    Examples
    --------
    >>> read_moment("Sat 7pm", datetime(2026, 11, 25, 12, 0)).isoformat()
    '2026-11-28T19:00:00'
    """
    asked = Asked(name, text.strip(), now, where)
    try:
        text_plain = plain(text)
    except TextRefusedError as error:
        raise asked.refuse(error.what, error.hint) from None
    if not text_plain:
        raise InputError(f"Enter the {name},", "for example Sat 19:00 or 2026-11-28 19:00.", where)
    if _ISO.fullmatch(text_plain):
        return _with_offset(asked, text_plain)
    try:
        day, rest = take_day(asked, text_plain)
        return _resolve(asked, day, take_time(asked, rest, day))
    except OverflowError:
        raise asked.refuse("That is too far away.", "Write a day within a year.") from None


def write_moment(moment: datetime, *, now: datetime | None = None, rounding: Rounding = "down") -> str:
    """Write a moment as weekday and 24-hour time.

    Parameters
    ----------
    moment : datetime
        What to write.
    now : datetime, optional
        When given, a moment a week or more away is written with its date, and its year if another.
    rounding : {"down", "up", "nearest"}, optional
        What becomes of seconds: down for the latest allowed, up for the earliest.

    Returns
    -------
    str
        For example ``"Sat 19:00"``, ``"Sat 5 Dec 19:00"`` or ``"Sat 2 Jan 2027 19:00"``.

    Examples
    --------
    >>> write_moment(datetime(2026, 11, 28, 19, 0))
    'Sat 19:00'
    """
    whole = moment.replace(second=0, microsecond=0)
    odd = moment - whole
    if (rounding == "up" and odd) or (rounding == "nearest" and odd >= timedelta(seconds=30)):
        whole += timedelta(minutes=1)
    day = DAYS[whole.weekday()]
    if now is not None and abs((whole.date() - now.date()).days) >= _WEEK:
        day = f"{day} {whole.day} {MONTHS[whole.month - 1].capitalize()}"
        day = day if whole.year == now.year else f"{day} {whole.year}"
    return f"{day} {whole.hour:02d}:{whole.minute:02d}"


def write_span(minutes: float, *, rounding: Rounding = "nearest") -> str:
    """Write how long something takes.

    Parameters
    ----------
    minutes : float
        Length [min].
    rounding : {"nearest", "up", "down"}, optional
        Down for the longest allowed, up for the shortest.

    Returns
    -------
    str
        For example ``"2 h 20 min"``.

    Raises
    ------
    ValueError
        When the length is not finite.

    Examples
    --------
    >>> write_span(140)
    '2 h 20 min'
    """
    return write_time(minutes, rounding)
