"""Where a figure belongs: to the piece, to a step, or to a thing that is put on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from advisor.case.contradictions import HEATERS
from advisor.case.model import Ingredient
from advisor.case.words.draft import SAME, TAKES
from advisor.case.words.moments import place_moment
from advisor.case.words.scopes import LIGHT, Item
from advisor.units import read_quantity

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Draft
    from advisor.case.words.phrases import Phrase

# Sizes are named before or behind the figure.
SIZES: Final = {"THICK": "thickness", "WIDE": "width", "LONG_SIDE": "length"}
SIZE_LIGHT: Final = LIGHT | {"SOFT"}
HOT: Final = frozenset({*HEATERS, "hot_hold"})


def place_figure(builder: Builder, item: Item) -> None:
    """Put one figure where it belongs, or list it as not placed."""
    phrase = item.phrase
    if phrase is None:
        return
    if phrase.problem:
        builder.plan.lose(item.start, item.end, phrase.problem)
        return
    if builder.label is not None and _labelled(builder, item, phrase):
        builder.label = None
        return
    handlers = {
        "time": _time,
        "temperature": _temperature,
        "length": _length,
        "mass": _amount,
        "volume": _amount,
        "percent": _share,
    }
    handler = handlers.get(phrase.kind or "", _bare)
    handler(builder, item, phrase)


def _labelled(builder: Builder, item: Item, phrase: Phrase) -> bool:
    """A figure behind the name of its fact."""
    subject, fact = builder.label or ("", "")
    if subject == "goal":
        return False
    entry = builder.plan.rulebase.vocabulary[subject][fact]
    bare = phrase.name == "bare"
    if bare and entry.quantity not in ("count", "percent", "temperature"):
        return False
    if not bare and entry.quantity != phrase.kind:
        return False
    if subject == "step":
        if builder.current is None:
            return False
        if bare and entry.quantity == "temperature":
            builder.put_on(builder.current, fact, item)
            return True
        return builder.plan.put(builder.current.given, entry, fact, phrase, action=builder.current.action)
    given = builder.plan.piece if subject == "piece" else builder.plan.guests
    if bare and entry.quantity == "temperature":
        return False
    return builder.plan.put(given, entry, fact, phrase)


def _belongs(builder: Builder, fact: str, item: Item) -> None:
    """Give a step's figure to the step it stands by: the one open, or the one this clause is about to open."""
    current = builder.current
    opens = builder.clause_opens()
    waits = current is None or current.closed
    leads = opens is not None and builder.begins_clause()
    if current is not None and not waits and fact in current.given and opens is not None:
        leads = True
    if waits or leads:
        builder.pending.append((fact, item))
    elif current is not None:
        builder.put_on(current, fact, item)


def _time(builder: Builder, item: Item, phrase: Phrase) -> None:
    plan = builder.plan
    if builder.out == item.clause or _out_follows(builder):
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["out_minutes"], "out_minutes", phrase)
        return
    _belongs(builder, "minutes", item)


def _out_follows(builder: Builder) -> bool:
    following = builder.ahead()
    value = following.token.value if following is not None and following.kind == "CHOICE" else None
    return isinstance(value, tuple) and value[1:] == ("start_state", "out")


def _temperature(builder: Builder, item: Item, phrase: Phrase) -> None:
    plan = builder.plan
    following = builder.ahead(LIGHT - {"PREP_TO"})
    core_next = following is not None and following.kind == "CORE"
    if phrase.ranged and phrase.low is not None and phrase.high is not None and (phrase.low > phrase.high):
        # "at 160 C to 60 C core": no range runs downwards, so the second is where the middle is to get.
        for fact, value in (("temperature", phrase.low), ("until_core", phrase.high)):
            part = replace(phrase, low=value, high=value)
            _belongs(builder, fact, Item(item.token, part, clause=item.clause))
        builder.core = -1
        return
    if builder.out == item.clause:
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["out_temperature"], "out_temperature", phrase)
        return
    core = core_next or builder.core == item.clause
    if not core and builder.until >= 0 and builder.current is not None and _only_light(builder, builder.until):
        core = builder.current.action in HEATERS and ("temperature" in builder.current.given or phrase.bound == "")
    if core:
        builder.core = -1
        if core_next and following is not None:
            following.kind = "FILL"
    if not core and _too_hot(builder, phrase):
        _heat_alone(builder, item, phrase)
        return
    _belongs(builder, "until_core" if core else "temperature", item)


def _too_hot(builder: Builder, phrase: Phrase) -> bool:
    """Whether a temperature can only be one to cook at, though no step that heats is open or about to be."""
    likely = builder.plan.rulebase.trade_words["likely from"]["bath"]
    if phrase.low is None or phrase.high is None or max(phrase.low, phrase.high) < likely:
        return False
    opens = builder.clause_opens()
    if opens is not None:
        return False
    current = builder.current
    return current is None or (not current.closed and current.action not in (*HEATERS, "hot_hold"))


def _heat_alone(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A heat without a word for what heats: our guess is shown, and it is asked."""
    words = builder.plan.rulebase.trade_words
    top = max(phrase.low or 0.0, phrase.high or 0.0)
    guess = "bath" if top <= words["likely to"]["bath"] else "oven"
    written = builder.plan.cut(item.start, item.end)
    builder.plan.ask(
        f"'{written}': in what, a bath, an oven, a pot? We think {'a bath' if guess == 'bath' else 'an oven'}"
    )
    builder.open(guess, item, implied=True)
    _belongs(builder, "temperature", item)


def _only_light(builder: Builder, since: int) -> bool:
    """Whether only small words stand between an item and this one."""
    return all(i.kind in LIGHT or i.kind == "CORE" for i in builder.items[since + 1 : builder.index])


def _length(builder: Builder, item: Item, phrase: Phrase) -> None:
    plan = builder.plan
    vocabulary = plan.rulebase.vocabulary
    following = builder.ahead(SIZE_LIGHT)
    near = _behind_stop(builder)
    label = following.kind if following is not None else near.kind if near is not None else ""
    label = label if label in SIZES or label == "DEEP" else ""
    before = builder.just_before()
    if before is not None and before.token.key in ("x", "×", "by"):
        plan.lose(item.start, item.end, "which side is it? Say how thick, how wide and how long.")
        return
    current = builder.current
    action = current.action if current is not None and not current.closed else ""
    if label == "DEEP" or (not label and action == "score"):
        if current is not None and action == "score":
            plan.put(current.given, vocabulary["step"]["depth"], "depth", phrase)
        else:
            plan.lose(item.start, item.end, "how deep goes what? Say 'score it ... deep'.")
        return
    if current is not None and action in ("slice", "pound") and label in ("", "THICK"):
        fact = "slice_thickness" if action == "slice" else "thickness_after"
        plan.put(current.given, vocabulary["step"][fact], fact, phrase)
        return
    if label in SIZES:
        fact = SIZES[label]
        plan.put(plan.piece, vocabulary["piece"][fact], fact, phrase)
        return
    note = "" if "thickness" in plan.piece else "taken as the thickness"
    plan.put(plan.piece, vocabulary["piece"]["thickness"], "thickness", phrase, note=note)


def _behind_stop(builder: Builder) -> Item | None:
    """A size word behind the bracket that follows: "1 1/4 in (32 mm) thick"."""
    items = builder.items[builder.index + 1 : builder.index + 5]
    kinds = [i.kind for i in items]
    if kinds[:1] == ["SOFT"] and len(items) > 2 and items[0].token.text == "(" and items[2].token.text == ")":  # noqa: PLR2004
        return next((i for i in items[3:] if i.kind not in LIGHT), None)
    if kinds[:1] == ["SOFT"] and items[0].token.text == ")":
        return next((i for i in items[1:] if i.kind not in LIGHT), None)
    return None


def _amount(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A weight or volume: of a thing put on, or of the piece."""
    plan = builder.plan
    following = builder.ahead()
    of_meat = builder.ahead(LIGHT - {"PREP"})
    if phrase.kind == "mass" and of_meat is not None and of_meat.kind in ("CUT", "ANIMAL", "MEAT"):
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["weight"], "weight", phrase)
        return
    if following is not None and following.kind == "WITH" and not _has_its_own(builder, following, phrase):
        _to_come(builder, item, phrase, following)
        return
    thing = _thing_before(builder, item, phrase)
    if thing is not None:
        draft, place = thing
        _set_amount(builder, draft, place, phrase, item)
        return
    if phrase.kind == "mass":
        if builder.current is not None and builder.current.action == "salt" and not builder.current.closed:
            same = builder.current.clause == item.clause and not builder.current.ingredients
            if same and "weight" in plan.piece:
                draft = builder.add(Ingredient("table_salt", "salt"), item)
                _set_amount(builder, draft, len(draft.ingredients) - 1, phrase, item)
                return
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["weight"], "weight", phrase)
        return
    plan.lose(item.start, item.end, "of what?")


def _has_its_own(builder: Builder, thing: Item, phrase: Phrase) -> bool:
    """Whether an amount is not that of the thing behind it: "1 lb soy sauce 60 ml", "1 lb with a dry rub"."""
    after = builder.items[builder.items.index(thing) + 1 :][:1]
    own = after[0].phrase if after else None
    if phrase.kind == "mass" and own is not None and own.kind in ("mass", "volume"):
        return True
    between = builder.items[builder.index + 1 : builder.items.index(thing)]
    return any(item.kind == "AND" or item.token.key == "with" for item in between)


def _to_come(builder: Builder, item: Item, phrase: Phrase, following: Item) -> None:
    """The thing stands behind its amount: put it on now, with the amount."""
    _take(builder, following)
    if builder.current is not None and builder.current.ingredients:
        _set_amount(builder, builder.current, len(builder.current.ingredients) - 1, phrase, item)


def _take(builder: Builder, thing: Item) -> None:
    """Go on to a thing that stands behind its amount, and put it on."""
    here = builder.index
    builder.index = builder.items.index(thing)
    form = next((i for i in builder.items[here : builder.index] if i.kind == "FORM"), None)
    builder.form = form if form is not None else builder.form
    builder.with_at = here if builder.with_at < 0 else builder.with_at
    builder.on_with(thing)
    builder.with_at = builder.index


def _thing_before(builder: Builder, item: Item, phrase: Phrase) -> tuple[Draft, int] | None:
    """The thing put on that this amount stands behind."""
    current = builder.current
    if current is None or not current.ingredients:
        return None
    last = len(current.ingredients) - 1
    if current.ingredients[last].grams is not None or current.ingredients[last].share_pct is not None:
        return None
    before = builder.behind(LIGHT - {"OR"}, over_stop=True)
    touches = before is not None and before[0] == builder.with_at
    close = builder.behind(LIGHT - {"OR"}) is not None
    previous = builder.just_before()
    bracket = previous is not None and previous.token.text == "("
    if touches and (close or bracket or phrase.kind == "volume" or "weight" in builder.plan.piece):
        return current, last
    opened = phrase.kind == "volume" or bracket
    return (current, last) if opened and not current.closed and current.clause >= item.clause - 1 else None


def _grams(builder: Builder, what: str, phrase: Phrase, value: float) -> float:
    """Weight of an amount; what has no weight by the spoon weighs about as much as water."""
    if phrase.kind == "mass":
        return value
    material = builder.plan.rulebase.materials.get(what)
    spoon = material.density_g_per_tsp if material is not None else None
    return value if spoon is None else value / read_quantity("1 tsp", "volume").value * spoon


def _set_amount(builder: Builder, draft: Draft, place: int, phrase: Phrase, item: Item) -> None:
    if phrase.low is None or phrase.high is None:
        return
    if phrase.bound == "least":
        builder.plan.lose(item.start, item.end, "how much at the most?")
        return
    thing = draft.ingredients[place]
    grams = _grams(builder, thing.what, phrase, max(phrase.low, phrase.high))
    if thing.grams is not None and abs(thing.grams - grams) > SAME * max(thing.grams, grams):
        builder.plan.lose(item.start, item.end, f"there are two amounts of {thing.as_written}. Which is it?")
        return
    if phrase.ranged:
        written = builder.plan.cut(phrase.start, phrase.end)
        builder.plan.remark(f"'{written}' of {thing.as_written}: the larger figure is taken, the worse one")
    draft.ingredients[place] = replace(thing, grams=grams)
    builder.plan.place(phrase.start, phrase.end)
    if phrase.kind == "mass":
        builder.plan.systems.append(phrase.system)


def _set_share(builder: Builder, draft: Draft, place: int, share: float, phrase: Phrase) -> None:
    thing = draft.ingredients[place]
    if phrase.ranged:
        written = builder.plan.cut(phrase.start, phrase.end)
        builder.plan.remark(f"'{written}' of {thing.as_written}: the larger figure is taken, the worse one")
    draft.ingredients[place] = replace(thing, share_pct=share)
    builder.plan.place(phrase.start, phrase.end)


def place_dose(builder: Builder, item: Item) -> None:
    """An amount for a weight of meat: "a teaspoon a pound", "15 g a kilo"."""
    phrase = item.phrase
    if phrase is None or phrase.low is None or phrase.high is None:
        builder.plan.lose(item.start, item.end, phrase.problem if phrase is not None else "")
        return
    following = builder.ahead()
    if following is not None and following.kind == "WITH":
        _take(builder, following)
    draft = builder.current
    if draft is not None and draft.action == "salt" and not draft.ingredients and not draft.closed:
        builder.add(Ingredient("table_salt", "salt"), item)
    if draft is None or not draft.ingredients or draft.closed or draft.action not in TAKES:
        builder.plan.lose(item.start, item.end, "of what?")
        return
    last = len(draft.ingredients) - 1
    unit = phrase.words[-1]
    per = read_quantity(f"1 {unit.value}", "mass").value
    grams = _grams(builder, draft.ingredients[last].what, phrase, max(phrase.low, phrase.high))
    _set_share(builder, draft, last, grams / per * 100.0, phrase)


def _share(builder: Builder, item: Item, phrase: Phrase) -> None:
    plan = builder.plan
    if phrase.low is None or phrase.high is None:
        return
    share = max(phrase.low, phrase.high)
    following = builder.ahead()
    current = builder.current
    if following is not None and following.kind == "WITH":
        _take(builder, following)
        if builder.current is not None and builder.current.ingredients:
            _set_share(builder, builder.current, len(builder.current.ingredients) - 1, share, phrase)
        return
    if following is not None and following.token.key == "fat":
        plan.put(plan.piece, plan.rulebase.vocabulary["piece"]["fat"], "fat", phrase)
        following.kind = "FILL"
        return
    if current is not None and current.action in ("inject", "tumble") and not current.closed:
        plan.put(current.given, plan.rulebase.vocabulary["step"]["pump_pct"], "pump_pct", phrase)
        if following is not None and following.kind in ("ACTION", "LIQUOR"):
            following.kind = "FILL"
        return
    thing = _thing_before(builder, item, phrase)
    before = builder.behind(LIGHT - {"OR"}, over_stop=True)
    if thing is not None and before is not None and before[0] == builder.with_at:
        _set_share(builder, thing[0], thing[1], share, phrase)
        return
    if current is not None and current.action == "salt" and not current.ingredients and not current.closed:
        draft = builder.add(Ingredient("table_salt", "salt"), item)
        _set_share(builder, draft, len(draft.ingredients) - 1, share, phrase)
        return
    plan.lose(item.start, item.end, "a share of what?")


def _bare(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A number without a unit: a temperature where it stands by heat, else it must be asked about."""
    following = builder.ahead(LIGHT | {"HEDGE"})
    before = builder.behind()
    degrees = any(word.kind == "DEG" for word in phrase.words)
    core = builder.core == item.clause or (following is not None and following.kind == "CORE")
    by_heat = (following is not None and _hot(following)) or (before is not None and _hot(before[1]))
    previous = builder.just_before()
    at = previous is not None and previous.kind == "AT" and previous.token.key == "at"
    for_time = previous is not None and previous.kind == "AT" and previous.token.key in ("for", "by")
    if following is not None and following.kind == "SIDES" and builder.current is not None:
        builder.plan.put(builder.current.given, builder.plan.rulebase.vocabulary["step"]["sides"], "sides", phrase)
        return
    serving = builder.current is not None and builder.current.action == "serve"
    if not for_time and not (serving and not degrees) and (degrees or core or at or by_heat):
        if core and following is not None and following.kind == "CORE":
            following.kind = "FILL"
        if core:
            builder.core = -1
        _belongs(builder, "until_core" if core else "temperature", item)
        return
    if any(word.kind == "HALF_B" for word in phrase.words) and len(phrase.words) == 1:
        builder.plan.lost.append((item.start, item.end))
        return
    if (
        builder.current is not None
        and builder.current.action == "serve"
        and previous is not None
        and previous.kind == "AT"
    ):
        place_moment(builder, item)
        return
    end = following.end if following is not None and following.kind in SIZES else item.end
    what = "hours or minutes?" if for_time else "of what, and in which unit?"
    builder.plan.lose(item.start, end, f"a number without a unit: {what}")


def _hot(item: Item) -> bool:
    """Whether a number beside it can only be a temperature."""
    value = item.token.value
    action = str(value[0] if isinstance(value, tuple) else value)
    return item.kind in ("PLACE", "CORE") or (item.kind in ("ACTION", "ACTPLACE") and action in HOT)
