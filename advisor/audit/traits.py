"""What a cut or a softener is by itself, and the rules that this brings in.

A cut gives facts of the piece; a softener gives facts of the step that puts it on and of the plan. A rule is
brought in when some alternative of it names one of these facts and holds for it, and none of them is against it.
Conditions with *is not* and *is known* hold for nearly everything and bring nothing in. A fact that such a rule
concludes from these alone counts as well: poultry brings in the rules for the class of food it falls under.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from advisor.case.facts import Fact, FactSet, Value
from advisor.infer import reference

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from advisor.knowledge.conditions import Alternative, Condition
    from advisor.knowledge.records import Cut, Material, Tenderiser
    from advisor.knowledge.rulebase import CheckedRule, Rulebase

Traits = dict[tuple[str, str], tuple[Value, ...]]
_TELLING: Final = ("is", "is one of", "is over", "is at least", "is under", "is at most")
_ALIVE: Final = ("raw", "unknown")
# However much of it and however long: from next to nothing to more than anyone would.
ANY: Final = (0.01, 1e6)


def traits_of_cut(cut: Cut) -> Traits:
    """Facts of the piece that a cut settles; where it spans a range, both ends."""
    found: Traits = {
        ("piece", "toughness"): (cut.toughness,),
        ("piece", "collagen"): (cut.collagen,),
        ("piece", "grain"): (cut.grain,),
        ("piece", "tissue"): (cut.tissue,),
        ("piece", "often_sold"): (cut.often_sold,),
        ("piece", "parasite"): (cut.parasite,),
        ("piece", "thickness"): (float(min(cut.thickness_mm)), float(max(cut.thickness_mm))),
        ("piece", "weight"): (float(min(cut.weight_g)), float(max(cut.weight_g))),
    }
    return found if cut.animal == "any" else {("piece", "animal"): (cut.animal,), **found}


def traits_of_softener(softener: Tenderiser) -> Traits:
    """Facts that putting a softener on settles, raw, in whatever amount."""
    found: Traits = {("step", "adds_latex_kin"): ("yes" if softener.latex else "no",)}
    if softener.kind in ("acid", "dairy"):
        clock = "acid_minutes" if softener.kind == "acid" and softener.acid_pct > 0 else "mild_acid_minutes"
        found |= {("step", "adds_acid"): ("yes",), ("step", "acid_now"): ("yes",), ("course", clock): ANY}
    if softener.kind in ("acid", "dairy", "alkali"):
        found |= {("course", "acid_and_soda"): ("no", "yes")}
    if softener.kind == "alkali":
        found |= {("step", "adds_soda"): ("yes",), ("step", "soda_pct"): ANY}
    if softener.strength > 0:
        proven = softener.enzyme != "unproven"
        found |= {
            ("step", "adds_enzyme"): ("yes" if proven else "unproven",),
            ("step", "fruit_state"): _ALIVE,
            ("step", "live_enzyme_now"): ("yes",),
            ("step", "pulp_pct"): ANY,
            ("course", "enzyme_used"): ("yes",),
            ("course", "mush_share"): ANY,
            ("course", "enzyme_bath_minutes"): ANY,
            ("guests", "softener"): ("yes",),
        }
    return found


def traits_of_material(thing: Material) -> Traits:
    """Facts that putting something else on settles."""
    found: Traits = {}
    if thing.low_acid_aromatic:
        found |= {("step", "aromatic_now"): ("yes",), ("course", "sealed_aromatic_cold"): ANY}
    if thing.nitrite_pct:
        found |= {("step", "cures"): ("yes",), ("course", "nitrite_ppm"): ANY}
    if thing.salt_pct:
        found |= {("course", "salt_pct"): ANY}
    return found


def brought_in(traits: Traits, rulebase: Rulebase) -> tuple[CheckedRule, ...]:
    """Rules that these facts bring in, in the order of the rulebase."""
    known = dict(traits)
    for checked in sorted(rulebase.rules.values(), key=lambda one: one.stratum):
        conclusion = checked.rule.concludes
        if conclusion.fact and any(_settled(alternative, known) for alternative in checked.alternatives):
            subject, _, name = conclusion.fact.partition(" ")
            known[subject, name] = (conclusion.value,)
    return tuple(
        checked
        for checked in rulebase.rules.values()
        if any(_brings(alternative, known) for alternative in checked.alternatives)
    )


def _settled(alternative: Alternative, known: Mapping[tuple[str, str], tuple[Value, ...]]) -> bool:
    """Tell whether an alternative holds by the known facts alone."""
    return not alternative.absent_steps and all(_state(c, known) == "true" for c in alternative.conditions)


def _brings(alternative: Alternative, known: Mapping[tuple[str, str], tuple[Value, ...]]) -> bool:
    states = [(c, _state(c, known)) for c in alternative.conditions]
    telling = any(state == "true" and c.comparison in _TELLING for c, state in states)
    return telling and not any(state == "false" for _, state in states)


def _state(condition: Condition, known: Mapping[tuple[str, str], tuple[Value, ...]]) -> str:
    """How a condition stands: true when some value of its fact meets it, false when none does."""
    values = known.get((condition.subject, condition.fact))
    if values is None:
        return "unknown"
    return "true" if "true" in set(_judged(condition, values)) else "false"


def _judged(condition: Condition, values: tuple[Value, ...]) -> Iterator[str]:
    of_step = condition.subject == "step"
    for value in values:
        fact = Fact("step1" if of_step else condition.subject, condition.fact, value, "from the rulebase")
        facts = FactSet(steps=({},)) if of_step else FactSet()
        yield reference.judge(condition, facts.with_fact(fact), 0 if of_step else None).state
