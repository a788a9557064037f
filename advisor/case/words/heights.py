"""How high up the kitchen stands, as cooks say it: "at 2000 m", "6500 feet up"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.phrases import Phrase

# No meat is so long, and nothing is cooked "at" so many minutes.
LEAST_LENGTH_MM: Final = 100_000.0
LEAST_METRES: Final = 300.0
FACT: Final = ("guests", "altitude")


def take_height(builder: Builder, phrase: Phrase) -> bool:
    """Take a length that no meat has, or "at 2000 m", as the height of the kitchen; False where it is neither."""
    height = _as_height(builder, phrase)
    if height is None:
        return False
    plan = builder.plan
    if builder.label == FACT:
        builder.label = None
    return plan.put(plan.guests, plan.rulebase.vocabulary["guests"]["altitude"], "altitude", height)


def _as_height(builder: Builder, phrase: Phrase) -> Phrase | None:
    if phrase.low is None or phrase.high is None or phrase.problem:
        return None
    if phrase.kind == "length":
        return phrase if phrase.low >= LEAST_LENGTH_MM or builder.label == FACT else None
    # A lone "m" is minutes in a kitchen.
    if phrase.kind != "time" or not any(word.text in ("m", "M") for word in phrase.words):
        return None
    before = builder.just_before()
    said = builder.label == FACT or (before is not None and before.token.key == "at")
    if not said or phrase.low < LEAST_METRES:
        return None
    return replace(phrase, kind="length", low=1000.0 * phrase.low, high=1000.0 * phrase.high)
