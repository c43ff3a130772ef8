"""Who may talk to the bench: only pages that this server itself has sent, and not too much.

A request is let in when its Host names this server (a name that somebody lets point at 127.0.0.1 does not),
its Origin, if it has one, is this server, and it bears the secret that was drawn when the server started:
in the address of the first load, from then on in a cookie that other sites cannot send along.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Mapping

__all__ = ["HEADERS", "MAX_FRAME", "MAX_SOCKETS", "Bucket", "Guard", "page_policy", "sheet_policy"]

MAX_SOCKETS = 64
"""Tabs that may be open at once."""
MAX_FRAME = 1_100_000
"""Largest message of a tab [byte]: a lesson's text of a million with what goes around it."""
HEADERS: Mapping[str, str] = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
    "Cache-Control": "no-store",
}
"""Sent with every answer."""


def page_policy(host: str) -> str:
    """The content security policy of the bench's own page: nothing inline, nothing from elsewhere."""
    return (
        f"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
        f"connect-src 'self' ws://{host}; frame-src 'self'; base-uri 'none'; form-action 'none'; "
        f"frame-ancestors 'none'"
    )


def sheet_policy(scripts: bool) -> str:
    """The policy of a published page that is shown inside: an origin of its own, and no network.

    The page's own policy, which names its one script by its digest, holds beside this one.
    """
    sandbox, script = ("sandbox allow-scripts", "'unsafe-inline'") if scripts else ("sandbox", "'none'")
    return (
        f"{sandbox}; default-src 'none'; img-src data:; font-src data:; style-src 'unsafe-inline'; "
        f"script-src {script}; base-uri 'none'; form-action 'none'; "
        f"frame-ancestors 'self'"
    )


class Bucket:
    """So many things a second in the long run, and ``burst`` of them at once."""

    def __init__(self, rate: float, burst: float) -> None:
        self.rate, self.burst = rate, burst
        self.left, self.seen = burst, time.monotonic()

    def take(self) -> bool:
        """Whether one more is allowed now."""
        now = time.monotonic()
        self.left = min(self.burst, self.left + (now - self.seen) * self.rate)
        self.seen = now
        if self.left < 1.0:
            return False
        self.left -= 1.0
        return True


class Guard:
    """The secret of one server, and the answers to: may this request be served."""

    def __init__(self, token: str = "") -> None:
        self.token = token or secrets.token_urlsafe(32)
        self.port = 0
        self.requests = Bucket(200.0, 400.0)

    @property
    def host(self) -> str:
        """The one name under which this server is asked."""
        return f"127.0.0.1:{self.port}"

    @property
    def cookie(self) -> str:
        """The cookie's name: cookies know no ports, so that two benches need two names."""
        return f"bench-{self.port}"

    @property
    def address(self) -> str:
        """The address to open, with the secret."""
        return f"http://{self.host}/?key={self.token}"

    def is_secret(self, given: str) -> bool:
        """Whether this is the secret, found out in a time that tells nothing."""
        return hmac.compare_digest(given.encode(), self.token.encode())

    def refusal(self, headers: Mapping[str, str], cookie: str, key: str, *, socket: bool = False) -> str:
        """Why a request is not served; "" where it is.  ``key`` is the secret in its address."""
        if headers.get("Host", "") != self.host:
            return "this server does not go by that name"
        origin = headers.get("Origin")
        if origin != f"http://{self.host}" and (socket or origin is not None):
            return "only the bench's own page may ask"
        if headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin") and not key:
            return "only the bench's own page may ask"
        if not (self.is_secret(cookie) or (key and not socket and self.is_secret(key))):
            return "open the address that the command printed"
        return ""
