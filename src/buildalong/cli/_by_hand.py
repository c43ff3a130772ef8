"""What ``buildalong layout`` does with work by hand: print a build list, compare it, mend it."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

from buildalong.cli._group import ERRORS, OK, UNREADABLE, print_findings
from buildalong.cli._json import SCHEMA, write
from buildalong.cli._show import say, table

if TYPE_CHECKING:
    from buildalong.lesson import Compiled

__all__ = ["mend", "print_list", "show_comparison"]


def print_list(compiled: Compiled, as_json: bool) -> None:
    """Print the layout as a build list, in the order of the steps."""
    from buildalong.build.hand import ListStep, list_text

    layout = compiled.layout
    assert layout is not None
    steps = [
        ListStep(step.parts, step.wires, "" if step.kind == "test" else None)
        for step in compiled.steps
        if step.kind != "check"
    ]
    style = compiled.lesson.layout.style
    text = list_text(compiled.circuit, layout, steps, style=style, title=compiled.lesson.title)
    say(write({"schema": SCHEMA, "list": text, "findings": []}) if as_json else text.rstrip("\n"))


def show_comparison(compiled: Compiled) -> None:
    """Print an author's whole layout beside the placer's own, term by term."""
    mine, best = compiled.placement, compiled.optimum
    assert mine is not None
    if best is None:
        say("the lesson has no whole layout of its own to compare")
        return
    count, other = mine.wire_count, best.wire_count
    proof = (
        "proved to be the fewest" if best.lower_bound == other else f"at least {best.lower_bound} are needed"
    )
    words = "as few as were found" if other >= count else f"{other} would do"
    say(f"yours takes {count} wire{'s' if count != 1 else ''}; {words} ({proof})")
    say()
    names = dict.fromkeys(term.name for score in (mine.score, best.score) for term in score.terms)
    rows = [("weighed", "yours", "cost", "placer's", "cost")]
    for name in names:
        cells = [name]
        for score in (mine.score, best.score):
            term = next((t for t in score.terms if t.name == name), None)
            cells += [f"{term.amount:g}", f"{term.cost:.0f}"] if term else ["-", "-"]
        rows.append((cells[0], cells[1], cells[2], cells[3], cells[4]))
    rows.append(("in all", "", f"{mine.score.total:.0f}", "", f"{best.score.total:.0f}"))
    table(rows)


def mend(lesson: str, as_json: bool, save: bool) -> int:
    """Print the changes that repair the lesson's build list; with ``save`` write them into it."""
    from buildalong.board import board
    from buildalong.build.hand import mend_list
    from buildalong.finding import Finding, Place, Severity, Unreadable
    from buildalong.lesson import load
    from buildalong.words import capital

    def refused(code: str, message: str, hint: str, place: Place | None = None) -> int:
        print_findings([Finding(Severity.ERROR, code, message, hint, place)], as_json)
        return ERRORS

    try:
        read = load(lesson)
    except Unreadable as error:
        print_findings(error.findings, as_json)
        return UNREADABLE
    if not read.sound:
        print_findings([f for f in read.findings if f.severity >= Severity.ERROR], as_json)
        return ERRORS
    source = read.layout.build_list
    if source is None:
        return refused(
            "no-build-list", "the lesson names no build list", 'write list = "build.txt" under [layout]'
        )
    if read.layout.board == "smallest":
        return refused("no-board", "a list is mended for one board", 'write board = "400" in the lesson')
    size = board(read.layout.board)
    done = mend_list(source.text, source.file, read.circuit, size, style=read.layout.style)
    if done.layout is None:
        hint = "mend by hand what 'buildalong check' tells, or leave lines out: what is missing is placed"
        why = "".join(f": {message}" for message in done.told[:1]) or "."
        return refused(
            "not-mended", f"No way was found to mend this list{why}", hint, Place(source.file, 1, 1)
        )
    changed = done.text != source.text
    if save and changed and (why := _replace(Path(source.file), done.text)):
        return refused("file-unwritable", f"'{source.file}' cannot be written: {why}", "", Place(source.file))
    if as_json:
        document = {"schema": SCHEMA, "list": done.text, "changes": done.changes, "told": done.told}
        say(write({**document, "saved": save and changed, "findings": []}))
        return OK
    before, after = source.text.split("\n"), done.text.split("\n")
    for line in difflib.unified_diff(before, after, source.file, source.file, "as it is", "mended", 1, ""):
        say(line)
    for sentence in done.told:
        say(capital(sentence))
    if not changed:
        say(f"{source.file} needs no change")
    else:
        lines = f"{done.changes} line{'s' if done.changes != 1 else ''}"
        say(f"{lines} {'written' if save else 'would change; --save writes them'}")
    return OK


def _replace(path: Path, text: str) -> str:
    """Write a text in the place of a plain file; '' or what went wrong."""
    from buildalong.edit import replace_file

    try:
        replace_file(path.parent, path.name, text)
    except OSError as error:
        return error.strerror or str(error)
    return ""
