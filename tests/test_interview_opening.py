"""The opening in plain words: how it should eat, the tools, the eaters; and no guess is taken as an answer."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from advisor.advice.build import build_plan
from advisor.errors import InputError
from advisor.interview.opening import opened
from advisor.interview.overheard import overheard
from advisor.interview.session import Session
from advisor.interview.store import load, save
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))


def taken(text):
    found = opened(Session.start(RULEBASE, NOW), text)
    given = {one.question: one.read.given.value for one in found.session.answered if one.read.given is not None}
    return given, found


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("beef chuck, 2 lb, 2 in thick, I want it to fall apart", "fall_apart"),
        ("flank steak 800 g, fall-apart tender", "fall_apart"),
        ("pork shoulder 2 kg, pulled, for home", "fall_apart"),
        ("pork shoulder, 2 kg, for pulled pork", "fall_apart"),
        ("lamb shank, falling off the bone", "fall_apart"),
        ("chuck, soft enough to shred", "fall_apart"),
        ("strip steak, 1 in, pink", "pink"),
        ("ribeye, 30 mm, medium-rare please", "pink"),
        ("skirt steak 1 lb, I do not want it well done, rather pink", "pink"),
        ("hanger steak, not fall apart, pink", "pink"),
        ("lamb leg, well done", "well_done"),
        ("chicken breast, no pink", "well_done"),
        ("top round, in thin slices for a stir fry", "thin_quick"),
        ("flank, thin strips, stir-fried", "thin_quick"),
    ],
)
def test_how_it_should_eat_is_heard_and_leaves_nothing_over(text, want):
    given, found = taken(text)
    assert given["want"] == want
    assert found.left == ()


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("steak burger, top sirloin, beef, 180 g, 2 cm, pink, home, fridge", "top_sirloin"),
        ("beef burgers, 6 oz", None),
        ("beef patties", None),
        ("pork sausages 1kg", None),
        ("turkey burger", None),
        ("lamb kofta", None),
        ("beef meat loaf", None),
        ("meatballs, beef", None),
        ("beef rump steak burgers", "asked"),
    ],
)
def test_what_is_made_of_mince_is_minced_and_needs_no_name_of_a_cut(text, cut):
    given, found = taken(text)
    assert given["form"] == "minced"
    assert given.get("cut", "asked") == cut
    assert found.left == ()


@pytest.mark.parametrize(
    "text",
    [
        "flank steak with pink salt",
        "chuck, pulled from the freezer an hour ago",
        "flank, pink or well done",
        "flank, I do not want it pink",
        "flank, maybe pink",
    ],
)
def test_what_does_not_say_how_it_should_eat_leaves_it_to_be_asked(text):
    assert "want" not in taken(text)[0]


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("chuck roast, we have a water bath", {"guests bath": "yes"}),
        ("chuck roast, no water bath", {"guests bath": "no"}),
        ("chuck roast, no water bath or pressure cooker", {"guests bath": "no", "guests pressure": "no"}),
        ("we don't have a water bath, but a pressure cooker", {"guests bath": "no", "guests pressure": "yes"}),
        ("oxtail, pressure cooker: no", {"guests pressure": "no"}),
        ("oxtail, pressure cooker no, water bath yes", {"guests pressure": "no", "guests bath": "yes"}),
        ("oxtail, pressure cooker broken", {"guests pressure": "no"}),
        ("oxtail, our pressure cooker is not working", {"guests pressure": "no"}),
        ("oxtail, water bath: yes", {"guests bath": "yes"}),
        ("oxtail, pressure cooker no oven", {}),
        ("do we need a water bath for chuck?", {}),
        ("I don't know if we have a water bath", {}),
    ],
)
def test_tools_are_heard_and_so_is_their_lack(text, facts):
    assert overheard(text, RULEBASE).facts == facts


@pytest.mark.parametrize("text", ["lamb neck, pressure cooker, fridge", "lamb neck, fridge, pressure cooker"])
def test_a_tool_and_a_place_alone_are_no_steps_in_either_order(text):
    given, found = taken(text)
    assert (given["pressure"], given["start_state"], found.steps) == ("yes", "fridge", False)


@pytest.mark.parametrize(
    ("text", "who"),
    [
        ("beef chuck for my gran", "some"),
        ("chicken breast for a nursing home", "facility"),
        ("flank for friends", None),
    ],
)
def test_eaters_are_heard(text, who):
    assert taken(text)[0].get("vulnerable") == who


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("chuck roast, in the fridge, 3 lb", "fridge"),
        ("brisket flat kept in the freezer", "frozen"),
        ("chuck roast, in the fridge for two days", "fridge"),
        ("chuck roast on the counter", "out"),
        ("chicken thighs straight out of the fridge", "fridge"),
        ("chicken thighs out of the fridge", None),
        ("chicken thighs from the fridge, sat 4 hours", None),
        ("chicken thighs from the fridge, left 4 hours", None),
    ],
)
def test_a_place_alone_says_where_the_meat_has_been(text, state):
    assert taken(text)[0].get("start_state") == state


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("chicken thighs, 1 kg, 3 cm thick, out of the fridge since noon", None),
        ("turkey breast 2 kg, 7 cm, thawed, sitting out 3 hours", 180),
        ("beef flank left on the counter all night, 1 kg, 2 cm", 720),
        ("chicken breast, thawed on the counter overnight", 720),
        ("chicken breast, fridge for two days, then counter 5 hours", 300),
        ("flank from the fridge, 2 cm, sat on the counter 4 hours", 240),
        ("frozen turkey breast left out 5 hours", 300),
        ("chicken breast in the fridge, was out for an hour", 60),
        ("chicken thighs out of the walk-in since noon", None),
        ("flank out of fridge 3 hours", 180),
        ("tri tip 2 lb, out since 9 am", 180),
        ("chuck, pulled from the freezer an hour ago", 60),
    ],
)
def test_what_stood_out_is_never_taken_as_cold(text, minutes):
    given, _ = taken(text)
    assert given["start_state"] == "out"
    assert given.get("out_minutes") == minutes


@pytest.mark.parametrize(
    ("text", "state", "hours"),
    [
        ("chicken breast, 200 g, 3 cm, 6 days in the fridge, home, cooked through", "fridge", 144),
        ("chicken breast has been in the fridge for 6 days", "fridge", 144),
        ("chicken breast, a week in the fridge", "fridge", 168),
        ("chicken thighs in the fridge for several days", "fridge", 168),
        ("chicken breast, in the fridge since last Friday", "fridge", 132),
        ("chicken breast, in the fridge since last Monday", "fridge", 228),
        ("chicken breast bought on Monday", None, 60),
        ("chicken thighs bought yesterday for dinner on Friday at 7", None, 36),
        ("pork chops delivered three days ago, in the fridge", "fridge", 84),
        ("chicken, 5 days old", None, 132),
        ("beef flank steak, frozen, bought last week", "frozen", None),
        ("chicken breast, fridge for two days, then counter 5 hours", "out", 48),
        ("turkey breast out of the freezer yesterday, in the fridge", "fridge", 36),
    ],
)
def test_the_days_in_the_fridge_are_counted(text, state, hours):
    given, found = taken(text)
    assert given.get("start_state") == state
    told = found.session.case().piece.get("fridge_time")
    assert (told and told.value / 60) == hours
    # It is an answer like any other: it has a row, and can be changed.
    assert ("fridge_time" in given) is (hours is not None)
    assert found.left == ()
    assert not found.steps


@pytest.mark.parametrize(
    "text",
    [
        "chicken breast, a day or two in the fridge",
        "chicken breast, in the fridge for a day at least",
        "chicken breast, in the fridge a day, maybe two",
        "chicken breast, in the fridge for 2 nights and a day",
        "chicken breast, more than a day in the fridge",
    ],
)
def test_days_of_which_the_end_is_open_are_asked(text):
    given, found = taken(text)
    assert "fridge_time" not in given
    assert any("how long it has been in the fridge" in note for note in found.notes)


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("chicken breast, in the fridge for two nights", 60),
        ("chicken breast, overnight in the fridge", 36),
        ("chicken breast, over night in the fridge", 36),
        ("chicken breast, frozen, thawing in the fridge since Monday", 60),
        ("chicken breast, frozen, in the fridge since Monday", 60),
    ],
)
def test_nights_and_days_of_a_thaw_count_in_the_opening_as_in_an_answer(text, hours):
    given, found = taken(text)
    assert found.session.case().number("piece", "fridge_time") == hours * 60
    assert given.get("start_state") != "frozen"


@pytest.mark.parametrize(
    ("text", "serve"),
    [
        ("lamb shanks bought yesterday 5pm, home, Friday 7:30 pm", "Fri 19:30"),
        ("lamb shanks bought Monday 3 pm", ""),
        ("lamb shanks, for the 28th at 7pm", ""),
    ],
)
def test_the_hour_at_which_meat_was_bought_is_none_to_serve_it(text, serve):
    moment = taken(text)[1].session.case().serve
    assert (f"{moment:%a %H:%M}" if moment is not None else "") == serve


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("two turkeys, 12 kg in all", 6000),
        ("2 turkeys of 6 kg each", 6000),
        ("2 x 1.6 kg chickens", 1600),
        ("3 chicken thighs, 600 g", 600),
    ],
)
def test_of_several_birds_the_plan_is_for_one(text, grams):
    assert taken(text)[1].session.case().number("piece", "weight") == grams


def test_meat_that_was_kept_too_long_before_is_no_plan_to_go_on_with():
    words = "chicken breast, 200 g, 3 cm, {}, home, cooked through"
    plans = []
    for kept in ("in the fridge", "6 days in the fridge"):
        session = taken(words.format(kept))[1].session
        plans.append(build_plan(session.case(), (), RULEBASE, NOW).report)
    assert plans[0].verdict == "go"
    assert plans[1].verdict == "change"
    assert "hold.fridge_days_small" in [one.rule.rule.id for one in plans[1].problems]


@pytest.mark.parametrize(
    ("text", "state", "hours"),
    [
        ("chicken thighs thawed yesterday, now in the fridge", "fridge", 36),
        ("whole chicken 4 lb, thawed in the fridge", "fridge", None),
        ("chicken breast, frozen, thawed in the fridge for 2 days", "fridge", 48),
        ("turkey, was frozen, now thawed, in the fridge", "fridge", None),
        ("lamb shanks, defrosted overnight", None, None),
        ("turkey, thawed", None, None),
        ("turkey breast thawed on the counter overnight", "out", None),
        ("frozen turkey, to be thawed", "frozen", None),
        ("turkey, half thawed", "frozen", None),
        ("turkey breast, thaw in the fridge overnight", "frozen", None),
    ],
)
def test_what_is_thawed_is_frozen_no_more(text, state, hours):
    given, found = taken(text)
    assert given.get("start_state") == state
    told = found.session.case().piece.get("fridge_time")
    assert (told and told.value / 60) == hours
    # It is an answer like any other: it has a row, and can be changed.
    assert ("fridge_time" in given) is (hours is not None)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("lamb shanks, 4 of 400 g each", 1600),
        ("beef ribs, 6 of them, 300 g each", 1800),
        ("4 pork chops of 250 g each", 1000),
        ("lamb chops, 2 cm thick, 4 x 150 g", 600),
        ("2 racks of lamb, 500 g each", 1000),
        ("flank steak, three pieces, 1.5 kg each", 4500),
        ("beef steaks, 3 cm, 200 g each", None),
        ("flank steak for 4 people, 250 g each", None),
        ("flank steak 250 g", 250),
    ],
)
def test_the_weight_is_that_of_all_pieces_or_is_asked(text, grams):
    given, found = taken(text)
    assert given.get("weight") == grams
    assert bool(found.notes) == (grams != 250)


def test_an_hour_from_now_is_reckoned():
    found = taken("chuck roast 3 lb, serve in 2 hours")[1]
    assert found.session.case().serve == NOW.replace(hour=14)
    assert found.left == ()


def test_a_place_for_the_weak_has_guests_at_work_and_a_whole_bird_is_a_whole_piece():
    given, _ = taken("whole chicken 4 lb, unstuffed, for a nursery")
    assert (given["setting"], given["form"], given["stuffing"]) == ("work", "roast", "none")
    assert "form" not in taken("chicken for a nursery")[0]
    assert taken("whole turkey, in cubes")[0]["form"] == "cubes"
    assert taken("lamb shanks for a nursery, at home")[0]["setting"] == "home"


def test_smoke_is_not_reckoned_and_this_is_said():
    assert any("smoke" in note for note in taken("pork shoulder in the smoker")[1].notes)
    assert not taken("flank steak with smoked paprika")[1].notes


@pytest.mark.parametrize(
    ("text", "animal"),
    [
        ("venison haunch 2 kg, 8 cm, shot by my uncle, fridge", "wild_game"),
        ("roadkill venison haunch", "wild_game"),
        ("venison haunch 2 kg", None),
        ("venison fillet 500 g, 2 cm thick", None),
        ("farmed venison haunch 2 kg", "farmed_deer"),
    ],
)
def test_venison_is_farmed_only_where_that_was_said(text, animal):
    assert taken(text)[0].get("animal") == animal


def test_an_hour_that_may_be_morning_is_asked_and_a_day_that_is_past_is_no_hour():
    found = taken("chuck roast 3 lb, serve sat 7:00")[1]
    assert "serve" not in found.taken
    assert found.session.drafts == {"serve": "sat 7:00"}
    assert found.notes == ("'sat 7:00': am or pm? We ask when we come to it.",)
    assert "serve" in taken("chuck roast 3 lb, serve sat 7:00 pm")[1].taken
    found = taken("chuck roast 3 lb, yesterday 7 pm")[1]
    assert "serve" not in found.taken
    assert found.notes == ("'yesterday 7 pm' is past, so we ask when you serve it.",)


def test_a_number_before_thick_is_no_part_of_the_weight():
    given, found = taken("chuck roast 3 lbs 4 thick")
    assert given["weight"] == pytest.approx(3 * 453.59237)
    assert "thickness" not in given
    assert found.left == ("4 thick",)


def test_a_kid_of_ours_is_a_child():
    given, _ = taken("chuck roast, 3 lb, kid is allergic to kiwi")
    assert (given["animal"], given["vulnerable"], given["latex"]) == ("beef", "some", "yes")
    assert taken("leg of kid")[0]["animal"] == "goat"


@pytest.mark.parametrize("text", ["no oven", "no needle"])
def test_what_is_not_there_and_no_question_asks_is_listed(text):
    assert taken(f"chuck roast, {text}")[1].left == (text,)


def test_a_step_without_a_figure_is_a_step():
    assert taken("chuck roast, no sous vide")[0]["bath"] == "no"
    assert taken("chuck roast, jaccard")[1].steps


def test_baby_back_ribs_are_a_cut_and_no_baby():
    assert "vulnerable" not in taken("a baby back rib rack, 1 kg")[0]
    assert taken("the baby back ribs, 1 kg")[0].get("vulnerable") is None
    assert taken("chuck roast 3 lb for the baby and me")[0]["vulnerable"] == "some"


def test_a_tool_beside_the_meat_is_no_cut_and_no_step():
    given, found = taken("I've got a 3 lb chuck roast and a blade tool, no injector, want it pink")
    assert (given["cut"], given["blade_tool"], given["injector"]) == ("chuck_roll", "yes", "no")
    assert found.left == ()
    assert not taken("lamb shank, we have a pressure cooker and a water bath")[1].steps


def test_a_cut_of_several_animals_is_no_answer_until_the_animal_is_known():
    given, found = taken("tenderloin steaks, rare")
    assert "animal" not in given
    assert "cut" not in given
    assert found.left == ()
    session = found.session
    assert session.drafts == {"cut": "tenderloin"}


@pytest.mark.parametrize(
    ("text", "animal", "cuts"),
    [
        ("sirloin steak, 1 kg", "beef", {"strip_loin", "top_sirloin", ""}),
        ("skirt steak 1 lb", "beef", {"outside_skirt", "inside_skirt", ""}),
    ],
)
def test_a_cut_told_before_its_animal_is_offered_as_soon_as_that_is_known(text, animal, cuts):
    session = taken(text)[1].session
    for _ in range(3):
        if session.question.id == "animal":
            break
        session = session.not_known()
    session = session.answer(animal)
    assert {value for value, _ in session.follow_up.options} == cuts
    assert "cut" not in session.drafts


def test_a_word_for_several_cuts_of_one_animal_is_asked_about_at_once():
    _, found = taken("brisket, 3 lb, for home")
    assert found.left == ()
    assert found.notes == ()
    options = [value for value, _ in found.session.follow_up.options]
    assert options == ["brisket_flat", "brisket_point", "whole_brisket", ""]


def test_the_time_told_is_offered_again_as_it_can_be_typed(rulebase):
    session = opened(Session.start(rulebase, NOW), "flank steak, for home, dinner on Saturday, 19:30").session
    row = next(n for n, one in enumerate(session.ordered(), start=1) if one.read.moment is not None)
    changing = session.change(row)
    assert changing.answer(changing.drafts["serve"]).case().serve == session.case().serve


def test_how_many_it_is_for_is_kept_though_no_question_asks_it(rulebase, tmp_path):
    session = opened(Session.start(rulebase, NOW), "flank steaks, 800 g, for 6 people at home").session
    assert session.case().number("guests", "portions") == 6
    assert session.case().word("piece", "form") == "steak"
    session = opened(session, "boneless, at 1600 m").session
    assert session.case().word("piece", "bone") == "no"
    save(session, tmp_path / "session.json")
    again = load(tmp_path / "session.json", rulebase, NOW).session
    assert again.case() == session.case()
    assert [one.question for one in again.ordered()] == [one.question for one in session.ordered()]


def animal_asked(text):
    session = Session.start(RULEBASE, NOW)
    for question, answer in (("setting", "home"), ("vulnerable", "no")):
        session = session.answer_to(RULEBASE.questions[question], answer)
    assert session.question.id == "animal"
    return session.answer(text)


@pytest.mark.parametrize(
    ("text", "animal", "cut"),
    [("chuck roast", "beef", "chuck_roll"), ("lamb leg", "lamb", "lamb_leg"), ("calf liver", "veal", "calf_liver")],
)
def test_a_cut_answers_for_its_animal(text, animal, cut):
    case = animal_asked(text).case()
    assert (case.word("piece", "animal"), case.word("piece", "cut")) == (animal, cut)


def test_a_cut_of_one_animal_that_may_be_several_is_asked_about():
    session = animal_asked("beef brisket")
    assert session.case().word("piece", "animal") == "beef"
    assert len(session.follow_up.options) == 4


@pytest.mark.parametrize("text", ["liver", "grumpf", "beef grumpf", "venison haunch"])
def test_a_word_that_leaves_the_animal_open_is_no_answer(text):
    with pytest.raises(InputError):
        animal_asked(text)


FIVE = datetime(2026, 11, 25, 17, tzinfo=ZoneInfo("America/Chicago"))


def told_at_five(text):
    found = opened(Session.start(RULEBASE, FIVE), text)
    given = {one.question: one.read.given.value for one in found.session.answered if one.read.given is not None}
    return given, found


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("chuck roast, 3 lb, out since noon, for home", 300),
        ("flank steak on the counter since 2pm", 180),
        ("flank steak, out of the fridge since 9 am", 480),
        ("flank steak, out of the fridge since 14:30", 150),
        ("chuck roast left on the table since noon", 300),
        ("flank steak, taken out of the fridge at 3 pm", 120),
        ("chicken thighs thawed in the sink since 10 am", 420),
        # Nine in the evening is not yet: it was yesterday's.
        ("flank steak, out of the fridge since 9 pm", 1200),
    ],
)
def test_since_an_hour_is_reckoned_up_to_now_and_said(text, minutes):
    given, found = told_at_five(text)
    assert (given["start_state"], given["out_minutes"]) == ("out", minutes)
    assert any("so it has been out" in note for note in found.notes)


@pytest.mark.parametrize(
    "text",
    [
        "flank steak out since 2",
        "flank steak on the counter since 5 pm",
        "flank steak, out of the fridge since yesterday",
        "chuck roast forgotten on the back seat from noon to 4",
    ],
)
def test_an_hour_that_may_be_two_is_asked_about(text):
    given, found = told_at_five(text)
    assert given["start_state"] == "out"
    assert "out_minutes" not in given
    assert "serve" not in found.taken
    assert any("how long it" in note for note in found.notes) or found.left


def test_meat_that_was_cold_since_an_hour_is_not_taken_as_out():
    assert told_at_five("chuck roast in the fridge since noon")[0]["start_state"] == "fridge"


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("flank steak left in the car 4 hours", 240),
        ("brisket, 4 hours in the car, 3 in thick", 240),
        ("flank steak in the trunk for 3 hours", 180),
        ("top round; it sat in the van 2-3 hours", 180),
        ("chuck roast, 3 lb, it was left in the hot car for an hour, then in the fridge", 60),
    ],
)
def test_meat_left_in_a_car_was_out_and_hot(text, minutes):
    given, found = told_at_five(text)
    assert (given["start_state"], given["out_minutes"]) == ("out", minutes)
    heat = found.session.case().number("piece", "out_temperature")
    assert heat > RULEBASE.limit("hot_room")
    assert any("may be hot" in note for note in found.notes)


def test_where_cooked_meat_rests_is_not_where_it_lay_raw():
    assert "start_state" not in told_at_five("strip steak, rest it 10 min on the table")[0]


def test_a_car_in_which_no_meat_lay_says_nothing():
    assert told_at_five("chuck roast in the freezer, my car is red")[0]["start_state"] == "frozen"


@pytest.mark.parametrize(
    ("text", "serve", "eaters"),
    [
        ("chuck roast for a dinner at home for 6 on saturday at 7", "2026-11-28 19:00", 6),
        ("chuck roast, lunch for 8 tomorrow at 1", "2026-11-26 13:00", 8),
        ("chuck roast, dinner tomorrow 7:30 for 12", "2026-11-26 19:30", 12),
        ("pork shoulder for 10 on saturday for dinner at 6", "2026-11-28 18:00", 10),
        ("duck breast, dinner for two tonight at 8", "2026-11-25 20:00", 2),
        ("pork chops, supper at 9, for 3", "2026-11-25 21:00", 3),
        ("pork chops, sunday dinner at 2 for 3", "2026-11-29 14:00", 3),
    ],
)
def test_a_meal_says_which_half_of_the_day_and_for_how_many(text, serve, eaters):
    _, found = told_at_five(text)
    case = found.session.case()
    assert f"{case.serve:%Y-%m-%d %H:%M}" == serve
    assert case.number("guests", "portions") == eaters
    assert any("is taken as" in note for note in found.notes)
    assert not found.left


@pytest.mark.parametrize(
    "text",
    ["pork roast for christmas dinner", "brisket, dinner friday at 12", "round steak, was in my lunch bag since 7 am"],
)
def test_a_meal_of_which_nobody_can_tell_when_it_is_is_asked_about(text):
    assert "serve" not in told_at_five(text)[1].taken


def test_an_hour_without_a_meal_is_still_asked_about():
    assert told_at_five("chuck roast, saturday at 7")[1].session.drafts["serve"] == "saturday at 7"


def test_a_weight_that_is_said_to_be_thick_is_no_thickness():
    given, found = told_at_five("chuck roast 3 lbs 4 oz thick")
    assert "thickness" not in given
    assert "'4 oz thick' is a weight, so we ask how thick it is." in found.notes


def test_what_makes_no_plan_is_named():
    assert told_at_five("chuck roast in the slow cooker")[1].left == ("slow cooker",)
    assert told_at_five("chuck roast, soft and juicy")[1].left == ("soft and juicy",)
    assert told_at_five("pork belly, I want to cure it")[1].left == ("cure",)
    assert "wrap it in paper" in told_at_five("brisket flat, wrap it in paper, smoke it")[1].left
    assert told_at_five("brisket flat, smoke it")[1].named == ("cook in the oven",)


def test_a_word_for_several_cuts_of_one_animal_is_asked_about():
    given, found = told_at_five("flank, from the fridge")
    assert "cut" not in given
    assert found.session.follow_up is not None


def test_one_word_between_commas_says_who_it_is_for_and_a_shape_needs_no_article():
    given, found = told_at_five("outside round, 1.2 kg, whole thick piece, home")
    assert (given["setting"], given["form"]) == ("home", "roast")
    assert not found.left
    assert "setting" not in told_at_five("chuck roast that my mother brought home")[0]


@pytest.mark.parametrize(
    "text",
    [
        "chuck roast, fridge broke last night",
        "chuck roast from the fridge, power went out for 6 hours",
        "chuck roast, back in the fridge since noon",
        "chuck roast, 2 lb, in a cooler with ice since noon",
        "chuck roast, bought at noon",
    ],
)
def test_a_cold_place_that_may_not_have_been_cold_is_no_answer(text):
    given, found = told_at_five(text)
    assert "start_state" not in given
    assert "serve" not in found.taken
    assert any("we ask where it has been" in note.lower() for note in found.notes)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("chuck roast, out 3 h, back in the fridge since noon", 180),
        ("chuck roast, marinating on the counter since noon", 300),
        ("chuck roast 2 lb came out of the freezer at 8 am", 540),
    ],
)
def test_time_out_is_kept_beside_what_else_was_said_of_it(text, minutes):
    given, _ = told_at_five(text)
    assert (given["start_state"], given["out_minutes"]) == ("out", minutes)


def test_a_cut_that_is_named_whole_is_settled():
    assert taken("beef brisket 12 lb whole")[0]["cut"] == "whole_brisket"
    assert taken("beef brisket 12 lb")[1].session.follow_up is not None
