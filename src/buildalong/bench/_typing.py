"""What is typed in one go is taken back in one go: a word, not each letter of it."""

from __future__ import annotations

import time
from dataclasses import replace

from buildalong.edit import Change, Deed, Editing, Outcome

__all__ = ["Typing"]

PAUSE = 1.0
"""Whoever rests longer than this begins something new [s]."""


class Typing:
    """The last thing that was typed, and when."""

    def __init__(self) -> None:
        self._deed: Deed | None = None
        self._when = 0.0

    def joined(self, before: Editing, done: Outcome) -> Outcome:
        """What was typed, as one with what was typed before it where it goes on with that."""
        if not done.ok or not done.changes:
            return done
        now = time.monotonic()
        last = before.done[-1] if before.done else None
        soon = last is self._deed and now - self._when <= PAUSE
        if soon and last is not None and _goes_on(last.changes[-1], done.changes[0]):
            done = replace(done, editing=before.continued(done.editing.done[-1]))
        self._deed, self._when = done.editing.done[-1], now
        return done


def _goes_on(last: Change, new: Change) -> bool:
    """Whether a change begins or ends where the last one left the caret, in the same line."""
    if last.file != new.file or "\n" in last.old + last.new + new.old + new.new.removesuffix("\n"):
        return False
    return new.start <= last.start + len(last.new) and last.start <= new.start + len(new.old)
