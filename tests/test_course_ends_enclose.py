"""The two ends stand for every piece between them while meat warms: a batch of pieces drawn at random stays within.

Not for meat that is cooled from a start that somebody read: there the slow end starts colder, so the ends cross.
"""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from advisor.case.complete import complete
from advisor.case.read_plan import read_plan
from advisor.course import walk
from advisor.course.ends import ends
from advisor.course.surroundings import surface_h, surroundings
from advisor.science.batch import Batch, batch_leg, batch_uniform

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - kitchens tell no zone

PIECES = 400
# The batch and one piece's walk agree far closer than this.
ROUNDING_C = 1e-6
PLAN = """
piece: {{animal: beef, cut: outside round, form: roast, thickness: {mm} mm, weight: 2 kg, arrived: intact,
  bone: "no", start_temperature: {start} C}}
steps:
  - {{{step}}}
  - {{do: serve}}
"""


@pytest.mark.parametrize(
    ("mm", "start", "step"),
    [
        (40, 4, "do: bath, at: 56 C, for: 4 h"),
        (70, 4, "do: oven, place: oven without a fan, at: 160 C, for: 2 h"),
        (25, 4, "do: pan, for: 2 min"),
    ],
)
def test_a_batch_of_pieces_stays_within_the_ends(rulebase, mm, start, step):
    case = complete(read_plan(PLAN.format(mm=mm, start=start, step=step), rulebase, NOW), rulebase)
    slow, _typical, fast = ends(case, rulebase)
    # Steps may have been put in before; the one that is looked at is the only one that takes long.
    index = max(range(len(case.steps)), key=lambda i: case.steps[i].number("minutes"))
    looked = case.steps[index]
    rng = np.random.default_rng(5)

    def between(low, high):
        return rng.uniform(min(low, high), max(low, high), PIECES)

    medium = [surroundings(looked, rulebase, at.end)[0] for at in (slow, fast)]
    h = [surface_h(at, looked, rulebase) for at in (slow, fast)]
    begin = between(start - slow.colder_c, start - fast.colder_c)
    pieces = Batch(
        between(slow.sides_mm[0], fast.sides_mm[0]) / 2000,
        between(slow.diffusivity, fast.diffusivity),
        np.full(PIECES, rulebase.parameter("conductivity")),
        cells=40,
    )
    course = walk(case, rulebase)
    legs = [walked.of_step(index) for walked in (course.slow, course.fast)]
    times = legs[0].times_s - legs[0].times_s[0]
    made = batch_leg(pieces, batch_uniform(pieces, begin), between(*medium), between(*h), times)
    assert np.all(made.centre >= legs[0].centre_c - ROUNDING_C)
    assert np.all(made.centre <= legs[1].centre_c + ROUNDING_C)
    # And they are not idle bounds: some piece comes near each.
    spread = legs[1].centre_c.max() - legs[0].centre_c.max()
    assert made.centre.max() > legs[0].centre_c.max() + 0.25 * spread
