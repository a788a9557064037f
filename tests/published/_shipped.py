"""What the shipped germs ask, grow and allow; a change of the rulebase moves the report."""

from __future__ import annotations

import math
import warnings
from functools import lru_cache
from pathlib import Path

import numpy as np
from ruamel.yaml import YAML

from advisor.course.germs import curve
from advisor.knowledge import load_rulebase
from advisor.science.growth import cardinal_rate, log_growth
from advisor.science.lethality import kill_rate
from advisor.science.validity import OutsideRange

INFINITE = math.inf


def data(name):
    """Give a data file of this folder."""
    return YAML(typ="safe").load(Path(__file__).with_name(name))


@lru_cache(maxsize=1)
def rulebase():
    """Give the shipped knowledge, read once."""
    return load_rulebase()


def celsius(fahrenheit):
    """Give degrees Celsius of a printed Fahrenheit."""
    return (fahrenheit - 32) / 1.8


def asked_seconds(food, temp_c):
    """Seconds the shipped germs ask at a temperature that is held, for one kind of food, and the germ that leads."""
    asked = [
        (data.target_log / rate if (rate := _rate(data, temp_c)) > 0 else INFINITE, organism.name)
        for organism in rulebase().organisms.values()
        for data in organism.kill
        if food in data.foods
    ]
    return max(asked)


def decimal_minutes(name, food, temp_c):
    """Minutes for one power of ten of a shipped germ, floor or no floor."""
    (data,) = (data for data in rulebase().organisms[name].kill if food in data.foods)
    return 1 / _rate(data, temp_c, floor_c=-INFINITE) / 60


def _rate(data, temp_c, floor_c=None):
    """Kill of a shipped germ in powers of ten per second."""
    floor = rulebase().no_kill_credit_below_c if floor_c is None else floor_c
    return float(kill_rate(temp_c, data.d_ref_min * 60, data.ref_c, data.z_c, floor))


def growth_per_hour(name, temp_c):
    """Growth of a shipped germ at a temperature, natural logarithms per hour."""
    grows = curve(rulebase().organisms[name], cooked=False)
    cardinals = (grows.t_min_c, grows.t_opt_c, grows.t_max_c, grows.mu_opt_per_h)
    return float(cardinal_rate(temp_c, *cardinals, floor_c=grows.floor_c, ceiling_c=grows.ceiling_c))


def doubling_hours(name, temp_c):
    """Hours in which a shipped germ doubles at a temperature."""
    rate = growth_per_hour(name, temp_c)
    return math.log(2) / rate if rate > 0 else INFINITE


def grown_log10(name, hours, temps_c, *, cooked):
    """Growth of a shipped germ along a history of hours and degrees Celsius, powers of ten."""
    grows = curve(rulebase().organisms[name], cooked=cooked)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", OutsideRange)  # beyond 6 numbers level off; a row says what the sum gives
        return float(log_growth(np.asarray(hours) * 3600, temps_c, grows)[-1])
