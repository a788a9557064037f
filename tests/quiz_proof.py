"""Generates items over many seeds and proves each: held by both the small checks and this, run on demand for 10,000.

``python tests/quiz_proof.py 10000 4`` prints the statistics, of four slices with seeds of their own. Each key is
confirmed and each wrong option refuted by a second road that has seen nothing of the first: the other evaluator where
it loads, and no kept results.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
import time
import warnings
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from datetime import datetime
from statistics import mean

from advisor.infer import engine
from advisor.knowledge import load_rulebase
from advisor.quiz.claims import Road
from advisor.quiz.lint import lint
from advisor.quiz.maker import Maker, ShippedPlans
from advisor.quiz.sitting import screening

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
ALL = "all"
COUNTERS = ("failed", "refused", "kinds", "rules", "offered", "in_words", "chance", "by_longest", "by_shortest")


@dataclass
class Proof:
    """What came out of a run."""

    made: int = 0
    failed: Counter = field(default_factory=Counter)
    refused: Counter = field(default_factory=Counter)
    kinds: Counter = field(default_factory=Counter)
    rules: Counter = field(default_factory=Counter)
    ids: set = field(default_factory=set)
    places: dict = field(default_factory=dict)
    in_words: Counter = field(default_factory=Counter)
    chance: Counter = field(default_factory=Counter)
    by_longest: Counter = field(default_factory=Counter)
    by_shortest: Counter = field(default_factory=Counter)
    ratios: list = field(default_factory=list)
    offered: Counter = field(default_factory=Counter)
    made_s: float = 0.0
    proved_s: float = 0.0
    evaluator: str = ""


def prove(wanted: int, rulebase=None, seed: str = "proof", say=None, maker=None) -> Proof:
    """Make items until there are as many as wanted, over seed after seed, and prove each by a second road."""
    rulebase = rulebase or load_rulebase()
    maker = maker or Maker(rulebase, ShippedPlans(rulebase, NOW))
    other = "durable" if engine.available() else "reference"
    second, proof = Road(rulebase, other), Proof(evaluator=other)
    number = 0
    while proof.made < wanted:
        started = time.perf_counter()
        # A form of 40 a seed, as many papers would be; the same question may come again in another paper.
        items = maker.form(f"{seed}.{number}", min(40, wanted - proof.made))
        proof.made_s += time.perf_counter() - started
        started = time.perf_counter()
        for item in items:
            note(proof, item, lint(item, rulebase, second))
        proof.proved_s += time.perf_counter() - started
        # Nothing that was kept for one paper helps the next one to pass.
        second._kept.clear()
        number += 1
        if say is not None and number % 25 == 0:
            say(f"{proof.made} items, {sum(proof.failed.values())} failed, {proof.made_s + proof.proved_s:.0f} s")
    proof.refused = maker.refused
    return proof


def lengths_of(proof, kind) -> tuple[float, float, float]:
    """Score of one who knows nothing: who takes any option, the longest, the shortest (a lot where some are alike)."""
    asked = proof.in_words[kind]
    return proof.chance[kind] / asked, proof.by_longest[kind] / asked, proof.by_shortest[kind] / asked


def length_line(proof, kind) -> str:
    chance, longest, shortest = lengths_of(proof, kind)
    return (
        f"{kind} in words, {proof.in_words[kind]}: "
        f"who takes any is right in {chance:.1%}, the longest {longest:.1%}, the shortest {shortest:.1%}"
    )


def found_out(maker, seed: str = "learner") -> tuple[list[int], list[int], set]:
    """Put each belief to a learner who knows all else: items until it was offered once, twice, and what was not.

    Such a learner chooses the belief whenever it is offered, so one screening serves for all of them.
    """
    offered: dict[str, list[int]] = {}
    for number, item in enumerate(screening(maker, seed), start=1):
        for option in item.options:
            if option.misconception:
                offered.setdefault(option.misconception, []).append(number)
    twice = [places[1] for places in offered.values() if len(places) > 1]
    return [places[0] for places in offered.values()], twice, set(maker.rulebase.quiz.misconceptions) - set(offered)


def note(proof, item, reasons) -> None:
    proof.made += 1
    proof.failed.update(reasons)
    proof.kinds[item.kind] += 1
    proof.rules[item.rule_id] += 1
    proof.ids.add(item.id)
    count = len(item.options)
    proof.places.setdefault(count, Counter())[item.key] += 1
    proof.offered.update(option.misconception for option in item.options if option.misconception)
    if item.options[0].value is None:
        lengths = [len(option.text) for option in item.options]
        key = lengths[item.key]
        for kind in (item.kind, ALL):
            proof.in_words[kind] += 1
            proof.chance[kind] += 1.0 / count
            proof.by_longest[kind] += (key == max(lengths)) / lengths.count(max(lengths))
            proof.by_shortest[kind] += (key == min(lengths)) / lengths.count(min(lengths))
        proof.ratios.append(key / mean(n for place, n in enumerate(lengths) if place != item.key))


def lines(proof, rulebase) -> list[str]:
    return [
        f"{proof.made} items, {len(proof.ids)} different, {len(proof.rules)} of {len(rulebase.rules)} rules asked",
        f"failed the second road or the lint: {dict(proof.failed)} (evaluator: {proof.evaluator})",
        f"kinds: {dict(proof.kinds.most_common())}",
        *(f"key place of {n} options: {dict(sorted(c.items()))}" for n, c in sorted(proof.places.items())),
        *(length_line(proof, kind) for kind in sorted(proof.in_words)),
        f"length of the key against the mean of the others {mean(proof.ratios):.3f}",
        f"misconceptions offered: {len(proof.offered)} of {len(rulebase.quiz.misconceptions)}",
        f"not offered: {sorted(set(rulebase.quiz.misconceptions) - set(proof.offered))}",
        f"rules not asked: {sorted(set(rulebase.rules) - set(proof.rules))}",
        f"made {proof.made / proof.made_s:.0f} a second, proved {proof.made / proof.proved_s:.0f} a second",
        "refused while making: " + "; ".join(f"{reason} {n}" for reason, n in proof.refused.most_common()),
    ]


def merged(proofs) -> Proof:
    """Add up slices."""
    found = Proof(evaluator=proofs[0].evaluator)
    for one in proofs:
        for name in COUNTERS:
            getattr(found, name).update(getattr(one, name))
        for name in ("made", "made_s", "proved_s"):
            setattr(found, name, getattr(found, name) + getattr(one, name))
        found.ids |= one.ids
        found.ratios += one.ratios
        for count, places in one.places.items():
            found.places.setdefault(count, Counter()).update(places)
    return found


def slice_of(wanted: int, number: int) -> Proof:
    """Prove one slice, from seeds of its own."""
    warnings.simplefilter("ignore")
    return prove(wanted, seed=f"proof.{number}")


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    slices = int(sys.argv[2]) if len(sys.argv) > 2 else 4
    with ProcessPoolExecutor(max_workers=min(2, slices)) as pool:
        result = merged(list(pool.map(slice_of, [count // slices] * slices, range(slices))))
    print("\n".join(lines(result, load_rulebase())))  # noqa: T201
    asker = Maker(load_rulebase(), ShippedPlans(load_rulebase(), NOW))
    for name in ("learner", "a", "b"):
        once, twice, never = found_out(asker, name)
        print(  # noqa: T201
            f"one belief found out, seed {name}: within {max(once)} items, twice within {max(twice)} "
            f"({len(twice)} of {len(once)} can be offered twice; never offered: {sorted(never)})"
        )
    sys.exit(1 if result.failed else 0)
