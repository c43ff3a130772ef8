"""How fast the bench answers, and what it keeps: a press, a key, many tabs, eight hours, thousands of edits.

The bench runs in a process of its own on a hand-made lamp and on a copy of the runway lights, the largest
demo. A press is measured in the Debian browser: from the pointer's event to the end of the frame in which the
lamp's brightness has changed. A key is measured by a client: from sending the text to the first findings on
it, to the first ones after all trials were run, and to all of them; the page itself waits some milliseconds
for the next key. Eight hours are run in pieces of a second, as fast as they go. For thousands of edits and
hundreds of asks the memory of the server and of its workshop (resident, proc(5)) is read from the system.
"""

from __future__ import annotations

import asyncio
import json
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, ClientWebSocketResponse
from tests.bench._lamp import write_lamp

from benchmarks._report import Report

TITLE = "Bench: presses, keys, tabs, hours"
ROOT = Path(__file__).parents[1]
PRESSES, KEYS, TABS, HOURS = 120, 20, 20, 8
EDITS, ASKS, SHEETS = 2000, 180, 20
"""Of the soak: edits, asks that are stopped, and sheets that are made to the end."""
SETTLE = re.compile(r"SETTLE = (\d+)")
"""What the page waits after a key [ms]."""
WATCH = """() => {
  window.took = [];
  const lamp = document.querySelector("[data-lamp=DS1]");
  let from = 0;
  addEventListener("pointerdown", () => { from = performance.now(); }, true);
  new MutationObserver(() => {
    if (!from || Number(lamp.getAttribute("opacity")) < .2) return;
    const began = from; from = 0;
    requestAnimationFrame(() => requestAnimationFrame(() => window.took.push(performance.now() - began)));
  }).observe(lamp, { attributes: true });
  window.frames_ = 0;
  let last = "";
  const clock = document.querySelector("#clock");
  const tick = () => { window.frames_ += 1; requestAnimationFrame(tick); };
  requestAnimationFrame(tick);
  window.looks = 0;
  const seen = new MutationObserver(() => { window.looks += 1; });
  seen.observe(clock, { childList: true, characterData: true, subtree: true });
}"""


@contextmanager
def served(folder: Path) -> Iterator[tuple[str, int]]:
    """The address of a bench in a process of its own, and the number of that process."""
    command = [sys.executable, "-m", "buildalong", "bench", str(folder), "--no-browser", "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            yield json.loads(process.stdout.readline())["address"], process.pid
        finally:
            process.terminate()


def quantile(values: list[float], share: float) -> float:
    """The value below which this share lies."""
    return sorted(values)[min(int(share * len(values)), len(values) - 1)]


def run(report: Report) -> None:
    """Measure all of it."""
    with tempfile.TemporaryDirectory() as base:
        lamp = Path(base) / "lamp"
        lamp.mkdir()
        write_lamp(lamp)
        with served(lamp) as (address, _):
            _presses(report, address)
            asyncio.run(_tabs(report, address))
        runway = Path(base) / "runway-lights"
        shutil.copytree(ROOT / "examples" / "runway-lights", runway)
        with served(runway) as (address, _):
            asyncio.run(_keys(report, address))
        with served(lamp) as (address, process):
            asyncio.run(_soak(report, address, process))
    _hours(report)


def _presses(report: Report, address: str) -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = shutil.which("chromium")
        browser = play.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1440, "height": 1000})
        page.goto(address)
        page.wait_for_selector("figure[data-picture=board] .press", state="attached", timeout=60_000)
        page.wait_for_selector("figure[data-picture=schematic] .over", state="attached", timeout=60_000)
        page.wait_for_timeout(1000)
        page.evaluate(WATCH)
        page.locator(".press[data-part=S1]").hover()
        for number in range(PRESSES):
            page.mouse.down()
            page.wait_for_timeout(90 + number % 17)
            page.mouse.up()
            page.wait_for_timeout(90 + number % 13)
        took = page.evaluate("window.took")
        before, looks = page.evaluate("[window.frames_, window.looks]")
        began = time.perf_counter()
        page.wait_for_timeout(5000)
        after, later = page.evaluate("[window.frames_, window.looks]")
        passed = time.perf_counter() - began
        browser.close()
    median, most = statistics.median(took), quantile(took, 0.99)
    rate, shown = (after - before) / passed, (later - looks) / passed
    report.table(
        ("press to changed picture", "presses", "median [ms]", "99 % under [ms]", "longest [ms]"),
        [("lamp, one tab", len(took), median, most, max(took))],
    )
    report.say(f"The browser drew {rate:.1f} frames a second, with {shown:.1f} looks at the circuit in them.")
    report.target("press to picture, median", "50 ms", f"{median:.1f} ms", median < 50)
    report.target("press to picture, 99 %", "100 ms", f"{most:.1f} ms", most < 100)
    report.target("looks a second in one tab", "60", f"{shown:.1f}", shown > 57)


async def _opened(session: ClientSession, address: str) -> ClientWebSocketResponse:
    host = address.split("/")[2]
    port, key = host.split(":")[1], address.partition("?key=")[2]
    headers = {"Origin": f"http://{host}", "Cookie": f"bench-{port}={key}"}
    return await session.ws_connect(f"http://{host}/socket", headers=headers, max_msg_size=0)


async def _tabs(report: Report, address: str) -> None:
    async with ClientSession() as session:
        tabs = [await _opened(session, address) for _ in range(TABS)]
        looks, ends = [0] * TABS, []

        async def listen(number: int) -> None:
            async for message in tabs[number]:
                looks[number] += '"k":"look"' in message.data[:12]
            ends.append(number)

        heard = [asyncio.create_task(listen(number)) for number in range(TABS)]
        await asyncio.sleep(2)
        looks[:] = [0] * TABS
        await asyncio.sleep(10)
        rates = [count / 10 for count in looks]
        for task in heard:
            task.cancel()
        report.table(
            ("tabs", "looks a second, slowest", "fastest", "fell out"),
            [(TABS, min(rates), max(rates), len(ends))],
        )
        report.target("tabs without failure", str(TABS), str(TABS - len(ends)), not ends and min(rates) > 20)


class Client:
    """A tab that types."""

    def __init__(self, tab: ClientWebSocketResponse) -> None:
        self.tab = tab
        self.texts: dict[str, str] = {}
        self.versions: dict[str, int] = {}
        self.newest = 0

    async def hear(self) -> Any:
        """The next message."""
        told = json.loads((await self.tab.receive(600)).data)
        if told["k"] == "hello":
            self.texts = {t["file"]: t["text"] for t in told["texts"]}
        for text in (
            told["texts"] if told["k"] == "hello" else [told] if told["k"] in ("text", "taken") else []
        ):
            self.versions[text["file"]] = text["version"]
        return told

    async def until(self, kind: str) -> None:
        """Wait for a message of a kind."""
        while (await self.hear())["k"] != kind:
            pass

    async def say(self, **message: object) -> None:
        """Send a message."""
        await self.tab.send_str(json.dumps(message))

    async def write(self, file: str, text: str) -> None:
        """Send a text, as typed over that of the newest version."""
        await self.say(do="text", file=file, base=self.versions[file], text=text)

    async def findings(self) -> tuple[float, float, float]:
        """Until the findings on what was sent are told: the first, those after the trials, all [ms]."""
        began, took = time.perf_counter(), []
        while True:
            told = await self.hear()
            if told["k"] != "findings" or told["number"] <= self.newest:
                continue
            took.append((1000 * (time.perf_counter() - began), "trials" in told["left"]))
            if told["final"]:
                self.newest = told["number"]
                return took[0][0], next(t for t, reading in took if not reading), took[-1][0]


async def _keys(report: Report, address: str) -> None:
    page = (ROOT / "src/buildalong/bench/page/source.js").read_text(encoding="utf-8")
    found = SETTLE.search(page)
    assert found is not None
    settle = float(found[1])
    changes: dict[str, tuple[str, Callable[[str, int], str]]] = {
        "words, lesson.md": ("lesson.md", lambda text, n: f"{text}\nMore {n}.\n"),
        "a blank, lesson.toml": ("lesson.toml", lambda text, n: f"{text}{' ' * n}\n"),
        "a promise, lesson.toml": ("lesson.toml", lambda text, n: text.replace('10 Hz"', f'{10 + n} Hz"')),
        "a value, lesson.toml": ("lesson.toml", lambda text, n: text.replace('"68k"', f'"{60 + n}k"')),
        "a net, lesson.toml": (
            "lesson.toml",
            lambda text, n: text.replace('N9", "CATH"', f'N{n}", "CATH"'),
        ),
        "a key out of place, lesson.toml": ("lesson.toml", lambda text, n: f"{text}\nnonsense{n} = 1\n"),
        "half a line, lesson.toml": ("lesson.toml", lambda text, n: f"{text}\n[nonsense{n}\n"),
    }
    async with ClientSession() as session:
        client = Client(await _opened(session, address))
        await client.until("schematic")
        client.newest = 1
        rows, slowest = [], 0.0
        for what, (file, change) in changes.items():
            took = []
            for number in range(1, KEYS + 1):
                await client.write(file, change(client.texts[file], number))
                took.append(await client.findings())
                if what.startswith("a net"):
                    break  # a board is searched for: the next key does not wait for it
            first, trials, whole = ([each[stage] for each in took] for stage in range(3))
            slowest = max(slowest, *first)
            row = (statistics.median(first), max(first), statistics.median(trials), max(trials))
            rows.append((what, len(took), *row, statistics.median(whole), max(whole)))
            await client.write(file, client.texts[file])
            await client.findings()
        head = ("first, median [ms]", "longest", "after the trials", "longest", "all", "longest")
        report.table(("key, runway lights", "keys", *head), rows)
        report.say(f"The page waits {settle:g} ms for the next key before a text goes out.")
        told = f"{slowest + settle:.0f} ms"
        report.target(
            "key to findings, the page's wait in it, longest", "150 ms", told, slowest + settle < 150
        )
        after = max(row[5] for row in rows if not row[0].startswith("a net")) + settle
        report.target("the same, after the trials", "150 ms", f"{after:.0f} ms", after < 150)


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
        client = Client(await _opened(session, address))
        await client.until("schematic")
        client.newest = 1
        await client.say(do="pace", speed=10)
        rows = []
        began = time.perf_counter()
        for part in range(5):
            for number in range(EDITS // 5):
                edit = {"do": "set-value", "part": "R1", "value": f"{220 + number % 50}"}
                if number % 4 == 3:
                    await client.say(do="history", what="back")
                elif number % 4 == 2:
                    await client.write("lesson.md", f"{client.texts['lesson.md']}{'So. ' * (number % 40)}")
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
