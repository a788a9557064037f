"""Laws of the whole road: a worse plan, a worse guest or a fact less never gets a better safety verdict."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, currently_in_test_context, given, note, settings
from hypothesis import strategies as st

from advisor.case.model import Case, Given, Ingredient, PlanStep
from advisor.course import course_facts
from advisor.infer import infer
from advisor.knowledge import load_rulebase

RULEBASE = load_rulebase()
ORDER = ("go", "ask", "change", "stop")
# Germs of concern grow fastest near here; meat in warmer air than this is not raw meat that waits.
WARMEST_ROOM_C = 40.0
LAW = settings(max_examples=80, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
SHORT_LAW = settings(LAW, max_examples=30)


def step(action, ingredients=(), **values):
    given_ = {name: Given(float(v) if isinstance(v, int | float) else v) for name, v in values.items()}
    return PlanStep(action, given_, tuple(ingredients))


def told(case):
    """Say a case in few words, for the report of a failure."""
    piece = " ".join(str(g.value) for g in (*case.piece.values(), *case.guests.values()))
    steps = [
        " ".join([s.action, *(f"{n}={g.value}" for n, g in s.given.items()), *(i.what for i in s.ingredients)])
        for s in case.steps
    ]
    return f"{piece}: {'; '.join(steps)}"


def verdict(case, leave_out=()):
    """Worst verdict on safety and law, less that of the subjects (the first part of a rule's id) left out."""
    found = infer(RULEBASE, course_facts(case, RULEBASE).facts, engine="reference").findings
    weighed = {
        f.rule.rule.id: f.verdict
        for f in found
        if f.concern in ("safety", "law") and f.verdict != "go" and f.rule.rule.id.partition(".")[0] not in leave_out
    }
    if currently_in_test_context():
        note(f"{told(case)} -> {weighed}")
    return max((ORDER.index(word) for word in weighed.values()), default=0)


def never_better(case, worse, leave_out=()):
    before, after = verdict(case, leave_out), verdict(worse, leave_out)
    assert after >= before, f"{ORDER[before]} became {ORDER[after]}"


# --- random plans

MEATS = [
    ("beef", "sirloin_flap"),
    ("lamb", "unknown_cut"),
    ("pork", "unknown_cut"),
    ("chicken", "unknown_cut"),
]
MEATS += [(animal, "unknown_cut") for animal in ("veal", "farmed_deer", "duck", "wild_boar")]
COUNTER = [("counter", 12.0, 35.0), ("fridge_still", 1.0, 8.0)]


@st.composite
def waits(draw, actions=("hold", "marinate")):
    action = draw(st.sampled_from(actions))
    place, low, high = draw(st.sampled_from(COUNTER))
    minutes = draw(st.sampled_from([5, 30, 59, 90, 119, 150, 239, 300, 720, 1440, 4000, 7000]))
    with_ = ()
    if action == "marinate":
        what = draw(st.sampled_from(["soy_sauce", "pineapple", "garlic"]))
        assume(what in RULEBASE.materials or what in RULEBASE.tenderisers)
        form = draw(st.sampled_from(["fresh", "tinned"])) if what == "pineapple" else ""
        with_ = (Ingredient(what, what, form, 30.0),)
    temperature = draw(st.floats(low, high).map(lambda t: round(t, 1)))
    return step(action, with_, place=place, temperature=temperature, minutes=minutes)


@st.composite
def cooks(draw):
    parts = [step("bag")] if draw(st.booleans()) else []
    if draw(st.integers(0, 4)):
        heat = draw(st.sampled_from([50.0, 53.0, 54.5, 55.0, 57.0, 60.0, 63.0, 68.0, 75.0]))
        if draw(st.booleans()):
            end = {"until_core": heat - draw(st.sampled_from([0.5, 1.0, 3.0]))}
        else:
            end = {"minutes": draw(st.sampled_from([20, 45, 90, 150, 240, 400, 900]))}
        parts.append(step("bath", place="bath_circulated", temperature=heat, **end))
    if draw(st.booleans()) or not any(part.action == "bath" for part in parts):
        parts += [step("dry"), step("pan", minutes=draw(st.sampled_from([1, 3, 6, 12])), sides=2)]
    return parts


@st.composite
def afters(draw):
    kind = draw(st.sampled_from(["serve", "rest", "hold", "chill", "hot"]))
    if kind in ("rest", "hold"):
        minutes = draw(st.sampled_from([5, 60, 119, 150, 239, 300]))
        temperature = draw(st.floats(15, 35).map(lambda t: round(t, 1)))
        return [step(kind, place="counter", temperature=temperature, minutes=minutes)]
    if kind == "hot":
        heat, minutes = draw(st.sampled_from([50.0, 57.0, 60.0])), draw(st.sampled_from([30, 120, 240]))
        return [step("hot_hold", place="hot_cupboard", temperature=heat, minutes=minutes)]
    if kind == "chill":
        ice = step("ice", place="ice_bath", temperature=1.0, minutes=draw(st.sampled_from([20, 60, 120, 300])))
        days = draw(st.sampled_from([0.5, 2, 5, 8]))
        return [
            ice,
            step(
                "hold",
                place="fridge_still",
                temperature=draw(st.sampled_from([3.0, 5.0, 7.0])),
                minutes=days * 1440,
            ),
        ]
    return []


@st.composite
def cases(draw, after=None):
    animal, cut = draw(st.sampled_from(MEATS))
    piece = {
        "animal": animal,
        "cut": cut,
        "form": draw(st.sampled_from(["steak", "roast", "cubes", "minced"])),
        "arrived": draw(st.sampled_from(["intact", "intact", "pierced"])),
        "weight": 1000.0,
        "thickness": float(draw(st.integers(10, 110))),
        "start_state": "fridge",
    }
    guests = {
        "setting": draw(st.sampled_from(["home", "work"])),
        "vulnerable": draw(st.sampled_from(["no", "no", "some", "facility"])),
        "advisory": draw(st.sampled_from(["yes", "no"])),
        "approval": draw(st.sampled_from(["yes", "no"])),
        "latex": "no",
        "want": "pink",
    }
    raw = draw(st.lists(waits(), max_size=2))
    worked = draw(st.sampled_from([None, None, "score", "needle", "inject", "pound"]))
    raw += [_worked(worked)] if worked else []
    ends = draw(afters()) if after is None else draw(after)
    steps = (*raw, *draw(cooks()), *ends, step("serve"))
    return Case(
        {name: Given(value) for name, value in piece.items()},
        {name: Given(value) for name, value in guests.items()},
        steps,
    )


def _worked(action):
    if action == "inject":
        return step(
            "inject",
            (Ingredient("table_salt", "salt", "", 10.0), Ingredient("water", "water", "", 100.0)),
            pump_pct=10,
        )
    return step(action, depth=3) if action == "score" else step(action)


def raw_waits(case):
    """Steps that wait while the meat is raw: those before the first cook."""
    first = next(i for i, s in enumerate(case.steps) if s.action in ("bath", "pan"))
    return [i for i, s in enumerate(case.steps[:first]) if s.action in ("hold", "marinate")]


def stands_about_raw(case):
    """Tell whether something comes between the cook and the plate while the middle is still raw."""
    peak = course_facts(case, RULEBASE).facts.course["core_peak"].value
    return case.steps[-2].action not in ("bath", "pan") and float(peak) < RULEBASE.no_kill_credit_below_c


# --- the laws


@LAW
@given(cases(), st.data())
def test_a_warmer_raw_hold_is_never_better(case, data):
    waiting = raw_waits(case)
    assume(waiting)
    index = data.draw(st.sampled_from(waiting))
    now = case.steps[index].number("temperature")
    warmer = data.draw(st.floats(now, WARMEST_ROOM_C).map(lambda t: round(t, 1)))
    assume(warmer > now)
    never_better(case, case.with_step(index, case.steps[index].with_value("temperature", warmer)))


@LAW
@given(cases(), st.data())
def test_a_longer_raw_hold_is_never_better(case, data):
    waiting = raw_waits(case)
    assume(waiting)
    index = data.draw(st.sampled_from(waiting))
    longer = case.steps[index].number("minutes") * data.draw(st.sampled_from([1.01, 1.3, 2.0, 5.0]))
    never_better(case, case.with_step(index, case.steps[index].with_value("minutes", longer)))


@LAW
@given(cases(), st.data())
def test_a_raw_hold_more_is_never_better(case, data):
    longer = data.draw(waits(("hold",)))
    never_better(case, case.with_inserted(data.draw(st.integers(0, len(raw_waits(case)))), longer))


warm_afters = afters().filter(lambda steps: bool(steps) and steps[0].action in ("rest", "hold"))


@LAW
@given(cases(after=warm_afters), st.sampled_from([1.01, 1.3, 2.0, 5.0]))
def test_a_longer_warm_hold_of_cooked_meat_is_never_better(case, times):
    """What the heat left in the meat does to the middle while it rests is cooking, and may count as such."""
    index = len(case.steps) - 2
    longer = case.steps[index].number("minutes") * times
    worse = case.with_step(index, case.steps[index].with_value("minutes", longer))
    never_better(case, worse, leave_out=("cook", "guests"))


cold_afters = afters().filter(lambda steps: bool(steps) and steps[0].action == "ice")


@SHORT_LAW
@given(cases(after=cold_afters), st.sampled_from([1.01, 1.5, 3.0]), st.sampled_from([0.0, 2.0, 8.0, 20.0]))
def test_a_longer_or_warmer_cold_stay_of_cooked_meat_is_never_better(case, times, warmer):
    """What was chilled after its cook has no heat left in it: Listeria and spores grow with every degree and hour."""
    index = len(case.steps) - 2
    worse = case.steps[index].with_value("minutes", case.steps[index].number("minutes") * times)
    worse = worse.with_value("temperature", worse.number("temperature") + warmer)
    never_better(case, case.with_step(index, worse))


@SHORT_LAW
@given(cases(), st.sampled_from([4.0, 10.0, 18.0]), st.sampled_from([2.0, 6.0, 15.0]))
def test_meat_that_was_warmer_at_the_start_is_never_better(case, start, warmer):
    case = case.with_value("piece", "start_temperature", Given(start))
    never_better(case, case.with_value("piece", "start_temperature", Given(start + warmer)))


@SHORT_LAW
@given(cases(), st.sampled_from([20.0, 90.0, 235.0]), st.sampled_from([12.0, 22.0, 30.0]), st.booleans())
def test_meat_that_was_out_for_longer_or_somewhere_warmer_is_never_better(case, minutes, warm, longer):
    case = case.with_value("piece", "start_state", Given("out"))
    case = case.with_value("piece", "out_minutes", Given(minutes)).with_value("piece", "out_temperature", Given(warm))
    name, worse = ("out_minutes", minutes * 1.5) if longer else ("out_temperature", warm + 6.0)
    never_better(case, case.with_value("piece", name, Given(worse)))


@SHORT_LAW
@given(cases(), st.sampled_from([720.0, 2880.0, 7200.0]))
def test_meat_that_was_in_the_fridge_for_longer_before_is_never_better(case, minutes):
    never_better(case, case.with_value("piece", "fridge_time", Given(minutes)))


@SHORT_LAW
@given(cases(), st.data())
def test_a_warmer_chill_is_never_better(case, data):
    chills = [i for i, s in enumerate(case.steps) if s.action == "ice"]
    assume(chills)
    warmer = data.draw(st.sampled_from([3.0, 6.0, 12.0]))
    step_ = case.steps[chills[0]]
    never_better(case, case.with_step(chills[0], step_.with_value("temperature", step_.number("temperature") + warmer)))


@LAW
@given(cases(), st.sampled_from([1.02, 1.2, 1.6, 2.5]))
def test_a_thicker_piece_is_never_better(case, times):
    """Of meat that stands about with a raw middle the thin piece is the warmer one, and may be the worse.

    A step that waits for a core temperature takes longer in a thicker piece: that is more cooking.
    """
    assume(not any("until_core" in s.given for s in case.steps))
    assume(not stands_about_raw(case))
    thicker = case.number("piece", "thickness") * times
    never_better(case, case.with_value("piece", "thickness", Given(thicker)))


@LAW
@given(cases(), st.data())
def test_a_more_vulnerable_guest_is_never_better(case, data):
    ladder = ("no", "some", "facility")
    now = ladder.index(case.word("guests", "vulnerable"))
    assume(now < 2)
    worse = data.draw(st.sampled_from(ladder[now + 1 :]))
    never_better(case, case.with_value("guests", "vulnerable", Given(worse)))


NOT_KNOWN = [("piece", name) for name in ("arrived", "form", "thickness", "animal", "start_state")]
NOT_KNOWN += [("guests", name) for name in ("setting", "vulnerable", "advisory", "approval", "latex")]


@pytest.mark.parametrize(("subject", "name"), NOT_KNOWN)
@settings(LAW, max_examples=40)
@given(case=cases())
def test_a_fact_that_is_not_known_is_never_better_than_known(subject, name, case):
    # A cook who does not know whether he cooks for a care home is not a plausible cook, nor is a cut that is
    # thicker or thinner than its kind ever is.
    assume(name != "vulnerable" or case.word("guests", "vulnerable") != "facility")
    usual = RULEBASE.cuts[case.word("piece", "cut")].thickness_mm
    inside = min(usual) <= case.number("piece", "thickness") <= max(usual)
    assume(name != "thickness" or (inside and not stands_about_raw(case)))
    never_better(case, case.with_value(subject, name, Given(None, "not known")))


@pytest.mark.parametrize("form", ["steak", "roast", "slices", "cubes", "minced"])
def test_not_knowing_the_form_is_not_better_where_forms_differ_most(form):
    """At 145 °F for a quarter of a minute whole meat passes and minced meat does not."""
    cook = (
        step("bath", place="bath_circulated", temperature=75, until_core=62.8),
        step("bath", place="bath_circulated", temperature=75, minutes=0.25),
        step("ice", place="ice_bath", temperature=1, minutes=60),
    )
    piece = {"animal": "pork", "form": form, "arrived": "intact", "thickness": 12.0, "start_state": "fridge"}
    guests = {"setting": "home", "vulnerable": "no", "advisory": "no", "approval": "no", "latex": "no"}
    case = Case({k: Given(v) for k, v in piece.items()}, {k: Given(v) for k, v in guests.items()}, cook)
    never_better(case, case.with_value("piece", "form", Given(None, "not known")))


def home_plan(piece, *steps):
    guests = {
        "setting": "home",
        "vulnerable": "no",
        "advisory": "yes",
        "approval": "yes",
        "latex": "no",
        "want": "pink",
    }
    whole = {"form": "steak", "arrived": "intact", "weight": 1000.0, "start_state": "fridge"} | piece
    return Case(
        {k: Given(v) for k, v in whole.items()}, {k: Given(v) for k, v in guests.items()}, (*steps, step("serve"))
    )


def test_an_unmeasured_piece_that_is_done_by_its_core_is_taken_thin_as_well():
    """A thin piece gets to its core temperature soonest, so its outside has had the least time hot."""
    cut = RULEBASE.cuts["sirloin_flap"]
    cook = step("bath", place="bath_circulated", temperature=60.0, until_core=59.5)
    thin = home_plan({"animal": "beef", "cut": "sirloin_flap", "thickness": float(min(cut.thickness_mm))}, cook)
    never_better(thin, thin.with_value("piece", "thickness", Given(None, "not known")))
    unmeasured = course_facts(thin.with_value("piece", "thickness", Given(None, "not known")), RULEBASE)
    assert "thinnest" in unmeasured.case.piece["thickness"].note
    measured = course_facts(thin, RULEBASE)
    for fact in ("kill_share", "whole_share"):
        assert unmeasured.facts.course[fact].value == pytest.approx(measured.facts.course[fact].value, rel=1e-6)


def test_an_animal_not_known_counts_as_cooked_through_no_sooner_than_any_animal():
    """A bird in a bath too short for a bird, then five hours on the counter, is a stop; so is the same unnamed meat."""
    cook = step("bath", place="bath_circulated", temperature=54.5, minutes=150)
    rest = step("rest", place="counter", temperature=15.0, minutes=300)
    bird = home_plan({"animal": "chicken", "cut": "unknown_cut", "thickness": 10.0}, cook, rest)
    assert ORDER[verdict(bird)] == "stop"
    never_better(bird, bird.with_value("piece", "animal", Given(None, "not known")))


@LAW
@given(cases(), st.data())
def test_a_raw_hold_of_unknown_temperature_or_place_is_never_better(case, data):
    waiting = raw_waits(case)
    assume(waiting)
    index = data.draw(st.sampled_from(waiting))
    worst = RULEBASE.media[case.steps[index].word("place")].worst_c
    # The worst plausible temperature of a place is a figure of the rulebase; warmer than that is known worse.
    assume(case.steps[index].number("temperature") <= worst)
    names = data.draw(st.sampled_from([("temperature",), ("place", "temperature")]))
    kept = {name: value for name, value in case.steps[index].given.items() if name not in names}
    never_better(case, case.with_step(index, replace(case.steps[index], given=kept)))


@LAW
@given(cases(), st.data())
def test_an_ingredient_of_unknown_form_is_never_better(case, data):
    marinades = [i for i, s in enumerate(case.steps) if s.action == "marinate"]
    assume(marinades)
    index = data.draw(st.sampled_from(marinades))
    blurred = tuple(replace(item, form="unknown") for item in case.steps[index].ingredients)
    never_better(case, case.with_step(index, replace(case.steps[index], ingredients=blurred)))


@pytest.mark.parametrize("action", ["needle", "inject", "score", "pound", "tumble"])
@settings(LAW, max_examples=40)
@given(case=cases(), data=st.data())
def test_opening_the_meat_is_never_better(action, case, data):
    index = data.draw(st.integers(0, len(raw_waits(case))))
    never_better(case, case.with_inserted(index, _worked(action)))


@LAW
@given(cases(), st.sampled_from(["pierced", "pumped", "formed"]))
def test_meat_that_came_worked_is_never_better(case, arrived):
    assume(case.word("piece", "arrived") == "intact")
    never_better(case, case.with_value("piece", "arrived", Given(arrived)))


@LAW
@given(cases())
def test_minced_meat_is_never_better(case):
    never_better(case, case.with_value("piece", "form", Given("minced")))
