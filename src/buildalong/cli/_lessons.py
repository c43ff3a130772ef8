"""The commands on one lesson: new, check, simulate, layout, netlist."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildalong.cli._group import (
    ERRORS,
    OK,
    UNREADABLE,
    cli,
    code_of,
    compiled_of,
    json_option,
    language_option,
    lesson_command,
    print_findings,
    texts_of,
)  # fmt: skip
from buildalong.cli._show import say, show_findings, show_layout, show_promises, show_run

if TYPE_CHECKING:
    from buildalong.finding import Finding
    from buildalong.lesson import Compiled

__all__: list[str] = []


@cli.command(epilog="Example: buildalong new my-lamp")
@click.argument("name", type=click.Path())
@json_option
def new(name: str, as_json: bool) -> int:
    """Start a lesson in the new folder NAME."""
    from buildalong.cli._json import SCHEMA, write
    from buildalong.cli._new import write_lesson
    from buildalong.finding import Unreadable

    try:
        files = write_lesson(Path(name))
    except Unreadable as error:
        print_findings(error.findings, as_json)
        return UNREADABLE
    if as_json:
        say(write({"schema": SCHEMA, "folder": name, "files": files, "findings": []}))
    else:
        say(f"{name} holds a small lesson now: {', '.join(files)}")
        say(f"next: buildalong check {name}")
    return OK


@lesson_command("buildalong check examples/lighthouse")
@language_option
def check(lesson: str, as_json: bool, language: str) -> int:
    """Tell everything that needs attention.

    Facts, words, circuit, board and promises are checked at once, worst first, each with its place.
    """
    from buildalong.cli._json import check_document, write
    from buildalong.finding import Severity

    compiled = compiled_of(lesson, as_json, language=language)
    if compiled is None:
        return UNREADABLE
    if as_json:
        say(write(check_document(compiled)))
        return code_of(compiled)
    show_findings(compiled.findings, texts_of(compiled))
    show_promises(compiled)
    say()
    counts = [
        (sum(f.severity >= Severity.ERROR for f in compiled.findings), "error"),
        (sum(f.severity == Severity.WARNING for f in compiled.findings), "warning"),
        (sum(f.severity == Severity.NOTE for f in compiled.findings), "note"),
    ]
    told = [f"{count} {word}{'s' if count != 1 else ''}" for count, word in counts if count]
    say(f"{lesson}: {', '.join(told) if told else 'all is well'}")
    return code_of(compiled)


@lesson_command('buildalong simulate examples/cupboard-light --trial "open the cupboard"')
@click.option("--trial", help="Name of the trial; without it the first one.")
def simulate(lesson: str, as_json: bool, trial: str | None) -> int:
    """Run a trial: what happens, and why.

    Events with their causes, measures, and how hard each part works.  Nothing is placed on the board.
    """
    from buildalong.cli._json import simulate_document, write
    from buildalong.cli._words import causes

    compiled = compiled_of(lesson, as_json, ("runs", "words"))
    if compiled is None:
        return UNREADABLE
    if trial is not None and trial not in [t.name for t in compiled.lesson.trials]:
        print_findings([_unknown_trial(compiled, trial)], as_json)
        return UNREADABLE
    name = trial or next(iter(compiled.runs), "")
    run = compiled.runs.get(name)
    if run is None:
        print_findings(compiled.findings, as_json)
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
    return code_of(compiled)


def _unknown_trial(compiled: Compiled, trial: str) -> Finding:
    from difflib import get_close_matches

    from buildalong.finding import Finding, Severity

    names = [t.name for t in compiled.lesson.trials]
    near = get_close_matches(trial, names, n=1)
    hint = f"did you mean '{near[0]}'?" if near else f"the trials are: {', '.join(names) or 'none'}"
    return Finding(Severity.FATAL, "unknown-trial", f"the lesson has no trial '{trial}'", hint)


@lesson_command("buildalong layout examples/mailbox-flag --list > build.txt")
@click.option("--list", "as_list", is_flag=True, help="Print a build list that a lesson can take.")
@click.option("--compare", is_flag=True, help="Weigh the lesson's own layout beside the placer's.")
@click.option("--mend", is_flag=True, help="Print what would repair the lesson's build list.")
@click.option("--save", is_flag=True, help="With --mend: write the repaired list in its place.")
def layout(lesson: str, as_json: bool, as_list: bool, compare: bool, mend: bool, save: bool) -> int:
    """Show which lead goes into which hole.

    With the wires, the fewest that are needed, and whether that is proved.  No file is changed but the
    lesson's build list, and that only with --mend --save.
    """
    from buildalong.cli import _by_hand
    from buildalong.cli._json import layout_document, write

    if save and not mend:
        raise click.UsageError("--save goes with --mend")
    if mend:
        return _by_hand.mend(lesson, as_json, save)
    compiled = compiled_of(lesson, as_json)
    if compiled is None:
        return UNREADABLE
    if as_list and compiled.placement is not None:
        _by_hand.print_list(compiled, as_json)
        return code_of(compiled)
    if as_json:
        say(write(layout_document(compiled)))
    elif compiled.placement is None:
        show_findings(compiled.findings, texts_of(compiled))
    else:
        if compare:
            _by_hand.show_comparison(compiled)
        else:
            show_layout(compiled)
        on_board = [f for f in compiled.findings if f.severity >= 2]
        if on_board:
            say()
            show_findings(on_board, texts_of(compiled))
    return code_of(compiled)


@lesson_command("buildalong netlist examples/lighthouse")
def netlist(lesson: str, as_json: bool) -> int:
    """Print the netlist for a circuit simulator."""
    from buildalong.circuit import netlist_text
    from buildalong.cli._json import netlist_document, write
    from buildalong.finding import Severity, Unreadable
    from buildalong.lesson import load

    try:
        read = load(lesson)
    except Unreadable as error:
        print_findings(error.findings, as_json)
        return UNREADABLE
    broken = [f for f in read.findings if f.severity >= Severity.ERROR]
    if not read.sound:
        print_findings(broken, as_json)
        return ERRORS
    first = read.trials[0] if read.trials else None
    lasts, actions = (first.lasts, first.actions) if first else (None, ())
    text = netlist_text(read.circuit, read.title, lasts=lasts, actions=actions)
    say(write(netlist_document(text, read.findings)) if as_json else text.rstrip("\n"))
    return ERRORS if broken else OK
