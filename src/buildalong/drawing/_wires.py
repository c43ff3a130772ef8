"""Wires: where they run, so that none hides a hole in use, and how they are drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from buildalong.board import Board, Wire
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Frame, Point
from buildalong.drawing._palette import Tone
from buildalong.drawing._pen import Pen
from buildalong.drawing._svg import path

__all__ = [
    "Rect",
    "arc",
    "casing_of",
    "curve",
    "draw_flexible",
    "draw_formed",
    "hides",
    "near",
    "rounded",
    "run_of",
]

Rect = tuple[float, float, float, float]

CLEAR = 0.42
"""A wire nearer than this to a hole's centre hides it, in pitches."""
THICK = 11.5
"""Insulation, in user units."""
MUTED = 8.0
"""The same of a muted wire: a muted black one is a dark grey, and a muted white one white."""
SOFT = 40.0
"""How far from its corners a flexible wire begins to bend, in user units."""
BARE = 8.0
"""Bare end outside the hole."""


def around(points: Iterable[Point]) -> Rect:
    """The rectangle around places."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def near(point: Point, points: Sequence[Point]) -> float:
    """Distance of a point from a polyline."""
    least, (x, y) = math.inf, point
    for (ax, ay), (bx, by) in pairwise(points):
        dx, dy, px, py = bx - ax, by - ay, x - ax, y - ay
        share = (px * dx + py * dy) / max(dx * dx + dy * dy, 1e-12)
        share = min(max(share, 0.0), 1.0)
        px, py = px - share * dx, py - share * dy
        least = min(least, px * px + py * py)
    return math.sqrt(least)


def hides(points: Sequence[Point], used: Mapping[str, Point], ends: Sequence[str]) -> int:
    """How many used holes, other than its own two, a run in pitches would hide."""
    return sum(near(at, points) < CLEAR for hole, at in used.items() if hole not in ends)


def run_of(
    wire: Wire, board: Board, used: Mapping[str, Point], bodies: Sequence[Rect] = ()
) -> tuple[Point, ...]:
    """The run of a formed wire or link, in pitches.

    The layout's own path is kept when it hides no hole in use.  Otherwise the run that hides the
    fewest, then crosses the fewest bodies, then is shortest, among runs of at most two bends in
    the lanes between the holes.
    """
    start, end = board.holes[wire.start], board.holes[wire.end]
    given = (start, *wire.path, end)
    if not hides(given, used, (wire.start, wire.end)):
        return given
    (x0, y0), (x1, y1) = start, end
    tries: list[tuple[Point, ...]] = [given, (start, (x0, y1), end), (start, (x1, y0), end)]
    for lane in sorted({x0 - 0.5, x0 + 0.5, x1 - 0.5, x1 + 0.5}):
        tries.append((start, (lane, y0), (lane, y1), end))
    for lane in sorted({y0 - 0.5, y0 + 0.5, y1 - 0.5, y1 + 0.5}):
        tries.append((start, (x0, lane), (x1, lane), end))

    def cost(points: tuple[Point, ...]) -> tuple[int, int, float]:
        crossed = sum(1 for rect in bodies if _meets(points, rect))
        length = sum(math.dist(a, b) for a, b in pairwise(points))
        return hides(points, used, (wire.start, wire.end)), crossed, round(length + 0.4 * len(points), 6)

    return min(tries, key=cost)


def _meets(points: Sequence[Point], rect: Rect) -> bool:
    for a, b in pairwise(points):
        steps = max(2, int(math.dist(a, b) * 4))
        for step in range(steps + 1):
            x = a[0] + (b[0] - a[0]) * step / steps
            y = a[1] + (b[1] - a[1]) * step / steps
            if rect[0] < x < rect[2] and rect[1] < y < rect[3]:
                return True
    return False


def rounded(points: Sequence[Point], radius: float) -> str:
    """Path data through points with rounded corners."""
    bits: list[str | float | Point] = ["M", points[0]]
    for before, at, after in zip(points, points[1:], points[2:], strict=False):
        r = min(radius, math.dist(before, at) / 2, math.dist(at, after) / 2)
        bits += ["L", _towards(at, before, r), "Q", at, _towards(at, after, r)]
    bits += ["L", points[-1]]
    return path(*bits)


def _towards(start: Point, goal: Point, distance: float) -> Point:
    length = math.dist(start, goal)
    if length == 0:
        return start
    return start[0] + (goal[0] - start[0]) * distance / length, start[1] + (
        goal[1] - start[1]
    ) * distance / length


def draw_formed(pen: Pen, frame: Frame, points: Sequence[Point], colour: str) -> None:
    """Draw a stiff wire that lies on the board; ``points`` in pitches."""
    placed = [frame.point(x, y) for x, y in points]
    bare = min(BARE, math.dist(placed[0], placed[1]) * 0.35, math.dist(placed[-1], placed[-2]) * 0.35)
    inner = [_towards(placed[0], placed[1], bare), *placed[1:-1], _towards(placed[-1], placed[-2], bare)]
    for hole, end in ((placed[0], inner[0]), (placed[-1], inner[-1])):
        pen.lead(hole, end, 5.4)
    _insulation(pen, rounded(inner, 9), colour)
    pen.entry(placed[0], 2.6)
    pen.entry(placed[-1], 2.6)


def arc(start: Point, end: Point, bow: float, lean: float = 0.5) -> tuple[Point, ...]:
    """A gentle arc as a polyline; ``bow`` is its height as a share of its length, to the left if positive.

    ``lean`` tells where between the ends it bows: nearer the start below a half.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    middle = (
        (1 - lean) * start[0] + lean * end[0] + dy * bow * 2,
        (1 - lean) * start[1] + lean * end[1] - dx * bow * 2,
    )
    out = []
    for step in range(17):
        t = step / 16
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
        out.append((a * start[0] + b * middle[0] + c * end[0], a * start[1] + b * middle[1] + c * end[1]))
    return tuple(out)


def curve(corners: Sequence[Point]) -> tuple[Point, ...]:
    """A flexible wire that is led past corners, as a polyline in user units; straight far from them."""
    knots = [corners[0]]
    for a, b in pairwise(corners):
        length = math.dist(a, b)
        near_by = SOFT if length > 2 * SOFT else length / 2
        knots += [_towards(a, b, near_by), _towards(b, a, near_by), b]
    out = [corners[0]]
    joints = [_towards(a, b, math.dist(a, b) / 2) for a, b in pairwise(knots)]
    for a, knot, b in zip(joints, knots[1:-1], joints[1:], strict=False):
        for step in range(1, 5):
            t = step / 4
            p, q, r = (1 - t) ** 2, 2 * t * (1 - t), t * t
            out.append((p * a[0] + q * knot[0] + r * b[0], p * a[1] + q * knot[1] + r * b[1]))
    return (*out, corners[-1])


def draw_flexible(pen: Pen, points: Sequence[Point], colour: str, bare_start: bool = True) -> None:
    """Draw a jumper lead or the lead of an off-board part; ``points`` in user units, closely spaced."""
    cut = _shortened(list(reversed(_shortened(list(reversed(points)), BARE))), BARE if bare_start else 0)
    if bare_start:
        pen.lead(points[0], cut[0], 5.4)
    pen.lead(points[-1], cut[-1], 5.4)
    _insulation(pen, _smooth(cut), colour)
    if bare_start:
        pen.entry(points[0], 2.6)
    pen.entry(points[-1], 2.6)


def _shortened(points: list[Point], length: float) -> list[Point]:
    """The polyline without its first stretch of this length."""
    left = length
    for index, (a, b) in enumerate(pairwise(points)):
        step = math.dist(a, b)
        if step > left:
            start = _towards(a, b, left)
            rest = points[index + 1 :]
            # Two points nearly in one place would make a kink.
            return [start, *(rest[1:] if len(rest) > 2 and math.dist(start, rest[0]) < 4 else rest)]
        left -= step
    return points[-2:]


def _smooth(points: Sequence[Point]) -> str:
    """A smooth line through points (Catmull-Rom as cubic pieces)."""
    bits: list[str | float | Point] = ["M", points[0]]
    for index in range(len(points) - 1):
        p0 = points[max(index - 1, 0)]
        p1, p2 = points[index], points[index + 1]
        p3 = points[min(index + 2, len(points) - 1)]
        bits += [
            "C",
            (p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6),
            (p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6),
            p2,
        ]
    return path(*bits)


def casing_of(fill: str, tone: Tone) -> tuple[str, float]:
    """The colour of the casing of a wire, and by how much the wire in it is narrower; a pale one has more."""
    pale = palette.contrast(fill, palette.BOARD) < palette.PALE
    return palette.mix(fill, "#000000", tone.casing[pale]), (5.4 if pale else 3.4) * (1 + tone.line) / 2


def _insulation(pen: Pen, data: str, colour: str) -> None:
    """A coloured line in a darker casing."""
    fill = palette.wire_colour(colour)
    casing, rim = casing_of(fill, pen.svg.tone)
    whole = MUTED if pen.muted else THICK
    for shade, thick in ((pen.line(casing), whole), (pen.wire(fill), whole - rim)):
        pen.svg.path(
            data, fill="none", stroke=shade, stroke_width=thick, stroke_linecap="round",
            stroke_linejoin="round",
        )  # fmt: skip
