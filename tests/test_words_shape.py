"""The shape of the meat as a chef takes it from the words, and words for what is cut up, which win."""

from __future__ import annotations

from datetime import datetime

import pytest

from advisor.case.complete import complete
from advisor.case.words.altered import read_altered
from advisor.case.words.correct import Correcting
from advisor.case.words.reader import read_words
from advisor.case.words.shape import shape_of

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a kitchen's clock


def form_of(text, rulebase):
    given = read_words(text, rulebase, NOW).piece.get("form")
    return given.value if given is not None else None


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("flank, 2 lb, inch and a half thick, papaya 2 h in the fridge, grill 4 min a side", "steak"),
        ("flank steak 2 lb, grill 3 min", "steak"),
        ("venison steak 300 g, pan 2 min a side", "steak"),
        ("pork chops 3 cm thick, pan 4 min", "steak"),
        ("ribeye 1 inch thick, pan 3 min a side", "steak"),
        ("ribeye 4 kg, 10 cm thick, oven 120 C 4 h", "roast"),
        ("topside joint 2 kg, oven 150C 2 h", "roast"),
        ("a whole flank, 2 lb, oven 100C 1 h", "roast"),
        ("chuck roast 3 lb, braise 95C 5h", "roast"),
        ("outside round 1 kg 5 cm thick, bath 57 C 12 h", "roast"),
    ],
)
def test_the_shape_is_read_and_told(text, form, rulebase):
    assert form_of(text, rulebase) == form
    given = read_words(text, rulebase, NOW).piece["form"]
    assert "joint" in text or given.note.endswith("say so if it is minced or cut up")


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("beef mince 500 g 2 cm thick, grill 3 min", "minced"),
        ("flank steak cut in strips 1 inch, pan 2 min", "slices"),
        ("chuck steak, diced, 2 cm, braise 90C 3 h", "cubes"),
        ("hamburger steak 2 cm thick pan 3 min", "minced"),
        ("form: minced. flank steak 2 cm thick, pan 3 min", "minced"),
        ("flank 1 in thick, sliced thin, pan 2 min", None),
        ("flank 1 in thick, stir fry 3 min", None),
        ("lamb leg, not minced, 8 cm thick, oven 120 C 3 h", None),
        ("mutton stew meat 3 cm thick, braise 95C 3 h", None),
        ("flank burgers 2 cm thick, grill 3 min", "minced"),
        ("steak burger, top sirloin, 2 cm thick, grill 3 min", "minced"),
        ("pork chop 2 cm thick, sausage stuffing, pan 4 min", None),
        ("flank 2 lb, grill 3 min", None),
        ("topside 1 kg, whole night in the fridge, bath 57C 8h", None),
        ("beef 1 kg 3 cm thick, bath 57C 8h", None),
        ("steak seasoning on brisket flat, oven 110C 6 h", None),
    ],
)
def test_what_is_cut_up_or_not_shown_is_not_taken_for_whole(text, form, rulebase):
    assert form_of(text, rulebase) == form


def test_a_slice_after_the_heat_is_no_slice_before_it(rulebase):
    assert form_of("flank 1 in thick, grill 3 min, rest, slice thin across the grain", rulebase) == "steak"


def test_unknown_stays_the_worst_and_so_does_how_it_came(rulebase):
    told = complete(read_words("flank, 2 lb, 1 in thick, grill 4 min a side", rulebase, NOW), rulebase)
    assert told.word("piece", "arrived") == "pierced"
    assert "pierced" in told.piece["arrived"].note
    unsaid = complete(read_words("flank, 2 lb, grill 4 min a side", rulebase, NOW), rulebase)
    assert unsaid.word("piece", "form") == "minced"


def test_it_is_put_right_in_the_playback(rulebase):
    state = Correcting.start("flank, 2 lb, 1 in thick, grill 4 min a side", rulebase, NOW)
    number = next(n for n, line in enumerate(state.lines, start=1) if line.path == ("piece", "form"))
    assert "say so" in state.lines[number - 1].note
    assert state.take(f"{number} minced").case.word("piece", "form") == "minced"
    cut = next(n for n, line in enumerate(state.lines, start=1) if line.path == ("piece", "cut"))
    assert state.take(f"{cut} flank steak").case.word("piece", "cut") == "flank_steak"


def test_a_change_of_a_plan_says_nothing_of_the_shape(rulebase):
    plan = read_words("form: minced; flank steak, 1 in thick, grill 3 min", rulebase, NOW)
    assert (
        "form" not in read_altered("what if I leave the steak on the counter for 2 h", plan, rulebase, NOW).case.piece
    )


def test_thicker_or_heavier_never_turns_a_whole_piece_into_a_steak(rulebase):
    order = ("steak", "roast")
    for cut in rulebase.cuts.values():
        kinds = [order.index(shape_of(cut, mm, 0.0)) for mm in (5, 20, 50, 100, 200)]
        assert kinds == sorted(kinds), cut.name
        assert order.index(shape_of(cut, 20, 1e5)) >= order.index(shape_of(cut, 20, 0.0)), cut.name


@pytest.mark.parametrize(
    ("text", "given"),
    [
        ("combi at 85C 60% humidity for 3 h", {"place": "oven_fan", "humidity": 60.0}),
        ("60 % relative humidity, combi at 85C for 3 h", {"place": "oven_fan", "humidity": 60.0}),
        ("oven at 85C for 3 h, humidity 80%", {"humidity": 80.0}),
        ("combi at 85C steam for 3 h", {"place": "steam"}),
        ("combi on steam at 85C for 3 h", {"place": "steam"}),
        ("steam oven at 85C for 3 h", {"place": "steam"}),
        ("dry oven at 85C for 3 h", {}),
    ],
)
def test_how_damp_an_oven_is_is_read(text, given, rulebase):
    case = read_words(f"brisket flat, 2 kg, 5 cm thick, {text}", rulebase, NOW)
    (step,) = case.steps
    assert (step.action, case.unsettled) == ("oven", ())
    said = {name: step.given[name].value for name in ("place", "humidity") if name in step.given}
    assert {k: v for k, v in said.items() if v != "oven_still"} == given


@pytest.mark.parametrize("text", ["oven at 85C with some steam for 3 h", "combi at 85C with a bit of steam 3 h"])
def test_some_steam_is_no_steam_oven(text, rulebase):
    """How damp it is nobody can tell, and damp air heats better: it is asked, and taken as dry."""
    case = read_words(f"brisket flat, 2 kg, 5 cm thick, {text}", rulebase, NOW)
    assert "how damp" in case.unsettled[0]
    assert case.steps[0].given.get("place", None) is None or case.steps[0].given["place"].value != "steam"


@pytest.mark.parametrize("cut", ["shin", "pork shoulder", "short ribs"])
def test_cuts_that_no_rule_tells_apart_are_not_asked_about(cut, rulebase):
    case = read_words(f"{cut}, 2 kg, 6 cm thick, bath 70 C 24 h", rulebase, NOW)
    assert case.unsettled == ()
    assert "it can mean" in case.piece["cut"].note
    apart = read_words("bavette, 2 kg, 6 cm thick, bath 70 C 24 h", rulebase, NOW)
    assert "'sirloin flap' or 'flank steak'" in apart.unsettled[0]


def test_minced_garlic_is_no_minced_meat(rulebase):
    for text in ("flank 1 in thick, minced garlic, grill 3 min", "flank 1 in thick, minced fresh garlic, grill 3 min"):
        assert form_of(text, rulebase) == "steak"
    assert form_of("beef chuck minced salt 2%, pan 3 min", rulebase) == "minced"
