"""Items that are worked out: how much salt, how long for a thicker piece; and how a cut's lines run."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from advisor.case.model import Given
from advisor.knowledge.records import Example
from advisor.quiz.bench import Refused
from advisor.quiz.claims import Claim
from advisor.quiz.items import Option, assemble

if TYPE_CHECKING:
    from random import Random

    from advisor.case.model import Case, Ingredient
    from advisor.quiz.bench import Bench
    from advisor.quiz.items import Item

GRAMS_IN_KILO: Final = 1000.0
SALTS: Final = ("salt", "table_salt")
SALT_RULES: Final = ("salt.too_much", "salt.bland")
ROOM: Final = 0.05  # share by which the reckoned salt may differ from what was asked, for rounding to grams
WEIGHTS: Final = tuple(range(400, 3200, 50))
THICKNESSES: Final = (20, 22, 25, 28, 30, 32, 35, 40)
QUARTER: Final = 5.0
LONGEST: Final = 3000.0
CLEAR: Final = 1.25  # the times of an item differ by at least this factor


def salt_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask how much salt a weight of meat takes.

    Raises
    ------
    Refused
        No plan salts the meat with salt alone.
    """
    from advisor.units import write_quantity

    plan = next((case for case in bench.plans.values() if _salted_at(case) is not None), None)
    if plan is None:
        raise Refused("no plan with salt alone")
    usual, slack = bench.rulebase.limit("salt_usual"), bench.rulebase.limit("salt_slack")
    share = round(usual + slack * rng.choice((-1.0, -0.5, 0.0, 0.5, 1.0)), 2)
    weight = float(rng.choice([w for w in WEIGHTS if not GRAMS_IN_KILO * 0.6 < w < GRAMS_IN_KILO * 1.7]))
    key = _grams(weight * share / 100.0)
    slips = [(name, _grams(key * one.factor)) for name, one in bench.book.slips("calc").items()]
    slips += [(name, _grams(GRAMS_IN_KILO * share / 100.0)) for name in bench.book.slips("calc_kilo")]
    rng.shuffle(slips)
    options = []
    for name, grams in [("", key), *slips[: bench.settings.fewest_options - 1]]:
        case = _salted(plan, weight, grams)
        claims = [Claim(case, "rule", rule, "silent", rule=rule) for rule in SALT_RULES]
        low, high = share * (1.0 - ROOM), share * (1.0 + ROOM)
        claims.append(Claim(case, "between", "course salt_pct", low=low, high=high, rule=rule_id))
        options.append(Option(write_quantity(grams, "mass", bench.system), tuple(claims), name, grams))
    ask = bench.book.asks["salt"].replace("{weight}", write_quantity(weight, "mass", bench.system))
    ask = ask.replace("{share}", write_quantity(share, "percent", bench.system))
    return assemble("salt", rule_id, bench.rulebase, rng, ("", ask), options, quantity="mass")


def _grams(value: float) -> float:
    return float(round(value)) if value >= 10 else round(value, 1)  # noqa: PLR2004 - a scale shows tenths below ten


def _salted_at(case: Case) -> int | None:
    """Place of the step that salts, in a plan where salt is all that goes on."""
    found = [(n, item.what) for n, step in enumerate(case.steps) for item in step.ingredients]
    return found[0][0] if len(found) == 1 and found[0][1] in SALTS else None


def _salted(case: Case, weight: float, grams: float) -> Case:
    place = _salted_at(case)
    if place is None:
        raise Refused("no plan with salt alone")
    step = case.steps[place]
    item: Ingredient = replace(step.ingredients[0], grams=grams, share_pct=None)
    case = case.with_step(place, replace(step, ingredients=(item,)))
    return case.with_value("piece", "weight", Given(weight, "written"))


def thickness_item(bench: Bench, rule_id: str, rng: Random) -> Item:
    """Ask how long a piece twice as thick needs in a bath; the times come from walking both.

    Raises
    ------
    Refused
        No clean plan has a bath, or a piece never comes to its heat.
    """
    from advisor.units import write_quantity

    plan = next(
        (case for name, case in bench.plans.items() if _bath(case) is not None and not bench.problems(name)), None
    )
    if plan is None:
        raise Refused("no plan with a bath")
    thin = float(rng.choice(THICKNESSES))
    first, key = _bath_minutes(bench, plan, thin), _bath_minutes(bench, plan, 2.0 * thin)
    if key < 2.0 * first * CLEAR:
        raise Refused("twice as thick is too near twice as long")
    slips = {one.slip: name for name, one in bench.book.misconceptions.items()}
    wrong = [(slips["thick_same"], first), (slips["thick_twice"], 2.0 * first), (slips["thick_cubed"], 8.0 * first)]
    rng.shuffle(wrong)
    options = []
    for name, minutes in [("", key), *wrong[: bench.settings.fewest_options - 1]]:
        claims = _bath_claims(bench, plan, 2.0 * thin, minutes, rule_id)
        options.append(Option(write_quantity(minutes, "time", bench.system), claims, name, minutes))
    ask = bench.book.asks["thickness"]
    for word, shown in (
        ("{thin}", write_quantity(thin, "length", bench.system)),
        ("{thick}", write_quantity(2.0 * thin, "length", bench.system)),
        ("{time}", write_quantity(first, "time", bench.system)),
        ("{within}", write_quantity(bench.settings.bath_within, "temperature_difference", bench.system)),
    ):
        ask = ask.replace(word, shown)
    return assemble("thickness", rule_id, bench.rulebase, rng, ("", ask), options, quantity="time")


def _bath(case: Case) -> int | None:
    return next((n for n, step in enumerate(case.steps) if step.action == "bath" and "temperature" in step.given), None)


def _in_bath(case: Case, thickness: float, minutes: float) -> Case:
    place = _bath(case) or 0
    # A flat piece, wide beside its thickness, so that thickness alone decides.
    for name, value in (("thickness", thickness), ("shape", "flat"), ("form", "steak")):
        case = case.with_value("piece", name, Given(value, "written"))
    return case.with_step(place, case.steps[place].with_value("minutes", minutes))


def _core_claim(bench: Bench, plan: Case, thickness: float, minutes: float, rule_id: str, *, near: bool) -> Claim:
    place = _bath(plan) or 0
    heat = plan.steps[place].number("temperature")
    line = heat - bench.settings.bath_within
    low, high = (line, heat + bench.settings.bath_within) if near else (-heat, line)
    case = _in_bath(plan, thickness, minutes)
    return Claim(case, "between", f"step{place + 1} core_end", low=low, high=high, rule=rule_id)


def _bath_minutes(bench: Bench, plan: Case, thickness: float) -> float:
    """Shortest time, in steps of five minutes, after which the middle is near the heat of the bath."""
    low, high = 0.0, QUARTER

    def there(minutes: float) -> bool:
        return bench.road.outcome(_core_claim(bench, plan, thickness, minutes, "", near=True)).holds

    while not there(high):
        low, high = high, high * 2.0
        if high > LONGEST:
            raise Refused("it never comes to the heat of the bath")
    while high - low > QUARTER:
        middle = QUARTER * round((low + high) / 2.0 / QUARTER)
        low, high = (low, middle) if there(middle) else (middle, high)
    return high


def _bath_claims(bench: Bench, plan: Case, thickness: float, minutes: float, rule_id: str) -> tuple[Claim, ...]:
    """Say that the middle is there after a time, and was not there after two thirds of it."""
    return (
        _core_claim(bench, plan, thickness, minutes, rule_id, near=True),
        _core_claim(bench, plan, thickness, QUARTER * round(minutes * 2.0 / 3.0 / QUARTER), rule_id, near=False),
    )


# --- cut and grain


def slice_item(bench: Bench, cut_id: str, rng: Random) -> Item:
    """Ask how a cut is sliced.

    Raises
    ------
    Refused
        Its lines run in many ways, so no way is across them.
    """
    rule_id, cut = "slice.along_grain", bench.rulebase.cuts[cut_id]
    if cut.grain == "mixed":
        raise Refused("its lines run in many ways")
    words = bench.book.choices["step direction"]
    slips = {one.slip: name for name, one in bench.book.misconceptions.items()}

    def silent(direction: str) -> Claim:
        example = Example(step={"action": "slice", "direction": direction})
        return Claim(example, "rule", rule_id, "silent", rule=rule_id)

    across, along = silent("across_grain"), silent("along_grain")
    options = [
        Option(words["across_grain"], (across,)),
        Option(words["along_grain"], (along,), slips["other_direction"]),
        Option(words["either"], (across, along), slips["either_direction"]),
    ]
    stem = str(bench.book.situations["piece grain"][cut.grain])  # type: ignore[index]
    ask = bench.book.asks["slice"].replace("{cut}", cut.name)
    return assemble("slice", rule_id, bench.rulebase, rng, (stem, ask), options)


def grain_item(bench: Bench, cut_id: str, rng: Random) -> Item:
    """Ask how the lines of a cut run; the record of the cut, read by the road, knows.

    Raises
    ------
    Refused
        Its lines run in many ways, or there is no plan to put the cut in.
    """
    cut = bench.rulebase.cuts[cut_id]
    if cut.grain == "mixed":
        raise Refused("its lines run in many ways")
    plan = next(iter(bench.plans.values()), None)
    if plan is None:
        raise Refused("no plan to put the cut in")
    case = replace(plan, steps=(), piece={"animal": Given(cut.animal), "cut": Given(cut_id)}, code="")
    words = bench.book.choices["piece grain"]
    others = [one for one in words if one not in (cut.grain, "mixed")]
    rng.shuffle(others)
    slip = next(iter(bench.book.slips("other_grain")))
    options = [
        Option(
            words[grain],
            (Claim(case, "fact", "piece grain", grain, rule="slice.along_grain"),),
            "" if grain == cut.grain else slip,
        )
        for grain in (cut.grain, *others[: bench.settings.fewest_options - 1])
    ]
    ask = bench.book.asks["grain"].replace("{cut}", cut.name)
    return assemble("grain", "slice.along_grain", bench.rulebase, rng, ("", ask), options)
