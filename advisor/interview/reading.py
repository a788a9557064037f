"""Reads one answer: a choice, a quantity, a cut, a softener, a time of service."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from advisor.case import names
from advisor.case.model import Given, Ingredient
from advisor.case.read_plan import FORM_WORDS, FORMS
from advisor.errors import InputError
from advisor.knowledge.checks import folded
from advisor.units import read_moment, read_quantity

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.records import Question, VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

Options = tuple[tuple[str, str], ...]
NOTHING = frozenset({"none", "no", "nothing", "0"})
FORM_OPTIONS: Options = (
    ("fresh", "fresh or frozen, raw"),
    ("cooked", "cooked"),
    ("tinned", "from a tin or a carton"),
)
NONE_OF_THESE = ("", "none of these")


@dataclass(frozen=True, slots=True)
class Read:
    """What an answer was read as; with ``options`` it must first be settled by a question back.

    ``settles`` says what the chosen option gives: the cut, or the form of the first softener without one.
    """

    given: Given | None = None
    ingredients: tuple[Ingredient, ...] = ()
    moment: datetime | None = None
    system: Literal["metric", "us", ""] = ""
    ask: str = ""
    options: Options = ()
    settles: Literal["cut", "form", ""] = ""

    def settled(self, value: str) -> Read:
        """Take the chosen option; ``""`` leaves the matter not known."""
        done = replace(self, ask="", options=(), settles="")
        if self.settles == "cut":
            given = (
                Given(value, "answered", self.given.as_written if self.given else "")
                if value
                else Given(None, "not known")
            )
            return replace(done, given=given)
        items = tuple(replace(item, form=value or "unknown") if item.form == "?" else item for item in self.ingredients)
        return replace(done, ingredients=items)


def read_answer(question: Question, text: str, case: Case, rulebase: Rulebase, now: datetime) -> Read:
    """Read an answer to a question.

    Raises
    ------
    InputError
        What was read, what is wrong with it, what to write instead.
    """
    if not text.strip():
        raise InputError("Nothing was typed.", question.again or f"{question.help or 'Type your answer'}, or dk.")
    if question.fact == "goal serve":
        return Read(moment=read_moment(text, now))
    if question.fact == "steps softeners":
        return _softeners(text, rulebase)
    subject, _, fact = question.fact.partition(" ")
    entry = rulebase.vocabulary[subject][fact]
    if fact == "cut":
        return _cut(text, case.word("piece", "animal"), rulebase)
    if entry.quantity is not None:
        return _quantity(question, text, entry, rulebase)
    options = tuple((choice, shown) for choice, shown in question.choices.items())
    return Read(Given(read_choice(text, options), "answered", text))


def read_choice(text: str, options: Options) -> str:
    """Find an option by its number, its word, its shown text, or a beginning that only one has.

    Raises
    ------
    InputError
        No option, or more than one, fits.
    """
    key = folded(text)
    if key.isdigit() and 1 <= int(key) <= len(options):
        return options[int(key) - 1][0]
    for value, shown in options:
        if key in (folded(value), folded(shown)):
            return value
    begins = [value for value, shown in options if folded(shown).startswith(key) or folded(value).startswith(key)]
    if len(set(begins)) == 1 and key:
        return begins[0]
    raise InputError(f"'{text.strip()}' is not one of the choices.", f"Type a number from 1 to {len(options)}.")


def _quantity(question: Question, text: str, entry: VocabularyFact, rulebase: Rulebase) -> Read:
    kind = entry.quantity or "count"
    words = rulebase.trade_words.get(kind, {})
    reading = read_quantity(text, kind, words=words, low=entry.low, high=entry.high, name=question.short.lower())
    system = reading.system if kind in ("length", "mass", "temperature") else ""
    return Read(Given(reading.value, "answered", reading.as_written, reading.note), system=system)


def _cut(text: str, animal: str, rulebase: Rulebase) -> Read:
    match = names.find_cut(text, animal, rulebase)
    if match.found is not None:
        return Read(Given(match.found, "answered", text))
    cuts = match.could_be or match.near
    options = (*((cut, rulebase.cuts[cut].name) for cut in cuts), NONE_OF_THESE)
    if match.could_be:
        ask = match.ask or f"'{text}' can mean more than one cut. Which is it?"
    elif match.near:
        ask = f"We do not know '{text}'. Is it one of these?"
    else:
        ask = f"We do not know '{text}', and nothing like it. We will take it as tough and thick."
    return Read(Given(None, "answered", text), ask=ask, options=options, settles="cut")


def _softeners(text: str, rulebase: Rulebase) -> Read:
    if folded(text) in NOTHING:
        return Read(Given("no", "answered", text))
    items = [
        _softener(part, rulebase) for part in text.replace(" and ", ",").replace("+", ",").split(",") if part.strip()
    ]
    open_form = next((item for item in items if item.form == "?"), None)
    read = Read(Given("yes", "answered", text), ingredients=tuple(items))
    if open_form is None:
        return read
    ask = f"Is the {open_form.as_written} fresh, cooked or from a tin? Only raw fruit softens meat."
    return replace(read, ask=ask, options=FORM_OPTIONS, settles="form")


def _softener(part: str, rulebase: Rulebase) -> Ingredient:
    words = folded(part).split()
    form = ""
    if len(words) > 1 and (words[0] in FORM_WORDS or words[0] in FORMS):
        form, words = FORM_WORDS.get(words[0], words[0]), words[1:]
    what, near = names.find_ingredient(" ".join(words), rulebase)
    if what is None or what not in rulebase.tenderisers:
        known = [name for name in near if rulebase.synonyms.get(f"with:{name}") in rulebase.tenderisers]
        hint = f"Did you mean {' or '.join(known)}?" if known else "Type a fruit, root, koji, yogurt or lemon, or none."
        raise InputError(f"'{part.strip()}' is nothing we know that softens meat.", hint)
    if not form and rulebase.tenderisers[what].kind in ("plant_enzyme", "fungal_enzyme"):
        form = "?"
    return Ingredient(what, " ".join(words), form)
