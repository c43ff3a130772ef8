"""Doing something again whenever a folder changes, until Ctrl-C."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

from buildalong.cli._group import OK
from buildalong.cli._show import say

__all__ = ["watched"]

EVERY = 0.25
"""Time between two looks [s]; the folder has come to rest when two of them are equal."""
MOST, DEEPEST = 20_000, 5
"""Files that are looked at, and folders in one another."""
State = tuple[tuple[str, int, int], ...]


def watched(folder: str, output: str, work: Callable[[Callable[[], None]], int]) -> int:
    """Do ``work`` now and after each change in ``folder`` outside ``output``, until Ctrl-C.

    ``work`` is given a function to call now and then: it ends the work once Ctrl-C was pressed, also where
    the first Ctrl-C was taken for something else.
    """
    with _one_ctrl_c() as heard:
        try:
            while True:
                seen = _state(folder, output)
                work(heard)
                say(f"watching {folder}; Ctrl-C ends")
                _until_other(seen, folder, output)
        except KeyboardInterrupt:
            say("stopped watching")
    return OK


def _until_other(seen: State, folder: str, output: str) -> None:
    """Wait until the folder is another, and at rest."""
    before = seen
    while True:
        time.sleep(EVERY)
        now = _state(folder, output)
        if now != seen and now == before:
            return
        before = now


def _state(folder: str, output: str) -> State:
    """Path, time of change and size of each file that is not hidden."""
    return tuple(sorted(_files(folder, os.path.realpath(output), 0)))[:MOST]


def _files(folder: str, output: str, depth: int) -> Iterator[tuple[str, int, int]]:
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.name.startswith(".") or os.path.realpath(entry.path) == output:
                    continue
                state = entry.stat(follow_symlinks=False)
                yield entry.path, state.st_mtime_ns, state.st_size
                if entry.is_dir(follow_symlinks=False) and depth < DEEPEST:
                    yield from _files(entry.path, output, depth + 1)
    except OSError:
        return  # gone, or being replaced: the next look tells


@contextmanager
def _one_ctrl_c() -> Iterator[Callable[[], None]]:
    """Let one Ctrl-C end all; gives a function that raises KeyboardInterrupt once it was pressed."""
    pressed: list[int] = []

    def press(number: int, frame: FrameType | None) -> None:
        pressed.append(number)
        raise KeyboardInterrupt

    def heard() -> None:
        if pressed:
            raise KeyboardInterrupt

    before = signal.signal(signal.SIGINT, press)
    try:
        yield heard
    finally:
        signal.signal(signal.SIGINT, before)
