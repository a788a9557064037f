"""Items made and proved in a second, and the time to the first question of a sitting; run on demand.

``python tests/benchmarks/quiz.py``
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import subprocess
import sys
import time
import warnings
from datetime import datetime
from statistics import median

from advisor.knowledge import load_rulebase
from advisor.quiz.claims import Road
from advisor.quiz.lint import lint
from advisor.quiz.maker import Maker, ShippedPlans

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
ITEMS, TURNS = 400, 5


def main() -> None:
    """Print the figures."""
    warnings.simplefilter("ignore")
    rulebase = load_rulebase()
    maker = Maker(rulebase, ShippedPlans(rulebase, NOW))
    started = time.perf_counter()
    items = [item for number in range(ITEMS // 40) for item in maker.form(f"bench.{number}", 40)]
    made = time.perf_counter() - started
    road = Road(rulebase, "reference")
    started = time.perf_counter()
    failed = sum(bool(lint(item, rulebase, road)) for item in items)
    proved = time.perf_counter() - started
    print(  # noqa: T201
        f"{len(items)} items: {len(items) / made:.0f} made a second, {len(items) / proved:.0f} proved, {failed} failed"
    )
    print(f"time to the first question, new process, median of {TURNS}: {median(map(first, range(TURNS))):.2f} s")  # noqa: T201


def first(seed: int) -> float:
    """Seconds until the first question is on the screen."""
    started = time.perf_counter()
    words = [sys.executable, "-u", "-m", "advisor", "quiz", "--seed", str(seed), "--count", "1"]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8") as process:
        for line in process.stdout or ():
            if line.startswith("Question 1"):
                break
        taken = time.perf_counter() - started
        process.communicate("quit\n")
    return taken


if __name__ == "__main__":
    main()
