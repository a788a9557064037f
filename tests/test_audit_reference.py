"""The generated reference is current and whole, and the coverage counts add up."""

from __future__ import annotations

import io
from pathlib import Path

from rich.console import Console

import rulebase as shipped
from advisor.audit.coverage import CONCERNS, RESTS, coverage
from advisor.audit.plain import figure, limits_of_rule
from advisor.audit.reference import FILE, reference_text, write_reference
from advisor.show.audit import show_coverage

FOLDER = Path(shipped.__file__).parent


def test_the_reference_is_current(rulebase):
    text = (FOLDER / FILE).read_text(encoding="utf-8")
    assert text == reference_text(rulebase), "make it again: advisor rulebase reference --write"


def test_it_is_written_where_it_was_asked_for(tmp_path, rulebase):
    import shutil

    folder = tmp_path / "rulebase"
    shutil.copytree(FOLDER, folder, ignore=shutil.ignore_patterns("__pycache__", "*.py", "*.md"))
    assert write_reference(folder) == folder / FILE
    assert (folder / FILE).read_text(encoding="utf-8") == reference_text(rulebase)


def test_every_rule_stands_there_once_with_its_limits_and_sources(rulebase):
    text = reference_text(rulebase)
    assert "{" not in text
    parts = {part.partition("\n")[0]: part for part in text.split("\n### ")[1:]}
    assert set(parts) == set(rulebase.rules)
    for rule_id, part in parts.items():
        rule = rulebase.rules[rule_id].rule
        for limit in limits_of_rule(rule_id, rulebase):
            assert f"`{limit}` {figure(rulebase.limits[limit])}" in part, (rule_id, limit)
        assert all(f"`{cite.id}`" in part for cite in rule.source), rule_id
        assert ("**May be changed**" in part) == bool(rule.mend)
        assert ("**Contested**" in part) == bool(rule.contested)
        none = any(alternative.absent_steps for alternative in rulebase.rules[rule_id].alternatives)
        assert ("there is no step with" in part) == none


def test_the_counts_add_up(rulebase):
    found = coverage(rulebase)
    assert sum(sum(counts.values()) for counts in found.subjects.values()) == len(rulebase.rules)
    assert sum(found.rules.values()) == len(rulebase.rules)
    assert sum(found.limits.values()) == len(rulebase.limits)
    assert {concern for counts in found.subjects.values() for concern in counts} <= set(CONCERNS)
    assert set(found.rules) | set(found.limits) <= set(RESTS)
    assert found.contested == sum(bool(checked.rule.contested) for checked in rulebase.rules.values())


def test_the_coverage_fits_a_narrow_screen(rulebase):
    out = io.StringIO()
    show_coverage(rulebase, Console(file=out, width=80, highlight=False))
    text = out.getvalue()
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "\x1b" not in text
    for rests in RESTS:
        assert rests in text
