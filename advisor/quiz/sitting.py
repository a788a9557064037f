"""One sitting: which rules, in which order, what is asked again; no terminal, no clock and no lot of its own."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from itertools import islice
from random import Random
from typing import TYPE_CHECKING, Final

from advisor.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from datetime import datetime

    from advisor.knowledge.quizbook import Slip
    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.items import Item, ItemKind
    from advisor.quiz.maker import Maker, Mould
    from advisor.quiz.store import Answer
    from advisor.units import System

# Of so many items for a rule, that one is asked which offers most beliefs not yet offered.
CANDIDATES: Final = 5
# How an item is made that offers a slip.
SLIP_KINDS: Final[dict[Slip, ItemKind]] = {
    "verdict": "verdict",
    "times": "limit",
    "plus": "limit",
    "other_limit": "limit",
    "other_choice": "class",
    "other_grain": "grain",
    "other_technique": "way",
    "other_problem": "first",
    "lesser_problem": "first",
    "half_mend": "mend",
    "more_mend": "mend",
    "other_mend": "mend",
    "other_order": "order",
    "calc": "salt",
    "calc_kilo": "salt",
    "thick_twice": "thickness",
    "thick_same": "thickness",
    "thick_cubed": "thickness",
    "other_stage": "clock",
    "rest_stage": "clock",
    "plus_day": "clock",
    "minus_day": "clock",
    "other_direction": "slice",
    "either_direction": "slice",
}
# Each belief is offered so many times before the learner is called free of it.
OFFERS: Final = 2
PER_CENT: Final = 100.0
MOST_TRIES: Final = 120
# After so many items about rules comes one about a whole plan or a cut.
PLAN_EACH: Final = 4
PLAN_TRIES: Final = 6


def rules_about(word: str, rulebase: Rulebase, *, on_paper: bool = False) -> frozenset[str]:
    """Rules of a subject, of a shift's subjects, or of everything.

    Parameters
    ----------
    word : str
        A subject, a shift, or ``all``, ``due`` or ``beliefs``.
    on_paper : bool
        Whether it is for a sheet or another program, where nothing is known to be due and no answer leads on.

    Raises
    ------
    InputError
        There is no such subject or shift.
    """
    book = rulebase.quiz
    whole = ("all",) if on_paper else ("due", "beliefs", "all")
    if word in whole:
        return frozenset(rulebase.rules)
    names = book.shifts[word].subjects if word in book.shifts else [word]
    if any(name not in book.subjects for name in names):
        known = ", ".join([*book.subjects, *book.shifts, *whole])
        raise InputError(f"'{word}' is no subject and no shift.", f"Use one of: {known}.")
    return frozenset(rule for rule in rulebase.rules if book.subject_of(rule) in names)


def ordered(
    rules: Iterable[str],
    due: Mapping[str, datetime],
    now: datetime,
    rulebase: Rulebase,
    seed: str,
    *,
    only_due: bool = False,
) -> list[str]:
    """Put rules in the order in which they are asked: due first, then new ones, must-know before others; mixed.

    With ``only_due`` those not yet due again are left out.
    """
    rng = Random(f"{seed}|order")  # noqa: S311 - a draw of questions, no secret
    book = rulebase.quiz
    drawn = sorted(rules)
    rng.shuffle(drawn)

    def rank(rule: str) -> tuple[int, int]:
        must = book.subjects[book.subject_of(rule)].must_know if book.subject_of(rule) else False
        if rule in due:
            return (0 if due[rule] <= now else 2, 0 if must else 1)
        return (1, 0 if must else 1)

    kept = [rule for rule in drawn if not only_due or rank(rule)[0] < 2]  # noqa: PLR2004 - not yet due
    return _mixed(sorted(kept, key=rank), rank, book.subject_of)


def _mixed(rules: list[str], rank: Callable[[str], tuple[int, int]], subject_of: Callable[[str], str]) -> list[str]:
    """Take subjects in turn within each rank, so that no subject comes in one block."""
    found: list[str] = []
    for one in dict.fromkeys(rank(rule) for rule in rules):
        heaps: dict[str, list[str]] = {}
        for rule in rules:
            if rank(rule) == one:
                heaps.setdefault(subject_of(rule), []).append(rule)
        while any(heaps.values()):
            found += [heap.pop(0) for heap in heaps.values() if heap]
    return found


@dataclass
class Sitting:
    """Items one after the other, and those that went wrong once more at the end.

    Parameters
    ----------
    maker : Maker
        Makes the items.
    rules : sequence of str
        In the order in which they are to be asked.
    seed : str
        The same seed, rules and answers give the same sitting.
    count : int
        How many items are asked, those asked again not counted.
    plans : bool
        Whether items about whole plans and cuts are mixed in.
    source : iterator of Item, optional
        Items to ask in the place of those that the rules give, such as a `screening`.
    """

    maker: Maker
    rules: Sequence[str]
    seed: str
    count: int
    plans: bool = True
    source: Iterator[Item] | None = None
    asked: list[Item] = field(default_factory=list)
    wrong: list[Item] = field(default_factory=list)
    again: dict[str, str] = field(default_factory=dict)
    offered: set[str] = field(default_factory=set)

    def items(self) -> Iterator[Item]:
        """Yield items; call `answered` after each. Those got wrong come again at the end, once, in another form."""
        for item in islice(self._new() if self.source is None else self.source, self.count):
            yield self._asked(item)
        seen = frozenset(item.id for item in self.asked)
        for rule, belief in list(self.again.items()):
            once_more = self._once_more(rule, belief, seen)
            if once_more is not None:
                yield self._asked(once_more)

    def _asked(self, item: Item) -> Item:
        self.asked.append(item)
        self.offered |= {option.misconception for option in item.options if option.misconception}
        return item

    def _new(self) -> Iterator[Item]:
        wanted = frozenset(self.rules)
        rng = Random(f"{self.seed}|plans")  # noqa: S311 - a draw of questions, no secret
        others = self.maker.others_drawn(rng)[::-1] if self.plans else []
        done = 0
        for rule in self.rules:
            item = self._best(rule)
            if item is None:
                continue
            yield item
            done += 1
            if done % PLAN_EACH == 0:
                other = self._of_others(others, wanted)
                if other is not None:
                    yield other

    def _of_others(self, others: list[Mould], wanted: frozenset[str]) -> Item | None:
        for _ in range(min(PLAN_TRIES, len(others))):
            item = self.maker.make(others.pop(), self.seed)
            if item is not None and item.rule_id in wanted:
                return item
        return None

    def _best(self, rule: str) -> Item | None:
        made = [self.maker.of_rule(rule, f"{self.seed}.{n}") for n in range(CANDIDATES)]
        found = [item for item in made if item is not None]

        def fresh(item: Item) -> int:
            return len({option.misconception for option in item.options if option.misconception} - self.offered)

        return max(found, key=fresh, default=None)

    def _once_more(self, rule: str, belief: str, seen: frozenset[str]) -> Item | None:
        """Make another item of a rule, if it can be one that offers the same belief again."""
        made = [self.maker.of_rule(rule, f"{self.seed}.again.{n}", seen) for n in range(2 * CANDIDATES)]
        found = [item for item in made if item is not None]
        return next((i for i in found if belief in {o.misconception for o in i.options}), found[0] if found else None)

    def answered(self, item: Item, place: int) -> None:
        """Note which option was chosen; an item got wrong is asked again at the end, in another form."""
        belief = item.options[place].misconception
        if belief and item.rule_id not in self.again:
            self.wrong.append(item)
            self.again[item.rule_id] = belief


def screening(maker: Maker, seed: str, answers: Sequence[Answer] = ()) -> Iterator[Item]:
    """Yield items until each belief has been offered so many times, where items can be made that offer it.

    A learner who holds one belief and knows all else chooses it each time, and is found out by the last of these.
    It goes on from the answers that a learner has given, so that it can be had in short sittings; when there is
    nothing more to ask it begins anew.
    """
    going_on = False
    for item in _screened(maker, seed, answers):
        going_on = True
        yield item
    if answers and not going_on:
        yield from _screened(maker, seed, ())


def _screened(maker: Maker, seed: str, answers: Sequence[Answer]) -> Iterator[Item]:
    rng = Random(f"{seed}|screening")  # noqa: S311 - a draw of questions, no secret
    beliefs = sorted(maker.rulebase.quiz.misconceptions)
    rng.shuffle(beliefs)
    offered = Counter(belief for answer in answers for belief in answer.offered.split())
    seen = {answer.item for answer in answers}
    for turn in range(OFFERS):
        for belief in beliefs:
            if offered[belief] > turn:
                continue
            item = _offering(maker, belief, f"{seed}.{turn}", rng, seen)
            if item is not None:
                seen.add(item.id)
                offered.update(option.misconception for option in item.options)
                yield item


def _offering(maker: Maker, belief: str, seed: str, rng: Random, seen: set[str]) -> Item | None:
    """Make an item that offers a belief; None when none was found."""
    one = maker.rulebase.quiz.misconceptions[belief]
    kind = SLIP_KINDS.get(one.slip)
    moulds = [
        mould for mould in maker.moulds if mould.kind == kind or (mould.kind == "reason" and one.is_near(mould.about))
    ]
    rng.shuffle(moulds)
    for attempt in range(MOST_TRIES if moulds else 0):
        item = maker.make(moulds[attempt % len(moulds)], f"{seed}.{attempt}")
        fits = item is not None and item.id not in seen
        if item is not None and fits and any(option.misconception == belief for option in item.options):
            return item
    return None


def recalled_right(item: Item, text: str, rulebase: Rulebase) -> bool | None:
    """Hold a typed figure against the key, within the room that ``quiz.yaml`` gives; None when it cannot be read.

    A figure that is written as the key is, rounded to what a cook can measure, is the key: 1/2 in where 12 mm is.
    """
    from advisor.units import read_quantity, write_quantity

    settings, key = rulebase.quiz.settings, item.options[item.key].value
    if item.quantity is None or settings is None or key is None:
        return None
    try:
        value = _share(text) if item.quantity == "count" else read_quantity(text, item.quantity).value
    except (InputError, ValueError):
        return None
    systems: tuple[System, ...] = ("metric", "us")
    if any(
        write_quantity(value, item.quantity, one, both=False) == write_quantity(key, item.quantity, one, both=False)
        for one in systems
        if item.quantity != "temperature"
    ):
        return True
    room = settings.recall_room_degrees if item.quantity == "temperature" else settings.recall_room * abs(key)
    return abs(value - key) <= room


def _share(text: str) -> float:
    """Read a bare figure or a share, as 0.5, 0,5, 1/2 or 50 %.

    Examples
    --------
    >>> _share("0,5"), _share("50 %"), _share("1/2")
    (0.5, 0.5, 0.5)
    """
    plain = text.strip().replace(",", ".")
    if plain.endswith("%"):
        return float(plain[:-1]) / PER_CENT
    over, bar, under = plain.partition("/")
    if bar and float(under) == 0.0:
        raise ValueError(text)
    return float(over) / float(under) if bar else float(plain)
