"""The words that say meat is, or was, out of the cold, as patterns; `stays` reads clauses by them."""

from __future__ import annotations

import re
from typing import Final

# Where the rulebase keeps how hot such a place may get, °C.
HEATS: Final = "heat of place left"
# More places out of the cold, no hotter than a kitchen as far as anybody can tell.
COUNTERS: Final = (
    "counter", "countertop", "worktop", "work top", "bench", "sideboard", "kitchen", "windowsill", "balcony", "terrace",
    "handbag", "suitcase", "trolley", "basket", "tent", "shed", "yard", "garden", "office", "desk", "hall", "stairs",
    "carrier bag", "plastic bag", "gym bag", "rucksack", "luggage",
)  # fmt: skip
IN_A: Final = (
    r"\b(?:in|on|at|inside|under|by|into|onto)\s+(?:the\s+|my\s+|our\s+|an?\s+|his\s+|her\s+|their\s+)?"
    r"(?:(?:back|boot|trunk|seat)\s+of\s+(?:the|my|our|a)\s+)?(?:hot\s+|warm\s+|closed\s+|parked\s+|kitchen\s+)*"
)
CLOCK: Final = r"(?:noon|midday|midnight|\d{1,2}(?:[:.]\d{2})?(?:\s*(?:a\.?m\b\.?|p\.?m\b\.?|o.?clock))?)"
_UNIT: Final = r"(?:h|hr|hrs|hours?|min|mins|minutes?|days?|weeks?|c|f|°|deg\w*|mm|cm|in|inch\w*|k?g|lbs?|oz|pounds?|%)"
SPAN: Final = re.compile(
    rf"\b(?:from|between|out)\s+({CLOCK})\s*(?:to|till|until|and|-|–)\s*({CLOCK})(?![\w:])(?!\s*{_UNIT}\b)",
    re.IGNORECASE,
)
TIMES: Final = re.compile(rf"\d[\d.,/ ]*\s*{_UNIT}\b", re.IGNORECASE)
SINCE: Final = re.compile(r"\bsince\b|\bago\s+(?:noon|midday)\b", re.IGNORECASE)
SPLIT: Final = re.compile(
    r"[,;!?\n()]|\.(?!\d)|\s[-–]\s|\b(?:then|plus|but|before|after|followed\s+by|and)\b|&|\+", re.IGNORECASE
)
LAY: Final = re.compile(
    r"\b(?:was|were|been|sat|left|lay|lain|forgot|forgotten|stood|standing|sitting|lying|remained|stayed|spent)\b",
    re.IGNORECASE,
)
# Said of what is past, so of the raw meat, wherever in the text it stands.
WAS: Final = re.compile(r"\b(?:was|were|been|had|forgot|forgotten)\b", re.IGNORECASE)
LEFT_OUT: Final = re.compile(
    r"\b(?:was|were|been|sat|left|lay|lain|forgot|forgotten|stood|stayed)\s+(?:\w+\s+)?out(?:side)?\b", re.IGNORECASE
)
OUT: Final = re.compile(
    r"\bout(?:side)?\b(?!\s*(?:round|skirt|flat|fat|bark|temperature)\b)"
    r"(?!\s+of\s+(?:the\s+|my\s+|our\s+|its\s+)?(?!fridge|refrig|freezer|walk|cold|cool|chill))",
    re.IGNORECASE,
)
NO_OUT: Final = re.compile(
    r"\b(?:cut|find|run|roll|rolled|pull|pat|trim|eat|eating|fall|falls|dry|dried|spread|lay|set|squeeze|bone|boned|"
    r"figure|turn|turned|come|comes|carry|start|leak|press|pressed|rinse|rinsed|scoop|hollow|miss|wipe|wiped|work|try|"
    r"check|help|inside|(?:bones?|giblets?|stuffing|tendons?|fat|neck)\s+(?:is\s+|are\s+)?(?:taken|took|cut))\s+"
    r"(?:it\s+|them\s+|all\s+)?out(?:side)?\b|\bout(?:side)?\s+(?:is|looks?|gets?|turns?|until)\b"
    r"|\buntil\b[^,;]*\boutside\b|\bthe\s+outside\b",
    re.IGNORECASE,
)
NOT: Final = re.compile(r"\b(?:not|never|no|\w+n['’]?t)\b(?<!went)(?<!spent)(?<!sent)", re.IGNORECASE)
UNSURE: Final = re.compile(r"\b(?:know|sure|certain|idea|remember|long)\b", re.IGNORECASE)
NOT_COLD: Final = re.compile(
    r"\b(?:not|never|isn.?t|wasn.?t|weren.?t|hasn.?t|haven.?t)\s+(?:been\s+|kept\s+|stored\s+|held\s+|in\s+|the\s+|an?\s+|any\s+)*"
    r"(?:cold|cool|chilled|cooled|refrigerated|fridge)\b(?!\s+from)|\bunrefrigerated\b|\bunchilled\b"
    r"|\bwithout\s+(?:an?\s+|any\s+)?(?:fridge|refrigeration|cooling|chilling)\b",
    re.IGNORECASE,
)
WARM: Final = re.compile(
    r"\b(?:was|were|felt|feels?|got|went|gone|came|arrived|been)\s+(?:\w+\s+)?(?:warm|luke-?warm|tepid)\b"
    r"|\b(?:luke-?warm|tepid)\b(?!\s+(?:water|oven|bath|brine|marinade|stock|milk))|\b(?:delivered|sold|collected)\s+warm\b"
    r"|\bwarm\s+(?:when|on\s+arrival|on\s+delivery|to\s+the\s+touch|by\s+now|already|from\s+the\s+(?:shop|market|car))\b"
    r"|\bin\s+the\s+(?:heat|sunshine|hot\s+sun|warm)\b",
    re.IGNORECASE,
)
SUN: Final = re.compile(
    r"\bin\s+the\s+(?:heat|sunshine|hot\s+sun)\b"
    r"|\b(?:on|in)\s+(?:an?\s+|the\s+)?(?:very\s+)?(?:hot|warm|sunny|summer)\s+(?:day|weather|afternoon|morning|night)\b|\bheat\s*wave\b",
    re.IGNORECASE,
)
# A cold place that is, or may be, none.
COLD_PLACES: Final = r"(?:fridge|refrigerator|freezer|walk[ -]?in|cold room|cooler)"
BROKEN: Final = re.compile(
    rf"\b{COLD_PLACES}\b[^,;.]*?\b(?:broke|broken|died|dead|failed|failing|off|unplugged|warm|open|ajar|tripped|stopped)\b"
    rf"|\b(?:broken|dead|warm|unplugged|failed|failing)\s+{COLD_PLACES}\b"
    r"|\b(?:cool|ice)[ -]?box\b|\bcool(?:er)?[ -]?bag\b|\bcooler\s+(?:box|with)\b"
    r"|\b(?:power|electricity)\s+(?:cut|failure|was|went|is)\b|\b(?:power\s+)?outage\b|\bblackout\b",
    re.IGNORECASE,
)
POWER: Final = re.compile(
    r"\b(?:power|electricity|current)\b[^,;]*\b(?:out|off|cut|failed|failure|gone)\b|\boutage\b|\bblackout\b",
    re.IGNORECASE,
)
TAKEN: Final = re.compile(
    rf"\b(?:taken|took|brought|pulled|came|got)\s+(?:it\s+|them\s+)?out\b[^,;]*?\bat\s+(?:about\s+|around\s+)?{CLOCK}(?!\s*°)",
    re.IGNORECASE,
)
# Said of a time, these leave open how long it is in all.
OFTEN: Final = re.compile(
    r"\b(?:twice|thrice|times|daily|every|each|per|maybe|perhaps|possibly|several|many)\b|\ba\s+(?:day|night)\b(?!\s+(?:and|or)\b)"
    r"|[x×]\s*\d|\d\s*[x×]",
    re.IGNORECASE,
)
LIGHT: Final = re.compile(
    r"\b(?:it|they|them|was|were|has|have|had|been|is|are|the|meat|a|for|of|in|again|about|around|some|long|while|that|"
    r"already|also|too|all|earlier|once|still|just|there|this|left|on|out|outside|taken|took|morning|afternoon|evening|today|yesterday)\b"
    r"|[^\w]",
    re.IGNORECASE,
)
VAGUE: Final = re.compile(
    r"\b(?:for|many|some|several|few|couple\s+of)\s+(?:hours|ages|days)\b|\btoo\s+long\b", re.IGNORECASE
)
TRAVEL: Final = re.compile(
    r"\b(?:transit|transport(?:ed)?|rides?|drive|drove|journey|trip|travel\w*|carried|way\s+home|commute|flight|bus|train|"
    r"plane|picnic|hike|hiking|post|mail|parcel)\b",
    re.IGNORECASE,
)
# What holds meat, and says nothing of how cold it is there.
VESSEL: Final = re.compile(
    r"\b(?:trays?|bowl|dish|box|tub|container|rack|bags?|tin|foil|film|plates?|platter|jar|bucket|crock|wrap|paper|cloth)\b",
    re.IGNORECASE,
)
DAYS: Final = re.compile(
    r"\b(?:morning|afternoon|evening|night|day|meantime|end|beginning|middle|centre|center|past)\b",
    re.IGNORECASE,
)
