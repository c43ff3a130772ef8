"""Sheets for a folded booklet: two pages of A5 on each side of A4, in the order in which they are bound."""

from __future__ import annotations

from buildalong.publish._typeset import page_count, typeset
from buildalong.publish.handout import _words as words
from buildalong.words import say

__all__ = ["sheets_pdf", "sides_of"]


def sides_of(pages: int) -> tuple[tuple[int, int], ...]:
    """The pages left and right on each side of each sheet, from the outer side of the outermost sheet.

    Pages count from 1; 0 is an empty one: a booklet has a multiple of four.  Printed on both sides, turned
    over the short edge, the stack is folded once.
    """
    room = -(-pages // 4) * 4
    sides = []
    for first in range(1, room // 2 + 1):
        last = room + 1 - first
        pair = (last, first) if first % 2 else (first, last)
        sides.append(tuple(page if page <= pages else 0 for page in pair))
    return tuple((left, right) for left, right in sides)


def sheets_pdf(booklet: bytes, title: str, language: str) -> bytes:
    """Lay the pages of an A5 booklet on sheets of A4, as a plain PDF: it is for the printer.

    PDF/UA has no place for a page inside a page; who listens takes the booklet itself.
    """
    pages = page_count(booklet)
    data = {
        "title": say(words.SHEET_TITLE, title=title),
        "language": language,
        "sides": [list(side) for side in sides_of(pages)],
        "alts": [say(words.SHEET_ALT, number=number) for number in range(pages + 1)],
    }
    return typeset("sheets", data, {"booklet.pdf": booklet}, tagged=False)
