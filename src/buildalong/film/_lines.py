"""Breaking sentences into captions of at most two lines, at places where a reader pauses anyway."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from buildalong.words import tied

__all__ = ["LINES", "WIDEST", "pieces"]

WIDEST = 42
"""Characters in a line of a caption at most (common practice)."""
LINES = 2
"""Lines of a caption at most (common practice)."""
PIECE, PAUSE, SHORT = 40.0, 25.0, 1.5
"""What another caption costs, one that ends without a pause, each character that one lacks to ``ENOUGH``."""
ENOUGH = 32
_PAUSE = (",", ";", ":", ".", "!", "?", ")")
_TIE = "\x00"


def pieces(sentence: str, fits: Callable[[str], bool] = lambda text: True) -> tuple[tuple[str, ...], ...]:
    """Break a sentence into captions, each of one or two lines; number and unit stay together.

    ``fits`` says whether a text may be one caption; a single word always may.  A word longer than a line
    is cut.
    """
    words = tuple(_words(sentence))
    if not words:
        return ()

    @cache
    def best(start: int) -> tuple[float, int]:
        """Least cost of the words from ``start`` on, and where the first caption of them ends."""
        if start == len(words):
            return 0.0, start
        options = []
        for end in range(start + 1, len(words) + 1):
            fitted = _lines(words[start:end])
            text = " ".join(words[start:end]).replace(_TIE, " ")
            if fitted is None or (end > start + 1 and not fits(text)):
                break
            last = end == len(words)
            cost = PIECE + fitted[0] + (0.0 if last or words[end - 1].endswith(_PAUSE) else PAUSE)
            cost += SHORT * max(ENOUGH - len(text), 0)
            options.append((cost + best(end)[0], end))
        return min(options)

    out: list[tuple[str, ...]] = []
    at = 0
    # From the back, so that the recursion above is never deep.
    for start in range(len(words) - 1, -1, -1):
        best(start)
    while at < len(words):
        end = best(at)[1]
        fitted = _lines(words[at:end])
        assert fitted is not None
        out.append(tuple(line.replace(_TIE, " ") for line in fitted[1]))
        at = end
    return tuple(out)


def _words(sentence: str) -> list[str]:
    out: list[str] = []
    for word in tied(" ".join(sentence.replace("\u00a0", _TIE).split()), _TIE).split(" "):
        out += [word[at : at + WIDEST] for at in range(0, len(word), WIDEST)]
    return out


def _lines(words: tuple[str, ...]) -> tuple[float, tuple[str, ...]] | None:
    """The words in one line, or in two as even as can be; with a cost. None where they do not fit."""
    whole = " ".join(words)
    if len(whole) <= WIDEST:
        return 0.0, (whole,)
    if len(whole) > LINES * WIDEST + 1:
        return None
    options = []
    for cut in range(1, len(words)):
        first, second = " ".join(words[:cut]), " ".join(words[cut:])
        if max(len(first), len(second)) <= WIDEST:
            pause = 0.0 if first.endswith(_PAUSE) else 6.0
            options.append((abs(len(first) - len(second)) * 0.5 + pause, (first, second)))
    return min(options) if options else None
