"""Places for a text beside a net: along its wires, and along the leads that go on from them in line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from buildalong.circuit import Circuit
from buildalong.drawing import _text
from buildalong.drawing._text import Style
from buildalong.drawing.schematic._layout import CELL, Label, SchematicLayout, Segment, Symbol
from buildalong.drawing.schematic._shape import SMALL

__all__ = ["Line", "beside", "lead_at", "lines_of"]

OFF = 4.0
"""Distance of a text from its wire or lead, user units."""
Line = tuple[float, float, float, float]
"""From one end to the other, user units."""


def lines_of(circuit: Circuit, layout: SchematicLayout, net: str, wires: Sequence[Segment]) -> Iterator[Line]:
    """The wires of a net, then each with the leads that go on from it in line, then the leads alone.

    Two leads that meet end to end in line are one line.
    """
    leads = [
        lead
        for symbol in layout.symbols
        for pin, point in symbol.terminals
        if pin in circuit.nets[net] and (lead := lead_at(symbol, point.x * CELL, point.y * CELL)) is not None
    ]
    plain = [tuple(v * CELL for point in wire for v in point) for wire in wires]
    yield from ((x1, y1, x2, y2) for x1, y1, x2, y2 in plain)
    for x1, y1, x2, y2 in plain:
        xs, ys = [x1, x2], [y1, y2]
        for x, y, inner_x, inner_y in leads:
            if (x, y) in ((x1, y1), (x2, y2)):
                xs += [inner_x] if y1 == y2 == inner_y else []
                ys += [inner_y] if x1 == x2 == inner_x else []
        if len(xs) + len(ys) > 4:
            yield min(xs), min(ys), max(xs), max(ys)
    for (x, y, x1, y1), (other_x, other_y, x2, y2) in combinations(leads, 2):
        if (x, y) == (other_x, other_y) and (x1 == x2 or y1 == y2):
            yield min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)
    for x, y, inner_x, inner_y in leads:
        yield min(x, inner_x), min(y, inner_y), max(x, inner_x), max(y, inner_y)


def beside(text: str, line: Line, style: Style, role: str) -> Iterator[Label]:
    """Where a text may stand along a wire: over it and under it; beside an upright one."""
    x1, y1, x2, y2 = line
    tall, wide = _text.CAP_HEIGHT * SMALL, _text.width(text, SMALL, style)
    if y1 == y2:
        first, last = x1 + OFF, x2 - OFF - wide
        starts = [(x1 + x2 - wide) / 2, first, last]
        starts += [x1 + OFF + i * CELL / 2 for i in range(int((x2 - x1) / (CELL / 2)))]
        for y in (y1 - OFF, y1 + OFF + tall):
            for x in starts:
                if x1 - 6 <= x and x + wide <= x2 + 6:
                    yield Label(text, x, y, SMALL, "start", style, role)
        return
    middles = [(y1 + y2 + tall) / 2]
    middles += [y1 + CELL / 2 * (i + 1) + tall / 2 for i in range(int((y2 - y1) / (CELL / 2)) - 1)]
    for y in middles:
        yield Label(text, x1 + OFF + 1, y, SMALL, "start", style, role)
        yield Label(text, x1 - OFF - 1, y, SMALL, "end", style, role)


def lead_at(symbol: Symbol, x: float, y: float) -> Line | None:
    """The lead that ends at a terminal, its outer end first, as far as it is outside the symbol's body."""
    left, top, right, bottom = symbol.body
    for stroke in symbol.leads:
        x1, y1, x2, y2 = stroke.at
        if abs(x2 - x) + abs(y2 - y) < 0.5:
            x1, y1, x2, y2 = x2, y2, x1, y1
        if abs(x1 - x) + abs(y1 - y) < 0.5:
            if abs(x1 - x2) < 0.5:
                return x1, y1, x2, min(max(y2, y1), top) if y1 < y2 else max(min(y2, y1), bottom)
            return x1, y1, min(max(x2, x1), left) if x1 < x2 else max(min(x2, x1), right), y2
    return None
