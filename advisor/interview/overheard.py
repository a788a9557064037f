"""What the opening says of the plate and the kitchen: how it should eat, and the tools that are there or not.

The reader of plans knows what is done to meat. "I want it to fall apart" and "we have no water bath" are no steps, so
they are heard here, by the words that stand in the vocabulary under ``also``, and left out of what the reader gets.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from advisor.case.words.lexicon import IN_PHRASES, LONGEST, SPOKEN, lexicon_of, words_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from advisor.case.words.lexicon import Words
    from advisor.knowledge.rulebase import Rulebase

_WORD: Final = re.compile(r"[^\W_]+(?:['’ʼ][^\W_]+)*|[.,;:!?]")
STOPS: Final = frozenset(".,;:!?")
NOT: Final = frozenset(
    {"no", "not", "dont", "never", "without", "isnt", "doesnt", "havent", "hasnt", "instead", "lack"}
)
DOUBT: Final = frozenset("if whether maybe might know sure perhaps could borrow buy".split())  # noqa: SIM905
BREAKS: Final = frozenset({"but", "and", "rather"})
OWNS: Final = frozenset({"have", "has", "had", "got", "own", "owns", "ive", "weve", "is", "are"})
# Said behind a tool: there is none that works, or there is one.
BROKEN: Final = frozenset(
    {"broken", "broke", "dead", "died", "missing", "gone", "faulty", "bust", "busted", "kaput", "unavailable", "lost"}
)
LACKS: Final = frozenset({"no", "none", "nope", "n"})
HAS: Final = frozenset({"yes", "yep", "y"})
LINKS: Final = frozenset({"is", "are", "was", "has", "its", "got", "now"})
# What makes another thing of a word: "pulled from the freezer".
MOVES: Final = frozenset({"from", "out", "off", "at", "away", "back"})
YES_NO: Final = frozenset({"yes", "no"})
BEFORE = 8  # words of a clause that are looked back at


@dataclass(frozen=True, slots=True)
class Overheard:
    """What was heard: the choice for each fact, and the text without it."""

    facts: Mapping[str, str]
    rest: str


@dataclass(frozen=True, slots=True)
class _Word:
    key: str
    start: int
    end: int


def overheard(text: str, rulebase: Rulebase) -> Overheard:
    """Hear how it should eat, and which tools there are.

    A fact of which two things were said is left out, so that it is asked.
    """
    phrases = _phrases(rulebase)
    words = [_Word("".join(words_of(m.group())) or m.group(), m.start(), m.end()) for m in _WORD.finditer(text)]
    said: dict[str, set[str]] = {}
    blank: list[tuple[int, int]] = []
    for first, last, (fact, choice) in _found(words, phrases, rulebase):
        clause = [word.key for word in _clause_before(words, first)]
        tool = choice in YES_NO
        if DOUBT & set(clause) or (tool and _asked(words, last)):
            continue
        behind, taken = _answer_behind(words, last) if tool and not _denied(clause) else ("", last)
        if behind == "doubt":
            continue
        denied = _denied(clause) or behind == "no"
        if not denied or tool:
            said.setdefault(fact, set()).add({"yes": "no", "no": "yes"}[choice] if denied else choice)
        alone = (
            tool and (not first or words[first - 1].key in STOPS) and (last >= len(words) or words[last].key in STOPS)
        )
        owned = alone or behind or OWNS & {word.key for word in _clause_before(words, first, joined=True)}
        if denied or not tool or owned or not _is_step(words[first:last], rulebase):
            blank.append((words[_from(words, first, clause, denied=denied and not behind)].start, words[taken - 1].end))
    rest = list(text)
    for start, end in blank:
        rest[start:end] = " " * (end - start)
    return Overheard({fact: choices.pop() for fact, choices in said.items() if len(choices) == 1}, "".join(rest))


def _phrases(rulebase: Rulebase) -> dict[Words, tuple[str, str]]:
    """Words for every choice that the interview asks of the guests and the reader does not take itself."""
    found: dict[Words, tuple[str, str]] = {}
    labels = {question.fact: question.choices for question in rulebase.questions.values()}
    for name, entry in rulebase.vocabulary["guests"].items():
        if not entry.asked or ("guests", name) in SPOKEN or ("guests", name) in IN_PHRASES:
            continue
        for choice in entry.choices:
            own = () if choice in YES_NO else (choice, entry.says.get(choice, choice))
            label = "" if choice in YES_NO else labels.get(f"guests {name}", {}).get(choice, "")
            for phrase in (*own, label, *entry.also.get(choice, ())):
                if words_of(phrase):
                    found.setdefault(words_of(phrase), (f"guests {name}", choice))
    return found


def _found(
    words: Sequence[_Word], phrases: Mapping[Words, tuple[str, str]], rulebase: Rulebase
) -> Iterator[tuple[int, int, tuple[str, str]]]:
    """Phrases in the text, the longest first at each place: first word, the one behind it, fact and choice."""
    place = 0
    while place < len(words):
        for count in range(LONGEST, 0, -1):
            keys = tuple(word.key for word in words[place : place + count])
            heard = phrases.get(keys) if len(keys) == count else None
            if heard is None or _in_a_name(words, place, place + count, rulebase):
                continue
            after = words[place + count].key if place + count < len(words) else ""
            if count == 1 and after in MOVES:
                continue
            yield place, place + count, heard
            place += count - 1
            break
        place += 1


def _in_a_name(words: Sequence[_Word], first: int, last: int, rulebase: Rulebase) -> bool:
    """Whether it is part of the name of something else: "pink salt"."""
    roles = lexicon_of(rulebase).roles
    for start in range(max(0, first - 1), first + 1):
        for end in range(last, min(len(words), last + 2) + 1):
            keys = tuple(word.key for word in words[start:end])
            if end - start > last - first and any(kind == "WITH" for kind, _ in roles.get(keys, ())):
                return True
    return False


def _is_step(words: Sequence[_Word], rulebase: Rulebase) -> bool:
    """Whether the reader of plans would take it for something that is done, or for a place."""
    roles = lexicon_of(rulebase).roles.get(tuple(word.key for word in words), ())
    return any(kind in ("ACTION", "ACTPLACE", "PLACE") for kind, _ in roles)


def _clause_before(words: Sequence[_Word], first: int, *, joined: bool = False) -> list[_Word]:
    """The words before, nearest first, back to where the clause begins; with ``joined`` past "and"."""
    clause: list[_Word] = []
    for index in range(first - 1, max(-1, first - 1 - BEFORE), -1):
        after = words[index + 1].key
        breaks = words[index].key in BREAKS and after != "than" and not (joined and words[index].key == "and")
        if words[index].key in STOPS or breaks:
            break
        clause.append(words[index])
    return clause


def _denied(clause: Sequence[str]) -> bool:
    return bool(NOT & set(clause)) or any(pair == ("than", "rather") for pair in pairwise(clause))


def _from(words: Sequence[_Word], first: int, clause: Sequence[str], *, denied: bool) -> int:
    """Where the words that are taken begin: with what denies them, or with "rather"."""
    if denied:
        return first - 1 - next((back for back, key in enumerate(clause) if key in NOT), 0)
    return first - 1 if first and words[first - 1].key == "rather" else first


def _answer_behind(words: Sequence[_Word], last: int) -> tuple[str, int]:
    """What is said of a tool right behind it, and where that ends: "yes", "no", "doubt", or nothing.

    "No" before another word may be said of that, so it leaves open whether the tool is there.
    """
    start = last + 1 if last < len(words) and words[last].key == ":" else last
    behind: list[str] = []
    for word in words[start : start + BEFORE]:
        if word.key in STOPS or word.key in BREAKS:
            break
        behind.append(word.key)
    rest = [word for word in behind if word not in LINKS]
    if not rest:
        return "", last
    end = start + len(behind)
    if set(rest) & BROKEN or ("order" in rest and "out" in rest):
        return "no", end
    if rest[0] in HAS | LACKS and len(rest) == 1:
        return ("no" if rest[0] in LACKS else "yes"), end
    if set(rest) & NOT and set(rest) & {"work", "working", "works"}:
        return "no", end
    if rest[0] in NOT:
        return "doubt", end
    return "", last


def _asked(words: Sequence[_Word], last: int) -> bool:
    """Whether the sentence ends as a question."""
    return next((word.key for word in words[last:] if word.key in ".!?"), "") == "?"
