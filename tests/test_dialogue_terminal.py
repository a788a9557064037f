"""The dialogue at its three doors: a terminal that edits lines, a pipe, and a real terminal that is killed."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
from datetime import datetime

import pytest
from prompt_toolkit import PromptSession
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from rich.console import Console

from advisor.interview import store
from advisor.interview.session import Session
from advisor.show.dialogue import run_dialogue
from advisor.show.typed import Quit, _noting_interrupts, plain_line, terminal_reader

NOW = datetime.now().astimezone()
FIRST = [
    "1",
    "1",
    "beef",
    "steak",
    "fridge",
    "flank steak",
    "2 lb 8",
    "1 1/4 in",
    "1",
    "1 day",
    "pink",
    "Sat 19:00",
    "1.2",
    "yes",
]


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.fixture
def pipe(monkeypatch):
    """Keys for a terminal that edits lines."""
    monkeypatch.setattr(sys, "stdin", Terminal())
    with create_pipe_input() as keys, create_app_session(input=keys, output=DummyOutput()):
        yield keys


def run(rulebase, path):
    console = Console(file=io.StringIO(), width=80)
    return run_dialogue(Session.start(rulebase, NOW), path, console)


def test_lines_typed_at_a_terminal_are_answers(rulebase, tmp_path, pipe):
    pipe.send_text("".join(f"{line}\r" for line in ["", *FIRST, "quit"]))
    assert run(rulebase, tmp_path / "s.json") is None
    assert len(store.load(tmp_path / "s.json", rulebase, NOW).session.answered) == len(FIRST)


@pytest.mark.parametrize("key", ["\x03", "\x04"])
def test_control_c_and_control_d_leave_and_keep(rulebase, tmp_path, pipe, key):
    pipe.send_text("\r1\r2\r" + key)
    assert run(rulebase, tmp_path / "s.json") is None
    assert len(store.load(tmp_path / "s.json", rulebase, NOW).session.answered) == 2


def test_back_shows_the_old_text_and_enter_keeps_it(rulebase, tmp_path, pipe):
    # After back, Enter alone gives the old answer again.
    pipe.send_text("".join(f"{line}\r" for line in ["", *FIRST[:8], "back", "", "quit"]))
    run(rulebase, tmp_path / "s.json")
    case = store.load(tmp_path / "s.json", rulebase, NOW).session.case()
    assert case.number("piece", "thickness") == pytest.approx(31.75)


def test_what_is_typed_after_back_is_not_added_to_the_old_text(rulebase, tmp_path, pipe):
    pipe.send_text("".join(f"{line}\r" for line in ["", *FIRST[:8], "back", "12.5 mm"]) + "\x03")
    run(rulebase, tmp_path / "s.json")
    case = store.load(tmp_path / "s.json", rulebase, NOW).session.case()
    assert case.number("piece", "thickness") == pytest.approx(12.5)


def test_control_c_while_the_editor_starts_is_noted_and_not_raised():
    before, pressed = signal.getsignal(signal.SIGINT), threading.Event()
    with _noting_interrupts(pressed):
        os.kill(os.getpid(), signal.SIGINT)
        assert pressed.wait(5)
    assert signal.getsignal(signal.SIGINT) is before


def test_control_c_after_a_line_leaves_at_the_next_and_keeps_the_line(rulebase, tmp_path, pipe, monkeypatch):
    prompt = PromptSession.prompt

    def late(self, *words, **options):
        line = prompt(self, *words, **options)
        os.kill(os.getpid(), signal.SIGINT)
        return line

    monkeypatch.setattr(PromptSession, "prompt", late)
    pipe.send_text("for home\r")
    assert run(rulebase, tmp_path / "s.json") is None
    kept = store.load(tmp_path / "s.json", rulebase, NOW).session
    assert [one.question for one in kept.answered] == ["setting"]


# --- a pipe


def piped(monkeypatch, data):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))
    return terminal_reader()


def test_a_pipe_is_read_line_by_line_and_shows_what_was_read(monkeypatch, capsys):
    read = piped(monkeypatch, b"2 lb\n\nlast")
    assert read("> ", [], "") == "2 lb"
    assert read("> ", [], "old") == "old"
    assert read("> ", [], "") == "last"
    with pytest.raises(Quit):
        read("> ", [], "")
    shown = capsys.readouterr().out
    assert "> 2 lb\n" in shown
    assert "[old] > " in shown


def test_bytes_that_are_no_text_are_no_end(monkeypatch):
    read = piped(monkeypatch, b"\xff\xfe\n1\n")
    assert "\ufffd" in read("> ", [], "")
    assert read("> ", [], "") == "1"


def test_what_no_cook_types_is_taken_off():
    assert plain_line(" \x1b[A2 lb\x00\ud800 ") == "[A2 lb"
    assert plain_line("1¼″ crème brûlée 牛") == "1¼″ crème brûlée 牛"


def advisor(state, data, **env):
    return subprocess.run(
        [sys.executable, "-m", "advisor", "ask", "--code", "us"],
        input=data,
        capture_output=True,
        check=False,
        timeout=120,
        env={**os.environ, "XDG_STATE_HOME": str(state), "COLUMNS": "80", **env},
    )


@pytest.mark.parametrize(
    "env", [{}, {"TERM": "dumb"}, {"NO_COLOR": "1"}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}]
)
def test_the_command_asks_through_a_pipe_and_stops_without_a_traceback(tmp_path, env):
    done = advisor(tmp_path, "\n".join(["", *FIRST[:5], "caf\u00e9", "\u00b2", "3"]).encode() + b"\xff\n", **env)
    text = done.stdout.decode(errors="replace") + done.stderr.decode(errors="replace")
    assert done.returncode == 30, text[-500:]
    assert "Traceback" not in text
    assert "fault" not in text
    assert "\x1b" not in text
    assert "takes them up again" in text
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 80


# --- a real terminal


def test_a_killed_terminal_loses_nothing(tmp_path, rulebase):
    pexpect = pytest.importorskip("pexpect")
    pyte = pytest.importorskip("pyte")
    env = {**os.environ, "XDG_STATE_HOME": str(tmp_path), "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"}

    def start():
        child = pexpect.spawn(
            sys.executable,
            ["-m", "advisor", "ask", "--code", "us"],
            env=env,
            dimensions=(40, 80),
            encoding="utf-8",
            timeout=60,
        )
        child.logfile_read = io.StringIO()
        return child

    def screen(child):
        display = pyte.Screen(80, 40)
        pyte.Stream(display).feed(child.logfile_read.getvalue())
        return [line.rstrip() for line in display.display]

    child = start()
    child.expect("tell>")
    child.send("\r")
    for number, line in enumerate(FIRST[:3], start=1):
        child.expect(f"Question {number}\\.")
        child.expect("quit\\.")
        child.send(f"{line}\r")
    child.expect("Question 4\\.")
    assert any(line.startswith("  Animal: beef") for line in screen(child))
    child.kill(signal.SIGKILL)
    child.wait()
    path = tmp_path / "prep-advisor" / "session.json"
    assert len(store.load(path, rulebase, NOW).session.answered) == 3

    child = start()
    child.expect("You stopped at question 4")
    child.send("yes\r")
    child.expect("Question 4\\.")
    child.expect("quit\\.")
    child.send("steak\r")
    child.expect("Question 5\\.")
    child.expect("quit\\.")
    child.sendcontrol("c")
    child.expect("takes them up again")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 30
    assert "Traceback" not in child.logfile_read.getvalue()
    assert len(store.load(path, rulebase, NOW).session.answered) == 4
