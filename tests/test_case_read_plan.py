"""Plan files: what is read from them, and that whatever is wrong is answered with its place and a hint."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from datetime import datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.case.model import Case
from advisor.case.read_plan import PlanErrors, read_plan
from advisor.course import course_facts
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a cook's clock is local
FUZZ = settings(
    max_examples=150, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
)
PLAN = """\
title: Flap steak
serve: Sat 19:00
piece:
  animal: beef
  cut: sirloin flap
  weight: 2 lb 8 oz
  thickness: 1 1/4 in
  form: steak
  arrived: intact
  start_state: fridge
  salt_target: 1.2 %
guests:
  setting: work
  vulnerable: no
  advisory: not known
steps:
  - {do: marinate, place: fridge, at: 4 C, for: 1 h 30 min, with: [{what: pineapple, form: raw, amount: 60 g}]}
  - {do: wipe}
  - {do: bag}
  - {do: bath, place: bath, at: 135 F, for: 5 h}
  - {do: dry}
  - {do: pan, for: 1 min, sides: 2}
  - {do: slice, direction: across grain, slice_thickness: 5 mm}
"""


def read(text):
    return read_plan(text, RULEBASE, NOW, name="plan.yaml")


def errors_of(text):
    with pytest.raises(PlanErrors) as caught:
        read(text)
    return caught.value.errors


def lines_of(text):
    return [(error.where, error.what) for error in errors_of(text)]


# --- what is read


def test_a_plan_is_read_into_fixed_units():
    case = read(PLAN)
    assert case.title == "Flap steak"
    assert case.serve == datetime(2026, 11, 28, 19)  # noqa: DTZ001
    assert case.system == "us"
    assert case.word("piece", "cut") == "sirloin_flap"
    assert case.number("piece", "weight") == pytest.approx(40 * 28.349523125)
    assert case.number("piece", "thickness") == pytest.approx(31.75)
    assert case.number("piece", "salt_target") == pytest.approx(1.2)
    assert [s.action for s in case.steps] == ["marinate", "wipe", "bag", "bath", "dry", "pan", "slice"]
    marinade, bath = case.steps[0], case.steps[3]
    assert marinade.number("minutes") == 90
    assert marinade.word("place") == "fridge_still"
    item = marinade.ingredients[0]
    assert (item.what, item.form, item.grams) == ("pineapple", "fresh", 60)
    assert bath.number("temperature") == pytest.approx((135 - 32) / 1.8)
    assert bath.line == 20


def test_what_is_not_known_is_kept_apart_from_what_was_not_asked():
    case = read(PLAN)
    assert case.given("guests", "advisory").origin == "not known"
    assert case.given("guests", "advisory").value is None
    assert case.given("guests", "approval") is None


@pytest.mark.parametrize(
    ("written", "minutes"),
    [("90 min", 90), ("1.5 h", 90), ("1 h 30 min", 90), ("2 days", 2880), ("overnight", 720), ("45 s", 0.75)],
)
def test_times(written, minutes):
    case = read(f"steps:\n  - {{do: hold, for: {written}}}\n")
    assert case.steps[0].number("minutes") == pytest.approx(minutes)


@pytest.mark.parametrize(("written", "celsius"), [("57 C", 57), ("135 °F", 57.222), ("room temperature", 21)])
def test_temperatures(written, celsius):
    case = read(f"steps:\n  - {{do: hold, at: {written}, for: 1 h}}\n")
    assert case.steps[0].number("temperature") == pytest.approx(celsius, abs=0.001)


@pytest.mark.parametrize(
    ("written", "grams", "share"),
    [("60 g", 60, None), ("2 oz", 56.699, None), ("1.5 %", None, 1.5), ("not known", None, None), ("1 tsp", 6, None)],
)
def test_amounts(written, grams, share):
    case = read(f"steps:\n  - {{do: salt, with: {{what: salt, amount: {written}}}}}\n")
    item = case.steps[0].ingredients[0]
    assert item.grams == (pytest.approx(grams, abs=0.01) if grams is not None else None)
    assert item.share_pct == share


@pytest.mark.parametrize(
    ("written", "value"), [("acidity: 5.5", 5.5), ("acidity: '5,5'", 5.5), ("water_activity: 0.94", 0.94)]
)
def test_a_figure_that_was_measured_has_decimals(written, value):
    case = read_plan(f"piece: {{animal: beef, {written}}}\nsteps: [{{do: serve}}]\n", RULEBASE, NOW)
    assert case.number("piece", written.partition(":")[0]) == value


@pytest.mark.parametrize("written", ["acidity: 55", "acidity: 0.5", "water_activity: 94", "water_activity: -0.1"])
def test_a_figure_that_cannot_be_is_refused(written):
    with pytest.raises(PlanErrors):
        read_plan(f"piece: {{animal: beef, {written}}}\nsteps: [{{do: serve}}]\n", RULEBASE, NOW)


def test_a_count_stays_whole():
    with pytest.raises(PlanErrors, match="whole number"):
        read_plan("guests: {portions: 4.5}\nsteps: [{do: serve}]\n", RULEBASE, NOW)


def test_yes_and_no_may_be_written_bare_or_as_yaml_truth_values():
    for word in ("no", "'no'", "false"):
        assert read(f"guests: {{latex: {word}}}\nsteps: []\n").word("guests", "latex") == "no"
    for word in ("yes", "'yes'", "true"):
        assert read(f"guests: {{latex: {word}}}\nsteps: []\n").word("guests", "latex") == "yes"


# --- one thing wrong: where it is, what it is, what to write instead

WRONG = {
    "unknown word at the top": ("title: x\npeice: {animal: beef}\nsteps: []\n", 2, "peice", "piece"),
    "unknown fact": ("piece:\n  animal: beef\n  thicknes: 3 cm\nsteps: []\n", 3, "thicknes", "thickness"),
    "unknown fact of a step": ("steps:\n  - do: hold\n    hours: 3\n", 3, "hours", ""),
    "unknown word of an ingredient": ("steps:\n  - do: salt\n    with: {what: salt, grams: 3}\n", 3, "grams", ""),
    "a fact the program works out": ("piece:\n  standing: intact\nsteps: []\n", 2, "standing", ""),
    "unknown animal": ("piece:\n  animal: unicorn\nsteps: []\n", 2, "unicorn", "beef"),
    "unknown cut": ("piece:\n  cut: flying carpet\nsteps: []\n", 2, "flying carpet", "not known"),
    "unknown action": ("steps:\n  - do: fly\n", 2, "fly", "hold"),
    "unknown place": ("steps:\n  - do: hold\n    place: moon\n", 3, "moon", ""),
    "unknown ingredient": ("steps:\n  - do: salt\n    with: kryptonite\n", 3, "kryptonite", "spice"),
    "unknown form": ("steps:\n  - do: salt\n    with: {what: pineapple, form: molten}\n", 3, "molten", "fresh"),
    "missing unit of length": ("piece:\n  thickness: 30\nsteps: []\n", 2, "30", "mm"),
    "missing unit of mass": ("piece:\n  weight: 2\nsteps: []\n", 2, "2", "kg"),
    "missing unit of time": ("steps:\n  - do: hold\n    for: 3\n", 3, "3", "min"),
    "missing unit of temperature": ("steps:\n  - do: hold\n    at: 60\n    for: 1 h\n", 3, "60", "°F"),
    "unit of another kind": ("piece:\n  thickness: 3 kg\nsteps: []\n", 2, "3 kg", "mm"),
    "a steak four metres thick": ("piece:\n  thickness: 4 m\nsteps: []\n", 2, "4 m", "4 cm"),
    "a steak of no thickness": ("piece:\n  thickness: 0 mm\nsteps: []\n", 2, "0 mm", "mm"),
    "a piece of a ton": ("piece:\n  weight: 1000 kg\nsteps: []\n", 2, "1000 kg", "g"),
    "a negative time": ("steps:\n  - do: hold\n    for: -5 min\n", 3, "-5 min", "min"),
    "a year in the fridge": ("steps:\n  - do: hold\n    for: 365 days\n", 3, "365 days", "365 h"),
    "colder than cold": ("steps:\n  - do: hold\n    at: -300 C\n    for: 1 h\n", 3, "-300", "°C"),
    "hotter than an oven": ("steps:\n  - do: oven\n    at: 900 C\n    for: 1 h\n", 3, "900 C", "°C"),
    "more brine than meat": ("steps:\n  - do: inject\n    pump_pct: 300 %\n", 3, "300 %", ""),
    "half a side": ("steps:\n  - do: pan\n    sides: 0.5\n", 3, "0.5", ""),
    "no single value": ("piece:\n  animal: [beef, pork]\nsteps: []\n", 2, "animal", "not known"),
    "no value at all": ("piece:\n  animal:\nsteps: []\n", 2, "animal", "not known"),
    "a heading for a value": ("piece:\n  thickness: {mm: 3}\nsteps: []\n", 2, "thickness", "not known"),
    "a step that does nothing": ("steps:\n  - for: 3 h\n", 2, "what is done", "do:"),
    "a step that is a word": ("steps:\n  - marinate\n", 2, "steps.0", "animal: beef"),
    "steps that are no list": ("steps: marinate\n", 1, "steps", "- do:"),
    "no steps": ("piece: {animal: beef}\n", 1, "no steps", "steps:"),
    "a piece that is a word": ("piece: beef\nsteps: []\n", 1, "piece", "animal: beef"),
    "a list for a plan": ("- beef\n- pork\n", 1, "The file", "animal: beef"),
    "a word for a plan": ("beef\n", 1, "The file", "animal: beef"),
    "an ingredient without a name": ("steps:\n  - do: salt\n    with: {amount: 3 g}\n", 3, "without a name", "what:"),
    "an amount of length": ("steps:\n  - do: salt\n    with: {what: salt, amount: 3 cm}\n", 3, "3 cm", "g"),
    "a day that is none": ("serve: someday\nsteps: []\n", 1, "someday", ""),
    "a system that is none": ("units: cubits\nsteps: []\n", 1, "cubits", "metric"),
    "two of one key": ("piece:\n  animal: beef\n  animal: pork\nsteps: []\n", 3, "animal", "name: value"),
    "a tag": ("piece:\n  animal: !!python/object:os.system beef\nsteps: []\n", 2, "tag", "name: value"),
    "a tab for an indent": ("piece:\n\tanimal: beef\nsteps: []\n", 2, "YAML", "spaces"),
    "a quote left open": ("piece:\n  animal: 'beef\nsteps: []\n", 4, "YAML", "name: value"),
    "a bracket left open": ("piece: {animal: beef\nsteps: []\n", 2, "YAML", "name: value"),
    "two plans in a file": ("steps: []\n---\nsteps: []\n", 2, "YAML", "name: value"),
    "control characters": ("steps: []\ntitle: a\x00b\n", 2, "not text", "plain text"),
}


@pytest.mark.parametrize("name", WRONG)
def test_one_thing_wrong(name):
    text, line, said, hinted = WRONG[name]
    errors = errors_of(text)
    assert {error.where for error in errors} == {f"plan.yaml, line {line}"}
    assert said in errors[0].what
    assert hinted in errors[0].hint
    assert all(error.hint for error in errors)


def test_an_empty_file_says_what_to_write():
    for text in ("", "\n\n", "# nothing\n", "---\n"):
        (error,) = errors_of(text)
        assert error.where == "plan.yaml"
        assert "piece:" in error.hint


def test_a_huge_file_is_refused_before_it_is_read():
    (error,) = errors_of("title: " + "x" * 1_000_001)
    assert "1,000,0" in error.what
    assert error.hint


def test_too_many_steps_are_refused():
    (error,) = errors_of("steps:\n" + "  - {do: hold, for: 1 min}\n" * 41)
    assert error.where == "plan.yaml, line 1"
    assert "41" in error.what


def test_everything_wrong_is_told_at_once_in_the_order_of_its_lines():
    text = (
        "piece:\n  animal: unicorn\n  thickness: 30\nguests: {latex: maybe}\n"
        "steps:\n  - {do: fly}\n  - {do: hold, for: -1 h}\n"
    )
    assert [where.partition("line ")[2] for where, _ in lines_of(text)] == ["2", "3", "4", "6", "7"]


# --- facts that cannot both be so

BOTH = {
    "cut of another animal": ("piece: {animal: pork, cut: sirloin flap}\nsteps: []\n", 1, "cut"),
    "from the fridge and out": ("piece: {start_state: fridge, out_minutes: 2 h}\nsteps: []\n", 1, "out"),
    "frozen and warm": ("piece: {start_state: frozen, start_temperature: 5 C}\nsteps: []\n", 1, "frozen"),
    "a bath in the oven": ("steps:\n  - {do: bath, place: oven, at: 60 C, for: 1 h}\n", 2, "bath"),
    "a pan in the fridge": ("steps:\n  - {do: pan, place: fridge, for: 1 min}\n", 2, "pan"),
    "middle as hot as its bath": ("steps:\n  - {do: bath, at: 57 C, until_core: 57 C}\n", 2, "hot"),
    "salting to a core": ("steps:\n  - {do: salt, until_core: 57 C, for: 1 min}\n", 2, "until_core"),
    "pounded thicker": ("piece: {thickness: 20 mm}\nsteps:\n  - {do: pound, thickness_after: 30 mm}\n", 3, "thicker"),
    "thinner in the bath": (
        "steps:\n  - {do: bath, at: 60 C, for: 1 h, thickness_after: 9 mm}\n",
        2,
        "thickness_after",
    ),
    "cut right through": ("piece: {thickness: 20 mm}\nsteps:\n  - {do: score, depth: 20 mm}\n", 3, "deeper"),
    "bath above the boil": ("steps:\n  - {do: bath, at: 130 C, for: 1 h}\n", 2, "100"),
    "ice water that is warm": ("steps:\n  - {do: ice, at: 30 C, for: 1 h}\n", 2, "ice"),
}


@pytest.mark.parametrize("name", BOTH)
def test_facts_that_cannot_both_be_so(name):
    text, line, said = BOTH[name]
    (error,) = errors_of(text)
    assert error.where == f"plan.yaml, line {line}"
    assert said in f"{error.what} {error.hint}".lower()
    assert error.hint


def test_a_dangerous_plan_is_no_error():
    """A plan that harms is read and gets a verdict; only a slip of the pen is refused."""
    text = "piece: {animal: chicken}\nsteps:\n  - {do: hold, place: counter, at: 30 C, for: 3 days}\n  - {do: serve}\n"
    assert isinstance(read(text), Case)


# --- hostile files


def _answered_within(text, seconds):
    """Read a text in a process of its own, so that one that never ends is ended."""
    code = (
        "import sys; from datetime import datetime; from advisor.knowledge import load_rulebase\n"
        "from advisor.case.read_plan import read_plan, PlanErrors\n"
        "try: read_plan(sys.stdin.read(), load_rulebase(), datetime(2026, 11, 25, 12), 'plan.yaml')\n"
        "except PlanErrors as errors: print(errors.errors[0])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], input=text, capture_output=True, text=True, timeout=seconds, check=True
    )
    return done.stdout


@pytest.mark.parametrize("shape", ["[{}]", "{{a: {0}}}", "\n{}"])
def test_a_bomb_is_refused_at_once(shape):
    """Ten anchors, each of ten of the one before: small on paper, ten thousand million things in memory."""
    lines = ["a0: &a0 [x, x]"]
    for level in range(1, 11):
        inner = ", ".join([f"*a{level - 1}"] * 10)
        if shape == "\n{}":
            inner = "\n".join([f"  - *a{level - 1}"] * 10)
        elif shape != "[{}]":
            inner = ", ".join(f"k{n}: *a{level - 1}" for n in range(10))
            lines.append(f"a{level}: &a{level} {{{inner}}}")
            continue
        lines.append(f"a{level}: &a{level} {shape.format(inner)}")
    assert "plan.yaml" in _answered_within("\n".join(lines) + "\n", 10)


@pytest.mark.parametrize(
    "text", ["a: &a [*a]\n", "piece: &p {animal: *p}\n", "x: &x {animal: beef}\npiece: {<<: *x}\n"], ids=str
)
def test_aliases_are_refused(text):
    assert all(error.hint for error in errors_of(text))


@pytest.mark.parametrize("text", ["[" * 5000, "{a: " * 3000, "a: " + "[" * 200 + "]" * 200, "- " * 5000])
def test_deep_nesting_is_refused(text):
    (error,) = errors_of(text)
    assert error.hint


def test_thousands_of_wrong_lines_are_answered_in_seconds():
    text = "".join(f"k{number}: 1\n" for number in range(2000))
    assert "plan.yaml, line 1" in _answered_within(text, 10)


# --- whatever is typed


def _read_or_errors(text):
    try:
        return read(text), []
    except PlanErrors as caught:
        return None, [caught, *caught.errors]


def well_behaved(text):
    """Either a case that goes down the whole road, or errors with a place and a hint; nothing else."""
    case, errors = _read_or_errors(text)
    if case is not None:
        infer(RULEBASE, course_facts(case, RULEBASE).facts, engine="reference")
        return
    whole, *each = errors
    assert str(whole)
    assert each
    for error in each:
        assert error.where.startswith("plan.yaml")
        assert error.what
        assert error.hint


@FUZZ
@given(st.text(max_size=200))
def test_any_text(text):
    well_behaved(text)


@FUZZ
@given(st.binary(max_size=200))
def test_any_bytes(junk):
    well_behaved(junk.decode("latin-1"))


@FUZZ
@given(st.data())
def test_a_plan_with_slips(data):
    text = PLAN
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        cut = data.draw(st.integers(0, 6))
        put = data.draw(
            st.one_of(st.text(max_size=4), st.sampled_from(["-", ": ", "\n", "  ", "{", "}", "0", "1e9", "not known"]))
        )
        text = text[:at] + put + text[at + cut :]
    well_behaved(text)


WORDS = sorted(
    {name for facts in RULEBASE.vocabulary.values() for name in facts} | {"do", "at", "for", "with", "what", "amount"}
)
CHOICES = sorted(
    {choice for facts in RULEBASE.vocabulary.values() for entry in facts.values() for choice in entry.choices}
)
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(CHOICES),
    st.sampled_from(["57 C", "3 h", "1 in", "1 kg", "2 %", "not known", "salt", "pineapple", "0 min", "-1 h"]),
)
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.one_of(st.sampled_from(WORDS), st.text(max_size=6)), inner, max_size=4),
    ),
    max_leaves=12,
)


@FUZZ
@given(
    st.fixed_dictionaries({}, optional=dict.fromkeys(("title", "units", "serve", "piece", "guests", "steps"), TREES))
)
def test_any_structure(tree):
    well_behaved(json.dumps(tree))


STEPS = st.dictionaries(st.sampled_from([*WORDS, "do"]), SCALARS, max_size=5).map(lambda step: {"do": "hold"} | step)


@FUZZ
@given(st.lists(STEPS, max_size=4), st.dictionaries(st.sampled_from(WORDS), SCALARS, max_size=5))
def test_any_values_in_the_right_places(steps, piece):
    well_behaved(json.dumps({"piece": piece, "steps": steps}))


ACTIONS = RULEBASE.vocabulary["step"]["action"].choices
PLAUSIBLE = st.fixed_dictionaries(
    {"do": st.sampled_from(ACTIONS)},
    optional={
        "at": st.integers(-20, 99).map("{} C".format),
        "for": st.integers(0, 600).map("{} min".format),
        "place": st.sampled_from(["fridge", "counter", "ice bath", "not known"]),
        "until_core": st.integers(0, 90).map("{} C".format),
        "with": st.sampled_from(["salt", "soy sauce", "pineapple", {"what": "garlic", "amount": "not known"}]),
        "sealed": st.sampled_from(["yes", "no", "not known"]),
        "sides": st.sampled_from(["1", "2", "not known"]),
        "thickness_after": st.integers(2, 60).map("{} mm".format),
        "depth": st.integers(0, 20).map("{} mm".format),
    },
)
PIECE = st.fixed_dictionaries(
    {},
    optional={
        name: st.sampled_from([*RULEBASE.vocabulary["piece"][name].choices, "not known"])
        for name in ("animal", "form", "arrived", "start_state")
    }
    | {"thickness": st.integers(2, 300).map("{} mm".format), "weight": st.integers(20, 9000).map("{} g".format)},
)


@FUZZ
@given(PIECE, st.lists(PLAUSIBLE, max_size=6))
def test_any_plan_that_can_be_read_goes_down_the_whole_road(piece, steps):
    well_behaved(json.dumps({"piece": piece, "steps": steps}))


def test_reading_is_quick():
    begin = time.perf_counter()
    read(PLAN)
    assert time.perf_counter() - begin < 1


@pytest.mark.parametrize(
    ("word", "action"), [("sear", "pan"), ("pan fry", "pan"), ("roast", "oven"), ("marinade", "marinate")]
)
def test_a_step_may_be_named_as_cooks_name_it(word, action, rulebase):
    entry = rulebase.vocabulary["step"]["action"]
    assert word in entry.also[action]
    text = f"piece: {{animal: beef, thickness: 3 cm}}\nsteps:\n  - {{do: {word}, for: 2 min}}\n"
    assert read_plan(text, rulebase, NOW).steps[0].action == action
