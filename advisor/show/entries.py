"""Shows one limit, cut, softener or other thing that goes on the meat, with the rules that it brings in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.audit.plain import figure, plain
from advisor.audit.related import rules_with_limit
from advisor.audit.traits import brought_in, traits_of_cut, traits_of_material, traits_of_softener
from advisor.show.law import beside_line, law_line
from advisor.show.limits import SIDE
from advisor.units import write_quantity, write_range

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from advisor.knowledge.records import Cut, Quantity, Tenderiser
    from advisor.knowledge.rulebase import Rulebase
    from advisor.show.page import Page

MEASURED_OF = {"loss": "How fast heat kills its enzyme", "speed": "How fast its enzyme works"}


def one_line(kind: str, name: str, rulebase: Rulebase) -> str:
    """Render an entry in one line."""
    says: dict[str, Callable[[], str]] = {
        "rule": lambda: plain(rulebase.rules[name].rule.says, rulebase),
        "limit": lambda: f"limit, {figure(rulebase.limits[name])}: {rulebase.limits[name].means}",
        "cut": lambda: f"cut of {_words(rulebase.cuts[name].animal)}: {rulebase.cuts[name].name}",
        "softener": lambda: f"softener: {rulebase.tenderisers[name].name}",
        "material": lambda: f"goes on the meat: {rulebase.materials[name].name}",
    }
    return f"{name}: {says[kind]()}"


def source_line(name: str, section: str, rulebase: Rulebase) -> str:
    """Render a source with its section and how it is known."""
    source = rulebase.sources[name]
    where = f", {section}" if section else ""
    if source.standing in ("common_practice", "estimate"):
        return f"{name}{where}: {source.title}"
    return f"{name}{where}: {source.title}, {source.edition} ({_words(source.standing)}; known: {_words(source.known)})"


def limit_entry(name: str, page: Page, rulebase: Rulebase) -> tuple[str, ...]:
    """Print a limit: figure, meaning, source, what codes ask beside it, and the rules that use it."""
    limit = rulebase.limits[name]
    page.line(f"{name} = {figure(limit)}", bold=True)
    page.line(limit.means, 2)
    if limit.for_:
        page.line(f"For: {limit.for_}", 2)
    page.line(f"{SIDE[limit.stricter]}; {limit.basis}", 2)
    for cite in limit.source:
        page.line(source_line(cite.id, cite.section, rulebase), 2)
    if limit.note:
        page.line(limit.note, 2)
    law = law_line(name, rulebase, "metric")
    if law:
        page.line(law, 2)
    for beside in rulebase.beside(name):
        page.line(beside_line(beside, name, rulebase, "metric"), 4)
    rules = rules_with_limit(name, rulebase)
    return _rules("Rules that use it", rules, page, rulebase, none="No rule; a calculation uses it.")


def cut_entry(name: str, page: Page, rulebase: Rulebase) -> tuple[str, ...]:
    """Print a cut's record, and the rules that its traits bring in."""
    cut = rulebase.cuts[name]
    page.line(f"{cut.name} ({_words(cut.animal)}; {name})", bold=True)
    for text in _cut_lines(cut):
        page.line(text, 2)
    _sources(cut.source, cut.known, page, rulebase)
    rules = [checked.rule.id for checked in brought_in(traits_of_cut(cut), rulebase)]
    return _rules("Rules that its traits can bring in", rules, page, rulebase)


def _cut_lines(cut: Cut) -> list[str]:
    codes = [f"IMPS {cut.imps}" if cut.imps else "", f"UNECE {cut.unece}" if cut.unece else ""]
    parts = "one muscle" if cut.single_muscle else "more than one muscle"
    lines = [
        f"Also: {', '.join(cut.also)}" if cut.also else "",
        cut.region_note,
        "; ".join(code for code in codes if code),
        f"Muscles: {', '.join(cut.muscles)}" if cut.muscles else "",
        f"{_words(cut.toughness).capitalize()}; {cut.collagen} in connective tissue; {parts}",
        *_how_sold(cut),
        f"Grain: {_words(cut.grain)}. {cut.grain_words}",
        f"Usually {_span(cut.thickness_mm, 'length')} thick and {_span(cut.weight_g, 'mass')}",
        f"Slices: {_span(cut.slice_mm, 'length')} thick",
        f"Suits: {', '.join(_words(way) for way in cut.suits)}",
        f"What ruins it: {cut.ruins_it}",
    ]
    hold = cut.usual_hold
    if hold is not None:
        hours = _span([60 * hour for hour in hold.hours], "time")
        over = (
            f"; held too long after {write_quantity(60 * hold.over_hours, 'time', 'metric')}" if hold.over_hours else ""
        )
        lines.append(f"Customary low bath: {_span(hold.temp_c, 'temperature')} for {hours}{over}")
    return [line for line in lines if line]


def _how_sold(cut: Cut) -> list[str]:
    """What to look for when it comes in."""
    bone = {"usual": "Sold with its bone", "sometimes": "Sold with or without its bone"}.get(cut.bone, "")
    sold = f"Often sold {cut.often_sold}: look at the label" if cut.often_sold != "untouched" else ""
    carries = f"May carry a parasite: {cut.parasite}" if cut.parasite != "none" else ""
    return [bone, sold, carries]


def softener_entry(name: str, page: Page, rulebase: Rulebase) -> tuple[str, ...]:
    """Print a softener's record, and the rules that it brings in."""
    softener = rulebase.tenderisers[name]
    page.line(f"{softener.name} ({_words(softener.kind)}; {name})", bold=True)
    for text in _softener_lines(softener):
        page.line(text, 2)
    _sources(softener.source, softener.known, page, rulebase)
    rules = [checked.rule.id for checked in brought_in(traits_of_softener(softener), rulebase)]
    return _rules("Rules that it can bring in", rules, page, rulebase)


def _softener_lines(softener: Tenderiser) -> list[str]:
    forms = {form: share for form, share in softener.forms.items() if share > 0}
    dead = [_words(form) for form, share in softener.forms.items() if share == 0]
    fridge = "; ".join(f"{name} {_span(minutes, 'time')}" for name, minutes in softener.fridge_minutes.items())
    measured = softener.measured_c
    lines = [
        f"Also: {', '.join(softener.also)}" if softener.also else "",
        f"What works: {_words(softener.enzyme)}; strength {softener.strength:g}, fresh pineapple flesh being 1"
        if softener.strength
        else "",
        f"Forms that work: {', '.join(f'{_words(form)} {share:g}' for form, share in forms.items())}" if forms else "",
        f"Forms that are dead: {', '.join(dead)}" if dead and forms else "",
        f"Works best at {_span(softener.optimum_c, 'temperature')}" if softener.optimum_c else "",
        *(f"{MEASURED_OF[span.of]} was measured at {_span([span.low, span.high], 'temperature')}" for span in measured),
        f"Risk of mush: {softener.mush_risk}" if softener.mush_risk else "",
        f"Customary at room heat: {_span(softener.room_minutes, 'time')}" if softener.room_minutes else "",
        f"Customary in the fridge: {fridge}" if fridge else "",
        f"Brings salt: {write_quantity(softener.salt_pct, 'percent', 'metric')}" if softener.salt_pct else "",
        f"Allergens: {', '.join(softener.allergens)}" if softener.allergens else "",
        "People with a latex allergy may react to it." if softener.latex else "",
        *softener.notes,
    ]
    return [line for line in lines if line]


def material_entry(name: str, page: Page, rulebase: Rulebase) -> tuple[str, ...]:
    """Print the record of something else that goes on the meat."""
    thing = rulebase.materials[name]
    page.line(f"{thing.name} ({_words(thing.kind)}; {name})", bold=True)
    if thing.also:
        page.line(f"Also: {', '.join(thing.also)}", 2)
    if thing.salt_pct:
        ends = sorted(thing.salt_pct_range)
        spread = f", by maker {_span(ends, 'percent')}" if ends else ""
        page.line(f"Salt: {write_quantity(thing.salt_pct, 'percent', 'metric')}{spread}", 2)
    if thing.low_acid_aromatic:
        page.line("Counts as an aromatic low in acid.", 2)
    if thing.allergens:
        page.line(f"Allergens: {', '.join(thing.allergens)}", 2)
    for note in thing.notes:
        page.line(note, 2)
    _sources(thing.source, thing.known, page, rulebase)
    rules = [checked.rule.id for checked in brought_in(traits_of_material(thing), rulebase)]
    return _rules("Rules that it can bring in", rules, page, rulebase)


def _sources(cited: str | list[str], known: str, page: Page, rulebase: Rulebase) -> None:
    for source in [cited] if isinstance(cited, str) else cited:
        page.line(f"Source: {source_line(source, '', rulebase)}", 2)
    page.line(f"This record is known: {_words(known)}", 2)


def _rules(
    heading: str, rules: Iterable[str], page: Page, rulebase: Rulebase, *, none: str = "It brings no rule in."
) -> tuple[str, ...]:
    """Print rules one a line, and give them back."""
    named = tuple(rules)
    page.line(heading if named else none, 2, bold=bool(named))
    for rule in named:
        page.line(one_line("rule", rule, rulebase), 4)
    return named


def _span(values: list[float], quantity: Quantity) -> str:
    if min(values) == max(values):
        return write_quantity(values[0], quantity, "metric")
    return write_range(min(values), max(values), quantity, "metric")


def _words(name: str) -> str:
    return name.replace("_", " ")
