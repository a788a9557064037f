"""The whole of ``ask``: questions, plan, and what can be asked of the plan afterwards."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.advice.build import Built, build_plan
from advisor.advice.mends import find_mends
from advisor.case.write_plan import write_plan
from advisor.errors import InputError
from advisor.interview.food_code import CODE, asking_code, code_of
from advisor.interview.session import Session
from advisor.show.dialogue import DONT_KNOW, other_animal

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from rich.console import Console

    from advisor.advice.report import Report
    from advisor.knowledge.records import Verdict
    from advisor.knowledge.rulebase import Rulebase
    from advisor.show.page import Page

AFTER = (
    "Ask how a step or a rule came about: type its number or its id. "
    "Or: plan (the steps again), plot, so far, change N, what if N (another answer, not kept), "
    "why not (a change in your words), price (what a kilo or a pound costs), done."
)
HELP = ("how", "help", "?", "why")
ENDS = frozenset({"", "done", "quit", "q", "exit", "no"})


def ask_and_plan(
    rulebase: Rulebase,
    now: datetime,
    console: Console,
    *,
    answers: str | None,
    save: str | None,
    as_json: bool,
    code_known: bool,
    read: Callable[[str], tuple[str, str]],
) -> Verdict:
    """Ask, or replay answers; build the plan; show it; keep it.

    Parameters
    ----------
    answers : str or None
        File of answers to replay; None asks in the terminal.
    save : str or None
        File to keep the plan in.
    code_known : bool
        Whether the house file or an option says which food code holds; else the cook is asked.
    read : callable
        Reads a file's text and gives its name.

    Returns
    -------
    str
        The verdict; "ask" when the cook stopped before the end.
    """
    if save is not None and Path(save).exists():
        raise InputError("There is a file of that name already.", "Name another file for --save.", save)
    if answers is not None:
        session: Session | None = _replayed(answers, rulebase, now, read, code_known=code_known)
    else:
        session = _asked(rulebase, now, console, code_known=code_known)
    if session is None:
        return "ask"
    # The cook may have said on the way which food code holds.
    rulebase = session.rulebase
    built = _planned(session, rulebase, now)
    report = built.report
    mends = find_mends(report, rulebase)
    if save is not None:
        # Kept before it is shown: a reader that goes away early must not cost the file.
        _keep(report, save, rulebase)
    if as_json:
        import json

        from advisor.show.record import record

        sys.stdout.write(json.dumps(record(report, mends, rulebase, planned=True), ensure_ascii=False, indent=2) + "\n")
    else:
        from advisor.show.page import Page

        page = Page(console, rulebase)
        page.report(report, mends, now, built=built)
        if sys.stdout.isatty():
            from advisor.show.plot import plot_text

            sys.stdout.write(plot_text(report, rulebase, console.width) + "\n")
        if save is not None:
            page.line(f"Kept in {save}. Check it again with: advisor check {save}")
    if answers is None:
        from advisor.interview import store

        # Only now: a kill while the plan was built must not cost the answers.
        store.clear(store.default_path())
    if answers is None and sys.stdin.isatty():
        _afterwards(Finished(session, built), rulebase, now, console)
    return report.verdict


def _replayed(
    answers: str, rulebase: Rulebase, now: datetime, read: Callable[[str], tuple[str, str]], *, code_known: bool
) -> Session:
    from advisor.interview.answers import read_answers, replay

    text, name = read(answers)
    asks = rulebase if code_known else asking_code(rulebase)
    given = read_answers(text, name, asks)
    return replay(given, asks if CODE in given.given else rulebase, now)


def _asked(rulebase: Rulebase, now: datetime, console: Console, *, code_known: bool) -> Session | None:
    from advisor.interview.store import default_path
    from advisor.show.dialogue import run_dialogue

    asks = rulebase if code_known else asking_code(rulebase)
    session = run_dialogue(Session.start(asks, now), default_path(), console)
    if session is not None:
        _code_kept(session, console)
    return session


def _code_kept(session: Session, console: Console) -> None:
    """Keep the food code that was told in the house file, now that the interview is at its end."""
    from platformdirs import user_config_path

    from advisor.show.page import Page
    from advisor.show.which_code import keep_code

    told = next((one for one in session.answered if one.question == CODE), None)
    if told is not None and session.base is not None:
        line = keep_code(code_of(told.read), user_config_path("prep-advisor"), session.base)
        if line:
            Page(console, session.rulebase).line(line)


def _keep(report: Report, save: str, rulebase: Rulebase) -> None:
    path = Path(save)
    if path.exists():
        raise InputError("There is a file of that name already.", "Name another file for --save.", save)
    try:
        half = path.with_name(path.name + ".part")
        half.write_text(write_plan(report.case, rulebase), encoding="utf-8")
        half.replace(path)
    except OSError as error:
        raise InputError(
            f"The plan cannot be kept there: {error.strerror or error}.", "Name another file.", save
        ) from error


@dataclass(frozen=True, slots=True)
class Finished:
    """A plan and the answers that it was made from."""

    session: Session
    built: Built
    price_per_kg: float | None = None


def _planned(session: Session, rulebase: Rulebase, now: datetime) -> Built:
    # The plan that is kept names the food code it was made under, unless that is the one that holds anyway.
    chosen = rulebase.codes.get(rulebase.code)
    code = "" if chosen is not None and chosen.default else rulebase.code
    return build_plan(replace(session.case(), code=code), session.softeners, rulebase, now)


def _afterwards(done: Finished, rulebase: Rulebase, now: datetime, console: Console) -> None:
    """Answer *how*, *change*, *plot* on the finished plan until the cook has no more questions."""
    from advisor.show.how import how_lines
    from advisor.show.page import Page

    page = Page(console, rulebase)
    page.now = now
    page.line()
    page.line(AFTER)
    while True:
        try:
            word = input("how> ").strip()
        except (EOFError, KeyboardInterrupt):
            return
        if word.lower() in ENDS:
            return
        try:
            if word.lower() in ("plot", "so far", "plan", *HELP, "back", "change"):
                _show(word.lower(), done, page)
            elif word.lower().startswith("why not"):
                _why_not(done, word, now, page)
            elif word.lower().startswith("price"):
                done = _priced(done, word, page)
            elif word.lower().startswith(("change", "what if")):
                changed = _changed(done, word, now, page)
                done = done if word.lower().startswith("what if") else changed
                page = Page(console, done.session.rulebase)
                page.now = now
            else:
                for depth, line in how_lines(done.built.report, word, rulebase):
                    page.line(line, 2 * depth)
        except InputError as error:
            page.line(str(error))


def _why_not(done: Finished, typed: str, now: datetime, page: Page) -> None:
    """Say why a way was not chosen, or what a change in the cook's own words would break."""
    from advisor.advice.why_not import why_not
    from advisor.show.why_not import show_why_not
    from advisor.show.why_not_way import unknown_way, why_not_way

    words = typed[len("why not") :].strip(" ?:")
    if not words:
        raise InputError("Why not what?", "Type a way or a change, such as: why not leave it out overnight.")
    told = why_not_way(words, done.built, page.rulebase)
    for line in told:
        page.line(line, 2)
    if told:
        return
    try:
        found = why_not(done.built.report, words, page.rulebase, now)
    except InputError as error:
        if any(letter.isdigit() for letter in words):
            raise
        if row := _answer_of(words, done.session):
            raise InputError(f"'{words}' is an answer of yours.", f"Type: what if {row} {words}.") from error
        raise InputError(unknown_way(words, done.built), error.hint) from error
    show_why_not(found, page)


def _answer_of(words: str, session: Session) -> int:
    """Number of the answer that the words would be another answer to; 0 where there is none."""
    from advisor.interview.overheard import overheard

    heard = overheard(words, session.rulebase).facts
    facts = [session.rulebase.questions[one.question].fact for one in session.ordered()]
    return next((row for row, fact in enumerate(facts, start=1) if fact in heard), 0)


def _priced(done: Finished, typed: str, page: Page) -> Finished:
    """Say what a portion costs; the price stays with the plan through further changes."""
    from advisor.show.planned import cost_line, read_price

    price = read_price(typed[len("price") :], done.session.system, page.rulebase)
    page.line(cost_line(done.built.report, page.rulebase, price), 2)
    return replace(done, price_per_kg=price)


def _show(word: str, done: Finished, page: Page) -> None:
    from advisor.show.dialogue import Dialogue
    from advisor.show.plot import plot_text
    from advisor.show.words import step_line

    if word == "plot":
        drawn = plot_text(done.built.report, page.rulebase, page.console.width)
        sys.stdout.write((drawn or "This screen is too narrow for it.") + "\n")
        return
    if word == "plan":
        page.steps(done.built.report, done.built)
        return
    if word in HELP:
        page.line(AFTER)
        for index in range(len(done.built.report.case.steps)):
            page.line(f"{index + 1}  {step_line(done.built.report, index, page.rulebase)}", 2)
        return
    if word == "back":
        page.line("All is answered, and the plan is made. To take an answer back, type change and its number.")
    Dialogue(done.session, Path(), page.console, lambda *_: "").rows()
    if word == "change":
        page.line("Type change, a number, and the new answer: change 7 2 in.")


def _changed(done: Finished, typed: str, now: datetime, page: Page) -> Finished:
    """Take another answer to a row, ask what that opens, plan again, and say what moved."""
    from advisor.advice.moved import moved
    from advisor.show.page import Page
    from advisor.show.planned import conflict_line, cost_line

    number, _, text = typed.lower().removeprefix("what if").removeprefix("change").strip().partition(" ")
    if not number.isdecimal():
        raise InputError("Which answer?", "Type change, its number, and the new answer: change 7 2 in.")
    session = _answered_anew(done.session.change(int(number)), text, page)
    built = _planned(session, session.rulebase, now)
    if session.rulebase is not page.rulebase:
        page = Page(page.console, session.rulebase)
        page.now = now
        page.line("These food rules hold for this plan only; a house file stays as it is.")
    page.heading("What moved")
    for line in _answers_moved(done.session, session):
        page.line(line, 2)
    for line in moved(done.built, built, page.rulebase):
        page.line(line, 2)
    conflict = conflict_line(built, now)
    if conflict:
        page.line(conflict, bold=True)
    page.verdict(built.report, find_mends(built.report, session.rulebase), planned=True)
    page.steps(built.report, built)
    if done.price_per_kg is not None:
        page.line(cost_line(built.report, page.rulebase, done.price_per_kg), 2)
    return replace(done, session=session, built=built)


def _answered_anew(session: Session, text: str, page: Page) -> Session:
    """Take the new answer, and ask what it opens; what is typed here and cannot be read is asked again."""
    asked = False
    while session.question is not None or session.follow_up is not None:
        if not text:
            text, asked = _asked_back(session, page), True
        before = session.answered
        try:
            session = session.not_known() if text.lower() in DONT_KNOW else session.answer(text)
            if said := other_animal(before, session):
                page.line(said)
        except InputError as error:
            if not asked:
                raise
            page.line(str(error), 2)
        text = ""
    return session


def _asked_back(session: Session, page: Page) -> str:
    """Put the question that a changed answer opens, with its choices, and read a line."""
    from advisor.show.dialogue import QUIT, Dialogue

    back, question = session.follow_up, session.question
    ask, choices = ("", []) if question is None else (question.ask, list(question.choices.values()))
    if back is not None:
        ask, choices = back.ask, [shown for _, shown in back.options]
    page.line(ask)
    Dialogue(session, Path(), page.console, lambda *_: "").options(choices)
    try:
        text = input("> ").strip()
    except (EOFError, KeyboardInterrupt):
        text = "back"
    if text.lower() in QUIT | {"back"}:
        raise InputError("The plan stays as it was.", "To change an answer, type change, its number, the new answer.")
    return text


def _answers_moved(before: Session, after: Session) -> list[str]:
    """Answers that are not what they were, each with what stood there before."""
    from advisor.show.answers_shown import answer_words, assumed_words

    def told(session: Session) -> dict[str, tuple[str, object]]:
        found: dict[str, tuple[str, object]] = {}
        for one in session.ordered():
            question = session.rulebase.questions[one.question]
            words = answer_words(one, session) or assumed_words(question, session)
            known = one.read.given is not None and one.read.given.value is not None
            # A figure is held by its value: its words change with the unit of another answer.
            found[question.short] = (words, one.read.given.value if known and one.read.given else words)
        return found

    old, new = told(before), told(after)
    return [
        f"{short}: {words}{f' (it was {old[short][0]})' if short in old else ''}."
        for short, (words, value) in new.items()
        if short not in old or old[short][1] != value
    ]
