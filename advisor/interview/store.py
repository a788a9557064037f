"""Keeps an interview as it goes, so that it can be taken up again after a kill."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from advisor.errors import InputError
from advisor.interview.session import Session

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from advisor.knowledge.rulebase import Rulebase

VERSION = 1


def default_path() -> Path:
    """Where interviews are kept: the user's own state folder."""
    from platformdirs import user_state_path

    return user_state_path("prep-advisor") / "session.json"


def save(session: Session, path: Path) -> None:
    """Keep all answers; the file is replaced whole or not at all.

    Raises
    ------
    InputError
        The folder cannot be written.
    """
    answers = [
        {"question": one.question, "text": one.text, "settled": _settled(one.read), "known": bool(one.text)}
        for one in session.answered
    ]
    data = {
        "version": VERSION,
        "rulebase": session.rulebase.digest,
        "kept": session.now.isoformat(),
        "answers": answers,
    }
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        half = path.with_suffix(".part")
        half.write_text(json.dumps(data, ensure_ascii=False, indent=1), encoding="utf-8")
        half.replace(path)
    except OSError as error:
        raise InputError(
            f"Your answers cannot be kept in {path}: {error.strerror or error}.",
            "They are held until you leave.",
        ) from error


def _settled(read: Any) -> str | None:
    """What a question back was settled with, so that the replay need not ask it again."""
    if read.ingredients:
        return "|".join(item.form for item in read.ingredients)
    return read.given.value if read.given is not None and isinstance(read.given.value, str) else None


def load(path: Path, rulebase: Rulebase, now: datetime) -> Session | None:
    """Take an interview up again; None when none was kept. Answers that can no longer be read are asked anew.

    Raises
    ------
    InputError
        The file is not one of ours, or is broken.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        answers = [(str(a["question"]), str(a["text"]), a.get("settled"), bool(a["known"])) for a in data["answers"]]
        if data["version"] != VERSION:
            raise ValueError(data["version"])  # noqa: TRY301 - treated like any other file that is not ours
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise InputError(f"The kept answers in {path} cannot be read.", "Answer 'no' to begin anew.") from error
    session = Session.start(rulebase, now)
    for question, text, settled, known in answers:
        session = _replayed(session, question, text, settled, known=known)
    return session


def _replayed(session: Session, question: str, text: str, settled: str | None, *, known: bool) -> Session:
    """Give one kept answer again; leave the session as it is when it no longer fits."""
    if question not in session.rulebase.questions:
        return session
    asked = session.question
    if asked is None or asked.id != question:
        return session
    if not known:
        return session.not_known()
    try:
        session = session.answer(text)
        if session.follow_up is None:
            return session
        values = [value for value, _ in session.follow_up.options]
        chosen = next((part for part in (settled or "").split("|") if part in values and part), None)
        return session.answer(chosen) if chosen else session.not_known()
    except InputError:
        return session.back() if session.follow_up is not None else session
