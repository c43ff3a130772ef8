"""Placing labels where they cover nothing that matters.

Each tag has many places upon or around what it names.  The cheapest set is found by moving one tag,
then two at a time, until nothing gets better.  The same input gives the same places.
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

__all__ = ["PAD_X", "Obstacles", "Placed", "Tag", "place"]

Floats = NDArray[np.float64]
Rect = tuple[float, float, float, float]
PAD_X, PAD_Y = 4.0, 3.5
LINE = 0.95
"""From one line of a label to the next, in sizes of its text."""
STACKED = 7.0
"""What it costs to stand in lines."""
APART = 3.0
"""Room between two labels."""
CLEAR = 12.0
"""Nearer than this, one label can be read as a line of the other."""
ROUNDS = 8
SAMPLES = 16
MOST = 48
"""Places of a tag that are compared with those of the others: its best."""


@dataclass(frozen=True)
class Tag:
    """A label to place: its wordings, the best first, and the rectangle that it names.

    A wording with a line break stands in lines.
    """

    key: str
    wordings: tuple[str, ...]
    size: float
    around: Rect
    style: Style = "bold"
    tight: bool = False
    """Stays near: only the nearest places are tried."""
    slack: float = 16.0
    """Further than this from what it names it has a leader."""
    insist: float = 24.0
    """What a shorter wording costs."""
    clear: float = 1.0
    """By so much nearer than to any other body it stands to its own, or it has a leader."""
    upon: tuple[Point, ...] = ()
    """Centres at which it may lie right upon what it names, the best first."""


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
    marks: list[Rect] = field(default_factory=list)
    """Numbers and letters that stand nowhere else: half of one tells nothing."""
    spare: list[Rect] = field(default_factory=list)
    """Numbers and letters that the other side of the board has too: a cut one is left out."""
    pale: list[Rect] = field(default_factory=list)
    faint: list[Rect] = field(default_factory=list)
    """Bodies and wires that are muted: a name close by is worth more than every piece of them."""
    little: list[Rect] = field(default_factory=list)
    bodies: list[Rect] = field(default_factory=list)
    """A label should be nearest to its own."""


def place(tags: Sequence[Tag], obstacles: Obstacles) -> tuple[Placed, ...]:
    """Find a place for each tag."""
    field = _Field(obstacles)
    options = [_options(tag, field, _alike(tag, tags)) for tag in tags]
    out = []
    for tag, choices, at in zip(tags, options, _choose(options), strict=True):
        x0, y0, x1, y1 = (float(value) for value in choices.rects[at])
        rect = (x0, y0, x1, y1)
        out.append(Placed(tag, choices.texts[at], rect, _leader(rect, tag.around, tag.slack)))
    return tuple(out)


def _choose(options: Sequence[_Options]) -> list[int]:
    """Which place of each tag: one tag after another, then pairs that are in each other's way."""
    count = len(options)
    clash = {(i, j): _clash(options[i], options[j]) for i in range(count) for j in range(count) if i != j}
    chosen: list[int] = []
    for index in range(count):
        costs = options[index].costs + sum(clash[index, at][:, c] for at, c in enumerate(chosen))
        chosen.append(int(np.argmin(np.round(costs, 6))))

    def costs_of(index: int, without: int = -1) -> Floats:
        others = [clash[index, at][:, c] for at, c in enumerate(chosen) if at not in (index, without)]
        return np.asarray(options[index].costs + sum(others))

    for _ in range(ROUNDS):
        before = list(chosen)
        for index in range(count):
            chosen[index] = int(np.argmin(np.round(costs_of(index), 6)))
        for one in range(count):
            for other in range(one + 1, count):
                if not clash[one, other].any():
                    continue
                both = costs_of(one, other)[:, None] + costs_of(other, one)[None, :] + clash[one, other]
                best = np.unravel_index(int(np.argmin(np.round(both, 6))), both.shape)
                chosen[one], chosen[other] = int(best[0]), int(best[1])
        if chosen == before:
            break
    return chosen


def _clash(one: _Options, other: _Options) -> Floats:
    """What each place of one tag costs beside each of another, shape (len(one), len(other))."""
    areas, close = (
        _overlaps(one.rects + np.array([-room, -room, room, room]), other.rects) for room in (APART, CLEAR)
    )
    led = _on_the_way(one.lines, other.rects) | _on_the_way(other.lines, one.rects).T
    return np.asarray(
        areas
        + 400.0 * (areas > 0)
        + 10.0 * (close > 0)
        + 120.0 * led
        + 150.0 * _crossed(one.lines, other.lines)
    )


@dataclass(frozen=True)
class _Options:
    texts: tuple[str, ...]
    rects: Floats
    lines: Floats
    """Points along each leader, shape (n, SAMPLES, 2); far away where there is none."""
    costs: Floats


class _Field:
    """The obstacles as arrays: rectangles, and what covering one costs at once and per area."""

    def __init__(self, obstacles: Obstacles) -> None:
        groups = (
            (obstacles.never, 300.0, 1.0), (obstacles.much, 30.0, 0.3),
            (obstacles.some, 12.0, 0.08), (obstacles.pale, 24.0, 0.1), (obstacles.faint, 3.0, 0.02),
            (obstacles.bodies, 70.0, 0.3), (obstacles.spare, 14.0, 0.05), (obstacles.marks, 30.0, 0.3),
            (obstacles.little, 0.5, 0.0),
        )  # fmt: skip
        self.rects = np.array([rect for rects, _, _ in groups for rect in rects] or [(0, 0, 0, 0)], float)
        self.base = np.array([base for rects, base, _ in groups for _ in rects] or [0.0])
        self.share = np.array([share for rects, _, share in groups for _ in rects] or [0.0])
        self.never = self.rects[: len(obstacles.never)]
        self.hard = self.rects[: len(obstacles.never) + len(obstacles.much)]
        self.marks = np.array([*obstacles.marks, *obstacles.spare] or [(1e6, 1e6, 1e6, 1e6)], float)
        self.limits = obstacles.limits
        end, little = len(self.rects), len(obstacles.little)
        self.halves = (
            (slice(end - little, end), 6.0),
            (slice(end - little - len(obstacles.marks), end - little), 60.0),
        )
        """Which obstacles look worse half covered than covered, and what that costs."""
        self.bodies = np.array([*obstacles.bodies, *obstacles.pale] or [(1e6, 1e6, 1e6, 1e6)], float)

    def costs(self, rects: Floats) -> Floats:
        areas = _overlaps(rects, self.rects)
        cost = ((areas > 0) * self.base + areas * self.share).sum(axis=1)
        for which, price in self.halves:
            small = self.rects[which]
            shares = areas[:, which] / _areas(small)
            cost = cost + (price * shares * (1.0 - shares)).sum(axis=1)
        left, top, right, bottom = self.limits
        outside = np.max(
            [left - rects[:, 0], top - rects[:, 1], rects[:, 2] - right, rects[:, 3] - bottom], axis=0
        )
        return np.asarray(cost + np.where(outside > 0, 5000 + outside, 0.0))

    def crossed(self, lines: Floats, around: Rect) -> Floats:
        """What leaders cost that run over holes in use, bodies, marks; what they lead to is in no way."""
        own = np.array([around])
        prices = ((self.never, 55.0), (self.hard, 25.0), (self.bodies, 40.0), (self.marks, 15.0))
        out = np.zeros(len(lines))
        for rects, price in prices:
            smaller = np.minimum(_areas(rects), _areas(own))
            others = rects[_overlaps(rects, own)[:, 0] < smaller / 2]
            out += price * _on_the_way(lines, others).sum(axis=1)
        return out


def _areas(rects: Floats) -> Floats:
    return np.asarray(np.prod(rects[:, 2:] - rects[:, :2], axis=1))


def _overlaps(a: Floats, b: Floats) -> Floats:
    """Areas that each rectangle of a shares with each of b, shape (len(a), len(b))."""
    w = np.minimum(a[:, None, 2], b[None, :, 2]) - np.maximum(a[:, None, 0], b[None, :, 0])
    h = np.minimum(a[:, None, 3], b[None, :, 3]) - np.maximum(a[:, None, 1], b[None, :, 1])
    return np.asarray(np.clip(w, 0, None) * np.clip(h, 0, None))


def _alike(tag: Tag, tags: Sequence[Tag]) -> Floats:
    """What the other tags of its sort name: a hole's name must not stand at another ringed hole."""
    sort = tag.key.split()[0]
    found = [other.around for other in tags if other.key.split()[0] == sort and other is not tag]
    return np.array(found, float).reshape(-1, 4)


def _options(tag: Tag, field: _Field, alike: Floats) -> _Options:
    left, top, right, bottom = tag.around
    cx, cy = (left + right) / 2, (top + bottom) / 2
    texts: list[str] = []
    rects: list[Rect] = []
    costs: list[float] = []
    lines: list[list[Point]] = []

    def offer(text: str, at: Point, w: float, h: float, cost: float, led: bool) -> None:
        rect = (at[0] - w / 2, at[1] - h / 2, at[0] + w / 2, at[1] + h / 2)
        line = _leader(rect, tag.around, tag.slack) if led else None
        texts.append(text)
        rects.append(rect)
        lines.append(_samples(line))
        costs.append(cost + (math.dist(*line) * 0.5 if line else 0))

    shorter = 0.0
    for rank, text in enumerate(tag.wordings):
        lines_of = text.split("\n")
        stacked = len(lines_of) > 1
        shorter += tag.insist * (rank > 0 and not stacked)
        worse = shorter + STACKED * stacked
        w = max(_text.width(line, tag.size, tag.style) for line in lines_of) + 2 * PAD_X
        h = tag.size * (0.72 + LINE * (len(lines_of) - 1)) + 2 * PAD_Y
        for order, at in enumerate(tag.upon):
            offer(text, at, w, h, worse + order * 0.2, led=False)
        for gap in (3, 9, 16) if tag.tight else (4, 10, 18, 30, 46, 70, 100):
            right_x, left_x = right + gap + w / 2, left - gap - w / 2
            over_y, under_y = top - gap - h / 2, bottom + gap + h / 2
            centres = [
                (right_x, cy), (left_x, cy), (cx, over_y), (cx, under_y),
                (right_x, top + h / 2 - gap / 2), (right_x, bottom - h / 2 + gap / 2),
                (left_x, top + h / 2 - gap / 2), (left_x, bottom - h / 2 + gap / 2),
                (right_x, top), (right_x, bottom), (left_x, top), (left_x, bottom),
                (right - w / 2, over_y), (left + w / 2, over_y), (right - w / 2, under_y),
                (left + w / 2, under_y), (cx - w / 4, over_y), (cx + w / 4, over_y),
                (cx - w / 4, under_y), (cx + w / 4, under_y), (right_x, over_y), (left_x, over_y),
                (right_x, under_y), (left_x, under_y),
            ]  # fmt: skip
            for order, at in enumerate(centres):
                offer(text, at, w, h, gap * 0.35 + order * 0.4 + worse, led=True)
    placed, led = np.array(rects), np.array(lines)
    total = np.array(costs) + field.costs(placed) + field.crossed(led, tag.around)
    # Without a leader, the body or hole next to a label must be its own, and clearly so for a part.
    unled = led[:, 0, 0] < -1e5
    own = np.array([tag.around])
    for others, least, price in (
        (field.bodies, 1.0, 50.0),
        (field.bodies, tag.clear, 25.0),
        (alike, 0.5, 50.0),
    ):
        others = others[_overlaps(others, own)[:, 0] <= 0]
        if len(others):
            away = _gaps(placed, others).min(axis=1)
            total += price * (unled & (away < _gaps(placed, own)[:, 0] + least))
    best = np.argsort(np.round(total, 6), kind="stable")[:MOST]
    return _Options(tuple(texts[at] for at in best), placed[best], led[best], total[best])


def _gaps(a: Floats, b: Floats) -> Floats:
    """Distances between rectangles, shape (len(a), len(b)); 0 where they meet."""
    dx = np.maximum(a[:, None, 0] - b[None, :, 2], b[None, :, 0] - a[:, None, 2]).clip(0)
    dy = np.maximum(a[:, None, 1] - b[None, :, 3], b[None, :, 1] - a[:, None, 3]).clip(0)
    return np.asarray(np.hypot(dx, dy))


def _samples(line: tuple[Point, Point] | None) -> list[Point]:
    if line is None:
        return [(-1e6, -1e6)] * SAMPLES
    (x0, y0), (x1, y1) = line
    shares = [0.06 + 0.88 * i / (SAMPLES - 1) for i in range(SAMPLES)]
    return [(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in shares]


def _on_the_way(lines: Floats, rects: Floats) -> NDArray[np.bool_]:
    """Whether each leader runs over each rectangle, shape (leaders, rectangles)."""
    x, y = lines[:, :, 0, None], lines[:, :, 1, None]
    inside = (x > rects[:, 0]) & (x < rects[:, 2]) & (y > rects[:, 1]) & (y < rects[:, 3])
    return np.asarray(inside.any(axis=1))


def _crossed(one: Floats, other: Floats) -> NDArray[np.bool_]:
    """Whether leaders cross, shape (leaders of one, leaders of the other)."""
    a, b = one[:, None, 0], one[:, None, -1]
    c, d = other[None, :, 0], other[None, :, -1]
    return np.asarray((_side(a, b, c) * _side(a, b, d) < 0) & (_side(c, d, a) * _side(c, d, b) < 0))


def _side(a: Floats, b: Floats, p: Floats) -> Floats:
    """On which side of a line through two points a third lies: positive, negative, or 0."""
    return np.asarray(
        (b[..., 0] - a[..., 0]) * (p[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (p[..., 0] - a[..., 0])
    )


def _leader(rect: Rect, around: Rect, slack: float) -> tuple[Point, Point] | None:
    """A thin line from a label to what it names, where they stand apart."""
    start = _nearest(rect, ((around[0] + around[2]) / 2, (around[1] + around[3]) / 2))
    end = _nearest(around, start)
    if abs(start[0] - end[0]) + abs(start[1] - end[1]) < slack:
        return None
    # A little into the body's rectangle, so that it touches a round one too.
    middle = ((around[0] + around[2]) / 2, (around[1] + around[3]) / 2)
    return start, (end[0] + (middle[0] - end[0]) * 0.3, end[1] + (middle[1] - end[1]) * 0.3)


def _nearest(rect: Rect, point: Point) -> Point:
    return min(max(point[0], rect[0]), rect[2]), min(max(point[1], rect[1]), rect[3])
