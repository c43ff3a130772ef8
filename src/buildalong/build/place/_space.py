"""Every way in which each part can stand on the board, as arrays the search can work on.

A *unit* is a set of legs that are put down together: one part, one lead of an off-board part, or a
whole row of like lamps.  Its *candidates* are all the places it may take under the rules of
docs/placement.md (parts lie along a column or straight across the trench; leads stand in free holes).
Lengths are in pitches; x runs from column a to j, y along the rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from buildalong.board import Board
from buildalong.circuit import Circuit, Part

__all__ = [
    "Box",
    "Geometry",
    "Unit",
    "body_boxes",
    "bridge_unit",
    "gap",
    "net_numbers",
    "row_unit",
    "single_unit",
    "supply_unit",
]

PITCH = 2.54
LEAD_REACH = 0.2
"""How far a bent lead stands out beyond its hole, pitches."""
RAIL_SLANT = 0.5
"""Rails may be out of line with the rows by this much, pitches; a lead takes it without a bend."""
LEANING = 0.15
"""How far a body that leans towards a rail stands out beyond half its width, pitches."""
WIRE_HALF = 0.24
"""Half the thickness of a wire, pitches."""
EDGE = 1e-6
OUTER_COLUMNS = (0.0, 1.0, 10.0, 11.0)
"""Where supply leads may stand beside the rails."""
LEADS_APART = 5.0
"""Rows between the two leads of a supply at most."""

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
    tilt = width / 2 + LEANING * (max(ys) - min(ys) > EDGE)
    return (Box(cx - half, min(cy - tilt, min(ys)), cx + half, max(cy + tilt, max(ys))),)


@dataclass(frozen=True)
class Unit:
    """Legs that are put down together, and everywhere they may stand.

    ``legs``: (part id, leg index).  Arrays over the candidates: ``holes`` (n, legs), ``boxes``
    (n, bodies, 4), ``leg_bits`` and ``cover_bits`` (n, words) = holes taken and holes under the
    bodies, ``static`` (n) = cost of the place by itself.  ``rounds``: which bodies are round.
    """

    name: str
    legs: tuple[tuple[str, int], ...]
    nets: tuple[int, ...]
    holes: Ints
    boxes: Floats
    rounds: tuple[bool, ...]
    leg_bits: Bits
    cover_bits: Bits
    static: Floats
    geometry: Geometry = field(repr=False)
    bridge: bool = False
    """A straight wire across the trench, put down like a part."""

    def __len__(self) -> int:
        """Count the candidates."""
        return len(self.holes)

    def only(self, kept: Ints) -> Unit:
        """The same unit with only these candidates."""
        return replace(
            self,
            holes=self.holes[kept],
            boxes=self.boxes[kept],
            leg_bits=self.leg_bits[kept],
            cover_bits=self.cover_bits[kept],
            static=self.static[kept],
        )

    @cached_property
    def strips(self) -> Ints:
        """The strip of each leg, (n, legs)."""
        return self.geometry.strip[self.holes]


@dataclass(frozen=True)
class _Stands:
    """Everywhere that parts of one shape can stand, before nets are looked at."""

    holes: Ints
    boxes: Floats
    rounds: tuple[bool, ...]
    leg_bits: Bits
    cover_bits: Bits


def _stands(parts: Sequence[Part], sets: Sequence[tuple[int, ...]], g: Geometry) -> _Stands:
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
            boxes, is_round = _straight_boxes(part, g.x[own], g.y[own])
            plans.append(boxes)
            rounds.append(is_round)
    boxes = np.stack(plans, axis=1) if plans else np.zeros((len(sets), 0, 4))
    leg_bits = g.bits(holes)
    cover = np.zeros_like(leg_bits)
    for body_number, is_round in enumerate(rounds):
        cover |= g.bits_under(boxes[:, body_number], is_round)
    return _Stands(holes, boxes, tuple(rounds), leg_bits, cover & ~leg_bits)


def _straight_boxes(part: Part, x: Floats, y: Floats) -> tuple[Floats, bool]:
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
        self._known: dict[object, _Stands] = {}
        self._tables: dict[float, Ints] = {}

    def stands(self, part: Part) -> _Stands:
        """Everywhere that a part (or one lead of an off-board part) can stand at all."""
        body = part.type.body
        key = (body.kind, body.span, body.legs, body.straddles, body.length, body.width, body.shape)
        if body.kind == "off-board":
            key = ("off-board",)  # type: ignore[assignment]
        if key not in self._known:
            if body.kind == "off-board":
                sets: Iterable[tuple[int, ...]] = ((h,) for h in range(len(self.names)))
            else:
                sets = rigid_sets(part, self) if body.kind == "rigid" else leg_pairs(part, self)
            self._known[key] = _stands([part], list(sets), self)
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


def single_unit(
    part: Part,
    legs: Sequence[int],
    nets: Sequence[tuple[int, str]],
    geometry: Geometry,
    plus: str,
    ground: str,
    given: Sequence[int | None] = (),
) -> Unit:
    """The unit of one part (``legs`` = all its legs) or of one lead of an off-board part.

    ``given``: the hole that a leg must stand in, None where it is free.  A part whose every hole is
    given stands there whatever the rules say.
    """
    g = geometry
    off_board = part.type.body.kind == "off-board"
    own = [nets[i][0] for i in legs]
    if given and None not in given:
        stands = _stands([part], [tuple(h for h in given if h is not None)], g)
        kept = np.array([True])
    else:
        stands = g.stands(part)
        kept = np.ones(len(stands.holes), bool)
        for leg, want in enumerate(given):
            if want is not None:
                kept &= stands.holes[:, leg] == want
        strips, sign = g.strip[stands.holes], g.sign[stands.holes]
        for a, i in enumerate(legs):
            legal = 1 if nets[i][1] == plus else -1 if nets[i][1] == ground else 0
            kept &= (sign[:, a] == 0) | (sign[:, a] == legal)
            for b in range(a):
                if own[a] != own[b]:
                    kept &= strips[:, a] != strips[:, b]
    name = f"{part.id}.{part.type.leg_names[legs[0]]}" if off_board else part.id
    return _unit(name, [(part.id, i) for i in legs], own, stands, kept, g)


def supply_unit(
    part: Part, nets: Sequence[tuple[int, str]], geometry: Geometry, plus: str, ground: str
) -> Unit:
    """Both leads of a supply as one unit: side by side on a pair of rails, or in the outer columns of a side.

    The leads come in on one side of the board, at most LEADS_APART rows apart, so that neither crosses
    what is built.
    """
    g = geometry
    sides: list[list[int]] = [[], []]
    for hole, (x, y) in enumerate(zip(g.x.tolist(), g.y.tolist(), strict=True)):
        if x in OUTER_COLUMNS and y <= g.rows:
            sides[x > 5.5].append(hole)
    sets = [
        (a, b)
        for side in sides
        for a in side
        for b in side
        if g.strip[a] != g.strip[b] and abs(g.y[a] - g.y[b]) <= LEADS_APART
    ]
    legal = {plus: "+", ground: "-"}
    one, two = (legal.get(name, "") for _, name in nets)
    if one and two:
        for number in range(1, g.board.rail_holes + 1):
            for side in "LR":
                # The minus lead one hole further on: leads that come in below one another do not cross.
                pair = [g.number.get(f"{side}{sign}{number + (sign == '-')}") for sign in (one, two)]
                found = tuple(h for h in pair if h is not None)
                if len(found) == 2:
                    sets.append((found[0], found[1]))
    holes = np.array(sets, np.int64).reshape(len(sets), 2)
    leg_bits = g.bits(holes)
    stands = _Stands(holes, np.zeros((len(sets), 0, 4)), (), leg_bits, np.zeros_like(leg_bits))
    own = [number for number, _ in nets]
    return _unit(part.id, [(part.id, 0), (part.id, 1)], own, stands, np.ones(len(sets), bool), g)


def row_unit(parts: Sequence[Part], nets: Sequence[tuple[int, int]], geometry: Geometry) -> Unit:
    """A row of like two-legged lamps, in the given order, all facing the same way, in one column."""
    g = geometry
    body = parts[0].type.body
    least, most = body.span
    pitch = max(math.ceil(body.length / PITCH - EDGE), least + 1)
    sets = []
    columns = sorted({float(x) for x in g.x[~g.rail[g.strip]]})
    for span in range(least, min(most, pitch - 1) + 1):
        long = pitch * (len(parts) - 1) + span
        for x in columns:
            for top in range(1, g.rows - long + 1):
                for order in (1, -1):
                    for first in (0, 1):
                        holes: list[int] = []
                        for number in range(len(parts)):
                            row = top + pitch * (number if order > 0 else len(parts) - 1 - number)
                            pair = [g.at[x, float(row)], g.at[x, float(row + span)]]
                            holes += pair if first == 0 else pair[::-1]
                        sets.append(tuple(holes))
    stands = _stands(parts, sets, g)
    legs = [(part.id, leg) for part in parts for leg in (0, 1)]
    flat = [n for pair in nets for n in pair]
    return _unit("+".join(p.id for p in parts), legs, flat, stands, np.ones(len(sets), bool), g)


def bridge_unit(name: str, net: int, geometry: Geometry) -> Unit:
    """A straight wire across the trench from one strip of a net to the other of the same row."""
    g = geometry
    columns = sorted({float(x) for x in g.x[~g.rail[g.strip]]})
    sets = [
        (g.at[left, float(row)], g.at[right, float(row)])
        for row in range(1, g.rows + 1)
        for left in columns
        for right in columns
        if left < 5.5 < right
    ]
    holes = np.array(sets, np.int64)
    x, y = g.x[holes], g.y[holes]
    boxes = np.stack([x[:, 0], y[:, 0] - WIRE_HALF, x[:, 1], y[:, 0] + WIRE_HALF], axis=1)
    leg_bits = g.bits(holes)
    cover = g.bits_under(boxes, is_round=False) & ~leg_bits
    stands = _Stands(holes, boxes[:, None], (False,), leg_bits, cover)
    unit = _unit(name, [(name, 0), (name, 1)], [net, net], stands, np.ones(len(sets), bool), g)
    unit.static[:] = x[:, 1] - x[:, 0]
    return replace(unit, bridge=True)


def _unit(
    name: str,
    legs: Sequence[tuple[str, int]],
    nets: Sequence[int],
    stands: _Stands,
    kept: npt.NDArray[np.bool_],
    g: Geometry,
) -> Unit:
    return Unit(
        name=name,
        legs=tuple(legs),
        nets=tuple(nets),
        holes=stands.holes[kept],
        boxes=stands.boxes[kept],
        rounds=stands.rounds,
        leg_bits=stands.leg_bits[kept],
        cover_bits=stands.cover_bits[kept],
        static=np.zeros(int(kept.sum())),
        geometry=g,
    )
