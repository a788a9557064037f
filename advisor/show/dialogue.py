"""The interview in the terminal: shows a question, reads a line, keeps the answer."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from advisor.errors import InputError
from advisor.interview import store
from advisor.interview.why import needs
from advisor.show.answers_shown import answer_words, assumed_words
from advisor.show.page import Page

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from rich.console import Console

    from advisor.interview.session import Session
    from advisor.knowledge.records import Question

DONT_KNOW = frozenset({"dk", "don't know", "dont know", "i don't know", "i dont know", "not known", "no idea"})
ALSO = "Also: dk (don't know), back, why, so far, help, quit."
MOST_RULES = 5


class Quit(Exception):  # noqa: N818 - leaving is no error
    """The cook has left; the answers are kept."""


class Dialogue:
    """One interview at one terminal.

    Parameters
    ----------
    session : Session
        Where to begin.
    path : Path
        Where to keep the answers.
    console : Console
        Where to show questions.
    read : callable, optional
        (prompt, words to complete, default) to a line; the terminal when not given.
    """

    def __init__(
        self,
        session: Session,
        path: Path,
        console: Console,
        read: Callable[[str, list[str], str], str] | None = None,
    ) -> None:
        self.session, self.path = session, path
        self.page = Page(console, session.rulebase)
        self.read = read or terminal_reader()
        self.group = ""

    def run(self) -> Session:
        """Ask until all is answered and the cook is content.

        Raises
        ------
        Quit
            The cook left.
        """
        while True:
            while self.session.question is not None or self.session.follow_up is not None:
                self.turn()
            if self.check_answers():
                return self.session

    def turn(self) -> None:
        """One question: show it, read a line, act on it."""
        question = self.session.question
        follow_up = self.session.follow_up
        if follow_up is not None:
            self.page.line()
            self.page.line(follow_up.ask, bold=True)
            self.options([shown for _, shown in follow_up.options])
        elif question is not None:
            self.show(question)
        asked = self.session.rulebase.questions[follow_up.question] if follow_up is not None else question
        if asked is None:
            return
        line = self.read("> ", self.completions(asked), self.session.drafts.get(asked.id, ""))
        self.act(line.strip(), asked)

    def show(self, question: Question) -> None:
        """Show a question: why it is asked before it, the choices below."""
        if question.group != self.group:
            self.group = question.group
            self.page.heading(question.group[0].upper() + question.group[1:])
        self.page.line()
        self.page.line(f"Question {self.session.number}. {question.ask}", bold=True)
        self.page.line(f"Why: {question.why}", 2)
        if question.help:
            self.page.line(question.help, 2)
        self.options(list(question.choices.values()))
        self.page.line(self.hint(question), 2)

    @staticmethod
    def hint(question: Question) -> str:
        """What can be typed at a question."""
        first = "Type a number." if question.choices else "Type your answer."
        return f"{first}{' Or press Enter to go on.' if question.optional else ''} {ALSO}"

    def options(self, shown: list[str]) -> None:
        """Show numbered choices."""
        for number, text in enumerate(shown, start=1):
            self.page.line(f"{number}  {text}", 4)

    def act(self, line: str, question: Question) -> None:
        """Do what the line says; nothing answered is lost when it cannot be read."""
        word = line.lower()
        if word in ("quit", "exit"):
            raise Quit
        if word == "back":
            self.session = self.session.back()
            self.group = ""
        elif word in ("why", "?"):
            self.why(question)
        elif word == "help":
            self.page.line(question.help or question.why, 2)
            self.page.line(self.hint(question), 2)
        elif word == "so far":
            self.rows()
        else:
            self.take(word, line, question)
        store.save(self.session, self.path)

    def take(self, word: str, line: str, question: Question) -> None:
        """Take an answer and play it back."""
        try:
            if word in DONT_KNOW or (question.optional and not word):
                self.session = self.session.not_known()
            else:
                self.session = self.session.answer(line)
        except InputError as error:
            self.session = self.session.noted_failure()
            self.page.line(str(error), 2)
            return
        if self.session.follow_up is None:
            self.play_back(question)

    def play_back(self, question: Question) -> None:
        """Say what was understood, in both systems of units."""
        one = next((a for a in self.session.answered if a.question == question.id), None)
        if one is not None:
            shown = answer_words(one, self.session) or assumed_words(question, self.session)
            self.page.line(f"{question.short}: {shown}", 2)

    def why(self, question: Question) -> None:
        """Name the rules that need the answer."""
        found = needs(question, self.session.rulebase, self.session.now)
        self.page.line(f"{question.why} Rules that need it: {len(found)}.", 2)
        for need in found[:MOST_RULES]:
            self.page.line(f"[{need.rule}] to decide {need.decides}. {need.because}", 4)
        if len(found) > MOST_RULES:
            self.page.line(f"and {', '.join(need.rule for need in found[MOST_RULES:])}", 4)
        self.rows("Known so far")

    def rows(self, title: str = "So far") -> None:
        """Show the answers given, numbered."""
        self.page.line(title if self.session.answered else f"{title}: nothing yet", 2)
        for number, one in enumerate(self.session.ordered(), start=1):
            question = self.session.rulebase.questions[one.question]
            shown = answer_words(one, self.session) or assumed_words(question, self.session)
            self.page.line(f"{number:>2}  {question.short}: {shown}", 4)

    def check_answers(self) -> bool:
        """Show all answers; True when the cook wants the plan."""
        self.group = ""
        self.page.heading("Check what you told us before we plan")
        self.rows("Your answers")
        self.page.line("Type a number to change it, or 'plan' to make the plan.", 2)
        while True:
            line = self.read("> ", ["plan", "quit"], "").strip().lower()
            if line in ("quit", "exit"):
                raise Quit
            if line in ("plan", "p"):
                return True
            if line == "back":
                self.session = self.session.back()
                return False
            try:
                self.session = self.session.change(int(line.removeprefix("change").strip()))
            except (ValueError, InputError):
                self.page.line(f"'{line}' is not a number of the list. Type a number, or 'plan'.", 2)
                continue
            return False

    def completions(self, question: Question) -> list[str]:
        """Words that can be completed while typing."""
        rulebase = self.session.rulebase
        if question.fact == "piece cut":
            animal = self.session.case().word("piece", "animal")
            return sorted(
                {w for c in rulebase.cuts.values() if not animal or c.animal == animal for w in (c.name, *c.also)}
            )
        if question.fact == "steps softeners":
            return sorted(t.name for t in rulebase.tenderisers.values())
        return list(question.choices.values())


def terminal_reader() -> Callable[[str, list[str], str], str]:
    """Read lines with completion and editing at a terminal, plainly from a pipe.

    End of input counts as leaving.
    """
    if not sys.stdin.isatty():

        def plain(prompt: str, _: list[str], __: str) -> str:
            try:
                line = input(prompt)
            except (EOFError, KeyboardInterrupt):
                raise Quit from None
            # A pipe shows no typing; the line is written so that the page can be read afterwards.
            sys.stdout.write(line + "\n")
            return line

        return plain
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter

    prompts: PromptSession[str] = PromptSession()

    def edited(prompt: str, words: list[str], default: str) -> str:
        completer = WordCompleter(words, ignore_case=True, sentence=True, match_middle=True)
        try:
            return prompts.prompt(prompt, completer=completer, default=default, complete_while_typing=True)
        except (EOFError, KeyboardInterrupt):
            raise Quit from None

    return edited


def run_dialogue(
    session: Session, path: Path, console: Console, read: Callable[[str, list[str], str], str] | None = None
) -> Session | None:
    """Run an interview, taking up a kept one when the cook wants to; None when the cook leaves."""
    page = Page(console, session.rulebase)
    reader = read or terminal_reader()
    try:
        session = _taken_up(session, path, page, reader)
        dialogue = Dialogue(session, path, console, reader)
        done = dialogue.run()
    except Quit:
        page.line()
        page.line("Stopped. Your answers are kept; 'advisor ask' takes them up again.")
        return None
    path.unlink(missing_ok=True)
    return done


def _taken_up(session: Session, path: Path, page: Page, read: Callable[[str, list[str], str], str]) -> Session:
    try:
        kept = store.load(path, session.rulebase, session.now)
    except InputError as error:
        page.line(str(error))
        page.line("We begin anew.")
        return session
    if kept is None or not kept.answered:
        return session
    page.line(f"You stopped after {len(kept.answered)} answers. Go on with them? (yes or no)", bold=True)
    while True:
        word = read("> ", ["yes", "no"], "").strip().lower()
        if word in ("yes", "y", "1"):
            return kept
        if word in ("no", "n", "2"):
            return session
        if word in ("quit", "exit"):
            raise Quit
        page.line("Type yes or no.", 2)
