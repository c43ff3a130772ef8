"""The row of a setting among waveforms: a line that steps or slopes, its values written upon it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._course import Course
from buildalong.drawing._svg import Point, Svg

__all__ = ["ROW", "draw_course"]

ROW = 60.0
BASE, HEAD = 6.0, 28.0
"""Below its zero, and above its greatest value: room for the number upon it."""
CLEAR = 6.0
"""Between the line and a number, and between two numbers."""


def draw_course(
    svg: Svg, course: Course, span: tuple[float, float], x: Callable[[float], float], top: float,
    size: float, moments: Sequence[float],
) -> None:  # fmt: skip
    """Draw what lies in ``span`` [s] from ``top`` down, ``x`` giving the place of a time.

    Numbers stand upon the line where it rests, longest rest first, off the dotted lines of ``moments``
    where they can; one that has no room beside others is left out.
    """
    points = course.within(*span)
    most = max((value for _, value in course.points), default=0.0) or 1.0
    left, right, base = x(span[0]), x(span[1]), top + ROW - BASE
    line = [(x(time), base - value / most * (ROW - BASE - HEAD)) for time, value in points]
    shade = palette.mix(palette.PRESSED, palette.PAPER, 0.7)
    svg.polygon([(left, base), *line, (right, base)], fill=shade)
    svg.line(left, base, right, base, stroke=palette.LINE_SOFT, stroke_width=1.6)
    svg.polyline(line, fill="none", stroke=palette.PRESSED, stroke_width=3.4, stroke_linejoin="round")
    taken: list[tuple[float, float]] = []
    for begins, ends, value in sorted(course.stays(*span), key=lambda stay: (stay[0] - stay[1], stay[0])):
        words = course.said(value)
        wide = _text.width(words, size)
        a, b = x(begins), x(ends)
        start = _start(a, b, wide, (left + CLEAR, right - CLEAR), moments)
        room = start - CLEAR, start + wide + CLEAR
        if any(room[0] < end and room[1] > begin for begin, end in taken):
            continue
        taken.append((start, start + wide))
        at = min(_height(line, place) for place in (start, start + wide, *_between(line, start, wide)))
        svg.text(start, at - CLEAR, words, size, fill=palette.INK)


def _start(a: float, b: float, wide: float, frame: tuple[float, float], moments: Sequence[float]) -> float:
    """Where a number begins: in the middle of its rest or, off the moments, at one of its ends."""
    middle = (a + b - wide) / 2
    places = [middle, a + CLEAR, b - CLEAR - wide] if b - a > wide + 2 * CLEAR else [middle]
    free = [at for at in places if not any(at - 2 < moment < at + wide + 2 for moment in moments)]
    return min(max((free or places)[0], frame[0]), frame[1] - wide)


def _height(line: Sequence[Point], at: float) -> float:
    """The height of the line at a place, of a jump its upper end."""
    found = [line[-1][1]]
    for (x0, y0), (x1, y1) in pairwise(line):
        if x0 <= at <= x1:
            found = [y0, y1] if x0 == x1 else [y0 + (y1 - y0) * (at - x0) / (x1 - x0)]
            break
    return min(found)


def _between(line: Sequence[Point], start: float, wide: float) -> list[float]:
    return [x for x, _ in line if start < x < start + wide]
