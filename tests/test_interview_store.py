"""Keeping an interview and taking it up again: nothing is lost, nothing shifts, a broken file is said to be one."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import InputError
from advisor.interview import store
from advisor.interview.session import Session

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
FIRST = (
    "work",
    "no",
    "beef",
    "steak",
    "fridge",
    "flank steak",
    "2 lb 8",
    "1 1/4 in",
    "intact",
    "1 day",
    "pink",
    "Sat 19:00",
    "1.2",
    "yes",
)
TOUGH = (*FIRST[:5], "outside round", *FIRST[6:-1])

WITH_ONE = b'{"version": 2, "rulebase": "x", "drafts": {}, "answers": [{"question": %s, "known": true, "chosen": []}]}'


def after(rulebase, *texts, now=NOW):
    session = Session.start(rulebase, now)
    for text in texts:
        session = session.not_known() if text == "dk" else session.answer(text)
    return session


def again(session, path, now=NOW):
    store.save(session, path)
    return store.load(path, session.rulebase, now).session


@pytest.mark.parametrize(
    "texts",
    [
        (),
        ("work",),
        ("dk", "dk"),
        FIRST,
        (*FIRST[:5], "bavette", "1"),
        (*FIRST[:5], "bavette", "dk"),
        (*FIRST[:5], "flanck stake", "none of these"),
        (*TOUGH, "kiwi and pineapple", "tin", "raw"),
        (*TOUGH, "kiwi and pineapple", "dk", "cooked", "yes"),
        (*TOUGH, "none", "dk"),
        (*FIRST[:11], ""),
    ],
)
def test_what_was_answered_comes_back_as_it_was(rulebase, tmp_path, texts):
    session = after(rulebase, *texts[:-1]).skip() if texts and texts[-1] == "" else after(rulebase, *texts)
    found = again(session, tmp_path / "s.json")
    assert found.case() == session.case()
    assert found.softeners == session.softeners
    assert found.question == session.question
    assert {one.question: one.text for one in found.answered} == {one.question: one.text for one in session.answered}


def test_nothing_kept_is_no_error(rulebase, tmp_path):
    assert store.load(tmp_path / "none.json", rulebase, NOW) is None


def test_a_folder_that_is_not_there_is_made(rulebase, tmp_path):
    path = tmp_path / "a" / "b" / "s.json"
    store.save(after(rulebase, "work"), path)
    assert path.exists()


def test_the_file_is_replaced_whole(rulebase, tmp_path, monkeypatch):
    path = tmp_path / "s.json"
    store.save(after(rulebase, "work"), path)
    before = path.read_bytes()

    def broken(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", broken)
    with pytest.raises(InputError, match="No space left"):
        store.save(after(rulebase, *FIRST), path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["s.json"]


def test_a_draft_and_a_pending_question_back_are_kept(rulebase, tmp_path):
    back = after(rulebase, *FIRST[:8]).back()
    assert again(back, tmp_path / "s.json").drafts["thickness"] == "1 1/4 in"
    pending = after(rulebase, *FIRST[:5], "bavette")
    found = again(pending, tmp_path / "s.json")
    assert found.question.id == "cut"
    assert found.drafts["cut"] == "bavette"


def test_an_answer_being_changed_is_kept_until_another_is_given(rulebase, tmp_path):
    session = after(rulebase, *FIRST)
    number = [one.question for one in session.ordered()].index("weight") + 1
    assert again(session.change(number), tmp_path / "s.json").case() == session.case()


def test_an_answer_that_does_not_apply_now_is_kept_for_when_it_does(rulebase, tmp_path):
    session = after(rulebase, *FIRST, "yes")
    row = [one.question for one in session.ordered()].index("vulnerable") + 1
    found = again(session.change(row).answer("some"), tmp_path / "s.json")
    assert found.case().given("guests", "advisory") is None
    found = found.change(row).answer("no")
    assert found.case().word("guests", "advisory") == "yes"


def test_tomorrow_stays_the_day_it_was_however_often_it_is_taken_up(rulebase, tmp_path):
    session = after(rulebase, *FIRST[:11], "Sunday 19:00")
    for days in (1, 2, 3):
        session = again(session, tmp_path / "s.json", NOW + timedelta(days=days))
        assert session.case().serve == NOW.replace(day=29, hour=19)


def test_a_time_of_service_that_has_passed_is_asked_again_and_the_rest_stays(rulebase, tmp_path):
    session = after(rulebase, *FIRST[:11], "tomorrow 19:00")
    found = again(session, tmp_path / "s.json", NOW + timedelta(days=3))
    assert found.question.id == "serve"
    assert found.drafts["serve"] == "tomorrow 19:00"
    aged = session.case().number("piece", "fridge_time") + 3 * 24 * 60
    assert found.case().number("piece", "fridge_time") == aged
    kept = {name: one for name, one in session.case().piece.items() if name != "fridge_time"}
    assert {name: one for name, one in found.case().piece.items() if name != "fridge_time"} == kept


def test_a_moment_with_another_kind_of_clock_is_asked_again(rulebase, tmp_path):
    session = after(rulebase, *FIRST[:11], "Sat 19:00", now=NOW.replace(tzinfo=None))
    assert again(session, tmp_path / "s.json").question.id == "serve"


def test_an_answer_that_can_no_longer_be_read_is_asked_again_and_later_ones_stay(rulebase, tmp_path):
    path = tmp_path / "s.json"
    store.save(after(rulebase, *FIRST), path)
    data = json.loads(path.read_text())
    next(one for one in data["answers"] if one["question"] == "form")["text"] = "wedge"
    data["answers"].append({"question": "gone", "text": "x", "known": True, "chosen": [], "moment": None})
    path.write_text(json.dumps(data))
    kept = store.load(path, rulebase, NOW)
    assert kept.session.question.id == "form"
    assert kept.session.drafts["form"] == "wedge"
    assert len(kept.session.answered) == len(FIRST) - 1


def test_a_choice_that_is_no_longer_offered_is_asked_again(rulebase, tmp_path):
    path = tmp_path / "s.json"
    store.save(after(rulebase, *FIRST[:5], "bavette", "1"), path)
    for chosen in ([], ["ribeye"]):
        data = json.loads(path.read_text())
        data["answers"][-1]["chosen"] = chosen
        path.write_text(json.dumps(data))
        found = store.load(path, rulebase, NOW).session
        assert found.question.id == "cut"
        assert found.follow_up is None
        assert found.drafts["cut"] == "bavette"


def test_it_says_when_one_stopped_and_whether_the_rules_have_changed(rulebase, tmp_path):
    path = tmp_path / "s.json"
    store.save(after(rulebase, "work"), path)
    kept = store.load(path, rulebase, datetime.now(UTC))
    assert abs(kept.stopped - datetime.now(UTC)) < timedelta(minutes=1)
    assert not kept.rules_changed
    assert store.load(path, replace(rulebase, digest="other"), datetime.now(UTC)).rules_changed


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"not json",
        b"\xff\xfe\x00",
        b"[]",
        b"{}",
        b"null",
        b"[" * 100_000,
        b'{"version": 2}',
        b'{"version": 2, "rulebase": "x", "answers": {}, "drafts": {}}',
        b'{"version": 2, "rulebase": "x", "answers": [1], "drafts": {}}',
        b'{"version": 2, "rulebase": "x", "answers": [{"question": "form"}], "drafts": {}}',
        b'{"version": 2, "rulebase": "x", "answers": [], "drafts": []}',
        WITH_ONE % b'"cut", "text": 1, "moment": null',
        WITH_ONE % b'"serve", "text": "Sat", "moment": "Saturday"',
    ],
)
def test_a_broken_file_is_said_to_be_broken(rulebase, tmp_path, content):
    path = tmp_path / "s.json"
    path.write_bytes(content)
    with pytest.raises(InputError, match=r"s\.json"):
        store.load(path, rulebase, NOW)
    assert path.read_bytes() == content


def test_an_older_file_is_said_to_be_older(rulebase, tmp_path):
    path = tmp_path / "s.json"
    store.save(after(rulebase, "work"), path)
    data = json.loads(path.read_text())
    path.write_text(json.dumps({**data, "version": store.VERSION - 1}))
    with pytest.raises(InputError, match="older"):
        store.load(path, rulebase, NOW)


def test_a_folder_in_place_of_the_file_is_no_traceback(rulebase, tmp_path):
    with pytest.raises(InputError):
        store.load(tmp_path, rulebase, NOW)
    with pytest.raises(InputError):
        store.save(after(rulebase, "work"), tmp_path)


def test_the_folder_is_the_users_own(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert store.default_path().parent.name == "prep-advisor"
    assert store.default_path().name == "session.json"


def test_a_file_can_be_put_aside_and_cleared(rulebase, tmp_path):
    path = tmp_path / "s.json"
    path.write_text("broken")
    aside = store.put_aside(path)
    assert not path.exists()
    assert aside.read_text() == "broken"
    store.save(after(rulebase, "work"), path)
    store.clear(path)
    store.clear(path)
    assert not path.exists()


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(texts=st.lists(st.sampled_from([*FIRST, "dk", "out", "pumped", "bavette", "kiwi", "1", "2", "facility"])))
def test_any_interview_comes_back(rulebase, tmp_path, texts):
    session = Session.start(rulebase, NOW)
    for text in texts:
        try:
            session = session.not_known() if text == "dk" else session.answer(text)
        except InputError:
            continue
    if session.follow_up is not None:
        session = session.back()
    assert again(session, tmp_path / "s.json").case() == session.case()


@pytest.mark.parametrize(
    ("text", "hours"), [("today", 12), ("yesterday", 36), ("1 day", 24), ("two nights", 60), ("since Monday", 60)]
)
@pytest.mark.parametrize("days", [0, 4, 9])
def test_meat_goes_on_ageing_while_an_interview_is_left(rulebase, tmp_path, text, hours, days):
    session = after(rulebase, *FIRST[:9], text)
    found = again(session, tmp_path / "s.json", NOW + timedelta(days=days))
    assert found.case().number("piece", "fridge_time") == pytest.approx((hours + 24 * days) * 60)
    # And once more, as if it had been kept by the second sitting.
    later = again(found, tmp_path / "s.json", NOW + timedelta(days=days + 1))
    assert later.case().number("piece", "fridge_time") == pytest.approx((hours + 24 * (days + 1)) * 60)


def test_meat_that_was_out_is_out_for_longer_when_an_interview_is_taken_up(rulebase, tmp_path):
    session = after(rulebase, *FIRST[:4], "out", *FIRST[5:9], "20 min")
    assert again(session, tmp_path / "s.json").case().number("piece", "out_minutes") == 20
    found = again(session, tmp_path / "s.json", NOW + timedelta(hours=2))
    assert found.case().number("piece", "out_minutes") == 140
