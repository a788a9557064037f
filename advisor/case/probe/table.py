"""The table inside a logger's file: where it begins, what parts its cells, and what its columns are."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass

from advisor.errors import InputError

SEPARATORS = (",", ";", "\t", "|")
TIME_WORDS = (
    "timestamp",
    "datetime",
    "date time",
    "date/time",
    "date",
    "time",
    "when",
    "zeit",
    "datum",
    "heure",
    "fecha",
    "hora",
    "epoch",
    "unix",
    "elapsed",
    "hours",
    "minutes",
    "mins",
    "seconds",
    "secs",
)
# Of two columns for one moment, what the day is called, and what the hour.
DAY_WORDS = ("date", "datum", "fecha")
CLOCK_WORDS = ("time", "zeit", "heure", "hora")
# Seconds in the unit of a column that counts from the beginning of the record.
COUNTED = {"h": 3600.0, "hour": 3600.0, "hr": 3600.0, "m": 60.0, "min": 60.0, "minute": 60.0, "s": 1.0, "sec": 1.0,
           "second": 1.0}  # fmt: skip
HEAT_WORDS = ("temp", "temperature", "t", "value", "reading", "probe", "core", "channel", "ch", "sensor")
UNIT_WORDS = ("unit", "units")
OTHER_WORDS = (
    "serial",
    "device",
    "sn",
    "logger",
    "alarm",
    "status",
    "event",
    "battery",
    "humidity",
    "rh",
    "no",
    "nr",
    "id",
    "#",
    "index",
)
CELSIUS, FAHRENHEIT = "C", "F"
MOST_PREAMBLE = 200
# Words shorter than this count only when they stand alone.
SHORTEST_PART = 4


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column is what, from 0; ``heats`` with the unit its name gives, empty when it gives none.

    ``counted_s`` is the unit of a column that counts from the beginning [s]; None where it gives moments.
    """

    date: int | None
    time: int
    heats: tuple[tuple[int, str, str], ...]
    unit: int | None
    counted_s: float | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells with their line in the file, and what the columns are."""

    columns: Columns
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    preamble: tuple[str, ...]
    separator: str


def read_table(text: str, name: str) -> Table:
    """Find the header row and split every row after it.

    Parameters
    ----------
    text : str
        The file.
    name : str
        What to call it in a message.

    Raises
    ------
    InputError
        There is no row that names a time and a temperature.
    """
    lines = text.lstrip("\ufeff").splitlines()
    for index, line in enumerate(lines[:MOST_PREAMBLE]):
        for separator in SEPARATORS:
            cells = _cells(line, separator)
            columns = _columns(cells) if len(cells) > 1 else None
            if columns is not None:
                rows = tuple(
                    (number, _cells(row, separator))
                    for number, row in enumerate(lines[index + 1 :], start=index + 2)
                    if row.strip()
                )
                return Table(columns, rows, tuple(lines[:index]), separator)
    shown = next((line.strip() for line in lines if line.strip()), "")[:60]
    raise InputError(
        f"No row of {name} names a time and a temperature; it begins '{shown}'.",
        "Export the log as CSV with a header row, such as 'time,core °C'.",
        name,
    )


def _cells(line: str, separator: str) -> tuple[str, ...]:
    try:
        return tuple(cell.strip() for cell in next(csv.reader([line], delimiter=separator), []))
    except csv.Error:
        return tuple(cell.strip() for cell in line.split(separator))


def _columns(cells: tuple[str, ...]) -> Columns | None:
    """Tell what the cells of a header name; None when it names no time or no temperature."""
    names = [_plain(cell) for cell in cells]
    times = [i for i, word in enumerate(names) if _is(word, TIME_WORDS)]
    heats = tuple(
        (i, cells[i] or f"column {i + 1}", unit_of(cells[i]))
        for i, word in enumerate(names)
        if i not in times and not _is(word, UNIT_WORDS) and not _is(word, OTHER_WORDS) and _is_heat(cells[i], word)
    )
    if not times or not heats:
        return None
    unit = next((i for i, word in enumerate(names) if _is(word, UNIT_WORDS)), None)
    date = next((i for i in times if _has(names[i], DAY_WORDS) and not _has(names[i], CLOCK_WORDS)), None)
    clock = next((i for i in times if i != date and _has(names[i], CLOCK_WORDS)), times[0])
    return Columns(date if date is not None and date != clock else None, clock, heats, unit, _counted(names[clock]))


def _has(word: str, known: tuple[str, ...]) -> bool:
    return any(one in word for one in known)


def _counted(name: str) -> float | None:
    """Unit of a column such as "Elapsed (min)" or "time_s" [s]; None where its name says none."""
    last = re.split(r"[ _]", name)[-1]
    return COUNTED.get(last, COUNTED.get(last.removesuffix("s")))


def _is(word: str, known: tuple[str, ...]) -> bool:
    return any(
        word == one or word.startswith((f"{one} ", f"{one}_")) or (len(one) >= SHORTEST_PART and one in word)
        for one in known
    )


def _is_heat(cell: str, word: str) -> bool:
    return bool(unit_of(cell)) or _is(re.sub(r"\d+$", "", word).strip(), HEAT_WORDS)


def _plain(cell: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"[\[\](){}°º:.,]", " ", cell.lower())).strip()


def unit_of(cell: str) -> str:
    """Unit that a column's name or a unit cell gives: ``C``, ``F``, or empty."""
    found = re.search(
        r"(?:°|º|deg(?:rees)?\.?\s*|[(\[\s_/]|^)([cf])(?:elsius|ahrenheit)?(?:[)\]\s]|$)", cell.strip(), re.IGNORECASE
    )
    return found[1].upper() if found else ""
