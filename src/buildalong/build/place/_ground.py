"""The ground plans of bodies on the grid of holes: boxes and circles, and the gaps between them.

Lengths are in pitches; x runs from column a to j, y along the rows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from buildalong.board import Board
from buildalong.circuit import Part

__all__ = [
    "EDGE",
    "LEAD_REACH",
    "LEANING",
    "PITCH",
    "Bits",
    "Box",
    "Floats",
    "Ints",
    "beside",
    "body_boxes",
    "edges_of",
    "gap",
    "straight_boxes",
]

PITCH = 2.54
LEAD_REACH = 0.2
"""How far a bent lead stands out beyond its hole, pitches."""
LEANING = 0.15
"""How far a body that leans towards a rail stands out beyond half its width, pitches."""
EDGE = 1e-6

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Bits = npt.NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class Box:
    """The ground plan of a body: x0, y0, x1, y1 in pitches; ``round`` means the circle inside it."""

    x0: float
    y0: float
    x1: float
    y1: float
    round: bool = False

    def holds(self, x: float, y: float, margin: float = 0.0) -> bool:
        """Whether a point lies under the body, enlarged by a margin on every side."""
        if self.round:
            cx, cy, r = (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2, (self.x1 - self.x0) / 2 + margin
            return (x - cx) ** 2 + (y - cy) ** 2 < r * r - EDGE
        return (
            self.x0 - margin + EDGE < x < self.x1 + margin - EDGE
            and self.y0 - margin + EDGE < y < self.y1 + margin - EDGE
        )


def edges_of(board: Board) -> Box:
    """The outline of a board, its holes in the middle; its size is the makers'."""
    xs, ys = zip(*board.holes.values(), strict=True)
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    half = [size / PITCH / 2 for size in board.size_mm]
    return Box(middle[0] - half[0], middle[1] - half[1], middle[0] + half[0], middle[1] + half[1])


def beside(edges: Box, points: Sequence[tuple[float, float]]) -> bool:
    """Whether a wire through these points leaves the board."""
    return any(not (edges.x0 <= x <= edges.x1 and edges.y0 <= y <= edges.y1) for x, y in points)


def gap(a: Box, b: Box) -> float:
    """The gap between two bodies, pitches; negative where they overlap."""
    if a.round and b.round:
        cx, cy = (a.x0 + a.x1 - b.x0 - b.x1) / 2, (a.y0 + a.y1 - b.y0 - b.y1) / 2
        return math.hypot(cx, cy) - (a.x1 - a.x0) / 2 - (b.x1 - b.x0) / 2
    if b.round:
        a, b = b, a
    if a.round:
        cx, cy = (a.x0 + a.x1) / 2, (a.y0 + a.y1) / 2
        return math.hypot(max(b.x0 - cx, cx - b.x1, 0), max(b.y0 - cy, cy - b.y1, 0)) - (a.x1 - a.x0) / 2
    return max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1)


def body_boxes(part: Part, places: Sequence[tuple[float, float]]) -> tuple[Box, ...]:
    """The ground plan of a part whose legs stand at ``places``; nothing for an off-board part."""
    body = part.type.body
    if body.kind == "off-board":
        return ()
    xs, ys = [p[0] for p in places], [p[1] for p in places]
    cx, cy = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    width = body.width / PITCH
    if body.kind == "rigid":
        across = max(leg.at[0] for leg in body.legs) - min(leg.at[0] for leg in body.legs)
        turned = abs((max(xs) - min(xs)) - across) > EDGE
        length = body.length / PITCH
        dx, dy = (length, width) if turned else (width, length)
        round_body = body.length == body.width and body.shape in ("buzzer", "can", "dome")
        return (Box(cx - dx / 2, cy - dy / 2, cx + dx / 2, cy + dy / 2, round_body),)
    along_rows = max(ys) - min(ys) >= max(xs) - min(xs)
    if body.kind == "radial" and body.length == body.width:
        r = width / 2
        return (Box(cx - r, cy - r, cx + r, cy + r, True),)
    reach = (max(ys) - min(ys) if along_rows else max(xs) - min(xs)) / 2 + LEAD_REACH
    half = max(reach, body.length / PITCH / 2)
    if along_rows:
        return (Box(min(cx - width / 2, min(xs)), cy - half, max(cx + width / 2, max(xs)), cy + half),)
    tilt = width / 2 + LEANING * (max(ys) - min(ys) > EDGE)
    return (Box(cx - half, min(cy - tilt, min(ys)), cx + half, max(cy + tilt, max(ys))),)


def straight_boxes(part: Part, x: Floats, y: Floats) -> tuple[Floats, bool]:
    """:func:`body_boxes` of a two-legged part for many places at once."""
    body = part.type.body
    x0, x1, y0, y1 = x.min(1), x.max(1), y.min(1), y.max(1)
    cx, cy, half = (x0 + x1) / 2, (y0 + y1) / 2, body.width / PITCH / 2
    if body.kind == "radial" and body.length == body.width:
        return np.stack([cx - half, cy - half, cx + half, cy + half], axis=1), True
    along = y1 - y0 >= x1 - x0
    tilt = half + LEANING * (y1 - y0 > EDGE)
    reach = np.maximum(np.where(along, y1 - y0, x1 - x0) / 2 + LEAD_REACH, body.length / PITCH / 2)
    return (
        np.stack(
            [
                np.where(along, np.minimum(cx - half, x0), cx - reach),
                np.where(along, cy - reach, np.minimum(cy - tilt, y0)),
                np.where(along, np.maximum(cx + half, x1), cx + reach),
                np.where(along, cy + reach, np.maximum(cy + tilt, y1)),
            ],
            axis=1,
        ),
        False,
    )
