"""A lesson folder opened for editing: its texts as read from disk and as they are now, with their history."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from buildalong.edit._change import Change, after, inverse
from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson import MAX_TEXT, Folder, load

if TYPE_CHECKING:
    from buildalong.lesson import Lesson

__all__ = ["FACTS", "Deed", "Editing", "SourceFile", "open_lesson", "read_source"]

FACTS = "lesson.toml"
MOST_DEEDS = 200
"""Edits that can be undone."""
MOST_LETTERS = 4_000_000
"""Letters of all edits that can be undone; the oldest go first."""


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A text file of the folder as it was on disk: every letter, byte order mark and line breaks too.

    ``digest``: SHA-256 of its bytes.
    """

    name: str
    text: str = field(repr=False)
    digest: str

    @classmethod
    def of(cls, name: str, text: str) -> SourceFile:
        """A file that holds this text."""
        return cls(name, text, sha256(text.encode()).hexdigest())


@dataclass(frozen=True, slots=True)
class Deed:
    """An accepted edit: what it did, in a sentence, and the changes of text."""

    says: str
    changes: tuple[Change, ...]

    @property
    def letters(self) -> int:
        """Letters that it keeps."""
        return sum(len(change.old) + len(change.new) for change in self.changes)


@dataclass(frozen=True)
class Editing:
    """A lesson under edit.  ``files``: as on disk when read; ``texts``: as they are now.

    ``done`` can be undone from its end, ``undone`` done again from its end.
    """

    folder: Path
    files: Mapping[str, SourceFile]
    texts: Mapping[str, str]
    done: tuple[Deed, ...] = ()
    undone: tuple[Deed, ...] = ()

    @property
    def unsaved(self) -> tuple[str, ...]:
        """Names of the files that differ from what was read."""
        return tuple(name for name, text in self.texts.items() if text != self.files[name].text)

    def lesson(self, language: str = "") -> Lesson:
        """The lesson as the texts are now.  Raises Unreadable."""
        return load(self.folder, language, self.texts)

    def shown(self, name: str) -> str:
        """A file as its author would type it."""
        return (self.folder / name).as_posix()

    def with_deed(self, deed: Deed) -> Editing:
        """The lesson after an edit.  Raises ValueError where a change does not fit."""
        done = (*self.done, deed)[-MOST_DEEDS:]
        letters = sum(each.letters for each in done)
        while len(done) > 1 and letters > MOST_LETTERS:
            letters -= done[0].letters
            done = done[1:]
        return replace(self, texts=after(self.texts, deed.changes), done=done, undone=())

    def continued(self, deed: Deed) -> Editing:
        """The lesson after an edit that goes on with the last one: both are taken back as one."""
        return self.back().with_deed(Deed(deed.says, (*self.done[-1].changes, *deed.changes)))

    def back(self) -> Editing:
        """The lesson before its last edit; itself where there is none."""
        if not self.done:
            return self
        *done, deed = self.done
        texts = after(self.texts, inverse(deed.changes))
        return replace(self, texts=texts, done=tuple(done), undone=(*self.undone, deed))

    def forth(self) -> Editing:
        """The lesson after the edit that was taken back last; itself where there is none."""
        if not self.undone:
            return self
        *undone, deed = self.undone
        texts = after(self.texts, deed.changes)
        return replace(self, texts=texts, done=(*self.done, deed), undone=tuple(undone))


def open_lesson(folder: str | os.PathLike[str]) -> Editing:
    """Open a lesson folder for editing.

    Its texts are lesson.toml, lesson.md, lesson.LANGUAGE.md, parts/*.toml, and the build list that the
    layout names.  Raises Unreadable as reading a lesson does: links, what leads out of the folder, what is
    too large and what is no text are refused.
    """
    source = Folder(folder)
    if not source.has(FACTS):
        load(folder)  # says what is missing
    names = [FACTS, *source.files(".", ".md"), *source.files("parts", ".toml")]
    names = [name.removeprefix("./") for name in names]
    names = [n for n in names if not n.endswith(".md") or n.split(".")[0] == "lesson"]
    files = {name: read_source(source, name) for name in names}
    listed = _build_list(files[FACTS].text)
    if listed and listed not in files and source.has(listed):
        files[listed] = read_source(source, listed)
    return Editing(Path(source.path), files, {name: file.text for name, file in files.items()})


def read_source(source: Folder, name: str) -> SourceFile:
    """A text file, letter for letter.  Raises Unreadable."""
    source.text(name)  # says what is wrong with it as text
    data = source.bytes(name, MAX_TEXT)
    try:
        return SourceFile(name, data.decode(), sha256(data).hexdigest())
    except UnicodeDecodeError:  # changed between the two readings
        message, hint = f"'{name}' changes while it is read", "open it again"
        place = Place(source.shown(name))
        raise Unreadable(Finding(Severity.FATAL, "file-unreadable", message, hint, place)) from None


def _build_list(facts: str) -> str:
    """The build list that the layout names; "" where there is none or the facts cannot be read."""
    import tomllib

    try:
        found = tomllib.loads(facts.removeprefix("\ufeff")).get("layout", {}).get("list", "")
    except (ValueError, RecursionError, AttributeError):
        return ""
    return found if isinstance(found, str) else ""
