"""Makes items by the hundred: which there can be, one from a seed, a form of many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from importlib import resources
from itertools import zip_longest
from random import Random
from typing import TYPE_CHECKING, Any, Final

from advisor.quiz import from_limits, from_plans, from_rules, from_sums
from advisor.quiz.bench import Bench, Refused
from advisor.quiz.lint import lint

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import datetime

    from advisor.case.model import Case
    from advisor.knowledge.records import Rule
    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.items import Item, ItemKind
    from advisor.units import System

# So many seeds are tried before it is said that a mould makes nothing.
TRIES: Final = 12
# One in so many of a form is about a plan or a cut.
OTHERS_EACH: Final = 3
CLOCK_RULES: Final = ("cool.first_stage", "cool.both_stages", "hold.cooked_days")


@dataclass(frozen=True, slots=True, order=True)
class Mould:
    """A way to make items: the kind, and the rule, plan or cut that they are about."""

    kind: ItemKind
    about: str


def asks_something(rule: Rule) -> bool:
    """Tell whether a rule asks something of the cook; contested craft that only informs is an opinion."""
    return rule.concern in ("safety", "law") or rule.concludes.verdict in ("change", "stop")


class ShippedPlans(Mapping[str, "Case"]):
    """Plans that whole-plan items are made from: the worked scenarios, each read when it is first asked for."""

    def __init__(self, rulebase: Rulebase, now: datetime) -> None:
        self.rulebase, self.now = rulebase, now
        folder = resources.files("scenarios").joinpath("worked")
        files = sorted((one for one in folder.iterdir() if one.name.endswith(".yaml")), key=lambda one: one.name)
        self.files = {file.name.removesuffix(".yaml"): file for file in files}
        self.read: dict[str, Case] = {}

    def __getitem__(self, name: str) -> Case:
        """Read a plan, once."""
        from advisor.case.words.either import read_either

        if name not in self.read:
            file = self.files[name]
            self.read[name] = read_either(file.read_text(encoding="utf-8"), self.rulebase, self.now, file.name)
        return self.read[name]

    def __iter__(self) -> Iterator[str]:
        """Go through the names."""
        return iter(self.files)

    def __len__(self) -> int:
        """Count them."""
        return len(self.files)


class Maker:
    """Makes items from one state of the rules.

    Parameters
    ----------
    rulebase : Rulebase
        As the kitchen has it, under its food code and house file.
    plans : mapping
        Plans for whole-plan items, by name.
    system : {"metric", "us"}
        Units of the texts.

    Attributes
    ----------
    refused : Counter
        Why items were not made or not asked, counted.
    """

    def __init__(self, rulebase: Rulebase, plans: Mapping[str, Case], system: System = "metric") -> None:
        self.rulebase = rulebase
        self.bench = Bench(rulebase, plans, system)
        self.refused: Counter[str] = Counter()

    @cached_property
    def moulds(self) -> tuple[Mould, ...]:
        """Every way to make items; whether one makes any is seen when it is tried."""
        found: list[Mould] = []
        for rule_id, checked in self.rulebase.rules.items():
            rule = checked.rule
            if rule.concludes.verdict in ("change", "stop", "ask"):
                found.append(Mould("verdict", rule_id))
            if rule_id in self._held:
                found.append(Mould("limit", rule_id))
            if rule.concludes.fact in self.rulebase.quiz.choices:
                found.append(Mould("class", rule_id))
            if rule.concludes.technique:
                found.append(Mould("way", rule_id))
            if not rule.contested or asks_something(rule):
                found.append(Mould("reason", rule_id))
        rules = self.rulebase.rules
        found += [Mould("clock", name) for name in CLOCK_RULES if name in rules]
        found += [Mould("salt", "practice.salt")] if "practice.salt" in rules else []
        found += [Mould("thickness", "cook.come_up_slow")] if "cook.come_up_slow" in rules else []
        for name in self.bench.plans:
            found += [Mould("first", name), Mould("mend", name), Mould("order", name)]
        for cut, one in self.rulebase.cuts.items():
            found += [Mould("slice", cut), Mould("grain", cut)] if one.grain != "mixed" else []
        return tuple(found)

    @cached_property
    def _held(self) -> dict[str, list[from_limits.Held]]:
        return from_limits.held_limits(self.bench)

    def make(self, mould: Mould, seed: str) -> Item | None:
        """Make one item; the same from the same seed. None when none was made or it may not be asked."""
        rng = Random(f"{seed}|{mould.kind}|{mould.about}")  # noqa: S311 - a draw of questions, no secret
        try:
            item = self._made(mould, rng)
        except Refused as refused:
            self.refused[f"not made: {refused.reason}"] += 1
            return None
        reasons = lint(item, self.rulebase, self.bench.road)
        for reason in reasons:
            self.refused[reason] += 1
        return None if reasons else item

    def _made(self, mould: Mould, rng: Random) -> Item:
        bench = self.bench
        if mould.kind == "limit":
            return from_limits.limit_item(bench, mould.about, rng, rng.choice(self._held[mould.about]))
        makers: dict[str, Callable[[Any, str, Random], Item]] = {
            "verdict": from_rules.verdict_item,
            "reason": from_rules.reason_item,
            "class": from_rules.class_item,
            "way": from_rules.way_item,
            "clock": from_limits.clock_item,
            "first": from_plans.first_item,
            "mend": from_plans.mend_item,
            "order": from_plans.order_item,
            "salt": from_sums.salt_item,
            "thickness": from_sums.thickness_item,
            "slice": from_sums.slice_item,
            "grain": from_sums.grain_item,
        }
        return makers[mould.kind](bench, mould.about, rng)

    @cached_property
    def by_rule(self) -> dict[str, tuple[Mould, ...]]:
        """Moulds about single rules, by rule."""
        found: dict[str, list[Mould]] = {}
        for mould in self.moulds:
            if mould.about in self.rulebase.rules:
                found.setdefault(mould.about, []).append(mould)
        return {rule: tuple(moulds) for rule, moulds in found.items()}

    @cached_property
    def others(self) -> tuple[Mould, ...]:
        """Moulds about whole plans and cuts; the rule is known when the item is made."""
        return tuple(mould for mould in self.moulds if mould.about not in self.rulebase.rules)

    def others_drawn(self, rng: Random) -> list[Mould]:
        """Those, in an order drawn by lot, kind after kind in turn: there are many more cuts than plans."""
        heaps: dict[str, list[Mould]] = {}
        for mould in rng.sample(self.others, len(self.others)):
            heaps.setdefault(mould.kind, []).append(mould)
        kinds = rng.sample(sorted(heaps), len(heaps))
        turns = zip_longest(*(heaps[kind] for kind in kinds))
        return [mould for turn in turns for mould in turn if mould is not None]

    def of_rule(self, rule_id: str, seed: str, without: frozenset[str] = frozenset()) -> Item | None:
        """Make an item that one rule decides, by lot of the ways there are; None when none can be made."""
        moulds = self.by_rule.get(rule_id, ())
        rng = Random(f"{seed}|{rule_id}")  # noqa: S311 - a draw of questions, no secret
        for attempt in range(TRIES if moulds else 0):
            item = self.make(rng.choice(moulds), f"{seed}.{attempt}")
            if item is not None and item.rule_id == rule_id and item.id not in without:
                return item
        return None

    def form(self, seed: str, count: int, rules: frozenset[str] | None = None) -> tuple[Item, ...]:
        """Draw a form: no item twice, each rule once before one comes again.

        Parameters
        ----------
        seed : str
            The same seed gives the same form.
        count : int
            How many items are wanted; fewer where the rules give no more.
        rules : frozenset of str, optional
            Rules to ask; all when not given.
        """
        found: list[Item] = []
        for item in self.stream(seed, rules):
            if len(found) == count:
                break
            found.append(item)
        return tuple(found)

    def stream(self, seed: str, rules: frozenset[str] | None = None) -> Iterator[Item]:
        """Yield item after item, none twice, until some rounds in a row give nothing new."""
        seen: set[str] = set()
        idle = turn = 0
        while idle < TRIES:
            rng = Random(f"{seed}|{turn}|round")  # noqa: S311 - a draw of questions, no secret
            order = [rule for rule in self.by_rule if rules is None or rule in rules]
            rng.shuffle(order)
            others = self.others_drawn(rng)
            before = len(seen)
            for item in self._round(f"{seed}.{turn}", order, others):
                question = item.question + "".join(item.told)
                if question not in seen and (rules is None or item.rule_id in rules):
                    seen.add(question)
                    yield item
            idle = idle + 1 if len(seen) == before else 0
            turn += 1

    def _round(self, seed: str, order: Sequence[str], others: Sequence[Mould]) -> Iterator[Item]:
        for place, rule in enumerate(order):
            item = self.of_rule(rule, seed)
            if item is not None:
                yield item
            if place % OTHERS_EACH == OTHERS_EACH - 1 and place // OTHERS_EACH < len(others):
                other = self.make(others[place // OTHERS_EACH], seed)
                if other is not None:
                    yield other
