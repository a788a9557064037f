"""The whole rulebase, checked and tied together."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from advisor.knowledge import strictest
from advisor.knowledge.quizbook import QuizBook

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.knowledge.codes import Code, CodeFigure, Cooling, FoodClass
    from advisor.knowledge.conditions import Alternative
    from advisor.knowledge.house import House
    from advisor.knowledge.records import (
        AmbiguousWord,
        Cut,
        Limit,
        Material,
        Medium,
        Organism,
        Question,
        Rule,
        Source,
        Table,
        Tenderiser,
        Value,
        VocabularyFact,
    )

# The limit below which no kill is counted; the model has it beside the limits.
KILL_FLOOR = "no_kill_credit_below"
# A place that is usually colder than this is kept as cold as the kitchen's own line asks.
COLD_LINE = "cold_hold_max"


@dataclass(frozen=True, slots=True)
class CheckedRule:
    """A rule with its conditions read, its file and line known, and its place in the order of inference.

    ``stratum`` 0 rules read only given and computed facts; a rule that reads a fact which other
    rules conclude comes in a later stratum than they do.
    """

    rule: Rule
    alternatives: tuple[Alternative, ...]
    file: str
    line: int
    stratum: int


@dataclass(frozen=True, slots=True)
class Rulebase:
    """Everything in ``rulebase/``, read and cross-checked.

    ``vocabulary`` maps subject, then fact name, to its entry. ``digest`` names exactly this state of the files, and
    of the house file where there is one. ``limits`` are those in force: the shipped ones (``base``), moved to the
    stricter side by the food code that was chosen and by the house file, never back.
    """

    version: str
    digest: str
    sources: Mapping[str, Source]
    vocabulary: Mapping[str, Mapping[str, VocabularyFact]]
    limits: Mapping[str, Limit]
    rules: Mapping[str, CheckedRule]
    questions: Mapping[str, Question]
    organisms: Mapping[str, Organism]
    no_kill_credit_below_c: float
    tenderisers: Mapping[str, Tenderiser]
    enzyme_model: Mapping[str, Value]
    materials: Mapping[str, Material]
    media: Mapping[str, Medium]
    meat: Mapping[str, Value]
    texture: Mapping[str, Value]
    cuts: Mapping[str, Cut]
    ambiguous: tuple[AmbiguousWord, ...]
    tables: Mapping[str, Table]
    codes: Mapping[str, Code]
    trade_words: Mapping[str, Mapping[str, float]]
    local_lines: Mapping[str, str]
    synonyms: Mapping[str, str] = field(default_factory=dict)
    code: str = ""
    house: House | None = None
    base: Mapping[str, Limit] = field(default_factory=dict)
    quiz: QuizBook = field(default_factory=QuizBook)

    @property
    def version_hash(self) -> str:
        """Version, state, food code and house file in one word, for the record of a result."""
        house = f"+house.{self.house.digest}" if self.house is not None else ""
        return f"{self.version}-{self.digest}{'+' + self.code if self.code else ''}{house}"

    def under(self, code: str) -> Rulebase:
        """Give the rulebase under a food code: each limit is the stricter of the one in force and the code's.

        Under ``strictest.STRICTEST`` it is the strictest of all codes of today that a kitchen may be under.

        Raises
        ------
        KeyError
            There is no such code.
        """
        if code == self.code:
            return self
        limits = dict(self.limits)
        for one in strictest.of_all(self.codes) if code == strictest.STRICTEST else (self.codes[code],):
            limits = strictest.under_code(limits, one, self.codes)
        return self.with_limits(limits, f"code {code}", code=code)

    def with_limits(self, limits: Mapping[str, Limit], mark: str, **others: Any) -> Rulebase:
        """Give the rulebase with other limits in force, its rules bound to them; ``mark`` goes into the digest."""
        digest = hashlib.sha256(f"{self.digest} {mark}".encode()).hexdigest()[:16]
        rules = {
            name: replace(checked, alternatives=strictest.rebound(checked.alternatives, limits))
            for name, checked in self.rules.items()
        }
        floor = limits[KILL_FLOOR].value if KILL_FLOOR in limits else self.no_kill_credit_below_c
        base = self.base or self.limits
        return replace(
            self, digest=digest, limits=limits, rules=rules, no_kill_credit_below_c=floor, base=base, **others
        )

    def base_limit(self, name: str) -> float:
        """Value of a limit as shipped, whatever code or house file is in force.

        What is not known is assumed from this: a kitchen that asks more of its fridge has not a colder one.

        Raises
        ------
        KeyError
            There is no such limit.
        """
        return (self.base or self.limits)[name].value

    def usual_c(self, place: str) -> float | None:
        """How warm a place usually is [°C]; a cold place no warmer than the cold line in force."""
        usual = self.media[place].usual_c
        cold = usual is not None and COLD_LINE in self.limits and usual <= self.base_limit(COLD_LINE)
        return min(usual, self.limit(COLD_LINE)) if cold and usual is not None else usual

    def law(self, name: str) -> CodeFigure | None:
        """What the chosen food code asks where we have this limit; None when it says nothing."""
        chosen = self.codes.get(self.code)
        found = strictest.asked(name, chosen, self.codes) if chosen is not None else None
        return found[1] if found is not None else None

    def beside(self, name: str) -> tuple[strictest.Beside, ...]:
        """What every food code asks where we have this limit, the chosen one first, then the strictest.

        Older editions are left out, unless one of them was chosen.
        """
        limit, found = self.limits[name], []
        for code in self.codes.values():
            entry = strictest.asked(name, code, self.codes)
            if entry is None or (code.id != self.code and (code.older or entry[0] is not code)):
                continue
            owner, figure = entry
            stands = strictest.compared(figure.value, limit)
            source = figure.source or owner.source
            found.append(strictest.Beside(code, figure, source, stands, code.id == self.code))
        sign = 1.0 if limit.stricter == "lower" else -1.0
        return tuple(sorted(found, key=lambda b: (not b.chosen, sign * b.figure.value, b.code.id)))

    def law_tables(self, food: FoodClass) -> tuple[str, ...]:
        """Time and temperature tables of the chosen food code for a class of food: any row of any of them.

        They come on top of ours: both must be met. Empty when the code has none.
        """
        chosen = self.codes.get(self.code)
        return self._tables_of(chosen, food) if chosen is not None else ()

    def law_coolings(self) -> tuple[Cooling, ...]:
        """Coolings of the chosen food code that are judged by their own stages; one of them must be met."""
        chosen = self.codes.get(self.code)
        return self._coolings_of(chosen) if chosen is not None else ()

    @property
    def in_force(self) -> tuple[Code, ...]:
        """The chosen food code; all of them where the strictest of all was chosen."""
        if self.code == strictest.STRICTEST:
            return strictest.of_all(self.codes)
        return (self.codes[self.code],) if self.code in self.codes else ()

    def asked_tables(self, food: FoodClass) -> tuple[tuple[Code, tuple[str, ...]], ...]:
        """Every code in force that has tables for a class of food, with them; each is met by one row of its own."""
        found: dict[tuple[str, ...], Code] = {}
        for code in self.in_force:
            found.setdefault(self._tables_of(code, food), code)
        return tuple((code, tables) for tables, code in found.items() if tables)

    def tables_elsewhere(self, food: FoodClass) -> tuple[tuple[Code, tuple[str, ...]], ...]:
        """Codes of today that are not in force and have tables for a class of food, with them."""
        held = {one.id for code in self.in_force for one in strictest.inherited(code, self.codes)}
        every = ((code, self._tables_of(code, food)) for code in strictest.of_all(self.codes) if code.id not in held)
        return tuple((code, tables) for code, tables in every if tables)

    def asked_coolings(self) -> tuple[tuple[Cooling, ...], ...]:
        """Coolings that are judged by their stages, code by code; of each code one must be met."""
        if self.code != strictest.STRICTEST:
            return (found,) if (found := self.law_coolings()) else ()
        every = {
            tuple(one.name for one in found): found for code in self.in_force if (found := self._coolings_of(code))
        }
        return tuple(every.values())

    def _coolings_of(self, code: Code) -> tuple[Cooling, ...]:
        line = strictest.inherited(code, self.codes)
        found = next((one.cooling for one in line if one.cooling), [])
        return tuple(cooling for cooling in found if cooling.judged == "stages")

    def _tables_of(self, code: Code, food: FoodClass) -> tuple[str, ...]:
        line = strictest.inherited(code, self.codes)
        return next((tuple(one.cooking[food]) for one in line if food in one.cooking), ())

    def limit(self, name: str) -> float:
        """Value of a limit, in the fixed unit of its quantity.

        Raises
        ------
        KeyError
            There is no such limit.
        """
        return self.limits[name].value

    def parameter(self, name: str) -> float:
        """Value of a parameter of ``texture.yaml``, ``surroundings.yaml`` or the enzyme model.

        Raises
        ------
        KeyError
            There is no such parameter, or it is a list.
        """
        for table in (self.texture, self.meat, self.enzyme_model):
            value = table[name].value if name in table else None
            if isinstance(value, float | int):
                return float(value)
        raise KeyError(name)
