"""A plan in words at the command line: playback, exit status, JSON, saving, and correcting line by line."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from datetime import datetime

import pytest
from jsonschema import Draft202012Validator
from rich.console import Console

from advisor.advice.report import examine
from advisor.case.read_plan import read_plan
from advisor.case.words.correct import Correcting
from advisor.case.words.either import is_plan_file, looks_like_words
from advisor.case.words.reader import read_words
from advisor.case.write_plan import write_plan
from advisor.errors import InputError
from advisor.show.page import Page
from advisor.show.said import corrected
from advisor.show.typed import Quit

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a kitchen's clock
GOOD = (
    "flank steak, form: steak, as it grew, 2 lb, 1 inch thick, from the fridge; setting: work; nobody vulnerable; "
    "no latex allergies. Salt 0.4 oz, fridge 12 hours, dry it, pan 8 min a side, rest 5 min, serve"
)


def run(*words, stdin=""):
    return subprocess.run(
        [sys.executable, "-m", "advisor", "check", *words],
        input=stdin.encode() if isinstance(stdin, str) else stdin,
        capture_output=True,
        check=False,
        env=dict(os.environ),
    )


def test_words_are_played_back_with_both_units_the_cooks_own_first():
    done = run("flank steak, 2 lb, 1 inch thick, grill 3 min a side")
    text = done.stdout.decode()
    assert "What we understood" in text
    assert "2 lb (907 g)" in text
    assert "Traceback" not in done.stderr.decode()


def test_words_may_come_by_pipe_and_without_quotes():
    told = run("-", stdin="flank steak, 2 lb, 1 inch thick, bath 57 C 2 h").stdout.decode()
    assert "135 °F" in told or "57 °C" in told
    assert (
        "What we understood"
        in run("flank", "steak", "2", "lb", "1", "inch", "thick", "bath", "57C", "2h").stdout.decode()
    )


def test_json_holds_what_was_understood_and_what_was_not():
    done = run("--json", "flank steak, 2 lb, 1 in thick, bath 57 for 2 hours, table 12 wants it")
    out = json.loads(done.stdout)
    schema = subprocess.run([sys.executable, "-m", "advisor", "schema", "result"], capture_output=True, check=True)
    Draft202012Validator(json.loads(schema.stdout)).validate(out)
    assert any("taken as 57 C" in line["note"] for line in out["understood"])
    assert any("12" in part for part in out["not_understood"])
    assert out["unsettled"]
    assert out["verdict"] in ("ask", "stop")
    assert done.returncode in (20, 30)


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("flank steak, 2 lb, 1 kg, 1 in thick, bath 57C 8 h", 30),
        ("FLANK STEAK 2 LB 1 IN THICK BATH 57C 8 H FOR TABLE 12", 30),
        ("Мясо 2 кг в духовку", 30),
    ],
)
def test_what_is_in_doubt_asks(text, status):
    done = run("-", stdin=text)
    assert done.returncode == status, done.stdout.decode()
    assert "Settle this first" in done.stdout.decode()
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("text", ["???", " ... ", "\x01\x02"])
def test_nothing_at_all_is_unreadable(text):
    done = run("-", stdin=text)
    assert done.returncode == 3
    assert b"Traceback" not in done.stderr


def test_far_too_many_words_are_refused_by_their_number():
    done = run("-", stdin="flank steak " * 20000)
    assert done.returncode == 3
    assert "at most" in done.stderr.decode()


def test_a_good_plan_in_words_goes_and_one_number_more_does_not(rulebase):
    case = read_words(GOOD, rulebase, NOW)
    assert not case.open_points
    assert not case.not_understood
    assert examine(case, rulebase).verdict == "go"
    for more in (
        " 57",
        " Also 12.",
        " table 4",
        " for 40",
        " 2 guests with kids",
        " 3-401",
        " ½",
        " a few hours",
        " my sous says 2 hours is enough",
    ):
        worse = read_words(GOOD + "." + more, rulebase, NOW)
        assert worse.open_points, more
        assert examine(worse, rulebase).verdict in ("ask", "stop"), more


def test_saved_words_read_back_with_what_is_open(tmp_path, rulebase):
    file = tmp_path / "plan.yaml"
    words = "flank steak, 2 lb, 1 in thick, papaya 1 h in the fridge, oven at 180 for 1 h"
    assert run("--save", str(file), words).returncode in (20, 30)
    kept = read_plan(file.read_text(encoding="utf-8"), rulebase, NOW)
    said = read_words(words, rulebase, NOW)
    assert kept.open_points == said.open_points
    assert {n: g.value for n, g in kept.piece.items()} == pytest.approx(
        {n: g.value for n, g in said.piece.items()}, abs=1e-3
    )
    assert [s.action for s in kept.steps] == [s.action for s in said.steps]
    assert examine(kept, rulebase).verdict in ("ask", "stop")
    assert write_plan(kept, rulebase) == file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "plan"),
    [
        ("piece: {animal: beef}\nsteps: []", True),
        ("- do: bath", True),
        ("peice:\n  animal: beef\n", True),
        ("", True),
        ("a: &x [1]\nb: *x\n", True),
        ("flank, 2 lb", False),
        ("serve Saturday: flank", False),
        ("thickness: 3 cm, cut: flank steak. Bath 57 C 2 h", False),
    ],
)
def test_a_file_is_told_from_words(text, plan):
    assert is_plan_file(text) == plan


def test_a_missing_file_is_not_taken_for_words():
    assert not looks_like_words("no-such-plan.yaml")
    assert not looks_like_words("my plan.yaml")
    assert run("no-such-plan.yaml").returncode == 3


def test_no_heavy_import_for_a_plan_file():
    code = (
        "import sys\nsys.argv=['advisor','demo','--file']\nfrom advisor.__main__ import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('lark' in sys.modules, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "False"


# ---- putting right what was read


def number_of(state, what):
    return next(n for n, line in enumerate(state.lines, start=1) if line.what.startswith(what) or what in line.shown)


def test_a_line_is_changed_in_one_go_or_in_two(rulebase):
    state = Correcting.start("flank steak, 2 lb, 1 in thick, bath 57C 2h", rulebase, NOW)
    state = state.take(f"{number_of(state, 'weight')} 1 kg")
    assert state.case.number("piece", "weight") == pytest.approx(1000)
    state = state.take(f"change {number_of(state, 'step 1')}")
    assert state.changing
    state = state.take("bath 60 C 3 h")
    assert state.case.steps[0].number("minutes") == 180
    assert state.take("").done


def test_what_was_not_understood_is_said_again_or_taken_out(rulebase):
    state = Correcting.start("flank steak, 2 lb, 1 in thick, oven 180 for 1 h, table 12 wants it", rulebase, NOW)
    state = state.take(f"{number_of(state, 'weight')} 1 kg")
    lost = number_of(state, "'180'")
    state = state.take(f"{lost} 180 C")
    assert state.case.steps[0].number("temperature") == pytest.approx(180)
    assert state.case.number("piece", "weight") == pytest.approx(1000), "an earlier correction must stay"
    state = state.take(f"drop {number_of(state, '12')}")
    assert not state.case.open_points


def test_words_that_say_nothing_change_nothing(rulebase):
    state = Correcting.start("flank steak, 2 lb, 1 in thick, bath 57C 2h", rulebase, NOW)
    for typed in ("99 1 kg", "x", f"{number_of(state, 'weight')} blue", f"{number_of(state, 'step 1')} hmm", "drop 99"):
        with pytest.raises(InputError):
            state.take(typed)


def test_the_dialogue_shows_takes_and_ends(rulebase):
    lines = iter(["3 900 g", "nonsense", ""])
    file = io.StringIO()
    page = Page(Console(file=file, width=80, highlight=False), rulebase)
    state = Correcting.start("flank steak, 2 lb, 1 in thick, bath 57C 2h", rulebase, NOW)
    done = corrected(state, page, lambda *_: next(lines))
    assert done.case.number("piece", "weight") == pytest.approx(900)
    assert "begins with no number" in file.getvalue().replace("\n", " ").replace("  ", " ")


def test_leaving_the_dialogue_checks_nothing(rulebase):
    def leave(*_):
        raise Quit

    page = Page(Console(file=io.StringIO(), width=80), rulebase)
    state = Correcting.start("flank steak, 2 lb, bath 57C 2h", rulebase, NOW)
    with pytest.raises(InputError, match="Stopped"):
        corrected(state, page, leave)


# ---- denials


@pytest.mark.parametrize(
    "text",
    [
        "don't needle it", "do not needle it", "no needling", "not needled", "never needle it", "without needling",
        "we won't needle it", "skip the needling", "please never ever needle it", "nobody has needled it",
        "it wasn't needled", "it hasn't been needled or pounded", "no scoring or needling", "avoid needling it",
    ],
)  # fmt: skip
def test_a_denied_step_is_never_read_as_a_step(text, rulebase):
    for said in (text, text.upper(), f"{text}, bath 57 C 3 h", f"bath 57 C 3 h, {text}"):
        case = read_words(f"flank steak 1 kg 2 cm thick. {said}", rulebase, NOW)
        assert "needle" not in [step.action for step in case.steps], said
        assert "pound" not in [step.action for step in case.steps], said
        assert "arrived" not in case.piece, said


@pytest.mark.parametrize(
    "text",
    [
        "no salt",
        "without any salt",
        "don't salt it",
        "skip the salt",
        "not salted",
        "hold the salt",
        "no damned extra salt",
    ],
)
def test_denied_salt_is_not_put_on(text, rulebase):
    case = read_words(f"flank steak 1 kg 2 cm thick, {text}, grill 3 min a side", rulebase, NOW)
    assert not any(item.what == "table_salt" for step in case.steps for item in step.ingredients)
    assert [step.action for step in case.steps] == ["grill"]


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("2 flank steaks, 1 lb each, 1 in thick, papaya 20 g 30 min in the fridge, pan 4 min a side", "for all"),
        ("2 flank steaks, 2 lb in all, 1 in thick, papaya 20 g 30 min in the fridge, pan 4 min a side", ""),
        ("flank, 1 in thick, rest 5 min, 54 core", "which step does the middle"),
        ("flank 2 lb, 1 in thick, grill 3 min a side 4 inches from the flame", "how far"),
        ("flank 2 lb, 1 in thick, one tbsp salt per quart brine 2 h, grill 3 min a side", "in percent"),
        ("flank dos kilos, 2 cm thick, grill 3 min a side", "kilos"),
        ("flank 2 lb, 1 in thick, grill 3 a side", "minutes or seconds"),
    ],
)
def test_figures_that_could_go_astray_are_asked_about(text, asks, rulebase):
    points = read_words(text, rulebase, NOW).open_points
    assert any(asks in point for point in points) if asks else not points, points


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("serve at 7", "2026-11-25 19:00"),
        ("salt it tonight, tomorrow pan 3 min a side, serve at 6pm", "2026-11-26 18:00"),
        ("plate at half seven sat", "2026-11-28 19:30"),
        ("service Saturday from 5 to 9", "2026-11-28 17:00"),
    ],
)
def test_hours_as_they_are_said_at_the_pass(text, moment, rulebase):
    case = read_words(f"flank steak, 2 lb, 1 in thick, {text}", rulebase, NOW)
    assert f"{case.serve:%Y-%m-%d %H:%M}" == moment, case.remarks


def test_a_range_is_of_one_kind(rulebase):
    step = read_words("pork loin, 1 kg, 6 cm thick, oven 150 C for 2 hours to 55 C in the middle", rulebase, NOW).steps[
        0
    ]
    assert step.number("minutes") == 120
    assert step.number("until_core") == 55


def test_where_nothing_mends_it_is_said_what_becomes_of_the_food(rulebase):
    from advisor.advice.mends import no_mend_lines

    for said, line in (
        ("flank steak, 1 in thick, counter at 30C for 12 h, pan 3 min a side", "no_mend_safety"),
        ("flank steak, 1 in thick, grill", "no_mend_missing"),
    ):
        report = examine(read_words(said, rulebase, NOW), rulebase)
        told = " ".join(no_mend_lines(report, (), rulebase))
        assert rulebase.local_lines.get(line, line) in told


@pytest.mark.parametrize(
    ("argument", "says"),
    [("", "Nothing was said"), (" ", "Nothing was said"), ("牛肉两公斤，57度，两小时", "no such file")],
)
def test_nothing_and_another_script_get_a_clear_word(argument, says):
    from click.testing import CliRunner

    from advisor.cli import cli

    assert says in str(CliRunner().invoke(cli, ["check", argument]).exception)


def test_words_in_another_language_are_asked_for_in_english(rulebase):
    case = read_words("Dos kilos de carne, treinta minutos con piña, a la plancha", rulebase, NOW)
    assert any("read in English" in point for point in case.unsettled)
