"""Tokens to terminals of the grammar: names and units by the lexicon, numbers by what stands behind them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from advisor.case.words import english
from advisor.case.words.joined import ASKED, HARD, NUMERIC, SOFT, dosed, doses_joined, minus_joined, ranged
from advisor.case.words.lexicon import LONGEST, Lexicon, Words
from advisor.case.words.tokens import Token

if TYPE_CHECKING:
    from collections.abc import Sequence

# Where a word may be two things, the earlier of these is tried first; `_picked` knows the exceptions.
ORDER: Final = (
    "LABEL", "CHOICE", "SPAN", "CUT", "WITH", "ACTION", "PLACE", "ANIMAL", "CODE", "MEAL", "DAY", "FORM",
)  # fmt: skip
_ONE_LETTER: Final = 1
_NOT_AFTER_INCH: Final = frozenset({"PLACE", "WITH", "ACTION"})
_ARTICLES: Final = frozenset({"a", "an"})
# What stands behind "salt" where it is a verb.
SALTED: Final = frozenset({"it", "the", "them", "all", "well", "overnight", "generously", "ahead", "both"})
# What stands behind "leave out" where it is told how long or where.
STAYS: Final = frozenset({"for", "overnight", "all", "at", "on", "until", "till", "a"})
OBJECTS: Final = frozenset({"it", "the", "them", "all", "both"})
HEAVY: Final = frozenset({"kg", "kilo", "kilos", "kilogram", "kilograms", "lb", "lbs", "pound", "pounds"})
_EACH: Final = frozenset({"per", "a", "the", "each", "every"})
_PER: Final = (["per"], ["/"], ["to", "the"], ["for", "each"], ["for", "every"])
_FAR: Final = 6  # words of a thing between its amount and "per"
# Where a spoon may stand without a number; behind any other word that word may have said how many.
_BEFORE_A_SPOON: Final = frozenset({"", "SOFT", "HARD", "WITH", "AND", "ACTION", "THEN"})
_WORDS_BEFORE_A_SPOON: Final = frozenset({"with", "use", "the"})
_DETERMINERS: Final = frozenset({"the", "my", "our", "a", "an", "their", "his", "her", "this", "that"})


class Classifier:
    """Walks the tokens of one text from left to right."""

    def __init__(self, raw: Sequence[Token], lexicon: Lexicon, text: str) -> None:
        self.raw, self.lexicon, self.text = list(raw), lexicon, text
        self.out: list[Token] = []
        self.place = 0

    def run(self) -> list[Token]:
        """Give the terminals of the whole text; words that are nothing come out as ``JUNK``."""
        while self.place < len(self.raw):
            before = self.place
            for step in (self.label, self.stop, self.number, self.part, self.unit, self.each, self.word, self.mark):
                if step():
                    break
            if self.place == before:
                self.emit("JUNK", 1)
        return ranged(minus_joined(doses_joined(self.out)))

    # ---- helpers

    def emit(self, kind: str, count: int, value: object = None) -> bool:
        """Put out a terminal made of the next tokens."""
        first, last = self.raw[self.place], self.raw[self.place + count - 1]
        key = " ".join(t.key for t in self.raw[self.place : self.place + count] if t.kind == "word")
        self.out.append(Token(kind, self.text[first.start : last.end], first.start, last.end, key or first.key, value))
        self.place += count
        return True

    def peek(self, ahead: int = 0) -> Token | None:
        """Give a token further on; None at the end."""
        index = self.place + ahead
        return self.raw[index] if 0 <= index < len(self.raw) else None

    def last(self, back: int = 1) -> str:
        """Kind of a terminal put out before."""
        return self.out[-back].kind if len(self.out) >= back else ""

    def tight(self, ahead: int = 0) -> bool:
        """Whether nothing stands between this token and the one before."""
        index = self.place + ahead
        return 0 < index < len(self.raw) and self.raw[index].start == self.raw[index - 1].end

    def phrase(self, longest: int = LONGEST) -> tuple[int, Words]:
        """Words that stand here, hyphens between them left out: (tokens taken, words) of the longest run."""
        words: list[str] = []
        taken = index = 0
        ends: list[tuple[int, Words]] = []
        while len(words) < longest and (token := self.peek(index)) is not None:
            if token.kind == "word":
                words.append(token.key)
                taken = index + 1
                ends.append((taken, tuple(words)))
            elif not (token.text in "-‐‑–" and words and self._joins(index)):
                break
            index += 1
        for count, (taken, found) in reversed(list(enumerate(ends))):
            if len(found) > 1 and found[-1] == "the" and count + 1 < len(ends):
                after = ends[count + 1][1][-1]
                if ("the", after) in self.lexicon.roles:
                    continue  # "on the pass": a name that has its article
            if found in self.lexicon.roles:
                return taken, found
            if singular := _singular(found, self.lexicon):
                return taken, singular
        return 0, ()

    def _joins(self, index: int) -> bool:
        after = self.peek(index + 1)
        return self.tight(index) and self.tight(index + 1) and after is not None and after.kind == "word"

    # ---- what may stand here

    def label(self) -> bool:
        """A fact by its name and a colon: "start state: frozen"."""
        words: list[str] = []
        index = 0
        while (token := self.peek(index)) is not None and token.kind == "word" and len(words) < LONGEST:
            words.append(token.key)
            index += 1
        colon = self.peek(index)
        if not words or colon is None or colon.text not in ":=":
            return False
        fact = self.lexicon.labels.get(tuple(words)) or self._by_choice(tuple(words), index + 1)
        if fact is None:
            return False
        self.emit("LABEL", index + 1, fact)
        self.choice(fact)
        return True

    def _by_choice(self, words: Words, behind: int) -> tuple[str, str] | None:
        """The fact that is named by one of its answers: "vulnerable guests: no"; None where no answer follows."""
        answer = self.peek(behind)
        for kind, value in self.lexicon.roles.get(words, []):
            if kind == "CHOICE" and isinstance(value, tuple) and answer is not None:
                fact = (str(value[0]), str(value[1]))
                whole = fact != ("guests", "vulnerable") or " ".join(words) in english.ALL_OF_THEM
                if whole and (answer.key,) in self.lexicon.choices.get(fact, {}):
                    return fact
        return None

    def choice(self, fact: tuple[str, str]) -> None:
        """The choice behind a label."""
        words: list[str] = []
        best: tuple[int, str] | None = None
        index = 0
        while (token := self.peek(index)) is not None and len(words) < 2 * LONGEST:
            if token.kind in ("word", "number"):
                words.append(token.key)
            elif token.text not in ",-_":
                break
            index += 1
            chosen = self.lexicon.choices.get(fact, {}).get(tuple(words))
            best = (index, chosen) if chosen is not None else best
        if best is not None:
            self.emit("CHOICE", best[0], (*fact, best[1]))

    def stop(self) -> bool:
        """A comma, a full stop, a bracket; "min/side" is no stop."""
        token = self.raw[self.place]
        beside = self.peek(1)
        if token.text == "/" and beside is not None and beside.key in ("side", "face"):
            return self.emit("EACH_SIDE", 2)
        if token.kind == "stop":
            return self.emit({"?": ASKED}.get(token.text, HARD), 1)
        if token.text in (",", "(", ")", "[", "]", "|", "—", "•", "*"):
            return self.emit(SOFT, 1)
        if token.text in "/-–" and self.place and not self.tight() and not self.tight(1):
            before, after = self.raw[self.place - 1], self.peek(1)
            if not (before.kind == "number" and after is not None and after.kind == "number"):
                return self.emit(SOFT, 1)
        return False

    def number(self) -> bool:
        """A number in digits or words, a clock, a date."""
        token = self.raw[self.place]
        if token.kind in ("number", "fraction"):
            kind = "FRAC" if token.kind == "fraction" or _is_vulgar(token.text) else "NUM"
            return self.emit(kind, 1, token.text)
        if token.kind == "clock":
            return self.emit("CLOCK", 1, token.text)
        if token.kind == "date":
            return self.emit("DATE", 1, token.text)
        if token.kind == "half_day":
            return self.emit("HALF_DAY", 1, token.text)
        taken, value = self._spelt()
        if not taken or self.phrase()[0] > taken:
            return False
        return self.emit("NUM", taken, str(value))

    def _spelt(self) -> tuple[int, int]:
        """A number in words: (tokens taken, number)."""
        index = total = taken = 0
        start = self.peek()
        if start is not None and start.key in _ARTICLES and (ahead := self.peek(1)) and ahead.key == english.HUNDRED:
            index = 1
        while (token := self.peek(index)) is not None:
            word = token.key
            if word == english.HUNDRED:
                total = max(total, 1) * 100
            elif word in english.NUMBERS and (not taken or total % 100 == 0 or (_fits(total, english.NUMBERS[word]))):
                total += english.NUMBERS[word]
            elif (word == "and" and taken and total >= 100) or (token.text == "-" and taken and self.tight(index)):  # noqa: PLR2004
                after = self.peek(index + 1)
                if after is None or after.key not in english.NUMBERS or not _fits(total, english.NUMBERS[after.key]):
                    break
                index += 1
                continue
            else:
                break
            index += 1
            taken = index
        return taken, total

    def part(self) -> bool:
        """Half, a quarter: a part of a unit."""
        token = self.raw[self.place]
        if token.key in english.PARTS and self.phrase()[0] <= 1:
            return self.emit("HALF", 1, token.key)
        return False

    def unit(self) -> bool:
        """A unit, only where a number or an article stands before it or a half behind."""
        back = 1
        if self.last() == "HEDGE" and self.out[-1].key == "ish":
            back = 2
        before = self.last(back)
        token = self.raw[self.place]
        if token.text in english.DEGREES or token.key in english.DEGREES:
            ahead = self.peek(1)
            if before in NUMERIC and ahead is not None and "UTEMP" in self.lexicon.units.get((ahead.key,), ()):
                return self.emit("UTEMP", 2, ahead.key)
            return self.emit("DEG", 1) if before in NUMERIC else False
        if before == "A" and (self.last(3) == "MONEY" or self._behind_a_lost_unit()):
            return self.emit("JUNK", 1)
        if token.key == "level" and before in NUMERIC and "UVOL" in self._unit_at(1)[1]:
            self.place += 1  # a level spoon is what a spoon means
            token = self.raw[self.place]
        if token.key == "k" and self.tight() and before == "NUM":
            return self.emit("UMASS", 1, "kg")  # "1.2k"
        hyphen = token.text in "-‐‑–" and self.tight() and self.tight(1) and before in NUMERIC
        shift = 1 if hyphen else 0
        taken, kinds, key = self._unit_at(shift)
        if not kinds or not self._unit_fits(before, key, shift + taken):
            return False
        return self.emit(kinds[0], shift + taken, key)

    def _unit_at(self, shift: int) -> tuple[int, tuple[str, ...], str]:
        for length in (2, 1):
            ahead = [self.peek(shift + i) for i in range(length)]
            if all(t is not None for t in ahead):
                key = tuple(t.key if t.kind == "word" else t.text for t in ahead if t is not None)
                if key in self.lexicon.units:
                    return length, self.lexicon.units[key], " ".join(key)
        return 0, (), ""

    def _unit_fits(self, before: str, key: str, taken: int) -> bool:
        after = self.peek(taken)
        if key == "in" and after is not None and after.kind == "word":
            if after.key in _DETERMINERS:
                return False
            self.place += taken
            roles = {role for role, _ in self.lexicon.roles.get(self.phrase()[1], [])}
            self.place -= taken
            if roles & _NOT_AFTER_INCH and not roles & {"CUT", "MEAT"}:
                return False
        if before in (*NUMERIC, "PER", "VAGUE"):
            return True
        if before == "A":
            return len(key) > _ONE_LETTER and key not in ("in", "second", "seconds", '"')
        if before == "OF" and self.last(2) == "HALF":
            return True
        if "UVOL" in self.lexicon.units[tuple(key.split())] and self._opens_a_dose(taken):
            return True  # "teaspoon a pound"
        if (
            len(key) > _ONE_LETTER
            and after is not None
            and after.key == "thick"
            and "ULEN" in self.lexicon.units[(key,)]
        ):
            return True  # "inch thick"
        # "inch and a half"
        ahead = [self.peek(taken + i) for i in range(3)]
        keys = [t.key for t in ahead if t is not None]
        return len(key) > _ONE_LETTER and key != "in" and keys[:1] == ["and"] and bool(set(keys[1:]) & english.PARTS)

    def each(self) -> bool:
        """The word between a dose and the weight it is for: "a teaspoon a pound", "10 g/kg"."""
        unit = dosed(self.out, len(self.out))
        if unit < 0:
            return False
        length = self._each_at(0, near=unit == len(self.out) - 1)
        return self.emit("PER", length) if length else False

    def _each_at(self, ahead: int, *, near: bool) -> int:
        """Tokens of "per", "for each", "a" before a weight; a thing between asks for more than "a": it may open one."""
        for length in (2, 1):
            keys = [w.key or w.text for i in range(length) if (w := self.peek(ahead + i)) is not None]
            sure = keys in _PER
            loose = keys in (["to", "a"], ["for", "a"]) or (len(keys) == 1 and keys[0] in _EACH)
            after, behind = self.peek(ahead + length), self.peek(ahead + length + 1)
            if after is None or not (sure or loose):
                continue
            if "UMASS" in self.lexicon.units.get((after.key,), ()):
                ends = behind is None or behind.kind == "stop" or behind.text in ",)"
                return length if sure or near or ends else 0
            counted = sure and after.kind in ("number", "fraction") and behind is not None
            if counted and behind is not None and "UMASS" in self.lexicon.units.get((behind.key,), ()):
                return length  # "per 100 g"
        return 0

    def _opens_a_dose(self, taken: int) -> bool:
        """Whether a spoon without a number is that of a dose: "teaspoon of salt per pound"."""
        if self.last() not in _BEFORE_A_SPOON and not (self.out and self.out[-1].key in _WORDS_BEFORE_A_SPOON):
            return False
        for index in range(_FAR):
            if self._each_at(taken + index, near=not index):
                return True
            token = self.peek(taken + index)
            if token is None or token.kind != "word":
                return False
        return False

    def _behind_a_lost_unit(self) -> bool:
        """Whether "a pound" stands behind a spoon that could not be read: "heaped teaspoon a pound" is no weight."""
        lost = self.out[-2] if len(self.out) > 1 else None
        return lost is not None and lost.kind == "JUNK" and "UVOL" in self.lexicon.units.get((lost.key,), ())

    def word(self) -> bool:
        """A name, an action, a small word."""
        token = self.raw[self.place]
        if token.kind != "word":
            return False
        before = self.raw[self.place - 1].key if self.place else ""
        if before == "per" and "UMASS" in self.lexicon.units.get((token.key,), ()):
            return self.emit("JUNK", 1)  # "per pound" is never the pounding
        taken, words = self.phrase()
        if taken <= 1:
            if token.key in _ARTICLES:
                return self.emit("A", 1)
            if token.key in ("and", "of", "between"):
                return self.emit(token.key.upper(), 1)
        if taken:
            kind, value = self._picked(self.lexicon.roles[words], taken)
            if kind == "SPAN" and taken > 1 and self._and_a_part(taken):
                # "a day and a half": a figure with its unit, and no name of a stretch of time.
                number = english.NUMBERS.get(words[0])
                return self.emit("A" if number is None else "NUM", 1, None if number is None else str(number))
            return self.emit(kind, taken, value)
        if whole := self.lexicon.run_on.get(token.key):
            kind, value = self._picked(self.lexicon.roles[whole], 1)
            return self.emit(kind, 1, value)
        return self._slip()

    def _and_a_part(self, taken: int) -> bool:
        """Whether "and a half", or another part, stands behind."""
        keys = [after.key for i in range(3) if (after := self.peek(taken + i)) is not None]
        return keys[:1] == ["and"] and bool(set(keys[1:]) & english.PARTS)

    def _slip(self) -> bool:
        """A name with a slip of the pen, of two words or one; the playback says so."""
        for length in (2, 1):
            ahead = [self.peek(i) for i in range(length)]
            if all(t is not None and t.kind == "word" for t in ahead):
                words = tuple(t.key for t in ahead if t is not None)
                if (hit := self.lexicon.near(words)) is not None:
                    name, kind, value = hit
                    return self.emit(f"{kind}~", length, (value, name))
        return self.emit("JUNK", 1)

    def _picked(self, roles: list[tuple[str, object]], taken: int) -> tuple[str, object]:
        """Choose what a word of several meanings is here."""
        key = self.raw[self.place].key
        if key in english.NOUNS_TOO and taken == 1 and (self.last() in ("A", "PREP") or self._after_the()):
            return "FILL", None
        after = self.peek(taken)
        if (
            key == "kid"
            and taken == 1
            and (self._after_the(english.OURS) or (after and after.key in english.OF_PEOPLE))
        ):
            return "CHOICE", ("guests", "vulnerable", "some")  # a child, and no young goat
        if roles[0][0] == "NOT_THIS" and key == "leave" and after is not None and self._timed(after):
            return "PLACE", "counter"  # "leave out overnight", not "leave out the garlic"
        if key == "no" and taken == 1 and after is not None and after.key in ("just", "only"):
            return "FILL", None  # an answer, and no denial: "cure? no, just salt"
        if key == "roast" and taken == 1 and self.last() in ("CUT", "CUT~", "ANIMAL", "MEAT", "A"):
            return "FILL", None
        if len(roles) == 1:
            return roles[0]
        kinds = dict(reversed(roles))
        if (found := self._doubly(kinds, taken)) is not None:
            return found
        for kind in ORDER:
            if kind in kinds:
                return kind, kinds[kind]
        return roles[0]

    @staticmethod
    def _timed(after: Token) -> bool:
        """Whether a stay is told: "for two hours", "overnight", "on the counter"."""
        return after.kind in ("number", "fraction") or after.key in STAYS

    def _after_the(self, words: frozenset[str] = _DETERMINERS) -> bool:
        before = self.raw[self.place - 1].key if self.place else ""
        return before in words

    def _doubly(self, kinds: dict[str, object], taken: int) -> tuple[str, object] | None:
        """Tell what a word is that is a thing and an action, a cut and an animal, a form and a state."""
        if "WITH" in kinds and kinds.get("ACTION") == "salt":
            after = self.peek(taken)
            verb = after is not None and after.key in SALTED and self.last() not in ("AND", "WITH", "FORM")
            # "60 g salt overnight" is so much of it; a kilo or a pound is the meat that is salted.
            weighed = self.last() in ("UVOL", "UMASS", "OF") and self.out[-1].key not in HEAVY
            verb = verb and not (weighed and after is not None and after.key not in OBJECTS)
            return ("ACTION", "salt") if verb else ("WITH", kinds["WITH"])
        if "DAY" in kinds:
            # "Saturday", not "sat on the counter": behind an hour, or before one.
            after = self.peek(taken)
            timed = self.last() in (*NUMERIC, "CLOCK", "HALF_DAY", "OCLOCK", "AT", "UNTIL", "NOON", "MEAL")
            ahead = after is not None and (after.kind in ("number", "clock") or after.key == "at")
            return ("DAY", kinds["DAY"]) if timed or ahead else None
        if "FEEDS" in kinds:
            return ("FEEDS", None) if self._counts_heads(taken) else ("ACTION", kinds.get("ACTION", "serve"))
        if "CUT" in kinds and "ANIMAL" in kinds:
            return "MEAT", (kinds["CUT"], kinds["ANIMAL"])
        other = "CHOICE" if "CHOICE" in kinds else "ACTION"
        if "FORM" in kinds and other in kinds:
            self.place += taken
            next_roles = {role for role, _ in self.lexicon.roles.get(self.phrase()[1], [])}
            self.place -= taken
            # It may stand before its thing, or in brackets behind it.
            bracket = self.last(2) == "WITH" and self.out[-1].text == "("
            return ("FORM", kinds["FORM"]) if bracket or "WITH" in next_roles else (other, kinds[other])
        if "ACTION" in kinds and "PLACE" in kinds:
            return "ACTPLACE", (kinds["ACTION"], kinds["PLACE"])
        if kinds.get("ACTION") == "marinate" and "FILL" in kinds:
            noun = self.last() in ("FILL", "OF", "NOT_THIS", "PREP")
            return ("FILL", None) if noun else ("ACTION", "marinate")
        return ("FORM", kinds["FORM"]) if "FILL" in kinds and "FORM" in kinds else None

    def _counts_heads(self, taken: int) -> bool:
        """Whether a number of heads follows: "serves 8", and not "serves 8 pm"."""
        hedge = self.peek(taken)
        if hedge is not None and any(role == "HEDGE" for role, _ in self.lexicon.roles.get((hedge.key,), [])):
            taken += 1  # "serves about 15"
        number, behind = self.peek(taken), self.peek(taken + 1)
        if number is None or not (number.kind == "number" or number.key in english.NUMBERS):
            return False
        roles = {role for role, _ in self.lexicon.roles.get((behind.key,), [])} if behind is not None else set()
        clock = behind is not None and (behind.kind == "half_day" or (behind.key,) in self.lexicon.units)
        return not clock and not roles & {"HALF_DAY", "OCLOCK"}

    def mark(self) -> bool:
        """A mark that is no stop."""
        token = self.raw[self.place]
        if token.text in "&+":
            return self.emit("AND", 1)
        if token.text == "~":
            return self.emit("HEDGE", 1)
        if token.text == "@":
            return self.emit("AT", 1)
        if token.text in english.MONEY:
            return self.emit("MONEY", 1)
        if token.text in "-‐‑–−":
            return self.emit("DASH", 1)
        return self.emit("FILL" if token.text in ":=\"'’‘“”`" else "JUNK", 1)


def _fits(total: int, more: int) -> bool:
    """Whether a number word may follow: forty after a hundred, seven after fifty."""
    return (total % 100 == 0 and more < 100) or (total % 10 == 0 and total % 100 != 10 and 0 < more < 10)  # noqa: PLR2004


def _is_vulgar(text: str) -> bool:
    return not any(c.isdecimal() for c in text)


def _singular(words: Words, lexicon: Lexicon) -> Words:
    last = words[-1]
    for end in ("s", "es"):
        if last.endswith(end) and len(last) > len(end) + 2:
            single = (*words[:-1], last.removesuffix(end))
            roles = lexicon.roles.get(single, [])
            if any(kind in ("CUT", "WITH", "ANIMAL", "PLACE") for kind, _ in roles):
                return single
    return ()
