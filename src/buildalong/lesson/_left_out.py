"""HTML that the article leaves out for safety: told, so that the author does not look for it in vain."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from html.parser import HTMLParser
from typing import TYPE_CHECKING

from buildalong.finding import Finding, Place, Severity

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = ["html_left_out"]


def html_left_out(
    tokens: list[Token],
    source: str,
    file: str,
    tags: Collection[str],
    attributes: Mapping[str, Collection[str]],
) -> Iterator[Finding]:
    """A warning for each kind of tag or attribute of the prose that is not among those let through."""
    lines = source.split("\n")
    told: set[str] = set()
    for token in tokens:
        inside = [token] if token.type == "html_block" else (token.children or ())
        for piece in inside:
            if piece.type not in ("html_block", "html_inline"):
                continue
            for written, what in _refused(piece.content, tags, attributes):
                if what in told:
                    continue
                told.add(what)
                first, last = token.map or (0, len(lines))
                yield Finding(
                    Severity.WARNING,
                    "html-left-out",
                    f"the article leaves {what} out",
                    "say it in Markdown; only harmless HTML is let through",
                    _place(lines, file, first, last, written),
                )


def _refused(
    text: str, tags: Collection[str], attributes: Mapping[str, Collection[str]]
) -> list[tuple[str, str]]:
    """(as it is written, in words) of what is refused in a piece of HTML."""
    out: list[tuple[str, str]] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            if tag not in tags:
                out.append((f"<{tag}", f"<{tag}>"))
                return
            legal = attributes.get(tag, ())
            out.extend((name, f"'{name}' of <{tag}>") for name, _ in attrs if name not in legal)

    Reader().feed(text)
    return out


def _place(lines: list[str], file: str, first: int, last: int, written: str) -> Place:
    for number in range(first, min(last, len(lines))):
        column = lines[number].lower().find(written)
        if column >= 0:
            return Place(file, number + 1, column + 1)
    return Place(file, first + 1, 1)
