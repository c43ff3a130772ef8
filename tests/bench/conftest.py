"""A bench that runs beside the test, with a copy of a demo on it."""

from __future__ import annotations

import asyncio
import shutil
import threading
from collections.abc import Callable, Coroutine, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from buildalong.bench import Bench
from demos import EXAMPLES

from ._page import WAIT, Opened, settled

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@dataclass
class Beside:
    """A bench in a thread of its own."""

    bench: Bench
    address: str
    folder: Path
    loop: asyncio.AbstractEventLoop

    @property
    def port(self) -> int:
        return self.bench.guard.port

    @property
    def host(self) -> str:
        return self.bench.guard.host

    @property
    def token(self) -> str:
        return self.bench.guard.token

    def does(self, work: Coroutine[Any, Any, Any]) -> Any:
        """Wait for something in the bench's own loop."""
        return asyncio.run_coroutine_threadsafe(work, self.loop).result(30)


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Beside]]:
    """Start a bench on a copy of a demo; ``prepare`` may change the copy before."""
    running: list[tuple[Beside, threading.Thread]] = []

    def start(name: str = "lighthouse", prepare: Callable[[Path], None] = lambda folder: None) -> Beside:
        folder = tmp_path_factory.mktemp("bench") / name
        shutil.copytree(EXAMPLES / name, folder)
        prepare(folder)
        loop = asyncio.new_event_loop()
        thread = threading.Thread(target=loop.run_forever, daemon=True)
        thread.start()
        bench = Bench(folder)
        address = asyncio.run_coroutine_threadsafe(bench.start(), loop).result(30)
        beside = Beside(bench, address, folder, loop)
        running.append((beside, thread))
        return beside

    yield start
    for beside, thread in running:
        beside.does(beside.bench.stop())
        beside.loop.call_soon_threadsafe(beside.loop.stop)
        thread.join(10)
        beside.loop.close()


@pytest.fixture
def opened(browser: Browser, bench: Beside) -> Iterator[Opened]:
    """Open the test module's bench in a tab of its own; what the console says must be nothing."""
    from playwright.sync_api import expect

    contexts, said = [], []

    def open_page(width: int = 1440, **more: Any) -> Page:
        context = browser.new_context(viewport={"width": width, "height": 900}, **more)
        context.set_default_timeout(WAIT)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(bench.address)
        expect(page.locator("figure[data-picture=board] .over .part").first).to_be_attached()
        expect(page.locator("figure[data-picture=schematic] .over")).to_be_attached()
        settled(page)
        contexts.append(context)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert said == []
