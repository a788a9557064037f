"""What every item must keep to before it is asked; what does not is dropped, and counted by reason."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from advisor.audit.reading import count_words, ear_from, sentences
from advisor.quiz.items import refutation, state_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from advisor.audit.reading import Ear
    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.claims import Road
    from advisor.quiz.items import Item

_CATCH_ALL: Final = re.compile(r"\b(all|none|both|any) of (the above|these)\b", re.IGNORECASE)
_NEGATIVE: Final = re.compile(r"\b(not|except|never)\b")
_ABSOLUTE: Final = re.compile(r"\b(always|never|only|all|every|none|any|no one|nobody)\b", re.IGNORECASE)
_WORD: Final = re.compile(r"[a-z]{5,}")
# So many words of the situation in the right option alone would give it away.
MOST_ECHOES: Final = 3


def lint(item: Item, rulebase: Rulebase, road: Road) -> list[str]:
    """Give the reasons why an item must not be asked; empty when it may be.

    Parameters
    ----------
    item : Item
        As made.
    rulebase : Rulebase
        As the kitchen has it.
    road : Road
        Confirms the right option and refutes the others; it need not be the one that made the item.
    """
    reasons: list[str] = []
    for check in CHECKS:
        reasons += check(item, rulebase)
    return reasons + list(proved(item, rulebase, road))


def proved(item: Item, rulebase: Rulebase, road: Road) -> Iterator[str]:
    """Exactly one option is right, the others wrong by a margin, each refuted by a rule that has a name."""
    settings = rulebase.quiz.settings
    for option in item.options:
        outcome = refutation(option, road)
        if outcome.holds != (not option.misconception):
            yield "a wrong option holds" if option.misconception else "the right option does not hold"
        elif option.misconception:
            if outcome.rule not in rulebase.rules:
                yield "a wrong option is refuted by no named rule"
            if settings is not None and outcome.margin is not None and not outcome.margin.enough(settings):
                yield "a wrong option is wrong by a hair"


def _one_idea(item: Item, rulebase: Rulebase) -> Iterator[str]:
    if item.rule_id not in rulebase.rules:
        yield "no rule decides it"
    elif item.state != state_of(item.rule_id, rulebase):
        yield "its rule has changed"
    if item.ask.count("?") != 1 or not item.ask.endswith("?"):
        yield "not one question"
    if sum(not option.misconception for option in item.options) != 1:
        yield "not one right option"


def _contested(item: Item, rulebase: Rulebase) -> Iterator[str]:
    """Where opinions differ it is asked what our rules say, and only there may they alone refute a belief."""
    said = item.ask.startswith(rulebase.quiz.asks.get("contested", "\0"))
    rule = rulebase.rules[item.rule_id].rule if item.rule_id in rulebase.rules else None
    if rule is not None and rule.contested and not said:
        yield "contested, asked as fact"
    if item.kind == "reason" and not said:
        named = {claim.about for option in item.options if option.misconception for claim in option.claims}
        if any(name in rulebase.rules and rulebase.rules[name].rule.contested for name in named):
            yield "a belief that only an opinion refutes"


def _options(item: Item, rulebase: Rulebase) -> Iterator[str]:
    settings, book = rulebase.quiz.settings, rulebase.quiz
    texts = [option.text for option in item.options]
    if settings is not None and not settings.fewest_options <= len(texts) <= settings.most_options:
        yield "too few or too many options"
    if len({text.casefold() for text in texts}) < len(texts):
        yield "two options read the same"
    if any(option.misconception and option.misconception not in book.misconceptions for option in item.options):
        yield "a wrong option without a named misconception"
    if any(_CATCH_ALL.search(text) for text in texts):
        yield "an option that takes in others"
    if _NEGATIVE.search(item.ask):
        yield "a question that denies"


def _no_clue(item: Item, rulebase: Rulebase) -> Iterator[str]:
    """No clue from length, from words that are never true, from grammar, or from words of the situation."""
    settings = rulebase.quiz.settings
    texts = [option.text for option in item.options]
    key, wrong = item.options[item.key].text, [o.text for o in item.options if o.misconception]
    figures = all(option.value is not None for option in item.options)
    lengths = [len(text) for text in texts]
    if settings is not None and not figures and max(lengths) > settings.longest_to_shortest * min(lengths):
        yield "lengths give it away"
    if all(_ABSOLUTE.search(text) for text in wrong) and not _ABSOLUTE.search(key):
        yield "absolute words in the wrong options alone"
    if len({text.endswith(".") for text in texts}) > 1 or len({text[0].isupper() for text in texts}) > 1:
        yield "options of unlike grammar"
    words = set(_WORD.findall(key.lower()))
    echoes = set(_WORD.findall(item.question.lower())) & words
    for text in wrong:
        echoes -= set(_WORD.findall(text.lower()))
    if len(echoes) >= MOST_ECHOES or (echoes and echoes == words):
        yield "the right option echoes the question"


def _figures(item: Item, _: Rulebase) -> Iterator[str]:
    values = [option.value for option in item.options if option.value is not None]
    if values and len(values) < len(item.options):
        yield "figures and words mixed"
    if values != sorted(values):
        yield "figures out of order"
    if values and len({"(" in option.text for option in item.options}) > 1:
        yield "units unlike"


@lru_cache(maxsize=4)
def _ear(known: tuple[str, ...], syllables: tuple[tuple[str, int], ...], known_as: int) -> Ear:
    return ear_from(dict.fromkeys(known, ""), dict(syllables), known_as)


def _readable(item: Item, rulebase: Rulebase) -> Iterator[str]:
    settings, style = rulebase.quiz.settings, rulebase.quiz.style
    if settings is None:
        return
    # Figures and lines of a plan are seen, not read; a list of steps is no prose.
    prose = [item.stem, item.ask]
    if item.kind != "order" and not any(option.value is not None for option in item.options):
        prose += [option.text for option in item.options]
    text = " ".join(part for part in prose if part)
    syllables = tuple(sorted(style.get("syllables", {}).items()))
    ear = _ear(tuple(style.get("known", {})), syllables, int(style.get("known_as", 2)))
    if ear.grade(text) > settings.reading_grade:
        yield "too hard to read"
    if any(count_words(sentence) > settings.longest_sentence for sentence in sentences(text)):
        yield "a sentence too long"


@lru_cache(maxsize=4)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str] | None:
    return re.compile("|".join(rf"(?<![\w-])(?:{word})(?![\w-])" for word in words), re.IGNORECASE) if words else None


def _banned(item: Item, rulebase: Rulebase) -> Iterator[str]:
    style: Any = rulebase.quiz.style
    pattern = _pattern(tuple(style.get("banned", {})))
    if pattern is not None and any(pattern.search(t) for t in (item.question, *(o.text for o in item.options))):
        yield "a word that we do not use"


CHECKS: Final[tuple[Callable[[Item, Rulebase], Iterator[str]], ...]] = (
    _one_idea,
    _contested,
    _options,
    _no_clue,
    _figures,
    _readable,
    _banned,
)
