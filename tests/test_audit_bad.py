"""Rulebases that load and are wrong all the same: the audit names the file and the line and says what to write.

Each folder under ``bad_audits`` holds only what differs from the shipped rulebase, and ``expect.txt``: file, line,
kind and severity of the fault, a part of what it says and of its hint; ``also``: another kind that comes with it.
"""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

import rulebase as shipped
from advisor.audit import audit, faults, fires
from advisor.audit import gather as gathering
from advisor.audit.gather import gather
from advisor.knowledge import loader
from advisor.knowledge.yamltext import read_plain

SHIPPED = Path(shipped.__file__).parent
BAD = Path(__file__).parent / "bad_audits"
CASES = sorted(path.name for path in BAD.iterdir() if path.is_dir())
UNLOADABLE = Path(__file__).parent / "bad_rulebases"


def expected(folder):
    lines = (folder / "expect.txt").read_text(encoding="utf-8").splitlines()
    return {key: value for key, _, value in (line.partition(": ") for line in lines)}


@pytest.fixture(scope="module", autouse=True)
def _parse_each_text_once():
    """Parsing YAML is slow and depends on the text alone; most files of the copies are the same."""
    patch = pytest.MonkeyPatch()
    once = cache(read_plain)
    patch.setattr(loader, "read_plain", once)
    patch.setattr(faults, "read_plain", once)
    patch.setattr(gathering, "read_plain", once)
    yield
    patch.undo()


@pytest.fixture
def _without_the_engine_unless_it_matters(request, monkeypatch):
    """Compiling every rule anew for each folder is slow; only how examples fire depends on the evaluator."""
    if expected(BAD / request.getfixturevalue("case"))["kind"] != "examples":
        monkeypatch.setattr(fires.engine, "available", lambda: False)


@pytest.fixture
def copy(tmp_path):
    folder = tmp_path / "rulebase"
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns("__pycache__", "*.py", "*.md"))
    return folder


def test_the_shipped_rulebase_is_clean():
    found = audit()
    assert [str(fault) for fault in found.errors] == []
    assert [str(fault) for fault in found.warnings] == []


@pytest.mark.usefixtures("_without_the_engine_unless_it_matters")
@pytest.mark.parametrize("case", CASES)
def test_the_audit_finds_the_fault_and_its_place(case, copy):
    shutil.copytree(BAD / case, copy, dirs_exist_ok=True)
    (copy / "expect.txt").unlink()
    want = expected(BAD / case)
    found = audit(copy)
    faults_found = [*found.errors, *found.warnings]
    hits = [
        f
        for f in faults_found
        if (f.file, f.line, f.kind) == (want["file"], int(want["line"]), want["kind"]) and want["says"] in f.what
    ]
    assert hits, [f"{f.place} [{f.kind}] {f.what}" for f in faults_found]
    assert hits[0].severity == want["severity"]
    assert want["hint"] in hits[0].hint
    # A rule made for a test belongs to no subject of the quiz; one folder tries just that.
    others = {f.kind for f in faults_found if f not in hits and "no subject of the quiz" not in f.what}
    assert others <= {want.get("also")}, [f"{f.place} [{f.kind}] {f.what}" for f in faults_found]


def test_a_question_too_hard_to_read_is_named_at_its_line(copy):
    path = copy / "questions.yaml"
    text = path.read_text(encoding="utf-8")
    line = next(n for n, line in enumerate(text.splitlines(), start=1) if line.strip().startswith("ask:"))
    asked = text.splitlines()[line - 1]
    hard = '    ask: "Does any individual consuming this preparation demonstrate immunological susceptibility?"'
    path.write_text(text.replace(asked, hard, 1), encoding="utf-8")
    found = audit(copy).errors
    assert [(f.file, f.line, f.kind) for f in found] == [("questions.yaml", line, "style")], [str(f) for f in found]
    assert "reading grade" in found[0].what
    assert "6 is the most" in found[0].what


# A line put in behind the first one that begins so, and what the check says of it.
PUT_IN = [
    (
        "cautions.yaml",
        "local_lines:",
        '  zz_hard: "Institutional obligations necessitate consultation with the administrative authorities."',
        ("style", "error", "Line 'zz_hard': reading grade", "shorter words"),
    ),
    (
        "vocabulary.yaml",
        "piece:",
        "  zz_idle: {means: a fact that nothing asks for, choices: [one, other]}",
        ("unused", "warning", "zz_idle", "Take it out"),
    ),
    (
        "sources.yaml",
        "sources:",
        "  zz_idle: {title: Nothing, edition: none, standing: estimate, known: from_memory}",
        ("unused", "warning", "zz_idle", "Cite it or take it out"),
    ),
]


@pytest.mark.parametrize(("file", "behind", "line", "want"), PUT_IN, ids=[row[0] for row in PUT_IN])
def test_a_line_that_is_wrong_in_a_file_of_lists_is_named_at_its_place(file, behind, line, want, copy, monkeypatch):
    monkeypatch.setattr(fires.engine, "available", lambda: False)
    lines = (copy / file).read_text(encoding="utf-8").splitlines()
    at = next(n for n, one in enumerate(lines, start=1) if one.startswith(behind))
    lines.insert(at, line)
    (copy / file).write_text("\n".join(lines) + "\n", encoding="utf-8")
    found = audit(copy)
    [fault] = [one for one in (*found.errors, *found.warnings) if one.file == file]
    kind, severity, says, hint = want
    assert (fault.line, fault.kind, fault.severity) == (at + 1, kind, severity)
    assert says in fault.what
    assert hint in fault.hint


# --- faults that keep a rulebase from loading


@pytest.mark.parametrize("case", sorted(path.name for path in UNLOADABLE.iterdir() if path.is_dir()))
def test_what_the_loader_refuses_the_check_names_at_the_same_place(case, copy):
    shutil.copytree(UNLOADABLE / case, copy, dirs_exist_ok=True)
    want = expected(UNLOADABLE / case)
    rulebase, found = gather(faults.Texts(copy), copy)
    assert rulebase is None
    assert (want["file"], int(want["line"])) in {(f.file, f.line) for f in found}, [str(f) for f in found]
    assert any(want["says"] in f.what and want["hint"] in f.hint for f in found)


def test_several_faults_are_all_listed_each_with_its_line(copy):
    """Two rules of one file, a limit and a cut; the rule between them is sound and stays."""
    good = (UNLOADABLE / "condition_without_a_word" / "rules" / "zz_bad.yaml").read_text(encoding="utf-8")
    head, body = good.split("\n", 1)
    sound = body.replace(body.split("when:")[1].split("\n")[0], " [course has_cook is yes]").replace(
        "zz.bad", "zz.good"
    )
    other = (UNLOADABLE / "when_of_an_unknown_word" / "rules" / "zz_bad.yaml").read_text(encoding="utf-8")
    text = head + "\n" + body + sound + other.split("\n", 1)[1].replace("zz.bad", "zz.worse")
    (copy / "rules" / "zz_bad.yaml").write_text(text, encoding="utf-8")
    for case in ("cut_twice", "limit_with_an_unlisted_source"):
        shutil.copytree(UNLOADABLE / case, copy, dirs_exist_ok=True)
    _, found = gather(faults.Texts(copy), copy)
    lines = text.splitlines()
    places = {(f.file, f.line) for f in found}
    for name in ("zz.bad", "zz.worse"):
        start = next(n for n, line in enumerate(lines, start=1) if f"id: {name}" in line)
        assert any(file == "rules/zz_bad.yaml" and start <= line <= start + 12 for file, line in places), places
    assert {file for file, _ in places} == {"rules/zz_bad.yaml", "meats/zz_bad.yaml", "limits/zz_bad.yaml"}
    assert len(found) == 4, [str(f) for f in found]


def test_what_only_misses_a_faulty_entry_is_left_out(copy):
    """A limit that cannot be read is one fault, not one for each rule that names it."""
    path = copy / "limits" / "holding.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("value: 57.2", "value: hot", 1), encoding="utf-8")
    _, found = gather(faults.Texts(copy), copy)
    assert [f.file for f in found] == ["limits/holding.yaml"]


def test_a_file_that_is_no_text_and_one_that_is_no_yaml_are_both_named(copy):
    (copy / "rules" / "zz_a.yaml").write_bytes(b"rules: \xff\xfe\n")
    (copy / "rules" / "zz_b.yaml").write_text("rules: [", encoding="utf-8")
    _, found = gather(faults.Texts(copy), copy)
    assert {f.file for f in found} == {"rules/zz_a.yaml", "rules/zz_b.yaml"}
