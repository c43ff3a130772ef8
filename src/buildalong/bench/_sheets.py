"""Side sheets: what was asked for, made one at a time, and previews that follow the lesson."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

from buildalong.bench._errands import Errands
from buildalong.bench._jobs import Job
from buildalong.bench._messages import Shown
from buildalong.bench._pages import File
from buildalong.bench._source import Source
from buildalong.bench._tab import Tab, Tabs

__all__ = ["Sheets"]

REST = 0.7
"""How long a changed lesson rests before a preview that is open is made again [s]."""
PREVIEWS = frozenset(get_args(Shown))


class Sheets:
    """The pages that were made, and the work on the next one."""

    def __init__(self, folder: Path, source: Source, tabs: Tabs, errands: Errands) -> None:
        self.folder, self.source, self.tabs, self.errands = folder, source, tabs, errands
        self.files: dict[str, File] = {}
        self._job: Job | None = None
        self._made: dict[str, dict[str, str]] = {}
        """Preview -> the texts that it was made of."""
        self._working = ""
        self._number = 0

    def begin(self, what: str, tab: Tab | None = None, parts: Sequence[str] = ()) -> None:
        """Ask another process; what was asked before is stopped."""
        if tab is not None:
            tab.preview = what if what in PREVIEWS else ""
        if self._job is not None:
            self._job.stop()
        texts = dict(self.source.editing.texts)

        def heard(answer: dict[str, Any]) -> None:
            for name, (body, kind) in answer.pop("files", {}).items():
                self.files[name] = File(body, kind)
            if answer["state"] != "working":
                self._working = ""
            self.tabs.tell({"k": "sheet", "what": what, "number": self._number, **answer})

        self.tabs.tell({"k": "sheet", "what": what, "state": "working", "share": 0.0, "text": ""})
        self._working = what
        self._number += 1
        if what in PREVIEWS:
            self._made = {what: texts}
        self._job = Job(what, self.folder, texts, heard, parts)

    def stop(self) -> None:
        """Stop what is being made."""
        if self._job is not None:
            self._job.stop()
            self._job = None
        self._working = ""

    def lesson_changed(self) -> None:
        """The lesson was checked and can be published: previews that are open follow it."""
        self.errands.begin(self._follow())

    async def _follow(self) -> None:
        texts = self.source.editing.texts
        await asyncio.sleep(REST)
        if self._working and self._working not in self._made:
            return  # something else was asked for meanwhile
        for what, made in list(self._made.items()):
            if made != texts == self.source.editing.texts and any(t.preview == what for t in self.tabs.open):
                self.begin(what)
