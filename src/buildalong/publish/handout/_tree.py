"""Markup as a tree of plain values, which a template sets piece by piece, so that none of it can run.

What comes in is the author's sanitised HTML or our own MathML.
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Callable
from html.parser import HTMLParser
from typing import Any

__all__ = ["Node", "tree_of"]

Node = str | dict[str, Any]
"""A text, or an element: ``tag``, ``body`` (nodes), and of its attributes those that matter in print."""

DEEPEST = 12
"""What is nested more deeply is set as if it stood at this depth."""
VOID = ("br", "hr", "img")
MATTER = ("href", "start", "mathvariant")
BLOCKS = (
    "p", "hr", "pre", "ul", "ol", "li", "dl", "dt", "dd", "blockquote", "h3", "h4", "h5", "h6", "div",
    "table", "thead", "tbody", "tr", "th", "td", "caption", "figure", "figcaption", "details", "summary",
)  # fmt: skip
"""After one of these, and where nothing stands before, white space means nothing."""


def tree_of(markup: str, picture: Callable[[bytes], str] = lambda data: "") -> list[Node]:
    """Read markup; ``picture`` takes the bytes of a picture and gives the name to show it by, or ""."""
    reader = _Reader(picture)
    reader.feed(markup)
    reader.close()
    return reader.top


class _Reader(HTMLParser):
    def __init__(self, picture: Callable[[bytes], str]) -> None:
        super().__init__(convert_charrefs=True)
        self.top: list[Node] = []
        self.picture = picture
        self.open: list[tuple[str, list[Node]]] = []

    @property
    def _body(self) -> list[Node]:
        return self.open[-1][1] if self.open else self.top

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "img":
            self._show(dict(attrs))
            return
        body: list[Node] = []
        node: dict[str, Any] = {"tag": tag, "body": body}
        node |= {name: value or "" for name, value in attrs if name in MATTER}
        if tag in VOID:
            self._body.append(node)
            return
        if len(self.open) < DEEPEST:
            self._body.append(node)
        else:
            body = self._body
        self.open.append((tag, body))

    def handle_endtag(self, tag: str) -> None:
        names = [name for name, _ in self.open]
        if tag in names:
            del self.open[len(names) - 1 - names[::-1].index(tag) :]

    def handle_data(self, data: str) -> None:
        before = self._body[-1] if self._body else None
        if not data.isspace() or isinstance(before, str) or (before and before["tag"] not in BLOCKS):
            self._body.append(data)

    def _show(self, attrs: dict[str, str | None]) -> None:
        """A picture that can be shown, else its words."""
        words = (attrs.get("alt") or "").strip()
        _, _, data = (attrs.get("src") or "").partition(";base64,")
        try:
            name = self.picture(base64.b64decode(data, validate=True)) if data else ""
        except binascii.Error:
            name = ""
        if name:
            self._body.append({"tag": "img", "body": [], "picture": name, "alt": words})
        elif words:
            self._body.append(words)
