"""What the opening says of meat that has lain out of the cold: since which hour, and in which place but the kitchen.

"Since noon" is reckoned by the clock up to now; "in the car" is out of the cold, and hotter than a kitchen. Both are
put into words that the reader of plans knows, and said back. What may be read in two ways is left to its question.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import ceil
from typing import TYPE_CHECKING, Final

from advisor.case.model import Given
from advisor.case.words.stay_words import BROKEN, COLD_PLACES
from advisor.units import write_moment, write_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.knowledge.rulebase import Rulebase

# Where the rulebase keeps how hot such a place may get, °C.
HEATS: Final = "heat of place left"
CLOCK: Final = r"(?:noon|midday|midnight|\d{1,2}(?:[:.]\d{2})?(?:\s*(?:a\.?m\b\.?|p\.?m\b\.?|o.?clock))?)"
_SINCE: Final = re.compile(
    rf"\bsince\s+(?:about\s+|around\s+)?({CLOCK})(?![\w:/])(?!\s+(?:yesterday|last))", re.IGNORECASE
)
_FROM_TO: Final = re.compile(rf"\bfrom\s+{CLOCK}\s*(?:to|till|until|-)\s*{CLOCK}(?![\w:])", re.IGNORECASE)
# What was taken out at three has been out since three.
_TAKEN_OUT: Final = re.compile(
    rf"\b(?:taken|took|pulled|came|brought)\s+(?:it\s+|them\s+)?out(\s+of\s+(?:the\s+)?[\w-]+)?\s+at\s+(?={CLOCK}(?![\w:/]))",
    re.IGNORECASE,
)
_CLAUSE: Final = re.compile(r"[^,;!?\n]+|[,;!?\n]+")
_LIES: Final = r"(?:left|forgot|forgotten|sat|sitting|sits|lay|lain|lying|been|was|were|stood|standing)"
_OUT: Final = re.compile(
    r"\b(?:out|outside|counter|bench|worktop|room|table|forgot|forgotten|sitting|standing|lying|left)\b", re.IGNORECASE
)
_COLD: Final = re.compile(
    r"\b(?:in|inside)\s+(?:the|my|our|a)?\s*(?:fridge|freezer|refrigerator|walk.in|cold)", re.IGNORECASE
)
_TIMED: Final = re.compile(
    r"\d\s*(?:h|hr|hrs|hours?|min|mins|minutes?)\b|\b(?:hours?|since|overnight|all (?:day|night))\b", re.IGNORECASE
)
_BACK: Final = re.compile(rf"\bback\s+(?:in|into|to)\s+(?:the|my|our|a)\s+{COLD_PLACES}\b", re.IGNORECASE)
# An hour at which meat was bought is not one at which it is served.
_GOT: Final = r"(?:bought|delivered|collected|purchased|arrived|came(?!\s+out)|picked up|got(?!\s+(?:it\s+)?out))"
_BOUGHT: Final = re.compile(rf"(\b{_GOT}\b(?:(?!\bfor\b|\bserv)[^,;.])*?)(\bat\s+{CLOCK}(?![\w:/]))", re.IGNORECASE)
_BOUGHT_DAY: Final = re.compile(
    rf"(\b{_GOT}\b(?:(?!\bfor\b|\bserv)[^,;.])*?\b(?:today|yesterday|morning|noon|afternoon|evening|night|"
    rf"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|satur|sat|sun)(?:day)?)\s+)({CLOCK})(?![\w:/])",
    re.IGNORECASE,
)
# "Out 3 h" at the head of a clause.
_OUT_FOR: Final = re.compile(
    r"^\s*\bout\s+(?=(?:for\s+|about\s+|over\s+|nearly\s+)*(?:\d|an?\b|half\b|one\b|two\b|three\b|four\b|five\b|six\b))",
    re.IGNORECASE,
)
_LIES_IN: Final = re.compile(r"\b(?:marinat|brin|salt|soak)\w*", re.IGNORECASE)
_AFTER_HEAT: Final = re.compile(r"\b(?:rest|serve|carve|eat|slice)(?:s|d|ed|ing)?\b", re.IGNORECASE)
_ALONE: Final = re.compile(
    r"(?<!left )(?<!been )(?<!sat )\bout\s*(?:of\s+(?:the\s+|my\s+|our\s+)?[\w-]+(?:\s+(?:in|room))?\s*)?$",
    re.IGNORECASE,
)
_HALF: Final = re.compile(r"\s*([ap])\.?m\b\.?", re.IGNORECASE)
HOURS_LOOSE, HOURS, MINUTES = 12, 24, 60


@dataclass(frozen=True, slots=True)
class Lain:
    """The opening in words that the reader knows, what to tell the cook, and what was told that no question asks.

    ``no_cold`` says that a cold place which is named is no answer to where the meat has been: the fridge broke, or the
    meat is only back in it.
    """

    text: str
    notes: tuple[str, ...] = ()
    told: Mapping[str, Given] = field(default_factory=dict)
    no_cold: bool = False


def lain(text: str, rulebase: Rulebase, now: datetime) -> Lain:
    """Put the places and hours of meat that lay out of the cold into plain words.

    Parameters
    ----------
    text : str
        The opening.
    rulebase : Rulebase
        How hot a place may be.
    now : datetime
        Local time, up to which an hour is reckoned.
    """
    notes: list[str] = []
    told: dict[str, Given] = {}
    clauses = []
    no_cold = False
    for clause in _CLAUSE.findall(text):
        if doubt := BROKEN.search(clause) or _BACK.search(clause):
            no_cold = True
            notes.append(f"'{' '.join(doubt[0].split())}': so we ask where it has been, and how long.")
        said = clause
        for hour in (_BOUGHT, _BOUGHT_DAY):
            if bought := hour.search(said):
                notes.append(f"'{' '.join(bought[0].split())}' is no time to serve it. We ask where it has been since.")
            said = hour.sub(lambda found: found[1] + " " * len(found[2]), said)
        said = _OUT_FOR.sub(" left out ", said)
        placed = _placed(said, rulebase, notes, told)
        clauses.append(_reckoned(placed, now, notes))
    return Lain("".join(clauses), tuple(notes), told, no_cold)


def _placed(clause: str, rulebase: Rulebase, notes: list[str], told: dict[str, Given]) -> str:
    """Read "left in the car" as left out, in a place as hot as that may be."""
    heats = rulebase.trade_words.get(HEATS, {})
    names = "|".join(sorted(map(re.escape, heats), key=len, reverse=True))
    place = re.compile(
        rf"(?:\b({_LIES})\s+(?:it\s+|them\s+|out\s+)?)?\b(?:in|on|at|inside)\s+(?:the\s+|my\s+|our\s+|a\s+|his\s+|her\s+)?"
        rf"(?:(?:back|boot|trunk|seat)\s+of\s+(?:the|my|our|a)\s+)?(?:hot\s+|warm\s+|closed\s+|parked\s+)*({names})\b",
        re.IGNORECASE,
    )
    found = place.search(clause) if names else None
    if found is None or not (found[1] or _TIMED.search(clause) or re.search(r"\bthaw", clause, re.IGNORECASE)):
        return clause
    if not found[1] and _AFTER_HEAT.search(clause):
        return clause  # "rest it 20 min on the table" is said of cooked meat
    name = found[2].lower()
    words = " ".join(found[0].split())
    room = float(rulebase.media["counter"].worst_c or 0.0)
    if heats[name] > room:
        shown = write_quantity(heats[name], "temperature", "metric")
        told["piece out_temperature"] = Given(float(heats[name]), "answered", shown)
        notes.append(f"'{words}' is out of the cold, and may be hot: we reckon with {shown}.")
    else:
        notes.append(f"'{words}' is out of the cold, so we count it as out.")
    thawed = re.search(r"\bthaw", clause, re.IGNORECASE)
    return f"{clause[: found.start()]}{'on the counter' if thawed else 'left out'}{clause[found.end() :]}"


def _reckoned(clause: str, now: datetime, notes: list[str]) -> str:
    """Read "out since noon" as how long that is by now; of "since 2" nobody can tell."""
    clause = _TAKEN_OUT.sub("left out since ", clause)
    if not _OUT.search(clause) or _COLD.search(clause):
        return clause
    if _FROM_TO.search(clause):
        return clause  # reckoned, or asked about, with all other stays
    found = _SINCE.search(clause)
    if found is None:
        return clause
    begun = _begun(found[1], now)
    words = " ".join(found[0].split())
    # "Out" alone may be said of anything.
    before = _ALONE.sub("left out ", clause[: found.start()])
    if begun is None:
        notes.append(f"'{words}': am or pm? We ask how long it has been out.")
        return f"{before}{clause[found.end() :]}"
    minutes = ceil((now.astimezone(UTC) - begun.astimezone(UTC)).total_seconds() / MINUTES)
    if not minutes:
        notes.append(f"'{words}': we ask how long it has been out.")
        return f"{before}{clause[found.end() :]}"
    shown, clock = write_quantity(minutes, "time", "metric"), f"{now:%H:%M}"
    day = "" if begun.date() == now.date() else f" ({write_moment(begun, now=now)})"
    notes.append(f"'{words}'{day}: it is {clock} now, so it has been out {shown}. Change it if the clock is wrong.")
    if _LIES_IN.search(clause):
        return f" left out for {minutes} minutes"  # what it lies in is no step that is still to come
    return f"{before}for {minutes} minutes{clause[found.end() :]}"


def _begun(text: str, now: datetime) -> datetime | None:
    """The last time that it was so late, today or yesterday; None for an hour of either half of the day."""
    word = text.strip().lower()
    named = {"noon": 12, "midday": 12, "midnight": 0}
    half = _HALF.search(word)
    figures = [int(part) for part in re.findall(r"\d+", word)]
    hour = named[word] if word in named else figures[0]
    minute = figures[1] if len(figures) > 1 else 0
    if word not in named and half is None and hour <= HOURS_LOOSE:
        return None
    if half is not None:
        hour = hour % HOURS_LOOSE + (HOURS_LOOSE if half[1].lower() == "p" else 0)
    if hour >= HOURS or minute >= MINUTES:
        return None
    begun = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    return begun if begun <= now else begun - timedelta(days=1)
