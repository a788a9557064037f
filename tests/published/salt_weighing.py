"""Salt weighed out: a dry rub, a brine to inject, the sodium of soda."""

from __future__ import annotations

from pathlib import Path

from published.row import Row
from ruamel.yaml import YAML

from advisor.science.acid import BICARBONATE
from advisor.science.brine import dry_salt_kg, injection_brine_fraction
from advisor.science.constants import SODIUM_KG_PER_KMOL

DATA = YAML(typ="safe").load(Path(__file__).with_name("salt_in_meat.yaml"))["arithmetic"]
SODA = YAML(typ="safe").load(Path(__file__).with_name("acid_and_soda.yaml"))["soda_sodium"]
SOURCE = "sums of the kitchen; molar masses"
NOTE = "Balances of mass, worked out by hand before. Nothing was tuned."


def rows():
    """Give the three sums."""
    row = DATA["dry"]
    ours = 1000 * dry_salt_kg(row["meat_g"] / 1000, row["percent"] / 100)
    yield Row("1 % of 300 g", row["salt_g"], ours, "g", "exact", (-1e-9, 1e-9), None, "a product")
    row = DATA["injection"]
    strength = injection_brine_fraction(row["target_percent"] / 100, row["pump_percent"] / 100, row["retained"])
    what = "brine for 1.2 % by a pump of 10 %, eight tenths kept"
    yield Row(what, row["brine_percent"], 100 * strength, "%", "exact", (-0.05, 0.05), None, "printed to a tenth")
    sodium = SODA["pct"] / 100 * 1e5 * SODIUM_KG_PER_KMOL / 1000 / BICARBONATE.kg_per_mol
    what = "sodium of 0.5 % soda, in 100 g"
    yield Row(what, SODA["sodium_mg_per_100g"], sodium, "mg", "exact", (-0.5, 0.5), None, "printed to a milligram")
