"""The desk: the state that all tabs share, and what is done about what they say."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import time
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any

from buildalong.bench import _messages as m
from buildalong.bench._jobs import Job
from buildalong.bench._pages import File
from buildalong.bench._running import Frame, Running
from buildalong.bench._source import Source
from buildalong.bench._tab import Tab, written
from buildalong.bench._touched import OUT
from buildalong.bench._workshop import board_shown, finding_shown, rows_shown, work
from buildalong.edit import Outcome, read_edit
from buildalong.finding import Finding, Unreadable

__all__ = ["Desk"]

TICK = 1 / 60
"""Time between two looks at the running circuit [s]."""
FIRST = {"lesson.toml": 0, "lesson.md": 1}
"""The order of the files; the others follow."""
LONGEST = 0.1
"""Where the machine was held up longer [s], the circuit does not catch up."""


class Desk:
    """One lesson: its texts, its findings, its board with the supply on, and the tabs that look at it."""

    def __init__(self, folder: Path) -> None:
        self.source = Source(folder)
        self.tabs: set[Tab] = set()
        self.sheets: dict[str, File] = {}
        self.running: Running | None = None
        self.speed = 1.0
        self.number = 0
        self.last: dict[str, dict[str, Any]] = {}
        """The newest message of each kind, for a tab that comes later."""
        self._pool = ThreadPoolExecutor(1)
        self._nudge = asyncio.Event()
        self._tasks: list[asyncio.Task[None]] = []
        self._job: Job | None = None
        self._rows = (1, 1)

    # -- beginning and end ------------------------------------------------------------------------

    async def start(self) -> None:
        """Begin to compile and to run."""
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=work, args=(theirs, str(self.source.folder)), daemon=True)
        self._process.start()
        theirs.close()
        asyncio.get_running_loop().add_reader(self._pipe.fileno(), self._answered)
        self._begun(self._pace())
        self._compile()

    def _begun(self, work: Coroutine[Any, Any, None]) -> None:
        """Let something go on by itself until it is done, or the desk is closed."""
        self._tasks = [task for task in self._tasks if not task.done()]
        self._tasks.append(asyncio.create_task(work))

    async def stop(self) -> None:
        """End everything that was begun."""
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        if self._job is not None:
            self._job.stop()
        if hasattr(self, "_pipe"):
            asyncio.get_running_loop().remove_reader(self._pipe.fileno())
            self._pipe.close()
            self._process.terminate()
            self._process.join(5)
        self._pool.shutdown(wait=True)
        self.source.close()

    def welcome(self, tab: Tab) -> None:
        """Tell a new tab everything that it must know."""
        source = self.source
        names = sorted(source.editing.texts, key=lambda name: FIRST.get(name, 2))
        texts = [self._text(name) for name in names]
        left = list(source.left[0].says[-5:]) if source.left else []
        tab.say({"k": "hello", "texts": texts, "speed": self.speed, "left": left, **self._history()})
        for message in self.last.values():
            tab.say(message)
        self.tabs.add(tab)
        self._nudge.set()

    def _text(self, name: str) -> dict[str, Any]:
        return {"file": name, "text": self.source.shown(name), "version": self.source.versions[name]}

    def _history(self) -> dict[str, Any]:
        """What is unsaved, and what could be taken back or done again."""
        editing = self.source.editing
        back = editing.done[-1].says if editing.done else ""
        forth = editing.undone[-1].says if editing.undone else ""
        return {"files": list(editing.unsaved), "back": back, "forth": forth}

    def farewell(self, tab: Tab) -> None:
        """Forget a tab."""
        self.tabs.discard(tab)

    def tell(self, message: dict[str, Any], *, keep: bool = True, but: Tab | None = None) -> None:
        """Tell all tabs; what is kept is told to later ones too."""
        if keep:
            self.last[message["k"]] = message
        text = written(message)
        for tab in list(self.tabs):
            if tab is not but:
                tab.say_written(text)

    # -- compiling --------------------------------------------------------------------------------

    def _compile(self) -> None:
        self.number += 1
        with contextlib.suppress(OSError):
            self._pipe.send((self.number, dict(self.source.editing.texts)))
        self._begun(self._read(self.number))

    async def _read(self, number: int) -> None:
        """Tell at once what reading alone finds: the workshop may be in the middle of older text."""
        editing = self.source.editing
        began = time.perf_counter()

        def read() -> tuple[Finding, ...]:
            try:
                return editing.lesson().findings
            except Unreadable as error:
                return error.findings

        found = await asyncio.to_thread(read)
        told = self.last.get("findings", {}).get("number", 0)
        if number == self.number and told < number:
            shown = [finding_shown(finding, self.source.folder) for finding in found]
            took = round(time.perf_counter() - began, 4)
            self.tell({"k": "findings", "list": shown, "final": False, "took": took, "number": number})

    def _answered(self) -> None:
        """Hear the workshop."""
        try:
            while self._pipe.poll():
                self._stage(self._pipe.recv())
        except (EOFError, OSError):
            asyncio.get_running_loop().remove_reader(self._pipe.fileno())
            self.tell({"k": "broken", "why": "the compiler has ended; start the bench again"})

    def _stage(self, answer: dict[str, Any]) -> None:
        stage, number = answer.pop("stage"), answer["number"]
        if number != self.number:
            return
        if stage == "progress":
            self.tell({"k": "progress", "share": answer["share"], "text": answer["text"]})
            return
        if "findings" in answer:
            more = {"final": stage != "read", "took": answer["took"], "number": number}
            self.tell({"k": "findings", "list": answer["findings"], **more})
        if stage == "words":
            kept = ("promises", "stories", "prose", "title")
            self.tell({"k": "words", **{key: answer[key] for key in kept}})
        elif stage == "board" and answer["circuit"] is not None:
            self._begun(self._new_board(answer))
        elif stage == "schematic":
            self.tell({"k": "schematic", **{key: answer[key] for key in ("svg", "alt", "handles")}})
        elif stage == "failed":
            self.tell({"k": "broken", "why": answer["why"]}, keep=False)
        if stage in ("board", "schematic", "failed", "words"):
            self.tell({"k": "progress", "share": 1.0, "text": ""})

    async def _new_board(self, answer: dict[str, Any]) -> None:
        """A new circuit or layout: the supply is switched on anew; what the hand holds stays."""
        before = self.running

        def made() -> Running:
            new = Running(answer["circuit"], answer["layout"], answer["trials"])
            if before is not None:
                new.meter, new.probes = before.meter, before.probes
                for (part, setting), value in before.settings.items():
                    if (part, setting) in new.controls:
                        new.act(part, setting, value)
            return new

        self.running = await self._in_turn(made)
        self._rows = rows_shown(answer["layout"])
        await self._tell_board()

    async def _in_turn(self, work: Any) -> Any:
        """Do something with the circuit: one thing after the other, off the network's thread."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, work)

    async def _tell_board(self) -> None:
        running = self.running
        if running is None:
            return
        touched = running.touched
        shown = await self._in_turn(partial(board_shown, touched.circuit, touched.shown, self._rows))
        what = running.consequence
        out = [list(key) for key, hole in touched.moved.items() if hole == OUT]
        controls = []
        for control in running.controls.values():
            value = running.settings.get((control.part, control.setting), control.value)
            controls.append({**asdict(control), "value": value})
        self.tell({
            "k": "board", **shown, "nets": list(running.nets), "lights": list(running.lights),
            "controls": controls, "moved": list(touched.words()), "out": out,
            "differences": [finding_shown(f, self.source.folder) for f in what.differences],
            "symptom": what.symptom, "harms": list(what.harms), "dangers": list(what.dangers),
            "meter": list(running.meter), "probes": list(running.probes),
        })  # fmt: skip
        self._nudge.set()

    # -- the clock --------------------------------------------------------------------------------

    async def _pace(self) -> None:
        """Let the circuit run beside the clock, and show it sixty times a second."""
        seen = due = time.perf_counter()
        while True:
            due = max(due + TICK, time.perf_counter() - TICK)
            with contextlib.suppress(TimeoutError):
                rest = due - time.perf_counter()
                await asyncio.wait_for(self._nudge.wait(), max(rest, 0.001) if self.speed else None)
            nudged = self._nudge.is_set()
            self._nudge.clear()
            now = time.perf_counter()
            passed, seen = min(now - seen, LONGEST), now
            running = self.running
            if running is None or not self.tabs or not (nudged or self.speed):
                if not self.tabs:
                    await self._nudge.wait()
                    seen = time.perf_counter()
                continue
            frame = await self._in_turn(partial(running.advance, passed * self.speed))
            self._show(frame)

    def _show(self, frame: Frame) -> None:
        message: dict[str, Any] = {
            "k": "look", "t": round(frame.time, 6), "v": frame.volts, "l": frame.light, "p": frame.probes,
            "m": frame.meter,
        }  # fmt: skip
        if frame.told:
            message["e"] = frame.told
        if frame.verdicts:
            message["d"] = frame.verdicts
        text = written(message)
        for tab in list(self.tabs):
            tab.look(text)

    # -- what tabs say ----------------------------------------------------------------------------

    async def hear(self, tab: Tab, message: m.Any_) -> None:
        """Do what a tab says; raises Refused where it asks for what is not there."""
        try:
            await getattr(self, f"_do_{message.do}")(tab, message)
        except KeyError as error:
            raise m.Refused(f"there is no {error}") from None

    async def _do_ping(self, tab: Tab, message: m.Pong) -> None:
        tab.say({"k": "pong", "mark": message.mark})

    async def _do_text(self, tab: Tab, message: m.Text) -> None:
        source = self.source
        if message.base != source.versions[message.file]:
            tab.say({"k": "text", **self._text(message.file)})
            return
        self._edited(source.typed(message.file, message.text), tab)
        tab.say({"k": "taken", "file": message.file, "version": source.versions[message.file]})

    async def _do_edit(self, tab: Tab, message: m.Edit) -> None:
        layout = self.running.touched.layout if self.running is not None else None
        try:
            wanted = read_edit(message.edit)
        except Unreadable as error:
            raise m.Refused(str(error)) from None
        self._edited(await self._in_turn(partial(self.source.do, wanted, layout)), None, tab)

    async def _do_history(self, tab: Tab, message: m.History) -> None:
        source = self.source
        if message.what == "discard":
            source.discard()
            return
        ways = {"back": source.back, "forth": source.forth, "catch-up": source.catch_up}
        done = source.take_up() if message.what == "take-up" else ways[message.what]()
        if done is not None:
            self._edited(done, None, tab)

    def _edited(self, done: Outcome, typist: Tab | None, asker: Tab | None = None) -> None:
        """Compile and tell what was edited; ``typist`` has the text on his page already."""
        if not done.ok:
            for finding in done.findings[:1]:
                if asker is not None:
                    asker.say({"k": "cannot", "finding": finding_shown(finding, self.source.folder)})
            return
        self._compile()
        for name in dict.fromkeys(change.file for change in done.changes):
            self.tell({"k": "text", **self._text(name)}, keep=False, but=typist)
        self.tell({"k": "history", "says": done.says, **self._history()}, keep=False)

    async def _do_save(self, tab: Tab, message: m.Save) -> None:
        saved = await self._in_turn(self.source.save)
        if not saved.ok:
            finding = saved.findings[0]
            why = f"{finding.message}: {finding.hint}".removesuffix(": ")
            tab.say({"k": "unsaved-why", "why": why, "code": finding.code})
            return
        says = f"saved: {', '.join(saved.written)}" if saved.written else "nothing was unsaved"
        self.tell({"k": "history", "says": says, **self._history()}, keep=False)

    def _live(self) -> Running:
        if self.running is None:
            raise m.Refused("there is no board yet")
        return self.running

    async def _do_set(self, tab: Tab, message: m.Set) -> None:
        running = self._live()
        await self._in_turn(partial(running.act, message.part, message.setting, message.value))
        self._nudge.set()
        now = {"k": "set", "part": message.part, "setting": message.setting, "value": message.value}
        self.tell(now, keep=False)
        for control in self.last.get("board", {}).get("controls", ()):
            if (control["part"], control["setting"]) == (message.part, message.setting):
                control["value"] = message.value

    async def _do_pace(self, tab: Tab, message: m.Pace) -> None:
        self.speed = message.speed
        self._nudge.set()
        self.tell({"k": "pace", "speed": self.speed})

    async def _do_step(self, tab: Tab, message: m.Step) -> None:
        self.speed = 0.0
        self.tell({"k": "pace", "speed": 0.0})
        running = self._live()
        self._show(await self._in_turn(partial(running.advance, message.seconds)))

    async def _do_again(self, tab: Tab, message: m.Again) -> None:
        await self._in_turn(self._live().start_again)
        self._nudge.set()

    async def _do_lead(self, tab: Tab, message: m.Lead) -> None:
        running = self._live()
        why = await self._in_turn(partial(running.lead, message.owner, message.leg, message.hole))
        if why is not None:
            tab.say({"k": "cannot", "finding": finding_shown(why, self.source.folder)})
        await self._tell_board()

    async def _do_back(self, tab: Tab, message: m.PutBack) -> None:
        await self._in_turn(self._live().put_back)
        await self._tell_board()

    async def _do_meter(self, tab: Tab, message: m.Meter) -> None:
        running = self._live()
        running.meter = (self._hole(message.red), self._hole(message.black))
        self.tell({"k": "meter", "red": message.red, "black": message.black})
        self._nudge.set()

    async def _do_probes(self, tab: Tab, message: m.Probes) -> None:
        running = self._live()
        running.probes = tuple(self._hole(hole) for hole in message.holes)
        self.tell({"k": "probes", "holes": message.holes})
        self._nudge.set()

    def _hole(self, hole: str) -> str:
        if hole and hole not in self._live().touched.layout.board.holes:
            raise m.Refused("this board has no such hole")
        return hole

    async def _do_ask(self, tab: Tab, message: m.Ask) -> None:
        self._begin(message.what)

    async def _do_preview(self, tab: Tab, message: m.Preview) -> None:
        self._begin(message.what)

    async def _do_stop(self, tab: Tab, message: m.Stop) -> None:
        if self._job is not None:
            self._job.stop()
            self._job = None
            self.tell({"k": "sheet", "what": "", "state": "stopped"})

    def _begin(self, what: str) -> None:
        """Ask another process; what was asked before is stopped."""
        if self._job is not None:
            self._job.stop()

        def heard(answer: dict[str, Any]) -> None:
            for name, (body, kind) in answer.pop("files", {}).items():
                self.sheets[name] = File(body, kind)
            self.tell({"k": "sheet", "what": what, **answer})

        self.tell({"k": "sheet", "what": what, "state": "working", "share": 0.0, "text": ""})
        self._job = Job(what, self.source.folder, dict(self.source.editing.texts), heard)
