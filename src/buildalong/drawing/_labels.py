"""Placing labels where they cover nothing that matters.

Each tag is tried at many places around what it names; the cheapest set is found by placing them
one after another and then each again among the others.  The same input gives the same places.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing import _text
from buildalong.drawing._frame import Point
from buildalong.drawing._text import Style

__all__ = ["Obstacles", "Placed", "Tag", "place"]

Floats = NDArray[np.float64]
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
    field = _Field(obstacles)
    options = [_options(tag, field) for tag in tags]
    chosen: list[int] = [-1] * len(tags)
    for _ in range(ROUNDS):
        before = list(chosen)
        for index, choices in enumerate(options):
            others = [options[at].rects[c] for at, c in enumerate(chosen) if c >= 0 and at != index]
            costs = choices.costs
            if others:
                areas = _overlaps(choices.rects, np.array(others))
                costs = costs + (areas + 400 * (areas > 0)).sum(axis=1)
            chosen[index] = int(np.argmin(np.round(costs, 6)))
        if chosen == before:
            break
    out = []
    for tag, choices, at in zip(tags, options, chosen, strict=True):
        x0, y0, x1, y1 = (float(value) for value in choices.rects[at])
        rect = (x0, y0, x1, y1)
        out.append(Placed(tag, choices.texts[at], rect, _leader(rect, tag.around)))
    return tuple(out)


@dataclass(frozen=True)
class _Options:
    texts: tuple[str, ...]
    rects: Floats
    costs: Floats


class _Field:
    """The obstacles as arrays: rectangles, and what covering one costs at once and per area."""

    def __init__(self, obstacles: Obstacles) -> None:
        groups = (
            (obstacles.never, 300.0, 1.0), (obstacles.much, 30.0, 0.3),
            (obstacles.some, 12.0, 0.08), (obstacles.little, 0.5, 0.0),
        )  # fmt: skip
        self.rects = np.array([rect for rects, _, _ in groups for rect in rects] or [(0, 0, 0, 0)], float)
        self.base = np.array([base for rects, base, _ in groups for _ in rects] or [0.0])
        self.share = np.array([share for rects, _, share in groups for _ in rects] or [0.0])
        self.hard = self.rects[: len(obstacles.never) + len(obstacles.much)]
        self.limits = obstacles.limits

    def costs(self, rects: Floats) -> Floats:
        areas = _overlaps(rects, self.rects)
        cost = ((areas > 0) * self.base + areas * self.share).sum(axis=1)
        left, top, right, bottom = self.limits
        outside = np.max(
            [left - rects[:, 0], top - rects[:, 1], rects[:, 2] - right, rects[:, 3] - bottom], axis=0
        )
        return np.asarray(cost + np.where(outside > 0, 5000 + outside, 0.0))

    def crossed(self, line: tuple[Point, Point]) -> int:
        """How many things that must not be covered a leader would cross."""
        (x0, y0), (x1, y1) = line
        t = np.linspace(0.08, 0.92, 12)
        xs, ys = x0 + (x1 - x0) * t, y0 + (y1 - y0) * t
        r = self.hard
        inside = (
            (xs[:, None] > r[:, 0])
            & (xs[:, None] < r[:, 2])
            & (ys[:, None] > r[:, 1])
            & (ys[:, None] < r[:, 3])
        )
        return int(inside.any(axis=0).sum())


def _overlaps(a: Floats, b: Floats) -> Floats:
    """Areas that each rectangle of a shares with each of b, shape (len(a), len(b))."""
    w = np.minimum(a[:, None, 2], b[None, :, 2]) - np.maximum(a[:, None, 0], b[None, :, 0])
    h = np.minimum(a[:, None, 3], b[None, :, 3]) - np.maximum(a[:, None, 1], b[None, :, 1])
    return np.asarray(np.clip(w, 0, None) * np.clip(h, 0, None))


def _options(tag: Tag, field: _Field) -> _Options:
    left, top, right, bottom = tag.around
    cx, cy = (left + right) / 2, (top + bottom) / 2
    texts: list[str] = []
    rects: list[Rect] = []
    costs: list[float] = []
    for rank, text in enumerate(tag.wordings):
        w = _text.width(text, tag.size, tag.style) + 2 * PAD_X
        h = tag.size * 0.72 + 2 * PAD_Y
        for gap in (3, 9, 16) if tag.tight else (4, 10, 18, 30, 46, 70, 100):
            right_x, left_x = right + gap + w / 2, left - gap - w / 2
            over_y, under_y = top - gap - h / 2, bottom + gap + h / 2
            centres = [
                (right_x, cy), (left_x, cy), (cx, over_y), (cx, under_y),
                (right_x, top + h / 2 - gap / 2), (right_x, bottom - h / 2 + gap / 2),
                (left_x, top + h / 2 - gap / 2), (left_x, bottom - h / 2 + gap / 2),
                (right - w / 2, over_y), (left + w / 2, over_y), (right - w / 2, under_y),
                (left + w / 2, under_y), (right_x, over_y), (left_x, over_y), (right_x, under_y),
                (left_x, under_y),
            ]  # fmt: skip
            for order, (x, y) in enumerate(centres):
                rect = (x - w / 2, y - h / 2, x + w / 2, y + h / 2)
                line = _leader(rect, tag.around)
                texts.append(text)
                rects.append(rect)
                far = math.dist(*line) * 0.2 + 25 * field.crossed(line) if line else 0.0
                costs.append(gap * 0.35 + order * 0.4 + rank * 24 + far)
    placed = np.array(rects)
    return _Options(tuple(texts), placed, np.array(costs) + field.costs(placed))


def _leader(rect: Rect, around: Rect) -> tuple[Point, Point] | None:
    """A thin line from a label to what it names, where they stand apart."""
    start = _nearest(rect, ((around[0] + around[2]) / 2, (around[1] + around[3]) / 2))
    end = _nearest(around, start)
    if abs(start[0] - end[0]) + abs(start[1] - end[1]) < 16:
        return None
    return start, end


def _nearest(rect: Rect, point: Point) -> Point:
    return min(max(point[0], rect[0]), rect[2]), min(max(point[1], rect[1]), rect[3])
