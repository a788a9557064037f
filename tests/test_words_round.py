"""A case said in words reads back as the same case; and no text whatever breaks the reader or passes a number over."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import datetime, timedelta

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from advisor.advice.report import examine
from advisor.case.contradictions import HEATERS, contradictions
from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.case.read_plan import FORMS, read_plan
from advisor.case.words.draft import COLD
from advisor.case.words.reader import read_words
from advisor.case.words.say import say_case
from advisor.case.words.tokens import MOST_CHARACTERS
from advisor.case.write_plan import write_plan
from advisor.errors import InputError
from advisor.knowledge import load_rulebase

BOOK = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a kitchen's clock
FEW = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
MANY = settings(max_examples=300, deadline=None)


def quantity(entry):
    low, high = entry.low if entry.low is not None else 0, entry.high if entry.high is not None else 1000
    if entry.quantity == "count":
        return st.integers(int(low), int(high)).map(float)
    return st.integers(int(low * 10) + 1, int(high * 10) - 1).map(lambda n: n / 10)


def facts(subject, names):
    entries = {n: BOOK.vocabulary[subject][n] for n in names}
    values = {n: st.sampled_from(e.choices) if e.choices else quantity(e) for n, e in entries.items()}
    return st.fixed_dictionaries({}, optional={n: v.map(Given) for n, v in values.items()})


def writable(subject, leave_out):
    return [
        n
        for n, e in BOOK.vocabulary[subject].items()
        if not (e.computed or e.concluded or e.words) and n not in leave_out
    ]


THINGS = sorted({*BOOK.materials, *BOOK.tenderisers})


@st.composite
def ingredients(draw):
    what = draw(st.sampled_from(THINGS))
    softens = what in BOOK.tenderisers
    form = draw(st.sampled_from([*FORMS, "unknown"])) if softens else ""
    amount = draw(st.sampled_from(["grams", "share", ""]))
    grams = draw(st.integers(1, 5000)) / 10 if amount == "grams" else None
    share = draw(st.integers(1, 200)) / 10 if amount == "share" else None
    return Ingredient(what, what, form, grams, share)


@st.composite
def cases(draw):
    cut = draw(st.sampled_from(sorted(c for c in BOOK.cuts if c != "unknown_cut")))
    piece = draw(facts("piece", writable("piece", {"animal"})))
    piece["cut"] = Given(cut)
    piece["animal"] = Given(BOOK.cuts[cut].animal)
    guests = draw(facts("guests", writable("guests", ())))
    steps = []
    names = writable("step", {"action"})
    for action in draw(st.lists(st.sampled_from(BOOK.vocabulary["step"]["action"].choices), max_size=7)):
        if action == "serve":
            continue
        things = (
            draw(st.lists(ingredients(), max_size=3, unique_by=lambda i: i.what))
            if action in ("marinate", "brine")
            else []
        )
        steps.append(PlanStep(action, draw(facts("step", names)), tuple(things)))
    if draw(st.booleans()):
        steps.append(PlanStep("serve"))
    serve = draw(
        st.none()
        | st.datetimes(NOW + timedelta(days=1), NOW + timedelta(days=180)).map(
            lambda m: m.replace(second=0, microsecond=0)
        )
    )
    code = draw(st.sampled_from(["", *sorted(BOOK.codes)]))
    case = Case(piece, guests, tuple(steps), serve=serve, code=code, system=draw(st.sampled_from(["us", "metric"])))
    assume(not contradictions(case, BOOK, lambda _: ""))
    return case


def plain(case):
    """What must be the same: values, things, order; a tenth of the finest figure apart at most."""

    def values(given):
        # A form that nobody said is written down as not known, lest the cut's name say it; that is the same.
        return {
            n: round(g.value, 3) if isinstance(g.value, float) else g.value
            for n, g in given.items()
            if n != "softener" and (n, g.value) != ("form", None)
        }

    def things(step):
        return [
            (
                i.what,
                i.form,
                None if i.grams is None else round(i.grams, 3),
                None if i.share_pct is None else round(i.share_pct, 4),
            )
            for i in step.ingredients
        ]

    # Raw meat that rests in the cold is kept there: the reader says so, and it is the same.
    raw = next((n for n, s in enumerate(case.steps) if s.action in HEATERS), len(case.steps))
    kept = {n for n, s in enumerate(case.steps[:raw]) if s.action == "rest" and s.word("place") in COLD}
    steps = [("hold" if n in kept else s.action, values(s.given), things(s)) for n, s in enumerate(case.steps)]
    return values(case.piece), values(case.guests), steps, case.serve, case.code


@FEW
@given(cases())
def test_a_case_said_in_words_reads_back(case):
    words = say_case(case, BOOK)
    again = read_words(words, BOOK, NOW)
    assert plain(again) == plain(case), words
    assert not again.not_understood, words
    assert not again.unsettled, words


@FEW
@given(cases())
def test_words_become_a_plan_file_of_the_same_case(case):
    assume(case.steps)
    again = read_words(say_case(case, BOOK), BOOK, NOW)
    assert plain(read_plan(write_plan(again, BOOK), BOOK, NOW)) == plain(again)


KITCHEN = [
    "flank", "steak", "2 lb", "57", "1/2", "overnight", "bath", "fridge", "don't", "no", "or", "to", "-", ",", ".", "?",
    "salt", "a", "half", "an", "inch", "and", "130F", "until", "core", "serve", "Saturday", "at", "7", "7pm", "12:30",
    "per", "pound", "papaya", "thick", "sear", "after", "before", "if", "says", "about", "between", "(", ")", "%", "x",
    "thickness:", "place:", "\n", "½", "$", "°", "C", "g", "kg", "teaspoon", "hundred", "thirty", "two", "each side",
]  # fmt: skip


def check_any(text):
    """Read anything; only a plain refusal may stop it, and what is left over with a number is asked about."""
    with suppress(InputError):
        case = read_words(text, BOOK, NOW)
        if any(c.isnumeric() for part in case.not_understood for c in part):
            assert case.open_points, text
        return case
    return None


def told(case):
    """Every word of the cook that came back: with a value, as lost, or in a question."""
    given = [*case.piece.values(), *case.guests.values(), *(g for s in case.steps for g in s.given.values())]
    return " ".join((*(g.as_written for g in given), *case.not_understood, *case.unsettled, *case.remarks))


FIGURES = [
    f"{n}{unit}"
    for n, unit in zip(
        range(3, 400, 7), (" g", " C", " F", " min", " h", " mm", " in", " lb", "", "%") * 6, strict=False
    )
]
PLAIN = [
    w
    for w in KITCHEN
    if w not in {"papaya", "salt", "serve", "Saturday", "at", "per", "thickness:", "place:", "teaspoon", "x"}
]


@MANY
@given(st.data())
def test_every_number_comes_back(data):
    """Numbers that all differ, among kitchen words: each is with its value, or is listed."""
    plain = [w for w in PLAIN if not any(c.isnumeric() for c in w)]
    words = data.draw(st.lists(st.sampled_from(plain), max_size=15))
    figures = data.draw(st.lists(st.sampled_from(FIGURES), min_size=1, max_size=6, unique=True))
    text = " ".join(data.draw(st.permutations([*words, *figures])))
    case = read_words(text, BOOK, NOW)
    back = re.findall(r"\d+", told(case))
    for figure in figures:
        number = re.findall(r"\d+", figure)[0]
        assert number in back or _said_twice(case, figure), (text, figure)


def _said_twice(case, figure):
    """Whether a figure is within a hair of a value that was said in other words, as "2 lb (907 g)"."""
    from advisor.units import read_quantity

    kinds = {
        "g": "mass",
        "lb": "mass",
        "C": "temperature",
        "F": "temperature",
        "mm": "length",
        "in": "length",
        "min": "time",
        "h": "time",
    }
    unit = figure.split()[-1] if " " in figure else ""
    if unit not in kinds:
        return False
    value = read_quantity(figure, kinds[unit]).value
    given = [*case.piece.values(), *(g for s in case.steps for g in s.given.values())]
    return any(isinstance(g.value, float) and abs(g.value - value) <= max(0.6, 0.03 * abs(value)) for g in given)


@MANY
@given(st.text(max_size=300))
def test_no_text_breaks_it(text):
    check_any(text)


@MANY
@given(st.lists(st.sampled_from(KITCHEN), min_size=1, max_size=25).map(" ".join))
def test_no_jumble_of_kitchen_words_breaks_it(text):
    check_any(text)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from(KITCHEN), min_size=1, max_size=12).map(" ".join))
def test_no_go_while_something_is_open(text):
    case = check_any("flank steak, 1 kg, 2 cm thick, intact, pan 4 min a side, " + text)
    assert case is not None
    report = examine(case, BOOK, engine="reference")
    if case.open_points:
        assert report.verdict in ("ask", "stop"), text
    if any(c.isnumeric() for part in case.not_understood for c in part):
        assert report.verdict != "go", text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing to read"),
        (" \n\t ", "nothing to read"),
        ("\x00\x1b", "nothing to read"),
        ("flank " * MOST_CHARACTERS, "at most"),
        ("x" * 10_000_000, "at most"),
    ],
)
def test_what_cannot_be_read_is_refused(text, says):
    with pytest.raises(InputError, match=says):
        read_words(text, BOOK, NOW)


def test_another_language_is_listed_and_asked_about():
    case = read_words("Мясо 2 кг, мариновать 12 часов в холодильнике. 牛肉を57度で2時間", BOOK, NOW)
    assert case.not_understood
    assert case.open_points


def test_what_a_laboratory_measured_is_said_by_its_name():
    words = "1 kg flank steak\nacidity: 5.5\nwater activity: 0.94\nheated then packed: no\npan 4 min, serve"
    case = read_words(words, BOOK, NOW)
    for again in (case, read_words(say_case(case, BOOK), BOOK, NOW)):
        assert (again.number("piece", "acidity"), again.number("piece", "water_activity")) == (5.5, 0.94)
        assert again.word("piece", "heated_then_packed") == "no"
