"""The author's text under edit: what was typed and moved, its history, its journal, saving it."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from buildalong.bench._typing import Typing
from buildalong.board import Layout
from buildalong.edit import (
    Edit,
    Journal,
    Outcome,
    ReplaceText,
    Saved,
    catch_up,
    conflicts,
    edit,
    edit_all,
    journal_home,
    open_lesson,
    redo,
    save,
    take_up,
    undo,
    unsaved_edits,
)
from buildalong.finding import Unreadable

__all__ = ["Source"]


class Source:
    """The texts of a lesson as they are on the page; the folder changes only when they are saved."""

    def __init__(self, folder: Path) -> None:
        """Raises Unreadable where the folder is no lesson."""
        self.editing = open_lesson(folder)
        self.versions = dict.fromkeys(self.editing.files, 1)
        self.folder = self.editing.folder
        self.home = journal_home()
        self.left = unsaved_edits(self.editing.folder, self.home)[:1] if self.home is not None else ()
        """What an earlier bench left unsaved."""
        self._typing = Typing()
        self.journal: Journal | None = None
        if self.home is not None:
            with suppress(OSError):
                self.journal = Journal(self.editing, self.home)

    def shown(self, name: str) -> str:
        """A text as a page has it, with plain line ends."""
        return self.editing.texts[name].replace("\r\n", "\n").removeprefix("\ufeff")

    def typed(self, name: str, text: str) -> Outcome:
        """Another text was typed; raises KeyError for a file that the lesson does not have.

        Byte order mark and line ends stay as they are in the author's file.
        """
        old = self.editing.texts[name]
        if "\r\n" in old:
            text = text.replace("\n", "\r\n")
        if old.startswith("\ufeff"):
            text = "\ufeff" + text
        start, most = 0, min(len(old), len(text))
        while start < most and old[start] == text[start]:
            start += 1
        end = 0
        while end < most - start and old[-1 - end] == text[-1 - end]:
            end += 1
        wanted = ReplaceText(name, start, len(old) - end, text[start : len(text) - end])
        return self._done(self._typing.joined(self.editing, edit(self.editing, wanted)))

    def do(self, wanted: Sequence[Edit], layout: Layout | None) -> Outcome:
        """Do edits on the board that is shown, all or none, as one that can be taken back."""
        return self._done(edit_all(self.editing, wanted, layout))

    def history(self, what: str) -> Outcome | None:
        """Go "back" or "forth", "catch-up" with the disk, or "take-up" or "discard" what was left unsaved."""
        if what == "back":
            return self._done(undo(self.editing))
        if what == "forth":
            return self._done(redo(self.editing))
        if what == "catch-up":
            return self._catch_up()
        if what == "take-up" and self.left:
            done = self._done(take_up(self.editing, self.left[0]))
            if done.ok:
                self._discard()
            return done
        if what == "discard":
            self._discard()
        return None

    def _catch_up(self) -> Outcome:
        """Take in what somebody else has written; where both changed the same lines, mine stays."""
        done = catch_up(self.editing)
        if not done.ok:
            done = catch_up(self.editing, dict.fromkeys(self.editing.files, "mine"))
        return self._done(done)

    def look(self) -> tuple[Outcome | None, str]:
        """Take in what somebody else has written where nothing is unsaved, new files too.

        Gives what was taken in, None where that is nothing, and in words what was not.
        """
        try:
            found = open_lesson(self.folder)
            met = conflicts(self.editing)
        except Unreadable as error:
            return None, error.findings[0].message
        new = {name: file for name, file in found.files.items() if name not in self.editing.files}
        if new:
            texts = {name: file.text for name, file in new.items()}
            self.editing = replace(
                self.editing, files={**self.editing.files, **new}, texts={**self.editing.texts, **texts}
            )
            self.versions.update(dict.fromkeys(new, 1))
        taken = [c.file for c in met if c.mine == c.base and c.theirs is not None]
        left = [c.file for c in met if c.file not in taken]
        done = self._done(catch_up(self.editing, dict.fromkeys(taken, "theirs"), taken)) if taken else None
        if not left:
            return done, ""
        names = ", ".join(left)
        return done, f"{names}: changed on disk by another program, and here you have unsaved text."

    def _discard(self) -> None:
        """Throw away what an earlier bench left."""
        for unsaved in self.left:
            unsaved.discard()
        self.left = ()

    def _done(self, done: Outcome) -> Outcome:
        """Take over what was accepted; it is in the journal before anybody sees it."""
        before = self.editing
        if done.ok:
            self.editing = done.editing
            for name, text in done.editing.texts.items():
                if text != before.texts.get(name):
                    self.versions[name] = self.versions.get(name, 0) + 1
            if self.journal is not None:
                with suppress(OSError):
                    self.journal.keep(done)
        return done

    def save(self) -> Saved:
        """Write what is unsaved, or tell why not."""
        saved = save(self.editing)
        self.editing = saved.editing
        if saved.ok and self.journal is not None:
            with suppress(OSError):
                self.journal.saved(saved.editing)
        return saved

    def close(self) -> None:
        """Close the journal; it stays where something is unsaved."""
        if self.journal is not None and not self.editing.unsaved:
            self.journal.close()
