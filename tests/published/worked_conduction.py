"""Worked examples of transient conduction in a textbook."""

from __future__ import annotations

import numpy as np
from published.row import Row

from advisor.science.conduction import ThermalBody, centre, leg, surface, uniform
from advisor.science.solids import roll, solid_leg, uniform_solid
from advisor.science.validity import gathered

SOURCE = "Cengel, Heat Transfer: A Practical Approach, 2nd ed. 2003, examples 4-3, 4-4, 4-5 and 4-7"
NOTE = (
    "From memory. The book works with the first term of the series or with charts, read to two or three figures; "
    "the aim is one percent of the temperature range, and of the time. Nothing was tuned."
)
REASON = "the book's first term, or its chart, to two or three figures"


CHART = "the book reads a chart of Heisler's to two figures (0.40 and 0.8 x 0.51); the exact series is nearer to ours"


def rows():
    """Give the egg, the plate, the shaft and the short cylinder."""
    # Metal far from the heat of meat: the model says so, and is asked nonetheless.
    with gathered():
        found = [_egg(), _plate(), _shaft(), _short()]
    yield from found


def _plate():
    plate = ThermalBody(0.02, 0.0, 33.9e-6, 110.0)
    hot = leg(plate, uniform(plate, 20.0), 500.0, 120.0, np.array([420.0]))
    what = "brass plate 4 cm, 20 °C in a 500 °C oven, h 120, 7 min: surface"
    return _row(what, 282.0, surface(plate, hot, 500.0, 120.0), 480.0)


def _shaft():
    shaft = ThermalBody(0.10, 1.0, 3.95e-6, 14.9)
    cooled = leg(shaft, uniform(shaft, 600.0), 200.0, 80.0, np.array([2700.0]))
    what = "steel shaft 20 cm, 600 °C in 200 °C air, h 80, 45 min: centre"
    return _row(what, 360.0, centre(cooled), 400.0, held=4.5)


def _short():
    short = roll(0.10, 0.12, 33.9e-6, 110.0)
    air = solid_leg(short, uniform_solid(short, 120.0), 25.0, 60.0, [900.0])
    what = "short brass cylinder 10 x 12 cm, 120 °C in 25 °C air, h 60, 15 min: centre"
    return _row(what, 63.8, air.centre, 95.0, held=1.2)


def _row(what, published, ours, span, held=None):
    aim = (-0.01 * span, 0.01 * span)
    room = None if held is None else (-held, held)
    return Row(what, published, float(ours[0]), "°C", "from memory", aim, room, REASON if held is None else CHART)


def _egg():
    egg = ThermalBody(0.025, 2.0, 0.151e-6, 0.627)
    times = np.arange(0.0, 1500.0)
    middle = centre(leg(egg, uniform(egg, 5.0), 95.0, 1200.0, times))
    ours = float(np.interp(70.0, middle, times))
    what = "egg 5 cm, 5 °C in boiling water of 95 °C, h 1200: time to 70 °C at the centre"
    return Row(what, 865.0, ours, "s", "from memory", (-8.65, 8.65), None, REASON)
