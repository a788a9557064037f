"""Days and times: when it is served, until when it lies, since when it has been out."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from advisor.case.model import Given
from advisor.case.words.opened import open_step
from advisor.errors import InputError
from advisor.units import read_moment, write_moment

if TYPE_CHECKING:
    from advisor.case.words.build import Builder
    from advisor.case.words.draft import Plan
    from advisor.case.words.scopes import Item
    from advisor.case.words.tokens import Token

WAITS: Final = frozenset({"hold", "marinate", "salt", "brine", "thaw", "chill"})
PAST: Final = frozenset({"yesterday", "ago"})
# How a remark ends that an hour without am or pm was taken as the evening.
EVENING: Final = "; say am if you meant the morning"
_LOOSE: Final = re.compile(r"(?<![\d:.])(1[0-2]|[1-9])(?::(\d{2}))?(?![\d:])(?!\s*[ap]\.?m)")
_HOUR: Final = 60


def place_moment(builder: Builder, item: Item) -> None:
    """Put a day and time where it belongs."""
    phrase = item.phrase
    if phrase is None:
        return
    plan = builder.plan
    before = builder.just_before()
    current = builder.current
    if before is not None and before.token.key.split()[-1:] == ["since"]:
        plan.lose(item.start, item.end, "say how long it has been out.")
        return
    if _is_past(builder, item) or _ends_a_wait(builder, item) or _from_till(builder, item):
        return
    serving = current is not None and current.action == "serve"
    if {word.kind for word in phrase.words} <= {"DAY"}:
        # A day alone may be that of the hour said later; what no hour took is listed at the end.
        plan.days.append((_text(phrase.words), item.start, item.end))
        return
    moment = _moment(plan, phrase.words, item)
    if moment is None:
        return
    moment = _of_the_meal(plan, moment, {word.kind for word in phrase.words})
    if plan.serve is not None and plan.serve != moment:
        plan.lose(item.start, item.end, f"it was to be served {write_moment(plan.serve)}. Which is it?")
        return
    plan.serve = moment
    plan.meal = {word.kind for word in phrase.words} <= {"MEAL", "DAY", "AT"}
    plan.place(item.start, item.end)
    if builder.label == ("goal", "serve"):
        builder.label = None
    elif not serving:
        plan.remark(f"'{plan.cut(item.start, item.end)}' is taken as the time it is served")
        if not any(draft.action == "serve" for draft in plan.drafts):
            kept = builder.current
            open_step(builder, "serve", item, implied=True)
            builder.current = kept


def _is_past(builder: Builder, item: Item) -> bool:
    """Ask about "yesterday 7 pm", which is no hour to serve at; False where it is not said so."""
    before, beside = builder.just_before(), builder.items[builder.index + 1 : builder.index + 2]
    past = next((one for one in (before, *beside) if one is not None and one.token.key in PAST), None)
    if past is None:
        return False
    first, last = sorted((past, item), key=lambda one: one.start)
    builder.plan.lose(first.start, last.end, "that is past. When will it be served?")
    return True


def _of_the_meal(plan: Plan, moment: datetime, kinds: set[str]) -> datetime:
    """Put the hour to the meal that was named before: "dinner tomorrow, 19:30", or the meal to the hour."""
    if plan.serve is None or kinds & {"DAY", "DATE", "MONTH"}:
        return moment
    if plan.meal and "MEAL" not in kinds:
        plan.serve = datetime.combine(plan.serve.date(), moment.timetz())
        return plan.serve
    return plan.serve if kinds <= {"MEAL", "AT"} and not plan.meal else moment


def _ends_a_wait(builder: Builder, item: Item) -> bool:
    """Read "until Saturday noon" as the end of the open step; False where it is not said so."""
    before, current = builder.just_before(), builder.current
    if before is None or before.kind not in ("UNTIL", "PREP_TO") or current is None or current.action == "serve":
        return False
    _until(builder, item)
    return True


def _from_till(builder: Builder, item: Item) -> bool:
    """Read "from Friday 6pm till Saturday noon" as how long the open step takes; False where it is not said so."""
    plan, current, before = builder.plan, builder.current, builder.just_before()
    joins, last = (*builder.items[builder.index + 1 : builder.index + 3], None, None)[:2]
    said = before is not None and before.token.key == "from"
    open_ = current is not None and not current.closed and current.action != "serve" and "minutes" not in current.given
    if said and open_ and item.phrase is not None and any(word.kind == "TO_NUM" for word in item.phrase.words):
        # "from 9 to 2pm": morning or evening, nobody can tell.
        plan.lose(item.start, item.end, "say how long it is, in hours.")
        return True
    joined = joins is not None and joins.kind in ("UNTIL", "PREP_TO", "TO_NUM")
    if not said or not joined or last is None or last.phrase is None or last.phrase.name != "moment":
        return False
    if current is None or not open_:
        return False
    begins = _moment(plan, item.phrase.words if item.phrase is not None else (), item)
    if begins is None:
        return True
    try:
        text = _text(last.phrase.words)
        dated = any(word.kind in ("DAY", "DATE", "MONTH") for word in last.phrase.words)
        ends = read_moment(text, plan.now if dated else begins)
        ends = ends if ends > begins else read_moment(text, begins)
    except InputError as error:
        plan.lose(item.start, last.end, str(error))
        last.kind = "FILL"
        return True
    written = plan.cut(item.start, last.end)
    note = f"from {write_moment(begins, now=plan.now)} until {write_moment(ends, now=plan.now)}"
    current.given["minutes"] = Given((ends - begins).total_seconds() / _HOUR, "written", f"from {written}", note)
    plan.place(item.start, last.end)
    last.kind = "FILL"
    return True


def _until(builder: Builder, item: Item) -> None:
    """A wait until a time of day: reckoned from now, which is the longest it can be."""
    plan, current = builder.plan, builder.current
    words = item.phrase.words if item.phrase is not None else ()
    only_day = {word.kind for word in words} <= {"DAY"}
    moment = _end_of(plan, _text(words)) if only_day else _moment(plan, words, item)
    if moment is None or current is None:
        return
    if current.action not in WAITS or "minutes" in current.given:
        plan.lose(item.start, item.end, "say how long it is, in hours.")
        return
    minutes = (moment - plan.now).total_seconds() / _HOUR
    written = plan.cut(item.start, item.end)
    plan.days += [(word.key, word.start, word.end) for word in words if word.kind == "DAY"]
    note = f"from now until {write_moment(moment, now=plan.now)}, the longest it can be"
    current.given["minutes"] = Given(float(minutes), "written", f"until {written}", note)
    plan.place(item.start, item.end)


def _end_of(plan: Plan, day: str) -> datetime | None:
    """The last minute of a day that was named without an hour: the longest it can be."""
    try:
        return read_moment(f"{day} 23:59", plan.now) + timedelta(minutes=1)
    except InputError:
        return None


def _moment(plan: Plan, words: tuple[Token, ...], item: Item) -> datetime | None:
    text = _text(words)
    if plan.days and not {word.kind for word in words} & {"DAY", "DATE", "MONTH"}:
        day, start, end = plan.days[-1]
        plan.remark(f"'{plan.cut(item.start, item.end)}' is taken as that of {plan.cut(start, end)}, named before")
        plan.place(start, end)
        text = f"{day} {text}"
    for tried, remark in _ways(text):
        try:
            moment = read_moment(tried, plan.now)
        except InputError as error:
            last = error
            continue
        if remark:
            plan.remark(f"'{plan.cut(item.start, item.end)}' is taken as {write_moment(moment, now=plan.now)}{remark}")
        return moment
    why = str(last) if any(character.isdigit() for character in text) else ""
    plan.lose(item.start, item.end, why)
    return None


def _ways(text: str) -> list[tuple[str, str]]:
    """The text as it stands; then, where it could be morning or evening, as the evening."""
    ways = [(text, "")]
    if _LOOSE.search(text):
        ways.append((_LOOSE.sub(lambda m: f"{m.group()} pm", text, count=1), EVENING))
    return ways


def _text(words: tuple[Token, ...]) -> str:
    """Write a moment so that the reader of moments knows it; of two times the earlier."""
    parts: list[str] = []
    half = next((w.key.replace(" ", "") for w in words if w.kind == "HALF_DAY"), "")
    earlier = False
    for index, word in enumerate(words):
        if word.kind == "TO_NUM":
            earlier = True
        if earlier and word.kind != "DAY":
            continue
        if word.kind == "MEAL":
            minutes = int(float(str(word.value)))
            parts.append(f"{minutes // _HOUR:02d}:{minutes % _HOUR:02d}")
        elif word.kind.startswith("NUM"):
            ranged = index + 1 < len(words) and words[index + 1].kind == "TO_NUM"
            parts.append(f"{word.value} {half}" if ranged and half else str(word.value))
        elif word.kind == "CLOCK":
            parts.append(str(word.value))
        elif word.kind in ("HALF_DAY", "DATE"):
            parts.append(word.text)
        elif word.kind == "DAY":
            parts.append({"this evening": "tonight", "tomorrow night": "tomorrow", "tomorrow evening": "tomorrow",
                          "this afternoon": "today"}.get(word.key, word.key))  # fmt: skip
        elif word.kind in ("NOON", "MONTH"):
            parts.append("noon" if word.kind == "NOON" else word.key)
    return " ".join(parts)
