"""Conduction against a general solver, on the same cells at the same error: ``python tests/benchmarks/conduction.py``.

All figures are ratios from one run, with one thread for linear algebra. Nothing here is a test.
"""

from __future__ import annotations

import os

for _threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_threads] = "1"

import resource
import statistics
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

from advisor.science.batch import Batch, batch_leg, batch_uniform
from advisor.science.conduction import ThermalBody, centre, leg, uniform
from advisor.science.mode_tables import _table
from advisor.science.modes import modes
from advisor.science.shapes import Shape, series_temperature

START_C, BATH_C, SURFACE_H = 5.0, 60.0, 95.0
ALPHA, K, CELLS = 1.3e-7, 0.48, 40
TIMES = np.arange(0.0, 4 * 3600.0 + 1, 60.0)
PIECES, TIMED = 1000, 20


def by_solver(half_m: float, exponent: float = 0.0) -> np.ndarray:
    """Cells through four hours in a bath by LSODA with a band of three, absolute and relative error 1e-6."""
    edges = np.linspace(0.0, half_m, CELLS + 1)
    volumes = np.diff(edges ** (exponent + 1)) / (exponent + 1)
    inner = ALPHA * edges[1:-1] ** exponent * CELLS / half_m
    outer = ALPHA / K * half_m**exponent / (1 / SURFACE_H + half_m / CELLS / 2 / K)

    def rates(_, temps):
        change = np.empty_like(temps)
        flow = inner * np.diff(temps)
        change[0] = flow[0]
        change[1:-1] = np.diff(flow)
        change[-1] = outer * (BATH_C - temps[-1]) - flow[-1]
        return change / volumes

    solved = solve_ivp(
        rates,
        (0, TIMES[-1]),
        np.full(CELLS, START_C),
        method="LSODA",
        t_eval=TIMES,
        lband=1,
        uband=1,
        rtol=1e-6,
        atol=1e-6,
    )
    return solved.y.T


def by_modes(half_m: float, *, cold: bool = False) -> np.ndarray:
    """The same by the modes of the cells; ``cold`` finds them anew."""
    if cold:
        modes.cache_clear()
    body = ThermalBody(half_m, 0.0, ALPHA, K, CELLS)
    return leg(body, uniform(body, START_C), BATH_C, SURFACE_H, TIMES)


def median_s(work, runs: int = 15) -> float:
    """Median wall time after one run that is not counted [s]."""
    work()
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def error(cells: np.ndarray, half_m: float) -> float:
    """Largest error of the centre against the exact series after the first minute [°C]."""
    biot = SURFACE_H * half_m / K
    exact = [
        BATH_C + (START_C - BATH_C) * series_temperature(0.0, ALPHA * t / half_m**2, biot, Shape.SLAB)
        for t in TIMES[1::10]
    ]
    return float(np.max(np.abs(centre(cells[1::10]) - exact)))


def _many(name: str, exponent: float, halves: np.ndarray) -> None:
    """Print how long many pieces take at once, with tables of modes made anew and kept, and how far they are off."""
    say = sys.stdout.write
    batch = Batch(halves, np.full(PIECES, ALPHA), np.full(PIECES, K), exponent, CELLS)
    some = np.arange(0, PIECES, PIECES // TIMED)
    by_solver(float(halves[0]), exponent)
    begun = time.perf_counter()
    stepped = [by_solver(float(halves[one]), exponent) for one in some]
    alone = (time.perf_counter() - begun) / some.size * PIECES

    def together(*, cold: bool = False):
        if cold:
            modes.cache_clear()
            _table.cache_clear()
        return batch_leg(batch, batch_uniform(batch, START_C), BATH_C, SURFACE_H, TIMES)

    say(f"{PIECES} {name} of 10 to 100 mm at once, centre and surface each minute\n")
    apart = max(np.abs(centre(cells) - together().centre[one]).max() for one, cells in zip(some, stepped, strict=True))
    say(f"  centre at most {apart:.1e} °C from the solver on the same cells, of which the solver's own error is most\n")
    for state, cold in (("tables made anew", True), ("tables kept", False)):
        taken = median_s(lambda cold=cold: together(cold=cold), 9)
        say(f"  {state}: 1/{alone / taken:.0f} of {PIECES} runs of the solver ")
        say(f"({some.size} timed, the rest reckoned) (aim 1/100)\n")


def main() -> None:
    """Print every ratio."""
    say = sys.stdout.write
    half = 0.025
    say(f"one 50 mm slab, 4 h, a value a minute, {CELLS} cells\n")
    say(f"  error of the centre against the series: modes {error(by_modes(half), half):.4f} °C, ")
    say(f"solver {error(by_solver(half), half):.4f} °C\n")
    reference = median_s(lambda: by_solver(half))
    for name, cold in (("modes found anew", True), ("modes known", False)):
        ours = median_s(lambda cold=cold: by_modes(half, cold=cold))
        say(f"  {name}: {reference / ours:.1f} times as fast as the solver (aim 14)\n")
    halves = np.linspace(0.005, 0.05, PIECES)
    for name, exponent in (("slabs", 0.0), ("cylinders", 1.0)):
        _many(name, exponent, halves)
    say(f"peak memory of this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB\n")


if __name__ == "__main__":
    main()
