"""Steam keeps the outside of the meat wet and hot; an oven that may be dry does not, and nobody is credited for it."""

from __future__ import annotations

import itertools
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.advice.report import examine
from advisor.case.model import Given, PlanStep
from advisor.case.read_plan import read_plan
from advisor.course.surroundings import surroundings
from advisor.knowledge import load_rulebase
from advisor.science.steam import film_condensation_coefficient, saturation_pressure_kpa, wet_bulb_c
from advisor.show.words import step_line

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
BOOK = load_rulebase()
PLAN = """
piece: {animal: beef, cut: outside round, weight: 1.2 kg, thickness: 50 mm, start_state: fridge, arrived: intact}
steps:
  - {do: oven, place: PLACE, at: HEAT C, for: 9 h}
  - {do: serve}
"""


def checked(place, heat):
    return examine(read_plan(PLAN.replace("PLACE", place).replace("HEAT", str(heat)), BOOK, NOW), BOOK, "reference")


def kill(report):
    return report.computed.facts.course["salmonella_kill_log"].value


def felt(place, heat, humidity=None, end="slow"):
    values = {"place": Given(place), "temperature": Given(float(heat))}
    if humidity is not None:
        values["humidity"] = Given(float(humidity))
    return surroundings(PlanStep("oven", values), BOOK, end)[0]


@pytest.mark.parametrize("word", ["steam", "steamer", "steam oven", "combi steam", "combi oven on steam", "full steam"])
def test_words_of_the_kitchen_for_steam(word):
    case = read_plan(PLAN.replace("PLACE", word).replace("HEAT", "80"), BOOK, NOW)
    assert case.steps[0].word("place") == "steam"


@pytest.mark.parametrize("word", ["combi oven", "combi", "fan oven"])
def test_a_combi_of_which_no_more_is_said_is_an_oven_with_a_fan(word):
    case = read_plan(PLAN.replace("PLACE", word).replace("HEAT", "80"), BOOK, NOW)
    assert case.steps[0].word("place") == "oven_fan"


def test_steam_is_felt_as_it_is_and_at_most_boiling():
    assert felt("steam", 65) == 65
    assert felt("steam", 130) == 100


def test_at_sixty_degrees_steam_cooks_and_a_combi_that_may_be_dry_does_not():
    steam, dry, damp = checked("steam", 60), checked("combi oven", 60), checked("combi oven, humidity: 95 %", 60)
    assert kill(steam) > kill(damp) > 7
    assert kill(dry) == 0
    assert "how damp the oven is was not said" in " ".join(dry.assumed)
    assert "how damp" not in " ".join(damp.assumed + steam.assumed)


def test_the_slow_end_alone_is_dry():
    assert felt("oven_fan", 60, end="slow") < 54.4
    assert felt("oven_fan", 60, end="typical") == felt("oven_fan", 60, end="fast") == 60


def test_a_roast_in_a_dry_oven_at_80_can_pass_60_as_kitchens_report():
    assert felt("oven_still", 80) > 60


def test_a_hot_oven_is_felt_at_its_cap_as_before():
    until = BOOK.parameter("dry_felt_until_c")
    cap = BOOK.media["oven_still"].surface_cap_c
    assert felt("oven_still", until) == cap
    assert felt("oven_still", until - 2) < cap


@given(st.floats(1.0, 300.0), st.floats(0.0, 30.0), st.floats(0.0, 100.0), st.floats(0.0, 50.0))
def test_hotter_and_damper_is_never_felt_colder(heat, hotter, humidity, damper):
    least = felt("oven_fan", heat, humidity)
    assert least <= felt("oven_fan", heat + hotter, humidity) + 1e-9
    assert least <= felt("oven_fan", heat, min(100.0, humidity + damper)) + 1e-9
    assert least <= felt("oven_fan", heat, humidity, "fast") + 1e-9


def test_the_law_on_roasts_in_ovens_does_not_speak_of_steam():
    rule = "cook.roast_oven"
    assert rule not in {finding.rule.rule.id for finding in checked("steam", 80).inference.findings}


def test_the_page_says_steam():
    assert step_line(checked("steam", 80), 0, BOOK).startswith("Cook it in steam at 80 °C")


def test_the_book_takes_in_what_pure_steam_gives():
    """Water film at 90 °C, steam at 100 °C on 0.1 m of meat at 80 °C; properties from steam tables, from memory."""
    given_off = film_condensation_coefficient(0.1, 20.0, 965.3, 0.675, 3.15e-4, 2257e3)
    assert given_off == pytest.approx(BOOK.media["steam"].surface_h_high, rel=0.1)


@given(st.floats(0.0, 99.0), st.floats(0.0, 1.0))
def test_a_wet_bulb_lies_between_ice_and_the_air(temp, humidity):
    assert -1e-9 <= wet_bulb_c(temp, humidity) <= temp + 1e-9


def test_pressure_of_steam_rises():
    pressures = [saturation_pressure_kpa(temp) for temp in range(0, 200, 10)]
    assert all(b > a for a, b in itertools.pairwise(pressures))


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="humidity"):
        wet_bulb_c(60.0, 1.2)
    with pytest.raises(ValueError, match="below 0"):
        wet_bulb_c(-5.0, 0.5)
