"""A number without C or F: taken where only one of the two is likely for the step, asked back otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from advisor.case.model import Given
from advisor.case.words.draft import worse_end
from advisor.units import read_quantity

if TYPE_CHECKING:
    from advisor.case.words.draft import Draft, Plan
    from advisor.case.words.phrases import Phrase

LETTERS: Final = ("C", "F")
PLACE_KEYS: Final = {
    "fridge_still": "fridge",
    "fridge_fan": "fridge",
    "walk_in": "fridge",
    "blast_chiller": "fridge",
    "freezer": "freezer",
    "counter": "room",
    "rest": "room",
    "running_water": "room",
    "ice_bath": "ice",
    "hot_cupboard": "hot_hold",
    "heat_lamp": "hot_hold",
    "bath_circulated": "bath",
    "bath_still": "bath",
    "oven_still": "oven",
    "oven_fan": "oven",
    "steam": "oven",
    "pressure_cooker": "braise",
}
ACTION_KEYS: Final = {"rest": "room", "chill": "fridge"}


def likely_key(fact: str, draft: Draft) -> str:
    """Which row of likely temperatures holds for a fact of a step."""
    if fact == "until_core":
        return "core"
    place = draft.given.get("place")
    if draft.action in ("bath", "oven", "braise", "pan", "grill", "hot_hold", "ice"):
        return draft.action
    if place is not None and str(place.value) in PLACE_KEYS:
        return PLACE_KEYS[str(place.value)]
    return ACTION_KEYS.get(draft.action, draft.action)


def place_bare(plan: Plan, draft: Draft, fact: str, phrase: Phrase) -> None:
    """Take a bare temperature in the one unit that is likely; ask it back when both are, or neither."""
    written = plan.cut(phrase.start, phrase.end)
    if phrase.low is None or phrase.high is None or phrase.problem:
        plan.lose(phrase.start, phrase.end, phrase.problem)
        return
    if fact not in ("temperature", "until_core"):
        plan.lose(phrase.start, phrase.end, "a number without a unit.")
        return
    words = plan.rulebase.trade_words
    key = likely_key(fact, draft)
    low, high = words["likely from"].get(key), words["likely to"].get(key)
    ends = {letter: _celsius(phrase, letter) for letter in LETTERS}
    fits = [
        letter
        for letter, values in ends.items()
        if low is not None and high is not None and all(low <= value <= high for value in values)
    ]
    number = written.rstrip("°º ").removesuffix("degrees").removesuffix("degree").strip()
    if len(fits) != 1:
        guess = _guess(plan, ends, low, high)
        plan.lose(phrase.start, phrase.end, f"is it C or F? We think {number} {guess}. Write {number} C or {number} F.")
        return
    (letter,) = fits
    other = "F" if letter == "C" else "C"
    values = ends[letter]
    value = worse_end(fact, draft.action, _scaled(phrase, values))
    if fact in draft.given:
        plan.lose(phrase.start, phrase.end, f"the heat was said to be '{draft.given[fact].as_written}' too.")
        return
    note = f"taken as {number} {letter}; say {number} {other} if you meant that"
    if phrase.ranged:
        note += "; the worse end is taken"
    draft.given[fact] = Given(value, "written", written, note)
    plan.place(phrase.start, phrase.end)
    plan.systems.append("metric" if letter == "C" else "us")


def _guess(plan: Plan, ends: dict[str, tuple[float, float]], low: float | None, high: float | None) -> str:
    """The unit that we think was meant; only ever shown, never used.

    It is the cook's own way of measuring; where none was seen, that in which the heat lies nearer to what is usual.
    """
    us, metric = plan.systems.count("us"), plan.systems.count("metric")
    if us != metric:
        return "F" if us > metric else "C"
    if low is None or high is None:
        return "C"
    return min(LETTERS, key=lambda letter: abs(ends[letter][1] - (low + high) / 2.0))


def _celsius(phrase: Phrase, letter: str) -> tuple[float, float]:
    low, high = (read_quantity(f"{value:.6f} {letter}", "temperature").value for value in (phrase.low, phrase.high))
    return low, high


def _scaled(phrase: Phrase, values: tuple[float, float]) -> Phrase:
    from dataclasses import replace

    return replace(phrase, low=values[0], high=values[1])
