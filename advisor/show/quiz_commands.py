"""The commands of the quiz: sit one, see how the crew stands, print a sheet, carry a learner elsewhere."""

from __future__ import annotations

import json
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from advisor.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import Console

    from advisor.knowledge.rulebase import Rulebase
    from advisor.quiz.maker import Maker
    from advisor.quiz.store import Store

# Tries for each rule when it is asked which can be quizzed at all.
ASKABLE_TRIES = 6


def _now() -> datetime:
    return datetime.now().astimezone()


def _console() -> Console:
    from advisor.show.screen import screen

    return screen()


def _maker(rulebase: Rulebase, *, us: bool) -> Maker:
    from advisor.quiz.maker import Maker, ShippedPlans

    return Maker(rulebase, ShippedPlans(rulebase, _now().replace(tzinfo=None)), "us" if us else "metric")


def _store(file: str | None) -> Store:
    from advisor.quiz.store import Store, default_path

    return Store(Path(file) if file is not None else default_path())


def _write(out: str | None, text: str) -> None:
    """Write to a new file, or to standard output."""
    if out is None:
        sys.stdout.write(text)
        return
    try:
        with Path(out).open("x", encoding="utf-8", newline="") as file:
            file.write(text)
    except FileExistsError as error:
        raise InputError("There is a file of that name already.", "Choose another name.", out) from error
    except OSError as error:
        raise InputError(f"It cannot be written: {error.strerror or error}.", "Choose another place.", out) from error


def make_quiz(load: Callable[[str | None, str | None], Rulebase]) -> click.Group:
    """Make the group of commands.

    Parameters
    ----------
    load : callable
        (food code, house file) to the rulebase as the kitchen has it.
    """
    group = _sit(load)
    group.add_command(_subjects(load))
    group.add_command(_report(load))
    group.add_command(_sheet(load))
    group.add_command(_items(load))
    for command in (_save, _import, _forget):
        group.add_command(command)
    return group


def _kitchen(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in (
        click.option("--code", metavar="CODE", help="Food code it is under."),
        click.option("--house", metavar="FILE", help="The kitchen's own stricter limits (YAML)."),
        click.option("--us", is_flag=True, help="Fahrenheit, inches and ounces first."),
    ):
        command = option(command)
    return command


_FILE = click.option("--file", metavar="FILE", help="Where progress is kept, if not in your data folder.")
_SEED = click.option("--seed", metavar="WORD", help="Draw the questions by this word; the same gives the same.")
_COUNT = click.option("--count", type=click.IntRange(1, 200), metavar="N", help="How many questions.")
_OUT = click.option("--out", metavar="FILE", help="A new file to write to.")


def _sit(load: Callable[[str | None, str | None], Rulebase]) -> click.Group:
    @click.group("quiz", invoke_without_command=True)
    @click.option("--about", default="all", metavar="WORD", help="A subject, a shift, due, beliefs, or all.")
    @click.option("--learner", metavar="NAME", help="Keep the answers under this name.")
    @_SEED
    @_COUNT
    @_FILE
    @_kitchen
    @click.pass_context
    def quiz(
        context: click.Context,
        *,
        about: str,
        learner: str | None,
        seed: str | None,
        count: int | None,
        file: str | None,
        code: str | None,
        house: str | None,
        us: bool,
    ) -> None:
        """Be asked about the kitchen's rules; the questions are made from the rules as they stand.

        advisor quiz subjects lists what can be asked about. Without --learner nothing is kept.
        """
        if context.invoked_subcommand is not None:
            _refuse_lost_options(context)
        else:
            sit(load(code, house), about, learner, seed, count, file, us=us)

    return quiz


def _refuse_lost_options(context: click.Context) -> None:
    """Refuse an option before the name of a command: it would not reach it, and another kitchen's rules would be asked.

    Raises
    ------
    click.UsageError
        There is one.
    """
    given = [
        one.opts[0]
        for one in context.command.params
        if one.name is not None and context.get_parameter_source(one.name) is ParameterSource.COMMANDLINE
    ]
    if given:
        command = context.invoked_subcommand
        raise click.UsageError(f"{given[0]} stands before '{command}' and would be lost. Put it after '{command}'.")


def sit(
    rulebase: Rulebase,
    about: str,
    learner: str | None,
    seed: str | None,
    count: int | None,
    file: str | None,
    *,
    us: bool,
) -> None:
    """Sit one quiz at the terminal."""
    from contextlib import nullcontext

    from advisor.quiz.sitting import Sitting, ordered, rules_about, screening
    from advisor.quiz.standing import current
    from advisor.show.quiz import QuizDialogue

    now = _now()
    rules = rules_about(about, rulebase)
    if about == "due" and learner is None:
        raise InputError("Nobody is named, so nothing is known to be due.", "Add --learner NAME.")
    drawn = seed if seed is not None else now.strftime("%Y%m%d%H%M%S%f")
    settings = rulebase.quiz.settings
    wanted = count if count is not None else (settings.items_in_sitting if settings is not None else 1)
    with _store(file) if learner is not None else nullcontext() as store:
        who = store.learner(learner, now) if store is not None and learner is not None else None
        due = store.due(who) if store is not None and who is not None else {}
        order = ordered(rules, due, now, rulebase, drawn, only_due=about == "due")
        maker = _maker(rulebase, us=us)
        before = store.answers(who) if store is not None and who is not None and about == "beliefs" else []
        given = current((answer for _, answer in before), rulebase)
        source = screening(maker, drawn, given) if about == "beliefs" else None
        sitting = Sitting(maker, order, drawn, wanted, plans=about != "due", source=source)
        QuizDialogue(sitting, store, who, _console(), _now).run(about)


def askable(maker: Maker) -> list[str]:
    """Rules that at least one item can be made about."""
    return [
        rule
        for rule in maker.rulebase.rules
        if any(maker.of_rule(rule, f"askable.{n}") is not None for n in range(ASKABLE_TRIES))
    ]


def _subjects(load: Callable[[str | None, str | None], Rulebase]) -> click.Command:
    @click.command("subjects")
    @_kitchen
    def subjects(*, code: str | None, house: str | None, us: bool) -> None:
        """List subjects and shifts, and which must be known."""
        from advisor.show.page import Page

        rulebase = load(code, house)
        page, able = Page(_console(), rulebase), askable(_maker(rulebase, us=us))
        page.heading("Subjects")
        for name, one in rulebase.quiz.subjects.items():
            count = sum(rulebase.quiz.subject_of(rule) == name for rule in able)
            page.line(f"{name}: {one.title}; {count} rules{'; must be known' if one.must_know else ''}", 2)
        page.heading("Shifts")
        for name, shift in rulebase.quiz.shifts.items():
            page.line(f"{name}: {shift.title}", 2)

    return subjects


def _report(load: Callable[[str | None, str | None], Rulebase]) -> click.Command:
    @click.command("report")
    @click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
    @_FILE
    @_kitchen
    def report(*, as_json: bool, file: str | None, code: str | None, house: str | None, us: bool) -> None:
        """Show who has mastered what, what is believed with confidence and wrong, how the questions do."""
        from advisor.show.quiz_report import report_record, show_report

        rulebase = load(code, house)
        with _store(file) as store:
            answers, names = store.answers(), [one.name for one in store.learners()]
        able = askable(_maker(rulebase, us=us)) if names else []
        record = report_record(answers, names, able, rulebase)
        if as_json:
            click.echo(json.dumps(record, ensure_ascii=False, indent=2))
        else:
            show_report(record, rulebase, _console())

    return report


def _sheet(load: Callable[[str | None, str | None], Rulebase]) -> click.Command:
    @click.command("sheet")
    @click.option("--seed", required=True, metavar="WORD", help="The same word gives the same sheet.")
    @click.option("--about", default="all", metavar="WORD", help="A subject, a shift, or all.")
    @click.option("--key", "key", is_flag=True, help="The key, to keep apart from the questions.")
    @_COUNT
    @_OUT
    @_kitchen
    def sheet_(
        *,
        seed: str,
        about: str,
        key: bool,
        count: int | None,
        out: str | None,
        code: str | None,
        house: str | None,
        us: bool,
    ) -> None:
        """Write a sheet to print, or with --key its answers."""
        from advisor.quiz.sheet import key_sheet, sheet
        from advisor.quiz.sitting import rules_about

        rulebase = load(code, house)
        maker = _maker(rulebase, us=us)
        items = maker.form(seed, count or 12, rules_about(about, rulebase, on_paper=True))
        road = maker.bench.road
        _write(out, key_sheet(items, rulebase, seed, road) if key else sheet(items, rulebase, seed))

    return sheet_


def _items(load: Callable[[str | None, str | None], Rulebase]) -> click.Command:
    @click.command("items")
    @click.option("--seed", required=True, metavar="WORD", help="The same word gives the same items.")
    @click.option("--about", default="all", metavar="WORD", help="A subject, a shift, or all.")
    @click.option("--as", "form", type=click.Choice(["csv", "json", "qti"]), default="json", help="In which form.")
    @click.option("--out", metavar="FILE", help="A new file; for qti a new folder, one file an item.")
    @_COUNT
    @_kitchen
    def items(
        *,
        seed: str,
        about: str,
        form: str,
        out: str | None,
        count: int | None,
        code: str | None,
        house: str | None,
        us: bool,
    ) -> None:
        """Write items for another program: CSV, JSON, or QTI 3.0.

        QTI items are held against the parts of the standard that we encode, not against its published schema, which
        no package that we found carries: try them in your own program first. CSV is written so that no spreadsheet
        runs a cell as a formula.
        """
        from advisor.quiz.export import as_csv, as_json, as_qti, qti_faults
        from advisor.quiz.sitting import rules_about

        rulebase = load(code, house)
        maker = _maker(rulebase, us=us)
        drawn, road = maker.form(seed, count or 12, rules_about(about, rulebase, on_paper=True)), maker.bench.road
        if form == "qti":
            if out is None:
                raise InputError("QTI is one file an item.", "Name a new folder with --out.")
            try:
                Path(out).mkdir()
            except OSError as error:
                raise InputError(
                    f"No folder can be made there: {error.strerror or error}.", "Name a new one.", out
                ) from error
            for item in drawn:
                text = as_qti(item, road)
                if faults := qti_faults(text):
                    raise ValueError(f"item {item.id} breaks the standard: {'; '.join(faults)}")
                _write(str(Path(out) / f"item-{item.id}.xml"), text)
            return
        _write(out, as_csv(drawn, road) if form == "csv" else as_json(drawn, road))

    return items


@click.command("save")
@click.argument("name")
@_OUT
@_FILE
def _save(*, name: str, out: str | None, file: str | None) -> None:
    """Write all that is kept of a learner as JSON."""
    with _store(file) as store:
        _write(out, json.dumps(store.exported(name), ensure_ascii=False, indent=1) + "\n")


@click.command("import")
@click.argument("source", metavar="FILE")
@_FILE
def _import(*, source: str, file: str | None) -> None:
    """Take in a learner that was saved."""
    try:
        data = json.loads(Path(source).read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise InputError(f"It cannot be read: {error}.", "Name a file made by 'advisor quiz save'.", source) from error
    with _store(file) as store:
        learner = store.imported(data, source)
    click.echo(f"{learner.name} is here now.")


@click.command("forget")
@click.argument("name")
@click.option("--yes", is_flag=True, help="Do not ask.")
@_FILE
def _forget(*, name: str, yes: bool, file: str | None) -> None:
    """Delete a learner and all that was kept of them."""
    with _store(file) as store:
        who = store.learner(name)
        if not yes:
            click.confirm(f"Delete all that is kept of {who.name}?", abort=True)
        store.forget(who.name)
    click.echo(f"Nothing is kept of {who.name} any more.")
