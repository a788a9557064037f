"""The question flow without a terminal: order, conditions, back, change, what is hidden must not count."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.case.complete import assumptions, complete
from advisor.case.contradictions import contradictions
from advisor.errors import InputError
from advisor.interview.session import Session
from advisor.knowledge.conditions import conditions_of, parse_when

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
# One answer to every question that may come; the way through is the question flow's own choice.
TOLD = {
    "setting": "work",
    "vulnerable": "no",
    "animal": "beef",
    "cut": "outside round",
    "form": "steak",
    "arrived": "intact",
    "arrived_salt": "0.8 %",
    "weight": "2 lb 8",
    "thickness": "1 1/4 in",
    "start_state": "fridge",
    "out_minutes": "30 min",
    "fridge_time": "today",
    "want": "pink",
    "bath": "yes",
    "blade_tool": "no",
    "injector": "no",
    "softeners": "fresh kiwi",
    "latex": "no",
    "salt_target": "1.2",
    "advisory": "yes",
    "approval": "no",
    "serve": "Sat 19:00",
}


def told(rulebase, upto="", **other):
    """A session answered as in TOLD, with ``other`` in its place, up to but without the question ``upto``."""
    session = Session.start(rulebase, NOW)
    texts = {**TOLD, **other}
    while (question := session.question) is not None and question.id != upto:
        text = texts[question.id]
        session = session.not_known() if text == "dk" else session.answer(text)
        assert session.follow_up is None, session.follow_up
    return session


def asked(session):
    return [one.question for one in session.answered]


def number_of(session, question):
    return [one.question for one in session.ordered()].index(question) + 1


def test_screening_comes_first_and_subjects_are_kept_together(rulebase):
    session = told(rulebase)
    screening = [question.id for question in rulebase.questions.values() if question.screening]
    assert session.question is None
    assert asked(session)[: len(screening)] == screening
    groups = [rulebase.questions[name].group for name in asked(session)]
    assert sum(a != b for a, b in pairwise(groups)) == len(set(groups)) - 1


def test_the_same_answers_in_any_order_give_the_same_question(rulebase):
    session = told(rulebase, upto="salt_target")
    turned = replace(session, answered=session.answered[::-1])
    assert turned.question == session.question


def test_a_condition_names_only_what_was_asked_before_it(rulebase):
    before = {"guests softener"} if "softeners" in rulebase.questions else set()
    for question in rulebase.questions.values():
        if question.when:
            alternatives = parse_when(question.when, rulebase.vocabulary, rulebase.limits)
            assert {f"{c.subject} {c.fact}" for c in conditions_of(alternatives)} <= before, question.id
        before.add(question.fact)


@pytest.mark.parametrize(
    ("question", "needed", "instead"),
    [
        ("arrived_salt", {"arrived": "pumped"}, {"arrived": "intact"}),
        ("out_minutes", {"start_state": "out"}, {"start_state": "frozen"}),
        ("fridge_time", {"start_state": "fridge"}, {"start_state": "frozen"}),
        ("fridge_time", {"start_state": "out"}, {"start_state": "frozen"}),
        ("latex", {"softeners": "tinned pineapple"}, {"softeners": "none"}),
        ("latex", {"softeners": "tinned pineapple"}, {"softeners": "dk"}),
        ("advisory", {"setting": "work", "vulnerable": "no", "want": "pink"}, {"vulnerable": "some"}),
        ("advisory", {"setting": "dk", "vulnerable": "no", "want": "dk"}, {"setting": "home"}),
        ("approval", {"advisory": "no"}, {"bath": "no"}),
    ],
)
def test_a_question_is_asked_unless_its_condition_is_false(rulebase, question, needed, instead):
    assert question in asked(told(rulebase, **needed))
    assert question not in asked(told(rulebase, **instead))


def test_meat_whose_past_is_not_known_is_asked_how_long_it_was_out(rulebase):
    assert "out_minutes" in asked(told(rulebase, start_state="dk"))


def test_a_session_never_changes(rulebase):
    begin = Session.start(rulebase, NOW)
    begin.answer("work")
    assert begin.answered == ()
    with pytest.raises(InputError):
        begin.answer("on the moon")
    assert begin.question.id == "setting"


def test_the_case_holds_values_in_fixed_units_with_the_words_that_were_typed(rulebase):
    case = told(rulebase).case()
    assert case.number("piece", "thickness") == pytest.approx(31.75)
    assert case.number("piece", "weight") == pytest.approx(40 * 28.349523125)
    assert case.given("piece", "weight").as_written == "2 lb 8"
    assert {given.origin for given in case.piece.values()} == {"answered"}
    assert case.serve == NOW.replace(day=28, hour=19)
    assert case.steps == ()


@pytest.mark.parametrize(
    ("weight", "thickness", "system"),
    [
        ("2 lb", "1 in", "us"),
        ("1 kg", "25 mm", "metric"),
        ("2 lb", "25 mm", "metric"),
        ("dk", "1 in", "us"),
        ("dk", "dk", "metric"),
    ],
)
def test_the_plan_speaks_the_units_that_the_cook_used_most(rulebase, weight, thickness, system):
    assert told(rulebase, weight=weight, thickness=thickness).system == system


def test_not_known_is_kept_apart_from_not_asked_and_is_taken_at_its_worst(rulebase):
    session = told(rulebase, vulnerable="dk", arrived="dk")
    case = session.case()
    assert case.given("guests", "vulnerable").value is None
    assert case.given("guests", "vulnerable").origin == "not known"
    assert case.given("guests", "advisory") is None
    full = complete(case, rulebase)
    assert full.word("guests", "vulnerable") == "some"
    assert full.word("piece", "arrived") == "pierced"


def test_only_an_optional_question_can_be_skipped(rulebase):
    with pytest.raises(InputError, match="dk"):
        told(rulebase, upto="thickness").skip()
    skipped = told(rulebase, upto="serve").skip()
    assert skipped.question.id != "serve"
    assert skipped.case().serve is None


# --- back and change


def test_back_asks_again_and_offers_what_was_typed(rulebase):
    session = told(rulebase, upto="thickness").back()
    assert session.question.id == "weight"
    assert session.drafts["weight"] == "2 lb 8"
    assert session.answer("900 g").case().number("piece", "weight") == pytest.approx(900)


def test_back_from_the_first_question_stays_there(rulebase):
    begin = Session.start(rulebase, NOW)
    assert begin.back().question.id == "setting"


def test_back_steps_over_answers_that_no_longer_count(rulebase):
    session = told(rulebase, start_state="out", upto="want")
    session = session.change(number_of(session, "start_state")).answer("fridge")
    assert session.question.id == "want"
    assert session.back().question.id == "start_state"


def test_a_changed_answer_comes_back_to_where_one_was(rulebase):
    session = told(rulebase)
    session = session.change(number_of(session, "weight"))
    assert session.question.id == "weight"
    assert session.drafts["weight"] == "2 lb 8"
    assert session.answer("3 lb").question is None


def test_back_from_a_change_leaves_the_answer_as_it_was(rulebase):
    session = told(rulebase)
    case = session.case()
    again = session.change(number_of(session, "weight")).back()
    assert again.question is None
    assert again.case() == case


def test_a_change_that_opens_new_questions_asks_them(rulebase):
    session = told(rulebase)
    session = session.change(number_of(session, "start_state")).answer("out")
    assert session.question.id == "out_minutes"
    assert session.answer("20 min").question is None


def test_there_is_no_row_beyond_the_last(rulebase):
    session = told(rulebase)
    for number in (0, -1, len(session.ordered()) + 1):
        with pytest.raises(InputError, match="no answer"):
            session.change(number)


def test_subjects_are_kept_together_and_each_number_opens_its_own_row(rulebase):
    session = told(rulebase)
    groups = [rulebase.questions[one.question].group for one in session.ordered()]
    assert sum(a != b for a, b in pairwise(groups)) == len(set(groups)) - 1
    for number, one in enumerate(session.ordered(), start=1):
        assert session.change(number).question.id == one.question


def test_the_number_of_a_question_is_its_place_among_those_that_apply(rulebase):
    session = told(rulebase)
    assert Session.start(rulebase, NOW).number == 1
    assert told(rulebase, upto="cut").number == 1 + len(told(rulebase, upto="cut").answered)
    assert session.change(number_of(session, "cut")).number == 1 + asked(session).index("cut")


def test_a_row_keeps_its_number_while_others_are_added_and_when_it_is_changed(rulebase):
    session, numbers = Session.start(rulebase, NOW), {}
    while (question := session.question) is not None:
        numbers[question.id] = session.number
        session = session.answer(TOLD[question.id])
    assert numbers == {one.question: n for n, one in enumerate(session.ordered(), start=1)}
    changed = session.change(numbers["weight"])
    assert changed.number == numbers["weight"]
    assert [one.question for one in changed.answer("3 lb").ordered()] == list(numbers)
    assert [one.question for one in changed.with_changing()] == list(numbers)


# --- what no longer applies must not count


def test_an_advisory_said_before_guests_at_risk_were_named_does_not_count(rulebase):
    session = told(rulebase)
    assert session.case().word("guests", "advisory") == "yes"
    session = session.change(number_of(session, "vulnerable")).answer("facility")
    assert session.case().given("guests", "advisory") is None
    assert "advisory" not in [one.question for one in session.ordered()]


def test_an_answer_that_counts_again_need_not_be_typed_again(rulebase):
    session = told(rulebase)
    session = session.change(number_of(session, "vulnerable")).answer("some")
    session = session.change(number_of(session, "vulnerable")).answer("no")
    assert session.question is None
    assert session.case().word("guests", "advisory") == "yes"


def test_time_out_does_not_count_for_meat_from_the_fridge(rulebase):
    session = told(rulebase, start_state="out", out_minutes="5 h")
    session = session.change(number_of(session, "start_state")).answer("fridge")
    assert session.case().given("piece", "out_minutes") is None
    assert contradictions(session.case(), rulebase, str) == []


def test_another_animal_asks_for_the_cut_again_and_offers_the_old_word(rulebase):
    session = told(rulebase)
    session = session.change(number_of(session, "animal")).answer("chicken")
    assert session.question.id == "cut"
    assert session.drafts["cut"] == "outside round"
    assert contradictions(session.case(), rulebase, str) == []


def test_the_same_animal_again_keeps_the_cut(rulebase):
    session = told(rulebase)
    assert session.change(number_of(session, "animal")).answer("beef").question is None


# --- questions back


def test_an_ambiguous_cut_is_asked_about_and_never_guessed(rulebase):
    session = told(rulebase, upto="cut").answer("bavette")
    pending = session.follow_up
    assert [value for value, _ in pending.options] == ["sirloin_flap", "flank_steak", ""]
    assert pending.options[-1][1] == "none of these"
    assert session.case().given("piece", "cut") is None
    settled = session.answer("1")
    assert settled.follow_up is None
    assert settled.case().word("piece", "cut") == "sirloin_flap"
    assert settled.case().given("piece", "cut").as_written == "bavette"


def test_a_cut_we_do_not_know_offers_near_ones_and_none_of_these(rulebase):
    session = told(rulebase, upto="cut").answer("flanck stake")
    assert "flank_steak" in [value for value, _ in session.follow_up.options]
    none = session.answer(str(len(session.follow_up.options)))
    assert none.case().given("piece", "cut").origin == "not known"
    assert none.case().given("piece", "cut").as_written == "flanck stake"
    assert complete(none.case(), rulebase).word("piece", "cut") == "unknown_cut"


def test_an_empty_line_settles_nothing(rulebase):
    for session in (
        told(rulebase, upto="cut").answer("bavette"),
        told(rulebase, upto="softeners").answer("kiwi"),
    ):
        for blank in ("", "   ", "."):
            with pytest.raises(InputError):
                session.answer(blank)


def test_back_from_a_question_back_returns_to_the_question(rulebase):
    session = told(rulebase, upto="cut").answer("bavette").back()
    assert session.follow_up is None
    assert session.question.id == "cut"
    assert session.drafts["cut"] == "bavette"


def test_each_fruit_is_asked_about_by_itself(rulebase):
    session = told(rulebase, upto="softeners").answer("kiwi and pineapple")
    assert "kiwi" in session.follow_up.ask
    session = session.answer("tin")
    assert "pineapple" in session.follow_up.ask
    session = session.answer("fresh")
    assert [(item.what, item.form) for item in session.softeners] == [("green_kiwi", "tinned"), ("pineapple", "fresh")]


def test_a_form_that_is_not_known_stays_not_known(rulebase):
    session = told(rulebase, upto="softeners").answer("fresh ginger, kiwi").not_known()
    assert [item.form for item in session.softeners] == ["fresh", "unknown"]
    assert "latex" in [question.id for question in session.open_questions()]


# --- wording of failures


def failures(session, texts):
    """Messages for one wrong line after the other."""
    said = []
    for text in texts:
        with pytest.raises(InputError) as caught:
            session.answer(text)
        session = session.noted_failure(caught.value)
        said.append(caught.value)
    return said, session


@pytest.mark.parametrize(
    ("upto", "wrong"),
    [
        ("setting", "moon"),
        ("thickness", "thick"),
        ("thickness", "30"),
        ("softeners", "a rock"),
        ("serve", "soon"),
        ("animal", ""),
    ],
)
def test_no_sentence_is_said_twice_for_one_question(rulebase, upto, wrong):
    said, _ = failures(told(rulebase, upto=upto), [wrong] * 5)
    whats, hints = [error.what for error in said], [error.hint for error in said if error.hint]
    assert len(set(whats)) == len(whats)
    assert len(set(hints)) == len(hints)


def test_a_message_never_comes_without_a_way_on(rulebase):
    said, _ = failures(told(rulebase, upto="thickness"), ["4"] * 12)
    assert all(error.hint for error in said)
    assert rulebase.questions["thickness"].again in said[-1].hint


def test_the_second_message_is_the_one_written_for_it(rulebase):
    said, _ = failures(told(rulebase, upto="thickness"), ["30", "30"])
    assert "30 mm" in said[0].hint
    assert said[1].hint == rulebase.questions["thickness"].again


def test_a_new_mistake_is_named_for_what_it_is(rulebase):
    said, _ = failures(told(rulebase, upto="thickness"), ["30", "4 m"])
    assert "between" in said[1].what


def test_an_answer_ends_the_count_of_failures(rulebase):
    _, session = failures(told(rulebase, upto="weight"), ["heavy", "heavy"])
    fresh, _ = failures(told(rulebase, upto="thickness"), ["30"])
    after, _ = failures(session.answer("1 kg"), ["30"])
    assert str(after[0]) == str(fresh[0])


def test_a_question_back_is_worded_anew_too(rulebase):
    said, _ = failures(told(rulebase, upto="cut").answer("bavette"), ["both", "both", "both"])
    assert len({str(error) for error in said}) == 3


# --- laws

TYPED = st.sampled_from(
    [
        *TOLD.values(),
        "out",
        "pumped",
        "bavette",
        "brisket",
        "kiwi, pineapple",
        "chicken",
        "none",
        "facility",
        "1",
        "2",
        "",
        "²",
        "9" * 5000,
        "\ud800",
        "yes",
        "3 h",
        "so",
        "-4",
        "1/0 in",
        "\x1b[A",
    ]
)
DEEDS = st.lists(
    st.one_of(
        st.tuples(st.just("answer"), TYPED),
        st.tuples(st.sampled_from(["not_known", "back"]), st.none()),
        st.tuples(st.just("change"), st.integers(-1, 20)),
    ),
    max_size=40,
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(deeds=DEEDS)
def test_whatever_is_typed_the_session_stands_and_can_be_ended(rulebase, deeds):
    session = Session.start(rulebase, NOW)
    for deed, value in deeds:
        try:
            if deed == "answer":
                session = session.answer(value)
            elif deed == "change":
                session = session.change(value)
            else:
                session = getattr(session, deed)()
        except InputError as error:
            session = session.noted_failure(error)
        case = session.case()
        assert contradictions(case, rulebase, str) == []
        applied = {one.question for one in session.ordered()}
        for subject, facts in (("piece", case.piece), ("guests", case.guests)):
            for name in facts:
                entry = rulebase.vocabulary[subject][name]
                assert (entry.asked or "softeners") in applied
    for _ in range(3 * len(rulebase.questions)):
        if session.question is None and session.follow_up is None:
            break
        session = session.not_known()
    assert session.question is None


def test_which_of_several_cuts_is_not_known_takes_the_worst_of_those(rulebase):
    session = told(rulebase, upto="cut").answer("sirloin")
    assert "type dk" in session.follow_up.ask
    session = session.not_known()
    cut = session.case().word("piece", "cut")
    assert cut == "strip_loin or top_sirloin"
    both = [rulebase.cuts[one] for one in cut.split(" or ")]
    record = rulebase.cuts[cut]
    assert max(record.thickness_mm) == max(max(one.thickness_mm) for one in both)
    assert min(record.thickness_mm) == min(min(one.thickness_mm) for one in both)
    assert max(record.thickness_mm) < max(rulebase.cuts["unknown_cut"].thickness_mm)
    full = complete(session.case(), rulebase)
    assert full.given("piece", "cut").origin == "assumed worst"
    assert full.given("piece", "cut").note in assumptions(full)


def test_none_of_several_cuts_is_still_a_cut_that_nobody_knows(rulebase):
    session = told(rulebase, upto="cut").answer("sirloin").answer("none of these")
    assert complete(session.case(), rulebase).word("piece", "cut") == "unknown_cut"
    near = told(rulebase, upto="cut").answer("flanck stake").not_known()
    assert complete(near.case(), rulebase).word("piece", "cut") == "unknown_cut"


def test_one_cut_or_another_may_be_typed_as_it_is(rulebase):
    session = told(rulebase, upto="cut").answer("flank steak or hanger")
    assert session.follow_up is None
    assert session.case().word("piece", "cut") == "flank_steak or hanger"


def test_a_cut_of_another_animal_changes_the_animal_too_and_keeps_its_row(rulebase):
    session = told(rulebase)
    row = number_of(session, "animal")
    asked = session.change(number_of(session, "cut")).answer("pork shoulder")
    assert asked.case().word("piece", "animal") == "pork"
    assert [value for value, _ in asked.follow_up.options][:2] == ["boston_butt", "pork_picnic"]
    done = asked.answer("1")
    assert done.case().word("piece", "cut") == "boston_butt"
    assert number_of(done, "animal") == row
    goat = session.change(number_of(session, "cut")).answer("goat leg")
    assert (goat.case().word("piece", "animal"), goat.case().word("piece", "cut")) == ("goat", "goat_leg")


def test_a_cut_that_may_be_of_this_animal_never_changes_it(rulebase):
    for word in ("shoulder", "flank steak", "grumpf", "leg", "chicken fried steak"):
        asked = told(rulebase, upto="cut").answer(word)
        assert asked.case().word("piece", "animal") == "beef"


def test_deer_of_which_nobody_said_farmed_names_the_two_things_to_type(rulebase):
    with pytest.raises(InputError) as found:
        told(rulebase, upto="cut").answer("venison haunch")
    assert "farmed deer" in found.value.hint
    assert "wild game" in found.value.hint
