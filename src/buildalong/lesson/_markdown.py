"""The Markdown that lessons are written in: CommonMark with tables, read by markdown-it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

__all__ = ["image_names", "markdown", "parse_markdown"]


@cache
def markdown() -> MarkdownIt:
    """The reader and writer of prose; HTML of the author is let through and sanitised later."""
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark", {"maxNesting": 20}).enable("table")


def parse_markdown(text: str) -> list[Token]:
    """Read a text into tokens."""
    return markdown().parse(text)


def image_names(text: str) -> Iterator[tuple[str, int]]:
    """Every picture named in the text, with the line it is in."""
    from urllib.parse import unquote

    for token in parse_markdown(text):
        line = token.map[0] + 1 if token.map else 1
        for child in token.children or ():
            if child.type == "image":
                yield unquote(str(child.attrs.get("src", ""))), line
