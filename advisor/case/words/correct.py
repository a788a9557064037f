"""Correcting what was read, line by line: a state machine without a terminal in it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from advisor.case.words.playback import Line, lines_of
from advisor.case.words.reader import read_scopes, read_words
from advisor.errors import InputError
from advisor.units import read_moment
from advisor.units.text import shown

if TYPE_CHECKING:
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.rulebase import Rulebase

DONE: Final = frozenset({"", "ok", "yes", "go", "check", "done"})
QUIT: Final = frozenset({"quit", "exit", "q"})
_NUMBERED: Final = re.compile(r"(?:change\s+)?(\d{1,3})(?:[.):]?\s+(.+))?", re.IGNORECASE | re.DOTALL)
_ADD: Final = re.compile(r"add\s+(.+)", re.IGNORECASE | re.DOTALL)
_DROP: Final = re.compile(r"drop\s+(\d{1,3})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Correcting:
    """A plan in words while the cook looks at what was read of it.

    Attributes
    ----------
    text : str
        The words as they stand, with what was written in the place of words that were not understood.
    case : Case
        What was read, with the corrections.
    changing : int
        Number of the line whose new words are awaited; 0 when none is.
    done, left : bool
        The cook is content; the cook has gone.
    """

    text: str
    case: Case
    rulebase: Rulebase
    now: datetime
    edits: tuple[tuple[tuple[str | int, ...], str], ...] = ()
    changing: int = 0
    done: bool = False
    left: bool = False

    @classmethod
    def start(cls, text: str, rulebase: Rulebase, now: datetime) -> Correcting:
        """Read the words."""
        return cls(text, read_words(text, rulebase, now), rulebase, now)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The playback, whose lines are numbered from 1."""
        return lines_of(self.case, self.rulebase)

    def take(self, typed: str) -> Correcting:
        """Act on what was typed.

        Raises
        ------
        InputError
            It is no line of the list, or cannot be read; nothing has changed.
        """
        word = typed.strip()
        dropped, added = _DROP.fullmatch(word), _ADD.fullmatch(word)
        if self.changing and not (dropped or added):
            if not word or word.casefold() in QUIT:
                return replace(self, changing=0)
            return replace(self.changed(self.changing, word), changing=0)
        if word.casefold() in DONE:
            return replace(self, done=True)
        if word.casefold() in QUIT:
            return replace(self, left=True)
        if dropped is not None:
            return replace(self.dropped(int(dropped.group(1))), changing=0)
        if added is not None:
            return replace(self.added(added.group(1).strip()), changing=0)
        numbered = _NUMBERED.fullmatch(word)
        if numbered is None:
            raise InputError(
                f"{shown(word)} begins with no number of the list.",
                "Type a number and the new words, such as '2 1 kg'; 'drop 2'; 'add 1 in thick'; or Enter to check it.",
            )
        number = int(numbered.group(1))
        self.line(number)
        if numbered.group(2) is None:
            return replace(self, changing=number)
        return self.changed(number, numbered.group(2).strip())

    def line(self, number: int) -> Line:
        """Line of the playback.

        Raises
        ------
        InputError
            There is none of that number.
        """
        lines = self.lines
        if not 1 <= number <= len(lines):
            raise InputError(f"There is no line {number}.", f"Type a number from 1 to {len(lines)}.")
        return lines[number - 1]

    def changed(self, number: int, words: str) -> Correcting:
        """Put new words in the place of a line."""
        path = self.line(number).path
        if path[0] == "lost":
            lost = self.case.not_understood[int(path[1])]
            text = _swapped(self.text, lost, words)
            case = read_words(text, self.rulebase, self.now)
            for old, again in self.edits:
                case = _edited(case, old, again, self)
            return replace(self, text=text, case=case)
        return replace(self, case=_edited(self.case, path, words, self), edits=(*self.edits, (path, words)))

    def added(self, words: str) -> Correcting:
        """Say more, as if it had stood at the end of the words.

        Raises
        ------
        InputError
            It cannot be read.
        """
        _must_be_clear(read_words(words, self.rulebase, self.now), words, meat=False)
        text = f"{self.text.rstrip()}\n{words}"
        case = read_words(text, self.rulebase, self.now)
        for old, again in self.edits:
            case = _edited(case, old, again, self)
        return replace(self, text=text, case=case)

    def dropped(self, number: int) -> Correcting:
        """Take a line out because the cook says so."""
        path = self.line(number).path
        case = self.case
        if path[0] == "lost":
            return self.changed(number, " ")
        if path[0] == "step":
            return replace(self, case=replace(case, steps=tuple(s for i, s in enumerate(case.steps) if i != path[1])))
        if path[0] == "serve":
            return replace(self, case=replace(case, serve=None))
        given = case.piece if path[0] == "piece" else case.guests
        left = {name: entry for name, entry in given.items() if name != path[1]}
        changed = replace(case, piece=left) if path[0] == "piece" else replace(case, guests=left)
        return replace(self, case=changed)


def _swapped(text: str, lost: str, words: str) -> str:
    """The text with the words that were not understood exchanged, whatever space stood between them."""
    found = re.search(r"\s+".join(map(re.escape, lost.split())), text)
    if found is None:
        raise InputError(f"{shown(lost)} is no longer there.", "Type the whole plan again.")
    return f"{text[: found.start()]} {words} {text[found.end() :]}"


def _edited(case: Case, path: tuple[str | int, ...], words: str, state: Correcting) -> Case:
    """The case with one line read anew.

    Raises
    ------
    InputError
        The new words cannot be read as that.
    """
    if path[0] == "serve":
        return replace(case, serve=read_moment(words, state.now))
    if path[0] == "step":
        fresh = read_words(words, state.rulebase, state.now)
        _must_be_clear(fresh, words, meat=False)
        if not fresh.steps:
            raise InputError(f"{shown(words)} names no step.", "Write what is done, such as 'bath 57 C 2 h'.")
        index = int(path[1])
        return replace(case, steps=(*case.steps[:index], *fresh.steps, *case.steps[index + 1 :]))
    subject, fact = str(path[0]), str(path[1])
    fresh, _ = read_scopes(f"{fact.replace('_', ' ')}: {words}", state.rulebase, state.now)
    _must_be_clear(fresh, words, meat=fact == "cut")
    given = fresh.given(subject, fact)
    if given is None:
        means = state.rulebase.vocabulary[subject][fact].means
        raise InputError(f"{shown(words)} does not say {means}.", "Write it with its unit, if it has one.")
    # "beef flank" names the animal too; anything else said with it would be lost here.
    others = {*fresh.piece, *fresh.guests} - {fact, *(("animal",) if fact == "cut" else ())}
    if others or fresh.steps or fresh.serve is not None:
        raise InputError(
            f"{shown(words)} says more than {fact.replace('_', ' ')}.", "Say that alone here; 'add' takes the rest."
        )
    old = case.given(subject, fact)
    asked = f"'{old.as_written}'" if old is not None and old.as_written else ""
    # What was asked about the old words is answered by the new ones.
    left = tuple(point for point in case.unsettled if not (asked and point.startswith(asked)))
    return replace(case, unsettled=left).with_value(subject, fact, replace(given, as_written=words))


def _must_be_clear(fresh: Case, words: str, *, meat: bool) -> None:
    open_points = [point for point in fresh.open_points if meat or not point.startswith("what meat is it")]
    if open_points or fresh.not_understood:
        why = open_points[0] if open_points else f"'{fresh.not_understood[0]}' is not understood"
        why = why.removeprefix(f"'{words}': ").rstrip(".?! ")
        raise InputError(f"{shown(words)}: {why}.", "Write it in other words; Enter alone leaves it as it is.")
