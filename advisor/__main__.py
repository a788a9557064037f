"""The one door from the shell; no traceback leaves it."""

from __future__ import annotations

import io
import sys

UNREADABLE, OUR_FAULT, USAGE = 3, 4, 2


def main() -> None:
    """Run the command line; turn every error into a sentence and an exit status."""
    import click

    from advisor.cli import cli
    from advisor.errors import AdvisorError, EngineError, RulebaseError

    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that cannot show '°' shows a mark instead of an error.
            stream.reconfigure(errors="replace")
    try:
        cli.main(prog_name="advisor", standalone_mode=False)
    except click.exceptions.Abort:
        click.echo("\nStopped.", err=True)
        sys.exit(130)
    except click.ClickException as error:
        error.show()
        sys.exit(USAGE)
    except (RulebaseError, EngineError) as error:
        click.echo(f"Our own fault, not yours: {error}", err=True)
        sys.exit(OUR_FAULT)
    except AdvisorError as error:
        click.echo(str(error), err=True)
        sys.exit(UNREADABLE)
    except BrokenPipeError:
        # The reader has gone, as with `| head`; say nothing, and let Python close the pipe quietly.
        sys.stderr.close()
        sys.exit(0)
    except OSError as error:
        click.echo(f"The page could not be written: {error.strerror or error}.", err=True)
        sys.exit(OUR_FAULT)
    except Exception as error:  # noqa: BLE001 - the last net: a cook never sees a traceback
        click.echo(f"Our own fault, not yours: {type(error).__name__}. {_kept(error)}", err=True)
        sys.exit(OUR_FAULT)


def _kept(error: Exception) -> str:
    """Keep the details in a file for whoever mends this, and say where."""
    import traceback

    from platformdirs import user_state_path

    path = user_state_path("prep-advisor") / "last-fault.txt"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("".join(traceback.format_exception(error)), encoding="utf-8")
    except OSError:
        return "Please report what you did."
    return f"The details are in {path}."


if __name__ == "__main__":
    main()
