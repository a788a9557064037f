"""A probe's record as loggers write it: every odd form read, every row lost told, nothing guessed in silence."""

from time import perf_counter
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.case.probe import read_log
from advisor.errors import InputError

UTC = ZoneInfo("UTC")
LONDON = ZoneInfo("Europe/London")


def read(text, zone=UTC, **more):
    return read_log(text, "core.csv", zone, **more)


def only(log):
    (channel,) = log.channels
    return channel


@pytest.mark.parametrize(
    ("text", "times", "temps"),
    [
        ("time,core °C\n2026-11-25T10:00:00Z,4.5\n2026-11-25T10:01:00Z,5.0\n", (0, 60), (4.5, 5.0)),
        ("Date;Time;Temp (°C)\n25.11.2026;10:00:00;4,5\n25.11.2026;10:01:00;5,0\n", (0, 60), (4.5, 5.0)),
        ("Timestamp\tProbe 1 [F]\n11/25/2026 1:00 PM\t212\n11/25/2026 1:05 PM\t32\n", (0, 300), (100.0, 0.0)),
        ("time,value,unit\n1764064800,50,F\n1764064860,59,F\n", (0, 60), (10.0, 15.0)),
        (
            "Logger SN 12\nsite: river\n\nNo.,DateTime,Ch1 (C)\n1,2026/11/25 10:00,4\n2,2026/11/25 10:10,5\n",
            (0, 600),
            (4, 5),
        ),
        ("time,temp\n2026-11-25 10:00:00,41 °F\n2026-11-25 10:00:30,50 °F\n", (0, 30), (5.0, 10.0)),
        ('"Time","Temperature (C)"\n"25-Nov-2026 10:00","60.1"\n"25-Nov-2026 10:01","60.2"\n', (0, 60), (60.1, 60.2)),
        ("\ufefftime;core °C\r\n25/11/2026 10:00;60,5\r\n25/11/2026 10:02;61,5\r\n", (0, 120), (60.5, 61.5)),
    ],
)
def test_a_form_is_read(text, times, temps):
    channel = only(read(text))
    assert channel.times_s == pytest.approx(times)
    assert channel.temps_c == pytest.approx(temps)


def test_each_probe_of_several_is_kept():
    log = read("time,core °C,air °C,battery\n2026-11-25 10:00,4,20,99\n2026-11-25 10:01,5,21,99\n")
    assert [channel.name for channel in log.channels] == ["core °C", "air °C"]


def test_a_column_that_is_not_of_the_meat_is_left_out_and_told():
    log = read("time,core °C,air °C\n2026-11-25 10:00,4,20\n2026-11-25 10:01,5,21\n")
    assert [channel.name for channel in log.only(()).channels] == ["core °C"]
    assert any("air °C" in note for note in log.only(()).notes)
    assert [channel.name for channel in log.only(("air",)).channels] == ["air °C"]
    with pytest.raises(InputError, match="no channel"):
        log.only(("leg",))


def test_every_row_or_reading_that_is_lost_is_told_with_its_line():
    rows = ["10:00,4", "nonsense,5", "10:02,OPEN", "10:03", "10:04,-999", "10:05,6", "10:06,9000"]
    log = read("time,core °C\n" + "\n".join(f"2026-11-25 {row}" for row in rows))
    assert log.rows == 7
    assert [lost.line for lost in log.lost] == [3, 4, 5, 6, 8]
    assert only(log).temps_c == (4, 6)


def test_a_wall_clock_that_repeats_an_hour_is_told_and_kept_in_order():
    """The clocks went back in London on 25 October 2026 at two."""
    clocks = ("00:50", "01:20", "01:50", "01:20", "01:50", "02:10")
    rows = [f"2026-10-25 {clock},{60 + number}" for number, clock in enumerate(clocks)]
    log = read("time,core °C\n" + "\n".join(rows), LONDON)
    assert only(log).times_s == (0, 1800, 3600, 5400, 7200, 8400)
    assert only(log).temps_c == (60, 61, 62, 63, 64, 65)
    assert any("clock change" in note for note in log.notes)


def test_a_wall_clock_that_skips_an_hour_makes_no_gap():
    """The clocks went forward in London on 29 March 2026 at one."""
    log = read("time,core °C\n2026-03-29 00:50,60\n2026-03-29 02:00,61\n2026-03-29 02:10,61\n", LONDON)
    assert only(log).times_s == (0, 600, 1200)


def test_the_offset_in_a_stamp_counts():
    log = read("time,core °C\n2026-11-25T10:00:00+02:00,4\n2026-11-25T09:30:00+01:00,5\n")
    assert only(log).times_s == (0, 1800)


def test_readings_out_of_order_are_put_in_order_and_told():
    log = read("time,core °C\n2026-11-25 10:02,6\n2026-11-25 10:00,4\n2026-11-25 10:01,5\n")
    assert only(log).temps_c == (4, 5, 6)
    assert any("out of order" in note for note in log.notes)


def test_a_gap_is_found_by_the_records_own_rhythm():
    rows = [f"2026-11-25 10:{minute:02d},{60}" for minute in (0, 1, 2, 3, 4, 40, 41)]
    log = read("time,core °C\n" + "\n".join(rows))
    gaps = log.gaps(only(log), 3, 900)
    assert [(gap.begins_s, gap.ends_s) for gap in gaps] == [(240, 2400)]


def test_dates_that_can_be_read_two_ways_are_not_guessed():
    text = "time,core °C\n03/04/2026 23:00,4\n04/04/2026 01:00,5\n"
    with pytest.raises(InputError, match="day first or with the month first"):
        read(text)
    assert only(read(text, order="day first")).times_s == (0, 7200)
    same_day = read("time,core °C\n03/04/2026 10:00,4\n03/04/2026 11:00,5\n")
    assert only(same_day).times_s == (0, 3600)
    assert any("either way" in note for note in same_day.notes)
    assert only(read("time,core °C\n13/04/2026 10:00,4\n14/04/2026 10:00,5\n")).times_s == (0, 86400)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "names a time and a temperature"),
        ("hello", "names a time and a temperature"),
        ("time,core °C\n", "Rows after the header: 0"),
        ("time,core °C\n2026-11-25 10:00,4\n", "Rows after the header: 1"),
        ("time,core\n2026-11-25 10:00,4\n2026-11-25 10:01,4\n", "°C or °F"),
        ("time,core °C,air °F\n2026-11-25 10:00,4,40\n2026-11-25 10:01,4,40\n", "mixes"),
        ("time,core °C\n" + "x" * 10_000_001, "longer than"),
    ],
)
def test_what_cannot_be_read_is_said_with_what_to_do(text, says):
    with pytest.raises(InputError, match=says) as caught:
        read(text)
    assert caught.value.hint


@settings(deadline=None)
@given(st.text(max_size=400))
def test_no_text_whatever_breaks_the_reader(text):
    for whole in (text, f"time,core °C\n{text}"):
        try:
            read(whole)
        except InputError:
            continue


@pytest.mark.parametrize(
    ("head", "cells"),
    [
        ("Nr;Datum;Zeit;Kern [°C]", ["1;25.11.2026;18:00:00;57,5", "2;25.11.2026;18:10:00;58,5"]),
        ("epoch_ms,core °C", ["1764064800000,57.5", "1764065400000,58.5"]),
        ("Elapsed (min),core °C", ["0,57.5", "10,58.5"]),
        ("time_s,core °C", ["0,57.5", "600,58.5"]),
        ("elapsed,core °C", ["23:55:00,57.5", "24:05:00,58.5"]),
        ("time,core °C", ["23:55:00,57.5", "00:05:00,58.5"]),
        ("time,core °C", ["11:55 PM,57.5", "12:05 AM,58.5"]),
    ],
)
def test_days_and_hours_as_loggers_write_them(head, cells):
    log = read_log("\n".join([head, *cells]), "a.csv", ZoneInfo("UTC"))
    assert log.channels[0].times_s == (0.0, 600.0)
    assert log.channels[0].temps_c == (57.5, 58.5)


def test_hours_that_may_be_minutes_are_not_guessed():
    """Read as hours, ten minutes of heat would be ten hours of it."""
    with pytest.raises(InputError, match="is no time"):
        read_log("elapsed,core °C\n00:00,57\n05:00,57\n10:00,57", "a.csv", ZoneInfo("UTC"))


def test_a_clock_set_back_in_a_zone_without_it_is_asked_about():
    """Else two hours are laid over one another, and a cooling looks an hour shorter than it was."""
    stamps = [f"2026-10-25 0{h}:{m:02d}" for h in (1, 2) for m in range(0, 60, 10)]
    stamps += [f"2026-10-25 0{h}:{m:02d}" for h in (2, 3) for m in range(0, 60, 10)]
    text = "time,core °C\n" + "\n".join(f"{s},{60 - k}" for k, s in enumerate(stamps))
    assert only(read(text, ZoneInfo("Europe/Paris"))).times_s[-1] == 23 * 600
    with pytest.raises(InputError, match="goes back by an hour"):
        read(text, UTC)


def test_a_reading_a_second_for_hours_is_read_at_once():
    """Time grows with the rows and not with their square: the like of forty thousand took minutes."""
    rows = "\n".join(f"{1764064800 + k},57.0" for k in range(20_000))
    began = perf_counter()
    assert len(only(read(f"epoch,core °C\n{rows}")).times_s) == 20_000
    assert perf_counter() - began < 10.0


def test_control_characters_are_not_shown_and_one_moment_is_no_record():
    log = read("time,core °C\n2026-11-25 10:00,\x1b[31m5\n2026-11-25 10:01,6\n2026-11-25 10:02,6\n")
    assert log.lost[0].why == "core °C: '?[31m5' is no reading"
    with pytest.raises(InputError, match="of one moment"):
        read("time,core °C\n" + "2026-11-25 10:00,60\n" * 5)


@pytest.mark.parametrize("encoding", ["cp1252", "utf-16", "utf-8-sig"])
def test_a_record_in_the_letters_of_its_machine(encoding):
    from advisor.cli import _in_its_letters

    assert _in_its_letters("Zeit;Kern °C\n".encode(encoding)) == "Zeit;Kern °C\n"
