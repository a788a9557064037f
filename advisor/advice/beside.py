"""Two plans side by side: what differs in verdict, time, tenderness, salt, yield and risk."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.advice.report import VERDICTS
from advisor.advice.schedule import schedule
from advisor.units import write_quantity, write_range, write_span

if TYPE_CHECKING:
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units import System


@dataclass(frozen=True, slots=True)
class Side:
    """One thing of both plans.

    Attributes
    ----------
    what : str
        What is compared.
    first, second : str
        What it is in each, in words.
    better : str
        ``first`` or ``second``; empty when they are alike, or when neither can be said to be better.
    """

    what: str
    first: str
    second: str
    better: str


def beside(first: Report, second: Report, rulebase: Rulebase) -> tuple[Side, ...]:
    """Compare two examined plans, in the units of the first cook."""
    system = first.case.system
    both = (first, second)
    sides = [
        _ranked("verdict", both, [r.verdict for r in both], [float(VERDICTS.index(r.verdict)) for r in both]),
        _side("only here", *_only(first, second)),
        *_times(both, rulebase),
        _spanned("bite, shear in kgf", both, "tender_low", "tender_high", lower_is_better=True),
        _salt(both, system),
        _spanned("weight lost in cooking", both, "loss_low", "loss_high", lower_is_better=True, unit=" %"),
        _yield(both, system),
        *_risks(both, rulebase),
    ]
    return tuple(side for side in sides if side is not None)


def _side(what: str, first: str, second: str) -> Side:
    return Side(what, first, second, "")


def _ranked(what: str, _: tuple[Report, Report], words: list[str], worth: list[float]) -> Side:
    """Compare by a number of which less is better."""
    better = "" if worth[0] == worth[1] else "first" if worth[0] < worth[1] else "second"
    return Side(what, words[0], words[1], better)


def _only(first: Report, second: Report) -> tuple[str, str]:
    """Rules that stand in the way of one plan and not of the other."""
    ids = [{finding.rule.rule.id for finding in report.problems} for report in (first, second)]
    one, other = sorted(ids[0] - ids[1]), sorted(ids[1] - ids[0])
    return ", ".join(one) or "nothing", ", ".join(other) or "nothing"


def _times(both: tuple[Report, Report], rulebase: Rulebase) -> list[Side]:
    slots = [schedule(report, rulebase) for report in both]
    whole = [of[-1].end if of else 0.0 for of in slots]
    busy = [sum(slot.busy for slot in of) for of in slots]
    return [
        _ranked("in all", both, [write_span(minutes) for minutes in whole], whole),
        _ranked("hands on, about", both, [write_span(minutes) for minutes in busy], busy),
    ]


def _number(report: Report, name: str) -> float | None:
    fact = report.computed.facts.course.get(name)
    return float(fact.value) if fact is not None and isinstance(fact.value, float | int) else None


def _spanned(
    what: str, both: tuple[Report, Report], low: str, high: str, *, lower_is_better: bool, unit: str = ""
) -> Side | None:
    """Compare two bands; better only where one lies wholly below the other."""
    ends = [(_number(report, low), _number(report, high)) for report in both]
    words = [f"{a:.1f} to {b:.1f}{unit}" if a is not None and b is not None else "not known" for a, b in ends]
    (a_low, a_high), (b_low, b_high) = ends
    better = ""
    if None not in (a_low, a_high, b_low, b_high) and lower_is_better:
        better = "first" if (a_high or 0) < (b_low or 0) else "second" if (b_high or 0) < (a_low or 0) else ""
    return Side(what, words[0], words[1], better) if words != ["not known", "not known"] else None


def _salt(both: tuple[Report, Report], system: System) -> Side:
    """Salt against what was wanted: nearer is better."""
    words = [write_quantity(report.computed.salt.pct, "percent", system) for report in both]
    off = [abs(_number(report, "salt_over_target") or 0.0) for report in both]
    near = [round(one, 2) for one in off]
    return _ranked("salt of the meat's weight", both, words, near)


def _yield(both: tuple[Report, Report], system: System) -> Side | None:
    words: list[str] = []
    for report in both:
        low, high = _number(report, "loss_low"), _number(report, "loss_high")
        weight = report.computed.case.number("piece", "weight")
        if low is None or high is None or weight <= 0:
            words.append("not known")
            continue
        words.append(write_range(weight * (1 - high / 100), weight * (1 - low / 100), "mass", system))
    return Side("cooked weight", words[0], words[1], "") if words != ["not known", "not known"] else None


def _risks(both: tuple[Report, Report], rulebase: Rulebase) -> list[Side]:
    """Growth and kill as the rules see them; less growth and more kill is better."""
    found: list[Side] = []
    for name, less_is_better in (
        ("kill_share", False),
        ("raw_growth_log", True),
        ("spore_growth_log", True),
        ("warm_raw_minutes", True),
        ("cool_all", True),
    ):
        values = [_number(report, name) for report in both]
        if all(value is None for value in values) or not any(values):
            continue
        entry = rulebase.vocabulary["course"][name]
        words = [_worth(value, name) for value in values]
        worth = [(value or 0.0) * (1 if less_is_better else -1) for value in values]
        found.append(_ranked(entry.means, both, words, worth))
    return found


def _worth(value: float | None, name: str) -> str:
    if value is None:
        return "-"
    if name.endswith("_share"):
        return f"{100 * value:.0f} %"
    return write_span(value) if name.endswith("_minutes") or name == "cool_all" else f"{value:.2f}"
