"""Why another way of working was not chosen: its place among those worked out, or what the rules ask for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.advice.schedule import schedule
from advisor.advice.ways import CALLED, FOR_TOOL, HEATS, TREATMENTS
from advisor.case.words.classify import Classifier
from advisor.case.words.lexicon import lexicon_of
from advisor.case.words.scopes import LIGHT, items_of
from advisor.case.words.tokens import tokens
from advisor.infer.reference import why_not
from advisor.knowledge.checks import folded
from advisor.show.planned import TOO_LATE, traded
from advisor.show.words import value_words
from advisor.units import write_moment, write_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from advisor.advice.build import Built, Option
    from advisor.infer.proof import Judged
    from advisor.knowledge.rulebase import Rulebase

MAIN = frozenset({"bath", "oven", "braise", "pan", "grill"})
AGAINST = {"is over": "over", "is at least": "at least", "is under": "under", "is at most": "at most"}
# How a way is said as a change of a plan, with the limits that its plans are laid out from: a heat takes the place of
# the step that cooks, and what is done before is a step of its own.
SAID = {
    "low_bath": "in the bath at {heat} for {time}",
    "braise": "braise at {heat} for {time}",
    "pressure": "in the pressure cooker at {heat} for {time}",
    "roast": "in the oven at {heat} for {time}",
    "pound": "pound it for {time}",
    "needle": "needle it for {time}",
    "brine": "brine it in the fridge for {time}",
    "inject": "inject it with brine for {time}",
}
HEAT = {
    "braise": "plan_braise_heat",
    "pressure": "plan_pressure_heat",
    "roast": "plan_oven_heat",
}
BATH = {"pink": "plan_bath_pink", "well_done": "plan_bath_done", "fall_apart": "plan_bath_soft"}
TIME = {"pressure": "plan_pressure_minutes", "brine": "plan_brine_minutes"}


def why_not_way(words: str, built: Built, rulebase: Rulebase) -> tuple[str, ...]:
    """Why a way of working was not chosen, where the words name one and nothing else; empty where they do not."""
    named = _named(words, built, rulebase)
    lines: list[str] = []
    for technique in named:
        lines += _worked_out(technique, built) or _ruled_out(technique, built)
        if lines:
            return tuple(dict.fromkeys(lines))
    for technique in named:
        if told := _not_proposed(technique, built, rulebase):
            return (*told, _nearest(built), *_to_try(technique, built, rulebase))
    return ()


def _to_try(technique: str, built: Built, rulebase: Rulebase) -> Iterator[str]:
    """How to ask what the way would do to this plan: in its own step, at the figures of such a way."""
    report = built.report
    steps = report.computed.case.steps
    cook = next((index for index, step in enumerate(steps) if step.action in MAIN), None)
    if technique not in SAID or cook is None:
        return
    system = report.case.system
    heat = HEAT.get(technique, "")
    if technique == "low_bath":
        bird = str(report.inference.facts.piece["cook_class"].value) == "bird"
        heat = "plan_bath_bird" if bird else BATH.get(report.computed.case.word("guests", "want"), "plan_bath_pink")
    minutes = steps[cook].number("minutes") or next(
        (slot.end - slot.start for slot in schedule(report, rulebase) if slot.step == cook), 0.0
    )
    if technique in TREATMENTS:
        minutes = rulebase.trade_words["usual minutes"].get(technique, 0.0)
    if technique in TIME:
        minutes = rulebase.limit(TIME[technique])
    if not minutes:
        return
    said = SAID[technique].format(
        heat=write_quantity(rulebase.limit(heat), "temperature", system, both=False) if heat else "",
        time=write_quantity(max(round(minutes), 1.0), "time", system),
    )
    where = f"step {cook + 1}: " if technique in HEATS else ""
    yield f"To see what it would do to this plan, type: why not {where}{said}."


def unknown_way(words: str, built: Built) -> str:
    """What to say of words that are no change and no way of working that we know."""
    return f"We reckon no way called '{words}' for this piece. {_nearest(built)}"


def _nearest(built: Built) -> str:
    names = list(dict.fromkeys(option.way.name for option in built.ordered if option.way != built.best.way))
    if not names:
        return f"We worked out one way: {built.best.way.name}."
    return f"We worked out: {built.best.way.name} (chosen); {'; '.join(names)}."


def _named(words: str, built: Built, rulebase: Rulebase) -> tuple[str, ...]:
    """Techniques that the words name, if they name nothing else."""
    asked = folded(words).removeprefix("a ").removeprefix("the ")
    by_name = [
        name
        for name, told in {**HEATS, **TREATMENTS}.items()
        if asked and (asked == name.replace("_", " ") or asked in _short(told))
    ]
    by_name += [t.name for t in built.ruled_out if asked == t.name.replace("_", " ")]
    if asked in ("enzyme", "enzymes", "a softener", "fruit"):
        by_name.append("enzyme")
    by_name += _for_tool(asked, rulebase)
    if by_name:
        return tuple(by_name)
    found: list[str] = []
    items = items_of(Classifier(tokens(words), lexicon_of(rulebase), words).run())
    for item in items:
        if item.phrase is not None or item.numeric:
            return ()
        if item.kind in ("ACTION", "PLACE", "ACTPLACE"):
            value = item.token.value
            keys = [str(one) for one in value] if isinstance(value, tuple) else [str(value)]
        elif item.kind == "WITH":
            soft = rulebase.tenderisers.get(str(item.token.value))
            keys = [soft.kind] if soft is not None else [""]
        elif item.kind in LIGHT or item.kind in ("FILL", "A", "SOFT", "HARD"):
            continue
        else:
            return ()
        called = next((CALLED[key] for key in reversed(keys) if key in CALLED), None)
        if called is None:
            return ()
        found += called
    return tuple(dict.fromkeys(found))


def _short(told: str) -> frozenset[str]:
    """The name of a way, and what it is called without its small words: "with blades first" is blades."""
    bare = told.removeprefix("a ").removeprefix("with ").removeprefix("in ").removeprefix("a ").removeprefix("little ")
    return frozenset({told, told.removeprefix("a "), bare, bare.removesuffix(" first")})


def _for_tool(asked: str, rulebase: Rulebase) -> Iterator[str]:
    """The technique of a tool that is named by any of its names: "a blade tool"."""
    bare = asked.removeprefix("use ").removeprefix("using ").removeprefix("a ").removeprefix("the ")
    for fact, technique in FOR_TOOL.items():
        entry = rulebase.vocabulary["guests"][fact]
        tool = next((q.tool for q in rulebase.questions.values() if q.fact == f"guests {fact}"), "")
        names = {folded(name).removeprefix("a ") for name in (fact.replace("_", " "), tool, *entry.also.get("yes", ()))}
        if bare and bare in names | {f"{name}s" for name in names}:
            yield technique


def _worked_out(technique: str, built: Built) -> list[str]:
    if technique in built.best.way.techniques:
        return [f"It is in the plan you have: {built.best.way.name}."]
    lines: list[str] = []
    for option in built.ordered:
        if technique not in option.way.techniques or option.way == built.best.way:
            continue
        if option.report.verdict != "go":
            problem = option.report.problems[0]
            lines.append(f"Not {option.way.name}: {problem.says} [{problem.rule.rule.id}]")
        else:
            lines.append(f"{option.way.name}: {_weighed(option, built)} {_place(option, built.best)}")
    return lines


def _weighed(option: Option, built: Built) -> str:
    """What a way gives and costs; first that it is too late, where it is and the plan is not."""
    told = traded(option, built.best)
    if not option.late or built.best.late or built.wished is None:
        return f"{told}."
    rest = "; ".join(one for one in told.split("; ") if one != TOO_LATE)
    return f"it cannot be ready by {write_moment(built.wished)}.{f' It is {rest}.' if rest else ''}"


def _place(option: Option, best: Option) -> str:
    if option.way.aside:
        return "It is only offered: it does not give what you asked for."
    mine, theirs = option.score.total, best.score.total
    return f"Bite, time, loss and work together come to {mine:.2f}; here {theirs:.2f}. Less is better."


def _ruled_out(technique: str, built: Built) -> list[str]:
    return [
        f"{out.name.replace('_', ' ')}: {out.says} {out.because} [{out.rule.rule.id}]"
        for out in built.ruled_out
        if out.name == technique
    ]


def _not_proposed(technique: str, built: Built, rulebase: Rulebase) -> list[str]:
    """What the rules ask for a way that they did not propose, and what stands here instead."""
    facts = built.report.inference.facts
    rules = [
        checked
        for checked in rulebase.rules.values()
        if checked.rule.concludes.technique == technique and checked.rule.concludes.fit == "choose"
    ]
    judged = [(checked.rule, [one for one in why_not(checked, facts) if one.state != "true"]) for checked in rules]
    judged = [(rule, failed) for rule, failed in judged if failed]
    if not judged:
        return []
    # A rule for another shape, such as mince, speaks of another dish: it is told of last.
    rule, failed = min(judged, key=lambda pair: (sum(_shapes(one) for one in pair[1]), len(pair[1])))
    name = {**HEATS, **TREATMENTS}.get(technique, technique.replace("_", " "))
    says = f"The rules do not offer it here: {name}. [{rule.id}]"
    return [says, *_asks(failed, built, rulebase)]


def _shapes(one: Judged) -> float:
    """How far a shape that is asked for is from this one: nothing for another fact, less where more shapes would do."""
    condition = one.condition
    asks_shape = (condition.subject, condition.fact) == ("piece", "form")
    return 1 / max(1, len(condition.choices)) if asks_shape else 0.0


def _asks(failed: list[Judged], built: Built, rulebase: Rulebase) -> Iterator[str]:
    system = built.report.case.system
    for one in failed:
        condition = one.condition
        entry = rulebase.vocabulary[condition.subject][condition.fact]
        facts = built.report.inference.facts
        fact = (facts.piece if condition.subject == "piece" else facts.guests).get(condition.fact)
        assumed = " (assumed)" if fact is not None and fact.origin.startswith("assumed") else ""
        here = value_words(one.value, entry, system) if one.value is not None else "not known"
        if condition.bound is not None:
            wanted = (
                f"{AGAINST[condition.comparison]} {write_quantity(condition.bound, entry.quantity or 'count', system)}"
            )
        else:
            words = [entry.says.get(choice, choice.replace("_", " ")) for choice in condition.choices]
            wanted = ("not " if condition.comparison == "is not" else "") + " or ".join(words)
        yield f"- {entry.means}: it asks for {wanted}; here it is {here}{assumed}."
