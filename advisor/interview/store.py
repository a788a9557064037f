"""Keeps an interview as it goes, so that it can be taken up again after a kill."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass, replace
from datetime import datetime
from math import ceil
from typing import TYPE_CHECKING, Any

from advisor.case.model import Given
from advisor.course.waiting import minutes_between
from advisor.errors import InputError
from advisor.interview.reading import Read, read_answer
from advisor.interview.session import Answered, Session
from advisor.knowledge.cuts import NOT_TOLD

if TYPE_CHECKING:
    from pathlib import Path

    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import Rulebase

VERSION = 2
# How long the meat has been somewhere goes on while an interview is left.
AGES = frozenset({"piece fridge_time", "piece out_minutes"})


@dataclass(frozen=True, slots=True)
class Kept:
    """An interview taken up again, when it was left, and whether the rules have changed since."""

    session: Session
    stopped: datetime
    rules_changed: bool


@dataclass(frozen=True, slots=True)
class _Entry:
    """One answer as it stands in the file."""

    question: str
    text: str
    known: bool
    chosen: tuple[str, ...]
    moment: datetime | None


def default_path() -> Path:
    """Where interviews are kept: the user's own state folder."""
    from platformdirs import user_state_path

    return user_state_path("prep-advisor") / "session.json"


def save(session: Session, path: Path) -> None:
    """Keep all answers; the file is replaced whole or not at all.

    An answer that is being changed stands until another is given; a question back that is not settled is asked
    again.

    Raises
    ------
    InputError
        The folder cannot be written.
    """
    answered = session.with_changing()
    drafts = dict(session.drafts)
    if session.follow_up is not None:
        drafts[session.follow_up.question] = session.follow_up.text
    data = {
        "version": VERSION,
        "rulebase": (session.base or session.rulebase).digest,
        "at": session.now.isoformat(),
        "answers": [_written(one) for one in answered],
        "drafts": drafts,
        "told": {name: [given.value, given.as_written] for name, given in session.told.items()},
    }
    half = path.with_suffix(".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with half.open("w", encoding="utf-8") as file:
            # ASCII, so that no odd character of what was typed can stop the writing.
            json.dump(data, file, indent=1)
            file.flush()
            os.fsync(file.fileno())
        half.replace(path)
    except OSError as error:
        half.unlink(missing_ok=True)
        raise InputError(
            f"Your answers cannot be kept in {path}: {error.strerror or error}.", "They are held until you leave."
        ) from error


def _written(one: Answered) -> dict[str, Any]:
    # The day meant by "tomorrow" is kept as a date: the word alone would move with the calendar.
    moment = one.read.moment.isoformat() if one.read.moment is not None else None
    chosen = list(one.read.chosen)
    return {"question": one.question, "text": one.text, "known": bool(one.text), "chosen": chosen, "moment": moment}


def load(path: Path, rulebase: Rulebase, now: datetime) -> Kept | None:
    """Take an interview up again; None when none was kept. What can no longer be read is asked anew.

    Raises
    ------
    InputError
        The file is not one of ours, is broken, or is of an older kind.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        stopped = datetime.fromtimestamp(path.stat().st_mtime, tz=now.tzinfo)
        _check_version(data["version"], path)
        entries = [_entry(one) for one in _list(data["answers"])]
        drafts = {str(name): str(text) for name, text in data["drafts"].items()}
        digest = str(data["rulebase"])
        at = datetime.fromisoformat(data["at"]) if "at" in data else stopped
        told = {str(name): _told(one) for name, one in data.get("told", {}).items()}
    except FileNotFoundError:
        return None
    except InputError:
        raise
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise InputError(f"The answers kept in {path} cannot be read.", "The file is broken or is not ours.") from error
    order = list(rulebase.questions)
    known = {
        name: given
        for name, given in told.items()
        if name.partition(" ")[2] in rulebase.vocabulary.get(name.partition(" ")[0], {})
    }
    session = Session(rulebase, now, drafts={name: text for name, text in drafts.items() if name in order}, told=known)
    # In the order of the questions, for a cut is looked up under its animal.
    kept = [entry for entry in entries if entry.question in order]
    for entry in sorted(kept, key=lambda entry: order.index(entry.question)):
        session = _replayed(session, rulebase.questions[entry.question], entry, at)
    given = [entry.question for entry in kept]
    answered = tuple(sorted(session.answered, key=lambda one: given.index(one.question)))
    session = replace(session, answered=answered)
    return Kept(session, stopped, digest != rulebase.digest)


def _check_version(version: Any, path: Path) -> None:
    if version != VERSION:
        raise InputError(f"The answers kept in {path} are of an older kind.", "They cannot be taken up.")


def _list(data: Any) -> list[Any]:
    if not isinstance(data, list):
        raise TypeError(data)
    return data


def _entry(data: Any) -> _Entry:
    if not isinstance(data["text"], str):
        raise TypeError(data)
    moment = datetime.fromisoformat(data["moment"]) if data["moment"] is not None else None
    return _Entry(
        str(data["question"]), data["text"], bool(data["known"]), tuple(map(str, _list(data["chosen"]))), moment
    )


def _told(data: Any) -> Given:
    value, written = data
    if not isinstance(value, float | int | str) or isinstance(value, bool):
        raise TypeError(data)
    return Given(float(value) if isinstance(value, int) else value, "answered", str(written))


def _aged(session: Session, question: Question, entry: _Entry, at: datetime) -> Session:
    """An answer that says how long the meat has been somewhere, with the time that has passed since it was given.

    The words are read as of then: "yesterday" is the same day, however late it is taken up again.
    """
    passed = minutes_between(at, session.now)
    try:
        told = read_answer(question, entry.text, session.case(), session.rulebase, at).given
        later = told is not None and told.value is not None and passed >= 1
        return session.answer_to(question, f"{ceil(told.number + passed)} min" if told and later else entry.text)
    except InputError:
        return session.with_draft(question.id, entry.text)


def _replayed(session: Session, question: Question, entry: _Entry, at: datetime) -> Session:
    """Give one kept answer again; only offer its text when it no longer fits."""
    if not entry.known:
        return session.not_known_to(question)
    if question.fact in AGES:
        return _aged(session, question, entry, at)
    offered = session.with_draft(question.id, entry.text)
    if entry.moment is not None:
        same_clock = (entry.moment.tzinfo is None) == (session.now.tzinfo is None)
        if same_clock and entry.moment > session.now:
            return session.taken(Answered(question.id, entry.text, Read(moment=entry.moment)))
        return offered
    try:
        done = session.answer_to(question, entry.text)
    except InputError:
        return offered
    for value in entry.chosen:
        if done.follow_up is None:
            return offered
        read = done.follow_up.read
        if value not in ("", *(option for option, _ in read.options), *([NOT_TOLD] if read.sure else [])):
            return offered
        done = done.settle(value)
    return done if done.follow_up is None else offered


def put_aside(path: Path) -> Path:
    """Move a file that cannot be used out of the way, and say where it is now.

    Raises
    ------
    InputError
        It cannot be moved.
    """
    aside = path.with_suffix(".old")
    try:
        path.replace(aside)
    except OSError as error:
        raise InputError(f"{path} cannot be moved: {error.strerror or error}.", "Move it by hand.") from error
    return aside


def clear(path: Path) -> None:
    """Forget a kept interview, once its plan is made; a disk that does not let us changes nothing."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return
