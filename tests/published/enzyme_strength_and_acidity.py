"""Decimal times of bromelain and papain, ginger juice that spoils, strengths of fruits and the acidity enzymes like."""

from __future__ import annotations

import math

import numpy as np
from published._digits import half_digit
from published._shipped import data, rulebase
from published.row import Row, share_of

from advisor.course.softening import loss_rate
from advisor.science.conditions import ph_factor

DATA = data("enzyme_heat_loss.yaml")
GINGER, STRENGTHS, KIWI = DATA["ginger_juice"], DATA["strengths"], DATA["green_to_golden_kiwi"]
SOURCE = "; ".join((*(DATA[key]["source"] for key in ("bromelain", "papain")), GINGER["source"], STRENGTHS["source"]))
SOURCE += f"; {KIWI['source']}; acidity: abstracts of 2014 to 2025, an encyclopedia, a supplier's sheet and a dossier"
NOTE = (
    "Decimal times and the half-lives at either end were worked out by hand from the sources' constants, with R = "
    "8.314; what is printed beyond the temperatures of the source (papain above 90 °C, bromelain at 40 and 75 °C) is a "
    "sum, not a measurement. The strengths shipped are ranks that follow the ratios read."
)
# How much a gas constant of 8.314 lengthens the times of each, as the rows of half-lives show it.
LONGER = {"bromelain": 0.008, "papain": 0.003}
ROUNDED = "half a printed digit, and the shorter gas constant"
FRUIT = {"bromelain": "pineapple", "papain": "green_papaya"}
# Minutes that ours may be longer: nine hundred times at 30 °C, twelve hundred at 5 °C.
GINGER_HELD = {5: 4_000_000.0, 30: 18_000.0}
SPOILS = (
    "ours is about a thousand times too long: "
    "the juice is spoilt by its own enzyme and by air, which no heat loss describes; the shipped loss is slow on "
    "purpose, so that mush is feared too long and softening is not promised by it"
)
# The factor at the least favourable end where an enzyme was found at its best outside the shipped band.
OUTSIDE = {("bromelain", 6.0): "the band is that of the fruit, which is what is put on meat; this is the stem's"}


def left(what, temp_c, minutes):
    """Share of a softener's enzyme left in a free film."""
    return math.exp(-rate_per_min(what, temp_c) * minutes)


def rate_per_min(what, temp_c):
    """Give the shipped loss [1/min]."""
    return float(loss_rate(rulebase().tenderisers[what].loss, np.array([float(temp_c)]))[0]) * 60


def rows():
    """Give heat, then strengths, then acidity."""
    yield from _heat()
    for temp_c, printed in GINGER["half_life_min"].items():
        ours = math.log(2) / rate_per_min("ginger", temp_c)
        aim, held = share_of(printed, 0.05), (0.0, GINGER_HELD[temp_c])
        what = f"half-life of ginger juice at {temp_c} °C"
        yield Row(what, printed, ours, "min", "read in part", aim, held, SPOILS)
    kiwi = rulebase().tenderisers["green_kiwi"].strength
    for name in ("asian_pear", "apple"):
        printed, ours = STRENGTHS["green_kiwi"] / STRENGTHS[name], kiwi / rulebase().tenderisers[name].strength
        why = "one laboratory's extracts; the shipped ranks are given to one digit"
        what = f"green kiwi against {name.replace('_', ' ')}"
        yield Row(what, printed, ours, "times", "read in part", share_of(printed, 0.1), None, why)
    ours, why = kiwi / rulebase().tenderisers["golden_kiwi"].strength, "printed as about eight times"
    yield Row("green kiwi against golden", KIWI["times"], ours, "times", "read in part", (-0.5, 0.5), None, why)
    for one in DATA["best_acidity"]:
        yield _acidity(one)


def _heat():
    for enzyme, longer in LONGER.items():
        printed = DATA[enzyme]
        groups = (("half-life", "more_half_lives_min", math.log(2)), ("decimal time", "decimal_min", math.log(10)))
        for kind, key, share in groups:
            for temp_c, value in printed[key].items():
                ours = share / rate_per_min(FRUIT[enzyme], temp_c)
                aim = (-50.0 - longer * value, 50.0) if value == 12100 else half_digit(value, -longer * value)
                yield Row(f"{enzyme}, {kind} at {temp_c} °C", value, ours, "min", "read in part", aim, None, ROUNDED)
    one = DATA["papain"]["left"]
    what = f"papain left after {one['minutes']} min at {one['temp_c']} °C"
    ours = left("green_papaya", one["temp_c"], one["minutes"])
    yield Row(what, one["share"], ours, "", "read in part", (-0.005, 0.005), None, "printed in whole percent")


def _acidity(one):
    """Its speed where it was found fastest: all of it, at the low end of the band."""
    parts = (rulebase().texture[f"enzyme_ph_{which}_{one['enzyme']}"] for which in ("best", "works"))
    best, works = ((part.low, part.high) for part in parts)
    ours = ph_factor(one["ph"], best, works).low
    what = f"speed of {one['enzyme']} at pH {one['ph']:g} against its best ({one['source']})"
    missed = OUTSIDE.get((one["enzyme"], one["ph"]))
    why = missed or "found at its best there, so the shipped band must hold it; a band has no digits"
    return Row(what, 1.0, ours, "", one["known"], (-1e-9, 1e-9), (-1.0, 0.0) if missed else None, why)
