"""Every way in which each part can stand on the board, as arrays the search can work on.

A *unit* is a set of legs that are put down together: one part, one lead of an off-board part, or a
whole row of like lamps.  Its *candidates* are all the places it may take under the rules of
docs/placement.md (parts lie along a column or straight across the trench; leads stand in free holes).
Lengths are in pitches; x runs from column a to j, y along the rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt

from buildalong.board import Board
from buildalong.circuit import Circuit, Part

__all__ = ["Box", "Geometry", "Unit", "body_boxes", "gap", "net_numbers", "single_unit"]

PITCH = 2.54
LEAD_REACH = 0.2
"""How far a bent lead stands out beyond its hole, pitches."""
RAIL_SLANT = 0.5
"""Rails may be out of line with the rows by this much, pitches; a lead takes it without a bend."""
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
    return (Box(cx - half, min(cy - width / 2, min(ys)), cx + half, max(cy + width / 2, max(ys))),)


@dataclass(frozen=True)
class Unit:
    """Legs that are put down together, and everywhere they may stand.

    ``legs``: (part id, leg index).  Arrays over the candidates: ``holes`` (n, legs), ``boxes``
    (n, bodies, 4), ``rounds`` (bodies), ``spread`` (n) = static cost of the place.
    """

    name: str
    legs: tuple[tuple[str, int], ...]
    nets: tuple[int, ...]
    holes: Ints
    boxes: Floats
    rounds: tuple[bool, ...]
    static: Floats
    geometry: Geometry = field(repr=False)

    def __len__(self) -> int:
        """Count the candidates."""
        return len(self.holes)

    @cached_property
    def strips(self) -> Ints:
        """The strip of each leg, (n, legs)."""
        return self.geometry.strip[self.holes]

    @cached_property
    def leg_bits(self) -> Bits:
        """The holes taken, as bits (n, words)."""
        return self.geometry.bits(self.holes)

    @cached_property
    def cover_bits(self) -> Bits:
        """The holes under the bodies, own legs left out, as bits (n, words)."""
        g = self.geometry
        out = np.zeros((len(self), g.words), np.uint64)
        for body, is_round in enumerate(self.rounds):
            box = self.boxes[:, body]
            for word in range(g.words):
                hx, hy = g.x[64 * word : 64 * word + 64], g.y[64 * word : 64 * word + 64]
                if is_round:
                    cx, cy = (box[:, 0] + box[:, 2]) / 2, (box[:, 1] + box[:, 3]) / 2
                    r = (box[:, 2] - box[:, 0]) / 2
                    under = (hx - cx[:, None]) ** 2 + (hy - cy[:, None]) ** 2 < (r * r)[:, None] - EDGE
                else:
                    under = (
                        (hx > box[:, 0, None] + EDGE)
                        & (hx < box[:, 2, None] - EDGE)
                        & (hy > box[:, 1, None] + EDGE)
                        & (hy < box[:, 3, None] - EDGE)
                    )
                weights = np.uint64(1) << np.arange(under.shape[1], dtype=np.uint64)
                out[:, word] |= (under * weights).sum(axis=1, dtype=np.uint64)
        return out & ~self.leg_bits


class Geometry:
    """The board's holes and strips by number, and which rows are in use."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.names = list(board.holes)
        self.number = {name: i for i, name in enumerate(self.names)}
        self.x = np.array([p[0] for p in board.holes.values()], float)
        self.y = np.array([p[1] for p in board.holes.values()], float)
        self.strip_names = list(board.strips)
        strip_number = {name: i for i, name in enumerate(self.strip_names)}
        self.strip = np.array([strip_number[board.strip_of[name]] for name in self.names], np.int64)
        self.strip_holes = [[self.number[h] for h in board.strips[s]] for s in self.strip_names]
        self.rail = np.array([name[0] in "LR" for name in self.strip_names])
        self.at = {(float(x), float(y)): i for i, (x, y) in enumerate(board.holes.values())}
        self.words = (len(self.names) + 63) // 64
        self.row = np.array(
            [self.y[h[0]] if not r else 0.0 for h, r in zip(self.strip_holes, self.rail, strict=True)]
        )
        self.right = np.array([self.x[h[0]] > 5.5 for h in self.strip_holes])

    def bits(self, holes: Ints) -> Bits:
        """Holes (n, k) as bits (n, words)."""
        out = np.zeros((len(holes), self.words), np.uint64)
        index = np.arange(len(holes))
        for leg in range(holes.shape[1]):
            h = holes[:, leg]
            np.bitwise_or.at(out, (index, h // 64), np.uint64(1) << (h % 64).astype(np.uint64))
        return out

    def rail_net(self, hole: int) -> str:
        """'+' or '-' for a hole on a rail, '' elsewhere."""
        name = self.names[hole]
        return name[1] if name[0] in "LR" else ""


def net_numbers(circuit: Circuit) -> dict[tuple[str, str], tuple[int, str]]:
    """(part, terminal) -> (net number, net name); an open terminal has a number of its own and no name."""
    numbers = {net: i for i, net in enumerate(circuit.nets)}
    out: dict[tuple[str, str], tuple[int, str]] = {}
    fresh = len(numbers)
    for pin, net in circuit.pins():
        if net is None:
            out[pin.part, pin.terminal] = (fresh, "")
            fresh += 1
        else:
            out[pin.part, pin.terminal] = (numbers[net], net)
    return out


def leg_pairs(part: Part, geometry: Geometry) -> Iterator[tuple[int, int]]:
    """Hole pairs (first leg, second leg) that a two-legged part can reach lying straight."""
    least, most = part.type.body.span
    g = geometry
    columns = sorted({float(x) for x, r in zip(g.x, g.strip, strict=True) if not g.rail[r]})
    rows = range(1, g.board.rows + 1)
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


def single_unit(
    part: Part,
    legs: Sequence[int],
    nets: Sequence[tuple[int, str]],
    geometry: Geometry,
    plus: str,
    ground: str,
) -> Unit:
    """The unit of one part (``legs`` = all its legs) or of one lead of an off-board part."""
    g = geometry
    kind = part.type.body.kind
    sets: list[tuple[int, ...]]
    if kind == "off-board" or len(part.type.leg_terminals) == 1:
        sets = [(h,) for h in range(len(g.names))]
    elif kind == "rigid":
        sets = list(rigid_sets(part, g))
    else:
        sets = list(leg_pairs(part, g))
    own = [nets[i][0] for i in legs]
    kept = []
    for holes in sets:
        by_strip: dict[int, int] = {}
        if any(by_strip.setdefault(int(g.strip[h]), net) != net for h, net in zip(holes, own, strict=True)):
            continue
        if any(
            sign and nets[i][1] != (plus if sign == "+" else ground)
            for h, i in zip(holes, legs, strict=True)
            if (sign := g.rail_net(h))
        ):
            continue
        kept.append(holes)
    holes = np.array(kept, np.int64).reshape(len(kept), len(legs))
    places = [[(float(g.x[h]), float(g.y[h])) for h in row] for row in holes]
    plans = [body_boxes(part, p) for p in places]
    bodies = len(plans[0]) if plans else 0
    boxes = np.array([[(b.x0, b.y0, b.x1, b.y1) for b in plan] for plan in plans], float).reshape(
        len(plans), bodies, 4
    )
    rounds = tuple(b.round for b in plans[0]) if plans else ()
    return Unit(
        name=part.id if kind != "off-board" else f"{part.id}.{part.type.leg_names[legs[0]]}",
        legs=tuple((part.id, i) for i in legs),
        nets=tuple(own),
        holes=holes,
        boxes=boxes,
        rounds=rounds,
        static=np.zeros(len(kept)),
        geometry=g,
    )
