"""Broken rulebases: each error names the file and the line and says what to write instead.

Each folder under ``bad_rulebases`` holds only what differs from the shipped rulebase, and ``expect.txt``: the
file and the line that the error must name (line 0: the file as a whole), a part of what it says and of its hint.
"""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

import rulebase as shipped
from advisor.errors import RulebaseError
from advisor.knowledge import load_rulebase, loader
from advisor.knowledge.yamltext import read_plain

SHIPPED = Path(shipped.__file__).parent
BAD = Path(__file__).parent / "bad_rulebases"
CASES = sorted(path.name for path in BAD.iterdir() if path.is_dir())


def expected(folder):
    lines = (folder / "expect.txt").read_text(encoding="utf-8").splitlines()
    return {key: value for key, _, value in (line.partition(": ") for line in lines)}


@pytest.fixture(scope="module", autouse=True)
def _parse_each_text_once():
    """Parsing YAML is slow and depends on the text alone; most files of the copies are the same."""
    patch = pytest.MonkeyPatch()
    patch.setattr(loader, "read_plain", cache(read_plain))
    yield
    patch.undo()


@pytest.fixture
def copy(tmp_path):
    folder = tmp_path / "rulebase"
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    return folder


def test_the_copy_itself_is_sound(copy):
    assert load_rulebase(copy).digest == load_rulebase().digest


@pytest.mark.parametrize("case", CASES)
def test_a_broken_rulebase_is_refused_with_its_place(case, copy):
    shutil.copytree(BAD / case, copy, dirs_exist_ok=True)
    want = expected(BAD / case)
    with pytest.raises(RulebaseError) as caught:
        load_rulebase(copy)
    error = caught.value
    assert (error.file, want["says"] in error.what) == (want["file"], True), str(error)
    assert error.line == int(want["line"]), str(error)
    assert want["hint"] in error.hint, str(error)
    place = f"{error.file}, line {error.line}: " if error.line else f"{error.file}: "
    assert str(error) == f"{place}{error.what} {error.hint}"


def test_a_folder_without_files(tmp_path):
    with pytest.raises(RulebaseError) as caught:
        load_rulebase(tmp_path)
    assert str(tmp_path) in str(caught.value)
    assert caught.value.hint


def test_a_file_that_is_no_text(copy):
    (copy / "rules" / "zz_bad.yaml").write_bytes(b"rules: \xff\xfe\n")
    with pytest.raises(RulebaseError) as caught:
        load_rulebase(copy)
    assert caught.value.file == "rules/zz_bad.yaml"
    assert "UTF-8" in caught.value.hint


@pytest.mark.parametrize("file", sorted(path.relative_to(SHIPPED).as_posix() for path in SHIPPED.glob("*.yaml")))
def test_a_file_that_is_missing_is_named(file, copy):
    (copy / file).unlink()
    with pytest.raises(RulebaseError) as caught:
        load_rulebase(copy)
    assert caught.value.file == file
    assert caught.value.hint


@pytest.mark.parametrize("folder", ["limits", "rules", "meats", "codes"])
def test_a_folder_that_is_missing_is_an_error_of_the_rulebase(folder, copy):
    shutil.rmtree(copy / folder)
    with pytest.raises(RulebaseError) as caught:
        load_rulebase(copy)
    assert caught.value.hint
