"""What each step is for the food, and what lies on the meat meanwhile. No temperatures here but those of the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.case.model import Case, Ingredient, PlanStep
    from advisor.knowledge.rulebase import Rulebase

COOKS = frozenset({"bath", "oven", "braise", "pan", "grill", "reheat"})
SEARS = frozenset({"pan", "grill"})

WAITS = frozenset({"hold", "marinate", "salt", "brine", "thaw", "rest", "chill", "ice", "hot_hold"})
WET = frozenset({"marinate", "brine", "bath", "braise", "thaw", "inject", "tumble", "ice"})
# What opens a bag or uncovers the meat.
OPENS = frozenset(
    {
        "dry",
        "pan",
        "grill",
        "slice",
        "serve",
        "wipe",
        "score",
        "needle",
        "pound",
        "inject",
        "oven",
        "rest",
        "tumble",
        "put_stuffing_in",
        "pull_to_shreds",
    }
)
DRY_FORMS = frozenset({"dried", "dried_powder", "freeze_dried"})


def passes(step: PlanStep) -> float:
    """How many times the time of a step passes: a sear is told for one side."""
    return max(1.0, step.number("sides", 1.0)) if step.action in SEARS else 1.0


@dataclass(frozen=True, slots=True)
class Softener:
    """An enzyme-bearing thing on the meat.

    ``pct`` is its amount as percent of the meat's weight, ``live`` the share of the fresh strength left in its form.
    """

    what: str
    name: str
    step: int
    pct: float
    live: float


@dataclass(frozen=True, slots=True)
class Lies:
    """What is so during one step."""

    sealed: bool
    aromatic: bool
    acid: bool
    sharp: bool
    soda: bool
    live_softener: bool


def live_share(item: Ingredient, rulebase: Rulebase) -> float:
    """Share of the fresh enzyme strength in an ingredient as it is used; an unknown form counts as fresh."""
    tenderiser = rulebase.tenderisers.get(item.what)
    if tenderiser is None or tenderiser.strength <= 0:
        return 0.0
    form = item.form if item.form not in ("", "unknown") else "fresh"
    return tenderiser.forms.get(form, 1.0)


def softeners(case: Case, rulebase: Rulebase) -> tuple[Softener, ...]:
    """List everything with live enzyme that the plan puts on, in order."""
    weight = case.number("piece", "weight", 1.0)
    return tuple(
        Softener(
            item.what,
            item.as_written or item.what,
            index,
            100.0 * (item.grams or 0.0) / weight,
            live_share(item, rulebase),
        )
        for index, step in enumerate(case.steps)
        for item in step.ingredients
        if live_share(item, rulebase) > 0
    )


def is_aromatic(item: Ingredient, rulebase: Rulebase) -> bool:
    """Whether an ingredient is a low-acid plant from the soil, such as garlic; frying it kills no spores."""
    material = rulebase.materials.get(item.what)
    return material is not None and material.low_acid_aromatic and item.form not in DRY_FORMS


def is_sharp(item: Ingredient, rulebase: Rulebase) -> bool:
    """Whether it is sour enough to turn the outside chalky in hours: juice and vinegar, not dairy or wine."""
    tenderiser = rulebase.tenderisers.get(item.what)
    return tenderiser is not None and tenderiser.kind == "acid" and tenderiser.acid_pct > 0


def lies(case: Case, rulebase: Rulebase) -> tuple[Lies, ...]:
    """For each step: whether the meat is sealed, and what lies on it."""
    found: list[Lies] = []
    sealed = aromatic = acid = sharp = soda = softener = False
    for step in case.steps:
        if step.action in OPENS:
            sealed = False
        if step.action in ("wipe", "pan", "grill"):
            acid = sharp = soda = False
        if step.action == "bag":
            sealed = True
        aromatic = aromatic or any(is_aromatic(item, rulebase) for item in step.ingredients)
        kinds = {rulebase.tenderisers[item.what].kind for item in step.ingredients if item.what in rulebase.tenderisers}
        acid, soda = acid or bool(kinds & {"acid", "dairy"}), soda or "alkali" in kinds
        sharp = sharp or any(is_sharp(item, rulebase) for item in step.ingredients)
        softener = softener or any(live_share(item, rulebase) > 0 for item in step.ingredients)
        found.append(Lies(_sealed_in(step, sealed=sealed), aromatic, acid, sharp, soda, softener))
        sealed = sealed or step.word("sealed") == "yes"
    return tuple(found)


def _sealed_in(step: PlanStep, *, sealed: bool) -> bool:
    said = step.word("sealed")
    if said:
        return said == "yes"
    # Meat in a water bath is in a bag unless the plan says that it is not.
    return sealed or step.action == "bath"


def heats(step: PlanStep, rulebase: Rulebase) -> bool:
    """Whether a cooking step is hot enough to count: a lukewarm bath or oven is a warm hold, whatever its name."""
    if step.action not in COOKS:
        return False
    medium = rulebase.media[step.word("place", "counter")]
    temperature = step.number("temperature", medium.usual_c or 0.0)
    return temperature >= rulebase.no_kill_credit_below_c


def last_cook(case: Case) -> int | None:
    """Index of the last cooking step, or None."""
    cooks = [index for index, step in enumerate(case.steps) if step.action in COOKS]
    return cooks[-1] if cooks else None


def first_cook(case: Case) -> int | None:
    """Index of the first cooking step, or None."""
    return next((index for index, step in enumerate(case.steps) if step.action in COOKS), None)
