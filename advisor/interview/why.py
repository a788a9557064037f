"""Why a question is asked: the rules that need its answer."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING

from advisor.audit.plain import plain
from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.knowledge.conditions import conditions_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
_ENZYME = (
    "course enzyme_work",
    "course enzyme_left",
    "course enzyme_bath_minutes",
    "course mush_share",
    "course mush_unproven",
)
_SALT = ("course salt_pct", "course salt_over_target", "course salt_sources", "course salt_centre_share")
_FEEL = ("course collagen_left", "course tender_low", "course tender_high", "course hours_over_usual")
_START = ("course frozen_at_cook", "course salt_centre_share", "step core_end", "step depth_end", "step surface_end")
# What an answer moves beyond the inputs that a computed fact records: a fact names what it was computed from, not
# the assumption that stood in between. A test changes each answer of a worked case and holds this list against it.
MOVES: Mapping[str, tuple[str, ...]] = {
    "steps softeners": (
        *_ENZYME,
        "guests softener",
        "course enzyme_used",
        "step adds_enzyme",
        "step adds_latex_kin",
        "step fruit_state",
        "step live_enzyme_now",
        "step pulp_pct",
    ),
    "piece animal": ("course kill_share", "course kill_germ", "course bird_share", *_FEEL),
    "piece cut": _FEEL,
    "piece weight": (*_SALT, *_ENZYME),
    "piece salt_target": _SALT,
    "piece arrived": (*_SALT, "course carried_log", "course kill_share", "course kill_germ"),
    "piece arrived_salt": _SALT,
    "piece start_state": _START,
    "piece out_minutes": _START,
    "piece fridge_time": ("course raw_cold_minutes", "course fridge_days_known"),
}
# Where the meat has been decides how warm it starts.
STARTS_WARM = ("piece start_state", "piece out_minutes")


@dataclass(frozen=True, slots=True)
class RuleNeed:
    """A rule that needs an answer: its id, what it decides, and why it holds."""

    rule: str
    decides: str
    because: str


def needs(question: Question, rulebase: Rulebase, now: datetime) -> tuple[RuleNeed, ...]:
    """Rules that name the fact a question asks for, or a fact computed or concluded from it.

    Those that name it come first; of these, and of the others, the gravest first.
    """
    wanted = {question.fact, *MOVES.get(question.fact, ())}
    addresses = {question.fact.replace(" ", ".")}
    if question.fact in STARTS_WARM:
        addresses.add("piece.start_temperature")
    wanted |= {name for name, inputs in _inputs(rulebase, now) if inputs & addresses}
    found: dict[str, CheckedRule] = {}
    # A rule never stands in an earlier stratum than those whose conclusions it reads, so one pass is enough.
    for checked in sorted(rulebase.rules.values(), key=lambda checked: checked.stratum):
        if any(f"{c.subject} {c.fact}" in wanted for c in conditions_of(checked.alternatives)):
            found[checked.rule.id] = checked
            if checked.rule.concludes.fact:
                wanted.add(checked.rule.concludes.fact)
    place = {rule: number for number, rule in enumerate(rulebase.rules)}

    def far(checked: CheckedRule) -> bool:
        return all(f"{c.subject} {c.fact}" != question.fact for c in conditions_of(checked.alternatives))

    ordered = sorted(found.values(), key=lambda checked: (far(checked), _grave(checked), place[checked.rule.id]))
    return tuple(_need(checked, rulebase) for checked in ordered)


def _grave(checked: CheckedRule) -> int:
    signal = checked.rule.concludes.signal
    return SIGNALS.index(signal) if signal is not None else len(SIGNALS)


def _need(checked: CheckedRule, rulebase: Rulebase) -> RuleNeed:
    conclusion = checked.rule.concludes
    decides = conclusion.verdict or conclusion.technique or f"{conclusion.fact}: {conclusion.value}"
    decides = decides.replace("_", " ")
    return RuleNeed(
        checked.rule.id,
        f"{decides} ({conclusion.signal})" if conclusion.signal else decides,
        plain(checked.rule.because, rulebase),
    )


def _inputs(rulebase: Rulebase, now: datetime) -> tuple[tuple[str, frozenset[str]], ...]:
    """Computed facts of a worked case, each with the facts it was computed from."""
    text = resources.files("scenarios").joinpath("demo.yaml").read_text(encoding="utf-8")
    computed = course_facts(read_plan(text, rulebase, now), rulebase)
    return tuple(
        (
            "step " + fact.name if fact.subject.startswith("step") else f"{fact.subject} {fact.name}",
            frozenset(fact.inputs),
        )
        for fact in computed.facts.all()
    )
