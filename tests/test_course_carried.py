"""What piercing carries to the middle enters the kill that is asked there."""

import math
from datetime import datetime

import pytest

from advisor.case.read_plan import read_plan
from advisor.course import course_facts
from advisor.course.carried import carried_share

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
WARM = "  - {do: hold, place: counter, at: 30 C, for: 8 h}\n"


@pytest.fixture(scope="module")
def facts(rulebase):
    def computed(before="", arrived="intact"):
        text = f"""
piece: {{animal: beef, cut: bottom round, form: roast, weight: 1 kg, thickness: 40 mm, arrived: {arrived}}}
guests: {{setting: home, vulnerable: no}}
steps:
{before}  - {{do: bath, place: water bath, at: 58 C, for: 4 h}}
  - {{do: serve}}
"""
        return course_facts(read_plan(text, rulebase, NOW), rulebase)

    return computed


def kill(found):
    return float(found.facts.course["kill_share"].value)


def carried(found):
    return float(found.facts.course["carried_log"].value) if "carried_log" in found.facts.course else 0.0


def test_two_passes_carry_twice_and_liquid_carries_all(facts, rulebase):
    """By hand: an eighth a pass, the most that was read; 2 passes a quarter; liquid, not measured, all."""

    def share(before):
        case = facts(before).case
        return carried_share(case, len(case.steps), rulebase)

    needle, inject = "  - {do: needle}\n", "  - {do: inject, pump_pct: 10 %, with: [{what: salt, amount: 10 g}]}\n"
    assert share("") == 0
    assert share(needle) == pytest.approx(0.125)
    assert share(needle * 2) == pytest.approx(0.25)
    assert share(needle * 25) == 1
    assert share(inject) == 1


def test_growth_outside_is_asked_for_in_the_middle_less_what_a_blade_leaves_behind(facts):
    """By hand: all of the growth when liquid carries it in, log10 0.125 = -0.90 less after one pass of blades."""
    blades, liquid = facts(WARM, "pierced"), facts(WARM, "pumped")
    assert carried(liquid) > 2
    assert carried(blades) == pytest.approx(carried(liquid) + math.log10(0.125), abs=1e-9)
    assert kill(liquid) < kill(blades) < kill(facts(WARM))


def test_cold_meat_pierced_is_asked_no_less_than_before(facts):
    cold, pierced = facts(), facts("  - {do: needle}\n")
    assert kill(pierced) == pytest.approx(kill(cold))
    assert carried(pierced) == 0


@pytest.mark.parametrize("wait", ["", WARM])
def test_more_piercing_is_never_better(facts, wait):
    plans = ["", *("  - {do: needle}\n" * n for n in (1, 2, 3)), "  - {do: needle}\n" * 3 + "  - {do: tumble}\n"]
    shares = [kill(facts(wait + plan)) for plan in plans]
    assert shares == sorted(shares, reverse=True)
    # Pierced before it came and here counts like pierced twice here, but for the minutes that a pass takes.
    assert kill(facts(wait + plans[1], "pierced")) == pytest.approx(kill(facts(wait + plans[2])), rel=0.01)


def test_longer_and_warmer_before_the_cook_never_asks_less(facts):
    asked = [
        carried(facts(f"  - {{do: needle}}\n  - {{do: hold, place: counter, at: {t} C, for: {h} h}}\n"))
        for t, h in ((12, 4), (20, 4), (20, 12), (30, 12))
    ]
    assert asked == sorted(asked)
    assert asked[-1] > asked[0]


def test_shares_that_nobody_measured_are_told(facts):
    assert facts("  - {do: tumble}\n").facts.course["kill_share"].doubts


def test_what_nobody_knows_carries_as_much_as_the_worst_that_it_may_be(facts):
    """The kill asked of meat of which nobody knows how it came is no less than that of any that it may be."""
    unknown = facts(WARM, "not known")
    assert all(kill(unknown) <= kill(facts(WARM, one)) for one in ("intact", "pierced", "pumped", "formed"))
