"""The facts a case comes down to: what was said, what was assumed, and what the course computed."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING

from advisor.case.complete import complete, cut_of, missing
from advisor.case.facts import Fact, FactSet
from advisor.course.afterwards import cooling_facts, served_last, time_facts
from advisor.course.chilling import code_cooling_facts
from advisor.course.doubts import doubt
from advisor.course.feel import Enzymes, feel_facts, paste_facts
from advisor.course.growing import raw_growth_facts
from advisor.course.growing_cooked import cooked_growth_facts
from advisor.course.heating import again_facts, come_up_facts, kill_facts, peak_facts, table_facts
from advisor.course.measured import as_recorded, log_facts, measured
from advisor.course.on_demand import FactsOnDemand, Group
from advisor.course.plan_facts import plan_facts, step_facts
from advisor.course.ranges import Ranged, plain, worst_of
from advisor.course.roles import COOKS, WAITS, Lies, heats, lies
from advisor.course.seasoning import Seasoned, seasoned
from advisor.course.stretches import Stretches, stretches
from advisor.course.thawing import thaw_facts
from advisor.course.waiting import with_wait
from advisor.course.walk import Course, Walked, felt_of, walk
from advisor.science.validity import gathered

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.validity import OutsideRange

# Facts of the piece that stand in the record of its cut.
OF_CUT = ("toughness", "collagen", "grain", "tissue", "often_sold", "parasite")

# Facts of the salt balance: what its models were not checked for goes with them.
OF_SALT = frozenset({"salt_pct", "salt_over_target", "salt_centre_share", "salt_depth", "salt_outer", "salt_middle"})

# What each function gives. A name that is missing here costs time, never a fact.
LISTED = {
    "advisor.course.official.standing": "broken_share broken_row broken_needs broken_held whole_share whole_row"
    " whole_needs whole_held whole_code_name whole_code_share whole_code_row whole_code_needs whole_code_held"
    " wild_share wild_row liver_share liver_row liver_needs liver_held"
    " wild_needs wild_held bird_share bird_row bird_needs bird_held chart_share whole_chart_share bird_chart_share",
    "advisor.science.lethality.log_kill": "salmonella_kill_log e_coli_kill_log listeria_kill_log kill_share kill_germ"
    " carried_log",
    "advisor.science.conduction.leg": "core_peak surface_peak sear_rise",
    "advisor.course.heating.again_facts": "part_cooked first_heat reheated_to reheat_minutes",
    "advisor.science.growth.grown_by_end": "raw_growth_log raw_growth_germ raw_growth_inside_log"
    " raw_growth_inside_germ staph_growth_log staph_growth_inside_log cooked_through",
    "advisor.course.growing_cooked.cooked_growth_facts": "spore_growth_log cooked_poison_log cooked_poison_germ"
    " botulinum_inside_log cold_growth_log cold_growth_germ sealed_growth_log",
    "advisor.science.stays.time_between": "come_up_core come_up_surface",
    "advisor.course.afterwards.cooling_facts": "cools cool_stage_one cool_all cool_reached_first cool_reached_cold"
    " cool_end",
    "advisor.course.chilling.code_cooling_facts": "code_cool_name code_cool_share code_cool_reached code_cool_from"
    " code_cool_to code_cool_end code_cool_took code_cool_allowed code_wait_share code_wait code_wait_max",
    "advisor.course.afterwards.time_facts": "warm_raw_minutes raw_cold_minutes warm_cooked_minutes"
    " lukewarm_cooked_minutes cold_days sealed_cold sealed_aromatic_cold acid_minutes mild_acid_minutes",
    "advisor.science.freezing.frozen_leg": "still_frozen thaw_needs",
    "advisor.course.measured.log_facts": "log_rows log_lost log_gap log_gap_minutes log_again"
    " log_over_heat log_under_cold log_off log_off_other log_other_unit_nearer log_minutes",
    "advisor.course.feel.paste_facts": "enzyme_work mush_share mush_depth mush_along mush_unproven enzyme_left"
    " enzyme_bath_minutes enzyme_depth enzyme_room_minutes enzyme_over_custom",
    "advisor.course.feel.feel_facts": "collagen_left tender_low tender_high tender_confidence chew_low chew_high"
    " loss_low loss_high hours_over_usual outer_ph acid_depth acid_band soda_band"
    " portion_low portion_high price_low price_high",
}
# Functions that read nothing of the salt, neither what is wanted nor what is put on.
SALTLESS = frozenset(
    {
        "advisor.course.official.standing",
        "advisor.science.lethality.log_kill",
        "advisor.science.conduction.leg",
        "advisor.course.heating.again_facts",
        "advisor.science.growth.grown_by_end",
        "advisor.science.stays.time_between",
        "advisor.course.afterwards.cooling_facts",
        "advisor.science.freezing.frozen_leg",
    }
)
# What the plan gives without a walk, when it does.
NOT_WALKED = frozenset({"unplaced", "not_placed", "salt_even_minutes", "boils_at"})


@dataclass(frozen=True, slots=True)
class Walks:
    """What was walked under one rulebase: each case that is felt alike once.

    Attributes
    ----------
    courses : dict
        Walks by what a walk can feel of a case, with what their models were not checked for.
    facts : dict
        Facts of them by function, for cases alike in all but salt.
    """

    courses: dict[tuple[object, ...], tuple[Course, tuple[OutsideRange, ...]]] = field(default_factory=dict)
    facts: dict[tuple[object, ...], dict[str, dict[str, Fact]]] = field(default_factory=dict)

    def clear(self) -> None:
        """Forget all of it."""
        self.courses.clear()
        self.facts.clear()


@dataclass(frozen=True, slots=True)
class Computed:
    """A completed case with its course, its roles and its facts; ``course`` is None when a time or heat is missing."""

    case: Case
    course: Course | None
    roles: tuple[str, ...]
    facts: FactSet
    salt: Seasoned


def course_facts(case: Case, rulebase: Rulebase, walks: Walks | None = None) -> Computed:
    """Complete a case, walk it, and compute every fact the rules may ask for.

    Parameters
    ----------
    case : Case
        As read or as answered; gaps are filled by assumption here.
    rulebase : Rulebase
        The knowledge.
    walks : Walks, optional
        Walks made before under the same rulebase; what is walked here is put in.

    Returns
    -------
    Computed
        With a `FactSet` in the fixed units of the vocabulary. Where a time or a heat is missing that nothing may
        replace, no course is walked and ``course.unplaced`` names what is missing.
    """
    full = complete(case, rulebase)
    if full.log is not None and not missing(full) and full.steps:
        full = as_recorded(full, full.log, rulebase)
    gaps = missing(full)
    walkable = not gaps and bool(full.steps) and full.number("piece", "thickness") > 0
    course, outside = _walked(full, rulebase, walks) if walkable else (None, ())
    modelled = course.typical if course is not None else None
    if course is not None and full.log is not None:
        with gathered() as of_log:
            course = measured(course, full, full.log, rulebase)
        outside = (*outside, *of_log)
    with gathered() as beyond_salt:
        salt = seasoned(full, course.typical if course is not None else None, rulebase)
    laid = lies(full, rulebase)
    found = stretches(full, course, rulebase)
    roles = _roles(full, course, found, rulebase)
    values = dict(plan_facts(full, salt, rulebase))
    for index, name in gaps[:1]:
        step = full.steps[index]
        lacks = "time" if name == "minutes" else "temperature"
        says = f"step {index + 1} ({step.action.replace('_', ' ')}) has no {lacks}"
        values["unplaced"] = (says, "advisor.case.complete.missing", ())
    computed = {
        name: Fact(
            "course",
            name,
            value,
            "computed",
            by=by,
            inputs=inputs,
            doubts=tuple(doubt(warning, full.system) for warning in beyond_salt) if name in OF_SALT else (),
        )
        for name, (value, by, inputs) in values.items()
    }
    ends = {"salt_pct": (salt.low_pct, salt.pct), "salt_outer": salt.outer_ends, "salt_middle": salt.middle_ends}
    for name, (low, high) in ends.items():
        computed[name] = replace(computed[name], low=low, high=high)
    if salt.even_minutes is not None:
        fast, slow = salt.even_minutes
        by = "advisor.science.soak.travelled_to_even_m2"
        computed["salt_even_minutes"] = Fact(
            "course", "salt_even_minutes", slow, "computed", by=by, inputs=("piece.thickness",), low=fast, high=slow
        )
    groups: tuple[Group, ...] = ()
    if course is not None:
        # The wait before the first step warms nothing: no part of the walk, it counts for the clocks and for growth.
        aged = with_wait(full, course, rulebase)
        groups = _walked_facts(aged, course, modelled or course.typical, found, roles, laid, outside, rulebase)
        if walks is not None and full.log is None:
            groups = _shared(groups, walks.facts.setdefault(felt_of(aged, frozenset({"salt_target"})), {}))
    facts = FactSet(
        piece=_said("piece", full, rulebase),
        guests=_said("guests", full, rulebase),
        course=FactsOnDemand(computed, NOT_WALKED | frozenset(computed), groups) if groups else computed,
        steps=tuple(
            step_facts(index, full, roles[index], laid[index], course, rulebase) for index in range(len(full.steps))
        ),
    )
    return Computed(full, course, roles, facts, salt)


def _shared(groups: tuple[Group, ...], made: dict[str, dict[str, Fact]]) -> tuple[Group, ...]:
    """The groups, of which those that read no salt are worked out once for all cases alike in the rest."""

    def once(group: Group) -> Mapping[str, Fact]:
        if group.by not in made:
            made[group.by] = dict(group.work())
        return made[group.by]

    return tuple(replace(group, work=partial(once, group)) if group.by in SALTLESS else group for group in groups)


def _walked(case: Case, rulebase: Rulebase, walks: Walks | None) -> tuple[Course, tuple[OutsideRange, ...]]:
    """The walks of a completed case with their warnings; one that was made before is taken as it is."""
    key = felt_of(case)
    if walks is not None and key in walks.courses:
        return walks.courses[key]
    with gathered() as outside:
        course = walk(case, rulebase)
    made = course, tuple(outside)
    if walks is not None:
        walks.courses[key] = made
    return made


def _said(subject: str, case: Case, rulebase: Rulebase) -> dict[str, Fact]:
    """Facts of the piece or the guests; those a rule concludes begin at their default."""
    given = case.piece if subject == "piece" else case.guests
    facts = {
        name: Fact(subject, name, entry.value, entry.origin, as_written=entry.as_written, note=entry.note)
        for name, entry in given.items()
    }
    for name, entry in rulebase.vocabulary[subject].items():
        if name not in facts and entry.default is not None:
            facts[name] = Fact(subject, name, entry.default, "from the rulebase")
    if subject == "piece":
        cut = cut_of(case, rulebase)
        for name in OF_CUT:
            value = (
                _worst_parasite(case, rulebase) if cut.animal == "any" and name == "parasite" else getattr(cut, name)
            )
            facts[name] = Fact(subject, name, value, "from the rulebase", note=cut.name, inputs=("piece.cut",))
    return facts


def _worst_parasite(case: Case, rulebase: Rulebase) -> str:
    """The worst parasite that any cut of the animal may carry, where nobody knows the cut."""
    animal = case.word("piece", "animal")
    may = {cut.parasite for cut in rulebase.cuts.values() if animal in ("", cut.animal)}
    return max(may, key=rulebase.vocabulary["piece"]["parasite"].choices.index, default="none")


def _roles(case: Case, course: Course | None, found: Stretches, rulebase: Rulebase) -> tuple[str, ...]:
    """Role of each step. Meat counts as raw until the stretch begins that cooks it through, or else the last one."""
    cold = rulebase.limit("cold_hold_max")
    raw_until = found.target.first if found.target is not None else len(case.steps)
    roles: list[str] = []
    for index, step in enumerate(case.steps):
        leg = course.slow.of_step(index) if course is not None else None
        waits = step.action in WAITS or step.action in COOKS
        if heats(step, rulebase):
            roles.append("cook")
        elif index < raw_until:
            roles.append("raw_hold" if waits else "work")
        elif step.action == "hot_hold":
            roles.append("hot_hold")
        elif step.action in ("ice", "chill") or (
            leg is not None and float(leg.centre_c[0]) > cold and leg.medium_c <= cold
        ):
            roles.append("cool")
        else:
            roles.append("cooked_hold" if waits else "work")
    return tuple(roles)


def _walked_facts(
    case: Case,
    course: Course,
    modelled: Walked,
    found: Stretches,
    roles: tuple[str, ...],
    laid: tuple[Lies, ...],
    outside: tuple[OutsideRange, ...],
    rulebase: Rulebase,
) -> tuple[Group, ...]:
    """Facts of the walks, each with its range and with what its models were not checked for."""
    inputs = (
        "piece.thickness",
        "piece.start_temperature",
        *(f"step{n}.{x}" for n in range(1, len(roles) + 1) for x in ("temperature", "minutes")),
    )
    served = served_last(case)
    heated, walks, enzymes = found.all, course.ends, Enzymes(case, course, rulebase)
    groups: tuple[tuple[str, Callable[[], dict[str, Ranged]]], ...] = (
        (
            "advisor.course.official.standing",
            lambda: plain(table_facts(case, course, heated, rulebase)),
        ),
        ("advisor.science.lethality.log_kill", lambda: plain(kill_facts(case, course, found, rulebase))),
        ("advisor.science.conduction.leg", lambda: peak_facts(case, course, heated, rulebase)),
        (
            "advisor.course.heating.again_facts",
            lambda: again_facts(case.word("piece", "animal"), course, heated, roles, rulebase),
        ),
        (
            "advisor.science.growth.grown_by_end",
            lambda: raw_growth_facts(case, course, found, roles, rulebase),
        ),
        (
            "advisor.course.growing_cooked.cooked_growth_facts",
            lambda: cooked_growth_facts(case, course, found, roles, laid, rulebase),
        ),
        (
            "advisor.science.stays.time_between",
            lambda: worst_of([come_up_facts(case, w, found, roles, rulebase) for w in walks]),
        ),
        (
            "advisor.course.afterwards.cooling_facts",
            lambda: worst_of([cooling_facts(w, roles, rulebase, served=served) for w in walks]),
        ),
        (
            "advisor.course.chilling.code_cooling_facts",
            lambda: code_cooling_facts(walks, roles, rulebase, served=served),
        ),
        (
            "advisor.course.afterwards.time_facts",
            lambda: worst_of([time_facts(case, w, found, roles, laid, rulebase) for w in walks]),
        ),
        ("advisor.science.freezing.frozen_leg", lambda: thaw_facts(case, course, rulebase)),
        ("advisor.course.measured.log_facts", lambda: log_facts(case, modelled, rulebase)),
        ("advisor.course.feel.paste_facts", lambda: paste_facts(enzymes)),
        ("advisor.course.feel.feel_facts", lambda: feel_facts(enzymes)),
    )

    def worked_out(by: str, work: Callable[[], dict[str, Ranged]]) -> dict[str, Fact]:
        with gathered() as beyond:
            values = work()
        doubts = tuple(dict.fromkeys(doubt(warning, case.system) for warning in (*outside, *beyond)))
        return {
            name: Fact(
                "course",
                name,
                ranged.value,
                "computed",
                by=by,
                inputs=inputs,
                low=ranged.low,
                high=ranged.high,
                doubts=tuple(dict.fromkeys((*doubts, *(doubt(warning, case.system) for warning in ranged.doubts)))),
            )
            for name, ranged in values.items()
        }

    return tuple(Group(by, frozenset(LISTED.get(by, "").split()), partial(worked_out, by, work)) for by, work in groups)
