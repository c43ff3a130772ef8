"""Laying the wires: every net's strips joined by paths of at most two bends that touch nothing.

Points of a lattice (one pitch across, half a pitch along) are bits of one big integer, so a path
is tested against everything that lies on the board by two ANDs.  Paths between two strips are made
once for each relative position and sorted by cost.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from buildalong.build.place._geometry import RAIL_SLANT, Geometry
from buildalong.build.place._ground import Box, beside, edges_of
from buildalong.build.place._score import WEIGHTS

__all__ = ["Lattice", "Path", "Router"]

WIDE = 26
X0 = 7
Y0 = 12
"""Bits in a lattice row; the column of x = 0; rows kept free above row 0."""
WIRE_ROOM = 0.2
"""Half a wire and a little air, pitches."""
CHUNK = 96
RAIL_AROUND = 6.0
"""Rows along which a wire from a rail may run after it went straight in between the rows."""
Point = tuple[float, float]
WORK_SCAN, WORK_KNOWN = 0.12, 0.02
"""Work of looking for a path, and of finding it known (about a millisecond each 1.0)."""
MOST_THROUGH = 400
"""Paths that are looked at when wires may be taken up for one."""
MOST_KNOWN = 20_000
"""Answers kept for each kind of path."""
LEFT, RIGHT = (0, 1, 2, 3, 4), (7, 8, 9, 10, 11)
TRACKS = tuple(range(-2, 14))

LENGTH, BEND, CROSS = WEIGHTS["wire length"][0], WEIGHTS["bend"][0], WEIGHTS["crossing"][0]
BESIDE = WEIGHTS["beside the board"][0]
OVER_HOLE = 0.12
"""Cost of lying over a free hole: only a tie-break between paths of equal length."""


def bit(x: float, y: float) -> int:
    """The lattice bit of a point; y is rounded to half pitches."""
    return round(2 * (y + Y0)) * WIDE + round(x) + X0


@dataclass(frozen=True, slots=True)
class Path:
    """A way from one hole to another: bits at its ends, on its parts across (h) and along (v)."""

    cost: float
    ends: int
    h: int
    v: int
    points: tuple[Point, ...]

    def touches(self, other: Path) -> bool:
        """Whether the two share a point."""
        return bool((self.h | self.v) & (other.h | other.v))

    def moved(self, rows: int) -> Path:
        """The same path some rows further down."""
        s = 2 * WIDE * rows
        return Path(
            self.cost,
            _shift(self.ends, s),
            _shift(self.h, s),
            _shift(self.v, s),
            tuple((x, y + rows) for x, y in self.points),
        )


def _shift(value: int, by: int) -> int:
    return value << by if by >= 0 else value >> -by


_ALONG = [0]
for _k in range(2 * 80):
    _ALONG.append(_ALONG[-1] | 1 << (_k * WIDE))
"""_ALONG[n]: n lattice points below one another."""


def cost_of(points: tuple[Point, ...], edges: Box) -> float:
    """What a path through these points of a board with these edges costs, crossings left out."""
    length, (ax, ay) = 0.0, points[0]
    for bx, by in points[1:]:
        length += abs(ax - bx) + abs(ay - by)
        ax, ay = bx, by
    return length * (LENGTH + OVER_HOLE) + (len(points) - 2) * BEND + BESIDE * beside(edges, points)


def make_path(points: Sequence[Point], edges: Box) -> Path:
    """The path through these points, ends included; a slanting piece arches over and blocks nothing."""
    h = v = 0
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        if ax == bx:
            low, high = (ay, by) if ay <= by else (by, ay)
            v |= _ALONG[round(2 * (high - low)) + 1] << bit(ax, low)
        elif abs(ay - by) <= RAIL_SLANT:
            low, high = (ax, bx) if ax <= bx else (bx, ax)
            h |= ((1 << (round(high - low) + 1)) - 1) << bit(low, ay)
            h |= 1 << bit(bx, by)
    ends = 1 << bit(*points[0]) | 1 << bit(*points[-1])
    return Path(cost_of(tuple(points), edges), ends, h, v, tuple(points))


ORIGIN = (2 * (Y0 - 3)) * WIDE
"""Paths between strips never leave the rows from three above the upper strip."""


class Ways:
    """All paths of one kind, cheapest first, as arrays of bits tested many at a time, made when needed."""

    def __init__(
        self,
        shapes: list[tuple[Point, ...]],
        edges: Box,
        make: Callable[[tuple[Point, ...]], Path],
        origin: int,
        rows: float,
    ) -> None:
        self.make = make
        self.origin = origin
        """Lattice bit that is bit 0 of the arrays."""
        costed = sorted((cost_of(shape, edges), shape) for shape in shapes)
        self.costs = [cost for cost, _ in costed]
        self.shapes = [shape for _, shape in costed]
        self.bytes = 8 * ((WIDE * (2 * math.ceil(rows) + 2) + 63) // 64)
        self.mask = (1 << 8 * self.bytes) - 1
        self.known: dict[tuple[int, int, int], Path | None] = {}
        """Answers by what lies in the window: solid, wires across, wires along."""
        self._chunks: list[tuple[list[Path], npt.NDArray[np.uint64]]] = []

    def open(self, solid: int) -> Iterator[Path]:
        """The paths that touch nothing solid, cheapest first."""
        words = np.frombuffer(solid.to_bytes(self.bytes, "little"), "<u8")
        for number in range((len(self.shapes) + CHUNK - 1) // CHUNK):
            if number == len(self._chunks):
                paths = [self.make(shape) for shape in self.shapes[number * CHUNK : (number + 1) * CHUNK]]
                whole = b"".join(((p.h | p.v) >> self.origin).to_bytes(self.bytes, "little") for p in paths)
                self._chunks.append((paths, np.frombuffer(whole, "<u8").reshape(len(paths), -1)))
            paths, bits = self._chunks[number]
            for k in ((bits & words).any(axis=1) ^ True).nonzero()[0].tolist():
                yield paths[k]


class Lattice:
    """What lies on the board already: solid bodies and used holes, wires across, wires along."""

    __slots__ = ("h", "solid", "v")

    def __init__(self, solid: int = 0, h: int = 0, v: int = 0) -> None:
        self.solid, self.h, self.v = solid, h, v

    def add(self, path: Path) -> None:
        """Lay a wire."""
        self.h |= path.h
        self.v |= path.v
        self.solid |= path.ends


class Router:
    """Paths between strips of one board, made when first asked for."""

    def __init__(self, geometry: Geometry, style: str = "formed") -> None:
        self.g = geometry
        self.style = style
        self.edges = edges_of(geometry.board)
        """Of the board; :attr:`sides` leaves out its ends, for paths whose rows are not known yet."""
        self.sides = replace(self.edges, y0=-math.inf, y1=math.inf)
        self.work = 0.0
        """What all searches for paths have cost so far, about a millisecond each 1.0; never a clock."""
        self._relative: dict[tuple[bool, bool, int], Ways] = {}
        self._absolute: dict[tuple[int, int], Ways] = {}
        self._bodies: dict[Box, int] = {}
        g = geometry
        self.rail: list[bool] = g.rail.tolist()
        self.right: list[bool] = g.right.tolist()
        self.row = [round(row) for row in g.row.tolist()]
        self.hole_bit = [1 << bit(float(x), float(y)) for x, y in zip(g.x, g.y, strict=True)]
        row = ((1 << WIDE) - 1) << bit(-X0, 0)
        everything = 0
        top, bottom = -Y0 + 1, g.rows + Y0 - 2
        for k in range(2 * top, 2 * bottom + 1):
            if not -0.5 <= k / 2 <= g.rows + 1.5:
                everything |= _shift(row, k * WIDE)
        self.outside = everything

    def path(self, points: Sequence[Point]) -> Path:
        if self.style != "flexible":
            return make_path(points, self.edges)
        (ax, ay), (bx, by) = points
        ends = 1 << bit(ax, ay) | 1 << bit(bx, by)
        return Path(LENGTH * math.hypot(ax - bx, ay - by), ends, ends, 0, tuple(points))

    def _moving(self, points: Sequence[Point]) -> Path:
        """A path that may be moved along the board."""
        return self.path(points) if self.style == "flexible" else make_path(points, self.sides)

    def body(self, box: Box) -> int:
        """The lattice bits under a body, with room for a wire beside it."""
        found = self._bodies.get(box)
        if found is None:
            found = 0
            for x in range(int(box.x0) - 1, int(box.x1) + 2):
                for k in range(int(2 * box.y0) - 2, int(2 * box.y1) + 4):
                    if box.holds(x, k / 2, WIRE_ROOM):
                        found |= 1 << bit(x, k / 2)
            self._bodies[box] = found
        return found

    def best(self, lattice: Lattice, one: int, other: int) -> Path | None:
        """The cheapest path from a free hole of one strip to one of the other, or None."""
        if self.rail[one] or self.rail[other]:
            return self._scan(self._rail_paths(one, other), lattice, 0)
        if self.row[one] > self.row[other]:
            one, other = other, one
        rows = self.row[one]
        ways = self._row_paths(self.right[one], self.right[other], self.row[other] - rows)
        found = self._scan(ways, lattice, 2 * WIDE * rows)
        return None if found is None else found.moved(rows)

    def _scan(self, ways: Ways, lattice: Lattice, shift: int) -> Path | None:
        if self.style == "flexible":
            taken = _shift(lattice.solid | lattice.h | lattice.v, -shift)
            return next((path for path in map(self.path, ways.shapes) if not path.ends & taken), None)
        origin = ways.origin
        move = shift + origin
        solid = _shift(lattice.solid, -move) & ways.mask
        across, along = _shift(lattice.h, -move) & ways.mask, _shift(lattice.v, -move) & ways.mask
        key = (solid, across, along)
        if key in ways.known:
            self.work += WORK_KNOWN
            return ways.known[key]
        self.work += WORK_SCAN
        best: Path | None = None
        least = float("inf")
        wires = (across | along) << origin
        across, along = across << origin, along << origin
        for path in ways.open(solid):
            cost = path.cost
            if cost >= least:
                break
            h, v = path.h, path.v
            if (h | v) & wires:
                if h & across or v & along or path.ends & wires:
                    continue
                cost += CROSS * ((h & along).bit_count() + (v & across).bit_count())
                if cost >= least:
                    continue
            best, least = path, cost
        found = None if best is None else Path(least, best.ends, best.h, best.v, best.points)
        if len(ways.known) > MOST_KNOWN:
            ways.known.clear()
        ways.known[key] = found
        return found

    def through(
        self, solid: int, one: int, other: int, wires: Sequence[tuple[float, Path]], limit: float
    ) -> tuple[float, Path, list[int]] | None:
        """The cheapest way where every wire in the way costs its weight: cost, path, the wires to take up."""
        shift = 0
        if self.rail[one] or self.rail[other]:
            ways = self._rail_paths(one, other)
        else:
            if self.row[one] > self.row[other]:
                one, other = other, one
            shift = 2 * WIDE * self.row[one]
            ways = self._row_paths(self.right[one], self.right[other], self.row[other] - self.row[one])
        self.work += 2 * WORK_SCAN
        best: tuple[float, Path, list[int]] | None = None
        lying = [(w, _shift(p.ends, -shift), _shift(p.h, -shift), _shift(p.v, -shift)) for w, p in wires]
        for path in itertools.islice(
            ways.open(_shift(solid, -shift - ways.origin) & ways.mask), MOST_THROUGH
        ):
            cost, hit = path.cost, []
            if cost >= limit:
                break
            for number, (weight, ends, h, v) in enumerate(lying):
                if not (path.h | path.v) & (h | v):
                    continue
                if path.h & h or path.v & v or path.ends & (h | v) or ends & (path.h | path.v):
                    cost += weight
                    hit.append(number)
                else:
                    cost += CROSS * ((path.h & v).bit_count() + (path.v & h).bit_count())
                if cost >= limit:
                    break
            if cost < limit:
                limit = cost
                best = (cost, path.moved(shift // (2 * WIDE)), hit)
        return best

    def least(self, one: int, other: int) -> float:
        """No path between two strips costs less than this."""
        rows = abs(self.row[one] - self.row[other])
        if self.rail[one] or self.rail[other]:
            return 0.0
        return float(LENGTH * (rows + 3 * (self.right[one] != self.right[other])))

    def _row_paths(self, right: bool, other_right: bool, rows: int) -> Ways:
        key = (right, other_right, rows)
        ways = self._relative.get(key)
        if ways is None:
            shapes = [
                shape
                for ax in (RIGHT if right else LEFT)
                for bx in (RIGHT if other_right else LEFT)
                for shape in self._shapes((float(ax), 0.0), (float(bx), float(rows)))
            ]
            self._relative[key] = ways = Ways(shapes, self.sides, self._moving, ORIGIN, rows + 6)
        return ways

    def _shapes(self, a: Point, b: Point) -> Iterable[tuple[Point, ...]]:
        (ax, ay), (bx, by) = a, b
        if ax == bx or ay == by or self.style == "flexible":
            yield (a, b)
        if self.style != "formed":
            return
        if ax != bx and ay != by:
            yield (a, (bx, ay), b)
            yield (a, (ax, by), b)
        if ay != by:
            for t in TRACKS:
                if t not in (ax, bx):
                    yield (a, (float(t), ay), (float(t), by), b)
        if ax != bx:
            low, high = sorted((ay, by))
            near = {
                low - 2,
                low - 1,
                low + 1,
                low + 2,
                high - 2,
                high - 1,
                high + 1,
                high + 2,
                (low + high) // 2,
            }
            for y in sorted(near - {ay, by}):
                yield (a, (ax, y), (bx, y), b)

    def _rail_paths(self, one: int, other: int) -> Ways:
        key = (one, other)
        ways = self._absolute.get(key)
        if ways is not None:
            return ways
        g = self.g
        shapes: list[tuple[Point, ...]] = []
        for h in g.strip_holes[one]:
            a = (float(g.x[h]), float(g.y[h]))
            for k in g.strip_holes[other]:
                b = (float(g.x[k]), float(g.y[k]))
                shapes += self._rail_shapes(a, b, bool(g.rail[one] and g.rail[other]))
        low = min((min(y for _, y in shape) for shape in shapes), default=0.0)
        high = max((max(y for _, y in shape) for shape in shapes), default=0.0)
        self._absolute[key] = ways = Ways(
            shapes, self.edges, self.path, bit(-X0, int(low) - 1), high - low + 4
        )
        return ways

    def _rail_shapes(self, a: Point, b: Point, both: bool) -> Iterable[tuple[Point, ...]]:
        (ax, ay), (bx, by) = a, b
        if both:
            if ax == bx:
                if abs(ay - by) <= 2:
                    yield (a, b)
                return
            if ay != by:
                return
            for y in (0.0, -0.5, self.g.rows + 1.0, self.g.rows + 1.5):
                if abs(y - ay) < 4 and self.style == "formed":
                    yield (a, (ax, y), (bx, y), b)
            if self.style != "formed":
                yield (a, b)
            return
        if self.style == "formed" and 0.5 < abs(ay - by) <= RAIL_AROUND:
            (rx, ry), (hx, hy) = (b, a) if 0 <= ax <= 11 else (a, b)
            around = ((rx, ry), (hx, ry), (hx, hy))
            yield around if (rx, ry) == a else around[::-1]
        if abs(ay - by) > 2.5 or (abs(ax - bx) > 9 and self.style != "flexible"):
            return
        if abs(ay - by) <= 0.5 or self.style == "flexible":
            yield (a, b)
        elif self.style == "formed":
            rail_x = ax if not 0 <= ax <= 11 else bx
            for t in (-2.0, -1.0) if rail_x < 0 else (12.0, 13.0):
                yield (a, (t, ay), (t, by), b)
