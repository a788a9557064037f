"""Reads one answer: a choice, a quantity, a cut, a softener, a time of service."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from advisor.case import names
from advisor.case.model import Given, Ingredient
from advisor.case.read_plan import FORM_WORDS, FORMS
from advisor.errors import InputError
from advisor.interview.chilled import LOOSE, kept_since
from advisor.interview.weighed import from_now
from advisor.knowledge.checks import folded
from advisor.knowledge.cuts import EITHER, NOT_TOLD
from advisor.units import read_moment, read_quantity
from advisor.units.text import MAX_LENGTH, shown

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.records import Question, VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

Options = tuple[tuple[str, str], ...]
FRIDGE_TIME = "piece fridge_time"
NOTHING = frozenset({"none", "no", "nothing", "0"})
FORM_OPTIONS: Options = (
    ("fresh", "raw (fresh or frozen)"),
    ("dried", "dried"),
    ("dried_powder", "a powder"),
    ("cooked", "cooked"),
    ("tinned", "from a tin, jar or carton"),
)
ALL = frozenset({"all", "both", "all of them", "both of them"})
WORST_TAKEN = "If you cannot tell, type dk: we take the worst of them."
NONE_OF_THESE = ("", "none of these")
MOST_DIGITS = 3  # no list of choices is longer
# Juice may be pressed in the kitchen or come from a carton, so the word alone does not say whether it is raw.
_FORM_WORDS = {**{form.replace("_", " "): form for form in FORMS if form != "juice"}, **FORM_WORDS, "tin": "tinned"}
_FROM_A_TIN = re.compile(r"\b(?:from|in|out of) an? (?:tin|can|jar|carton)\b")
_WORDS = re.compile(r"[^\W_]+")
_PARTS = re.compile(r"[,;+&/]|\band\b", re.IGNORECASE)
_LEAD = re.compile(r"^\s*(?:(?:for|only|it is|it was|has been)\s+)+", re.IGNORECASE)
_OPEN = "?"  # form of a fruit that is still to be asked about


@dataclass(frozen=True, slots=True)
class Read:
    """What an answer was read as; with ``options`` it must first be settled by a question back.

    ``settles`` says what the chosen option gives: the cut, or the form of the first softener without one.
    ``chosen`` lists the options chosen so far, ``""`` for none of these or not known, `NOT_TOLD` where it is not known
    which of them it is. ``sure`` says that it must be one of the options, for the word means nothing else.
    """

    given: Given | None = None
    ingredients: tuple[Ingredient, ...] = ()
    moment: datetime | None = None
    system: Literal["metric", "us", ""] = ""
    ask: str = ""
    options: Options = ()
    settles: Literal["cut", "form", ""] = ""
    chosen: tuple[str, ...] = ()
    sure: bool = False

    def settled(self, value: str) -> Read:
        """Take the chosen option; ``""`` leaves the matter not known. A further fruit is asked about in turn."""
        done = replace(self, ask="", options=(), settles="", chosen=(*self.chosen, value))
        if self.settles == "cut":
            typed = self.given.as_written if self.given is not None else ""
            if value == NOT_TOLD:
                value = EITHER.join(cut for cut, _ in self.options if cut)
            given = Given(value, "answered", typed) if value else Given(None, "not known", typed)
            return replace(done, given=given)
        items = list(self.ingredients)
        place = next(index for index, item in enumerate(items) if item.form == _OPEN)
        items[place] = replace(items[place], form=value or "unknown")
        return _form_asked(replace(done, ingredients=tuple(items)))


def read_answer(question: Question, text: str, case: Case, rulebase: Rulebase, now: datetime) -> Read:
    """Read an answer to a question.

    Raises
    ------
    InputError
        What was read, what is wrong with it, what to write instead.
    """
    if not text.strip():
        first = question.again or ("Type a number of the list." if question.choices else "Type your own words.")
        raise InputError("Nothing was typed.", f"{first} Or type dk.")
    if len(text) > MAX_LENGTH:
        raise InputError(f"{shown(text)} is too long.", f"Use at most {MAX_LENGTH} characters.")
    if question.fact == "goal serve":
        return Read(moment=from_now(text, now) or read_moment(text, now))
    if question.fact == "steps softeners":
        return _softeners(text, rulebase)
    subject, _, fact = question.fact.partition(" ")
    entry = rulebase.vocabulary[subject][fact]
    if fact == "cut":
        return _cut(text, case.word("piece", "animal"), rulebase)
    if question.fact == FRIDGE_TIME:
        return _days(question, text, entry, rulebase, now)
    if entry.quantity is not None:
        return _quantity(question, text, entry, rulebase)
    return Read(Given(_choice_of(question, text, entry), "answered", text))


def _days(question: Question, text: str, entry: VocabularyFact, rulebase: Rulebase, now: datetime) -> Read:
    """Read how long it has been in the fridge: a time, or the day since when."""
    since = kept_since(text, now)
    if since is not None and entry.high is not None and since[0] > entry.high:
        raise InputError(f"{shown(text)} is too long ago.", "Nobody would eat it. Plan with other meat.")
    if since is not None:
        return Read(Given(since[0], "answered", text, since[1]))
    try:
        return _quantity(question, _LEAD.sub("", text), entry, rulebase)
    except InputError as error:
        # A unit that would make it fit is no help: it makes the meat younger.
        raise InputError(error.what, question.again) from error


def _choice_of(question: Question, text: str, entry: VocabularyFact) -> str:
    """Find a choice as `read_choice` does; by another word for it too, or by words that only one of the choices has."""
    key, options = folded(text), tuple(question.choices.items())
    if question.tool and key in NOTHING | {"neither"} and "no" in question.choices:
        return "no"  # "none", as it is typed at a list of tools
    words = key.removeprefix("a ")
    other = next((v for v in question.choices if words in map(folded, entry.also.get(v, ()))), "")
    try:
        return read_choice(text, options)
    except InputError:
        said = set(_WORDS.findall(key))
        # "not pierced" and "no hospital" have more words than the choice.
        have = [value for value, label in options if said and said <= set(_WORDS.findall(folded(label)))]
        if not other and len(have) != 1:
            raise
        return other or have[0]


def read_choice(text: str, options: Options) -> str:
    """Find an option by its number, its word, its shown text, or a beginning that only one has.

    Raises
    ------
    InputError
        No option, or more than one, fits.

    Examples
    --------
    >>> read_choice("2", (("yes", "yes"), ("no", "no, none")))
    'no'
    """
    digits = text.strip().rstrip(" .)")
    if digits.isascii() and digits.isdecimal() and len(digits) <= MOST_DIGITS and 1 <= int(digits) <= len(options):
        return options[int(digits) - 1][0]
    key = folded(text)
    if key:
        for value, label in options:
            if key in (folded(value), folded(label)):
                return value
        begins = [
            number
            for number, (value, label) in enumerate(options, start=1)
            if folded(label).startswith(key) or folded(value).startswith(key)
        ]
        if len(begins) == 1:
            return options[begins[0] - 1][0]
        if begins:
            either = " or ".join(map(str, begins))
            raise InputError(f"{shown(text.strip())} fits more than one of the choices.", f"Type {either}.")
    raise InputError(f"{shown(text.strip())} is not one of the choices.", _nearest_choice(text, options))


def read_several(text: str, options: Options) -> frozenset[str]:
    """Find all options that are named: by numbers or by words, with commas, *and* or blanks between; none for none.

    Raises
    ------
    InputError
        A part fits no option.

    Examples
    --------
    >>> sorted(read_several("1, 3", (("bath", "a water bath"), ("pot", "a pot"), ("pump", "a pump"))))
    ['bath', 'pump']
    """
    if folded(text) in NOTHING | {"neither", "none of these"}:
        return frozenset()
    if folded(text) in ALL:
        return frozenset(value for value, _ in options)
    parts = [part.strip() for part in _PARTS.split(text) if part.strip()]
    if len(parts) == 1 and all(word.strip(".)").isdecimal() for word in text.split()):
        parts = text.split()
    labels = tuple((value, label.removeprefix("a ")) for value, label in options)
    found = frozenset(read_choice(folded(part).removeprefix("a "), labels) for part in parts)
    if not found:
        raise InputError("Nothing was typed.", "Type the numbers of those you have, or none.")
    return found


def _nearest_choice(text: str, options: Options) -> str:
    labels = [label for _, label in options]
    near = names.nearest(text, labels, most=1) if len(text) <= MAX_LENGTH else []
    # "No" and "yes" are not to be guessed.
    near = [label for label in near if not label.startswith(("no", "yes"))]
    offer = f"Did you mean {labels.index(near[0]) + 1} ({near[0]})? " if near else ""
    return f"{offer}Type a number from 1 to {len(options)}."


def _quantity(question: Question, text: str, entry: VocabularyFact, rulebase: Rulebase) -> Read:
    kind = entry.quantity or "count"
    words = dict(rulebase.trade_words.get(kind, {}))
    if question.fact == FRIDGE_TIME:
        words |= rulebase.trade_words.get(LOOSE, {})
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
        ask = match.ask or f"{shown(text)} can mean more than one cut. Which is it?"
        ask = f"{ask} {WORST_TAKEN}"
    elif match.near:
        ask = f"We do not know {shown(text)}. Is it one of these?"
    else:
        ask = f"We do not know {shown(text)}, and nothing like it. We will take it as tough and thick."
    return Read(Given(None, "answered", text), ask=ask, options=options, settles="cut", sure=bool(match.could_be))


def _softeners(text: str, rulebase: Rulebase) -> Read:
    if folded(text) in NOTHING:
        return Read(Given("no", "answered", text))
    items: list[Ingredient] = []
    for part in filter(None, map(folded, _PARTS.split(text))):
        form = _FORM_WORDS.get(part)
        if form is not None and items and items[-1].form == _OPEN:
            # "kiwi, fresh": the form of what stands before it, not a thing of its own.
            items[-1] = replace(items[-1], form=form)
        else:
            items.append(_softener(part, rulebase))
    if not items:
        raise InputError(f"{shown(text)} names nothing.", "Type a fruit, root, koji, yogurt or lemon, or none.")
    return _form_asked(Read(Given("yes", "answered", text), ingredients=tuple(items)))


def _form_asked(read: Read) -> Read:
    """Ask about the first fruit whose form was not said, if there is one."""
    item = next((item for item in read.ingredients if item.form == _OPEN), None)
    if item is None:
        return read
    ask = f"How is the {item.as_written}: raw, dried, cooked or from a tin? Cooking ends its power to soften."
    return replace(read, ask=ask, options=FORM_OPTIONS, settles="form")


def _softener(part: str, rulebase: Rulebase) -> Ingredient:
    """Read one softener; the whole name first, for "raw papaya" is another fruit than papaya."""
    what, near = names.find_ingredient(part, rulebase)
    bare, form = _without_form(part)
    without, near_bare = names.find_ingredient(bare, rulebase)
    if what is None:
        what, near = without, near_bare
    if what is None or what not in rulebase.tenderisers:
        known = [name for name in near if rulebase.synonyms.get(f"with:{name}") in rulebase.tenderisers]
        hint = f"Did you mean {' or '.join(known)}?" if known else "Type a fruit, root, koji, yogurt or lemon, or none."
        raise InputError(f"{shown(part)} is nothing we know that softens meat.", hint)
    enzymatic = rulebase.tenderisers[what].kind in ("plant_enzyme", "fungal_enzyme")
    if enzymatic and not form:
        form = "dried_powder" if rulebase.tenderisers[what].name.endswith(" powder") else _OPEN
    return Ingredient(what, bare if without == what else part, form)


def _without_form(part: str) -> tuple[str, str]:
    """Take the words for a form off a name: "kiwi fresh" is kiwi, fresh."""
    bare = " ".join(_FROM_A_TIN.sub(" ", part).split())
    if bare != part:
        return bare, "tinned"
    for word, form in sorted(_FORM_WORDS.items(), key=lambda entry: -len(entry[0])):
        if part.startswith(word + " "):
            return part.removeprefix(word + " "), form
        if part.endswith(" " + word):
            return part.removesuffix(" " + word), form
    return part, ""
