"""Every stay out of the cold that the words tell of, added up: "out 30 min, and 8 hours in the car".

The reader of steps gives a time to the step it stands by, so one told of the table could end in the oven, and of two
only the first was kept. Here the clauses that say out, warm or not cold are found by themselves. Where the case holds
less than they tell, their times are put together; what cannot be reckoned is asked.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from advisor.case.contradictions import HEATERS
from advisor.case.model import Given
from advisor.case.words import stay_words as said
from advisor.case.words.draft import LIES
from advisor.case.words.joined import STOPS
from advisor.case.words.opened import action_of
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from advisor.case.words.draft import Draft, Plan
    from advisor.case.words.scopes import Item
    from advisor.knowledge.rulebase import Rulebase

# How a sentence ends that asks for a time out of the cold, and one that asks where a time was spent.
HOW_LONG: Final = "say how long it has been out of the cold, in all."
WHERE: Final = "how cold is it there? As long as we do not know, it belongs to no step."
STATE: Final = "start_state"
WARM_PLACES: Final = frozenset({"counter", "rest"})
# What is kept of a clause that tells of a stay.
KEPT: Final = frozenset({"CUT", "ANIMAL", "MEAT", "FORM", "CODE", "LABEL", "FARMED", "WILD", *STOPS})
TELLS: Final = frozenset({"CUT", "ANIMAL", "MEAT", "CHOICE", "WITH", "PLACE", "LABEL", "CORE", "UNTIL", "PEOPLE"})
SIZES: Final = frozenset({"mass", "length", "volume", "percent"})
ROOM_C: Final = 45.0  # above this a heat is one to cook or to hold at
NOON: Final = 12
DAY_MIN, HOUR_MIN, SLACK_MIN = 1440, 60, 1.0
FEW: Final = 5  # words


@dataclass(frozen=True, slots=True)
class Stay:
    """One clause that tells of meat out of the cold.

    ``minutes`` is None where it cannot be reckoned, ``heat`` how hot it may be there, 0 for a kitchen; ``power`` says
    that the cold failed, and ``where`` that the place is none we know.
    """

    start: int
    end: int
    minutes: float | None
    heat: float = 0.0
    power: bool = False
    where: bool = False


def stays(text: str, items: Sequence[Item], rulebase: Rulebase) -> list[Stay]:
    """Find the clauses that tell of meat which is, or was, out of the cold."""
    found: list[Stay] = []
    heated = follows = False
    for start, end in _clauses(text, items):
        inside = [one for one in items if start <= one.start and one.end <= end and one.kind not in STOPS]
        words = text[start:end]
        if not words.strip():
            continue
        stay = _stay(_Clause(words, inside, heated, follows), start, end, rulebase)
        if stay is not None:
            found.append(stay)
        follows = stay is not None and not stay.where
        heated = heated or any(_heats(one) for one in inside)
    return found


def lacking(found: Sequence[Stay], plan: Plan) -> bool:
    """Whether the case as it was read holds less time out of the cold than the words tell of."""
    off = any("power_off" in draft.given for draft in plan.drafts)
    found = [stay for stay in found if not (stay.power and off)]
    if any(stay.where and any(stay.start <= a and b <= stay.end for a, b in plan.placed) for stay in found):
        return True
    found = [stay for stay in found if not stay.where]
    if not found:
        return False
    out = plan.piece.get(STATE)
    is_out = out is not None and out.value == "out"
    told = plan.piece.get("out_minutes")
    if any(stay.minutes is None for stay in found):
        used = any(stay.start <= start and end <= stay.end for stay in found for start, end in plan.placed)
        return not is_out or (told is not None and told.value is not None) or used
    is_out = is_out or (told is not None and (out is None or out.value == "frozen"))
    held = 0.0 if told is None or told.value is None else told.number
    for draft in plan.drafts:
        place, minutes = draft.given.get("place"), draft.given.get("minutes")
        warm = place is not None and place.value in WARM_PLACES and minutes is not None
        if warm and minutes is not None and place is not None and any(_same(stay, draft, plan) for stay in found):
            held += minutes.number if minutes.value is not None else 0.0
            is_out = True
    hot = max((stay.heat for stay in found), default=0.0)
    heat = plan.piece.get("out_temperature")
    cooler = bool(hot) and (heat is None or heat.value is None or heat.number < hot)
    return not is_out or cooler or held < sum(stay.minutes or 0.0 for stay in found) - SLACK_MIN


def _same(stay: Stay, draft: Draft, plan: Plan) -> bool:
    """Whether a step in the warm is the stay: it begins there, or has its place and its time from there."""
    words = plan.cut(stay.start, stay.end)
    facts = (draft.given["place"].as_written, draft.given["minutes"].as_written)
    implied = draft.implied and draft.action == "hold" and facts[1] in words
    return stay.start <= draft.start <= stay.end or implied or all(one and one in words for one in facts)


def set_aside(items: Sequence[Item], found: Sequence[Stay], plan: Plan) -> None:
    """Take the words of the stays away from the reader of steps."""
    for item in items:
        stay = next((one for one in found if one.start <= item.start and item.end <= one.end), None)
        size = item.phrase is not None and item.phrase.kind in SIZES
        if stay is None or size or (item.phrase is None and (item.kind in KEPT or _of_more(item))):
            continue
        if stay.where:
            if _is_time(item):
                item.part = "stay"
                plan.lose(item.start, item.end, WHERE)
            continue
        item.part = "stay"
        if stay.minutes is None and item.phrase is not None:
            plan.lose(item.start, item.end)
        else:
            plan.place(item.start, item.end)


def put_stays(plan: Plan, items: Sequence[Item], found: Sequence[Stay]) -> None:
    """Put the times of all stays together; where one cannot be reckoned, ask."""
    found = [stay for stay in found if not stay.where]
    if not found:
        return
    words = ", ".join(plan.cut(stay.start, stay.end).strip(" ,.;") for stay in found)
    told = plan.piece.get(STATE)
    if all(stay.power for stay in found) and (told is None or told.value != "out"):
        plan.piece.pop(STATE, None)
        plan.ask(f"'{words}': {HOW_LONG}")
        return
    plan.piece[STATE] = Given("out", "written", words)
    minutes = [stay.minutes for stay in found]
    plan.piece.pop("out_minutes", None)
    if None in minutes:
        plan.ask(f"'{words}': {HOW_LONG}")
    else:
        total = sum(one for one in minutes if one is not None)
        shown = write_quantity(total, "time", "metric")
        plan.piece["out_minutes"] = Given(float(total), "written", shown, f"'{words}' is {shown} out of the cold")
    inside = [one for one in items if any(stay.start <= one.start and one.end <= stay.end for stay in found)]
    heats = [one.phrase.high for one in inside if one.phrase is not None and one.phrase.kind == "temperature"]
    warm = plan.piece.get("out_temperature")
    if warm is not None and warm.value is not None:
        heats.append(warm.number)
    heat = max([*(one for one in heats if one is not None), *(stay.heat for stay in found)], default=0.0)
    if heat:
        plan.piece["out_temperature"] = Given(float(heat), "written", write_quantity(heat, "temperature", "metric"))


@dataclass(frozen=True, slots=True)
class _Clause:
    """One clause, and what stands in it: a step, the cold, a time; a heat or a stay before it."""

    words: str
    inside: Sequence[Item]
    heated: bool
    follows: bool

    @property
    def steps(self) -> bool:
        """Whether a step is told; before any heat "on the table" is not where it is served, and "sat" is no step."""
        done = [one for one in self.inside if one.kind == "ACTION"]
        if not self.heated:
            done = [one for one in done if action_of(one) != "serve" and not said.LAY.search(one.token.text)]
        return bool(done) or any(one.kind == "ACTPLACE" for one in self.inside)

    @property
    def cold(self) -> bool:
        """Whether a cold place is told."""
        return any(one.kind == "PLACE" and one.token.value not in WARM_PLACES for one in self.inside)

    @property
    def timed(self) -> bool:
        """Whether a time is told."""
        return any(_is_time(one) for one in self.inside) or self.has(said.SPAN) or self.has(said.VAGUE)

    @property
    def tells(self) -> bool:
        """Whether it tells of more than a place and a time."""
        return self.steps or self.cold or any(_tells(one) for one in self.inside)

    def has(self, pattern: re.Pattern[str]) -> bool:
        """Whether a pattern stands in it."""
        return pattern.search(self.words) is not None

    @property
    def silent(self) -> bool:
        """Whether nothing is told of the meat as it is: denied, asked, or said of what is cooked already."""
        live = any(one.part == "said" for one in self.inside) or (self.follows and self.has(said.OFTEN))
        denied = self.has(said.NOT) and not self.has(said.UNSURE)
        # "Rice: left out" is said of the rice.
        denied = denied or any(_of_a_step(one) for one in self.inside)
        return not live or denied or (self.heated and not self.has(said.WAS))

    @property
    def out(self) -> bool:
        """Whether it says "out"."""
        lay = self.has(said.LAY)
        if not self.has(said.OUT) or self.has(said.NO_OUT) or (self.steps and not lay):
            return False
        alone = not said.LIGHT.sub("", self.words).strip()
        return self.timed or self.has(said.LEFT_OUT) or alone

    def lies(self, place: str) -> bool:
        """Whether the meat lay in this warm place, was warm, or was out."""
        here = bool(place) and not self.cold and (self.timed or self.has(said.LAY))
        here = here and (not self.steps or self.has(said.WAS))
        return (
            here
            or self.out
            or ((self.has(said.WARM) or (self.has(said.SUN) and self.timed)) and not self.steps and not self.cold)
        )

    @property
    def more(self) -> bool:
        """Whether it goes on with the stay told before it: "and again 50 min", "maybe 2"."""
        if not self.follows or self.tells or _hot(self.inside):
            return False
        often = self.has(said.OFTEN)
        return (self.timed and not often) or (often and len(self.words.split()) <= FEW)

    @property
    def nowhere(self) -> bool:
        """Whether a time was spent in a place that is none we know, or on the way; "12 h in a bowl" is none."""
        if not self.timed or self.tells or self.has(said.VESSEL) or self.has(said.DAYS):
            return False
        heats = any(one.phrase is not None and one.phrase.kind == "temperature" for one in self.inside)
        return self.has(said.TRAVEL) or (not heats and any(one.kind == "JUNK" for one in self.inside))

    def lies_in(self, place: str) -> bool:
        """Whether raw meat lies, as in a marinade, in a place that no step can have."""
        done = [action_of(one) for one in self.inside if one.kind == "ACTION"]
        placed = any(one.kind in ("PLACE", "ACTPLACE") for one in self.inside)
        return bool(place) and bool(done) and set(done) <= LIES and self.timed and not placed


def _stay(clause: _Clause, start: int, end: int, rulebase: Rulebase) -> Stay | None:
    """What a clause tells of a stay out of the cold; None where it tells of none."""
    minutes = _minutes(clause.words, clause.inside)
    if clause.has(said.NOT_COLD) and not clause.heated:
        return Stay(start, end, minutes)
    if clause.silent:
        return None
    if not clause.heated and (clause.has(said.BROKEN) or (clause.has(said.POWER) and not clause.steps)):
        return Stay(start, end, None, power=True)
    place, heat = _place(clause.words, rulebase)
    if clause.has(said.SUN):
        heat = max(rulebase.trade_words.get(said.HEATS, {}).values(), default=0.0)
    if clause.has(said.TAKEN):
        return Stay(start, end, None, heat)
    if clause.lies(place):
        return Stay(start, end, minutes, heat)
    if clause.more:
        return Stay(start, end, minutes)
    return Stay(start, end, None, where=True) if clause.nowhere or clause.lies_in(place) else None


def _clauses(text: str, items: Sequence[Item]) -> Iterator[tuple[int, int]]:
    """Stretches of the text between stops and joining words; no figure is cut in two."""
    solid = [(one.start, one.end) for one in items if one.phrase is not None or one.kind in ("LABEL", "CHOICE")]
    solid += [found.span() for found in said.SPAN.finditer(text)]
    begun = 0
    for found in said.SPLIT.finditer(text):
        if any(start < found.end() and found.start() < end for start, end in solid):
            continue
        yield begun, found.start()
        begun = found.end()
    yield begun, len(text)


def _minutes(words: str, inside: Sequence[Item]) -> float | None:
    """All times of a clause together; None where one cannot be reckoned."""
    if said.OFTEN.search(words) or said.SINCE.search(words):
        return None
    spans = [_span(found[1], found[2]) for found in said.SPAN.finditer(words)]
    rest = said.SPAN.sub(lambda found: " " * len(found[0]), words)
    times = [_longest(one) for one in inside if _is_time(one)]
    bare = [one for one in inside if one.phrase is not None and one.phrase.name == "bare"]
    loose = bool(bare) and re.search(r"\d", said.TIMES.sub("", rest)) is not None and not spans
    if not (spans or times) or None in spans or None in times or loose:
        return None
    return sum(one for one in (*spans, *times) if one is not None)


def _longest(item: Item) -> float | None:
    """The longest that a time can be; "at least 3 hours" has none."""
    return None if item.phrase is None or item.phrase.bound == "least" else item.phrase.high


def _span(first: str, last: str) -> float | None:
    """Minutes from one hour to another; None where morning and evening are not told apart."""
    begins, ends = _clock(first), _clock(last)
    if begins is None or ends is None or max(begins[0], ends[0]) >= 2 * DAY_MIN:
        return None
    late = any(minute >= (NOON + 1) * HOUR_MIN and not told for minute, told in (begins, ends))
    if not late and not (begins[1] and ends[1]):
        return None
    return float((ends[0] - begins[0]) % DAY_MIN or DAY_MIN)


def _clock(text: str) -> tuple[int, bool] | None:
    """Minutes since midnight, and whether morning or evening was told."""
    word = text.strip().lower()
    named = {"noon": 12, "midday": 12, "midnight": 0}
    if word in named:
        return named[word] * HOUR_MIN, True
    figures = [int(part) for part in re.findall(r"\d+", word)]
    hour, minute = figures[0], figures[1] if len(figures) > 1 else 0
    half = re.search(r"([ap])\.?m", word)
    if hour > 2 * NOON or minute >= HOUR_MIN:
        return None
    if half is not None:
        hour = hour % NOON + (NOON if half[1] == "p" else 0)
    return hour * HOUR_MIN + minute, half is not None


def _place(words: str, rulebase: Rulebase) -> tuple[str, float]:
    """The warm place that is named, and how hot it may be there where that is hotter than a kitchen."""
    heats = rulebase.trade_words.get(said.HEATS, {})
    names = sorted({*heats, *said.COUNTERS}, key=len, reverse=True)
    found = re.search(rf"{said.IN_A}({'|'.join(map(re.escape, names))})s?\b", words, re.IGNORECASE)
    room = float(rulebase.media["counter"].worst_c or 0.0)
    hot = [name for name in names if heats.get(name, 0.0) > room]
    found = found or re.search(rf"\b({'|'.join(map(re.escape, hot))})\b", words, re.IGNORECASE)
    if found is None:
        return "", 0.0
    heat = float(heats.get(found[1].lower(), 0.0))
    return found[1].lower(), heat if heat > room else 0.0


def _is_time(item: Item) -> bool:
    return (item.phrase is not None and item.phrase.kind == "time") or item.token.kind == "SPAN"


def _heats(item: Item) -> bool:
    return item.kind == "ACTPLACE" or (item.kind == "ACTION" and action_of(item) in HEATERS)


def _hot(inside: Sequence[Item]) -> bool:
    heats = [one.phrase.high for one in inside if one.phrase is not None and one.phrase.kind == "temperature"]
    return any(heat is None or heat > ROOM_C for heat in heats)


def _tells(item: Item) -> bool:
    """Whether an item says something that is not about where it lay, or how long."""
    return item.kind in TELLS if item.phrase is None else item.phrase.kind in SIZES


def _of_a_step(item: Item) -> bool:
    """Whether it names a fact of a step, but for one without power."""
    value = item.token.value
    return item.kind == "LABEL" and isinstance(value, tuple) and value[0] == "step" and value[1:2] != ("power_off",)


def _of_more(item: Item) -> bool:
    """Whether a choice is of something else than where the meat has been."""
    value = item.token.value
    return item.kind == "CHOICE" and isinstance(value, tuple) and value[1:2] != (STATE,)
