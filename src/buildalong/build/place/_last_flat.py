"""Where a straight wire can lie flat in a layout: over no body and no hole in use, along no other wire."""

from __future__ import annotations

from itertools import pairwise

from buildalong.board import Layout
from buildalong.build.place._geometry import RAIL_SLANT
from buildalong.build.place._ground import EDGE
from buildalong.build.place._last import Ask, Point, bodies
from buildalong.build.place._route import WIRE_ROOM

__all__ = ["FlatWays"]

APART = 0.6
"""Pitches from the middle of a flat wire to that of another along it, and to a hole in use."""
STEP = 0.5
"""Pitches between the places of a wire that are looked at for bodies, as in the search."""


class FlatWays:
    """What stands in the way of flat wires."""

    def __init__(self, ask: Ask, layout: Layout) -> None:
        board = layout.board
        self.boxes = bodies(ask.circuit, layout)
        self.used = [board.holes[hole] for hole, _ in layout.used()]
        self.railed = {place for hole, place in board.holes.items() if board.rail_of(hole)}
        lines = [layout.line(wire) for wire in layout.wires if wire.style != "flexible"]
        self.pieces = [piece for line in lines for piece in pairwise(line)]

    def open(self, a: Point, b: Point) -> bool:
        """Whether a straight wire can lie flat between two open holes; one to a rail may lean a little."""
        leans = RAIL_SLANT if len({a, b} & self.railed) == 1 else 0.0
        if a[0] != b[0] and abs(a[1] - b[1]) > leans:
            return False
        steps = max(1, round((abs(a[0] - b[0]) + abs(a[1] - b[1])) / STEP))
        way = [(a[0] + (b[0] - a[0]) * k / steps, a[1] + (b[1] - a[1]) * k / steps) for k in range(steps + 1)]
        if any(box.holds(x, y, WIRE_ROOM) for box in self.boxes for x, y in way):
            return False
        if any(_touches(a, b, place, place) for place in self.used):
            return False
        upright = a[0] == b[0]
        return not any(_touches(a, b, c, d) for c, d in self.pieces if (c[0] == d[0]) == upright)


def _touches(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two pieces that lie alike come nearer than flat wires may."""
    return all(
        min(a[k], b[k]) - APART + EDGE < max(c[k], d[k]) and min(c[k], d[k]) < max(a[k], b[k]) + APART - EDGE
        for k in (0, 1)
    )
