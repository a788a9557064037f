"""What is typed at a finished plan: a question back has its choices, the answer is named; far dates are dates."""

from __future__ import annotations

import builtins
import io
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from rich.console import Console

from advisor.advice.build import build_plan
from advisor.interview.opening import opened
from advisor.interview.session import Session
from advisor.knowledge import load_rulebase
from advisor.show.asking import Finished, _afterwards

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 26, 7, tzinfo=ZoneInfo("America/Chicago"))
TOLD = "flank steak, beef, 2 lb, 1 in thick, fridge, for home, thin and quick, no water bath, Sat 19:00"


@pytest.fixture(scope="module")
def done():
    session = opened(Session.start(RULEBASE, NOW), TOLD).session
    while session.question is not None:
        session = session.not_known()
    return Finished(session, build_plan(session.case(), session.softeners, RULEBASE, NOW))


def screen(done, monkeypatch, *lines):
    left = iter(lines)

    def typed(_):
        line = next(left, None)
        if line is None:
            raise EOFError
        return line

    monkeypatch.setattr(builtins, "input", typed)
    file = io.StringIO()
    _afterwards(done, RULEBASE, NOW, Console(file=file, width=100, force_terminal=False, highlight=False))
    return " ".join(file.getvalue().split())


def row(done, question):
    return [one.question for one in done.session.ordered()].index(question) + 1


def test_a_question_back_shows_its_choices_and_the_answer_is_named(done, monkeypatch):
    told = screen(done, monkeypatch, f"what if {row(done, 'cut')} flank", "9", "2")
    assert "1 flank steak 2 sirloin flap" in told
    assert '"9" is not one of the choices.' in told
    assert "What moved Cut: sirloin flap ('flank') (it was flank steak)." in told


@pytest.mark.parametrize("left", [("back",), ()])
def test_a_change_that_is_left_half_way_changes_nothing(done, monkeypatch, left):
    told = screen(done, monkeypatch, f"change {row(done, 'cut')} flank", *left)
    assert "The plan stays as it was." in told
    assert "What moved" not in told


def test_a_service_a_week_off_is_told_with_its_date(done, monkeypatch):
    far = NOW + timedelta(days=12)
    told = screen(done, monkeypatch, f"change {row(done, 'serve')} {far.day} Dec 19:00", "so far")
    assert "Served: Tue 8 Dec 19:00 (it was Sat 19:00)." in told
    assert "Tue 8 Dec 19:00 " in told[told.index("Serve it.") - 40 :]
