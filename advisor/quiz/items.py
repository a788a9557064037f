"""A quiz item: a situation, a question, options each with the claims that make it right or wrong."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence
    from random import Random

    from advisor.knowledge.records import Quantity
    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.claims import Claim, Outcome, Road

ItemKind = Literal[
    "limit",
    "verdict",
    "reason",
    "class",
    "way",
    "first",
    "mend",
    "order",
    "salt",
    "thickness",
    "clock",
    "slice",
    "grain",
]
# Kinds whose question can be answered in one's own words before the options are seen.
RECALLED = frozenset({"limit", "salt", "thickness", "clock"})


@dataclass(frozen=True, slots=True)
class Option:
    """One answer. ``misconception`` is empty for the right one; ``value`` is its figure, where it is one."""

    text: str
    claims: tuple[Claim, ...]
    misconception: str = ""
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One question with its options in the order in which they are shown.

    Parameters
    ----------
    id : str
        Names this question and these options, whatever their order.
    kind : str
        How it was made.
    rule_id : str
        The one rule that decides it.
    state : str
        State of that rule and its limits when it was made; another state retires the item.
    stem, ask : str
        The situation, and the question itself.
    options : tuple of Option
        As shown.
    quantity : str or None
        Of a figure that is asked for; None when the answer is in words.
    told : tuple of str
        Lines of a plan that belong to the situation; figures and names, not prose.
    """

    id: str
    kind: ItemKind
    rule_id: str
    state: str
    stem: str
    ask: str
    options: tuple[Option, ...]
    quantity: Quantity | None = None
    told: tuple[str, ...] = ()

    @property
    def key(self) -> int:
        """Place of the right option, from 0."""
        return next(place for place, option in enumerate(self.options) if not option.misconception)

    @property
    def question(self) -> str:
        """Situation and question in one."""
        return f"{self.stem} {self.ask}".strip()

    @property
    def recalled(self) -> bool:
        """Whether the answer is asked for before the options are shown."""
        return self.kind in RECALLED and self.quantity is not None


def state_of(rule_id: str, rulebase: Rulebase) -> str:
    """Name exactly the state of a rule and of the limits it holds facts against."""
    from advisor.knowledge.conditions import conditions_of

    checked = rulebase.rules[rule_id]
    limits = sorted({c.limit for c in conditions_of(checked.alternatives) if c.limit})
    parts = [checked.rule.model_dump_json(), *(f"{name}={rulebase.limits[name].value!r}" for name in limits)]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()[:12]


def assemble(
    kind: ItemKind,
    rule_id: str,
    rulebase: Rulebase,
    rng: Random,
    question: tuple[str, str],
    options: Sequence[Option],
    *,
    quantity: Quantity | None = None,
    told: tuple[str, ...] = (),
) -> Item:
    """Put an item together: figures in order of size, words in an order drawn by lot."""
    stem, ask = question
    shown = list(options)
    if all(option.value is not None for option in shown):
        shown.sort(key=lambda option: option.value or 0.0)
    else:
        rng.shuffle(shown)
    text = "\0".join([kind, rule_id, stem, ask, *told, *sorted(option.text for option in shown)])
    name = hashlib.sha256(text.encode()).hexdigest()[:12]
    return Item(name, kind, rule_id, state_of(rule_id, rulebase), stem, ask, tuple(shown), quantity, told)


def refutation(option: Option, road: Road) -> Outcome:
    """What the road says of an option: the claim that fails, or the last one when all hold."""
    return road.of_all(option.claims)
