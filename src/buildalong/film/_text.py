"""Plain sentences out of the words of a lesson."""

from __future__ import annotations

import re
from html.parser import HTMLParser

__all__ = ["first_item", "one_line", "sentences"]

_SPACES = re.compile(r"[^\S\u00a0]+")
_END = re.compile(r"(?<=[.!?])[\"”’)]?\s+(?=[\"“„«¿¡(]?[A-ZÀ-ÖØ-Þ0-9])")
_ABBREVIATION = re.compile(
    r"\b(?:e\.g|i\.e|approx|no|fig|vs|cf|Dr|Mr|Mrs|Ms"
    r"|z\. ?B|d\. ?h|bzw|ca|p\. ?ej|p\. ?ex|env|máx|mín|max|min)\.$",
    re.IGNORECASE,
)


def one_line(text: str) -> str:
    """The text with plain single spaces, however it was broken; what may not be broken stays so."""
    return _SPACES.sub(" ", text).strip()


def sentences(text: str) -> tuple[str, ...]:
    """Cut a text into its sentences; white space is made plain."""
    out: list[str] = []
    at = 0
    plain = one_line(text)
    for found in _END.finditer(plain):
        if not _ABBREVIATION.search(plain[at : found.start()]):
            out.append(plain[at : found.end()].strip())
            at = found.end()
    out.append(plain[at:].strip())
    return tuple(sentence for sentence in out if sentence)


class _Items(HTMLParser):
    """Collects the text of list items and paragraphs, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.depth = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a piece at each item or paragraph."""
        if tag in ("li", "p"):
            self.found.append("")

    def handle_data(self, data: str) -> None:
        """Add text to the piece that is open."""
        if self.found:
            self.found[-1] += data


def first_item(html: str) -> str:
    """The text of the first list item or paragraph of a section; "" where there is none."""
    reader = _Items()
    reader.feed(html)
    reader.close()
    return next((text for piece in reader.found if (text := one_line(piece))), "")
