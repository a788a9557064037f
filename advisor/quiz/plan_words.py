"""A plan in short lines, for the situation of an item."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.infer.text import show_value

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from advisor.case.model import Case, Given, PlanStep
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System

# What of a step is told, in this order; the rest is assumed the same for every reader.
STEP_FACTS = (
    "temperature",
    "minutes",
    "until_core",
    "depth",
    "direction",
    "second_side",
    "slice_thickness",
    "thickness_after",
    "pump_pct",
    "bags",
)
GUEST_FACTS = ("setting", "vulnerable", "advisory", "approval")
PIECE_FACTS = ("cut", "animal", "form", "weight", "thickness", "arrived", "start_state", "out_minutes")
# Wishes and kit; nothing that is wrong with a plan hangs on them.
UNTOLD = frozenset({"want", "bath", "softener", "place", "action", "role", "salt_target"})


def plan_lines(case: Case, rulebase: Rulebase, system: System) -> tuple[str, ...]:
    """Tell a plan: what is on the board, who eats it, and each step on a line."""
    return (
        _board(case, rulebase, system),
        _guests(case, rulebase, system),
        *(f"{number}. {step_words(step, rulebase, system)}" for number, step in enumerate(case.steps, start=1)),
    )


def _board(case: Case, rulebase: Rulebase, system: System) -> str:
    parts = []
    for name in PIECE_FACTS:
        given = case.piece.get(name)
        if given is None or given.value is None:
            continue
        if name == "arrived" and given.value == "intact" and case.word("piece", "form") == "minced":
            continue  # of mince nobody says that it came whole
        entry = rulebase.vocabulary["piece"][name]
        shown = show_value(given.value, entry, system)
        cut = rulebase.cuts.get(str(given.value)) if name == "cut" else None
        shown = cut.name if cut is not None else shown
        parts.append(
            {"thickness": f"{shown} thick", "arrived": f"came {shown}", "out_minutes": f"out for {shown}"}.get(
                name, shown
            )
        )
    more = _more("piece", case.piece, PIECE_FACTS, rulebase, system)
    return f"{'; '.join(parts)}. {more}" if more else "; ".join(parts)


def _more(subject: str, given: Mapping[str, Given], told: Sequence[str], rulebase: Rulebase, system: System) -> str:
    """Tell, in the words of a situation, whatever else the plan says: the fault may be just there."""
    from advisor.quiz.situations import filled

    said = []
    for name, one in given.items():
        words = rulebase.quiz.situations.get(f"{subject} {name}")
        if one.value is None or words is None or name in told or name in UNTOLD:
            continue
        text = words if isinstance(words, str) else words.get(str(one.value), words.get("any", ""))
        said.append(filled(text, one.value, subject, name, rulebase, system))
    return " ".join(one for one in said if one)


def _guests(case: Case, rulebase: Rulebase, system: System) -> str:
    from advisor.quiz.situations import filled

    said = []
    for name in GUEST_FACTS:
        given = case.guests.get(name)
        words = rulebase.quiz.situations.get(f"guests {name}")
        if given is None or not isinstance(given.value, str) or isinstance(words, str) or words is None:
            continue
        said.append(filled(words.get(given.value, ""), given.value, "guests", name, rulebase, system))
    more = _more("guests", case.guests, GUEST_FACTS, rulebase, system)
    return " ".join(one for one in [*said, more] if one)


def step_words(step: PlanStep, rulebase: Rulebase, system: System) -> str:
    """Tell one step in a few words."""
    vocabulary = rulebase.vocabulary["step"]
    parts = [rulebase.quiz.actions.get(step.action, step.action.replace("_", " "))]
    place = step.word("place")
    if place and step.action not in ("bag", "serve", "slice", "dry", "pan", "grill", "ice", "rest"):
        parts[0] += f", {vocabulary['place'].says.get(place, place.replace('_', ' '))}"
    for name in STEP_FACTS:
        given = step.given.get(name)
        if given is not None and given.value is not None:
            shown = show_value(given.value, vocabulary[name], system)
            parts.append(f"{_BEFORE.get(name, '')}{shown}{_AFTER.get(name, '')}")
    for one in step.ingredients:
        from advisor.units import write_quantity

        amount = ""
        if one.share_pct is not None:
            amount = f" {write_quantity(one.share_pct, 'percent', system)}"
        elif one.grams is not None:
            amount = f" {write_quantity(one.grams, 'mass', system)}"
        form = f"{one.form} " if one.form not in ("", "unknown") else ""
        parts.append(f"{form}{one.what.replace('_', ' ')}{amount}")
    more = _more("step", step.given, STEP_FACTS, rulebase, system)
    return f"{', '.join(parts)}. {more}" if more else ", ".join(parts)


_BEFORE = {"until_core": "until the middle reads ", "second_side": "second side: ", "bags": "bags "}
_AFTER = {"depth": " deep", "slice_thickness": " thick", "thickness_after": " thick after it", "pump_pct": " brine"}


def order_words(case: Case, rulebase: Rulebase) -> str:
    """Name the steps in their order, and nothing else."""
    words = ", ".join(rulebase.quiz.actions.get(s.action, s.action) for s in case.steps if s.action != "serve")
    return f"{words[0].upper()}{words[1:]}."
