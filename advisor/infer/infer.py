"""Runs the rules over the facts of a case, stratum by stratum, and gives the proof record.

A rule may conclude a fact. Then not knowing must not make the plan look better:

- Several rules may conclude one fact; the last of its ``choices`` is the worst, and the worst value that was
  concluded or given stands.
- A rule that would hold if something not known turned out badly counts as well, when its value is worse; the
  fact is then marked "assumed worst" and says which rule it was.
- A fact that no rule concludes, or could conclude, takes its ``default`` from the vocabulary.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from advisor.case.facts import Fact, FactSet
from advisor.infer import engine as durable_engine
from advisor.infer import reference
from advisor.infer.laws import check_conclusions, check_exceptions, check_facts
from advisor.infer.proof import Evaluator, Finding, Firing, Inference, Judged, Technique
from advisor.infer.text import fill

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from advisor.case.facts import Facts, Origin
    from advisor.knowledge.conditions import Condition
    from advisor.knowledge.rulebase import CheckedRule, Rulebase
    from advisor.units import System


def infer(
    rulebase: Rulebase,
    facts: FactSet,
    system: System = "metric",
    engine: Literal["auto", "durable", "reference"] = "auto",
) -> Inference:
    """Find all that the rules say of a case.

    Parameters
    ----------
    rulebase : Rulebase
        The rules.
    facts : FactSet
        Given and computed facts, in the fixed units of the vocabulary.
    system : {"metric", "us"}
        The cook's units, for the texts.
    engine : {"auto", "durable", "reference"}
        ``auto`` takes durable-rules where it loads and the reference evaluator elsewhere.

    Returns
    -------
    Inference
        Facts, findings, techniques and every firing.

    Raises
    ------
    EngineError
        A fact is of the wrong kind, the rules break a law of `advisor.infer.laws`, or the engine failed.
    """
    ready, strata = _prepared(rulebase)
    check_facts(rulebase, facts)
    evaluator = _evaluator(engine)
    fire = durable_engine.fire if evaluator == "durable-rules" else reference.fire
    facts = _with_defaults(rulebase, facts, ready.get(-1, ()))
    firings: list[Firing] = []
    for stratum, rules in strata:
        fired = fire(rules, facts)
        firings += fired
        facts = _with_conclusions(rulebase, facts, rules, fired)
        facts = _with_defaults(rulebase, facts, ready.get(stratum, ()))
    place = {rule_id: number for number, rule_id in enumerate(rulebase.rules)}
    firings.sort(key=lambda firing: (place[firing.rule_id], reference.step_order(firing.step)))
    left = standing(rulebase, firings)
    return Inference(
        facts=facts,
        findings=tuple(_findings(rulebase, facts, left, system)),
        techniques=tuple(_techniques(rulebase, facts, left, system)),
        firings=tuple(firings),
        engine=evaluator,
    )


Prepared = tuple["Mapping[int, Sequence[tuple[str, str]]]", "tuple[tuple[int, list[CheckedRule]], ...]"]
MOST_PREPARED = 8
_prepared_before: dict[int, tuple[Rulebase, Prepared]] = {}


def _prepared(rulebase: Rulebase) -> Prepared:
    """What is the same for every case of a rulebase, its own laws held against it once; a rulebase never changes."""
    kept = _prepared_before.get(id(rulebase))
    if kept is not None and kept[0] is rulebase:
        return kept[1]
    check_exceptions(rulebase)
    check_conclusions(rulebase)
    strata = tuple(
        (stratum, [rule for rule in rulebase.rules.values() if rule.stratum == stratum])
        for stratum in sorted({rule.stratum for rule in rulebase.rules.values()})
    )
    if len(_prepared_before) >= MOST_PREPARED:
        _prepared_before.clear()
    _prepared_before[id(rulebase)] = (rulebase, (_ready_after(rulebase), strata))
    return _prepared_before[id(rulebase)][1]


class Concluding:
    """What rules conclude from facts, stratum by stratum, by the reference evaluator and without any findings."""

    def __init__(self, rulebase: Rulebase) -> None:
        self._rulebase = rulebase
        self._ready = _ready_after(rulebase)
        self._rules: dict[int, list[CheckedRule]] = {rule.stratum: [] for rule in rulebase.rules.values()}
        for rule in rulebase.rules.values():
            if rule.rule.concludes.fact:
                self._rules[rule.stratum].append(rule)

    def by_stratum(self, facts: FactSet) -> dict[int, FactSet]:
        """Facts as the rules of each stratum find them, what lower strata conclude put in."""
        facts = _with_defaults(self._rulebase, facts, self._ready.get(-1, ()))
        found: dict[int, FactSet] = {}
        for stratum in sorted(self._rules):
            found[stratum] = facts
            rules = self._rules[stratum]
            facts = _with_conclusions(self._rulebase, facts, rules, reference.fire(rules, facts))
            facts = _with_defaults(self._rulebase, facts, self._ready.get(stratum, ()))
        return found


def _evaluator(wanted: Literal["auto", "durable", "reference"]) -> Evaluator:
    if wanted == "reference" or (wanted == "auto" and not durable_engine.available()):
        return "reference evaluator"
    return "durable-rules"


# --- facts that rules conclude


def _ready_after(rulebase: Rulebase) -> Mapping[int, Sequence[tuple[str, str]]]:
    """Sort facts that rules may conclude by the last stratum that can; -1 for those that none does."""
    last = {
        (subject, name): -1
        for subject, entries in rulebase.vocabulary.items()
        for name, entry in entries.items()
        if entry.concluded
    }
    for checked in rulebase.rules.values():
        if checked.rule.concludes.fact:
            subject, _, name = checked.rule.concludes.fact.partition(" ")
            last[subject, name] = max(last.get((subject, name), -1), checked.stratum)
    ready: dict[int, list[tuple[str, str]]] = {}
    for fact, stratum in last.items():
        ready.setdefault(stratum, []).append(fact)
    return ready


def _with_defaults(rulebase: Rulebase, facts: FactSet, names: Sequence[tuple[str, str]]) -> FactSet:
    for subject, name in names:
        default = rulebase.vocabulary[subject][name].default
        if default is None:
            continue
        for place, group in _groups(facts, subject):
            if name not in group or group[name].value is None:
                note = "No rule says otherwise."
                facts = facts.with_fact(Fact(place, name, default, "from the rulebase", note=note))
    return facts


def _groups(facts: FactSet, subject: str) -> list[tuple[str, Facts]]:
    if subject != "step":
        return [(subject, facts.of(subject))]
    return [(f"step{number}", step) for number, step in enumerate(facts.steps, start=1)]


def _with_conclusions(
    rulebase: Rulebase, facts: FactSet, rules: Sequence[CheckedRule], fired: Sequence[Firing]
) -> FactSet:
    """Merge what the rules of one stratum conclude, and what they would if the unknown turned out badly."""
    held = set(fired)
    before = facts
    for checked in rules:
        if not checked.rule.concludes.fact:
            continue
        sure = [firing for firing in fired if firing.rule_id == checked.rule.id]
        steps = {firing.step for firing in sure}
        possible = [firing for firing in reference.could_fire(checked, before) if firing.step not in steps]
        for firing in (*sure, *possible):
            fact = _concluded(checked, firing, before, sure=firing in held)
            facts = _worse(rulebase, facts, fact)
    return facts


def _concluded(checked: CheckedRule, firing: Firing, facts: FactSet, *, sure: bool) -> Fact:
    subject, _, name = checked.rule.concludes.fact.partition(" ")
    place = f"step{firing.step + 1}" if subject == "step" and firing.step is not None else subject
    origin: Origin = "concluded" if sure else "assumed worst"
    note = "" if sure else f"Not known: {', '.join(_not_known(checked, firing, facts))}."
    inputs = fact_ids(checked, firing, facts)
    return Fact(place, name, checked.rule.concludes.value, origin, note=note, inputs=inputs, by=checked.rule.id)


def _not_known(checked: CheckedRule, firing: Firing, facts: FactSet) -> Iterator[str]:
    for condition in checked.alternatives[firing.alternative].conditions:
        if reference.judge(condition, facts, firing.step).state == "unknown":
            yield _fact_id(condition, firing.step)


def _worse(rulebase: Rulebase, facts: FactSet, fact: Fact) -> FactSet:
    """Put a concluded fact in, unless what stands there is as bad or worse."""
    subject = "step" if fact.subject.startswith("step") else fact.subject
    choices = rulebase.vocabulary[subject][fact.name].choices
    group = dict(_groups(facts, subject))[fact.subject]
    old = group[fact.name].value if fact.name in group else None
    if old is not None and choices.index(str(old)) >= choices.index(str(fact.value)):
        return facts
    return facts.with_fact(fact)


# --- findings and techniques


def standing(rulebase: Rulebase, firings: Sequence[Firing]) -> list[Firing]:
    """Leave out what an exception takes away; an exception that is itself taken away takes nothing away."""
    exceptions: dict[str, list[Firing]] = {}
    for firing in firings:
        target = rulebase.rules[firing.rule_id].rule.exception_to
        if target:
            exceptions.setdefault(target, []).append(firing)

    def stands(firing: Firing) -> bool:
        return not any(
            stands(other) and (other.step is None or firing.step is None or other.step == firing.step)
            for other in exceptions.get(firing.rule_id, ())
        )

    return [firing for firing in firings if stands(firing)]


def _findings(rulebase: Rulebase, facts: FactSet, firings: Sequence[Firing], system: System) -> Iterator[Finding]:
    for firing in firings:
        checked = rulebase.rules[firing.rule_id]
        rule, conclusion = checked.rule, checked.rule.concludes
        if conclusion.verdict is None or conclusion.signal is None:
            continue

        def filled(text: str, step: int | None = firing.step) -> str:
            return fill(text, rulebase, facts, step, system)

        caution = rule.caution
        looked_at = fact_ids(checked, firing, facts)
        yield Finding(
            rule=checked,
            verdict=conclusion.verdict,
            signal=conclusion.signal,
            concern=rule.concern,
            step=firing.step,
            says=filled(rule.says),
            because=filled(rule.because),
            caution=(filled(caution.hazard), filled(caution.consequence), filled(caution.instead)) if caution else None,
            beside=filled(rule.beside),
            figures=figures(checked, firing, facts),
            fact_ids=looked_at,
            sources=tuple(rule.source),
            doubts=_doubts(looked_at, facts),
        )


def _doubts(ids: tuple[str, ...], facts: FactSet) -> tuple[str, ...]:
    """Gather what the models behind some facts were not checked for, each once."""
    doubtful = {fact.id: fact.doubts for fact in facts.all() if fact.doubts}
    return tuple(dict.fromkeys(doubt for name in ids for doubt in doubtful.get(name, ())))


def _techniques(rulebase: Rulebase, facts: FactSet, firings: Sequence[Firing], system: System) -> Iterator[Technique]:
    said: set[tuple[str, str, str]] = set()
    for firing in firings:
        checked = rulebase.rules[firing.rule_id]
        if not checked.rule.concludes.technique:
            continue
        says = fill(checked.rule.says, rulebase, facts, firing.step, system)
        because = fill(checked.rule.because, rulebase, facts, firing.step, system)
        if (firing.rule_id, says, because) not in said:
            said.add((firing.rule_id, says, because))
            yield Technique(checked.rule.concludes.technique, checked.rule.concludes.fit, checked, says, because)


def figures(checked: CheckedRule, firing: Firing, facts: FactSet) -> tuple[Judged, ...]:
    """Conditions of the alternative that held, with value and margin."""
    conditions = checked.alternatives[firing.alternative].conditions
    return tuple(reference.judge(condition, facts, firing.step) for condition in conditions)


def fact_ids(checked: CheckedRule, firing: Firing, facts: FactSet) -> tuple[str, ...]:
    """Ids of the facts that a firing looked at, those under ``none`` in every step included."""
    alternative = checked.alternatives[firing.alternative]
    ids = [_fact_id(condition, firing.step) for condition in alternative.conditions]
    for pattern in alternative.absent_steps:
        for number, step in enumerate(facts.steps):
            ids += [_fact_id(condition, number) for condition in pattern if condition.fact in step]
    return tuple(dict.fromkeys(ids))


def _fact_id(condition: Condition, step: int | None) -> str:
    place = f"step{step + 1}" if condition.subject == "step" and step is not None else condition.subject
    return f"{place}.{condition.fact}"
