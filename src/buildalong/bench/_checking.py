"""Checking what is written: at once what reading alone finds, and what the workshop finds, stage by stage."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from buildalong.bench._errands import Errands
from buildalong.bench._tab import Tabs
from buildalong.bench._workshop import UNREAD, finding_shown, work
from buildalong.edit import Editing
from buildalong.finding import Finding, Unreadable

__all__ = ["Checking"]


class Checking:
    """The workshop beside the desk.  ``new_board`` is called with its board, ``checked`` at the end."""

    def __init__(
        self, folder: Path, tabs: Tabs, errands: Errands,
        new_board: Callable[[dict[str, Any]], None], checked: Callable[[], None],
    ) -> None:  # fmt: skip
        self.folder, self.tabs, self.errands = folder, tabs, errands
        self.new_board, self.checked = new_board, checked
        self.number = 0
        """Of the texts that were given last."""
        self._post = ThreadPoolExecutor(1)
        """Hands the texts over: a workshop that is busy holds up nobody."""

    def start(self) -> None:
        """Open the workshop, a process of its own."""
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=work, args=(theirs, str(self.folder)), daemon=True)
        self._process.start()
        theirs.close()
        asyncio.get_running_loop().add_reader(self._pipe.fileno(), self._answered)

    def stop(self) -> None:
        """Close it."""
        if hasattr(self, "_pipe"):
            asyncio.get_running_loop().remove_reader(self._pipe.fileno())
            self._process.terminate()
            self._process.join(5)
            self._pipe.close()
        self._post.shutdown(wait=False, cancel_futures=True)

    def check(self, editing: Editing) -> None:
        """Check the texts as they are now; what was to be checked before is let go."""
        self.number += 1
        self._post.submit(self._hand_over, self.number, dict(editing.texts))
        self.errands.begin(self._read(self.number, editing))

    def _hand_over(self, number: int, texts: dict[str, str]) -> None:
        if number == self.number:
            with contextlib.suppress(OSError):
                self._pipe.send((number, texts))

    async def _read(self, number: int, editing: Editing) -> None:
        """Tell at once what reading alone finds: the workshop may be in the middle of older text."""
        began = time.perf_counter()

        def read() -> tuple[Finding, ...]:
            try:
                return editing.lesson().findings
            except Unreadable as error:
                return error.findings

        found = await asyncio.to_thread(read)
        if number == self.number and self.tabs.last.get("findings", {}).get("number", 0) < number:
            shown = [finding_shown(finding, self.folder) for finding in found]
            self._findings("read", shown, UNREAD, time.perf_counter() - began)

    def _findings(self, stage: str, shown: list[dict[str, Any]], left: str, took: float) -> None:
        """Tell findings; ``early`` are those before promises and words were compared."""
        early = bool(left) and stage in ("read", "simulated")
        more = {"final": not left, "left": left, "early": early, "took": round(took, 4)}
        self.tabs.tell({"k": "findings", "list": shown, "number": self.number, **more})

    def _answered(self) -> None:
        """Hear the workshop."""
        try:
            while self._pipe.poll():
                self._stage(self._pipe.recv())
        except (EOFError, OSError):
            asyncio.get_running_loop().remove_reader(self._pipe.fileno())
            self.tabs.tell({"k": "broken", "why": "the compiler has ended; start the bench again"})

    def _stage(self, answer: dict[str, Any]) -> None:
        stage, number = answer.pop("stage"), answer.pop("number")
        if number != self.number:
            return
        tell = self.tabs.tell
        if stage == "progress":
            tell({"k": "progress", "share": answer["share"], "text": answer["text"]})
            return
        if "findings" in answer:
            self._findings(stage, answer["findings"], answer["left"], answer["took"])
        if stage == "words":
            kept = ("promises", "stories", "prose", "title")
            tell({"k": "words", **{key: answer[key] for key in kept}})
        elif stage == "schematic":
            tell({"k": "schematic", **{key: answer[key] for key in ("svg", "alt", "handles")}})
        elif stage == "failed":
            tell({"k": "broken", "why": answer["why"]}, keep=False)
        elif stage == "board" and answer["circuit"] is not None:
            self.new_board(answer)
        elif stage == "checked":
            self.checked()
        if stage in ("board", "schematic", "failed", "checked"):
            tell({"k": "progress", "share": 1.0, "text": ""})
