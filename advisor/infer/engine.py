"""The adapter to durable-rules: compiles checked rules to its safe subset and asks it what fires.

Only this module knows ``durable``, and only inside functions. What is known of that engine:

- Facts are compared with numbers and words of the rules only, never with each other: its comparison of two
  facts reads past its memory.
- Facts are asserted one by one, steps first, so that a ``none`` finds all of them there when it looks.
- An exception in an action is kept in the returned state and shows nowhere else. An action that is taken for
  overdue (the machine slept, the clock was set) is dropped and the call returns 0. Both become errors here.
- A state in which nothing ever fired holds uninitialised pointers, and deleting it frees them. So each set
  has an opening rule, and the fact that fires it goes first.
- One fact may meet 64 tests at one node, and one node may hold some five hundred tests: rules are dealt into
  sets that stay below both.
- Texts are loosely typed there (``'5' == 5``), so words go in as tokens; all words that no rule names share one.
"""

from __future__ import annotations

import re
import threading
from collections import Counter
from dataclasses import dataclass
from functools import cache
from itertools import count
from typing import TYPE_CHECKING, Any, Final

from advisor.errors import EngineError
from advisor.infer.proof import Firing
from advisor.infer.reference import bound_of, must_be_sure, number_of, step_order, word_of, words_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from advisor.case.facts import Facts, FactSet
    from advisor.knowledge.conditions import Alternative, Condition
    from advisor.knowledge.rulebase import CheckedRule

MOST_RULES: Final = 50  # of one set; also patterns on one kind of fact in it
MOST_TESTS: Final = 400  # on one kind of fact in one set
MOST_FIELDS: Final = 249  # of one fact
MOST_PATTERNS: Final = 12  # of one alternative

_KINDS: Final = ("step", "piece", "guests", "course")
_KNOWN: Final = ("is known", "is not known")
_OPERATORS: Final = {"is over": "$gt", "is at least": "$gte", "is under": "$lt", "is at most": "$lte"}
_NAME: Final = re.compile(r"[A-Za-z][A-Za-z0-9_]*\Z")
_OTHER: Final = "other"

_Test = dict[str, Any]
_Key = tuple[tuple[str, bool, "tuple[Alternative, ...]"], ...]


@dataclass(frozen=True, slots=True)
class _EngineRule:
    """One alternative of one rule, as the engine reads it."""

    rule: int
    alternative: int
    patterns: tuple[_Test, ...]
    fields: frozenset[tuple[str, str, Condition]]
    patterns_on: Counter[str]
    tests_on: Counter[str]


@dataclass(frozen=True, slots=True)
class _Set:
    """One compiled set of rules and the fields it must be told, by kind of fact."""

    name: str
    fields: Mapping[str, Mapping[str, Condition]]


@dataclass(frozen=True, slots=True)
class _Compiled:
    """The sets of one stratum; their actions append to ``fired``, which is emptied before each run."""

    sets: tuple[_Set, ...]
    tokens: Mapping[str, str]
    fired: list[tuple[int, int, int | None]]


_lock = threading.Lock()
_serial = count(1)
# Compiled sets are never freed by the engine, so what was compiled once is kept, by its whole content.
_kept: dict[_Key, _Compiled] = {}


@cache
def available() -> bool:
    """Tell whether durable-rules can be loaded here; it loads on CPython 3.11 and 3.12 only."""
    try:
        import durable.engine  # noqa: F401 - asked for only to see whether it loads
    except ImportError:
        return False
    return True


def fire(rules: Sequence[CheckedRule], facts: FactSet) -> tuple[Firing, ...]:
    """Find every rule that holds, as `advisor.infer.reference.fire` does, by durable-rules.

    Parameters
    ----------
    rules : sequence of CheckedRule
        Rules of one stratum.
    facts : FactSet
        All facts they may read.

    Returns
    -------
    tuple of Firing
        In the order of the rules, then of the steps; the lowest alternative for each.

    Raises
    ------
    EngineError
        The engine is not there, refuses a rule or a fact, or lost an action.
    """
    if not available():
        raise EngineError("durable-rules cannot be loaded here.")
    with _lock:
        compiled = _compile_once(rules)
        compiled.fired.clear()
        for one in compiled.sets:
            _run(one, compiled.tokens, facts)
        fired = list(compiled.fired)
    lowest: dict[tuple[int, int | None], int] = {}
    for rule, alternative, step in fired:
        lowest[rule, step] = min(alternative, lowest.get((rule, step), alternative))
    order = sorted(lowest, key=lambda place: (place[0], step_order(place[1])))
    return tuple(Firing(rules[rule].rule.id, lowest[rule, step], step) for rule, step in order)


@cache
def _host() -> Any:
    from durable.engine import Host

    class SilentHost(Host):  # type: ignore[misc] # the package has no types
        """A host without the two threads that look for timers; there are none."""

        def _run(self) -> None:
            """Start nothing."""

    return SilentHost()


def _compile_once(rules: Sequence[CheckedRule]) -> _Compiled:
    key = tuple((rule.rule.id, must_be_sure(rule.rule), rule.alternatives) for rule in rules)
    if key not in _kept:
        tokens = _tokens(rules)
        fired: list[tuple[int, int, int | None]] = []
        written = [
            _engine_rule(place, number, alternative, tokens, sure=must_be_sure(rule.rule))
            for place, rule in enumerate(rules)
            for number, alternative in enumerate(rule.alternatives)
        ]
        _kept[key] = _Compiled(tuple(_register(part, fired) for part in _dealt(written)), tokens, fired)
    return _kept[key]


def _tokens(rules: Sequence[CheckedRule]) -> dict[str, str]:
    from advisor.knowledge.conditions import conditions_of

    tokens: dict[str, str] = {}
    for rule in rules:
        for condition in conditions_of(rule.alternatives):
            for word in words_of(condition):
                tokens.setdefault(word, f"w{len(tokens)}")
    return tokens


def _field(condition: Condition) -> str:
    """Name of the field that a condition looks at: ``k_`` whether it is known, ``n_`` number, ``w_`` word."""
    if not _NAME.match(condition.fact):
        raise EngineError(f"The engine cannot take a fact named '{condition.fact}'.")
    if condition.comparison in _KNOWN:
        return f"k_{condition.fact}"
    return f"{'n' if condition.comparison in _OPERATORS else 'w'}_{condition.fact}"


def _tests(condition: Condition, tokens: Mapping[str, str], *, possibly: bool) -> list[_Test]:
    """Write a condition as tests of which one must hold; with ``possibly``, not knowing is enough too."""
    name = _field(condition)
    if condition.comparison in _KNOWN:
        return [{name: int(condition.comparison == "is known")}]
    if condition.comparison in _OPERATORS:
        tests: list[_Test] = [{_OPERATORS[condition.comparison]: {name: bound_of(condition)}}]
    elif condition.comparison == "is not":
        tests = [{"$neq": {name: tokens[word]}} for word in words_of(condition)]
    else:
        tests = [{name: tokens[word]} for word in sorted(set(words_of(condition)))]
    return [{f"k_{condition.fact}": 0}, *tests] if possibly else tests


def _pattern(
    kind: str, conditions: Sequence[Condition], tokens: Mapping[str, str], *, possibly: bool = False
) -> tuple[_Test, int]:
    parts: list[_Test] = [{"kind": kind}]
    total = 0
    for condition in conditions:
        tests = _tests(condition, tokens, possibly=possibly)
        parts.append(tests[0] if len(tests) == 1 else {"$or": tests})
        total += len(tests)
    return {"$and": parts}, total


def _engine_rule(
    rule: int, number: int, alternative: Alternative, tokens: Mapping[str, str], *, sure: bool
) -> _EngineRule:
    anchored = set(alternative.subjects) - {"step"}
    if not alternative.conditions or (alternative.absent_steps and not anchored):
        raise EngineError("A rule needs a condition beside 'none' that is looked at when all steps are known.")
    patterns: list[_Test] = []
    patterns_on: Counter[str] = Counter()
    tests_on: Counter[str] = Counter()
    for kind in _KINDS:
        own = [condition for condition in alternative.conditions if condition.subject == kind]
        if own:
            pattern, total = _pattern(kind, own, tokens)
            patterns.append({kind: pattern})
            patterns_on[kind] += 1
            tests_on[kind] += total
    for place, absent in enumerate(alternative.absent_steps):
        pattern, total = _pattern("step", absent, tokens, possibly=sure)
        patterns.append({f"none{place}$not": pattern})
        patterns_on["step"] += 1
        tests_on["step"] += total
    if len(patterns) > MOST_PATTERNS:
        raise EngineError(f"A rule of {len(patterns)} patterns; the engine takes {MOST_PATTERNS}.")
    return _EngineRule(rule, number, tuple(patterns), _fields(alternative, sure=sure), patterns_on, tests_on)


def _fields(alternative: Alternative, *, sure: bool) -> frozenset[tuple[str, str, Condition]]:
    """Fields that an alternative looks at: kind of fact, name of the field, a condition that uses it."""
    absent = [condition for pattern in alternative.absent_steps for condition in pattern]
    fields = {(c.subject, _field(c), c) for c in (*alternative.conditions, *absent)}
    if sure:
        fields |= {(c.subject, f"k_{c.fact}", c) for c in absent}
    return frozenset(fields)


def _dealt(written: Sequence[_EngineRule]) -> Iterator[list[_EngineRule]]:
    """Deal engine rules into sets that the engine can hold."""
    part: list[_EngineRule] = []
    patterns: Counter[str] = Counter()
    tests: Counter[str] = Counter()
    for one in written:
        if max(one.tests_on.values()) > MOST_TESTS:
            raise EngineError(f"A rule of more than {MOST_TESTS} tests on one fact; split it.")
        full = (
            len(part) == MOST_RULES
            or max((patterns + one.patterns_on).values()) > MOST_RULES
            or max((tests + one.tests_on).values()) > MOST_TESTS
        )
        if full:
            yield part
            part, patterns, tests = [], Counter(), Counter()
        part.append(one)
        patterns += one.patterns_on
        tests += one.tests_on
    if part:
        yield part


def _action(rule: int, alternative: int, fired: list[tuple[int, int, int | None]]) -> Callable[[Any], None]:
    """Make the action of one engine rule: it only notes that the rule held, and for which step."""

    def note(closure: Any) -> None:
        step = closure.step
        fired.append((rule, alternative, None if step is None else int(step.at)))

    return note


def _opened(_closure: Any) -> None:
    """Do nothing: that it fires is what is wanted."""


def _register(part: Sequence[_EngineRule], fired: list[tuple[int, int, int | None]]) -> _Set:
    name = f"set{next(_serial)}"
    rules: dict[str, Any] = {"opening": {"all": [{"opening": {"kind": "opening"}}], "run": _opened}}
    fields: dict[str, dict[str, Condition]] = {}
    for place, one in enumerate(part):
        action = _action(one.rule, one.alternative, fired)
        # Without "dist" a step that a rule has bound is not held against the rule's own 'none'.
        rules[f"rule{place}"] = {"all": list(one.patterns), "run": action, "dist": 0}
        for kind, field, condition in sorted(one.fields, key=lambda entry: entry[:2]):
            fields.setdefault(kind, {})[field] = condition
    if any(len(names) + 4 > MOST_FIELDS for names in fields.values()):
        raise EngineError(f"A set of rules looks at more than {MOST_FIELDS} fields of one fact.")
    try:
        _host().set_rulesets({name: rules})
    except Exception as error:
        raise EngineError(f"durable-rules refuses the rules: {error}.") from error
    return _Set(name, fields)


def _encoded(kind: str, facts: Facts, fields: Mapping[str, Condition], tokens: Mapping[str, str]) -> _Test:
    """Write the facts of one subject as one fact of the engine; what is not known has only its flag."""
    encoded: _Test = {"kind": kind, "fid": kind}
    for name, condition in fields.items():
        fact = facts.get(condition.fact)
        value = None if fact is None else fact.value
        if name.startswith("k_"):
            encoded[name] = int(value is not None)
        elif name.startswith("n_"):
            number = number_of(value, condition)
            encoded |= {} if number is None else {name: number}
        else:
            word = word_of(value, condition)
            encoded |= {} if word is None else {name: tokens.get(word, _OTHER)}
    return encoded


def _run(one: _Set, tokens: Mapping[str, str], facts: FactSet) -> None:
    told: list[_Test] = []
    for kind in _KINDS:
        if kind not in one.fields:
            continue
        if kind != "step":
            told.append(_encoded(kind, facts.of(kind), one.fields[kind], tokens))
            continue
        for at, step in enumerate(facts.steps):
            told.append(_encoded(kind, step, one.fields[kind], tokens) | {"fid": f"step{at}", "at": at})
    # A number of its own for each run: what a failed run leaves behind can never reach the next case.
    sid = str(next(_serial))
    _tell(one.name, {"kind": "opening", "fid": "opening", "sid": sid})
    try:
        for fact in told:
            _tell(one.name, fact | {"sid": sid})
    finally:
        _host().delete_state(one.name, sid)


def _tell(name: str, fact: _Test) -> None:
    from durable.engine import MessageNotHandledException

    try:
        state = _host().assert_fact(name, fact)
    except MessageNotHandledException:
        return  # no rule looks for such a fact, which is no fault
    except Exception as error:
        raise EngineError(f"durable-rules refuses the fact '{fact['fid']}': {error}.") from error
    if state is None:
        return
    if not isinstance(state, dict):
        raise EngineError("durable-rules dropped an action; nothing of this run can be used. Run it again.")
    if state.get("exception"):
        raise EngineError(f"An action of durable-rules failed: {state['exception']}.")
