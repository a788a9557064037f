"""A plan that can be mended is mended by the planner itself; one that is late gives up its salting first."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from advisor.advice import build
from advisor.advice.build import build_plan
from advisor.case.model import Case, Given
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase().under("us_home")
CHICAGO = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 26, 7, 1, tzinfo=CHICAGO)


def case(cut, want, serve, *, form="steak", bath="no", **piece):
    given = {"animal": "beef", "cut": cut, "form": form, "arrived": "intact", "start_state": "fridge"}
    given |= {"salt_target": 1.2, **piece}
    guests = {"want": want, "setting": "home", "vulnerable": "no", "latex": "no", "bath": bath, "pressure": "no"}
    us = {"serve": serve, "system": "us", "code": "us_home"}
    return Case(
        {k: Given(v, "answered") for k, v in given.items()}, {k: Given(v, "answered") for k, v in guests.items()}, **us
    )


def brisket():
    saturday = datetime(2026, 11, 28, 19, tzinfo=CHICAGO)
    return case("brisket_flat", "pink", saturday, form="roast", bath="yes", weight=1814.4, thickness=50.8)


def test_a_bath_too_cool_for_a_whole_piece_is_made_hotter():
    built = build_plan(brisket(), (), RULEBASE, NOW)
    assert built.report.verdict == "go"
    assert [rule for _, rule in built.made] == ["cook.whole"]


def test_what_few_trials_do_not_mend_the_wide_search_does(monkeypatch):
    monkeypatch.setattr(build, "cleaned", lambda report, *_: (report, ()))
    built = build_plan(brisket(), (), RULEBASE, NOW)
    assert built.report.verdict == "go"
    assert built.best.way.name == "a low bath"
    assert [rule for _, rule in built.made] == ["cook.whole"]
