"""The board that the author sees, and writing what changed of it into the author's files."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from buildalong.board import (
    STYLES,
    WIRE_COLOURS,
    Layout,
    board,
    layout_from,
    uncoloured,
    wire_words,
)
from buildalong.build.hand import board_named, edited, read_list
from buildalong.edit._change import Change
from buildalong.edit._sentences import refused
from buildalong.edit._sheet import Sheet
from buildalong.finding import Severity, Unreadable
from buildalong.lesson import SMALLEST, Lesson

__all__ = ["Standing", "standing", "written"]


@dataclass(frozen=True)
class Standing:
    """``own``: what the author placed by hand; ``seen``: that and what the placer added to it."""

    own: Layout
    seen: Layout


def standing(lesson: Lesson, shown: Layout | None) -> Standing:
    """The board before an edit; ``shown`` is the one that the author sees, where that is known.

    Raises Unreadable where what the author placed cannot be read, or no board is chosen.
    """
    request, circuit = lesson.layout, lesson.circuit
    listed = request.build_list
    size = request.board
    if size == SMALLEST:
        named = board_named(listed.text) if listed else ""
        size = shown.board.name if shown is not None else named
        if not size:
            raise refused("no-board-size")
    empty = Layout(board(size), {})
    own: Layout | None = empty
    if listed is not None:
        trials = [trial.name for trial in lesson.trials]
        read = read_list(listed.text, listed.file, circuit, empty.board, style=request.style, trials=trials)
        own, found = read.layout, list(read.findings)
        if not listed.text.strip():
            own = empty
    else:
        own, found = layout_from(empty.board, circuit, request.holes, request.wires, request.style)
    if own is None:
        raise Unreadable(*(finding for finding in found if finding.severity >= Severity.ERROR))
    return Standing(own, shown if shown is not None and _agrees(own, shown) else own)


def _agrees(own: Layout, shown: Layout) -> bool:
    """Whether the board that is shown is the author's, with more on it."""
    if shown.board != own.board or any(shown.holes.get(name) != holes for name, holes in own.holes.items()):
        return False
    ways = {(wire.start, wire.end) for wire in shown.wires}
    return all((wire.start, wire.end) in ways for wire in own.wires)


def written(sheet: Sheet, texts: dict[str, str], lesson: Lesson, own: Layout, new: Layout) -> list[Change]:
    """Write a layout in the place of the author's: into the build list where there is one, else the sheet.

    Gives the changes of the build list; those of the sheet are its own.  What is not as it was is all
    that is written.
    """
    listed = lesson.layout.build_list
    if listed is None:
        _into_sheet(sheet, lesson, own, new)
        return []
    name = str(sheet.get("layout", "list"))
    plain = texts[name].replace("\r\n", "\n")
    trials = [trial.name for trial in lesson.trials]
    read = read_list(plain, listed.file, lesson.circuit, new.board, style=lesson.layout.style, trials=trials)
    bare = uncoloured(lesson.circuit, new)
    text, _ = edited(plain, read, frozenset(), lesson.circuit, uncoloured(lesson.circuit, own), bare)
    return _line_changes(name, texts[name], text)


def _into_sheet(sheet: Sheet, lesson: Lesson, own: Layout, new: Layout) -> None:
    for part in own.holes:
        if part not in new.holes and sheet.has("layout", part):
            sheet.take(("layout", part))
    for part, holes in new.holes.items():
        if own.holes.get(part) != holes:
            sheet.put(("layout", part), list(holes))
    old: list[list[str]] = sheet.get("layout", "wires") or []
    wires = _wires(lesson, old, own, new)
    if wires:
        sheet.put(("layout", "wires"), wires)
    elif sheet.has("layout", "wires"):
        sheet.take(("layout", "wires"))
    if sheet.get("layout") == {} and not sheet.has_comments("layout"):
        sheet.take(("layout",))


def _wires(lesson: Lesson, old: Sequence[Sequence[str]], own: Layout, new: Layout) -> list[list[str]]:
    """The words of the new wires; a wire that stays keeps its words, one that moved its colour."""
    bare = uncoloured(lesson.circuit, new)
    stay = {wire.course: list(words) for wire, words in zip(own.wires, old, strict=True)}
    moved = {
        number: list(words)
        for number, words in enumerate(old)
        if own.wires[number].course not in {wire.course for wire in new.wires}
    }
    found: list[list[str]] = []
    for number, wire in enumerate(bare.wires):
        words = stay.get(wire.course)
        if words is None:
            plain = wire_words(new, replace(wire, colour=""), lesson.layout.style)
            places = [word for word in plain if word not in STYLES]
            extras = [word for word in moved.get(number, ()) if word.strip().lower() in WIRE_COLOURS]
            style = [word for word in plain if word in STYLES]
            words = [*places, *(extras or ([wire.colour] if wire.colour else [])), *style]
        found.append(words)
    return found


def _line_changes(file: str, old: str, new: str) -> list[Change]:
    """The changes of whole lines from one text to another; lines that stay keep their line breaks."""
    before = old.splitlines(keepends=True)
    crlf = "\r\n" if "\r\n" in old else "\n"
    after = [line.replace("\n", crlf) for line in new.splitlines(keepends=True)]
    plain = [line.replace("\r\n", "\n") for line in before]
    match = difflib.SequenceMatcher(None, plain, new.splitlines(keepends=True), autojunk=False)
    starts = [0]
    for line in before:
        starts.append(starts[-1] + len(line))
    return [
        Change(file, starts[i], "".join(before[i:j]), "".join(after[k:m]))
        for tag, i, j, k, m in reversed(match.get_opcodes())
        if tag != "equal"
    ]
