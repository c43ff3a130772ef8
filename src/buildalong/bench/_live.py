"""The live board: the circuit runs beside the clock, and all tabs look at it."""

from __future__ import annotations

import asyncio
import contextlib
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from buildalong.bench._messages import Refused
from buildalong.bench._running import Frame, Running
from buildalong.bench._tab import Tabs
from buildalong.bench._touched import OUT
from buildalong.bench._workshop import board_shown, finding_shown, rows_shown

__all__ = ["LiveBoard"]

T = TypeVar("T")
TICK = 1 / 60
"""Time between two looks at the running circuit [s]."""
LONGEST = 0.1
"""Where the machine was held up longer [s], the circuit does not catch up."""


class LiveBoard:
    """The board with the supply on, once there is one."""

    def __init__(self, folder: Path, tabs: Tabs) -> None:
        self.folder, self.tabs = folder, tabs
        self.running: Running | None = None
        self.speed = 1.0
        self._rows = (1, 1)
        self._pool = ThreadPoolExecutor(1)
        self._order = asyncio.Lock()
        """Boards are shown in the order of their texts."""
        self._nudge = asyncio.Event()

    def stop(self) -> None:
        """End it."""
        self._pool.shutdown(wait=True)

    @property
    def here(self) -> Running:
        """The running circuit; raises Refused where there is none."""
        if self.running is None:
            raise Refused("there is no board yet")
        return self.running

    def hole(self, hole: str) -> str:
        """A hole of the board, or none; raises Refused where there is no such hole."""
        if hole and hole not in self.here.touched.layout.board.holes:
            raise Refused("this board has no such hole")
        return hole

    async def in_turn(self, work: Callable[[], T]) -> T:
        """Do something with the circuit: one thing after the other, off the network's thread."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, work)

    async def renew(self, answer: dict[str, Any]) -> None:
        """A new circuit or layout: the supply is switched on anew; what the hand holds stays."""

        def made(before: Running | None) -> Running:
            new = Running(answer["circuit"], answer["layout"], answer["trials"])
            if before is not None:
                new.meter, new.probes = before.meter, before.probes
                for (part, setting), value in before.settings.items():
                    if (part, setting) in new.controls:
                        new.act(part, setting, value)
            return new

        async with self._order:
            self.running = await self.in_turn(partial(made, self.running))
            self._rows = rows_shown(answer["layout"])
            await self.tell()

    async def settled(self, number: int) -> None:
        """Tell all tabs that nothing more will come of the texts of this number: the pictures are theirs."""
        async with self._order:
            self.tabs.tell({"k": "settled", "number": number})

    async def tell(self) -> None:
        """Tell all tabs how the board looks and what a hand can do with it."""
        running = self.running
        if running is None:
            return
        touched = running.touched
        shown = await self.in_turn(partial(board_shown, touched.circuit, touched.shown, self._rows))
        what = running.consequence
        out = [list(key) for key, hole in touched.moved.items() if hole == OUT]
        controls = []
        for control in running.controls.values():
            value = running.settings.get((control.part, control.setting), control.value)
            controls.append({**asdict(control), "value": value})
        self.tabs.tell({
            "k": "board", **shown, "nets": list(running.nets), "lights": list(running.lights),
            "controls": controls, "moved": list(touched.words()), "out": out,
            "differences": [finding_shown(f, self.folder) for f in what.differences],
            "symptom": what.symptom, "harms": list(what.harms), "dangers": list(what.dangers),
            "meter": list(running.meter), "probes": list(running.probes),
        })  # fmt: skip
        self.look_again()

    async def set(self, part: str, setting: str, value: float) -> None:
        """Let a hand press, turn, shade or lower something; raises KeyError where there is no such thing."""
        await self.in_turn(partial(self.here.act, part, setting, value))
        self.look_again()
        self.tabs.tell({"k": "set", "part": part, "setting": setting, "value": value}, keep=False)
        for control in self.tabs.last.get("board", {}).get("controls", ()):
            if (control["part"], control["setting"]) == (part, setting):
                control["value"] = value

    def pace(self, speed: float) -> None:
        """Run so fast from now on; 0 is a pause."""
        self.speed = speed
        self.look_again()
        self.tabs.tell({"k": "pace", "speed": speed})

    def look_again(self) -> None:
        """Look at once."""
        self._nudge.set()

    async def run(self) -> None:
        """Let the circuit run beside the clock, and show it sixty times a second."""
        seen = due = time.perf_counter()
        while True:
            due = max(due + TICK, time.perf_counter() - TICK)
            rest = max(due - time.perf_counter(), 0.001) if self.speed else None
            with contextlib.suppress(TimeoutError):
                # not wait_for: where it has what it waits for, that of 3.11 loses a cancellation
                async with asyncio.timeout(rest):
                    await self._nudge.wait()
            nudged = self._nudge.is_set()
            self._nudge.clear()
            now = time.perf_counter()
            passed, seen = min(now - seen, LONGEST), now
            if self.running is None or not self.tabs.open or not (nudged or self.speed):
                if not self.tabs.open:
                    await self._nudge.wait()
                    seen = time.perf_counter()
                continue
            await self.go_on(passed * self.speed)

    async def go_on(self, seconds: float) -> None:
        """Go on for so many seconds of the circuit's time, and show it."""
        self._show(await self.in_turn(partial(self.here.advance, seconds)))

    def _show(self, frame: Frame) -> None:
        message: dict[str, Any] = {
            "k": "look", "t": round(frame.time, 6), "v": frame.volts, "l": frame.light, "p": frame.probes,
            "m": frame.meter,
        }  # fmt: skip
        if frame.told:
            message["e"] = frame.told
        if frame.verdicts:
            message["d"] = frame.verdicts
        self.tabs.look(message)
