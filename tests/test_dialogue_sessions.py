"""Whole sessions in a real pseudo-terminal, from the first word to the plan; what the screen shows is kept beside.

A screen that is meant to change is made again with ``SCREENS=write``.
"""

from __future__ import annotations

import io
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

pexpect = pytest.importorskip("pexpect")
pyte = pytest.importorskip("pyte")

SCREENS = Path(__file__).parent / "screens"
ROWS = 60
PROMPT = re.compile(r"(^|\) |tell|how)>$")
TOLD = [
    "work",
    "1",
    "beef",
    "steak",
    "fridge",
    "flank steak",
    "900 g",
    "30 mm",
    "1",
    "1 day",
    "pink",
    "dk",
    "1.2",
    "yes",
    "yes",
]


class Kitchen:
    """One terminal with its own state folder."""

    def __init__(self, state, width=80, **env):
        self.width = width
        # Whoever runs the tests may tell a width of their own, and that would win over the terminal's.
        plain = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
        self.env = {**plain, "XDG_STATE_HOME": str(state), "XDG_CONFIG_HOME": str(state), "TERM": "xterm", **env}
        # Nobody answers here when the line editor asks where the cursor is; it would wait a second at each prompt.
        self.env["PROMPT_TOOLKIT_NO_CPR"] = "1"
        self.start()

    def start(self):
        self.child = pexpect.spawn(
            sys.executable,
            ["-m", "advisor", "ask", "--code", "us"],
            env=self.env,
            dimensions=(ROWS, self.width),
            encoding="utf-8",
        )
        self.child.logfile_read = io.StringIO()

    def ready(self, most=180):
        """Wait until the cursor stands behind an empty prompt and nothing more comes."""
        until = time.monotonic() + most
        while time.monotonic() < until:
            try:
                self.child.read_nonblocking(100_000, timeout=0.3)
            except pexpect.TIMEOUT:
                display = pyte.Screen(self.width, ROWS)
                pyte.Stream(display).feed(self.child.logfile_read.getvalue())
                if PROMPT.search(display.display[display.cursor.y].rstrip()):
                    return
            except pexpect.EOF:
                break
        pytest.fail("no prompt came:\n" + "\n".join(self.screen()[-30:]))

    def type(self, *lines):
        for line in lines:
            self.ready()
            self.child.send(f"{line}\r")

    def seen(self, words):
        """Wait for the next prompt; the words stand on the screen by then, wherever a line was broken."""
        self.ready()
        assert "".join(words.split()) in "".join("".join(self.screen()).split()), "\n".join(self.screen()[-30:])

    def done(self):
        """Leave the finished plan, and give all that was shown."""
        self.seen("(another answer, not kept)")
        self.child.send("done\r")
        self.child.expect(pexpect.EOF)
        self.child.close()
        text = self.child.logfile_read.getvalue()
        assert "Traceback" not in text
        return text

    def screen(self):
        display = pyte.HistoryScreen(self.width, ROWS, history=4000)
        pyte.Stream(display).feed(self.child.logfile_read.getvalue())
        past = ["".join(line[x].data for x in range(self.width)) for line in display.history.top]
        return [line.rstrip() for line in [*past, *display.display]]


def kept(name, lines):
    """Hold the last check screen against the one kept."""
    text = "\n".join(lines)
    text = text[text.rindex("Check what you told us") :].split("> plan")[0]
    path = SCREENS / f"{name}.txt"
    shown = "\n".join(line.rstrip() for line in text.splitlines()).strip() + "\n"
    if os.environ.get("SCREENS") == "write":
        path.parent.mkdir(exist_ok=True)
        path.write_text(shown, encoding="utf-8")
    assert shown == path.read_text(encoding="utf-8")


def test_happy(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("", *TOLD, "plan")
    kitchen.done()
    screen = "\n".join(kitchen.screen())
    kept("happy", kitchen.screen())
    for part in ("GO.", "How to slice it", "For this weight", "Ways we worked out", "o middle"):
        assert part in screen


def test_all_unknown(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("")
    for _ in range(40):
        kitchen.ready()
        if "Type a number to change it" in "\n".join(kitchen.screen()):
            break
        kitchen.child.send("dk\r")
    kitchen.child.send("plan\r")
    kitchen.done()
    kept("all_unknown", kitchen.screen())
    assert any(line.startswith(("ASK.", "STOP.")) for line in kitchen.screen())


def test_back_and_change(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("", *TOLD[:8], "back", "20 mm", "change 1", "home", "1", "1 day", "pink", "dk", "1.2", "yes", "plan")
    kitchen.type("what if 8 60 mm")
    kitchen.seen("What moved")
    kitchen.child.send("so far\r")
    kitchen.done()
    kept("back_and_change", kitchen.screen())


def test_ambiguous_units(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("", *TOLD[:6], "2", "2", "900 g", "30", *TOLD[7:], "plan")
    kitchen.done()
    assert "unit is missing" in " ".join(kitchen.screen())
    kept("ambiguous_units", kitchen.screen())


def test_unknown_cut(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("", *TOLD[:5], "grumpf", "dk", *TOLD[6:13], "none", "1", "plan")
    kitchen.done()
    kept("unknown_cut", kitchen.screen())


def test_killed_and_taken_up(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("", *TOLD[:7])
    kitchen.seen("Question 8")
    kitchen.child.kill(signal.SIGKILL)
    kitchen.child.wait()
    kitchen.start()
    kitchen.type("yes", *TOLD[7:], "plan")
    kitchen.done()
    # Word for word as without the kill.
    kept("happy", kitchen.screen())


def test_no_colour_at_forty_columns(tmp_path):
    kitchen = Kitchen(tmp_path, width=40, NO_COLOR="1")
    kitchen.type("", *TOLD, "plan")
    text = kitchen.done()
    assert not re.search(r"\x1b\[[0-9;]*3[1-7]m", text[text.rindex("How to slice it") :])
    kept("forty_columns", kitchen.screen())


def test_told_in_plain_words_and_started_from_scratch(tmp_path):
    kitchen = Kitchen(tmp_path)
    kitchen.type("flank steak, 900 g, 30 mm thick, from the fridge, pink and tender")
    kitchen.seen("What we understood")
    assert "Thickness: 30 mm" in "\n".join(kitchen.screen())
    kitchen.child.send("start from scratch\r")
    kitchen.seen("We start anew")
    assert "Question 1." in "\n".join(kitchen.screen())
    kitchen.child.close(force=True)


@pytest.mark.parametrize("width", [40, 80, 200])
def test_piped(tmp_path, width):
    env = {**os.environ, "XDG_STATE_HOME": str(tmp_path), "COLUMNS": str(width)}
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "ask", "--code", "us"],
        input="\n".join(["", *TOLD, "plan", ""]).encode(),
        capture_output=True,
        check=False,
        timeout=120,
        env=env,
    )
    text = done.stdout.decode()
    assert done.returncode == 0, text[-800:]
    assert "\x1b" not in text
    assert "o middle" not in text
    assert max(len(line.rstrip()) for line in text.splitlines()) <= width
