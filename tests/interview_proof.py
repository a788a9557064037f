"""Random interviews and the worked scenarios, proved on demand; a small share of them runs with the tests.

``python tests/interview_proof.py 500`` says of each set of answers whether the plan that comes out is *go* as a plan
file too or says what stands in its way, and whether any answers to the questions left out, several at once, would
have changed it; ``python tests/interview_proof.py 250 500`` takes sets 250 to 499 only. It prints how many questions
are asked and how long the cook waits for each.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import random
import sys
import time
import warnings
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from statistics import median
from zoneinfo import ZoneInfo

from ruamel.yaml import YAML

from advisor.advice.build import build_plan
from advisor.advice.report import examine
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.write_plan import write_plan
from advisor.errors import InputError
from advisor.interview.relevance import Put, relevance_of
from advisor.interview.session import Session

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
WORKED = Path(__file__).parents[1] / "scenarios" / "worked"
UNITS = {"mass": "g", "length": "mm", "time": "min", "percent": "%"}
COMBINATIONS, HALF = 3, 0.5
TEXTS = {
    "weight": ["900 g", "2 lb 8", "3 kg", "dk"],
    "thickness": ["12 mm", "1 1/4 in", "60 mm", "110 mm", "dk"],
    "arrived_salt": ["0.8 %", "dk"],
    "out_minutes": ["20 min", "3 h", "dk"],
    "fridge_time": ["today", "yesterday", "3 days", "dk"],
    "salt_target": ["1.2", "dk"],
    "price": ["12", "dk"],
    "serve": ["Sat 19:00", "today 20:00", "tomorrow 12:00", "dk"],
    "softeners": ["none", "fresh kiwi", "yogurt", "koji", "tinned pineapple", "dk"],
}


@dataclass
class Timed:
    """Waits of one interview [s of one core]: before each question, and for the plan."""

    session: Session
    waits: list[tuple[str, float]] = field(default_factory=list)
    screens: int = 0


def random_text(question, session, pick):
    """An answer such as a cook might give."""
    if question.fact == "piece cut":
        animal = session.case().word("piece", "animal")
        cuts = [cut.name for cut in session.rulebase.cuts.values() if cut.animal == animal]
        return pick.choice([*cuts, "dk"]) if cuts else "dk"
    choices = list(question.choices.values())
    return pick.choice(TEXTS.get(question.id, [*choices, choices[0], "dk"] if choices else ["dk"]))


def interviewed(rulebase, answer, now=NOW):
    """A whole interview; ``answer`` gives the text for a question of a session."""
    timed = Timed(Session.start(rulebase, now))
    while True:
        begun = time.process_time()
        question = timed.session.question
        timed.waits.append((question.id if question is not None else "the end", time.process_time() - begun))
        if question is None:
            return timed
        timed.screens += 1
        # Tools are put as one list, with an answer to each of them.
        for tool in timed.session.tools:
            said = answer(tool, timed.session)
            known = timed.session.answer_to(tool, said) if said != "dk" else timed.session.not_known_to(tool)
            timed.session, question = known, None
        if question is None:
            continue
        text = answer(question, timed.session)
        try:
            session = timed.session.not_known() if text == "dk" else timed.session.answer(text)
        except InputError:
            session = timed.session.not_known()
        while session.follow_up is not None:
            session = session.settle(session.follow_up.options[0][0])
        timed.session = session


def random_interview(rulebase, seed, now=NOW):
    """An interview with random answers; the same seed gives the same."""
    pick = random.Random(seed)  # noqa: S311 - nothing secret
    return interviewed(rulebase, lambda question, session: random_text(question, session, pick), now)


def worked_plans():
    """Scenarios that hold a plan, by name: a few hold a sentence or a week."""
    for path in sorted(WORKED.glob("*.yaml")):
        plan = YAML(typ="safe").load(path.read_text(encoding="utf-8")).get("plan")
        if isinstance(plan, str):
            yield path.stem, plan


def scenario_interview(rulebase, plan):
    """A worked scenario, asked for with the answers that its own plan gives."""
    case = read_plan(plan, rulebase, NOW)

    def answer(question, _session):
        subject, _, fact = question.fact.partition(" ")
        given = case.given(subject, fact) if subject in ("piece", "guests") else None
        if fact == "fridge_time" and given is None:
            return "today"
        if given is None or given.value is None:
            return "dk"
        if isinstance(given.value, str):
            word = rulebase.cuts[given.value].name if fact == "cut" else given.value
            return question.choices.get(word, word)
        return f"{given.value} {UNITS[rulebase.vocabulary[subject][fact].quantity]}"

    return interviewed(rulebase, answer)


def built_of(put, rulebase, now=NOW):
    """The plan for a case."""
    return build_plan(put.case, put.softeners, rulebase, now)


def outcome(built):
    """What the cook is told to do, and what is said of it."""
    steps = [
        (step.action, {n: g.value for n, g in step.given.items()}, [(i.what, i.grams) for i in step.ingredients])
        for step in built.report.computed.case.steps
    ]
    found = sorted((f.rule.rule.id, -1 if f.step is None else f.step) for f in built.report.inference.findings)
    return built.best.way.name, built.report.verdict, steps, found


def faults_of_plan(built, rulebase, now=NOW):
    """What is wrong with a plan that was built, once it is read again from its file."""
    try:
        case = read_plan(write_plan(built.report.case, rulebase), rulebase, now)
    except PlanErrors as errors:
        yield f"cannot be read again: {errors}"
        return
    again = examine(case, rulebase, "reference")
    if again.verdict != built.report.verdict:
        yield f"built as {built.report.verdict}, checked as {again.verdict}"
    if built.report.verdict != "go" and not all(finding.says for finding in built.report.problems):
        yield "does not say what stands in its way"
    if built.report.verdict != "go" and not built.report.problems:
        yield f"is {built.report.verdict} without a reason"


def skipped_combinations(session, rulebase, pick, most):
    """Cases in which questions that were left out are answered, several at once."""
    here, relevance = Put(session.case(), session.softeners), relevance_of(rulebase)
    skipped = session.not_asked()
    for number in range(most if skipped else 0):
        # One alone, then all of them, then any.
        among = [pick.choice(skipped)] if not number else [q for q in skipped if number == 1 or pick.random() < HALF]
        put, said = here, []
        for question in among:
            answers = relevance.answers(question, put)
            if answers:
                place = pick.randrange(len(answers))
                put, said = answers[place], [*said, f"{question.id} {place}"]
        yield put, ", ".join(said)


@dataclass
class Proof:
    """What came out of a run."""

    sets: int = 0
    tried: int = 0
    verdicts: Counter = field(default_factory=Counter)
    ways: Counter = field(default_factory=Counter)
    faults: list = field(default_factory=list)
    asked: list = field(default_factory=list)
    waits: list = field(default_factory=list)
    builds: list = field(default_factory=list)


def note(proof, name, timed, rulebase, combinations):
    """Prove one interview."""
    session, pick = timed.session, random.Random(name)  # noqa: S311 - nothing secret
    begun = time.process_time()
    built = built_of(Put(session.case(), session.softeners), rulebase)
    proof.builds.append((time.process_time() - begun, name))
    proof.sets += 1
    proof.waits += [(wait, f"{name} {question}") for question, wait in timed.waits]
    proof.asked.append(timed.screens)
    proof.verdicts[built.report.verdict] += 1
    proof.ways[built.best.way.name] += 1
    proof.faults += [f"{name}: {fault}" for fault in faults_of_plan(built, rulebase)]
    before = outcome(built)
    for put, said in skipped_combinations(session, rulebase, pick, combinations):
        proof.tried += 1
        if outcome(built_of(put, rulebase)) != before:
            proof.faults.append(f"{name}: left out, yet it changes the plan: {said}")


def shares(waits):
    """Middle, nineteen in twenty, and longest of some waits."""
    ordered = sorted(wait for wait, _ in waits)
    longest, name = max(waits)
    most = ordered[int(len(ordered) * 0.95)]
    return f"middle {ordered[len(ordered) // 2]:.2f} s, 95 % {most:.2f} s, longest {longest:.2f} s ({name})"


def main(first, end):
    """Run the scenarios (from set 0 only) and the random sets wanted, and say what came out."""
    from advisor.knowledge import load_rulebase

    rulebase = load_rulebase()
    total, started = len(rulebase.questions), time.process_time()
    scenarios, proof = Proof(), Proof()
    for name, plan in () if first else worked_plans():
        note(scenarios, name, scenario_interview(rulebase, plan), rulebase, COMBINATIONS)
    for seed in range(first, end):
        note(proof, f"set {seed}", random_interview(rulebase, seed), rulebase, COMBINATIONS)
        if seed % 25 == 24:
            took = f"{time.process_time() - started:.0f} s"
            print(f"{seed + 1} sets, {len(proof.faults)} faults, {took}", *proof.faults[-3:], sep="\n  ", flush=True)  # noqa: T201
    for title, one in (("scenarios", scenarios), ("random sets", proof)):
        if not one.sets:
            continue
        print(f"{one.sets} {title}: {dict(one.verdicts)}; {one.tried} further sets of answers to what was left out")  # noqa: T201
        print(f"  questions asked: median {median(one.asked):g} of {total}, most {max(one.asked)}")  # noqa: T201
        print(f"  wait for a question: {shares(one.waits)}")  # noqa: T201
        print(f"  wait for the plan: {shares(one.builds)}")  # noqa: T201
        print(f"  ways: {dict(one.ways.most_common())}")  # noqa: T201
        print(f"  faults: {len(one.faults)}", *one.faults, sep="\n    ")  # noqa: T201
    return 1 if scenarios.faults or proof.faults else 0


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    numbers = [int(word) for word in sys.argv[1:]] or [500]
    sys.exit(main(*numbers) if len(numbers) > 1 else main(0, numbers[0]))
