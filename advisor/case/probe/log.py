"""A probe's record: moments and temperatures, with all that was lost on the way counted and told."""

from __future__ import annotations

import statistics
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING, TypeVar

from advisor.case.probe.stamps import Order, choose_order, over_midnight, read_counted, read_stamp, to_seconds
from advisor.case.probe.table import CELSIUS, FAHRENHEIT, read_table, unit_of
from advisor.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from zoneinfo import ZoneInfo

    import numpy as np
    import numpy.typing as npt

    from advisor.case.probe.stamps import Stamp
    from advisor.case.probe.table import Table

MOST_CHARACTERS = 10_000_000
MISSING = frozenset(
    {
        "",
        "-",
        "--",
        "---",
        "nan",
        "null",
        "none",
        "n/a",
        "na",
        "open",
        "err",
        "error",
        "fault",
        "short",
        "-999",
        "-999.9",
        "9999",
    }
)
FREEZING_F, F_PER_C = 32.0, 1.8
Read = TypeVar("Read", float, "npt.NDArray[np.float64]")
COLDEST_C, HOTTEST_C = -90.0, 500.0
FEWEST = 2
NO_DAY_BEFORE_S = 31_536_000.0
HOUR_S = 3600.0
# Columns so named are not of a probe in the meat.
ELSEWHERE = ("air", "ambient", "room", "oven", "bath", "water", "chamber", "fridge", "outside", "surface")


def to_celsius(value: Read) -> Read:
    """Give a reading in °F, or an array of them, in °C."""
    return (value - FREEZING_F) / F_PER_C


def to_fahrenheit(value: Read) -> Read:
    """Give a reading in °C, or an array of them, in °F."""
    return value * F_PER_C + FREEZING_F


@dataclass(frozen=True, slots=True)
class Lost:
    """A row, or a reading of a row, that could not be used."""

    line: int
    why: str


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch without readings, longer than the record's own rhythm warrants [s since the first reading]."""

    begins_s: float
    ends_s: float


@dataclass(frozen=True, slots=True)
class Channel:
    """Readings of one probe: moments [s since the record's first reading] and temperatures [°C]."""

    name: str
    times_s: tuple[float, ...]
    temps_c: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ProbeLog:
    """A record, as it was read.

    Attributes
    ----------
    name : str
        File.
    begins : float
        Moment of the first reading [s since 1970].
    channels : tuple of Channel
        Every probe with at least two readings.
    rows : int
        Rows after the header.
    lost : tuple of Lost
        Every row or reading not used, with why.
    unit : str
        ``C`` or ``F``, as read.
    median_s : float
        Usual time between readings [s].
    notes : tuple of str
        What was taken for granted while reading: zone, order of day and month, repeated hours.
    """

    name: str
    begins: float
    channels: tuple[Channel, ...]
    rows: int
    lost: tuple[Lost, ...]
    unit: str
    median_s: float
    notes: tuple[str, ...] = field(default=())

    @property
    def dated(self) -> bool:
        """Whether it names its days; one that does not counts from nothing."""
        return self.begins >= NO_DAY_BEFORE_S

    def gaps(self, channel: Channel, times: float, least_s: float) -> tuple[Gap, ...]:
        """Stretches without readings longer than ``times`` the usual one and than ``least_s`` [s]."""
        most = max(times * self.median_s, least_s)
        pairs = pairwise(channel.times_s)
        return tuple(Gap(a, b) for a, b in pairs if b - a > most)

    def only(self, names: Sequence[str]) -> ProbeLog:
        """Give the record with the channels of these names alone; without names, with those of the meat.

        Raises
        ------
        InputError
            No channel has such a name.
        """
        wanted = [name.lower() for name in names]
        if not wanted:
            elsewhere = [c for c in self.channels if any(word in c.name.lower() for word in ELSEWHERE)]
            kept = tuple(c for c in self.channels if c not in elsewhere)
            if not kept or not elsewhere:
                return self
            left = ", ".join(channel.name for channel in elsewhere)
            return replace(self, channels=kept, notes=(*self.notes, f"left out, for it is not of the meat: {left}"))
        kept = tuple(c for c in self.channels if any(word in c.name.lower() for word in wanted))
        if not kept:
            have = ", ".join(channel.name for channel in self.channels)
            raise InputError(f"The record has no channel '{', '.join(names)}'.", f"It has: {have}.", self.name)
        return replace(self, channels=kept)


@dataclass(slots=True)
class _Read:
    """Readings while the rows are gone through."""

    stamps: list[Stamp]
    heats: list[tuple[float | None, ...]]
    lines: list[int]
    lost: list[Lost]
    undated: bool = False


def read_log(text: str, name: str, zone: ZoneInfo | None, *, unit: str = "", order: Order | None = None) -> ProbeLog:
    """Read a logger's file.

    Parameters
    ----------
    text : str
        Its content.
    name : str
        What to call it in a message.
    zone : ZoneInfo or None
        Zone of a wall clock that says none; None for this machine's own.
    unit : str, optional
        ``C`` or ``F``, when the file does not say.
    order : {"day first", "month first"}, optional
        When the dates can be read both ways.

    Raises
    ------
    InputError
        It is too long, has no table, no unit, fewer than two readings, or dates that can be read two ways.
    """
    if len(text) > MOST_CHARACTERS:
        raise InputError(
            f"The file is longer than {MOST_CHARACTERS // 1_000_000} million characters.",
            "Export one day of one logger at a time.",
            name,
        )
    table = read_table(text, name)
    read = _rows(table)
    if len(read.stamps) < FEWEST:
        raise InputError(
            f"Rows after the header: {len(table.rows)}; of them can be used: {len(read.stamps)}."
            + "".join(f" Line {lost.line}: {lost.why}." for lost in read.lost[:1]),
            "A record needs at least two readings with a time and a temperature.",
            name,
        )
    way, settled = choose_order(read.stamps, order, name)
    unit_read = unit or _unit(table, name)
    return _assembled(table, read, name, zone, unit_read, way, settled=settled)


def _rows(table: Table) -> _Read:
    columns = table.columns
    decimal_comma = table.separator != ","
    read = _Read([], [], [], [])
    last = max([columns.time, columns.date or 0, *(index for index, _, _ in columns.heats)])
    for line, cells in table.rows:
        if len(cells) <= max(columns.time, columns.date or 0):
            read.lost.append(Lost(line, "too few cells"))
            continue
        date = cells[columns.date] if columns.date is not None else ""
        stamp = read_stamp(date, cells[columns.time])
        counted = read_counted(cells[columns.time], columns.counted_s) if stamp is None and not date else None
        if counted is not None and (not read.stamps or read.undated):
            read.undated, stamp = True, counted
        elif stamp is not None and read.undated:
            stamp = None
        if stamp is None:
            read.lost.append(Lost(line, f"'{_plain(f'{date} {cells[columns.time]}'.strip()[:40])}' is no time"))
            continue
        padded = (*cells, *[""] * (last + 1 - len(cells)))
        found: list[float | None] = []
        for index, title, _ in columns.heats:
            value = _number(padded[index], decimal_comma=decimal_comma)
            if value is None:
                read.lost.append(Lost(line, f"{title}: '{_plain(padded[index][:20])}' is no reading"))
            found.append(value)
        if all(value is None for value in found):
            continue
        read.stamps.append(stamp)
        read.heats.append(tuple(found))
        read.lines.append(line)
    return read


def _plain(cell: str) -> str:
    """A cell as it may be shown: a screen obeys control characters."""
    return "".join(character if character.isprintable() else "?" for character in cell)


def _number(cell: str, *, decimal_comma: bool) -> float | None:
    text = cell.strip().rstrip("°CFcf ").strip()
    if text.lower() in MISSING:
        return None
    if decimal_comma and "," in text and "." not in text:
        text = text.replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if value == value and abs(value) != float("inf") else None  # noqa: PLR0124 - not a number


def _unit(table: Table, name: str) -> str:
    units = {unit for _, _, unit in table.columns.heats if unit}
    if table.columns.unit is not None:
        column = table.columns.unit
        units |= {unit_of(cells[column]) for _, cells in table.rows if len(cells) > column} - {""}
    if not units:
        units = {unit for line in table.preamble for unit in [unit_of(line)] if unit and "unit" in line.lower()}
    if not units:
        cells = {
            unit_of(f" {c[i][-1:]}") for _, c in table.rows for i, _, _ in table.columns.heats if len(c) > i and c[i]
        }
        units = cells - {""}
    if len(units) != 1:
        raise InputError(
            "The file does not say whether it is in °C or °F." if not units else "The file mixes °C and °F.",
            "Say which: --unit C or --unit F.",
            name,
        )
    return units.pop()


def _assembled(
    table: Table, read: _Read, name: str, zone: ZoneInfo | None, unit: str, way: Order, *, settled: bool
) -> ProbeLog:
    usable = [i for i, stamp in enumerate(read.stamps) if way in stamp.moments]
    lost = [
        *read.lost,
        *(
            Lost(read.lines[i], f"no such date with the {way}")
            for i in range(len(read.stamps))
            if way not in read.stamps[i].moments
        ),
    ]
    moments = [read.stamps[i].moments[way] for i in usable]
    seconds, repeated = to_seconds(moments, zone)
    if read.undated:
        seconds = over_midnight(seconds)
    _clock_change(seconds, moments, name, zone)
    backwards = sum(b < a for a, b in pairwise(seconds))
    order = sorted(range(len(seconds)), key=lambda k: seconds[k])
    begins = seconds[order[0]]
    channels: list[Channel] = []
    for column, (_, title, _) in enumerate(table.columns.heats):
        times: list[float] = []
        temps: list[float] = []
        for k in order:
            value = read.heats[usable[k]][column]
            if value is None:
                continue
            celsius = to_celsius(value) if unit == FAHRENHEIT else value
            if not COLDEST_C <= celsius <= HOTTEST_C:
                lost.append(Lost(read.lines[usable[k]], f"{title}: {value:g} is beyond what a probe reads"))
                continue
            times.append(seconds[k] - begins)
            temps.append(celsius)
        if len(times) >= FEWEST:
            channels.append(Channel(title, tuple(times), tuple(temps)))
    if not channels:
        raise InputError(
            f"No column of {name} has two readings.", "Check the file: is the probe's column filled?", name
        )
    if all(channel.times_s[-1] <= channel.times_s[0] for channel in channels):
        raise InputError(
            "All readings that can be used are of one moment.", "A record needs readings over some time.", name
        )
    steps = [b - a for a, b in pairwise(channels[0].times_s) if b > a]
    notes = _notes(zone, moments, repeated, backwards, settled=settled)
    if read.undated:
        notes = ("it names no day; its hours are counted on from the first", *notes)
    return ProbeLog(
        name,
        begins,
        tuple(channels),
        len(table.rows),
        tuple(sorted(lost, key=lambda one: one.line)),
        unit if unit == FAHRENHEIT else CELSIUS,
        statistics.median(steps) if steps else 0.0,
        notes,
    )


def _clock_change(seconds: Sequence[float], moments: Sequence[datetime], name: str, zone: ZoneInfo | None) -> None:
    """Refuse a clock that goes back by an hour once where its zone has no such change: an hour would be lost.

    Raises
    ------
    InputError
        It does so.
    """
    steps = [b - a for a, b in pairwise(seconds)]
    back = [step for step in steps if step < 0]
    rhythm = statistics.median([step for step in steps if step > 0] or [0.0])
    if len(back) != 1 or any(moment.tzinfo is not None for moment in moments):
        return
    if abs(-back[0] + rhythm - HOUR_S) <= max(2.0 * rhythm, 1.0):
        where = zone.key if zone is not None else "this machine's zone"
        raise InputError(
            f"Its clock goes back by an hour, and in {where} it does not there.",
            "Say where it was kept, such as --zone Europe/Paris, or put the rows in order of time.",
            name,
        )


def _readings(count: int, many: str, one: str) -> str:
    return f"1 reading {one}" if count == 1 else f"{count} readings {many}"


def _notes(
    zone: ZoneInfo | None, moments: list[datetime], repeated: int, backwards: int, *, settled: bool
) -> tuple[str, ...]:
    found: list[str] = []
    if any(moment.tzinfo is None for moment in moments):
        found.append(
            f"its clock names no zone; taken as {zone.key if zone is not None else 'the zone of this machine'}"
        )
    if not settled:
        found.append("its dates can be read with the day or the month first; the lengths are the same either way")
    if repeated:
        found.append(f"{_readings(repeated, 'lie', 'lies')} in the hour that the clock change repeats")
    if backwards:
        found.append(f"{_readings(backwards, 'were', 'was')} out of order and put in order of time")
    return tuple(found)
