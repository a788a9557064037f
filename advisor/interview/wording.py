"""Words messages anew when an answer could not be read more than once: no sentence is said twice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.errors import InputError
from advisor.units.text import shown

if TYPE_CHECKING:
    from advisor.knowledge.records import Question

# What to try when the hints of the question itself have been given.
FURTHER_HINTS = (
    "Type dk if you do not know.",
    "Type help for a way to find out.",
    "Type back to see the question before.",
    "Type quit to stop; your answers are kept.",
)


@dataclass(frozen=True, slots=True)
class Failures:
    """What was said so far about answers to one question that could not be read."""

    question: str = ""
    count: int = 0
    said: frozenset[str] = frozenset()

    def noted(self, error: InputError, question: str) -> Failures:
        """Count one more failure, and remember its sentences."""
        same = question == self.question
        said = (self.said if same else frozenset()) | {error.what, error.hint}
        return Failures(question, self.count + 1 if same else 1, said)

    def worded(self, error: InputError, question: str, text: str, again: str) -> InputError:
        """Word an error so that it repeats nothing; the second time with the hint kept for it.

        Parameters
        ----------
        error : InputError
            As it was found.
        question : str
            Id of the question that was answered.
        text : str
            What was typed.
        again : str
            The question's own hint for the second time.
        """
        if question != self.question or not self.count:
            return error
        whats = (
            error.what,
            f"We still cannot read {shown(text)}.",
            f"{shown(text)} does not fit here, {self.count + 1} times now.",
        )
        hints = (again, error.hint, *FURTHER_HINTS) if self.count == 1 else (error.hint, *FURTHER_HINTS)
        what = next((one for one in whats if one not in self.said), whats[-1])
        # When all has been said, what helps most is said once more: no message is left without a way on.
        last = " ".join(one for one in dict.fromkeys((again or error.hint, FURTHER_HINTS[0])) if one)
        return InputError(what, next((one for one in hints if one and one not in self.said), last))


def choice_hint(question: Question) -> str:
    """Hint for a second failure where the question brings none of its own."""
    if question.choices:
        return f"Look at the list and type only its number, 1 to {len(question.choices)}."
    return question.help
