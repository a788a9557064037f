"""The part of the reference on what softens meat and on the figures of the models, with what each rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.knowledge.check_sources import basis_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from advisor.knowledge.records import EntryKnown, Measured, Tenderiser, Value
    from advisor.knowledge.rulebase import Rulebase

GROUPS = (("Enzymes", "enzyme_model"), ("Heat in meat", "meat"), ("Texture, salt and acid", "texture"))


def measured_words(spans: list[Measured], of: str) -> str:
    """Write at which temperatures one curve of an enzyme was measured [°C]; "not measured" where none was."""
    found = [span for span in spans if span.of == of]
    if not found:
        return "not measured"
    span = found[0]
    return f"{span.low:g} °C" if span.low == span.high else f"{span.low:g} to {span.high:g} °C"


def figures_text(rulebase: Rulebase) -> Iterator[str]:
    """Write what is known of each enzyme, then every figure of the models."""
    yield from ("## Enzymes: where they were measured", "")
    yield "Elsewhere the curves are drawn on, and what rests on them says so."
    yield from ("", "| what | loss by heat | speed | source | basis |", "|---|---|---|---|---|")
    for tenderiser in rulebase.tenderisers.values():
        if tenderiser.loss is not None:
            yield _softener(tenderiser, rulebase)
    for heading, group in GROUPS:
        figures: Mapping[str, Value] = getattr(rulebase, group)
        yield from ("", f"## Figures: {heading.lower()}", "")
        yield from ("| figure | value | from | to | unit | source | basis |", "|---|---|---|---|---|---|---|")
        for name, figure in figures.items():
            value = figure.value if isinstance(figure.value, list) else [figure.value]
            ends = ("" if end is None else f"{end:g}" for end in (figure.low, figure.high))
            numbers = " | ".join((", ".join(f"{one:g}" for one in value), *ends))
            rests = _rests(figure.source, figure.known, rulebase)
            yield f"| `{name}` | {numbers} | {figure.unit} | {rests} |"


def _softener(tenderiser: Tenderiser, rulebase: Rulebase) -> str:
    spans = tenderiser.measured_c
    loss, speed = (measured_words(spans, of) for of in ("loss", "speed"))
    names = tuple(dict.fromkeys(name for span in spans for name in _names(span.source)))
    rests = _rests(list(names), spans[0].known, rulebase) if spans else " | "
    return f"| {tenderiser.name} | {loss} | {speed} | {rests} |"


def _rests(source: str | list[str], known: EntryKnown, rulebase: Rulebase) -> str:
    names = _names(source)
    return f"{'; '.join(f'`{name}`' for name in names)} | {basis_of(names, known, rulebase.sources)}"


def _names(source: str | list[str]) -> tuple[str, ...]:
    return (source,) if isinstance(source, str) else tuple(source)
