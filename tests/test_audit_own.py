"""The files that only the audit reads: what is wrong in one is a fault at its line, and nothing falls over it."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import rulebase as shipped
from advisor.audit.faults import Texts
from advisor.audit.own import REASONS, STYLE, ReasonsFile, Style, read_own

SHIPPED = Path(shipped.__file__).parent
KINDS = {STYLE: Style, REASONS: ReasonsFile}


def read(file, text, folder):
    (folder / "audit").mkdir()
    (folder / file).write_text(text, encoding="utf-8")
    return read_own(Texts(folder), file, KINDS[file])


@pytest.mark.parametrize("file", KINDS)
def test_the_shipped_file_is_sound(file):
    said, faults = read_own(Texts(), file, KINDS[file])
    assert faults == []
    assert said.model_fields_set


@pytest.mark.parametrize(
    ("file", "text", "line", "says"),
    [
        (STYLE, "known_as: 2\ngrades: {reasons: many, questions: 6}\n", 2, "valid number"),
        (STYLE, "longest: 5\n", 1, "valid dictionary"),
        (STYLE, "known_as: [2]\n", 1, "valid integer"),
        (STYLE, 'banned:\n  good: "x"\n  "bad(": "y"\n', 3, "no pattern"),
        (STYLE, "alike: 90\nnonsense: 1\n", 2, "not permitted"),
        (STYLE, "- a list\n", 1, "no list of headings"),
        (REASONS, "gaps: 3\n", 1, "valid dictionary"),
        (REASONS, "gaps:\n  cold_hold_max: {beside: []}\n", 2, "required"),
        (REASONS, "settled:\n  - {rules: [a, b], why: x}\n  - {rules: [a], why: x}\n", 3, "at least 2"),
        (REASONS, "settled:\n  - {rules: 5, why: x}\n", 2, "valid list"),
        (REASONS, "follows: {a: b}\n", 1, "valid list"),
    ],
)
def test_a_fault_is_named_at_its_line(file, text, line, says, tmp_path):
    _, faults = read(file, text, tmp_path)
    assert len(faults) == 1, faults
    assert (faults[0].file, faults[0].line) == (file, line)
    assert says in faults[0].what
    assert faults[0].hint


def test_what_is_sound_beside_a_fault_still_counts(tmp_path):
    text = "settled:\n  - {rules: 5, why: x}\n  - {rules: [a, b], why: y}\n  - {rules: [c], why: z}\n"
    said, faults = read(REASONS, text, tmp_path)
    assert [entry.rules for entry in said.settled] == [["a", "b"]]
    assert sorted(fault.line for fault in faults) == [2, 4]


def run(*words):
    return subprocess.run(
        [sys.executable, "-m", "advisor", "rulebase", *words], capture_output=True, check=False, text=True
    )


@pytest.mark.parametrize("command", ["check", "coverage", "reference"])
def test_a_folder_that_is_no_rulebase_is_no_fault_of_ours(command, tmp_path):
    for folder in (tmp_path, tmp_path / "nowhere"):
        done = run(command, str(folder))
        assert done.returncode == 3
        assert str(folder) in done.stderr
        assert "Traceback" not in done.stderr


def test_without_its_style_the_check_says_so_and_goes_on(tmp_path):
    folder = tmp_path / "rulebase"
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns("__pycache__", "*.py", "*.md"))
    (folder / STYLE).unlink()
    done = run("check", str(folder))
    assert done.returncode == 0
    assert "No errors; 1 warning." in re.sub(r"\s+", " ", done.stdout)
