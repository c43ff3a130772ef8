"""What it costs a flexible wire to lie anywhere on a board, as a map of quarter pitches."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from buildalong.board import Layout, outline_of
from buildalong.circuit import Circuit

__all__ = ["CELL", "Ground", "Point"]

Point = tuple[float, float]
Floats = npt.NDArray[np.float64]

CELL = 0.25
"""Side of a cell of the map [pitches]."""
EDGE_X, EDGE_Y = 1.0, 0.75
"""So far beyond the outermost holes the map reaches [pitches]: to the edge of the board."""
SIDE = 0.3
"""From the middle of a wire to what it just does not touch [pitches]."""
BODY, RIM = 8.0, 2.5
"""What a pitch of wire costs on a body, more for a tall one, and touching it; a pitch elsewhere costs 1."""
TALL = 5.0
"""A body of this height [mm] costs twice."""
HOLE, HOLE_ROOM = 24.0, 0.45
"""The same on a hole in use, which it hides so far from its middle [pitches]."""
LEAD, LEAD_ROOM = 1.0, 0.3
"""The same over the bare lead of a part, and over where a lead from beside the board comes in."""
LINE, LINE_ROOM = 5.0, 0.5
"""The same along another wire or over it."""


class Ground:
    """The map of a layout without its flexible wires."""

    def __init__(self, circuit: Circuit, layout: Layout) -> None:
        board = layout.board
        xs, ys = zip(*board.holes.values(), strict=True)
        self.low: Point = (min(xs) - EDGE_X, min(ys) - EDGE_Y)
        shape = [
            round((max(values) + edge - low) / CELL) + 1
            for values, edge, low in zip((xs, ys), (EDGE_X, EDGE_Y), self.low, strict=True)
        ]
        self.x = self.low[0] + CELL * np.arange(shape[0])
        self.y = self.low[1] + CELL * np.arange(shape[1])
        self.cost: Floats = np.ones(shape)
        self._stand(circuit, layout)
        self.used = {board.holes[hole] for hole, _ in layout.used() if hole in board.holes}
        for place in self.used:
            self.add([place] * 2, HOLE, HOLE_ROOM)

    def _stand(self, circuit: Circuit, layout: Layout) -> None:
        """Bodies, their leads, and leads from beside the board."""
        board = layout.board
        for part in circuit.parts:
            holes = layout.holes.get(part.id, ())
            places = [board.holes[hole] for hole in holes if hole in board.holes]
            if part.type.body.kind == "off-board":
                for x, y in places:
                    edge = self.x[0] if x < (self.x[0] + self.x[-1]) / 2 else self.x[-1]
                    self.add([(x, y), (float(edge), y)], LEAD, LEAD_ROOM)
            elif outline := outline_of(part.type, board, holes):
                far = self._beyond(outline)
                high = BODY * (1 + part.type.body.height / TALL)
                self.cost += np.where(far <= 0, high, np.where(far < SIDE, RIM, 0.0))
                if not part.type.body.legs:
                    self.add(places, LEAD, LEAD_ROOM)

    def add(self, line: Sequence[Point], cost: float = LINE, room: float = LINE_ROOM) -> None:
        """Something that lies along a line, or, with a negative cost, is taken away again."""
        for (ax, ay), (bx, by) in pairwise(line):
            across = slice(*self._between(self.x, min(ax, bx) - room, max(ax, bx) + room))
            along = slice(*self._between(self.y, min(ay, by) - room, max(ay, by) + room))
            squared = _squared(self.x[across, None], self.y[None, along], (ax, ay), (bx, by))
            self.cost[across, along] += cost * (squared < room * room - 1e-9)

    @contextmanager
    def entered(self, *ends: Point) -> Iterator[None]:
        """The map for a wire with its ends in these holes."""
        own = [[end] * 2 for end in ends if end in self.used]
        for place in own:
            self.add(place, -HOLE, HOLE_ROOM)
        yield
        for place in own:
            self.add(place, HOLE, HOLE_ROOM)

    @staticmethod
    def _between(values: Floats, low: float, high: float) -> tuple[int, int]:
        return int(np.searchsorted(values, low)), int(np.searchsorted(values, high, "right"))

    def _beyond(self, outline: Sequence[Point]) -> Floats:
        """How far each cell lies outside a convex outline [pitches]; negative or 0 inside."""
        x, y = self.x[:, None], self.y[None, :]
        outside = np.full(self.cost.shape, math.inf)
        side = [np.full(self.cost.shape, False), np.full(self.cost.shape, False)]
        for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
            outside = np.minimum(outside, np.sqrt(_squared(x, y, (ax, ay), (bx, by))))
            turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
            side[0] |= turn > 0
            side[1] |= turn < 0
        return np.where(side[0] & side[1], outside, 0.0)

    def cell(self, place: Point) -> tuple[int, int]:
        """The cell nearest to a place on the board."""
        return (
            min(max(round((place[0] - self.low[0]) / CELL), 0), len(self.x) - 1),
            min(max(round((place[1] - self.low[1]) / CELL), 0), len(self.y) - 1),
        )

    def along(self, start: Point, ends: Floats) -> Floats:
        """What straight ways from one place to each of ``ends``, shape (n, 2), cost, shape (n,)."""
        steps = int(max(2, np.ceil(2 * np.abs(ends - start).max() / CELL)))
        shares = (np.arange(steps) + 0.5)[:, None, None] / steps
        ways = np.array(start) * (1 - shares) + ends * shares
        i = np.rint((ways[:, :, 0] - self.low[0]) / CELL).astype(np.int64)
        j = np.rint((ways[:, :, 1] - self.low[1]) / CELL).astype(np.int64)
        length = np.hypot(ends[:, 0] - start[0], ends[:, 1] - start[1])
        return np.asarray(self.cost[i, j].mean(axis=0) * length)


def _squared(x: Floats, y: Floats, a: Point, b: Point) -> Floats:
    """The square of the distance of each place from the straight line from a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    share = np.clip(((x - a[0]) * dx + (y - a[1]) * dy) / max(dx * dx + dy * dy, 1e-12), 0.0, 1.0)
    return np.asarray((x - a[0] - share * dx) ** 2 + (y - a[1] - share * dy) ** 2)
