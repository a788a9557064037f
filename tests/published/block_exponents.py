"""Shape exponents that stand for blocks, and the time a block takes, from roots and series against the cells."""

from __future__ import annotations

import numpy as np
from published.row import Row
from scipy.optimize import brentq
from scipy.special import jv

from advisor.science.conduction import Shape, biot_roots, series_temperature
from advisor.science.modes import modes
from advisor.science.solids import block, solid_leg, uniform_solid

SOURCE = (
    "Product of slabs (Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, ch. 5, from memory) and "
    "the radial solution for a fractional exponent β, x^-ν J_ν(λx) with ν = (β-1)/2 and λ J_ν+1(λ) = Bi J_ν(λ), "
    "derived here"
)
NOTE = (
    "Exact: both sides of each row are worked out when the report is made, the first from roots alone, the second from "
    "the cells. The exponent is the one whose slowest mode fades as fast as the block's, at the Biot number of its "
    "thinnest side. It falls as the surface coefficient rises, so one exponent cannot stand for a "
    "shape. Nothing was tuned."
)
CELLS = 40
ALPHA, K, SURFACE_H, START, BATH = 1.11e-7, 0.48, 95.0, 5.0, 60.0
RATIOS = {"2:3:5 block": (2, 3, 5), "square rod": (1, 1), "cube": (1, 1, 1), "1:3:3": (1, 3, 3), "1:4:6": (1, 4, 6)}


def rows():
    """Give the exponent of each block in water and in still air, and the time of one block in a bath."""
    for biot, where in ((5.0, "bath"), (0.5, "air")):
        for name, ratio in RATIOS.items():
            relative = [side / ratio[0] for side in ratio]
            exact = sum(float(biot_roots(biot * side, Shape.SLAB, 1)[0] / side) ** 2 for side in relative)
            cells = sum(float(modes(CELLS, 0.0, biot * side).rates[0]) / side**2 for side in relative)
            published = _exponent(lambda beta, biot=biot: _slowest_root(beta, biot) ** 2, exact)
            ours = _exponent(lambda beta, biot=biot: float(modes(CELLS, beta, biot).rates[0]), cells)
            what = f"{name}, Bi {biot:g} ({where}): exponent with the same slowest mode"
            yield Row(what, published, ours, "", "exact", (-0.002, 0.002), None, "error of 40 cells")
    sides = (0.05, 0.075, 0.125)
    what = "block 50 x 75 x 125 mm, 5 °C in water at 60 °C, h 95, α 1.11e-7, k 0.48: centre at 59.5 °C"
    yield Row(what, *_minutes(sides), "min", "exact", (-0.1, 0.1), None, "error of 40 cells")


def _slowest_root(beta: float, biot: float) -> float:
    """First root of the surface condition of a body with exponent β."""
    order = (beta - 1) / 2

    def mismatch(root):
        return root * jv(order + 1, root) - biot * jv(order, root)

    places = np.linspace(1e-6, np.pi, 400)
    signs = np.sign(mismatch(places))
    first = int(np.flatnonzero(signs[1:] != signs[:-1])[0])
    return brentq(mismatch, places[first], places[first + 1], xtol=1e-14)


def _exponent(rate, wanted: float) -> float:
    """Exponent whose slowest mode fades at a rate."""
    return brentq(lambda beta: rate(beta) - wanted, 0.0, 2.0, xtol=1e-8)


def _minutes(sides) -> tuple[float, float]:
    """Time to half a degree below the bath, by the series and by the cells."""

    def by_series(minutes):
        left = 1.0
        for side in sides:
            half = side / 2
            left *= series_temperature(0.0, ALPHA * 60 * minutes / half**2, SURFACE_H * half / K, Shape.SLAB)
        return left * (BATH - START) - 0.5

    body = block(sides, ALPHA, K, CELLS)

    def by_cells(minutes):
        made = solid_leg(body, uniform_solid(body, START), BATH, SURFACE_H, [60.0 * minutes])
        return BATH - 0.5 - float(made.centre[0])

    return brentq(by_series, 20.0, 900.0), brentq(by_cells, 20.0, 900.0)
