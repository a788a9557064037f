"""What keeps a rule out of the quiz: facts of its situations without words in ``quiz.yaml``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.knowledge.conditions import conditions_of
from advisor.knowledge.quizbook import QUIZ

if TYPE_CHECKING:
    from collections.abc import Iterator

    from advisor.audit.faults import Fault
    from advisor.audit.places import Places
    from advisor.knowledge.rulebase import CheckedRule

KIND = "quiz"


def unworded(places: Places) -> Iterator[Fault]:
    """Find facts that a rule reads, or its examples tell, and that have no words for the quiz."""
    book = places.rulebase.quiz
    if not book.situations:
        return
    for rule_id, checked in places.rulebase.rules.items():
        for subject, name in sorted(_told(checked)):
            known = name in places.rulebase.vocabulary[subject]
            if known and f"{subject} {name}" not in book.situations:
                what = f"it tells of '{subject} {name}', which has no words for the quiz."
                hint = f"Add '{subject} {name}: \"...\"' to 'situations' in {QUIZ}; \"\" where nothing need be said."
                yield places.in_rule(rule_id, "examples", what, hint, KIND)
        if not book.subject_of(rule_id):
            hint = f"Add it to the rules of one of the 'subjects' in {QUIZ}."
            yield places.in_rule(rule_id, "id", "it belongs to no subject of the quiz.", hint, KIND)


def _told(checked: CheckedRule) -> set[tuple[str, str]]:
    found: set[tuple[str, str]] = {(c.subject, c.fact) for c in conditions_of(checked.alternatives)}
    for example in (*checked.rule.examples.fires, *checked.rule.examples.near_misses):
        for subject in ("piece", "guests", "course"):
            found |= {(subject, name) for name in getattr(example, subject)}
        for step in (example.step, *example.steps):
            found |= {("step", name) for name in step}
    return found
