"""The commands and their ends: exit codes, Ctrl-C, closed pipes, and no traceback ever."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

import buildalong
from buildalong.cli._show import Progress, say, show_findings, show_layout, show_promises, show_run

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from buildalong.finding import Finding
    from buildalong.lesson import Compiled

__all__ = ["cli", "main"]

OK, ERRORS, UNREADABLE, INTERRUPTED, CLOSED_PIPE = 0, 1, 2, 130, 141
"""Exit codes: nothing worse than a warning; errors in the lesson; unreadable; Ctrl-C; reader gone."""


class _Group(click.Group):
    """Commands in the order of use, not of the alphabet."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the commands."""
        return list(self.commands)


_HELP = """Compile a plain-text electronics lesson into a checked build-along.

\b
Start:   buildalong new my-lamp
Check:   buildalong check my-lamp
Publish: buildalong publish my-lamp --output pack
"""


@click.group(cls=_Group, help=_HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(buildalong.__version__, message="buildalong %(version)s")
def cli() -> None:
    """Hold the commands; what they do is in the functions below."""


def _lesson_command(example: str) -> Callable[[Callable[..., int]], click.Command]:
    """Make a command on one lesson, with --json and its example in --help."""

    def make(function: Callable[..., int]) -> click.Command:
        decorated: Any = click.option(
            "--json", "as_json", is_flag=True, help="Print one JSON document instead."
        )(function)
        decorated = click.argument("lesson", type=click.Path())(decorated)
        return cli.command(epilog=f"Example: {example}")(decorated)

    return make


def _compile(lesson: str, as_json: bool, want: Collection[str] = ()) -> Compiled | None:
    """Compile a lesson, or the wanted stages of it; where it cannot be read, print why and give None."""
    from buildalong.finding import Unreadable
    from buildalong.lesson import STAGES, compile_lesson
    from buildalong.store import user_store

    progress = Progress()
    try:
        return compile_lesson(lesson, want=want or STAGES, progress=progress, store=user_store())
    except Unreadable as error:
        progress.clear()
        _print_findings(error.findings, as_json)
        return None
    finally:
        progress.clear()


def _print_findings(findings: Sequence[Finding], as_json: bool) -> None:
    from buildalong.cli._json import findings_document, write

    if as_json:
        say(write(findings_document(findings)))
    else:
        show_findings(findings, _texts_of(findings))


def _texts_of(findings: Sequence[Finding]) -> dict[str, str]:
    """The texts of the files that findings are about, where they can be shown."""
    out: dict[str, str] = {}
    for finding in findings:
        name = finding.place.file if finding.place else ""
        if name and name not in out and finding.place is not None and finding.place.line:
            try:
                with open(name, "rb") as stream:
                    out[name] = stream.read(2_000_000).decode("utf-8", "replace").replace("\r\n", "\n")
            except OSError:
                continue
    return out


def _texts(compiled: Compiled) -> Mapping[str, str]:
    lesson = compiled.lesson
    known = {lesson.places.file: lesson.facts, lesson.prose_file: lesson.prose}
    others = [f for f in compiled.findings if f.place and f.place.file not in known]
    return {**_texts_of(others), **known}


def _code(compiled: Compiled) -> int:
    return OK if compiled.ok else ERRORS


@cli.command(epilog="Example: buildalong new my-lamp")
@click.argument("name", type=click.Path())
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def new(name: str, as_json: bool) -> int:
    """Start a lesson in the new folder NAME."""
    from buildalong.cli._json import SCHEMA, write
    from buildalong.cli._new import write_lesson
    from buildalong.finding import Unreadable

    try:
        files = write_lesson(Path(name))
    except Unreadable as error:
        _print_findings(error.findings, as_json)
        return UNREADABLE
    if as_json:
        say(write({"schema": SCHEMA, "folder": name, "files": files, "findings": []}))
    else:
        say(f"{name} holds a small lesson now: {', '.join(files)}")
        say(f"next: buildalong check {name}")
    return OK


@_lesson_command("buildalong check examples/lighthouse")
def check(lesson: str, as_json: bool) -> int:
    """Tell everything that needs attention.

    Facts, words, circuit, board and promises are checked at once, worst first, each with its place.
    """
    from buildalong.cli._json import check_document, write
    from buildalong.finding import Severity

    compiled = _compile(lesson, as_json)
    if compiled is None:
        return UNREADABLE
    if as_json:
        say(write(check_document(compiled)))
        return _code(compiled)
    show_findings(compiled.findings, _texts(compiled))
    show_promises(compiled)
    say()
    counts = [
        (sum(f.severity >= Severity.ERROR for f in compiled.findings), "error"),
        (sum(f.severity == Severity.WARNING for f in compiled.findings), "warning"),
        (sum(f.severity == Severity.NOTE for f in compiled.findings), "note"),
    ]
    told = [f"{count} {word}{'s' if count != 1 else ''}" for count, word in counts if count]
    say(f"{lesson}: {', '.join(told) if told else 'all is well'}")
    return _code(compiled)


@_lesson_command('buildalong simulate examples/cupboard-light --trial "open the cupboard"')
@click.option("--trial", help="Name of the trial; without it the first one.")
def simulate(lesson: str, as_json: bool, trial: str | None) -> int:
    """Run a trial: what happens, and why.

    Events with their causes, measures, and how hard each part works.  Nothing is placed on the board.
    """
    from buildalong.cli._json import simulate_document, write
    from buildalong.cli._words import causes

    compiled = _compile(lesson, as_json, ("runs", "words"))
    if compiled is None:
        return UNREADABLE
    if trial is not None and trial not in [t.name for t in compiled.lesson.trials]:
        _print_findings([_unknown_trial(compiled, trial)], as_json)
        return UNREADABLE
    name = trial or next(iter(compiled.runs), "")
    run = compiled.runs.get(name)
    if run is None:
        _print_findings(compiled.findings, as_json)
        return ERRORS
    told = causes(compiled, name)
    measures = {
        key: figure.quantity
        for key, figure in compiled.figures.items()
        if figure.kind == "measure" and figure.trial == name
    }
    if as_json:
        say(write(simulate_document(run, told, measures, compiled.findings)))
    else:
        show_run(run, told, measures)
    return _code(compiled)


def _unknown_trial(compiled: Compiled, trial: str) -> Finding:
    from difflib import get_close_matches

    from buildalong.finding import Finding, Severity

    names = [t.name for t in compiled.lesson.trials]
    near = get_close_matches(trial, names, n=1)
    hint = f"did you mean '{near[0]}'?" if near else f"the trials are: {', '.join(names) or 'none'}"
    return Finding(Severity.FATAL, "unknown-trial", f"the lesson has no trial '{trial}'", hint)


@_lesson_command("buildalong layout examples/mailbox-flag")
def layout(lesson: str, as_json: bool) -> int:
    """Show which lead goes into which hole.

    With the wires, the fewest that are needed, and whether that is proved.
    """
    from buildalong.cli._json import layout_document, write

    compiled = _compile(lesson, as_json)
    if compiled is None:
        return UNREADABLE
    if as_json:
        say(write(layout_document(compiled)))
    elif compiled.placement is None:
        show_findings(compiled.findings, _texts(compiled))
    else:
        show_layout(compiled)
        on_board = [f for f in compiled.findings if f.severity >= 2]
        if on_board:
            say()
            show_findings(on_board, _texts(compiled))
    return _code(compiled)


@_lesson_command("buildalong publish examples/lighthouse --output pack")
@click.option("--output", required=True, type=click.Path(), help="Folder to write the lesson pack into.")
def publish(lesson: str, as_json: bool, output: str) -> int:
    """Write the lesson pack: article, pictures, parts list."""
    from buildalong.cli._json import findings_document, publish_document, write
    from buildalong.finding import Unreadable

    compiled = _compile(lesson, as_json)
    if compiled is None:
        return UNREADABLE
    if not compiled.ok:
        if as_json:
            say(write(findings_document(compiled.findings)))
        else:
            show_findings(compiled.findings, _texts(compiled))
            say("nothing was published: mend the errors first")
        return ERRORS
    from buildalong.publish import publish as write_pack
    from buildalong.store import user_store

    progress = Progress()
    try:
        pack = write_pack(compiled, output, progress=progress.tell, store=user_store())
    except Unreadable as error:
        progress.clear()
        _print_findings(error.findings, as_json)
        return UNREADABLE
    finally:
        progress.clear()
    if as_json:
        say(write(publish_document(output, pack.files, compiled.findings)))
    else:
        show_findings(compiled.findings, _texts(compiled))
        say(f"{len(pack.files)} files written to {output}")
    return _code(compiled)


@_lesson_command("buildalong netlist examples/lighthouse")
def netlist(lesson: str, as_json: bool) -> int:
    """Print the netlist for a circuit simulator."""
    from buildalong.circuit import netlist_text
    from buildalong.cli._json import netlist_document, write
    from buildalong.finding import Severity, Unreadable
    from buildalong.lesson import load

    try:
        read = load(lesson)
    except Unreadable as error:
        _print_findings(error.findings, as_json)
        return UNREADABLE
    broken = [f for f in read.findings if f.severity >= Severity.ERROR]
    if not read.sound:
        _print_findings(broken, as_json)
        return ERRORS
    first = read.trials[0] if read.trials else None
    lasts, actions = (first.lasts, first.actions) if first else (None, ())
    text = netlist_text(read.circuit, read.title, lasts=lasts, actions=actions)
    say(write(netlist_document(text, read.findings)) if as_json else text.rstrip("\n"))
    return ERRORS if broken else OK


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
        _print_findings([_internal(error)], "--json" in (arguments or sys.argv))
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
