"""Every published value: within what its source's precision warrants, or within the room whose reason stands by it."""

import pytest
from published.report import REPORT, modules, written

ROWS = [(module.__name__.removeprefix("published."), row) for module in modules() for row in module.rows()]


@pytest.mark.parametrize(("module", "row"), ROWS, ids=[f"{name}: {row.what}" for name, row in ROWS])
def test_published_value(module, row):
    assert row.within_held, f"{row.what}: published {row.published}, ours {row.ours} {row.unit}"
    assert row.reason


def test_the_report_is_current():
    assert REPORT.read_text(encoding="utf-8") == written(), "run: python tests/published/report.py"
