"""Attacks on the bench, by a real client over the loopback: each is refused.

What an attack is: OWASP Cheat Sheets on cross-site request forgery, cross-site WebSocket hijacking and
path traversal; DNS rebinding as in Jackson et al., "Protecting Browsers from DNS Rebinding Attacks", 2007.
"""

from __future__ import annotations

import asyncio
import json
import socket
from collections.abc import Callable

import pytest
from aiohttp import ClientSession, WSMsgType, WSServerHandshakeError

from buildalong.bench._guard import MAX_FRAME
from buildalong.bench._serve import BURST, PATIENCE

from .conftest import Beside


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag")


def asked(
    bench: Beside, path: str = "/", *, host: str = "", origin: str = "", cookie: bool = True, more: str = ""
) -> tuple[int, str, str]:
    """Status, head and body of a plain request, byte for byte as written here."""
    lines = [f"GET {path} HTTP/1.1", f"Host: {host or bench.host}", "Connection: close"]
    if origin:
        lines.append(f"Origin: {origin}")
    if cookie:
        lines.append(f"Cookie: {bench.bench.guard.cookie}={bench.token}")
    if more:
        lines.append(more)
    return raw(bench, "\r\n".join([*lines, "", ""]).encode())


def raw(bench: Beside, request: bytes) -> tuple[int, str, str]:
    """What comes back for these bytes."""
    with socket.create_connection(("127.0.0.1", bench.port), 5) as line:
        line.sendall(request)
        got = b""
        while True:
            try:
                some = line.recv(65536)
            except ConnectionResetError:
                break
            if not some:
                break
            got += some
    head, _, body = got.decode("utf-8", "replace").partition("\r\n\r\n")
    return int(head.split()[1]) if head else 0, head, body


def test_the_page_comes_with_the_secret_only(bench: Beside) -> None:
    """Without secret 403; the printed address trades it for a cookie no script and no other site can use."""
    assert asked(bench, cookie=False)[0] == 403
    assert asked(bench, "/?key=wrong", cookie=False)[0] == 403
    assert asked(bench, "/sheet/pack.zip", cookie=False)[0] == 403
    assert asked(bench, f"/sheet/pack.zip?key={bench.token}", cookie=False)[0] == 403
    status, head, _ = asked(bench, f"/?key={bench.token}", cookie=False)
    assert status == 303
    cookie = next(line for line in head.split("\r\n") if line.startswith("Set-Cookie"))
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Location: /" in head
    status, _, body = asked(bench)
    assert status == 200
    assert bench.token not in body


def test_the_secret_is_long_and_fresh(bench: Beside) -> None:
    """256 bits, and another one each time."""
    from buildalong.bench._guard import Guard

    assert len(bench.token) >= 43
    assert Guard().token != Guard().token


def test_it_listens_on_the_loopback_alone(bench: Beside) -> None:
    """The socket is bound to 127.0.0.1: no other machine can reach it."""
    assert bench.bench._runner is not None
    assert [address[0] for address in bench.bench._runner.addresses] == ["127.0.0.1"]


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example:80", "127.0.0.1", "[::1]:80", ""])
def test_a_rebound_name_is_refused(bench: Beside, host: str) -> None:
    """DNS rebinding: the browser would send the right cookie, but the Host is not ours."""
    assert asked(bench, host=host or "evil.example:" + str(bench.port))[0] == 403


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1"])
def test_another_origin_is_refused(bench: Beside, origin: str) -> None:
    """Requests that a page of another site makes bear its Origin; so do sandboxed ones ("null")."""
    assert asked(bench, origin=origin)[0] == 403
    assert asked(bench, more="Sec-Fetch-Site: cross-site")[0] == 403


PATHS = [
    "/../lesson.toml", "/%2e%2e/%2e%2e/etc/passwd", "/..%5c..%5clesson.toml", "//etc/passwd", "/lesson.toml",
    "/page/bench.js", "/bench.js%00.html", "/sheet/../bench.js", "/bench.js?x=1",
]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
def test_no_path_reaches_the_disk(bench: Beside, path: str) -> None:
    """Traversal finds nothing: what can be had stands in a table."""
    status, _, body = asked(bench, path)
    assert status in (400, 403, 404)
    assert "root:" not in body
    assert "[parts]" not in body


def test_policies_are_strict(bench: Beside) -> None:
    """Nothing inline, nothing from elsewhere, no framing, no sniffing, nothing kept."""
    head = asked(bench)[1]
    policy = next(line for line in head.split("\r\n") if line.startswith("Content-Security-Policy"))
    for rule in ("default-src 'none'", "script-src 'self';", "style-src 'self';", "frame-ancestors 'none'",
                 "base-uri 'none'", "form-action 'none'"):  # fmt: skip
        assert rule in policy
    assert "unsafe" not in policy
    for line in (
        "X-Content-Type-Options: nosniff",
        "Referrer-Policy: no-referrer",
        "Cache-Control: no-store",
    ):
        assert line in head


def test_a_body_is_refused(bench: Beside) -> None:
    """No request has a body; a large one is not read, other verbs are not served."""
    head = f"Host: {bench.host}\r\nCookie: {bench.bench.guard.cookie}={bench.token}\r\n"
    large = f"GET / HTTP/1.1\r\n{head}Content-Length: 999999999\r\n\r\nxxxx"
    assert raw(bench, large.encode())[0] == 413
    assert raw(bench, f"POST / HTTP/1.1\r\n{head}Content-Length: 2\r\n\r\nhi".encode())[0] in (405, 413)
    assert raw(bench, f"GET / HTTP/1.1\r\n{head}X: {'y' * 9000}\r\n\r\n".encode())[0] == 400
    assert raw(bench, b"\x16\x03\x01\x02\x00nonsense\r\n\r\n")[0] == 400


def talk(
    bench: Beside, *frames: str | bytes, origin: str = "", cookie: bool = True
) -> list[dict[str, object]]:
    """What a tab hears until it is silent for a while; the close code comes last."""

    async def talked() -> list[dict[str, object]]:
        headers = {"Origin": origin or f"http://{bench.host}"}
        if cookie:
            headers["Cookie"] = f"{bench.bench.guard.cookie}={bench.token}"
        heard: list[dict[str, object]] = []
        async with ClientSession() as session:
            try:
                line = await session.ws_connect(f"http://{bench.host}/socket", headers=headers)
            except WSServerHandshakeError as error:
                return [{"status": error.status}]
            for frame in frames:
                try:
                    await (line.send_str(frame) if isinstance(frame, str) else line.send_bytes(frame))
                except ConnectionError:
                    break
            try:
                async with asyncio.timeout(1.5):
                    async for message in line:
                        if message.type is WSMsgType.TEXT:
                            told = json.loads(message.data)
                            if told["k"] in ("refused", "pong", "hello"):
                                heard.append(told)
            except TimeoutError:
                pass
            heard.append({"code": line.close_code})
            await line.close()
        return heard

    return asyncio.run(talked())


def test_a_socket_of_another_origin_is_refused(bench: Beside) -> None:
    """Cross-site WebSocket hijacking: right cookie, wrong or no Origin; and no cookie at all."""
    assert talk(bench, origin="http://evil.example") == [{"status": 403}]
    assert talk(bench, origin="null") == [{"status": 403}]
    assert talk(bench, cookie=False) == [{"status": 403}]


MALFORMED = [
    "", "{", "[]", "null", '{"do":"nonsense"}', '{"do":"set","part":"BT1"}', "[" * 20_000,
    '{"do":"set","part":"BT1","setting":"volts","value":1e999}',
    '{"do":"text","file":"../x","base":1,"text":""}',
    '{"do":"lead","owner":"wire 999","leg":0,"hole":"a1"}', '{"do":"lead","owner":"wire x","leg":0}',
    '{"do":"meter","red":"zz99"}', '{"do":"pace","speed":-1}', '{"do":"pace","speed":NaN}',
]  # fmt: skip


def test_what_is_not_understood_is_refused(bench: Beside) -> None:
    """Malformed messages each get a reason; the connection lives on and answers."""
    heard = talk(bench, *MALFORMED, '{"do":"ping","mark":7}')
    assert [told["k"] for told in heard[:-1]].count("refused") == len(MALFORMED)
    assert {"k": "pong", "mark": 7} in heard


def test_too_much_ends_the_conversation(bench: Beside) -> None:
    """Binary, oversized, too many and too often not understood: closed, each with its own code (RFC 6455)."""
    assert talk(bench, b"\x00\x01")[-1] == {"code": 1003}
    assert talk(bench, "x" * (MAX_FRAME + 10))[-1] == {"code": 1009}
    assert talk(bench, *["nonsense"] * (PATIENCE + 2))[-1] == {"code": 1008}
    assert talk(bench, *['{"do":"ping"}'] * int(BURST * 3))[-1] == {"code": 1008}
    assert talk(bench, '{"do":"ping","mark":1}')[-2] == {"k": "pong", "mark": 1}
