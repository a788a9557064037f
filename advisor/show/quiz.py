"""A sitting at the terminal: a question, an answer, how sure, and what there is to learn from it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from rich.table import Table
from rich.text import Text

from advisor.errors import InputError
from advisor.quiz.feedback import feedback
from advisor.quiz.sitting import recalled_right
from advisor.quiz.store import answer_to
from advisor.show.page import WIDEST, Page
from advisor.show.typed import Quit, plain_line, terminal_reader

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from rich.console import Console

    from advisor.quiz.items import Item
    from advisor.quiz.sitting import Sitting
    from advisor.quiz.store import Answer, Learner, Store
    from advisor.show.typed import Reader

LEAVE: Final = frozenset({"quit", "q", "exit"})
LEVELS: Final = {"sure": 3, "s": 3, "3": 3, "fairly": 2, "f": 2, "2": 2, "guess": 1, "g": 1, "1": 1}
WORDS: Final = {3: "sure", 2: "fairly", 1: "guess"}
SURE: Final = 3


def place_of(text: str) -> int | None:
    """Read which option is meant, from 0: its number, or its letter as on a printed sheet.

    Examples
    --------
    >>> place_of("2"), place_of("b)"), place_of(" 3. "), place_of("next")
    (1, 1, 2, None)
    """
    plain = text.strip().lower().rstrip(".)")
    if len(plain) == 1 and plain in "abcd":
        return "abcd".index(plain)
    return int(plain) - 1 if plain.isdecimal() and int(plain) > 0 else None


class QuizDialogue:
    """One sitting of one learner at one terminal.

    Parameters
    ----------
    sitting : Sitting
        What is asked.
    store : Store or None
        Where answers are kept; None keeps nothing.
    learner : Learner or None
        Whose they are.
    console : Console
        Where to show.
    clock : callable
        Gives the moment of an answer.
    read : callable, optional
        Reads a line; the terminal when not given.
    """

    def __init__(
        self,
        sitting: Sitting,
        store: Store | None,
        learner: Learner | None,
        console: Console,
        clock: Callable[[], datetime],
        read: Reader | None = None,
    ) -> None:
        self.sitting, self.store, self.learner, self.clock = sitting, store, learner, clock
        self.page = Page(console, sitting.maker.rulebase)
        self.read = read or terminal_reader()
        self.number = 0
        self.waiting: list[Answer] = []
        self.told = False
        self.results: list[tuple[Item, bool, int]] = []

    def run(self, about: str) -> None:
        """Ask until the sitting is over or the learner leaves; either way say what to look at again."""
        if self.store is not None and self.learner is not None:
            self.number = self.store.begin(self.learner, self.clock(), self.sitting.seed, about)
        many = "Up to " if self.sitting.count > 1 else ""
        questions = "questions" if many else "question"
        self.page.line(f"{many}{self.sitting.count} {questions}. Type the number of your answer; 'quit' leaves.")
        try:
            for item in self.sitting.items():
                self.turn(item)
        except Quit:
            self.page.line()
            self.page.line("You left. What you answered is kept." if self.store is not None else "You left.")
        self.flush()
        self.closing()

    def turn(self, item: Item) -> None:
        """Ask one item and answer it."""
        self.page.line()
        again = " (once more)" if len(self.sitting.asked) > self.sitting.count else ""
        heading = f"Question {len(self.sitting.asked)}{again}."
        # The situation, and then what is asked of it: seen at a glance.
        self.page.line(f"{heading} {item.stem}" if item.stem or item.told else f"{heading} {item.ask}", bold=True)
        for line in item.told:
            self.page.line(line, 4)
        if item.stem or item.told:
            self.page.line(item.ask, bold=True)
        recalled = self.recall(item)
        for number, option in enumerate(item.options, start=1):
            self.option(str(number), option.text)
        place = self.choice(len(item.options))
        sure = self.sureness()
        right = not item.options[place].misconception
        self.sitting.answered(item, place)
        self.results.append((item, right, sure))
        # Kept before it is told: who leaves while reading has answered all the same.
        if self.store is not None:
            self.waiting.append(answer_to(item, place, sure, self.clock(), self.number, recalled))
            self.flush()
        self.tell(item, place)

    def option(self, number: str, text: str) -> None:
        """Show an option, its further lines under the first."""
        grid = Table.grid(padding=(0, 2))
        grid.add_column(width=5, justify="right", no_wrap=True)
        grid.add_column()
        grid.add_row(Text(number), Text(text))
        console = self.page.console
        console.print(grid, width=min(console.width, WIDEST), highlight=False)

    def recall(self, item: Item) -> str:
        """Ask for the figure before the options are shown; Enter goes on without."""
        if not item.recalled:
            return ""
        self.page.line("Your own figure first, with its unit; or Enter to see the choices.", 2)
        text = self.line()
        if text:
            near = recalled_right(item, text, self.sitting.maker.rulebase)
            said = {
                True: "That is it. Now find it.",
                False: "Look at the choices.",
                None: "No figure with its unit was read. Look at the choices.",
            }
            self.page.line(said[near], 2)
        return text

    def choice(self, count: int) -> int:
        """Read the number of an option."""
        while True:
            text = self.line()
            place = place_of(text)
            if place is not None and place < count:
                return place
            self.page.line(f"Type a number from 1 to {count}, or quit. If you do not know, take one as a guess.", 2)

    def sureness(self) -> int:
        """Read how sure the learner is."""
        self.page.line("How sure are you? 1 guess, 2 fairly, 3 sure", 2)
        while True:
            text = self.line().lower().rstrip(".)")
            if text in LEVELS:
                return LEVELS[text]
            self.page.line("Type 1 for a guess, 2 for fairly sure, 3 for sure.", 2)

    def line(self) -> str:
        """Read one line.

        Raises
        ------
        Quit
            The learner leaves.
        """
        text = plain_line(self.read("> ", [], ""))
        if text.lower() in LEAVE:
            raise Quit
        return text

    def flush(self) -> None:
        """Keep what is not kept yet; say it once when that cannot be done, and try again after the next answer."""
        if self.store is None or self.learner is None:
            return
        try:
            while self.waiting:
                self.store.keep(self.learner, self.waiting[0])
                self.waiting.pop(0)
            self.told = False
        except InputError as error:
            if not self.told:
                self.page.line(str(error), 2)
                self.page.line("It is held here and tried again after the next answer.", 2)
            self.told = True

    def tell(self, item: Item, place: int) -> None:
        """Say whether it was right, why, by which rule and source, and what the wrong choice would have done."""
        said = feedback(item, place, self.sitting.maker.bench.road)
        self.page.line("Right." if said.right else f"Not so. Right is: {said.key}", 2, bold=True)
        if said.why != said.key:
            self.page.line(f"Why: {said.why}", 2)
        if not said.right:
            by = f", by {said.margin}" if said.margin else ""
            if said.belief != item.options[place].text:
                self.page.line(f"What you chose goes with this belief: {said.belief}", 2)
            self.page.line(f"The rule {said.refuted_by} says otherwise{by}.", 2)
            if said.would:
                self.page.line(f"It would have meant: {said.would}", 2)
        if said.differs:
            self.page.line(f"Opinions differ: {said.differs}", 2)
        self.page.line(f"[{said.rule}] {'; '.join(said.sources)}", 2)

    def closing(self) -> None:
        """End with what to look at again."""
        if self.store is not None and not self.waiting and self.number:
            self.store.end(self.number, self.clock())
        if not self.results:
            return
        right = sum(one for _, one, _ in self.results)
        self.page.heading(f"{right} of {len(self.results)} right")
        wrong = Counter(item.rule_id for item, one, _ in self.results if not one)
        bold = {item.rule_id for item, one, sure in self.results if not one and sure == SURE}
        if wrong:
            self.page.line("Look at these again:")
        for rule in sorted(wrong, key=lambda name: (name not in bold, name)):
            mark = " (you were sure of it)" if rule in bold else ""
            self.page.line(f"{rule}: advisor rule {rule}{mark}", 2)
        if self.waiting:
            self.page.line(f"{len(self.waiting)} answers could not be kept. Make room, and ask again.")
