"""A bench in a process of its own, and a tab that talks to it."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, ClientWebSocketResponse

__all__ = ["Client", "opened", "served"]


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


async def opened(session: ClientSession, address: str) -> ClientWebSocketResponse:
    """A socket to the bench, as the page has it."""
    host = address.split("/")[2]
    port, key = host.split(":")[1], address.partition("?key=")[2]
    headers = {"Origin": f"http://{host}", "Cookie": f"bench-{port}={key}"}
    return await session.ws_connect(f"http://{host}/socket", headers=headers, max_msg_size=0)


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
