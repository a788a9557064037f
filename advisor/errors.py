"""The errors a person can meet, and nothing else.

Every message says what was read, what is wrong with it, and what to write instead.
"""

from __future__ import annotations


class AdvisorError(Exception):
    """Base of every error that is shown to a person instead of a traceback."""


class InputError(AdvisorError, ValueError):
    """Something the cook wrote could not be used.

    Parameters
    ----------
    what : str
        What was read and what is wrong with it, in the cook's words.
    hint : str
        What to write instead, with an example.
    where : str, optional
        File and line, for example ``"plan.yaml, line 12"``; empty when typed at a prompt.
    """

    def __init__(self, what: str, hint: str, where: str = "") -> None:
        super().__init__(what, hint, where)
        self.what = what
        self.hint = hint
        self.where = where

    def __str__(self) -> str:
        """Give the whole message: place, what is wrong, what to write."""
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.what} {self.hint}".strip()


class AmbiguousUnitError(InputError):
    """A bare number that could be in two units; carries the guess so that it can be played back.

    Parameters
    ----------
    guess : str
        The reading we think was meant, for example ``"135 °F"``.
    """

    def __init__(self, what: str, hint: str, guess: str, where: str = "") -> None:
        super().__init__(what, hint, where)
        self.guess = guess


class RulebaseError(AdvisorError, ValueError):
    """A file of the rulebase cannot be used as it stands.

    Parameters
    ----------
    file : str
        Path of the file, relative to the rulebase.
    line : int
        Line number, counted from 1; 0 when the whole file is meant.
    what, hint : str
        What is wrong, and what to write instead.
    """

    def __init__(self, file: str, line: int, what: str, hint: str) -> None:
        super().__init__(file, line, what, hint)
        self.file = file
        self.line = line
        self.what = what
        self.hint = hint

    def __str__(self) -> str:
        """Give the whole message: file, line, what is wrong, what to write."""
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{place}: {self.what} {self.hint}".strip()


class EngineError(AdvisorError, RuntimeError):
    """Our own fault: the inference engine did something it must not."""
