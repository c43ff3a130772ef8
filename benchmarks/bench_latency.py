"""How fast the bench answers: a press, a key, many tabs.

The bench runs in a process of its own on a hand-made lamp and on a copy of the runway lights, the largest
demo, whose board is written into its text so that no key waits for the placer. A press is measured in the
Debian browser: from the pointer's event to the end of the frame in which the lamp's brightness has changed. A
key is measured by a client: from sending the text to the first findings on it, to the first ones after all
trials were run, and to all of them; the page itself waits some milliseconds for the next key.
"""

from __future__ import annotations

import asyncio
import re
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from aiohttp import ClientSession
from tests.bench._lamp import write_lamp

from benchmarks._bench import Client, opened, served
from benchmarks._report import Report

TITLE = "Bench: presses, keys, tabs"
ROOT = Path(__file__).parents[1]
PRESSES, KEYS, TABS = 120, 20, 20
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
        _laid_out(runway)
        with served(runway) as (address, _):
            asyncio.run(_keys(report, address))


def _laid_out(folder: Path) -> None:
    """Write a board into a lesson."""
    from buildalong.edit import KeepThese, edit, open_lesson, save
    from buildalong.lesson import compile_lesson

    layout = compile_lesson(folder, want=("board",), seconds=0.2).layout
    assert layout is not None
    names = (*layout.holes, *(f"wire {number + 1}" for number in range(len(layout.wires))))
    assert save(edit(open_lesson(folder), KeepThese(names), layout).editing).written


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


async def _tabs(report: Report, address: str) -> None:
    async with ClientSession() as session:
        tabs = [await opened(session, address) for _ in range(TABS)]
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
        client = Client(await opened(session, address))
        await client.until("schematic")
        client.newest = 1
        rows, slowest = [], 0.0
        for what, (file, change) in changes.items():
            took = []
            for number in range(1, KEYS + 1):
                await client.write(file, change(client.texts[file], number))
                took.append(await client.findings())
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
        after = max(row[5] for row in rows) + settle
        report.target("the same, after the trials", "150 ms", f"{after:.0f} ms", after < 150)
