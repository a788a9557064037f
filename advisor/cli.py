"""The commands: read what was asked, call one function, show the answer."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.errors import InputError

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.advice.mends import Mended
    from advisor.advice.report import Report
    from advisor.knowledge.rulebase import Rulebase

EXIT_OF = {"go": 0, "change": 10, "stop": 20, "ask": 30}
DEMO = "demo.yaml"


def _now() -> datetime:
    return datetime.now().astimezone()


def _console() -> Console:
    from rich.console import Console

    return Console(highlight=False)


def _rulebase() -> Rulebase:
    from advisor.knowledge import load_rulebase

    return load_rulebase()


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(package_name="prep-advisor")
def cli() -> None:
    """Decide how to make a tough cut tender, seasoned and harmless.

    \b
    advisor demo                 the main job on a shipped case, no questions
    advisor ask                  answer plain questions, get a reasoned plan
    advisor check plan.yaml      what is wrong, by how much, the smallest change
    """  # noqa: D301 - \b is click's mark for a block that is not rewrapped


@cli.command()
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--file", "show_file", is_flag=True, help="Print the plan file itself.")
@click.option("--how", "how", metavar="WORD", help="Walk down a rule or a step number to facts and sources.")
def demo(*, as_json: bool, show_file: bool, how: str | None) -> None:
    """Show the main job on a shipped case."""
    from importlib import resources

    text = resources.files("scenarios").joinpath(DEMO).read_text(encoding="utf-8")
    if show_file:
        click.echo(text, nl=False)
        return
    _check(text, "scenarios/" + DEMO, as_json=as_json, how=how)


@cli.command()
@click.argument("file", metavar="FILE|-")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--how", "how", metavar="WORD", help="Walk down a rule or a step number to facts and sources.")
def check(*, file: str, as_json: bool, how: str | None) -> None:
    """Check a plan file (YAML): verdict, findings, the smallest change.

    Exit status: 0 go, 10 change, 20 stop, 30 something is missing, 3 the plan cannot be read.
    """
    text, name = _read(file)
    _check(text, name, as_json=as_json, how=how)


@cli.command()
@click.option("--answers", "answers", metavar="FILE", help="Take the answers from a file; no terminal needed.")
@click.option("--save", "save", metavar="FILE", help="Keep the plan as a plan file.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object (with --answers).")
def ask(*, answers: str | None, save: str | None, as_json: bool) -> None:
    """Answer plain questions and get a reasoned plan."""
    from advisor.show.asking import ask_and_plan

    sys.exit(
        EXIT_OF[ask_and_plan(_rulebase(), _now(), _console(), answers=answers, save=save, as_json=as_json, read=_read)]
    )


@cli.command()
@click.argument("words", nargs=-1, required=True)
def rule(*, words: tuple[str, ...]) -> None:
    """Look rules up by their id or by words in them."""
    from advisor.show.rules import show_rules

    show_rules(" ".join(words), _rulebase(), _console())


@cli.command()
@click.argument("which", type=click.Choice(["plan", "result"]))
def schema(*, which: str) -> None:
    """Print the JSON Schema of a plan file or of a result."""
    from advisor.show.schemas import schema_text

    click.echo(schema_text(which, _rulebase()), nl=False)


def _read(file: str) -> tuple[str, str]:
    """Text and name of a file, or of standard input.

    Raises
    ------
    InputError
        There is no such file, or it is not text.
    """
    from advisor.knowledge.yamltext import MOST_BYTES

    name = "standard input" if file == "-" else file
    if file == "-" and sys.stdin is None:
        raise InputError("There is no standard input to read.", "Name a file instead.", name)
    try:
        raw = sys.stdin.buffer.read(MOST_BYTES * 4 + 1) if file == "-" else _bytes(Path(file), MOST_BYTES * 4 + 1)
        return raw.decode("utf-8-sig"), name
    except UnicodeDecodeError as error:
        raise InputError("This is not a text file.", "Give a plan as plain text in UTF-8.", name) from error
    except OSError as error:
        raise InputError(
            f"The file cannot be read: {error.strerror or error}.", "Check the name and try again.", name
        ) from error


def _bytes(path: Path, most: int) -> bytes:
    with path.open("rb") as file:
        return file.read(most)


def _check(text: str, name: str, *, as_json: bool, how: str | None) -> None:
    from advisor.advice.mends import find_mends
    from advisor.advice.report import examine
    from advisor.case.read_plan import read_plan

    rulebase, now = _rulebase(), _now()
    report = examine(read_plan(text, rulebase, now, name), rulebase)
    if how is not None:
        from advisor.show.how import how_lines
        from advisor.show.page import Page

        page = Page(_console(), rulebase)
        for depth, line in how_lines(report, how, rulebase):
            page.line(line, 2 * depth)
    else:
        if report.verdict != "go" and sys.stderr.isatty():
            click.echo("Looking for the smallest change ...", err=True)
        show(report, find_mends(report, rulebase), rulebase, now, as_json=as_json)
    sys.exit(EXIT_OF[report.verdict])


def show(report: Report, mends: tuple[Mended, ...], rulebase: Rulebase, now: datetime, *, as_json: bool) -> None:
    """Print a report for people, or for machines."""
    if as_json:
        import json

        from advisor.show.record import record

        click.echo(json.dumps(record(report, mends, rulebase), ensure_ascii=False, indent=2))
        return
    from advisor.show.page import Page

    Page(_console(), rulebase).report(report, mends, now)
