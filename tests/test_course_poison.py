"""A poison that has formed is never cooked away: only what keeps the meat cold, or heats it sooner, mends the plan."""

from datetime import datetime

import pytest

from advisor.advice.mends import find_mends
from advisor.advice.report import examine
from advisor.case.read_plan import read_plan

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
WARM_NIGHT = """
piece: {{animal: beef, cut: flank steak, weight: 900 g, thickness: 32 mm, arrived: intact, start_state: fridge}}
guests: {{setting: work, vulnerable: "no", latex: "no"}}
steps:
  - {{do: marinate, place: counter, at: 22 C, for: 10 h, with: [{{what: salt, amount: 12 g}}]}}
  - {{do: bag}}
  - {{do: bath, place: water bath, at: {at} C, for: {hours} h}}
  - {{do: serve}}
"""


def checked(rulebase, at, hours):
    return examine(read_plan(WARM_NIGHT.format(at=at, hours=hours), rulebase, NOW), rulebase)


@pytest.mark.parametrize(("at", "hours"), [(56, 3), (56, 24), (64, 24), (80, 24)])
def test_no_cook_however_long_or_hot_clears_a_warm_night(rulebase, at, hours):
    report = checked(rulebase, at, hours)
    assert report.verdict == "stop"
    assert "hold.staph" in {finding.rule.rule.id for finding in report.inference.findings}


def test_every_mend_of_a_warm_night_touches_the_night(rulebase):
    """Step 1 is the warm hold; a mend of the cook alone would be a lie."""
    mends = find_mends(checked(rulebase, 64, 24), rulebase)
    assert mends
    for mend in mends:
        assert "step 1" in mend.change
