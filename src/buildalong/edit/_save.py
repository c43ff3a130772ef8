"""Saving: whole or not at all, beside and then renamed, and never over what somebody else has written."""

from __future__ import annotations

import os
import secrets
import stat
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath
from typing import Literal

from buildalong.edit._change import Change
from buildalong.edit._editing import Deed, Editing, SourceFile, read_source
from buildalong.edit._merge import difference, merged
from buildalong.edit._outcome import Outcome
from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson import Folder

__all__ = ["Conflict", "Saved", "catch_up", "conflicts", "replace_file", "save"]

GONE = ""
"""The digest of a file that is known not to be there."""
BESIDE = ".{name}.{letters}.beside"


@dataclass(frozen=True, slots=True)
class Conflict:
    """A file that is no longer on disk as it was read.

    ``base``: as it was read; ``mine``: as it is under edit; ``theirs``: as it is on disk now, None where it
    has gone; ``merged``: both changes together, None where they meet; ``differs``: what somebody else
    changed, as lines of a unified difference.
    """

    file: str
    base: str = field(repr=False)
    mine: str = field(repr=False)
    theirs: str | None = field(repr=False)
    merged: str | None = field(repr=False)
    differs: tuple[str, ...] = field(repr=False)


@dataclass(frozen=True)
class Saved:
    """What came of saving: ``written`` files, or the ``conflicts`` and ``findings`` that forbade it.

    ``editing`` knows what is on disk now; what can be undone stays so.
    """

    editing: Editing
    ok: bool
    written: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    findings: tuple[Finding, ...] = ()


def conflicts(editing: Editing) -> tuple[Conflict, ...]:
    """The files that are not on disk as they were read, edited or not.  Raises Unreadable."""
    folder = Folder(editing.folder, whole=False)
    found: list[Conflict] = []
    for name, file in editing.files.items():
        now = read_source(folder, name) if folder.has(name) else None
        if (now.digest if now is not None else GONE) == file.digest:
            continue
        mine, theirs = editing.texts[name], now.text if now is not None else None
        both = merged(file.text, mine, theirs) if theirs is not None else None
        differs = difference(file.text, theirs or "", f"{name} as read", f"{name} on disk")
        found.append(Conflict(name, file.text, mine, theirs, both, differs))
    return tuple(found)


def save(editing: Editing) -> Saved:
    """Write the files that differ; nothing where one of them was changed on disk since it was read."""
    try:
        wanted = set(editing.unsaved)
        met = tuple(conflict for conflict in conflicts(editing) if conflict.file in wanted)
        if met:
            return Saved(editing, False, (), met, tuple(_told(editing, conflict) for conflict in met))
        files = dict(editing.files)
        written: list[str] = []
        for name in editing.unsaved:
            text = editing.texts[name]
            try:
                replace_file(editing.folder, name, text)
            except OSError as error:
                why = f"'{name}' cannot be written: {error.strerror or error}"
                fault = _finding(editing, name, "file-unwritable", why, "")
                return Saved(replace(editing, files=files), False, tuple(written), (), (fault,))
            files[name] = SourceFile.of(name, text)
            written.append(name)
        return Saved(replace(editing, files=files), True, tuple(written))
    except Unreadable as error:
        return Saved(editing, False, findings=error.findings)


def catch_up(
    editing: Editing,
    choices: Mapping[str, Literal["mine", "theirs"]] | None = None,
    only: Collection[str] | None = None,
) -> Outcome:
    """Take in what was changed on disk, as one edit that can be undone.

    Changes on both sides are put together line by line; where they meet, ``choices`` must say for the file
    whose text is kept, or the outcome is a refusal.  ``only``: the files to be taken in, where not all are.
    """
    try:
        met = [c for c in conflicts(editing) if only is None or c.file in only]
    except Unreadable as error:
        return Outcome(editing, False, "", error.findings)
    files, changes, refused = dict(editing.files), [], []
    for conflict in met:
        choice = (choices or {}).get(conflict.file)
        if choice is None and conflict.merged is None:
            refused.append(_told(editing, conflict))
            continue
        theirs = conflict.theirs or ""
        text = conflict.merged or ""
        if choice is not None:
            text = conflict.mine if choice == "mine" else theirs
        files[conflict.file] = (
            SourceFile.of(conflict.file, theirs)
            if conflict.theirs is not None
            else SourceFile(conflict.file, "", GONE)
        )
        if text != conflict.mine:
            changes.append(Change(conflict.file, 0, conflict.mine, text))
    if refused:
        return Outcome(editing, False, "", tuple(refused))
    now = replace(editing, files=files)
    names = ", ".join(conflict.file for conflict in met)
    says = f"{names} taken in from disk" if met else "nothing was changed on disk"
    if changes:
        now = now.with_deed(Deed(says, tuple(changes)))
    return Outcome(now, True, says, (), tuple(changes))


def _told(editing: Editing, conflict: Conflict) -> Finding:
    if conflict.theirs is None:
        message = f"'{conflict.file}' has gone from the folder since it was read"
        hint = "keep your text to write it anew"
    else:
        count = sum(line[:1] in "+-" and line[:3] not in ("+++", "---") for line in conflict.differs)
        message = f"'{conflict.file}' was changed on disk since it was read ({count} lines differ)"
        hint = (
            "the changes do not meet: both can be had together"
            if conflict.merged is not None
            else "both changed the same lines: choose yours or the one on disk"
        )
    return _finding(editing, conflict.file, "changed-on-disk", message, hint)


def _finding(editing: Editing, name: str, code: str, message: str, hint: str) -> Finding:
    return Finding(Severity.ERROR, code, message, hint, Place(editing.shown(name)))


# -- the disk -------------------------------------------------------------------------------------


def replace_file(folder: Path, name: str, text: str) -> None:
    """Put a text in the place of a plain file of a folder, or make it: written beside, then renamed.

    Its permissions stay.  A reader sees the old text or the new one, also after a failure of power.
    Raises OSError; links are not followed and not replaced.
    """
    pure = PurePosixPath(name)
    if pure.is_absolute() or not pure.name or ".." in pure.parts:
        raise OSError(0, "it leads out of the folder")
    with _opened(folder, pure.parts[:-1]) as inside:
        mode = 0o644
        with suppress(FileNotFoundError):
            old = os.stat(pure.name, dir_fd=inside, follow_symlinks=False)
            if not stat.S_ISREG(old.st_mode):
                raise OSError(0, "it is no plain file")
            mode = stat.S_IMODE(old.st_mode)
        beside = BESIDE.format(name=pure.name, letters=secrets.token_hex(6))
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600, dir_fd=inside)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(text.encode())
                os.fchmod(stream.fileno(), mode)
                stream.flush()
                os.fsync(stream.fileno())
            os.replace(beside, pure.name, src_dir_fd=inside, dst_dir_fd=inside)
        except BaseException:
            with suppress(FileNotFoundError):
                os.unlink(beside, dir_fd=inside)
            raise
        os.fsync(inside)


@contextmanager
def _opened(folder: Path, steps: tuple[str, ...]) -> Iterator[int]:
    """A folder inside a folder, opened without following links below the first."""
    flags = os.O_RDONLY | os.O_DIRECTORY
    here = os.open(folder, flags)
    try:
        for step in steps:
            then = os.open(step, flags | os.O_NOFOLLOW, dir_fd=here)
            os.close(here)
            here = then
        yield here
    finally:
        os.close(here)
