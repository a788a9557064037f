"""The texts of rules without a case: limits with their figures, facts by their plain names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from advisor.knowledge.checks import PLACEHOLDER
from advisor.units import write_quantity

if TYPE_CHECKING:
    import re
    from collections.abc import Iterable

    from advisor.knowledge.conditions import Alternative, Condition
    from advisor.knowledge.records import Example, Limit, Mend, Rule
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System


def figure(limit: Limit, system: System = "metric") -> str:
    """Figure of a limit in both systems of units.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> figure(load_rulebase().limits["cold_hold_max"])
    '5 °C (41 °F)'
    """
    return write_quantity(limit.value, limit.quantity, system)


def plain(text: str, rulebase: Rulebase, system: System = "metric") -> str:
    """Put a limit's figure, or the name of a fact in square brackets, in the place of each name in braces.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> plain("Above {cold_hold_max} for {course.warm_raw_minutes|up}.", load_rulebase())
    'Above 5 °C (41 °F) for [warm raw minutes].'
    """

    def shown(match: re.Match[str]) -> str:
        name = match[1].partition("|")[0].strip()
        if name in rulebase.limits:
            return figure(rulebase.limits[name], system)
        return f"[{name.partition('.')[2].replace('_', ' ')}]"

    return PLACEHOLDER.sub(shown, text)


def texts_of(rule: Rule) -> tuple[str, ...]:
    """Every text of a rule that may hold names in braces."""
    caution = rule.caution
    parts = (caution.hazard, caution.consequence, caution.instead) if caution is not None else ()
    return tuple(text for text in (rule.says, rule.because, rule.beside, *parts) if text)


def facts_named(texts: Iterable[str], rulebase: Rulebase) -> dict[str, str]:
    """Plain names of the facts that texts show, to what they mean."""
    found: dict[str, str] = {}
    for text in texts:
        for match in PLACEHOLDER.findall(text):
            name = match.partition("|")[0].strip()
            subject, _, fact = name.partition(".")
            entry = rulebase.vocabulary.get(subject, {}).get(fact)
            if name not in rulebase.limits and entry is not None:
                found[fact.replace("_", " ")] = entry.means
    return found


def limits_of_rule(rule_id: str, rulebase: Rulebase) -> tuple[str, ...]:
    """Names of the limits that a rule holds facts against or names in its texts, in that order."""
    from advisor.knowledge.conditions import conditions_of

    checked = rulebase.rules[rule_id]
    names = [condition.limit for condition in conditions_of(checked.alternatives)]
    for text in texts_of(checked.rule):
        names += [match.partition("|")[0].strip() for match in PLACEHOLDER.findall(text)]
    return tuple(name for name in dict.fromkeys(names) if name in rulebase.limits)


def sentence(condition: Condition, rulebase: Rulebase, system: System = "metric") -> str:
    """Give a condition as a sentence, with the figure of its limit and the words of the vocabulary.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> book = load_rulebase()
    >>> sentence(book.rules["hold.warm_raw_long"].alternatives[0].conditions[0], book)
    'course warm raw minutes is over raw_out_discard, 4 h'
    """
    subject = f"{condition.subject} {condition.fact.replace('_', ' ')} {condition.comparison}"
    if condition.limit:
        return f"{subject} {condition.limit}, {figure(rulebase.limits[condition.limit], system)}"
    says = rulebase.vocabulary[condition.subject][condition.fact].says
    words = [says.get(choice, choice.replace("_", " ")) for choice in condition.choices]
    return f"{subject} {' or '.join(words)}".strip()


def alternative_words(alternative: Alternative, rulebase: Rulebase) -> list[str]:
    """Give what one alternative of a rule asks for, one sentence each, steps that may not be there last."""
    said = [sentence(condition, rulebase) for condition in alternative.conditions]
    none = [" and ".join(sentence(c, rulebase) for c in pattern) for pattern in alternative.absent_steps]
    return said + [f"there is no step with {pattern}" for pattern in none]


# How more and less of a fact are said.
WAYS: Final = {
    "minutes": ("longer", "shorter"),
    "temperature": ("hotter", "cooler"),
    "until_core": ("until the middle reads more", "until the middle reads less"),
    "thickness": ("thicker", "thinner"),
    "depth": ("deeper", "less deep"),
}


def mend_words(mend: Mend, rulebase: Rulebase) -> str:
    """Say what may be changed, and which way.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> from advisor.knowledge.records import Mend
    >>> mend_words(Mend(change="raw_hold minutes", direction="down"), load_rulebase())
    'raw hold: shorter'
    >>> mend_words(Mend(change="steps add", to="pan"), load_rulebase())
    'put in: sear in the pan'
    """
    subject, _, fact = mend.change.partition(" ")
    if mend.says:
        return plain(mend.says, rulebase)
    if subject == "steps":
        verb = "put in" if fact == "add" else "leave out"
        return f"{verb}: {_choice(mend.to, rulebase, 'action')}"
    subject = subject.replace("_", " ")
    if mend.direction:
        more, less = WAYS.get(fact, (f"more {fact.replace('_', ' ')}", f"less {fact.replace('_', ' ')}"))
        return f"{subject}: {more if mend.direction == 'up' else less}"
    return f"{subject}: {fact.replace('_', ' ')} to {_choice(mend.to, rulebase, fact)}"


def _choice(word: str, rulebase: Rulebase, fact: str) -> str:
    entry = rulebase.vocabulary["step"].get(fact)
    return (entry.says if entry is not None else {}).get(word, word.replace("_", " "))


def conclusion_words(rule: Rule, rulebase: Rulebase) -> str:
    """Say what a rule concludes.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> book = load_rulebase()
    >>> conclusion_words(book.rules["hold.warm_raw"].rule, book)
    'verdict change, signal WARNING'
    """
    conclusion = rule.concludes
    if conclusion.verdict is not None:
        return f"verdict {conclusion.verdict}, signal {conclusion.signal}"
    if conclusion.technique:
        verb = "chooses" if conclusion.fit == "choose" else "rules out"
        return f"{verb} the technique {conclusion.technique.replace('_', ' ')}"
    subject, _, fact = conclusion.fact.partition(" ")
    says = rulebase.vocabulary[subject][fact].says
    value = says.get(conclusion.value, conclusion.value.replace("_", " "))
    return f"concludes that the {subject} {fact.replace('_', ' ')} is {value}"


def example_words(example: Example, rulebase: Rulebase) -> str:
    """Write an example as one line, the limits in it with their figures.

    Examples
    --------
    >>> from advisor.knowledge import load_rulebase
    >>> book = load_rulebase()
    >>> example_words(book.rules["hold.warm_raw"].rule.examples.fires[0], book)
    'course warm raw minutes just over raw_out_max, 2 h'
    """
    groups = [("piece", example.piece), ("guests", example.guests), ("course", example.course)]
    groups += [("step", step) for step in ([example.step] if example.step else []) + example.steps]
    parts = [
        f"{subject} {fact.replace('_', ' ')} {_written(value, subject, fact, rulebase)}"
        for subject, facts in groups
        for fact, value in facts.items()
    ]
    return "; ".join(parts) or "nothing known"


def _written(value: Any, subject: str, fact: str, rulebase: Rulebase) -> str:
    entry = rulebase.vocabulary[subject].get(fact)
    if isinstance(value, int | float) and not isinstance(value, bool) and entry is not None and entry.quantity:
        return write_quantity(float(value), entry.quantity, "metric")
    limit = str(value).rpartition(" ")[2]
    if " " in str(value) and limit in rulebase.limits:
        return f"{value}, {figure(rulebase.limits[limit])}"
    says = entry.says if entry is not None else {}
    return says.get(str(value), str(value).replace("_", " "))
