"""The whole rulebase, checked and tied together."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.knowledge.conditions import Alternative
    from advisor.knowledge.records import (
        AmbiguousWord,
        Code,
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

    ``vocabulary`` maps subject, then fact name, to its entry. ``digest`` names exactly this state of the files.
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
