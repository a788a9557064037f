"""A change in words put into a plan: every step that it could mean, so that the worst of them can be judged."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice, product
from typing import TYPE_CHECKING, Final

from advisor.case.contradictions import contradictions
from advisor.case.model import PlanStep
from advisor.case.work_times import STUFFS
from advisor.course.roles import COOKS, SEARS, WAITS
from advisor.errors import InputError
from advisor.units import write_moment, write_quantity

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.case.model import Case, Given
    from advisor.case.words.altered import Altered, Differs
    from advisor.knowledge.rulebase import Rulebase

# One of these done in the place of another of its family is the same step done otherwise.
FAMILIES: Final = (SEARS, frozenset({"bath", "oven", "braise"}), frozenset({"ice", "chill"}))
# "Leave it" and "keep it" may mean any of these.
LEAVES: Final = WAITS - {"hot_hold", "ice"}
PUTS_ON: Final = frozenset({"marinate", "salt", "brine", "inject", "tumble", "bag"})
MOST_READINGS: Final = 12
PIECE: Final = -1
HOUR: Final = 60.0


@dataclass(frozen=True, slots=True)
class Target:
    """A place in the plan, from 0: the step that is meant, or where a new one goes in; -1 is the piece."""

    index: int
    new: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to take the change.

    Attributes
    ----------
    case : Case
        The plan with the change in it.
    did : tuple of str
        What was changed, in sentences.
    where : tuple of str
        The steps that were taken to be meant where more than one could be.
    problem : str
        Why the plan cannot be so; empty when it can.
    """

    case: Case
    did: tuple[str, ...]
    where: tuple[str, ...]
    problem: str = ""


def readings(plan: Case, altered: Altered, rulebase: Rulebase) -> tuple[Reading, ...]:
    """Every way to put a change into a plan: where two steps could be meant, each of them.

    Raises
    ------
    InputError
        Nothing of it was understood, or it speaks of nothing in this plan.
    """
    if not altered.says_something:
        raise InputError(
            f"Nothing in '{altered.words}' is a change that we understand.",
            f"Say what would be otherwise, such as {_such_as(plan)}.",
        )
    base, did = _facts(plan, altered, rulebase)
    base, more = _left_out(base, altered, rulebase)
    did += more
    choices = [_could_be(base, step, altered) for step in altered.case.steps]
    choices += [_differs_at(base, differs, altered) for differs in altered.differs]
    found: list[Reading] = []
    for chosen in islice(product(*choices), MOST_READINGS):
        case, done = base, list(did)
        where: list[str] = []
        put_in: list[int] = []
        for number, target in enumerate(chosen):
            # A step put in moves those behind it.
            at = target.index + sum(one <= target.index for one in put_in)
            if number >= len(altered.case.steps):
                differs = altered.differs[number - len(altered.case.steps)]
                case, said = _moved(case, target.index if target.index == PIECE else at, differs, rulebase)
            elif target.new:
                case, said = _put_in(case, at, altered.case.steps[number], rulebase)
                put_in.append(at)
            else:
                case, said = _merged(case, at, altered.case.steps[number], rulebase)
            done += said
            if len(choices[number]) > 1:
                where.append(f"step {at + 1} ({_name(case.steps[at].action, rulebase)})")
        wrong = contradictions(case, rulebase, lambda _: "")
        found.append(Reading(case, tuple(done), tuple(where), wrong[0].what if wrong else ""))
    if not any(reading.did for reading in found):
        if altered.case.open_points:
            raise InputError(f"'{altered.words}' cannot be read.", altered.case.open_points[0])
        raise InputError(
            f"'{altered.words}' changes nothing in this plan.", f"Name the step, such as {_such_as(plan)}."
        )
    return tuple(found)


def _such_as(plan: Case) -> str:
    """Two changes of this plan, as they can be typed: its longest step longer, and a step left out."""
    longest = max(range(len(plan.steps)), key=lambda index: plan.steps[index].number("minutes"), default=0)
    minutes = plan.steps[longest].number("minutes") if plan.steps else 0.0
    told = [f"'step {longest + 1}: {'1 h' if minutes >= HOUR else '10 min'} longer'"] if minutes else []
    free = [index for index, step in enumerate(plan.steps) if index != longest and step.action != "serve"]
    told += [f"'skip step {free[-1] + 1}'"] if free else []
    return " or ".join(told) or "'leave it overnight on the counter'"


def _name(action: str, rulebase: Rulebase) -> str:
    return rulebase.vocabulary["step"]["action"].says.get(action, action.replace("_", " "))


def _facts(plan: Case, altered: Altered, rulebase: Rulebase) -> tuple[Case, list[str]]:
    """The plan with other facts of the meat, the guests and the service."""
    did: list[str] = []
    said = altered.case
    if "cut" in said.piece and "animal" not in said.piece:
        # Another cut may be of another animal.
        plan = replace(plan, piece={name: given for name, given in plan.piece.items() if name != "animal"})
    for subject, given in (("piece", said.piece), ("guests", said.guests)):
        for name, entry in given.items():
            old = plan.given(subject, name)
            if old is not None and old.value == entry.value:
                continue
            plan = plan.with_value(subject, name, entry)
            did.append(_turned(name, old, entry, subject, plan, rulebase))
    if "stuffing" in said.piece and said.word("piece", "stuffing") != "inside":
        # Nothing is left to put in.
        did += [f"step {n + 1} ({_name(STUFFS, rulebase)}) is left out" for n in _puts_in(plan)]
        plan = replace(plan, steps=tuple(step for step in plan.steps if step.action != STUFFS))
    if said.serve is not None and said.serve != plan.serve:
        did.append(f"served {write_moment(said.serve)}")
        plan = replace(plan, serve=said.serve)
    return plan, did


def _puts_in(plan: Case) -> list[int]:
    return [index for index, step in enumerate(plan.steps) if step.action == STUFFS]


def _turned(name: str, old: Given | None, new: Given, subject: str, case: Case, rulebase: Rulebase) -> str:
    before = _shown(name, old, subject, case, rulebase) if old is not None else "not said"
    return (
        f"{name.replace('_', ' ').replace('minutes', 'time')}: {before} -> {_shown(name, new, subject, case, rulebase)}"
    )


def _shown(name: str, given: Given, subject: str, case: Case, rulebase: Rulebase) -> str:
    entry = rulebase.vocabulary[subject][name]
    if given.value is None:
        return "not known"
    if name == "cut" and given.value in rulebase.cuts:
        return rulebase.cuts[str(given.value)].name
    if isinstance(given.value, str):
        return entry.says.get(given.value, given.value.replace("_", " "))
    return write_quantity(given.value, entry.quantity or "count", case.system)


def _left_out(case: Case, altered: Altered, rulebase: Rulebase) -> tuple[Case, list[str]]:
    """The plan without the steps and things that are to be left out."""
    did: list[str] = []
    swapped = {step.action for step in altered.case.steps}
    kept: list[PlanStep] = []
    for index, step in enumerate(case.steps):
        named = altered.step in (None, index)
        family = next((f for f in FAMILIES if step.action in f), frozenset())
        # "grill it instead of the pan": the step stays and is done otherwise.
        place_out = step.word("place") in altered.places and not altered.case.steps
        if named and (step.action in altered.actions or place_out) and not (family & swapped):
            did.append(f"step {index + 1} ({_name(step.action, rulebase)}) is left out")
            continue
        gone = [item for item in step.ingredients if item.what in altered.things]
        if named and gone:
            names = ", ".join(item.as_written or item.what.replace("_", " ") for item in gone)
            did.append(f"step {index + 1} ({_name(step.action, rulebase)}): no {names}")
            left = tuple(item for item in step.ingredients if item.what not in altered.things)
            # It lies there as long as before, with nothing on it.
            action = "hold" if not left and step.action in ("marinate", "salt") else step.action
            kept.append(replace(step, ingredients=left, action=action))
        else:
            kept.append(step)
    return replace(case, steps=tuple(kept)), did


def _could_be(case: Case, step: PlanStep, altered: Altered) -> list[Target]:
    """Steps of the plan that a step of the change could mean, or the places where a new one would go in."""
    actions = [one.action for one in case.steps]
    if altered.step is not None and altered.step < len(actions):
        return [Target(altered.step)]
    if step.action == "hold":
        waits = [index for index, action in enumerate(actions) if action in LEAVES]
        if waits:
            return list(map(Target, waits))
        cooks = [index for index, action in enumerate(actions) if action in COOKS]
        return [Target(cooks[0], new=True), Target(cooks[-1] + 1, new=True)] if cooks else [Target(0, new=True)]
    same = [index for index, action in enumerate(actions) if action == step.action]
    family = next((family for family in FAMILIES if step.action in family), frozenset())
    kin = [index for index, action in enumerate(actions) if action in family]
    takes = [i for i, one in enumerate(case.steps) if step.ingredients and one.action in PUTS_ON and one.ingredients]
    found = same or kin or takes
    return list(map(Target, found)) if found else [Target(_usual_place(step.action, actions), new=True)]


def _usual_place(action: str, actions: Sequence[str]) -> int:
    """Before the first step that is usually done after it."""
    cooks = [index for index, one in enumerate(actions) if one in COOKS]
    if action in ("rest", "ice", "chill", "hot_hold", "reheat", "slice"):
        ends = [index for index, one in enumerate(actions) if one in ("slice", "serve") and one != action]
        after = cooks[-1] + 1 if cooks else len(actions)
        return min([index for index in ends if index >= after], default=len(actions))
    if action in SEARS:
        return next((index for index, one in enumerate(actions) if one in ("slice", "serve")), len(actions))
    if action in COOKS:
        return next(
            (index for index, one in enumerate(actions) if one in {*SEARS, "dry", "slice", "serve"}), len(actions)
        )
    return cooks[0] if cooks else 0


def _put_in(case: Case, at: int, step: PlanStep, rulebase: Rulebase) -> tuple[Case, list[str]]:
    return case.with_inserted(at, step), [f"a new step {at + 1}: {_step_words(step, case, rulebase)}"]


def _step_words(step: PlanStep, case: Case, rulebase: Rulebase) -> str:
    parts = [_name(step.action, rulebase)]
    parts += [f"{n.replace('minutes', 'time')} {_shown(n, g, 'step', case, rulebase)}" for n, g in step.given.items()]
    if step.ingredients:
        parts.append("with " + ", ".join(item.as_written or item.what for item in step.ingredients))
    return ", ".join(parts)


def _merged(case: Case, at: int, new: PlanStep, rulebase: Rulebase) -> tuple[Case, list[str]]:
    """A step of the plan done otherwise."""
    old = case.steps[at]
    given = dict(old.given)
    stays = new.action in (old.action, "hold") or (new.action in PUTS_ON and old.action in PUTS_ON)
    action = old.action if stays else new.action
    head = f"step {at + 1} ({_name(old.action, rulebase)})"
    did = [] if action == old.action else [f"{head} becomes: {_name(action, rulebase)}"]
    place = new.given.get("place")
    moved = action != old.action or (place is not None and place.value != old.word("place"))
    if moved:
        # The heat belonged to the place it was in.
        heat = given.pop("temperature", None)
        given.pop("place", None)
        if heat is not None and heat.origin == "written" and "temperature" not in new.given:
            did.append(f"{head}: no longer at {_shown('temperature', heat, 'step', case, rulebase)}")
    for one, other in (("minutes", "until_core"), ("until_core", "minutes")):
        if one in new.given and other not in new.given and other in given:
            given.pop(other)
            did.append(f"{head}: no {other.replace('_', ' ').replace('minutes', 'fixed time')} any more")
    for name, entry in new.given.items():
        had_value = old.given.get(name)
        if had_value is not None and had_value.value == entry.value:
            continue
        did.append(f"{head}: {_turned(name, old.given.get(name), entry, 'step', case, rulebase)}")
        given[name] = entry
    things = list(old.ingredients)
    for thing in new.ingredients:
        same = next((i for i, had in enumerate(things) if had.what == thing.what), None)
        shown = thing.as_written or thing.what.replace("_", " ")
        if same is None:
            things.append(thing)
            did.append(f"{head}: with {shown}")
        else:
            had = things[same]
            unsaid = thing.grams is None and thing.share_pct is None
            form = thing.form if thing.form not in ("", "unknown") else had.form
            amounts = (had.grams, had.share_pct) if unsaid else (thing.grams, thing.share_pct)
            things[same] = replace(had, form=form, grams=amounts[0], share_pct=amounts[1])
            if things[same] != had:
                did.append(
                    f"{head}: {_amount(things[same].grams, things[same].share_pct, case)}{form} {shown}".rstrip()
                )
    return case.with_step(at, PlanStep(action, given, tuple(things))), did


def _amount(grams: float | None, share: float | None, case: Case) -> str:
    if grams is not None:
        return f"{write_quantity(grams, 'mass', case.system)} "
    return f"{write_quantity(share, 'percent', case.system)} " if share is not None else ""


def _differs_at(case: Case, differs: Differs, altered: Altered) -> list[Target]:
    """Steps whose figure a difference could be of; or the piece."""
    if differs.fact in ("thickness", "weight"):
        return [Target(PIECE)]
    if altered.step is not None:
        return [Target(altered.step)]
    named = {step.action for step in altered.case.steps}
    has = [index for index, step in enumerate(case.steps) if differs.fact in step.given]
    if named:
        has = [i for i in has if case.steps[i].action in named or ("hold" in named and case.steps[i].action in LEAVES)]
    if not has:
        raise InputError(
            f"'{differs.written}': no step of this plan has such a figure to change.",
            "Name the step and its figure, such as 'step 3: 57 C'.",
        )
    return list(map(Target, has))


def _moved(case: Case, at: int, differs: Differs, rulebase: Rulebase) -> tuple[Case, list[str]]:
    """A figure of the plan made larger or smaller.

    Raises
    ------
    InputError
        The plan does not say the figure, or nothing would be left of it.
    """
    subject = "piece" if at == PIECE else "step"
    given = case.piece if at == PIECE else case.steps[at].given
    old = given.get(differs.fact)
    spoken = differs.fact.replace("minutes", "time")
    if old is None or not isinstance(old.value, float | int):
        raise InputError(f"'{differs.written}': the plan does not say the {spoken} there.", "Write the whole figure.")
    value = float(old.value) + differs.by
    if value < 0 and differs.fact != "temperature":
        raise InputError(f"'{differs.written}' is more than there is.", "Write the whole figure.")
    new = replace(old, value=value, as_written=differs.written)
    head = f"step {at + 1} ({_name(case.steps[at].action, rulebase)}): " if at != PIECE else ""
    did = [head + _turned(differs.fact, old, new, subject, case, rulebase)]
    if at == PIECE:
        return case.with_value("piece", differs.fact, new), did
    step = case.steps[at]
    return case.with_step(at, replace(step, given={**step.given, differs.fact: new})), did
