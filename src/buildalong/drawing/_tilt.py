"""The tilted view's geometry: plan and height to the page, and solids drawn with flat shades.

Orthographic axonometry (ISO 5456-3): parallel lines stay parallel and equal lengths along one
direction stay equal, so that heights can be compared all over the board.  The plan is turned by
:data:`YAW` and looked at from :data:`ELEVATION` above the table.  Lengths in user units (0.1 mm).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point, Pose
from buildalong.drawing._pen import THIN
from buildalong.drawing._svg import Svg, number

__all__ = [
    "ELEVATION",
    "FROM_THE_LEFT",
    "FROM_THE_RIGHT",
    "YAW",
    "Eye",
    "Solids",
    "Space",
    "circle",
    "covers",
    "hull",
    "rectangle",
    "slices",
    "within",
]

YAW, ELEVATION = 20.0, 50.0
"""Turn of the plan and height of the eye [degrees]: our choice, see docs/decisions."""
_LOW, _HIGH = math.sin(math.radians(ELEVATION)), math.cos(math.radians(ELEVATION))
Space = tuple[float, float, float]
CORNERS = 28
"""Corners of the polygon that stands for a circle."""


@dataclass(frozen=True)
class Eye:
    """Where the board is looked at from: ``yaw`` is the turn of the plan [degrees]."""

    yaw: float

    @property
    def _turn(self) -> Point:
        return math.cos(math.radians(self.yaw)), math.sin(math.radians(self.yaw))

    @property
    def way(self) -> Space:
        """The way from any place to the eye: all places along it stand at one point of the page."""
        cos, sin = self._turn
        return sin, cos, _LOW / _HIGH

    def project(self, x: float, y: float, z: float = 0.0) -> Point:
        """Where a place of the plan at height z stands on the page."""
        cos, sin = self._turn
        return x * cos - y * sin, (x * sin + y * cos) * _LOW - z * _HIGH

    def depth(self, x: float, y: float) -> float:
        """How near a place of the plan is to the eye; nearer ones are drawn later."""
        cos, sin = self._turn
        return x * sin + y * cos

    def matrix(self, z: float = 0.0) -> str:
        """The transform that lays a drawing of the plan on the page at height z."""
        cos, sin = self._turn
        figures = (cos, sin * _LOW, -sin, cos * _LOW)
        return f"matrix({' '.join(f'{v:.4f}' for v in figures)} 0 {number(-z * _HIGH)})"


FROM_THE_RIGHT, FROM_THE_LEFT = Eye(YAW), Eye(-YAW)
"""The usual eye, and the one that looks at the other side of everything."""


def circle(x: float, y: float, radius: float) -> tuple[Point, ...]:
    """The corners of a circle in the plan."""
    turns = (2 * math.pi * i / CORNERS for i in range(CORNERS))
    return tuple((x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns)


def rectangle(x: float, y: float, half: float, high: float) -> tuple[Point, ...]:
    """The corners of a rectangle in the plan about its middle."""
    return ((x - half, y - high), (x + half, y - high), (x + half, y + high), (x - half, y + high))


def hull(points: Iterable[Point]) -> list[Point]:
    """The convex polygon around points (Andrew's monotone chain)."""
    rows = sorted(set(points))
    sides: list[list[Point]] = []
    for order in (rows, rows[::-1]):
        side: list[Point] = []
        for p in order:
            while len(side) > 1 and _cross(side[-2], side[-1], p) <= 0:
                side.pop()
            side.append(p)
        sides.append(side[:-1])
    return sides[0] + sides[1]


def covers(outline: Sequence[Point], box: tuple[float, float, float, float]) -> bool:
    """Whether a hull (see :func:`hull`) covers any of a rectangle: no line along a side parts them."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    if max(xs) <= box[0] or box[2] <= min(xs) or max(ys) <= box[1] or box[3] <= min(ys):
        return False
    corners = [(x, y) for x in box[::2] for y in box[1::2]]
    sides = pairwise((*outline, outline[0]))
    return not any(all(_cross(a, b, corner) <= 0 for corner in corners) for a, b in sides)


def within(outline: Sequence[Point], places: Sequence[Point]) -> NDArray[np.float64]:
    """How deep in a hull (see :func:`hull`) each place lies; negative outside of it."""
    corners, at = np.array(outline), np.array(places).reshape(-1, 2)
    sides = np.roll(corners, -1, axis=0) - corners
    x, y = (at[None, :, axis] - corners[:, None, axis] for axis in (0, 1))
    depths = (sides[:, None, 0] * y - sides[:, None, 1] * x) / np.hypot(*sides.T)[:, None]
    return np.asarray(depths.min(axis=0))


def slices(outline: Sequence[Point], high: float) -> list[tuple[float, float, float, float]]:
    """Rectangles that cover a hull closely, one below the other, about so high."""
    top, bottom = min(y for _, y in outline), max(y for _, y in outline)
    count = max(1, round((bottom - top) / high))
    edges = [top + (bottom - top) * index / count for index in range(count + 1)]
    out = []
    for y0, y1 in pairwise(edges):
        xs = [x for x, y in outline if y0 <= y <= y1]
        for (xa, ya), (xb, yb) in pairwise((*outline, outline[0])):
            xs += [xa + (xb - xa) * (y - ya) / (yb - ya) for y in (y0, y1) if min(ya, yb) < y < max(ya, yb)]
        if xs:
            out.append((min(xs), y0, max(xs), y1))
    return out


def _cross(o: Point, a: Point, b: Point) -> float:
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


@dataclass(frozen=True)
class Solids:
    """Draws solids of a body whose local frame is ``pose``; ``marks`` and ``leads`` collect what is drawn."""

    svg: Svg
    pose: Pose
    marks: list[Point]
    eye: Eye = FROM_THE_RIGHT
    leads: list[list[Point]] = field(default_factory=list)
    """The lines of bare leads on the page."""

    def at(self, point: Point, z: float) -> Point:
        """A local place at a height, on the page."""
        return self.eye.project(*self.pose.place(point), z)

    def facing(self, nx: float, ny: float) -> float:
        """How much a local direction of the plan looks at the eye: 1 straight, negative away."""
        x, y = self.pose.place((nx, ny))
        return self.eye.depth(x - self.pose.x, y - self.pose.y)

    def prism(
        self,
        outline: Sequence[Point],
        low: float,
        high: float,
        fill: str,
        edge: str,
        smooth: bool = False,
        lid: bool = True,
    ) -> None:
        """An upright solid over a convex outline; its sides are shaded flat by how they look at the eye.

        A ``smooth`` one is round: one shade all around.  Without a ``lid`` its top has no outline.
        """
        fill = self.svg.tone.colour(fill)
        bottom = [self.at(p, low) for p in outline]
        top = [self.at(p, high) for p in outline]
        shape = hull([*bottom, *top])
        self.marks.extend(shape)
        if smooth:
            self.polygon(shape, palette.mix(fill, "#000000", 0.22), edge)
        if not smooth:
            for index, (a, b) in enumerate(zip(outline, (*outline[1:], outline[0]), strict=True)):
                nx, ny = b[1] - a[1], a[0] - b[0]
                length = math.hypot(nx, ny) or 1.0
                looks = self.facing(nx / length, ny / length)
                if looks > 0.02:
                    after = (index + 1) % len(outline)
                    face = [bottom[index], bottom[after], top[after], top[index]]
                    self.polygon(face, palette.mix(fill, "#000000", 0.42 - 0.28 * looks), edge)
        self.polygon(top, fill, edge if lid else None)

    def polygon(
        self, points: Sequence[Point], fill: str, edge: str | None = None, thick: float = THIN
    ) -> None:
        """A flat face given on the page."""
        self.svg.polygon(
            points, fill=fill, stroke=edge, stroke_width=thick * self.svg.tone.line if edge else None,
            stroke_linejoin="round" if edge else None,
        )  # fmt: skip

    def flat(self, outline: Sequence[Point], z: float, fill: str, edge: str | None = None) -> None:
        """A flat face of the plan at a height."""
        self.polygon([self.at(p, z) for p in outline], fill, edge, 1.4)

    def rod(
        self, points: Sequence[Space], thick: float, fill: str, casing: str, cap: str = "round",
        rim: float = 3.2,
    ) -> list[Point]:  # fmt: skip
        """A lead or a wire through local places (x, y, z), narrower than its casing by the rim; its line."""
        line = [self.at((x, y), z) for x, y, z in points]
        for colour, width in ((casing, thick), (fill, thick - rim)):
            self.svg.polyline(
                line, fill="none", stroke=colour, stroke_width=width, stroke_linecap=cap,
                stroke_linejoin="round",
            )  # fmt: skip
        return line

    def lead(self, *points: Space, thick: float = 6.6) -> None:
        """A bare lead."""
        self.leads.append(self.rod(points, thick, palette.METAL, palette.METAL_EDGE))
