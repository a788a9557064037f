"""Every published value: within what its source's precision warrants, or within the room whose reason stands by it."""

import pytest
from published._shipped import data
from published.growth_after_cooking import listeria_that_the_code_lets_grow
from published.report import REPORT, modules, written

EVERY = [(f"{module.__name__}: {row.what}", row) for module in modules() for row in module.rows()]
ROWS = dict(EVERY)


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_published_value(row):
    assert row.within_held, f"{row.what}: published {row.published}, ours {row.ours} {row.unit}"
    assert row.reason


def test_the_report_is_current():
    assert REPORT.read_text(encoding="utf-8") == written(), "run: python tests/published/report.py"


def test_no_row_hides_behind_another_of_its_name():
    assert len(ROWS) == len(EVERY)


def test_the_heading_tells_what_is_far_off_on_the_open_side():
    """An aim without an end on the strict side is met by any error there, so the number of those is said."""
    heading = REPORT.read_text(encoding="utf-8").split("##")[0]
    assert "off to the strict side, where their aim is open" in heading


def test_the_limit_of_cold_growth_is_what_the_code_lets_grow(rulebase):
    assert rulebase.limit("cold_growth_max") == pytest.approx(listeria_that_the_code_lets_grow(), abs=0.1)


def test_wider_room_is_given_only_where_the_aim_is_missed():
    """So that what is held today is not let go in silence."""
    idle = [name for name, row in EVERY if row.held is not None and row.met]
    assert not idle


@pytest.mark.parametrize("bird", ["chicken", "turkey"])
def test_the_rulebase_prints_the_poultry_tables_at_every_fat(bird, rulebase):
    published = data("fsis_appendix_a_poultry.yaml")
    table = rulebase.tables[f"{bird}_7_log"]
    assert table.fat_columns == published["fat_percent"]
    assert {row.f: list(row.s) for row in table.rows} == published[bird]
