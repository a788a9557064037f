"""Items for other programs: CSV, JSON, and the parts of QTI 3.0 that a single choice needs.

No package on the registry that we found carries the XML schema of QTI 3.0, so `qti_faults` holds an item against the
parts of the standard that are encoded here, and does not replace the schema. Read in a stored copy of the published
schema (imsqti_asiv3p0_v1p0.xsd): the children of an item and their order, its attributes, the form of an identifier
(NCName), two values in a match, one in a set value. From memory of the specification: the attributes of the other
elements, their words, and that feedback stands in a content body. Ours: identifiers that are unique, and references
that lead somewhere.
"""

from __future__ import annotations

import csv
import io
import json
import re
from typing import TYPE_CHECKING, Any, Final
from xml.etree import ElementTree as ET

from advisor.quiz.feedback import because, source_lines, would

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from advisor.quiz.claims import Road
    from advisor.quiz.items import Item

COLUMNS: Final = (
    "item", "kind", "subject", "rule", "rule_state", "question", "key", "wrong_1", "wrong_2", "wrong_3",
    "why", "feedback_1", "feedback_2", "feedback_3", "misconception_1", "misconception_2", "misconception_3",
    "sources", "rulebase", "language",
)  # fmt: skip
LANGUAGE: Final = "en"
# What a spreadsheet would take for a formula.
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
QTI: Final = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
_IDENTIFIER: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")


def harmless(cell: str) -> str:
    """Write a cell so that no spreadsheet runs it: an apostrophe before what could begin a formula.

    Examples
    --------
    >>> harmless("=1+1"), harmless(" @now"), harmless("5 g")
    ("'=1+1", "' @now", '5 g')
    """
    return f"'{cell}" if cell.startswith(_FORMULA) or cell.lstrip().startswith(_FORMULA) else cell


def records(items: Sequence[Item], road: Road) -> list[dict[str, Any]]:
    """Items as plain records, the wrong options each with its misconception and what it would do."""
    rulebase = road.rulebase
    return [
        {
            "item": item.id,
            "kind": item.kind,
            "subject": rulebase.quiz.subject_of(item.rule_id),
            "rule": item.rule_id,
            "rule_state": item.state,
            "question": item.question,
            "plan": list(item.told),
            "options": [
                {
                    "text": option.text,
                    "right": not option.misconception,
                    "misconception": option.misconception,
                    "feedback": would(item, option, road) if option.misconception else "",
                }
                for option in item.options
            ],
            "why": because(item.rule_id, item.options[item.key], road),
            "sources": list(source_lines(item.rule_id, rulebase)),
            "rulebase": rulebase.digest,
            "language": LANGUAGE,
        }
        for item in items
    ]


def as_json(items: Sequence[Item], road: Road) -> str:
    """Write items as JSON."""
    return json.dumps(records(items, road), ensure_ascii=False, indent=1) + "\n"


def as_csv(items: Sequence[Item], road: Road) -> str:
    """Write items as CSV (RFC 4180), every cell harmless to a spreadsheet."""
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for one in records(items, road):
        wrong = [option for option in one["options"] if not option["right"]]
        wrong += [{"text": "", "feedback": "", "misconception": ""}] * (3 - len(wrong))
        key = next(option["text"] for option in one["options"] if option["right"])
        row = [one[name] for name in ("item", "kind", "subject", "rule", "rule_state")]
        row += [" / ".join([one["question"], *one["plan"]]), key, *(w["text"] for w in wrong), one["why"]]
        row += [w["feedback"] for w in wrong] + [w["misconception"] for w in wrong]
        row += ["; ".join(one["sources"]), one["rulebase"], one["language"]]
        writer.writerow([harmless(str(cell)) for cell in row])
    return out.getvalue()


# --- QTI 3.0


def as_qti(item: Item, road: Road) -> str:
    """Write one item as a QTI 3.0 single choice, with feedback for each choice."""
    root = ET.Element(
        "qti-assessment-item",
        {
            "xmlns": QTI,
            "identifier": f"item-{item.id}",
            "title": f"{item.rule_id} {item.kind}",
            "adaptive": "false",
            "time-dependent": "false",
            "xml:lang": LANGUAGE,
        },
    )
    names = [f"choice-{letter}" for letter in "ABCD"[: len(item.options)]]
    response = _under(
        root, "qti-response-declaration", identifier="RESPONSE", cardinality="single", base_type="identifier"
    )
    _under(_under(response, "qti-correct-response"), "qti-value", names[item.key])
    score = _under(root, "qti-outcome-declaration", identifier="SCORE", cardinality="single", base_type="float")
    _under(_under(score, "qti-default-value"), "qti-value", "0")
    _under(root, "qti-outcome-declaration", identifier="FEEDBACK", cardinality="single", base_type="identifier")
    body = _under(root, "qti-item-body")
    for line in [item.stem, *item.told]:
        if line:
            _under(body, "p", line)
    ask = _under(body, "qti-choice-interaction", response_identifier="RESPONSE", max_choices="1", shuffle="false")
    _under(ask, "qti-prompt", item.ask)
    for name, option in zip(names, item.options, strict=True):
        _under(ask, "qti-simple-choice", option.text, identifier=name)
    processing = _under(root, "qti-response-processing")
    condition = _under(processing, "qti-response-condition")
    when = _under(condition, "qti-response-if")
    match = _under(when, "qti-match")
    _under(match, "qti-variable", identifier="RESPONSE")
    _under(match, "qti-correct", identifier="RESPONSE")
    _under(_under(when, "qti-set-outcome-value", identifier="SCORE"), "qti-base-value", "1", base_type="float")
    shown = _under(processing, "qti-set-outcome-value", identifier="FEEDBACK")
    _under(shown, "qti-variable", identifier="RESPONSE")
    why = because(item.rule_id, item.options[item.key], road)
    for name, option in zip(names, item.options, strict=True):
        box = _under(root, "qti-modal-feedback", outcome_identifier="FEEDBACK", show_hide="show", identifier=name)
        said = why if not option.misconception else f"{would(item, option, road)} {why}".strip()
        _under(_under(box, "qti-content-body"), "p", f"{said} [{item.rule_id}]")
    ET.indent(root, " ")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


def _under(parent: ET.Element, tag: str, text: str = "", **attributes: str) -> ET.Element:
    one = ET.SubElement(parent, tag, {name.replace("_", "-"): value for name, value in attributes.items()})
    if text:
        one.text = text
    return one


# Children of the item in the order that the standard gives, with fewest and most of each that we write.
_ORDER: Final = (
    ("qti-response-declaration", 1, 1),
    ("qti-outcome-declaration", 1, 9),
    ("qti-item-body", 1, 1),
    ("qti-response-processing", 1, 1),
    ("qti-modal-feedback", 0, 9),
)
_NEEDED: Final[dict[str, tuple[str, ...]]] = {
    "qti-assessment-item": ("identifier", "title", "adaptive", "time-dependent"),
    "qti-response-declaration": ("identifier", "cardinality", "base-type"),
    "qti-outcome-declaration": ("identifier", "cardinality", "base-type"),
    "qti-choice-interaction": ("response-identifier", "max-choices"),
    "qti-simple-choice": ("identifier",),
    "qti-variable": ("identifier",),
    "qti-correct": ("identifier",),
    "qti-set-outcome-value": ("identifier",),
    "qti-base-value": ("base-type",),
    "qti-modal-feedback": ("outcome-identifier", "identifier", "show-hide"),
}


# Words that an attribute may hold, and how many children an element has.
_WORDS: Final[dict[str, frozenset[str]]] = {
    "adaptive": frozenset({"true", "false"}),
    "time-dependent": frozenset({"true", "false"}),
    "shuffle": frozenset({"true", "false"}),
    "show-hide": frozenset({"show", "hide"}),
    "cardinality": frozenset({"single", "multiple", "ordered", "record"}),
    "base-type": frozenset(
        {
            "boolean",
            "directedPair",
            "duration",
            "file",
            "float",
            "identifier",
            "integer",
            "pair",
            "point",
            "string",
            "uri",
        }
    ),
}
_CHILDREN: Final = {"qti-match": 2, "qti-set-outcome-value": 1, "qti-modal-feedback": 1}


def qti_faults(text: str) -> list[str]:
    """Hold an item against the parts of QTI 3.0 that are encoded here; empty when it keeps to them.

    Only for text that we wrote: it is read with the standard parser.
    """
    root = ET.fromstring(text)  # noqa: S314 - our own text
    faults = [] if root.tag == f"{{{QTI}}}qti-assessment-item" else [f"the root is {root.tag}"]
    faults += _of_order(root)
    for one in root.iter():
        name = _name(one)
        faults += [f"{name} has no {a}" for a in _NEEDED.get(name, ()) if a not in one.attrib]
        faults += [
            f"'{value}' is no identifier"
            for a, value in one.attrib.items()
            if a.endswith("identifier") and not _IDENTIFIER.fullmatch(value)
        ]
        faults += [f"{name} {a} of '{v}'" for a, v in one.attrib.items() if a in _WORDS and v not in _WORDS[a]]
        if len(one) != _CHILDREN.get(name, len(one)):
            faults.append(f"{name} with {len(one)} children")
    return faults + list(_of_references(root))


def _name(one: ET.Element) -> str:
    return one.tag.rpartition("}")[2]


def _of_order(root: ET.Element) -> Iterator[str]:
    names = [_name(one) for one in root]
    places = {name: place for place, (name, _, _) in enumerate(_ORDER)}
    if [places.get(name, -1) for name in names] != sorted(places.get(name, -1) for name in names):
        yield "children out of order"
    for name, fewest, most in _ORDER:
        if not fewest <= names.count(name) <= most:
            yield f"{names.count(name)} of {name}"
    yield from (f"unknown child {name}" for name in names if name not in places)


def _of_references(root: ET.Element) -> Iterator[str]:
    def values(name: str, attribute: str) -> list[str]:
        return [one.attrib.get(attribute, "") for one in root.iter() if _name(one) == name]

    choices = values("qti-simple-choice", "identifier")
    declared = values("qti-response-declaration", "identifier") + values("qti-outcome-declaration", "identifier")
    if len(set(choices)) < len(choices) or len(set(declared)) < len(declared):
        yield "an identifier stands twice"
    keys = [one.text for one in root.iter() if _name(one) == "qti-value" and one.text in choices]
    if len(keys) != 1:
        yield "the correct response is not one of the choices"
    used = values("qti-choice-interaction", "response-identifier") + values("qti-variable", "identifier")
    used += values("qti-set-outcome-value", "identifier") + values("qti-modal-feedback", "outcome-identifier")
    yield from (f"'{name}' is declared nowhere" for name in used if name not in declared)
    yield from (f"'{name}' is no choice" for name in values("qti-modal-feedback", "identifier") if name not in choices)
