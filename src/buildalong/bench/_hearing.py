"""What tabs say, and what is done about it."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING

from buildalong.bench import _messages as m
from buildalong.bench._tab import Tab
from buildalong.bench._workshop import finding_shown
from buildalong.edit import read_edit
from buildalong.finding import Unreadable

if TYPE_CHECKING:
    from buildalong.bench._desk import Desk

__all__ = ["Hearing"]


class Hearing:
    """Does what a message asks for."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.source, self.tabs = desk, desk.source, desk.tabs
        self.live, self.sheets = desk.live, desk.sheets

    async def hear(self, tab: Tab, message: m.Any_) -> None:
        """Do what a tab says; raises Refused where it asks for what is not there."""
        try:
            await getattr(self, f"_do_{message.do}")(tab, message)
        except KeyError as error:
            raise m.Refused(f"there is no {error}") from None

    # -- the text ---------------------------------------------------------------------------------

    async def _do_text(self, tab: Tab, message: m.Text) -> None:
        source = self.source
        async with self.desk.writing:
            if message.base != source.versions[message.file]:
                tab.say({"k": "text", **self.desk.text(message.file)})
                return
            done = await asyncio.to_thread(source.typed, message.file, message.text)
            self.desk.edited(done, tab)
            known = self.desk.text(message.file)
            tab.say({"k": "taken", **{key: known[key] for key in ("file", "version", "number")}})

    async def _do_edit(self, tab: Tab, message: m.Edit) -> None:
        try:
            wanted = [read_edit(edit) for edit in message.edits]
        except Unreadable as error:
            raise m.Refused(str(error)) from None
        layout = self.live.running.touched.layout if self.live.running is not None else None
        async with self.desk.writing:
            done = await asyncio.to_thread(self.source.do, wanted, layout)
            self.desk.edited(done, None, tab)

    async def _do_history(self, tab: Tab, message: m.History) -> None:
        async with self.desk.writing:
            done = await asyncio.to_thread(self.source.history, message.what)
            if done is not None:
                self.desk.edited(done, None, tab)

    async def _do_save(self, tab: Tab, message: m.Save) -> None:
        async with self.desk.writing:
            saved = await asyncio.to_thread(self.source.save)
        if not saved.ok:
            finding = saved.findings[0]
            why = f"{finding.message}: {finding.hint}".removesuffix(": ")
            tab.say({"k": "unsaved-why", "why": why, "code": finding.code})
            return
        says = f"saved: {', '.join(saved.written)}" if saved.written else "nothing was unsaved"
        self.desk.tell_history(says)

    # -- the board --------------------------------------------------------------------------------

    async def _do_set(self, tab: Tab, message: m.Set) -> None:
        await self.live.set(message.part, message.setting, message.value)

    async def _do_pace(self, tab: Tab, message: m.Pace) -> None:
        self.live.pace(message.speed)

    async def _do_step(self, tab: Tab, message: m.Step) -> None:
        self.live.pace(0.0)
        await self.live.go_on(message.seconds)

    async def _do_again(self, tab: Tab, message: m.Again) -> None:
        await self.live.in_turn(self.live.here.start_again)
        self.live.look_again()

    async def _do_lead(self, tab: Tab, message: m.Lead) -> None:
        move = partial(self.live.here.lead, message.owner, message.leg, message.hole)
        why = await self.live.in_turn(move)
        if why is not None:
            tab.say({"k": "cannot", "finding": finding_shown(why, self.source.folder)})
        await self.live.tell()

    async def _do_back(self, tab: Tab, message: m.PutBack) -> None:
        await self.live.in_turn(self.live.here.put_back)
        await self.live.tell()

    async def _do_meter(self, tab: Tab, message: m.Meter) -> None:
        self.live.here.meter = (self.live.hole(message.red), self.live.hole(message.black))
        self.tabs.tell({"k": "meter", "red": message.red, "black": message.black})
        self.live.look_again()

    async def _do_probes(self, tab: Tab, message: m.Probes) -> None:
        self.live.here.probes = tuple(self.live.hole(hole) for hole in message.holes)
        self.tabs.tell({"k": "probes", "holes": message.holes})
        self.live.look_again()

    # -- sheets -----------------------------------------------------------------------------------

    async def _do_ask(self, tab: Tab, message: m.Ask) -> None:
        self.sheets.begin(message.what, tab, message.parts)

    async def _do_preview(self, tab: Tab, message: m.Preview) -> None:
        self.sheets.begin(message.what, tab)

    async def _do_stop(self, tab: Tab, message: m.Stop) -> None:
        self.sheets.stop()
        self.tabs.tell({"k": "sheet", "what": "", "state": "stopped"})

    async def _do_close(self, tab: Tab, message: m.Close) -> None:
        tab.preview = ""

    async def _do_ping(self, tab: Tab, message: m.Pong) -> None:
        tab.say({"k": "pong", "mark": message.mark})
