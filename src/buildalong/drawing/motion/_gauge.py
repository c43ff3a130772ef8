"""A setting at work: a square that fills as the light on a sensor, or a wiper, rises."""

from __future__ import annotations

from buildalong.drawing import _palette as palette
from buildalong.drawing._course import Course
from buildalong.drawing._svg import Svg, number
from buildalong.drawing.motion._motion import Track

__all__ = ["draw_gauge"]


def draw_gauge(
    svg: Svg, course: Course, span: tuple[float, float], now: float,
    place: tuple[float, float, float], key: str,
) -> list[Track]:  # fmt: skip
    """Draw it as it is ``now`` [s]; give what moves it.

    ``place``: its middle, and half its side; it is full at the greatest value within ``span`` [s].  ``key``
    names its track.
    """
    x, y, half = place
    top, tall = y - half, 2 * half
    points = course.within(*span)
    most = max((value for _, value in points), default=0.0) or 1.0

    def depth(value: float) -> float:
        return (1 - value / most) * tall

    svg.rect(x - half, top, tall, tall, fill=palette.PAPER)
    with svg.group("clipPath", id=svg.id(key)):
        svg.rect(x - half, top, tall, tall)
    within = svg.group(clip_path=svg.ref(key))
    with within, svg.group(class_=key, transform=f"translate(0 {number(depth(course.at(now)))})"):
        svg.rect(x - half, top, tall, tall + 4, fill=palette.PRESSED)
    svg.rect(x - half, top, tall, tall, fill="none", stroke=palette.INK, stroke_width=2.4)
    moves = ((time, f"translateY({number(depth(value))}px)") for time, value in points)
    return [Track(key, "transform", tuple(moves))]
