"""A plan file or a cook's words: which of the two a text is, and reading it as that."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from advisor.case.read_plan import TOP_KEYS
from advisor.case.worked import unwrapped

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase

# A plan file has its own words at the beginning of a line, or the marks of YAML; a cook has neither.
_KEYS: Final = "|".join(key for key in TOP_KEYS if key != "serve")
_PLAN: Final = re.compile(rf"(?m)^\s*(?:[\[{{&*!%#@`]|---|-\s*\{{?\s*\w+\s*:|(?:{_KEYS})\s*:)|^\s*-\s*do\b|\bdo:\s")
# One fact a line, "piece:" with nothing behind it, is the shape of a file even where its words are misspelt.
_SHAPE: Final = re.compile(r"(?m)^\w+\s*:\s*(?:$|[&*{\[|>])")


def is_plan_file(text: str) -> bool:
    r"""Tell whether a text is a plan file and not words.

    Examples
    --------
    >>> is_plan_file("piece: {cut: flank}"), is_plan_file("flank, 2 lb, grill 3 min a side")
    (True, False)
    """
    return not text.strip() or bool(_PLAN.search(text)) or bool(_SHAPE.search(text))


def looks_like_words(argument: str) -> bool:
    """Tell whether an argument of the command line is words and not the name of a file.

    Examples
    --------
    >>> looks_like_words("flank, 2 lb"), looks_like_words("plans/sat.yaml")
    (True, False)
    """
    named = re.search(r"\.(?:ya?ml|txt|json|plan)$", argument.strip()) is not None
    return bool(re.search(r"\s", argument.strip())) and not named


def read_either(text: str, rulebase: Rulebase, now: datetime, name: str = "the plan") -> Case:
    """Read a plan file, a cook's words, or either inside a worked scenario.

    Raises
    ------
    PlanErrors, InputError
        It is a file with faults, or words that are empty or too many.
    """
    text = unwrapped(text)
    if is_plan_file(text):
        from advisor.case.read_plan import read_plan

        return read_plan(text, rulebase, now, name)
    from advisor.case.words.reader import read_words

    return read_words(text, rulebase, now)
