"""What was understood, line by line: the cook's words, how they were taken, and what was assumed in taking them so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from advisor.units import write_moment, write_quantity

if TYPE_CHECKING:
    from advisor.case.model import Case, Given, Ingredient, PlanStep
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase


# Places that meat lies on, and not in.
ON = frozenset({"counter", "rest", "grill"})


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the playback.

    Parameters
    ----------
    path : tuple
        ``("piece", fact)``, ``("guests", fact)``, ``("step", index)``, ``("serve",)`` or ``("lost", index)``.
    what : str
        Its name.
    shown : str
        How it was taken, in both units, the cook's own first.
    said : str
        The cook's own words.
    note : str
        What was assumed in taking it so.
    """

    path: tuple[str | int, ...]
    what: str
    shown: str
    said: str = ""
    note: str = ""


def lines_of(case: Case, rulebase: Rulebase) -> tuple[Line, ...]:
    """Give the playback of a case: the meat, the guests, the steps, the service, and what was not understood."""
    lines: list[Line] = []
    for subject, given in (("piece", case.piece), ("guests", case.guests)):
        vocabulary = rulebase.vocabulary[subject]
        lines += [
            Line((subject, name), name.replace("_", " "), shown(name, entry, vocabulary[name], case, rulebase),
                 entry.as_written, entry.note)
            for name, entry in given.items()
            if not entry.origin.startswith("assumed")
        ]  # fmt: skip
    for index, step in enumerate(case.steps):
        notes = [f"{n.replace('_', ' ')}: {g.note}" for n, g in step.given.items() if g.note]
        said = ", ".join(g.as_written for g in step.given.values() if g.as_written)
        lines.append(
            Line(("step", index), f"step {index + 1}", step_shown(step, case, rulebase), said, "; ".join(notes))
        )
    if case.serve is not None:
        lines.append(Line(("serve",), "served", write_moment(case.serve)))
    lines += [Line(("lost", index), "not understood", f"'{part}'") for index, part in enumerate(case.not_understood)]
    return tuple(lines)


def understood(case: Case, rulebase: Rulebase) -> list[dict[str, Any]]:
    """Give the playback for machines."""
    return [
        {"what": line.what, "said": line.said, "shown": line.shown, "note": line.note}
        for line in lines_of(case, rulebase)
        if line.path[0] != "lost"
    ]


def shown(name: str, given: Given, entry: VocabularyFact, case: Case, rulebase: Rulebase) -> str:
    """A value as the cook reads it."""
    if given.value is None:
        return "not known"
    if name == "cut":
        return rulebase.cuts[str(given.value)].name if given.value in rulebase.cuts else str(given.value)
    if name == "place":
        return entry.says.get(str(given.value), rulebase.media[str(given.value)].name)
    if isinstance(given.value, str):
        return entry.says.get(given.value, given.value.replace("_", " "))
    if entry.quantity is None:
        return str(given.value)
    return write_quantity(given.value, entry.quantity, case.system)


def step_shown(step: PlanStep, case: Case, rulebase: Rulebase) -> str:
    """A step with everything that was said of it."""
    vocabulary = rulebase.vocabulary["step"]
    parts = [vocabulary["action"].says.get(step.action, step.action)]
    if step.ingredients:
        parts[0] += " with " + ", ".join(_thing(item, case) for item in step.ingredients)
    words = {"temperature": "at {}", "minutes": "for {}", "place": "in {}", "until_core": "until the middle reads {}"}
    for name, given in step.given.items():
        value = shown(name, given, vocabulary[name], case, rulebase)
        if name == "place" and given.value in ON:
            parts.append(f"on {value}")
            continue
        parts.append(words.get(name, name.replace("_", " ") + " {}").format(value))
    return ", ".join(parts)


def _thing(item: Ingredient, case: Case) -> str:
    name = (item.as_written or item.what).replace("_", " ")
    said = item.form.replace("_", " ")
    form = f"{said} " if said and said != "unknown" and said not in name else ""
    if item.grams is not None:
        return f"{write_quantity(item.grams, 'mass', case.system)} {form}{name}"
    if item.share_pct is not None:
        return f"{write_quantity(item.share_pct, 'percent', case.system)} {form}{name}"
    return f"{form}{name}"
