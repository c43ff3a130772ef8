"""One edit at work: what it needs of the lesson, and the proof that nothing got worse."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from typing import Any

from buildalong.board import Layout
from buildalong.edit import _edits as e
from buildalong.edit._board import Standing, standing, written
from buildalong.edit._change import Change, after
from buildalong.edit._drop import judged
from buildalong.edit._editing import FACTS, Deed, Editing
from buildalong.edit._outcome import Outcome
from buildalong.edit._sentences import refused
from buildalong.edit._sheet import Sheet
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson import MAX_TEXT, Lesson

__all__ = ["Way", "Work"]

LENIENT = (e.RemovePart, e.RemoveKey, e.ReplaceText)
"""Edits after which the lesson may have errors that it had not before: they are told, not refused."""


class Work:
    """One edit at work on one lesson."""

    def __init__(self, editing: Editing, shown: Layout | None) -> None:
        self.editing, self.shown = editing, shown
        self.texts = dict(editing.texts)
        self.changes: list[Change] = []
        self.findings: list[Finding] = []

    def do(self, wanted: e.Edit, how: Way) -> Outcome:
        """Do it, prove that nothing got worse, and give the outcome."""
        says = how(self, wanted)
        for name, text in self.texts.items():
            if len(text.encode()) > MAX_TEXT:
                raise refused("too-large", file=name, most=f"{MAX_TEXT / 1e6:g}")
        if not self.changes:
            raise refused("no-change")
        if not isinstance(wanted, LENIENT):
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


def _errors(read: Callable[[], Lesson]) -> list[Finding]:
    """The errors of reading a lesson."""
    try:
        found = read().findings
    except Unreadable as error:
        found = error.findings
    return [finding for finding in found if finding.severity >= Severity.ERROR]


Way = Callable[[Work, Any], str]
"""How an edit is done: it changes the work's texts and gives a sentence."""
