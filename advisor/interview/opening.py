"""The opening: what the cook has and wants, in plain words, taken as answers; only the rest is asked."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import TYPE_CHECKING

from advisor.case.model import Given
from advisor.case.names import find_cut
from advisor.case.words.draft import COLD, LIES
from advisor.case.words.meat import farmed
from advisor.case.words.moments import EVENING
from advisor.case.words.outside import LEFT
from advisor.case.words.reader import read_scopes
from advisor.case.words.stays import HOW_LONG
from advisor.errors import InputError
from advisor.interview.chilled import chilled, nights_since
from advisor.interview.dinner import dined
from advisor.interview.food_code import FACT
from advisor.interview.lain import lain
from advisor.interview.overheard import overheard
from advisor.interview.reading import Read
from advisor.interview.session import SOFTENER, Answered
from advisor.interview.weighed import weighed
from advisor.knowledge.checks import folded
from advisor.units import write_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from advisor.case.model import Case, PlanStep
    from advisor.case.words.scopes import Scope
    from advisor.interview.overheard import Overheard
    from advisor.interview.session import Session
    from advisor.knowledge.records import Question
    from advisor.knowledge.rulebase import Rulebase


# Letters and figures; a comma behind a word is none of it.
WORD = re.compile(r"[^\W_]+")
# Where meat that lies is out of the cold.
WARM = frozenset({"counter", "rest"})
# What is said of words that wait for their question.
KEPT = {
    "piece cut": "we ask about it once we know the animal.",
    "goal serve": "am or pm? We ask when we come to it.",
}
HEAVY_THICK = re.compile(r"\d+\s*(?:oz|ounces?|lbs?|pounds?|kg|kilos?|g|grams?)\s+thick\b", re.IGNORECASE)
# Said of a way of cooking by words that say nothing else to the reader of plans; no plan of ours is made from them.
SLOW = re.compile(r"\b(?:(?:slow|rice|multi)[ -]?cooker|low and slow|slow and low|gent(?:le|ly))\b", re.IGNORECASE)
# "The 28th": a day of which only the figure was told.
NTH = re.compile(r"\b\d{1,2}(?:st|nd|rd|th)\b(?!\s*(?:rib|of\s+an?\b))", re.IGNORECASE)
# How a sentence begins that holds two times out against each other.
OUT_TWICE = "the out time was said to be"
NO_STEP = "it belongs to no step."
DEER = "farmed_deer"
NOTHING = Given(None, "not known")
SAME = 0.01  # share by which a figure read twice may differ


@dataclass(frozen=True, slots=True)
class Opened:
    """A session with what was told taken in.

    ``taken`` are the questions that are answered by it, ``left`` the words that had no place, ``notes`` what the cook
    should know of how words were taken, and ``steps`` says that a plan was told as well, which is made anew here;
    ``named`` are its steps in our words.
    """

    session: Session
    taken: tuple[str, ...]
    left: tuple[str, ...]
    steps: bool
    notes: tuple[str, ...] = ()
    named: tuple[str, ...] = ()


def opened(session: Session, text: str) -> Opened:
    """Take a cook's own words as answers.

    An answer is taken only where the question itself would read it the same way; all else is asked.

    Raises
    ------
    InputError
        There is nothing to read, or far too much.
    """
    lay = lain(text, session.rulebase, session.now)
    cold = chilled(lay.text, session.rulebase, session.now)
    text, of_all = weighed(cold.text, session.now)
    text, of_the_meal = dined(text)
    heard = overheard(text, session.rulebase)
    plain = any(letter.isalnum() for letter in heard.rest) or not heard.facts
    case, scopes = read_scopes(heard.rest if plain else text, session.rulebase, session.now)
    case, cut = _doubtful_cut(case, session.rulebase)
    case = _of_mince(
        _where_it_is(_with_animal(case, session), session.rulebase, cold.minutes, session.now), session.rulebase
    )
    if _asked_how_long(case):
        case = replace(case, piece={name: one for name, one in case.piece.items() if name != "out_minutes"})
    if cold.open_days:
        case = replace(case, piece={name: one for name, one in case.piece.items() if name != "fridge_time"})
    if (lay.no_cold or cold.open_place) and case.word("piece", "start_state") not in ("", "out"):
        case = replace(case, piece={name: one for name, one in case.piece.items() if name != "start_state"})
    taken: list[str] = []
    for question in session.rulebase.questions.values():
        for words in _words(question, case, heard, session):
            try:
                done = session.answer_to(question, words)
            except InputError:
                continue
            if done.follow_up is None and _same(question, done, case):
                session = done
                taken.append(question.id)
                break
        if question.fact == "goal serve" and case.serve is not None and _may_be_served(case.serve, text, session):
            if loose := _evening(case):
                session = session.with_draft(question.id, loose)
                continue
            session = session.taken(Answered(question.id, f"{case.serve:%Y-%m-%d %H:%M}", Read(moment=case.serve)))
            taken.append(question.id)
    session = _at_work(_mince_of_any_cut(session, cut)).with_whole_bird(text)
    asked = {question.fact for question in session.rulebase.questions.values()}
    told = {
        f"{subject} {name}": replace(given, origin="answered")
        for subject, facts in (("piece", case.piece), ("guests", case.guests))
        for name, given in facts.items()
        if f"{subject} {name}" not in asked and name not in (SOFTENER, "animal", "cut") and given.value is not None
    }
    lies = lay.told if case.word("piece", "start_state") == "out" else {}
    session = replace(session, told={**session.told, **told, **lies})
    used = {folded(one.text) for one in session.answered} | {
        folded(session.rulebase.questions[one.question].choices.get(str(one.read.given.value), ""))
        for one in session.answered
        if one.read.given is not None
    }
    lost = (*case.not_understood, *_denied(heard.rest, scopes))
    left = tuple(dict.fromkeys(w for w in lost if folded(w) not in used | {folded(cut)}))
    notes = tuple(dict.fromkeys(w for w in case.unsettled if not (cut and w.startswith(f"'{cut}'"))))
    steps = any(step.action not in ("serve", "hold") or step.given for step in case.steps if step.action != "serve")
    session = _cut_asked(session, cut, text) if cut else session
    notes += tuple(f"'{word}': {KEPT[fact]}" for fact, word in _waiting(session))
    notes = (*lay.notes, *cold.notes, *of_all, *of_the_meal, *notes, *_weighed(text))
    left = (*(left if plain else ()), *(" ".join(found[0].split()) for found in SLOW.finditer(text)))
    return Opened(session, tuple(taken), tuple(dict.fromkeys(left)), steps, notes, _named_steps(case, session))


def _named_steps(case: Case, session: Session) -> tuple[str, ...]:
    """What the steps are called that were told and are not taken as they stand."""
    says = session.rulebase.vocabulary["step"]["action"].says
    told = (step for step in case.steps if step.action not in ("serve", "hold") or step.given)
    return tuple(dict.fromkeys(says.get(s.action, s.action.replace("_", " ")) for s in told if s.action != "serve"))


def _waiting(session: Session) -> Iterator[tuple[str, str]]:
    """Words that are kept for a question, by its fact."""
    for question, word in session.drafts.items():
        fact = session.rulebase.questions[question].fact
        if fact in KEPT:
            yield fact, word


def _weighed(text: str) -> Iterator[str]:
    """A weight that was said to be thick: the slip is the cook's to mend."""
    for found in HEAVY_THICK.finditer(text):
        yield f"'{' '.join(found[0].split())}' is a weight, so we ask how thick it is."


def _may_be_served(serve: datetime, text: str, session: Session) -> bool:
    """Whether it is still to come. "The 28th" is not read, so that an hour beside it may be that of any day."""
    return serve > session.now and NTH.search(text) is None


def _evening(case: Case) -> str:
    """The words for an hour that may be morning or evening; empty where it was told."""
    loose = next((said for said in case.remarks if said.endswith(EVENING)), "")
    return loose.split("'")[1] if loose else ""


def _denied(text: str, scopes: list[Scope]) -> Iterator[str]:
    """What was said not to be there, or not to be done, and is no answer to a question: "no oven"."""
    for scope in scopes:
        if scope.kind == "denied" and not any(item.kind == "CHOICE" for item in scope.items):
            yield " ".join(text[scope.items[0].start : scope.items[-1].end].split())


def _where_it_is(case: Case, rulebase: Rulebase, kept: float, now: datetime) -> Case:
    """Where the meat has been: "in the freezer"; what stood on the counter is out, whatever else was said.

    "Out of the fridge" alone leaves open how long ago that was, so it is no answer; nor is "from the fridge, sat 4 h".
    """
    state = case.given("piece", "start_state")
    leading = list(takewhile(lambda step: step.action in LIES, case.steps))
    lay = any(step.action in ("hold", "rest") and "place" not in step.given for step in leading)
    nowhere = any(said.endswith(NO_STEP) for said in case.unsettled)  # a time that may be that of lying out
    lay = lay or nowhere
    if state is not None and state.value != "out" and (state.note == LEFT or lay):
        case = replace(case, piece={name: one for name, one in case.piece.items() if name != "start_state"})
    case = _kept(case, leading, kept, now)
    line = rulebase.limit("cold_hold_max")
    warm = [step for step in leading if step.action in ("hold", "thaw", "rest") and _is_warm(step, line)]
    if warm:
        return _out(case, warm)
    if nowhere:
        return case
    if "start_state" not in case.piece and (chill := _bare_cold(case)) is not None:
        written = chill.given["place"].as_written
        case = replace(case, steps=tuple(step for step in case.steps if step is not chill))
        return case.with_value("piece", "start_state", Given("fridge", "written", written))
    first = case.steps[0] if case.steps else None
    if first is None or first.action != "hold" or not set(first.given) <= {"place", "minutes"}:
        return case
    place = first.word("place")
    cold = "frozen" if place == "freezer" else "fridge" if place in COLD else ""
    if not cold:
        return case
    told = replace(case, steps=case.steps[1:])
    if "start_state" in case.piece:
        return told if first.given.get("minutes") is not None else case
    return told.with_value("piece", "start_state", Given(cold, "written", first.given["place"].as_written))


def _bare_cold(case: Case) -> PlanStep | None:
    """The fridge named behind a tool, where no step has a figure: it says where the meat is, and chills nothing."""
    if any(set(step.given) - {"place"} or step.ingredients for step in case.steps):
        return None
    last = case.steps[-1] if case.steps else None
    return last if last is not None and last.action == "chill" and last.word("place") in COLD else None


def _is_warm(step: PlanStep, line: float) -> bool:
    """Whether it lay out of the cold: on the counter, or in a fridge that is no cold place."""
    heat = step.given.get("temperature")
    return step.word("place") in WARM or (step.word("place") in COLD and ((heat and heat.number) or line) > line)


def _kept(case: Case, leading: list[PlanStep], kept: float, now: datetime) -> Case:
    """How long raw meat has been in the fridge already: by the days that were told, or the times that it lay there."""
    times = [step.given.get("minutes") for step in leading if step.action == "hold" and step.word("place") in COLD]
    lay = sum(max(one.number or 0.0, nights_since(one.as_written, now)) for one in times if one is not None)
    minutes = max(kept, lay)
    if not minutes:
        return case
    shown = write_quantity(minutes, "time", "metric")
    return case.with_value("piece", "fridge_time", Given(float(minutes), "written", shown))


def _out(case: Case, warm: list[PlanStep]) -> Case:
    """Meat that stood out of the cold: the times told are put together; one that was not told is asked."""
    told: list[Given | None] = [step.given.get("minutes") for step in warm]
    written = ", ".join(step.given["place"].as_written for step in warm)
    kept = case.given("piece", "out_minutes")
    piece = {name: one for name, one in case.piece.items() if name not in ("start_state", "out_minutes")}
    piece["start_state"] = Given("out", "written", written)
    if (kept is None and case.word("piece", "start_state") == "out") or _asked_how_long(case):
        told = [None]  # it was out besides, and nobody said how long
    minutes = [one.number for one in (*told, *([kept] if kept is not None else [])) if one is not None and one.value]
    if minutes and None not in told:
        piece["out_minutes"] = Given(sum(minutes), "written", f"{sum(minutes):g} min")
    kept_cold = [step for step in case.steps if step.action == "hold" and step.word("place") in COLD]
    gone = (*warm, *(step for step in kept_cold if "fridge_time" in piece))
    return replace(case, piece=piece, steps=tuple(step for step in case.steps if step not in gone))


def _asked_how_long(case: Case) -> bool:
    """Whether it is open how long the meat was out of the cold: not reckoned, or said to be two things."""
    return any(HOW_LONG in said or OUT_TWICE in said for said in case.unsettled)


def _doubtful_cut(case: Case, rulebase: Rulebase) -> tuple[Case, str]:
    """The word for a cut that may be of several animals, or several cuts of one; no guess is taken as an answer."""
    given = case.piece.get("cut")
    animal = case.word("piece", "animal")
    cut = rulebase.cuts.get(case.word("piece", "cut"))
    named = case.given("piece", "animal")
    if (animal or (cut.animal if cut is not None else "")) == DEER and not (named and farmed(named.as_written)):
        # Hunted meat is held to more, so "venison" alone is not farmed.
        kept = {name: one for name, one in case.piece.items() if name not in ("animal", "cut")}
        return replace(case, piece=kept), (given or named or NOTHING).as_written
    if given is None or given.value is None:
        words = (w for w in case.not_understood if find_cut(w, animal, rulebase).could_be)
        return case, next(words, "")
    taken = f"'{given.as_written}' is taken as"
    could = () if animal else find_cut(given.as_written, "", rulebase).could_be
    guessed = any(said.startswith(taken) for said in case.unsettled)
    if guessed or len({rulebase.cuts[cut].animal for cut in could}) > 1:
        return replace(case, piece={name: one for name, one in case.piece.items() if name != "cut"}), given.as_written
    return case, ""


def _cut_asked(session: Session, word: str, text: str) -> Session:
    """Ask which cut the word means as soon as the animal is known, with the word put in already.

    "Brisket, 12 lb, whole" is the whole of it, where that is a cut of its own.
    """
    question = next(q for q in session.rulebase.questions.values() if q.fact == "piece cut")
    if session.case().word("piece", "animal"):
        asked = session.answer_to(question, word)
        if asked.follow_up is not None:
            whole = next((cut for cut, name in asked.follow_up.options if name == f"whole {folded(word)}"), "")
            return asked.settle(whole) if whole and "whole" in WORD.findall(folded(text)) else asked
    return session.with_draft(question.id, word)


def _with_animal(case: Case, session: Session) -> Case:
    """The animal that a cut is of, where only the cut was named."""
    cut = session.rulebase.cuts.get(case.word("piece", "cut"))
    if cut is None or cut.animal == "any" or case.word("piece", "animal"):
        return case
    return case.with_value("piece", "animal", Given(cut.animal, "from the rulebase"))


def _of_mince(case: Case, rulebase: Rulebase) -> Case:
    """Mince is of no whole bird: "turkey burger" names the animal alone."""
    cut = rulebase.cuts.get(case.word("piece", "cut"))
    if case.word("piece", "form") != "minced" or cut is None or not cut.whole_bird:
        return case
    return replace(case, piece={name: one for name, one in case.piece.items() if name != "cut"})


def _mince_of_any_cut(session: Session, cut: str) -> Session:
    """Nobody asks what cut mince is called, where no word for it was said."""
    question = next(q for q in session.rulebase.questions.values() if q.fact == "piece cut")
    case = session.case()
    minced = case.word("piece", "form") == "minced" and case.word("piece", "animal")
    if cut or not minced or any(one.question == question.id for one in session.answered):
        return session
    return session.not_known_to(question)


def _at_work(session: Session) -> Session:
    """A nursery, a hospital or a care home has guests at work; where home was said as well, that stands."""
    question = next(q for q in session.rulebase.questions.values() if q.fact == "guests setting")
    told = any(one.question == question.id for one in session.answered)
    if told or session.case().word("guests", "vulnerable") != "facility":
        return session
    return session.answer_to(question, question.choices["work"])


def _words(question: Question, case: Case, heard: Overheard, session: Session) -> Iterator[str]:
    """Words with which the question might be answered: the cook's own, then the plain ones for what was read."""
    subject, _, fact = question.fact.partition(" ")
    if question.fact == FACT:
        if case.code:
            yield case.code
        return
    if question.fact == "steps softeners":
        items = [i for step in case.steps for i in step.ingredients if i.what in session.rulebase.tenderisers]
        if items:
            yield ", ".join(f"{i.form.replace('_', ' ')} {i.as_written or i.what}".strip() for i in items)
            yield ", ".join(f"fresh {i.as_written or i.what}" if i.form == "fresh" else i.as_written for i in items)
        return
    if question.fact in heard.facts:
        yield question.choices[heard.facts[question.fact]]
    if fact == "setting":
        # "Home" between commas is an answer; in a sentence it may be anything.
        clauses = {folded(clause) for clause in re.split(r"[,;.\n]", heard.rest)}
        yield from (value for value in question.choices if value in clauses)
    if fact == "form":
        yield from _named(question, heard.rest)
    given = case.given(subject, fact) if subject in ("piece", "guests") else None
    if given is None or given.value is None:
        return
    if isinstance(given.value, str):
        named = session.rulebase.cuts[given.value].name if fact == "cut" else given.value
        yield question.choices.get(given.value, named)
        return
    yield from _figures(given, session.rulebase.vocabulary[subject][fact].quantity)


def _figures(given: Given, quantity: str | None) -> Iterator[str]:
    yield given.as_written
    unit = {"mass": "g", "length": "mm", "time": "min", "temperature": "C", "percent": "%"}.get(quantity or "", "")
    yield f"{given.number:g} {unit}"


def _named(question: Question, text: str) -> Iterator[str]:
    """A choice whose own words stand in the text as they are; of several the longest."""
    words = ("steak" if word == "steaks" else word for word in WORD.findall(folded(text)))
    told = f" {' '.join(words)} "
    found = [
        label
        for value, label in question.choices.items()
        for named in (folded(label), folded(label).removeprefix("a "), folded(value.replace("_", " ")))
        if named not in ("yes", "no") and f" {named} " in told
    ]
    yield from sorted(found, key=len, reverse=True)[:1]


def _same(question: Question, done: Session, case: Case) -> bool:
    """Whether the answer came out as it was read from the words."""
    subject, _, fact = question.fact.partition(" ")
    said = case.given(subject, fact) if subject in ("piece", "guests") else None
    got = done.case().given(subject, fact) if subject in ("piece", "guests") else None
    if said is None or said.value is None or got is None:
        return True
    if isinstance(said.value, str) or isinstance(got.value, str) or got.value is None:
        return said.value == got.value
    return abs(float(said.value) - float(got.value)) <= SAME * max(1.0, abs(float(said.value)))
