"""What the bench keeps: eight hours of a running circuit, thousands of edits, hundreds of asks.

Eight hours of the lighthouse are run in pieces of a second, as fast as they go.  The edits are made on a
hand-made lamp by a client of a bench in a process of its own: values, takings back, typed words; asks that
are stopped, and sheets that are made to the end.  The memory of the server and of its workshop (resident,
proc(5)) is read from the system when all rests.
"""

from __future__ import annotations

import asyncio
import re
import resource
import tempfile
import time
from contextlib import suppress
from pathlib import Path

from aiohttp import ClientSession
from tests.bench._lamp import write_lamp

from benchmarks._bench import Client, opened, served
from benchmarks._report import Report

TITLE = "Bench: memory over hours and edits"
ROOT = Path(__file__).parents[1]
HOURS = 8
EDITS, ASKS, SHEETS = 2000, 180, 20
"""Of the soak: edits, asks that are stopped, and sheets that are made to the end."""


def run(report: Report) -> None:
    """Measure both."""
    with tempfile.TemporaryDirectory() as base:
        lamp = Path(base) / "lamp"
        lamp.mkdir()
        write_lamp(lamp)
        with served(lamp) as (address, process):
            asyncio.run(_soak(report, address, process))
    _hours(report)


def _resident(process: int) -> float:
    """Memory of a process and of those that it started [MB]."""
    total = 0.0
    for one in (process, *_children(process)):
        with suppress(FileNotFoundError, ProcessLookupError):
            status = Path(f"/proc/{one}/status").read_text(encoding="utf-8")
            total += float(re.findall(r"VmRSS:\s+(\d+) kB", status)[0]) / 1024
    return total


def _children(process: int) -> list[int]:
    return [int(one) for one in Path(f"/proc/{process}/task/{process}/children").read_text().split()]


async def _soak(report: Report, address: str, process: int) -> None:
    """Edits, takings back, asks and sheets, in fast forward; the memory is read when all rests."""
    async with ClientSession() as session:
        client = Client(await opened(session, address))
        await client.until("schematic")
        client.newest = 1
        await client.say(do="pace", speed=10)
        rows = []
        began = time.perf_counter()
        for part in range(5):
            for number in range(EDITS // 5):
                edit = {"do": "set-value", "part": "R1", "value": f"{221 + number % 50}"}
                if number % 4 == 3:
                    await client.say(do="history", what="back")
                elif number % 4 == 2:
                    await client.write("lesson.md", f"{client.texts['lesson.md']}\nSo {number}.\n")
                else:
                    await client.say(do="edit", edit=edit)
                await client.until("history")
                if number % 10 == 0:
                    await asyncio.sleep(0.1)  # somebody types no faster; let it be compiled
            for number in range(ASKS // 5):
                await client.say(do="ask", what=("choose", "spread", "mistakes")[number % 3])
                await client.until("sheet")
                await client.say(do="stop")
            for number in range(SHEETS // 5):
                await client.say(do="preview", what=("slides", "article")[number % 2])
                while True:
                    told = await client.hear()
                    if told["k"] == "sheet" and told["state"] in ("done", "failed"):
                        break
            await asyncio.sleep(3)
            rows.append((f"{EDITS // 5 * (part + 1)} edits, {(ASKS + SHEETS) // 5 * (part + 1)} asks",
                         round(time.perf_counter() - began), _resident(process)))  # fmt: skip
        report.table(("lamp, soak", "after [s]", "server and workshop [MB]"), rows)
        growth = rows[-1][2] - rows[0][2]
        told = f"{growth:.1f} MB"
        report.target(f"growth of memory from {EDITS // 5} to {EDITS} edits", "5 MB", told, growth < 5)


def _hours(report: Report) -> None:
    from buildalong.bench import Running
    from buildalong.lesson import compile_lesson
    from buildalong.store import user_store

    compiled = compile_lesson(ROOT / "examples" / "lighthouse", want=("board",), store=user_store())
    assert compiled.layout is not None
    running = Running(compiled.circuit, compiled.layout, compiled.lesson.trials)
    supply = compiled.circuit.supply.id
    rows = []
    began = time.perf_counter()
    for hour in range(1, HOURS + 1):
        for second in range(3600):
            if second % 10 == 0:
                running.act(supply, "volts", 6.0 - 0.1 * (second % 3))
            running.advance(1.0)
        kept = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        rows.append((f"hour {hour}", round(time.perf_counter() - began, 1), kept))
    report.table(("lighthouse, fast forward", "after [s]", "most memory so far [MB]"), rows)
    growth = rows[-1][2] - rows[0][2]
    report.target("growth of memory from hour 1 to 8", "none (2 MB)", f"{growth:.1f} MB", growth < 2)
