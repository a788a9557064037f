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
from advisor.science.modes import modes
from advisor.science.shapes import Shape, series_temperature

START_C, BATH_C, SURFACE_H = 5.0, 60.0, 95.0
ALPHA, K, CELLS = 1.3e-7, 0.48, 40
TIMES = np.arange(0.0, 4 * 3600.0 + 1, 60.0)
PIECES, TIMED = 1000, 20


def by_solver(half_m: float) -> np.ndarray:
    """Cells through four hours in a bath by LSODA with a band of three, absolute and relative error 1e-6."""
    dr = half_m / CELLS
    inner = ALPHA / dr**2
    outer = 1 / (1 / SURFACE_H + dr / 2 / K) * ALPHA / K / dr

    def rates(_, temps):
        change = np.empty_like(temps)
        flow = inner * np.diff(temps)
        change[0] = flow[0]
        change[1:-1] = np.diff(flow)
        change[-1] = outer * (BATH_C - temps[-1]) - flow[-1]
        return change

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
    some = halves[:: PIECES // TIMED]
    begun = time.perf_counter()
    for one in some:
        by_solver(float(one))
    alone = (time.perf_counter() - begun) / len(some) * PIECES

    def together() -> None:
        batch = Batch(halves, np.full(PIECES, ALPHA), np.full(PIECES, K), 0.0, CELLS)
        batch_leg(batch, batch_uniform(batch, START_C), BATH_C, SURFACE_H, TIMES)

    taken = median_s(together, 7)
    say(f"{PIECES} slabs of 10 to 100 mm at once, centre and surface each minute\n")
    say(f"  1/{alone / taken:.0f} of {PIECES} runs of the solver ({len(some)} timed, the rest reckoned) (aim 1/100)\n")
    say(f"peak memory of this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB\n")


if __name__ == "__main__":
    main()
