"""Every worked scenario comes out as it says, by both evaluators; what it calls mended can be mended."""

from __future__ import annotations

import sys
from datetime import datetime
from functools import cache
from importlib import resources
from pathlib import Path

import pytest

from advisor.advice.mends import find_mends
from advisor.advice.report import examine
from advisor.case.read_plan import read_plan
from advisor.case.words.either import read_either
from advisor.case.write_plan import write_plan
from advisor.infer import engine
from advisor.knowledge import load_rulebase
from advisor.knowledge.yamltext import read_plain

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
FOLDER = Path(str(resources.files("scenarios"))) / "worked"
# Mends that have no figure to name: a step put in, a thing left out, a word of a guest or of the inspector.
NO_FIGURE = ("steps add", "leave out", "guests", "piece stuffing")
WORKED = sorted(FOLDER.glob("*.yaml"))


def load(path: Path) -> dict:
    return read_plain(path.read_text(encoding="utf-8"))


@cache
def looked_at(path: Path):
    """Case and report of a scenario, read from the file as it stands."""
    book = load_rulebase()
    case = read_either(path.read_text(encoding="utf-8"), book, NOW, path.name)
    return case, examine(case, book)


def said_in(finding) -> str:
    return " ".join([finding.says, *(finding.caution or ())])


def test_there_are_enough_and_they_differ():
    """At least 36, of all animals but three, in both systems of units, of every verdict."""
    cases = [looked_at(path) for path in WORKED]
    assert len(cases) >= 36
    animals = {case.word("piece", "animal") for case, _ in cases}
    assert len(animals) >= 10
    assert {case.system for case, _ in cases} == {"us", "metric"}
    assert {report.verdict for _, report in cases} == {"go", "ask", "change", "stop"}
    assert len({load(path)["tells"] for path in WORKED}) == len(WORKED)


@pytest.mark.parametrize("path", WORKED, ids=lambda p: p.stem)
def test_comes_out_as_told(path):
    must, (_, report) = load(path)["must"], looked_at(path)
    fired = {finding.rule.rule.id for finding in report.inference.findings}
    assert report.verdict == must["verdict"], [f.says for f in report.problems]
    assert set(must.get("findings", [])) <= fired
    assert not set(must.get("not_findings", [])) & fired
    told = " ".join(said_in(finding) for finding in report.inference.findings)
    for words in must.get("cautions", []):
        assert words in told


@pytest.mark.parametrize("path", WORKED, ids=lambda p: p.stem)
def test_mends_lead_to_go_or_it_is_said_that_there_is_none(path, rulebase):
    must, (_, report) = load(path)["must"], looked_at(path)
    mends = find_mends(report, rulebase)
    if report.verdict == "go":
        assert mends == ()
        return
    assert bool(mends) == must["mended"]
    if report.verdict == "change":
        # A plan that is only to be changed has a change that mends it.
        assert mends
    for mend in mends:
        assert examine(mend.case, rulebase).verdict == "go", mend.change
        assert any(character.isdigit() for character in mend.change) or mend.kinds[0].startswith(NO_FIGURE), mend.change
    assert len(mends) <= 3
    for mend in mends[:1]:
        # Applied as a cook would: written down as a plan, and that plan checked.
        applied = read_plan(write_plan(mend.case, rulebase), rulebase, NOW)
        assert examine(applied, rulebase).verdict == "go", mend.change
    assert must.get("mend_says", "") in " / ".join(mend.change for mend in mends)
    assert len({mend.kinds for mend in mends}) == len(mends)
    if not mends and report.verdict != "ask":
        assert any(finding.rule.rule.no_mend for finding in report.problems)


def test_durable_rules_answers_wherever_it_is_asked_for():
    """The next test is passed over only where the package is not asked for; a broken install fails here."""
    assert engine.available() or sys.version_info >= (3, 13)


@pytest.mark.skipif(
    not engine.available(),
    reason="durable-rules does not import on this Python; the reference evaluator answers",
)
@pytest.mark.parametrize("path", WORKED, ids=lambda p: p.stem)
def test_both_evaluators_fire_the_same_rules(path, rulebase):
    case, _ = looked_at(path)
    by_engine, by_reference = examine(case, rulebase, "durable"), examine(case, rulebase, "reference")
    assert by_engine.inference.firings == by_reference.inference.firings
    assert [f.says for f in by_engine.inference.findings] == [f.says for f in by_reference.inference.findings]


@pytest.mark.parametrize("path", WORKED, ids=lambda p: p.stem)
def test_a_written_plan_reads_back_as_the_same_case(path, rulebase):
    case, first = looked_at(path)
    again = read_plan(write_plan(case, rulebase), rulebase, NOW)
    second = examine(again, rulebase)
    assert second.verdict == first.verdict
    assert [f.rule.rule.id for f in second.inference.findings] == [f.rule.rule.id for f in first.inference.findings]


def test_the_injected_steak_names_the_row_and_the_line_about_serving_to_order(rulebase):
    """Taken out at 53.3 °C it is below the lowest official row.

    130 °F, 112 min: Food Code 3-401.11(B), read through adoptions; FSIS Appendix A (2021) Table 2, read.
    """
    told = load(FOLDER / "injected_taken_out_early.yaml")
    report = examine(read_plan(told["plan"], rulebase, NOW), rulebase)
    says = {f.rule.rule.id: f.says for f in report.inference.findings}
    assert "54.4 °C (130 °F) for 1 h 52 min" in says["cook.broken"]
    assert "undercooked is lawful only to a guest who asks" in says["cook.to_order_line"]
    assert report.computed.facts.course["broken_share"].value == 0.0
    assert find_mends(report, rulebase)
