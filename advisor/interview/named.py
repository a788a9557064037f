"""Cuts and animals that are named together: a cut for the animal, or a cut of another animal than the one answered."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from advisor.case.model import Given
from advisor.case.names import find_cut
from advisor.case.words.meat import farmed
from advisor.errors import InputError
from advisor.interview.reading import Read
from advisor.knowledge.checks import folded
from advisor.units.text import shown

if TYPE_CHECKING:
    from advisor.interview.session import Session
    from advisor.knowledge.records import Question

DEER = "farmed_deer"
HUNTED = frozenset({DEER, "wild_game"})


def with_cut(session: Session, question: Question, text: str) -> Session | None:
    """Take the name of a cut for the animal as well, where it is a cut of one animal; None where it is not."""
    key, cuts = folded(text), session.rulebase.cuts
    said = _animal_named(session, question, f"{key} ")
    word = key.removeprefix(folded(said[1])).strip() if said is not None else key
    match = find_cut(word, said[0] if said is not None else "", session.rulebase)
    could = (match.found,) if match.found is not None else match.could_be
    animals = {cuts[cut].animal for cut in could}
    if len(animals) != 1 or not animals <= set(question.choices):
        return None
    if animals == {DEER} and not farmed(text):
        return None  # "venison haunch" may be hunted, which is held to more
    cut = next(one for one in session.rulebase.questions.values() if one.fact == "piece cut")
    (animal,) = animals
    whole = find_cut(text, animal, session.rulebase).found == match.found
    return session.answer_to(question, question.choices[animal]).answer_to(cut, text if whole else word)


def of_another_animal(session: Session, cut: Question, text: str) -> Session | None:
    """Take a cut that is of another animal than the one answered: the animal changes too. None where it is not.

    It must be named by its animal, or be a cut of one other animal only.

    Raises
    ------
    InputError
        It is of deer, and nobody said whether that was farmed or hunted.
    """
    rulebase = session.rulebase
    question = next(one for one in rulebase.questions.values() if one.fact == "piece animal")
    old = next((one for one in session.answered if one.question == question.id), None)
    now, key = session.case().word("piece", "animal"), folded(text)
    if old is None or not now or _means(session, text, now):
        return None
    said = _animal_named(session, question, f"{key} ")
    match = find_cut(text, "", rulebase)
    could = (match.found,) if match.found is not None else match.could_be
    animals = {rulebase.cuts[name].animal for name in could if name in rulebase.cuts}
    animal = said[0] if said is not None else next(iter(animals)) if len(animals) == 1 else ""
    if (animal == DEER or (DEER in animals and animals <= HUNTED)) and not farmed(text):
        # Hunted meat is held to more, so nobody guesses which of the two it is.
        row = 1 + [one.question for one in session.ordered()].index(question.id)
        ways = " or ".join(f"'change {row} {question.choices[one]}'" for one in (DEER, "wild_game"))
        raise InputError(f"{shown(text)} is of another animal.", f"Type first {ways}, then the cut.")
    if animal in ("", now) or animal not in question.choices:
        return None
    word = key.removeprefix(folded(said[1])).strip() if said is not None else key
    name = next((name for name in (text, word) if name and _means(session, name, animal)), "")
    if word and not name:
        return None  # "chicken fried steak": the animal alone is no reason to take it for one
    label = question.choices[animal]
    new = replace(old, text=label, read=Read(Given(animal, "answered", label)))
    moved = replace(session, answered=tuple(new if one is old else one for one in session.answered), follow_up=None)
    return moved.answer_to(cut, name) if name else moved


def _means(session: Session, word: str, animal: str) -> bool:
    """Whether the word is a cut of the animal, or may be one of several."""
    match = find_cut(word, animal, session.rulebase)
    return match.found is not None or bool(match.could_be)


def _animal_named(session: Session, question: Question, key: str) -> tuple[str, str] | None:
    """The animal that a text begins with, and the word for it."""
    entry = session.rulebase.vocabulary["piece"]["animal"]
    return next(
        (
            (animal, name)
            for animal, label in question.choices.items()
            for name in sorted((label, *entry.also.get(animal, ())), key=len, reverse=True)
            if key.startswith(f"{folded(name)} ")
        ),
        None,
    )
