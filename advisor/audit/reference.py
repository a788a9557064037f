"""Writes ``rulebase/REFERENCE.md``: every rule by subject, with its reason, its limits and its sources."""

from __future__ import annotations

from importlib import resources
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.audit.coverage import CONCERNS, RESTS, coverage
from advisor.audit.plain import alternative_words, figure, limits_of_rule, mend_words, plain
from advisor.audit.reference_figures import figures_text
from advisor.knowledge import load_rulebase

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from advisor.knowledge.records import Cite, Conclusion
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

FILE = "REFERENCE.md"


def reference_text(rulebase: Rulebase) -> str:
    """Give the reference as Markdown."""
    rules = sorted(rulebase.rules.values(), key=lambda checked: checked.rule.id.partition(".")[0])
    lines = [
        "# All rules, by subject",
        "",
        "Made from the files beside this one by `advisor rulebase reference --write`; do not edit it. Words in square",
        "brackets are facts of the case at hand. Limits are those shipped; a food code or a house file may tighten",
        "them. `advisor rule WORDS` shows one rule whole, with its examples and neighbours.",
        "",
        *_counts(rulebase),
    ]
    for subject, group in groupby(rules, key=lambda checked: checked.rule.id.partition(".")[0]):
        lines += ["", f"## {subject}"]
        for checked in group:
            lines += ["", *_rule(checked, rulebase)]
    lines += [
        "",
        "## Limits",
        "",
        *_limits(rulebase),
        "",
        *figures_text(rulebase),
        "",
        "## Sources",
        "",
        *_sources(rulebase),
    ]
    return "\n".join(lines) + "\n"


def write_reference(folder: Path | None = None) -> Path:
    """Write the reference beside the rules; beside the shipped ones when no folder is given."""
    text = reference_text(load_rulebase(folder))
    if folder is not None:
        return _written(folder / FILE, text)
    with resources.as_file(resources.files("rulebase")) as shipped:
        return _written(Path(shipped) / FILE, text)


def _written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def _counts(rulebase: Rulebase) -> Iterator[str]:
    found = coverage(rulebase)
    yield f"| subject | {' | '.join(CONCERNS)} |"
    yield f"|---|{'---|' * len(CONCERNS)}"
    for subject, counts in found.subjects.items():
        yield f"| [{subject}](#{subject}) | {' | '.join(str(counts.get(c, '')) for c in CONCERNS)} |"
    yield ""
    yield "| rests on | rules | limits |"
    yield "|---|---|---|"
    for rests in RESTS:
        yield f"| {rests} | {found.rules.get(rests, 0)} | {found.limits.get(rests, 0)} |"


def _rule(checked: CheckedRule, rulebase: Rulebase) -> Iterator[str]:
    rule = checked.rule
    yield f"### {rule.id}"
    yield ""
    yield f"{_sentence(rule.concern)}; {_concludes(rule.concludes)}; {rule.basis}."
    yield ""
    yield f"- **Says** {plain(rule.says, rulebase)}"
    yield f"- **Because** {plain(rule.because, rulebase)}"
    if rule.beside:
        yield f"- **Beside the step** {plain(rule.beside, rulebase)}"
    for number, alternative in enumerate(checked.alternatives):
        yield f"- **{'Or when' if number else 'When'}** {'; '.join(alternative_words(alternative, rulebase))}."
    if rule.caution is not None:
        caution = rule.caution
        said = f"{caution.hazard} {caution.consequence} {caution.instead}"
        yield f"- **Caution** {plain(said, rulebase)}"
    limits = limits_of_rule(rule.id, rulebase)
    if limits:
        yield f"- **Limits** {'; '.join(f'`{name}` {figure(rulebase.limits[name])}' for name in limits)}."
    if rule.mend:
        yield f"- **May be changed** {'; '.join(mend_words(mend, rulebase) for mend in rule.mend)}."
    if rule.no_mend:
        yield f"- **Not to be mended** {plain(rule.no_mend, rulebase)}"
    if rule.exception_to:
        yield f"- **Exception to** `{rule.exception_to}`."
    if rule.contested:
        yield f"- **Contested** {plain(rule.contested, rulebase)}"
    yield f"- **Source** {_cites(rule.source)}."


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _concludes(conclusion: Conclusion) -> str:
    if conclusion.verdict is not None:
        return f"{conclusion.verdict}, {conclusion.signal}"
    if conclusion.fact:
        return f"concludes {conclusion.fact.replace('_', ' ')}: {conclusion.value.replace('_', ' ')}"
    return f"{conclusion.fit} {conclusion.technique.replace('_', ' ')}"


def _cites(cites: Iterable[Cite]) -> str:
    return "; ".join(f"`{cite.id}`{' ' + cite.section if cite.section else ''}" for cite in cites)


def _limits(rulebase: Rulebase) -> Iterator[str]:
    yield "| limit | figure | means | source | basis |"
    yield "|---|---|---|---|---|"
    for name, limit in sorted(rulebase.limits.items()):
        yield f"| `{name}` | {figure(limit)} | {limit.means} | {_cites(limit.source)} | {limit.basis} |"


def _sources(rulebase: Rulebase) -> Iterator[str]:
    cited = {cite.id for checked in rulebase.rules.values() for cite in checked.rule.source}
    cited |= {cite.id for limit in rulebase.limits.values() for cite in limit.source}
    figures = "\n".join(figures_text(rulebase))
    cited |= {name for name in rulebase.sources if f"`{name}`" in figures}
    for name, source in sorted(rulebase.sources.items()):
        if name in cited:
            standing, known = source.standing.replace("_", " "), source.known.replace("_", " ")
            yield f"- `{name}`: {source.title}; {source.edition}; {standing}; {known}."
