"""The shape of a food code: what it asks where we have a limit, how it cools and cooks, and what stays outside."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from advisor.knowledge.records import Basis, Known, Record

# Pork, and birds cooked whole, have a class of their own beside the others: some codes ask more of them.
FoodClass = Literal["whole", "broken", "minced", "pork", "bird", "whole_bird", "wild"]
BASIS_OF: dict[Known, Basis] = {
    "read": "published",
    "read_in_part": "published",
    "read_through_adoption": "published",
    "from_memory": "from memory",
}


class CodeFigure(Record):
    """What a code asks where the rulebase has a limit of this name; ``value`` is in the fixed unit of that limit.

    ``source`` is the code's own when it is empty. ``duty`` tells what binds (law, a model code) from advice.
    """

    value: float
    section: str
    known: Known
    printed: str = ""
    source: str = ""
    duty: Literal["law", "advice"] = "law"
    note: str = ""


class CoolingStage(Record):
    """One stage of a cooling: from and to [°C], and the longest time it may take [min], counted from its start."""

    from_c: float
    to_c: float
    minutes: float


class Cooling(Record):
    """A way to cool cooked food that a code allows. ``total_min`` is 0 where the stages alone are limited.

    ``judged`` tells what holds a plan to it where its code is the chosen one: its own ``stages``; the ``limits`` of
    the rulebase, moved to the same figures by the code; or nothing, with the reason in ``why``. Of several that are
    judged by their stages one must be met. ``called`` is its name in a sentence. Chilling begins within
    ``begin_min`` of the heat where that is not 0; with ``from_begin`` the first stage is timed from there, however
    warm the food is.
    """

    name: str
    foods: str
    stages: list[CoolingStage]
    total_min: float = 0.0
    called: str = ""
    judged: Literal["stages", "limits", "no"] = "stages"
    why: str = ""
    begin_min: float = 0.0
    from_begin: bool = False
    section: str
    known: Known
    source: str = ""
    note: str = ""


class Provision(Record):
    """Something a code asks: held by limits, rules, tables or coolings of ours, or outside the job, with the reason.

    ``source`` is the code's own when it is empty.
    """

    section: str
    asks: str
    by: list[str] = Field(default_factory=list)
    out: str = ""
    source: str = ""


class Code(Record):
    """A food code: whose it is, its edition, and how it stands to others.

    ``based_on`` names the code whose figures hold where this one says nothing. ``older`` codes are shown only
    where they were chosen. ``who`` it is for: what binds inspected plants alone is not asked of a kitchen that does
    not know its code.
    """

    id: str
    name: str
    edition: str
    source: str
    local_line: str = ""
    based_on: str = ""
    default: bool = False
    older: bool = False
    who: Literal["kitchens", "homes", "plants"] = "kitchens"
    also: list[str] = Field(default_factory=list)
    limits: dict[str, CodeFigure] = Field(default_factory=dict)
    cooking: dict[FoodClass, list[str]] = Field(default_factory=dict)
    cooling: list[Cooling] = Field(default_factory=list)
    provisions: list[Provision] = Field(default_factory=list)
