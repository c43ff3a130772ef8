"""How a wire lies among what else is on the board: what it bends around, over which wires it passes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from buildalong.board import Layout, Wire, outline_of
from buildalong.circuit import Circuit

__all__ = ["crossing", "in_the_bow", "left_free", "passed"]

Point = tuple[float, float]


def in_the_bow(circuit: Circuit, layout: Layout, wire: Wire, parts: Iterable[str]) -> list[str]:
    """Those of the parts for which a wire is bent: they lie between it and the straight way, or on that."""
    line = layout.line(wire)
    if len(line) < 3:
        return []
    out = []
    for name in parts:
        outline = outline_of(circuit.by_id[name].type, layout.board, layout.holes.get(name, ()))
        if outline is not None and _within(line, outline):
            out.append(name)
    return out


def left_free(layout: Layout, wire: Wire, before: Layout) -> list[str]:
    """The holes in later use for which a wire is bent: with one corner at most it would lie over them.

    Empty where one of these shorter ways is free.  ``before`` is the board without the wire.
    """
    line, at = layout.line(wire), layout.board.holes
    if len(line) < 4:
        return []
    (x0, y0), (x1, y1) = line[0], line[-1]
    used = {hole for hole, _ in layout.used() if hole in at} - {wire.start, wire.end}
    standing = {hole for hole, _ in before.used()}
    out: set[str] = set()
    for corner in {(x0, y1), (x1, y0)}:
        way = (line[0], corner, line[-1])
        under = {hole for hole in used if _over(way, at[hole])}
        if not under:
            return []
        out |= {hole for hole in under - standing if not _over(line, at[hole])}
    return sorted(out, key=lambda hole: at[hole][::-1])


def _over(line: Sequence[Point], place: Point) -> bool:
    """Whether a line along rows and columns runs over a place."""
    return any(
        min(a[0], b[0]) <= place[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= place[1] <= max(a[1], b[1])
        for a, b in pairwise(line)
    )


def passed(layout: Layout, wire: Wire, lying: Iterable[Wire]) -> list[tuple[Wire, int]]:
    """The lying wires over which a new one passes, each with the row where it first does, along the rows."""
    found = [(row, n, other) for n, other in enumerate(lying) for row in crossing(layout, wire, other)[:1]]
    return [(other, row) for row, _, other in sorted(found, key=lambda item: item[:2])]


def crossing(layout: Layout, one: Wire, other: Wire) -> tuple[int, ...]:
    """The rows at which one wire crosses another or lies on its end, from the first on."""
    lines = layout.line(one), layout.line(other)
    found = {_crossed(a, b, c, d) for a, b in pairwise(lines[0]) for c, d in pairwise(lines[1])}
    return tuple(sorted({round(row) for row in found if row is not None}))


def _crossed(a: Point, b: Point, c: Point, d: Point) -> float | None:
    """Where along the rows a piece crosses another [pitches]; None where it does not."""
    across = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
    if abs(across) < 1e-9:
        return None
    s = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / across
    t = ((c[0] - a[0]) * (b[1] - a[1]) - (c[1] - a[1]) * (b[0] - a[0])) / across
    return a[1] + s * (b[1] - a[1]) if 0 <= s <= 1 and 0 <= t <= 1 else None


def _within(line: Sequence[Point], outline: Sequence[Point]) -> bool:
    """Whether the middle of a body lies between a line and the straight way, or that way runs over it."""
    ends = line[0], line[-1]
    middle = sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)
    edges = pairwise((*outline, outline[0]))
    return _inside(middle, line) or any(_crossed(*ends, *edge) is not None for edge in edges)


def _inside(place: Point, corners: Sequence[Point]) -> bool:
    """Whether a place lies within the corners, joined in a ring (even-odd rule)."""
    x, y = place
    sides = 0
    for (x0, y0), (x1, y1) in pairwise((*corners, corners[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            sides += 1
    return sides % 2 == 1
