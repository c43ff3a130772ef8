"""The server: one page, one socket, this machine only."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from pathlib import Path
from typing import Any

from aiohttp import WSCloseCode, WSMsgType, web

from buildalong.bench._desk import Desk
from buildalong.bench._following import following
from buildalong.bench._guard import HEADERS, MAX_FRAME, MAX_SOCKETS, Bucket, Guard, page_policy, sheet_policy
from buildalong.bench._messages import Refused, read_message
from buildalong.bench._pages import files
from buildalong.bench._tab import Tab

__all__ = ["Bench", "serve"]

MAX_BODY = 4096
"""Largest body of a request [byte]: none is ever needed."""
RATE, BURST = 250.0, 500.0
"""Messages of one tab in a second, in the long run and at once."""
PATIENCE = 20
"""Messages of one tab that are not understood before it is shut out."""
Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class Bench:
    """A lesson's desk and the server in front of it."""

    def __init__(self, folder: str | Path, *, token: str = "") -> None:
        self.guard = Guard(token)
        self.desk = Desk(Path(folder))
        self._runner: web.AppRunner | None = None
        self._sockets = 0

    async def start(self, port: int = 0) -> str:
        """Read the lesson, listen on 127.0.0.1, and give the address; raises Unreadable or OSError."""
        await self.desk.start()
        app = web.Application(client_max_size=MAX_BODY, middlewares=[self._guarded])
        app.router.add_get("/socket", self._socket)
        app.router.add_get("/sheet/{name}", self._sheet)
        app.router.add_get("/{path:.*}", self._file)
        self._runner = web.AppRunner(
            app, access_log=None, keepalive_timeout=30.0, max_line_size=4096, max_field_size=4096,
            handle_signals=False, shutdown_timeout=2.0, lingering_time=0.2,
        )  # fmt: skip
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", port, backlog=MAX_SOCKETS)
        await site.start()
        self.guard.port = self._runner.addresses[0][1]
        return self.guard.address

    async def stop(self) -> None:
        """Shut every tab out and keep what is unsaved."""
        await self.desk.stop()
        if self._runner is not None:
            await self._runner.cleanup()

    # -- answers ----------------------------------------------------------------------------------

    @web.middleware
    async def _guarded(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        guard = self.guard
        if not guard.requests.take():
            return self._refusal(429, "too many requests")
        key = request.query.get("key", "") if request.path == "/" else ""
        cookie = request.cookies.get(guard.cookie, "")
        why = guard.refusal(request.headers, cookie, key, socket=request.path == "/socket")
        if why:
            return self._refusal(403, why)
        if request.can_read_body:
            return self._refusal(413, "no request has a body here")
        try:
            answer = await handler(request)
        except web.HTTPException as error:
            return self._refusal(error.status, error.reason or "")
        return answer

    def _refusal(self, status: int, why: str) -> web.Response:
        answer = self._answer(why.encode(), "text/plain", status)
        answer.force_close()
        return answer

    def _answer(
        self, body: bytes, kind: str, status: int = 200, more: Mapping[str, str] | None = None
    ) -> web.Response:
        policy = {"Content-Security-Policy": page_policy(self.guard.host)}
        kind = f"{kind}; charset=utf-8" if kind.startswith("text/") else kind
        headers = {**HEADERS, **policy, "Content-Type": kind, **(more or {})}
        return web.Response(body=body, status=status, headers=headers)

    async def _file(self, request: web.Request) -> web.StreamResponse:
        """A file of the page, by the fixed table; the first load trades the secret for a cookie."""
        if request.path == "/" and request.query.get("key"):
            answer = self._answer(b"", "text/plain", 303, {"Location": "/"})
            answer.set_cookie(self.guard.cookie, self.guard.token, httponly=True, samesite="Strict", path="/")
            return answer
        found = files().get(request.path)
        if found is None or request.query_string:
            return self._refusal(404, "there is no such page")
        return self._answer(found.body, found.kind)

    async def _sheet(self, request: web.Request) -> web.StreamResponse:
        """A published page, in an origin of its own; what is no page to look at is downloaded.

        Where the address has a number, the page is shown in the side sheet and keeps its reader's place.
        """
        found = self.desk.sheets.files.get(request.match_info["name"])
        if found is None:
            return self._refusal(404, "there is no such page")
        policy = {"Content-Security-Policy": sheet_policy(found.kind == "text/html")}
        if found.kind == "application/zip":
            policy["Content-Disposition"] = 'attachment; filename="pack.zip"'
        body = following(found.body) if request.query_string and found.kind == "text/html" else found.body
        return self._answer(body, found.kind, 200, policy)

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        if self._sockets >= MAX_SOCKETS:
            return self._refusal(503, "too many tabs are open")
        socket = web.WebSocketResponse(max_msg_size=MAX_FRAME, heartbeat=30.0, compress=False)
        self._sockets += 1
        try:
            await socket.prepare(request)
            await self._converse(socket)
        finally:
            self._sockets -= 1
        return socket

    async def _converse(self, socket: web.WebSocketResponse) -> None:
        """Hear one tab until it goes, or until it says too much or nothing that is understood."""
        tab = Tab(socket.send_str)
        bucket, bad = Bucket(RATE, BURST), 0
        sending = asyncio.create_task(tab.send_all())
        self.desk.welcome(tab)
        try:
            async for frame in socket:
                if frame.type is not WSMsgType.TEXT:
                    await socket.close(code=WSCloseCode.UNSUPPORTED_DATA, message=b"text only")
                    break
                if not bucket.take():
                    await socket.close(code=WSCloseCode.POLICY_VIOLATION, message=b"too many messages")
                    break
                try:
                    await self.desk.hear(tab, read_message(frame.data))
                except Refused as error:
                    bad += 1
                    tab.say({"k": "refused", "why": str(error)})
                if bad > PATIENCE:
                    await socket.close(code=WSCloseCode.POLICY_VIOLATION, message=b"not understood")
                    break
        finally:
            self.desk.farewell(tab)
            sending.cancel()


async def _for_ever() -> None:
    await asyncio.Event().wait()


def serve(
    folder: str | Path, *, port: int = 0, ready: Callable[[str], Any] = print,
    until: Callable[[], Awaitable[None]] = _for_ever,
) -> None:  # fmt: skip
    """Serve until Ctrl-C, or until ``until`` is over; ``ready`` is called with the address to open.

    Raises Unreadable where the lesson cannot be read, OSError where the port cannot be listened on.
    """

    async def run() -> None:
        bench = Bench(folder)
        try:
            ready(await bench.start(port))
            await until()
        finally:
            await bench.stop()

    asyncio.run(run())
