"""A wire that is missing from an author's layout, laid where it disturbs nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from buildalong.board import Layout, Style, Wire, check_layout, coloured, compare, read_back
from buildalong.circuit import Circuit

__all__ = ["wire_among", "with_missing_wires"]

GAPS = ("wire-missing", "lead-alone", "rail-not-fed", "rail-split")
"""What the comparison calls two strips of one net that nothing joins; they stand last in its ``about``."""
_MOST_TRIED = 250
_AROUND = 6
"""Lanes beside the two ends that a wire with two bends may take [pitches]."""
_MOST_WIRES = 40

Point = tuple[float, float]


def with_missing_wires(circuit: Circuit, layout: Layout, style: Style) -> Layout:
    """The layout with a wire for each join that the comparison misses, as far as there is a way."""
    for _ in range(_MOST_WIRES):
        wrong = compare(circuit, read_back(circuit.parts, layout), layout)
        gap = next((finding for finding in wrong if finding.code in GAPS), None)
        if gap is None:
            return layout
        wire = _wire(circuit, layout, gap.about[-2], gap.about[-1], style)
        if wire is None:
            return layout
        layout = coloured(circuit, replace(layout, wires=(*layout.wires, wire)))
    return layout


def _wire(circuit: Circuit, layout: Layout, one: str, other: str, style: Style) -> Wire | None:
    """The shortest wire between two strips of which the board's check has nothing to say."""
    board, used = layout.board, {hole for hole, _ in layout.used()}
    if one not in board.strips or other not in board.strips:
        return None
    starts = [hole for hole in board.strips[one] if hole not in used]
    ends = [hole for hole in board.strips[other] if hole not in used]
    return wire_among(circuit, layout, starts, ends, style)


def wire_among(
    circuit: Circuit, layout: Layout, starts: Sequence[str], ends: Sequence[str], style: Style
) -> Wire | None:
    """The shortest wire from one of some free holes to one of others of which the check says nothing.

    Where there is none, a flexible one over the shortest way; None where there are no holes.
    """
    board = layout.board
    ways: list[tuple[float, str, str, tuple[Point, ...]]] = []
    for start in starts:
        for end in ends:
            for path in _paths(board.holes[start], board.holes[end], style):
                points = (board.holes[start], *path, board.holes[end])
                length = sum(math.dist(a, b) for a, b in pairwise(points)) + 3.0 * len(path)
                ways.append((round(length, 6), start, end, path))
    if not ways:
        return None
    name = f"wire {len(layout.wires) + 1}"
    for _, start, end, path in sorted(ways)[:_MOST_TRIED]:
        wire = Wire(start, end, "", style, path)
        trial = replace(layout, wires=(*layout.wires, wire))
        if not any(name in finding.about for finding in check_layout(circuit, trial)):
            return wire
    _, start, end, _ = min(ways)
    return Wire(start, end, "", "flexible")


def _paths(start: Point, end: Point, style: Style) -> Iterator[tuple[Point, ...]]:
    """Ways along columns and rows with two bends at most; rails lie half a pitch out of line."""
    (ax, ay), (bx, by) = start, end
    if style == "flexible" or ax == bx or abs(ay - by) <= 0.5:
        yield ()
    if style != "formed":
        return
    yield ((ax, by),)
    yield ((bx, ay),)
    for step in range(1, _AROUND + 1):
        for y in (min(ay, by) - step, max(ay, by) + step):
            yield (ax, y), (bx, y)
        for x in (min(ax, bx) - step, max(ax, bx) + step):
            yield (x, ay), (x, by)
