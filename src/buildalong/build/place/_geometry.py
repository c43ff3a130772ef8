"""The board's holes and strips by number, and everywhere that a part can stand on them, as arrays.

The rules of docs/placement.md hold: parts lie along a column or straight across the trench, or reach from a
row to a rail.  Nets are not looked at here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.board import Board
from buildalong.build.place._ground import EDGE, Bits, Floats, Ints, body_boxes, straight_boxes
from buildalong.circuit import Part

__all__ = ["RAIL_SLANT", "Geometry", "Stands", "stands"]

RAIL_SLANT = 0.5
"""Rails may be out of line with the rows by this much, pitches; a lead takes it without a bend."""


@dataclass(frozen=True)
class Stands:
    """Everywhere that parts of one shape can stand, before nets are looked at."""

    holes: Ints
    boxes: Floats
    rounds: tuple[bool, ...]
    leg_bits: Bits
    cover_bits: Bits


def stands(parts: Sequence[Part], sets: Sequence[tuple[int, ...]], g: Geometry) -> Stands:
    """Candidates of these parts, whose legs follow one another in ``sets``."""
    width = sum(len(p.type.leg_terminals) for p in parts) if parts[0].type.body.kind != "off-board" else 1
    holes = np.array(sets, np.int64).reshape(len(sets), width)
    plans: list[Floats] = []
    rounds: list[bool] = []
    leg = 0
    for part in parts:
        own = holes[:, leg : leg + len(part.type.leg_terminals)]
        leg += len(part.type.leg_terminals)
        body = part.type.body
        if body.kind == "off-board" or not len(sets):
            continue
        if body.kind == "rigid":
            corners = [body_boxes(part, list(zip(g.x[h], g.y[h], strict=True)))[0] for h in own]
            plans.append(np.array([(b.x0, b.y0, b.x1, b.y1) for b in corners], float))
            rounds.append(corners[0].round)
        else:
            boxes, is_round = straight_boxes(part, g.x[own], g.y[own])
            plans.append(boxes)
            rounds.append(is_round)
    boxes = np.stack(plans, axis=1) if plans else np.zeros((len(sets), 0, 4))
    leg_bits = g.bits(holes)
    cover = np.zeros_like(leg_bits)
    for body_number, is_round in enumerate(rounds):
        cover |= g.bits_under(boxes[:, body_number], is_round)
    return Stands(holes, boxes, tuple(rounds), leg_bits, cover & ~leg_bits)


class Geometry:
    """The board's holes and strips by number; ``rows`` leaves out the rows below (a smaller search)."""

    def __init__(self, board: Board, rows: int | None = None) -> None:
        self.board = board
        self.rows = min(rows or board.rows, board.rows)
        places = {name: p for name, p in board.holes.items() if p[1] <= self.rows}
        self.names = list(places)
        self.number = {name: i for i, name in enumerate(self.names)}
        self.x = np.array([p[0] for p in places.values()], float)
        self.y = np.array([p[1] for p in places.values()], float)
        self.strip_names = [name for name, holes in board.strips.items() if any(h in places for h in holes)]
        strip_number = {name: i for i, name in enumerate(self.strip_names)}
        self.strip = np.array([strip_number[board.strip_of[name]] for name in self.names], np.int64)
        self.strip_holes = [
            [self.number[h] for h in board.strips[s] if h in places] for s in self.strip_names
        ]
        self.rail = np.array([name[0] in "LR" for name in self.strip_names])
        self.at = {(float(x), float(y)): i for i, (x, y) in enumerate(places.values())}
        self.words = (len(self.names) + 63) // 64
        self.row = np.array(
            [0.0 if r else self.y[h[0]] for h, r in zip(self.strip_holes, self.rail, strict=True)]
        )
        self.right = np.array([self.x[h[0]] > 5.5 for h in self.strip_holes])
        self.sign = np.array([0 if n[0] not in "LR" else 1 if n[1] == "+" else -1 for n in self.names])
        self._known: dict[object, Stands] = {}
        self._tables: dict[float, Ints] = {}

    def stands(self, part: Part) -> Stands:
        """Everywhere that a part (or one lead of an off-board part) can stand at all."""
        body = part.type.body
        key: tuple[object, ...] = (
            body.kind,
            body.span,
            body.legs,
            body.straddles,
            body.length,
            body.width,
            body.shape,
        )
        if body.kind == "off-board":
            key = ("off-board",)
        if key not in self._known:
            if body.kind == "off-board":
                sets: Iterable[tuple[int, ...]] = ((h,) for h in range(len(self.names)))
            else:
                sets = rigid_sets(part, self) if body.kind == "rigid" else leg_pairs(part, self)
            self._known[key] = stands([part], list(sets), self)
        return self._known[key]

    def bits(self, holes: Ints) -> Bits:
        """Holes (n, k) as bits (n, words)."""
        out = np.zeros((len(holes), self.words), np.uint64)
        index = np.arange(len(holes))
        for leg in range(holes.shape[1]):
            h = holes[:, leg]
            out[index, h // 64] |= np.uint64(1) << (h % 64).astype(np.uint64)
        return out

    def bits_under(self, boxes: Floats, is_round: bool) -> Bits:
        """The holes under each of many bodies (n, 4), as bits (n, words)."""
        out = np.zeros((len(boxes), self.words), np.uint64)
        index = np.arange(len(boxes))
        x0, y0, x1, y1 = boxes.T
        cx, cy, r2 = (x0 + x1) / 2, (y0 + y1) / 2, ((x1 - x0) / 2) ** 2
        for column in sorted({float(x) for x in self.x}):
            for dy in range(int(np.max(y1 - y0)) + 2):
                y = np.floor(y0) + dy
                for offset in (0.0, 0.5) if self.sign[self.x == column].any() else (0.0,):
                    hole = self.lookup(column, y + offset)
                    yy = y + offset
                    if is_round:
                        under = (column - cx) ** 2 + (yy - cy) ** 2 < r2 - EDGE
                    else:
                        under = (
                            (column > x0 + EDGE) & (column < x1 - EDGE) & (yy > y0 + EDGE) & (yy < y1 - EDGE)
                        )
                    under &= hole >= 0
                    n, h = index[under], hole[under]
                    out[n, h // 64] |= np.uint64(1) << (h % 64).astype(np.uint64)
        return out

    def lookup(self, x: float, y: Floats) -> Ints:
        """The holes at (x, each y); -1 where there is none."""
        table = self._tables.get(x)
        if table is None:
            table = np.full(2 * (self.rows + 8), -1, np.int64)
            for hole in np.flatnonzero(self.x == x):
                table[round(2 * float(self.y[hole])) + 8] = hole
            self._tables[x] = table
        place = np.rint(2 * y).astype(np.int64) + 8
        inside = (place >= 0) & (place < len(table))
        return np.where(inside, table[np.clip(place, 0, len(table) - 1)], -1)

    def rail_net(self, hole: int) -> str:
        """'+' or '-' for a hole on a rail, '' elsewhere."""
        name = self.names[hole]
        return name[1] if name[0] in "LR" else ""


def leg_pairs(part: Part, geometry: Geometry) -> Iterator[tuple[int, int]]:
    """Hole pairs (first leg, second leg) that a two-legged part can reach lying straight."""
    least, most = part.type.body.span
    g = geometry
    columns = sorted({float(x) for x, r in zip(g.x, g.strip, strict=True) if not g.rail[r]})
    rows = range(1, g.rows + 1)
    for x in columns:
        for row in rows:
            for span in range(least, most + 1):
                far = g.at.get((x, float(row + span)))
                if far is not None:
                    yield g.at[x, float(row)], far
                    yield far, g.at[x, float(row)]
    left, right = [x for x in columns if x < 5.5], [x for x in columns if x > 5.5]
    for row in rows:
        for a in left:
            for b in right:
                if least <= b - a <= most:
                    one, two = g.at[a, float(row)], g.at[b, float(row)]
                    yield one, two
                    yield two, one
    for hole in range(len(g.names)):
        if not g.rail_net(hole):
            continue
        x, y = float(g.x[hole]), float(g.y[hole])
        side = left if x < 0 else right
        for row in rows:
            if abs(row - y) > RAIL_SLANT:
                continue
            for b in side:
                if least <= abs(b - x) <= most:
                    yield hole, g.at[b, float(row)]
                    yield g.at[b, float(row)], hole
        other = {-4.0: -3.0, 14.0: 15.0}.get(x)
        if other is not None and least <= 1 <= most:
            yield hole, g.at[other, y]
            yield g.at[other, y], hole


def rigid_sets(part: Part, geometry: Geometry) -> Iterator[tuple[int, ...]]:
    """Holes for every leg of a rigid part, in each of its turns."""
    g = geometry
    offsets = [leg.at for leg in part.type.body.legs]
    turns = [
        offsets,
        [(-dx, -dy) for dx, dy in offsets],
        [(-dy, dx) for dx, dy in offsets],
        [(dy, -dx) for dx, dy in offsets],
    ]
    main = [h for h in range(len(g.names)) if not g.rail_net(h)]
    for turn in turns:
        for first in main:
            ox, oy = turn[0]
            x, y = float(g.x[first]) - ox, float(g.y[first]) - oy
            holes = [g.at.get((x + dx, y + dy)) for dx, dy in turn]
            if any(h is None or g.rail_net(h) for h in holes):
                continue
            found = [h for h in holes if h is not None]
            if part.type.body.straddles and not (g.x[found].min() < 5.5 < g.x[found].max()):
                continue
            yield tuple(found)
