"""Salt from every source: rubs, brines long and short, wet marinades, injection, labels."""

import warnings
from datetime import datetime

import pytest
from click.testing import CliRunner

from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.write_plan import write_plan
from advisor.cli import cli
from advisor.course import course_facts
from advisor.science.brine import label_salt_pct

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local


@pytest.fixture(scope="module")
def computed(rulebase):
    def run(step, thickness="25 mm", piece=""):
        text = f"""
piece: {{animal: pork, cut: loin, form: steak, weight: 1 kg, thickness: {thickness}, salt_target: 1.2 %{piece}}}
guests: {{setting: home, vulnerable: no}}
steps:
  - {step}
  - {{do: pan, for: 5 min}}
  - {{do: serve}}
"""
        return course_facts(read_plan(text, rulebase, NOW), rulebase)

    return run


def brine(hours, grams=60):
    with_ = f"[{{what: water, amount: 1 kg}}, {{what: salt, amount: {grams} g}}]"
    return f"{{do: brine, place: fridge, at: 4 C, for: {hours} h, with: {with_}}}"


def test_dry_salt_is_all_counted(computed):
    salt = computed("{do: salt, place: fridge, at: 4 C, for: 12 h, with: [{what: salt, amount: 12 g}]}").salt
    assert salt.low_pct == salt.pct == pytest.approx(1.2)
    assert salt.outer_pct > 1.2 > salt.middle_pct


def test_a_long_brine_comes_to_rest_with_the_meat(computed):
    """By hand: 60 g over 1 kg of water and 0.75 kg of the meat's own water, times that water over the meat."""
    salt = computed(brine(240), "12 mm").salt
    assert salt.pct == pytest.approx(100 * 0.75 * 60 / (1000 + 750), rel=0.01)
    assert salt.low_pct == pytest.approx(salt.pct, rel=0.05)


def test_a_short_brine_gives_a_part_and_a_wide_range(computed):
    short, long = computed(brine(1)).salt, computed(brine(240), "12 mm").salt
    assert 0 < short.low_pct < short.pct < long.pct
    # Early on uptake goes as the root of time and of the diffusivity, which differs by 9.0 to 1.9.
    assert short.pct / short.low_pct == pytest.approx((9.0 / 1.9) ** 0.5, rel=0.1)


def test_more_time_and_thinner_meat_take_more_salt(computed):
    by_time = [computed(brine(hours)).salt.pct for hours in (1, 4, 12, 48)]
    assert by_time == sorted(by_time)
    by_thickness = [computed(brine(4), f"{mm} mm").salt.pct for mm in (60, 40, 25, 12)]
    assert by_thickness == sorted(by_thickness)


def test_a_wet_marinade_is_counted_whole_at_most_and_by_what_soaks_in_at_least(computed):
    step = (
        "{do: marinate, place: fridge, at: 4 C, for: 2 h, "
        "with: [{what: soy sauce, amount: 100 g}, {what: water, amount: 200 g}]}"
    )
    salt = computed(step).salt
    assert salt.low_pct < 0.5 * salt.pct


def test_the_time_to_even_out_grows_with_thickness_squared(computed):
    step = "{do: salt, place: fridge, at: 4 C, for: 12 h, with: [{what: salt, amount: 12 g}]}"
    one, two = (computed(step, mm).salt.even_minutes for mm in ("20 mm", "40 mm"))
    assert two[1] == pytest.approx(4 * one[1], rel=1e-3)
    assert one[0] < one[1]


def test_the_label_of_pumped_meat_is_read_as_salt(computed):
    """500 mg of sodium in 100 g: 0.5 % times 2.542, by molar masses."""
    found = computed("{do: rest, for: 5 min}", piece=", arrived: pumped, label_sodium: 0.5 %")
    assert found.salt.pct == pytest.approx(0.5 * 2.542, rel=1e-3)


def test_the_salt_inside_carries_its_range(computed):
    """A night of dry salt on 40 mm: Fourier numbers 0.0205 and 0.097 by hand from 1.9e-10 and 9e-10 m2/s at 5 °C.

    On the face 1 / sqrt(pi Fo) of the even level is 3.94 and 1.81; in the middle 2 exp(-1/4Fo) / sqrt(pi Fo) is 0
    and 0.275.
    """
    rub = "{do: salt, place: fridge, at: 5 C, for: 12 h, with: [{what: salt, amount: 12 g}]}"
    facts = computed(rub, thickness="40 mm").facts.course
    outer, middle = facts["salt_outer"], facts["salt_middle"]
    assert (outer.low, outer.high) == pytest.approx((1.2 * 1.81, 1.2 * 3.94), rel=0.02)
    assert (middle.low, middle.high) == pytest.approx((0.0, 1.2 * 0.275), abs=0.01)
    assert (outer.value, middle.value) == (outer.high, middle.low)


def test_the_fact_carries_its_range(computed):
    fact = computed(brine(1)).facts.course["salt_pct"]
    assert fact.low < fact.value == fact.high


@pytest.mark.parametrize(
    ("with_", "band"),
    [
        ("[{what: vinegar, amount: 100 g}]", "chalky"),
        ("[{what: yogurt, amount: 60 g}, {what: water, amount: 240 g}]", "worst water holding"),
        ("[{what: lemon juice, amount: 3 g}, {what: water, amount: 297 g}]", "plain"),
    ],
)
def test_a_marinade_is_told_by_what_its_sourness_does(with_, band, computed):
    found = computed(f"{{do: marinate, place: fridge, at: 4 C, for: 2 h, with: {with_}}}").facts.course
    assert found["acid_band"].value == band


@pytest.mark.parametrize(
    ("pct", "band"),
    [
        (0.2, "works"),
        (0.5, "is as much as helps beef, and more than helps chicken"),
        (0.7, "is more than helps"),
        (0.9, "tastes of soap"),
    ],
)
def test_soda_is_told_by_what_so_much_of_it_does(pct, band, computed):
    with_ = f"[{{what: baking soda, amount: {pct} %}}]"
    found = computed(f"{{do: marinate, place: fridge, at: 4 C, for: 20 min, with: {with_}}}").facts.course
    assert found["soda_band"].value == band
    assert "acid_band" not in found
    assert found["outer_ph"].value > 5.6


def test_more_acid_is_sourer_and_more_time_deeper(computed):
    def found(grams, hours=2):
        with_ = f"[{{what: lemon juice, amount: {grams} g}}, {{what: water, amount: 300 g}}]"
        return computed(f"{{do: marinate, place: fridge, at: 4 C, for: {hours} h, with: {with_}}}").facts.course

    acidities = [float(found(grams)["outer_ph"].value) for grams in (5, 20, 80, 300)]
    assert acidities == sorted(acidities, reverse=True)
    depths = [float(found(80, hours)["acid_depth"].value) for hours in (1, 4, 12)]
    assert depths == sorted(depths)
    assert depths[0] < 2


STRONG = """
piece: {animal: pork, cut: loin, form: steak, weight: 1 kg, thickness: 25 mm, start_state: frozen}
guests: {setting: home, vulnerable: no}
steps:
  - {do: brine, place: fridge, at: 4 C, for: 2 h, with: [{what: water, amount: 900 g}, {what: salt, amount: 300 g}]}
  - {do: pan, for: 5 min}
  - {do: serve}
"""


def test_salt_beyond_what_its_models_were_checked_over_is_a_doubt_of_the_finding(rulebase, tmp_path):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        facts = course_facts(read_plan(STRONG, rulebase, NOW), rulebase).facts
    for name in ("salt_pct", "salt_middle"):
        doubts = facts.course[name].doubts
        assert [doubt.split(":")[0] for doubt in doubts] == ["salt from a brine", "salt moving in meat"]
    plan = tmp_path / "plan.yaml"
    plan.write_text(STRONG, encoding="utf-8")
    with warnings.catch_warnings():
        warnings.simplefilter("always")
        shown = CliRunner().invoke(cli, ["check", str(plan)])
    assert shown.stderr == ""
    assert "Less sure: salt from a brine" in shown.stdout


@pytest.mark.parametrize(("what", "low", "high"), [("soy sauce", 14, 18), ("miso", 8, 13), ("salt", 100, 100)])
def test_a_sauce_is_counted_from_the_least_to_the_most_salt_of_its_makers(what, low, high, computed):
    """Ten grams on a kilogram, all of which stays on; the ends are those of the rulebase's own record."""
    salt = computed(f"{{do: salt, place: fridge, at: 4 C, for: 2 h, with: [{{what: {what}, amount: 10 g}}]}}").salt
    assert (salt.low_pct, salt.pct) == pytest.approx((low / 100, high / 100))


PUMPED = ", arrived: pumped, label_sodium: 0.5 %"


def test_pumped_meat_has_its_salt_in_the_middle_already(computed):
    """0.5 % of sodium is 1.27 % of salt, even throughout; ten grams on a kilogram lie over it on the outside."""
    plain = computed("{do: rest, for: 5 min}", thickness="40 mm", piece=PUMPED).salt
    assert plain.middle_pct == plain.outer_pct == pytest.approx(1.271, abs=0.001)
    assert plain.centre_share == 1.0
    rub = "{do: salt, place: fridge, at: 4 C, for: 2 h, with: [{what: salt, amount: 10 g}]}"
    rubbed, untouched = (computed(rub, thickness="40 mm", piece=piece).salt for piece in (PUMPED, ""))
    assert rubbed.middle_pct == pytest.approx(1.271 + untouched.middle_pct, abs=0.001)
    assert rubbed.outer_pct == pytest.approx(1.271 + untouched.outer_pct, abs=0.001)
    assert rubbed.centre_share == pytest.approx(rubbed.middle_pct / rubbed.pct)


def test_the_label_of_a_sauce_goes_before_what_such_sauces_hold(computed):
    """5.75 % of sodium, as 920 mg in 16 g, is 14.6 % of salt by molar masses; the book has 14 to 18."""
    with_ = "[{what: soy sauce, amount: 10 g, sodium: 5.75 %}]"
    salt = computed(f"{{do: salt, place: fridge, at: 4 C, for: 2 h, with: {with_}}}").salt
    assert salt.low_pct == salt.pct == pytest.approx(0.01 * 5.75 * 2.542, rel=1e-3)
    assert label_salt_pct(920.0, 16.0) == pytest.approx(5.75 * 2.542, rel=1e-3)


def test_a_label_is_written_and_read_again_and_one_that_cannot_be_is_refused(rulebase):
    text = """
piece: {{animal: pork, cut: loin, form: steak, weight: 1 kg, thickness: 25 mm}}
steps:
  - {{do: marinate, place: fridge, at: 4 C, for: 2 h, with: [{{what: soy sauce, amount: 10 g, sodium: {}}}]}}
"""
    case = read_plan(text.format("5.75 %"), rulebase, NOW)
    assert case.steps[0].ingredients[0].sodium_pct == 5.75
    again = read_plan(write_plan(case, rulebase), rulebase, NOW)
    assert again.steps[0].ingredients[0].sodium_pct == 5.75
    assert read_plan(text.format("not known"), rulebase, NOW).steps[0].ingredients[0].sodium_pct is None
    with pytest.raises(PlanErrors, match="Sodium must be between"):
        read_plan(text.format("57 %"), rulebase, NOW)
