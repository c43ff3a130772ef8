"""A store for what takes long to work out: kept on disk by everything that it depends on.

An entry's name is a digest of the question (all inputs, and the program's own source and versions), so
that an entry never has to be renewed: another question has another name.  An entry is two lines of JSON,
a digest and the value.  What is damaged, foreign or not sound is worked out anew.  Entries are written
beside their place and renamed, so any number of processes may share a store; the ones that were used
longest ago go first when there are too many.
"""

from __future__ import annotations

import json
import os
import re
import tempfile
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

__all__ = ["OFF", "Store", "kept", "user_store"]

OFF = "BUILDALONG_STORE"
"""The environment variable that switches the user's store off: ``BUILDALONG_STORE=off``."""
LIBRARIES = ("numba", "numpy", "ortools")
"""What the program computes with, beside itself: another version may give another answer."""
ABANDONED = 3600.0
"""Seconds after which a half-written entry belongs to nobody."""

_ENTRY = re.compile(r"[a-z]{1,20}-[0-9a-f]{64}\.json")
_BESIDE = ".beside-"

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Store:
    """A folder of entries: at most ``most`` of them with at most ``most_bytes`` in all [byte].

    An entry of more than ``largest`` [byte] is neither written nor read.
    """

    folder: Path
    most: int = 300
    most_bytes: int = 20_000_000
    largest: int = 1_000_000

    def read(self, name: str) -> bytes | None:
        """The value of an entry as JSON; None where there is none, or it is not as it was written."""
        path = self.folder / f"{name}.json"
        try:
            with open(path, "rb") as stream:
                head, _, body = stream.read(self.largest + 1).partition(b"\n")
            if len(head) + len(body) >= self.largest or head != _head(name, body):
                return None
            os.utime(path)
        except OSError:
            return None
        return body

    def write(self, name: str, body: bytes) -> None:
        """Write an entry, or do nothing where that is not possible; then let the oldest go."""
        content = _head(name, body) + b"\n" + body
        if len(content) > self.largest:
            return
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            handle, beside = tempfile.mkstemp(prefix=_BESIDE, dir=self.folder)
            try:
                with open(handle, "wb") as stream:
                    stream.write(content)
                os.replace(beside, self.folder / f"{name}.json")
            except OSError:
                os.unlink(beside)
                raise
            self._trim()
        except OSError:
            return

    def _trim(self) -> None:
        """Take out the entries that were used longest ago, as far as the bounds ask for it."""
        entries: list[tuple[float, str, int]] = []
        for entry in os.scandir(self.folder):
            try:
                state = entry.stat(follow_symlinks=False)
                if _ENTRY.fullmatch(entry.name):
                    entries.append((state.st_mtime, entry.path, state.st_size))
                elif entry.name.startswith(_BESIDE) and time.time() - state.st_mtime > ABANDONED:
                    os.unlink(entry.path)
            except OSError:
                continue  # another process was faster
        count, size = len(entries), sum(entry[2] for entry in entries)
        for _, path, length in sorted(entries):
            if count <= self.most and size <= self.most_bytes:
                return
            count, size = count - 1, size - length
            try:
                os.unlink(path)
            except OSError:
                continue


def user_store() -> Store | None:
    """The store in the user's cache folder; None where it is switched off or there is no home.

    The folder is ``buildalong`` in ``$XDG_CACHE_HOME`` where that is an absolute path, else in
    ``~/.cache`` (XDG Base Directory Specification 0.8).
    """
    if os.environ.get(OFF, "").strip().lower() == "off":
        return None
    base = Path(os.environ.get("XDG_CACHE_HOME", ""))
    if not base.is_absolute():
        try:
            base = Path.home() / ".cache"
        except RuntimeError:
            return None
    return Store(base / "buildalong")


def kept(
    store: Store | None,
    kind: str,
    question: object,
    shape: type[Value],
    make: Callable[[], Value],
    sound: Callable[[Value], bool],
) -> Value:
    """What ``make()`` gives: from the store if it is there, else made and put there.

    ``question`` holds everything that the answer depends on, as dataclasses, models and plain values; the
    language too, where the answer has words for a reader (``buildalong.words.language()``).
    ``kind`` is one word in small letters; ``shape`` is the dataclass of the answer.  Only answers that are
    ``sound`` are kept or believed.
    """
    if store is None:
        return make()
    from pydantic import TypeAdapter, ValidationError

    asked = json.dumps([kind, _program(), _plain(question)], ensure_ascii=True)
    name = f"{kind}-{sha256(asked.encode()).hexdigest()}"
    body = store.read(name)
    if body is not None:
        try:
            found = TypeAdapter(shape).validate_json(body, strict=True)
        except ValidationError:
            found = None
        if found is not None and sound(found):
            return found
    made = make()
    if sound(made):
        store.write(name, json.dumps(_plain(made), ensure_ascii=True, allow_nan=False).encode())
    return made


def _head(name: str, body: bytes) -> bytes:
    """First line of an entry: a digest of its name and its value."""
    return json.dumps({"sha256": sha256(name.encode() + b"\n" + body).hexdigest()}).encode()


def _plain(value: Any) -> Any:
    """A value as JSON has it; the order of mappings is kept, for it may matter.  Raises TypeError."""
    if value is None or isinstance(value, str | int | float):
        return value
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if hasattr(value, "model_dump"):
        return value.model_dump(mode="json")
    if isinstance(value, Mapping):
        return {str(key): _plain(entry) for key, entry in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(entry) for entry in value]
    raise TypeError(f"{type(value).__name__} has no plain form")


@cache
def _program() -> str:
    """Digest of the program's own source and of the versions of what it computes with."""
    import sys
    from importlib.metadata import version

    found = sha256(" ".join([sys.version, *map(version, LIBRARIES)]).encode())
    home = Path(__file__).parent
    for path in sorted(p for p in home.rglob("*") if p.suffix in (".py", ".toml", ".json", ".po")):
        content = path.read_bytes()
        found.update(f"\n{path.relative_to(home).as_posix()} {len(content)}\n".encode())
        found.update(content)
    return found.hexdigest()
