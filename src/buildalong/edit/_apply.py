"""One edit, done: checked first, then written into the author's files by the smallest changes."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from buildalong.board import Layout
from buildalong.edit import _edits as e
from buildalong.edit import _moves as moves
from buildalong.edit._board import SMALLEST, Standing, standing, written
from buildalong.edit._change import Change, after, inverse
from buildalong.edit._drop import judged
from buildalong.edit._editing import FACTS, Deed, Editing
from buildalong.edit._rename import renamed_in_sheet, renamed_in_words
from buildalong.edit._sentences import refused, told
from buildalong.edit._sheet import Sheet
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson import MAX_TEXT, Lesson
from buildalong.words import listed

__all__ = ["Outcome", "edit", "edit_all", "needs_board", "redo", "undo"]

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,15}")
_ON_BOARD = (
    e.PutPart, e.MovePart, e.MoveLead, e.TurnPart, e.PutWire, e.MoveWire, e.RemoveWire, e.FewestWires,
    e.KeepThese,
)  # fmt: skip
"""Edits of what stands on the board."""
_LENIENT = (e.RemovePart, e.RemoveKey, e.ReplaceText)
"""Edits after which the lesson may have errors that it had not before: they are told, not refused."""


@dataclass(frozen=True)
class Outcome:
    """What came of an edit.

    ``ok``: it was accepted; ``editing``: the lesson after it, or as it was; ``says``: what was done;
    ``findings``: why it was refused, or what to know of it; ``changes``: what became of the texts.
    """

    editing: Editing
    ok: bool
    says: str = ""
    findings: tuple[Finding, ...] = ()
    changes: tuple[Change, ...] = field(default=(), repr=False)


def edit(editing: Editing, wanted: e.Edit, shown: Layout | None = None) -> Outcome:
    """Do an edit; nothing is raised for what cannot be done.

    ``shown`` is the layout that the author sees: where not all of it was placed by hand, moving one thing
    keeps all the others where they are.
    """
    try:
        return _Work(editing, shown).do(wanted)
    except Unreadable as error:
        return Outcome(editing, False, "", error.findings)


def edit_all(editing: Editing, wanted: Sequence[e.Edit], shown: Layout | None = None) -> Outcome:
    """Do several edits, all or none, as one that can be taken back."""
    done = Outcome(editing, False, "", refused("no-change").findings)
    says: list[str] = []
    changes: tuple[Change, ...] = ()
    findings: tuple[Finding, ...] = ()
    for one in wanted:
        done = edit(done.editing, one, shown)
        if not done.ok:
            return replace(done, editing=editing)
        says.append(done.says)
        changes += done.changes
        findings += done.findings
    if len(says) < 2:
        return done
    deed = Deed("; ".join(says), changes)
    return Outcome(editing.with_deed(deed), True, deed.says, findings, changes)


def needs_board(editing: Editing, wanted: e.Edit) -> bool:
    """Whether an edit should be told the board that the author sees, since not all of it is by hand.

    Raises Unreadable where the lesson cannot be read.
    """
    if not isinstance(wanted, _ON_BOARD):
        return False
    lesson = editing.lesson()
    try:
        own = standing(lesson, None).own
    except Unreadable:
        return lesson.layout.board == SMALLEST
    return not set(own.holes) >= set(lesson.circuit.by_id) or not own.wires


def undo(editing: Editing) -> Outcome:
    """Take the last edit back, to the last byte."""
    if not editing.done:
        return Outcome(editing, False, "", refused("nothing-undone", what="undo").findings)
    before = editing.back()
    deed = editing.done[-1]
    return Outcome(before, True, f"undone: {deed.says}", (), inverse(deed.changes))


def redo(editing: Editing) -> Outcome:
    """Do again the edit that was taken back last."""
    if not editing.undone:
        return Outcome(editing, False, "", refused("nothing-undone", what="do again").findings)
    deed = editing.undone[-1]
    return Outcome(editing.forth(), True, f"done again: {deed.says}", (), deed.changes)


class _Work:
    """One edit at work on one lesson."""

    def __init__(self, editing: Editing, shown: Layout | None) -> None:
        self.editing, self.shown = editing, shown
        self.texts = dict(editing.texts)
        self.changes: list[Change] = []
        self.findings: list[Finding] = []

    def do(self, wanted: e.Edit) -> Outcome:
        """Do it, prove that nothing got worse, and give the outcome."""
        says = _HOW[type(wanted)](self, wanted)
        for name, text in self.texts.items():
            if len(text.encode()) > MAX_TEXT:
                raise refused("too-large", file=name, most=f"{MAX_TEXT / 1e6:g}")
        if not self.changes:
            raise refused("no-change")
        if not isinstance(wanted, _LENIENT):
            self.still_sound()
        deed = Deed(says, tuple(self.changes))
        return Outcome(self.editing.with_deed(deed), True, says, tuple(self.findings), deed.changes)

    def still_sound(self) -> None:
        """Refuse what brings an error into the lesson that was not there."""
        before = _errors(lambda: self.lesson)
        now = _errors(replace(self.editing, texts=self.texts).lesson)
        new = [finding for finding in now if (finding.code, finding.message) not in {
            (f.code, f.message) for f in before
        }]  # fmt: skip
        if new:
            raise Unreadable(*new)

    def take(self, changes: list[Change]) -> None:
        """Make changes of text."""
        self.texts = after(self.texts, changes)
        self.changes += changes

    def sheet(self, file: str = FACTS) -> Sheet:
        """A TOML file to be changed."""
        return Sheet(file, self.text_of(file), self.editing.shown(file))

    def text_of(self, file: str) -> str:
        """The text of a file."""
        if file not in self.texts:
            raise refused("unknown-file", file=file[:60], known=", ".join(self.texts))
        return self.texts[file]

    def part_named(self, sheet: Sheet, name: str) -> None:
        """Refuse a part that lesson.toml does not have."""
        if not sheet.has("parts", name):
            known = ", ".join(sheet.get("parts") or ())
            raise refused("unknown-part", name[:40], part=name[:40], known=known or "none yet")

    # -- values and parts -------------------------------------------------------------------------

    def set_value(self, wanted: e.SetValue) -> str:
        """Set a value."""
        sheet = self.sheet()
        supply = sheet.get("supply")
        name = supply.get("id", "BT1") if isinstance(supply, dict) else "BT1"
        if wanted.part == name and not sheet.has("parts", name):
            sheet.put(("supply", "kind") if isinstance(supply, dict) else ("supply",), wanted.value)
        else:
            self.part_named(sheet, wanted.part)
            sheet.put(("parts", wanted.part, "value"), wanted.value, after="part")
        self.take(sheet.changes)
        return told("set-value", part=wanted.part, value=wanted.value)

    def set_key(self, wanted: e.SetKey) -> str:
        """Set any key."""
        sheet = self.sheet(wanted.file)
        value = list(wanted.value) if isinstance(wanted.value, tuple) else wanted.value
        sheet.put(wanted.path, value)
        self.take(sheet.changes)
        return told("set-key", key=_dotted(wanted.path))

    def remove_key(self, wanted: e.RemoveKey) -> str:
        """Take out any key."""
        sheet = self.sheet(wanted.file)
        sheet.take(wanted.path)
        self.take(sheet.changes)
        return told("remove-key", key=_dotted(wanted.path))

    def add_part(self, wanted: e.AddPart) -> str:
        """Add a part."""
        sheet = self.sheet()
        if sheet.has("parts", wanted.name) or wanted.name in self.lesson.circuit.by_id:
            raise refused("name-taken", wanted.name, name=wanted.name[:40])
        self.fit(wanted.name)
        table: dict[str, object] = {"part": wanted.part}
        if wanted.value:
            table["value"] = wanted.value
        sheet.put(("parts", wanted.name), {**table, "pins": list(wanted.pins)})
        self.take(sheet.changes)
        return told("add-part", part=wanted.name)

    def remove_part(self, wanted: e.RemovePart) -> str:
        """Take a part out."""
        sheet = self.sheet()
        self.part_named(sheet, wanted.part)
        lesson = self.lesson
        if lesson.layout.build_list is not None:
            own = standing(lesson, None).own
            holes = {name: holes for name, holes in own.holes.items() if name != wanted.part}
            self.take(written(sheet, self.texts, lesson, own, replace(own, holes=holes)))
        elif sheet.has("layout", wanted.part):
            sheet.take(("layout", wanted.part))
        sheet.take(("parts", wanted.part))
        self.take(sheet.changes)
        return told("remove-part", part=wanted.part)

    def rename_part(self, wanted: e.RenamePart) -> str:
        """Give a part another name everywhere."""
        sheet = self.sheet()
        if wanted.part == wanted.name:
            raise refused("no-change")
        if sheet.get("supply", "id") != wanted.part:
            self.part_named(sheet, wanted.part)
        if sheet.has("parts", wanted.name) or wanted.name in self.lesson.circuit.by_id:
            raise refused("name-taken", wanted.name, name=wanted.name[:40])
        self.fit(wanted.name)
        renamed_in_sheet(sheet, wanted.part, wanted.name)
        self.take(sheet.changes)
        for file, text in list(self.texts.items()):
            if not file.endswith(".toml"):
                self.take(renamed_in_words(file, text, wanted.part, wanted.name))
        return told("rename-part", part=wanted.part, name=wanted.name)

    def fit(self, name: str) -> None:
        """Refuse what is no name."""
        if not _NAME.fullmatch(name):
            raise refused("name-unfit", name=name[:40])

    def set_pin(self, wanted: e.SetPin) -> str:
        """Put a terminal on another net."""
        sheet = self.sheet()
        self.part_named(sheet, wanted.part)
        part = moves.part_of(self.lesson.circuit, wanted.part)
        names = [terminal.name for terminal in part.type.terminals]
        try:
            name = part.type.terminal(wanted.pin).name
        except KeyError:
            raise moves.no_lead(part, wanted.pin, names) from None
        at: tuple[str | int, ...] = ("parts", part.id, "pins")
        pins = sheet.get(*at)
        if isinstance(pins, dict):
            written_as = next((key for key in pins if _same_terminal(part.type, key, name)), name)
            sheet.put((*at, written_as), wanted.net)
        else:
            sheet.put((*at, names.index(name)), wanted.net)
        self.take(sheet.changes)
        return told("open-pin" if wanted.net == "-" else "set-pin", part=part.id, pin=name, net=wanted.net)

    # -- the board --------------------------------------------------------------------------------

    @cached_property
    def lesson(self) -> Lesson:
        """The lesson before the edit; raises Unreadable."""
        return self.editing.lesson()

    def drop(self, moved: Callable[[Lesson, Layout], Layout], *, check: bool = True) -> tuple[Layout, Layout]:
        """Change the board that the author sees, if it can be built so, and write it; before and after."""
        lesson = self.lesson
        board: Standing = standing(lesson, self.shown)
        new = moved(lesson, board.seen)
        if check:
            self.findings += judged(lesson.circuit, board.seen, new)
        sheet = self.sheet()
        self.take(written(sheet, self.texts, lesson, board.own, new))
        self.take(sheet.changes)
        return board.seen, new

    def put_part(self, wanted: e.PutPart) -> str:
        """Put a part into holes."""
        _, new = self.drop(lambda le, la: moves.part_put(le.circuit, la, wanted.part, wanted.holes))
        return told("put-part", part=wanted.part, holes=", ".join(new.holes[wanted.part]))

    def move_part(self, wanted: e.MovePart) -> str:
        """Move a part as it stands."""
        _, new = self.drop(
            lambda le, la: moves.part_moved(le.circuit, la, wanted.part, wanted.leg, wanted.hole)
        )
        return told("put-part", part=wanted.part, holes=", ".join(new.holes[wanted.part]))

    def move_lead(self, wanted: e.MoveLead) -> str:
        """Move one lead."""
        names: list[str] = []

        def moved(lesson: Lesson, layout: Layout) -> Layout:
            new, name = moves.lead_moved(lesson.circuit, layout, wanted.part, wanted.lead, wanted.hole)
            names.append(name)
            return new

        _, new = self.drop(moved)
        return told("move-lead", part=wanted.part, lead=names[0], hole=new.board.spell(wanted.hole))

    def turn_part(self, wanted: e.TurnPart) -> str:
        """Turn a part."""
        self.drop(lambda le, la: moves.part_turned(le.circuit, la, wanted.part, wanted.turn))
        return told("turn-part", part=wanted.part)

    def put_wire(self, wanted: e.PutWire) -> str:
        """Lay a wire."""
        _, new = self.drop(lambda le, la: moves.wire_put(le.circuit, la, wanted.words, le.layout.style))
        return told("put-wire", start=new.wires[-1].start, end=new.wires[-1].end)

    def move_wire(self, wanted: e.MoveWire) -> str:
        """Move an end of a wire."""
        _, new = self.drop(
            lambda le, la: moves.wire_moved(le.circuit, la, wanted.wire, wanted.end, wanted.hole)
        )
        wire = new.wires[wanted.wire - 1]
        return told("move-wire", number=wanted.wire, start=wire.start, end=wire.end)

    def remove_wire(self, wanted: e.RemoveWire) -> str:
        """Take out a wire."""

        def moved(_: Lesson, layout: Layout) -> Layout:
            gone = moves.wire_of(layout, wanted.wire)
            return replace(layout, wires=tuple(wire for wire in layout.wires if wire is not gone))

        old, _ = self.drop(moved)
        wire = old.wires[wanted.wire - 1]
        return told("remove-wire", start=wire.start, end=wire.end)

    def tidy(self, _: e.Tidy) -> str:
        """Give up all holes and wires."""
        self.drop(lambda _le, la: Layout(la.board, {}), check=False)
        return told("tidy")

    def fewest_wires(self, _: e.FewestWires) -> str:
        """Give up all wires."""
        self.drop(lambda _le, la: replace(la, wires=()), check=False)
        return told("fewest-wires")

    def keep_these(self, wanted: e.KeepThese) -> str:
        """Give up all but these."""

        def kept(lesson: Lesson, layout: Layout) -> Layout:
            numbers = {f"wire {number}": number for number in range(1, len(layout.wires) + 1)}
            for name in wanted.names:
                if name not in numbers and name not in layout.holes:
                    moves.part_of(lesson.circuit, name)
                    raise refused("no-board-yet", name, part=name)
            holes = {name: holes for name, holes in layout.holes.items() if name in wanted.names}
            wires = [layout.wires[numbers[name] - 1] for name in numbers if name in wanted.names]
            return Layout(layout.board, holes, tuple(wires))

        self.drop(kept, check=False)
        return told("keep-these", names=listed(wanted.names)) if wanted.names else told("tidy")

    # -- text -------------------------------------------------------------------------------------

    def replace_text(self, wanted: e.ReplaceText) -> str:
        """Put a text in the place of another."""
        text = self.text_of(wanted.file)
        if not 0 <= wanted.start <= wanted.end <= len(text):
            raise refused("text-differs")
        old = text[wanted.start : wanted.end]
        if wanted.old is not None and wanted.old != old:
            raise refused("text-differs")
        if old != wanted.text:
            self.take([Change(wanted.file, wanted.start, old, wanted.text)])
        line = text.count("\n", 0, wanted.start) + 1
        return told("replace-text", file=wanted.file, line=line)


_HOW: dict[type[Any], Callable[[_Work, Any], str]] = {
    e.SetValue: _Work.set_value,
    e.SetKey: _Work.set_key,
    e.RemoveKey: _Work.remove_key,
    e.AddPart: _Work.add_part,
    e.RemovePart: _Work.remove_part,
    e.RenamePart: _Work.rename_part,
    e.SetPin: _Work.set_pin,
    e.PutPart: _Work.put_part,
    e.MovePart: _Work.move_part,
    e.MoveLead: _Work.move_lead,
    e.TurnPart: _Work.turn_part,
    e.PutWire: _Work.put_wire,
    e.MoveWire: _Work.move_wire,
    e.RemoveWire: _Work.remove_wire,
    e.Tidy: _Work.tidy,
    e.FewestWires: _Work.fewest_wires,
    e.KeepThese: _Work.keep_these,
    e.ReplaceText: _Work.replace_text,
}


def _errors(read: Callable[[], Lesson]) -> list[Finding]:
    """The errors of reading a lesson."""
    try:
        found = read().findings
    except Unreadable as error:
        found = error.findings
    return [finding for finding in found if finding.severity >= Severity.ERROR]


def _same_terminal(kind: Any, key: str, name: str) -> bool:
    try:
        return bool(kind.terminal(key).name == name)
    except KeyError:
        return False


def _dotted(path: tuple[str | int, ...]) -> str:
    """A path for people, who count from 1."""
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in path)
