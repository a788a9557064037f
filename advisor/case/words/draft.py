"""A plan while it is being read: drafts of steps, what waits for its step, and what could not be placed."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from advisor.case.contradictions import HEATERS
from advisor.case.model import Given, Ingredient, PlanStep

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.words.phrases import Phrase
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import Kind, System

# Steps that may lie somewhere, so that a place said later belongs to them.
LIES: Final = frozenset(
    {"hold", "marinate", "salt", "brine", "thaw", "chill", "rest", "hot_hold", "inject", "tumble", "reheat", "bag"}
)
TAKES: Final = frozenset({"marinate", "salt", "brine", "bag", "inject", "tumble", "hold"})
# What a place is for, where only the place was said.
ACTION_OF_PLACE: Final = {
    "bath_circulated": "bath",
    "bath_still": "bath",
    "oven_still": "oven",
    "oven_fan": "oven",
    "steam": "oven",
    "pan": "pan",
    "grill": "grill",
    "braise": "braise",
    "pressure_cooker": "braise",
    "ice_bath": "ice",
    "blast_chiller": "chill",
    "hot_cupboard": "hot_hold",
    "heat_lamp": "hot_hold",
    "microwave": "reheat",
    "rest": "rest",
}
COOKS: Final = frozenset({"bath", "oven", "braise", "pan", "grill", "reheat"})
COLD: Final = frozenset({"fridge_still", "fridge_fan", "walk_in"})
# Facts of which less is worse; of all others, more. Heat that kills runs short and cool.
LESS_TIME: Final = frozenset({*HEATERS, "ice"})
LESS_HEAT: Final = frozenset({*HEATERS, "hot_hold"})
SAME_HEAT: Final = 0.6  # °C, a whole °F
FINEST: Final = 9  # decimals
SAME: Final = 0.03  # share by which two figures may differ and still be one measure said twice


@dataclass(slots=True)
class Draft:
    """One step while it is read.

    ``implied`` when only a place or a thing was said; ``closed`` when "then" has ended it; ``referred`` when it was
    only named, as in "after the bath"; ``named`` when it was said of the meat, as in "pounded flank"; ``labelled`` when
    its heat was said by its name; ``heats`` are words that say how hot it is, as "simmer", with their heat in °C, None
    where they may be said of something else.
    """

    action: str
    given: dict[str, Given] = field(default_factory=dict)
    ingredients: list[Ingredient] = field(default_factory=list)
    implied: bool = False
    closed: bool = False
    referred: bool = False
    named: bool = False
    labelled: bool = False
    clause: int = 0
    start: int = 0
    heats: list[tuple[float | None, str]] = field(default_factory=list)

    def done(self) -> PlanStep:
        """Give the step as the case holds it."""
        return PlanStep(self.action, dict(self.given), tuple(self.ingredients))


def worse_end(fact: str, action: str, phrase: Phrase) -> float:
    """The end of a range on which safety rests.

    Raises
    ------
    ValueError
        The phrase has no figure.
    """
    if phrase.low is None or phrase.high is None:
        raise ValueError("the phrase has no figure")
    low, high = sorted((phrase.low, phrase.high))
    return low if less_is_worse(fact, action) else high


def less_is_worse(fact: str, action: str) -> bool:
    """Whether less of it is the dangerous side."""
    if fact == "minutes":
        return action in LESS_TIME
    if fact == "temperature":
        return action in LESS_HEAT
    if fact == "until_core":
        return action in HEATERS
    # Amounts are put on by weight, so a light piece gets the strongest dose; in dry air wet meat stays cooler.
    return fact in ("weight", "humidity")


@dataclass(slots=True)
class Plan:
    """Everything read so far."""

    rulebase: Rulebase
    text: str
    now: datetime
    piece: dict[str, Given] = field(default_factory=dict)
    guests: dict[str, Given] = field(default_factory=dict)
    drafts: list[Draft] = field(default_factory=list)
    serve: datetime | None = None
    meal: bool = False  # served at a meal, of which no hour was told
    code: str = ""
    count: int = 0
    days: list[tuple[str, int, int]] = field(default_factory=list)
    strengths: list[tuple[Draft | None, float, Phrase]] = field(default_factory=list)
    systems: list[System] = field(default_factory=list)
    placed: list[tuple[int, int]] = field(default_factory=list)
    lost: list[tuple[int, int]] = field(default_factory=list)
    unsettled: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def cut(self, start: int, end: int) -> str:
        """A stretch of the text in one line."""
        return " ".join(self.text[start:end].split())

    def place(self, start: int, end: int) -> None:
        """Note words that have their place."""
        self.placed.append((start, end))

    def lose(self, start: int, end: int, why: str = "") -> None:
        """Note words that have no place; with a reason they must be settled first."""
        self.lost.append((start, end))
        if why:
            self.ask(f"'{self.cut(start, end)}': {why}")

    def ask(self, sentence: str) -> None:
        """Note what must be settled."""
        if sentence not in self.unsettled:
            self.unsettled.append(sentence)

    def remark(self, sentence: str) -> None:
        """Note what the cook should hear."""
        if sentence not in self.remarks:
            self.remarks.append(sentence)

    def put(
        self,
        given: dict[str, Given],
        entry: VocabularyFact,
        fact: str,
        phrase: Phrase,
        *,
        action: str = "",
        value: float | None = None,
        note: str = "",
    ) -> bool:
        """Put a figure in its place; False, with the reason noted, when it does not go in."""
        spoken = fact.replace("_", " ").replace("minutes", "time")
        written = self.cut(phrase.start, phrase.end)
        if phrase.low is None:
            self.lose(phrase.start, phrase.end, phrase.problem or "it cannot be read.")
            return True
        # 32 °F is 0 °C and not a hair above it, which frozen meat could not be.
        taken = round(worse_end(fact, action, phrase) if value is None else value, FINEST)
        kept = given.get(fact)
        if kept is not None and isinstance(kept.value, float):
            if abs(kept.value - taken) <= _slack(phrase.kind, kept.value, taken):
                worse = min if less_is_worse(fact, action) else max
                given[fact] = replace(kept, value=worse(kept.value, taken))
                self.place(phrase.start, phrase.end)
                return True
            self.lose(
                phrase.start,
                phrase.end,
                f"the {spoken} was said to be '{kept.as_written}' too. Which is it?",
            )
            return True
        if (entry.low is not None and taken < entry.low) or (entry.high is not None and taken > entry.high):
            self.lose(phrase.start, phrase.end, f"that cannot be a {spoken}.")
            return True
        less = less_is_worse(fact, action)
        if fact != "weight" and ((phrase.bound == "least" and not less) or (phrase.bound == "most" and less)):
            side = "how much it is at the most" if phrase.bound == "least" else "how much it is at the least"
            self.lose(phrase.start, phrase.end, f"say {side}; the {spoken} could be any beyond it.")
            return True
        notes = [note] if note else []
        if phrase.ranged:
            end = "smaller" if less else "larger"
            notes.append(f"the {end} figure is taken, the worse one")
        if phrase.hedged:
            notes.append("about")
        if phrase.kind in ("length", "mass", "temperature"):
            self.systems.append(phrase.system)
        given[fact] = Given(taken, "written", written, "; ".join(notes))
        self.place(phrase.start, phrase.end)
        return True


def _slack(kind: Kind | None, one: float, other: float) -> float:
    """How far one measure said twice, in two systems, may differ."""
    return SAME_HEAT if kind == "temperature" else SAME * max(abs(one), abs(other))
