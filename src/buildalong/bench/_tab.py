"""Open tabs: what is to be sent to each, never more than it can take."""

from __future__ import annotations

import asyncio
import json
from collections import deque
from collections.abc import Awaitable, Callable
from typing import Any

__all__ = ["MOST_WAITING", "Tab", "Tabs"]

MOST_WAITING = 200
"""Messages that may wait for a slow tab; then it is let go, and gets everything anew when it comes back."""


def written(message: dict[str, Any]) -> str:
    """A message as it goes over the wire."""
    return json.dumps(message, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


class Tab:
    """A tab.  Of the looks at the running circuit only the newest waits; all other messages keep order."""

    def __init__(self, send: Callable[[str], Awaitable[None]]) -> None:
        self._send = send
        self.preview = ""
        """The preview that it shows."""
        self._waiting: deque[str] = deque()
        self._look = ""
        self._something = asyncio.Event()
        self.gone = False

    def say(self, message: dict[str, Any]) -> None:
        """Send a message."""
        self.say_written(written(message))

    def say_written(self, text: str) -> None:
        """Send what is already written."""
        if len(self._waiting) >= MOST_WAITING:
            self.gone = True
        else:
            self._waiting.append(text)
        self._something.set()

    def look(self, text: str) -> None:
        """Show a look at the circuit; an older one that has not gone yet is dropped."""
        self._look = text
        self._something.set()

    async def send_all(self) -> None:
        """Send for as long as the tab is there."""
        try:
            while not self.gone:
                await self._something.wait()
                self._something.clear()
                while self._waiting:
                    await self._send(self._waiting.popleft())
                if self._look:
                    look, self._look = self._look, ""
                    await self._send(look)
        except (ConnectionError, RuntimeError):
            self.gone = True


class Tabs:
    """All open tabs.  What is kept is told to those that come later, too."""

    def __init__(self) -> None:
        self.open: set[Tab] = set()
        self.last: dict[str, dict[str, Any]] = {}
        """The newest message of each kind."""

    def tell(self, message: dict[str, Any], *, keep: bool = True, but: Tab | None = None) -> None:
        """Tell all of them."""
        if keep:
            self.last[message["k"]] = message
        text = written(message)
        for tab in list(self.open):
            if tab is not but:
                tab.say_written(text)

    def look(self, message: dict[str, Any]) -> None:
        """Show all of them a look at the circuit."""
        text = written(message)
        for tab in list(self.open):
            tab.look(text)
