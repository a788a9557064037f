"""Lines from the cook: edited with completion at a terminal, read plainly from a pipe."""

from __future__ import annotations

import io
import signal
import sys
import threading
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager

# (prompt, words to complete, text to begin with) to the line that was typed
Reader = Callable[[str, list[str], str], str]


class Quit(Exception):  # noqa: N818 - leaving is no error
    """The cook has left; the answers are kept."""


def plain_line(line: str) -> str:
    r"""Take off the space around a line, and what no cook types: control characters and halves of characters.

    Examples
    --------
    >>> plain_line(" 2 lb\x1b ")
    '2 lb'
    """
    return "".join(c for c in line if c == "\t" or unicodedata.category(c) not in ("Cc", "Cs")).strip()


def terminal_reader() -> Reader:
    """Read lines with completion and editing at a terminal, plainly from a pipe.

    End of input counts as leaving.
    """
    for stream in (sys.stdin, sys.stdout):
        if isinstance(stream, io.TextIOWrapper):
            # What cannot be read or shown becomes a mark: an odd byte must not end an interview.
            stream.reconfigure(errors="replace")
    return _edited() if sys.stdin is not None and sys.stdin.isatty() else _piped()


def _piped() -> Reader:
    def read(prompt: str, _: list[str], default: str) -> str:
        try:
            line = input(f"[{default}] {prompt}" if default else prompt)
        except (EOFError, KeyboardInterrupt, RuntimeError):  # RuntimeError: there is no standard input at all
            raise Quit from None
        # A pipe shows no typing; the line is written so that the page can be read afterwards.
        sys.stdout.write(plain_line(line) + "\n")
        return line if line.strip() else default

    return read


def _edited() -> Reader:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.application import get_app
    from prompt_toolkit.completion import WordCompleter

    prompts: PromptSession[str] = PromptSession()
    pressed = threading.Event()

    def leave_if_pressed() -> None:
        if pressed.is_set():
            get_app().exit(exception=KeyboardInterrupt())

    def read(prompt: str, words: list[str], default: str) -> str:
        completer = WordCompleter(words, ignore_case=True, sentence=True, match_middle=True)
        # The earlier answer is shown, not put under the cursor: what is typed next must not be added to it.
        shown = f"(Enter keeps: {default}) {prompt}" if default else prompt
        with _noting_interrupts(pressed):
            try:
                line = prompts.prompt(shown, completer=completer, complete_while_typing=True, pre_run=leave_if_pressed)
                return line if line.strip() else default
            except (EOFError, KeyboardInterrupt):
                raise Quit from None

    return read


@contextmanager
def _noting_interrupts(pressed: threading.Event) -> Iterator[None]:
    """Note Ctrl-C instead of raising it.

    Pressed while the line editor starts or stops, it would break the editor's event loop halfway, with a traceback.
    Noted, it ends the line now asked for, or the next one, and a line already typed is not lost.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, lambda *_: pressed.set())
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
