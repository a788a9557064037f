"""A plan file to a case: every value checked against the vocabulary, every error with its line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from advisor.case import names
from advisor.case.contradictions import contradictions
from advisor.case.model import Case, Given, Ingredient, PlanStep, System, by_spoon
from advisor.case.worked import unwrapped
from advisor.errors import AdvisorError, InputError
from advisor.knowledge.checks import folded
from advisor.knowledge.house import chosen_code
from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain
from advisor.units import read_moment, read_quantity

if TYPE_CHECKING:
    from advisor.knowledge.records import VocabularyFact
    from advisor.knowledge.rulebase import Rulebase

TOP_KEYS = ("title", "units", "code", "serve", "as_of", "piece", "guests", "steps", "open")
# What a step is written with: short kitchen words for the facts of the vocabulary.
STEP_KEYS: Mapping[str, str] = {"do": "action", "at": "temperature", "for": "minutes"}
# What a quantity is called in a message, where the vocabulary's word is not the cook's.
SPOKEN: Mapping[str, str] = {"minutes": "time", "temperature": "temperature"}
INGREDIENT_KEYS = ("what", "form", "amount", "sodium")
# All of it salt: no label tells more, but for its rounding.
MOST_SODIUM_PCT = 40.0
NOT_KNOWN = frozenset({"not known", "don't know", "dont know", "unknown", "?", "dk"})
FORMS = (
    "fresh",
    "frozen",
    "freeze_dried",
    "dried_powder",
    "juice",
    "dried",
    "cooked",
    "tinned",
    "pasteurised",
)
FORM_WORDS: Mapping[str, str] = {
    "raw": "fresh",
    "canned": "tinned",
    "tin": "tinned",
    "powder": "dried_powder",
    "boiled": "cooked",
    "bottled": "pasteurised",
    "blended": "fresh",
    "grated": "fresh",
    "pureed": "fresh",
}
MOST_STEPS = 40
MOST_SHOWN = 20


class PlanErrors(AdvisorError):  # noqa: N818 - it is several
    """Everything that is wrong with one input, in the order of its lines."""

    def __init__(self, errors: list[InputError]) -> None:
        super().__init__(errors)
        self.errors = errors

    def __str__(self) -> str:
        """Give one line for each error, as many as a person reads."""
        shown = [str(error) for error in self.errors[:MOST_SHOWN]]
        more = len(self.errors) - len(shown)
        return "\n".join([*shown, f"And {more} more."] if more else shown)


class _Reader:
    def __init__(self, text: str, name: str, rulebase: Rulebase, now: datetime) -> None:
        self.text, self.name, self.rulebase, self.now = text, name, rulebase, now
        self.errors: list[InputError] = []
        self.systems: list[System] = []

    def where(self, path: tuple[str | int, ...]) -> str:
        line = line_of(self.text, path)
        return f"{self.name}, line {line}" if line else self.name

    def wrong(self, path: tuple[str | int, ...], what: str, hint: str) -> None:
        self.errors.append(InputError(what, hint, self.where(path)))

    def mapping(self, path: tuple[str | int, ...], node: Any) -> Mapping[str, Any]:
        if isinstance(node, Mapping):
            return {str(key): value for key, value in node.items()}
        shown = ".".join(str(part) for part in path) or "The file"
        self.wrong(
            path,
            f"{shown} is not a list of 'name: value' lines.",
            "Write one fact on each line, such as 'animal: beef'.",
        )
        return {}

    def unknown_key(self, path: tuple[str | int, ...], key: str, known: list[str]) -> None:
        near = names.nearest(key, known, most=1)
        hint = f"Did you mean '{near[0]}'?" if near else f"Use one of: {', '.join(known)}."
        self.wrong((*path, key), f"'{key}' is not a word of a plan here.", hint)

    def value(self, path: tuple[str | int, ...], name: str, raw: Any, entry: VocabularyFact) -> Given | None:
        """Read one value; None, with the error noted, when it cannot be used."""
        if isinstance(raw, bool):
            raw = "yes" if raw else "no"
        if isinstance(raw, str) and folded(raw) in NOT_KNOWN:
            return Given(None, "not known", as_written=raw)
        if isinstance(raw, Mapping | list) or raw is None:
            self.wrong(path, f"'{name}' has no single value.", f"Write {entry.means} on this line, or 'not known'.")
            return None
        try:
            if entry.quantity is not None:
                return self.quantity(path, name, raw, entry)
            return self.choice(path, name, str(raw), entry)
        except InputError as error:
            self.errors.append(error)
            return None

    def quantity(self, path: tuple[str | int, ...], name: str, raw: Any, entry: VocabularyFact) -> Given:
        if entry.quantity == "count" and not isinstance(raw, str):
            raw = str(raw)
        reading = read_quantity(
            raw,
            entry.quantity or "count",
            words=self.rulebase.trade_words.get(entry.quantity or "", {}),
            low=entry.low,
            high=entry.high,
            name=name.replace("_", " "),
            where=self.where(path),
            whole=not entry.decimals,
        )
        if entry.quantity in ("length", "mass", "temperature"):
            self.systems.append(reading.system)
        return Given(reading.value, "written", reading.as_written, reading.note)

    def choice(self, path: tuple[str | int, ...], name: str, raw: str, entry: VocabularyFact) -> Given:
        if entry.words:
            return Given(raw.strip(), "written", raw)
        key = folded(raw)
        for choice in entry.choices:
            spoken = (choice, entry.says.get(choice, choice), *entry.also.get(choice, ()))
            said = {folded(word) for word in spoken}
            if key in said:
                return Given(choice, "written", raw)
        if name == "place":
            found, near = names.find_medium(raw, self.rulebase)
            if found is not None:
                return Given(found, "written", raw)
            hint = f"Did you mean {' or '.join(near)}?" if near else "Write fridge, counter, ice bath, bath or oven."
            raise InputError(f"'{raw}' is not a place we know.", hint, self.where(path))
        shown = ", ".join(choice.replace("_", " ") for choice in entry.choices)
        near = names.nearest(raw, [c.replace("_", " ") for c in entry.choices], most=1)
        hint = f"Did you mean '{near[0]}'? " if near else ""
        raise InputError(
            f"'{raw}' does not answer '{path[-1]}'.",
            f"{hint}Write one of: {shown}.",
            self.where(path),
        )

    def subject(self, subject: str, node: Any) -> dict[str, Given]:
        given: dict[str, Given] = {}
        vocabulary = self.rulebase.vocabulary[subject]
        writable = {k: v for k, v in vocabulary.items() if not (v.computed or v.concluded)}
        for key, raw in self.mapping((subject,), node).items():
            if key not in writable:
                self.unknown_key((subject,), key, sorted(writable))
                continue
            value = self.value((subject, key), key, raw, writable[key])
            if value is not None:
                given[key] = value
        return given

    def step(self, index: int, node: Any) -> PlanStep | None:
        path: tuple[str | int, ...] = ("steps", index)
        vocabulary = self.rulebase.vocabulary["step"]
        writable = {k: v for k, v in vocabulary.items() if not v.computed}
        keys = {
            **dict(STEP_KEYS.items()),
            **{k: k for k in writable if k not in STEP_KEYS.values()},
        }
        given: dict[str, Given] = {}
        ingredients: tuple[Ingredient, ...] = ()
        data = self.mapping(path, node)
        for key, raw in data.items():
            if key == "with":
                ingredients = self.ingredients((*path, "with"), raw)
            elif key not in keys:
                self.unknown_key(path, key, [*keys, "with"])
            else:
                value = self.value((*path, key), SPOKEN.get(keys[key], keys[key]), raw, writable[keys[key]])
                if value is not None:
                    given[keys[key]] = value
        action = given.pop("action", None)
        if action is None or not isinstance(action.value, str):
            if "do" not in data:
                self.wrong(
                    path,
                    "This step does not say what is done.",
                    "Begin it with 'do:', for example 'do: marinate'.",
                )
            return None
        return PlanStep(action.value, given, ingredients, line_of(self.text, path))

    def ingredients(self, path: tuple[str | int, ...], node: Any) -> tuple[Ingredient, ...]:
        items = node if isinstance(node, list) else [node]
        found = [self.ingredient((*path, i) if isinstance(node, list) else path, item) for i, item in enumerate(items)]
        return tuple(item for item in found if item is not None)

    def ingredient(self, path: tuple[str | int, ...], node: Any) -> Ingredient | None:
        data = {"what": node} if isinstance(node, str) else self.mapping(path, node)
        for key in data:
            if key not in INGREDIENT_KEYS:
                self.unknown_key(path, key, list(INGREDIENT_KEYS))
        word = str(data.get("what", "")).strip()
        if not word:
            self.wrong(path, "An ingredient without a name.", "Write '{what: pineapple, form: fresh, amount: 60 g}'.")
            return None
        what, near = names.find_ingredient(word, self.rulebase)
        if what is None:
            hint = f"Did you mean {' or '.join(near)}?" if near else "Name it more plainly, such as 'soy sauce'."
            self.wrong(
                path,
                f"'{word}' is nothing we know.",
                hint + " For a dry seasoning without salt write 'spice'.",
            )
            return None
        form = folded(str(data.get("form", ""))).replace(" ", "_")
        form = FORM_WORDS.get(form, form)
        if form and form not in FORMS and form not in {folded(w).replace(" ", "_") for w in NOT_KNOWN}:
            self.wrong(
                (*path, "form"),
                f"'{data['form']}' is not a form of {word}.",
                f"Write one of: {', '.join(FORMS)}, or 'not known'.",
            )
            return None
        form = form if form in FORMS else ("unknown" if what in self.rulebase.tenderisers else "")
        grams, share = self.amount((*path, "amount"), what, data["amount"]) if "amount" in data else (None, None)
        spooned = self.spooned(what, word, data.get("amount"), grams)
        sodium = self.sodium((*path, "sodium"), data["sodium"]) if "sodium" in data else None
        return Ingredient(what, word, form, grams, share, spooned, sodium)

    def sodium(self, path: tuple[str | int, ...], raw: Any) -> float | None:
        """Sodium on a label, percent of the thing's own weight; none when it is not known."""
        if isinstance(raw, str) and folded(raw) in NOT_KNOWN:
            return None
        try:
            return read_quantity(
                str(raw), "percent", low=0, high=MOST_SODIUM_PCT, name="sodium", where=self.where(path)
            ).value
        except InputError as error:
            self.errors.append(error)
            return None

    def spooned(self, what: str, word: str, raw: Any, grams: float | None) -> str:
        """Note that an amount is a volume, of a thing that has a weight for its spoon."""
        material = self.rulebase.materials.get(what)
        if material is None or material.density_g_per_tsp is None or not isinstance(raw, str) or grams is None:
            return ""
        try:
            read_quantity(raw, "volume")
        except InputError:
            return ""
        return by_spoon(word, grams)

    def amount(self, path: tuple[str | int, ...], what: str, raw: Any) -> tuple[float | None, float | None]:
        """Amount in grams, or as percent of the meat's weight; neither when it was not said."""
        material = self.rulebase.materials.get(what)
        text = str(raw)
        if isinstance(raw, str) and folded(raw) in NOT_KNOWN:
            return None, None
        try:
            if "%" in text or "percent" in text:
                return None, read_quantity(
                    text, "percent", low=0, high=100, name="amount", where=self.where(path)
                ).value
            try:
                return read_quantity(
                    text, "mass", low=0, high=100000, name="amount", where=self.where(path)
                ).value, None
            except InputError as error:
                try:
                    millilitres = read_quantity(
                        text, "volume", low=0, high=100000, name="amount", where=self.where(path)
                    ).value
                except InputError:
                    raise error from None
        except InputError as error:
            self.errors.append(error)
            return None, None
        per_spoon = material.density_g_per_tsp if material is not None else None
        if per_spoon is None:
            # Sauces, pulp and juice weigh about as much as water.
            return millilitres, None
        return millilitres / read_quantity("1 tsp", "volume").value * per_spoon, None


def read_plan(text: str, rulebase: Rulebase, now: datetime, name: str = "the plan") -> Case:
    """Read a plan file (YAML), or the plan of a worked scenario, into a case.

    Parameters
    ----------
    text : str
        The file's text.
    rulebase : Rulebase
        Vocabulary, names and bounds.
    now : datetime
        Local time, for "Saturday 19:00".
    name : str
        What to call the file in messages.

    Raises
    ------
    PlanErrors
        With every unknown word, missing unit, impossible value and contradiction, each with its line.
    """
    text = unwrapped(text)
    reader = _Reader(text, name, rulebase, now)
    try:
        data = read_plain(text)
    except YamlProblemError as problem:
        where = f"{name}, line {problem.line}" if problem.line else name
        raise PlanErrors([InputError(problem.what, problem.hint, where)]) from problem
    if data is None:
        raise PlanErrors(
            [
                InputError(
                    "The plan is empty.",
                    "Write at least 'piece:' and 'steps:'; 'advisor demo --file' shows one.",
                    name,
                )
            ]
        )
    top = reader.mapping((), data)
    for key in top:
        if key not in TOP_KEYS:
            reader.unknown_key((), key, list(TOP_KEYS))
    case = Case(
        piece=reader.subject("piece", top["piece"]) if "piece" in top else {},
        guests=reader.subject("guests", top["guests"]) if "guests" in top else {},
        steps=_steps(reader, top),
        serve=_serve(reader, top),
        since=_since(reader, top),
        title=str(top.get("title") or ""),
        code=_code(reader, top),
        unsettled=_open(reader, top),
    )
    case = _settle_cut(reader, case)
    case = replace(case, system=_system(reader, top))
    reader.errors += contradictions(case, rulebase, reader.where)
    if reader.errors:
        raise PlanErrors(reader.errors)
    return case


def _steps(reader: _Reader, top: Mapping[str, Any]) -> tuple[PlanStep, ...]:
    nodes = top.get("steps")
    if nodes is None:
        if top and not reader.errors:
            reader.wrong(
                ("steps",),
                "The plan has no steps.",
                "Write 'steps:' and below it one '- do: ...' for each step.",
            )
        return ()
    if not isinstance(nodes, list):
        reader.wrong(("steps",), "'steps' is not a list.", "Begin each step with '- do: ...'.")
        return ()
    if len(nodes) > MOST_STEPS:
        reader.wrong(
            ("steps",),
            f"The plan has {len(nodes)} steps.",
            f"{MOST_STEPS} are the most; check one dish at a time.",
        )
        return ()
    steps = [reader.step(index, node) for index, node in enumerate(nodes)]
    return tuple(step for step in steps if step is not None)


def _serve(reader: _Reader, top: Mapping[str, Any]) -> datetime | None:
    raw = top.get("serve")
    if raw is None or (isinstance(raw, str) and folded(raw) in NOT_KNOWN):
        return None
    try:
        return read_moment(str(raw), reader.now, where=reader.where(("serve",)))
    except InputError as error:
        reader.errors.append(error)
        return None


def _since(reader: _Reader, top: Mapping[str, Any]) -> datetime | None:
    """When the days in the fridge were told; a moment that may be past."""
    raw = top.get("as_of")
    if raw is None or (isinstance(raw, str) and folded(raw) in NOT_KNOWN):
        return None
    hint = "Write it like 2026-11-28 19:00: when the days in the fridge were counted."
    try:
        told = datetime.fromisoformat(str(raw).strip())
    except ValueError:
        reader.wrong(("as_of",), f"'{str(raw)[:40]}' is no day and time.", hint)
        return None
    told = told.replace(tzinfo=told.tzinfo or reader.now.tzinfo) if reader.now.tzinfo else told.replace(tzinfo=None)
    if told > reader.now:
        reader.wrong(("as_of",), f"'{str(raw)[:40]}' is still to come.", hint)
        return None
    return told


def _open(reader: _Reader, top: Mapping[str, Any]) -> tuple[str, ...]:
    """What a plan made from words leaves open; it is asked for until the line is taken out."""
    raw = top.get("open")
    if raw is None:
        return ()
    if not isinstance(raw, list):
        reader.wrong(("open",), "'open' is not a list.", "Write one '- ...' for each thing that is still open.")
        return ()
    return tuple(str(item) for item in raw)


def _settle_cut(reader: _Reader, case: Case) -> Case:
    """Turn the cook's word for the cut into its id; ask back rather than guess."""
    given = case.piece.get("cut")
    if given is None or not isinstance(given.value, str):
        return case
    match = names.find_cut(given.value, case.word("piece", "animal"), reader.rulebase)
    if match.found is not None:
        return case.with_value("piece", "cut", Given(match.found, given.origin, given.as_written))
    cuts = reader.rulebase.cuts
    if match.could_be:
        shown = " or ".join(f"'{cuts[c].name}'" for c in match.could_be)
        reader.wrong(("piece", "cut"), f"'{given.value}' can mean more than one cut. {match.ask}", f"Write {shown}.")
    else:
        near = " or ".join(f"'{cuts[c].name}'" for c in match.near)
        hint = f"The nearest we know: {near}." if near else "We know none like it."
        reader.wrong(
            ("piece", "cut"),
            f"'{given.value}' is a cut we do not know.",
            f"{hint} Write one of these, or 'cut: not known'.",
        )
    return case


def _code(reader: _Reader, top: Mapping[str, Any]) -> str:
    word = str(top.get("code") or "")
    if not word:
        return ""
    try:
        return chosen_code(word, reader.rulebase.codes, reader.where(("code",)))
    except InputError as error:
        reader.errors.append(error)
        return ""


def _system(reader: _Reader, top: Mapping[str, Any]) -> System:
    units = folded(str(top.get("units", "")))
    if units in ("us", "metric"):
        return "us" if units == "us" else "metric"
    if units:
        reader.wrong(("units",), f"'{units}' is no system of units.", "Write 'units: metric' or 'units: us'.")
    return "us" if reader.systems.count("us") > reader.systems.count("metric") else "metric"
