"""Edits, done: each is checked first, then written into the author's files by the smallest changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildalong.board import Layout
from buildalong.edit import _edits as e
from buildalong.edit._board import standing
from buildalong.edit._change import Change, inverse
from buildalong.edit._editing import Deed, Editing
from buildalong.edit._on_board import ON_BOARD
from buildalong.edit._on_text import ON_TEXT
from buildalong.edit._outcome import Outcome
from buildalong.edit._sentences import refused
from buildalong.edit._work import Work
from buildalong.finding import Finding, Unreadable
from buildalong.lesson import SMALLEST

__all__ = ["edit", "edit_all", "needs_board", "redo", "undo"]

_HOW = {**ON_TEXT, **ON_BOARD}


def edit(editing: Editing, wanted: e.Edit, shown: Layout | None = None) -> Outcome:
    """Do an edit; nothing is raised for what cannot be done.

    ``shown`` is the layout that the author sees: where not all of it was placed by hand, moving one thing
    keeps all the others where they are.
    """
    try:
        return Work(editing, shown).do(wanted, _HOW[type(wanted)])
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
    if isinstance(wanted, e.Tidy) or not isinstance(wanted, tuple(ON_BOARD)):
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
