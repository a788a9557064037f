"""Every published value beside ours: ``python tests/published/report.py`` writes REPORT.md, ``--check`` compares it.

Each module beside this one, other than ``row`` and the helpers that begin with an underscore, has ``SOURCE`` (what is
cited, with its edition), ``NOTE`` (how it is known, what was tuned to it) and ``rows()``.
"""

from __future__ import annotations

import importlib
import math
import sys
from pathlib import Path

HERE = Path(__file__).parent
REPORT = HERE / "REPORT.md"
# Share of the published value from which the heading tells what is off to the strict side.
FAR = 0.5
if str(HERE.parent) not in sys.path:
    sys.path.insert(0, str(HERE.parent))


def modules():
    """Give every module of published values, in the order of their names."""
    others = {"row", "report"}
    names = sorted(p.stem for p in HERE.glob("*.py") if p.stem not in others and not p.stem.startswith("_"))
    return [importlib.import_module(f"published.{name}") for name in names]


def far_to_the_open_side(row) -> bool:
    """Whether a value is far from the published one on the side on which its aim has no end."""
    open_there = math.isinf(row.aim[1]) if row.error > 0 else math.isinf(row.aim[0])
    return row.met and open_there and abs(row.error) > FAR * abs(row.published)


def number(value: float) -> str:
    """Write a value with five figures, and no minus before a zero."""
    text = f"{value:.5g}"
    return "0" if float(text) == 0 else text


def written() -> str:
    """Write the whole report."""
    parts: list[str] = []
    total = missed = strict = zero = 0
    for module in modules():
        rows = list(module.rows())
        total += len(rows)
        missed += sum(not row.met for row in rows)
        far = [row for row in rows if far_to_the_open_side(row)]
        strict += sum(row.published != 0 for row in far)
        zero += sum(row.published == 0 for row in far)
        parts += ["", f"## {module.__name__.removeprefix('published.').replace('_', ' ')}", "", module.SOURCE, ""]
        parts += [
            module.NOTE,
            "",
            "| what | published | ours | error | error % | unit | known | |",
            "|---|--:|--:|--:|--:|---|---|---|",
        ]
        for row in rows:
            share = f"{100 * row.error / row.published:+.1f}" if row.published else ""
            verdict = "" if row.met else f"misses the aim: {row.reason}"
            parts.append(
                f"| {row.what} | {number(row.published)} | {number(row.ours)} | {number(row.error)} | {share} "
                f"| {row.unit} | {row.known} | {verdict} |"
            )
    head = [
        "# Published values beside ours",
        "",
        "Made by `python tests/published/report.py`; do not edit. Error is ours less the published. No row is left out",
        f"because it misses. {total} rows, {missed} outside their aim (what the source's precision warrants).",
        f"{strict} more lie over {100 * FAR:.0f} % from the published value and {zero} more off a published 0,",
        "and count as met: they are off to the strict side, where their aim is open, so that no error there, however",
        "large, is a miss.",
    ]
    return "\n".join([*head, *parts]) + "\n"


def main() -> int:
    """Write the report, or with ``--check`` say whether it is current."""
    text = written()
    if "--check" in sys.argv[1:]:
        current = REPORT.exists() and REPORT.read_text(encoding="utf-8") == text
        sys.stdout.write(
            "REPORT.md is current\n" if current else "REPORT.md is not current: run this without --check\n"
        )
        return 0 if current else 1
    REPORT.write_text(text, encoding="utf-8")
    sys.stdout.write(f"wrote {REPORT}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
