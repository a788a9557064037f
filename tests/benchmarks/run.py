"""Speed and memory, as ratios to a reference in the same run. On demand: ``python tests/benchmarks/run.py``.

The reference is a plain loop of Python arithmetic, so that a slow machine slows both alike. Nothing here is a test.
"""

from __future__ import annotations

import resource
import statistics
import sys
import time
from datetime import datetime
from importlib import resources

from advisor.advice.mends import find_mends
from advisor.advice.report import examine
from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.infer import infer
from advisor.knowledge import load_rulebase
from advisor.knowledge.yamltext import read_plain

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
RUNS = 7


def reference() -> float:
    """Sum a million integers."""
    return float(sum(range(1_000_000)))


def median_s(work) -> float:
    """Median wall time of several runs, after one that is not counted [s]."""
    work()
    times = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def main() -> None:
    """Print each figure with its ratio to the reference."""
    rulebase = load_rulebase()
    scenarios = resources.files("scenarios")
    demo = scenarios.joinpath("demo.yaml").read_text(encoding="utf-8")
    worked = scenarios.joinpath("worked/warm_overnight_marinade.yaml").read_text(encoding="utf-8")
    warm = read_plain(worked)["plan"]
    case = read_plan(demo, rulebase, NOW)
    facts = course_facts(case, rulebase).facts
    bad = examine(read_plan(warm, rulebase, NOW), rulebase)
    jobs = {
        "read a plan": lambda: read_plan(demo, rulebase, NOW),
        "walk a course and compute its facts": lambda: course_facts(case, rulebase),
        "infer with durable-rules": lambda: infer(rulebase, facts, engine="durable"),
        "infer with the reference evaluator": lambda: infer(rulebase, facts, engine="reference"),
        "find the mends of a bad plan": lambda: find_mends(bad, rulebase),
    }
    unit = median_s(reference)
    sys.stdout.write(f"reference: sum of a million integers, {unit * 1e3:.1f} ms\n")
    for name, job in jobs.items():
        taken = median_s(job)
        sys.stdout.write(f"{name}: {taken / unit:.2f} of the reference ({taken * 1e3:.1f} ms)\n")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sys.stdout.write(f"peak memory of this process: {peak:.0f} MB\n")


if __name__ == "__main__":
    main()
