"""A case as words that read back to the same case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.case.contradictions import HEATERS
from advisor.case.model import Given
from advisor.case.names import sure_name
from advisor.case.words.draft import ACTION_OF_PLACE, LIES
from advisor.case.words.lexicon import lexicon_of, words_of
from advisor.case.words.playback import ON
from advisor.units.convert import convert

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.case.model import Case, Ingredient, PlanStep
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

# As a plan file writes them: the unit that is stored, and the cook's own where that is another.
UNITS = {
    "temperature": "C",
    "time": "min",
    "length": "mm",
    "mass": "g",
    "percent": "%",
    "count": "",
}
US_UNITS = {"temperature": ("F", "degC", "degF"), "length": ("in", "millimeter", "inch")}
DECIMALS = 6  # finer than any kitchen can measure
# Said without their name where they stand.
PLAIN = ("place", "temperature", "minutes")


def say_case(case: Case, rulebase: Rulebase) -> str:
    """Write a case in words, one sentence for the meat and the guests and one for each step.

    What was assumed is left out, so that reading the words assumes it anew.
    """
    sentences = [_facts(case.piece, "piece", case, rulebase), _facts(case.guests, "guests", case, rulebase)]
    sentences += [_step(step, case, rulebase) for step in case.steps]
    if case.serve is not None:
        sentences.append(f"Service time: {case.serve:%Y-%m-%d} at {case.serve:%H:%M}")
    if case.code:
        sentences.append(f"Food code: {case.code.replace('_', ' ')}")
    return "\n".join(f"{sentence[0].upper()}{sentence[1:]}." for sentence in sentences if sentence)


def _said(given: Mapping[str, Given], vocabulary: Mapping[str, VocabularyFact]) -> dict[str, Given]:
    return {
        name: entry
        for name, entry in given.items()
        if not entry.origin.startswith("assumed") and not vocabulary[name].computed and not vocabulary[name].concluded
    }


def _facts(given: Mapping[str, Given], subject: str, case: Case, rulebase: Rulebase) -> str:
    vocabulary = rulebase.vocabulary[subject]
    said = _said(given, vocabulary)
    if "cut" in said and "form" not in said:
        # Else the reader might take it from the name of the cut.
        said["form"] = Given(None, "not known")
    return "; ".join(
        f"{name.replace('_', ' ')}: {_value(name, entry, vocabulary[name], case, rulebase)}"
        for name, entry in said.items()
        if name != "softener"
    )


def _value(name: str, given: Given, entry: VocabularyFact, case: Case, rulebase: Rulebase) -> str:
    if given.value is None:
        return "not known"
    if name == "cut":
        return sure_name(str(given.value), rulebase).replace("_", " ")
    if name == "place":
        return rulebase.media[str(given.value)].name
    if isinstance(given.value, str):
        return given.value.replace("_", " ")
    return figure(given.value, entry.quantity or "count", case.system)


def figure(value: float, quantity: str, system: str) -> str:
    """A figure with its unit, fine enough to read back as the same.

    Examples
    --------
    >>> figure(57.5, "temperature", "metric"), figure(25.4, "length", "us")
    ('57.5 C', '1 in')
    """
    if system == "us" and quantity in US_UNITS:
        unit, stored, own = US_UNITS[quantity]
        return f"{_number(convert(value, stored, own))} {unit}"
    return f"{_number(value)} {UNITS[quantity]}".rstrip()


def _number(value: float) -> str:
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _step(step: PlanStep, case: Case, rulebase: Rulebase) -> str:
    vocabulary = rulebase.vocabulary["step"]
    given = _said(step.given, vocabulary)
    parts = [f"then {verb_of(step.action)}"]
    if step.ingredients:
        parts.append("with " + " and ".join(_thing(item, rulebase) for item in step.ingredients))
    place = given.get("place")
    own = ACTION_OF_PLACE.get(str(place.value)) if place is not None else None
    lies = own == step.action or (own is None and step.action in LIES)
    if place is not None and isinstance(place.value, str) and lies:
        parts.append(f"{'on' if place.value in ON else 'in'} the {rulebase.media[place.value].name}")
    # A heat on a step that heats nothing would be asked about; with its name before it, it is taken.
    hot = step.number("temperature") >= rulebase.trade_words["likely from"]["bath"]
    named = {"temperature"} if hot and step.action not in (*HEATERS, "hot_hold") else set()
    for name, before in (("temperature", "at "), ("minutes", "for ")):
        entry = given.get(name)
        if entry is not None and isinstance(entry.value, float | int) and name not in named:
            parts.append(before + figure(entry.value, vocabulary[name].quantity or "", case.system))
    rest = [
        f"{name.replace('_', ' ')}: {_value(name, entry, vocabulary[name], case, rulebase)}"
        for name, entry in given.items()
        if name not in PLAIN or name in named or entry.value is None or (name == "place" and not lies)
    ]
    if step.action == "braise" and not {"temperature", "until_core"} & set(given):
        # Else the word alone would say how hot it is.
        rest.append("temperature: not known")
    return ", ".join([" ".join(parts), *rest])


def verb_of(action: str) -> str:
    """The word with which a step is said."""
    return {"salt": "salt it", "hot_hold": "hold hot"}.get(action, action.replace("_", " "))


def _thing(item: Ingredient, rulebase: Rulebase) -> str:
    known = rulebase.materials.get(item.what) or rulebase.tenderisers[item.what]
    name = rulebase.tenderisers[item.what].name if item.what in rulebase.tenderisers else known.name
    said = item.form.replace("_", " ") if item.form not in ("", "unknown") else ""
    form = f"{said} " if said else ""
    roles = lexicon_of(rulebase).roles.get(words_of(form + name), [])
    if any(kind == "WITH" and value != item.what for kind, value in roles):
        # "cooked garlic" is an entry of its own.
        form, name = "", f"{name} ({said})"
    if item.share_pct is not None:
        return f"{_number(item.share_pct)} % {form}{name} of the meat"
    if item.grams is not None:
        return f"{_number(item.grams)} g {form}{name}"
    return f"{form}{name}"
