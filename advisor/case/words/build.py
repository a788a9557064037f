"""Items to a plan: each action opens a step, each thing, place and figure goes to the step it stands by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from advisor.case.complete import PLACE_OF_ACTION
from advisor.case.model import Given, Ingredient
from advisor.case.words.bare import place_bare
from advisor.case.words.classify import STOPS
from advisor.case.words.draft import ACTION_OF_PLACE, COLD, LIES, TAKES, Draft, Plan
from advisor.case.words.figures import place_dose, place_figure
from advisor.case.words.moments import place_moment
from advisor.case.words.scopes import LIGHT, Item

if TYPE_CHECKING:
    from collections.abc import Sequence

SALTY: Final = frozenset({"salt", "curing_salt"})
COOKS: Final = frozenset({"bath", "oven", "braise", "pan", "grill", "reheat"})


class Builder:
    """Walks the items of a text once."""

    def __init__(self, plan: Plan, items: Sequence[Item]) -> None:
        self.plan = plan
        self.items = [item for item in items if item.part == "said"]
        self.index = 0
        self.current: Draft | None = None
        self.insert_at: int | None = None
        self.pending: list[tuple[str, Item]] = []
        self.label: tuple[str, str] | None = None
        self.core = -1  # clause in which the middle was named and no temperature has followed
        self.out = -1  # clause in which the meat was said to have been out
        self.until = -1  # index of the item behind "until"
        self.form: Item | None = None
        self.with_at = -1  # index of the last thing put on
        self.cuts: list[Item] = []
        self.animals: list[Item] = []
        self.meats: list[Item] = []
        self.junk: list[Item] = []

    # ---- looking about

    def ahead(self, light: frozenset[str] = LIGHT) -> Item | None:
        """The next item that weighs, in the same clause; None at its end."""
        for item in self.items[self.index + 1 :]:
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                return None
            if item.kind not in light:
                return item
        return None

    def behind(self, light: frozenset[str] = LIGHT, *, over_stop: bool = False) -> tuple[int, Item] | None:
        """The last item that weighs, in the same clause unless asked."""
        for index in range(self.index - 1, -1, -1):
            item = self.items[index]
            if item.kind in STOPS and over_stop:
                continue
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                return None
            if item.kind not in light:
                return index, item
        return None

    def just_before(self) -> Item | None:
        """The item before, whatever it is."""
        return self.items[self.index - 1] if self.index else None

    def clause_opens(self) -> Item | None:
        """What opens a step later in this clause, before another figure of a step's."""
        for item in self.items[self.index + 1 :]:
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                return None
            if item.kind in ("ACTION", "ACTPLACE", "PLACE"):
                return item
        return None

    def begins_clause(self) -> bool:
        """Whether nothing that weighs stands before it in the clause."""
        light = LIGHT | {"FIRST", "BETWEEN", "LABEL"}
        for item in reversed(self.items[: self.index]):
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP", "AFTER"):
                return True
            if item.kind not in light and item.phrase is None:
                return False
        return True

    # ---- the walk

    def run(self) -> None:
        """Read every item."""
        while self.index < len(self.items):
            item = self.items[self.index]
            handler = getattr(self, f"on_{item.kind.lower()}", None)
            if handler is not None:
                handler(item)
            elif item.kind not in LIGHT and item.kind not in STOPS and item.numeric:
                self.plan.lose(item.start, item.end, "a number that has no place in the plan.")
            if item.kind in STOPS or item.kind in ("THEN", "AND_STOP"):
                self.end_clause(item)
            self.index += 1
        self.end()

    def end_clause(self, item: Item) -> None:
        """End a clause: "then" closes the step."""
        if item.kind == "THEN" and self.current is not None:
            self.current.closed = True
        if item.kind != "SOFT" or self.insert_at is not None:
            self.insert_at = None
        if item.kind in ("HARD", "ASKED"):
            self.label = None

    def end(self) -> None:
        """Give what still waits to the last step, if it can be its; list the rest."""
        for fact, item in self.pending:
            phrase = item.phrase
            if phrase is None:
                continue
            last = self.current
            if last is not None and not last.closed and fact not in last.given and fact != "until_core":
                self.put_on(last, fact, item)
            else:
                self.plan.lose(item.start, item.end, "it belongs to no step.")
        self.pending = []

    # ---- steps

    def open(self, action: str, item: Item, *, implied: bool = False) -> Draft:
        """Begin a step, and give it what waited for it."""
        draft = Draft(action, implied=implied, clause=item.clause, start=item.start)
        if self.insert_at is not None:
            self.plan.drafts.insert(self.insert_at, draft)
            self.insert_at += 1
        else:
            served = self.plan.drafts[-1:] if self.plan.drafts and self.plan.drafts[-1].action == "serve" else []
            early = bool(served) and len(self.plan.drafts) == 1
            self.plan.drafts.insert(0 if early else len(self.plan.drafts), draft)
        self.current = draft
        self.flush()
        return draft

    def flush(self) -> None:
        """Give the current step what waited for one."""
        waiting, self.pending = self.pending, []
        for fact, item in waiting:
            if self.current is not None:
                self.put_on(self.current, fact, item)

    def put_on(self, draft: Draft, fact: str, item: Item) -> None:
        """Put a figure on a step."""
        phrase = item.phrase
        if phrase is None:
            return
        if phrase.name == "bare":
            place_bare(self.plan, draft, fact, phrase)
            return
        entry = self.plan.rulebase.vocabulary["step"][fact]
        self.plan.put(draft.given, entry, fact, phrase, action=draft.action)

    def on_label(self, item: Item) -> None:
        """Note the fact that is named before a colon."""
        value = item.token.value
        if isinstance(value, tuple):
            self.label = (str(value[0]), str(value[1]))

    def on_after(self, item: Item) -> None:
        """Put Y first in "X after Y"; "after Y, X" stands in order already."""
        del item
        before = self.behind()
        if before is not None and self.current is not None:
            self.insert_at = self.plan.drafts.index(self.current)

    def on_before(self, item: Item) -> None:
        """Hold "before" to the order in which the steps were said."""
        following = self.ahead(LIGHT | {"FILL"})
        if following is None or following.kind not in ("ACTION", "ACTPLACE"):
            return
        action = _action(following)
        known = any(draft.action == action for draft in self.plan.drafts)
        if self.behind() is None or known:
            self.plan.ask(f"'{self.plan.cut(item.start, following.end)}': which comes first? Say the steps in order.")
        if known:
            following.kind = "FILL"

    def on_first(self, item: Item) -> None:
        """Ask about a step that is said late and done first."""
        if len(self.plan.drafts) > 1 and self.behind() is not None:
            self.plan.ask(f"'{self.plan.cut(item.start, item.end)}': which comes first? Say the steps in order.")

    def on_action(self, item: Item) -> None:
        """Open a step, or stay in the one that is meant."""
        action = _action(item)
        current = self.current
        following = self.ahead()
        if action == "serve" and any(draft.action == "serve" for draft in self.plan.drafts):
            self.current = next(draft for draft in self.plan.drafts if draft.action == "serve")
            return
        if self.insert_at is not None and any(draft.action == action for draft in self.plan.drafts):
            return  # "rest after searing": the sear is there already
        if current is not None and self.stays(current, action, item):
            return
        draft = self.open(action, item)
        # "pounded flank": said of the meat, so what follows belongs to the piece until the step is named again.
        draft.named = draft.closed = (
            following is not None and following.kind in ("CUT", "MEAT") and item.token.key.endswith("ed")
        )
        draft.referred = self.insert_at is not None and following is None

    def stays(self, current: Draft, action: str, item: Item) -> bool:
        """Whether the step that is open is meant, or becomes the one that is meant."""
        if current.named and current.action == action and not current.given:
            current.closed = current.named = False
            return True
        if current.closed:
            return False
        # "rub it with garlic, leave overnight": the leaving is the marinating.
        leaves = action == "hold" and "minutes" not in current.given
        if leaves and current.action in ("marinate", "salt", "brine", "thaw"):
            return True
        if current.clause != item.clause:
            return False
        if current.action == "chill" and action == "ice" and not current.given:
            current.action = "ice"
            return True
        if current.implied and current.action == "hold" and action in TAKES and "minutes" in current.given:
            current.action, current.implied = action, False
            return True
        if action == "salt" and current.action in TAKES - {"salt"}:
            self.add(Ingredient("table_salt", item.token.text), item)
            return True
        reheats = action in COOKS and current.action == "reheat"
        pumps = action == "brine" and current.action in ("inject", "tumble")
        return current.action == action or reheats or pumps

    def on_actplace(self, item: Item) -> None:
        """A word that is a step and its place: it is the place where a step lies there already, or after *in the*."""
        action, place = _pair(item)
        current = self.current
        if self.label == ("step", "place") and current is not None:
            self.label = None
            self.set_place(current, place, item)
            return
        before = self.just_before()
        inside = self.after_prep()
        if current is not None and inside and not current.closed and current.clause == item.clause:
            fits = current.action == action or (current.action == "reheat" and action in COOKS)
            if fits and "place" not in current.given:
                self.set_place(current, place, item)
                return
        if current is not None and current.action == "hold" and current.implied is False and before is not None:
            fits = current.clause == item.clause and "place" not in current.given and inside
            if fits and place not in ACTION_OF_PLACE:
                self.set_place(current, place, item)
                return
        self.on_action(item)
        said = inside or place != PLACE_OF_ACTION.get(action)
        if self.current is not None and said and self.current.action == action and "place" not in self.current.given:
            self.set_place(self.current, place, item)

    def after_prep(self) -> bool:
        """Whether *in* or *on* stands before it, with only small words between."""
        for item in reversed(self.items[: self.index]):
            if item.kind == "PREP" or (item.kind == "FILL" and item.token.key.startswith(("in ", "on "))):
                return True
            if item.kind not in ("FILL", "A", "OF"):
                return False
        return False

    def after_with(self) -> bool:
        """Whether *with* stands before it, with only small words between."""
        for item in reversed(self.items[: self.index]):
            if item.token.key == "with":
                return True
            if item.kind not in LIGHT:
                return False
        return False

    def on_place(self, item: Item) -> None:
        """Give a place to the step that lies there, or open the step that the place is for."""
        place = str(item.token.value if not isinstance(item.token.value, tuple) else item.token.value[0])
        current = self.current
        if item.token.kind.endswith("~") and isinstance(item.token.value, tuple):
            self.plan.remark(f"read '{item.token.text}' as {item.token.value[1]}")
        if self.label == ("step", "place") and current is not None:
            self.label = None
            self.set_place(current, place, item)
            return
        own = ACTION_OF_PLACE.get(place)
        before = self.behind(LIGHT - {"OR"})
        if before is not None and before[1].kind == "OR" and current is not None and "place" in current.given:
            self.either_place(current, place, item)
            return
        if current is not None and not current.closed:
            lies = current.action in LIES and own not in ("bath", "oven", "pan", "grill", "braise")
            cooks = own == current.action or (current.action == "reheat" and own in COOKS)
            same = current.given.get("place")
            chills = not (current.action == "bag" and current.clause != item.clause)
            empty = current.implied and current.action == "hold" and "minutes" not in current.given
            if same is not None and same.value == place and (current.clause == item.clause or empty):
                return
            if place == "hot_cupboard" and current.action == "hold":
                current.action = "hot_hold"
            if (lies or cooks) and same is None and chills:
                self.set_place(current, place, item)
                self.flush()
                return
        cooked = any(draft.action in COOKS for draft in self.plan.drafts[: self.insert_at])
        action = own or ("chill" if cooked and place in COLD else "hold")
        draft = self.open(action, item, implied=True)
        if own is None or self.after_prep() or place != PLACE_OF_ACTION.get(action):
            self.set_place(draft, place, item)

    def set_place(self, draft: Draft, place: str, item: Item) -> None:
        """Note the place of a step."""
        note = ""
        value = item.token.value
        if item.token.kind.endswith("~") and isinstance(value, tuple):
            note = f"read '{item.token.text}' as {value[1]}"
        draft.given["place"] = Given(place, "written", item.token.text, note)

    def either_place(self, draft: Draft, place: str, item: Item) -> None:
        """Of two places the worse: they stand from cold to warm in the vocabulary."""
        order = self.plan.rulebase.vocabulary["step"]["place"].choices
        kept = str(draft.given["place"].value)
        worse = max(kept, place, key=order.index)
        if worse != kept:
            written = f"{draft.given['place'].as_written} or {item.token.text}"
            draft.given["place"] = Given(worse, "written", written, "the warmer of the two is taken, the worse one")

    # ---- things put on

    def on_form(self, item: Item) -> None:
        """Keep the form of a thing: raw, tinned, dried."""
        before = self.behind(LIGHT - {"FORM"}, over_stop=True)
        following = self.ahead(LIGHT - {"FORM"})
        if following is not None and following.kind == "WITH":
            self.form = item
        elif before is not None and before[1].kind == "WITH" and self.current is not None and self.current.ingredients:
            last = self.current.ingredients[-1]
            if last.form in ("", "unknown") and before[0] == self.with_at:
                from dataclasses import replace

                self.current.ingredients[-1] = replace(last, form=str(item.token.value))

    def on_with(self, item: Item) -> None:
        """Read a thing that is put on."""
        value = item.token.value
        slip = isinstance(value, tuple)
        what = str(value[0] if isinstance(value, tuple) else value)
        name = item.token.text
        softens = what in self.plan.rulebase.tenderisers
        form = ""
        if self.form is not None:
            form = str(self.form.token.value)
            self.form = None
        first = item.token.key.split()[0] if not slip else ""
        if not form and first == "fresh" and not self.called(what).startswith("fresh"):
            form = "fresh"
        if not form and softens:
            form = "unknown"
        note = f"read '{item.token.text}' as {value[1]}" if isinstance(value, tuple) else ""
        if note:
            self.plan.remark(note)
        self.add(Ingredient(what, name, form if softens or form else ""), item)
        self.with_at = self.index

    def called(self, what: str) -> str:
        """What the rulebase itself calls a thing."""
        book = self.plan.rulebase
        return book.tenderisers[what].name if what in book.tenderisers else book.materials[what].name

    def add(self, thing: Ingredient, item: Item) -> Draft:
        """Put a thing on the meat, in the step it stands by or in one of its own."""
        salty = self.salty(thing.what)
        current = self.current
        same = current is not None and current.clause == item.clause
        before = self.behind(LIGHT, over_stop=True)
        chain = before is not None and (before[0] == self.with_at or before[1].phrase is not None) and self.with_at >= 0
        if current is not None and not current.closed:
            if current.action in TAKES and (
                same or current.implied or chain or current.action in ("marinate", "brine", "salt")
            ):
                if current.action == "hold":
                    bare = "minutes" not in current.given and "place" not in current.given and self.after_prep()
                    if not bare and not (same and current.implied):
                        current = None
                    else:
                        current.action = "salt" if salty else "marinate"
                if current is not None:
                    if current.action == "salt" and current.implied and not salty:
                        current.action = "marinate"
                    again = [had for had in current.ingredients if had.what == thing.what and had.grams is None]
                    if again and again[0].share_pct is None:
                        # Named twice: what follows is said of it, so it goes last.
                        current.ingredients.remove(again[0])
                        thing = again[0] if again[0].form not in ("", "unknown") else thing
                    current.ingredients.append(thing)
                    self.flush()
                    return current
            elif current.action in COOKS and same and (self.after_prep() or self.after_with()):
                current.ingredients.append(thing)
                return current
        draft = self.open("salt" if salty else "marinate", item, implied=True)
        draft.ingredients.append(thing)
        return draft

    def salty(self, what: str) -> bool:
        """Whether it is salt itself."""
        material = self.plan.rulebase.materials.get(what)
        return material is not None and material.kind in SALTY

    # ---- what it is

    def on_cut(self, item: Item) -> None:
        """Keep a word for the cut until all are read."""
        self.cuts.append(item)
        self.label = None

    def on_animal(self, item: Item) -> None:
        """Keep a word for the animal until all are read."""
        self.animals.append(item)
        self.label = None

    def on_meat(self, item: Item) -> None:
        """A word for an animal that is also a cut of it: the cut only where no other is named."""
        self.meats.append(item)
        self.label = None

    def on_code(self, item: Item) -> None:
        """Note the food code."""
        self.plan.code = str(item.token.value)

    def on_core(self, item: Item) -> None:
        """Note that the middle is meant."""
        self.core = item.clause

    def on_until(self, item: Item) -> None:
        """Note that what follows ends the step."""
        del item
        self.until = self.index

    def on_prep_to(self, item: Item) -> None:
        """Note that what follows may end the step."""
        self.on_until(item)

    def on_choice(self, item: Item) -> None:
        """Note a choice of the vocabulary."""
        value = item.token.value
        if not isinstance(value, tuple):
            return
        subject, fact, choice = map(str, value)
        self.label = None
        if subject == "goal":
            self.plan.code = choice
            return
        given = Given(choice, "written", item.token.text)
        if subject == "step":
            if self.current is not None:
                self.current.given[fact] = given
            else:
                self.plan.lose(item.start, item.end)
            return
        if (fact, choice) == ("start_state", "out"):
            self.out = item.clause
        if fact == "form" and self.current is not None and choice in ("slices", "cubes"):
            self.plan.lose(item.start, item.end)
            return
        self.set_choice(self.plan.piece if subject == "piece" else self.plan.guests, subject, fact, given)

    def set_choice(self, given: dict[str, Given], subject: str, fact: str, new: Given) -> None:
        """Note a choice; of two the worse, which stands later in the vocabulary."""
        kept = given.get(fact)
        if kept is None or kept.value == new.value:
            given[fact] = new
            return
        order = self.plan.rulebase.vocabulary[subject][fact].choices
        joined = self.behind(LIGHT - {"OR"})
        either = joined is not None and joined[1].kind == "OR"
        if isinstance(kept.value, str) and isinstance(new.value, str):
            worse = max(kept.value, new.value, key=order.index)
            given[fact] = Given(worse, "written", f"{kept.as_written} or {new.as_written}", "the worse is taken")
        if not either:
            self.plan.ask(f"'{kept.as_written}' and '{new.as_written}' cannot both be so. Which is it?")

    def on_how_thick(self, item: Item) -> None:
        """The thickness is named."""
        self.about("thickness", item)

    def on_how_heavy(self, item: Item) -> None:
        """The weight is named."""
        self.about("weight", item)

    def on_how_long(self, item: Item) -> None:
        """The time out of the cold is named."""
        if "start_state" in self.plan.piece:
            self.about("out_minutes", item)

    def about(self, fact: str, item: Item) -> None:
        """A fact was named: what follows is its value, or it is not known."""
        near = [i for i in self.items[max(0, self.index - 4) : self.index + 4] if i.kind == "NOT_KNOWN"]
        if near:
            written = self.plan.cut(min(near[0].start, item.start), max(near[0].end, item.end))
            self.plan.piece[fact] = Given(None, "not known", written)
            near[0].part = "used"
        else:
            self.label = ("piece", fact)

    def on_not_known(self, item: Item) -> None:
        """Note that a fact is not known."""
        if self.label is not None and self.label[0] != "step":
            subject, fact = self.label
            (self.plan.piece if subject == "piece" else self.plan.guests)[fact] = Given(
                None, "not known", item.token.text
            )
            self.label = None
        elif self.label is not None and self.current is not None:
            self.current.given[self.label[1]] = Given(None, "not known", item.token.text)
            self.label = None
        elif item.part == "said" and not any(
            i.kind.startswith("HOW_") for i in self.items[self.index : self.index + 4]
        ):
            self.plan.lose(item.start, item.end)

    # ---- words and figures

    def on_junk(self, item: Item) -> None:
        """List a word that is nothing we know."""
        self.plan.lost.append((item.start, item.end))
        if item.numeric:
            self.plan.lose(item.start, item.end, "a number that has no place in the plan.")

    def on_vague(self, item: Item) -> None:
        """List an amount that is none."""
        self.plan.lost.append((item.start, item.end))

    def on_liquor(self, item: Item) -> None:
        """List a liquid of unknown strength."""
        self.plan.lost.append((item.start, item.end))

    def on_phrase(self, item: Item) -> None:
        """Put a phrase with a figure in its place."""
        phrase = item.phrase
        if phrase is None:
            return
        if phrase.name == "vague":
            self.on_vague_phrase(item)
        elif phrase.name == "moment":
            place_moment(self, item)
        elif phrase.name == "dose":
            place_dose(self, item)
        else:
            place_figure(self, item)

    def on_vague_phrase(self, item: Item) -> None:
        """Ask about "a few hours", which is no figure; "a pinch of salt" is an amount nobody said."""
        timed = any(word.kind.startswith("U") for word in item.phrase.words) if item.phrase is not None else False
        if timed:
            self.plan.lose(item.start, item.end, "that is no fixed amount. How much is it at the most?")
        else:
            self.plan.lost.append((item.start, item.end))


def _action(item: Item) -> str:
    value = item.token.value
    return str(value[0] if isinstance(value, tuple) else value)


def _pair(item: Item) -> tuple[str, str]:
    value = item.token.value
    if isinstance(value, tuple):
        return str(value[0]), str(value[1])
    return str(value), ""
