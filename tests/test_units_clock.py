"""Moments: what a cook may write, told from Wednesday 25 November 2026, noon."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.errors import InputError
from advisor.units import read_moment, write_moment

NOW = datetime(2026, 11, 25, 12, 0)  # noqa: DTZ001 - a cook's clock has no zone
LONDON = ZoneInfo("Europe/London")

READ = {
    "Sat 7pm": "2026-11-28 19:00",
    "sat 7 p.m.": "2026-11-28 19:00",
    "Saturday 19:00": "2026-11-28 19:00",
    "Saturday, 19:00": "2026-11-28 19:00",
    "19:00 on Saturday": "2026-11-28 19:00",
    "Saturday at 7:30 pm": "2026-11-28 19:30",
    "Sat 7.30pm": "2026-11-28 19:30",
    "Sat. 19h30": "2026-11-28 19:30",
    "Sat 19h": "2026-11-28 19:00",
    "Sat 19": "2026-11-28 19:00",
    "Sat 07:30": "2026-11-28 07:30",
    "Sun 00:00": "2026-11-29 00:00",
    "Sat noon": "2026-11-28 12:00",
    "Sat 12 pm": "2026-11-28 12:00",
    "Sat 12:30 am": "2026-11-28 00:30",
    "Sat 0:30": "2026-11-28 00:30",
    "Wed 19:00": "2026-11-25 19:00",
    "Tues 7am": "2026-12-01 07:00",
    "Thurs 7am": "2026-11-26 07:00",
    "today 7pm": "2026-11-25 19:00",
    "tonight at 7": "2026-11-25 19:00",
    "tonight 8:30": "2026-11-25 20:30",
    "tomorrow 18:30": "2026-11-26 18:30",
    "Tomorrow at noon": "2026-11-26 12:00",
    "2026-11-28 19:00": "2026-11-28 19:00",
    "2026-11-28T19:00": "2026-11-28 19:00",
    "2026-11-28T19:00:00": "2026-11-28 19:00",
    "2026-11-28 7 pm": "2026-11-28 19:00",
    "28 Nov 19:00": "2026-11-28 19:00",
    "28 November 2026, 19:00": "2026-11-28 19:00",
    "28th of Nov at 7pm": "2026-11-28 19:00",
    "Nov 28 19:00": "2026-11-28 19:00",
    "November 28, 2026 19:00": "2026-11-28 19:00",
    "19:00 Nov 28": "2026-11-28 19:00",
    "7pm 28 Nov": "2026-11-28 19:00",
    "Sat 28 Nov 19:00": "2026-11-28 19:00",
    "2 Jan 19:00": "2027-01-02 19:00",
    "19:00": "2026-11-25 19:00",
    "09:00": "2026-11-26 09:00",
    "7:30 pm": "2026-11-25 19:30",
    "7:30 AM": "2026-11-26 07:30",
    "noon": "2026-11-25 12:00",
    "１９:００": "2026-11-25 19:00",
}


@pytest.mark.parametrize(("text", "moment"), READ.items())
def test_moments_are_read(text, moment):
    assert read_moment(text, NOW) == datetime.fromisoformat(moment)


@pytest.mark.parametrize(("text", "moment"), READ.items())
def test_moments_are_read_in_the_zone_of_now(text, moment):
    found = read_moment(text, NOW.replace(tzinfo=LONDON))
    assert found == datetime.fromisoformat(moment).replace(tzinfo=LONDON)
    assert found.tzinfo is LONDON


REFUSED = [
    ("7", "morning or evening"),
    ("today at 7", "morning or evening"),
    ("Sat 7", "morning or evening"),
    ("Sat 7:30", "morning or evening"),
    ("7 o'clock", "morning or evening"),
    ("12", "morning or evening"),
    ("midnight", "Midnight belongs to two days"),
    ("Sat midnight", "Midnight belongs to two days"),
    ("Sat 24:00", "Midnight belongs to two days"),
    ("Sat 12 am", "midnight, which belongs to two days"),
    ("Sat", "time is missing"),
    ("tomorrow", "time is missing"),
    ("2026-11-28", "time is missing"),
    ("today 11:00", "in the past: it is now Wed 12:00"),
    ("Wed 11:00", "in the past"),
    ("2026-11-24 19:00", "in the past"),
    ("24 Nov 19:00", "in the past"),
    ("2062-11-28 19:00", "more than a year ahead"),
    ("2026-02-30 19:00", "no such day"),
    ("30 Feb 19:00", "no such day"),
    ("31 Nov 19:00", "no such day"),
    ("0000-01-01 19:00", "no such day"),
    ("Sat 25:00", "no such time"),
    ("Sat 19:60", "no such time"),
    ("Sat 13 pm", "hour is 1 to 12"),
    ("Sat 0 am", "hour is 1 to 12"),
    ("Fri 28 Nov 19:00", "2026-11-28 is a Sat"),
    ("tomorrow 28 Nov 19:00", "not that day"),
    ("tomorrow Sat 19:00", "is a Thu"),
    ("next Sat 19:00", "cannot read it"),
    ("Sat Sun 19:00", "cannot read it"),
    ("28/11 19:00", "cannot read it"),
    ("soon", "cannot read it"),
    ("45", "cannot read it"),
    ("19", "cannot read it"),
    ("2026-11-28T19:00+00:00", "no offset from UTC"),
    ("2026-11-28T99:00+00:00", "cannot read it"),
    ("Sat\x07 19:00", "hidden character"),
    ("9" * 201, "too long"),
]


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_moments_are_refused_with_the_reason(text, reason):
    with pytest.raises(InputError) as caught:
        read_moment(text, NOW, where="plan.yaml, line 9")
    assert reason in caught.value.what
    assert caught.value.hint
    assert caught.value.what.startswith("Service time: you typed ")
    assert caught.value.where == "plan.yaml, line 9"


def test_empty_text_asks_for_the_moment():
    with pytest.raises(InputError) as caught:
        read_moment("  ", NOW, name="service time")
    assert str(caught.value) == "Enter the service time, for example Sat 19:00 or 2026-11-28 19:00."


def test_29_february_is_the_next_there_is():
    now = datetime(2027, 12, 1, 12, 0)  # noqa: DTZ001
    assert read_moment("29 Feb 19:00", now) == datetime(2028, 2, 29, 19, 0)  # noqa: DTZ001
    with pytest.raises(InputError, match="in the past"):
        read_moment("29 Feb 19:00", datetime(2028, 3, 1, 12, 0))  # noqa: DTZ001


def test_an_hour_that_the_clocks_skip_is_refused():
    now = datetime(2027, 3, 27, 12, 0, tzinfo=LONDON)
    with pytest.raises(InputError, match="clocks go forward"):
        read_moment("Sun 01:30", now)
    assert read_moment("Sun 02:30", now).utcoffset() == timedelta(hours=1)


def test_an_hour_that_comes_twice_is_asked_about():
    now = datetime(2026, 10, 24, 12, 0, tzinfo=LONDON)
    with pytest.raises(InputError, match="comes twice") as caught:
        read_moment("Sun 01:30", now)
    assert "2026-10-25T01:30+01:00" in caught.value.hint
    first = read_moment("2026-10-25T01:30+01:00", now)
    second = read_moment("2026-10-25T01:30 +0000", now)
    assert second.astimezone(UTC) - first.astimezone(UTC) == timedelta(hours=1)
    assert read_moment("2026-10-25T01:30Z", now) == second
    assert second.tzinfo is LONDON


def test_past_and_future_are_told_by_real_time_not_by_the_wall_clock():
    now = datetime(2026, 10, 25, 1, 40, tzinfo=LONDON, fold=0)
    # Ten minutes earlier on the wall, fifty minutes later in truth.
    assert read_moment("2026-10-25T01:30+00:00", now).fold == 1
    with pytest.raises(InputError, match="in the past"):
        read_moment("2026-10-25T01:30+01:00", now)


def read_or_refuse(text, now):
    try:
        return read_moment(text, now)
    except InputError as caught:
        error = caught
    assert error.what
    assert error.hint
    return None


@pytest.mark.parametrize("zone", [None, UTC, ZoneInfo("Pacific/Kiritimati")])
@pytest.mark.parametrize("now", [datetime(9999, 12, 31, 23, 59), datetime(1, 1, 1, 0, 0)])  # noqa: DTZ001
@pytest.mark.parametrize("text", ["tomorrow 19:00", "Sat 19:00", "19:00", "28 Nov 19:00", "9999-12-31T23:59-12:00"])
def test_the_ends_of_the_calendar_do_no_harm(text, now, zone):
    moment = read_or_refuse(text, now.replace(tzinfo=zone))
    assert moment is None or moment.tzinfo is zone


DAY_PIECES = "sat saturday Mon. today tonight tomorrow 28 nov nov. 29 feb 30 2026 2026-11-28 2026-11-28t19:00"
TIME_PIECES = "noon midnight 7 07 7pm 7:30 19:00 24:00 12am 19h30 1900 2026-11-28T19:00Z"
OTHER_PIECES = "+01:00 at on the of , . : am pm"
PIECES = [*DAY_PIECES.split(), *TIME_PIECES.split(), *OTHER_PIECES.split()]


@given(st.one_of(st.text(), st.lists(st.sampled_from(PIECES), max_size=6).map(" ".join)))
def test_any_text_is_read_or_refused(text):
    for now in (NOW, NOW.replace(tzinfo=LONDON)):
        moment = read_or_refuse(text, now)
        assert moment is None or now <= moment <= now + timedelta(days=366)


@given(st.integers(0, 6 * 24 * 60))
def test_what_we_write_for_the_coming_days_can_be_read_back(minutes):
    moment = NOW + timedelta(minutes=minutes)
    assert read_moment(write_moment(moment), NOW) == moment


@given(st.integers(7 * 24 * 60, 365 * 24 * 60))
def test_with_its_date_a_later_moment_can_be_read_back(minutes):
    moment = NOW + timedelta(minutes=minutes)
    assert read_moment(write_moment(moment, now=NOW), NOW) == moment


def test_moments_are_written():
    assert write_moment(datetime(2026, 11, 28, 19, 0)) == "Sat 19:00"  # noqa: DTZ001
    assert write_moment(datetime(2026, 11, 29, 0, 5)) == "Sun 00:05"  # noqa: DTZ001
    assert write_moment(datetime(2026, 11, 28, 19, 0), now=NOW) == "Sat 19:00"  # noqa: DTZ001
    assert write_moment(datetime(2026, 12, 5, 19, 0), now=NOW) == "Sat 5 Dec 19:00"  # noqa: DTZ001
    assert write_moment(datetime(2027, 1, 2, 19, 0), now=NOW) == "Sat 2 Jan 2027 19:00"  # noqa: DTZ001


@pytest.mark.parametrize(
    ("rounding", "second", "text"),
    [
        ("down", 59, "Sat 19:00"),
        ("up", 1, "Sat 19:01"),
        ("up", 0, "Sat 19:00"),
        ("nearest", 29, "Sat 19:00"),
        ("nearest", 30, "Sat 19:01"),
    ],
)
def test_seconds_are_rounded_as_asked(rounding, second, text):
    assert write_moment(datetime(2026, 11, 28, 19, 0, second), rounding=rounding) == text  # noqa: DTZ001


def test_rounding_up_may_reach_the_next_day():
    assert write_moment(datetime(2026, 11, 28, 23, 59, 30), rounding="up") == "Sun 00:00"  # noqa: DTZ001
