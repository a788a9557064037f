"""A case to a plan file that reads back as the same case."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from advisor.case.names import sure_name
from advisor.case.read_plan import STEP_KEYS
from advisor.knowledge.cuts import EITHER
from advisor.units.convert import convert

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.model import Case, Given, Ingredient, PlanStep
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

# Unit words by kind: stored, metric, US; and the unit to convert to for the cook's own system.
STORED = {
    "temperature": ("C", "degC"),
    "temperature_difference": ("K", "delta_degC"),
    "time": ("min", "minute"),
    "length": ("mm", "millimeter"),
    "mass": ("g", "gram"),
    "volume": ("ml", "milliliter"),
    "percent": ("%", ""),
}
US = {"temperature": ("F", "degF"), "length": ("in", "inch")}
HOUR = 60.0
# Finer than any kitchen can measure.
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
    if case.code:
        data["code"] = case.code
    if case.serve is not None:
        data["serve"] = case.serve.strftime("%Y-%m-%d %H:%M")
    if case.since is not None and case.serve is not None:
        data["as_of"] = case.since.strftime("%Y-%m-%d %H:%M")
    data["piece"] = _facts(case.piece, rulebase.vocabulary["piece"], case.system)
    if isinstance(cut := data["piece"].get("cut"), str):
        data["piece"]["cut"] = sure_name(cut, rulebase)
    data["guests"] = _facts(case.guests, rulebase.vocabulary["guests"], case.system)
    data["steps"] = [_step(step, case.system, rulebase) for step in case.steps]
    data["open"] = list(case.open_points)
    stream = io.StringIO()
    yaml = YAML()
    yaml.default_flow_style = False
    yaml.dump({key: value for key, value in data.items() if value not in ({}, [])}, stream)
    return stream.getvalue()


def _facts(given: Mapping[str, Given], vocabulary: Mapping[str, VocabularyFact], system: str) -> dict[str, str]:
    return {
        name: _value(entry, vocabulary[name], system)
        for name, entry in given.items()
        if (not entry.origin.startswith("assumed") or _one_of_several(name, entry))
        and not vocabulary[name].computed
        and not vocabulary[name].concluded
    }


def _one_of_several(name: str, given: Given) -> bool:
    """Whether it is a cut of which the cook knows that it is one of a few: that much was said."""
    return name == "cut" and isinstance(given.value, str) and EITHER in given.value


def _value(given: Given, entry: VocabularyFact, system: str) -> str:
    if given.value is None:
        return "not known"
    if isinstance(given.value, str) or entry.quantity not in STORED:
        return given.value if isinstance(given.value, str) else _number(given.value)
    word, unit = STORED[entry.quantity]
    if system == "us" and entry.quantity in US:
        us_word, us_unit = US[entry.quantity]
        return f"{_number(convert(given.value, unit, us_unit))} {us_word}"
    if entry.quantity == "time" and given.value and given.value % HOUR == 0:
        return f"{_number(given.value / HOUR)} h"
    return f"{_number(given.value)} {word}"


def _number(value: float) -> str:
    return f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")


def _step(step: PlanStep, system: str, rulebase: Rulebase) -> dict[str, Any]:
    short = {long: key for key, long in STEP_KEYS.items()}
    written: dict[str, Any] = {"do": step.action}
    for name, value in _facts(step.given, rulebase.vocabulary["step"], system).items():
        written[short.get(name, name)] = value
    if step.ingredients:
        written["with"] = [_ingredient(item) for item in step.ingredients]
    return written


def _ingredient(item: Ingredient) -> dict[str, str]:
    written = {"what": item.what.replace("_", " ")}
    if item.form:
        written["form"] = "not known" if item.form == "unknown" else item.form
    if item.share_pct is not None:
        written["amount"] = f"{_number(item.share_pct)} %"
    elif item.grams is not None:
        written["amount"] = f"{_number(item.grams)} g"
    if item.sodium_pct is not None:
        written["sodium"] = f"{_number(item.sodium_pct)} %"
    return written
