"""The author's files, and the copy of the lesson that is compiled while they are changed on the page."""

from __future__ import annotations

import os
import shutil
import tempfile
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson import Folder

__all__ = ["Shadow", "Text"]

MOST_FILES = 12


@dataclass
class Text:
    """A file of the author: as it is on the page, and the digest of what is on disk."""

    name: str
    text: str
    version: int
    disk: str

    @property
    def unsaved(self) -> bool:
        """Whether the page has another text than the disk had when it was last read or written."""
        return _digest(self.text) != self.disk


class Shadow:
    """A copy of the lesson folder in a private temporary folder; the author's own is written only to save."""

    def __init__(self, folder: Path) -> None:
        source = Folder(folder)
        self.home = source.root
        self.base = Path(tempfile.mkdtemp(prefix="bench-"))
        self.folder = self.base / (source.name or "lesson")
        shutil.copytree(
            self.home, self.folder, symlinks=True, ignore=lambda _, names: [n for n in names if n[0] == "."]
        )
        names = ["lesson.toml", *sorted(p.name for p in self.home.glob("lesson*.md"))][:MOST_FILES]
        self.texts: dict[str, Text] = {}
        for name in names:
            if source.has(name):
                text = source.text(name)
                self.texts[name] = Text(name, text, 1, _digest(text))

    def texts_now(self) -> dict[str, str]:
        """What stands on the page."""
        return {name: entry.text for name, entry in self.texts.items()}

    def changed_on_disk(self) -> tuple[str, ...]:
        """Files that somebody else has changed since they were read or saved here."""
        source = Folder(self.home, whole=False)
        out = []
        for name, entry in self.texts.items():
            try:
                now = _digest(source.text(name))
            except Unreadable:
                now = ""
            if now != entry.disk:
                out.append(name)
        return tuple(out)

    def save(self, *, over: bool) -> tuple[str, ...]:
        """Write what is unsaved; gives the files.  Raises Unreadable where one was changed on disk.

        Each file is written beside its place and renamed, with the mode that it had.
        """
        wanted = [entry for entry in self.texts.values() if entry.unsaved]
        clash = [] if over else [name for name in self.changed_on_disk() if self.texts[name].unsaved]
        if clash:
            raise Unreadable(
                Finding(
                    Severity.ERROR, "changed-on-disk",
                    f"{', '.join(clash)} was changed by somebody else since it was read here",
                    "look at the file, then save over it or load the page anew",
                )
            )  # fmt: skip
        for entry in wanted:
            target = self.home / entry.name
            if target.is_symlink():
                raise Unreadable(Finding(Severity.ERROR, "path-escape", f"{entry.name} is a link now"))
            handle, beside = tempfile.mkstemp(prefix=".bench-", dir=self.home)
            try:
                with open(handle, "w", encoding="utf-8", newline="\n") as stream:
                    stream.write(entry.text)
                    stream.flush()
                    os.fsync(stream.fileno())
                if target.exists():
                    shutil.copymode(target, beside)
                os.replace(beside, target)
            except OSError as error:
                Path(beside).unlink(missing_ok=True)
                text = f"{entry.name} cannot be written: {error.strerror}"
                raise Unreadable(Finding(Severity.ERROR, "file-unwritable", text)) from None
            entry.disk = _digest(entry.text)
        return tuple(entry.name for entry in wanted)

    def remove(self) -> None:
        """Take the copy away."""
        shutil.rmtree(self.base, ignore_errors=True)


def _digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()
