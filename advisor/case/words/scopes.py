"""What in a text is no part of the plan: questions, hearsay, conditions, and everything that is denied."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from advisor.case.words import english
from advisor.case.words.joined import ASKED, HARD, SOFT, STOPS
from advisor.case.words.phrases import Phrase, phrase_at

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from advisor.case.words.tokens import Token

CONTENT: Final = frozenset({"CUT", "WITH", "ACTION", "ACTPLACE", "PLACE", "CHOICE", "ANIMAL", "MEAT", "JUNK", "CORE"})
DOES: Final = frozenset({"WITH", "ACTION", "ACTPLACE", "PLACE"})
LIGHT: Final = frozenset({"FILL", "A", "OF", "PREP", "PREP_TO", "HEDGE", "AT", "FORM", "EACH_SIDE", "AND", "OF_MEAT"})
_LONGEST_TAG: Final = 3
# What a thermometer does.
SHOWS: Final = frozenset({"says", "said"})


@dataclass(slots=True, eq=False)
class Item:
    """A terminal or a phrase, and the part it plays: ``said``, ``aside`` or ``denied``."""

    token: Token
    phrase: Phrase | None = None
    part: str = "said"
    clause: int = 0
    kind: str = field(init=False)

    def __post_init__(self) -> None:
        self.kind = "PHRASE" if self.phrase is not None else self.token.kind.rstrip("~")

    @property
    def start(self) -> int:
        """Where it begins in the text."""
        return self.phrase.start if self.phrase is not None else self.token.start

    @property
    def end(self) -> int:
        """Where it ends in the text."""
        return self.phrase.end if self.phrase is not None else self.token.end

    @property
    def numeric(self) -> bool:
        """Whether a number stands in it."""
        words = self.phrase.words if self.phrase is not None else (self.token,)
        return any(
            w.kind.startswith(("NUM", "FRAC", "HALF_L", "HALF_B")) or any(c.isnumeric() for c in w.text) for w in words
        )


@dataclass(frozen=True, slots=True)
class Scope:
    """A stretch of items that is no part of the plan."""

    kind: str
    items: tuple[Item, ...]

    @property
    def numeric(self) -> bool:
        """Whether a number stands in it."""
        return any(item.numeric for item in self.items)

    @property
    def does(self) -> bool:
        """Whether something is done, or put somewhere, in it."""
        return any(item.kind in DOES or (item.phrase is not None) for item in self.items)


def items_of(found: Sequence[Token]) -> list[Item]:
    """Cut terminals into phrases and single words, and number the clauses."""
    items: list[Item] = []
    index = clause = 0
    while index < len(found):
        phrase = phrase_at(found, index)
        item = Item(found[index], phrase, clause=clause)
        index += len(phrase.words) if phrase is not None else 1
        if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
            clause += 1
            item.clause = clause
        items.append(item)
    return items


def scopes_of(items: list[Item]) -> list[Scope]:
    """Find what is not said as a plan, and mark its items."""
    scopes: list[Scope] = []
    _openings(items)
    sentences = list(_sentences(items))
    asked = [s for s in sentences if s and s[-1].kind == ASKED]
    plans_elsewhere = any(i.kind in DOES or i.phrase is not None for s in sentences if s not in asked for i in s)
    for sentence in sentences:
        if sentence in asked:
            scopes += _question(sentence, plan=not plans_elsewhere)
        scopes += _hearsay(sentence)
        scopes += _denials(sentence)
    return scopes


def _openings(items: list[Item]) -> None:
    """Set aside what only leads up to the plan: "can you tell me if this works: ...", and the like."""
    start = 0
    for index, item in enumerate(items):
        if item.kind in (HARD, ASKED):
            start = index + 1
            continue
        if item.token.text != ":" and item.kind != SOFT:
            continue
        head = items[start:index]
        words = {word for one in head for word in one.token.key.split()}
        empty = not any(one.phrase is not None or one.kind in CONTENT - {"JUNK"} for one in head)
        asked = any(one.kind == "IF" for one in head) and words & english.ASKED_IF
        opens = _first_word(head) in english.ASKS and item.token.text == ":"
        if empty and (asked or opens):
            for one in items[start : index + 1]:
                one.part = "tag" if one.kind not in STOPS else one.part
        if item.kind == SOFT:
            start = index + 1


def _sentences(items: list[Item]) -> Iterator[list[Item]]:
    sentence: list[Item] = []
    for item in items:
        sentence.append(item)
        if item.kind in (HARD, ASKED):
            yield sentence
            sentence = []
    if sentence:
        yield sentence


def _mark(items: Sequence[Item], part: str, kind: str) -> list[Scope]:
    kept = tuple(item for item in items if item.kind not in (HARD, ASKED))
    for item in kept:
        item.part = part
    while kept and kept[-1].kind == SOFT:
        kept = kept[:-1]
    while kept and kept[0].kind in (SOFT, "AND_STOP", "THEN"):
        kept = kept[1:]
    return [Scope(kind, kept)] if kept else []


def _clauses(sentence: Sequence[Item]) -> list[list[Item]]:
    clauses: list[list[Item]] = [[]]
    for item in sentence:
        clauses[-1].append(item)
        if item.kind == SOFT or item.kind in ("THEN", "AND_STOP"):
            clauses.append([])
    return [clause for clause in clauses if clause]


def _first_word(clause: Sequence[Item]) -> str:
    return next((i.token.key.split()[0] for i in clause if i.kind not in STOPS and i.token.key.split()), "")


def _question(sentence: list[Item], *, plan: bool) -> list[Scope]:
    """A question is no order. Where the whole text is one question, it is a plan politely put."""
    clauses = _clauses(sentence)
    words = [i.token.key for i in clauses[-1] if i.kind not in STOPS]
    if len(words) <= _LONGEST_TAG and words and all(set(w.split()[:1]) <= english.TAGS for w in words):
        return _mark(clauses[-1], "tag", "tag")[:0]
    opens = [index for index, clause in enumerate(clauses) if _first_word(clause) in english.ASKS]
    if not opens:
        return []
    if plan:
        # "Can I do flank, ...": the opening words are left out, the rest is read.
        for item in clauses[opens[0]]:
            if item.kind in CONTENT - {"JUNK"} or item.phrase is not None:
                break
            if item.kind not in STOPS:
                item.part = "tag"
        return []
    rest = [item for clause in clauses[opens[0] :] for item in clause]
    return _mark(rest, "aside", "question")


def _hearsay(sentence: list[Item]) -> list[Scope]:
    """What somebody says, did last time, or would do if: not what is planned."""
    scopes: list[Scope] = []
    clauses = _clauses(sentence)
    for index, clause in enumerate(clauses):
        live = [item for item in clause if item.part == "said"]
        if any(item.kind == "IF" for item in live):
            start = next(i for i, item in enumerate(live) if item.kind == "IF")
            rest = live[start:] + [i for later in clauses[index + 1 :] for i in later if i.part == "said"]
            scopes += _mark(rest, "aside", "condition")
            break
        if any(item.kind == "SAYS" and not _reads(live, place) for place, item in enumerate(live)):
            scopes += _mark(live, "aside", "hearsay")
    return scopes


def _reads(clause: Sequence[Item], place: int) -> bool:
    """Whether it is a probe or the middle that says so: a reading, and no hearsay."""
    before = next((item for item in reversed(clause[:place]) if item.kind not in LIGHT), None)
    return before is not None and before.kind == "CORE" and clause[place].token.key in SHOWS


def _denials(sentence: list[Item]) -> list[Scope]:
    scopes: list[Scope] = []
    index = 0
    while index < len(sentence):
        item = sentence[index]
        if item.part != "said" or item.kind not in ("NOT_IT", "NOT_THIS"):
            index += 1
            continue
        end = _clause_end(sentence, index) if item.kind == "NOT_IT" else _list_end(sentence, index)
        inner = sentence[index + 1 : end]
        kind = "doubtful" if any(i.kind in ("NOT_IT", "NOT_THIS") for i in inner) else "denied"
        if kind == "denied" and item.kind == "NOT_THIS" and end < len(sentence) and sentence[end].kind == "AND":
            after = next((i for i in sentence[end + 1 :] if i.kind not in LIGHT), None)
            # "no salt and papaya": nobody can tell whether papaya is wanted.
            if after is not None and after.kind in CONTENT and after.kind != "JUNK":
                kind = "doubtful"
                end = _clause_end(sentence, index)
        scopes += _mark(sentence[index:end], "denied", kind)
        index = max(end, index + 1)
    return scopes


def _clause_end(sentence: Sequence[Item], start: int) -> int:
    for index in range(start + 1, len(sentence)):
        if sentence[index].kind in STOPS or sentence[index].kind in ("THEN", "AND_STOP"):
            return index
    return len(sentence)


def _names_more(sentence: Sequence[Item], index: int) -> bool:
    """Whether a thing we know stands right behind, with only small or unknown words between."""
    for item in sentence[index + 1 :]:
        if item.kind not in ("FILL", "A", "OF", "JUNK", "FORM"):
            return item.kind in CONTENT
    return False


def _list_end(sentence: Sequence[Item], start: int) -> int:
    """End of "no salt or pepper": the thing named, and what *or* joins to it."""
    index, seen = start + 1, False
    while index < len(sentence):
        item = sentence[index]
        if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
            return index
        if seen and item.phrase is None:
            after = sentence[index + 1] if index + 1 < len(sentence) else None
            joined = item.kind == "OR" and after is not None and after.kind not in STOPS
            if not joined and not (item.kind in ("FORM", "JUNK") and sentence[index - 1].kind == "OR"):
                return index
            seen = False
        elif seen:
            index += 1
            continue
        elif item.kind in CONTENT:
            # "without any decent salt": a word we do not know, before the thing that is denied.
            seen = item.kind != "JUNK" or not _names_more(sentence, index)
        index += 1
    return index
