"""What the opening says of the meal: for how many, on which day, at an hour that the meal makes plain."""

from __future__ import annotations

import re
from typing import Final

# First and last hour after noon at which a meal is eaten; an hour beyond them is one before noon.
HALVES: Final = {"dinner": (4, 11), "supper": (4, 11), "lunch": (12, 3), "breakfast": (0, 0), "brunch": (12, 2)}
NOON: Final = 12
_MEAL: Final = re.compile(rf"\b({'|'.join(HALVES)})\b", re.IGNORECASE)
_DAY: Final = (
    r"(?:(?:this|next|on)\s+)*(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|satur|sat|sun)(?:day)?\b"
    r"|\b(?:today|tonight|tomorrow)\b"
)
_NO_HOUR: Final = (
    r"(?!\s*(?:[ap]\.?m\b|[:.\d%°]|h\b|hours?|min|people|guests|kg|g\b|lbs?|oz|in\b|cm|mm|o.?clock\s+[ap]))"
)
_HOUR: Final = re.compile(
    rf"\b({_DAY})\s*,?\s*(?:for\s+)?(?:at\s+|around\s+|about\s+)?(\d{{1,2}})([:.]\d{{2}})?{_NO_HOUR}", re.IGNORECASE
)
_EATERS: Final = re.compile(rf"\bfor\s+(\d{{1,3}})(?=\s*(?:,|$|\.\s|\s(?:{_DAY})|\son\s|\sat\s+home))", re.IGNORECASE)
_DATED: Final = re.compile(rf"\b(?:{_DAY})[^,;.]*?\d", re.IGNORECASE)


def dined(text: str) -> tuple[str, tuple[str, ...]]:
    """Put the meal into words that the reader of plans knows; and what to tell the cook of it.

    "For 6" is how many eat where a meal is named. An hour that the meal cannot leave open is put in its half of the
    day, and the meal, which would be an hour of its own, is left out beside it.

    Examples
    --------
    >>> dined("roast, dinner for 6 on saturday at 7")[0]
    'roast,        for 6 people on saturday 7 pm'
    """
    meal = _MEAL.search(text)
    if meal is None:
        return text, ()
    notes: list[str] = []
    name = meal[1].lower()
    if _DATED.search(text):
        text = f"{text[: meal.start()]}{' ' * len(meal[0])}{text[meal.end() :]}"
    hour = _HOUR.search(text)
    if hour is not None and 0 < int(hour[2]) <= NOON:
        half = _half(int(hour[2]), *HALVES[name])
        words = " ".join(hour[0].split())
        notes.append(f"'{words}' is taken as {int(hour[2])}{hour[3] or ''} {half}, for it is {name}.")
        text = f"{text[: hour.start()]}{hour[1]} {hour[2]}{hour[3] or ''} {half}{text[hour.end() :]}"
    return _EATERS.sub(r"for \1 people", text), tuple(notes)


def _half(hour: int, first: int, last: int) -> str:
    """The half of the day of an hour with a meal that is eaten between two hours after noon."""
    after_noon = first <= hour <= last if first <= last else hour >= first or hour <= last
    return "pm" if after_noon else "am"
