"""The cuts of the rulebase: enough of them, plausible figures, and every name a cook uses comes to the right cut."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from typing import get_args

import pytest

from advisor.advice.report import VERDICTS, examine
from advisor.case.names import find_cut
from advisor.case.read_plan import read_plan
from advisor.knowledge.checks import folded
from advisor.knowledge.records import Cut

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a plan's clock is local
# Every group must be there, with at least so many cuts; together at least 78.
LEAST_CUTS = 78
GROUPS = {
    "beef": ({"beef"}, 30),
    "veal": ({"veal"}, 6),
    "lamb": ({"lamb"}, 6),
    "goat": ({"goat"}, 4),
    "pork": ({"pork"}, 10),
    "poultry": ({"chicken", "turkey", "duck", "other_bird"}, 12),
    "rabbit": ({"rabbit"}, 2),
    "farmed deer": ({"farmed_deer"}, 3),
    "wild boar": ({"wild_boar"}, 2),
    "wild game": ({"wild_game"}, 3),
}
THINNEST_MM, THICKEST_MM = 2, 300
BOARD_CM2 = 1500
SUITS = {"low_bath", "braise", "sear_and_slice", "roast", "stir_fry", "grill"}
# No kill is credited below 54.4 °C; poultry tables begin at 58 °C; wild game is cooked to 74 °C.
LOWEST_HOLD_C = {"bird": 58.0, "wild": 73.9, "other": 55.0}
BIRDS, WILD = {"chicken", "turkey", "duck", "other_bird"}, {"wild_boar", "wild_game"}

# A cook's word, its animal, and the cut it should come to. Written down, from common knowledge of the trade in each
# language, before it was tried against the records.
WORDS = [
    ("onglet", "beef", "hanger"),
    ("hanger steak", "beef", "hanger"),
    ("hampe", "beef", "outside_skirt"),
    ("entraña fina", "beef", "outside_skirt"),
    ("bavette d'aloyau", "beef", "sirloin_flap"),
    ("bavette de flanchet", "beef", "flank_steak"),
    ("araignée", "beef", "spider_steak"),
    ("picanha", "beef", "sirloin_cap"),
    ("rump cap", "beef", "sirloin_cap"),
    ("culotte", "beef", "sirloin_cap"),
    ("maminha", "beef", "tri_tip"),
    ("colita de cuadril", "beef", "tri_tip"),
    ("aiguillette baronne", "beef", "tri_tip"),
    ("matambre", "beef", "rose_meat"),
    ("suadero", "beef", "rose_meat"),
    ("bife de chorizo", "beef", "strip_loin"),
    ("faux-filet", "beef", "strip_loin"),
    ("contrafilé", "beef", "strip_loin"),
    ("ojo de bife", "beef", "ribeye"),
    ("scotch fillet", "beef", "ribeye"),
    ("filet mignon", "beef", "beef_tenderloin"),
    ("solomillo", "beef", "beef_tenderloin"),
    ("côte de bœuf", "beef", "rib_roast"),
    ("prime rib", "beef", "rib_roast"),
    ("feather blade", "beef", "flat_iron"),
    ("paleron", "beef", "flat_iron"),
    ("buchaesal", "beef", "flat_iron"),
    ("zabuton", "beef", "denver"),
    ("galbi", "beef", "chuck_short_rib"),
    ("LA galbi", "beef", "chuck_short_rib"),
    ("asado de tira", "beef", "plate_short_rib"),
    ("chadolbagi", "beef", "brisket_point"),
    ("topside", "beef", "top_round"),
    ("nalga", "beef", "top_round"),
    ("coxão mole", "beef", "top_round"),
    ("lagarto", "beef", "eye_of_round"),
    ("peceto", "beef", "eye_of_round"),
    ("gîte à la noix", "beef", "outside_round"),
    ("patinho", "beef", "knuckle"),
    ("babilla", "beef", "knuckle"),
    ("cupim", "beef", "hump"),
    ("rabo de toro", "beef", "oxtail"),
    ("joue de bœuf", "beef", "beef_cheek"),
    ("escalope", "veal", "veal_topside"),
    ("osso buco", "veal", "veal_shank"),
    ("carré de veau", "veal", "veal_rack"),
    ("gigot d\u2019agneau", "lamb", "lamb_leg"),
    ("carré d'agneau", "lamb", "lamb_rack"),
    ("souris d'agneau", "lamb", "lamb_shank"),
    ("chump", "lamb", "lamb_rump"),
    ("paletilla de cabrito", "goat", "goat_shoulder"),
    ("bondiola", "pork", "boston_butt"),
    ("moksal", "pork", "boston_butt"),
    ("samgyeopsal", "pork", "pork_belly"),
    ("secreto", "pork", "secreto"),
    ("presa ibérica", "pork", "presa"),
    ("carrillera", "pork", "pork_cheek"),
    ("papada", "pork", "pork_jowl"),
    ("eisbein", "pork", "pork_hock"),
    ("pechuga", "chicken", "chicken_breast"),
    ("contramuslo", "chicken", "chicken_thigh"),
    ("drumstick", "chicken", "chicken_drumstick"),
    ("magret", "duck", "duck_breast"),
    ("cuisse de canard", "duck", "duck_leg"),
    ("codorniz", "other_bird", "quail"),
    ("pintade", "other_bird", "whole_guinea_fowl"),
    ("râble de lapin", "rabbit", "rabbit_saddle"),
    ("backstrap", "farmed_deer", "venison_loin"),
    ("haunch", "farmed_deer", "venison_haunch"),
    ("faisan", "wild_game", "wild_pheasant"),
    ("perdiz", "wild_game", "wild_partridge"),
    ("red grouse", "wild_game", "wild_grouse"),
    ("bécasse", "wild_game", "woodcock"),
    ("paloma torcaz", "wild_game", "wood_pigeon"),
    ("colvert", "wild_game", "wild_duck"),
]

# Words that must be asked about and never taken, with what they may mean.
DOUBTFUL = [
    ("sirloin", "beef", {"strip_loin", "top_sirloin"}),
    ("rump", "beef", {"top_sirloin", "outside_round", "sirloin_cap"}),
    ("silverside", "beef", {"outside_round", "eye_of_round"}),
    ("chuck steak", "beef", {"chuck_roll", "denver", "chuck_tender"}),
    ("flank", "beef", {"flank_steak", "navel", "knuckle"}),
    ("bavette", "beef", {"sirloin_flap", "flank_steak"}),
    ("butcher's steak", "beef", {"hanger", "flat_iron"}),
    ("fraldinha", "beef", {"sirloin_flap", "flank_steak"}),
    ("entraña", "beef", {"outside_skirt", "hanger"}),
    ("vacío", "beef", {"sirloin_flap", "flank_steak"}),
    ("brisket", "beef", {"brisket_flat", "brisket_point", "whole_brisket"}),
    ("porterhouse", "beef", {"t_bone", "strip_loin"}),
    ("cube steak", "beef", {"top_round", "outside_round"}),
    ("pernil", "pork", {"pork_leg", "pork_picnic", "boston_butt"}),
    ("veal chop", "veal", {"veal_rack", "veal_loin"}),
    ("mutton", "lamb", {"mutton_leg", "mutton_shoulder"}),
    ("venison", "farmed_deer", {"venison_haunch", "venison_loin", "venison_shoulder"}),
    ("wild boar", "wild_boar", {"wild_boar_shoulder", "wild_boar_leg", "wild_boar_loin"}),
    ("leg", "chicken", {"chicken_leg", "chicken_drumstick", "chicken_thigh"}),
    ("rabbit", "rabbit", {"rabbit_leg", "rabbit_saddle", "whole_rabbit"}),
]


def known(rulebase):
    """All cuts that have a name of their own."""
    return {name: cut for name, cut in rulebase.cuts.items() if cut.animal != "any"}


def doubtful(rulebase, animal):
    """Words that mean more than one cut of this animal."""
    return {
        folded(word.word)
        for word in rulebase.ambiguous
        if sum(rulebase.cuts[name].animal == animal for name in word.could_be) > 1
    }


def test_there_are_enough_cuts_and_every_group_of_animals_has_its_own(rulebase):
    cuts = known(rulebase)
    assert len(cuts) >= LEAST_CUTS
    per_animal = Counter(cut.animal for cut in cuts.values())
    for group, (animals, least) in GROUPS.items():
        assert sum(per_animal[animal] for animal in animals) >= least, group
    assert set(per_animal) == set(rulebase.vocabulary["piece"]["animal"].choices)


def test_every_cut_has_another_name(rulebase):
    for name, cut in rulebase.cuts.items():
        others = {folded(word) for word in cut.also} - {folded(cut.name)}
        assert others or "no other name" in cut.region_note, name


def test_every_toughness_grain_and_collagen_is_used(rulebase):
    for field in ("toughness", "grain", "collagen"):
        used = {getattr(cut, field) for cut in known(rulebase).values()}
        assert used == set(get_args(Cut.model_fields[field].annotation)), field


def test_figures_are_plausible(rulebase):
    for name, cut in rulebase.cuts.items():
        thin, thick = cut.thickness_mm
        assert THINNEST_MM <= thin < thick <= THICKEST_MM, name
        light, heavy = cut.weight_g
        assert 20 <= light < heavy <= 30000, name
        low, high = cut.slice_mm
        assert 1 <= low < high <= 40, name
        assert set(cut.suits) <= SUITS, name
        assert cut.suits, name
        assert len(set(cut.suits)) == len(cut.suits), name


def test_a_cut_is_no_wider_than_a_board_and_no_lighter_than_a_ball_of_its_thinnest(rulebase):
    """The widest, a whole pork belly or an inside skirt, covers some 1400 cm²; 1 ml of meat weighs about 1 g."""
    for name, cut in known(rulebase).items():
        thin, thick = cut.thickness_mm
        assert cut.weight_g[1] <= BOARD_CM2 * thick / 10, name
        assert cut.weight_g[0] >= 0.5 * (thin / 10) ** 3, name


def test_a_usual_hold_is_in_order_and_never_below_what_is_safe_to_credit(rulebase):
    for name, cut in rulebase.cuts.items():
        hold = cut.usual_hold
        if hold is None:
            continue
        group = "bird" if cut.animal in BIRDS else "wild" if cut.animal in WILD else "other"
        assert LOWEST_HOLD_C[group] <= hold.temp_c[0] <= hold.temp_c[1] <= 90, name
        assert 0 < hold.hours[0] <= hold.hours[1], name
        assert hold.over_hours is None or hold.over_hours > hold.hours[1], name
        assert "low_bath" in cut.suits or hold.hours[1] <= 24, name


def test_hunted_meat_is_nowhere_advised_pink(rulebase):
    for name, cut in known(rulebase).items():
        if cut.animal in WILD:
            assert not {"sear_and_slice", "stir_fry", "grill"} & set(cut.suits), name


def test_tough_cuts_are_offered_a_way_that_softens_and_tender_ones_have_little_collagen(rulebase):
    for name, cut in rulebase.cuts.items():
        if cut.toughness == "tough":
            assert {"braise", "low_bath"} & set(cut.suits), name
        if cut.toughness == "very_tender":
            assert cut.collagen != "high", name


def test_every_cut_says_how_it_is_known_and_the_words_of_its_grain_fit(rulebase):
    for name, cut in rulebase.cuts.items():
        assert cut.known in ("read", "read_in_part", "from_memory"), name
        assert cut.grain_words.endswith("."), name
        assert cut.ruins_it, name


def test_a_cut_not_known_is_as_tough_as_any_and_no_thinner_than_the_thickest_that_is_not_a_whole_bird(rulebase):
    unknown = rulebase.cuts["unknown_cut"]
    assert (unknown.toughness, unknown.collagen) == ("tough", "high")
    others = [cut for cut in known(rulebase).values() if not cut.name.startswith("whole")]
    assert max(unknown.thickness_mm) >= max(max(cut.thickness_mm) for cut in others)
    assert min(unknown.thickness_mm) <= min(min(cut.thickness_mm) for cut in others)


def test_every_name_of_a_cut_comes_to_itself_or_is_asked_about(rulebase):
    for name, cut in known(rulebase).items():
        asked = doubtful(rulebase, cut.animal)
        for word in (cut.name, name, *cut.also):
            match = find_cut(word, cut.animal, rulebase)
            if folded(word) in asked:
                assert match.found is None, (name, word)
                assert match.ask, (name, word)
            else:
                assert match.found == name, (name, word, match)
        assert find_cut(cut.name, cut.animal, rulebase).found == name, "the standard name is never in doubt"


def test_a_name_of_one_cut_is_found_without_the_animal_or_the_animal_is_asked(rulebase):
    for name, cut in known(rulebase).items():
        match = find_cut(cut.name, "", rulebase)
        assert match.found == name or (name in match.could_be and match.ask), (name, match)


@pytest.mark.parametrize(("word", "animal", "cut"), WORDS)
def test_a_cooks_word_comes_to_its_cut(word, animal, cut, rulebase):
    assert find_cut(word, animal, rulebase).found == cut


@pytest.mark.parametrize(("word", "animal", "cuts"), DOUBTFUL)
def test_a_word_of_many_meanings_is_asked_about(word, animal, cuts, rulebase):
    match = find_cut(word, animal, rulebase)
    assert match.found is None
    assert cuts <= set(match.could_be)
    assert match.ask.endswith("?") or "?" in match.ask


def test_the_exact_name_goes_before_a_shorter_word_in_doubt(rulebase):
    """'Flank' alone is in doubt, 'flank steak' is not; 'skirt steak' stays in doubt."""
    assert find_cut("flank steak", "beef", rulebase).found == "flank_steak"
    assert find_cut("skirt steak", "beef", rulebase).could_be


def test_accents_and_apostrophes_do_not_matter(rulebase):
    for word in ("entrana fina", "entraña fina", "ENTRAÑA  FINA", "entran\u0303a fina"):
        assert find_cut(word, "beef", rulebase).found == "outside_skirt"
    for word in ("gigot d agneau", "gigot d'agneau", "Gigot d\u2019agneau"):
        assert find_cut(word, "lamb", rulebase).found == "lamb_leg"


def test_without_an_animal_cuts_of_every_animal_with_that_name_are_offered(rulebase):
    match = find_cut("shank", "", rulebase)
    animals = {rulebase.cuts[cut].animal for cut in match.could_be}
    assert {"beef", "veal", "lamb", "goat"} <= animals
    assert "animal" in match.ask


# Written down before it was tried: a cook's word for offal, its animal, and what kind of flesh that is.
OFFAL = [
    ("chicken livers", "chicken", "chicken_liver", "liver"),
    ("foies de volaille", "chicken", "chicken_liver", "liver"),
    ("hígado de pollo", "chicken", "chicken_liver", "liver"),
    ("dak ttongjip", "chicken", "chicken_gizzard", "organ"),
    ("mollejas de pollo", "chicken", "chicken_gizzard", "organ"),
    ("foie gras", "duck", "duck_liver", "liver"),
    ("gésiers", "duck", "duck_gizzard", "organ"),
    ("giblets", "turkey", "turkey_giblets", "liver"),
    ("calf's liver", "veal", "calf_liver", "liver"),
    ("foie de veau", "veal", "calf_liver", "liver"),
    ("ris de veau", "veal", "veal_sweetbread", "organ"),
    ("mollejas", "veal", "veal_sweetbread", "organ"),
    ("rognon de veau", "veal", "veal_kidney", "organ"),
    ("ox heart", "beef", "beef_heart", "heart"),
    ("anticucho", "beef", "beef_heart", "heart"),
    ("yeomtong", "beef", "beef_heart", "heart"),
    ("tripe", "beef", "beef_tripe", "organ"),
    ("callos", "beef", "beef_tripe", "organ"),
    ("lengua", "beef", "beef_tongue", "muscle"),
    ("lambs' kidneys", "lamb", "lamb_kidney", "organ"),
    ("coração de frango", "chicken", "chicken_heart", "heart"),
    ("fígado de porco", "pork", "pork_liver", "liver"),
    ("kaleji", "goat", "goat_liver", "liver"),
    ("deer liver", "farmed_deer", "venison_liver", "liver"),
]


@pytest.mark.parametrize(("word", "animal", "cut", "tissue"), OFFAL)
def test_offal_is_known_for_what_it_is(word, animal, cut, tissue, rulebase):
    """The rules for whole meat do not hold for liver, so its record says that it is one."""
    assert find_cut(word, animal, rulebase).found == cut
    assert rulebase.cuts[cut].tissue == tissue


def test_brain_and_marrow_are_not_taken_for_a_cut(rulebase):
    """Brain is barred from sale in many places for what it may carry; no record may go by its name."""
    for word in ("brain", "brains", "spinal cord", "lung"):
        for animal in ("", *rulebase.vocabulary["piece"]["animal"].choices):
            match = find_cut(word, animal, rulebase)
            assert match.found is None
            assert match.could_be == ()


def test_no_organ_is_offered_a_low_bath_or_a_pink_sear(rulebase):
    for name, cut in rulebase.cuts.items():
        if cut.tissue in ("organ", "liver"):
            assert not {"low_bath", "sear_and_slice"} & set(cut.suits), name
            assert cut.usual_hold is None, name


def test_every_kind_of_flesh_bone_and_sale_is_used(rulebase):
    for field in ("bone", "tissue", "often_sold", "parasite"):
        used = {getattr(cut, field) for cut in known(rulebase).values()}
        assert used == set(get_args(Cut.model_fields[field].annotation)), field


def test_words_of_a_bone_agree_with_its_field(rulebase):
    for name, cut in known(rulebase).items():
        if any(word in cut.region_note for word in ("It has a bone", "It has bones", "It has small sharp bones")):
            assert cut.bone == "usual", name


def test_pierced_by_trade_is_said_when_it_is_asked_about(rulebase):
    for word in ("cube steak", "minute steak", "swiss steak"):
        assert "pierced" in find_cut(word, "beef", rulebase).ask


def test_a_hunted_animal_with_the_worm_says_so(rulebase):
    for name, cut in known(rulebase).items():
        assert (cut.parasite == "trichinella") == (cut.animal == "wild_boar" or name == "bear"), name
        if cut.parasite == "trichinella":
            assert "worm" in cut.ruins_it, name
            assert "cdc_trichinella_2024" in cut.source, name


def test_the_worst_of_the_cuts_that_a_word_may_mean_is_no_better_than_any_of_them(rulebase):
    for word in rulebase.ambiguous:
        for animal in sorted({rulebase.cuts[cut].animal for cut in word.could_be}):
            could = [cut for cut in word.could_be if rulebase.cuts[cut].animal == animal]
            worst = rulebase.cuts[" or ".join(could)]
            for cut in (rulebase.cuts[name] for name in could):
                assert max(worst.thickness_mm) >= max(cut.thickness_mm)
                assert min(worst.thickness_mm) <= min(cut.thickness_mm)
                assert max(worst.slice_mm) <= max(cut.slice_mm)
                assert (worst.animal, worst.whole_bird) == (cut.animal, cut.whole_bird)
                # Nothing that a rule of safety reads of a cut is lost: of its flesh, of worms, of blades.
                for trait, none in (("tissue", "muscle"), ("parasite", "none"), ("often_sold", "untouched")):
                    assert getattr(cut, trait) in (none, getattr(worst, trait), "heart", "organ"), (word.word, trait)
                assert cut.bone == "none" or worst.bone != "none"
    assert len(rulebase.cuts) == len(list(rulebase.cuts))
    assert not any(" or " in name for name in rulebase.cuts)


EITHER = """
piece: {{animal: {animal}, cut: {cut}, form: roast, weight: 1.2 kg, thickness: not known,
        arrived: intact, start_state: fridge}}
guests: {{setting: home, vulnerable: "no", want: pink}}
steps:
  - {{do: oven, at: 130 C, until_core: 61 C}}
  - {{do: rest, for: 5 min}}
  - {{do: serve}}
"""


@pytest.mark.parametrize(
    ("animal", "could"), [("beef", "strip_loin or top_sirloin"), ("pork", "pork_liver or pork_heart")]
)
def test_a_plan_is_never_better_for_a_cut_that_may_be_either(rulebase, animal, could):
    def verdict(cut):
        plan = read_plan(EITHER.format(animal=animal, cut=cut), rulebase, NOW)
        return VERDICTS.index(examine(plan, rulebase, "reference").verdict)

    assert verdict(could) >= max(verdict(cut) for cut in could.split(" or "))
