"""Items from single rules: what the rules ask, at which figure, why, as which kind of meat, by which way."""

from __future__ import annotations

import re
from itertools import combinations, product
from typing import TYPE_CHECKING, Final

from advisor.infer.text import fill
from advisor.quiz.bench import Refused
from advisor.quiz.claims import Claim, hangs_on_one_more, rests_on_filling
from advisor.quiz.items import Option, assemble
from advisor.quiz.situations import fires, lively

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from advisor.knowledge.quizbook import QuizBook
    from advisor.knowledge.records import Example
    from advisor.quiz.bench import Bench
    from advisor.quiz.items import Item

# How often a situation is over the line that its rule draws.
OVER_THE_LINE: Final = 0.6
# How often finding out is no choice where a rule asks for a change or a stop.
TO_FIND_OUT_LEFT_OUT: Final = 0.7
# So many reasons are turned away whose right answer cannot stand at the length that was drawn for it.
TURNED_AWAY: Final = 0.9
# How often the wrong reasons are beliefs that were gathered for this very rule, where there are enough.
OWN_BELIEFS: Final = 0.75
SENTENCE: Final = re.compile(r"(?<=[.?!])\s+(?=[A-Z])")


def examples_of(bench: Bench, rule_id: str) -> list[Example]:
    """Examples of a rule that fire and that do not."""
    examples = bench.rule(rule_id).examples
    return [*examples.fires, *examples.near_misses]


def drawn(bench: Bench, rule_id: str, rng: Random, *, firing: bool) -> Example:
    """A lively example of a rule, drawn by lot.

    Raises
    ------
    Refused
        None of them keeps what it shows with figures at a margin.
    """
    examples = bench.rule(rule_id).examples
    pool = list(examples.fires if firing else examples.near_misses)
    rng.shuffle(pool)
    for example in pool:
        made = lively(bench.rulebase.rules[rule_id], example, bench.rulebase, rng, bench.system)
        if made is not None:
            return made
    raise Refused("no example keeps a margin")


def verdict_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask what the rules ask of a situation just inside, at or just outside a line.

    Raises
    ------
    Refused
        More than one rule has something to say, or a fact has no words.
    """
    firing = rng.random() < OVER_THE_LINE
    example = drawn(bench, rule_id, rng, firing=firing)
    judgement = bench.road.judge(Claim(example, "verdict"))
    speaking = {finding.rule.rule.id for finding in judgement.problems}
    if len(speaking) > 1:
        raise Refused("more than one rule speaks")
    if firing != (rule_id in speaking):
        # The whole road must say what the rule alone says, or the situation leaves out what matters.
        raise Refused("the whole road says otherwise than the rule")
    if any(rests_on_filling(finding, judgement) for finding in judgement.problems):
        raise Refused("rests on what the situation does not tell")
    if judgement.verdict == "go" and hangs_on_one_more(judgement, bench.rulebase):
        raise Refused("clean only if one thing more is so")
    decides = next(iter(speaking), rule_id)
    key = judgement.verdict
    others = [name for name in ("go", "change", "stop", "ask") if name != key]
    # To find out is offered as a wrong answer too, or it would be right whenever it is seen; but not where all is
    # well, for there a careful cook may want to hear more than is told.
    if key in ("go", "ask"):
        others.remove("ask" if key == "go" else rng.choice(["change", "stop"]))
    else:
        others.remove("ask" if rng.random() < TO_FIND_OUT_LEFT_OUT else rng.choice([n for n in others if n != "ask"]))
    slip = {one.value: name for name, one in bench.book.slips("verdict").items()}
    if key == "go":
        # Nothing went wrong here that could be mended or binned: who says so sees a line passed that is kept.
        slip = dict.fromkeys(bench.book.verdicts, slip["kept"])
    options = [
        Option(
            bench.book.verdicts[verdict],
            (Claim(example, "verdict", says=verdict, rule=decides),),
            "" if verdict == key else slip[verdict],
        )
        for verdict in (key, *others)
    ]
    question = (bench.words(example), bench.ask("verdict", decides))
    return assemble("verdict", decides, bench.rulebase, rng, question, options)


def reason_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask why: the mechanism of a rule among beliefs that rules refute.

    Of a contested rule it is asked what our rules go by, and never which is true. Only there may a belief stand that
    no rule but a contested one refutes.

    Raises
    ------
    Refused
        Too few beliefs of its length lie near it.
    """
    rule = bench.rule(rule_id)
    example = drawn(bench, rule_id, rng, firing=True)
    near = {
        name: one
        for name, one in bench.book.misconceptions.items()
        if one.is_near(rule_id) and refuters(bench, name, rule_id)
    }
    facts = bench.road.judge(Claim(example, "rule", rule_id)).inference.facts
    keys = fit_reasons(fill(rule.because, bench.rulebase, facts, 0 if facts.steps else None, bench.system), bench.book)
    if not keys:
        raise Refused("no sentence of the reason stands alone")
    rng.shuffle(keys)
    names = sorted(near)
    rng.shuffle(names)
    # The right one is as often the longest as the shortest, so that length tells nothing.
    rank = rng.randrange(bench.settings.fewest_options)
    # Those that were gathered for this rule read best beside it; now and then others of its kind stand in.
    own = [name for name in names if rule_id in (*near[name].near, *near[name].refuted_by)]
    fits = _by_rank(bench, keys, own) if rng.random() < OWN_BELIEFS else {}
    fits = fits or _by_rank(bench, keys, names)
    if not fits:
        raise Refused("too few beliefs near it")
    if rank not in fits and rng.random() < TURNED_AWAY:
        raise Refused("the right one would stand out by its length once more")
    key, picked = rng.choice(fits.get(rank) or [fit for rank in sorted(fits) for fit in fits[rank]])
    options = [Option(key, (Claim(example, "rule", rule_id, "fires", rule=rule_id),))]
    options += [Option(text, belief_claims(bench, name, rule_id, rng), name) for name, text in picked]
    question = (bench.words(example), bench.ask("taken" if rule.contested else "which", rule_id))
    return assemble("reason", rule_id, bench.rulebase, rng, question, options)


def fit_reasons(because: str, book: QuizBook) -> list[str]:
    """Sentences of a reason, and the whole of it, that can stand alone as an answer."""
    first, *rest = SENTENCE.split(because)
    leans = [re.compile(one, re.IGNORECASE) for one in book.unfit_reasons.get("leans", [])]
    of_us = [re.compile(one, re.IGNORECASE) for one in book.unfit_reasons.get("of_us", [])]
    found = [because, first] if rest else [because]
    found += [one for one in rest if not any(pattern.search(one) for pattern in leans)]
    return [one for one in found if not any(pattern.search(one) for pattern in of_us)]


# A right sentence, and beliefs each with the wording that is taken.
_Fit = tuple[str, tuple[tuple[str, str], ...]]


def _fitting(bench: Bench, keys: list[str], names: list[str]) -> Iterator[_Fit]:
    """Right sentences with beliefs of about their length, in the order drawn."""
    said = [[(name, text) for text in bench.book.misconceptions[name].wordings] for name in names]
    for group in combinations(said, bench.settings.fewest_options - 1):
        for picked in product(*group):
            for key in keys:
                lengths = [len(key), *(len(text) for _, text in picked)]
                if max(lengths) <= bench.settings.longest_to_shortest * min(lengths):
                    yield key, picked


def _by_rank(bench: Bench, keys: list[str], names: list[str]) -> dict[int, list[_Fit]]:
    found: dict[int, list[_Fit]] = {}
    for fit in _fitting(bench, keys, names):
        found.setdefault(_rank(fit), []).append(fit)
    return found


def _rank(fit: _Fit) -> int:
    """How many of the beliefs are shorter than the right sentence."""
    key, picked = fit
    return sum(len(text) < len(key) for _, text in picked)


def refuters(bench: Bench, name: str, about: str) -> list[str]:
    """Rules that refute a belief in an item about a rule; what opinions differ on refutes nothing as fact."""
    named = bench.book.misconceptions[name].refuted_by
    return [rule for rule in named if bench.rule(about).contested or not bench.rule(rule).contested]


def belief_claims(bench: Bench, name: str, about: str, rng: Random) -> tuple[Claim, ...]:
    """What a believer expects: that the rules which refute the belief are silent.

    Raises
    ------
    Refused
        No example shows it at a margin.
    """
    rule_id = rng.choice(refuters(bench, name, about))
    example = drawn(bench, rule_id, rng, firing=True)
    return (Claim(example, "rule", rule_id, "silent", rule=rule_id),)


def class_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask as what the meat counts.

    Raises
    ------
    Refused
        The rule concludes no fact that the quiz has words for.
    """
    conclusion = bench.rule(rule_id).concludes
    words = bench.book.choices.get(conclusion.fact)
    if words is None or conclusion.value not in words:
        raise Refused("concludes no fact with words")
    example = drawn(bench, rule_id, rng, firing=True)
    others = [choice for choice in words if choice != conclusion.value]
    rng.shuffle(others)
    slip = next(iter(bench.book.slips("other_choice")))
    options = [
        Option(
            words[choice],
            (Claim(example, "fact", conclusion.fact, choice, rule=rule_id),),
            "" if choice == conclusion.value else slip,
        )
        for choice in (conclusion.value, *others[: bench.settings.fewest_options - 1])
    ]
    question = (bench.words(example), bench.ask(conclusion.fact.split(" ")[1], rule_id))
    return assemble("class", rule_id, bench.rulebase, rng, question, options)


def way_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask which way of working the rules choose, or rule out.

    Raises
    ------
    Refused
        Too few other ways are surely not chosen.
    """
    conclusion = bench.rule(rule_id).concludes
    if not conclusion.technique:
        raise Refused("names no way of working")
    example = drawn(bench, rule_id, rng, firing=True)

    def claim(name: str) -> Claim:
        return Claim(example, "technique", name, conclusion.fit, rule=rule_id)

    others = [name for name in bench.book.techniques if name != conclusion.technique]
    if conclusion.fit == "choose":
        others = [name for name in others if not bench.road.could_choose(claim(name))]
    rng.shuffle(others)
    kin = [name for kind in bench.book.kinds_of_way.values() if conclusion.technique in kind for name in kind]
    others.sort(key=lambda name: name not in kin)
    if len(others) < bench.settings.fewest_options - 1:
        raise Refused("too few other ways")
    slip = next(iter(bench.book.slips("other_technique")))
    options = [
        Option(bench.book.techniques[name], (claim(name),), "" if name == conclusion.technique else slip)
        for name in (conclusion.technique, *others[: bench.settings.fewest_options - 1])
    ]
    ask = bench.ask("technique" if conclusion.fit == "choose" else "ruled_out", rule_id)
    return assemble("way", rule_id, bench.rulebase, rng, (bench.words(example), ask), options)


def has_example(bench: Bench, rule_id: str) -> bool:
    """Tell whether some example of a rule fires on the whole road of examples."""
    rule = bench.rulebase.rules[rule_id]
    return any(fires(rule, example, bench.rulebase) for example in rule.rule.examples.fires)
