"""What the opening says of several pieces, of an hour reckoned from now, and of smoke: put in words that are read."""

from __future__ import annotations

import re
from datetime import UTC, timedelta
from typing import TYPE_CHECKING, Final

from advisor.errors import InputError
from advisor.units.text import shown

if TYPE_CHECKING:
    from datetime import datetime

_COUNTS: Final = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "twelve": 12,
    "dozen": 12,
}  # fmt: skip
_N: Final = rf"(?<![\d.,/])(\d{{1,3}}|{'|'.join(_COUNTS)})(?!\d|[.,]\d)"
_WEIGHT: Final = (
    r"(\d+(?:[.,]\d+)?)[\s-]*(g|grams?|kg|kilos?|kilograms?|oz|ounces?|lbs?|pounds?)\b"
    r"(?![\s-]*(?:\d|and\b|(?:g|oz|ounces?|lbs?|pounds?)\b))"
)
_EACH: Final = r"(?:each|apiece|a\s+piece|per\s+piece)\b"
# A number of other things: "for 4 people", "3 cm".
_OTHER: Final = (
    r"\b(?:people|persons|guests|covers|portions?|servings|of us|days?|hours?|h|min\w*|years?|kids|adults|eaters)\b"
)
_SIZE: Final = r"(?:[\"°%]|(?:cm|mm|inch(?:es)?|in|c|f|g|grams?|kg|kilos?|oz|ounces?|lbs?|pounds?)\b)"
_OF_EACH: Final = re.compile(
    rf"\b{_N}(?!\s*(?:{_SIZE}|{_OTHER}))\s*((?:(?!{_OTHER})[^.;\d]){{0,40}}?){_WEIGHT}\s*{_EACH}", re.IGNORECASE
)
_TIMES: Final = re.compile(rf"\b{_N}(\s*)[x×]\s*{_WEIGHT}", re.IGNORECASE)
_ONE_OF: Final = re.compile(
    rf"\b(?:{_WEIGHT}\s*{_EACH}|(?:each|every\s+one|each\s+one)\s+(?:is\s+|of\s+)?{_WEIGHT})", re.IGNORECASE
)
_FILL: Final = re.compile(r"\b(?:of\s+them|of|at|about|weighing|which\s+weigh|that\s+weigh)\b", re.IGNORECASE)
_BIRDS: Final = re.compile(
    r"^\s*(?:whole\s+|frozen\s+|thawed\s+|fresh\s+|small\s+|big\s+)*(?:turkeys|chickens|hens|ducks|geese|birds|pheasants|"
    r"quails?|partridges|pigeons|guinea\s*fowls?|poussins)\b",
    re.IGNORECASE,
)
_RACKS: Final = re.compile(r"\b(?:(?:\d+|two|three|four)\s+)?racks(?=\s+of\b)", re.IGNORECASE)
_SPAN: Final = (
    r"(\d+(?:\.\d+)?|an?|half\s+an|two|three|four|five|six|seven|eight|nine|ten)\s*"
    r"(hours?|hrs?|h|minutes?|mins?|days?)\b"
)
_SOON: Final = re.compile(
    r"\b(serv\w*|eat\w*|ready|dinner|lunch|supper|need\s+(?:it|them)|want\s+(?:it|them))"
    r"((?:\s+(?:it|them|is|be|ready|to))*)\s+"
    rf"in\s+(?:about\s+)?{_SPAN}(?:\s+(?:time|from\s+now))?",
    re.IGNORECASE,
)
_FROM_NOW: Final = re.compile(rf"^\s*(?:in\s+)?(?:about\s+)?{_SPAN}(?:\s+(?:time|from\s+now))?\s*\.?$", re.IGNORECASE)
_PAST: Final = re.compile(r"\b(?:yesterday|last\s+night|ago)\b", re.IGNORECASE)
_WAS: Final = re.compile(
    r"\b(?:serv\w*\s+|eat\w*\s+|for\s+)?(?:yesterday|last\s+night)\s+(?:at\s+)?\d{1,2}(?:[:.]\d{2})?\s*(?:[ap]\.?m\b\.?)?",
    re.IGNORECASE,
)
_SMOKE: Final = re.compile(
    r"\bsmoker\b|\bsmoking\b|\bsmoke\s+(?:it|them)\b|\bto\s+smoke\b|\bsmoked\s+(?:in|at|for|over)\b", re.IGNORECASE
)


def weighed(text: str, now: datetime) -> tuple[str, tuple[str, ...]]:
    """Give the weight of all pieces for that of each, and a time of day for one from now; and what to tell of it."""
    notes: list[str] = []

    def of_all(found: re.Match[str]) -> str:
        count = int(found[1]) if found[1].isdigit() else _COUNTS[found[1].lower()]
        if count > 1 and (_BIRDS.match(found[2]) or _BIRDS.match(found.string[found.end() :])):
            notes.append(f"'{' '.join(found[0].split())}': the plan is for one bird, and each of them is done like it.")
            return f"{_FILL.sub(' ', found[2]).strip(' ,')} {found[3]} {found[4]} "
        total = f"{count * float(found[3].replace(',', '.')):g} {found[4]}"
        notes.append(f"'{' '.join(found[0].split())}' is taken as {total} in all.")
        return f"{_FILL.sub(' ', found[2]).strip(' ,')} {total} "

    def of_one(found: re.Match[str]) -> str:
        notes.append(f"'{' '.join(found[0].split())}' is said of one piece, so we ask what all of it weighs.")
        return " "

    def soon(found: re.Match[str]) -> str:
        moment = _from_now(found[3], found[4], now)
        notes.append(f"'{' '.join(found[0].split())}' is taken as {moment:%H:%M} by the clock here.")
        return f"serve {moment:%Y-%m-%d %H:%M}"

    def past(found: re.Match[str]) -> str:
        notes.append(f"'{' '.join(found[0].split())}' is past, so we ask when you serve it.")
        return " "

    for pattern, put in ((_OF_EACH, of_all), (_TIMES, of_all), (_ONE_OF, of_one), (_SOON, soon), (_WAS, past)):
        text = pattern.sub(put, text)
    if _SMOKE.search(text):
        notes.append("We reckon with the heat of a smoker alone: nothing that smoke does is counted.")
    return _RACKS.sub("rack", text), tuple(notes)


def from_now(text: str, now: datetime) -> datetime | None:
    """Read "in 2 hours" as the moment that it will be; None where it is something else.

    Raises
    ------
    InputError
        It is past.
    """
    if _PAST.search(text):
        raise InputError(f"{shown(text)} is past.", "Type a day and a time still to come, such as Fri 7 pm.")
    found = _FROM_NOW.match(text)
    return _from_now(found[1], found[2], now) if found is not None else None


def _from_now(number: str, unit: str, now: datetime) -> datetime:
    word = number.lower()
    small = {**_COUNTS, "a": 1, "an": 1}
    count = 0.5 if word.startswith("half") else float(small[word]) if word in small else float(word)
    kind = {"h": "hours", "m": "minutes", "d": "days"}[unit[0].lower()]
    moment = now.astimezone(UTC) + timedelta(**{kind: count})
    return (moment.astimezone(now.tzinfo) if now.tzinfo else now + timedelta(**{kind: count})).replace(
        second=0, microsecond=0
    )
