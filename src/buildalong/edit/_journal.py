"""The journal: every accepted edit is on disk before its author sees it, so that no crash loses it.

It lies in the user's own folder for states (``buildalong/journal`` in ``$XDG_STATE_HOME``, else
``~/.local/state``; XDG Base Directory Specification 0.8), not in the author's.  One file belongs to one
process at a time, which holds a lock on it; the lock goes with the process, however that ends.  A file is
lines, each a digest of all lines so far and a piece of JSON: what a lesson file was when it was first
changed, then the changes.  A line that was cut off, and what follows it, does not count.
"""

from __future__ import annotations

import fcntl
import json
import os
import secrets
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from buildalong.edit._change import Change, after, inverse
from buildalong.edit._editing import Deed, Editing, SourceFile
from buildalong.edit._merge import merged
from buildalong.edit._outcome import Outcome
from buildalong.finding import Finding, Place, Severity
from buildalong.store import OFF

__all__ = ["Journal", "Unsaved", "journal_home", "mark", "take_up", "unsaved_edits"]

MOST_BYTES = 16_000_000
"""Largest journal; beyond it is written anew with what is unsaved only."""
MOST_JOURNALS = 64
"""Journals that are kept; the oldest that nobody holds go first."""
_ENDING = ".journal"


def journal_home() -> Path | None:
    """The folder of the user's journals; None where the store is switched off or there is no home."""
    if os.environ.get(OFF, "").strip().lower() == "off":
        return None
    base = Path(os.environ.get("XDG_STATE_HOME", ""))
    if not base.is_absolute():
        try:
            base = Path.home() / ".local" / "state"
        except RuntimeError:
            return None
    return base / "buildalong" / "journal"


class Journal:
    """The journal of one process about one lesson; :meth:`close` it when nothing is unsaved."""

    def __init__(self, editing: Editing, home: Path) -> None:
        """Begin one.  Raises OSError where it cannot be written."""
        home.mkdir(mode=0o700, parents=True, exist_ok=True)
        _let_go(home)
        self.path = home / f"{mark(editing.folder)}-{secrets.token_hex(6)}{_ENDING}"
        self._begin(editing)

    def _begin(self, editing: Editing) -> None:
        self._told: dict[str, str] = {}
        self._chain, self._size = "", 0
        self._handle = os.open(self.path, os.O_RDWR | os.O_CREAT | os.O_APPEND | os.O_NOFOLLOW, 0o600)
        fcntl.flock(self._handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        self._write({"journal": 1, "folder": str(Path(editing.folder).resolve())})

    def keep(self, done: Outcome) -> None:
        """Put an accepted edit, an undo or a redo on disk.  Raises OSError."""
        if not done.ok or not done.changes:
            return
        files = [done.editing.files[name] for name in dict.fromkeys(c.file for c in done.changes)]
        if any(self._told.get(file.name, file.digest) != file.digest for file in files):
            self._anew(done.editing)  # another text is on disk than this journal began with
            return
        pieces: list[dict[str, Any]] = []
        for file in files:
            if file.name not in self._told:
                pieces += self._base(file, done)
        pieces.append({"says": done.says, "changes": [_listed(change) for change in done.changes]})
        self._write(*pieces)
        if self._size > MOST_BYTES:
            self._anew(done.editing)

    def saved(self, editing: Editing) -> None:
        """Forget what has been saved.  Raises OSError."""
        self._anew(editing)

    def close(self) -> None:
        """Take the journal away: nothing is unsaved, or nobody wants it."""
        with suppress(FileNotFoundError):
            os.unlink(self.path)
        os.close(self._handle)

    def _base(self, file: SourceFile, done: Outcome) -> list[dict[str, Any]]:
        """What a file was on disk, and what it had become before this edit."""
        self._told[file.name] = file.digest
        pieces: list[dict[str, Any]] = [{"file": file.name, "text": file.text}]
        before = after(done.editing.texts, inverse(done.changes))[file.name]
        if before != file.text:
            pieces.append({"says": "", "changes": [_listed(Change(file.name, 0, file.text, before))]})
        return pieces

    def _anew(self, editing: Editing) -> None:
        """Begin again with what is unsaved only; the old file stays until the new one is whole."""
        old, path = self._handle, self.path
        self.path = path.with_name(f"{path.name.split('-')[0]}-{secrets.token_hex(6)}{_ENDING}")
        self._begin(editing)
        for name in editing.unsaved:
            file = editing.files[name]
            self._told[name] = file.digest
            change = Change(name, 0, file.text, editing.texts[name])
            self._write({"file": name, "text": file.text}, {"says": "", "changes": [_listed(change)]})
        with suppress(FileNotFoundError):
            os.unlink(path)
        os.close(old)

    def _write(self, *pieces: dict[str, Any]) -> None:
        lines = b""
        for piece in pieces:
            body = json.dumps(piece, ensure_ascii=True).encode()
            self._chain = _link(self._chain, body)
            lines += self._chain.encode() + b" " + body + b"\n"
        view = memoryview(lines)
        while view:
            view = view[os.write(self._handle, view) :]
        os.fsync(self._handle)
        self._size += len(lines)


@dataclass(frozen=True)
class Unsaved:
    """What a journal that nobody holds has to offer.

    ``base``: files as they were on disk; ``texts``: as they were last; ``deeds``: what led there.
    """

    path: Path
    base: dict[str, str] = field(repr=False)
    texts: dict[str, str] = field(repr=False)
    deeds: tuple[Deed, ...] = field(repr=False)

    @property
    def says(self) -> tuple[str, ...]:
        """What was done, in order."""
        return tuple(deed.says for deed in self.deeds if deed.says)

    def discard(self) -> None:
        """Throw it away."""
        self.path.unlink(missing_ok=True)


def unsaved_edits(folder: Path, home: Path) -> tuple[Unsaved, ...]:
    """What earlier processes left unsaved of a lesson, newest first; those that still work are left alone."""
    found: list[tuple[float, Unsaved]] = []
    for path in home.glob(f"{mark(folder)}-*{_ENDING}"):
        try:
            handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW)
        except OSError:
            continue
        with os.fdopen(handle, "rb") as stream:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError:
                continue
            lines = _sound(stream.read(2 * MOST_BYTES), folder)
            left = _replayed(path, lines)
            if left is None:
                path.unlink(missing_ok=True)  # nothing is in it
            else:
                found.append((os.fstat(handle).st_mtime, left))
    return tuple(left for _, left in sorted(found, key=lambda pair: (-pair[0], pair[1].path.name)))


def take_up(editing: Editing, left: Unsaved) -> Outcome:
    """Go on with what was left unsaved, on top of the files as they are on disk now.

    Where a file is as it was then, every edit can be undone; where it was changed, both changes are put
    together, and where they meet, nothing is taken up.
    """
    if any(name not in editing.texts for name in left.base):
        return _not_taken(editing, next(name for name in left.base if name not in editing.texts))
    if all(editing.texts[name] == text for name, text in left.base.items()):
        now = editing
        for deed in left.deeds:
            now = now.with_deed(Deed(deed.says or "an earlier change", deed.changes))
        changes = tuple(change for deed in left.deeds for change in deed.changes)
        return Outcome(now, True, "unsaved edits taken up", (), changes)
    changes = ()
    for name, base in left.base.items():
        text = merged(base, left.texts[name], editing.texts[name])
        if text is None:
            return _not_taken(editing, name)
        if text != editing.texts[name]:
            changes += (Change(name, 0, editing.texts[name], text),)
    says = "unsaved edits taken up"
    now = editing.with_deed(Deed(says, changes)) if changes else editing
    return Outcome(now, True, says, (), changes)


def _not_taken(editing: Editing, name: str) -> Outcome:
    message = f"the unsaved edits of '{name}' meet what was changed on disk since"
    hint = "keep what is on disk, or put your text in by hand"
    place = Place(editing.shown(name))
    return Outcome(editing, False, "", (Finding(Severity.ERROR, "changed-on-disk", message, hint, place),))


def _replayed(path: Path, lines: Iterator[dict[str, Any]]) -> Unsaved | None:
    """What the lines come to; None where nothing is unsaved."""
    base: dict[str, str] = {}
    texts: dict[str, str] = {}
    deeds: list[Deed] = []
    try:
        for line in lines:
            if "file" in line:
                base.setdefault(str(line["file"]), str(line["text"]))
                texts.setdefault(str(line["file"]), str(line["text"]))
            elif "changes" in line:
                deed = Deed(str(line["says"]), tuple(Change(*change) for change in line["changes"]))
                texts = after(texts, deed.changes)
                deeds.append(deed)
    except (KeyError, TypeError, ValueError):
        return None
    return Unsaved(path, base, texts, tuple(deeds)) if texts != base else None


def _sound(data: bytes, folder: Path) -> Iterator[dict[str, Any]]:
    """The lines that are whole and follow each other, of a journal about this folder."""
    chain = ""
    for number, line in enumerate(data.split(b"\n")[:-1]):
        head, _, body = line.partition(b" ")
        chain = _link(chain, body)
        if head.decode(errors="replace") != chain:
            return
        try:
            piece = json.loads(body)
        except (ValueError, RecursionError):
            return
        if number == 0 and piece.get("folder") != str(Path(folder).resolve()):
            return
        yield piece


def _link(chain: str, body: bytes) -> str:
    return sha256(chain.encode() + body).hexdigest()


def mark(folder: Path) -> str:
    """What files about a lesson folder begin with."""
    return sha256(str(Path(folder).resolve()).encode()).hexdigest()[:24]


def _listed(change: Change) -> list[object]:
    return [change.file, change.start, change.old, change.new]


def _let_go(home: Path) -> None:
    """Take out the oldest journals that nobody holds, as far as the bound asks for it."""
    entries: list[tuple[float, Path]] = []
    for path in home.glob(f"*{_ENDING}"):
        with suppress(OSError):
            entries.append((path.stat(follow_symlinks=False).st_mtime, path))
    for _, path in sorted(entries)[: max(len(entries) - MOST_JOURNALS + 1, 0)]:
        with suppress(OSError), open(path, "rb") as stream:
            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
            path.unlink(missing_ok=True)
