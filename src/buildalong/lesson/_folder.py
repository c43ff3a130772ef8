"""Reading a lesson folder safely: sizes, encodings, links and paths are checked before anything is used."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path, PurePosixPath

from buildalong.finding import Finding, Place, Severity, Unreadable

__all__ = ["MAX_FILES", "MAX_FOLDER", "MAX_PICTURE", "MAX_TEXT", "Folder"]

MAX_TEXT = 1_000_000
"""Largest text file that is read, bytes."""
MAX_PICTURE = 4_000_000
"""Largest picture that is read, bytes."""
MAX_FOLDER = 40_000_000
"""Largest sum of all files of the folder, bytes."""
MAX_FILES = 500
"""Most files and folders in a lesson folder."""
MAX_LINE = 20_000
"""Longest line of a text file, characters."""


def _fatal(code: str, message: str, hint: str = "", place: Place | None = None) -> Unreadable:
    return Unreadable(Finding(Severity.FATAL, code, message, hint, place))


class Folder:
    """A lesson folder; every file is opened through here.  Raises Unreadable.

    One that is not taken as a ``whole`` may be larger than a lesson.  ``texts`` stand for files of the
    folder: what an author has typed and not saved.
    """

    def __init__(
        self, path: str | os.PathLike[str], *, whole: bool = True, texts: Mapping[str, str] | None = None
    ) -> None:
        self.path = Path(path)
        self.typed = {name: text.encode() for name, text in (texts or {}).items()}
        if self.path.name == "lesson.toml" and self.path.is_file():
            self.path = self.path.parent
        if not self.path.exists():
            raise _fatal(
                "lesson-missing",
                f"there is no folder '{self.path}'",
                "give the path of a lesson folder; 'buildalong new NAME' starts one",
                Place(str(path)),
            )
        if not self.path.is_dir():
            raise _fatal(
                "lesson-missing",
                f"'{self.path}' is not a folder",
                "give the folder that holds lesson.toml",
                Place(str(path)),
            )
        self.root = self.path.resolve()
        self.name = self.root.name
        self.trail: dict[str, str] = {}
        """What was asked of the folder so far -> the answer, or its digest."""
        if whole:
            self._check_size()

    def shown(self, relative: str) -> str:
        """The path of a file as the author would type it."""
        return (self.path / relative).as_posix()

    def _check_size(self) -> None:
        total = 0
        for count, entry in enumerate(self._walk(self.root, 0), start=1):
            if count > MAX_FILES:
                raise _fatal(
                    "folder-too-big",
                    f"the lesson folder holds more than {MAX_FILES} files",
                    "give the folder of one lesson only, without build results",
                    Place(self.path.as_posix()),
                )
            if entry.is_file(follow_symlinks=False):
                total += entry.stat(follow_symlinks=False).st_size
        if total > MAX_FOLDER:
            raise _fatal(
                "folder-too-big",
                f"the lesson folder holds {total / 1e6:.0f} MB; at most {MAX_FOLDER / 1e6:g} are read",
                "make the pictures smaller, or move what the lesson does not use out of its folder",
                Place(self.path.as_posix()),
            )

    def _walk(self, folder: Path, depth: int) -> Iterator[os.DirEntry[str]]:
        with os.scandir(folder) as entries:
            for entry in sorted(entries, key=lambda e: e.name):
                if entry.name.startswith("."):
                    continue
                yield entry
                if entry.is_dir(follow_symlinks=False) and depth < 3:
                    yield from self._walk(Path(entry.path), depth + 1)

    def has(self, relative: str) -> bool:
        """Whether the folder holds something of this name."""
        found = relative in self.typed or os.path.lexists(self.root / relative)
        self.trail[f"has {relative}"] = str(found)
        return found

    def files(self, relative: str, suffix: str) -> tuple[str, ...]:
        """Names of the files with a suffix in a sub-folder, sorted, as paths within the lesson."""
        folder = self.root / relative
        self.trail[f"files {relative} {suffix}"] = ""
        if not os.path.lexists(folder):
            return ()
        if folder.is_symlink() or not folder.is_dir():
            raise _fatal(
                "not-a-plain-folder",
                f"'{relative}' must be a plain folder, not a link or a file",
                place=Place(self.shown(relative)),
            )
        names = tuple(f"{relative}/{p.name}" for p in sorted(folder.iterdir()) if p.name.endswith(suffix))
        self.trail[f"files {relative} {suffix}"] = "\n".join(names)
        return names

    def bytes(self, relative: str, limit: int) -> bytes:
        """The content of a file inside the folder; refuses links, escapes, devices and too much."""
        shown = Place(self.shown(relative))
        if relative in self.typed:
            data = self.typed[relative]
            if len(data) > limit:
                raise self._too_big(relative, len(data), limit)
            self.trail[f"bytes {relative}"] = sha256(data).hexdigest()
            return data
        pure = PurePosixPath(relative)
        if (
            pure.is_absolute()
            or ".." in pure.parts
            or "\\" in relative
            or ":" in relative
            or "\0" in relative
        ):
            raise _fatal(
                "path-escape",
                f"'{relative}' leads out of the lesson folder",
                "copy the file into the lesson folder and name it from there",
                Place(self.path.as_posix()),
            )
        target = self.root
        for step in pure.parts:
            target = target / step
            if target.is_symlink():
                raise _fatal(
                    "path-escape",
                    f"'{relative}' is a link; only plain files of the lesson folder are read",
                    "copy the file itself into the lesson folder",
                    shown,
                )
        try:
            handle = os.open(
                target, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
            )
        except OSError as error:
            raise _fatal(
                "file-unreadable",
                f"'{relative}' cannot be read: {error.strerror}",
                "put the file there, or correct its name (capitals count)",
                shown,
            ) from None
        with os.fdopen(handle, "rb") as stream:
            status = os.fstat(stream.fileno())
            if not stat.S_ISREG(status.st_mode):
                raise _fatal("file-unreadable", f"'{relative}' is not a plain file", "", shown)
            if status.st_size > limit:
                raise self._too_big(relative, status.st_size, limit)
            data = stream.read(limit + 1)
        if len(data) > limit:
            raise self._too_big(relative, len(data), limit)
        self.trail[f"bytes {relative}"] = sha256(data).hexdigest()
        return data

    def answers(self, trail: Mapping[str, str]) -> bool:
        """Whether the folder answers everything that was asked of it then as it did then."""
        try:
            for question in trail:
                kind, _, rest = question.partition(" ")
                if kind == "has":
                    self.has(rest)
                elif kind == "files":
                    self.files(*rest.rsplit(" ", 1))
                else:
                    self.bytes(rest, MAX_PICTURE)
                if self.trail[question] != trail[question]:
                    return False
        except (Unreadable, OSError, ValueError):
            return False
        return True

    def _too_big(self, relative: str, size: int, limit: int) -> Unreadable:
        return _fatal(
            "file-too-big",
            f"'{relative}' is {size / 1e6:.1f} MB; at most {limit / 1e6:g} MB are read",
            "a lesson's text takes a few thousand bytes: split it, or remove what was pasted by mistake",
            Place(self.shown(relative)),
        )

    def text(self, relative: str) -> str:
        """The text of a UTF-8 file, line ends made equal; a bad byte is named with its position."""
        data = self.bytes(relative, MAX_TEXT)
        file = self.shown(relative)
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            start = error.start + (3 if data.startswith(b"\xef\xbb\xbf") else 0)
            before = data[:start]
            line = before.count(b"\n") + 1
            column = len(before[before.rfind(b"\n") + 1 :].decode(errors="replace")) + 1
            raise _fatal(
                "not-utf8",
                f"the byte 0x{data[start]:02X} here is not UTF-8 text",
                "save the file with the encoding UTF-8",
                Place(file, line, column),
            ) from None
        text = text.replace("\r\n", "\n").replace("\r", "\n")
        for number, line_text in enumerate(text.split("\n"), start=1):
            if "\0" in line_text:
                raise _fatal(
                    "not-text",
                    "a zero byte stands here: this is not a text file",
                    "save the file as plain text in UTF-8",
                    Place(file, number, line_text.index("\0") + 1),
                )
            if len(line_text) > MAX_LINE:
                raise _fatal(
                    "line-too-long",
                    f"this line has {len(line_text)} characters; at most {MAX_LINE} are read",
                    "break it into several lines",
                    Place(file, number, MAX_LINE + 1),
                )
        return text
