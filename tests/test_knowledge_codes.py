"""Food codes: each moves limits to the stricter side only, and what it asks is shown beside what holds."""

from __future__ import annotations

import io
import re
from datetime import datetime
from importlib import resources
from itertools import combinations
from pathlib import Path

import pytest
from rich.console import Console
from ruamel.yaml import YAML

import rulebase as shipped
from advisor.advice.report import VERDICTS, examine
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.case.words.either import read_either
from advisor.case.write_plan import write_plan
from advisor.infer import infer
from advisor.infer.examples import facts_from_example
from advisor.knowledge import load_rulebase
from advisor.knowledge.conditions import ORDERED, conditions_of
from advisor.knowledge.coverage import coverage_text
from advisor.knowledge.strictest import compared
from advisor.knowledge.yamltext import read_plain
from advisor.show.how import how_lines
from advisor.show.law import law_line
from advisor.show.page import Page
from advisor.units import read_quantity

RULEBASE = load_rulebase()
FOLDER = Path(shipped.__file__).parent
CODES = sorted(RULEBASE.codes)
PUBLISHED = YAML(typ="safe").load(Path(__file__).parent / "published" / "food_law_figures.yaml")["figures"]
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
# Where a comparison turns a rule off on the stricter side, another rule, as bad or worse, turns on there.
BANDS = {
    ("hold.warm_raw", "raw_out_discard"): "hold.warm_raw_long",
    ("hold.growth_inside_near", "come_up_max"): "hold.growth_inside",
    ("salt.cure_asks", "nitrite_max"): "salt.nitrite",
    ("seal.aromatic_bath_caution", "no_kill_credit_below"): "seal.aromatic_low_bath",
    ("cook.wild_table", "wild_min"): "cook.wild",
    ("bath.power_cut", "power_off_max"): "bath.power_long",
    ("hold.power_cut", "fridge_off_max"): "hold.power_long",
    ("hold.warm_cooked", "cooked_out_discard"): "hold.warm_cooked_long",
    ("hold.cold_growth_weak", "cold_growth_max"): "hold.cold_growth",
    ("cool.spores", "spore_growth_stop"): "cool.spores_many",
    ("cool.poison", "cooked_poison_stop"): "cool.poison_made",
    ("cool.botulinum", "botulinum_inside_stop"): "cool.botulinum_made",
    ("cool.botulinum", "no_growth"): "seal.botulinum_growth",
    ("cool.botulinum_made", "no_growth"): "seal.botulinum_growth",
}
FIRES_WHEN = {"is over": "lower", "is at least": "lower", "is under": "higher", "is at most": "higher"}


def figures():
    return [(code.id, name) for code in RULEBASE.codes.values() for name in code.limits]


def values(rulebase):
    return {name: limit.value for name, limit in rulebase.limits.items()}


# --- limits know their stricter side


@pytest.mark.parametrize("file", sorted(path.name for path in (FOLDER / "limits").glob("*.yaml")))
def test_every_limit_says_which_side_is_stricter(file):
    data = read_plain((FOLDER / "limits" / file).read_text(encoding="utf-8"))
    assert [name for name, limit in data["limits"].items() if "stricter" not in limit] == []


def test_a_limit_moved_to_its_stricter_side_turns_on_every_rule_it_turned_on_before():
    wrong = set()
    for checked in RULEBASE.rules.values():
        if checked.rule.concern not in ("safety", "law"):
            continue
        for condition in conditions_of(checked.alternatives):
            if condition.comparison not in ORDERED:
                continue
            side = RULEBASE.limits[condition.limit].stricter
            if side in ("lower", "higher") and side != FIRES_WHEN[condition.comparison]:
                wrong.add((checked.rule.id, condition.limit))
    assert wrong == set(BANDS)
    for (rule_id, limit), worse_id in BANDS.items():
        rule, worse = RULEBASE.rules[rule_id].rule, RULEBASE.rules[worse_id].rule
        bound = {c.limit for c in conditions_of(RULEBASE.rules[worse_id].alternatives)}
        assert limit in bound or worse_id == "hold.growth_inside", worse_id
        assert VERDICTS.index(worse.concludes.verdict) >= VERDICTS.index(rule.concludes.verdict)


def test_rules_of_safety_lean_on_no_limit_of_taste():
    tastes = {
        (checked.rule.id, condition.limit)
        for checked in RULEBASE.rules.values()
        if checked.rule.concern in ("safety", "law")
        for condition in conditions_of(checked.alternatives)
        if condition.limit and RULEBASE.limits[condition.limit].stricter == "taste"
    }
    assert tastes == set()


# --- under a code


@pytest.mark.parametrize("code", CODES)
def test_under_a_code_every_limit_is_the_stricter_of_ours_and_the_codes(code):
    ruled = RULEBASE.under(code)
    for name, limit in ruled.limits.items():
        ours, asked = RULEBASE.limits[name], ruled.law(name)
        assert compared(limit.value, ours) in ("the same", "stricter"), name
        wanted = ours.value if asked is None or compared(asked.value, ours) != "stricter" else asked.value
        assert limit.value == wanted, name
        if asked is not None:
            assert compared(asked.value, limit) in ("the same", "looser"), name


@pytest.mark.parametrize("code", CODES)
def test_under_a_code_every_condition_has_the_value_that_its_limit_has(code):
    ruled = RULEBASE.under(code)
    for checked in ruled.rules.values():
        for condition in conditions_of(checked.alternatives):
            assert condition.bound == (ruled.limits[condition.limit].value if condition.limit else None)
    assert ruled.no_kill_credit_below_c == ruled.limits["no_kill_credit_below"].value


@pytest.mark.parametrize("code", CODES)
def test_a_limit_that_a_code_moved_cites_the_code(code):
    ruled = RULEBASE.under(code)
    for name, limit in ruled.limits.items():
        if limit.value != RULEBASE.limits[name].value:
            assert limit.source[0].id in ruled.sources
            assert limit.source[0].section
            asked = ruled.law(name)
            assert (limit.printed, limit.basis == "from memory") == (asked.printed, asked.known == "from_memory")


def test_the_code_that_holds_anyway_changes_nothing():
    assert RULEBASE.under(RULEBASE.code) is RULEBASE
    for code in ("uk", "canada"):
        there_and_back = RULEBASE.under(code).under(RULEBASE.code)
        assert values(there_and_back) == values(RULEBASE.under(code)), "a code once chosen is not loosened again"


@pytest.mark.parametrize(("one", "other"), list(combinations(CODES, 2)))
def test_under_two_codes_the_order_does_not_matter(one, other):
    assert values(RULEBASE.under(one).under(other)) == values(RULEBASE.under(other).under(one))


def test_every_state_has_a_digest_of_its_own():
    digests = {RULEBASE.under(code).digest for code in CODES}
    assert len(digests) == len(CODES)
    assert RULEBASE.under("uk").version_hash.endswith("+uk")


@pytest.mark.parametrize("code", [code for code in CODES if values(RULEBASE.under(code)) != values(RULEBASE)])
def test_no_example_of_a_rule_gets_a_better_verdict_under_a_code(code):
    ruled = RULEBASE.under(code)
    for checked in RULEBASE.rules.values():
        for example in (*checked.rule.examples.fires, *checked.rule.examples.near_misses):
            facts = facts_from_example(example, RULEBASE)
            before, after = (
                max((VERDICTS.index(f.verdict) for f in infer(book, facts, engine="reference").findings), default=0)
                for book in (RULEBASE, ruled)
            )
            assert after >= before, (checked.rule.id, example)


SCENARIOS = sorted((Path(str(resources.files("scenarios"))) / "worked").glob("*.yaml"))


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_no_plan_gets_a_better_verdict_under_a_stricter_code(path):
    case = read_either(path.read_text(encoding="utf-8"), RULEBASE, NOW)
    before = examine(case, RULEBASE, "reference").verdict
    for code in ("canada", "uk_scotland", "us_home"):
        after = examine(case, RULEBASE.under(code), "reference").verdict
        assert VERDICTS.index(after) >= VERDICTS.index(before), code


# --- figures


@pytest.mark.parametrize(
    ("code", "name"),
    [(code, name) for code, name in figures() if RULEBASE.limits[name].quantity == "temperature"],
    ids=lambda part: part,
)
def test_a_temperature_is_the_first_one_printed_beside_it(code, name):
    figure = RULEBASE.codes[code].limits[name]
    found = re.match(r"(?:above )?(\d+ ?[FC])\b", figure.printed)
    assert found, "a temperature is printed"
    assert figure.value == pytest.approx(read_quantity(found[1], "temperature").value, abs=0.06)


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row['code']} {row['limit']}")
def test_a_code_has_the_published_figure(row):
    chosen = RULEBASE.under(row["code"])
    limit = RULEBASE.limits[row["limit"]]
    wanted = row["printed"] if limit.quantity == "count" else read_quantity(row["printed"], limit.quantity).value
    figure = chosen.law(row["limit"])
    assert figure.value == pytest.approx(wanted, abs=0.06 if limit.quantity == "temperature" else 1e-6)
    assert figure.known == row["known"]


def test_every_figure_of_a_code_is_among_the_published_ones():
    assert {(row["code"], row["limit"]) for row in PUBLISHED} == set(figures())


@pytest.mark.parametrize("code", CODES)
def test_a_table_asks_less_time_the_hotter_it_is(code):
    chosen = RULEBASE.codes[code]
    for name in {name for names in chosen.cooking.values() for name in names}:
        rows = RULEBASE.tables[name].rows
        assert [row.f for row in rows] == sorted(row.f for row in rows)
        times = [row.s if isinstance(row.s, float | int) else max(row.s) for row in rows]
        assert times == sorted(times, reverse=True), name
        assert all(row.c == pytest.approx((row.f - 32) / 1.8, abs=0.006) for row in rows), name


def test_the_tables_of_a_code_stand_for_its_own_food():
    uk, older = RULEBASE.under("uk"), RULEBASE.under("us_food_code_2009")
    assert uk.law_tables("minced") == ("acmsf_burger",)
    assert uk.law_tables("whole") == (), "the UK prints no table for a rare roast"
    assert older.law_tables("bird") == ("poultry_165_15s",), "taken from the edition it is based on"
    assert RULEBASE.law_tables("whole") == ("intact_chart", "roast_table")


# --- shown beside


def test_all_codes_are_shown_beside_a_limit_the_chosen_one_first_then_the_strictest():
    found = RULEBASE.under("uk").beside("cold_hold_max")
    assert (found[0].code.id, found[0].figure.value, found[0].stands, found[0].chosen) == ("uk", 8.0, "looser", True)
    rest = [beside.figure.value for beside in found[1:]]
    assert rest == sorted(rest)
    assert not any(beside.code.older for beside in found)
    hot = RULEBASE.beside("hot_hold_min")
    assert [beside.figure.value for beside in hot[1:]] == sorted((b.figure.value for b in hot[1:]), reverse=True)


def test_an_older_edition_is_shown_when_it_was_chosen():
    found = RULEBASE.under("us_food_code_1999").beside("cold_hold_max")
    assert (found[0].code.id, found[0].figure.value) == ("us_food_code_1999", 7.2)
    assert RULEBASE.under("us_food_code_1999").limit("cold_hold_max") == 5.0, "the floor holds"


def test_the_page_says_what_the_law_asks_and_what_holds_here():
    case = read_plan(
        PLAN.format(code="uk").replace("hot_hold, at: 61 C", "hold, place: fridge, at: 6 C"), RULEBASE, NOW
    )
    ruled = RULEBASE.under(case.code)
    console = Console(record=True, width=200, file=io.StringIO())
    report = examine(case, ruled, "reference")
    Page(console, ruled).report(report, (), NOW)
    page = " ".join(console.export_text().split())
    assert "Law: United Kingdom Schedule 4 paragraph 2: 8 °C (46 °F). We hold 5 °C (41 °F), the stricter." in page
    assert "Judged under: United Kingdom." in page
    assert RULEBASE.codes["uk"].local_line in page
    lines = [line for _, line in how_lines(report, "hold.fridge_warm", ruled)]
    assert any("United Kingdom Schedule 4 paragraph 2: 8 °C" in line for line in lines)


def test_who_asks_more_elsewhere_is_said_where_the_law_asks_the_same():
    assert law_line("cool_all_max", RULEBASE, "metric") == ""
    assert law_line("cold_hold_max", RULEBASE, "metric") == "Strictest elsewhere: Canada, 4 °C (39 °F)."
    assert law_line("hot_hold_min", RULEBASE.under("uk"), "metric") == ""
    assert law_line("raw_out_max", RULEBASE, "metric").endswith("We hold 2 h, the stricter.")
    assert law_line("raw_out_max", RULEBASE.under("uk"), "metric") == "", "the UK sets no figure for raw meat"


# --- chosen in a plan

PLAN = """
code: {code}
piece: {{animal: beef, cut: flank steak, form: steak, weight: 1 kg, thickness: 25 mm, arrived: intact}}
guests: {{setting: home, vulnerable: no, latex: no}}
steps:
  - {{do: braise, at: 95 C, for: 3 h}}
  - {{do: hot_hold, at: 61 C, for: 60 min}}
  - {{do: serve}}
"""


@pytest.mark.parametrize(("word", "low"), [("us", False), ("canada", False), ("The UK", True), ("scotland", True)])
def test_a_plan_is_judged_under_the_code_it_names(word, low):
    case = read_plan(PLAN.format(code=word), RULEBASE, NOW)
    fired = {finding.rule.rule.id for finding in examine(case, RULEBASE, "reference").inference.findings}
    assert ("hold.hot_low" in fired) == low
    assert read_plan(write_plan(case, RULEBASE), RULEBASE, NOW).code == case.code


def test_a_code_that_there_is_not_is_refused_with_its_line():
    with pytest.raises(PlanErrors) as caught:
        read_plan(PLAN.format(code="atlantis"), RULEBASE, NOW)
    assert "line 2" in str(caught.value)
    assert "us_food_code_2022" in str(caught.value)


# --- what is covered


def test_the_coverage_listing_is_that_of_the_codes():
    """Remade by ``python -m advisor.knowledge.coverage``."""
    assert (FOLDER / "codes" / "COVERAGE.md").read_text(encoding="utf-8") == coverage_text(RULEBASE)


# Sections that the reference figures of this job name; each must be in the listing.
SECTIONS = [
    "1-201.10",
    "3-201.11(E)",
    "3-401.11(A)(1)",
    "3-401.11(A)(2)",
    "3-401.11(A)(3)",
    "3-401.11(B)(1)",
    "3-401.11(B)(2)",
    "3-401.11(C)",
    "3-401.11(D)",
    "3-401.11(D)(4)",
    "3-401.12",
    "3-401.13",
    "3-401.14(A)",
    "3-401.14(E)",
    "3-401.15",
    "3-402.11",
    "3-403.10",
    "3-403.11(A)",
    "3-403.11(D)",
    "3-501.13",
    "3-501.13(D)",
    "3-501.14(A)",
    "3-501.16(A)(1)",
    "3-501.16(A)(2)",
    "3-501.17",
    "3-501.18",
    "3-501.19(A)",
    "3-501.19(B)",
    "3-501.19(C)",
    "3-502.11",
    "3-502.12(B)",
    "3-502.12(D)",
    "3-502.12(D)(2)(b)",
    "3-502.12(D)(2)(e)(i)",
    "3-502.12(D)(2)(e)(iii)",
    "3-502.12(E)",
    "3-502.12(F)",
    "3-603.11",
    "3-801.11",
]


@pytest.mark.parametrize("section", SECTIONS)
def test_a_section_of_the_food_code_is_listed(section):
    listed = " ".join(provision.section for provision in RULEBASE.codes["us_food_code_2022"].provisions)
    assert section in listed


@pytest.mark.parametrize(
    "part",
    [
        "Table 1",
        "Table 2",
        "Table 3",
        "Table 4",
        "Table 6",
        "come-up",
        "p. 15",
        "gap 6",
        "option 4",
        "318.23",
        "424.21",
        "424.22",
    ],
)
def test_a_part_of_the_plant_guidance_is_listed(part):
    assert any(part in provision.section for provision in RULEBASE.codes["us_fsis"].provisions)


def test_every_figure_of_a_code_is_held_by_a_provision():
    """A figure that no provision names would stand in no listing."""
    for code in RULEBASE.codes.values():
        named = {name for provision in code.provisions for name in provision.by}
        assert set(code.limits) <= named, (code.id, set(code.limits) - named)
        assert {cooling.name for cooling in code.cooling} <= named, code.id
