"""What lies idle: limits and figures that nothing uses, sources that nothing cites, facts that nothing asks for."""

from __future__ import annotations

import ast
import re
from functools import cache
from importlib import resources
from itertools import chain
from typing import TYPE_CHECKING, Any

from advisor.audit.style import rule_texts
from advisor.errors import AdvisorError
from advisor.knowledge.checks import PLACEHOLDER
from advisor.knowledge.conditions import conditions_of, parse_when

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from importlib.resources.abc import Traversable

    from advisor.audit.faults import Fault
    from advisor.audit.places import Places
    from advisor.knowledge.rulebase import Rulebase

KIND = "unused"
# Files of plain figures, and the heading they stand under.
FIGURES = (("meat", "surroundings.yaml"), ("texture", "texture.yaml"), ("enzyme_model", "tenderisers.yaml"))
# A name put together in the code must have this much of it written out, or it would fit any figure.
LEAST_WRITTEN = 5


def named_by_rules(rulebase: Rulebase) -> set[str]:
    """Names of limits, and of facts as ``subject.fact``, in conditions and texts of rules and questions."""
    named: set[str] = set()
    for checked in rulebase.rules.values():
        conditions = conditions_of(checked.alternatives)
        for condition in conditions:
            named |= {condition.limit, f"{condition.subject}.{condition.fact}"}
        for _, _, text in rule_texts(checked.rule):
            named |= {name.partition("|")[0] for name in PLACEHOLDER.findall(text)}
        named.add(checked.rule.concludes.fact.replace(" ", ".", 1))
    for question in rulebase.questions.values():
        named.add(question.fact.replace(" ", ".", 1))
        for when in filter(None, (question.when, question.asked_when)):
            for condition in conditions_of(parse_when(when, rulebase.vocabulary, rulebase.limits)):
                named |= {condition.limit, f"{condition.subject}.{condition.fact}"}
    return named


@cache
def named_by_code() -> frozenset[str]:
    """Every text constant in the package: the names by which the course asks for limits and gives facts.

    Raises
    ------
    AdvisorError
        The package is here without its source, so nothing can be said.
    """
    found: set[str] = set()
    sources = list(_sources(resources.files("advisor")))
    if not sources:
        raise AdvisorError("The program's own source cannot be read here, so unused limits cannot be told.")
    for text in sources:
        nodes = ast.walk(ast.parse(text))
        found |= {n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)}
    return frozenset(found)


@cache
def figures_read() -> re.Pattern[str]:
    """Give a pattern of every name by which the code can ask for a figure.

    The science imports nothing of ours and so reads none, whatever words stand in it. A name may be put together:
    ``f"shear_{toughness}_kgf"``.
    """
    found: set[str] = set()
    for text in _sources(resources.files("advisor"), but="science"):
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(re.escape(node.value))
            elif isinstance(node, ast.JoinedStr):
                parts = [part.value if isinstance(part, ast.Constant) else None for part in node.values]
                if sum(len(str(part)) for part in parts if part is not None) >= LEAST_WRITTEN:
                    found.add("".join("[a-z0-9_]+" if part is None else re.escape(str(part)) for part in parts))
    return re.compile("|".join(sorted(found)))


def _sources(folder: Traversable, but: str = "") -> Iterator[str]:
    for entry in folder.iterdir():
        if entry.is_dir() and entry.name != but:
            yield from _sources(entry, but)
        elif entry.name.endswith(".py"):
            yield entry.read_text(encoding="utf-8")


def unused(places: Places) -> Iterator[Fault]:
    """Find limits, figures, sources and facts that nothing uses."""
    rulebase = places.rulebase
    rules, code = named_by_rules(rulebase), named_by_code()
    for name in rulebase.limits:
        if name not in rules and name not in code:
            hint = "Name it in a rule, or take it out."
            yield places.in_limits(name, "no rule, text, table or calculation uses it.", hint, KIND)
    yield from _figures(places, rules)
    for subject, facts in rulebase.vocabulary.items():
        for name in facts:
            if f"{subject}.{name}" not in rules and name not in code:
                what = f"Nothing uses or gives the fact '{subject} {name}'."
                yield places.in_file("vocabulary.yaml", (subject, name), what, "Take it out.", KIND, "warning")
    cited = _cited(rulebase)
    for name in rulebase.sources:
        if name not in cited:
            what = f"Nothing cites the source '{name}'."
            yield places.in_file("sources.yaml", ("sources", name), what, "Cite it or take it out.", KIND, "warning")


def _figures(places: Places, rules: set[str]) -> Iterator[Fault]:
    asked_for = figures_read()
    for heading, file in FIGURES:
        for name in getattr(places.rulebase, heading):
            if name not in rules and asked_for.fullmatch(name) is None:
                what = f"No calculation reads the figure '{name}'."
                yield places.in_file(file, (heading, name), what, "Read it in the course, or take it out.", KIND)


def _cited(rulebase: Rulebase) -> set[str]:
    def names(source: Any) -> list[str]:
        return [source] if isinstance(source, str) else list(source)

    cited = {cite.id for checked in rulebase.rules.values() for cite in checked.rule.source}
    cited |= {cite.id for limit in rulebase.limits.values() for cite in limit.source}
    for organism in rulebase.organisms.values():
        parts = [organism.growth.source, *(kill.source for kill in organism.kill)]
        parts += [organism.toxin.source] if organism.toxin is not None else []
        spans = [organism.growth.measured_c, *(kill.measured_c for kill in organism.kill)]
        parts += [span.source for span in spans if span is not None]
        cited |= set(chain.from_iterable(map(names, parts)))
    for softener in rulebase.tenderisers.values():
        cited |= set(chain.from_iterable(names(span.source) for span in softener.measured_c))
    for group in ("tenderisers", "materials", "media", "cuts", "tables", "codes", "meat", "texture", "enzyme_model"):
        entries: Mapping[str, Any] = getattr(rulebase, group)
        cited |= set(chain.from_iterable(names(entry.source) for entry in entries.values()))
    for code in rulebase.codes.values():
        cited |= {figure.source for figure in code.limits.values()}
        cited |= {part.source for part in code.cooling} | {part.source for part in code.provisions}
    return cited
