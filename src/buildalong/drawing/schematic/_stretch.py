"""A finished drawing pulled a little longer at one place, so that a number finds room there.

Nothing is turned or comes closer to anything else: what lies beyond the cut moves away, and the wires that
cross it grow.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from buildalong.circuit import Circuit, Pin
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._draw import extent
from buildalong.drawing.schematic._layout import (
    CELL,
    Label,
    Point,
    SchematicLayout,
    Segment,
    Symbol,
    page_width,
)
from buildalong.drawing.schematic._shape import SMALL
from buildalong.drawing.schematic._shape import moved as moved_stroke

__all__ = ["stretched"]


def stretched(circuit: Circuit, layout: SchematicLayout, pins: Collection[Pin]) -> Iterator[SchematicLayout]:
    """The layout with one or two cells more beside a lead of these pins, at each place where it is sound."""
    cuts = {
        (axis, point[axis], beyond)
        for symbol in layout.symbols
        for pin, point in symbol.terminals
        for axis in (0, 1)
        for beyond in (False, True)
        if pin in pins
    }
    for axis, at, beyond in sorted(cuts):
        once = _pulled(layout, axis, at, beyond=beyond)
        for out in (once, _pulled(once, axis, at, beyond=beyond)):
            left, _, right, _ = extent(out)
            if right - left <= page_width(SMALL) and not check(circuit, out):
                yield out


def _pulled(layout: SchematicLayout, axis: int, at: int, *, beyond: bool) -> SchematicLayout:
    """Everything from a column (axis 0) or row (axis 1) on moved one cell; ``beyond``: all past it.

    A symbol whose body lies on one side of the cut stays on that side, and a wire ties it to the other.
    """
    first = at + beyond

    def moved(point: Point) -> Point:
        x, y = point
        return point if point[axis] < first else Point(x + 1, y) if axis == 0 else Point(x, y + 1)

    symbols, ties = [], set()
    for symbol in layout.symbols:
        near, far = symbol.body[axis], symbol.body[axis + 2]
        moves = near > at * CELL if beyond else far >= at * CELL
        symbols.append(_shifted(symbol, axis) if moves else symbol)
        ties |= {point for _, point in symbol.terminals if (point[axis] >= first) is not moves}
    segments = [Segment(moved(start), moved(end)) for start, end in layout.segments]
    after = [Segment(Point(x, y), Point(x + (axis == 0), y + (axis == 1))) for x, y in ties]
    return replace(
        layout,
        symbols=tuple(symbols),
        segments=tuple(sorted([*segments, *after])),
        dots=tuple(moved(dot) for dot in layout.dots),
        labels=tuple(
            _label(label, axis) if (label.x, label.y)[axis] >= first * CELL else label
            for label in layout.labels
        ),
        rows=(layout.rows[0] + (axis == 1 and layout.rows[0] >= first),
              layout.rows[1] + (axis == 1 and layout.rows[1] >= first)),
    )  # fmt: skip


def _shifted(symbol: Symbol, axis: int) -> Symbol:
    left, top, right, bottom = symbol.body
    dx, dy = (CELL, 0.0) if axis == 0 else (0.0, CELL)
    return replace(
        symbol,
        terminals=tuple((pin, Point(x + (axis == 0), y + (axis == 1))) for pin, (x, y) in symbol.terminals),
        leads=tuple(moved_stroke(stroke, dx, dy) for stroke in symbol.leads),
        strokes=tuple(moved_stroke(stroke, dx, dy) for stroke in symbol.strokes),
        body=(left + dx, top + dy, right + dx, bottom + dy),
        labels=tuple(_label(label, axis) for label in symbol.labels),
    )


def _label(label: Label, axis: int) -> Label:
    return replace(label, x=label.x + CELL) if axis == 0 else replace(label, y=label.y + CELL)
