"""A change of a plan in a cook's words: what is to be otherwise, what is to be left out, and what by how much."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from advisor.case.words.classify import Classifier
from advisor.case.words.lexicon import lexicon_of
from advisor.case.words.reader import read_scopes
from advisor.case.words.say import verb_of
from advisor.case.words.scopes import Item, Scope, items_of
from advisor.case.words.tokens import tokens
from advisor.errors import InputError
from advisor.units import read_quantity

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.case.words.phrases import Phrase
    from advisor.knowledge.rulebase import Rulebase

# What such a sentence opens with, which is no part of the change.
_OPENS: Final = re.compile(
    r"^\s*(?:(?:so|and|but|ok|okay|well)[\s,]+)*(?:why\s+not|why\s+can['’]?t|what\s+if|and\s+if|if|suppose|what\s+about|"
    r"how\s+about|could|can|may|should)?\b\s*(?:(?:i|we|you|they|he|she)(?:['’]?d)?\b\s*)?(?:just\s+|only\s+)?",
    re.IGNORECASE,
)
_NUMBERED: Final = re.compile(r"^\s*(?:in\s+|at\s+|for\s+)?step\s+(\d{1,3})\b\s*[:,.]?\s*", re.IGNORECASE)
# "skip step 7", "without step 2": the step itself is left out.
_SKIPPED: Final = re.compile(
    r"^\s*(?:skip|without|drop|leave\s+out|no|take\s+out|do(?:n['’]t|\s+not)\s+do)\s+step\s+(\d{1,3})\s*[.!?]*\s*$",
    re.IGNORECASE,
)
# Water that stands thaws more slowly than water that runs, and is no place that the course knows.
_STILL_WATER: Final = re.compile(
    r"\b(?:thaw|defrost)\w*\b(?:(?!\brunning\b)[^,;.])*?\bin\s+(?:(?!running\b)[a-z]+\s+){0,4}?water\b", re.IGNORECASE
)
_ITSELF: Final = frozenset({"skip", "skip it", "leave it out", "drop it", "not at all", "without it"})
_THAN: Final = re.compile(r"\s+than\s+(?:planned|now|the\s+plan|before|that)\b", re.IGNORECASE)
# Words that make a figure a difference: (fact it is of, or "" for any, and its sign).
COMPARED: Final[dict[str, tuple[str, int]]] = {
    "longer": ("minutes", 1),
    "more": ("", 1),
    "extra": ("", 1),
    "another": ("", 1),
    "shorter": ("minutes", -1),
    "less": ("", -1),
    "fewer": ("", -1),
    "hotter": ("temperature", 1),
    "warmer": ("temperature", 1),
    "higher": ("temperature", 1),
    "cooler": ("temperature", -1),
    "colder": ("temperature", -1),
    "lower": ("temperature", -1),
    "thicker": ("thickness", 1),
    "thinner": ("thickness", -1),
    "heavier": ("weight", 1),
    "lighter": ("weight", -1),
}
FACT_OF_KIND: Final = {"time": "minutes", "temperature": "temperature", "length": "thickness", "mass": "weight"}
# Words that are taken for a step which is not quite what they say: what is left out of it is told.
TAKEN_AS: Final = {"rinse": "wipe it. Water that splashes from raw meat is not reckoned, and it spreads germs"}
# What is done with a tool of the kitchen.
TOOLS_DO: Final = {"blade_tool": "needle it", "injector": "inject it"}
NO_MEAT: Final = "what meat is it"
LEFT_OUT: Final = "left out, as you said"


@dataclass(frozen=True, slots=True)
class Differs:
    """A figure said as a difference: the fact, by how much in its fixed unit, and the cook's words."""

    fact: str
    by: float
    written: str


@dataclass(frozen=True, slots=True)
class Altered:
    """What is to be otherwise in a plan.

    Attributes
    ----------
    words : str
        The cook's words.
    case : Case
        What the words say, read as a plan is; its open points are those of the change.
    step : int or None
        Step that was named by its number, from 0.
    actions, things, places : tuple of str
        Steps, things put on and places that are to be left out.
    differs : tuple of Differs
        Figures to be added or taken away.
    """

    words: str
    case: Case
    step: int | None
    actions: tuple[str, ...]
    things: tuple[str, ...]
    places: tuple[str, ...]
    differs: tuple[Differs, ...]

    @property
    def says_something(self) -> bool:
        """Whether anything at all was understood."""
        case = self.case
        said = (case.piece, case.guests, case.steps, case.serve, self.actions, self.things, self.places, self.differs)
        return any(said)


def read_altered(text: str, plan: Case, rulebase: Rulebase, now: datetime) -> Altered:
    """Read a change, such as "leave it overnight on the counter", "skip the sear" or "step 3: 10 minutes less".

    Raises
    ------
    InputError
        The text is empty or far too long, names a step that the plan does not have, or thaws in water that stands.
    """
    if _STILL_WATER.search(text):
        raise InputError("We reckon a thaw in running water, not in water that stands.", "Say 'thaw in running water'.")
    left = _OPENS.sub("", text, count=1).rstrip(" ?\t\n")
    skipped, numbered = _SKIPPED.match(left), _NUMBERED.match(left)
    named = skipped or numbered
    step = _number(named.group(1), plan) if named is not None else None
    if numbered is not None:
        left = _OPENS.sub("", left[numbered.end() :], count=1)
    if step is not None and (skipped is not None or left.casefold().strip(" .!") in _ITSELF):
        return Altered(" ".join(text.split()), _nothing(plan), step, (plan.steps[step].action,), (), (), ())
    left = _with_tool(left, rulebase)
    left, differs, open_points = _differences(left, rulebase)
    scopes: list[Scope] = []
    if not left.strip(" ,.;:") and (differs or open_points):
        # Only a difference was said: "step 2: an hour longer".
        case = _nothing(plan)
    else:
        case, scopes = read_scopes(left, rulebase, now)
        if step is not None:
            case, scopes = _of_that_step(case, scopes, left, plan.steps[step].action, rulebase, now)
    denied = [scope for scope in scopes if scope.kind == "denied"]
    case = replace(
        case,
        unsettled=(*(p for p in case.unsettled if not p.startswith(NO_MEAT)), *open_points),
        remarks=(
            *(remark for remark in case.remarks if not remark.startswith(LEFT_OUT)),
            *(
                f"'{word}' is taken as: {said}"
                for word, said in TAKEN_AS.items()
                if re.search(word, left, re.IGNORECASE)
            ),
        ),
    )
    return Altered(
        " ".join(text.split()),
        case,
        step,
        _named(denied, ("ACTION", "ACTPLACE")),
        _named(denied, ("WITH",)),
        _named(denied, ("PLACE",)),
        differs,
    )


def _with_tool(words: str, rulebase: Rulebase) -> str:
    """What is done with a tool, where only the tool is named: "a blade tool" is to pierce it with blades."""
    bare = re.sub(r"^(?:(?:use|using|take|with|a|the|my|our)\s+)*", "", words.strip().casefold())
    for fact, done in TOOLS_DO.items():
        if bare in {fact.replace("_", " "), *rulebase.vocabulary["guests"][fact].also.get("yes", ())}:
            return done
    return words


def _number(digits: str, plan: Case) -> int:
    """Index of the step of that number."""
    step = int(digits) - 1
    if not 0 <= step < len(plan.steps):
        raise InputError(f"The plan has no step {step + 1}.", f"Name one from 1 to {len(plan.steps)}.")
    return step


def _nothing(plan: Case) -> Case:
    return replace(plan, piece={}, guests={}, steps=(), serve=None, unsettled=(), remarks=(), not_understood=())


def _of_that_step(
    case: Case, scopes: list[Scope], words: str, action: str, rulebase: Rulebase, now: datetime
) -> tuple[Case, list[Scope]]:
    """Words behind "step 3:" as they read when said of what is done there: "55 C for 5 h" needs no verb."""
    again, others = read_scopes(f"{verb_of(action)} {words}", rulebase, now)
    same = len(again.steps) == 1 and again.steps[0].action == action and again.steps[0].given
    clearer = len(again.open_points) <= len(case.open_points)
    return (again, others) if same and clearer and not scopes else (case, scopes)


def _named(scopes: list[Scope], kinds: tuple[str, ...]) -> tuple[str, ...]:
    """Ids of what is named in scopes."""
    found: list[str] = []
    for item in (item for scope in scopes for item in scope.items if item.kind in kinds):
        value = item.token.value
        found.append(str(value[0] if isinstance(value, tuple) else value))
    return tuple(dict.fromkeys(found))


def _differences(text: str, rulebase: Rulebase) -> tuple[str, tuple[Differs, ...], tuple[str, ...]]:
    """Take the figures that are differences out of the text; what has no figure, or no unit, is asked about."""
    text = _THAN.sub("", text)
    found: list[Differs] = []
    asked: list[str] = []
    items = items_of(Classifier(tokens(text), lexicon_of(rulebase), text).run())
    gone: list[tuple[int, int]] = []
    for index, item in enumerate(items):
        # "at least 2 h", "less than 2 h" are bounds of one figure, which the reader of plans knows.
        if item.phrase is not None or item.token.key not in COMPARED or item.kind in ("LEAST", "MOST"):
            continue
        near = _figure_near(items, index)
        if near is None:
            asked.append(f"'{item.token.text}': by how much? Write it with its unit")
            gone.append((item.start, item.end))
            continue
        start, end = min(near.start, item.start), max(near.end, item.end)
        written = " ".join(text[start:end].split())
        differs = _differs(near.phrase, item.token.key, written)
        if differs is None:
            asked.append(f"'{written}': of what, and in which unit?")
        else:
            found.append(differs)
        gone.append((start, end))
    for start, end in sorted(gone, reverse=True):
        text = f"{text[:start]} {text[end:]}"
    return text, tuple(found), tuple(asked)


def _figure_near(items: list[Item], index: int) -> Item | None:
    """The figure beside a word that compares: "2 hours longer", "another 2 hours", "longer by 2 hours"."""
    for beside in (index - 1, index + 1, index + 2):
        if 0 <= beside < len(items) and items[beside].phrase is not None:
            between = items[index + 1 : beside]
            if all(item.token.key in ("by", "of") for item in between):
                return items[beside]
    return None


def _differs(phrase: Phrase | None, word: str, written: str) -> Differs | None:
    if phrase is None or phrase.low is None or phrase.high is None or phrase.kind is None or phrase.problem:
        return None
    fact, sign = COMPARED[word]
    own = FACT_OF_KIND.get(phrase.kind)
    if own is None or (fact and fact != own):
        return None
    size = max(phrase.low, phrase.high)
    if phrase.kind == "temperature":
        # A difference of 10 °F is no 10 °F on the scale.
        size -= read_quantity("0 F" if phrase.system == "us" else "0 C", "temperature").value
    return Differs(own, sign * size, written)
