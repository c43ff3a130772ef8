"""How fast the bench answers: a press, a key, many tabs, eight hours.

The bench runs in a process of its own on a hand-made lamp and on a copy of the runway lights, the largest
demo. A press is measured in the Debian browser: from the pointer's event to the end of the frame in which the
lamp's brightness has changed. A key is measured by a client: from sending the text to the first findings on
it, and to all of them; the page waits 40 ms more for the next key. Eight hours are run in pieces of a second,
as fast as they go.
"""

from __future__ import annotations

import asyncio
import json
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from aiohttp import ClientSession, ClientWebSocketResponse
from tests.bench._lamp import write_lamp

from benchmarks._report import Report

TITLE = "Bench: presses, keys, tabs, hours"
ROOT = Path(__file__).parents[1]
PRESSES, KEYS, TABS, HOURS = 120, 20, 20, 8
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
def served(folder: Path) -> Iterator[str]:
    """The address of a bench in a process of its own."""
    command = [sys.executable, "-m", "buildalong", "bench", str(folder), "--no-browser", "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            yield json.loads(process.stdout.readline())["address"]
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
        with served(lamp) as address:
            _presses(report, address)
            asyncio.run(_tabs(report, address))
        runway = Path(base) / "runway-lights"
        shutil.copytree(ROOT / "examples" / "runway-lights", runway)
        with served(runway) as address:
            asyncio.run(_keys(report, address))
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


async def _keys(report: Report, address: str) -> None:
    async with ClientSession() as session:
        tab = await _opened(session, address)
        texts: dict[str, tuple[str, int]] = {}
        newest = 0

        async def until(kind: str, after: int = -1, final: bool = False) -> None:
            nonlocal newest
            while True:
                told = json.loads((await tab.receive(600)).data)
                if told["k"] == "hello":
                    texts.update({t["file"]: (t["text"], t["version"]) for t in told["texts"]})
                if told["k"] == "findings":
                    newest = max(newest, told["number"])
                if told["k"] == kind and told.get("number", 0) > after and (told.get("final") or not final):
                    return

        await until("schematic")
        changes = {
            "words, lesson.md": ("lesson.md", lambda text, n: f"{text}\nMore {n}.\n"),
            "a blank, lesson.toml": ("lesson.toml", lambda text, n: f"{text}{' ' * n}\n"),
            "a key out of place, lesson.toml": ("lesson.toml", lambda text, n: f"{text}\nnonsense{n} = 1\n"),
        }  # fmt: skip
        rows, all_first = [], []
        for what, (file, change) in changes.items():
            first, whole = [], []
            for number in range(KEYS):
                text, version = texts[file]
                before, began = newest, time.perf_counter()
                new = {"do": "text", "file": file, "base": version, "text": change(text, number)}
                await tab.send_str(json.dumps(new))
                texts[file] = (text, version + 1)
                await until("findings", before)
                first.append(1000 * (time.perf_counter() - began))
                if what.startswith("a blank"):
                    await until("findings", newest - 1, final=True)
                whole.append(1000 * (time.perf_counter() - began))
            all_first += first
            rows.append((what, statistics.median(first), max(first), statistics.median(whole), max(whole)))
        report.table(
            ("key, runway lights", "first, median [ms]", "longest [ms]", "all, median [ms]", "longest [ms]"),
            rows,
        )
        slowest = max(all_first) + 40
        report.target("key to findings, with the page's 40 ms", "150 ms", f"{slowest:.0f} ms", slowest < 150)


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
