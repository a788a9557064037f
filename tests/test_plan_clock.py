"""The clock of a plan that was built: nobody works at night where a wait can be moved, and what cannot be in time."""

from __future__ import annotations

import builtins
import io
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from rich.console import Console

from advisor.advice.build import build_plan
from advisor.advice.clock import beside, night_steps
from advisor.advice.schedule import schedule
from advisor.case.model import Case, Given
from advisor.interview.session import Session
from advisor.show.asking import Finished, _afterwards
from advisor.show.planned import clock_lines, conflict_line

CHICAGO = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 25, 12, tzinfo=CHICAGO)  # a Wednesday


def case(serve, form="roast", thickness=40.0):
    """Outside round, pink, for guests at work, with a water bath."""
    piece = {"animal": "beef", "cut": "outside_round", "form": form, "arrived": "intact", "start_state": "fridge"}
    sizes = {"weight": 1200.0, "thickness": thickness, "salt_target": 1.2}
    guests = {"setting": "work", "vulnerable": "no", "want": "pink", "bath": "yes", "pressure": "no"}
    return Case(
        {name: Given(value, "answered") for name, value in (piece | sizes).items()},
        {name: Given(value, "answered") for name, value in guests.items()},
        serve=serve,
    )


def test_work_is_moved_out_of_the_night_by_a_longer_wait(rulebase):
    noon = datetime(2026, 11, 28, 12, tzinfo=CHICAGO)
    as_laid = build_plan(case(noon), (), rulebase).report
    moved = build_plan(case(noon), (), rulebase, NOW).report
    # Counted back as laid out, the salt would have to be put on at two in the morning.
    assert night_steps(as_laid, rulebase)
    assert not night_steps(moved, rulebase)
    assert moved.verdict == "go"
    slots = schedule(moved, rulebase)
    assert slots[-1].ends == noon
    for slot in slots[:-1]:
        minute = slot.begins.hour * 60 + slot.begins.minute
        assert rulebase.limit("plan_night_to") <= minute < rulebase.limit("plan_night_from")


def test_what_cannot_be_in_time_is_laid_out_for_the_earliest_and_another_way_is_named(rulebase):
    wished = NOW + timedelta(hours=2)
    built = build_plan(case(wished, "steak", 25.0), (), rulebase, NOW)
    ready = built.report.case.serve
    assert ready > wished
    assert ready.minute % 15 == 0
    assert schedule(built.report, rulebase)[0].begins >= NOW
    told = conflict_line(built)
    assert told.startswith(f"It cannot be ready by Wed {wished:%H:%M}: earliest {ready:%a %H:%M}")
    # The other way is worked out too, is clean, and is ready.
    other = built.in_time[0]
    assert other.report.verdict == "go"
    assert schedule(other.report, rulebase)[0].begins >= NOW
    assert told.endswith(f"or this other way by then: {other.way.name}.")


def test_a_plan_in_time_tells_no_conflict_and_the_latest_start(rulebase):
    built = build_plan(case(datetime(2026, 11, 28, 19, tzinfo=CHICAGO)), (), rulebase, NOW)
    assert conflict_line(built) == ""
    latest = clock_lines(built.report, rulebase)[0]
    assert latest.startswith("Latest start: Fri")
    # The salting is the one step that can be given up: the line says where its shortest leads, and where none.
    assert "with the salting cut to its shortest; " in latest
    assert latest.endswith("salted just before the heat.")
    known = beside(built.report, rulebase)
    later = (known.unsalted - known.shorter).total_seconds() / 60
    assert later == pytest.approx(rulebase.limit("plan_salt_shortest"), abs=5)


def test_where_the_salting_is_given_up_already_no_other_start_is_told(rulebase):
    built = build_plan(case(NOW + timedelta(minutes=50), "steak", 25.0), (), rulebase, NOW)
    salting = next(step for step in built.report.case.steps if step.action == "salt")
    assert salting.number("minutes") == 0.0
    known = beside(built.report, rulebase)
    assert (known.shorter, known.unsalted) == (None, None)
    assert known.latest == schedule(built.report, rulebase)[0].begins


@pytest.fixture
def typed(rulebase, monkeypatch):
    """What the page shows when some lines are typed at the finished plan."""

    def show(*lines):
        left = iter((*lines, "done"))
        monkeypatch.setattr(builtins, "input", lambda _: next(left))
        built = build_plan(case(datetime(2026, 11, 28, 19, tzinfo=CHICAGO), "steak", 25.0), (), rulebase, NOW)
        file = io.StringIO()
        console = Console(file=file, width=100, force_terminal=False, highlight=False)
        _afterwards(Finished(Session.start(rulebase, NOW), built), rulebase, NOW, console)
        return " ".join(file.getvalue().split())

    return show


def test_why_not_price_and_what_is_no_price_at_the_finished_plan(typed):
    told = typed("why not seared", "why not leave it overnight on the counter", "price 20 kg", "price much", "why not")
    assert "sliced thin and seared fast: " in told
    assert "[hold.warm_raw_long]" in told
    assert "Meat for a portion of 150 g" in told
    assert "That is no price we can read. Type what a kilo or a pound costs" in told
    assert "Why not what?" in told
