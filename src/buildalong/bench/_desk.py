"""The desk: one lesson, its text and its board, and the tabs that look at it."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

from buildalong.bench._checking import Checking
from buildalong.bench._errands import Errands
from buildalong.bench._hearing import Hearing
from buildalong.bench._live import LiveBoard
from buildalong.bench._sheets import Sheets
from buildalong.bench._source import Source
from buildalong.bench._tab import Tab, Tabs
from buildalong.bench._watch import changes
from buildalong.bench._workshop import finding_shown
from buildalong.edit import Outcome

__all__ = ["Desk"]

FIRST = {"lesson.toml": 0, "lesson.md": 1}
"""The order of the files; the others follow."""


class Desk:
    """What all tabs share."""

    def __init__(self, folder: Path) -> None:
        """Raises Unreadable where the folder is no lesson."""
        self.source = source = Source(folder)
        self.tabs, self.errands, self.writing = Tabs(), Errands(), asyncio.Lock()
        self.live = LiveBoard(source.folder, self.tabs)
        self.sheets = Sheets(source.folder, source, self.tabs, self.errands)
        self.checking = Checking(source.folder, self.tabs, self.errands, self._new_board, self._checked)
        self.hear = Hearing(self).hear

    # -- beginning and end ------------------------------------------------------------------------

    async def start(self) -> None:
        """Begin to check, to run and to watch the folder."""
        self.checking.start()
        self.errands.begin(self.live.run())
        self.errands.begin(self._watch())
        self.checking.check(self.source.editing)

    async def stop(self) -> None:
        """End everything that was begun."""
        await self.errands.end()
        self.sheets.stop()
        self.checking.stop()
        self.live.stop()
        self.source.close()

    # -- tabs -------------------------------------------------------------------------------------

    def welcome(self, tab: Tab) -> None:
        """Tell a new tab everything that it must know."""
        tab.say(self._hello())
        for message in self.tabs.last.values():
            tab.say(message)
        self.tabs.open.add(tab)
        self.live.look_again()

    def farewell(self, tab: Tab) -> None:
        """Forget a tab."""
        self.tabs.open.discard(tab)

    def _hello(self) -> dict[str, Any]:
        source = self.source
        names = sorted(source.editing.texts, key=lambda name: FIRST.get(name, 2))
        left = list(source.left[0].says[-5:]) if source.left else []
        texts = [self.text(name) for name in names]
        return {"k": "hello", "texts": texts, "speed": self.live.speed, "left": left, **self._history()}

    def text(self, name: str) -> dict[str, Any]:
        """A text as a page has it, with its version and the number under which it is checked."""
        known = {"version": self.source.versions[name], "number": self.checking.number}
        return {"file": name, "text": self.source.shown(name), **known}

    def _history(self) -> dict[str, Any]:
        """What is unsaved, and what could be taken back or done again."""
        editing = self.source.editing
        back = editing.done[-1].says if editing.done else ""
        forth = editing.undone[-1].says if editing.undone else ""
        return {"files": list(editing.unsaved), "back": back, "forth": forth}

    def tell_history(self, says: str) -> None:
        """Tell all tabs what was done."""
        self.tabs.tell({"k": "history", "says": says, **self._history()}, keep=False)

    # -- changes ----------------------------------------------------------------------------------

    def edited(self, done: Outcome, typist: Tab | None, asker: Tab | None = None) -> None:
        """Check and tell what was edited; ``typist`` has the text on his page already."""
        if not done.ok:
            if asker is not None and done.findings:
                asker.say({"k": "cannot", "finding": finding_shown(done.findings[0], self.source.folder)})
            return
        self.checking.check(self.source.editing)
        for name in dict.fromkeys(change.file for change in done.changes):
            self.tabs.tell({"k": "text", **self.text(name)}, keep=False, but=typist)
        self.tell_history(done.says)

    async def _watch(self) -> None:
        """Take in what other programs write into the folder, or tell why not."""
        async for names in changes(self.source.folder):
            async with self.writing:
                known = set(self.source.editing.files)
                done, why = await asyncio.to_thread(self.source.look)
                if set(self.source.editing.files) - known:
                    self.tabs.tell(self._hello(), keep=False)
                if done is not None:
                    self.edited(done, None)
                elif names - known:
                    self.checking.check(self.source.editing)
            if why:
                self.tabs.tell({"k": "unsaved-why", "why": why, "code": "changed-on-disk"}, keep=False)

    def _new_board(self, answer: dict[str, Any]) -> None:
        self.errands.begin(self.live.renew(answer))

    def _checked(self) -> None:
        self.errands.begin(self.live.settled(self.checking.number))
        if all(f["severity"] not in ("error", "fatal") for f in self.tabs.last["findings"]["list"]):
            self.sheets.lesson_changed()
