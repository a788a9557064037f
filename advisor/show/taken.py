"""What stands on the command line: names of files, or plans in words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from advisor.case.words.either import looks_like_words
from advisor.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

LONGEST_NAME: Final = 200  # characters of a file's name; what is longer is words
SHOWN: Final = 40  # characters of a plan in words that name it
TYPED: Final = "your words"


def _there(argument: str) -> bool:
    return len(argument) < LONGEST_NAME and Path(argument).exists()


def is_words(argument: str) -> bool:
    """Tell whether an argument is a plan in words, not a file that is there, nor the name of one."""
    there = argument == "-" or _there(argument)
    return not there and looks_like_words(argument)


def one_in_words(arguments: Sequence[str]) -> str:
    """Give the plan in words, when the arguments are one, with quotes round it or without; else nothing."""
    named = any(a == "-" or _there(a) or _is_name(a) for a in arguments)
    several = len(arguments) > 1 and all(" " in argument.strip() for argument in arguments)
    text = " ".join(arguments)
    return text if not named and not several and looks_like_words(text) else ""


def text_of(argument: str, read: Callable[[str], tuple[str, str]]) -> tuple[str, str]:
    """Text and name of a plan: of a file, or the words themselves, named by how they begin.

    Raises
    ------
    InputError
        It is the name of a file that cannot be read.
    """
    if not argument.strip():
        raise InputError("Nothing was said.", "Give a plan file, or a plan in your own words.")
    if argument != "-" and not is_words(argument) and not _is_name(argument) and not _there(argument):
        raise InputError(
            "There is no such file.", "Check the name. A plan in words is read in English, with spaces between them.",
            argument,
        )  # fmt: skip
    return (argument, short(argument)) if is_words(argument) else read(argument)


def short(words: str) -> str:
    """The beginning of a plan in words, to name it by.

    Examples
    --------
    >>> short("flank, 2 lb, inch and a half thick, blended papaya")
    'flank, 2 lb, inch and a half thick, ...'
    """
    line = " ".join(words.split())
    return line if len(line) <= SHOWN else f"{line[: SHOWN - 3].rpartition(' ')[0]} ..."


def _is_name(argument: str) -> bool:
    return Path(argument).suffix.lower() in (".yaml", ".yml", ".json", ".txt")
