"""What learners have answered, in one SQLite file of the user's own data folder.

Every answer is one transaction: it is kept whole, with the day its rule is next due, or not at all. Writers wait for
each other; a file that is broken is never written over.
"""

from __future__ import annotations

import sqlite3
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from importlib import resources
from typing import TYPE_CHECKING, Any, Final, Self

from advisor.errors import InputError
from advisor.quiz.spacing import reviewed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from advisor.quiz.items import Item

WAIT_MS: Final = 10_000
LONGEST_NAME: Final = 60


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as it is kept; ``misconception`` is empty when it was right."""

    at: datetime
    sitting: int
    item: str
    kind: str
    rule: str
    state: str
    is_right: bool
    sure: int
    misconception: str
    offered: str
    recalled: str = ""


@dataclass(frozen=True, slots=True)
class Learner:
    """Someone who learns here."""

    id: int
    name: str
    since: datetime


def default_path() -> Path:
    """Where progress is kept: the user's own data folder."""
    from platformdirs import user_data_path

    return user_data_path("prep-advisor") / "quiz.sqlite"


def migrations() -> list[str]:
    """Numbered changes of the file's shape, in order."""
    folder = resources.files("advisor.quiz").joinpath("migrations")
    names = sorted(file.name for file in folder.iterdir() if file.name.endswith(".sql"))
    return [folder.joinpath(name).read_text(encoding="utf-8") for name in names]


class Store:
    """The file of all learners of this kitchen.

    Parameters
    ----------
    path : Path
        The file; it is made when it is not there.

    Raises
    ------
    InputError
        It cannot be opened, is broken, or was made by a newer version.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with self._told():
            path.parent.mkdir(parents=True, exist_ok=True)
            self.db = sqlite3.connect(path, timeout=WAIT_MS / 1000.0, isolation_level=None)
            try:
                self._open()
            except BaseException:
                self.db.close()
                raise

    def _open(self) -> None:
        self.db.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
        self.db.execute("PRAGMA foreign_keys = ON")
        self.db.execute("PRAGMA journal_mode = WAL")
        # Each answer is on the disk before the next question is shown.
        self.db.execute("PRAGMA synchronous = FULL")
        check = self.db.execute("PRAGMA quick_check(1)").fetchone()
        if check is None or check[0] != "ok":
            raise sqlite3.DatabaseError("the file is damaged")
        self._migrate()

    def _migrate(self) -> None:
        steps = migrations()
        with self.writing():
            version = int(self.db.execute("PRAGMA user_version").fetchone()[0])
            if version > len(steps):
                what = f"The progress kept in {self.path} is of a newer version of this program."
                raise InputError(what, "Use that version, or name another file with --file.")
            for number, step in enumerate(steps[version:], start=version + 1):
                # One statement at a time: a script of many would end the transaction.
                for statement in step.split(";\n"):
                    if statement.strip():
                        self.db.execute(statement)
                self.db.execute(f"PRAGMA user_version = {number}")

    def close(self) -> None:
        """Close the file."""
        self.db.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Write all of it or nothing; the place is taken at once, so that two writers never mix.

        Raises
        ------
        InputError
            The disk is full, the file is in use or broken.
        """
        with self._told():
            self.db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self.db.execute("COMMIT")
            except BaseException:
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")
                raise

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.OperationalError as error:
            said = str(error)
            if "locked" in said or "busy" in said:
                hint = "Wait until the other sitting has written its answer, then try again."
            elif "full" in said or "disk" in said:
                hint = "Make room on the disk. What was kept before is still there."
            else:
                hint = "Check that the folder can be written, or name another file with --file."
            raise InputError(f"Progress cannot be kept in {self.path}: {said}.", hint) from error
        except sqlite3.IntegrityError as error:
            raise ValueError(str(error)) from error
        except sqlite3.DatabaseError as error:
            hint = "It is left as it is. Move it away, and bring back an export with 'advisor quiz import'."
            raise InputError(f"The progress kept in {self.path} cannot be read: {error}.", hint) from error
        except OSError as error:
            hint = "Name another file with --file."
            raise InputError(f"Progress cannot be kept in {self.path}: {error.strerror or error}.", hint) from error

    # --- learners

    def learners(self) -> list[Learner]:
        """All learners, by name."""
        with self._told():
            rows = self.db.execute("SELECT id, name, since FROM learners ORDER BY name COLLATE NOCASE").fetchall()
        return [Learner(row[0], row[1], _moment(row[2])) for row in rows]

    def learner(self, name: str, now: datetime | None = None) -> Learner:
        """Find a learner by name; make one when a moment is given and there is none.

        Raises
        ------
        InputError
            There is none, or the name is empty, too long or not text of one line.
        """
        plain = " ".join(name.split())
        if not plain or len(plain) > LONGEST_NAME or not plain.isprintable():
            raise InputError(
                f"'{name[:LONGEST_NAME]}' cannot be a learner's name.",
                f"Write a name of one line and at most {LONGEST_NAME} letters.",
            )
        if now is not None:
            with self.writing():
                self.db.execute(
                    "INSERT INTO learners (name, since) VALUES (?, ?) ON CONFLICT (name) DO NOTHING",
                    (plain, _written(now)),
                )
        found = next((one for one in self.learners() if one.name.casefold() == plain.casefold()), None)
        if found is None:
            known = ", ".join(one.name for one in self.learners()) or "nobody yet"
            raise InputError(f"There is no learner '{plain}'.", f"Known here: {known}.")
        return found

    def forget(self, name: str) -> None:
        """Delete a learner and all that was kept of them.

        Raises
        ------
        InputError
            There is no such learner.
        """
        learner = self.learner(name)
        with self.writing():
            self.db.execute("DELETE FROM learners WHERE id = ?", (learner.id,))
        with self._told():
            # Nothing of a learner who left stays in the file's free pages or its journal.
            self.db.execute("VACUUM")
            self.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    # --- sittings and answers

    def begin(self, learner: Learner, now: datetime, seed: str, about: str) -> int:
        """Begin a sitting and give its number."""
        with self.writing():
            row = self.db.execute(
                "INSERT INTO sittings (learner, began, seed, about) VALUES (?, ?, ?, ?) RETURNING id",
                (learner.id, _written(now), seed, about),
            ).fetchone()
            return int(row[0])

    def end(self, sitting: int, now: datetime) -> None:
        """End a sitting."""
        with self.writing():
            self.db.execute("UPDATE sittings SET ended = ? WHERE id = ?", (_written(now), sitting))

    def keep(self, learner: Learner, answer: Answer) -> datetime:
        """Keep an answer and the day its rule is next due, both or neither.

        Returns
        -------
        datetime
            When the rule is due.

        Raises
        ------
        InputError
            It cannot be kept; what was kept before is untouched.
        """
        with self.writing():
            row = self.db.execute(
                "SELECT memory FROM cards WHERE learner = ? AND rule = ?", (learner.id, answer.rule)
            ).fetchone()
            memory, due = reviewed(row[0] if row else "", right=answer.is_right, sure=answer.sure, at=answer.at)
            self._insert(learner, answer)
            self.db.execute(
                "INSERT INTO cards (learner, rule, due, memory) VALUES (?, ?, ?, ?) "
                "ON CONFLICT (learner, rule) DO UPDATE SET due = excluded.due, memory = excluded.memory",
                (learner.id, answer.rule, _written(due), memory),
            )
        return due

    def _insert(self, learner: Learner, answer: Answer) -> None:
        row = {**asdict(answer), "at": _written(answer.at), "is_right": int(answer.is_right), "learner": learner.id}
        names = ", ".join(row)
        marks = ", ".join(f":{name}" for name in row)
        self.db.execute(f"INSERT INTO answers ({names}) VALUES ({marks})", row)  # noqa: S608 - names of our own fields

    def answers(self, learner: Learner | None = None) -> list[tuple[str, Answer]]:
        """Answers with the name of who gave them, oldest first; of all learners when none is named."""
        columns = "n.name, a.at, a.sitting, a.item, a.kind, a.rule, a.state, a.is_right, a.sure, a.misconception"
        wanted = "WHERE a.learner = ?" if learner is not None else ""
        query = (
            f"SELECT {columns}, a.offered, a.recalled FROM answers a "  # noqa: S608 - nothing of a person's is in it
            f"JOIN learners n ON n.id = a.learner {wanted} ORDER BY a.at, a.id"
        )
        with self._told():
            rows = self.db.execute(query, (learner.id,) if learner is not None else ()).fetchall()
        return [(row[0], _answer(row[1:])) for row in rows]

    def due(self, learner: Learner) -> dict[str, datetime]:
        """When each rule that was asked is due, the earliest first."""
        with self._told():
            rows = self.db.execute(
                "SELECT rule, due FROM cards WHERE learner = ? ORDER BY due, rule", (learner.id,)
            ).fetchall()
        return {rule: _moment(due) for rule, due in rows}

    # --- taking a learner elsewhere

    def exported(self, name: str) -> dict[str, Any]:
        """Everything kept of a learner, as plain data.

        Raises
        ------
        InputError
            There is no such learner.
        """
        learner = self.learner(name)
        with self._told():
            sittings = self.db.execute(
                "SELECT id, began, ended, seed, about FROM sittings WHERE learner = ? ORDER BY id", (learner.id,)
            ).fetchall()
            cards = self.db.execute(
                "SELECT rule, due, memory FROM cards WHERE learner = ? ORDER BY rule", (learner.id,)
            ).fetchall()
        answers = [{**asdict(answer), "at": _written(answer.at)} for _, answer in self.answers(learner)]
        return {
            "kind": "prep-advisor learner",
            "version": len(migrations()),
            "name": learner.name,
            "since": _written(learner.since),
            "sittings": [dict(zip(("id", "began", "ended", "seed", "about"), row, strict=True)) for row in sittings],
            "answers": answers,
            "cards": [dict(zip(("rule", "due", "memory"), row, strict=True)) for row in cards],
        }

    def imported(self, data: Any, where: str) -> Learner:
        """Take in an exported learner, all or nothing.

        Raises
        ------
        InputError
            It is no such export, or a learner of that name is here already.
        """
        try:
            self._check_export(data)
            name = " ".join(str(data["name"]).split())
            here = any(one.name.casefold() == name.casefold() for one in self.learners())
            if not here:
                self._take_in(name, data)
        except InputError:
            raise
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise InputError("This is no learner that was exported here.", "Name another file.", where) from error
        if here:
            raise InputError(f"A learner '{name}' is here already.", "Delete the one that is here first.", where)
        return self.learner(name)

    @staticmethod
    def _check_export(data: Any) -> None:
        if data["kind"] != "prep-advisor learner" or int(data["version"]) > len(migrations()):
            raise ValueError(data["kind"])

    def _take_in(self, name: str, data: Any) -> None:
        with self.writing():
            learner = Learner(
                int(
                    self.db.execute(
                        "INSERT INTO learners (name, since) VALUES (?, ?) RETURNING id",
                        (name, _written(_moment(data["since"]))),
                    ).fetchone()[0]
                ),
                name,
                _moment(data["since"]),
            )
            numbers: dict[int, int] = {}
            for one in data["sittings"]:
                ended = _written(_moment(one["ended"])) if one["ended"] is not None else None
                row = (learner.id, _written(_moment(one["began"])), ended, str(one["seed"]), str(one["about"]))
                query = "INSERT INTO sittings (learner, began, ended, seed, about) VALUES (?, ?, ?, ?, ?) RETURNING id"
                numbers[int(one["id"])] = int(self.db.execute(query, row).fetchone()[0])
            for one in data["answers"]:
                self._insert(learner, _read(one, numbers))
            for one in data["cards"]:
                # A card that cannot be read now must not be found out at the next answer.
                reviewed(str(one["memory"]), right=True, sure=1, at=_moment(one["due"]))
                self.db.execute(
                    "INSERT INTO cards (learner, rule, due, memory) VALUES (?, ?, ?, ?)",
                    (learner.id, str(one["rule"]), _written(_moment(one["due"])), str(one["memory"])),
                )


def answer_to(item: Item, place: int, sure: int, at: datetime, sitting: int, recalled: str = "") -> Answer:
    """Make the record of an answer: which option, how sure, and what was offered beside it."""
    chosen = item.options[place]
    offered = " ".join(sorted(option.misconception for option in item.options if option.misconception))
    return Answer(
        at,
        sitting,
        item.id,
        item.kind,
        item.rule_id,
        item.state,
        not chosen.misconception,
        sure,
        chosen.misconception,
        offered,
        recalled,
    )


def _read(one: Any, numbers: dict[int, int]) -> Answer:
    """Read one answer of an export, refusing what is not of its kind.

    Raises
    ------
    TypeError
        A word stands where a truth value belongs.
    """
    if not isinstance(one["is_right"], bool):
        raise TypeError(one["is_right"])
    words = {name: str(one[name]) for name in ("item", "kind", "rule", "state", "misconception", "offered", "recalled")}
    return Answer(
        at=_moment(one["at"]),
        sitting=numbers[int(one["sitting"])],
        is_right=one["is_right"],
        sure=int(one["sure"]),
        **words,
    )


def _written(moment: datetime) -> str:
    if moment.tzinfo is None:
        raise ValueError("a kept moment needs a zone")
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def _moment(text: Any) -> datetime:
    moment = datetime.fromisoformat(str(text))
    if moment.tzinfo is None:
        raise ValueError("a kept moment needs a zone")
    return moment


def _answer(row: tuple[Any, ...]) -> Answer:
    at, sitting, item, kind, rule, state, is_right, sure, misconception, offered, recalled = row
    return Answer(_moment(at), sitting, item, kind, rule, state, bool(is_right), sure, misconception, offered, recalled)
