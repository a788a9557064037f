"""What the opening says of the meal: for how many, on which day, at an hour that the meal makes plain."""

from __future__ import annotations

import re
from typing import Final

# Hours before noon and after it at which a meal is eaten; any other, and twelve, is asked about.
HALVES: Final = {
    "dinner": (range(0), range(1, 12)),
    "supper": (range(0), range(1, 12)),
    "lunch": (range(10, 12), range(1, 6)),
    "brunch": (range(8, 12), range(1, 4)),
    "breakfast": (range(4, 12), range(0)),
}
_MEAL: Final = re.compile(rf"\b({'|'.join(HALVES)})\b(?!\s*(?:bag|box|table|lady|meat))", re.IGNORECASE)
# A day of which nobody here knows the date.
_FEAST: Final = re.compile(
    rf"\b(?:christmas|xmas|easter|thanksgiving|birthday|wedding|holiday|anniversary|new year\S*)(?:\s+(?:day|eve))?\s+"
    rf"({'|'.join(HALVES)})\b",
    re.IGNORECASE,
)
_NO_MEAL: Final = re.compile(r"\bbreakfast(?=\s+(?:sausages?|steaks?|ham|bacon)\b)", re.IGNORECASE)
_COUNTS: Final = r"\d{1,3}|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|a dozen"
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
_AT: Final = re.compile(
    rf"\b({'|'.join(HALVES)})(?:\s+is|\s+will be)?\s*,?\s*(?:at|around|about|by)\s+(\d{{1,2}})([:.]\d{{2}})?{_NO_HOUR}",
    re.IGNORECASE,
)
_EATERS: Final = re.compile(rf"\bfor\s+({_COUNTS})(?=\s*(?:,|$|\.\s|\s(?:{_DAY})|\son\s|\sat\s))", re.IGNORECASE)
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
    text = _NO_MEAL.sub(lambda found: " " * len(found[0]), text)
    feast = _FEAST.search(text)
    if feast is not None:
        return f"{text[: feast.start(1)]}{' ' * len(feast[1])}{text[feast.end(1) :]}", ()
    meal = _MEAL.search(text)
    if meal is None:
        return text, ()
    notes: list[str] = []
    name = meal[1].lower()
    hour = _HOUR.search(text) or _AT.search(text)
    half = _half(int(hour[2]), name) if hour is not None else ""
    if hour is not None and half:
        words = " ".join(hour[0].split())
        notes.append(f"'{words}' is taken as {int(hour[2])}{hour[3] or ''} {half}, for it is {name}.")
        day = "" if hour[1].lower() in HALVES else f"{hour[1]} "
        text = f"{text[: hour.start()]}{day}{hour[2]}{hour[3] or ''} {half}{text[hour.end() :]}"
    if half or _DATED.search(text):
        text = re.sub(rf"\b{meal[1]}\b", " " * len(meal[1]), text, count=1)
    return _EATERS.sub(r"for \1 people", text), tuple(notes)


def _half(hour: int, meal: str) -> str:
    """The half of the day of an hour at which a meal is eaten; empty where it may be either, or neither."""
    before, after = HALVES[meal]
    return "am" if hour in before else "pm" if hour in after else ""
