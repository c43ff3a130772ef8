"""SchematicLayout: where each symbol stands, how the wires run, where the dots and texts are.

Wires, dots and terminals stand on a grid and are given in cells; bodies and texts are given in
user units (``CELL`` to the cell).  x grows to the right, y downwards.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import NamedTuple

from buildalong.circuit import Pin
from buildalong.drawing import _text
from buildalong.drawing._picture import MM_PER_POINT
from buildalong.drawing._text import Anchor, Box, Style

__all__ = [
    "CELL",
    "GAP",
    "MARGIN",
    "PAGE",
    "RAIL_WORDS",
    "Label",
    "Point",
    "SchematicLayout",
    "Segment",
    "Statistics",
    "Stroke",
    "Symbol",
    "page_width",
    "statistics",
]  # fmt: skip

CELL = 20.0
"""User units in one cell of the grid."""
MARGIN = 10.0
"""Around the drawing, user units."""
PAGE = 177.0
"""Width between the margins of a printed A4 page, millimetres; no text may be under 9 points there."""
RAIL_WORDS = 9.0
"""From a rail's terminal to its words."""
GAP = 8.0
"""Least distance of a text from everything that it does not belong to, in user units."""


class Point(NamedTuple):
    """A point of the grid, in cells."""

    x: int
    y: int


class Segment(NamedTuple):
    """A straight wire from one point of the grid to another, level or upright; ``start`` before ``end``."""

    start: Point
    end: Point

    def covers(self, point: Point) -> bool:
        """Whether the point lies on the wire, ends included."""
        (x1, y1), (x2, y2) = self
        return x1 <= point.x <= x2 and y1 <= point.y <= y2

    @property
    def length(self) -> int:
        """Length in cells."""
        return self.end.x - self.start.x + self.end.y - self.start.y


@dataclass(frozen=True, slots=True)
class Stroke:
    """One primitive of a symbol: ``kind`` and its figures in user units, already in place."""

    kind: str
    at: tuple[float, ...]
    text: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """A text with its baseline at (x, y); ``role`` is ref, value, pin, name, supply, net, volts or amps."""

    text: str
    x: float
    y: float
    size: float
    anchor: Anchor
    style: Style
    role: str
    net: str = ""
    """The net whose voltage it is, where a page may write another in its place."""

    @property
    def box(self) -> Box:
        """The rectangle of capitals and figures: left, top, right, bottom."""
        left, _, right, _ = _text.box(self.x, self.y, self.text, self.size, self.anchor, self.style)
        return left, self.y - _text.CAP_HEIGHT * self.size, right, self.y


@dataclass(frozen=True, slots=True)
class Symbol:
    """A part, one unit of it, or one rail terminal of the supply, drawn at its place.

    ``terminals`` gives the end of each lead on the grid; ``body`` is the rectangle of the drawing
    without its leads; ``labels`` are the texts that belong to it.
    """

    part: str
    unit: str
    terminals: tuple[tuple[Pin, Point], ...]
    leads: tuple[Stroke, ...]
    strokes: tuple[Stroke, ...]
    body: Box
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class SchematicLayout:
    """The whole drawing; ``plain`` says that it is the orderly last resort instead of the fine drawing.

    ``marks`` are drawn over it, such as arrows of currents.
    """

    symbols: tuple[Symbol, ...]
    segments: tuple[Segment, ...]
    dots: tuple[Point, ...]
    labels: tuple[Label, ...] = ()
    rows: tuple[int, int] = (0, 0)
    plain: bool = False
    marks: tuple[Stroke, ...] = ()


@dataclass(frozen=True, slots=True)
class Statistics:
    """Wire length in cells, bends, crossings and dots of a drawing, its rails left out."""

    length: int
    bends: int
    crossings: int
    dots: int


def page_width(smallest: float) -> float:
    """Width [user units] of what fits on a page where texts of this size have nine points."""
    return PAGE / (9.0 * MM_PER_POINT) * smallest - 2 * MARGIN - 2.0


def statistics(layout: SchematicLayout) -> Statistics:
    """Count wire length, bends, crossings and dots; what lies on the rails counts for none of them."""
    on_rail = [s for s in layout.segments if s.start.y == s.end.y and s.start.y in layout.rows]
    rest = [s for s in layout.segments if s not in on_rail]
    ends = Counter(p for s in layout.segments for p in s)
    leads = {p for symbol in layout.symbols for _, p in symbol.terminals}
    dots = set(layout.dots)
    bends = 0
    for point, count in ends.items():
        flat = [s for s in layout.segments if point in s and s.start.y == s.end.y]
        if (
            count == 2
            and len(flat) == 1
            and point not in dots
            and point not in leads
            and point.y not in layout.rows
        ):
            bends += 1
    bends += sum(
        _turns_at_lead(layout, pin_at, symbol) for symbol in layout.symbols for _, pin_at in symbol.terminals
    )
    crossings = 0
    for level in (s for s in layout.segments if s.start.y == s.end.y):
        for upright in (s for s in layout.segments if s.start.x == s.end.x):
            point = Point(upright.start.x, level.start.y)
            inside = level.start.x < point.x < level.end.x and upright.start.y < point.y < upright.end.y
            crossings += inside and point not in dots
    return Statistics(
        sum(s.length for s in rest), bends, crossings, sum(dot.y not in layout.rows for dot in layout.dots)
    )


def _turns_at_lead(layout: SchematicLayout, point: Point, symbol: Symbol) -> bool:
    """Whether a wire leaves a lead's end at a right angle (a bend like any other)."""
    if point in layout.dots or not symbol.leads or point.y in layout.rows:
        return False
    near = min(
        symbol.leads,
        key=lambda lead: min(
            abs(lead.at[i] - point.x * CELL) + abs(lead.at[i + 1] - point.y * CELL) for i in (0, 2)
        ),
    )
    level_lead = abs(near.at[1] - near.at[3]) < 1e-6
    return any(point in s and (s.start.y == s.end.y) != level_lead for s in layout.segments)
