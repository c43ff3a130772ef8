"""The text that goes below a film: what it is, chapters, what is needed, cautions, the author's links."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.film import _words as words
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import Timeline, clock
from buildalong.words import say

__all__ = ["description"]


def description(board: Storyboard, times: Timeline) -> str:
    """Plain text, ready to be pasted; each chapter's line begins with its time, the first with 0:00."""
    return "\n".join(_lines(board, times)) + "\n"


def _lines(board: Storyboard, times: Timeline) -> Iterator[str]:
    yield board.title
    if board.summary:
        yield from ("", board.summary)
    yield from ("", say(words.HEAD_CHAPTERS))
    for timed in times.scenes:
        yield f"{clock(timed.start)} {timed.scene.title}"
    yield from ("", say(words.HEAD_NEEDS))
    yield from (f"- {line}" for line in board.needs)
    yield from ("", say(words.HEAD_CAUTIONS))
    yield from (f"- {line}" for line in board.cautions)
    if board.links:
        yield from ("", say(words.HEAD_LINKS))
        for title, by, link in board.links:
            yield "- " + " · ".join(bit for bit in (f"{title}, {by}" if by else title, link) if bit)
    if board.authors or board.licence:
        yield ""
    if board.authors:
        yield f"{say(words.HEAD_FROM)} {', '.join(board.authors)}"
    if board.licence:
        yield say(words.LICENCE, licence=board.licence)
