"""Every published value: within what its source's precision warrants, or within the room whose reason stands by it."""

import pytest
from published.report import REPORT, modules, written

ROWS = {f"{module.__name__}: {row.what}": row for module in modules() for row in module.rows()}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_published_value(row):
    assert row.within_held, f"{row.what}: published {row.published}, ours {row.ours} {row.unit}"
    assert row.reason


def test_the_report_is_current():
    assert REPORT.read_text(encoding="utf-8") == written(), "run: python tests/published/report.py"
