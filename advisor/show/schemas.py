"""JSON Schemas: of a plan file, made from the vocabulary, and of a result, which stands in a file beside this one."""

from __future__ import annotations

import json
from importlib import resources
from typing import TYPE_CHECKING, Any

from advisor.case.read_plan import INGREDIENT_KEYS, MOST_STEPS, STEP_KEYS, TOP_KEYS

if TYPE_CHECKING:
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema_text(which: str, rulebase: Rulebase) -> str:
    """Text of the schema of a ``plan`` or a ``result``."""
    if which == "result":
        return resources.files("advisor.show").joinpath("result.schema.json").read_text(encoding="utf-8")
    return json.dumps(plan_schema(rulebase), ensure_ascii=False, indent=2) + "\n"


def plan_schema(rulebase: Rulebase) -> dict[str, Any]:
    """Schema of a plan file, from the vocabulary.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> sorted(plan_schema(load_rulebase())["properties"])
    ['as_of', 'code', 'guests', 'open', 'piece', 'serve', 'steps', 'title', 'units']
    """
    step = {name: entry for name, entry in rulebase.vocabulary["step"].items() if not entry.computed}
    short = {long: key for key, long in STEP_KEYS.items()}
    properties: dict[str, Any] = {short.get(name, name): _fact(entry) for name, entry in step.items()}
    ingredient = {
        "type": "object",
        "properties": {key: {"type": ["string", "number"]} for key in INGREDIENT_KEYS},
        "required": ["what"],
        "additionalProperties": False,
    }
    one = {"anyOf": [{"type": "string"}, ingredient]}
    properties["with"] = {"anyOf": [one, {"type": "array", "items": one}]}
    sections: dict[str, Any] = {
        "title": {"type": "string"},
        "units": {"enum": ["metric", "us"]},
        "code": {"type": "string", "description": f"food code it is under: {', '.join(sorted(rulebase.codes))}"},
        "serve": {"type": "string", "description": "day and time, such as Sat 19:00"},
        "as_of": {
            "type": "string",
            "description": "when the days in the fridge were counted, such as 2026-11-28 19:00",
        },
        "piece": _subject("piece", rulebase),
        "guests": _subject("guests", rulebase),
        "steps": {
            "type": "array",
            "maxItems": MOST_STEPS,
            "items": {
                "type": "object",
                "properties": properties,
                "required": ["do"],
                "additionalProperties": False,
            },
        },
        "open": {
            "type": "array",
            "items": {"type": "string"},
            "description": "what could not be read and must be settled first; take a line out when it is",
        },
    }
    return {
        "$schema": DRAFT,
        "title": "A plan",
        "type": "object",
        "properties": {key: sections[key] for key in TOP_KEYS},
        "required": ["steps"],
        "additionalProperties": False,
    }


def _subject(subject: str, rulebase: Rulebase) -> dict[str, Any]:
    facts = {n: _fact(e) for n, e in rulebase.vocabulary[subject].items() if not (e.computed or e.concluded)}
    return {"type": "object", "properties": facts, "additionalProperties": False}


def _fact(entry: VocabularyFact) -> dict[str, Any]:
    # Words may be written in several ways; the reader, not the schema, says which are understood.
    kinds = ["string", "number"] if entry.quantity is not None else ["string", "boolean"]
    described = entry.means + (f" ({', '.join(entry.choices)})" if entry.choices else "")
    return {"type": kinds, "description": described}
