"""Watching a folder: other programs write into it, too."""

from __future__ import annotations

import asyncio
import os
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

__all__ = ["changes"]

EVERY = 0.3
"""Between two looks [s]; what has changed must rest for as long, since some programs write in pieces."""
MOST = 500
"""Files that are watched."""
Seen = frozenset[tuple[str, int, int, int]]


async def changes(folder: Path) -> AsyncIterator[frozenset[str]]:
    """Names of files that were changed, came or went, each time that some were and have rested since."""
    told = last = await asyncio.to_thread(_seen, folder)
    while True:
        await asyncio.sleep(EVERY)
        now = await asyncio.to_thread(_seen, folder)
        if now == last and now != told:
            yield frozenset(name for name, *_ in now ^ told)
            told = now
        last = now


def _seen(folder: Path) -> Seen:
    """Name, time, size and number of the files in a folder and in the folders in it; hidden ones left out."""
    found: list[tuple[str, int, int, int]] = []
    for name, entry in _entries(folder, ""):
        try:
            known = entry.stat(follow_symlinks=False)
        except OSError:
            continue
        found.append((name, known.st_mtime_ns, known.st_size, known.st_ino))
        if len(found) >= MOST:
            break
    return frozenset(found)


def _entries(folder: Path, within: str) -> Iterator[tuple[str, os.DirEntry[str]]]:
    try:
        with os.scandir(folder / within) as entries:
            ordered = sorted((e for e in entries if not e.name.startswith(".")), key=lambda e: e.name)
    except OSError:
        return
    for entry in ordered:
        if not entry.is_dir(follow_symlinks=False):
            yield within + entry.name, entry
        elif not within:
            yield from _entries(folder, f"{entry.name}/")
