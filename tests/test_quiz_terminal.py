"""The quiz as a person meets it: sittings in a pipe, report, sheet and key, exports, learners carried elsewhere."""

from __future__ import annotations

import contextlib
import csv
import io
import json
import subprocess
import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
from click.testing import CliRunner
from quiz_proof import NOW
from rich.console import Console

from advisor.__main__ import main
from advisor.cli import cli
from advisor.errors import InputError
from advisor.quiz.export import as_csv, as_json, as_qti, harmless, qti_faults
from advisor.quiz.maker import Maker, Mould, ShippedPlans
from advisor.quiz.sheet import key_sheet, sheet
from advisor.quiz.sitting import Sitting, ordered, recalled_right, rules_about
from advisor.quiz.store import Store
from advisor.show.quiz import QuizDialogue
from advisor.show.quiz_report import report_record, show_report
from advisor.show.typed import Quit

MOMENT = datetime(2026, 11, 25, 12, tzinfo=UTC)


def some_plans(rulebase):
    plans = ShippedPlans(rulebase, NOW)
    return {name: plans[name] for name in sorted(plans)[6::16]}


@pytest.fixture(scope="module")
def maker(rulebase):
    return Maker(rulebase, some_plans(rulebase))


@pytest.fixture(scope="module")
def form(maker):
    return maker.form("form", 40)


class Cook:
    """Answers by knowing the key, but for one belief; leaves after so many answers."""

    def __init__(self, belief="", leaves=10**6, sure="sure"):
        self.belief, self.leaves, self.sure, self.answers, self.dialogue = belief, leaves, sure, 0, None

    def read(self, *_):
        item = self.dialogue.sitting.asked[-1]
        if self.state == "recall":
            self.state = "choice"
            return ""
        if self.state == "choice":
            if self.answers >= self.leaves:
                raise Quit
            self.answers += 1
            self.state = "sure"
            held = [n for n, option in enumerate(item.options) if self.belief and option.misconception == self.belief]
            return str((held[0] if held else item.key) + 1)
        self.state = ""
        return self.sure

    def sits(self, maker, rulebase, store=None, count=8, about="cooling", seed="s", at=MOMENT):
        out = io.StringIO()
        console = Console(file=out, width=80, no_color=True)
        order = ordered(rules_about(about, rulebase), {}, at, rulebase, seed)
        who = store.learner("Ana", at) if store is not None else None
        sitting = Sitting(maker, order, seed, count)
        self.dialogue = QuizDialogue(sitting, store, who, console, lambda: at, self.read)
        turn = self.dialogue.turn

        def noted(item):
            self.state = "recall" if item.recalled else "choice"
            turn(item)

        self.dialogue.turn = noted
        self.dialogue.run(about)
        return out.getvalue()


def test_a_right_answer_is_told_with_rule_and_source(maker, rulebase):
    text = Cook().sits(maker, rulebase, count=3)
    assert "Right." in text
    assert "Why: " in text
    assert "[cool." in text
    assert "basis: " in text
    assert "3 of 3 right" in text
    assert "\x1b" not in text


def test_a_wrong_answer_is_told_with_its_belief_and_asked_again(maker, rulebase, tmp_path):
    with Store(tmp_path / "q.sqlite") as store:
        text = Cook("a_little_over").sits(maker, rulebase, store, about="holding", count=20)
        wrong = [one for _, one in store.answers() if not one.is_right]
    flat = " ".join(text.split())
    assert "goes with this belief: A little over the line does no harm." in flat
    assert "says otherwise" in flat
    assert "It would have meant: " in flat
    assert "(once more)" in flat
    assert "you were sure of it" in flat
    assert {one.misconception for one in wrong} == {"a_little_over"}


def test_a_choice_that_asks_too_much_is_not_said_to_make_ill(maker, rulebase):
    flat = " ".join(Cook("over_means_bin").sits(maker, rulebase, about="cooling", count=12).split())
    assert f"It would have meant: {rulebase.quiz.stricter}" in flat


def test_who_leaves_keeps_what_was_answered(maker, rulebase, tmp_path):
    with Store(tmp_path / "q.sqlite") as store:
        text = Cook(leaves=2).sits(maker, rulebase, store)
        assert len(store.answers()) == 2
    assert "What you answered is kept." in text
    assert "2 of 2 right" in text


def test_a_full_disk_in_a_sitting_is_told_of_once_and_made_good(maker, rulebase, tmp_path):
    with Store(tmp_path / "q.sqlite") as store:
        keep, calls = store.keep, []

        def failing(who, answer):
            calls.append(answer)
            if len(calls) <= 3:
                raise InputError("Progress cannot be kept: database or disk is full.", "Make room on the disk.")
            return keep(who, answer)

        store.keep = failing
        text = Cook().sits(maker, rulebase, store, count=4)
        assert len(store.answers()) == 4
    assert text.count("Make room on the disk.") == 1


def test_the_same_seed_gives_the_same_sitting(maker, rulebase):
    assert Cook().sits(maker, rulebase, seed="x") == Cook().sits(maker, rulebase, seed="x")
    assert Cook().sits(maker, rulebase, seed="x") != Cook().sits(maker, rulebase, seed="y")


def test_a_word_that_is_no_subject_is_refused(rulebase):
    with pytest.raises(InputError, match="no subject and no shift"):
        rules_about("astrology", rulebase)
    assert rules_about("closing", rulebase) > rules_about("cooling", rulebase)


def test_what_was_recalled_is_read_with_its_unit(maker, rulebase):
    item = next(i for n in range(30) if (i := maker.make(Mould("limit", "hold.reheat_low"), f"r{n}")))
    assert recalled_right(item, "165 F", rulebase) is True
    assert recalled_right(item, "74 C", rulebase) is True
    assert recalled_right(item, "70 C", rulebase) is False
    assert recalled_right(item, "hot", rulebase) is None


def test_a_figure_that_is_written_as_the_key_is_counts_as_the_key(maker, rulebase):
    """The choice reads 12 mm (1/2 in), and a half inch was not taken for it; nor was any share."""
    made = (maker.make(Mould("limit", rule), f"h{n}") for n in range(30) for rule in ("salt.uneven", "marinade.depth"))
    item = next(i for i in made if i is not None and "12 mm (1/2 in)" in i.options[i.key].text)
    assert recalled_right(item, "1/2 in", rulebase) is True
    assert recalled_right(item, "3/4 in", rulebase) is False
    share = next(i for n in range(30) if (i := maker.make(Mould("limit", "enzyme.soft_near"), f"s{n}")))
    assert [recalled_right(share, text, rulebase) for text in ("0.5", "0,5", "50 %", "1/2")] == [True] * 4
    assert recalled_right(share, "1", rulebase) is False
    assert [recalled_right(share, text, rulebase) for text in ("half", "1/0", "nan %%")] == [None] * 3


def test_an_option_before_the_name_of_a_command_is_not_lost_in_silence():
    """`quiz --house FILE sheet` wrote a sheet of another kitchen's rules."""
    done = CliRunner().invoke(cli, ["quiz", "--code", "uk", "sheet", "--seed", "a"])
    assert done.exit_code == 2
    assert "Put it after 'sheet'." in done.output


def test_a_sheet_has_nothing_that_is_due(rulebase):
    for word in ("due", "beliefs"):
        with pytest.raises(InputError):
            rules_about(word, rulebase, on_paper=True)
    assert rules_about("all", rulebase, on_paper=True) == frozenset(rulebase.rules)


def test_a_clean_situation_is_misread_by_one_who_sees_a_line_passed(maker):
    """Who would change what is clean was told that he believes all that went wrong can be mended."""
    for rule in ("salt.nitrite", "hold.warm_raw", "hold.hot_low"):
        for n in range(20):
            item = maker.make(Mould("verdict", rule), f"clean{n}")
            if item is not None and item.options[item.key].text.startswith("Go on"):
                assert {o.misconception for o in item.options if o.misconception} == {"near_is_over"}


def test_two_sittings_a_day_apart_master_a_subject(maker, rulebase, tmp_path):
    able = [rule for rule in rulebase.rules if rulebase.quiz.subject_of(rule) == "cooling"]
    with Store(tmp_path / "q.sqlite") as store:
        Cook().sits(maker, rulebase, store, count=60)
        first = report_record(store.answers(), ["Ana"], able, rulebase)
        Cook().sits(maker, rulebase, store, count=60, seed="t", at=MOMENT + timedelta(days=1))
        record = report_record(store.answers(), ["Ana"], able, rulebase)
    assert first["learners"]["Ana"]["mastered"] == []
    assert record["learners"]["Ana"]["mastered"] == ["cooling"]


def test_the_report_names_who_is_sure_and_wrong(maker, rulebase, tmp_path):
    with Store(tmp_path / "q.sqlite") as store:
        Cook("a_little_over").sits(maker, rulebase, store, about="holding", count=15)
        record = report_record(store.answers(), ["Ana"], list(rulebase.rules), rulebase)
    assert record["confident_and_wrong"]
    assert record["beliefs"][0]["name"] == "a_little_over"
    out = io.StringIO()
    show_report(record, rulebase, Console(file=out, width=80))
    flat = " ".join(out.getvalue().split())
    assert "too few to judge" in flat
    assert "A little over the line does no harm." in flat


# --- sheet and exports


def test_the_same_seed_gives_the_same_sheet_to_the_letter(rulebase, maker):
    other = Maker(rulebase, some_plans(rulebase))
    one = sheet(maker.form("paper", 15), rulebase, "paper")
    assert one == sheet(other.form("paper", 15), rulebase, "paper")
    assert rulebase.digest in one


def test_the_questions_do_not_hold_the_key(form, rulebase, maker):
    questions, key = sheet(form, rulebase, "s"), key_sheet(form, rulebase, "s", maker.bench.road)
    assert "[" + form[0].rule_id + "]" not in questions
    for number, item in enumerate(form, start=1):
        assert f"{number}. {'ABCD'[item.key]}  " in key
    assert max(map(len, questions.splitlines())) <= 80


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1", "-2", "@SUM(A1)", "\t=1", "\r=1", " =1", "\n@x", "＝1", '=HYPERLINK("http://x")']
)
def test_no_cell_is_a_formula(cell):
    assert harmless(cell).startswith("'")
    assert harmless("5 °C") == "5 °C"


def test_csv_and_json_hold_the_same_items(form, maker):
    road = maker.bench.road
    rows = list(csv.DictReader(io.StringIO(as_csv(form, road), newline="")))
    told = json.loads(as_json(form, road))
    assert [row["item"] for row in rows] == [one["item"] for one in told] == [item.id for item in form]
    for row, one in zip(rows, told, strict=True):
        assert row["key"].lstrip("'") == next(option["text"] for option in one["options"] if option["right"])
        assert row["misconception_1"]
        # Each wrong choice says what it would do to the food or the guest.
        assert all(option["right"] or option["feedback"] for option in one["options"])
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row.values())


def test_qti_keeps_to_the_parts_that_are_encoded(form, maker):
    for item in form:
        assert qti_faults(as_qti(item, maker.bench.road)) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('identifier="choice-B"', 'identifier="choice-A"', "an identifier stands twice"),
        ("<qti-value>choice-", "<qti-value>chance-", "the correct response is not one of the choices"),
        ('response-identifier="RESPONSE"', 'response-identifier="OTHER"', "'OTHER' is declared nowhere"),
        ("qti-item-body>", "qti-body>", "0 of qti-item-body"),
        (' show-hide="show"', ' show-hide="seen"', "qti-modal-feedback show-hide of 'seen'"),
        (' adaptive="false"', ' adaptive="no"', "qti-assessment-item adaptive of 'no'"),
        ('<qti-correct identifier="RESPONSE" />', "", "qti-match with 1 children"),
        (' cardinality="single"', "", "qti-response-declaration has no cardinality"),
        ('identifier="choice-A"', 'identifier="1 A"', "'1 A' is no identifier"),
        (
            "imsqtiasi_v3p0",
            "imsqtiasi_v2p2",
            "the root is {http://www.imsglobal.org/xsd/imsqtiasi_v2p2}qti-assessment-item",
        ),
    ],
)
def test_qti_faults_are_found(form, maker, old, new, fault):
    assert fault in qti_faults(as_qti(form[0], maker.bench.road).replace(old, new))


# --- the commands


@dataclass
class Done:
    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Through the one door from the shell, in this process: to start anew and read the rules costs a second."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))

    def call(*words):
        out, err, status = io.StringIO(), io.StringIO(), 0
        monkeypatch.setattr(sys, "argv", ["advisor", "quiz", *words])
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                main()
            except SystemExit as left:
                status = int(left.code or 0)
        return Done(status, out.getvalue(), err.getvalue())

    return call


def sat_in_a_pipe(*words, typed):
    return subprocess.run(
        [sys.executable, "-m", "advisor", "quiz", *words],
        input=typed,
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
    )


def test_a_sitting_in_a_pipe_then_report_save_forget_import(run, tmp_path):
    sat = sat_in_a_pipe(
        "--about", "knife", "--learner", "Ana", "--seed", "k", "--count", "2", typed="1\ns\n1\ng\n1\nf\n1\nf\n1\nf\n"
    )
    assert sat.returncode == 0, sat.stderr
    assert "How sure are you?" in sat.stdout
    assert "\x1b" not in sat.stdout
    told = json.loads(run("report", "--json").stdout)
    assert told["learners"]["Ana"]["answers"] >= 2
    out = tmp_path / "ana.json"
    assert run("save", "Ana", "--out", str(out)).returncode == 0
    assert run("forget", "Ana", "--yes").returncode == 0
    assert json.loads(run("report", "--json").stdout)["learners"] == {}
    assert "Ana is here now." in run("import", str(out)).stdout
    again = tmp_path / "again.json"
    assert run("save", "Ana", "--out", str(again)).returncode == 0
    assert again.read_text(encoding="utf-8") == out.read_text(encoding="utf-8")


def test_wrong_use_is_told_without_a_traceback(run, tmp_path):
    for words, status in (
        (("--about", "nonsense"), 3),
        (("--about", "due"), 3),
        (("import", str(tmp_path / "none.json")), 3),
        (("forget", "Nobody", "--yes"), 3),
        (("items", "--seed", "x", "--as", "qti"), 3),
        (("sheet",), 2),
    ):
        done = run(*words)
        assert done.returncode == status, words
        assert "Traceback" not in done.stderr
        assert done.stderr.strip()


def test_sheet_and_items_as_files(run, tmp_path):
    sheet_file = tmp_path / "sheet.txt"
    assert run("sheet", "--seed", "a", "--about", "knife", "--count", "3", "--out", str(sheet_file)).returncode == 0
    assert run("sheet", "--seed", "a", "--about", "knife", "--count", "3").stdout == sheet_file.read_text(
        encoding="utf-8"
    )
    assert run("sheet", "--seed", "a", "--about", "knife", "--count", "3", "--out", str(sheet_file)).returncode == 3
    folder = tmp_path / "qti"
    assert (
        run("items", "--seed", "a", "--about", "knife", "--count", "3", "--as", "qti", "--out", str(folder)).returncode
        == 0
    )
    assert len(list(folder.glob("item-*.xml"))) == 3
