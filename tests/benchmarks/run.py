"""Speed and memory, as ratios to a reference in the same run. On demand: ``python tests/benchmarks/run.py``.

The reference is a plain loop of Python arithmetic, so that a slow machine slows both alike. Times are of the
processor, one thread: other work on the machine counts little. Nothing here is a test.
"""

from __future__ import annotations

import os

for _threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_threads] = "1"

import io
import resource
import statistics
import sys
import time
from datetime import datetime
from functools import partial
from importlib import resources
from typing import TYPE_CHECKING

from rich.console import Console

from advisor.advice.mends import find_mends
from advisor.advice.report import examine
from advisor.case.complete import complete
from advisor.case.read_plan import read_plan
from advisor.course import course_facts, walk
from advisor.course.piece import _stayed
from advisor.infer import infer
from advisor.knowledge import load_rulebase
from advisor.knowledge.yamltext import read_plain
from advisor.show.page import Page

if TYPE_CHECKING:
    from collections.abc import Callable

    from advisor.knowledge import Rulebase

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
RUNS = 5


def reference() -> float:
    """Sum a million integers."""
    return float(sum(range(1_000_000)))


def median_s(work) -> float:
    """Median processor time of several runs, after one that is not counted [s].

    Stays that were walked before are forgotten each time: a kitchen's next plan is not this one again.
    """
    work()
    times = []
    for _ in range(RUNS):
        _stayed.cache_clear()
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    return statistics.median(times)


# A whole check of a bad plan with its mends, warm.
AIM_MS = 100.0
BAD = ("warm_overnight_marinade", "thick_pumped_roast_in_a_low_bath", "thick_roast_into_the_fridge")


def stages(plan: str, rulebase: Rulebase) -> dict[str, Callable[[], object]]:
    """Give the work of each stage of a whole check, each from what the one before it made."""
    case = read_plan(plan, rulebase, NOW)
    under = rulebase.under(case.code) if case.code else rulebase
    full = complete(case, under)
    computed = course_facts(case, under)
    report = examine(case, rulebase)
    mends = find_mends(report, rulebase)

    def page() -> None:
        Page(Console(file=io.StringIO(), width=80), rulebase).report(report, mends, NOW)

    return {
        "read": lambda: read_plan(plan, rulebase, NOW),
        "course": lambda: walk(full, under),
        "facts, with the course": lambda: len(course_facts(case, under).facts.course),
        "rules, durable-rules": lambda: infer(under, computed.facts, engine="durable"),
        "rules, reference evaluator": lambda: infer(under, computed.facts, engine="reference"),
        "mends": lambda: find_mends(report, rulebase),
        "page": page,
    }


def whole(plan: str, rulebase: Rulebase) -> None:
    """Check a plan from its words to the page."""
    report = examine(read_plan(plan, rulebase, NOW), rulebase)
    Page(Console(file=io.StringIO(), width=80), rulebase).report(report, find_mends(report, rulebase), NOW)


def main() -> None:
    """Print each figure with its ratio to the reference."""
    say = sys.stdout.write
    rulebase = load_rulebase()
    scenarios = resources.files("scenarios")
    plans = {"demo": scenarios.joinpath("demo.yaml").read_text(encoding="utf-8")}
    for name in BAD:
        plans[name] = read_plain(scenarios.joinpath(f"worked/{name}.yaml").read_text(encoding="utf-8"))["plan"]
    unit = median_s(reference)
    say(f"reference: sum of a million integers, {unit * 1e3:.1f} ms\n")
    for name, plan in plans.items():
        say(f"{name}\n")
        for stage, job in stages(plan, rulebase).items():
            taken = median_s(job)
            say(f"  {stage}: {taken / unit:.2f} of the reference ({taken * 1e3:.1f} ms)\n")
        taken = median_s(partial(whole, plan, rulebase))
        say(f"  whole check: {taken / unit:.2f} of the reference ({taken * 1e3:.1f} ms; aim {AIM_MS:.0f} ms)\n")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    say(f"peak memory of this process: {peak:.0f} MB\n")


if __name__ == "__main__":
    main()
