"""The commands and their ends: exit codes, Ctrl-C, closed pipes, and no traceback ever."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from buildalong.cli import (
    _bench,
    _choosing,
    _class,
    _comparing,
    _edit,
    _exercise,
    _film,
    _handout,
    _lessons,
    _mistakes,
    _publish,
    _running_down,
    _spreading,
    _studies,
)
from buildalong.cli._group import CLOSED_PIPE, INTERRUPTED, OK, UNREADABLE, cli, print_findings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.finding import Finding

__all__ = ["cli", "main"]

COMMANDS = (
    _lessons, _edit, _bench, _publish, _mistakes, _studies, _choosing, _spreading, _running_down, _comparing,
    _class, _exercise, _handout, _film,
)  # fmt: skip
"""The modules that add commands to the group when they are imported."""


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run a command and end the process with its exit code; no traceback reaches the user."""
    code = UNREADABLE
    try:
        code = _run(arguments)
        sys.stdout.flush()
    except (KeyboardInterrupt, click.exceptions.Abort):
        click.echo("stopped", err=True)
        code = INTERRUPTED
    except BrokenPipeError:
        # The reader has gone: nothing more can be said, and Python must not try when it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = CLOSED_PIPE
    except SystemExit as error:
        # click ends so where it met the closed pipe itself, and has silenced the streams.
        pacified = type(sys.stdout).__name__.endswith("PacifyFlushWrapper")
        code = CLOSED_PIPE if pacified else int(error.code or OK)
    sys.exit(code)


def _run(arguments: Sequence[str] | None) -> int:
    try:
        result = cli.main(
            args=list(arguments) if arguments is not None else None,
            prog_name="buildalong",
            standalone_mode=False,
        )
    except click.exceptions.Exit as error:
        return int(error.exit_code)
    except click.ClickException as error:
        error.show()
        return UNREADABLE
    except (BrokenPipeError, click.exceptions.Abort):
        raise
    except Exception as error:
        if os.environ.get("BUILDALONG_DEBUG"):
            raise
        print_findings([_internal(error)], "--json" in (arguments or sys.argv))
        return UNREADABLE
    return result if isinstance(result, int) else OK


def _internal(error: Exception) -> Finding:
    import traceback

    from buildalong.finding import Finding, Severity

    frames = traceback.extract_tb(error.__traceback__)
    where = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "?"
    return Finding(
        Severity.FATAL,
        "internal-error",
        f"internal error: {type(error).__name__}: {str(error)[:300]} ({where})",
        "this is a fault of buildalong, not of your lesson: please report it with the lesson folder",
    )
