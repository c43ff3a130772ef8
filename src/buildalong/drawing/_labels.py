"""Placing labels where they cover nothing that matters.

Each tag is tried at many places around what it names; the cheapest set is found by placing them
one after another and then each again among the others.  The same input gives the same places.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from buildalong.drawing import _text
from buildalong.drawing._frame import Point
from buildalong.drawing._text import Style

__all__ = ["Obstacles", "Placed", "Tag", "place"]

Rect = tuple[float, float, float, float]
PAD_X, PAD_Y = 4.0, 3.5
ROUNDS = 3


@dataclass(frozen=True)
class Tag:
    """A label to place: its wordings, longest first, and the rectangle that it names."""

    key: str
    wordings: tuple[str, ...]
    size: float
    around: Rect
    style: Style = "bold"
    tight: bool = False
    """Stays near: only the nearest places are tried."""


@dataclass(frozen=True)
class Placed:
    """A tag at its place: the text's centre and the rectangle of its ground."""

    tag: Tag
    text: str
    rect: Rect
    leader: tuple[Point, Point] | None = None


@dataclass
class Obstacles:
    """Rectangles by how bad covering them is: never, much, some, a little."""

    limits: Rect
    never: list[Rect] = field(default_factory=list)
    much: list[Rect] = field(default_factory=list)
    some: list[Rect] = field(default_factory=list)
    little: list[Rect] = field(default_factory=list)


def place(tags: Sequence[Tag], obstacles: Obstacles) -> tuple[Placed, ...]:
    """Find a place for each tag."""
    options = [_options(tag, obstacles) for tag in tags]
    chosen: list[_Option | None] = [None] * len(tags)
    for _ in range(ROUNDS):
        before = list(chosen)
        for index, choices in enumerate(options):
            others = [option.rect for at, option in enumerate(chosen) if option is not None and at != index]
            chosen[index] = min(
                choices,
                key=lambda option: (
                    option.cost
                    + sum(400 + _overlap(option.rect, o) for o in others if _overlap(option.rect, o) > 0)
                ),
            )
        if chosen == before:
            break
    return tuple(
        Placed(tag, option.text, option.rect, _leader(option.rect, tag.around))
        for tag, option in zip(tags, chosen, strict=True)
        if option is not None
    )


@dataclass(frozen=True)
class _Option:
    text: str
    rect: Rect
    cost: float


def _options(tag: Tag, obstacles: Obstacles) -> list[_Option]:
    left, top, right, bottom = tag.around
    cx, cy = (left + right) / 2, (top + bottom) / 2
    reach = 110 + max(_text.width(text, tag.size, tag.style) for text in tag.wordings)
    obstacles = _within(obstacles, (left - reach, top - 140, right + reach, bottom + 140))
    out: list[_Option] = []
    for rank, text in enumerate(tag.wordings):
        w = _text.width(text, tag.size, tag.style) + 2 * PAD_X
        h = tag.size * 0.72 + 2 * PAD_Y
        for gap in (3, 12) if tag.tight else (4, 14, 28, 46, 70, 100):
            centres = [
                (right + gap + w / 2, cy), (left - gap - w / 2, cy), (cx, top - gap - h / 2),
                (cx, bottom + gap + h / 2), (right + gap + w / 2, top + h / 2 - gap / 2),
                (right + gap + w / 2, bottom - h / 2 + gap / 2), (left - gap - w / 2, top + h / 2 - gap / 2),
                (left - gap - w / 2, bottom - h / 2 + gap / 2), (right - w / 2, top - gap - h / 2),
                (left + w / 2, top - gap - h / 2), (right - w / 2, bottom + gap + h / 2),
                (left + w / 2, bottom + gap + h / 2),
            ]  # fmt: skip
            for order, (x, y) in enumerate(centres):
                rect = (x - w / 2, y - h / 2, x + w / 2, y + h / 2)
                cost = gap * 0.35 + order * 0.4 + rank * 24 + _cost(rect, obstacles)
                out.append(_Option(text, rect, cost))
    return out


def _within(obstacles: Obstacles, window: Rect) -> Obstacles:
    """The obstacles that a window touches."""
    return Obstacles(
        obstacles.limits,
        *(
            [rect for rect in rects if _overlap(rect, window) > 0]
            for rects in (obstacles.never, obstacles.much, obstacles.some, obstacles.little)
        ),
    )


def _cost(rect: Rect, obstacles: Obstacles) -> float:
    cost = 0.0
    limits = obstacles.limits
    outside = max(limits[0] - rect[0], limits[1] - rect[1], rect[2] - limits[2], rect[3] - limits[3])
    if outside > 0:
        cost += 5000 + outside
    for rects, base, share in (
        (obstacles.never, 300.0, 1.0), (obstacles.much, 30.0, 0.3), (obstacles.some, 12.0, 0.08),
        (obstacles.little, 0.5, 0.0),
    ):  # fmt: skip
        for other in rects:
            area = _overlap(rect, other)
            if area > 0:
                cost += base + share * area
    return cost


def _overlap(a: Rect, b: Rect) -> float:
    w = min(a[2], b[2]) - max(a[0], b[0])
    h = min(a[3], b[3]) - max(a[1], b[1])
    return w * h if w > 0 and h > 0 else 0.0


def _leader(rect: Rect, around: Rect) -> tuple[Point, Point] | None:
    """A thin line from a label to what it names, where they stand apart."""
    start = _nearest(rect, ((around[0] + around[2]) / 2, (around[1] + around[3]) / 2))
    end = _nearest(around, start)
    if abs(start[0] - end[0]) + abs(start[1] - end[1]) < 16:
        return None
    return start, end


def _nearest(rect: Rect, point: Point) -> Point:
    return min(max(point[0], rect[0]), rect[2]), min(max(point[1], rect[1]), rect[3])
