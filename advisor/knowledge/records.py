"""The shape of every record of the rulebase, as it stands in the files.

One class per kind of entry. Unknown keys are refused, numbers are not coerced from text.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Standing = Literal[
    "law", "model_code", "government_guidance", "peer_reviewed", "handbook", "common_practice", "estimate", "house_rule"
]
Known = Literal["read", "read_in_part", "read_through_adoption", "from_memory"]
# How one figure or entry is known: as its source is, or an estimate of ours.
EntryKnown = Literal["read", "read_in_part", "read_through_adoption", "from_memory", "estimate"]
Basis = Literal["published", "common practice", "from memory", "estimate", "house rule"]
Concern = Literal["safety", "law", "craft", "money"]
Verdict = Literal["go", "ask", "change", "stop"]
Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
Quantity = Literal[
    "temperature",
    "temperature_difference",
    "time",
    "length",
    "mass",
    "volume",
    "percent",
    "count",
]
Subject = Literal["piece", "guests", "step", "course"]


class Record(BaseModel):
    """Base of all records: frozen, closed, strict."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class Source(Record):
    """A document a figure rests on, how much weight it has and how we know it."""

    title: str
    edition: str
    standing: Standing
    known: Known
    authors: str = ""
    publisher: str = ""
    note: str = ""


class Cite(Record):
    """A place in a source."""

    id: str
    section: str = ""


# Which way a limit may be moved: to the stricter side only, either way (taste), or not at all.
Stricter = Literal["lower", "higher", "taste", "fixed"]


class Limit(Record):
    """A named number that rules compare with; ``value`` is in the fixed unit of its quantity.

    ``stricter`` says on which side of ``value`` a figure asks more. A food code or a kitchen may move a limit only
    that way; ``taste`` may be moved either way by a kitchen, ``fixed`` by no one.
    """

    value: float
    quantity: Quantity
    means: str
    source: list[Cite]
    basis: Basis
    for_: str = Field(default="", alias="for")
    printed: str = ""
    note: str = ""
    stricter: Stricter = "fixed"


class Unknown(Record):
    """What not knowing a fact means."""

    policy: Literal["worst", "typical", "find_out", "cannot_go_on"]
    value: str | float | None = None
    how: str = ""


class VocabularyFact(Record):
    """A fact that rules may name.

    ``asked`` names the question that gives it; ``computed`` the function; a fact with neither is
    written in a plan or concluded by a rule. ``also`` gives other words for a choice. A count is a whole number
    where it is written, unless it has ``decimals``.
    """

    means: str
    quantity: Quantity | None = None
    choices: list[str] = Field(default_factory=list)
    words: bool = False
    low: float | None = None
    high: float | None = None
    decimals: bool = False
    asked: str = ""
    computed: str = ""
    concluded: bool = False
    default: str | float | None = None
    unknown: Unknown | None = None
    worse: Literal["higher", "lower", ""] = ""
    says: dict[str, str] = Field(default_factory=dict)
    also: dict[str, list[str]] = Field(default_factory=dict)


class Mend(Record):
    """One thing that may be changed to mend a finding."""

    change: str
    direction: Literal["up", "down", ""] = ""
    to: str = ""
    says: str = ""


class Caution(Record):
    """The four parts of a caution, less the signal word."""

    hazard: str
    consequence: str
    instead: str


class Conclusion(Record):
    """What a rule concludes: a finding, a further fact, or a technique chosen or ruled out."""

    verdict: Verdict | None = None
    signal: Signal | None = None
    fact: str = ""
    value: str = ""
    technique: str = ""
    fit: Literal["choose", "rule out", ""] = ""


class Example(Record):
    """A small set of facts; the rule must fire on it, or must not."""

    piece: dict[str, Any] = Field(default_factory=dict)
    guests: dict[str, Any] = Field(default_factory=dict)
    course: dict[str, Any] = Field(default_factory=dict)
    step: dict[str, Any] = Field(default_factory=dict)
    steps: list[dict[str, Any]] = Field(default_factory=list)
    note: str = ""


class Examples(Record):
    """Examples that must fire the rule, and near misses that must not."""

    fires: list[Example]
    near_misses: list[Example]


class Rule(Record):
    """One rule, as written."""

    id: str
    concern: Concern
    when: list[Any]
    concludes: Conclusion
    says: str
    because: str
    source: list[Cite]
    basis: Basis
    caution: Caution | None = None
    beside: str = ""
    mend: list[Mend] = Field(default_factory=list)
    no_mend: str = ""
    exception_to: str = ""
    contested: str = ""
    examples: Examples


class Question(Record):
    """One question of the interview."""

    id: str
    group: str
    fact: str
    ask: str
    why: str
    short: str
    help: str = ""
    again: str = ""
    # Said to one who does not know what anybody at the board can see; the second time not knowing is taken.
    look: str = ""
    when: list[Any] = Field(default_factory=list)
    # Asked only then; an answer that was given all the same counts.
    asked_when: list[Any] = Field(default_factory=list)
    choices: dict[str, str] = Field(default_factory=dict)
    many: bool = False
    # What is named where several tools that may matter are asked for in one list; empty for what is no tool.
    tool: str = ""
    optional: bool = False
    # Every plan is made from it, so it is asked whatever else is known; the first questions are asked before all else.
    always: bool = False
    screening: bool = False
    # From 1, out of the cook's head, to 4, with a tool or another person.
    effort: int = Field(default=1, ge=1, le=4)
    dont_know: Unknown | None = None


class Span(Record):
    """Lowest and highest temperature [°C] at which a model of a germ was fitted or checked."""

    low: float
    high: float
    source: str | list[str]
    known: EntryKnown
    note: str = ""


class Growth(Record):
    """Cardinal temperatures and rate of one organism; without ``measured_c`` its rate is a guess at any heat."""

    t_min_c: float
    t_opt_c: float
    t_max_c: float
    mu_opt_per_h: float
    floor_c: float
    ceiling_c: float
    lag_h0_raw: float
    lag_h0_after_cooking: float
    measured_c: Span | None = None
    source: str | list[str]
    known: EntryKnown
    note: str = ""


class Kill(Record):
    """Heat resistance of one organism in one kind of food, the reduction asked for, and where the line was checked."""

    foods: list[str]
    d_ref_min: float
    ref_c: float
    z_c: float
    target_log: float
    measured_c: Span | None = None
    source: str | list[str]
    known: EntryKnown


class Toxin(Record):
    """Temperatures between which a heat-stable poison forms."""

    from_c: float
    to_c: float
    source: str | list[str]
    known: EntryKnown
    note: str = ""


class Organism(Record):
    """A germ: where it matters, how it grows, how heat kills it."""

    name: str
    concern: list[Literal["raw", "cooking", "cooling", "cold_store", "sealed"]]
    spore: bool
    growth: Growth
    kill: list[Kill] = Field(default_factory=list)
    toxin: Toxin | None = None
    why: str


class Loss(Record):
    """How fast heat ruins an enzyme."""

    form: Literal["arrhenius", "eyring", "reference"]
    prefactor_per_min: float | None = None
    activation_kj_mol: float | None = None
    enthalpy_kj_mol: float | None = None
    entropy_j_mol_k: float | None = None
    rate_per_h: float | None = None
    ref_c: float | None = None


class Measured(Record):
    """Lowest and highest temperature [°C] at which an enzyme was measured: its loss by heat, or its speed."""

    of: Literal["loss", "speed"]
    low: float
    high: float
    source: str | list[str]
    known: EntryKnown
    note: str = ""


class Tenderiser(Record):
    """A plant, fungus, acid, dairy or alkali that is put on meat to soften it."""

    name: str
    also: list[str] = Field(default_factory=list)
    kind: Literal["plant_enzyme", "fungal_enzyme", "acid", "dairy", "alkali"]
    part: str = ""
    enzyme: str
    strength: float
    loss: Loss | None = None
    forms: dict[str, float] = Field(default_factory=dict)
    optimum_c: list[float] = Field(default_factory=list)
    measured_c: list[Measured] = Field(default_factory=list)
    mush_risk: str = ""
    room_minutes: list[float] = Field(default_factory=list)
    fridge_minutes: dict[str, list[float]] = Field(default_factory=dict)
    salt_pct: float = 0.0
    acid_of: Literal["", "acetic", "lactic", "citric"] = ""
    acid_pct: float = 0.0
    allergens: list[str] = Field(default_factory=list)
    latex: bool = False
    source: str | list[str]
    known: EntryKnown
    notes: list[str] = Field(default_factory=list)


class Material(Record):
    """Anything else that goes on the meat: salt, salty sauces, aromatics, fat."""

    name: str
    also: list[str] = Field(default_factory=list)
    kind: str
    salt_pct: float = 0.0
    salt_pct_range: list[float] = Field(default_factory=list)
    density_g_per_tsp: float | None = None
    low_acid_aromatic: bool = False
    nitrite_pct: float | None = None
    allergens: list[str] = Field(default_factory=list)
    source: str | list[str]
    known: EntryKnown
    notes: list[str] = Field(default_factory=list)


class Medium(Record):
    """What surrounds the meat: how well it carries heat, and how warm it usually is."""

    name: str
    also: list[str] = Field(default_factory=list)
    surface_h_w_m2k: float
    surface_h_low: float
    surface_h_high: float
    usual_c: float | None = None
    worst_c: float | None = None
    surface_cap_c: float | None = None
    dries: bool = False
    boils: bool = False
    source: str | list[str]
    known: EntryKnown
    notes: list[str] = Field(default_factory=list)


class Value(Record):
    """A parameter with its unit and source."""

    value: float | list[float]
    unit: str
    source: str | list[str]
    known: EntryKnown
    low: float | None = None
    high: float | None = None
    note: str = ""


class UsualHold(Record):
    """Customary low-bath schedule of a cut."""

    temp_c: list[float]
    hours: list[float]
    over_hours: float | None = None


class Cut(Record):
    """A cut of meat: what it is called, how tough it is, how the grain runs, what suits it.

    ``bone`` is how it is sold, ``whole_bird`` that it is a bird in one piece, ``tissue`` whether it is muscle,
    ``often_sold`` what is often done to it before it is sold, ``parasite`` the worst that an animal of its kind may
    carry in it.
    """

    name: str
    also: list[str] = Field(default_factory=list)
    region_note: str = ""
    animal: str
    bone: Literal["none", "sometimes", "usual"] = "none"
    whole_bird: bool = False
    tissue: Literal["muscle", "heart", "organ", "liver"] = "muscle"
    often_sold: Literal["untouched", "pierced", "pumped"] = "untouched"
    parasite: Literal["none", "toxoplasma", "trichinella"] = "none"
    imps: str = ""
    unece: str = ""
    muscles: list[str] = Field(default_factory=list)
    single_muscle: bool
    toughness: Literal["very_tender", "tender", "intermediate", "tough"]
    collagen: Literal["low", "medium", "high"]
    grain: Literal["lengthwise", "across", "fan", "feathered", "mixed", "diagonal"]
    grain_words: str
    thickness_mm: list[float]
    weight_g: list[float]
    slice_mm: list[float]
    suits: list[str]
    usual_hold: UsualHold | None = None
    ruins_it: str
    source: str | list[str]
    known: EntryKnown


class AmbiguousWord(Record):
    """A cut name that means different things in different places."""

    word: str
    could_be: list[str]
    ask: str


class TableRow(Record):
    """One row of a food code's time and temperature table."""

    f: float
    c: float
    s: float | list[float]
    c_printed: float | None = None


class Table(Record):
    """A time and temperature table of a food code."""

    name: str
    foods: str
    section: str
    edition: str = ""
    log_target: float | None = None
    fat_columns: list[float] = Field(default_factory=list)
    rows: list[TableRow]
    source: str | list[str]
    known: EntryKnown
    notes: str | list[str] = ""
