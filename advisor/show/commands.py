"""The commands about the rulebase itself: check it, print it, count it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.errors import InputError

if TYPE_CHECKING:
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
    if write:
        click.echo(f"Written to {write_reference(where)}.")
    else:
        click.echo(reference_text(load_rulebase(where)), nl=False)


@rulebase_commands.command("coverage")
@click.argument("folder", required=False, metavar="[FOLDER]")
def coverage(*, folder: str | None) -> None:
    """Count the rules by subject and concern, and by how each is known."""
    from advisor.knowledge import load_rulebase
    from advisor.show.audit import show_coverage

    show_coverage(load_rulebase(_folder(folder)), _console())


def _console() -> Console:
    from rich.console import Console

    return Console(highlight=False)


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
