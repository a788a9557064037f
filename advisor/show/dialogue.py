"""The interview in the terminal: shows a question, reads a line, keeps the answer."""

from __future__ import annotations

from contextlib import suppress
from itertools import pairwise
from typing import TYPE_CHECKING

from advisor.errors import InputError
from advisor.interview import store
from advisor.interview.opening import opened
from advisor.show.answers_shown import answer_words, assumed_words
from advisor.show.page import Page
from advisor.show.typed import Quit, plain_line, terminal_reader
from advisor.units import write_moment
from advisor.units.text import shown

if TYPE_CHECKING:
    from pathlib import Path

    from rich.console import Console

    from advisor.interview.session import Answered, Session
    from advisor.knowledge.records import Question
    from advisor.show.typed import Reader

DONT_KNOW = frozenset(
    {"dk", "idk", "don't know", "dont know", "i don't know", "i dont know", "not known", "no idea", "not sure"}
)
QUIT = frozenset({"quit", "exit", "q"})
YES, NO = frozenset({"yes", "y", "1"}), frozenset({"no", "n", "2"})
ALSO = "Also: dk (don't know), back, why, so far, change N, help, quit."
OPENING = "Tell us what you have and what you want, in your own words. Or press Enter and we ask."
TOOLS = "Which of these do you have?"
TOOLS_WHY = "We only plan what you can do."
TOOLS_HINT = "Type the numbers of those you have, such as 1, 2. Or type none."
ANEW = frozenset({"start from scratch", "start over", "scratch", "restart"})
MOST_RULES = 5


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
        read: Reader | None = None,
    ) -> None:
        self.session, self.path = session, path
        self.page = Page(console, session.rulebase)
        self.read = read or terminal_reader()
        self.group = ""
        self.kept = True
        self.last = ""
        self.tools: tuple[Question, ...] = ()
        self.looked: set[str] = set()
        self.put_off = ("", "")

    def run(self) -> Session:
        """Ask until all is answered and the cook is content.

        Raises
        ------
        Quit
            The cook left.
        """
        if not self.session.answered and not self.session.drafts:
            self.open()
        while True:
            while self.session.question is not None or self.session.follow_up is not None:
                self.turn()
            if self.check_answers():
                return self.session

    def turn(self) -> None:
        """One question: show it, read a line, act on it."""
        question = self.session.question
        follow_up = self.session.follow_up
        self.tools = self.session.tools
        if follow_up is not None:
            self.page.line()
            self.page.line(follow_up.ask, bold=True)
            self.options([shown for _, shown in follow_up.options])
            self.page.line(f"Type a number. {ALSO}", 2)
        elif question is not None:
            self.show(question)
        asked = self.session.rulebase.questions[follow_up.question] if follow_up is not None else question
        if asked is None:
            return
        words = self.completions(asked)
        draft = self.session.drafts.get(asked.id, "") if follow_up is None else ""
        self.act(plain_line(self.read("> ", words, draft)), asked)

    def show(self, question: Question) -> None:
        """Show a question: why it is asked before it, the choices below; the second time in a row in short."""
        if question.group != self.group:
            self.group = question.group
            self.page.heading(question.group[0].upper() + question.group[1:])
        self.page.line()
        self.page.line(f"Question {self.session.number}. {TOOLS if self.tools else question.ask}", bold=True)
        again, self.last = self.last == question.id, question.id
        if self.tools:
            if not again:
                self.page.line(f"Why: {TOOLS_WHY}", 2)
            self.options([one.tool for one in self.tools])
            if not again:
                self.page.line(f"{TOOLS_HINT} {ALSO}", 2)
            return
        if not again:
            self.page.line(f"Why: {question.why}", 2)
        if question.help and not again:
            self.page.line(question.help, 2)
        self.options(list(question.choices.values()))
        if not again:
            self.page.line(self.hint(question), 2)

    @staticmethod
    def hint(question: Question) -> str:
        """What can be typed at a question."""
        first = "Type a number." if question.choices else "Type your answer."
        return f"{first}{' Or press Enter to go on.' if question.optional else ''} {ALSO}"

    def options(self, shown: list[str]) -> None:
        """Show numbered choices."""
        width = len(str(len(shown)))
        for number, text in enumerate(shown, start=1):
            self.page.line(f"{number:>{width}}  {text}", 4)

    def act(self, line: str, question: Question) -> None:
        """Do what the line says; nothing answered is lost when it cannot be read."""
        word = line.lower().replace("’", "'")
        if word in QUIT:
            raise Quit
        if word == "back":
            self.back()
        elif word in ("why", "?"):
            self.why(question)
        elif word == "help":
            for one in self.tools or (question,):
                self.page.line(f"{one.ask if self.tools else ''} {one.help or one.why}".strip(), 2)
            self.page.line(f"{TOOLS_HINT} {ALSO}" if self.tools else self.hint(question), 2)
        elif word == "so far":
            self.rows()
        elif word in ANEW:
            self.session = type(self.session).start(self.session.base or self.session.rulebase, self.session.now)
            self.group = self.last = ""
            self.page.line("All answers are put aside. We start anew.", 2)
        elif word.startswith(("what if", "why not")):
            self.page.line("That can be asked of the finished plan. To change an answer now: change, its number.", 2)
        elif word.split(" ")[0] == "change":
            self.change(line[len("change") :])
        else:
            self.take(word, line, question)
        self.keep()

    def change(self, row: str) -> None:
        """Open an answer already given, by its row in *so far*; at any question. A new answer may stand behind it."""
        number, _, text = row.strip().partition(" ")
        try:
            pending = self.session.follow_up
            # A question back that stood open comes again, with the word that it was about.
            kept = self.session if pending is None else self.session.with_draft(pending.question, pending.text)
            self.session = kept.change(int(number))
            self.put_off = (pending.question, pending.text) if pending is not None else self.put_off
        except (ValueError, InputError):
            self.page.line("Type change and a number of this list:", 2)
            self.rows()
            return
        self.group = self.last = ""
        self.tools, text = (), text.strip()
        if text and (opened_again := self.session.question) is not None:
            self.take(text.lower().replace("’", "'"), text, opened_again)

    def open(self) -> None:
        """Ask for all of it in the cook's own words, play back what was taken, and leave the rest to the questions."""
        self.page.line(OPENING, bold=True)
        self.page.line(
            "For example: chuck roast, 3 lb, 3 in thick, from the fridge, for home, fall apart, no water bath.", 2
        )
        line = plain_line(self.read("tell> ", [], ""))
        if line.lower() in QUIT:
            raise Quit
        if not line or line.lower() in ANEW:
            return
        try:
            found = opened(self.session, line)
        except InputError as error:
            self.page.line(str(error), 2)
            return
        self.session = found.session
        if found.taken:
            self.rows("What we understood")
            self.page.line("If one is wrong, type change and its number.", 2)
        else:
            self.page.line("We could not take anything from that, so we ask.", 2)
        for words in found.notes:
            self.page.line(words, 2)
        for words in found.left:
            self.page.line(f"We did not use: {words}", 2)
        if found.steps:
            self.page.line(f"You told steps too: {', '.join(found.named)}. We plan anew, without them.", 2)
            self.page.line("To have a plan of your own judged, use 'advisor check'.", 2)
        self.keep()

    def keep(self) -> None:
        """Keep the answers on disk; say it once when that cannot be done, and go on."""
        try:
            store.save(self.session, self.path)
            self.kept = True
        except InputError as error:
            if self.kept:
                self.page.line(str(error), 2)
            self.kept = False

    def back(self) -> None:
        """Go back; say so when there is nothing before."""
        before = self.session
        self.session = before.back()
        self.group = self.last = ""
        if self.session is before:
            self.page.line("This is the first question.", 2)

    def take(self, word: str, line: str, question: Question) -> None:
        """Take an answer and play it back."""
        before = self.session.answered
        if word in DONT_KNOW and question.look and self.session.follow_up is None and question.id not in self.looked:
            self.looked.add(question.id)
            self.page.line(question.look, 2)
            return
        try:
            if self.tools:
                known = word not in DONT_KNOW
                self.session = self.session.answer_tools(line) if known else self.session.tools_not_known()
            elif word in DONT_KNOW:
                self.session = self.session.not_known()
            elif not word and question.optional and self.session.follow_up is None:
                self.session = self.session.skip()
            else:
                self.session = self.session.answer(line)
        except InputError as error:
            self.session = self.session.noted_failure(error)
            self.looked.discard(question.id)  # dk "once more" is meant right behind the first
            self.page.line(str(error), 2)
            return
        if question.fact == "piece cut" and (said := other_animal(before, self.session)):
            self.page.line(said, 2)
        self.ask_back_again()
        # A list of tools answers several, and so may the name of a cut for the animal.
        for one in self.session.answered:
            if one not in before:
                self.play_back(self.session.rulebase.questions[one.question])

    def ask_back_again(self) -> None:
        """Put the question back that stood open before a change, once that is done."""
        name, text = self.put_off
        if not name or self.session.changing is not None:
            return
        self.put_off = ("", "")
        if self.session.follow_up is None and all(one.question != name for one in self.session.answered):
            with suppress(InputError):
                self.session = self.session.answer_to(self.session.rulebase.questions[name], text)

    def play_back(self, question: Question) -> None:
        """Say what was understood, in both systems of units, and what follows from it."""
        one = next((a for a in self.session.answered if a.question == question.id), None)
        if one is None:
            return
        self.page.line(f"{question.short}: {self.shown(one)}", 2)
        for item in one.read.ingredients:
            if item.form == "unknown":
                self.page.line(f"We take the {item.as_written} as raw, until you know.", 2)
        given = one.read.given
        if given is not None and given.note:
            self.page.line(f"({given.note})", 2)
        cut = next(q for q in self.session.rulebase.questions.values() if q.fact == "piece cut")
        known = given is not None and given.value is not None
        if question.fact == "piece animal" and known and cut.id in self.session.drafts:
            word = shown(self.session.drafts[cut.id])
            self.page.line(f"{word} is no cut of {self.shown(one)} that we know, so we ask for the cut again.", 2)

    def shown(self, one: Answered) -> str:
        """An answer in the cook's words, or what is assumed in its place."""
        question = self.session.rulebase.questions[one.question]
        return answer_words(one, self.session) or assumed_words(question, self.session)

    def why(self, question: Question) -> None:
        """Name the rules that need the answer."""
        found = self.session.why()
        count = f"Rules that need it: {len(found)}." if found else "No rule hangs on it; the plan does."
        self.page.line(f"{question.why} {count}", 2)
        for need in found[:MOST_RULES]:
            self.page.line(f"[{need.rule}] to decide {need.decides}. {need.because}", 4)
        if len(found) > MOST_RULES:
            self.page.line(f"And {len(found) - MOST_RULES} more.", 4)
        self.rows("Known so far")

    def rows(self, title: str = "So far", *, grouped: bool = False) -> None:
        """Show the answers given, numbered; on the last screen each group under its name."""
        answers = self.session.ordered()
        self.page.line(title if answers else f"{title}: nothing yet", 2)
        group = ""
        groups = [self.session.rulebase.questions[one.question].group for one in answers]
        # Rows keep the number they were asked by; where that parts a group, its name over each part would only confuse.
        turns = sum(one != other for one, other in pairwise(groups))
        grouped = grouped and turns < len(set(groups))
        for number, one in enumerate(answers, start=1):
            question = self.session.rulebase.questions[one.question]
            if grouped and question.group != group:
                group = question.group
                self.page.line(group[0].upper() + group[1:], 2, bold=True)
            self.page.line(f"{number:>2}  {question.short}: {self.shown(one)}", 4)
        for fact, given in self.session.told.items():
            name = fact.partition(" ")[2].replace("_", " ").capitalize()
            self.page.line(f"    {name}: {given.as_written or given.value} (told at the start)", 4)

    def check_answers(self) -> bool:
        """Show all answers; True when the cook wants the plan."""
        self.group = self.last = ""
        self.page.heading("Check what you told us before we plan")
        self.rows("Your answers", grouped=True)
        skipped = [question.short for question in self.session.not_asked()]
        if skipped:
            self.page.line(f"Not asked, for no answer would change this plan: {', '.join(skipped)}.", 2)
        self.page.line("Type a number to change it, or 'plan' to make the plan.", 2)
        while True:
            typed = plain_line(self.read("> ", ["plan", "quit"], ""))
            line = typed.lower()
            if line in QUIT:
                raise Quit
            if line in ("plan", "p"):
                return True
            if line == "back":
                self.back()
                return False
            row = typed[len("change") :] if line.startswith("change") else typed
            if row.strip().partition(" ")[0] not in map(str, range(1, 1 + len(self.session.ordered()))):
                self.page.line(f"{shown(line)} is not a number of the list. Type a number, or 'plan'.", 2)
                continue
            self.change(row)
            self.keep()
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


def other_animal(before: tuple[Answered, ...], session: Session) -> str:
    """What to say where a cut was told that is of another animal, so that the animal changes with it."""
    asked = next(one.id for one in session.rulebase.questions.values() if one.fact == "piece animal")
    old, new = (
        next((one.read.given.value for one in answered if one.question == asked and one.read.given is not None), None)
        for answered in (before, session.answered)
    )
    if old in (None, new) or new is None:
        return ""
    choices = session.rulebase.questions[asked].choices
    return f"That is no cut of {choices[str(old)]}, so the animal changes too: it is now {choices[str(new)]}."


def run_dialogue(session: Session, path: Path, console: Console, read: Reader | None = None) -> Session | None:
    """Run an interview, taking up a kept one when the cook wants to; None when the cook leaves.

    The answers stay kept when it ends, so that a plan that is broken off costs nothing; `store.clear` forgets them
    once the plan is made.
    """
    page = Page(console, session.rulebase)
    reader = read or terminal_reader()
    dialogue: Dialogue | None = None
    try:
        dialogue = Dialogue(_taken_up(session, path, page, reader), path, console, reader)
        return dialogue.run()
    except (Quit, KeyboardInterrupt):
        page.line()
        page.line(_farewell(dialogue))
        return None


def _farewell(dialogue: Dialogue | None) -> str:
    if dialogue is None:
        return "Stopped. Nothing was changed."
    if not dialogue.kept:
        return "Stopped. Your answers could not be kept."
    if not dialogue.session.answered:
        return "Stopped. Nothing was answered yet."
    return "Stopped. Your answers are kept; 'advisor ask' takes them up again."


def _taken_up(session: Session, path: Path, page: Page, read: Reader) -> Session:
    """Offer to go on where a kept interview stopped; nothing is thrown away without asking."""
    try:
        kept = store.load(path, session.rulebase, session.now)
    except InputError as error:
        page.line(str(error))
        if not _agreed("Begin anew? The old file is put aside. (yes or no)", page, read):
            raise Quit from None
        page.line(f"It is now {store.put_aside(path)}.", 2)
        return session
    if kept is None or not (kept.session.answered or kept.session.drafts):
        return session
    when = write_moment(kept.stopped, now=session.now)
    where = (
        "You had answered everything"
        if kept.session.question is None
        else f"You stopped at question {kept.session.number}"
    )
    if not _agreed(f"{where} on {when}. Go on with it? (yes or no)", page, read):
        return session
    if kept.rules_changed:
        page.line("The rules have changed since. What no longer fits is asked again.", 2)
    return kept.session


def _agreed(question: str, page: Page, read: Reader) -> bool:
    page.line(question, bold=True)
    while True:
        word = plain_line(read("> ", ["yes", "no"], "")).lower()
        if word in YES:
            return True
        if word in NO:
            return False
        if word in QUIT:
            raise Quit
        page.line("Type yes or no.", 2)
