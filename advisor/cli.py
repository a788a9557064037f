"""The commands: read what was asked, call one function, show the answer."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.errors import InputError
from advisor.show.commands import rulebase_commands
from advisor.show.quiz_commands import make_quiz

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from rich.console import Console

    from advisor.advice.many import Checked
    from advisor.advice.mends import Mended
    from advisor.advice.report import Report
    from advisor.case.model import Case
    from advisor.case.probe.stamps import Order
    from advisor.knowledge.records import Verdict
    from advisor.knowledge.rulebase import Rulebase

MOST_KEPT = 100_000_000  # bytes of a kept result, with a probe's record in it
EXIT_OF = {"go": 0, "change": 10, "stop": 20, "ask": 30}
DEMO = "demo.yaml"


def _now() -> datetime:
    return datetime.now().astimezone()


def _console() -> Console:
    from advisor.show.screen import screen

    return screen()


def _rulebase(code: str | None, house: str | None) -> Rulebase:
    """The rulebase as this kitchen has it: under its house file, and under the food code that was asked for."""
    from platformdirs import user_config_path

    from advisor.knowledge import load_rulebase, read_house, under_house
    from advisor.knowledge.house import HOUSE_FILE, chosen_code

    rulebase = load_rulebase()
    usual = user_config_path("prep-advisor") / HOUSE_FILE
    if house is not None or usual.is_file():
        text, name = _read(house if house is not None else str(usual))
        rulebase = under_house(rulebase, read_house(text, name, rulebase))
    return rulebase.under(chosen_code(code, rulebase.codes, "--code")) if code is not None else rulebase


def _kitchen(command: Callable[..., None]) -> Callable[..., None]:
    """Options of every command that judges: the food code, and the kitchen's own house file."""
    house = click.option("--house", metavar="FILE", help="The kitchen's own stricter limits (YAML).")
    code = click.option(
        "--code", metavar="CODE", help="Food code it is under, such as uk; 'advisor limits' lists them."
    )
    return code(house(command))


def _recorded(command: Callable[..., None]) -> Callable[..., None]:
    """Options of a probe's record."""
    for option in (
        click.option("--log", metavar="FILE", help="A probe's record (CSV): judge what happened."),
        click.option(
            "--channel", multiple=True, metavar="NAME", help="Column of the probe in the meat; may be repeated."
        ),
        click.option("--log-from", type=int, metavar="STEP", help="Step at which the record begins, from 1."),
        click.option("--zone", metavar="ZONE", help="Zone of the record's clock, such as Europe/London."),
        click.option("--unit", type=click.Choice(["C", "F"]), help="Unit of the record, if it does not say."),
        click.option("--dates", type=click.Choice(["day-first", "month-first"]), help="How its dates are written."),
    ):
        command = option(command)
    return command


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(package_name="prep-advisor")
def cli() -> None:
    """Decide how to make a tough cut tender, seasoned and harmless.

    \b
    advisor demo                 the main job on a shipped case, no questions
    advisor ask                  answer plain questions, get a reasoned plan
    advisor check plan.yaml      what is wrong, by how much, the smallest change
    advisor limits cold          limits in force, and what each food code asks
    advisor rule flank steak     rules, limits, cuts and softeners by any word
    advisor rulebase check       every fault of the rules themselves
    advisor quiz --about cooling be asked about the rules; see who knows them
    """  # noqa: D301 - \b is click's mark for a block that is not rewrapped


@cli.command()
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--file", "show_file", is_flag=True, help="Print the plan file itself.")
@click.option("--how", "how", metavar="WORD", help="Walk down a rule or a step number to facts and sources.")
@_kitchen
def demo(*, as_json: bool, show_file: bool, how: str | None, code: str | None, house: str | None) -> None:
    """Show the main job on a shipped case."""
    from importlib import resources

    text = resources.files("scenarios").joinpath(DEMO).read_text(encoding="utf-8")
    if show_file:
        click.echo(text, nl=False)
        return
    _check(text, "scenarios/" + DEMO, _rulebase(code, house), as_json=as_json, how=how)


@cli.command()
@click.argument("files", metavar="FILE|WORDS|-...", nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--how", "how", metavar="WORD", help="Walk down a rule or a step number to facts and sources.")
@click.option("--save", "save", metavar="FILE", help="Keep the result (.json), or the plan as a plan file.")
@click.option("--jobs", default=1, type=click.IntRange(1, 64), metavar="N", help="Processes for many plans.")
@click.option("--why-not", "change", metavar="WORDS", help="What a change in your words would break, and by how much.")
@_recorded
@_kitchen
def check(
    *,
    files: tuple[str, ...],
    as_json: bool,
    how: str | None,
    save: str | None,
    jobs: int,
    change: str | None,
    code: str | None,
    house: str | None,
    **recorded: str | int | tuple[str, ...] | None,
) -> None:
    """Check a plan file (YAML) or a plan in your own words: verdict, findings, the smallest change.

    Words are read and played back: advisor check "flank, 2 lb, 1 in thick, pan 3 min a side"

    Several files, or plans parted by lines of three dashes, are checked in one go with a line for each.

    What a change would do: advisor check plan.yaml --why-not "leave it overnight on the counter"

    Exit status: 0 go, 10 change, 20 stop, 30 something is missing, 3 a plan cannot be read; with --why-not that of
    the changed plan.
    """
    from advisor.advice.many import plans_of
    from advisor.show.taken import TYPED, one_in_words, text_of

    rulebase = _rulebase(code, house)
    if said := one_in_words(files):
        plans: list[tuple[str, str] | Checked] = [(said, TYPED)]
    else:
        plans = plans_of(files, lambda file: text_of(file, _read)) or [_read(files[0])]
    if change is not None and (len(plans) > 1 or recorded.get("log") is not None):
        raise InputError(
            "--why-not asks about one plan that has not happened yet.", "Give one plan, and leave --log out."
        )
    (first, *more) = plans
    if more or not isinstance(first, tuple):
        _check_many(plans, rulebase, jobs=jobs, as_json=as_json)
        return
    text, name = first
    _check(text, name, rulebase, as_json=as_json, how=how, save=save, change=change, recorded=recorded)


@cli.command()
@click.argument("file", metavar="FILE|-")
@_kitchen
def reopen(*, file: str, code: str | None, house: str | None) -> None:
    """Open a kept result: what was said then, and what the rules say now."""
    from advisor.advice.kept import read_kept, reopened
    from advisor.show.kept import show_reopened

    text, name = _read(file, most=MOST_KEPT)
    rulebase = _rulebase(code, house)
    again = reopened(read_kept(text, name), name, rulebase, _now())
    show_reopened(again, rulebase.under(again.now.case.code) if again.now.case.code else rulebase, _console())
    sys.exit(EXIT_OF[again.now.verdict])


@cli.command()
@click.argument("plan", metavar="PLAN")
@click.argument("other", metavar="OTHER")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@_kitchen
def beside(*, plan: str, other: str, as_json: bool, code: str | None, house: str | None) -> None:
    """Set two plans side by side, files or words: verdict, time, bite, salt, yield, risk."""
    import json

    from advisor.advice.beside import beside as compared
    from advisor.advice.report import examine
    from advisor.case.words.either import read_either
    from advisor.show.beside import beside_record, show_beside, show_words
    from advisor.show.taken import text_of

    rulebase, now = _rulebase(code, house), _now()
    texts = [text_of(one, _read) for one in (plan, other)]
    reports = [examine(read_either(text, rulebase, now, name), rulebase) for text, name in texts]
    sides = compared(reports[0], reports[1], rulebase)
    names = (reports[0].case.title or texts[0][1], reports[1].case.title or texts[1][1])
    if names[0] == names[1]:
        names = (f"first: {names[0]}", f"second: {names[1]}")
    if as_json:
        click.echo(json.dumps(beside_record(sides, names, reports), ensure_ascii=False, indent=2))
    else:
        show_words([text for text, _ in texts], reports, rulebase, _console())
        show_beside(sides, names, _console())


@cli.command()
@click.option("--answers", "answers", metavar="FILE", help="Take the answers from a file; no terminal needed.")
@click.option("--save", "save", metavar="FILE", help="Keep the plan as a plan file.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object (with --answers).")
@_kitchen
def ask(*, answers: str | None, save: str | None, as_json: bool, code: str | None, house: str | None) -> None:
    """Answer plain questions and get a reasoned plan."""
    from advisor.show.asking import ask_and_plan
    from advisor.show.which_code import is_chosen

    rulebase = _rulebase(code, house)
    known = is_chosen(rulebase, code)
    verdict = ask_and_plan(
        rulebase, _now(), _console(), answers=answers, save=save, as_json=as_json, code_known=known, read=_read
    )
    sys.exit(EXIT_OF[verdict])


@cli.command()
@click.argument("words", nargs=-1, required=True)
@_kitchen
def rule(*, words: tuple[str, ...], code: str | None, house: str | None) -> None:
    """Look up rules, limits, cuts and softeners by id or by words, in any order and spelling."""
    from advisor.show.rules import show_rules

    show_rules(" ".join(words), _rulebase(code, house), _console())


@cli.command()
@click.argument("words", nargs=-1)
@_kitchen
def limits(*, words: tuple[str, ...], code: str | None, house: str | None) -> None:
    """Show the limits in force, and what each food code asks beside them.

    Without words: the food codes, and every limit by its name, as a house file writes it.
    """
    from advisor.show.limits import show_limits

    show_limits(" ".join(words), _rulebase(code, house), _console())


cli.add_command(rulebase_commands)
cli.add_command(make_quiz(_rulebase))


@cli.command()
@click.argument("which", type=click.Choice(["plan", "result"]))
def schema(*, which: str) -> None:
    """Print the JSON Schema of a plan file or of a result."""
    from advisor.knowledge import load_rulebase
    from advisor.show.schemas import schema_text

    click.echo(schema_text(which, load_rulebase()), nl=False)


def _check_many(plans: list[tuple[str, str] | Checked], rulebase: Rulebase, *, jobs: int, as_json: bool) -> None:
    """Check many plans, print a line for each, and leave with the worst of them."""
    import json
    from dataclasses import asdict

    from advisor.advice.many import check_many
    from advisor.show.many import show_many

    checked = check_many(plans, rulebase, _now(), jobs=jobs)
    if as_json:
        click.echo(json.dumps([asdict(one) for one in checked], ensure_ascii=False, indent=2))
    else:
        show_many(checked, _console())
    statuses = {EXIT_OF.get(one.verdict, 3) for one in checked}
    sys.exit(next(status for status in (3, 20, 30, 10, 0) if status in statuses))


def _read(file: str, *, most: int = 0, record: bool = False) -> tuple[str, str]:
    """Text and name of a file, or of standard input; at most so many bytes, else of a plan.

    A record may stand in the letters of an older machine, as loggers write it.

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
        most = most or MOST_BYTES * 4 + 1
        raw = sys.stdin.buffer.read(most) if file == "-" else _bytes(Path(file), most)
        return (_in_its_letters(raw) if record else raw.decode("utf-8-sig")), name
    except UnicodeDecodeError as error:
        raise InputError("This is not a text file.", "Give a plan as plain text in UTF-8.", name) from error
    except OSError as error:
        raise InputError(
            f"The file cannot be read: {error.strerror or error}.", "Check the name and try again.", name
        ) from error


def _in_its_letters(raw: bytes) -> str:
    """The text of a record: UTF-8, UTF-16 with its mark, or else the letters of western machines."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def _bytes(path: Path, most: int) -> bytes:
    with path.open("rb") as file:
        return file.read(most)


def _with_log(case: Case, recorded: Mapping[str, str | int | tuple[str, ...] | None]) -> Case:
    """The case with a probe's record, when one was named.

    Raises
    ------
    InputError
        The record cannot be read, or begins at no step of the plan.
    """
    from dataclasses import replace
    from typing import cast
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    from advisor.case.probe import read_log
    from advisor.case.probe.log import MOST_CHARACTERS

    file, step, zone, unit, dates = (recorded.get(key) for key in ("log", "log_from", "zone", "unit", "dates"))
    if not isinstance(file, str):
        return case
    if isinstance(step, int) and not 1 <= step <= len(case.steps):
        raise InputError(f"The plan has no step {step}.", f"Write --log-from with 1 to {len(case.steps)}.")
    try:
        where = ZoneInfo(zone) if isinstance(zone, str) else None
    except (ZoneInfoNotFoundError, ValueError) as error:
        raise InputError(f"'{zone}' is no time zone here.", "Write one such as Europe/London.") from error
    text, name = _read(file, most=4 * MOST_CHARACTERS + 1, record=True)
    log = read_log(
        text,
        name,
        where,
        unit=str(unit or ""),
        order=cast("Order | None", str(dates).replace("-", " ") if dates is not None else None),
    )
    log = log.only(cast("tuple[str, ...]", recorded.get("channel") or ()))
    return replace(case, log=log, log_from=step - 1 if isinstance(step, int) else None)


def _check(
    text: str,
    name: str,
    rulebase: Rulebase,
    *,
    as_json: bool,
    how: str | None,
    save: str | None = None,
    change: str | None = None,
    recorded: Mapping[str, str | int | tuple[str, ...] | None] | None = None,
) -> None:
    from advisor.advice.mends import find_mends
    from advisor.advice.report import examine
    from advisor.advice.unsaid import hangs_on

    now = _now()
    case = _with_log(_case(text, rulebase, now, name, quiet=as_json or how is not None), recorded or {})
    rulebase = rulebase.under(case.code) if case.code else rulebase
    report = examine(case, rulebase)
    if how is not None:
        from advisor.show.how import how_lines
        from advisor.show.page import Page

        page = Page(_console(), rulebase)
        for depth, line in how_lines(report, how, rulebase):
            page.line(line, 2 * depth)
    elif change is not None:
        sys.exit(EXIT_OF[_why_not(report, change, rulebase, now, as_json=as_json)])
    else:
        if report.verdict != "go" and case.log is None and sys.stderr.isatty():
            click.echo("Looking for the smallest change ...", err=True)
        # What has happened cannot be mended.
        mends = find_mends(report, rulebase) if case.log is None else ()
        if_true = hangs_on(report, rulebase)
        show(report, mends, rulebase, now, as_json=as_json, if_true=if_true)
        if save is not None:
            _keep(save, report, mends, rulebase, if_true)
    sys.exit(EXIT_OF[report.verdict])


def _why_not(report: Report, change: str, rulebase: Rulebase, now: datetime, *, as_json: bool) -> Verdict:
    """Say what a change would break; give what the plan would come to with it."""
    import json

    from advisor.advice.why_not import why_not
    from advisor.show.page import Page
    from advisor.show.record import record
    from advisor.show.why_not import show_why_not, why_not_record

    told = why_not(report, change, rulebase, now)
    if as_json:
        made = {**record(report, (), rulebase), "why_not": why_not_record(told, rulebase)}
        click.echo(json.dumps(made, ensure_ascii=False, indent=2))
    else:
        show_why_not(told, Page(_console(), rulebase))
    return told.after.verdict


def _case(text: str, rulebase: Rulebase, now: datetime, name: str, *, quiet: bool) -> Case:
    """A plan file's case, or that of a cook's words, which are played back unless the answer is for a machine."""
    from advisor.case.words.either import is_plan_file, read_either
    from advisor.case.worked import unwrapped

    text = unwrapped(text)
    if is_plan_file(text):
        return read_either(text, rulebase, now, name)
    from advisor.show.said import said

    return said(text, rulebase, now, _console(), quiet=quiet)


def _keep(file: str, report: Report, mends: tuple[Mended, ...], rulebase: Rulebase, if_true: tuple[str, ...]) -> None:
    """Keep a result (.json), or the plan alone; a file that is there is never overwritten.

    Raises
    ------
    InputError
        The file is there already, or cannot be written.
    """
    import json

    from advisor.case.write_plan import write_plan
    from advisor.show.record import record

    path = Path(file)
    if path.suffix == ".json":
        text = json.dumps(record(report, mends, rulebase, if_true), ensure_ascii=False, indent=1) + "\n"
    else:
        text = write_plan(report.case, rulebase)
    try:
        with path.open("x", encoding="utf-8") as kept:
            kept.write(text)
    except FileExistsError as error:
        raise InputError("There is a file of that name already.", "Choose another name for --save.", file) from error
    except OSError as error:
        raise InputError(
            f"It cannot be kept: {error.strerror or error}.", "Choose another place for --save.", file
        ) from error
    click.echo(f"Kept in {file}.", err=True)


def show(
    report: Report,
    mends: tuple[Mended, ...],
    rulebase: Rulebase,
    now: datetime,
    *,
    as_json: bool,
    if_true: tuple[str, ...] = (),
) -> None:
    """Print a report for people, or for machines."""
    if as_json:
        import json

        from advisor.show.record import record

        click.echo(json.dumps(record(report, mends, rulebase, if_true), ensure_ascii=False, indent=2))
        return
    from advisor.show.page import Page

    Page(_console(), rulebase).report(report, mends, now, if_true=if_true)
