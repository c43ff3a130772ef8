"""The author's text under edit: what was typed and moved, its history, its journal, saving it."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from buildalong.board import Layout
from buildalong.edit import (
    Edit,
    Journal,
    Outcome,
    ReplaceText,
    Saved,
    catch_up,
    edit,
    journal_home,
    open_lesson,
    redo,
    save,
    take_up,
    undo,
    unsaved_edits,
)

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
        return self._done(edit(self.editing, wanted))

    def do(self, wanted: Edit, layout: Layout | None) -> Outcome:
        """Do an edit on the board that is shown."""
        return self._done(edit(self.editing, wanted, layout))

    def back(self) -> Outcome:
        """Take the last edit back."""
        return self._done(undo(self.editing))

    def forth(self) -> Outcome:
        """Do it again."""
        return self._done(redo(self.editing))

    def catch_up(self) -> Outcome:
        """Take in what somebody else has written; where both changed the same lines, mine stays."""
        done = catch_up(self.editing)
        if not done.ok:
            done = catch_up(self.editing, dict.fromkeys(self.editing.files, "mine"))
        return self._done(done)

    def take_up(self) -> Outcome | None:
        """Take up what an earlier bench left unsaved; None where there is nothing."""
        if not self.left:
            return None
        done = self._done(take_up(self.editing, self.left[0]))
        if done.ok:
            self.discard()
        return done

    def discard(self) -> None:
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
