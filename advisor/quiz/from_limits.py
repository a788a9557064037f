"""Items that ask for a limit, and for moments and days that follow from one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from advisor.infer.examples import NEAR
from advisor.knowledge.checks import PLACEHOLDER
from advisor.quiz.bench import Refused
from advisor.quiz.claims import Claim
from advisor.quiz.figures import step_of
from advisor.quiz.items import Option, assemble
from advisor.quiz.situations import fires, lively, with_value

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from advisor.knowledge.conditions import Comparison
    from advisor.knowledge.records import Example, Limit, Quantity
    from advisor.quiz.bench import Bench
    from advisor.quiz.items import Item

# Other limits this many times larger or smaller, or this many degrees away, could be taken for this one.
NEAR_TIMES: Final = 4.0
NEAR_DEGREES: Final = 25.0
# How far beside a figure, in margins, the rule is asked on its other side.
FINE: Final = 0.1
# Nobody takes a limit for one below freezing, or above boiling in wet food.
COLDEST, HOTTEST = 0.0, 220.0
UP: Final = frozenset({"is over", "is at least"})
OUTWARD: Final[dict[Comparison, float]] = {"is over": 1.0, "is at least": -1.0, "is under": -1.0, "is at most": 1.0}
# Round figures of temperature are whole fives, in Celsius or in Fahrenheit; those of a code are written to 0.1 °C.
ROUND_TO, FAHRENHEIT_ROOM = 5, 0.1
MINUTES_IN_HOUR, MINUTES_IN_DAY = 60, 1440
DAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True)
class Held:
    """A limit that a rule holds a fact against, and an example that shows it."""

    limit: str
    rule_id: str
    subject: str
    fact: str
    comparison: Comparison
    example: Example


def held_limits(bench: Bench) -> dict[str, list[Held]]:
    """Limits that a rule's own examples show, by rule."""
    found: dict[str, list[Held]] = {}
    for rule_id in bench.rulebase.rules:
        for held in _held_by(bench, rule_id):
            found.setdefault(rule_id, []).append(held)
    # A line that another rule draws without dispute is asked there, and never as if opinions differed on it.
    settled = {h.limit for rule, ones in found.items() for h in ones if not bench.rule(rule).contested}
    # So is a line that one rule asks the cook to keep, and that another only names.
    asking = {h.limit for rule, ones in found.items() for h in ones if _asks(bench, rule)}
    # A rule that speaks up to a line has the line of the one that speaks past it, and there it is asked.
    upward = {(h.limit, h.fact) for ones in found.values() for h in ones if h.comparison in UP}
    # A line that holds for all guests is not asked by the rule about some of them, which would speak of those alone.
    for_all = {h.limit for ones in found.values() for h in ones if not h.example.guests}
    for rule_id, ones in list(found.items()):
        elsewhere = (settled if bench.rule(rule_id).contested else set()) | (set() if _asks(bench, rule_id) else asking)
        found[rule_id] = [
            held
            for held in ones
            if held.limit not in elsewhere
            and not (held.example.guests and held.limit in for_all and rule_id.startswith("guests."))
            and (_asks(bench, rule_id) or held.comparison in UP or (held.limit, held.fact) not in upward)
        ]
    return {rule_id: ones for rule_id, ones in found.items() if ones}


def _asks(bench: Bench, rule_id: str) -> bool:
    return bench.rule(rule_id).concludes.verdict in ("change", "stop", "ask")


def _held_by(bench: Bench, rule_id: str) -> Iterator[Held]:
    checked, seen = bench.rulebase.rules[rule_id], set()
    # A share or a power of ten is no figure to know by heart, where the rule can be asked by what it asks of the cook.
    asks = _asks(bench, rule_id)
    for example in checked.rule.examples.fires:
        for alternative in checked.alternatives:
            for c in alternative.conditions:
                group = example.step if c.subject == "step" else getattr(example, c.subject)
                shown = str(group.get(c.fact, "")).endswith(f" {c.limit}") if c.limit else False
                if asks and shown and bench.rulebase.limits[c.limit].quantity == "count":
                    shown = f"{c.subject} {c.fact}" in bench.book.whole
                if shown and c.limit not in seen and bench.rulebase.limits[c.limit].means and _askable(bench, c.limit):
                    seen.add(c.limit)
                    yield Held(c.limit, rule_id, c.subject, c.fact, c.comparison, example)


def _askable(bench: Bench, name: str) -> bool:
    """Whole shares and single things are no figures to know."""
    limit = bench.rulebase.limits[name]
    return name not in ("full", "one") and limit.value > 0.0


def limit_item(bench: Bench, rule_id: str, rng: Random, held: Held) -> Item:
    """Ask for the figure of a limit; the wrong figures are named slips.

    Raises
    ------
    Refused
        Too few wrong figures are wrong by a margin.
    """
    limit = bench.rulebase.limits[held.limit]
    base = lively(bench.rulebase.rules[rule_id], held.example, bench.rulebase, rng, bench.system)
    if base is None:
        raise Refused("no example keeps a margin")
    wrong = {v: slip for v, slip in _wrong_figures(bench, held, limit, rng) if _on_its_side(bench, held, base, v)}
    options = [
        Option(
            _written(bench, limit.value, limit.quantity), figure_claims(bench, held, base, limit.value), "", limit.value
        )
    ]
    below = [v for v in wrong if v < limit.value]
    above = [v for v in wrong if v > limit.value]
    for value in _spread(below, above, bench.settings.fewest_options - 1, rng):
        claims = figure_claims(bench, held, base, value)
        options.append(Option(_written(bench, value, limit.quantity), claims, wrong[value], value))
    if len(options) < bench.settings.fewest_options:
        raise Refused("too few wrong figures")
    ask = bench.book.asks["custom" if limit.basis == "common practice" else "limit"].replace("{means}", limit.means)
    ask = PLACEHOLDER.sub(lambda match: _limit(bench, match[1]), bench.book.limit_asks.get(held.limit, ask))
    if bench.rule(rule_id).contested:
        ask = f"{bench.book.asks['contested']} {ask}"
    return assemble("limit", rule_id, bench.rulebase, rng, ("", ask), options, quantity=limit.quantity)


def _spread(below: list[float], above: list[float], wanted: int, rng: Random) -> list[float]:
    """Draw wrong figures so that the right one is as often the first as the last."""
    rng.shuffle(below)
    rng.shuffle(above)
    lower = max(0, wanted - len(above), min(rng.randint(0, wanted), len(below)))
    return below[:lower] + above[: wanted - lower]


def _on_its_side(bench: Bench, held: Held, base: Example, value: float) -> bool:
    """Tell whether past the line the rule speaks still: another of its lines may end it there, and refutes nothing."""
    past = (value > bench.rulebase.limits[held.limit].value) == (held.comparison in UP)
    case = with_value(base, held.subject, held.fact, value)
    return bench.road.outcome(Claim(case, "rule", held.rule_id, "fires" if past else "silent")).holds


def figure_claims(bench: Bench, held: Held, base: Example, value: float) -> tuple[Claim, ...]:
    """Say that a figure is the limit: on one side of it the rule speaks, on the other it does not."""
    limit = bench.rulebase.limits[held.limit]
    whole = f"{held.subject} {held.fact}" in bench.rulebase.quiz.whole
    step = OUTWARD[held.comparison] * step_of(limit.value, limit.quantity, bench.settings, whole=whole) * FINE
    strict = held.comparison in ("is over", "is under")
    near = with_value(base, held.subject, held.fact, value)
    far = with_value(base, held.subject, held.fact, round(value + step, 4))
    return (
        Claim(near, "rule", held.rule_id, "silent" if strict else "fires", rule=held.rule_id),
        Claim(far, "rule", held.rule_id, "fires" if strict else "silent", rule=held.rule_id),
    )


def _wrong_figures(bench: Bench, held: Held, limit: Limit, rng: Random) -> Iterator[tuple[float, str]]:
    """Figures that people take for the limit, each with the name of the slip; none within a margin of it or another."""
    whole = f"{held.subject} {held.fact}" in bench.book.whole
    seen = [limit.value]
    margin = step_of(limit.value, limit.quantity, bench.settings, whole=whole)
    found: list[tuple[float, str]] = []
    for name, one in bench.book.slips("plus").items():
        if limit.quantity == "temperature":
            found.append((as_round_as(limit.value, limit.value + one.factor), name))
    for name, one in bench.book.slips("times").items():
        if limit.quantity not in ("temperature", "temperature_difference"):
            value = limit.value * one.factor
            found.append((round(value) if whole or value > MINUTES_IN_HOUR else round(value, 2), name))
    rng.shuffle(found)
    slip = next(iter(bench.book.slips("other_limit")))
    others = [(other.value, slip) for name, other in bench.rulebase.limits.items() if _could_be(other, limit, name)]
    if limit.quantity == "temperature":
        # One that is less round than the right one gives that away, as a slip would.
        others = [one for one in others if abs(as_round_as(limit.value, one[0]) - one[0]) < FAHRENHEIT_ROOM]
    rng.shuffle(others)
    for value, name in [*others[:2], *found]:
        fits = COLDEST < value < HOTTEST or (limit.quantity != "temperature" and value > 0.0)
        if fits and all(abs(value - other) >= margin * (1.0 + FINE + NEAR) for other in seen):
            seen.append(value)
            yield value, name


def as_round_as(key: float, value: float) -> float:
    """Move a temperature to a figure as round as the right one, in its degrees, or that would give it away.

    Examples
    --------
    >>> round(as_round_as(73.9, 67.9) * 1.8 + 32), as_round_as(5.0, 11.0), as_round_as(57.0, 51.0)
    (155, 10.0, 51.0)
    """
    in_f = key * 1.8 + 32.0
    if abs(in_f / ROUND_TO - round(in_f / ROUND_TO)) * ROUND_TO < FAHRENHEIT_ROOM and key % ROUND_TO:
        return round((round((value * 1.8 + 32.0) / ROUND_TO) * ROUND_TO - 32.0) / 1.8, 1)
    return value if key % ROUND_TO else float(round(value / ROUND_TO) * ROUND_TO)


def _could_be(other: Limit, limit: Limit, name: str) -> bool:
    if other.quantity != limit.quantity or name.startswith("plan_") or name in ("full", "one") or other is limit:
        return False
    if limit.quantity == "temperature":
        return abs(other.value - limit.value) <= NEAR_DEGREES
    return other.value > 0.0 and 1.0 / NEAR_TIMES <= other.value / limit.value <= NEAR_TIMES


def _limit(bench: Bench, name: str) -> str:
    limit = bench.rulebase.limits[name]
    return _written(bench, limit.value, limit.quantity)


def _written(bench: Bench, value: float, quantity: Quantity) -> str:
    from advisor.units import write_quantity

    return write_quantity(value, quantity, bench.system)


# --- moments and days


def clock_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask by which moment the middle must have cooled, or until when cooked food keeps.

    Raises
    ------
    Refused
        The rule is none of these.
    """
    made = {"cool.first_stage": _cool_by, "cool.both_stages": _cool_all_by, "hold.cooked_days": _keep_until}.get(
        rule_id
    )
    if made is None:
        raise Refused("no moment follows from it")
    return made(bench, rule_id, rng)


def _clock(minutes: float) -> str:
    whole = round(minutes) % MINUTES_IN_DAY
    return f"{whole // MINUTES_IN_HOUR:02d}:{whole % MINUTES_IN_HOUR:02d}"


def _moments(
    bench: Bench, rule_id: str, rng: Random, fact: str, limit: str, ask: str, after: dict[str, float], start: float
) -> Item:
    held = next(h for h in held_limits(bench)[rule_id] if h.limit == limit)
    base = lively(bench.rulebase.rules[rule_id], held.example, bench.rulebase, rng, bench.system)
    if base is None or fact != held.fact:
        raise Refused("no example keeps a margin")
    key = bench.rulebase.limit(limit)
    names = [name for name, value in after.items() if abs(value - key) > key * bench.settings.margin_share]
    rng.shuffle(names)
    options = [Option(_clock(start + key), figure_claims(bench, held, base, key), "", key)]
    for name in names[: bench.settings.fewest_options - 1]:
        claims = figure_claims(bench, held, base, after[name])
        options.append(Option(_clock(start + after[name]), claims, name, after[name]))
    if len({option.text for option in options}) < bench.settings.fewest_options:
        raise Refused("too few wrong figures")
    return assemble("clock", rule_id, bench.rulebase, rng, ("", ask), options)


def _start(rng: Random) -> float:
    return float(rng.randrange(10 * MINUTES_IN_HOUR, 15 * MINUTES_IN_HOUR, 5))


def _cool_by(bench: Bench, rule_id: str, rng: Random) -> Item:
    first, both = bench.rulebase.limit("cool_first_max"), bench.rulebase.limit("cool_all_max")
    start = _start(rng)
    after = {"both_stages_in_one": both, "second_stage_alone": both - first, "half_the_line": first / 2.0}
    ask = _cooling_words(bench, "cool_by", start, "cool_first_to")
    return _moments(bench, rule_id, rng, "cool_stage_one", "cool_first_max", ask, after, start)


def _cool_all_by(bench: Bench, rule_id: str, rng: Random) -> Item:
    first, both = bench.rulebase.limit("cool_first_max"), bench.rulebase.limit("cool_all_max")
    start = _start(rng)
    after = {"other_line": first, "second_stage_alone": both - first, "twice_the_line": both + first}
    ask = _cooling_words(bench, "cool_all_by", start, "cold_hold_max")
    return _moments(bench, rule_id, rng, "cool_all", "cool_all_max", ask, after, start)


def _cooling_words(bench: Bench, ask: str, start: float, to: str) -> str:
    said = bench.book.asks[ask].replace("{clock}", _clock(start))
    for word, name in (("{from}", "cool_from"), ("{to}", to)):
        said = said.replace(word, _limit(bench, name))
    return said


def _keep_until(bench: Bench, rule_id: str, rng: Random) -> Item:
    key = bench.rulebase.limit("cooked_cold_max")
    held = next(h for h in held_limits(bench)[rule_id] if h.limit == "cooked_cold_max")
    base = lively(bench.rulebase.rules[rule_id], held.example, bench.rulebase, rng, bench.system)
    if base is None:
        raise Refused("no example keeps a margin")
    day, start = rng.randrange(len(DAYS)), _start(rng)
    ask = bench.book.asks["keep_until"].replace("{day}", DAYS[day]).replace("{clock}", _clock(start))
    slips = {
        "day_after": key + MINUTES_IN_DAY,
        "day_before": key - MINUTES_IN_DAY,
        "half_the_line": key // 2880 * 1440.0,
    }
    names = sorted(slips)
    rng.shuffle(names)
    options = []
    for name, value in [("", key), *((n, slips[n]) for n in names[: bench.settings.fewest_options - 1])]:
        days = round(value / MINUTES_IN_DAY)
        text = f"{DAYS[(day + days) % len(DAYS)]}, {days} days on, {_clock(start)}"
        options.append(Option(text, figure_claims(bench, held, base, value), name, value))
    return assemble("clock", rule_id, bench.rulebase, rng, ("", ask), options)


def shows(bench: Bench, held: Held) -> bool:
    """Tell whether the example of a limit fires its rule."""
    return fires(bench.rulebase.rules[held.rule_id], held.example, bench.rulebase)
