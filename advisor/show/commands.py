"""The commands about the rulebase itself: check it, print it, count it."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.errors import InputError, RulebaseError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import Console

UNREADABLE = 3


@click.group("rulebase")
def rulebase_commands() -> None:
    """Check, print and count the rules themselves."""


@rulebase_commands.command("check")
@click.argument("folder", required=False, metavar="[FOLDER]")
def check(*, folder: str | None) -> None:
    """List every fault of the rulebase, with file, line and what to write instead.

    Exit status: 0 no errors (there may be warnings), 3 errors.
    """
    from advisor.audit import audit
    from advisor.show.audit import show_audit

    with _their_folder():
        found = audit(_folder(folder))
    show_audit(found, _console())
    sys.exit(UNREADABLE if found.errors else 0)


@rulebase_commands.command("reference")
@click.argument("folder", required=False, metavar="[FOLDER]")
@click.option("--write", "write", is_flag=True, help="Write it to REFERENCE.md beside the rules.")
def reference(*, folder: str | None, write: bool) -> None:
    """Print all rules by subject, with their reasons, limits and sources (Markdown)."""
    from advisor.audit.reference import reference_text, write_reference
    from advisor.knowledge import load_rulebase

    where = _folder(folder)
    with _their_folder():
        text = f"Written to {write_reference(where)}.\n" if write else reference_text(load_rulebase(where))
    click.echo(text, nl=False)


@rulebase_commands.command("coverage")
@click.argument("folder", required=False, metavar="[FOLDER]")
def coverage(*, folder: str | None) -> None:
    """Count the rules by subject and concern, and by how each is known."""
    from advisor.knowledge import load_rulebase
    from advisor.show.audit import show_coverage

    with _their_folder():
        rulebase = load_rulebase(_folder(folder))
    show_coverage(rulebase, _console())


@contextmanager
def _their_folder() -> Iterator[None]:
    """What is wrong with a folder that somebody named is no fault of ours."""
    try:
        yield
    except RulebaseError as error:
        place = f"{error.file}, line {error.line}" if error.line else error.file
        raise InputError(error.what, error.hint, place) from error


def _console() -> Console:
    from advisor.show.screen import screen

    return screen()


def _folder(name: str | None) -> Path | None:
    """Folder of a rulebase; None for the shipped one.

    Raises
    ------
    InputError
        There is no such folder.
    """
    if name is None:
        return None
    if not Path(name).is_dir():
        raise InputError(f"'{name}' is no folder.", "Name the folder that holds rules/, limits/, meats/ and codes/.")
    return Path(name)
