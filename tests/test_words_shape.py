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
        ("flank burgers 2 cm thick, grill 3 min", None),
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
