"""Every word the reader knows, made from the rulebase once and kept: names, actions, choices, units, small words."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from advisor.case.read_plan import FORM_WORDS, FORMS
from advisor.case.words import english
from advisor.case.words.tokens import fold
from advisor.units.words import UNITS

if TYPE_CHECKING:
    from advisor.knowledge.records import Material, Tenderiser
    from advisor.knowledge.rulebase import Rulebase
    from advisor.units.words import Kind

Words = tuple[str, ...]
LONGEST: Final = 7  # words in one name
# Kinds of units whose words a terminal of the grammar stands for.
UNIT_KINDS: Final[dict[Kind, str]] = {
    "temperature": "UTEMP",
    "time": "UTIME",
    "length": "ULEN",
    "mass": "UMASS",
    "volume": "UVOL",
    "percent": "UPCT",
}
# Facts whose choices may be said without naming the fact. The rest must be labelled: "flat" or "no" says too little.
SPOKEN: Final[dict[tuple[str, str], tuple[str, ...]]] = {
    ("piece", "form"): ("slices", "cubes", "minced", "roast"),
    ("piece", "shape"): ("rolled",),
    ("piece", "bone"): ("no", "yes"),
    ("piece", "arrived"): ("intact", "pierced", "pumped", "formed"),
    ("piece", "start_state"): ("fridge", "frozen", "out"),
    ("guests", "setting"): ("home", "work"),
    ("guests", "vulnerable"): ("some", "facility"),
    ("guests", "latex"): ("yes",),
    ("step", "direction"): ("across_grain", "along_grain"),
}
# And those of which only a phrase of two words or more says enough: "raw" alone may be of anything, "raw egg" is not.
IN_PHRASES: Final[dict[tuple[str, str], tuple[str, ...]]] = {
    ("piece", "stuffing"): ("none", "apart", "inside"),
    ("piece", "use_by"): ("passed",),
    ("step", "egg"): ("cooked", "pasteurised", "raw"),
    ("step", "rice"): ("hot", "chilled_fast", "left_out"),
    ("step", "board"): ("clean", "raw_meat"),
    ("step", "hands"): ("washed", "gloved", "latex_gloved", "not_washed"),
    ("step", "needles"): ("cleaned", "not_cleaned"),
    ("step", "self_service"): ("yes",),
    ("step", "topped_up"): ("yes",),
    ("step", "judged_by"): ("infrared", "colour", "touch"),
    ("step", "thermometer"): ("dial",),
    ("step", "vessel"): ("other_plastic",),
    ("step", "spread"): ("one_layer", "heaped"),
}
# Single words that say enough all the same.
ENOUGH: Final = frozenset({"stuffed", "unstuffed"})
# What names a time without power, before the time itself.
POWER_OFF: Final = (
    "power off",
    "power was off",
    "power went off",
    "power out",
    "power was out",
    "power went out",
    "power cut",
    "power cut of",
    "power cut for",
    "power failure",
    "power failure of",
    "without power",
    "without power for",
    "no power",
    "no power for",
    "heat was off",
    "heat went off",
)
# A bare choice word that says something else in free speech.
_TOO_SHORT: Final = frozenset(
    {"no", "yes", "some", "out", "work", "home", "fridge", "steak", "roast", "round", "slices"}
)
_FUZZY_FROM: Final = 5
_TWO_SLIPS_FROM: Final = 9
_SWAP_FROM: Final = 6
_KEPT: Final = 4
_SLIP_OF_UNIT_FROM: Final = 4
_VERB_FROM: Final = 3  # letters
_RUN_ON: Final = frozenset({"CUT", "WITH", "PLACE", "ACTION"})


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Words by what they may be.

    Attributes
    ----------
    roles : dict
        Folded words to (terminal, value) pairs; one phrase may have several.
    labels : dict
        Words before a colon to the fact they name, as (subject, fact).
    choices : dict
        For each labelled fact its choices as folded words.
    names : tuple
        Names that a slip of the pen may be near to: (name, terminal, value).
    units : dict
        Folded unit words to the kinds they may be of.
    run_on : dict
        Names of several words written as one, "flatiron", to the words; only where one name is meant.
    heats : dict
        Words for cooking in liquid that say how hot it is, to the least that is likely, in °C.
    """

    roles: dict[Words, list[tuple[str, object]]] = field(default_factory=dict)
    labels: dict[Words, tuple[str, str]] = field(default_factory=dict)
    choices: dict[tuple[str, str], dict[Words, str]] = field(default_factory=dict)
    names: dict[str, tuple[str, object]] = field(default_factory=dict)
    units: dict[Words, tuple[str, ...]] = field(default_factory=dict)
    run_on: dict[str, Words] = field(default_factory=dict)
    heats: dict[Words, float] = field(default_factory=dict)

    def near(self, words: Words) -> tuple[str, str, object] | None:
        """Find the one name that these words are a slip away from: (name, terminal, value); None when unsure.

        One letter left out, put in, doubled or swapped with its neighbour; in long names two. Another letter in the
        place of one is taken in names of meat and places only: 'better' is no slip for butter.
        """
        from rapidfuzz.distance import OSA, Indel

        typed = " ".join(words)
        if len(typed) < _FUZZY_FROM or typed in english.NOT_SLIPS or any(w in english.NOT_SLIPS for w in words):
            return None
        most = 2 if len(typed) >= _TWO_SLIPS_FROM else 1
        hits: set[tuple[str, object]] = set()
        best, found = most + 1, ""
        for name, (terminal, value) in self.names.items():
            if name[0] != typed[0] or len(name) < _FUZZY_FROM or name.count(" ") != typed.count(" "):
                continue
            slips = OSA.distance(typed, name, score_cutoff=most)
            replaced = len(typed) == len(name) and slips == 1 and sorted(typed) != sorted(name)
            if replaced and (terminal == "WITH" or len(typed) < _SWAP_FROM):
                continue
            # Every word must be near its own twin: "sea slat" is near "sea salt", "red wind" not near "red wine".
            if any(Indel.normalized_similarity(a, b) < 0.6 for a, b in zip(words, name.split(), strict=True)):  # noqa: PLR2004
                continue
            if slips < best:
                best, found, hits = slips, name, set()
            if slips == best and slips <= most:
                hits.add((terminal, str(value)))
                found = found or name
        if len(hits) != 1:
            return None
        return found, *self.names[found]

    def near_unit(self, word: str) -> str:
        """The unit that a word is a slip away from, for asking and never for taking; empty when there is none.

        Examples
        --------
        >>> Lexicon(units={("hours",): ("UTIME",)}).near_unit("huors")
        'hours'
        """
        from rapidfuzz.distance import OSA

        if len(word) < _SLIP_OF_UNIT_FROM:
            return ""
        names = [unit[0] for unit in self.units if len(unit) == 1 and len(unit[0]) >= _SLIP_OF_UNIT_FROM]
        best = min(names, key=lambda name: OSA.distance(word, name), default="")
        return best if best and best[0] == word[0] and OSA.distance(word, best) <= 1 + (len(word) > _FUZZY_FROM) else ""


_MADE: OrderedDict[str, Lexicon] = OrderedDict()


def lexicon_of(rulebase: Rulebase) -> Lexicon:
    """Give the lexicon of a rulebase; made once for each state of it."""
    key = f"{rulebase.version}-{rulebase.digest}"
    if key not in _MADE:
        _MADE[key] = _make(rulebase)
        while len(_MADE) > _KEPT:
            _MADE.popitem(last=False)
    return _MADE[key]


def words_of(phrase: str) -> Words:
    """Fold a phrase to the words that are looked up; hyphens part words.

    Examples
    --------
    >>> words_of("Tri-Tip"), words_of("butcher's steak")
    (('tri', 'tip'), ('butchers', 'steak'))
    """
    plain = "".join(c if c.isalnum() or c in "'’ʼ" else " " for c in phrase.replace("_", " "))
    return tuple(fold(word) for word in plain.split())


def _make(rulebase: Rulebase) -> Lexicon:
    made = Lexicon()
    _small_words(made)
    _units(made)
    _names(made, rulebase)
    _actions(made, rulebase)
    _choices(made, rulebase)
    _labels(made, rulebase)
    for phrase, minutes in rulebase.trade_words["time"].items():
        _add(made, words_of(phrase), "SPAN", minutes)
    for phrase, minutes in rulebase.trade_words["meal"].items():
        _add(made, words_of(phrase), "MEAL", minutes)
    for phrase, heat in rulebase.trade_words["heat of word"].items():
        made.heats.update(dict.fromkeys(_forms(phrase), heat))
    _run_on(made)
    return made


def _run_on(made: Lexicon) -> None:
    taken = {words[0] for words in made.roles if len(words) == 1}
    for words, roles in made.roles.items():
        joined = "".join(words)
        if len(words) > 1 and joined not in taken and any(kind in _RUN_ON for kind, _ in roles):
            made.run_on[joined] = () if made.run_on.get(joined, words) != words else words


def _add(made: Lexicon, words: Words, terminal: str, value: object) -> None:
    entries = made.roles.setdefault(words, [])
    if words and (terminal, value) not in entries:
        entries.append((terminal, value))


def _small_words(made: Lexicon) -> None:
    for phrase, role in english.ROLES.items():
        _add(made, words_of(phrase), role, phrase)


def _units(made: Lexicon) -> None:
    for kind, terminal in UNIT_KINDS.items():
        for word in UNITS[kind]:
            if kind == "percent" and ("/" in word or " per k" in word or " a k" in word or word == "pc"):
                continue
            # Kelvin is no kitchen word; "c" is a cup only where it cannot be Celsius, which is never sure.
            if (kind, word) in {("temperature", "k"), ("volume", "c"), ("length", "m"), ("time", "w")}:
                continue
            key = (word,) if word in ('"', "''", "'", "%") else words_of(word)
            made.units[key] = (*made.units.get(key, ()), terminal)


def _names(made: Lexicon, rulebase: Rulebase) -> None:
    _cut_names(made, rulebase)
    things: dict[str, Material | Tenderiser] = {**rulebase.materials, **rulebase.tenderisers}
    for entry_id, thing in things.items():
        for name in (thing.name, entry_id, *thing.also):
            _name(made, name, "WITH", entry_id)
    for entry_id, medium in rulebase.media.items():
        for name in (medium.name, entry_id, *medium.also):
            if name != "bath":  # the word alone does not say that the water is stirred
                _name(made, name, "PLACE", entry_id)
    animal = rulebase.vocabulary["piece"]["animal"]
    for choice in animal.choices:
        for name in (choice, animal.says.get(choice, choice), *animal.also.get(choice, ())):
            _name(made, name, "ANIMAL", choice)
    for word, form in {**{form: form for form in FORMS}, **FORM_WORDS, "puree": "fresh"}.items():
        _add(made, words_of(word), "FORM", form)


def _cut_names(made: Lexicon, rulebase: Rulebase) -> None:
    for cut_id, cut in rulebase.cuts.items():
        if cut.animal == "any":
            continue
        animal = cut.animal.replace("_", " ")
        for name in (cut.name, cut_id, *cut.also):
            _name(made, name, "CUT", " ".join(words_of(name)))
            _name(made, f"{animal} {name}", "CUT", " ".join(words_of(name)), animal=cut.animal)
    for doubtful in rulebase.ambiguous:
        _name(made, doubtful.word, "CUT", " ".join(words_of(doubtful.word)))


def _name(made: Lexicon, name: str, terminal: str, value: str, animal: str = "") -> None:
    words = words_of(name)
    if not words or (len(words) <= 2 and " ".join(words) in english.NOT_NAMES):  # noqa: PLR2004
        return
    carried: object = f"{animal}:{value}" if animal else value
    if words in made.roles and animal and any(t == terminal for t, _ in made.roles[words]):
        return
    _add(made, words, terminal, carried)
    made.names.setdefault(" ".join(words), (terminal, carried))


def _actions(made: Lexicon, rulebase: Rulebase) -> None:
    entry = rulebase.vocabulary["step"]["action"]
    for action in entry.choices:
        for phrase in (action, entry.says.get(action, action), *entry.also.get(action, ())):
            for words in _forms(phrase):
                _add(made, words, "ACTION", action)


def _forms(phrase: str) -> set[Words]:
    """Give a verb with its other forms: sear, sears, seared, searing."""
    first, *rest = words_of(phrase)
    if len(first) < _VERB_FROM:
        return {(first, *rest)}
    ends = {first, first + "s"}
    stem = first.removesuffix("e")
    ends |= {stem + "ed", stem + "ing"}
    if first[-1] not in "aeiouwy" and first[-2] in "aeiou" and first[-3] not in "aeiou":
        ends |= {first + first[-1] + "ed", first + first[-1] + "ing"}
    if first.endswith("y"):
        ends |= {first[:-1] + "ied", first[:-1] + "ies"}
    ends |= {fold(other) for other in english.IRREGULAR.get(phrase, english.IRREGULAR.get(first, ()))}
    return {(end, *rest) for end in ends} | {(words_of(o)[0],) for o in english.IRREGULAR.get(phrase, ())}


def _choices(made: Lexicon, rulebase: Rulebase) -> None:
    for (subject, fact), spoken in SPOKEN.items():
        entry = rulebase.vocabulary[subject][fact]
        for choice in spoken:
            for phrase in (choice, entry.says.get(choice, choice), *entry.also.get(choice, ())):
                if phrase not in _TOO_SHORT:
                    _add(made, words_of(phrase), "CHOICE", (subject, fact, choice))

    for (subject, fact), spoken in IN_PHRASES.items():
        entry = rulebase.vocabulary[subject][fact]
        for choice in spoken:
            for phrase in (entry.says.get(choice, choice), *entry.also.get(choice, ())):
                words = words_of(phrase)
                if len(words) > 1 or phrase in ENOUGH:
                    _add(made, words, "CHOICE", (subject, fact, choice))


def _labels(made: Lexicon, rulebase: Rulebase) -> None:
    for subject in ("piece", "guests", "step"):
        for fact, entry in rulebase.vocabulary[subject].items():
            if entry.computed or entry.concluded or fact == "action":
                continue
            made.labels[words_of(fact)] = (subject, fact)
            made.choices[subject, fact] = {
                words_of(phrase): choice
                for choice in entry.choices
                for phrase in (choice, entry.says.get(choice, choice), *entry.also.get(choice, ()))
            }
    for place, medium in rulebase.media.items():
        for name in (medium.name, *medium.also):
            made.choices["step", "place"].setdefault(words_of(name), place)
    for phrase in POWER_OFF:
        _add(made, words_of(phrase), "LABEL", ("step", "power_off"))
    made.labels["service", "time"] = ("goal", "serve")
    made.labels["food", "code"] = ("goal", "code")
    made.choices["goal", "code"] = {
        words_of(name): code.id for code in rulebase.codes.values() for name in (code.id, code.name, *code.also)
    }
    for words in (("do",), ("at",), ("for",)):
        made.labels.pop(words, None)
