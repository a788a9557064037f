"""Writes ``rulebase/codes/COVERAGE.md``: every section of the food codes, and what holds it or why nothing does.

Run as ``python -m advisor.knowledge.coverage``.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from advisor.knowledge.codes import Code
    from advisor.knowledge.rulebase import Rulebase

FILE = "COVERAGE.md"
KNOWN = {
    "read": "read",
    "read_in_part": "read in part",
    "read_through_adoption": "read through adoptions",
    "from_memory": "from memory",
}


def coverage_text(rulebase: Rulebase) -> str:
    """Give the listing as Markdown, the code that holds where none is chosen first."""
    codes = sorted(rulebase.codes.values(), key=lambda code: (not code.default, code.older, code.id))
    held = sum(bool(p.by) for code in codes for p in code.provisions)
    outside = sum(bool(p.out) for code in codes for p in code.provisions)
    lines = [
        "# What of each food code is held here, and what is not",
        "",
        "Made from the `provisions:` of the files beside this one by `python -m advisor.knowledge.coverage`. Names",
        "in code type are limits, rules, tables and coolings of this rulebase. Where a code and a limit of ours",
        "differ, the stricter holds; `advisor limits NAME` shows both.",
        "",
        f"{held + outside} sections: {held} held, {outside} outside the job.",
    ]
    for code in codes:
        lines += ["", *_code(code, rulebase)]
    return "\n".join(lines) + "\n"


def _code(code: Code, rulebase: Rulebase) -> Iterator[str]:
    known = KNOWN[rulebase.sources[code.source].known]
    based = f" Differs from `{code.based_on}` in what stands here." if code.based_on else ""
    yield f"## {code.name} (`{code.id}`)"
    yield ""
    yield f"{code.edition}; {known}.{based}"
    yield ""
    yield "| section | asks | held by, or why not |"
    yield "|---|---|---|"
    for provision in code.provisions:
        names = ", ".join(f"`{name}`" for name in provision.by)
        section = provision.section + (f" ({provision.source})" if provision.source else "")
        yield f"| {section} | {provision.asks} | {names or 'Outside: ' + provision.out} |"


def main() -> None:
    """Write the listing beside the codes."""
    from advisor.knowledge import load_rulebase

    with resources.as_file(resources.files("rulebase")) as folder:
        path = Path(folder) / "codes" / FILE
        path.write_text(coverage_text(load_rulebase()), encoding="utf-8")


if __name__ == "__main__":
    main()
