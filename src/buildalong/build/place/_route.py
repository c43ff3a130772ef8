"""Laying the wires: every net's strips joined by paths of at most two bends that touch nothing.

Points of a lattice (one pitch across, half a pitch along) are bits of one big integer, so a path
is tested against everything that lies on the board by two ANDs.  Paths between two strips are made
once for each relative position and sorted by cost.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from buildalong.build.place._score import WEIGHTS
from buildalong.build.place._space import Box, Geometry

__all__ = ["Lattice", "Path", "Router"]

WIDE = 26
X0 = 7
Y0 = 12
"""Bits in a lattice row; the column of x = 0; rows kept free above row 0."""
WIRE_ROOM = 0.2
"""Half a wire and a little air, pitches."""
MOST_PATHS = 500
LEFT, RIGHT = (0, 1, 2, 3, 4), (7, 8, 9, 10, 11)
TRACKS = tuple(range(-2, 14))

LENGTH, BEND, CROSS = WEIGHTS["wire length"][0], WEIGHTS["bend"][0], WEIGHTS["crossing"][0]
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
    points: tuple[tuple[float, float], ...]

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


def make_path(points: Sequence[tuple[float, float]]) -> Path:
    """The path through these points (ends first and last)."""
    h = v = 0
    length = 0.0
    for (ax, ay), (bx, by) in zip(points, points[1:], strict=False):
        length += abs(ax - bx) + abs(ay - by)
        if ax == bx:
            low, high = sorted((round(2 * ay), round(2 * by)))
            start = bit(ax, low / 2)
            for k in range(high - low + 1):
                v |= 1 << (start + k * WIDE)
        else:
            low, high = sorted((round(ax), round(bx)))
            h |= ((1 << (high - low + 1)) - 1) << bit(low, ay)
            h |= 1 << bit(bx, by)
    ends = 1 << bit(*points[0]) | 1 << bit(*points[-1])
    inside = sum(1 for p in points[1:-1] if p != points[0])
    over = (h | v).bit_count() * 0.5
    return Path(length * LENGTH + inside * BEND + over * OVER_HOLE, ends, h, v, tuple(points))


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
        self._relative: dict[tuple[bool, bool, int], list[Path]] = {}
        self._absolute: dict[tuple[int, int], list[Path]] = {}
        self._bodies: dict[Box, int] = {}
        g = geometry
        self.hole_bit = [1 << bit(float(x), float(y)) for x, y in zip(g.x, g.y, strict=True)]
        row = ((1 << WIDE) - 1) << bit(-X0, 0)
        everything = 0
        top, bottom = -Y0 + 1, g.board.rows + Y0 - 2
        for k in range(2 * top, 2 * bottom + 1):
            if not -0.5 <= k / 2 <= g.board.rows + 1.5:
                everything |= _shift(row, k * WIDE)
        self.outside = everything

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
        if self.g.rail[one] or self.g.rail[other]:
            return self._scan(self._rail_paths(one, other), lattice.solid, lattice.h, lattice.v)
        rows = round(self.g.row[one])
        paths = self._row_paths(
            bool(self.g.right[one]), bool(self.g.right[other]), round(self.g.row[other]) - rows
        )
        s = -2 * WIDE * rows
        found = self._scan(paths, _shift(lattice.solid, s), _shift(lattice.h, s), _shift(lattice.v, s))
        return None if found is None else found.moved(rows)

    def _scan(self, paths: Iterable[Path], solid: int, across: int, along: int) -> Path | None:
        best: Path | None = None
        least = float("inf")
        if self.style == "flexible":
            taken = solid | across | along
            return next((p for p in paths if not p.ends & taken), None)
        for path in paths:
            if path.cost >= least:
                break
            h, v = path.h, path.v
            if (h | v) & solid or h & across or v & along or path.ends & (across | along):
                continue
            cost = path.cost + CROSS * ((h & along).bit_count() + (v & across).bit_count())
            if cost < least:
                best, least = path, cost
        if best is None:
            return None
        return Path(least, best.ends, best.h, best.v, best.points)

    def _row_paths(self, right: bool, other_right: bool, rows: int) -> list[Path]:
        key = (right, other_right, rows)
        found = self._relative.get(key)
        if found is None:
            found = []
            for ax in RIGHT if right else LEFT:
                for bx in RIGHT if other_right else LEFT:
                    found += [make_path(p) for p in self._shapes((ax, 0.0), (bx, float(rows)))]
            found.sort(key=lambda p: (p.cost, p.points))
            self._relative[key] = found = found[:MOST_PATHS]
        return found

    def _shapes(
        self, a: tuple[float, float], b: tuple[float, float]
    ) -> Iterable[tuple[tuple[float, float], ...]]:
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

    def _rail_paths(self, one: int, other: int) -> list[Path]:
        key = (one, other)
        found = self._absolute.get(key)
        if found is not None:
            return found
        g = self.g
        found = []
        for h in g.strip_holes[one]:
            a = (float(g.x[h]), float(g.y[h]))
            for k in g.strip_holes[other]:
                b = (float(g.x[k]), float(g.y[k]))
                found += [make_path(p) for p in self._rail_shapes(a, b, bool(g.rail[one] and g.rail[other]))]
        found.sort(key=lambda p: (p.cost, p.points))
        self._absolute[key] = found = found[:MOST_PATHS]
        return found

    def _rail_shapes(
        self, a: tuple[float, float], b: tuple[float, float], both: bool
    ) -> Iterable[tuple[tuple[float, float], ...]]:
        (ax, ay), (bx, by) = a, b
        if both:
            if ax == bx:
                if abs(ay - by) <= 2:
                    yield (a, b)
                return
            if ay != by:
                return
            for y in (0.0, -0.5, self.g.board.rows + 1.0, self.g.board.rows + 1.5):
                if abs(y - ay) < 4 and self.style == "formed":
                    yield (a, (ax, y), (bx, y), b)
            if self.style != "formed":
                yield (a, b)
            return
        if abs(ay - by) > 2.5 or abs(ax - bx) > 10:
            return
        if abs(ay - by) <= 0.5 or self.style == "flexible":
            yield (a, b)
        elif self.style == "formed":
            rail_x = ax if not 0 <= ax <= 11 else bx
            for t in (-2.0, -1.0) if rail_x < 0 else (12.0, 13.0):
                yield (a, (t, ay), (t, by), b)
