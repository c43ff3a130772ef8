"""The workshop: a process of its own that reads and compiles the lesson as it stands on the page.

It hears (number, texts) and answers in stages: "read" within milliseconds, "simulated" when every trial
was run, "words" when every claim was compared, "board" when there is a board.  Each has all findings known
by then and, in words, what is ``left`` to be checked.  What is asked anew while it works ends the work on
what was asked before.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from multiprocessing.connection import Connection
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Thread
from typing import TYPE_CHECKING, Any

from buildalong.finding import Finding, Unreadable

if TYPE_CHECKING:
    from buildalong.board import Layout
    from buildalong.circuit import Circuit
    from buildalong.drawing import Picture
    from buildalong.lesson import Compiled, Lesson, Positions

__all__ = ["UNREAD", "board_shown", "finding_shown", "rows_shown", "work"]

UNREAD = "the circuit, the trials, what is promised, the words, the board"
"""What is left to be checked when the text was read."""
SPARE = 4
"""Rows that are shown beyond those in use, for leads that are put elsewhere."""
PLACING = 2.0
"""Work for a board that is not known yet while somebody types, as in compile_lesson."""

BY_HAND = 0.2
"""The same where the author has placed every part: it is only compared with the placer's own."""


BOARDS = 12
"""Boards that are remembered."""


class _Outdated(BaseException):
    """Something newer was asked for."""


Texts = Mapping[str, str]


def work(pipe: Connection, folder: str) -> None:
    """Answer what comes through the pipe until it is closed."""
    asked: SimpleQueue[tuple[int, Texts] | None] = SimpleQueue()

    def hear() -> None:
        """Take everything at once: who asks must never wait."""
        try:
            while True:
                asked.put(pipe.recv())
        except (EOFError, OSError):
            asked.put(None)

    Thread(target=hear, daemon=True).start()
    shop = _Workshop(pipe, Path(folder), asked)
    try:
        while (newest := asked.get()) is not None:
            try:
                while (newer := asked.get_nowait()) is not None:
                    newest = newer
                return
            except Empty:
                pass
            try:
                shop.compile(*newest)
            except _Outdated:
                continue
            except Exception as error:  # what breaks here must not end the bench
                shop.tell("failed", why=f"{type(error).__name__}: {error}"[:300])
    except (KeyboardInterrupt, BrokenPipeError):
        return


class _Workshop:
    def __init__(self, pipe: Connection, folder: Path, asked: SimpleQueue[tuple[int, Texts] | None]) -> None:
        from buildalong.store import user_store

        self.pipe, self.folder, self.asked, self.store = pipe, folder, asked, user_store()
        self.number = 0
        self.began = 0.0
        self.words: Compiled | None = None
        self.board: Compiled | None = None
        self.whole = False
        """Whether words and board are those of the same text."""
        self.boards: list[Compiled] = []
        """The newest boards, last first: what is taken back must look as it did."""

    def tell(self, stage: str, **more: Any) -> None:
        """Send an answer."""
        took = round(time.perf_counter() - self.began, 4)
        self.pipe.send({"stage": stage, "number": self.number, "took": took, **more})

    def progress(self, share: float, text: str) -> None:
        """Hear how far the compiler is, and stop it where something newer was asked for."""
        self.going_on()
        self.tell("progress", share=share, text=text)

    def going_on(self) -> None:
        """Stop where something newer was asked for."""
        if not self.asked.empty():
            raise _Outdated

    def findings(self, *some: Sequence[Finding]) -> list[dict[str, Any]]:
        """Findings as they are sent, each once, worst first, with files named within the lesson."""
        once = {(f.code, f.message, str(f.place)): f for found in some for f in found}
        ordered = sorted(once.values(), key=lambda f: -f.severity)
        return [finding_shown(f, self.folder) for f in ordered]

    def compile(self, number: int, texts: Texts) -> None:
        """Tell everything about the lesson with these texts, stage by stage."""
        from buildalong.lesson import Folder, compile_lesson, load, weave_again

        self.number, self.began = number, time.perf_counter()
        try:
            basis = self.words.basis if self.words is not None and self.whole else None
            again = weave_again(Folder(self.folder, texts=texts), basis) if basis is not None else None
            if again is not None and self.words is not None:
                board = self.board.findings if self.board is not None else ()
                self.words = replace(self.words, prose=again[0], findings=again[1])
                found = self.findings(again[1], board)
                self.tell("words", findings=found, left="", **_behaviour(self.words))
                self.tell("checked")
                return
            lesson = load(self.folder, texts=texts)
        except Unreadable as error:
            self.tell("read", findings=self.findings(error.findings), left="")
            self.tell("checked")
            return
        self.whole = False
        self.tell("read", findings=self.findings(lesson.findings), left=UNREAD)
        self.words = compile_lesson(
            lesson, want=("runs", "words"), progress=self.progress, before=self.words, so_far=self.simulated
        )
        found = self.findings(self.words.findings)
        self.tell("words", findings=found, left="the board", **_behaviour(self.words))
        self.lay_out(lesson)
        self.whole = True
        self.tell("checked")

    def simulated(self, found: Sequence[Finding], left: str) -> None:
        """Tell what is known before the trials are run from the other states in which a chip may wake."""
        self.tell("simulated", findings=self.findings(found), left=f"{left}, the board")

    def lay_out(self, lesson: Lesson) -> None:
        """The board: the one that is known, where only values have changed; else it is placed."""
        from buildalong.lesson import compile_lesson

        assert self.words is not None
        known = next((board for board in self.boards if _alike(board.lesson, lesson)), None)
        if known is not None:
            found = tuple(_moved(known.findings, known.lesson.places, lesson.places))
            self.board = replace(known, lesson=lesson, circuit=lesson.circuit, findings=found)
        else:
            by_hand = set(lesson.layout.holes) >= set(lesson.circuit.by_id)
            seconds = BY_HAND if by_hand else PLACING if self.boards else 10.0
            self.board = compile_lesson(
                lesson, want=("board",), progress=self.progress, store=self.store, seconds=seconds
            )
        if self.board.placement is not None:
            others = [board for board in self.boards if not _alike(board.lesson, lesson)]
            self.boards = [self.board, *others][:BOARDS]
        findings = self.findings(self.words.findings, self.board.findings)
        layout = self.board.layout
        if layout is None:
            self.tell("board", findings=findings, left="", circuit=None)
            return
        self.tell(
            "board", findings=findings, left="", circuit=self.board.circuit, layout=layout,
            trials=lesson.trials,
        )  # fmt: skip
        self.progress(0.95, "drawing the circuit")
        self.tell("schematic", **_schematic(lesson, self.store, self.going_on))


def _moved(findings: Iterable[Finding], old: Positions, new: Positions) -> Iterator[Finding]:
    """Findings of a text at the places of another one in which the same things stand."""
    values, keys = ({place: path for path, place in some.items()} for some in (old.values, old.keys))
    for finding in findings:
        place = finding.place
        if place in values:
            place = new.value(values[place])
        elif place in keys:
            place = new.key(keys[place])
        yield replace(finding, place=place)


def _alike(one: Lesson, other: Lesson) -> bool:
    """Whether two lessons can stand on one board: they differ in values and words alone."""

    def form(lesson: Lesson) -> object:
        parts = tuple((p.id, p.type.id, p.nets) for p in lesson.circuit.parts)
        return parts, lesson.layout, lesson.board

    return one.sound and other.sound and form(one) == form(other)


def _behaviour(compiled: Compiled) -> dict[str, Any]:
    """What the circuit does, as the page shows it: promises, stories, words."""
    from buildalong.quantity import format_quantity

    promises = [
        {
            "that": str(result.promise.that),
            "says": result.promise.says,
            "expected": format_quantity(result.promise.expected.value, result.promise.expected.unit or "%"),
            "measured": ""
            if result.measured is None
            else format_quantity(result.measured.value, result.measured.unit or "%"),
            "ok": result.ok,
            "why": result.why,
        }
        for result in compiled.promises
    ]
    stories = [
        {"trial": name, "told": [{"time": s.time, "text": s.text} for s in story[:60]]}
        for name, story in compiled.stories.items()
    ]
    prose = [{"title": section.title, "html": section.html} for section in compiled.prose]
    return {"promises": promises, "stories": stories, "prose": prose, "title": compiled.lesson.title}


def _schematic(lesson: Lesson, store: Any, going_on: Callable[[], None]) -> dict[str, Any]:
    from buildalong.drawing.schematic import STANDARDS, picture
    from buildalong.drawing.screen import schematic_handles
    from buildalong.publish import schematic_layout

    layout = schematic_layout(lesson, store, going_on)
    shown = picture(lesson.circuit, layout, STANDARDS[lesson.symbols])
    handles = schematic_handles(lesson.circuit, layout, shown)
    return {"svg": shown.svg, "alt": shown.alt, "handles": asdict(handles)}


def rows_shown(layout: Layout) -> tuple[int, int]:
    """The rows of a board that are shown."""
    from buildalong.drawing import rows_in_use

    return rows_in_use(layout, SPARE)


def board_shown(circuit: Circuit, layout: Layout, rows: tuple[int, int]) -> dict[str, Any]:
    """The picture of a board with its handles."""
    from buildalong.drawing import board_picture
    from buildalong.drawing.screen import board_handles

    shown: Picture = board_picture(
        circuit, layout, muted=False, highlight_holes=False, crop=rows, values=True
    )
    return {
        "svg": shown.svg,
        "alt": shown.alt,
        "handles": asdict(board_handles(circuit, layout, shown, rows)),
    }


def finding_shown(finding: Finding, folder: Path) -> dict[str, Any]:
    """A finding as the page shows it."""
    place = finding.place
    file = place.file if place else ""
    if Path(file).is_relative_to(folder):
        file = Path(file).relative_to(folder).as_posix()
    return {
        "severity": finding.severity.name.lower(),
        "code": finding.code,
        "message": finding.message.replace(str(folder), folder.name),
        "hint": finding.hint,
        "file": file,
        "line": place.line if place else 0,
        "column": place.column if place else 0,
        "about": list(finding.about),
    }
