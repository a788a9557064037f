"""Where a figure belongs: to the piece, to a step, or to a thing that is put on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from advisor.case.contradictions import HEATERS
from advisor.case.model import Given
from advisor.case.words import english
from advisor.case.words.amounts import place_amount, place_share
from advisor.case.words.draft import ACTION_OF_PLACE
from advisor.case.words.heights import take_height
from advisor.case.words.lexicon import lexicon_of
from advisor.case.words.moments import place_moment
from advisor.case.words.opened import action_of, open_step, put_on, was_cooked
from advisor.case.words.scopes import LIGHT, Item

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.phrases import Phrase

# Sizes are named before or behind the figure.
SIZES: Final = {"THICK": "thickness", "WIDE": "width", "LONG_SIDE": "length"}
MOST_PIECES: Final = 500
MOST_REST_MIN: Final = 60
BATH_F: Final = 200.0  # a guess is only ever shown
SIZE_LIGHT: Final = LIGHT | {"SOFT"}
# In these the middle is not brought anywhere.
IDLE: Final = frozenset({"rest", "slice", "serve", "dry", "wipe", "bag", "salt", "score", "needle", "pound"})
HOT: Final = frozenset({*HEATERS, "hot_hold"})


def place_figure(builder: Builder, item: Item) -> None:
    """Put one figure where it belongs, or list it as not placed."""
    phrase = item.phrase
    if phrase is None:
        return
    if phrase.problem:
        builder.plan.lose(item.start, item.end, phrase.problem)
        return
    if take_height(builder, phrase):
        return
    if builder.label is not None and _labelled(builder, item, phrase):
        builder.label = None
        return
    handlers = {
        "time": _time,
        "temperature": _temperature,
        "length": _length,
        "mass": place_amount,
        "volume": place_amount,
        "percent": place_share,
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
            put_on(builder, builder.current, fact, item)
            return True
        builder.current.labelled = builder.current.labelled or fact == "temperature"
        return builder.plan.put(builder.current.given, entry, fact, phrase, action=builder.current.action)
    given = builder.plan.piece if subject == "piece" else builder.plan.guests
    if bare and entry.quantity == "temperature":
        return False
    return builder.plan.put(given, entry, fact, phrase)


def _belongs(builder: Builder, fact: str, item: Item) -> None:
    """Give a step's figure to the step it stands by: the one open, or the one this clause is about to open."""
    current = builder.current
    opens = builder.clause_opens()
    if opens is not None and current is not None and current.action in ("bath", "oven") and _in_a_bag(builder, opens):
        opens = None  # the bag that lies in the bath
    beside = builder.items[builder.index + 1 : builder.index + 2]
    waits = current is None or current.closed
    if (
        fact == "temperature"
        and current is not None
        and not waits
        and beside
        and beside[0].kind in ("ACTPLACE", "PLACE")
    ):
        # "finish in a 400 oven": the heat of the place it stands before, unless the step lies there already.
        value = beside[0].token.value
        place = str(value[-1] if isinstance(value, tuple) and beside[0].kind == "ACTPLACE" else value)
        waits = waits or (ACTION_OF_PLACE.get(place, current.action) != current.action)
    leads = opens is not None and builder.begins_clause()
    if current is not None and not waits and fact in current.given and opens is not None:
        leads = True
    # "vac pack, 24 hours at 57": a bag takes no time of its own from another clause.
    bagged = current is not None and current.action == "bag" and current.clause != item.clause
    if waits or leads or (bagged and fact == "minutes"):
        builder.pending.append((fact, item))
    elif current is not None and fact == "until_core" and current.action in IDLE and not _until_said(builder):
        builder.plan.lose(item.start, item.end, "in which step does the middle get there?")
    elif current is not None:
        put_on(builder, current, fact, item)


def _until_said(builder: Builder) -> bool:
    return builder.until >= 0 and _only_light(builder, builder.until)


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
    if opens is not None and not _in_a_bag(builder, opens):
        return False
    current = builder.current
    waits = current is not None and not current.closed and current.action in ("hold", "rest")
    if waits and current is not None and was_cooked(builder, current) and not _until_said(builder):
        return False  # "hold at 65 C" of what is cooked: a hot hold, which the end makes of it
    return current is None or (not current.closed and current.action not in (*HEATERS, "hot_hold"))


def _heat_alone(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A heat without a word for what heats: our guess is shown, and it is asked."""
    words = builder.plan.rulebase.trade_words
    top = max(phrase.low or 0.0, phrase.high or 0.0)
    guess = "bath" if top <= words["likely to"]["bath"] else "oven"
    written = builder.plan.cut(item.start, item.end)
    opens = builder.clause_opens()
    if guess == "bath" and opens is not None and _in_a_bag(builder, opens):
        builder.plan.remark(f"'{written}' in a bag is taken as a bath; say so if it is steam or an oven")
    else:
        builder.plan.ask(
            f"'{written}': in what, a bath, an oven, a pot? We think {'a bath' if guess == 'bath' else 'an oven'}"
        )
    open_step(builder, guess, item, implied=True)
    _belongs(builder, "temperature", item)


def _in_a_bag(builder: Builder, opens: Item) -> bool:
    """Whether what opens a step is a bag that the meat cooks in: "at 82 C for 10 hours in a bag"."""
    before = builder.items[max(0, builder.items.index(opens) - 2) : builder.items.index(opens)]
    value = opens.token.value
    action = value[0] if isinstance(value, tuple) else value
    return action == "bag" and any(item.kind == "PREP" for item in before)


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
    beside = builder.items[builder.index + 1 : builder.index + 2]
    if beside and beside[0].token.key.split()[:1] and beside[0].token.key.split()[0] in english.AWAY:
        plan.lose(item.start, item.end, "how far from the heat is no part of a plan here.")
        return
    if before is not None and before.token.key in ("x", "×", "by"):
        plan.lose(item.start, item.end, "which side is it? Say how thick, how wide and how long.")
        return
    if before is not None and before.kind == "JUNK" and len(phrase.words) == 1:
        # "haf inch thick": an inch is meant only where no word stands before it that nobody knows.
        plan.lose(before.start, item.end, "how much? The word before the unit is not understood.")
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


def _bare(builder: Builder, item: Item, phrase: Phrase) -> None:
    """A number without a unit: a temperature where it stands by heat, else it must be asked about."""
    if any(took(builder, item, phrase) for took in (_portions, _a_side, _slip_of_unit, _rests)):
        return
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
    if not core and not by_heat and not serving and _heat_of_no_step(builder, item, phrase):
        return
    if not for_time and not (serving and not degrees) and (degrees or core or at or by_heat):
        if core and following is not None and following.kind == "CORE":
            following.kind = "FILL"
        if core:
            builder.core = -1
        _belongs(builder, "until_core" if core else "temperature", item)
        return
    if _counts(builder, item, phrase):
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


def _portions(builder: Builder, item: Item, phrase: Phrase) -> bool:
    """Take "for 12 people", "serves 8" as how many it is for; not "2 guests with an allergy", who are some of them."""
    behind = builder.items[builder.index + 1 : builder.index + 3]
    before = builder.just_before()
    people = bool(behind) and behind[0].kind == "PEOPLE"
    if not people and (before is None or before.kind != "FEEDS"):
        return False
    some = people and len(behind) > 1 and (_of_guests(behind[1]) or behind[1].token.key in ("with", "are", "who"))
    if some or phrase.low is None or phrase.low != int(phrase.low):
        builder.plan.lose(item.start, behind[0].end if people else item.end, "how many is it for, in all?")
    else:
        plan = builder.plan
        plan.put(plan.guests, plan.rulebase.vocabulary["guests"]["portions"], "portions", phrase)
    if people:
        behind[0].kind = "FILL"
    return True


def _of_guests(item: Item) -> bool:
    """Whether a word tells what guests are like: "2 pregnant guests" are some of them, "4 people at home" are all."""
    value = item.token.value
    return item.kind == "CHOICE" and isinstance(value, tuple) and value[1] in ("vulnerable", "latex")


def _rests(builder: Builder, item: Item, phrase: Phrase) -> bool:
    """Take "rest 5" as minutes, and say so: nobody rests meat for hours, and it is no heat."""
    current, before = builder.current, builder.behind(LIGHT - {"AT"})
    named = before is not None and before[1].kind in ("ACTION", "ACTPLACE") and action_of(before[1]) == "rest"
    sure = phrase.low is not None and phrase.low == phrase.high and 1 <= phrase.low <= MOST_REST_MIN
    degrees = any(word.kind == "DEG" for word in phrase.words)
    if current is None or current.action != "rest" or "minutes" in current.given or not named or not sure or degrees:
        return False
    written = builder.plan.cut(item.start, item.end)
    note = f"taken as {written} minutes; say so if it is another time"
    current.given["minutes"] = Given(phrase.low, "written", written, note)
    builder.plan.place(item.start, item.end)
    return True


def _a_side(builder: Builder, item: Item, _: Phrase) -> bool:
    """Ask about "4 a side", which is a time and no heat."""
    behind = builder.items[builder.index + 1 : builder.index + 2]
    if not behind or behind[0].kind != "EACH_SIDE":
        return False
    number = builder.plan.cut(item.start, item.end)
    builder.plan.lose(item.start, item.end, f"minutes or seconds a side? We think {number} min.")
    return True


def _slip_of_unit(builder: Builder, item: Item, _: Phrase) -> bool:
    """Ask about "12 huors": a number is never taken by a guess at its unit."""
    behind = builder.items[builder.index + 1 : builder.index + 2]
    if not behind or behind[0].kind != "JUNK":
        return False
    unit = lexicon_of(builder.plan.rulebase).near_unit(behind[0].token.key)
    if unit:
        builder.plan.lose(item.start, behind[0].end, f"did you mean '{unit}'? A number needs its unit.")
    return bool(unit)


def _counts(builder: Builder, item: Item, phrase: Phrase) -> bool:
    """Take it as how many pieces there are: a whole number at the head of its clause, before the meat."""
    if phrase.low is None or phrase.ranged or phrase.low != int(phrase.low) or not 1 <= phrase.low <= MOST_PIECES:
        return False
    following = builder.ahead(LIGHT - {"PREP", "PREP_TO", "AT", "AND"})
    named = following is not None and following.kind in ("CUT", "MEAT", "ANIMAL")
    beside = builder.items[builder.index + 1 : builder.index + 2]
    named = named or (bool(builder.cuts) and bool(beside) and beside[0].token.key == "pieces")
    labelled = builder.label is not None
    if not named or labelled or builder.plan.count or phrase.hedged or not builder.begins_clause():
        return False
    builder.plan.count = int(phrase.low)
    builder.plan.place(item.start, item.end)
    written = builder.plan.cut(item.start, item.end)
    builder.plan.remark(f"'{written}' is how many pieces there are; each is judged on its own")
    return True


def _heat_of_no_step(builder: Builder, item: Item, phrase: Phrase) -> bool:
    """Tell a heat nobody named, "54.5 for three hours", in a clause that opens no step; our guess is asked."""
    words = builder.plan.rulebase.trade_words
    if phrase.low is None or phrase.high is None or phrase.low < words["likely from"]["bath"]:
        return False
    beside = builder.items[max(0, builder.index - 2) : builder.index + 4]
    timed = any(i.phrase is not None and i.phrase.kind == "time" and i.clause == item.clause for i in beside)
    current = builder.current
    if current is not None and not current.closed and current.action in HOT and "temperature" not in current.given:
        return False
    here = current is not None and current.clause == item.clause and not current.closed
    opens = builder.clause_opens()
    if not timed or (opens is not None and not _in_a_bag(builder, opens)) or here:
        return False
    written = builder.plan.cut(item.start, item.end)
    guess = "bath" if phrase.high <= words["likely to"]["bath"] or phrase.high <= BATH_F else "oven"
    letter = "C" if phrase.high <= words["likely to"]["bath"] else "F"
    where = "a bath" if guess == "bath" else "an oven"
    builder.plan.lose(
        item.start, item.end, f"a heat? In what, and is it C or F? We think {where} at {written} {letter}."
    )
    for fact, waiting in [one for one in builder.pending if one[1].clause != item.clause]:
        builder.pending.remove((fact, waiting))
        builder.plan.lose(waiting.start, waiting.end, "it belongs to no step.")
    open_step(builder, guess, item, implied=True)
    return True


def _hot(item: Item) -> bool:
    """Whether a number beside it can only be a temperature."""
    value = item.token.value
    action = str(value[0] if isinstance(value, tuple) else value)
    return item.kind in ("PLACE", "CORE") or (item.kind in ("ACTION", "ACTPLACE") and action in HOT)
