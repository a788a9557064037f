"""The small words of a cook's English that say how other words hang together. Names of things stand in the rulebase."""

# Word lists read best as running text.
# ruff: noqa: SIM905

from __future__ import annotations

from typing import Final


def _table(**groups: str) -> dict[str, str]:
    return {phrase.strip(): role for role, phrases in groups.items() for phrase in phrases.split("|")}


# Phrase (folded, without apostrophes) to the role it plays. The longest phrase wins.
ROLES: Final[dict[str, str]] = _table(
    FILL="the|this|that|these|those|it|its|of|a|an|and|with|i|ive|im|id|we|weve|were|well|you|he|she|"
    "they|them|my|our|your|"
    "is|are|was|be|have|has|had|got|get|gets|give|gives|go|goes|going|take|takes|make|makes|do|does|just|then some|"
    "some|also|too|please|right|so|ok|okay|here|there|will|ill|want|wants|want to|would|like|"
    "would like to|need|needs|"
    "put|puts|putting|pop|pops|place|set|sets|drop|dropped|throw|let|lets|straight|directly|mix|"
    "mixed|bit|bit of|cook|"
    "cooks|cooked|cooking|meat|piece|pieces|cut|cuts|steak|steaks|time|times|one of|this one|"
    "that one|the one|no one else|"
    "dont forget to|dont forget|never skip|overall|in all|total|in total|hot|really hot|very hot|nice|good|big|small|"
    "whole|all|each|every|at all|off|up|down|down to|again|nice and|thing|things|stuff|only|even|"
    "very|quite|really|some more|"
    "above sea level|above the sea|in the mountains|up in the mountains|"
    "for service|beautiful|lovely|lean|trimmed|fresh from the butcher|temp|temperature|temperature of|temp of|reads|"
    "read|reading|hits|reaches|gets to|comes to|weighing|weighs|weight|heavy|which|who|as|plain|"
    "little|little bit|marinade|"
    "bag of|bags|meat is|finally|lastly|plus|mine|us|me|her|his|their|way|same|both|cooker|machine|"
    "set at|set to|setting|"
    "lunch for|supper for|breakfast for|"
    "dish|dinner for|kitchen|low|long|slow|gentle|gently|quick|quickly|hard|half way|now|still|"
    "ready|done|de|la|le|du|au|al|use|uses|using|move|moves|moved|switch|switched|change|changed|"
    "instead|gonna|gotta|apiece|ripping|ripping hot|screaming|screaming hot|smoking hot|"
    "bring to the boil|bring to a boil|bring it to the boil|bring it to a boil|brought to the boil|"
    "brought to a boil|in a pot|in the pot|in a casserole|in a lidded pot|"
    "paste|pastes|ones|finish|finished|rack of|racks of|slab of|slabs of",
    JUNK="reverse sear|reverse seared|reverse searing",
    THEN="then|next|after that|afterwards|followed by|and then|later|thereafter|from there",
    AND_STOP="but|except|otherwise|though|although",
    AFTER="after|once|following",
    BEFORE="before|ahead of|prior to",
    FIRST="first|beforehand",
    PREP="in|into|on|onto|over to|under|inside of|from|through|in to|on to|out in|in with|in the|on the",
    TO="to|or",
    OR="either|nor",
    UNTIL="until|till|til|up until|until it|till it",
    SINCE="since",
    AT="at|by|for|about to",
    NOT_IT="dont|do not|not|never|isnt|is not|wasnt|was not|hasnt|has not|havent|have not|wont|will not|cant|cannot|"
    "arent|are not|werent|doesnt|does not|didnt|did not|shouldnt|should not|aint|avoid|hasnt been|"
    "never been|nobody has|"
    "nothing",
    NOT_THIS="no|without|skip|skip the|skipping|instead of|rather than|none of|minus the|leave out|"
    "leave out the|zero|"
    "nobody|noone|hold the|not any|free of|sans|replace|replace the|swap out|swap out the|drop the",
    LEAST="at least|no less than|not less than|minimum|minimum of|over|more than|upwards of|not under|from at least|"
    "longer than",
    MOST="up to|at most|no more than|not more than|maximum|max|under|less than|not over|below|no longer than|"
    "not longer than|no thicker than",
    HEDGE="about|around|roughly|approx|approximately|circa|ca|say|some where|more or less|give or take|or so|ish|"
    "or thereabouts|thereabouts|maybe about|just over|just under|almost|nearly",
    VAGUE="a couple of|couple of|a couple|couple|a few|few|several|a pinch of|a pinch|pinch of|pinch|"
    "a dash of|dash of|"
    "a handful of|handful of|a splash of|splash of|a shot of|shot of|"
    "shots of|a knob of|knob of|a stick of|a lot of|lots of|a good few",
    SAYS="says|said|reckons|thinks|told me|tells me|swears|swears by|read that|i read|heard|i heard|"
    "used to|according to|"
    "usually|normally|last time|last week|yesterday we|always does|always did|always says|suggests|"
    "suggested|wondered|"
    "recommends|advises|claims|insists",
    IF="if|unless|in case|maybe|perhaps|might|possibly|what if|suppose|whether|could|when the boss|either way",
    NOT_KNOWN="dont know|do not know|not known|no idea|not sure|unsure|who knows|nobody knows|havent measured|"
    "have not measured|didnt measure|no clue|cant tell|dunno|dk|unknown|not measured|forgot",
    HOW_THICK="how thick|the thickness|its thickness|thickness",
    HOW_HEAVY="how heavy|the weight|its weight|what it weighs|how much it weighs",
    HOW_LONG="how long|since when|for how long",
    THICK="thick|in thickness|at the thickest|thick at the thickest|thick at the thickest place|deep at the thickest|"
    "at the thickest place|at its thickest|at the thickest point|thickness of",
    WIDE="wide|in width|across its width|broad",
    LONG_SIDE="long side|in length|lengthways|long each",
    DEEP="deep|in depth|depth of",
    CORE="core|the core|in the core|core temp|core temperature|in the middle|the middle|middle|internal|internally|"
    "internal temp|internal temperature|inside|the inside|in the centre|the centre|centre|in the center|the center|"
    "center|at the core|at the centre|in the thickest part|core reads|middle reads|probe|on the probe|a coeur|"
    "the probe",
    EACH_SIDE="a side|each side|per side|on each side|either side|both sides|on both sides|every side|a face|"
    "each face|"
    "side each|on a side",
    SIDES="sides",
    LIQUOR="solution|brine solution",
    OCLOCK="oclock|o clock",
    HALF_DAY="am|pm|a m|p m",
    NOON="noon|midday",
    DAY="mon|monday|tue|tues|tuesday|wed|wednesday|thu|thur|thurs|thursday|fri|friday|sat|saturday|sun|sunday|today|"
    "tonight|tomorrow|this evening|this afternoon|tomorrow night|tomorrow evening",
    MONTH="jan|january|feb|february|mar|march|apr|april|jun|june|jul|july|aug|august|sep|sept|september|oct|october|"
    "nov|november|dec|december",
    FOOD_CODE="food code|under food code|code",
    FARMED="farmed|from a farm|from the farm|farm raised|farm reared|ranched",
    WILD="wild|hunted|shot|road kill|roadkill|bagged by|bagged|from the hunt|from a hunt|from our hunt|from my hunt|"
    "from hunting|from a hunter|from the hunter|by a hunter|by hunters|a hunter gave|hunted by|killed by a car",
    PEOPLE="people|persons|guests|covers|diners|portions|servings|pax",
    FEEDS="serves|feeds|feed|feeding|to feed|enough for|enough to feed|party of|table of",
    FRESH="freshly|freshly ground",
    OF_MEAT="of the meats weight|of the meat|of its weight|by the meats weight|of meat",
    DAMP="humidity|humid|rh|relative humidity|air humidity|oven humidity",
)
# Words that open a question, so that a sentence with a question mark is told from a plan with one.
ASKS: Final = frozenset(
    "should can could is are do does did would will what how why when which who where was were may shall".split()
)
# What may stand before a plan that is put as a question.
MAY_I: Final = (
    "can i do",
    "can i",
    "could i",
    "may i",
    "should i",
    "what if i",
    "is it ok to",
    "is it okay to",
    "is it safe to",
    "what about",
    "how about",
    "would it be ok to",
    "can we",
    "could we",
    "is this ok",
    "will this work",
)
TAGS: Final = frozenset("right ok okay yes no yeah correct fine good".split())
_SMALL: Final = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
_TENS: Final = "twenty thirty forty fifty sixty seventy eighty ninety".split()
NUMBERS: Final[dict[str, int]] = {word: n for n, word in enumerate(_SMALL)} | {
    word: 10 * n for n, word in enumerate(_TENS, start=2)
}
HUNDRED: Final = "hundred"
PARTS: Final = frozenset("half halves third thirds quarter quarters eighth eighths sixteenth sixteenths".split())
MONEY: Final = frozenset("$£€¥")
DEGREES: Final = frozenset({"°", "º", "˚", "deg", "degs", "degree", "degrees"})
# Never the name of a cut or a thing in free speech, though some list has them so; after a label they are.
NOT_NAMES: Final = frozenset(
    {"inside", "pass", "round", "cure", "leg", "neck end", "cock", "not known", "ice", "juice", "fat", "hand", "plate"}
)
# Common words one slip away from a name; they are what they are.
NOT_SLIPS: Final = frozenset(
    "better butler stack child basic theme flask chicks ribs flash hanged steaming wines breach melon beery groups "
    "order water later table plate plates creamy salty peppery ginger leaves oiled onions bench roomy owner overs "
    "finger backed crack brick thank thanks think thing clock blank blade black bladed penny loins loner "
    "trip tips points pork forks round sound pound pounds grounds cheers cheeky breath breathe beasts".split()
)
# Actions whose word is a plain noun behind an article: "on a plate".
NOUNS_TOO: Final = frozenset({"plate", "plates", "service"})
# Only this word covers all guests at risk; "no kids" leaves the old and the ill.
ALL_OF_THEM: Final = frozenset({"vulnerable", "vulnerable guests", "vulnerable people"})
# Whether somebody is told or asked, before an "if" that conditions nothing: "tell me if this works: ...".
ASKED_IF: Final = frozenset("tell know see check wondering wonder ask say".split())
# What the weight of several pieces is of.
OF_ONE: Final = frozenset({"each", "apiece", "piece"})
OF_ALL: Final = frozenset({"in all", "in total", "total", "overall", "altogether"})
# Before and behind "kid" these tell a child from a young goat.
OURS: Final = frozenset("my our your his her their one little".split())
OF_PEOPLE: Final = frozenset("is has had who whos cannot cant eats comes allergic allergy friendly".split())
# Behind a length these say how far something is from something else.
AWAY: Final = frozenset({"from", "away", "above", "off"})
# A shape in the name of the meat or beside it; and words for what is cut up, which win.
SHAPES: Final[dict[str, frozenset[str]]] = {
    "steak": frozenset({"steak", "steaks", "chop", "chops", "cutlet", "cutlets"}),
    "roast": frozenset({"roast", "joint", "whole"}),
}
CUT_UP: Final = frozenset(
    "mince minced mincemeat grind grinding grinder burger burgers hamburger hamburgers patty patties tartare sausage "
    "sausages meatball meatballs kofta salisbury diced dice cube cubes cubed chunk chunks strips shredded slices "
    "sliced slicing shaved chopped kebab kebabs skewer skewers brochette stew stewing goulash stirfry fajita fajitas "
    "bites nuggets pieces trimmings".split()
)
# Only what is cut up is stirred while it fries.
CUT_UP_FOR: Final = frozenset({"stir"})
# For verbs whose other forms do not follow the rule.
IRREGULAR: Final[dict[str, tuple[str, ...]]] = {
    "hold": ("held",),
    "keep": ("kept",),
    "leave": ("left", "leaving"),
    "beat": ("beaten",),
    "freeze": ("froze",),
    "let it sit": ("sit", "sits", "sat", "stand", "stands", "stood"),
}
