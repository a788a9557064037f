"""How soda lifts the pH of chicken, between gas that stays and gas that leaves; a strong acid by definition."""

from __future__ import annotations

from pathlib import Path

from published.row import Row
from ruamel.yaml import YAML

from advisor.science.acid import BICARBONATE, CITRIC, ph_after, ph_after_strong
from advisor.science.validity import gathered

DATA = YAML(typ="safe").load(Path(__file__).with_name("acid_and_soda.yaml"))
SODA, HALF, CITRUS = DATA["soda_on_chicken"], DATA["buffering_half_ph"], DATA["citrus_on_shin"]
SOURCE = f"{SODA['source']}; {CITRUS['source']}"
NOTE = (
    "The rise with each tenth of a percent is read; the meat's pH before and its buffering are from memory and were "
    "not moved. Soda whose gas stays in the meat gives only part of its effect, soda whose gas is all drawn off the "
    "whole: what was measured, tumbled under vacuum, must lie between. Of the citrus marinade only what the strips "
    "took up is known; the acid in it is from memory."
)


def rows():
    """Give both ends for two doses, the definition, and citrus."""
    ph, capacity = SODA["raw_ph"], SODA["buffering_mol_kg_ph"]
    for pct in (0.1, SODA["up_to_pct"]):
        published = SODA["ph_rise_per_tenth_percent"] * pct / 0.1
        stays = ph_after(ph, BICARBONATE, pct / 100, capacity) - ph
        with gathered():  # the upper end passes pH 7 at the largest dose
            leaves = ph_after_strong(ph, -pct / 100 / BICARBONATE.kg_per_mol, capacity) - ph
        reason = "a lower end: no more than what was measured"
        what = f"rise of pH of chicken with {pct} % soda"
        yield Row(f"{what}, gas stays", published, stays, "", "read in part", (-published, 0.0), None, reason)
        reason = "an upper end: no less than what was measured"
        yield Row(f"{what}, gas leaves", published, leaves, "", "read in part", (0.0, published), None, reason)
    fall = 5.6 - ph_after_strong(5.6, HALF["mol_per_kg"], capacity)
    yield Row("fall by 25 mmol of acid a kg", HALF["fall"], fall, "", "exact", (-1e-9, 1e-9), None, "by definition")
    strength = sum(juice * acid for juice, acid in zip(CITRUS["juice_pct"], CITRUS["acid_pct"], strict=True)) / 1e4
    with gathered():  # far below pH 4.5, where the buffering of meat was looked at
        sour = ph_after(CITRUS["raw_ph"], CITRIC, CITRUS["gain_pct"] / 100 * strength, capacity)
    yield Row(
        "pH of strips of shin that took up 65 % of citrus marinade",
        CITRUS["after_ph"],
        sour,
        "",
        "read in part",
        (-0.1, 0.1),
        (0.0, 1.2),
        "one pH too mild: strips also draw acid without liquid, and come to the marinade's own strength, of which only "
        "what they gained is counted; below pH 4.5 meat buffers otherwise than the one figure says: the model warns",
    )
