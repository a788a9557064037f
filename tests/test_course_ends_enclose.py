"""The ends stand for every piece between them: a batch of pieces drawn at random stays within.

While raw meat is cooled from a start that somebody read, the slow end would start colder, so that the ends cross;
there a third walk, slow and warm from the start, is the warm bound, on which growth rests.
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
from advisor.course.walk import by_sides
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


def drawn(rulebase, mm, start, step):
    """A batch of pieces, their temperatures through the longest step, and the course of the plan."""
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
    times = course.slow.of_step(index).times_s
    # A sear is told for one side and passes on both; its heat counts for less than all of that time.
    heated, passing = by_sides(looked, rulebase)
    stay = (times - times[0]) * heated / passing
    made = batch_leg(pieces, batch_uniform(pieces, begin), between(*medium), between(*h), stay)
    return made, course, index


@pytest.mark.parametrize(
    ("mm", "start", "step"),
    [
        (40, 4, "do: bath, at: 56 C, for: 4 h"),
        (70, 4, "do: oven, place: oven without a fan, at: 160 C, for: 2 h"),
        (25, 4, "do: pan, for: 2 min"),
    ],
)
def test_a_batch_of_pieces_stays_within_the_ends(rulebase, mm, start, step):
    made, course, index = drawn(rulebase, mm, start, step)
    legs = [walked.of_step(index) for walked in (course.slow, course.fast)]
    assert np.all(made.centre >= legs[0].centre_c - ROUNDING_C)
    assert np.all(made.centre <= legs[1].centre_c + ROUNDING_C)
    # And they are not idle bounds: some piece comes near each.
    spread = legs[1].centre_c.max() - legs[0].centre_c.max()
    assert made.centre.max() > legs[0].centre_c.max() + 0.25 * spread


@pytest.mark.parametrize(("mm", "start"), [(30, 25), (70, 18)])
def test_raw_meat_that_is_cooled_is_never_warmer_than_the_warmest_walk(rulebase, mm, start):
    made, course, index = drawn(rulebase, mm, start, "do: hold, place: fridge, at: 4 C, for: 6 h")
    legs = [walked.of_step(index) for walked in course.ends]
    warmest = np.max([leg.centre_c for leg in legs], axis=0)
    assert np.all(made.centre <= warmest + ROUNDING_C)
    assert np.all(made.surface <= np.max([leg.surface_c for leg in legs], axis=0) + ROUNDING_C)
    # No idle bound either.
    half = len(warmest) // 2
    assert made.centre[..., half].max() > warmest[half] - 1.0
