"""A case to a plan file that reads back as the same case."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from advisor.case.read_plan import STEP_KEYS
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.model import Case, Given, Ingredient, PlanStep
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

# Written in metric with this many decimals: finer than any kitchen can measure.
UNIT_OF = {
    "temperature": "C",
    "temperature_difference": "K",
    "time": "min",
    "length": "mm",
    "mass": "g",
    "volume": "ml",
    "percent": "%",
}
DECIMALS = 6


def write_plan(case: Case, rulebase: Rulebase) -> str:
    """Write a case as a plan file (YAML 1.2).

    Values that were assumed are left out, so that reading the file assumes them anew; what the cook does not
    know is written ``not known``.
    """
    from ruamel.yaml import YAML

    data: dict[str, Any] = {}
    if case.title:
        data["title"] = case.title
    data["units"] = case.system
    if case.serve is not None:
        data["serve"] = case.serve.strftime("%Y-%m-%d %H:%M")
    data["piece"] = _facts(case.piece, rulebase.vocabulary["piece"])
    data["guests"] = _facts(case.guests, rulebase.vocabulary["guests"])
    data["steps"] = [_step(step, rulebase) for step in case.steps]
    stream = io.StringIO()
    yaml = YAML()
    yaml.default_flow_style = False
    yaml.dump({key: value for key, value in data.items() if value not in ({}, [])}, stream)
    return stream.getvalue()


def _facts(given: Mapping[str, Given], vocabulary: Mapping[str, VocabularyFact]) -> dict[str, str]:
    return {
        name: _value(entry, vocabulary[name])
        for name, entry in given.items()
        if not entry.origin.startswith("assumed")
        and not vocabulary[name].computed
        and not vocabulary[name].concluded
    }


def _value(given: Given, entry: VocabularyFact) -> str:
    if given.value is None:
        return "not known"
    if isinstance(given.value, str) or entry.quantity is None:
        return str(given.value)
    number = f"{given.value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return f"{number} {UNIT_OF[entry.quantity]}" if entry.quantity in UNIT_OF else number


def _step(step: PlanStep, rulebase: Rulebase) -> dict[str, Any]:
    short = {long: key for key, long in STEP_KEYS.items()}
    written: dict[str, Any] = {"do": step.action}
    for name, value in _facts(step.given, rulebase.vocabulary["step"]).items():
        written[short.get(name, name)] = value
    if step.ingredients:
        written["with"] = [_ingredient(item) for item in step.ingredients]
    return written


def _ingredient(item: Ingredient) -> dict[str, str]:
    written = {"what": item.what.replace("_", " ")}
    if item.form:
        written["form"] = "not known" if item.form == "unknown" else item.form
    if item.share_pct is not None:
        written["amount"] = f"{item.share_pct:.{DECIMALS}f}".rstrip("0").rstrip(".") + " %"
    elif item.grams is not None:
        written["amount"] = (
            write_quantity(0.0, "mass", "metric", both=False)
            if item.grams == 0
            else f"{item.grams:.{DECIMALS}f}".rstrip("0").rstrip(".") + " g"
        )
    return written
