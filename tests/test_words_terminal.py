"""Words corrected line by line in a real terminal, at two widths, without colour, in a dumb one, and through a pipe."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys

import pytest

WORDS = (
    "flank, form: steak, as it grew, 2 lb, from the fridge, at home, nobody vulnerable, no latex allergies, "
    "bath 60 C at 12 hours, pan 1 min a side, table 12"
)
COLOUR = re.compile(r"\x1b\[[0-9;]*3[0-7]m")


def spawn(words, width, env):
    pexpect = pytest.importorskip("pexpect")
    kept = {**os.environ, "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1", **env}
    arguments = ["-m", "advisor", "check", words]
    child = pexpect.spawn(sys.executable, arguments, env=kept, dimensions=(60, width), encoding="utf-8", timeout=20)
    child.logfile_read = io.StringIO()
    return child


def ready(child):
    """Wait until the line editor shows its cursor, or the dumb one its prompt."""
    child.expect(["\x1b\\[\\?25h", "> $"])


def said(child, line, then):
    child.send(f"{line}\r")
    child.expect(then)
    ready(child)


def screen(child, width):
    pyte = pytest.importorskip("pyte")
    display = pyte.HistoryScreen(width, 400)
    pyte.Stream(display).feed(child.logfile_read.getvalue())
    return [line.rstrip() for line in display.display]


@pytest.mark.parametrize(("width", "env"), [(80, {}), (120, {"NO_COLOR": "1"}), (80, {"TERM": "dumb"})], ids=str)
def test_a_plan_is_put_right_line_by_line(width, env):
    child = spawn(WORDS, width, env)
    child.expect("to check it")
    ready(child)
    said(child, "nonsense", "begins with")
    said(child, "4 3 furlongs", "which unit")
    said(child, "add 1 1/2 in thick", "38 mm")
    said(child, "2 flank steak", "cut: flank steak")
    said(child, "4 1 kg", "1 kg")
    lines = screen(child, width)
    numbers = [line.split()[0] for line in lines if "not understood: 'table 12'" in line]
    assert numbers, lines
    said(child, f"drop {numbers[-1]}", "understood")
    child.send("\r")
    child.expect("Answered by")
    child.wait()
    text = child.logfile_read.getvalue()
    assert "Traceback" not in text
    assert child.exitstatus in (0, 10, 20), text[-800:]
    told = screen(child, width)
    assert any("38 mm" in line for line in told)
    assert any("1 kg" in line for line in told)
    assert not any("table 12" in line for line in told[-40:])
    if env:
        assert not COLOUR.search(text)


@pytest.mark.parametrize("key", ["quit\r", "\x03"])
def test_a_cook_who_leaves_gets_no_verdict(key):
    child = spawn(WORDS, 80, {})
    child.expect("to check it")
    ready(child)
    child.send(key)
    child.expect("Nothing was checked")
    child.wait()
    assert child.exitstatus == 3
    assert "Traceback" not in child.logfile_read.getvalue()


@pytest.mark.parametrize("env", [{}, {"TERM": "dumb", "COLUMNS": "80"}], ids=str)
def test_through_a_pipe_it_is_played_back_and_nothing_is_asked(env):
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "check", WORDS],
        input=b"2 flank steak\n",
        capture_output=True,
        check=False,
        timeout=120,
        env={**os.environ, **env},
    )
    text = done.stdout.decode()
    assert done.returncode in (20, 30)
    assert "not understood: 'table 12'" in text
    assert "\x1b" not in text
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 120
    assert b"Traceback" not in done.stderr
