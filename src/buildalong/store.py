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
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

__all__ = ["OFF", "Store", "digest_of", "kept", "read_entry", "user_store", "write_entry"]

OFF = "BUILDALONG_STORE"
"""The environment variable that switches the user's store off: ``BUILDALONG_STORE=off``."""
LIBRARIES = ("jinja2", "markdown-it-py", "nh3", "numba", "numpy", "ortools", "resvg-py", "typst")
"""What the program computes and draws with, beside itself: another version may give another answer."""
ABANDONED = 3600.0
"""Seconds after which a half-written entry belongs to nobody."""

_ENTRY = re.compile(r"[a-z]{1,20}-[0-9a-f]{64}\.(json|bin)")
_BESIDE = ".beside-"

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Store:
    """A folder of entries: at most ``most`` of them with at most ``most_bytes`` in all [byte].

    An entry of more than ``largest`` [byte] is neither written nor read; ``ending`` is that of its file.
    """

    folder: Path
    most: int = 3000
    most_bytes: int = 60_000_000
    largest: int = 1_000_000
    ending: str = "json"

    def room(self, name: str, most: int, most_bytes: int, largest: int) -> Store:
        """A store in a folder of this one, for what is larger; its entries are files of bytes."""
        return Store(self.folder / name, most, most_bytes, largest, "bin")

    def read(self, name: str) -> bytes | None:
        """The value of an entry; None where there is none, or it is not as it was written."""
        path = self.folder / f"{name}.{self.ending}"
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
        self.write_all({name: body})

    def write_all(self, bodies: Mapping[str, bytes]) -> None:
        """Write some entries, as far as that is possible; then let the oldest go."""
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            for name, body in bodies.items():
                content = _head(name, body) + b"\n" + body
                if len(content) <= self.largest:
                    self._put(f"{name}.{self.ending}", content)
            self._trim()
        except OSError:
            return

    def _put(self, file: str, content: bytes) -> None:
        """Write a file beside its place and rename it; stopped on the way, it leaves nothing behind."""
        handle, beside = tempfile.mkstemp(prefix=_BESIDE, dir=self.folder)
        try:
            with open(handle, "wb") as stream:
                stream.write(content)
            os.replace(beside, self.folder / file)
        except BaseException:
            os.unlink(beside)
            raise

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
    name = digest_of(kind, question)
    found = read_entry(store, name, shape)
    if found is not None and sound(found):
        return found
    made = make()
    if sound(made):
        write_entry(store, name, made)
    return made


def digest_of(kind: str, question: object) -> str:
    """The name of the entry that answers a question: it also depends on this program and its libraries."""
    asked = json.dumps([kind, _program(), _plain(question)], ensure_ascii=True)
    return f"{kind}-{sha256(asked.encode()).hexdigest()}"


def read_entry(store: Store, name: str, shape: type[Value]) -> Value | None:
    """The answer in an entry, as the dataclass ``shape``; None where there is none that can be read."""
    from pydantic import TypeAdapter, ValidationError

    body = store.read(name)
    try:
        return TypeAdapter(shape).validate_json(body, strict=True) if body is not None else None
    except ValidationError:
        return None


def write_entry(store: Store, name: str, value: object) -> None:
    """Put an answer into an entry; what is not finite in it raises ValueError."""
    store.write(name, json.dumps(_plain(value), ensure_ascii=True, allow_nan=False).encode())


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
    home = os.path.dirname(__file__)
    for path in sorted(_sources(home)):
        with open(path, "rb", buffering=0) as stream:
            content = stream.read()
        found.update(f"\n{path.removeprefix(home)} {len(content)}\n".encode())
        found.update(content)
    return found.hexdigest()


def _sources(home: str) -> Iterator[str]:
    """All files of the program."""
    for folder, folders, files in os.walk(home):
        folders[:] = [name for name in folders if name != "__pycache__"]
        yield from (os.path.join(folder, file) for file in files if "." in file)
