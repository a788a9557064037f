"""What the opening says of the days that raw meat has been kept: since when, bought on which day, and thawed before.

The days that are past count like those that a plan still takes. What may be read in two ways is read as the longer, and
said back. Meat that has thawed is frozen no more, so where it lies now is asked, unless that was said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil
from typing import TYPE_CHECKING, Final

from advisor.units import write_moment, write_quantity

if TYPE_CHECKING:
    from advisor.knowledge.rulebase import Rulebase

# Where the rulebase keeps how long meat has been kept where only a loose word says it, in minutes.
LOOSE: Final = "kept for words"
MINUTE, WEEK, MORNING, HALF_DAY = 60, 7, 6, 12
# The hour at which a part of the day begins, at the earliest.
_PARTS: Final = {"noon": 12, "afternoon": 12, "evening": 17, "night": 17}
_WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_SMALL: Final = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10,
}  # fmt: skip
_DAYS: Final = (
    r"(?:(?:on|last|this|past|the)\s+)*(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|satur|sat|sun)(?:day)?\b"
    r"|(?:the\s+)?day\s+before\s+yesterday\b|yesterday\b(?:\s+(?:morning|afternoon|evening))?|last\s+(?:night|week)\b"
    r"|today\b|this\s+morning\b"
    r"|(?:\d{1,3}|an?|one|two|three|four|five|six|seven|eight|nine|ten)\s+(?:days?|nights?|weeks?|months?)\s+(?:ago|old)\b"
)
_COLD_PLACE: Final = r"(?:in\s+)?(?:the\s+|my\s+|our\s+|a\s+)?(?:fridge|refrigerator|walk[ -]?in|cold\s*room|chiller)"
_SINCE: Final = re.compile(rf"\bsince\s+({_DAYS})", re.IGNORECASE)
_GOT: Final = re.compile(
    r"\b((?:bought|delivered|collected|purchased|arrived|picked\s+up|got\s+it|killed|slaughtered|butchered|shot|opened|"
    r"minced|ground|taken\s+out\s+of\s+the\s+freezer|out\s+of\s+the\s+freezer|from\s+the\s+freezer)"
    rf"(?:\s+(?!(?:for|serve|served|to)\b)[^\W\d_]+){{0,4}}?\s+)({_DAYS})",
    re.IGNORECASE,
)
_OLD: Final = re.compile(rf"\b(?=\S+\s+(?:days?|weeks?|months?)\s+old\b)({_DAYS})", re.IGNORECASE)
# An hour of which the half of the day is plain.
_CLOCK: Final = r"(?:(?:1[0-2]|0?\d)(?:[:.][0-5]\d)?\s*[ap]\.?m\b\.?|(?:1[3-9]|2[0-3])[:.][0-5]\d)"
_ANSWER: Final = re.compile(
    r"(?:(?:i|we|it|they|that|which|was|were|has|have|been|came|got|bought|delivered|thawed|here|in|there|since|from|for"
    r"|about|only|the|fridge)"
    rf"\s+)*(?:((?:{_DAYS})(?:\s+(?:morning|noon|afternoon|evening|night))?)(?:\s+(?:at\s+)?({_CLOCK}))?"
    rf"|((?:\d{{1,2}}|{'|'.join(_SMALL)})\s+nights?)|(over[\s-]?night)|this\s+(?:noon|afternoon|evening)"
    r"|just(?:\s+(?:now|in|come|bought|got|it|them|arrived|delivered))*"
    r"|0|none|not\s+(?:yet|at\s+all))",
    re.IGNORECASE,
)
# How long is left open: "a day or two", "a day at least", "2 nights and a day".
_SPAN: Final = rf"(?:\d{{1,3}}|{'|'.join(_SMALL)})\s+(?:days?|nights?|weeks?)"
_OPEN_END: Final = re.compile(
    rf"\b{_SPAN}\s*,?\s*(?:or\s+(?:so|more|two|three|longer|\d+)|at\s+least|maybe|perhaps|and\s+{_SPAN})\b"
    rf"|\b(?:more\s+than|over|at\s+least)\s+{_SPAN}\b",
    re.IGNORECASE,
)
_NIGHTS: Final = re.compile(rf"\b(?:(?:\d{{1,2}}|{'|'.join(_SMALL)})\s+nights?|over[\s-]?night)\b", re.IGNORECASE)
_THAWING: Final = re.compile(r"\b(?:thaw|defrost)\w*\b", re.IGNORECASE)
_THAWED: Final = re.compile(
    r"(?<!not )(?<!n't )(?<!nt )(?<!never )(?<!half )(?<!partly )(?<!partially )(?<!be )(?<!being )(?<!until )"
    r"(?<!till )(?<!once )(?<!when )(?<!nearly )(?<!almost )(?<!half-)(?<!un)\b"
    r"(?:fully\s+|completely\s+|all\s+|already\s+)?"
    rf"(?:thawed|defrosted|unfrozen)\b(?:\s+(?:out|through))?((?:\s+(?:{_COLD_PLACE}))?\s+(?:{_DAYS}))?",
    re.IGNORECASE,
)
_STILL: Final = re.compile(
    r"\b(?:still|half|partly|partially|mostly|re)[ -]?frozen\b|\bfrozen\s+again\b"
    r"|\bback\s+(?:in|into|to)\s+the\s+freezer\b"
    r"|\b(?:not|never|isn'?t|aren'?t|wasn'?t|half|partly|partially|to\s+be)\s+(?:yet\s+|fully\s+)?(?:thawed|defrosted)\b",
    re.IGNORECASE,
)
_FROZEN: Final = re.compile(
    r"\b(?:(?:was|were|been|came|bought|previously|from)\s+)?(?:deep[ -]?)?frozen\b"
    r"|\b(?:out\s+of|from)\s+(?:the\s+)?freezer\b"
    r"|\bfreezer\b",
    re.IGNORECASE,
)
_WARM: Final = re.compile(
    r"\b(?:counter|bench|worktop|room|table|sink|out(?!\s+of\s+the\s+freezer)|outside|car|garage|porch|sun)\b",
    re.IGNORECASE,
)
_BEEN: Final = re.compile(
    rf"\b(?:(?:it|they|that|which)\s+)?(?:has|have|had|'s)?\s*\bbeen\s+(?:sitting\s+|kept\s+|stored\s+)?(?={_COLD_PLACE}\b)",
    re.IGNORECASE,
)
_FRIDGE: Final = re.compile(rf"\b{_COLD_PLACE}\b", re.IGNORECASE)
_CLAUSE: Final = re.compile(r"[^,;.!?\n]+|[,;.!?\n]+")


@dataclass(frozen=True, slots=True)
class Chilled:
    """The opening in words that the reader knows, how long the raw meat was kept in minutes, and what to tell of it."""

    text: str
    minutes: float = 0.0
    notes: tuple[str, ...] = ()
    # The days are to be asked for, whatever was read; and where it lies now.
    open_days: bool = False
    open_place: bool = False


def chilled(text: str, rulebase: Rulebase, now: datetime) -> Chilled:
    """Take the days that raw meat has been kept out of an opening, and the words of a thaw that is over.

    Parameters
    ----------
    text : str
        The opening.
    rulebase : Rulebase
        How long loose words mean.
    now : datetime
        Local time, up to which is reckoned.
    """
    notes: list[str] = []
    kept = [0.0]
    thawed = _THAWED.search(text) is not None and _STILL.search(text) is None
    # What came out of the freezer on some day is frozen no more.
    frozen = _FROZEN.search(_GOT.sub(" ", text)) is not None and not thawed
    clauses = [_clause(one, rulebase, now, kept, notes, thawed=thawed, frozen=frozen) for one in _CLAUSE.findall(text)]
    said = "".join(clauses)
    if said != text and thawed and not _FRIDGE.search(said) and not _WARM.search(said):
        notes.append("It is thawed, so we ask where it has been since.")
    vague = next((one for part in (text, *_CLAUSE.findall(text)) if (one := _vague(part)) is not None), None)
    if vague is not None:
        notes.append(f"'{' '.join(vague[0].split())}': so we ask how long it has been in the fridge.")
    doubt = frozen and any(_thaws_since(clause) for clause in _CLAUSE.findall(text))
    return Chilled(said, max(kept), tuple(notes), vague is not None, doubt)


def nights_since(text: str, now: datetime) -> float:
    """Minutes of what lay for some nights, or overnight, up to now; nought where no nights are told."""
    found = _NIGHTS.search(text)
    since = kept_since(found[0], now) if found is not None else None
    return since[0] if since is not None else 0.0


def _vague(clause: str) -> re.Match[str] | None:
    """Words that leave open for how many days it has been in the fridge."""
    return _OPEN_END.search(clause) if _FRIDGE.search(clause) and not _WARM.search(clause) else None


def _thaws_since(clause: str) -> bool:
    """Whether what was frozen is said to be in the fridge, or to thaw, since some day."""
    return _SINCE.search(clause) is not None and (
        _THAWING.search(clause) is not None or _FRIDGE.search(clause) is not None
    )


def kept_since(text: str, now: datetime) -> tuple[float, str] | None:
    """Read an answer that names the day or the nights: minutes up to now, and what was taken.

    Examples
    --------
    >>> kept_since("bought yesterday", datetime(2026, 11, 26, 12))
    (2160.0, 'since Wed 00:00 at the earliest, 36 h')
    """
    found = _ANSWER.fullmatch(text.strip(" .!"))
    if found is None:
        return None
    # What has just come in may have come at any hour of this day; what lay for two nights came two days ago.
    day = found[1] or (f"{found[3]} ago" if found[3] else "yesterday" if found[4] else "today")
    begun = _begun(day, now)
    if found[2]:
        hour, minute, half = re.fullmatch(r"(\d+)(?:[:.](\d+))?\s*([apAP]?).*", found[2]).groups()  # type: ignore[union-attr]
        late = half.lower() == "p"
        begun = begun.replace(
            hour=int(hour) % HALF_DAY + HALF_DAY * late if half else int(hour), minute=int(minute or 0)
        )
        begun = begun if begun <= now else begun - timedelta(days=1)
    return _since(begun, now)


def _clause(
    clause: str,
    rulebase: Rulebase,
    now: datetime,
    kept: list[float],
    notes: list[str],
    *,
    thawed: bool,
    frozen: bool,
) -> str:
    clause = _BEEN.sub(" ", clause)
    for pattern in (_SINCE, _GOT, _OLD):
        found = pattern.search(clause)
        if found is None or (pattern is _SINCE and _WARM.search(clause)):
            continue
        words = " ".join(found[0].split())
        if frozen and not (pattern is _SINCE and _thaws_since(clause)):
            notes.append(f"'{words}' is not counted, for it is frozen now.")
        else:
            kept.append(_told(found[found.lastindex or 0], words, now, notes))
        clause = f"{clause[: found.start()]} {clause[found.end() :]}"
    for loose, minutes in sorted(rulebase.trade_words.get(LOOSE, {}).items(), key=lambda one: -len(one[0])):
        found = re.search(rf"\b(?:for\s+)?{loose}\b", clause, re.IGNORECASE)
        if found is not None and _FRIDGE.search(clause) and not _WARM.search(clause):
            notes.append(f"'{loose}' in the fridge: we count it as {write_quantity(minutes, 'time', 'metric')}.")
            kept.append(minutes)
            clause = f"{clause[: found.start()]} {clause[found.end() :]}"
            break
    if not thawed or _WARM.search(clause):
        return clause  # thawed on the counter is out
    found = _THAWED.search(clause)
    if found is not None:
        if found[1]:
            day = re.search(_DAYS, found[1], re.IGNORECASE)
            kept.append(_told(day[0] if day is not None else "", " ".join(found[0].split()), now, notes))
        place = " in the fridge " if found[1] and _FRIDGE.search(found[1]) else " "
        clause = f"{clause[: found.start()]}{place}{clause[found.end() :]}"
    return _FROZEN.sub(" ", clause)


def _told(day: str, words: str, now: datetime, notes: list[str]) -> float:
    """The minutes since a day began, said back."""
    minutes, told = _since(_begun(day, now), now)
    notes.append(f"'{words}': raw in the fridge {told}. We count that.")
    return minutes


def _since(begun: datetime, now: datetime) -> tuple[float, str]:
    minutes = float(max(0, ceil((now.astimezone(UTC) - begun.astimezone(UTC)).total_seconds() / MINUTE)))
    return minutes, f"since {write_moment(begun, now=now)} at the earliest, {write_quantity(minutes, 'time', 'metric')}"


def _begun(text: str, now: datetime) -> datetime:
    """The beginning of the day that is meant, or of the part of it that was told; of two days the earlier."""
    words = text.lower().split()
    counted = words[-1] in ("ago", "old")
    part = next((hour for word, hour in _PARTS.items() if word in words and not counted), 0)
    begun = _day(words if counted or words[0] == "last" else [word for word in words if word not in _PARTS], now)
    later = begun.replace(hour=part)
    return later if later <= now else begun


def _day(words: list[str], now: datetime) -> datetime:
    """Midnight at which the day begins."""
    today = now.replace(hour=0, minute=0, second=0, microsecond=0)
    # Before the day begins for most, "today" is the evening before.
    midnight = today - timedelta(days=1) if now.hour < MORNING else today
    key = " ".join(words)
    if key in ("today", "this", "this morning"):
        return midnight
    if "before" in words:
        return midnight - timedelta(days=2)
    if "yesterday" in words or key == "last night":
        return midnight - timedelta(days=1)
    if key == "last week":
        return midnight - timedelta(days=now.weekday() + WEEK)
    if words[-1] in ("ago", "old"):
        count = int(words[0]) if words[0].isdigit() else _SMALL.get(words[0], 1)
        unit = {"d": 1, "n": 1, "w": WEEK, "m": 31}[words[1][0]]
        return midnight - timedelta(days=count * unit)
    back = (now.weekday() - _WEEKDAYS.index(words[-1][:3])) % WEEK or WEEK
    if "last" in words and back <= now.weekday():
        back += WEEK  # "last Monday", said on a Wednesday, may be that of the week before
    return today - timedelta(days=back)
