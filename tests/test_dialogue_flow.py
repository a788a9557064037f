"""The dialogue with lines laid out beforehand: what the screen says, what is kept, how one leaves and comes back."""

from __future__ import annotations

import io
import json
import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from rich.console import Console

from advisor.interview import store
from advisor.interview.session import Session
from advisor.show.dialogue import run_dialogue
from advisor.show.typed import Quit

NOW = datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
FIRST = [
    "1",
    "1",
    "beef",
    "steak",
    "fridge",
    "flank steak",
    "2 lb 8",
    "1 1/4 in",
    "1",
    "1 day",
    "pink",
    "Sat 19:00",
    "1.2",
    "yes",
]
WHOLE = [*FIRST, "yes"]
# A tough cut, for which a softener is asked about.
TOUGH = [*FIRST[:5], "outside round", *FIRST[6:-1]]


class Kitchen:
    """A rulebase, a file to keep answers in, and a screen."""

    def __init__(self, rulebase, path):
        self.rulebase, self.path = rulebase, path
        self.screen = ""
        self.defaults: list[str] = []
        self.words: list[list[str]] = []
        self.opening = ""

    def run(self, *lines, now=NOW):
        """Type the lines; leave when they are used up."""
        left = iter(lines)
        self.defaults, self.words = [], []

        def read(prompt, words, default):
            if prompt == "tell> ":
                return self.opening
            self.words.append(words)
            self.defaults.append(default)
            line = next(left, None)
            if line is None:
                raise Quit
            if isinstance(line, type):
                raise line
            return line

        file = io.StringIO()
        console = Console(file=file, width=80, force_terminal=False, highlight=False)
        done = run_dialogue(Session.start(self.rulebase, now), self.path, console, read)
        self.screen = "\n".join(line.rstrip() for line in file.getvalue().splitlines())
        assert next(left, None) is None, "lines were left over"
        return done

    def kept(self):
        return store.load(self.path, self.rulebase, NOW).session


@pytest.fixture
def kitchen(rulebase, tmp_path):
    return Kitchen(rulebase, tmp_path / "session.json")


def test_a_whole_interview_ends_with_the_session(kitchen):
    done = kitchen.run(*WHOLE, "plan")
    assert done.question is None
    assert done.case().word("piece", "cut") == "flank_steak"
    assert done.system == "us"


def test_each_question_has_its_number_its_reason_its_choices_and_what_can_be_typed(kitchen):
    kitchen.run(*WHOLE, "plan")
    numbers = [int(n) for n in re.findall(r"Question (\d+)\.", kitchen.screen)]
    assert numbers == list(range(1, len(WHOLE) + 1))
    for one in kitchen.kept().answered:
        question = kitchen.rulebase.questions[one.question]
        flat = " ".join(kitchen.screen.split())
        assert f". {question.ask}" in flat
        assert f"Why: {question.why}" in flat
        for place, label in enumerate(question.choices.values(), start=1):
            assert f"{place} {label}" in flat
    assert "Also: dk (don't know), back, why, so far, change N, help, quit." in kitchen.screen


def test_the_heading_of_a_group_comes_once_until_the_group_changes(kitchen):
    kitchen.run(*FIRST[:5])
    assert kitchen.screen.count("Who it is for") == 1
    assert kitchen.screen.count("The meat") == 1


def test_no_line_is_wider_than_the_screen_and_no_two_lines_are_empty(kitchen):
    kitchen.run(*WHOLE[:6], "why", "so far", "help", "x", *WHOLE[6:], "99", "plan")
    assert max(map(len, kitchen.screen.splitlines())) <= 80
    assert "\n\n\n" not in kitchen.screen
    assert "\x1b" not in kitchen.screen


def test_a_quantity_is_played_back_in_both_systems(kitchen):
    kitchen.run(*FIRST)
    assert "Thickness: 1 1/4 in (32 mm)" in kitchen.screen
    assert re.search(r"Weight: 2 lb 8 oz \(1\.13 kg\)", kitchen.screen)


def test_a_cut_is_played_back_by_its_standard_name(kitchen):
    kitchen.run(*FIRST[:5], "bavette", "1")
    assert "Cut: sirloin flap ('bavette')" in kitchen.screen
    assert "3  none of these" in kitchen.screen


def test_none_of_these_says_aloud_what_is_assumed(kitchen):
    kitchen.run(*FIRST[:5], "bavette", "3")
    assert "Cut: not known; we take" in kitchen.screen


def test_which_of_several_cuts_is_not_known_says_that_the_worst_of_them_is_taken(kitchen):
    kitchen.run(*FIRST[:5], "sirloin", "dk")
    assert "type dk: we take the worst of them" in " ".join(kitchen.screen.split())
    assert "Cut: strip loin or top sirloin, not known which; we take the worst of each" in kitchen.screen


def test_a_shape_can_be_seen_so_not_knowing_it_is_taken_the_second_time_only(kitchen):
    kitchen.run(*FIRST[:3], "dk")
    assert "You can see this one." in kitchen.screen
    assert "Shape:" not in kitchen.screen
    kitchen.run("yes", "dk", "dk")
    assert "Shape: not known; we assume: minced" in kitchen.screen


def test_a_wrong_answer_between_begins_the_look_anew(kitchen):
    kitchen.run(*FIRST[:3], "dk", "nothing like it", "dk")
    assert "Shape:" not in kitchen.screen


def test_a_question_back_that_a_change_has_put_off_comes_again(kitchen):
    kitchen.opening = "beef brisket 12 lb, 4 in thick, home"
    kitchen.run("change 1", "2", "3")
    assert "Cut: whole brisket" in kitchen.screen


def test_not_known_says_what_is_assumed(kitchen):
    kitchen.run("1", "dk", "don’t know")
    assert "Guests who get sick easily: not known; we assume: yes, some guests" in kitchen.screen
    assert "Animal: not known, and we may not guess it" in kitchen.screen


def test_a_fruit_of_unknown_form_is_said_to_be_taken_as_raw(kitchen):
    kitchen.run(*TOUGH, "kiwi", "dk")
    assert "We take the kiwi as raw" in kitchen.screen


def test_an_empty_line_at_a_question_back_settles_nothing(kitchen):
    kitchen.run(*TOUGH, "kiwi", "", "2")
    assert "dried kiwi" in kitchen.screen
    assert [item.form for item in kitchen.kept().softeners] == ["dried"]


def test_why_names_rules_and_what_is_known_so_far(kitchen):
    kitchen.run("1", "why", "?")
    assert kitchen.screen.count("Rules that need it:") == 2
    assert "[guests.facility_raw] to decide stop" in kitchen.screen
    assert "Known so far" in kitchen.screen
    assert "1  Cooked for: guests at work" in kitchen.screen


def test_a_question_that_no_rule_reads_does_not_claim_one(kitchen):
    kitchen.run(*FIRST[:11], "why")
    assert "No rule hangs on it; the plan does." in kitchen.screen


def test_help_tells_how_to_find_out(kitchen):
    kitchen.run(*FIRST[:7], "help")
    assert "A pencil is 1/4 in" in kitchen.screen.split("Weight:")[1]


def test_so_far_before_any_answer_says_so(kitchen):
    kitchen.run("so far")
    assert "So far: nothing yet" in kitchen.screen


def test_a_second_failure_is_worded_anew(kitchen):
    kitchen.run(*FIRST[:7], "30", "30")
    assert "for example 30 mm or 30 cm" in " ".join(kitchen.screen.split())
    assert kitchen.screen.count("The unit is missing") == 1
    assert "such as 1 1/4 in or 30 mm" in " ".join(kitchen.screen.split())


def test_back_offers_what_was_typed(kitchen):
    kitchen.run(*FIRST[:8], "back")
    assert kitchen.defaults[-1] == "1 1/4 in"


def test_back_at_the_first_question_says_so(kitchen):
    kitchen.run("back")
    assert "This is the first question." in kitchen.screen


def test_words_can_be_completed(kitchen):
    kitchen.run(*FIRST[:5])
    assert "flank steak" in kitchen.words[-1]
    kitchen.run("no", *TOUGH)
    assert "green kiwi" in kitchen.words[-1]


def test_an_optional_question_can_be_left_with_enter_and_no_other(kitchen):
    assert kitchen.run("", *WHOLE[:11], "", *WHOLE[12:], "plan").case().serve is None
    assert "Nothing was typed." in kitchen.screen


# --- the last screen


def test_the_last_screen_shows_each_group_once_and_says_how_to_go_on(kitchen):
    kitchen.run(*WHOLE, "plan")
    last = kitchen.screen.split("Check what you told us")[1]
    groups = dict.fromkeys(question.group for question in kitchen.rulebase.questions.values())
    for group in groups:
        assert last.count(f"  {group.capitalize()}\n") == 1
    assert "Type a number to change it, or 'plan' to make the plan." in last


def test_a_number_changes_that_answer_and_comes_back(kitchen):
    kitchen.run(*WHOLE)
    row = int(re.search(r"(\d+)  Thickness", kitchen.screen)[1])
    done = kitchen.run("yes", str(row), "2 in", "plan")
    assert done.case().number("piece", "thickness") == pytest.approx(50.8)
    assert kitchen.defaults[2] == "1 1/4 in"


def test_a_change_that_opens_a_question_asks_it_first(kitchen):
    kitchen.run(*WHOLE)
    row = int(re.search(r"(\d+)  Until now", kitchen.screen)[1])
    done = kitchen.run("yes", str(row), "out", "40 min", "plan")
    assert done.case().number("piece", "out_minutes") == 40


def test_another_animal_says_that_the_cut_is_asked_again(kitchen):
    kitchen.run(*WHOLE)
    row = int(re.search(r"(\d+)  Animal", kitchen.screen)[1])
    done = kitchen.run("yes", str(row), "chicken", "dk", "none", "no", "plan")
    assert "so we ask for the cut again" in " ".join(kitchen.screen.split())
    assert done.case().given("piece", "cut").value is None


@pytest.mark.parametrize("line", ["0", "99", "x", "", "²", "9" * 5000, "-1"])
def test_what_is_no_row_is_refused_on_the_last_screen(kitchen, line):
    assert kitchen.run(*WHOLE, line, "plan") is not None
    assert "is not a number of the list" in " ".join(kitchen.screen.split())


def test_back_from_a_change_leaves_all_as_it_was(kitchen):
    before = kitchen.run(*WHOLE, "plan").case()
    assert kitchen.run("yes", "3", "back", "plan").case() == before


# --- keeping and leaving


def test_every_answer_is_kept_at_once(kitchen):
    for number in range(1, len(FIRST)):
        kitchen.path.unlink(missing_ok=True)
        assert kitchen.run(*FIRST[:number]) is None
        assert len(kitchen.kept().answered) == number


@pytest.mark.parametrize("leave", ["quit", "exit", "Q", Quit, KeyboardInterrupt])
def test_leaving_says_that_it_is_kept_and_how_to_go_on(kitchen, leave):
    assert kitchen.run(*FIRST, leave) is None
    assert "Your answers are kept; 'advisor ask' takes them up again." in kitchen.screen
    assert len(kitchen.kept().answered) == len(FIRST)


def test_leaving_before_any_answer_claims_nothing(kitchen):
    kitchen.run("quit")
    assert "Nothing was answered yet." in kitchen.screen


def test_a_kept_interview_is_offered_with_its_question_and_its_day(kitchen):
    kitchen.run(*FIRST)
    done = kitchen.run("maybe", "yes", *WHOLE[len(FIRST) :], "plan")
    number = len(FIRST) + 1
    assert re.search(rf"You stopped at question {number} on \w{{3}}.* \d\d:\d\d\. Go on with it\?", kitchen.screen)
    assert "Type yes or no." in kitchen.screen
    assert done.case().word("piece", "cut") == "flank_steak"


def test_a_kept_interview_is_left_alone_when_the_cook_says_no(kitchen):
    kitchen.run(*FIRST)
    kitchen.run("no", "home")
    assert [one.text for one in kitchen.kept().answered] == ["home"]


def test_leaving_at_the_offer_changes_nothing(kitchen):
    kitchen.run(*FIRST)
    before = kitchen.path.read_bytes()
    assert kitchen.run("quit") is None
    assert kitchen.path.read_bytes() == before


def test_the_answers_stay_until_the_plan_is_made(kitchen):
    done = kitchen.run(*WHOLE, "plan")
    assert kitchen.kept().case() == done.case()
    assert kitchen.run("yes", "plan").case() == done.case()
    assert "You had answered everything" in kitchen.screen


def test_a_day_later_the_rest_is_kept_and_a_time_that_has_passed_is_asked_again(kitchen):
    kitchen.run(*WHOLE)
    done = kitchen.run("yes", "Sun 5 pm", "plan", now=NOW + timedelta(days=3, hours=8))
    assert kitchen.defaults[1] == "Sat 19:00"
    assert done.case().serve == datetime(2026, 11, 29, 17, tzinfo=NOW.tzinfo)


def test_a_broken_file_is_put_aside_only_after_asking(kitchen):
    kitchen.path.write_text("not ours")
    assert kitchen.run("no") is None
    assert kitchen.path.read_text() == "not ours"
    assert "Nothing was changed" in kitchen.screen
    kitchen.run("yes", "home")
    assert kitchen.path.with_suffix(".old").read_text() == "not ours"
    assert len(kitchen.kept().answered) == 1


def test_new_rules_are_told(kitchen):
    kitchen.run(*FIRST)
    data = json.loads(kitchen.path.read_text())
    kitchen.path.write_text(json.dumps({**data, "rulebase": "older"}))
    kitchen.run("yes")
    assert "The rules have changed since." in kitchen.screen


def test_a_full_disk_is_said_once_and_the_questions_go_on(kitchen, monkeypatch):
    def full(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    done = kitchen.run(*WHOLE, "plan")
    assert done.question is None
    assert " ".join(kitchen.screen.split()).count("No space left on device") == 1
    kitchen.run("1", "quit")
    assert "Your answers could not be kept." in kitchen.screen


@pytest.mark.parametrize("odd", ["\x1b[A", "\ud800", "²", "\x00", "x" * 100_000, "[bold]", "1/0 in", "{", "%s"])
def test_nothing_that_is_typed_breaks_it(kitchen, odd):
    # An odd line may be an answer, such as a cut of that name; what counts is that the cook can always go on.
    kitchen.run(*FIRST[:5], odd, "dk", *(line for good in (*FIRST[6:-1], "none", "1") for line in (odd, good)))
    assert "Traceback" not in kitchen.screen
    assert "\x1b" not in kitchen.screen
    assert kitchen.kept().case().word("guests", "bath") == "yes"


def test_a_piece_that_has_been_out_is_played_back_with_what_the_word_was_taken_for(kitchen):
    kitchen.run(*FIRST[:4], "out", *FIRST[5:9], "overnight")
    assert "Time out: 12 h" in kitchen.screen
    assert "taken as 12 h" in kitchen.screen


def test_a_row_is_changed_with_its_new_answer_in_one_line(kitchen):
    kitchen.run(*FIRST[:6], "change 3 goat", "leg of goat")
    flat = " ".join(kitchen.screen.split())
    assert '"flank steak" is no cut of goat that we know, so we ask for the cut again.' in flat
    assert "Cut: leg of goat" in flat


def test_the_last_screen_takes_a_row_with_its_new_answer(kitchen):
    done = kitchen.run(*WHOLE, "change 7 3 kg", "plan")
    assert done.case().number("piece", "weight") == 3000


def test_a_cut_of_another_animal_says_that_the_animal_changes_too(kitchen):
    kitchen.run(*FIRST[:5], "pork belly")
    flat = " ".join(kitchen.screen.split())
    assert "That is no cut of beef, so the animal changes too: it is now pork." in flat
    assert "Animal: pork" in flat
    assert "Cut: pork belly" in flat


def test_a_new_answer_that_cannot_be_read_is_asked_for_again(kitchen):
    kitchen.run(*FIRST[:5], "change 2 goat", "1")
    assert '"goat" is not one of the choices.' in kitchen.screen
